//! Mixture or pull of both sides over time, under the large sections.

use super::answer::Answer;
use super::{Move, Wish};
use crate::app::paint::{Series, canvas, fitted_text, focus_ring};
use crate::app::preferences::Preferences;
use crate::app::theme::{Palette, bold};
use crate::app::worker::Outcome;
use crate::engine::torque::{LEAN_LIMIT, RICH_LIMIT};
use crate::units::Quantity;
use eframe::egui::accesskit::Role;
use eframe::egui::{Align2, FontId, Painter, Pos2, Rect, Sense, Stroke, StrokeKind, TextStyle, Ui, pos2, vec2};

/// Places at which a line is read.
const READ: usize = 320;
/// λ that is shown.
const LAMBDA: (f64, f64) = (0.5, 1.7);
/// Room above the greatest torque and below the least, as a factor.
const ROOM: f64 = 1.06;

/// What is shown, and when.
#[derive(Debug, Clone, Copy)]
pub struct Shown {
    /// Torque, not λ.
    pub torque: bool,
    /// The instant, s.
    pub cursor_s: f64,
    /// When the pedal begins to move, s.
    pub begin_s: f64,
    /// From when to when, s.
    pub span_s: (f64, f64),
}

impl Shown {
    fn value(&self, outcome: &Outcome, at_s: f64) -> f64 {
        let sample = outcome.run.trace.at(at_s);
        if self.torque { sample.torque_nm } else { sample.lambda }
    }

    fn title(&self) -> &'static str {
        if self.torque {
            "The engine's pull (torque)"
        } else {
            "Air against fuel (λ): the engine stumbles where it is too lean or too rich"
        }
    }
}

/// The frame, and where a time and a value stand in it.
struct Frame {
    plot: Rect,
    span_s: (f64, f64),
    range: (f64, f64),
}

impl Frame {
    fn x(&self, at_s: f64) -> f32 {
        let (from, to) = self.span_s;
        self.plot.left() + ((at_s - from) / (to - from)) as f32 * self.plot.width()
    }

    fn y(&self, value: f64) -> f32 {
        let (least, most) = self.range;
        self.plot.bottom() - ((value - least) / (most - least)) as f32 * self.plot.height()
    }

    /// The nearest height in the frame.
    fn y_inside(&self, value: f64) -> f32 {
        self.y(value).clamp(self.plot.top(), self.plot.bottom())
    }

    fn time(&self, place: Pos2) -> f64 {
        let share = f64::from((place.x - self.plot.left()) / self.plot.width()).clamp(0.0, 1.0);
        self.span_s.0 + share * (self.span_s.1 - self.span_s.0)
    }
}

/// One line a side.
pub fn show(ui: &mut Ui, rect: Rect, answer: &Answer, shown: Shown, preferences: &Preferences, wishes: &mut Vec<Wish>) {
    let palette = Palette::of(ui.visuals());
    let font = TextStyle::Small.resolve(ui.style());
    let response = ui.allocate_rect(rect, Sense::click_and_drag());
    let painter = ui.painter_at(rect);
    let torques = || answer.sides.iter().flat_map(|(_, one)| one.run.trace.samples.iter().map(|one| one.torque_nm));
    let (least, most) = (torques().fold(0.0, f64::min), torques().fold(1.0, f64::max));
    let frame = Frame {
        // room for the words of the levels at the left, for the names at the right
        plot: Rect::from_min_max(
            rect.min + vec2(font.size * 5.0, font.size * 1.5),
            rect.max - vec2(font.size * 9.0, font.size * 0.6),
        ),
        span_s: shown.span_s,
        range: if shown.torque { (ROOM * least, ROOM * most) } else { LAMBDA },
    };
    let line = Rect::from_min_max(rect.min, pos2(rect.right(), frame.plot.top()));
    let title_font = FontId::new(font.size, bold());
    fitted_text(&painter, line, Align2::LEFT_CENTER, shown.title(), title_font, palette.ink);
    painter.rect_stroke(frame.plot, 0.0, Stroke::new(1.0, palette.hair), StrokeKind::Inside);
    let most_shown = Quantity::Torque.show(most, preferences.units);
    let levels: &[(&str, f64)] = if shown.torque {
        &[("no pull", 0.0), (&most_shown, most)]
    } else {
        &[("too lean", LEAN_LIMIT), ("exact", 1.0), ("too rich", RICH_LIMIT)]
    };
    for (word, value) in levels {
        let y = frame.y(*value);
        painter.hline(frame.plot.x_range(), y, Stroke::new(1.0, palette.hair));
        let beside = Rect::from_min_max(pos2(rect.left(), y - font.size), pos2(frame.plot.left() - 6.0, y + font.size));
        fitted_text(&painter, beside, Align2::RIGHT_CENTER, word, font.clone(), palette.weak);
    }
    sides(ui, &painter, &frame, answer, shown, &font);
    painter.vline(frame.x(shown.cursor_s), frame.plot.y_range(), Stroke::new(1.5, palette.accent));
    if let Some(place) = response.interact_pointer_pos() {
        wishes.push(Wish::Move(Move::To(frame.time(place))));
    }
    focus_ring(&painter, &response, palette);
    canvas(ui, &response, Role::Image, &spoken(answer, shown, preferences));
}

/// The lines with their names at the end.
fn sides(ui: &Ui, painter: &Painter, frame: &Frame, answer: &Answer, shown: Shown, font: &FontId) {
    let palette = Palette::of(ui.visuals());
    let plot = frame.plot;
    // what leaves the frame is cut off, not laid along its edge
    let inside = painter.with_clip_rect(plot.intersect(painter.clip_rect()));
    let (from, to) = shown.span_s;
    let mut heights: Vec<f32> = Vec::new();
    for (index, (side, outcome)) in answer.sides.iter().enumerate() {
        let series = Series::of(palette, index);
        let times = (0..=READ).map(|step| from + (to - from) * step as f64 / READ as f64);
        let points = times.map(|at| (at, shown.value(outcome, at))).filter(|(_, value)| value.is_finite());
        let points = points.map(|(at, value)| pos2(frame.x(at), frame.y(value))).collect();
        inside.add(series.line(points, 2.6, ui.ctx().pixels_per_point()));
        let now = shown.value(outcome, shown.cursor_s);
        if now.is_finite() {
            let place = pos2(frame.x(shown.cursor_s), frame.y_inside(now));
            series.marker(painter, place, 6.0, palette.ink);
        }
        let end = shown.value(outcome, to);
        let wish = if end.is_finite() { frame.y_inside(end) } else { plot.top() };
        let taken = heights.iter().any(|other| (other - wish).abs() < font.size * 1.2);
        let place = if taken { (wish + font.size * 1.3).min(plot.bottom()) } else { wish };
        heights.push(place);
        let right = painter.clip_rect().right();
        let beside = Rect::from_min_max(pos2(plot.right() + 6.0, place - font.size), pos2(right, place + font.size));
        fitted_text(painter, beside, Align2::LEFT_CENTER, side, font.clone(), series.colour);
    }
}

/// The same for those who listen.
fn spoken(answer: &Answer, shown: Shown, preferences: &Preferences) -> String {
    let quantity = if shown.torque { Quantity::Torque } else { Quantity::Number };
    let now = answer
        .sides
        .iter()
        .map(|(side, one)| format!("{side} {}", quantity.show(shown.value(one, shown.cursor_s), preferences.units)));
    format!(
        "{}, {:.2} s after the pedal began to move: {}",
        shown.title(),
        shown.cursor_s - shown.begin_s,
        now.collect::<Vec<_>>().join(", ")
    )
}
