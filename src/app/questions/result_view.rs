//! What came of a row of questions, and what to read again.

use super::page::{Arrive, Mark, Page, Wish, heading, job, size};
use super::session::{Row, Session};
use super::{View, start_view};
use crate::app::lessons::measure;
use crate::app::paint::named;
use crate::app::theme::bold;
use crate::learning::outcomes::OUTCOMES;
use crate::learning::quiz::response::Response;
use eframe::egui::{Label, RichText, Ui};

/// The last page of a row.
pub fn show(ui: &mut Ui, page: &mut Page<'_>, session: &Session, view: &View) {
    ui.set_max_width(measure(ui));
    let palette = page.palette();
    ui.weak(&session.title);
    let (right, answered) = session.count();
    let title = format!("{right} of {} right", session.rows.len());
    page.stop(ui, Arrive::Result, job(&title, size(ui, 1.6), bold(), palette.ink), None);
    let open = session.rows.len() - answered;
    if open > 0 {
        ui.label(format!("{open} not answered."));
    }
    if let Some(limit) = &session.limit {
        let added = match limit.added_s {
            added if added > 0.0 => format!(", extended by {:.0} min", added / 60.0),
            _ => String::new(),
        };
        ui.weak(format!("Time limit {:.0} min{added}.", limit.set_s / 60.0));
    }
    start_view::unkept(ui, page, view);
    heading(ui, "Your answers");
    for (place, row) in session.rows.iter().enumerate() {
        answer(ui, page, place, row);
    }
    read_again(ui, page, session, view);
    ui.add_space(12.0);
    if ui.button(RichText::new("Done").family(bold())).clicked() {
        page.wishes.push(Wish::Done);
    }
    ui.add_space(30.0);
}

fn answer(ui: &mut Ui, page: &mut Page<'_>, place: usize, row: &Row) {
    let palette = page.palette();
    let question = &row.question;
    ui.horizontal_top(|ui| {
        let word = match question.graded() {
            None | Some((Response::Skipped, _)) => {
                Mark::Wrong.paint(ui, palette);
                "Not answered"
            }
            Some((_, graded)) => {
                let mark = Mark::of(graded.right, graded.score);
                mark.paint(ui, palette);
                mark.word()
            }
        };
        let look = named(ui.button("Look"), &format!("Look at question {}", place + 1));
        if look.on_hover_text("The question with your answer, why, and the run").clicked() {
            page.wishes.push(Wish::Look(place));
        }
        let stem = question.asked.stem.replace('*', "");
        ui.add(Label::new(format!("{}. {word}: {stem}", place + 1)).wrap());
    });
}

/// Lessons and outcomes of what was not right.
fn read_again(ui: &mut Ui, page: &mut Page<'_>, session: &Session, view: &View) {
    let missed: Vec<&Row> =
        session.rows.iter().filter(|row| row.question.graded().is_none_or(|(_, graded)| !graded.right)).collect();
    if missed.is_empty() {
        return;
    }
    let items = || missed.iter().map(|row| &row.question.asked.item);
    heading(ui, "To read again");
    for outcome in OUTCOMES.iter().filter(|outcome| items().any(|item| item.outcomes.contains(&outcome.number))) {
        ui.add(Label::new(format!("•  {}", outcome.text)).wrap());
    }
    let Some(read) = view.stock.read() else { return };
    let by_item = |stem: &str| items().any(|item| item.lesson.as_deref() == Some(stem));
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = 16.0;
        ui.label("Lessons:");
        for lesson in read.course.lessons.iter().filter(|lesson| by_item(&lesson.stem)) {
            if named(ui.link(&lesson.title), &format!("{}: leads to a lesson", lesson.title)).clicked() {
                page.wishes.push(Wish::Read(lesson.stem.clone()));
            }
        }
    });
}
