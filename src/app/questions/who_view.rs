//! Who answers: nobody, or a learner of the records folder.

use super::page::{Arrive, Page, Wish, complaint, heading, job, size, spoken};
use super::start_view::change;
use super::{Folder, View};
use crate::app::paint::{keep_keyboard, named};
use crate::app::theme::bold;
use crate::learning::record::LearnerCode;
use eframe::egui::{FontFamily, Key, Label, RichText, TextEdit, TextStyle, Ui};

/// The part of the first page that is about the learner.
pub fn show(ui: &mut Ui, page: &mut Page<'_>, view: &View) {
    heading(ui, "Who answers");
    match &view.learner {
        Some(learner) => known(ui, page, view, learner),
        None => {
            who(ui, page, "Nobody: you practise, and no answer is kept.");
            choose(ui, page, view);
        }
    }
    if let Some(why) = &view.who_error {
        complaint(ui, page, why);
    }
}

/// Where the keyboard comes when somebody else answers than before.
fn who(ui: &mut Ui, page: &mut Page<'_>, text: &str) {
    let text = job(text, size(ui, 1.0), FontFamily::Proportional, page.palette().ink);
    page.stop(ui, Arrive::Who, text, None);
}

fn known(ui: &mut Ui, page: &mut Page<'_>, view: &View, learner: &LearnerCode) {
    if view.is_new {
        who(ui, page, "Your code. Write it down: your answers are kept under it, and nothing here says who you are.");
        let large = RichText::new(learner.as_str()).family(bold()).size(size(ui, 3.0)).color(page.palette().accent);
        let spelt: Vec<String> = learner.as_str().chars().map(String::from).collect();
        spoken(ui.label(large), &format!("Your code: {}", spelt.join(" ")));
    } else {
        who(ui, page, &format!("The learner with the code **{learner}**."));
    }
    if ui.button("Practise without a record").clicked() {
        page.wishes.push(Wish::Nobody);
    }
}

fn choose(ui: &mut Ui, page: &mut Page<'_>, view: &View) {
    let palette = page.palette();
    match &view.folder {
        Folder::None => {
            ui.horizontal_wrapped(|ui| {
                folder_buttons(ui, page, "Records folder");
                ui.weak("To come back to what you answered, keep it in a folder.");
            });
        }
        Folder::Opening => {
            ui.weak("The records folder is being opened.");
        }
        Folder::Refused(why) => {
            let text = format!("The records folder cannot be used. {why}. You can practise all the same.");
            ui.add(Label::new(RichText::new(text).color(palette.error)).wrap());
            ui.horizontal_wrapped(|ui| {
                if ui.button("Try this folder again").clicked() {
                    page.wishes.push(Wish::Folder);
                }
                folder_buttons(ui, page, "Another records folder");
            });
        }
        Folder::Open(_, notices) => {
            for notice in notices {
                ui.add(Label::new(RichText::new(notice).small().color(palette.fuel)).wrap());
            }
            code(ui, page, view);
        }
    }
}

/// Choose a folder in a dialog, or write its path.
fn folder_buttons(ui: &mut Ui, page: &mut Page<'_>, label: &str) {
    if ui.button(format!("{label} …")).clicked() {
        page.wishes.push(Wish::ChooseFolder);
    }
    if named(ui.button("by path"), &format!("{label} by path")).clicked() {
        page.wishes.push(Wish::WriteFolder);
    }
}

fn code(ui: &mut Ui, page: &mut Page<'_>, view: &View) {
    ui.horizontal_wrapped(|ui| {
        ui.label("Your code");
        let mut typed = view.plan.code.clone();
        let width = ui.text_style_height(&TextStyle::Body) * 6.0;
        let edit = TextEdit::singleline(&mut typed).hint_text("six letters").desired_width(width);
        let field = named(ui.add(edit), "Your code");
        let entered = field.lost_focus() && ui.input(|input| input.key_pressed(Key::Enter));
        // a code that is refused is mended here
        keep_keyboard(&field);
        if field.changed() {
            change(page, &view.plan, |plan| plan.code = typed);
        }
        if ui.button("Answer under this code").clicked() || entered {
            page.wishes.push(Wish::Code);
        }
    });
    ui.horizontal_wrapped(|ui| {
        if ui.button("I am new here").clicked() {
            page.wishes.push(Wish::NewLearner);
        }
        ui.weak("You get a code of your own.");
    });
    if let Some(folder) = &view.asked_folder {
        ui.add(
            Label::new(RichText::new(format!("Answers are kept in {folder}.")).small().color(page.palette().weak))
                .wrap(),
        );
    }
}
