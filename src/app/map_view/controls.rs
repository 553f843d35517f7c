//! The panel beside the map: what it is a map of, how far it has come, and where it can go.

use super::super::actions::{Action, Purpose};
use super::super::paint::named;
use super::super::settings_panel::{brief, read};
use super::super::state::{State, shown};
use super::super::theme::Palette;
use super::choice::{Choice, SIDES, full_name, offered};
use super::{View, bench_in_words, boundary_in_words};
use crate::bench::findings::FINDINGS;
use crate::bench::sweep::{Axis, quantity};
use crate::bench::verdict::BEGINS_S;
use crate::settings::Kind;
use crate::settings::grouped::Grouped;
use crate::units::UnitSystem;
use eframe::egui::{
    self, Button, ComboBox, DragValue, PopupCloseBehavior, RichText, ScrollArea, TextEdit, TextStyle, Ui,
};
use std::cell::RefCell;

/// The two axes by name.
const AXES: [&str; 2] = ["Across", "Upwards"];

impl View {
    /// The panel; gives whether the map is to be run anew as it is chosen.
    pub(super) fn controls(
        &mut self,
        ui: &mut Ui,
        state: &State,
        choice: &mut Choice,
        units: UnitSystem,
        actions: &mut Vec<Action>,
    ) -> bool {
        ScrollArea::vertical()
            .id_salt("map choice")
            .auto_shrink([false, false])
            .show(ui, |ui| {
                benches(ui, state, actions);
                ui.add_space(2.0);
                // before all else that must be scrolled to in a low window
                let again = self.progress_bar(ui, state);
                self.whereto(ui, state, units);
                for axis in 0..2 {
                    ui.add_space(6.0);
                    self.axis(ui, state, choice, axis, units);
                }
                ui.add_space(6.0);
                finding(ui, choice);
                side(ui, choice);
                if let Some(error) = &self.error {
                    let colour = Palette::of(ui.visuals()).error;
                    ui.label(RichText::new(error).color(colour));
                }
                ui.add_space(6.0);
                self.legend(ui);
                exports(ui, actions);
                again
            })
            .inner
    }

    fn axis(&mut self, ui: &mut Ui, state: &State, choice: &mut Choice, axis: usize, units: UnitSystem) {
        let scenario = &state.bench().scenario;
        ui.label(RichText::new(AXES[axis]).strong());
        let shown = full_name(scenario, choice.axes[axis].place);
        let width = ui.available_width() - 8.0;
        let list = ComboBox::from_id_salt(("map axis", axis))
            .selected_text(&shown)
            .width(width)
            .truncate()
            .height(ui.ctx().content_rect().height() * 0.5)
            .close_behavior(PopupCloseBehavior::CloseOnClickOutside)
            .show_ui(ui, |ui| self.settings(ui, state, choice, axis));
        named(list.response, &format!("{}: {shown}", AXES[axis]));
        if let Some(quantity) = quantity(scenario, choice.axes[axis].place) {
            let unit = quantity.unit(units);
            ui.horizontal_wrapped(|ui| {
                self.end(ui, state, choice, axis, false, units);
                ui.label("to");
                self.end(ui, state, choice, axis, true, units);
                let name = format!("{}: range about the bench's value", AXES[axis]);
                let hint = "Take the range about the bench's present value again";
                if named(ui.small_button("About the bench"), &name).on_hover_text(hint).clicked() {
                    let old = choice.axes[axis];
                    choice.axes[axis] = Axis::around(scenario, old.place, old.steps).unwrap_or(old);
                }
            });
            if let Some(setting) = scenario.setting(choice.axes[axis].place) {
                let range = setting.range(unit, unit.symbol);
                ui.label(RichText::new(format!("Accepted: {range}")).small().weak());
            }
        }
    }

    /// The list of settings for an axis, with a field to search it.
    fn settings(&mut self, ui: &mut Ui, state: &State, choice: &mut Choice, axis: usize) {
        let scenario = &state.bench().scenario;
        let field = TextEdit::singleline(&mut self.filter).hint_text("Find a setting").desired_width(f32::INFINITY);
        named(ui.add(field), "Find a setting for the map");
        let settings = offered(scenario, &self.filter);
        if settings.is_empty() {
            ui.label(RichText::new("No setting with numbers has this in its name.").weak());
        }
        for (place, name) in settings {
            if ui.selectable_label(choice.axes[axis].place == place, name).clicked() {
                choice.put(axis, scenario, place);
                self.filter.clear();
                ui.close();
            }
        }
    }

    /// One end of an axis.
    fn end(&mut self, ui: &mut Ui, state: &State, choice: &mut Choice, axis: usize, last: bool, units: UnitSystem) {
        let scenario = &state.bench().scenario;
        let chosen = &mut choice.axes[axis];
        let Some(setting) = scenario.setting(chosen.place) else { return };
        let Kind::Number { quantity, least, most } = setting.kind else { return };
        let unit = quantity.unit(units);
        let si = if last { &mut chosen.to } else { &mut chosen.from };
        let refused = RefCell::new(None);
        let mut typed = unit.from_si(*si);
        let field = DragValue::new(&mut typed)
            .speed((unit.from_si(most) - unit.from_si(least)).abs() / 400.0)
            .suffix(if unit.symbol.is_empty() { String::new() } else { format!(" {}", unit.symbol) })
            .update_while_editing(false)
            .custom_formatter(|value, _| brief(value))
            .custom_parser(|text| {
                read(text, quantity, units).map_err(|reason| *refused.borrow_mut() = Some(reason)).ok()
            });
        let which = if last { "to" } else { "from" };
        let answer = named(ui.add(field), &format!("{}, {which}", AXES[axis]));
        if answer.changed() {
            // pulling stops at the end of the range; what is typed beyond it is refused in words
            let value = setting.at_bound(unit.to_si(typed));
            *si = if answer.dragged() { value.clamp(least, most) } else { value };
        }
        if let Some(reason) = refused.into_inner() {
            self.error = Some(format!("{reason}; {}.", setting.accepted(units)));
        }
    }

    /// How far the map has come, and what can be done about it; gives whether to run it anew.
    fn progress_bar(&self, ui: &mut Ui, state: &State) -> bool {
        let Some(shown) = &self.shown else { return ui.button("Compute the map").clicked() };
        let (done, all) = (shown.job.done(), shown.job.map().progress().1);
        if !shown.job.is_over() && !shown.job.is_cancelled() {
            let text = format!("The map fills: {done} of {all} runs");
            ui.label(&text);
            named(ui.add(egui::ProgressBar::new(done as f32 / all.max(1) as f32)), &text);
            if ui.button("Cancel the map").clicked() {
                shown.job.cancel();
            }
            return false;
        }
        if self.is_stale(state.bench()) {
            let fuel = Palette::of(ui.visuals()).fuel;
            let text = "Out of date: settings of the bench have changed since this map was computed.";
            ui.label(RichText::new(text).color(fuel).strong());
            return ui.button("Compute the map again").clicked();
        }
        if shown.job.is_cancelled() && done < all {
            ui.label(RichText::new(format!("Cancelled after {done} of {all} runs.")).strong());
            return ui.button("Compute the map again").clicked();
        }
        ui.label(
            RichText::new(format!("{all} runs, each an ordinary run of the bench with two settings changed.")).weak(),
        );
        false
    }

    /// Says where the bench was sent, as long as it stands there.
    fn whereto(&self, ui: &mut Ui, state: &State, units: UnitSystem) {
        let (Some(sent), scenario) = (self.sent, &state.bench().scenario) else { return };
        if sent.iter().all(|(place, value)| scenario.value(*place) == Some(*value)) {
            let told = sent.map(|(place, value)| {
                let label = scenario.setting(place).map_or("–", |setting| setting.label);
                format!("{label} {}", shown(scenario, place, value, units))
            });
            let text = format!("Bench {}: {}. Undo takes both back.", state.selected + 1, told.join(", "));
            ui.label(RichText::new(text).color(Palette::of(ui.visuals()).accent).strong());
        }
    }

    /// What the lines and marks mean; those that this map has.
    fn legend(&self, ui: &mut Ui) {
        let Some(drawn) = &self.drawn else { return };
        let small = |ui: &mut Ui, text: &str| ui.label(RichText::new(text).small());
        if drawn.chart.boundaries.is_empty() {
            small(ui, "No line between verdicts passes through this map.");
        }
        for (verdict, _) in &BEGINS_S[1..] {
            if drawn.chart.boundaries.iter().any(|boundary| boundary.begins == *verdict) {
                small(ui, boundary_in_words(*verdict));
            }
        }
        small(ui, "Ring: the bench as it stands. Hatched: no value there.");
        small(
            ui,
            "Click a place, or give the map the keyboard, move with the arrows and press Enter: both settings go to the bench.",
        );
    }
}

fn benches(ui: &mut Ui, state: &State, actions: &mut Vec<Action>) {
    ui.label(RichText::new("Map of").strong());
    ui.horizontal_wrapped(|ui| {
        for (index, bench) in state.benches.iter().enumerate() {
            let text = format!("{} {}", index + 1, bench.scenario.entry().name);
            let button = ui.selectable_label(index == state.selected, text);
            let name = format!("Map of {}, {}", bench_in_words(index), bench.scenario.entry().name);
            if named(button, &name).clicked() {
                actions.push(Action::Select(index));
            }
        }
    });
}

fn finding(ui: &mut Ui, choice: &mut Choice) {
    ui.label(RichText::new("Colour").strong());
    let shown = FINDINGS[choice.finding].label;
    let list = ComboBox::from_id_salt("map finding")
        .selected_text(shown)
        .width(ui.available_width() - 8.0)
        .truncate()
        .height(ui.ctx().content_rect().height() * 0.5)
        .show_ui(ui, |ui| {
            for (index, finding) in FINDINGS.iter().enumerate() {
                ui.selectable_value(&mut choice.finding, index, finding.label);
            }
        });
    named(list.response, &format!("Colour: {shown}"));
}

fn side(ui: &mut Ui, choice: &mut Choice) {
    ui.horizontal_wrapped(|ui| {
        ui.label(RichText::new("Values a side").strong());
        for side in SIDES {
            let button = ui.selectable_label(choice.axes[0].steps == side, side.to_string());
            if named(button, &format!("{side} values a side")).clicked() {
                choice.set_side(side);
            }
        }
    });
}

fn exports(ui: &mut Ui, actions: &mut Vec<Action>) {
    ui.add_space(6.0);
    ui.menu_button("Export the map", |ui| {
        ui.set_min_width(ui.text_style_height(&TextStyle::Body) * 12.0);
        for (label, action) in [
            ("All findings as CSV …", Action::ExportMap(Purpose::MapTable)),
            ("All findings by path …", Action::AskPath(Purpose::MapTable)),
            ("Picture as SVG …", Action::ExportMap(Purpose::MapPicture)),
            ("Picture by path …", Action::AskPath(Purpose::MapPicture)),
        ] {
            if ui.add(Button::new(label)).clicked() {
                actions.push(action);
            }
        }
    });
}
