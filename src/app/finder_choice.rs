//! Which settings the search may turn, and how far.

use super::paint::{frame_boxes, named};
use super::settings_panel::{brief, read};
use crate::advice::free::{Free, offered};
use crate::bench::scenario::{GROUPS, Scenario};
use crate::settings::Kind;
use crate::settings::grouped::Grouped;
use crate::units::UnitSystem;
use eframe::egui::{DragValue, RichText, Ui};

/// A setting that is offered.
#[derive(Debug, Clone, Copy)]
pub struct Choice {
    /// Which, and the range to search.
    pub free: Free,
    /// Whether the reader has freed it.
    pub on: bool,
    /// Whether it is the family's own.
    own: bool,
}

/// What is offered for a scenario: the family's own settings free, the others held.
pub fn choices(scenario: &Scenario) -> Vec<Choice> {
    offered(scenario).into_iter().map(|(free, own)| Choice { free, on: own, own }).collect()
}

/// A box for each setting and, for those that are free, the ends of the range.
pub fn show(ui: &mut Ui, scenario: &Scenario, choices: &mut [Choice], units: UnitSystem) {
    frame_boxes(ui);
    for (own, heading) in [(true, "What tunes this family"), (false, "On every carburettor")] {
        ui.label(RichText::new(heading).small().weak());
        for choice in choices.iter_mut().filter(|choice| choice.own == own) {
            row(ui, scenario, choice, units);
        }
    }
}

fn row(ui: &mut Ui, scenario: &Scenario, choice: &mut Choice, units: UnitSystem) {
    let place = choice.free.place;
    let (Some(setting), Some(value)) = (scenario.setting(place), scenario.value(place)) else { return };
    let label =
        if choice.own { setting.label.to_owned() } else { format!("{}: {}", GROUPS[place.group].label, setting.label) };
    ui.horizontal_wrapped(|ui| {
        ui.checkbox(&mut choice.on, &label).on_hover_text(setting.help);
        ui.label(RichText::new(format!("now {}", setting.shown(value, units))).weak());
    });
    let Kind::Number { quantity, least, most } = setting.kind else { return };
    if !choice.on {
        return;
    }
    ui.horizontal_wrapped(|ui| {
        ui.add_space(ui.spacing().icon_width + ui.spacing().icon_spacing);
        let unit = quantity.unit(units);
        let end = |ui: &mut Ui, word: &str, name: &str, value: &mut f64, (low, high): (f64, f64)| {
            ui.label(word);
            let mut shown = unit.from_si(*value);
            let suffix = if unit.symbol.is_empty() { String::new() } else { format!(" {}", unit.symbol) };
            let field = DragValue::new(&mut shown)
                .speed((unit.from_si(most) - unit.from_si(least)).abs() / 400.0)
                .suffix(suffix)
                .update_while_editing(false)
                .custom_formatter(|value, _| brief(value))
                .custom_parser(|text| read(text, quantity, units).ok());
            if named(ui.add(field), &format!("{label}, {name} value to try")).changed() {
                *value = unit.to_si(shown).clamp(low, high);
            }
        };
        // the ends stay a little apart, so that there is something to search
        let apart = 1e-3 * (most - least);
        let (from, to) = (choice.free.least, choice.free.most);
        end(ui, "between", "least", &mut choice.free.least, (least, to - apart));
        end(ui, "and", "greatest", &mut choice.free.most, (from + apart, most));
    });
}
