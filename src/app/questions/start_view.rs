//! The first page: who answers, and what is asked.

use super::page::{Arrive, Page, Wish, complaint, heading, job, size};
use super::plan::{MOST_DUE, ON_LESSON, Plan};
use super::{View, test_view, who_view};
use crate::app::lessons::measure;
use crate::app::paint::{keep_keyboard, named, tall_menu};
use crate::app::theme::bold;
use eframe::egui::accesskit::Role;
use eframe::egui::{Button, DragValue, Label, RichText, Ui};

/// The page.
pub fn show(ui: &mut Ui, page: &mut Page<'_>, view: &View) {
    let width = measure(ui);
    ui.set_max_width(width);
    let palette = page.palette();
    ui.add_space(4.0);
    let title = job("What do you know by now?", size(ui, 1.6), bold(), palette.ink);
    page.stop(ui, Arrive::Start, title, Some(Role::Heading));
    ui.weak("Each answer is explained at once. In a test it is explained at the end.");
    unkept(ui, page, view);
    resume(ui, page, view);
    who_view::show(ui, page, view);
    let Some(read) = view.stock.read() else {
        match view.stock.error() {
            Some(error) => ui.label(RichText::new(error).color(palette.error)),
            None => ui.weak("The questions are being read."),
        };
        return;
    };
    lesson(ui, page, view);
    due(ui, page, view);
    test_view::show(ui, page, view, &read.bank);
    if !read.problems.is_empty() {
        heading(ui, "To mend in the quizzes of your course folder");
        for problem in &read.problems {
            ui.add(Label::new(RichText::new(problem).small().color(palette.error)).wrap());
        }
    }
    ui.add_space(30.0);
}

/// What is wrong with the choice above it.
pub fn plan_error(ui: &mut Ui, page: &Page<'_>, view: &View, about: Arrive) {
    if let Some((_, why)) = view.plan_error.as_ref().filter(|(of, _)| *of == about) {
        complaint(ui, page, why);
    }
}

/// Another plan.
pub fn change(page: &mut Page<'_>, plan: &Plan, change: impl FnOnce(&mut Plan)) {
    let mut changed = plan.clone();
    change(&mut changed);
    page.wishes.push(Wish::Plan(Box::new(changed)));
}

/// Answers that are not on the disk yet.
pub fn unkept(ui: &mut Ui, page: &mut Page<'_>, view: &View) {
    let Some(first) = view.unkept.first() else { return };
    let text = match view.unkept.len() {
        1 => format!("1 answer is not kept yet: {}", first.why),
        count => format!("{count} answers are not kept yet: {}", first.why),
    };
    ui.add(Label::new(RichText::new(text).color(page.palette().error)).wrap());
    if ui.button("Try to keep them again").clicked() {
        page.wishes.push(Wish::KeepRest);
    }
}

fn resume(ui: &mut Ui, page: &mut Page<'_>, view: &View) {
    let Some(session) = &view.session else { return };
    heading(ui, "Where you were");
    ui.horizontal_wrapped(|ui| {
        let (name, state) = match session.is_finished {
            true => ("See what came of it", "answered".to_owned()),
            false => ("Go on", format!("question {} of {}", session.at + 1, session.rows.len())),
        };
        if ui.button(RichText::new(name).family(bold())).clicked() {
            page.wishes.push(Wish::Resume);
        }
        ui.label(format!("{}: {state}", session.title));
    });
    ui.weak("It is kept until you begin anew or close the window.");
}

fn lesson(ui: &mut Ui, page: &mut Page<'_>, view: &View) {
    let Some(read) = view.stock.read() else { return };
    heading(ui, "After a lesson");
    let plan = &view.plan;
    let chosen = read.course.lesson(&plan.lesson).map_or("Choose a lesson", |lesson| lesson.title.as_str());
    ui.horizontal_wrapped(|ui| {
        let mut is_chosen_now = false;
        let menu = ui.menu_button(chosen, |ui| {
            tall_menu(ui, 0.6, |ui| {
                for (place, lesson) in read.course.lessons.iter().enumerate() {
                    let is_chosen = lesson.stem == plan.lesson;
                    let text = format!("{}. {}", place + 1, lesson.title);
                    let entry = ui.add(Button::selectable(is_chosen, text));
                    // in a menu it does not come into sight by itself
                    if entry.gained_focus() {
                        entry.scroll_to_me(None);
                    }
                    if entry.clicked() {
                        change(page, plan, |plan| plan.lesson.clone_from(&lesson.stem));
                        is_chosen_now = true;
                        ui.close();
                    }
                }
            });
        });
        let menu = named(menu.response, &format!("Lesson: {chosen}"));
        if is_chosen_now {
            // what was chosen with is gone
            menu.request_focus();
        }
        count(ui, page, plan, ("Questions on the lesson", ON_LESSON), |plan| &mut plan.on_lesson);
    });
    let begin = ui.button(RichText::new("Begin the questions").family(bold()));
    page.arrives(Arrive::Lesson, &begin);
    if begin.clicked() {
        page.wishes.push(Wish::BeginLesson);
    }
    plan_error(ui, page, view, Arrive::Lesson);
}

/// A number of questions.
pub fn count(
    ui: &mut Ui,
    page: &mut Page<'_>,
    plan: &Plan,
    (name, range): (&str, std::ops::RangeInclusive<usize>),
    of: impl Fn(&mut Plan) -> &mut usize,
) {
    let mut changed = plan.clone();
    let value = of(&mut changed);
    let field = named(ui.add(DragValue::new(value).range(range).speed(0.05)), name);
    ui.label("questions");
    keep_keyboard(&field);
    if field.changed() {
        page.wishes.push(Wish::Plan(Box::new(changed)));
    }
}

fn due(ui: &mut Ui, page: &mut Page<'_>, view: &View) {
    if view.learner.is_none() {
        return;
    }
    heading(ui, "Due today");
    let count = view.due.len();
    let text = match count {
        0 => "Nothing is due. What you answer comes back after 1, 3, 7 and 21 days.".to_owned(),
        1 => "1 question is due.".to_owned(),
        _ if count > MOST_DUE => format!("{count} questions are due; the {MOST_DUE} longest overdue come first."),
        _ => format!("{count} questions are due."),
    };
    ui.label(text);
    let begin = Button::new(RichText::new("Begin what is due").family(bold()));
    if ui.add_enabled(count > 0, begin).clicked() {
        page.wishes.push(Wish::BeginReview);
    }
}
