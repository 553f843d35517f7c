//! A question: the stem, the answer, and what is said to it; beside them what there is to look at.

use super::page::{Arrive, Mark, Page, Wish, complaint, go_on, job, paragraph, size};
use super::question::{Deed, Stage};
use super::session::{Kept, Row, Session};
use super::{answer_view, run_view};
use crate::app::lessons::measure;
use crate::app::theme::bold;
use crate::learning::quiz::response::{Graded, Response};
use eframe::egui::{Align, FontFamily, Label, Layout, RichText, TextStyle, Ui, vec2};

/// The question that is shown.
pub fn show(ui: &mut Ui, page: &mut Page<'_>, session: &Session, row: &Row, now_s: f64) {
    header(ui, page, session, now_s);
    ui.add_space(6.0);
    let (width, text) = (ui.available_width(), ui.text_style_height(&TextStyle::Body));
    let is_told = !session.withholds() || session.is_finished;
    let beside = run_view::has_something(row, is_told);
    ui.push_id(("question", row.question.block.key), |ui| {
        if !beside || width < text * 58.0 {
            asked(ui, page, session, row);
            if beside {
                ui.add_space(10.0);
                run_view::show(ui, page, row, is_told);
            }
            return;
        }
        let gap = 24.0;
        let left = (width * 0.42).min(measure(ui));
        ui.horizontal_top(|ui| {
            ui.spacing_mut().item_spacing.x = gap;
            let column = Layout::top_down(Align::Min);
            ui.allocate_ui_with_layout(vec2(left, 0.0), column, |ui| {
                ui.spacing_mut().item_spacing.x = 7.0;
                ui.set_max_width(left);
                ui.set_min_width(left);
                asked(ui, page, session, row);
            });
            ui.allocate_ui_with_layout(vec2(width - left - gap, 0.0), column, |ui| {
                ui.spacing_mut().item_spacing.x = 7.0;
                run_view::show(ui, page, row, is_told);
            });
        });
    });
    ui.add_space(30.0);
}

/// The time of a test is over.
pub fn over(ui: &mut Ui, page: &mut Page<'_>) {
    // room for the frame of the title
    ui.add_space(4.0);
    let title = job("Time is over.", size(ui, 1.6), bold(), page.palette().ink);
    page.stop(ui, Arrive::Result, title, None);
    ui.label("What you have answered counts. Take more time if you need it, or see what came of it.");
    ui.horizontal_wrapped(|ui| {
        if ui.button("5 more minutes").clicked() {
            page.wishes.push(Wish::Extend);
        }
        if ui.button(RichText::new("See what came of it").family(bold())).clicked() {
            page.wishes.push(Wish::End);
        }
    });
}

fn header(ui: &mut Ui, page: &mut Page<'_>, session: &Session, now_s: f64) {
    ui.horizontal_wrapped(|ui| {
        let at = session.looked_at.unwrap_or(session.at) + 1;
        ui.label(RichText::new(format!("{at} of {}", session.rows.len())).family(bold()));
        ui.weak(&session.title);
        match &session.learner {
            Some(learner) => ui.weak(format!("kept for {learner}")),
            None => ui.weak("practice, not kept"),
        };
        if session.is_finished {
            if ui.button("Back to all answers").clicked() {
                page.wishes.push(Wish::Result);
            }
            return;
        }
        if ui.button("Leave for now").on_hover_text("You can go on where you were").clicked() {
            page.wishes.push(Wish::Leave);
        }
        if session.withholds() && ui.button("End the test").on_hover_text("What is open stays unanswered").clicked() {
            page.wishes.push(Wish::End);
        }
        if let Some(limit) = &session.limit {
            let left = limit.left_s(now_s).max(0.0);
            ui.label(format!("{}:{:02} left", (left / 60.0) as u32, (left % 60.0) as u32));
            if ui.button("5 more minutes").clicked() {
                page.wishes.push(Wish::Extend);
            }
        }
    });
}

fn asked(ui: &mut Ui, page: &mut Page<'_>, session: &Session, row: &Row) {
    let question = &row.question;
    let palette = page.palette();
    let width = measure(ui);
    ui.set_max_width(width);
    let stem = job(&question.asked.stem, size(ui, 1.12), FontFamily::Proportional, palette.ink);
    page.stop(ui, Arrive::Stem, stem, None);
    if !question.asked.how.is_empty() {
        ui.add(Label::new(RichText::new(&question.asked.how).small().color(palette.weak)).wrap());
    }
    ui.add_space(6.0);
    let is_told = !session.withholds() || session.is_finished;
    match (&question.stage, is_told) {
        (Stage::Answered(response, graded), true) => {
            answer_view::given(ui, page, question, response);
            verdict(ui, page, response, graded);
            next(ui, page, session, row);
        }
        (Stage::Answered(..), false) => {
            ui.weak("Your answer is taken.");
            next(ui, page, session, row);
        }
        (Stage::Grading(_), _) => {
            ui.weak("Your answer is being worked out.");
        }
        (Stage::Open, _) => {
            answer_view::open(ui, page, question);
            stand(ui, page, row);
        }
    }
}

/// The buttons that end an answer, and why it cannot be taken as it is.
fn stand(ui: &mut Ui, page: &mut Page<'_>, row: &Row) {
    if let Some(why) = &row.question.error {
        complaint(ui, page, why);
    }
    ui.add_space(4.0);
    let name = answer_view::button(&row.question.work);
    ui.horizontal_wrapped(|ui| {
        if go_on(ui, page, name) {
            page.deeds.push(Deed::Answer);
        }
        if ui.button("I do not know").on_hover_text("The answer is told, and counts as not given").clicked() {
            page.deeds.push(Deed::Skip);
        }
    });
}

fn verdict(ui: &mut Ui, page: &mut Page<'_>, response: &Response, graded: &Graded) {
    let palette = page.palette();
    let mark = Mark::of(graded.right, graded.score);
    let word = match (response, mark) {
        (Response::Skipped, _) => "Not answered.".to_owned(),
        (_, Mark::Partly) => format!("{}: {:.0} of 100.", mark.word(), 100.0 * graded.score),
        _ => format!("{}.", mark.word()),
    };
    ui.add_space(6.0);
    ui.horizontal(|ui| {
        mark.paint(ui, palette);
        let words = job(&word, size(ui, 1.2), bold(), mark.colour(palette));
        page.stop(ui, Arrive::Verdict, words, None);
    });
    // room for its frame
    ui.add_space(4.0);
    paragraph(ui, &graded.told, palette.ink);
    if let Some(belief) = &graded.misconception {
        // what goes wrong with a number is done, not believed
        let what = if matches!(response, Response::Numeric(_)) { "A common slip" } else { "A common belief behind it" };
        paragraph(ui, &format!("{what}: *{belief}*."), palette.ink);
    }
}

/// On to the next question once the answer is on the disk.
fn next(ui: &mut Ui, page: &mut Page<'_>, session: &Session, row: &Row) {
    if session.is_finished {
        return;
    }
    ui.add_space(6.0);
    let is_last = session.at + 1 >= session.rows.len();
    match &row.kept {
        Kept::Asked(_) => {
            ui.weak("Your answer is being kept.");
        }
        Kept::Failed(why) => {
            let text = format!("Your answer is not kept yet. {why}.");
            ui.add(Label::new(RichText::new(text).color(page.palette().error)).wrap());
            ui.horizontal_wrapped(|ui| {
                if ui.button("Keep it again").clicked() {
                    page.wishes.push(Wish::KeepAgain);
                }
                if ui.button("Go on, keep it later").clicked() {
                    page.wishes.push(Wish::KeepLater);
                }
            });
        }
        Kept::Nowhere | Kept::OnDisk | Kept::Later => {
            let name = if is_last { "See what came of it" } else { "Next question" };
            ui.horizontal_wrapped(|ui| {
                if go_on(ui, page, name) {
                    page.wishes.push(Wish::Next);
                }
            });
        }
    }
}
