//! What a test is made of.

use super::View;
use super::page::{Arrive, Page, Wish, heading};
use super::plan::{IN_TEST, MINUTES, Plan};
use super::start_view::{change, count, plan_error};
use crate::app::paint::{frame_boxes, keep_keyboard, named};
use crate::app::theme::bold;
use crate::learning::outcomes::OUTCOMES;
use crate::learning::quiz::bank::Bank;
use eframe::egui::{CollapsingHeader, DragValue, RichText, TextEdit, TextStyle, Ui};

/// The part of the first page that is about a test.
pub fn show(ui: &mut Ui, page: &mut Page<'_>, view: &View, bank: &Bank) {
    let plan = &view.plan;
    heading(ui, "A test");
    ui.horizontal_wrapped(|ui| count(ui, page, plan, ("Questions in the test", IN_TEST), |plan| &mut plan.in_test));
    outcomes(ui, page, plan);
    ui.horizontal_wrapped(|ui| {
        ui.label("Seed");
        let mut seed = plan.seed.clone();
        let width = ui.text_style_height(&TextStyle::Body) * 6.0;
        let field = named(ui.add(TextEdit::singleline(&mut seed).desired_width(width)), "Seed of the test");
        keep_keyboard(&field);
        if field.changed() {
            change(page, plan, |plan| plan.seed = seed);
        }
        ui.weak("The same seed with the same outcomes and number gives the same test again.");
    });
    plan_error(ui, page, view, Arrive::Stem);
    limit(ui, page, plan);
    if let Ok(seed) = plan.seed() {
        let there = plan.test(bank, seed).len();
        if there < plan.in_test {
            ui.weak(format!("There are only {there} questions on this; the test has as many."));
        }
    }
    if ui.button(RichText::new("Begin the test").family(bold())).clicked() {
        page.wishes.push(Wish::BeginTest);
    }
}

fn outcomes(ui: &mut Ui, page: &mut Page<'_>, plan: &Plan) {
    let chosen = match plan.outcomes.len() {
        0 => "On everything".to_owned(),
        1 => "On 1 outcome".to_owned(),
        count => format!("On {count} outcomes"),
    };
    CollapsingHeader::new(chosen).id_salt("outcomes").show(ui, |ui| {
        frame_boxes(ui);
        if ui.button("Everything").clicked() {
            change(page, plan, |plan| plan.outcomes.clear());
        }
        for outcome in OUTCOMES {
            let mut is_in = plan.outcomes.contains(&outcome.number);
            if ui.checkbox(&mut is_in, format!("{}. {}", outcome.number, outcome.text)).changed() {
                change(page, plan, |plan| {
                    plan.outcomes.retain(|number| *number != outcome.number);
                    if is_in {
                        plan.outcomes.push(outcome.number);
                        plan.outcomes.sort_unstable();
                    }
                });
            }
        }
    });
}

fn limit(ui: &mut Ui, page: &mut Page<'_>, plan: &Plan) {
    const USUAL: u32 = 15;
    ui.horizontal_wrapped(|ui| {
        frame_boxes(ui);
        let mut is_limited = plan.minutes.is_some();
        if ui.checkbox(&mut is_limited, "Time limit").changed() {
            change(page, plan, |plan| plan.minutes = is_limited.then_some(USUAL));
        }
        if let Some(mut minutes) = plan.minutes {
            let edit = DragValue::new(&mut minutes).range(MINUTES).speed(0.1).suffix(" min");
            let field = named(ui.add(edit), "Minutes for the test");
            keep_keyboard(&field);
            if field.changed() {
                change(page, plan, |plan| plan.minutes = Some(minutes));
            }
            ui.weak("It can be extended at any time.");
        }
    });
}
