//! The card: every question from its declaration, in the customer's words; what is not known says what is then taken.

use super::{View, Wish};
use crate::app::paint::named;
use crate::app::settings_panel::{brief, read};
use crate::app::theme::{self, Palette};
use crate::settings::grouped::{Grouped, Place};
use crate::settings::{Kind, Setting, Word};
use crate::units::{Quantity, UnitSystem};
use eframe::egui::{Button, CollapsingHeader, ComboBox, Key, RichText, TextEdit, Ui};

/// The card.
pub fn show(ui: &mut Ui, view: &mut View, units: UnitSystem) {
    ui.label(theme::heavy("The customer's card"));
    let (mut name, mut note) = (view.customer.name.clone(), view.customer.note.clone());
    let field = TextEdit::singleline(&mut name).hint_text("Whose car is it?").desired_width(f32::INFINITY);
    let renamed = named(ui.add(field), "Name on the card").changed();
    let field = TextEdit::multiline(&mut note).hint_text("Anything else").desired_rows(2).desired_width(f32::INFINITY);
    let noted = named(ui.add(field), "Note on the card").changed();
    if renamed || noted {
        view.wishes.push(Wish::Rename(name, note));
    }
    for (group, heading) in view.customer.groups().iter().enumerate() {
        let settings = view.customer.settings(group);
        let known = (0..settings.len()).filter(|index| view.customer.is_known(Place { group, index: *index })).count();
        let title = format!("{} · {known} of {} told", heading.label, settings.len());
        CollapsingHeader::new(theme::heavy(title)).id_salt(("card", heading.id)).default_open(true).show(ui, |ui| {
            for (index, setting) in settings.into_iter().enumerate() {
                question(ui, view, Place { group, index }, setting, units);
            }
        });
    }
}

fn question(ui: &mut Ui, view: &mut View, place: Place, setting: &'static Setting, units: UnitSystem) {
    let palette = Palette::of(ui.visuals());
    let known = view.customer.answer(place);
    let taken = view.customer.value(place).map_or_else(String::new, |value| setting.shown(value, units));
    ui.add_space(5.0);
    ui.label(theme::heavy(setting.label));
    ui.label(RichText::new(setting.help).small().weak());
    ui.horizontal_wrapped(|ui| {
        match setting.kind {
            Kind::Choice(words) => choice(ui, view, (place, setting), words, known, &taken),
            Kind::Number { quantity, .. } => number(ui, view, (place, setting, quantity), known, units),
        }
        match known {
            Some(_) => {
                let forget =
                    named(ui.add(Button::new("Don't know").small()), &format!("Don't know: {}", setting.label));
                if forget.clicked() {
                    view.wishes.push(Wish::Forget(place));
                }
            }
            None if matches!(setting.kind, Kind::Number { .. }) => {
                // a help that says what is then taken says it better
                let text = if setting.help.contains("Not known:") {
                    "not told".to_owned()
                } else {
                    format!("not told: {taken} is taken")
                };
                ui.label(RichText::new(text).small().weak());
            }
            None => {}
        }
    });
    if let Some((_, reason)) = view.refused.get(&place) {
        ui.label(RichText::new(reason).small().color(palette.error));
    }
}

fn choice(
    ui: &mut Ui,
    view: &mut View,
    (place, setting): (Place, &Setting),
    words: &[Word],
    known: Option<f64>,
    taken: &str,
) {
    let open = format!("Don't know ({} is taken)", taken);
    let shown = known.and_then(|value| words.get(value as usize)).map_or(open.as_str(), |word| word.label);
    let width = (ui.available_width() * 0.66).max(120.0);
    let salt = ("answer", place.group, place.index);
    let answer = ComboBox::from_id_salt(salt).width(width).truncate().selected_text(shown).show_ui(ui, |ui| {
        if ui.selectable_label(known.is_none(), "Don't know").clicked() {
            view.wishes.push(Wish::Forget(place));
        }
        for (index, word) in words.iter().enumerate() {
            if ui.selectable_label(known == Some(index as f64), word.label).clicked() {
                view.wishes.push(Wish::Tell(place, index as f64));
            }
        }
    });
    named(answer.response, setting.label);
}

fn number(
    ui: &mut Ui,
    view: &mut View,
    (place, setting, quantity): (Place, &Setting, Quantity),
    known: Option<f64>,
    units: UnitSystem,
) {
    let unit = quantity.unit(units);
    let typed = view.typing.as_ref().filter(|(typed, _)| *typed == place).map(|(_, text)| text.clone());
    let refused = view.refused.get(&place).map(|(text, _)| text.clone());
    let stored = known.map_or_else(String::new, |value| brief(unit.from_si(value)));
    let mut text = typed.clone().or(refused).unwrap_or(stored);
    let width = ui.text_style_height(&eframe::egui::TextStyle::Body) * 6.5;
    let field = TextEdit::singleline(&mut text).hint_text("don't know").desired_width(width);
    let answer = named(ui.add(field), setting.label);
    // an empty label would let what follows begin at the field's own left
    if !unit.symbol.is_empty() {
        ui.label(unit.symbol);
    }
    if answer.changed() {
        view.wishes.push(Wish::Typing(place, text.clone()));
    }
    let entered = answer.lost_focus() || (answer.has_focus() && ui.input(|input| input.key_pressed(Key::Enter)));
    if !entered || typed.is_none() && !answer.changed() {
        return;
    }
    view.wishes.push(if text.trim().is_empty() {
        Wish::Forget(place)
    } else {
        match read(&text, quantity, units) {
            Ok(value) if setting.accepts(setting.at_bound(unit.to_si(value))) => {
                Wish::Tell(place, setting.at_bound(unit.to_si(value)))
            }
            Ok(_) => Wish::Refuse(
                place,
                text.clone(),
                format!("{} is not accepted; {}.", text.trim(), setting.accepted(units)),
            ),
            Err(reason) => Wish::Refuse(place, text, format!("{reason}; {}.", setting.accepted(units))),
        }
    });
}
