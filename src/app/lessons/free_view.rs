//! The few settings that a block frees.

use super::Page;
use super::block::{Block, Deed};
use crate::app::paint::{keep_keyboard, named};
use crate::app::settings_panel::{brief, read};
use crate::app::theme::bold;
use crate::learning::live::{Free, Live};
use crate::settings::{Kind, Word};
use crate::units::Quantity;
use eframe::egui::{Button, ComboBox, DragValue, Id, RichText, Slider, TextStyle, Ui, UiBuilder};

/// Sliders with their values, and the way back.
pub fn show(ui: &mut Ui, page: &mut Page<'_>, live: &Live, block: &Block) {
    if live.free.is_empty() {
        return;
    }
    ui.label(RichText::new("Turn and see").family(bold()));
    settings(ui, page, live, block);
    let back = ui.add_enabled(block.is_turned(), Button::new("Back to the start"));
    if back.on_hover_text("The settings as the lesson gives them").clicked() {
        page.deeds.push((live.id.clone(), Deed::Back));
    }
    if let Some(error) = &block.error {
        ui.label(RichText::new(error).color(page.palette.error));
    }
}

/// Each setting with its slider, field and range.
pub fn settings(ui: &mut Ui, page: &mut Page<'_>, live: &Live, block: &Block) {
    for (index, free) in live.free.iter().enumerate() {
        // what a turn lets be told above must not take the keyboard from the slider
        let own = UiBuilder::new().scope_id(Id::unique(("freed", &live.id, index)));
        ui.scope_builder(own, |ui| one(ui, page, live, block, index, free));
    }
}

/// Its name, with the bench where not all benches are turned.
fn name(live: &Live, free: &Free) -> String {
    let benches: Vec<&str> =
        free.benches.iter().filter_map(|(bench, _)| Some(live.benches.get(*bench)?.name.as_str())).collect();
    let first = free.benches.first().and_then(|(bench, place)| Some((live.benches.get(*bench)?, *place)));
    let name = first.map_or_else(String::new, |(bench, place)| bench.subject.settings().name(place));
    if live.benches.len() > 1 && benches.len() < live.benches.len() {
        format!("{name} ({})", benches.join(", "))
    } else {
        name
    }
}

fn one(ui: &mut Ui, page: &mut Page<'_>, live: &Live, block: &Block, index: usize, free: &Free) {
    let given =
        free.benches.first().and_then(|(bench, place)| live.benches.get(*bench)?.subject.settings().value(*place));
    let Some(given) = given else { return };
    let value = block.values.get(index).copied().flatten().unwrap_or(given);
    let name = name(live, free);
    let units = page.preferences.units;
    let shown = |value| free.setting.shown(value, units);
    ui.add_space(2.0);
    ui.label(&name).on_hover_text(free.setting.help);
    let turned = match free.setting.kind {
        Kind::Number { quantity, .. } => number(ui, page, free, quantity, &name, value),
        Kind::Choice(words) => choice(ui, words, &name, value),
    };
    let range = match free.setting.kind {
        Kind::Number { .. } => {
            format!("{} to {}; it begins at {}", shown(free.least), shown(free.most), shown(given))
        }
        Kind::Choice(_) => format!("it begins with {}", shown(given)),
    };
    ui.label(RichText::new(range).small().color(page.palette.weak));
    if let Some(turned) = turned.filter(|turned| *turned != value) {
        page.deeds.push((live.id.clone(), Deed::Turn(index, turned)));
    }
}

fn number(ui: &mut Ui, page: &Page<'_>, free: &Free, quantity: Quantity, name: &str, value: f64) -> Option<f64> {
    let units = page.preferences.units;
    let unit = quantity.unit(units);
    let (low, high) = (unit.from_si(free.least), unit.from_si(free.most));
    let within = |shown: f64| unit.to_si(shown).clamp(free.least, free.most);
    ui.horizontal(|ui| {
        let field_width = ui.text_style_height(&TextStyle::Body) * 6.0;
        ui.spacing_mut().slider_width = (ui.available_width() - field_width - 10.0).max(60.0);
        let mut slid = unit.from_si(value);
        let slider = Slider::new(&mut slid, low..=high).show_value(false).smart_aim(true);
        let slider = named(ui.add(slider), name).on_hover_text(free.setting.help);
        let suffix = if unit.symbol.is_empty() { String::new() } else { format!(" {}", unit.symbol) };
        let mut typed = unit.from_si(value);
        let field = DragValue::new(&mut typed)
            .range(low.min(high)..=high.max(low))
            .speed((high - low).abs() / 400.0)
            .suffix(suffix)
            .update_while_editing(false)
            .custom_formatter(|value, _| brief(value))
            .custom_parser(move |text| read(text, quantity, units).ok());
        let field = named(ui.add(field), &format!("{name}, value"));
        keep_keyboard(&field);
        match (slider.changed(), field.changed()) {
            (true, _) => Some(within(slid)),
            (_, true) => Some(within(typed)),
            _ => None,
        }
    })
    .inner
}

fn choice(ui: &mut Ui, words: &[Word], name: &str, value: f64) -> Option<f64> {
    let shown = words.get(value as usize).map_or("–", |word| word.label);
    let mut chosen = None;
    let answer = ComboBox::from_id_salt("words").selected_text(shown).show_ui(ui, |ui| {
        for (index, word) in words.iter().enumerate() {
            if ui.selectable_label(index as f64 == value, word.label).clicked() {
                chosen = Some(index as f64);
            }
        }
    });
    named(answer.response, name);
    chosen
}
