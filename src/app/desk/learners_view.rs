//! Learners: how far each is; adding, naming, deleting, exporting.

use super::class::{Class, Learner};
use super::table::{self, Cell, Column, sorted};
use super::work::Task;
use super::{Ask, Removal, View, Wish, beside, path_buttons, percent};
use crate::app::kept::kept;
use crate::app::paint::named;
use crate::app::theme::{Palette, heavy};
use crate::learning::date::utc;
use crate::learning::outcomes::OUTCOMES;
use crate::learning::record::LearnerCode;
use eframe::egui::{CentralPanel, RichText, ScrollArea, TextEdit, TextStyle, Ui};

const COLUMNS: [Column; 6] = [
    Column { head: "Code", help: "What a learner is known by", width: 6.5, figures: false },
    Column { head: "Answers", help: "Answers given, repeated ones too", width: 6.0, figures: true },
    Column { head: "Right", help: "Right answers of all", width: 5.0, figures: true },
    Column { head: "Due", help: "Items that are due again", width: 4.5, figures: true },
    Column { head: "Last answer (UTC)", help: "Day and time of the last answer", width: 11.0, figures: false },
    Column { head: "Name", help: "From the list of names, which is kept apart", width: 10.0, figures: false },
];
/// Answers of a learner that are listed, the newest first.
const MOST_ANSWERS: usize = 100;

impl View {
    pub(super) fn learners(&mut self, ui: &mut Ui, class: &Class, wishes: &mut Vec<Wish>) {
        let with_names = self.show_names;
        let columns = if with_names { &COLUMNS[..] } else { &COLUMNS[..5] };
        beside(ui, "desk learner", 0.42, table::width(ui, columns)).show(ui, |ui| {
            ScrollArea::vertical().id_salt("desk learner").auto_shrink([false, false]).show(ui, |ui| {
                match self.learner.clone().and_then(|code| class.learner(&code).cloned()) {
                    Some(learner) => self.learner(ui, class, &learner, wishes),
                    None => {
                        ui.label("Choose a learner to see outcomes and answers.");
                    }
                }
            });
        });
        CentralPanel::no_frame().show(ui, |ui| {
            self.keeping(ui, class, wishes);
            let sort = self.learner_sort;
            let rows = kept(ui.ctx(), "desk learners", (self.revision, sort, with_names), || {
                sorted(class.learners.iter().map(|one| (one.code.clone(), cells(one))).collect(), sort)
            });
            let chosen = rows.iter().position(|(code, _)| Some(code) == self.learner.as_ref());
            if let Some(row) = table::show(ui, "learners", columns, &rows, (&mut self.learner_sort, chosen)) {
                wishes.push(Wish::Learner(rows.get(row).map(|(code, _)| code.clone())));
            }
        });
    }

    /// Names, a new learner, everybody.
    fn keeping(&mut self, ui: &mut Ui, class: &Class, wishes: &mut Vec<Wish>) {
        ui.horizontal_wrapped(|ui| {
            let names = ui.checkbox(&mut self.show_names, "Show names");
            names.on_hover_text("Off, so that a projector shows codes alone");
            let today: String = utc(class.today.saturating_mul(86_400)).chars().take(10).collect();
            ui.weak(format!("Due on {today}"));
            if class.is_invented() {
                return;
            }
            ui.separator();
            let width = ui.text_style_height(&TextStyle::Body) * 11.0;
            let field = TextEdit::singleline(&mut self.new_name).hint_text("Name, or nothing").desired_width(width);
            named(ui.add(field), "Name of a new learner, or nothing");
            if ui.button("Add a learner").clicked() {
                wishes.push(Wish::Do(Task::Add(self.new_name.trim().to_owned())));
            }
            ui.separator();
            path_buttons(ui, Ask::All, "Export all", wishes);
            if !class.learners.is_empty() && ui.button("Delete all …").clicked() {
                wishes.push(Wish::Sure(Some(Removal::All)));
            }
        });
        if self.sure == Some(Removal::All) {
            let what = format!(
                "Delete all {} learners of this folder, with all {} answers, every name, and copies set aside? Files \
                 that were exported elsewhere stay. This cannot be taken back.",
                class.learners.len(),
                class.answers.len()
            );
            ask(ui, &what, "Delete everybody", Task::DeleteAll, wishes);
        }
        if class.learners.is_empty() {
            ui.label("Nobody is here yet. Add a learner, and give the code that is shown to that learner alone.");
        }
    }

    fn learner(&mut self, ui: &mut Ui, class: &Class, learner: &Learner, wishes: &mut Vec<Wish>) {
        let code = &learner.code;
        let name = learner.name.as_ref().filter(|_| self.show_names);
        ui.heading(name.map_or_else(|| code.to_string(), |name| format!("{code}  {name}")));
        if !class.is_invented() {
            ui.horizontal_wrapped(|ui| {
                if self.show_names {
                    let width = ui.text_style_height(&TextStyle::Body) * 10.0;
                    let field = TextEdit::singleline(&mut self.other_name).hint_text("No name").desired_width(width);
                    named(ui.add(field), "Name of this learner");
                    if ui.button("Keep the name").clicked() {
                        wishes.push(Wish::Do(Task::Rename(code.clone(), self.other_name.clone())));
                    }
                }
                path_buttons(ui, Ask::One, "Export", wishes);
                if ui.button("Delete …").clicked() {
                    wishes.push(Wish::Sure(Some(Removal::One(code.clone()))));
                }
            });
            if self.sure == Some(Removal::One(code.clone())) {
                let what = format!(
                    "Delete {code} with {} answers, the name, and copies set aside in this folder? Files that were \
                     exported elsewhere stay. This cannot be taken back.",
                    learner.share.n
                );
                ask(ui, &what, "Delete this learner", Task::Delete(code.clone()), wishes);
            }
        }
        outcomes(ui, class, code);
        answers(ui, class, code);
    }
}

/// Ask whether something is to go.
fn ask(ui: &mut Ui, what: &str, yes: &str, task: Task, wishes: &mut Vec<Wish>) {
    let palette = Palette::of(ui.visuals());
    ui.label(RichText::new(what).color(palette.error));
    ui.horizontal_wrapped(|ui| {
        if ui.button(yes).clicked() {
            wishes.push(Wish::Do(task));
        }
        if ui.button("Keep them").clicked() {
            wishes.push(Wish::Sure(None));
        }
    });
}

fn cells(learner: &Learner) -> Vec<Cell> {
    let share = learner.share.value();
    let last = learner.last_unix_s;
    let shown = last.map_or_else(|| "none yet".to_owned(), |at| utc(at).replace('T', " ").chars().take(16).collect());
    vec![
        Cell::text(learner.code.as_str()),
        Cell::figure(learner.share.n.to_string(), Some(learner.share.n as f64)),
        Cell::figure(share.map_or_else(|| "–".to_owned(), percent), share),
        Cell::figure(learner.due.to_string(), Some(learner.due as f64)),
        Cell::figure(shown, last.map(|at| at as f64)),
        Cell::text(learner.name.clone().unwrap_or_default()),
    ]
}

/// What the learner knows now, by the last answer to each item.
fn outcomes(ui: &mut Ui, class: &Class, code: &LearnerCode) {
    ui.add_space(6.0);
    ui.label(heavy("Outcomes, by the last answer to each item"));
    let of_learner = class.mastery.cells.iter().filter(|((_, of), _)| of == code);
    let mut any = false;
    for ((number, _), share) in of_learner {
        any = true;
        let text = OUTCOMES.iter().find(|outcome| outcome.number == *number).map_or("", |outcome| outcome.text);
        ui.label(format!("{} of {} right: {number}. {text}", share.right, share.n));
    }
    if !any {
        ui.weak("No answer yet to an item of an outcome.");
    }
}

fn answers(ui: &mut Ui, class: &Class, code: &LearnerCode) {
    ui.add_space(6.0);
    let mut own: Vec<_> = class.answers.iter().filter(|answer| answer.learner == *code).collect();
    own.sort_by_key(|answer| std::cmp::Reverse(answer.at_unix_s));
    ui.label(heavy(format!("Answers: {}, the newest first", own.len())));
    for answer in own.iter().take(MOST_ANSWERS) {
        let when: String = utc(answer.at_unix_s).replace('T', " ").chars().take(16).collect();
        let verdict = match (answer.right, answer.score > 0.0) {
            (true, _) => "right".to_owned(),
            (false, true) => format!("{} right", percent(answer.score)),
            (false, false) => "wrong".to_owned(),
        };
        let chosen: String = answer.chosen.chars().take(40).collect();
        let chosen = if chosen.is_empty() { "nothing".to_owned() } else { chosen };
        let belief = answer.misconception.as_ref().map_or_else(String::new, |belief| format!("; {belief}"));
        ui.label(format!("{when}  {}: chose {chosen}, {verdict}{belief}", answer.item));
    }
    if own.len() > MOST_ANSWERS {
        ui.weak(format!("{} older ones are in the table that Exchange writes.", own.len() - MOST_ANSWERS));
    }
}
