//! Line charts and empty frames to sketch in. A line is known by its dash and by its name at its end, then by its colour.

use crate::bench::sweep::contour::{decimals, levels};
use crate::report::document::{Axis, Chart, Series, Text};
use crate::report::ink::{HAIR, INK, Pen, WEAK, series};
use crate::report::lines::{Compositor, Line, Type};
use crate::report::page::Mark;
use crate::report::spread::apart;
use glam::{DVec2, dvec2};

/// Figures and names.
const SMALL: Type = Type { size_pt: 7.6, leading_pt: 9.4, colour: WEAK, strong: false };
const NAME: Type = Type { colour: INK, ..SMALL };
const HEAD: Type = Type { size_pt: 8.2, leading_pt: 11.0, colour: INK, strong: true };
/// Between a frame and what stands beside it.
const GAP_PT: f64 = 4.0;
/// Share of the width that names of lines may take.
const NAMES_SHARE: f64 = 0.3;
/// Most lines of a name.
const MOST_LINES: usize = 3;
/// Values with a figure: upwards, and points of width for each to the right.
const FIGURES_UP: usize = 4;
const POINTS_PER_FIGURE: f64 = 58.0;

/// The chart in a width, from its upper left corner, and its height.
pub fn marks(compositor: &mut Compositor<'_>, chart: &Chart, width_pt: f64) -> (Vec<Mark>, f64) {
    let (across, up) = (sound(&chart.across), sound(&chart.up));
    let ticks = figures(&up, FIGURES_UP);
    let tick_lines: Vec<Line> = ticks.iter().map(|(_, text)| compositor.line(text, &SMALL)).collect();
    let left = tick_lines.iter().map(|line| line.width_pt).fold(0.0, f64::max) + GAP_PT;
    let names: Vec<Vec<Line>> =
        chart.series.iter().map(|series| brief(compositor, &series.name, &NAME, NAMES_SHARE * width_pt)).collect();
    let names_width = names.iter().flatten().map(|line| line.width_pt).fold(0.0, f64::max);
    let right = if names_width > 0.0 { names_width + 4.0 * GAP_PT } else { 2.0 * GAP_PT };
    let head = brief(compositor, &chart.up.label, &HEAD, width_pt);
    let top = head.len() as f64 * HEAD.leading_pt + 1.5 * GAP_PT;
    let size = dvec2((width_pt - left - right).max(10.0), chart.height_pt);
    let plot = Plot { corner: dvec2(left, top), size, edge: width_pt, across, up };

    let mut marks = Vec::new();
    for (row, line) in head.into_iter().enumerate() {
        put(&mut marks, line, dvec2(0.0, HEAD.base_pt() + row as f64 * HEAD.leading_pt));
    }
    for ((value, _), line) in ticks.iter().zip(tick_lines) {
        let y = plot.y(*value);
        marks.push(Mark::level(dvec2(left, y), size.x, Pen::of(HAIR, 0.3)));
        let place = dvec2(left - GAP_PT - line.width_pt, y + 0.35 * SMALL.size_pt);
        put(&mut marks, line, place);
    }
    let bottom = plot.bottom_ticks(compositor, &mut marks, &chart.across.label);
    for level in &chart.levels {
        plot.level(compositor, &mut marks, &level.name, level.value);
    }
    marks.push(Mark::framed(plot.corner, size, Pen::of(INK, 0.6)));
    for series in &chart.series {
        plot.line(&mut marks, series);
    }
    plot.names(&mut marks, &chart.series, names);
    (marks, bottom)
}

/// A name on few lines: what a chart has no room for is left out.
fn brief(compositor: &mut Compositor<'_>, name: &str, style: &Type, width_pt: f64) -> Vec<Line> {
    let mut lines = compositor.lines(&Text::plain(name), style, width_pt);
    lines.truncate(MOST_LINES);
    lines
}

/// A line of words at the left end of its base line.
pub fn put(marks: &mut Vec<Mark>, line: Line, at: DVec2) {
    marks.extend(line.words.into_iter().map(|mut words| {
        words.at += at;
        Mark::Words(words)
    }));
}

/// An axis that has an extent.
fn sound(axis: &Axis) -> Axis {
    let is_sound = axis.least.is_finite() && axis.most.is_finite() && axis.most > axis.least;
    if is_sound { axis.clone() } else { Axis { label: axis.label.clone(), least: 0.0, most: 1.0 } }
}

/// Round values with their text, the ends among them.
fn figures(axis: &Axis, count: usize) -> Vec<(f64, String)> {
    let width = axis.most - axis.least;
    let round = levels(axis.least - 1e-6 * width, axis.most + 1e-6 * width, count);
    let decimals = decimals(&round);
    let text = |value: f64| {
        let text = format!("{value:.decimals$}");
        if text.trim_start_matches(['-', '0', '.']).is_empty() { "0".to_owned() } else { text }
    };
    round.into_iter().map(|value| (value, text(value))).collect()
}

/// The frame and its axes.
struct Plot {
    corner: DVec2,
    size: DVec2,
    /// Right end of what the chart may fill.
    edge: f64,
    across: Axis,
    up: Axis,
}

impl Plot {
    fn x(&self, value: f64) -> f64 {
        self.corner.x + self.size.x * (value - self.across.least) / (self.across.most - self.across.least)
    }

    fn y(&self, value: f64) -> f64 {
        self.corner.y + self.size.y * (self.up.most - value) / (self.up.most - self.up.least)
    }

    fn bottom(&self) -> f64 {
        self.corner.y + self.size.y
    }

    /// Figures under the frame and what they measure; gives the height down to there.
    fn bottom_ticks(&self, compositor: &mut Compositor<'_>, marks: &mut Vec<Mark>, label: &str) -> f64 {
        let count = ((self.size.x / POINTS_PER_FIGURE) as usize).clamp(2, 10);
        let base = self.bottom() + GAP_PT + SMALL.size_pt;
        for (value, text) in figures(&self.across, count) {
            let x = self.x(value);
            let line = compositor.line(&text, &SMALL);
            marks.push(Mark::Line(vec![dvec2(x, self.bottom()), dvec2(x, self.bottom() + 2.5)], Pen::of(INK, 0.5)));
            let place = dvec2((x - 0.5 * line.width_pt).min(self.edge - line.width_pt), base);
            put(marks, line, place);
        }
        let right = self.corner.x + self.size.x;
        let mut end = base;
        for line in brief(compositor, label, &SMALL, right) {
            end += SMALL.leading_pt;
            let place = dvec2((right - line.width_pt).max(0.0), end);
            put(marks, line, place);
        }
        end + GAP_PT
    }

    fn level(&self, compositor: &mut Compositor<'_>, marks: &mut Vec<Mark>, name: &str, value: f64) {
        if !(value > self.up.least && value < self.up.most) {
            return;
        }
        let y = self.y(value);
        marks.push(Mark::level(dvec2(self.corner.x, y), self.size.x, Pen { dash: &[2.5, 2.5], ..Pen::of(WEAK, 0.6) }));
        let Some(line) = brief(compositor, name, &SMALL, self.size.x - 2.0 * GAP_PT).into_iter().next() else { return };
        let right = self.corner.x + self.size.x - line.width_pt - GAP_PT;
        let base = if y - SMALL.leading_pt < self.corner.y { y + SMALL.size_pt } else { y - 2.0 };
        // lines have mostly settled where they end
        put(marks, line, dvec2(right, base));
    }

    fn line(&self, marks: &mut Vec<Mark>, line: &Series) {
        for run in self.inside(&line.points) {
            marks.push(Mark::Line(run, series(line.place)));
        }
    }

    /// The parts of a line within the frame.
    fn inside(&self, points: &[(f64, f64)]) -> Vec<Vec<DVec2>> {
        let (low, high) = (self.corner, self.corner + self.size);
        let mut runs: Vec<Vec<DVec2>> = Vec::new();
        let mut end = None;
        for pair in points.windows(2) {
            let [a, b] = [pair[0], pair[1]].map(|(x, y)| dvec2(self.x(x), self.y(y)));
            let Some((from, to)) = cut(a, b, low, high).filter(|_| a.is_finite() && b.is_finite()) else {
                end = None;
                continue;
            };
            if end != Some(from) {
                runs.push(vec![from]);
            }
            if let Some(run) = runs.last_mut() {
                run.push(to);
            }
            end = Some(to);
        }
        runs
    }

    /// Names at the right, each with a thread to the end of its line.
    fn names(&self, marks: &mut Vec<Mark>, lines: &[Series], names: Vec<Vec<Line>>) {
        let ends: Vec<Option<DVec2>> =
            lines.iter().map(|line| self.inside(&line.points).last().and_then(|run| run.last().copied())).collect();
        let middle = self.corner.y + 0.5 * self.size.y;
        let wishes: Vec<f64> = ends.iter().map(|end| end.map_or(middle, |end| end.y)).collect();
        let rows = names.iter().map(Vec::len).max().unwrap_or(1).max(1) as f64;
        let pitch = rows * NAME.leading_pt + 1.0;
        let places = apart(&wishes, pitch, (self.corner.y + 3.0, self.bottom() - 3.0));
        let right = self.corner.x + self.size.x;
        let x = right + 4.0 * GAP_PT;
        for (((end, line), place), rows) in ends.iter().zip(lines).zip(places).zip(names) {
            let pen = Pen { width_pt: 0.8, ..series(line.place) };
            let from = end.unwrap_or(dvec2(right, place));
            marks.push(Mark::Line(vec![from.max(dvec2(right, 0.0)), dvec2(x - 2.0, place)], pen));
            let first = place - 0.5 * (rows.len() as f64 - 1.0) * NAME.leading_pt + 0.35 * NAME.size_pt;
            for (row, words) in rows.into_iter().enumerate() {
                put(marks, words, dvec2(x, first + row as f64 * NAME.leading_pt));
            }
        }
    }
}

/// The part of a straight line inside a box: the parameters of its ends are narrowed side by side (Liang and Barsky
/// 1984, ACM Transactions on Graphics 3, 1; from memory).
fn cut(a: DVec2, b: DVec2, low: DVec2, high: DVec2) -> Option<(DVec2, DVec2)> {
    let way = b - a;
    let (mut first, mut last) = (0.0_f64, 1.0_f64);
    for (step, room) in [(-way.x, a.x - low.x), (way.x, high.x - a.x), (-way.y, a.y - low.y), (way.y, high.y - a.y)] {
        if step == 0.0 {
            if room < -1e-9 {
                return None;
            }
        } else if step < 0.0 {
            first = first.max(room / step);
        } else {
            last = last.min(room / step);
        }
    }
    let at = |share: f64| if share == 1.0 { b } else { a + way * share };
    (first <= last).then(|| (at(first), at(last)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_are_cut_at_the_frame() {
        let (low, high) = (dvec2(0.0, 0.0), dvec2(10.0, 10.0));
        assert_eq!(cut(dvec2(-5.0, 5.0), dvec2(15.0, 5.0), low, high), Some((dvec2(0.0, 5.0), dvec2(10.0, 5.0))));
        assert_eq!(
            cut(dvec2(2.0, 2.0), dvec2(4.0, 14.0), low, high),
            Some((dvec2(2.0, 2.0), dvec2(2.0 + 8.0 / 6.0, 10.0)))
        );
        assert_eq!(cut(dvec2(-5.0, 5.0), dvec2(-1.0, 5.0), low, high), None);
        assert_eq!(cut(dvec2(1.0, 11.0), dvec2(9.0, 11.0), low, high), None);
    }

    #[test]
    fn figures_are_round_and_inside() {
        let axis = Axis { label: String::new(), least: 0.5, most: 1.7 };
        let figures: Vec<String> = figures(&axis, 4).into_iter().map(|(_, text)| text).collect();
        assert_eq!(figures, ["0.6", "0.8", "1.0", "1.2", "1.4", "1.6"]);
    }
}
