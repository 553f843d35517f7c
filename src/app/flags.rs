//! The events as flags over the traces, a row for each bench.

use super::actions::Action;
use super::paint::{Series, canvas, fitted_text, focus_ring};
use super::theme::{self, Palette};
use super::time_axis::Axis;
use super::track::{Clock, Flag, Track};
use eframe::egui::accesskit::Role;
use eframe::egui::{Align2, FontId, Galley, Painter, Rangef, Rect, Sense, Shape, Stroke, TextStyle, Ui, pos2, vec2};
use std::sync::Arc;

/// What a flag or the cursor keeps of its line under a name, points.
const FOOT: f32 = 4.0;
/// Distance of a name from its flag, points.
const BESIDE: f32 = 8.0;

/// One row of named flags for each bench; a name that finds no room waits under the pointer.
pub fn show(ui: &mut Ui, tracks: &[Track], clock: Clock, axis: &Axis, actions: &mut Vec<Action>) {
    let palette = Palette::of(ui.visuals());
    let font = TextStyle::Small.resolve(ui.style());
    let text = ui.text_style_height(&TextStyle::Small);
    for (index, track) in tracks.iter().enumerate() {
        let size = vec2(ui.available_width(), text + FOOT);
        let (rect, response) = ui.allocate_exact_size(size, Sense::click_and_drag());
        let painter = ui.painter_at(rect);
        let series = Series::of(palette, index);
        let line = rect.with_max_y(rect.bottom() - FOOT);
        series.marker(&painter, pos2(rect.left() + 7.0, line.center().y), 4.0, palette.ink);
        let name = line.with_min_x(rect.left() + 16.0).with_max_x(axis.left - 6.0);
        fitted_text(&painter, name, Align2::LEFT_CENTER, &track.name, font.clone(), palette.ink);
        let shown: Vec<_> = track.flags.iter().filter(|event| axis.shows(event.time_s)).collect();
        row(&painter, axis, &shown, rect, &font, series, palette);
        focus_ring(&painter, &response, palette);
        let near = response.hover_pos().and_then(|at| {
            let mut close: Vec<_> = shown.iter().filter(|event| (axis.x(event.time_s) - at.x).abs() < 7.0).collect();
            close.sort_by(|a, b| a.time_s.total_cmp(&b.time_s));
            (!close.is_empty()).then_some(close)
        });
        let snapped = near.as_ref().and_then(|close| close.first()).map(|event| event.time_s);
        let spoken = format!("Events of bench {}, {}", index + 1, track.name);
        canvas(ui, &response, Role::Canvas, &spoken);
        let response = match &near {
            Some(close) => response.on_hover_text(
                close.iter().map(|e| format!("{}  {}", clock.at(e.time_s), e.label)).collect::<Vec<_>>().join("\n"),
            ),
            None => response,
        };
        match snapped.filter(|_| response.clicked()) {
            Some(time) => actions.push(Action::Seek(time)),
            None => axis.interact(ui, &response, actions),
        }
    }
}

/// Names, flags and cursor; no line crosses a name.
fn row(painter: &Painter, axis: &Axis, shown: &[&Flag], rect: Rect, font: &FontId, series: Series, palette: &Palette) {
    let names = names(painter, axis, shown, font, palette);
    let is_free = |room: Rangef| names.iter().all(|(taken, _)| taken.max < room.min || room.max < taken.min);
    let foot = Rangef::new(rect.bottom() - FOOT, rect.bottom());
    for event in shown {
        let x = axis.x(event.time_s);
        let free = is_free(Rangef::new(x, x + 6.0));
        painter.vline(x, if free { rect.y_range() } else { foot }, Stroke::new(1.2, series.colour));
        if free {
            let flag = [pos2(x, rect.top() + 1.0), pos2(x + 6.0, rect.top() + 4.0), pos2(x, rect.top() + 7.0)];
            painter.add(Shape::convex_polygon(flag.to_vec(), series.colour, Stroke::NONE));
        }
    }
    let x = axis.x(axis.cursor);
    let line = if is_free(Rangef::point(x)) { rect } else { Rect::from_x_y_ranges(rect.x_range(), foot) };
    axis.cursor_line(painter, line, palette);
    for (room, text) in names {
        painter.galley(pos2(room.min, rect.top()), text, palette.ink);
    }
}

/// The names that fit with the room they take, those that matter most first; the others wait under the pointer and in
/// the menu.
fn names(
    painter: &Painter,
    axis: &Axis,
    shown: &[&Flag],
    font: &FontId,
    palette: &Palette,
) -> Vec<(Rangef, Arc<Galley>)> {
    // an event at the cursor is always named
    let here = |event: &Flag| (axis.x(event.time_s) - axis.x(axis.cursor)).abs() < 1.5;
    let rank = |event: &Flag| if here(event) { 0 } else { 1 + event.rank };
    let face = |event: &Flag| if here(event) { FontId::new(font.size, theme::bold()) } else { font.clone() };
    let mut order = shown.to_vec();
    order.sort_by_key(|event| rank(event));
    let mut names: Vec<(Rangef, Arc<Galley>)> = Vec::new();
    for event in order {
        let text = painter.layout_no_wrap(event.label.to_owned(), face(event), palette.ink);
        let left = axis.x(event.time_s) + BESIDE;
        let room = Rangef::new(left, left + text.size().x);
        let meets = |other: &Rangef| other.min - BESIDE < room.max + 4.0 && room.min - BESIDE < other.max + 4.0;
        if room.max <= painter.clip_rect().right() && !names.iter().any(|(other, _)| meets(other)) {
            names.push((room, text));
        }
    }
    names
}
