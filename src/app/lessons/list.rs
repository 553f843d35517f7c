//! The lessons of the course, and what is wrong with a user's folder.

use super::shelf::Shelf;
use super::{Page, Wish};
use crate::app::paint::{named, tall_menu};
use crate::app::theme::bold;
use crate::learning::course::Lesson;
use eframe::egui::{Button, Frame, Id, Label, Margin, Panel, Response, RichText, ScrollArea, TextStyle, Ui};

/// Beside the lesson, or in a menu above it where there is no room.
pub fn show(ui: &mut Ui, page: &mut Page<'_>, shelf: &Shelf, stem: &str) {
    let (width, text) = (ui.available_width(), ui.text_style_height(&TextStyle::Body));
    if width < text * 46.0 {
        ui.menu_button("Choose a lesson", |ui| tall_menu(ui, 0.8, |ui| lessons(ui, page, shelf, stem)));
        problems(ui, page, shelf);
        return;
    }
    let frame = Frame::new().inner_margin(Margin { left: 0, right: 8, top: 0, bottom: 0 });
    Panel::left("lessons").frame(frame).resizable(false).exact_size((text * 17.0).min(width * 0.26)).show(ui, |ui| {
        ui.add(Label::new(RichText::new(&shelf.course().title).family(bold())).wrap());
        ScrollArea::vertical().id_salt("lessons").auto_shrink([false, false]).show(ui, |ui| {
            problems(ui, page, shelf);
            lessons(ui, page, shelf, stem);
        });
    });
}

fn lessons(ui: &mut Ui, page: &mut Page<'_>, shelf: &Shelf, stem: &str) {
    // a lesson that was opened from elsewhere is brought into view, once
    let seen = Id::unique("lesson that the list has shown");
    let arrived = ui.data(|data| data.get_temp::<String>(seen)).is_none_or(|before| before != stem);
    for (index, lesson) in shelf.course().lessons.iter().enumerate() {
        let chosen = lesson.stem == stem;
        let row = row(ui, page, index, lesson, chosen);
        if chosen && arrived {
            row.scroll_to_me(None);
            ui.data_mut(|data| data.insert_temp(seen, stem.to_owned()));
        }
    }
}

fn row(ui: &mut Ui, page: &mut Page<'_>, index: usize, lesson: &Lesson, chosen: bool) -> Response {
    let done = page.preferences.lessons_done.contains(&lesson.stem);
    let (mark, spoken) = if done { (" · done", ", done") } else { ("", "") };
    let title = format!("{}. {}", index + 1, lesson.title);
    let button = ui.add(Button::selectable(chosen, title).wrap());
    let name = format!("Lesson {}: {}, {} minutes{spoken}", index + 1, lesson.title, lesson.minutes);
    let button = named(button, &name);
    if button.gained_focus() {
        button.scroll_to_me(None);
    }
    if button.clicked() {
        page.wishes.push(Wish::Lesson(lesson.stem.clone()));
    }
    ui.label(RichText::new(format!("     {} min{mark}", lesson.minutes)).small().color(page.palette.weak));
    ui.add_space(2.0);
    button
}

fn problems(ui: &mut Ui, page: &Page<'_>, shelf: &Shelf) {
    let problems = shelf.problems();
    if problems.is_empty() {
        return;
    }
    let palette = page.palette;
    let heading = match problems.len() {
        1 => "One thing to mend in the course:".to_owned(),
        count => format!("{count} things to mend in the course:"),
    };
    ui.add(Label::new(RichText::new(heading).family(bold()).color(palette.error)).wrap());
    let highest = ui.ctx().content_rect().height() * 0.3;
    ScrollArea::vertical().id_salt("problems").max_height(highest).show(ui, |ui| {
        for problem in problems {
            ui.add(Label::new(RichText::new(problem.to_string()).small().color(palette.error)).wrap());
        }
    });
    if !page.preferences.course_folder.is_empty() {
        ui.add(Label::new(RichText::new("The files are read again as soon as they change.").small()).wrap());
    }
}
