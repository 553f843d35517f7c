//! Where a learner stands with a live block: nothing here paints.

use super::runner::{BlockKey, Reply, Shown};
use super::sheet::Sheet;
use crate::learning::live::Live;
use crate::learning::prediction::Prediction;
use crate::learning::seen::Seen;
use std::sync::Arc;

/// How far a learner has come with a block.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Phase {
    /// Says what will happen; nothing is shown.
    Predict,
    /// Sees what happens.
    Observe,
    /// Reads why.
    Explain,
}

/// What the learner does to a block.
#[derive(Debug, Clone)]
pub enum Deed {
    /// Choose an answer.
    Choose(usize),
    /// Draw: a place of the sheet and its value, SI.
    Draw(usize, f64),
    /// Take a drawn place away.
    Rub(usize),
    /// The place that the keyboard moves.
    Hold(usize),
    /// Begin the sheet anew.
    Wipe,
    /// Stand by the prediction: the run may be seen.
    Commit,
    /// Ask why.
    Explain,
    /// Another value of a freed setting, SI.
    Turn(usize, f64),
    /// The values as the lesson gives them.
    Back,
    /// The whole block anew, with another prediction.
    Anew,
    /// Play or pause.
    TogglePlay,
    /// Index of the speed.
    Speed(usize),
    /// Cursor to a time, s.
    Seek(f64),
    /// Cursor by so many steps.
    Step(f64),
    /// Cursor to the next event, or the one before.
    ToEvent(bool),
}

/// A live block with what the learner did.
pub struct Block {
    /// Name towards the runner.
    pub key: BlockKey,
    /// How far it has come.
    pub phase: Phase,
    /// The chosen answer.
    pub chosen: Option<usize>,
    /// The drawn curve.
    pub sheet: Option<Sheet>,
    /// Values of the freed settings that were turned.
    pub values: Vec<Option<f64>>,
    /// Number of the newest request.
    pub revision: u64,
    /// Number of the newest request that was answered.
    pub answered: u64,
    /// Whether a run must be asked for.
    pub stale: bool,
    /// The newest run.
    pub shown: Option<Arc<Shown>>,
    /// The run as the lesson gives it; the prediction is held against this one.
    pub first: Option<Arc<Shown>>,
    /// Why the newest request brought no run.
    pub error: Option<String>,
    /// Time shown, s after the pedal begins to move or the engine stops.
    pub cursor_s: f64,
    /// Whether time passes.
    pub playing: bool,
    /// Index into the speeds.
    pub speed: usize,
}

/// Names of the speeds.
pub const SPEEDS: usize = 3;
/// Time before the pedal moves that is shown, s.
const BEFORE_S: f64 = 0.1;

impl Block {
    /// A block that nobody has touched.
    pub fn new(key: BlockKey, live: &Live) -> Self {
        let sheet = match &live.prediction {
            Prediction::Sketch(sketch) => Some(Sheet::new(sketch)),
            Prediction::Choice { .. } => None,
        };
        Self {
            key,
            phase: Phase::Predict,
            chosen: None,
            sheet,
            values: vec![None; live.free.len()],
            revision: 0,
            answered: 0,
            stale: false,
            shown: None,
            first: None,
            error: None,
            cursor_s: 0.0,
            playing: false,
            speed: 1,
        }
    }

    /// Whether there is a prediction to stand by.
    pub fn can_commit(&self) -> bool {
        self.chosen.is_some() || self.sheet.as_ref().is_some_and(Sheet::is_drawn)
    }

    /// Whether the shown run is older than the settings.
    pub fn waiting(&self) -> bool {
        self.stale || self.answered < self.revision
    }

    /// Whether a freed setting differs from what the lesson gives.
    pub fn is_turned(&self) -> bool {
        self.values.iter().any(Option::is_some)
    }

    /// Times between which the run is shown: as far as the sheet goes, where one was drawn on.
    pub fn span_s(&self) -> (f64, f64) {
        let (from, to) = self.whole_s();
        match self.sheet.as_ref().map(Sheet::span_s) {
            Some((first, last)) if first < to && last > from => ((first - BEFORE_S).max(from), last.min(to)),
            _ => (from, to),
        }
    }

    fn whole_s(&self) -> (f64, f64) {
        let Some(shown) = &self.shown else { return (0.0, 1.0) };
        let end = |seen: &Seen| match seen {
            Seen::Stab(stab) => stab.run.trace.end_s() - stab.scenario.pedal.begin_s,
            Seen::Soak(soak) => soak.run.trace.samples.last().map_or(1.0, |sample| sample.time_s),
        };
        let to = shown.seen.iter().map(end).fold(0.1, f64::max);
        (if self.is_soak() { 0.0 } else { -BEFORE_S }, to)
    }

    /// Whether the engine stands in this block.
    pub fn is_soak(&self) -> bool {
        self.shown.as_ref().is_some_and(|shown| matches!(shown.seen.first(), Some(Seen::Soak(_))))
    }

    /// Seconds of the run in a second of the clock, and the name of that speed.
    pub fn pace(&self, index: usize) -> (f64, String) {
        const STAB: [(f64, &str); SPEEDS] = [(1.0, "1/1"), (0.25, "1/4"), (0.05, "1/20")];
        const SOAK: [f64; SPEEDS] = [600.0, 120.0, 30.0];
        let index = index.min(SPEEDS - 1);
        if self.is_soak() {
            (SOAK[index], format!("×{}", SOAK[index]))
        } else {
            (STAB[index].0, STAB[index].1.to_owned())
        }
    }

    /// Every event with its bench and name, in order of time.
    pub fn events(&self) -> Vec<(f64, usize, &'static str)> {
        let Some(shown) = &self.shown else { return Vec::new() };
        let of_bench = |(bench, seen): (usize, &Seen)| -> Vec<(f64, usize, &'static str)> {
            match seen {
                Seen::Stab(stab) => {
                    let begin = stab.scenario.pedal.begin_s;
                    stab.run.events.iter().map(|event| (event.time_s - begin, bench, event.kind.label())).collect()
                }
                Seen::Soak(soak) => {
                    let restart = (soak.run.trace.restart_s, bench, "Engine starts again");
                    let events = soak.run.events.iter().map(|event| (event.time_s, bench, event.kind.label()));
                    events.chain([restart]).collect()
                }
            }
        };
        let mut events: Vec<_> = shown.seen.iter().enumerate().flat_map(of_bench).collect();
        events.sort_by(|a, b| a.0.total_cmp(&b.0));
        events
    }

    /// Put the cursor at a time.
    pub fn seek(&mut self, time_s: f64) {
        let (from, to) = self.span_s();
        if !time_s.is_nan() {
            self.cursor_s = time_s.clamp(from, to);
        }
    }

    /// Step to the next event, or the one before.
    pub fn step_to_event(&mut self, forward: bool) {
        let (from, to) = self.span_s();
        let same = 2e-4 * (to - from);
        let now = self.cursor_s;
        let mut times: Vec<f64> = self.events().into_iter().map(|event| event.0).collect();
        if !forward {
            times.reverse();
        }
        let beyond = |time: &f64| if forward { *time > now + same } else { *time < now - same };
        let end = if forward { to } else { from };
        self.seek(times.into_iter().find(beyond).unwrap_or(end));
    }

    /// Let `dt` of real time pass; at the end of the run it stops there, so that the end can be read.
    pub fn tick(&mut self, dt: f64) {
        let (_, to) = self.span_s();
        self.cursor_s += dt * self.pace(self.speed).0;
        if self.cursor_s >= to {
            self.cursor_s = to;
            self.playing = false;
        }
    }

    /// Take in what has been run.
    pub fn receive(&mut self, reply: Reply) {
        if reply.revision <= self.answered {
            return;
        }
        self.answered = reply.revision;
        match reply.answer {
            Ok(shown) => {
                if self.first.is_none() {
                    self.first = Some(Arc::clone(&shown));
                }
                let is_new = self.shown.is_none();
                self.shown = Some(shown);
                self.error = None;
                let from = self.span_s().0;
                self.seek(if is_new { from } else { self.cursor_s });
            }
            Err(text) => self.error = Some(text),
        }
    }

    /// What the learner did.
    pub fn apply(&mut self, deed: Deed, live: &Live) {
        match deed {
            Deed::Choose(_) | Deed::Draw(..) | Deed::Rub(_) | Deed::Hold(_) | Deed::Wipe
                if self.phase != Phase::Predict => {}
            Deed::Choose(option) => self.chosen = Some(option),
            Deed::Draw(place, value) => self.on_sheet(|sheet| sheet.draw(place, value)),
            Deed::Rub(place) => self.on_sheet(|sheet| sheet.rub(place)),
            Deed::Hold(place) => self.on_sheet(|sheet| sheet.hold(place)),
            Deed::Wipe => self.on_sheet(Sheet::wipe),
            Deed::Commit if self.phase == Phase::Predict && self.can_commit() => {
                self.phase = Phase::Observe;
                self.ask();
            }
            Deed::Commit => {}
            Deed::Explain => self.phase = if self.shown.is_some() { Phase::Explain } else { self.phase },
            Deed::Turn(index, value) => {
                if let Some(slot) = self.values.get_mut(index) {
                    *slot = Some(value);
                    self.ask();
                }
            }
            Deed::Back => {
                self.values.fill(None);
                self.ask();
            }
            Deed::Anew => {
                *self = Self { revision: self.revision, answered: self.revision, ..Self::new(self.key, live) }
            }
            Deed::TogglePlay => self.toggle(),
            Deed::Speed(index) => self.speed = index.min(SPEEDS - 1),
            other => self.move_cursor(other),
        }
    }

    fn move_cursor(&mut self, deed: Deed) {
        const STAB_STEP_S: f64 = 0.002;
        const SOAK_STEP_S: f64 = 15.0;
        self.playing = false;
        match deed {
            Deed::Seek(time) => self.seek(time),
            Deed::Step(steps) => {
                let step = if self.is_soak() { SOAK_STEP_S } else { STAB_STEP_S };
                self.seek(self.cursor_s + steps * step);
            }
            Deed::ToEvent(forward) => self.step_to_event(forward),
            _ => {}
        }
    }

    fn on_sheet(&mut self, change: impl FnOnce(&mut Sheet)) {
        if let Some(sheet) = &mut self.sheet {
            change(sheet);
        }
    }

    fn toggle(&mut self) {
        let (from, to) = self.span_s();
        if self.phase == Phase::Predict || self.shown.is_none() {
            return;
        }
        if !self.playing && self.cursor_s >= to {
            self.cursor_s = from;
        }
        self.playing = !self.playing;
    }

    fn ask(&mut self) {
        self.revision += 1;
        self.stale = true;
    }
}
