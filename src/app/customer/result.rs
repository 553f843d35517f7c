//! What was found: the answer, the ranked proposals, one of them in full, and what stands around it.

use super::answer::Answer;
use super::{Wish, front};
use crate::advice::recommend::phrase::{brief, capital, work};
use crate::advice::recommend::proposal::{Proposal, Recommendation};
use crate::advice::recommend::weigh::Criterion;
use crate::app::actions::{Action, Purpose};
use crate::app::files::file_name;
use crate::app::paint::named;
use crate::app::preferences::Preferences;
use crate::app::screen::Screen;
use crate::app::theme::{self, Palette};
use crate::report::page::Paper;
use crate::units::Quantity;
use eframe::egui::{Button, CollapsingHeader, Grid, RichText, ScrollArea, TextStyle, Ui};

/// Width of the figures beside a proposal, in heights of a line.
const FIGURES: f32 = 30.0;

/// What of it is looked at.
#[derive(Debug, Clone, Copy)]
pub struct Look {
    /// Place of the proposal that is told in full.
    pub selected: usize,
    /// Places of the criteria along the axes.
    pub axes: [usize; 2],
    /// Paper of the page.
    pub paper: Paper,
}

/// All of it.
pub fn show(
    ui: &mut Ui,
    answer: &Answer,
    look: Look,
    preferences: &Preferences,
    actions: &mut Vec<Action>,
    wishes: &mut Vec<Wish>,
) {
    let found = &answer.found;
    ui.add_space(4.0);
    ui.heading(&found.headline);
    ui.label(&found.sure);
    if let Some(complaint) = &found.complaint {
        ui.label(complaint);
    }
    ui.add_space(4.0);
    buttons(ui, answer, look.paper, actions, wishes);
    ui.add_space(6.0);
    ranking(ui, found, look.selected, preferences, wishes);
    ui.add_space(6.0);
    front::show(ui, found, look.selected, look.axes, wishes);
    ui.add_space(6.0);
    if let Some(proposal) = found.proposals.get(look.selected) {
        in_full(ui, look.selected, proposal);
    }
    ui.add_space(6.0);
    around(ui, found);
}

fn buttons(ui: &mut Ui, answer: &Answer, paper: Paper, actions: &mut Vec<Action>, wishes: &mut Vec<Wish>) {
    let name = &answer.found.customer.name;
    ui.horizontal_wrapped(|ui| {
        if ui.button(theme::heavy("Show them")).on_hover_text("Large, for the customer; Escape comes back").clicked() {
            wishes.push(Wish::Wall(true));
        }
        if ui.button("To the benches").on_hover_text("Both, as they were run, in place of all benches").clicked() {
            let scenarios = answer.sides.iter().map(|(_, outcome)| outcome.scenario.clone()).collect();
            actions.push(Action::LoadScenarios(scenarios));
            actions.push(Action::GoTo(Screen::Benches));
        }
        for (label, purpose) in [
            ("Print the page …", Purpose::CustomerPage),
            ("Table as CSV …", Purpose::CustomerTable),
            ("All of it as JSON …", Purpose::CustomerData),
        ] {
            if ui.button(label).clicked() {
                actions.push(Action::AskCustomerFile(purpose, file_name(name, purpose.ending())));
            }
        }
        ui.menu_button("By path …", |ui| {
            for (label, purpose) in [
                ("Print the page by path …", Purpose::CustomerPage),
                ("Table as CSV by path …", Purpose::CustomerTable),
                ("All of it as JSON by path …", Purpose::CustomerData),
            ] {
                if ui.button(label).clicked() {
                    actions.push(Action::AskPath(purpose));
                    ui.close();
                }
            }
        });
        for (one, label) in [(Paper::A4, "A4"), (Paper::Letter, "Letter")] {
            let choice = named(ui.selectable_label(paper == one, label), &format!("Paper of the page: {label}"));
            if choice.clicked() {
                wishes.push(Wish::Paper(one));
            }
        }
    });
}

/// The proposals, the best first, with what each does.
fn ranking(ui: &mut Ui, found: &Recommendation, selected: usize, preferences: &Preferences, wishes: &mut Vec<Wish>) {
    let units = preferences.units;
    ui.label(theme::heavy("Ranked by the runs"));
    // what the figures leave: a long title takes a second line instead of pushing them out of sight
    let text = ui.text_style_height(&TextStyle::Body);
    let title_width = (ui.available_width() - FIGURES * text).clamp(12.0 * text, 34.0 * text);
    ScrollArea::horizontal().id_salt("ranking").show(ui, |ui| {
        Grid::new("ranking").striped(true).spacing([14.0, 4.0]).show(ui, |ui| {
            for head in ["", "Proposal", "Points", "Best in", "Lost when floored", "Top torque", "Fuel, g/km", "Work"] {
                ui.label(theme::heavy(head));
            }
            ui.end_row();
            for (place, proposal) in found.proposals.iter().enumerate() {
                ui.label((place + 1).to_string());
                ui.vertical(|ui| {
                    ui.set_width(title_width);
                    let title = ui.add(Button::selectable(place == selected, brief(proposal)).wrap());
                    if named(title, &format!("Proposal {}: {}", place + 1, proposal.title)).clicked() {
                        wishes.push(Wish::Select(place));
                    }
                    if !mark(place, proposal).is_empty() {
                        ui.label(RichText::new(mark(place, proposal)).small().weak());
                    }
                });
                let lost = Quantity::ShortTime.show(proposal.figures.lost_s(&found.weights), units);
                for text in [
                    format!("{:.2}", proposal.cost),
                    format!("{:.0} of {}", proposal.first_share * found.draws as f64, found.draws),
                    lost,
                    Quantity::Torque.show(proposal.figures.top_nm, units),
                    format!("{:.1}", 1e6 * proposal.footing.cruise.fuel_kg_per_m),
                    format!("{} h", proposal.work_s / 3600.0),
                ] {
                    ui.label(text);
                }
                ui.end_row();
            }
        });
    });
}

fn mark(place: usize, proposal: &Proposal) -> &'static str {
    match (proposal.alike && place > 0, proposal.on_front) {
        (true, true) => "as good as the first; nothing beats it in everything",
        (true, false) => "as good as the first",
        (false, true) => "nothing beats it in everything",
        (false, false) => "",
    }
}

fn part(ui: &mut Ui, head: &str, lines: &[String]) {
    if !lines.is_empty() {
        ui.label(theme::heavy(head));
        for line in lines {
            ui.label(format!("• {}", capital(line)));
        }
    }
}

fn in_full(ui: &mut Ui, place: usize, proposal: &Proposal) {
    let palette = Palette::of(ui.visuals());
    ui.heading(format!("{}. {}", place + 1, proposal.title));
    ui.label(RichText::new(format!("{} {}.", proposal.family.summary, work(proposal.work_s))).weak());
    part(ui, &format!("Better {}", proposal.against), &proposal.gains);
    part(ui, &format!("Worse {}", proposal.against), &proposal.costs);
    part(ui, "Why", &proposal.why);
    ui.label(theme::heavy("Set it first to"));
    Grid::new(("first settings", place)).spacing([14.0, 3.0]).show(ui, |ui| {
        for setting in &proposal.settings {
            ui.label(capital(&setting.label));
            ui.label(theme::heavy(&setting.value));
            ui.label(setting.before.as_ref().map_or_else(String::new, |before| format!("was {before}")));
            ui.end_row();
        }
    });
    part(ui, "How far each may be off", &proposal.room);
    ui.label(theme::heavy("Then tune, in this order"));
    for (number, step) in proposal.steps.iter().enumerate() {
        ui.label(format!("{}. {}", number + 1, step.text));
        ui.label(RichText::new(format!("Caution: {}", step.caution)).small().color(palette.error));
    }
    let burdens: Vec<String> = Criterion::ALL
        .iter()
        .map(|criterion| format!("{} {:.2}", criterion.label().to_lowercase(), proposal.burdens[*criterion as usize]))
        .collect();
    ui.label(RichText::new(format!("Points: {}.", burdens.join("; "))).small().weak());
}

fn around(ui: &mut Ui, found: &Recommendation) {
    let palette = Palette::of(ui.visuals());
    ui.label(theme::heavy("Starting hot"));
    ui.label(&found.hot.text);
    for caution in &found.cautions {
        ui.label(RichText::new(format!("Caution: {caution}")).color(palette.error));
    }
    ui.label(&found.law);
    let assumed: Vec<String> = found.assumed.iter().map(|line| format!("{}: {}", line.label, line.text)).collect();
    part(ui, "Not told", &assumed);
    let mut reading = vec![found.counts.clone()];
    reading.extend(found.reading.iter().cloned());
    part(ui, "How to read this", &reading);
    CollapsingHeader::new("What the model leaves out").show(ui, |ui| {
        for line in &found.left_out {
            ui.label(format!("• {line}"));
        }
    });
}
