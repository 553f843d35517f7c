//! What tints, streaks and sizes mean: one line for all drawings, which share one scale.

use super::areas;
use super::flow::AIR_SCALE;
use super::paint::fitted_text;
use super::section::tint_colour;
use super::theme::Palette;
use crate::units::{Quantity, UnitSystem, significant};
use eframe::egui::accesskit::Role;
use eframe::egui::{
    Align2, Color32, FontId, Galley, Painter, Rect, Sense, Stroke, StrokeKind, TextStyle, Ui, WidgetInfo, pos2, vec2,
};
use std::sync::Arc;

/// Depressions whose tints are shown, Pa.
const SHOWN_PA: [f64; 3] = [500.0, 5e3, 5e4];
/// Length of the scale bar, m.
const BAR_M: f64 = 0.02;

/// Height of the line.
pub fn height(ui: &Ui) -> f32 {
    ui.text_style_height(&TextStyle::Small) + 4.0
}

/// The line of the sections in motion; `scale` are points a metre.
pub fn show(ui: &mut Ui, rect: Rect, scale: f64, units: UnitSystem) {
    let palette = Palette::of(ui.visuals());
    let unit = Quantity::Pressure.unit(units);
    let mut line = Line::new(ui, rect, scale);
    for pressure in SHOWN_PA {
        let figure = significant(unit.from_si(pressure), 1);
        line.swatch((tint_colour(palette, pressure), None), &figure, palette.vacuum);
    }
    line.text(&format!("{} below outside", unit.symbol), palette.vacuum);
    line.text(&format!("air at 1/{:.0} of its speed", 1.0 / AIR_SCALE), palette.air);
    line.speak(ui, "tints are");
}

/// A legend that is being written, with the bar of the drawings' scale at its end.
pub struct Line {
    painter: Painter,
    palette: &'static Palette,
    font: FontId,
    rect: Rect,
    left: f32,
    end: f32,
    /// Whether something was left out for want of room; then nothing may follow.
    is_full: bool,
    spoken: Vec<String>,
}

impl Line {
    /// With nothing but the bar; `scale` are points a metre.
    pub fn new(ui: &Ui, rect: Rect, scale: f64) -> Self {
        let palette = Palette::of(ui.visuals());
        let font = TextStyle::Small.resolve(ui.style());
        let painter = ui.painter_at(rect);
        let bar = (BAR_M * scale) as f32;
        let text = fitted_text(&painter, rect, Align2::RIGHT_CENTER, "20 mm", font.clone(), palette.weak);
        let (to, y) = (rect.right() - text - 5.0, rect.center().y);
        let stroke = Stroke::new(1.2, palette.weak);
        painter.line_segment([pos2(to - bar, y), pos2(to, y)], stroke);
        for x in [to - bar, to] {
            painter.line_segment([pos2(x, y - 3.0), pos2(x, y + 3.0)], stroke);
        }
        Self {
            painter,
            palette,
            font,
            rect,
            left: rect.left(),
            end: to - bar - 12.0,
            is_full: false,
            spoken: Vec::new(),
        }
    }

    /// A colour, perhaps with a hatch, and what it means.
    pub fn swatch(&mut self, (fill, hatch): (Color32, Option<(Stroke, f32)>), text: &str, ink: Color32) {
        let size = vec2(self.font.size * 1.4, self.font.size * 0.8);
        let swatch = Rect::from_min_size(pos2(self.left, self.rect.center().y - 0.5 * size.y), size);
        let Some(words) = self.fitting(text, ink, size.x + 4.0) else { return };
        let corners = [swatch.left_top(), swatch.right_top(), swatch.right_bottom(), swatch.left_bottom()];
        areas::paint(&self.painter, &corners, fill, hatch);
        self.painter.rect_stroke(swatch, 0.0, Stroke::new(0.7, self.palette.weak), StrokeKind::Inside);
        self.left = swatch.right() + 4.0;
        self.write(words, ink, 8.0);
    }

    /// Words alone.
    pub fn text(&mut self, text: &str, ink: Color32) {
        if let Some(words) = self.fitting(text, ink, 0.0) {
            self.write(words, ink, self.font.size * 1.5);
        }
    }

    /// The words, if they fit behind `before` points: half a meaning, or one that runs into the bar, is worse than none.
    /// What is left out is still told to a pointer and to those who listen.
    fn fitting(&mut self, text: &str, ink: Color32, before: f32) -> Option<Arc<Galley>> {
        self.spoken.push(text.to_owned());
        let words = self.painter.layout_no_wrap(text.to_owned(), self.font.clone(), ink);
        self.is_full |= self.left + before + words.size().x > self.end;
        (!self.is_full).then_some(words)
    }

    fn write(&mut self, words: Arc<Galley>, ink: Color32, space: f32) {
        let place = pos2(self.left, self.rect.center().y - 0.5 * words.size().y);
        self.left += words.size().x + space;
        self.painter.galley(place, words, ink);
    }

    /// Make it known to those who listen.
    pub fn speak(self, ui: &Ui, lead: &str) {
        let response = ui.interact(self.rect, ui.scope_id().with("legend"), Sense::hover());
        let spoken = format!("Legend: {lead} {}; all drawings have one scale", self.spoken.join(", "));
        response.widget_info(|| WidgetInfo::labeled(Role::Legend, true, &spoken));
        if self.is_full {
            response.on_hover_text(spoken);
        }
    }
}
