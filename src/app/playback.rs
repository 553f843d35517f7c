//! Time that is played: a cursor on a shown part of the time axis.

use eframe::egui::Context;

/// Time for which a still is shown where motion is reduced, s.
const STILL_S: f64 = 2.5;
/// Longest time that passes in a frame, s of the clock: a window that was hidden does not leap.
const LONGEST_FRAME_S: f64 = 0.1;

/// A cursor in time and how it moves.
#[derive(Debug, Clone, PartialEq)]
pub struct Playback {
    /// Time shown, s.
    pub cursor_s: f64,
    /// Whether time passes.
    pub playing: bool,
    /// Index into the speeds.
    pub speed: usize,
    /// Part of the time axis that is shown, s.
    pub view_s: (f64, f64),
    /// Shortest part that can be shown, s.
    shortest_s: f64,
    still_since: f64,
}

impl Playback {
    /// Playing from the begin of `view_s`.
    pub fn new(view_s: (f64, f64), shortest_s: f64, speed: usize) -> Self {
        Self { cursor_s: view_s.0, playing: true, speed, view_s, shortest_s, still_since: 0.0 }
    }

    /// Put the cursor at a time, and the shown part of the axis around it if need be.
    pub fn seek(&mut self, time_s: f64, end_s: f64) {
        self.cursor_s = time_s.clamp(0.0, end_s);
        let (from, to) = self.view_s;
        if self.cursor_s < from || self.cursor_s > to {
            let half = 0.5 * (to - from);
            self.show(self.cursor_s - half, self.cursor_s + half, end_s);
        }
    }

    /// Show a part of the time axis, kept within the run.
    pub fn show(&mut self, from_s: f64, to_s: f64, end_s: f64) {
        let width = (to_s - from_s).clamp(self.shortest_s.min(end_s), end_s);
        let from = from_s.clamp(0.0, end_s - width);
        self.view_s = (from, from + width);
    }

    /// Zoom about a time.
    pub fn zoom(&mut self, about_s: f64, factor: f64, end_s: f64) {
        let (from, to) = self.view_s;
        let width = ((to - from) / factor).clamp(self.shortest_s.min(end_s), end_s);
        let share = (about_s - from) / (to - from);
        self.show(about_s - share * width, about_s + (1.0 - share) * width, end_s);
    }

    /// Let `dt` pass, s of the run; at the end of the shown part it starts anew.
    pub fn tick(&mut self, dt: f64, end_s: f64) {
        self.cursor_s += dt;
        let (from, to) = self.view_s;
        if self.cursor_s > to.min(end_s) || self.cursor_s < from {
            self.cursor_s = from;
        }
    }

    /// Step to the next of `times`, or the one before, and stay there.
    pub fn step_to(&mut self, mut times: Vec<f64>, forward: bool, end_s: f64) {
        let same = 0.05 * self.shortest_s;
        let now = self.cursor_s;
        times.sort_by(f64::total_cmp);
        if !forward {
            times.reverse();
        }
        let beyond = |time: &f64| if forward { *time > now + same } else { *time < now - same };
        let end = if forward { end_s } else { 0.0 };
        self.seek(times.into_iter().find(beyond).unwrap_or(end), end_s);
        self.playing = false;
    }

    /// Let the time of a frame pass while it is played. `pace` is how much of the run passes in a second of the clock;
    /// where motion is reduced, a still of each event of `times` is shown instead.
    pub fn pass(&mut self, ctx: &Context, reduced_motion: bool, pace: f64, times: impl Fn() -> Vec<f64>, end_s: f64) {
        if !self.playing {
            return;
        }
        if reduced_motion {
            let now = ctx.input(|input| input.time);
            if now - self.still_since >= STILL_S {
                self.still_since = now;
                if self.cursor_s >= end_s {
                    self.seek(0.0, end_s);
                }
                self.step_to(times(), true, end_s);
                self.playing = true;
            }
            ctx.request_repaint_after(std::time::Duration::from_secs_f64(0.1));
        } else {
            let frame = f64::from(ctx.input(|input| input.stable_dt)).min(LONGEST_FRAME_S);
            self.tick(frame * pace, end_s);
            ctx.request_repaint();
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_shown_part_stays_within_the_run_however_it_is_moved() {
        let mut time = Playback::new((0.0, 10.0), 0.1, 0);
        time.show(95.0, 120.0, 100.0);
        assert_eq!(time.view_s, (75.0, 100.0));
        time.zoom(80.0, 1e9, 100.0);
        assert!((time.view_s.1 - time.view_s.0 - 0.1).abs() < 1e-9, "{:?}", time.view_s);
        time.seek(f64::INFINITY, 100.0);
        assert_eq!(time.cursor_s, 100.0);
        assert!(time.view_s.0 <= 100.0 && time.view_s.1 >= 100.0);
    }

    #[test]
    fn steps_go_from_event_to_event_and_to_the_ends() {
        let mut time = Playback::new((0.0, 100.0), 0.1, 0);
        let mut at = |forward| {
            time.step_to(vec![30.0, 10.0], forward, 100.0);
            time.cursor_s
        };
        assert_eq!(
            [at(true), at(true), at(true), at(false), at(false), at(false)],
            [10.0, 30.0, 100.0, 30.0, 10.0, 0.0]
        );
    }
}
