//! Exchange with other programs, by open standards.

use super::{Ask, View, Wish, path_buttons};
use crate::app::paint::named;
use crate::learning::outcomes::OUTCOMES;
use eframe::egui::{ComboBox, DragValue, RichText, ScrollArea, Ui};

impl View {
    pub(super) fn exchange(&mut self, ui: &mut Ui, wishes: &mut Vec<Wish>) {
        ScrollArea::vertical().id_salt("desk exchange").auto_shrink([false, false]).show(ui, |ui| {
            heading(ui, "Answers and statistics of this class");
            ui.label("Answers go out under codes, never under names.");
            if self.class.is_some() {
                row(ui, Ask::Answers, "Answers as CSV", "one answer a line (RFC 4180)", wishes);
                row(ui, Ask::Items, "Item statistics as CSV", "p, r and what was chosen, of the form on the page Items", wishes);
                row(ui, Ask::Mastery, "Outcomes as CSV", "outcomes and learners", wishes);
                row(ui, Ask::Statements, "Answers as xAPI", "statements of xAPI 1.0.3, one a line of JSON", wishes);
            } else {
                ui.weak("Open a class first.");
            }
            heading(ui, "Items of the course");
            ui.label(
                "Choice and number items go out as a QTI 2.2 package. Values are drawn once, with the number below. Items \
                 that show a curve first, and the other kinds, stay here and are named.",
            );
            ui.horizontal_wrapped(|ui| {
                ui.label("Number for drawn values");
                named(ui.add(DragValue::new(&mut self.seed).range(0..=9_999)), "Number for drawn values");
                path_buttons(ui, Ask::Package, "Write the package", wishes);
            });
            heading(ui, "Items from elsewhere");
            ui.label(
                "A package is taken into the folder quizzes of your course folder, as a text file that you can edit. Every \
                 item that is not taken is named with the reason.",
            );
            match &self.course {
                Some(folder) => ui.weak(format!("Course folder: {}", folder.display())),
                None => ui.weak("Choose a course folder first: File, Course folder."),
            };
            ui.horizontal_wrapped(|ui| {
                ui.label("Outcome of items that name none");
                let shown = |number: usize| match OUTCOMES.iter().find(|outcome| outcome.number == number) {
                    Some(outcome) => format!("{number}. {}", outcome.text),
                    None => "do not take them".to_owned(),
                };
                ComboBox::from_id_salt("desk fallback").selected_text(shown(self.fallback)).show_ui(ui, |ui| {
                    for number in 0..=OUTCOMES.len() {
                        ui.selectable_value(&mut self.fallback, number, shown(number));
                    }
                });
                if self.course.is_some() {
                    path_buttons(ui, Ask::Import, "Take a package in", wishes);
                }
            });
        });
    }
}

fn heading(ui: &mut Ui, text: &str) {
    ui.add_space(8.0);
    ui.label(RichText::new(text).heading());
}

fn row(ui: &mut Ui, ask: Ask, label: &str, what: &str, wishes: &mut Vec<Wish>) {
    ui.horizontal_wrapped(|ui| {
        path_buttons(ui, ask, label, wishes);
        ui.weak(what);
    });
}
