//! Items: how hard, how well they tell learners apart, what was chosen, and what is believed.

use super::class::Class;
use super::table::{self, Cell, Column, sorted};
use super::{View, Wish, beside};
use crate::app::kept::kept;
use crate::app::theme::heavy;
use crate::learning::quiz::item::{Item, Kind};
use crate::learning::quiz::response::Response;
use crate::learning::statistics::Figure;
use crate::learning::statistics::items::ItemStatistics;
use eframe::egui::{CentralPanel, ComboBox, ScrollArea, Ui};

const COLUMNS: [Column; 6] = [
    Column { head: "Item", help: "Id of the item", width: 14.0, figures: false },
    Column { head: "n", help: "Learners whose first answer counts", width: 3.5, figures: true },
    Column { head: "p", help: "Mean score of the first answers: 1 when everybody is right", width: 4.0, figures: true },
    Column { head: "r", help: "Item against the rest of the items of the same learner", width: 4.0, figures: true },
    Column { head: "n of r", help: "Learners on whom r rests", width: 5.0, figures: true },
    Column { head: "Most chosen", help: "What was chosen most often", width: 9.0, figures: false },
];

impl View {
    pub(super) fn items(&mut self, ui: &mut Ui, class: &Class, wishes: &mut Vec<Wish>) {
        let Some((_, form)) = class.forms.get(self.form) else { return };
        beside(ui, "desk item", 0.42, table::width(ui, &COLUMNS)).show(ui, |ui| {
            ScrollArea::vertical().id_salt("desk item").auto_shrink([false, false]).show(ui, |ui| {
                match form.items.iter().find(|item| Some(&item.item) == self.item.as_ref()) {
                    Some(item) => details(ui, class, item),
                    None => {
                        ui.label("Choose an item to see its question and what was believed.");
                    }
                }
            });
        });
        CentralPanel::no_frame().show(ui, |ui| {
            ui.horizontal_wrapped(|ui| {
                ui.label("From");
                let name = class.forms.get(self.form).map_or("", |(name, _)| name.as_str());
                ComboBox::from_id_salt("desk form").selected_text(name).show_ui(ui, |ui| {
                    for (place, (name, _)) in class.forms.iter().enumerate() {
                        ui.selectable_value(&mut self.form, place, name);
                    }
                });
                ui.label(reliability(form.reliability));
            });
            ui.weak(
                "p is 1 when everybody is right. r near 1: who is right here is right elsewhere too. Near 0 or below: \
                 look at the question again.",
            );
            let sort = self.item_sort;
            let rows = kept(ui.ctx(), "desk items", (self.revision, self.form, sort), || {
                sorted(form.items.iter().map(|item| (item.item.clone(), cells(item))).collect(), sort)
            });
            let chosen = rows.iter().position(|(id, _)| Some(id) == self.item.as_ref());
            if let Some(row) = table::show(ui, "items", &COLUMNS, &rows, (&mut self.item_sort, chosen)) {
                wishes.extend(rows.get(row).map(|(id, _)| Wish::Item(id.clone())));
            }
        });
    }
}

/// KR-20 with its n, or why there is none.
fn reliability(figure: Figure) -> String {
    match figure.value {
        Ok(value) => format!("KR-20 {value:.3}, from {} learners who answered every item.", figure.n),
        Err(why) => format!("No KR-20: {why}; {} learners answered every item.", figure.n),
    }
}

fn cells(item: &ItemStatistics) -> Vec<Cell> {
    let figure = |figure: Figure| {
        let text = figure.value.map_or_else(|_| "–".to_owned(), |value| format!("{value:.2}").replace('-', "−"));
        Cell::figure(text, figure.value.ok())
    };
    let count = |n: usize| Cell::figure(n.to_string(), Some(n as f64));
    let most = item.options.first().map_or_else(String::new, |(option, count)| {
        let option = if option.is_empty() { "nothing" } else { option.as_str() };
        format!("{option}: {count}")
    });
    vec![
        Cell::text(item.item.as_str()),
        count(item.difficulty.n),
        figure(item.difficulty),
        figure(item.discrimination),
        count(item.discrimination.n),
        Cell::text(most),
    ]
}

fn details(ui: &mut Ui, class: &Class, item: &ItemStatistics) {
    ui.heading(&item.item);
    let known = class.bank.item(&item.item);
    match known {
        Some(known) => {
            ui.label(known.stem.with_stand_in("…"));
            let numbers: Vec<String> = known.outcomes.iter().map(usize::to_string).collect();
            ui.weak(format!("Outcome {}; {}; {}:{}", numbers.join(", "), known.kind.id(), known.file, known.line));
        }
        None if class.is_invented() => {
            ui.weak("This item is invented with the class and has no text.");
        }
        None => {
            ui.weak("No item of this course has this id. It may stand in another course folder.");
        }
    }
    ui.add_space(6.0);
    let told = |name: &str, figure: Figure| match figure.value {
        Ok(value) => format!("{name} = {value:.3} (n = {})", figure.n).replace('-', "−"),
        Err(why) => format!("{name} is not defined: {why} (n = {})", figure.n),
    };
    ui.label(told("p", item.difficulty));
    ui.label(told("Corrected r", item.discrimination));
    list(ui, "What was chosen first", &item.options, |text| chosen(known, text));
    list(ui, "What was believed", &item.misconceptions, str::to_owned);
    if item.misconceptions.is_empty() {
        ui.weak("No answer pointed to a known belief.");
    }
}

fn list(ui: &mut Ui, heading: &str, counts: &[(String, usize)], shown: impl Fn(&str) -> String) {
    if counts.is_empty() {
        return;
    }
    ui.add_space(6.0);
    ui.label(heavy(heading));
    for (text, count) in counts {
        ui.label(format!("{count} × {}", shown(text)));
    }
}

/// What a record's text stands for, where the item tells.
fn chosen(item: Option<&Item>, text: &str) -> String {
    if text.is_empty() {
        return "nothing".to_owned();
    }
    let option = item.and_then(|item| match (&item.kind, Response::from_chosen(item, text)?) {
        (Kind::Choice(choice), Response::Choice(place)) => choice.options.get(place).map(|option| option.text.clone()),
        (Kind::Fault(fault), Response::Fault(place)) => fault.candidates.get(place).map(|one| one.label.clone()),
        _ => None,
    });
    option.unwrap_or_else(|| text.chars().take(60).collect())
}
