//! The time axis: flags of the events, small stacked traces, one cursor for all.

use super::actions::Action;
use super::flags;
use super::kept::kept;
use super::paint::{frame_boxes, named, tall_menu};
use super::preferences::Preferences;
use super::state::{SPEEDS, State};
use super::theme::Palette;
use super::time_axis::{Axis, ticks};
use super::trace_view::{Look, trace};
use super::traces::{self, TracePanel};
use eframe::egui::{self, RichText, TextStyle, Ui};

/// Highest menu of the time axis, share of the window: it opens where there is most room.
const MENU_HEIGHT: f32 = 0.5;

/// Everything under the drawings.
pub fn show(ui: &mut Ui, state: &State, preferences: &Preferences, actions: &mut Vec<Action>) {
    // the panel keeps its height whatever stands in it
    ui.set_min_height(ui.available_height());
    controls(ui, state, preferences, actions);
    let axis = Axis::new(ui, state);
    flags::show(ui, state, &axis, actions);
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
        ui.menu_button("Events", |ui| tall_menu(ui, MENU_HEIGHT, |ui| event_menu(ui, state, actions)));
        ui.menu_button("Traces", |ui| tall_menu(ui, MENU_HEIGHT, |ui| trace_menu(ui, state, preferences, actions)));
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
    for (time, index, kind) in state.events() {
        let name = state.benches[index].scenario.entry().name;
        if ui.button(format!("{time:.3} s   {name}: {}", kind.label())).clicked() {
            actions.push(Action::Seek(time));
        }
    }
}

fn trace_menu(ui: &mut Ui, state: &State, preferences: &Preferences, actions: &mut Vec<Action>) {
    frame_boxes(ui);
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
}
