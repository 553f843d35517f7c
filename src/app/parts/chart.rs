//! Curves against a setting, for a bench on which no time passes: columns of charts, each column on one axis.

use crate::app::actions::Action;
use crate::app::paint::{MARKER_NAMES, Series, fitted_text, focus_ring};
use crate::app::polyline::height;
use crate::app::theme::{Palette, bold};
use crate::settings::grouped::Place;
use crate::units::{Quantity, UnitSystem};
use eframe::egui::accesskit::Role;
use eframe::egui::{
    Align2, FontId, Painter, Pos2, Rect, Response, Sense, Shape, Stroke, StrokeKind, TextStyle, Ui, WidgetInfo, pos2,
    vec2,
};

/// Charts under each other on one axis.
#[derive(Debug, Clone)]
pub struct Column {
    /// What runs along the axis.
    pub label: &'static str,
    /// How it is measured.
    pub quantity: Quantity,
    /// Values at the ends of the axis, SI.
    pub view: (f64, f64),
    /// The setting that the axis is: a click on a chart sets it.
    pub place: Option<Place>,
    /// Where each bench stands on it.
    pub present: Vec<Option<f64>>,
    /// Places on the axis that have a name.
    pub marks: Vec<Mark>,
    /// From the top down.
    pub charts: Vec<Chart>,
}

/// A named place on an axis.
#[derive(Debug, Clone)]
pub struct Mark {
    /// Whose.
    pub bench: usize,
    /// Where, SI.
    pub at: f64,
    /// What is there.
    pub word: &'static str,
}

/// One chart.
#[derive(Debug, Clone)]
pub struct Chart {
    /// As shown.
    pub title: &'static str,
    /// How its heights are measured.
    pub quantity: Quantity,
    /// Heights at the ends, SI.
    pub range: (f64, f64),
    /// Limits beyond which the ground is shaded: below, above, with a word each.
    pub limits: Option<[(f64, &'static str); 2]>,
    /// The lines.
    pub curves: Vec<Curve>,
}

/// One line.
#[derive(Debug, Clone)]
pub struct Curve {
    /// Whose.
    pub bench: usize,
    /// Told from other lines of its bench by width; the first is the heaviest.
    pub rank: usize,
    /// What it is where a bench has several.
    pub label: &'static str,
    /// Place and height, SI; `None` where there is none.
    pub points: Vec<(f64, Option<f64>)>,
}

impl Curve {
    /// The height at a place, straight between two points.
    fn at(&self, place: f64) -> Option<f64> {
        let after =
            self.points.partition_point(|(x, _)| *x < place).clamp(1, self.points.len().saturating_sub(1).max(1));
        let (a, b) = (self.points.get(after - 1)?, self.points.get(after)?);
        let share = ((place - a.0) / (b.0 - a.0)).clamp(0.0, 1.0);
        let (low, high) = (a.1?, b.1?);
        Some(low + (high - low) * share)
    }
}

/// Least and greatest height of some lines; always some height.
pub fn range(curves: &[Curve], with: (f64, f64)) -> (f64, f64) {
    let values = curves.iter().flat_map(|curve| &curve.points).filter_map(|(_, value)| *value);
    let (least, most) = values.fold(with, |(least, most), value| (least.min(value), most.max(value)));
    if most - least > 1e-12 { (least, most) } else { (least, least + 1.0) }
}

/// Room right of a chart for the values at its ends, over the size of the letters.
const GUTTER: f32 = 4.6;

/// Every column beside the others, and under each other where they would be too narrow.
pub fn show(ui: &mut Ui, columns: &[Column], units: UnitSystem, actions: &mut Vec<Action>) {
    const GAP: f32 = 18.0;
    let count = columns.len().max(1) as f32;
    let small = ui.text_style_height(&TextStyle::Small);
    let whole = ui.available_rect_before_wrap();
    let narrow = whole.width() / count < small * 14.0;
    let across = if narrow { 1.0 } else { count };
    let width = (whole.width() - GAP * (across - 1.0)) / across;
    // a chart that is lower than this tells nothing: then one scrolls
    let least = columns.iter().map(|column| small * (2.6 + 5.0 * column.charts.len() as f32)).fold(0.0, f32::max);
    let high = if narrow { least } else { whole.height().max(least) };
    eframe::egui::ScrollArea::vertical().id_salt("charts").auto_shrink([false, false]).show(ui, |ui| {
        let (area, _) = ui.allocate_exact_size(
            vec2(whole.width(), if narrow { (high + GAP) * count } else { high - 2.0 }),
            Sense::hover(),
        );
        for (index, column) in columns.iter().enumerate() {
            let step =
                if narrow { vec2(0.0, (high + GAP) * index as f32) } else { vec2((width + GAP) * index as f32, 0.0) };
            let size = vec2(width, if narrow { high } else { area.height() });
            column.show(ui, Rect::from_min_size(area.min + step, size), index, units, actions);
        }
    });
}

impl Column {
    fn show(&self, ui: &Ui, rect: Rect, index: usize, units: UnitSystem, actions: &mut Vec<Action>) {
        let palette = Palette::of(ui.visuals());
        let font = TextStyle::Small.resolve(ui.style());
        let line = ui.text_style_height(&TextStyle::Small);
        let feet = rect.with_min_y(rect.bottom() - line);
        let high = (feet.top() - rect.top()) / self.charts.len().max(1) as f32;
        let painter = ui.painter_at(rect.expand(2.0));
        for (row, chart) in self.charts.iter().enumerate() {
            let place = Rect::from_min_size(rect.min + vec2(0.0, row as f32 * high), vec2(rect.width(), high - 3.0));
            let sense = if self.place.is_some() { Sense::click_and_drag() } else { Sense::click() };
            let response = ui.interact(place, ui.scope_id().with(("chart", index, row)), sense);
            let spoken = self.spoken(chart, units);
            response.widget_info(|| WidgetInfo::labeled(Role::Image, true, &spoken));
            let plot = place.with_min_y(place.top() + line + 1.0).with_max_x(place.right() - font.size * GUTTER);
            self.chart(ui, &painter, chart, (place, plot), &font, units, row == 0);
            self.turn(&response, plot, actions);
            focus_ring(&painter, &response, palette);
        }
        let feet = feet.with_max_x(feet.right() - font.size * GUTTER);
        for (anchor, value) in [(Align2::LEFT_CENTER, self.view.0), (Align2::RIGHT_CENTER, self.view.1)] {
            fitted_text(&painter, feet, anchor, &self.quantity.show(value, units), font.clone(), palette.weak);
        }
        let room = feet.shrink2(vec2(font.size * 4.2, 0.0));
        fitted_text(&painter, room, Align2::CENTER_CENTER, self.label, font, palette.ink);
    }

    /// A click sets what the axis is.
    fn turn(&self, response: &Response, plot: Rect, actions: &mut Vec<Action>) {
        let Some(place) = self.place else { return };
        if let Some(at) = response.interact_pointer_pos().filter(|_| response.clicked() || response.dragged()) {
            let share = f64::from(((at.x - plot.left()) / plot.width()).clamp(0.0, 1.0));
            actions.push(Action::Set(place, self.view.0 + (self.view.1 - self.view.0) * share));
        }
        if response.drag_stopped() || response.clicked() {
            actions.push(Action::EndOfGesture);
        }
    }

    fn x(&self, plot: Rect, value: f64) -> f32 {
        let share = ((value - self.view.0) / (self.view.1 - self.view.0)).clamp(0.0, 1.0);
        plot.left() + share as f32 * plot.width()
    }

    #[expect(clippy::too_many_arguments, reason = "what is painted, where and how")]
    fn chart(
        &self,
        ui: &Ui,
        painter: &Painter,
        chart: &Chart,
        (place, plot): (Rect, Rect),
        font: &FontId,
        units: UnitSystem,
        first: bool,
    ) {
        let palette = Palette::of(ui.visuals());
        let head = place.with_max_y(plot.top());
        let face = FontId::new(font.size, bold());
        fitted_text(painter, head, Align2::LEFT_TOP, chart.title, face, palette.ink);
        painter.rect_filled(plot, 0.0, palette.sheet);
        for ((at, _), above) in chart.limits.iter().flatten().zip([false, true]) {
            let y = height(plot, chart.range, *at).clamp(plot.top(), plot.bottom());
            let band = if above { plot.with_max_y(y) } else { plot.with_min_y(y) };
            let colour = if above { palette.heat } else { palette.fuel };
            painter.rect_filled(band, 0.0, colour.gamma_multiply(0.12));
        }
        painter.rect_stroke(plot, 0.0, Stroke::new(1.0, palette.hair), StrokeKind::Inside);
        for mark in &self.marks {
            self.mark(painter, mark, plot, font, palette, first);
        }
        // what is beyond the range leaves the picture
        let clipped = painter.with_clip_rect(plot.intersect(painter.clip_rect()));
        for curve in &chart.curves {
            let series = Series::of(palette, curve.bench);
            let width = if curve.rank == 0 { 2.0 } else { 1.0 };
            for part in self.pieces(curve, plot, chart.range) {
                clipped.add(series.line(part, width, ui.pixels_per_point()));
            }
        }
        self.words(painter, chart, plot, font, palette);
        for curve in &chart.curves {
            let Some(present) = self.present.get(curve.bench).copied().flatten() else { continue };
            if let Some(value) = curve.at(present).filter(|value| (chart.range.0..=chart.range.1).contains(value)) {
                let at = pos2(self.x(plot, present), height(plot, chart.range, value));
                Series::of(palette, curve.bench).marker(
                    painter,
                    at,
                    if curve.rank == 0 { 4.4 } else { 3.0 },
                    palette.ink,
                );
            }
        }
        let room = Rect::from_min_max(plot.right_top() + vec2(4.0, 0.0), pos2(place.right(), plot.bottom()));
        for (anchor, value) in [(Align2::LEFT_TOP, chart.range.1), (Align2::LEFT_BOTTOM, chart.range.0)] {
            fitted_text(painter, room, anchor, &chart.quantity.show(value, units), font.clone(), palette.weak);
        }
    }

    /// What lies beyond the limits, over the curves and on a ground of its own.
    fn words(&self, painter: &Painter, chart: &Chart, plot: Rect, font: &FontId, palette: &Palette) {
        for ((at, word), above) in chart.limits.iter().flatten().zip([false, true]) {
            let y = height(plot, chart.range, *at).clamp(plot.top(), plot.bottom());
            let band = if above { plot.with_max_y(y) } else { plot.with_min_y(y) };
            if band.height() <= font.size {
                continue;
            }
            let colour = if above { palette.heat } else { palette.fuel };
            let words = painter.layout_no_wrap((*word).to_owned(), font.clone(), colour);
            let anchor = if above { Align2::RIGHT_TOP } else { Align2::RIGHT_BOTTOM };
            let place = anchor.align_size_within_rect(words.size(), band.shrink2(vec2(4.0, 0.0)));
            painter.rect_filled(place.expand(1.0), 2.0, palette.sheet.gamma_multiply(0.82));
            painter.galley(place.min, words, colour);
        }
    }

    /// Benches that share a place share its word.
    fn is_said(&self, mark: &Mark) -> bool {
        let same = |other: &Mark| other.word == mark.word && (other.at - mark.at).abs() < 1e-9;
        self.marks.iter().find(|other| same(other)).is_some_and(|first| first.bench != mark.bench)
    }

    fn mark(&self, painter: &Painter, mark: &Mark, plot: Rect, font: &FontId, palette: &Palette, first: bool) {
        if !(self.view.0..=self.view.1).contains(&mark.at) {
            return;
        }
        let x = self.x(plot, mark.at);
        let series = Series::of(palette, mark.bench);
        let stroke = Stroke::new(1.0, series.colour);
        painter.extend(Shape::dashed_line(&[pos2(x, plot.top()), pos2(x, plot.bottom())], stroke, 2.0, 3.0));
        if first && !self.is_said(mark) {
            let y = plot.bottom() - font.size * (1.2 * mark.bench as f32 + 1.9);
            let left = x + 0.5 * plot.width() > plot.right();
            let room = if left { plot.with_max_x(x - 3.0) } else { plot.with_min_x(x + 3.0) };
            let line = Rect::from_min_max(pos2(room.left() + 2.0, y), pos2(room.right() - 2.0, y + font.size * 1.2));
            let anchor = if left { Align2::RIGHT_CENTER } else { Align2::LEFT_CENTER };
            fitted_text(painter, line, anchor, mark.word, font.clone(), palette.ink);
        }
    }

    /// A curve without its gaps.
    fn pieces(&self, curve: &Curve, plot: Rect, range: (f64, f64)) -> Vec<Vec<Pos2>> {
        let inside = |x: f64| x >= self.view.0 - 1e-9 && x <= self.view.1 + 1e-9;
        curve
            .points
            .split(|(x, value)| value.is_none() || !inside(*x))
            .filter(|piece| piece.len() > 1)
            .map(|piece| {
                let point =
                    |(x, value): &(f64, Option<f64>)| Some(pos2(self.x(plot, *x), height(plot, range, (*value)?)));
                piece.iter().filter_map(point).collect()
            })
            .collect()
    }

    fn spoken(&self, chart: &Chart, units: UnitSystem) -> String {
        let mut spoken = format!("{} against {}", chart.title, self.label.to_lowercase());
        for curve in &chart.curves {
            let Some(present) = self.present.get(curve.bench).copied().flatten() else { continue };
            let at = self.quantity.show(present, units);
            let value = curve.at(present).map_or("none".to_owned(), |value| chart.quantity.show(value, units));
            let label = if curve.label.is_empty() { String::new() } else { format!("{} ", curve.label) };
            spoken.push_str(&format!("; {}: {label}{value} at {at}", MARKER_NAMES[curve.bench % 4]));
        }
        for mark in &self.marks {
            let at = self.quantity.show(mark.at, units);
            spoken.push_str(&format!("; {}: {} from {at}", MARKER_NAMES[mark.bench % 4], mark.word));
        }
        spoken
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_curve_is_read_between_its_points_and_not_across_a_gap() {
        let points = vec![(0.0, Some(1.0)), (1.0, Some(3.0)), (2.0, None), (3.0, Some(5.0))];
        let curve = Curve { bench: 0, rank: 0, label: "", points };
        assert_eq!([0.5, 1.0, 1.5, 2.5].map(|at| curve.at(at)), [Some(2.0), Some(3.0), None, None]);
        let none = Curve { points: Vec::new(), ..curve };
        assert_eq!(none.at(1.0), None);
    }
}
