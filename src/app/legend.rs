//! What tints, streaks and sizes mean: one line for all drawings, which share one scale.

use super::flow::AIR_SCALE;
use super::paint::fitted_text;
use super::section::tint_colour;
use super::theme::Palette;
use crate::units::{Quantity, UnitSystem, significant};
use eframe::egui::accesskit::Role;
use eframe::egui::{Align2, Rect, Sense, Stroke, StrokeKind, TextStyle, Ui, WidgetInfo, pos2, vec2};

/// Depressions whose tints are shown, Pa.
const SHOWN_PA: [f64; 3] = [500.0, 5e3, 5e4];
/// Length of the scale bar, m.
const BAR_M: f64 = 0.02;

/// Height of the line.
pub fn height(ui: &Ui) -> f32 {
    ui.text_style_height(&TextStyle::Small) + 4.0
}

/// The line; `scale` are points a metre.
pub fn show(ui: &mut Ui, rect: Rect, scale: f64, units: UnitSystem) {
    let palette = Palette::of(ui.visuals());
    let font = TextStyle::Small.resolve(ui.style());
    let painter = ui.painter_at(rect);
    let unit = Quantity::Pressure.unit(units);
    let figures = SHOWN_PA.map(|pressure| significant(unit.from_si(pressure), 1));
    let below = format!("{} below outside", unit.symbol);
    let air = format!("air at 1/{:.0} of its speed", 1.0 / AIR_SCALE);

    let bar = (BAR_M * scale) as f32;
    let text = fitted_text(&painter, rect, Align2::RIGHT_CENTER, "20 mm", font.clone(), palette.weak);
    let (to, y) = (rect.right() - text - 5.0, rect.center().y);
    let stroke = Stroke::new(1.2, palette.weak);
    painter.line_segment([pos2(to - bar, y), pos2(to, y)], stroke);
    for x in [to - bar, to] {
        painter.line_segment([pos2(x, y - 3.0), pos2(x, y + 3.0)], stroke);
    }

    let end = to - bar - 12.0;
    let mut left = rect.left();
    let write = |left: f32, text: &str, colour| {
        let room = Rect::from_min_max(pos2(left, rect.top()), pos2(end.max(left), rect.bottom()));
        left + fitted_text(&painter, room, Align2::LEFT_CENTER, text, font.clone(), colour)
    };
    for (pressure, figure) in SHOWN_PA.into_iter().zip(&figures) {
        let swatch = Rect::from_min_size(pos2(left, y - 0.35 * font.size), vec2(font.size * 1.2, font.size * 0.7));
        let border = Stroke::new(0.7, palette.weak);
        painter.rect(swatch, 0.0, tint_colour(palette, pressure), border, StrokeKind::Inside);
        left = write(swatch.right() + 4.0, figure, palette.vacuum) + 8.0;
    }
    left = write(left - 4.0, &below, palette.vacuum);
    write(left + font.size * 2.0, &air, palette.air);

    let response = ui.interact(rect, ui.scope_id().with("legend"), Sense::hover());
    let spoken = format!("Legend: tints are {} {below}; {air}; all drawings have one scale", figures.join(", "));
    response.widget_info(|| WidgetInfo::labeled(Role::Legend, true, &spoken));
}
