//! One small trace: curves of all benches, and their values at the cursor.

use super::actions::Action;
use super::paint::{MARKER_NAMES, Series, canvas, fitted_text, focus_ring};
use super::polyline::{self, Line};
use super::strips::Strips;
use super::theme::Palette;
use super::time_axis::Axis;
use super::track::{Clock, TracePanel, Track};
use crate::units::{Quantity, UnitSystem};
use eframe::egui::accesskit::Role;
use eframe::egui::{Align2, FontId, Painter, Rect, Sense, Stroke, Ui, pos2, vec2};

/// What a trace is painted with.
pub struct Look<'a> {
    /// Time.
    pub axis: &'a Axis,
    /// Colours.
    pub palette: &'static Palette,
    /// Text.
    pub font: FontId,
    /// Units of the figures.
    pub units: UnitSystem,
    /// How times are spoken.
    pub clock: Clock,
    /// The benches.
    pub tracks: &'a [Track],
    /// The one that is edited.
    pub selected: usize,
}

/// One trace with its gutter.
pub fn trace(ui: &mut Ui, panel: &TracePanel, look: &Look<'_>, height: f32, actions: &mut Vec<Action>) {
    let Look { axis, palette, font, tracks, .. } = look;
    let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width(), height), Sense::click_and_drag());
    if !ui.is_rect_visible(rect) {
        return;
    }
    let plot = Rect::from_min_max(pos2(axis.left, rect.top()), pos2(axis.right, rect.bottom()));
    let (least, most) = panel.range;
    let y = |value: f64| polyline::height(plot, (least, most), value);
    let painter = ui.painter_at(rect);
    painter.rect_filled(plot, 0.0, palette.sheet);
    limits(&painter, panel, plot, &y, palette, font);
    if least < 0.0 && most > 0.0 {
        painter.hline(plot.x_range(), y(0.0), Stroke::new(0.7, palette.hair));
    }
    let pixels_per_point = ui.pixels_per_point();
    let clipped = ui.painter_at(plot.intersect(ui.clip_rect()));
    for (index, track) in tracks.iter().enumerate() {
        let series = Series::of(palette, index);
        let shade = if track.waiting { 0.55 } else { 1.0 };
        let shaded = Series { colour: series.colour.gamma_multiply(shade), ..series };
        for (rank, curve) in panel.curves.iter().enumerate().rev() {
            let Some(readings) = curve.readings.get(index).and_then(Option::as_ref) else { continue };
            // thinner, not paler: a pale line would not stand out enough
            let width = [2.0, 1.0, 0.7][rank.min(2)];
            let (view, range, of) = (axis.view, panel.range, (track.id, track.answered));
            let line = Line {
                of,
                panel: &panel.key,
                rank,
                readings,
                view,
                range,
                plot,
                series: shaded,
                width,
                pixels_per_point,
            };
            clipped.add(line.shape(ui));
        }
        if axis.shows(axis.cursor)
            && let Some(value) = value(panel, 0, index, axis.cursor)
        {
            series.marker(&clipped, pos2(axis.x(axis.cursor), y(value)), 3.6, palette.paper);
        }
    }
    axis.cursor_line(&painter, plot, palette);
    let spoken = gutter(&painter, panel, rect, look);
    scale_ends(&painter, panel, plot, (least, most), look);
    focus_ring(&painter, &response, palette);
    canvas(ui, &response, Role::Canvas, &spoken);
    axis.interact(ui, &response, actions);
    // names that are cut short in the gutter are whole under the pointer
    if response.hover_pos().is_some_and(|at| at.x < axis.left) {
        response.on_hover_text(spoken.replace("; ", "\n"));
    }
}

/// A curve's value on a bench at a time; what nobody could see on the trace is nothing.
fn value(panel: &TracePanel, rank: usize, index: usize, time_s: f64) -> Option<f64> {
    const UNSEEN: f64 = 1e-6;
    let value = panel.curves.get(rank)?.readings.get(index)?.as_ref()?.at(time_s)?;
    let largest = panel.range.0.abs().max(panel.range.1.abs());
    Some(if value.abs() < UNSEEN * largest { 0.0 } else { value })
}

fn limits(painter: &Painter, panel: &TracePanel, plot: Rect, y: &dyn Fn(f64) -> f32, palette: &Palette, font: &FontId) {
    let Some([(low, low_word), (high, high_word)]) = panel.limits else { return };
    let bands = [
        (Rect::from_min_max(pos2(plot.left(), y(low)), plot.max), low_word, Align2::RIGHT_BOTTOM, palette.fuel),
        (Rect::from_min_max(plot.min, pos2(plot.right(), y(high))), high_word, Align2::RIGHT_TOP, palette.heat),
    ];
    for (band, word, align, colour) in bands {
        painter.rect_filled(band, 0.0, colour.gamma_multiply(0.12));
        let edge = if align == Align2::RIGHT_TOP { band.bottom() } else { band.top() };
        let ends = [pos2(band.left(), edge), pos2(band.right(), edge)];
        let mut dashes = Strips::new(painter.ctx().pixels_per_point());
        dashes.dashed(&ends, Stroke::new(0.8, colour), 3.0, 3.0);
        dashes.paint(painter);
        if band.height() > font.size * 0.8 {
            fitted_text(painter, band.shrink2(vec2(4.0, 1.0)), align, word, font.clone(), colour);
        }
    }
}

/// Name and values at the cursor; what stands there is also what is read out.
fn gutter(painter: &Painter, panel: &TracePanel, rect: Rect, look: &Look<'_>) -> String {
    let Look { axis, palette, font, units, clock, tracks, selected } = look;
    let mut spoken = format!("{} at {}", panel.title, clock.at(axis.cursor));
    let row = font.size * 1.22;
    let place = |line: usize| {
        let top = rect.top() + line as f32 * row;
        Rect::from_min_max(pos2(rect.left() + 2.0, top), pos2(axis.left - 6.0, top + row))
    };
    // where not every bench has room for its value beside the name, the one that is edited has
    let room = font.size * (5.1 * tracks.len() as f32 + 5.0) <= axis.left - rect.left();
    for (rank, curve) in panel.curves.iter().enumerate() {
        let line = place(rank);
        let fits = line.bottom() <= rect.bottom() + 2.0;
        let mut right = line.right();
        for index in (0..tracks.len()).rev() {
            // a bench that has not run has nothing to say yet
            if panel.curves.iter().all(|curve| curve.readings.get(index).is_none_or(Option::is_none)) {
                continue;
            }
            let value = value(panel, rank, index, axis.cursor);
            let text = value.map_or("–".to_owned(), |value| curve.quantity.show(value, *units));
            spoken.push_str(&format!("; {}, {}: {text}", curve.label, MARKER_NAMES[index % 4]));
            if fits && (room || index == *selected) {
                let slot = Rect::from_min_max(pos2(line.left(), line.top()), pos2(right, line.bottom()));
                let width = fitted_text(painter, slot, Align2::RIGHT_CENTER, &text, font.clone(), palette.ink);
                let column = (font.size * 5.1).max(width + 17.0);
                Series::of(palette, index).marker(
                    painter,
                    pos2(right - column + 8.0, line.center().y),
                    3.0,
                    palette.ink,
                );
                right -= column;
            }
        }
        if fits {
            let name = Rect::from_min_max(line.min, pos2(right - 2.0, line.bottom()));
            let (face, colour) = if rank == 0 {
                (FontId::new(font.size, super::theme::bold()), palette.ink)
            } else {
                (font.clone(), palette.weak)
            };
            fitted_text(painter, name, Align2::LEFT_CENTER, curve.label, face, colour);
        }
    }
    spoken
}

/// Ends of the scale, beside the plot, where no curve and no limit crosses them.
fn scale_ends(painter: &Painter, panel: &TracePanel, plot: Rect, (least, most): (f64, f64), look: &Look<'_>) {
    let Look { palette, font, units, .. } = look;
    let quantity: Quantity = panel.curves[0].quantity;
    let room =
        Rect::from_min_max(pos2(plot.right() + 4.0, plot.top()), pos2(painter.clip_rect().right(), plot.bottom()));
    let end = |anchor, value| {
        fitted_text(painter, room, anchor, &quantity.show(value, *units), font.clone(), palette.weak);
    };
    end(Align2::LEFT_TOP, most);
    if plot.height() >= font.size * 2.4 {
        end(Align2::LEFT_BOTTOM, least);
    }
}
