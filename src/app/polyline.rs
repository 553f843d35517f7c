//! Curves as lines on the screen, with no more corners than the eye can tell, kept while nothing of them changes.

use super::paint::Series;
use super::track::Readings;
use super::worker::BenchId;
use eframe::egui::cache::{ComputerMut, FrameCache};
use eframe::egui::{Pos2, Rect, Shape, Ui, pos2};
use std::hash::{Hash, Hasher};

/// Farthest that a left-out corner may lie from the line, points.
const TOLERANCE: f32 = 0.2;

/// A curve and the place where it is painted.
#[derive(Clone, Copy)]
pub struct Line<'a> {
    /// Whose curve: bench and number of its run.
    pub of: (BenchId, u64),
    /// Which trace.
    pub panel: &'a str,
    /// Which of its curves.
    pub rank: usize,
    /// Its values.
    pub readings: &'a Readings,
    /// Times at the ends of the axis, s.
    pub view: (f64, f64),
    /// Values at the lower and upper end.
    pub range: (f64, f64),
    /// Where.
    pub plot: Rect,
    /// Colour and dashes.
    pub series: Series,
    /// Width, points.
    pub width: f32,
    /// Pixels a point of the screen.
    pub pixels_per_point: f32,
}

impl Hash for Line<'_> {
    fn hash<H: Hasher>(&self, state: &mut H) {
        (self.of, self.panel, self.rank).hash(state);
        [self.view.0, self.view.1, self.range.0, self.range.1].map(f64::to_bits).hash(state);
        [self.plot.min.x, self.plot.min.y, self.plot.max.x, self.plot.max.y].map(f32::to_bits).hash(state);
        (self.series.colour, self.series.index).hash(state);
        [self.width, self.pixels_per_point].map(f32::to_bits).hash(state);
    }
}

impl Line<'_> {
    fn x(&self, time_s: f64) -> f32 {
        let share = (time_s - self.view.0) / (self.view.1 - self.view.0);
        self.plot.left() + share as f32 * self.plot.width()
    }

    /// As it is painted.
    pub fn shape(self, ui: &Ui) -> Shape {
        ui.memory_mut(|memory| memory.caches.cache::<FrameCache<Shape, Painted>>().get(self).clone())
    }
}

/// Height of a value in a plot; values beyond the range stay just outside it.
pub fn height(plot: Rect, (least, most): (f64, f64), value: f64) -> f32 {
    let share = ((value - least) / (most - least)).clamp(-0.02, 1.02) as f32;
    plot.bottom() - 2.0 - share * (plot.height() - 4.0)
}

#[derive(Default)]
struct Painted;

impl ComputerMut<Line<'_>, Shape> for Painted {
    fn compute(&mut self, line: Line<'_>) -> Shape {
        let Readings { interval_s, values } = line.readings;
        // one value beyond each end, so that the line reaches the edge
        let place = |time_s: f64| ((time_s / interval_s).max(0.0) as usize).min(values.len());
        let (first, last) = (place(line.view.0), (place(line.view.1) + 2).min(values.len()));
        let points = (first..last).zip(&values[first..last]).filter(|(_, value)| value.is_finite());
        let points =
            points.map(|(at, value)| pos2(line.x(at as f64 * interval_s), height(line.plot, line.range, *value)));
        line.series.line(thinned(points, TOLERANCE), line.width, line.pixels_per_point)
    }
}

/// A line through `points`, which run from left to right, without the corners that lie on the way.
fn thinned(points: impl IntoIterator<Item = Pos2>, tolerance: f32) -> Vec<Pos2> {
    let mut kept: Vec<Pos2> = Vec::new();
    let mut last: Option<Pos2> = None;
    // slopes from the last kept corner that pass every point since then
    let (mut low, mut high) = (f32::NEG_INFINITY, f32::INFINITY);
    for point in points {
        if let (Some(anchor), Some(before)) = (kept.last().copied(), last) {
            let way = (point.x - anchor.x).max(1e-6);
            let slope = (point.y - anchor.y) / way;
            if slope < low || slope > high {
                kept.push(before);
                let way = (point.x - before.x).max(1e-6);
                low = (point.y - before.y - tolerance) / way;
                high = (point.y - before.y + tolerance) / way;
            } else {
                low = low.max(slope - tolerance / way);
                high = high.min(slope + tolerance / way);
            }
        } else {
            kept.push(point);
        }
        last = Some(point);
    }
    if let Some(point) = last.filter(|point| kept.last() != Some(point)) {
        kept.push(point);
    }
    kept
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_straight_line_needs_two_corners_and_a_step_keeps_its_own() {
        let straight = thinned((0..1000).map(|i| pos2(i as f32 * 0.1, 5.0 + i as f32 * 0.02)), 0.2);
        assert_eq!(straight.len(), 2);
        let step = thinned((0..1000).map(|i| pos2(i as f32, if i < 500 { 0.0 } else { 40.0 })), 0.2);
        assert_eq!(step, [pos2(0.0, 0.0), pos2(499.0, 0.0), pos2(500.0, 40.0), pos2(999.0, 40.0)]);
    }

    #[test]
    fn no_left_out_corner_is_farther_away_than_can_be_seen() {
        let wave: Vec<Pos2> = (0..2000).map(|i| pos2(i as f32 * 0.4, 30.0 * (i as f32 * 0.02).sin())).collect();
        let kept = thinned(wave.iter().copied(), TOLERANCE);
        assert!(kept.len() < 300, "{}", kept.len());
        for point in wave {
            let after = kept.partition_point(|k| k.x < point.x).clamp(1, kept.len() - 1);
            let (a, b) = (kept[after - 1], kept[after]);
            let y = a.y + (b.y - a.y) * (point.x - a.x) / (b.x - a.x);
            assert!((y - point.y).abs() < 2.0 * TOLERANCE, "{point:?}: {y}");
        }
    }

    #[test]
    fn nothing_gives_nothing() {
        assert!(thinned([], 0.2).is_empty());
        assert_eq!(thinned([pos2(1.0, 1.0)], 0.2).len(), 1);
    }
}
