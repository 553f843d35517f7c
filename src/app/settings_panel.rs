//! The settings of the selected bench, whatever is set there.

use super::actions::Action;
use super::kept::kept;
use super::paint::{MARKER_NAMES, named};
use super::state::State;
use super::theme::Palette;
use super::worker::BenchId;
use crate::bench::scenario::Scenario;
use crate::settings::grouped::{Grouped, Place};
use crate::settings::{Kind, Setting, Word};
use crate::units::{Quantity, UnitSystem, significant};
use eframe::egui::{
    self, Align, Button, CollapsingHeader, ComboBox, DragValue, Layout, RichText, Slider, TextEdit, Ui,
};
use std::cell::RefCell;

/// A group of settings as it is shown.
struct Group {
    title: String,
    rows: Vec<Row>,
}

/// One setting as it is shown.
struct Row {
    place: Place,
    setting: &'static Setting,
    /// Whether it differs from its default.
    changed: bool,
    /// What it is and what it may be.
    help: String,
}

/// What is set, and how it is shown.
pub struct Subject<'a> {
    /// Place among the benches.
    pub index: usize,
    /// Whose settings: bench and number of their last change.
    pub of: (BenchId, u64),
    /// The settings.
    pub settings: &'a dyn Grouped,
    /// The same as they are before anybody changes them.
    pub fresh: &'a dyn Fn() -> Box<dyn Grouped>,
    /// Groups that stand open at first.
    pub open: &'a [&'a str],
    /// What is said at the head of the first group.
    pub summary: Option<&'a str>,
    /// What is said where there is no setting at all.
    pub none: &'a str,
    /// Text that settings must contain to be shown.
    pub filter: &'a str,
    /// A refused entry and what was wrong with it.
    pub refusal: Option<(Place, &'a str)>,
}

/// Everything that can be set on the selected bench of the benches in motion.
pub fn show(ui: &mut Ui, state: &State, units: UnitSystem, actions: &mut Vec<Action>) {
    let bench = state.bench();
    let entry = bench.scenario.entry();
    let refusal = state.refusal.as_ref().filter(|refusal| refusal.bench == bench.id);
    let subject = Subject {
        index: state.selected,
        of: (bench.id, bench.revision),
        settings: &bench.scenario,
        fresh: &|| Box::new(Scenario::fresh(entry)),
        open: &["family", "pedal"],
        summary: Some(entry.summary),
        none: "This family has nothing to set.",
        filter: &state.filter,
        refusal: refusal.map(|refusal| (refusal.place, refusal.text.as_str())),
    };
    let title = |ui: &mut Ui, actions: &mut Vec<Action>| {
        let mut title = bench.scenario.title.clone();
        let field = TextEdit::singleline(&mut title)
            .hint_text("Title of this scenario")
            .align(egui::Align2::LEFT_CENTER)
            .desired_width(f32::INFINITY);
        if named(ui.add(field), "Title of this scenario").changed() {
            actions.push(Action::Rename(title));
        }
    };
    subject.show(ui, units, actions, title);
}

impl Subject<'_> {
    /// Every group with the settings that contain the filter; `title` adds what stands above them.
    pub fn show(
        &self,
        ui: &mut Ui,
        units: UnitSystem,
        actions: &mut Vec<Action>,
        title: impl FnOnce(&mut Ui, &mut Vec<Action>),
    ) {
        let which = format!("Settings of bench {} ({})", self.index + 1, MARKER_NAMES[self.index % 4]);
        ui.label(RichText::new(which).strong());
        title(ui, actions);
        self.find(ui, actions);
        let filter = self.filter.trim().to_lowercase();
        let groups = kept(ui.ctx(), "settings", (self.of, &filter, units as u8), || self.groups(&filter, units));
        egui::ScrollArea::vertical().id_salt("settings").auto_shrink([false, false]).show(ui, |ui| {
            for (index, (group, heading)) in groups.iter().zip(self.settings.groups()).enumerate() {
                if group.rows.is_empty() {
                    continue;
                }
                CollapsingHeader::new(RichText::new(&group.title).strong())
                    .id_salt(("group", heading.id))
                    .default_open(self.open.contains(&heading.id))
                    .open((!filter.is_empty()).then_some(true))
                    .show(ui, |ui| {
                        if let Some(summary) = self.summary.filter(|_| index == 0) {
                            ui.label(RichText::new(summary).small().weak());
                        }
                        for row in &group.rows {
                            row.show(ui, self, units, actions);
                        }
                    });
            }
            if groups.iter().all(|group| group.rows.is_empty()) {
                let none = if filter.is_empty() { self.none } else { "No setting has this word in its name or help." };
                ui.label(RichText::new(none).weak());
            }
        });
    }

    fn groups(&self, filter: &str, units: UnitSystem) -> Vec<Group> {
        let fresh = (self.fresh)();
        let of_group = |(group, heading): (usize, &crate::settings::grouped::Group)| {
            let rows: Vec<Row> = self
                .settings
                .settings(group)
                .into_iter()
                .enumerate()
                .filter(|(_, setting)| matches(setting, heading.label, filter))
                .map(|(index, setting)| {
                    let place = Place { group, index };
                    let value = self.settings.value(place);
                    let changed = value.is_some() && value != fresh.value(place);
                    Row { place, setting, changed, help: help(setting, units) }
                })
                .collect();
            let title = match rows.iter().filter(|row| row.changed).count() {
                0 => heading.label.to_owned(),
                n => format!("{} · {n} changed", heading.label),
            };
            Group { title, rows }
        };
        self.settings.groups().iter().enumerate().map(of_group).collect()
    }

    fn find(&self, ui: &mut Ui, actions: &mut Vec<Action>) {
        ui.horizontal(|ui| {
            let mut filter = self.filter.to_owned();
            let width = (ui.available_width() - if filter.is_empty() { 0.0 } else { 62.0 }).max(40.0);
            let field = TextEdit::singleline(&mut filter)
                .hint_text("Find a setting")
                .align(egui::Align2::LEFT_CENTER)
                .desired_width(width);
            if named(ui.add(field), "Find a setting").changed() {
                actions.push(Action::Filter(filter));
            }
            if !self.filter.is_empty() && named(ui.small_button("Clear"), "Clear the search").clicked() {
                actions.push(Action::Filter(String::new()));
            }
        });
    }
}

fn matches(setting: &Setting, group: &str, filter: &str) -> bool {
    let has = |text: &str| text.to_lowercase().contains(filter);
    filter.is_empty() || has(setting.label) || has(setting.help) || has(group)
}

impl Row {
    fn show(&self, ui: &mut Ui, subject: &Subject<'_>, units: UnitSystem, actions: &mut Vec<Action>) {
        let Self { place, setting, changed, ref help } = *self;
        let palette = Palette::of(ui.visuals());
        let Some(value) = subject.settings.value(place) else { return };
        ui.spacing_mut().item_spacing.y = 1.0;
        ui.add_space(3.0);
        let label = ui
            .horizontal(|ui| {
                if !changed {
                    return ui.label(setting.label);
                }
                let label = ui.label(RichText::new(format!("• {}", setting.label)).strong().color(palette.accent));
                ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                    let name = format!("Reset {}", setting.label);
                    let reset = named(ui.add(Button::new("Reset").small()), &name);
                    if reset.clicked()
                        && let Some(default) = (subject.fresh)().value(place)
                    {
                        actions.push(Action::EndOfGesture);
                        actions.push(Action::Set(place, default));
                    }
                });
                label
            })
            .inner;
        label.on_hover_text(help);
        match setting.kind {
            Kind::Number { quantity, least, most } => {
                let number = Number { place, setting, quantity, least, most, units, help };
                number.show(ui, value, actions);
            }
            Kind::Choice(words) => choice(ui, place, setting, words, value, actions),
        }
        if let Some((_, text)) = subject.refusal.filter(|(refused, _)| *refused == place) {
            ui.label(RichText::new(text).small().color(palette.error));
        }
    }
}

fn help(setting: &Setting, units: UnitSystem) -> String {
    let accepted = setting.accepted(units);
    let range = match setting.kind {
        Kind::Number { quantity, .. } => format!("{accepted}; default {}", quantity.show(setting.default, units)),
        Kind::Choice(_) => accepted,
    };
    format!("{}\n\nRange: {range}.\nOrigin: {}.", setting.help, setting.source)
}

fn choice(ui: &mut Ui, place: Place, setting: &Setting, words: &[Word], value: f64, actions: &mut Vec<Action>) {
    let shown = words.get(value as usize).map_or("–", |word| word.label);
    let answer = ComboBox::from_id_salt((place.group, place.index)).selected_text(shown).show_ui(ui, |ui| {
        for (index, word) in words.iter().enumerate() {
            if ui.selectable_label(index as f64 == value, word.label).clicked() {
                actions.push(Action::EndOfGesture);
                actions.push(Action::Set(place, index as f64));
            }
        }
    });
    named(answer.response, setting.label);
}

struct Number<'a> {
    place: Place,
    setting: &'static Setting,
    quantity: Quantity,
    least: f64,
    most: f64,
    units: UnitSystem,
    help: &'a str,
}

impl Number<'_> {
    fn show(&self, ui: &mut Ui, value: f64, actions: &mut Vec<Action>) {
        let unit = self.quantity.unit(self.units);
        let (low, high) = (unit.from_si(self.least), unit.from_si(self.most));
        ui.horizontal(|ui| {
            // a long unit must not push the panel's edge, which would give it room to push again
            let font = egui::TextStyle::Button.resolve(ui.style());
            let text = format!("{} {}", brief(unit.from_si(value)), unit.symbol);
            let shown = ui.painter().layout_no_wrap(text, font, egui::Color32::PLACEHOLDER).size().x;
            let field_width = (ui.text_style_height(&egui::TextStyle::Body) * 5.4).max(shown + 16.0);
            ui.spacing_mut().slider_width = (ui.available_width() - field_width - 16.0).max(40.0);
            let mut slid = unit.from_si(value);
            let logarithmic = self.least > 0.0 && self.most / self.least > 100.0;
            let slider = Slider::new(&mut slid, low..=high).show_value(false).logarithmic(logarithmic).smart_aim(true);
            let slider = named(ui.add(slider), self.setting.label).on_hover_text(self.help);
            if slider.changed() {
                // the ends of the rail are the ends of the range, whatever the rounding of the unit
                actions.push(Action::Set(self.place, unit.to_si(slid).clamp(self.least, self.most)));
            }
            if slider.drag_stopped() {
                actions.push(Action::EndOfGesture);
            }
            self.field(ui, value, (low, high), actions);
        });
    }

    fn field(&self, ui: &mut Ui, value: f64, (low, high): (f64, f64), actions: &mut Vec<Action>) {
        let unit = self.quantity.unit(self.units);
        let refused = RefCell::new(None);
        let suffix = if unit.symbol.is_empty() { String::new() } else { format!(" {}", unit.symbol) };
        let mut typed = unit.from_si(value);
        let field = DragValue::new(&mut typed)
            .speed((high - low).abs() / 400.0)
            .suffix(suffix)
            .update_while_editing(false)
            .custom_formatter(|value, _| brief(value))
            .custom_parser(|text| match read(text, self.quantity, self.units) {
                Ok(value) => Some(value),
                Err(reason) => {
                    *refused.borrow_mut() = Some(reason);
                    None
                }
            });
        let answer = named(ui.add(field), &format!("{}, value", self.setting.label));
        if answer.changed() {
            let si = unit.to_si(typed);
            let near = 1e-9 * (self.most - self.least);
            let at_an_end = si > self.least - near && si < self.most + near;
            let si = if answer.dragged() || at_an_end { si.clamp(self.least, self.most) } else { si };
            actions.push(Action::Set(self.place, si));
        }
        if answer.drag_stopped() || answer.lost_focus() {
            actions.push(Action::EndOfGesture);
        }
        if let Some(reason) = refused.into_inner() {
            actions.push(Action::Refuse(self.place, format!("{reason}; {}.", self.setting.accepted(self.units))));
        }
        answer.on_hover_text(self.help);
    }
}

/// Four figures without zeros that say nothing.
pub(super) fn brief(value: f64) -> String {
    let text = significant(value, 4);
    if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').to_owned() } else { text }
}

/// A number with or without one of the quantity's units, as a value in the shown unit.
pub(super) fn read(text: &str, quantity: Quantity, units: UnitSystem) -> Result<f64, String> {
    let text = text.trim().replace(',', ".").replace('−', "-");
    let end = text
        .char_indices()
        .find(|(at, c)| {
            let exponent =
                matches!(c, 'e' | 'E') && text[at + 1..].starts_with(|n: char| n.is_ascii_digit() || n == '-');
            !(c.is_ascii_digit() || matches!(c, '.' | '-' | '+') || exponent)
        })
        .map_or(text.len(), |(at, _)| at);
    let (number, symbol) = text.split_at(end);
    let number: f64 = number.trim().parse().map_err(|_| format!("“{text}” is not a number"))?;
    let symbol = symbol.trim();
    let shown = quantity.unit(units);
    if symbol.is_empty() {
        return Ok(number);
    }
    let unit = quantity.unit_named(symbol).ok_or_else(|| {
        let mut known: Vec<_> = quantity.units().iter().map(|unit| unit.symbol).filter(|s| !s.is_empty()).collect();
        known.dedup();
        format!("“{symbol}” is not a unit that is known here; known: {}", known.join(", "))
    })?;
    Ok(shown.from_si(unit.to_si(number)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_value_may_be_typed_in_any_of_its_units() {
        let inches = read("1.5 in", Quantity::Length, UnitSystem::Si).expect("read");
        assert!((inches - 38.1).abs() < 1e-9);
        assert_eq!(read("42,9", Quantity::Length, UnitSystem::Si), Ok(42.9));
        assert_eq!(read("1e-3", Quantity::Number, UnitSystem::Si), Ok(1e-3));
    }

    #[test]
    fn an_unknown_unit_is_refused_with_the_known_ones() {
        let error = read("3 furlong", Quantity::Length, UnitSystem::Si).expect_err("no such unit");
        assert!(error.contains("furlong") && error.contains("mm"));
        assert!(read("wide", Quantity::Length, UnitSystem::Si).is_err());
    }
}
