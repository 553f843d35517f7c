//! What there is to look at beside a question: before the answer what the item shows, after it the whole run.

use super::page::{Page, paragraph};
use super::point_view;
use super::question::{Question, Work};
use super::session::Row;
use crate::app::kept::kept;
use crate::app::lessons::{observe_view, plot, sections};
use crate::app::theme::bold;
use crate::bench::sentence::sentence;
use crate::heat;
use crate::learning::seen::Seen;
use crate::units::UnitSystem;
use eframe::egui::{RichText, Ui};

/// Whether there is anything.
pub fn has_something(row: &Row, is_told: bool) -> bool {
    let question = &row.question;
    let has_run = !question.live.benches.is_empty();
    let before = matches!(question.work, Work::Point(..) | Work::Tune)
        || question.asked.item.at_s.is_some()
        || question.shows_curves();
    has_run && (before || is_whole(question, is_told))
}

/// Whether the whole run may be seen.
fn is_whole(question: &Question, is_told: bool) -> bool {
    matches!(question.work, Work::Tune) || (is_told && question.graded().is_some())
}

/// What there is.
pub fn show(ui: &mut Ui, page: &mut Page<'_>, row: &Row, is_told: bool) {
    let question = &row.question;
    let is_pointed_at = matches!(question.work, Work::Point(..));
    if is_pointed_at {
        point_view::drawing(ui, page, question, is_told);
    }
    if is_whole(question, is_told) {
        whole(ui, page, question);
        return;
    }
    let Some(shown) = question.shown() else {
        match &question.block.error {
            Some(error) => ui.colored_label(page.palette().error, error),
            None => ui.weak("The run is being computed."),
        };
        return;
    };
    let (live, block) = (&question.live, &question.block);
    if question.asked.item.at_s.is_some() && !is_pointed_at {
        sections::show(ui, &mut page.run, live, block, shown);
    }
    if question.shows_curves() {
        let panels = kept(ui.ctx(), ("question panels", block.key), 0, || plot::panels(live));
        let view = block.span_s();
        for panel in panels.iter() {
            plot::show(ui, &mut page.run, live, block, shown, (panel, view));
        }
        plot::ticks(ui, &page.run, block, view);
    }
}

/// The run in a sentence, then its sections, events and traces.
fn whole(ui: &mut Ui, page: &mut Page<'_>, question: &Question) {
    let heading = match question.is_open() {
        true if question.is_tried => "The run as you set it",
        true => "The run before you change anything",
        false => "The run",
    };
    ui.label(RichText::new(heading).family(bold()));
    if let Some(shown) = question.shown() {
        for (bench, seen) in question.live.benches.iter().zip(&shown.seen) {
            let said = said(seen, page.run.preferences.units);
            let text = if question.live.benches.len() > 1 { format!("{}: {said}", bench.name) } else { said };
            paragraph(ui, &text, page.palette().ink);
        }
    }
    observe_view::show(ui, &mut page.run, &question.live, &question.block);
}

fn said(seen: &Seen, units: UnitSystem) -> String {
    match seen {
        Seen::Stab(stab) => sentence(&stab.findings),
        Seen::Soak(soak) => heat::sentence::sentence(&soak.run.findings, units),
    }
}
