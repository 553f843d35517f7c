//! The counter: the card beside what was found, and above both what is done with a card.

use super::{View, Wish, form, result};
use crate::advice::recommend::Partial;
use crate::app::actions::{Action, Purpose};
use crate::app::job::Job;
use crate::app::paint::named;
use crate::app::preferences::Preferences;
use crate::app::theme::{self, Palette};
use crate::content::customers;
use crate::settings::grouped::Grouped;
use eframe::egui::{Button, ProgressBar, RichText, ScrollArea, TextStyle, Ui, UiBuilder, vec2};
use std::time::Duration;

/// Narrower than this, in heights of a line, card and answer do not stand side by side.
const SIDE_BY_SIDE: f32 = 58.0;
/// Room beside what scrolls, so that its bar lies on nothing.
const BAR: f32 = 12.0;

impl View {
    /// The card beside what was found; one of them where there is no room for both.
    pub(super) fn counter(&mut self, ui: &mut Ui, preferences: &Preferences, actions: &mut Vec<Action>) {
        self.head(ui, actions);
        let text = ui.text_style_height(&TextStyle::Body);
        let is_narrow = ui.available_width() <= text * SIDE_BY_SIDE;
        if is_narrow {
            ui.horizontal_wrapped(|ui| {
                self.ask_or_stop(ui);
                for (answer, label) in [(false, "The card"), (true, "What was found")] {
                    if ui.selectable_label(self.reads_answer == answer, label).clicked() {
                        self.wishes.push(Wish::Read(answer));
                    }
                }
            });
        }
        let room = ui.available_rect_before_wrap();
        if is_narrow {
            let id = if self.reads_answer { "answer" } else { "card" };
            ScrollArea::vertical().id_salt(id).auto_shrink([false, false]).show(ui, |ui| {
                ui.set_max_width(room.width() - BAR);
                if self.reads_answer {
                    self.found(ui, preferences, actions);
                } else {
                    form::show(ui, self, preferences.units);
                }
            });
            return;
        }
        let width = (text * 27.0).min(room.width() * 0.42);
        let (left, right) = room.split_left_right_at_x(room.left() + width);
        let mut child = ui.new_child(UiBuilder::new().max_rect(left));
        ScrollArea::vertical().id_salt("card").auto_shrink([false, false]).show(&mut child, |ui| {
            ui.set_max_width(width - BAR);
            form::show(ui, self, preferences.units);
        });
        let right = right.with_min_x(right.left() + 22.0);
        let mut child = ui.new_child(UiBuilder::new().max_rect(right));
        ScrollArea::vertical().id_salt("answer").auto_shrink([false, false]).show(&mut child, |ui| {
            ui.set_max_width(right.width() - BAR);
            ui.horizontal_wrapped(|ui| self.ask_or_stop(ui));
            self.found(ui, preferences, actions);
        });
        ui.advance_cursor_after_rect(room);
    }

    fn head(&mut self, ui: &mut Ui, actions: &mut Vec<Action>) {
        ui.horizontal_wrapped(|ui| {
            if ui.button("New card").clicked() {
                self.wishes.push(Wish::Load(Box::default()));
            }
            ui.menu_button("Invented customers", |ui| {
                ui.label(RichText::new("Of the invented workshop Kestrel Yard").small().weak());
                for shipped in customers::shipped() {
                    let Ok(customer) = shipped.customer() else { continue };
                    if ui.button(&customer.name).clicked() {
                        self.wishes.push(Wish::Load(Box::new(customer)));
                        ui.close();
                    }
                }
            });
            for (label, action) in [
                ("Open a card …", Action::Open),
                ("Open a card by path …", Action::AskPath(Purpose::OpenCustomer)),
                ("Save the card …", Action::Save),
                ("Save the card by path …", Action::AskPath(Purpose::SaveCustomer)),
            ] {
                if ui.button(label).clicked() {
                    actions.push(action);
                }
            }
            let state = match (&self.path, self.is_unsaved()) {
                (_, true) => "not saved".to_owned(),
                (Some(path), false) => path.display().to_string(),
                (None, false) => String::new(),
            };
            ui.label(RichText::new(state).small().weak());
        });
        self.pending_or_notice(ui);
    }

    fn pending_or_notice(&mut self, ui: &mut Ui) {
        let palette = Palette::of(ui.visuals());
        if let Some((customer, _)) = &self.pending {
            let name = if customer.name.is_empty() { "an empty card" } else { customer.name.as_str() };
            ui.horizontal_wrapped(|ui| {
                let text = format!("These answers are not saved. Open {name} in their place?");
                ui.label(RichText::new(text).color(palette.error));
                if ui.button("Leave them and go on").clicked() {
                    self.wishes.push(Wish::GoOn(true));
                }
                if ui.button("Stay here").clicked() {
                    self.wishes.push(Wish::GoOn(false));
                }
            });
        }
        if let Some((text, is_error)) = &self.notice {
            let colour = if *is_error { palette.error } else { palette.ink };
            ui.label(RichText::new(text).color(colour));
        }
    }

    fn ask_or_stop(&mut self, ui: &mut Ui) {
        let can_ask = self.refused.is_empty() && self.customer.problems().is_empty();
        let ask = ui.add_enabled(can_ask, Button::new(theme::heavy("What suits this car?")));
        if ask.on_disabled_hover_text("Mend the marked answers first").clicked() {
            self.wishes.push(Wish::Ask);
        }
        if self.job.is_some() && ui.button("Stop").clicked() {
            self.wishes.push(Wish::Stop);
        }
        if !can_ask {
            let palette = Palette::of(ui.visuals());
            ui.label(RichText::new("Mend the marked answers first.").color(palette.error));
        }
    }

    fn found(&mut self, ui: &mut Ui, preferences: &Preferences, actions: &mut Vec<Action>) {
        let palette = Palette::of(ui.visuals());
        if let Some(job) = &self.job {
            so_far(ui, job);
            return;
        }
        match &self.answer {
            None => {
                ui.label(RichText::new(self.what_is_open()).weak());
            }
            Some(Err(error)) => {
                ui.label(RichText::new(error).color(palette.error));
            }
            Some(Ok(answer)) => {
                if answer.found.customer != self.customer {
                    ui.label(RichText::new("Answers have changed since: ask again.").color(palette.error));
                }
                let look = result::Look { selected: self.selected, axes: self.axes, paper: self.paper };
                result::show(ui, answer, look, preferences, actions, &mut self.wishes);
            }
        }
    }

    /// Before anything is asked: how much is known.
    fn what_is_open(&self) -> String {
        let places = self.customer.places();
        let open = places.iter().filter(|place| !self.customer.is_known(**place)).count();
        let rest = "Every question may stay open: the answer then says how much hangs on it.";
        match open {
            0 => "Every question is answered.".to_owned(),
            all if all == places.len() => {
                format!("Fill in what is known, or take an invented customer to try it. {rest}")
            }
            1 => format!("1 of {} questions is open. {rest}", places.len()),
            _ => format!("{open} of {} questions are open. {rest}", places.len()),
        }
    }
}

/// Progress, and how it ranks until now.
fn so_far(ui: &mut Ui, job: &Job<Partial, super::Answer>) {
    let last = job.steps.last();
    let about = last.map_or(1, |step| step.of_about).max(job.done()).max(1);
    let stage = last.map_or("begun", |step| step.stage);
    let bar = ProgressBar::new(job.done() as f32 / about as f32).text(format!("{} of about {about} runs", job.done()));
    named(ui.add(bar), "Progress");
    ui.label(RichText::new(format!("Finished: {stage}.")).weak());
    if let Some(step) = last.filter(|step| !step.ranking.is_empty()) {
        ui.label(theme::heavy("The order until now"));
        for (place, title) in step.ranking.iter().take(8).enumerate() {
            ui.label(format!("{}. {title}", place + 1));
        }
    }
    ui.allocate_space(vec2(1.0, 4.0));
    ui.ctx().request_repaint_after(Duration::from_millis(100));
}
