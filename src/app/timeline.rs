//! The time axis: flags of the events, small stacked traces, one cursor for all.

use super::actions::Action;
use super::kept::kept;
use super::paint::{Series, canvas, fitted_text, focus_ring, named};
use super::preferences::Preferences;
use super::state::{SPEEDS, State};
use super::theme::Palette;
use super::time_axis::{Axis, ticks};
use super::trace_view::{Look, trace};
use super::traces::{self, TracePanel};
use crate::bench::events::{Event, EventKind};
use eframe::egui::accesskit::Role;
use eframe::egui::{self, Align2, FontId, Painter, Rect, RichText, Sense, Shape, Stroke, TextStyle, Ui, pos2, vec2};

/// Everything under the drawings.
pub fn show(ui: &mut Ui, state: &State, preferences: &Preferences, actions: &mut Vec<Action>) {
    // the panel keeps its height whatever stands in it
    ui.set_min_height(ui.available_height());
    controls(ui, state, preferences, actions);
    let axis = Axis::new(ui, state);
    flags(ui, state, &axis, actions);
    let settings: Vec<_> = state.benches.iter().map(|bench| (bench.id, bench.revision)).collect();
    let panels = kept(ui.ctx(), "traces", (settings, &preferences.traces), || {
        traces::chosen(&state.benches, &preferences.traces)
    });
    if panels.is_empty() {
        ui.label(RichText::new("No trace is chosen: tick some under “Traces”.").weak());
        return;
    }
    let small = ui.text_style_height(&TextStyle::Small);
    let look = Look {
        axis: &axis,
        palette: Palette::of(ui.visuals()),
        font: TextStyle::Small.resolve(ui.style()),
        units: preferences.units,
        now: state.benches.iter().map(|bench| Some(bench.outcome.as_ref()?.run.trace.at(state.cursor_s))).collect(),
    };
    let room = ui.available_height() - small - 8.0;
    let wanted: f32 = panels.iter().map(|panel| weight(panel) + 0.14).sum();
    let row = (room / wanted).clamp(small * 0.8, small * 3.5);
    egui::ScrollArea::vertical().id_salt("traces").max_height(room).auto_shrink([false, true]).show(ui, |ui| {
        ui.spacing_mut().item_spacing.y = 2.0;
        for panel in panels.iter() {
            trace(ui, state, panel, &look, row * weight(panel), actions);
        }
    });
    ticks(ui, &axis);
}

/// Height of a trace in rows of text: its curves, and more where limits must be told apart.
fn weight(panel: &TracePanel) -> f32 {
    let curves = panel.curves.len().clamp(1, 2) as f32;
    if panel.limits.is_some() { 2.9 } else { 0.4 + 0.95 * curves }
}

fn controls(ui: &mut Ui, state: &State, preferences: &Preferences, actions: &mut Vec<Action>) {
    ui.horizontal_wrapped(|ui| {
        let (name, key) = if state.playing { ("Pause", "space") } else { ("Play", "space") };
        if ui.button(name).on_hover_text(format!("{name} ({key})")).clicked() {
            actions.push(Action::TogglePlay);
        }
        ui.label(RichText::new("at").weak());
        for (index, (_, name)) in SPEEDS.iter().enumerate() {
            let button = ui.selectable_label(state.speed == index, *name);
            if named(button, &format!("Speed {name}")).clicked() {
                actions.push(Action::Speed(index));
            }
        }
        for (text, name, forward) in
            [("Event before", "Event before ([)", false), ("Next event", "Next event (])", true)]
        {
            if named(ui.button(text), name).on_hover_text(name).clicked() {
                actions.push(Action::ToEvent { forward });
            }
        }
        ui.menu_button("Events", |ui| event_menu(ui, state, actions));
        ui.menu_button("Traces", |ui| trace_menu(ui, state, preferences, actions));
        if ui.button("Whole run").on_hover_text("Show the whole run; the wheel zooms about the pointer").clicked() {
            actions.push(Action::Show(0.0, state.end_s()));
        }
        let begin = state.bench().scenario.pedal.begin_s;
        if ui.button("The stab").on_hover_text("Show the stab and the second after it").clicked() {
            actions.push(Action::Show(begin - 0.1, begin + 1.0));
        }
        let after = 1e3 * (state.cursor_s - begin);
        let relative = if after >= 0.0 {
            format!("{after:.0} ms after the stab")
        } else {
            format!("{:.0} ms before the stab", -after)
        };
        ui.label(RichText::new(format!("{:.3} s", state.cursor_s)).strong());
        ui.label(RichText::new(relative).weak());
    });
}

fn event_menu(ui: &mut Ui, state: &State, actions: &mut Vec<Action>) {
    egui::ScrollArea::vertical().max_height(360.0).show(ui, |ui| {
        for (time, index, kind) in state.events() {
            let name = state.benches[index].scenario.entry().name;
            if ui.button(format!("{time:.3} s   {name}: {}", kind.label())).clicked() {
                actions.push(Action::Seek(time));
            }
        }
    });
}

fn trace_menu(ui: &mut Ui, state: &State, preferences: &Preferences, actions: &mut Vec<Action>) {
    egui::ScrollArea::vertical().max_height(420.0).show(ui, |ui| {
        for panel in traces::all(&state.benches) {
            let mut on = preferences.traces.contains(&panel.key);
            if ui.checkbox(&mut on, panel.title).changed() {
                let mut changed = preferences.clone();
                changed.traces.retain(|key| *key != panel.key);
                if on {
                    changed.traces.push(panel.key.clone());
                }
                actions.push(Action::Prefer(Box::new(changed)));
            }
        }
    });
}

/// One row of named flags for each bench; a name that finds no room waits under the pointer.
fn flags(ui: &mut Ui, state: &State, axis: &Axis, actions: &mut Vec<Action>) {
    let palette = Palette::of(ui.visuals());
    let font = TextStyle::Small.resolve(ui.style());
    let row = ui.text_style_height(&TextStyle::Small) + 3.0;
    for (index, bench) in state.benches.iter().enumerate() {
        let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width(), row), Sense::click_and_drag());
        let painter = ui.painter_at(rect);
        let series = Series::of(palette, index);
        series.marker(&painter, pos2(rect.left() + 7.0, rect.center().y), 4.0, palette.ink);
        let name = Rect::from_min_max(pos2(rect.left() + 16.0, rect.top()), pos2(axis.left - 6.0, rect.bottom()));
        fitted_text(&painter, name, Align2::LEFT_CENTER, bench.scenario.entry().name, font.clone(), palette.ink);
        let events = bench.outcome.as_ref().map_or(&[][..], |outcome| &outcome.run.events);
        let shown: Vec<_> = events.iter().filter(|event| axis.shows(event.time_s)).collect();
        for event in &shown {
            let x = axis.x(event.time_s);
            painter.vline(x, rect.y_range(), Stroke::new(1.2, series.colour));
            let flag = [pos2(x, rect.top() + 1.0), pos2(x + 6.0, rect.top() + 4.0), pos2(x, rect.top() + 7.0)];
            painter.add(Shape::convex_polygon(flag.to_vec(), series.colour, Stroke::NONE));
        }
        // the cursor passes behind the names, which must stay legible
        axis.cursor_line(&painter, rect, palette);
        flag_names(&painter, axis, &shown, rect, &font, palette);
        focus_ring(&painter, &response, palette);
        let near = response.hover_pos().and_then(|at| {
            let mut close: Vec<_> = shown.iter().filter(|event| (axis.x(event.time_s) - at.x).abs() < 7.0).collect();
            close.sort_by(|a, b| a.time_s.total_cmp(&b.time_s));
            (!close.is_empty()).then_some(close)
        });
        let snapped = near.as_ref().and_then(|close| close.first()).map(|event| event.time_s);
        let spoken = format!("Events of bench {}, {}", index + 1, bench.scenario.entry().name);
        canvas(ui, &response, Role::Canvas, &spoken);
        let response = match &near {
            Some(close) => response.on_hover_text(
                close.iter().map(|e| format!("{:.3} s  {}", e.time_s, e.kind.label())).collect::<Vec<_>>().join("\n"),
            ),
            None => response,
        };
        match snapped.filter(|_| response.clicked()) {
            Some(time) => actions.push(Action::Seek(time)),
            None => axis.interact(ui, &response, actions),
        }
    }
}

/// The names that fit, those that matter most first; the others wait under the pointer and in the menu.
fn flag_names(painter: &Painter, axis: &Axis, shown: &[&Event], rect: Rect, font: &FontId, palette: &Palette) {
    const FIRST: [EventKind; 6] = [
        EventKind::SecondaryAir,
        EventKind::SecondaryFuel,
        EventKind::LeanLimit,
        EventKind::RichLimit,
        EventKind::Stalls,
        EventKind::DeviceOpen,
    ];
    // an event at the cursor is always named
    let here = |event: &Event| (axis.x(event.time_s) - axis.x(axis.cursor)).abs() < 1.5;
    let rank = |event: &Event| match FIRST.iter().position(|first| *first == event.kind) {
        _ if here(event) => 0,
        place => 1 + place.unwrap_or(FIRST.len()),
    };
    let face = |event: &Event| if here(event) { FontId::new(font.size, super::theme::bold()) } else { font.clone() };
    let mut order = shown.to_vec();
    order.sort_by_key(|event| rank(event));
    let mut taken: Vec<egui::Rangef> = Vec::new();
    for event in order {
        let text = painter.layout_no_wrap(event.kind.label().to_owned(), face(event), palette.ink);
        let left = axis.x(event.time_s) + 8.0;
        let room = egui::Rangef::new(left - 8.0, left + text.size().x + 4.0);
        if room.max > axis.right + 12.0 || taken.iter().any(|other| other.min < room.max && room.min < other.max) {
            continue;
        }
        taken.push(room);
        let place = Rect::from_min_size(pos2(left, rect.center().y - 0.5 * text.size().y), text.size());
        painter.rect_filled(Rect::from_x_y_ranges(place.x_range(), rect.y_range()), 0.0, palette.paper);
        painter.galley(place.min, text, palette.ink);
    }
}
