//! What this rests on: laws, sources, checks and their results, and what is left out.

use super::actions::Action;
use super::kept::kept;
use super::paint::named;
use super::preferences::Preferences;
use super::state::State;
use super::theme::{self, Palette};
use crate::content::grounds::{Check, Grounds, Law, Room, SECOND_OPINION};
use crate::content::grounds_text::{result, standing, summary};
use crate::content::problem::Problems;
use eframe::egui::text::LayoutJob;
use eframe::egui::{
    Align, Button, CentralPanel, Frame, Margin, Panel, RichText, ScrollArea, TextEdit, TextFormat, TextStyle, Ui,
};
use std::collections::BTreeSet;

/// Window in heights of its text from which two columns stand side by side.
const TWO_COLUMNS: f32 = 70.0;
/// Longest line in heights of its text: beyond it the eye loses the next one.
const LONGEST_LINE: f32 = 56.0;

/// What this screen remembers.
#[derive(Default)]
pub struct View {
    search: String,
    only_unwatched: bool,
    /// Laws whose checks are shown, by name.
    open: BTreeSet<String>,
}

impl View {
    /// The screen.
    pub fn show(&mut self, ui: &mut Ui, _state: &State, _preferences: &Preferences, _actions: &mut Vec<Action>) {
        let grounds = kept(ui.ctx(), "grounds", (), Grounds::shipped);
        let grounds: &Grounds = match &*grounds {
            Ok(grounds) => grounds,
            Err(problems) => return broken(ui, problems),
        };
        let text = ui.text_style_height(&TextStyle::Body);
        if ui.available_width() < TWO_COLUMNS * text {
            ScrollArea::vertical().id_salt("grounds").auto_shrink([false, false]).show(ui, |ui| {
                ui.set_max_width(ui.available_width().min(LONGEST_LINE * text) - 12.0);
                let asked = ui.button("To what the model leaves out, below the laws").clicked();
                self.laws(ui, grounds);
                ui.add_space(14.0);
                let below = ui.scope(|ui| left_out(ui, grounds)).response;
                if asked {
                    below.scroll_to_me(Some(Align::TOP));
                }
            });
            return;
        }
        let margin = Frame::new().inner_margin(Margin { left: 16, right: 4, top: 0, bottom: 0 });
        let width = (ui.available_width() * 0.4).min(LONGEST_LINE * text);
        Panel::right("grounds left out").frame(margin).resizable(false).exact_size(width).show(ui, |ui| {
            ScrollArea::vertical().id_salt("left out").auto_shrink([false, false]).show(ui, |ui| {
                ui.set_max_width(ui.available_width() - 12.0);
                left_out(ui, grounds);
            });
        });
        CentralPanel::no_frame().show(ui, |ui| {
            ScrollArea::vertical().id_salt("grounds").auto_shrink([false, false]).show(ui, |ui| {
                ui.set_max_width(ui.available_width().min(LONGEST_LINE * 1.2 * text) - 16.0);
                self.laws(ui, grounds);
            });
        });
    }

    fn laws(&mut self, ui: &mut Ui, grounds: &Grounds) {
        heading(ui, "What this rests on");
        for line in summary(grounds) {
            ui.label(line);
        }
        if SECOND_OPINION {
            ui.label(
                "A second program was written from the stated equations alone, without sight of the first; its figures \
                 and the comparison stand in tests/second_opinion.",
            );
        }
        ui.add_space(6.0);
        self.filter(ui);
        let search = self.search.trim();
        let shown: Vec<&Law> = grounds
            .laws
            .iter()
            .filter(|law| law.matches(search) && !(self.only_unwatched && law.sees_one_percent()))
            .collect();
        if shown.is_empty() {
            ui.label("No law matches. Take a word away from the search, or untick the box.");
        }
        for room in Room::ALL {
            let here: Vec<&&Law> = shown.iter().filter(|law| law.room == room).collect();
            if here.is_empty() {
                continue;
            }
            ui.add_space(10.0);
            let laws = if here.len() == 1 { "1 law".to_owned() } else { format!("{} laws", here.len()) };
            heading(ui, &format!("{}: {laws}", room.label()));
            for law in here {
                law_row(ui, law, &mut self.open);
            }
        }
    }

    fn filter(&mut self, ui: &mut Ui) {
        let text = ui.text_style_height(&TextStyle::Body);
        ui.horizontal_wrapped(|ui| {
            ui.label("Show laws with");
            let width = (16.0 * text).min(ui.available_width());
            let field = TextEdit::singleline(&mut self.search).hint_text("any word").desired_width(width);
            named(ui.add(field), "Show laws with these words");
            if !self.search.is_empty() && ui.button("Show all").clicked() {
                self.search.clear();
            }
            ui.checkbox(&mut self.only_unwatched, "only those that no independent check watches to 1 %");
        });
    }
}

/// The files are the program's own, and a test reads them; still, nothing is taken for granted.
fn broken(ui: &mut Ui, problems: &Problems) {
    let palette = Palette::of(ui.visuals());
    heading(ui, "What this rests on");
    ui.label("The tables that this page shows cannot be read:");
    ui.label(RichText::new(problems.to_string()).color(palette.error));
}

fn heading(ui: &mut Ui, text: &str) {
    ui.label(RichText::new(text).heading());
}

/// Name of a law, and when it is open what is said of it and each of its checks.
fn law_row(ui: &mut Ui, law: &Law, open: &mut BTreeSet<String>) {
    let palette = Palette::of(ui.visuals());
    let is_open = open.contains(&law.id);
    let body = TextStyle::Body.resolve(ui.style());
    let mut bold = body.clone();
    bold.family = theme::bold();
    let mut job = LayoutJob::default();
    let sign = if is_open { "–  " } else { "+  " };
    job.append(sign, 0.0, TextFormat::simple(bold.clone(), palette.accent));
    job.append(&law.title, 0.0, TextFormat::simple(bold, palette.ink));
    job.append(&format!("   {}", standing(law)), 0.0, TextFormat::simple(body, palette.weak));
    let row = ui.add(Button::new(job).frame(false).wrap());
    let name = format!("{}: {}", law.title, standing(law));
    row.ctx.accesskit_node_builder(row.id, |node| node.set_expanded(is_open));
    if named(row, &name).clicked() && !open.remove(&law.id) {
        open.insert(law.id.clone());
    }
    if is_open {
        let indent = ui.text_style_height(&TextStyle::Body) as i8;
        Frame::new().inner_margin(Margin { left: indent, bottom: 8, ..Margin::ZERO }).show(ui, |ui| {
            details(ui, law, palette);
        });
    }
}

fn details(ui: &mut Ui, law: &Law, palette: &Palette) {
    ui.label(&law.words);
    for (name, words) in [
        ("Equation", &law.equation),
        ("Source", &law.source),
        ("Leaves out", &law.leaves_out),
        ("Not watched to 1 %", &law.unseen),
        ("Name in the code", &law.id),
    ] {
        if !words.is_empty() {
            ui.label(RichText::new(format!("{name}: {words}")).color(palette.weak));
        }
    }
    for check in &law.checks {
        ui.add_space(3.0);
        check_row(ui, check, palette);
    }
}

/// A check as one label, so that it is read out as one phrase.
fn check_row(ui: &mut Ui, check: &Check, palette: &Palette) {
    let small = TextStyle::Small.resolve(ui.style());
    let colour = if check.agrees { palette.ink } else { palette.error };
    let mut job = LayoutJob::default();
    let head = format!("{}, {}: {}\n", check.id, check.origin.label(), check.quantity);
    job.append(&head, 0.0, TextFormat::simple(small.clone(), palette.ink));
    let mut bold = small.clone();
    bold.family = theme::bold();
    job.append(&format!("{}\n", sentence(&result(check))), 0.0, TextFormat::simple(bold, colour));
    let seen = match (check.origin.independent(), check.sees_one_percent()) {
        (false, _) => "A wrong equation would pass.",
        (true, true) => "An error of 1 % would fail.",
        (true, false) => "An error of 1 % could pass.",
    };
    let tail = format!("From {}. Tolerance: {}. {seen}", check.source, check.reason);
    job.append(&tail, 0.0, TextFormat::simple(small, palette.weak));
    ui.label(job);
}

fn sentence(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or(String::new(), |first| first.to_uppercase().chain(letters).chain(['.']).collect())
}

fn left_out(ui: &mut Ui, grounds: &Grounds) {
    let palette = Palette::of(ui.visuals());
    let body = TextStyle::Body.resolve(ui.style());
    let mut bold = body.clone();
    bold.family = theme::bold();
    let item = |ui: &mut Ui, head: &str, tail: &str| {
        let mut job = LayoutJob::default();
        job.append(head, 0.0, TextFormat::simple(bold.clone(), palette.ink));
        job.append(tail, 0.0, TextFormat::simple(body.clone(), palette.ink));
        ui.label(job);
        ui.add_space(2.0);
    };
    heading(ui, "What the model leaves out");
    for room in Room::ALL {
        let mut here = grounds.left_out.iter().filter(|left| left.room == room).peekable();
        if here.peek().is_some() {
            ui.add_space(4.0);
            ui.label(RichText::new(room.label()).color(palette.weak));
        }
        for left in here {
            item(ui, &format!("{}. ", left.what), &left.effect);
        }
    }
    ui.add_space(10.0);
    heading(ui, "Where the model and belief differ");
    ui.label(RichText::new("Beliefs are common practice, no source.").color(palette.weak));
    for belief in &grounds.beliefs {
        item(ui, &format!("“{}” ", belief.belief), &belief.model);
    }
}
