//! The time axis: controls, flags of the events, small stacked traces, one cursor for all.

use super::actions::Action;
use super::flags;
use super::kept::kept;
use super::paint::{frame_boxes, named, tall_menu};
use super::playback::Playback;
use super::preferences::Preferences;
use super::state::{SPEEDS, State};
use super::theme::Palette;
use super::time_axis::{Axis, ticks};
use super::trace_view::{Look, trace};
use super::traces;
use super::track::{Clock, TracePanel, Track};
use crate::units::UnitSystem;
use eframe::egui::{self, RichText, TextStyle, Ui};

/// Highest menu of the time axis, share of the window: it opens where there is most room.
const MENU_HEIGHT: f32 = 0.5;

/// What stands on a time axis.
pub struct Timeline<'a> {
    /// The benches.
    pub tracks: &'a [Track],
    /// The one that is edited.
    pub selected: usize,
    /// Where time stands.
    pub time: &'a Playback,
    /// Names of the speeds, quickest first.
    pub speeds: &'a [&'a str],
    /// How times are written.
    pub clock: Clock,
    /// End of the longest run, s.
    pub end_s: f64,
    /// The time of the cursor against something else, in words.
    pub relative: String,
    /// Units of the figures.
    pub units: UnitSystem,
}

/// The axis of the benches in motion.
pub fn show(ui: &mut Ui, state: &State, preferences: &Preferences, actions: &mut Vec<Action>) {
    let tracks = state.tracks();
    let begin = state.bench().scenario.pedal.begin_s;
    let after = 1e3 * (state.time.cursor_s - begin);
    let relative = if after >= 0.0 {
        format!("{after:.0} ms after the stab")
    } else {
        format!("{:.0} ms before the stab", -after)
    };
    let timeline = Timeline {
        tracks: &tracks,
        selected: state.selected,
        time: &state.time,
        speeds: &SPEEDS.map(|(_, name)| name),
        clock: Clock::Seconds,
        end_s: state.end_s(),
        relative,
        units: preferences.units,
    };
    let runs: Vec<_> = state.benches.iter().map(|bench| (bench.id, bench.revision, bench.answered)).collect();
    let panels =
        kept(ui.ctx(), "traces", (runs, &preferences.traces), || traces::chosen(&state.benches, &preferences.traces));
    timeline.show(ui, &panels, actions, |ui, actions| {
        ui.menu_button("Traces", |ui| tall_menu(ui, MENU_HEIGHT, |ui| trace_menu(ui, state, preferences, actions)));
        if ui.button("The stab").on_hover_text("Show the stab and the second after it").clicked() {
            actions.push(Action::Show(begin - 0.1, begin + 1.0));
        }
    });
}

impl Timeline<'_> {
    /// Everything under the drawings; `more` adds controls of its own.
    pub fn show(
        &self,
        ui: &mut Ui,
        panels: &[TracePanel],
        actions: &mut Vec<Action>,
        more: impl FnOnce(&mut Ui, &mut Vec<Action>),
    ) {
        // the panel keeps its height whatever stands in it
        ui.set_min_height(ui.available_height());
        self.controls(ui, actions, more);
        let axis = Axis::new(ui, self.tracks.len(), self.time);
        flags::show(ui, self.tracks, self.clock, &axis, actions);
        if panels.is_empty() {
            ui.label(RichText::new("No trace is chosen: tick some under “Traces”.").weak());
            return;
        }
        let small = ui.text_style_height(&TextStyle::Small);
        let look = Look {
            axis: &axis,
            palette: Palette::of(ui.visuals()),
            font: TextStyle::Small.resolve(ui.style()),
            units: self.units,
            clock: self.clock,
            tracks: self.tracks,
            selected: self.selected,
        };
        let room = ui.available_height() - small - 8.0;
        let wanted: f32 = panels.iter().map(|panel| weight(panel) + 0.14).sum();
        let row = (room / wanted).clamp(small * 0.8, small * 3.5);
        egui::ScrollArea::vertical().id_salt("traces").max_height(room).auto_shrink([false, true]).show(ui, |ui| {
            ui.spacing_mut().item_spacing.y = 2.0;
            for panel in panels {
                trace(ui, panel, &look, row * weight(panel), actions);
            }
        });
        ticks(ui, &axis, self.clock);
    }

    fn controls(&self, ui: &mut Ui, actions: &mut Vec<Action>, more: impl FnOnce(&mut Ui, &mut Vec<Action>)) {
        ui.horizontal_wrapped(|ui| {
            let (name, key) = if self.time.playing { ("Pause", "space") } else { ("Play", "space") };
            if ui.button(name).on_hover_text(format!("{name} ({key})")).clicked() {
                actions.push(Action::TogglePlay);
            }
            ui.label(RichText::new("at").weak());
            for (index, name) in self.speeds.iter().enumerate() {
                let button = ui.selectable_label(self.time.speed == index, *name);
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
            ui.menu_button("Events", |ui| tall_menu(ui, MENU_HEIGHT, |ui| self.event_menu(ui, actions)));
            if ui.button("Whole run").on_hover_text("Show the whole run; the wheel zooms about the pointer").clicked() {
                actions.push(Action::Show(0.0, self.end_s));
            }
            more(ui, actions);
            ui.label(RichText::new(self.clock.at(self.time.cursor_s)).strong());
            ui.label(RichText::new(&self.relative).weak());
        });
    }

    fn event_menu(&self, ui: &mut Ui, actions: &mut Vec<Action>) {
        let mut events: Vec<_> = self
            .tracks
            .iter()
            .flat_map(|track| track.flags.iter().map(move |flag| (flag.time_s, &track.name, flag.label)))
            .collect();
        events.sort_by(|a, b| a.0.total_cmp(&b.0));
        for (time, name, label) in events {
            if ui.button(format!("{}   {name}: {label}", self.clock.at(time))).clicked() {
                actions.push(Action::Seek(time));
            }
        }
    }
}

/// Height of a trace in rows of text: its curves, and more where limits must be told apart.
fn weight(panel: &TracePanel) -> f32 {
    let curves = panel.curves.len().clamp(1, 2) as f32;
    if panel.limits.is_some() { 2.9 } else { 0.4 + 0.95 * curves }
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
