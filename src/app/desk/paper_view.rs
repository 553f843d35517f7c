//! A test on paper: which outcomes, how many items, which form.

use super::{Ask, View, Wish, path_buttons};
use crate::app::kept::kept;
use crate::app::paint::named;
use crate::app::theme::heavy;
use crate::content::quiz::bank::bank;
use crate::learning::outcomes::OUTCOMES;
use crate::report::page::Paper;
use crate::report::paper_test::Wanted;
use eframe::egui::{DragValue, Label, ScrollArea, Ui};
use std::collections::BTreeSet;

/// What is chosen.
pub struct Choice {
    /// Which test.
    pub wanted: Wanted,
    /// Paper.
    pub paper: Paper,
}

impl Default for Choice {
    fn default() -> Self {
        let wanted = Wanted { outcomes: Vec::new(), items: 10, seed: 1, without: BTreeSet::new() };
        Self { wanted, paper: Paper::A4 }
    }
}

impl View {
    pub(super) fn paper(&mut self, ui: &mut Ui, wishes: &mut Vec<Wish>) {
        let course = self.course.clone();
        // read once; a class that is read again brings what has changed
        let bank = kept(ui.ctx(), "desk bank", (self.revision, &course), || bank(course.as_deref()).0);
        let choice = &mut self.paper;
        ui.label("Choice, number, order, point and sketch go on paper; tuning and fault finding need the bench.");
        ui.horizontal_wrapped(|ui| {
            ui.label("Items");
            named(ui.add(DragValue::new(&mut choice.wanted.items).range(1..=60)), "How many items");
            ui.label("Form");
            let form = named(ui.add(DragValue::new(&mut choice.wanted.seed).range(0..=9_999)), "Number of the form");
            form.on_hover_text("The same number gives the same test: values, order of options, items");
            ui.separator();
            ui.radio_value(&mut choice.paper, Paper::A4, "A4");
            ui.radio_value(&mut choice.paper, Paper::Letter, "8.5 × 11 inches");
            ui.separator();
            path_buttons(ui, Ask::Test, "Make test and key", wishes);
            if !choice.wanted.without.is_empty() && ui.button("Take left-out items back").clicked() {
                choice.wanted.without.clear();
            }
        });
        ui.weak("The key goes beside the test: test.pdf and test_key.pdf.");
        let wanted = choice.wanted.clone();
        let key = (self.revision, &wanted.outcomes, wanted.items, wanted.seed, &wanted.without);
        let chosen = kept(ui.ctx(), "desk form", key, || {
            let line = |item: &&crate::learning::quiz::item::Item| {
                (item.id.clone(), format!("{}: {}", item.kind.id(), item.stem.with_stand_in("…")))
            };
            wanted.chosen(&bank).iter().map(line).collect::<Vec<_>>()
        });
        ui.columns(2, |columns| {
            let [left, right] = columns else { return };
            ScrollArea::vertical().id_salt("desk outcomes").auto_shrink([false, false]).show(left, |ui| {
                ui.label(heavy("Outcomes; none ticked stands for all"));
                outcomes(ui, &mut choice.wanted.outcomes);
            });
            ScrollArea::vertical().id_salt("desk chosen").auto_shrink([false, false]).show(right, |ui| {
                let fewer =
                    if chosen.len() < choice.wanted.items { "; there are no more on these outcomes" } else { "" };
                ui.label(heavy(format!("{} items in this form{fewer}", chosen.len())));
                for (place, (id, line)) in chosen.iter().enumerate() {
                    ui.horizontal_top(|ui| {
                        let other = ui.button("Another");
                        let name = format!("Another item in place of {}, {id}", place + 1);
                        if named(other, &name).clicked() {
                            choice.wanted.without.insert(id.clone());
                        }
                        ui.add(Label::new(format!("{}. {line}", place + 1)).wrap());
                    });
                }
            });
        });
    }
}

fn outcomes(ui: &mut Ui, chosen: &mut Vec<usize>) {
    for outcome in OUTCOMES {
        let mut ticked = chosen.contains(&outcome.number);
        if ui.checkbox(&mut ticked, format!("{}. {}", outcome.number, outcome.text)).changed() {
            chosen.retain(|number| *number != outcome.number);
            if ticked {
                chosen.push(outcome.number);
                chosen.sort_unstable();
            }
        }
    }
}
