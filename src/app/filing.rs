//! What the window does with files: each action acts on what is shown.

use super::actions::{Action, Purpose};
use super::{App, files, parts, screen};
use eframe::egui;
use std::path::Path;

impl App {
    /// Something with files, of the benches or of what else is shown.
    pub(super) fn apply_file(&mut self, action: Action, ctx: &egui::Context) {
        let wake = ctx.clone();
        let wake = move || wake.request_repaint();
        let action = match self.file_of_part(action, ctx) {
            Some(action) => action,
            None => return,
        };
        let title = self.state.bench().scenario.title.clone();
        match action {
            Action::Open => self.dialogs.ask(Purpose::Open, String::new(), wake),
            Action::SaveAs => self.dialogs.ask(Purpose::Save, files::file_name(&title, "toml"), wake),
            Action::ExportTrace => self.dialogs.ask(Purpose::Export, files::file_name(&title, "csv"), wake),
            Action::OpenCourse => self.dialogs.ask(Purpose::Course, String::new(), wake),
            Action::CourseFolder(path) => {
                self.preferences.course_folder = path.to_string_lossy().into_owned();
                self.state.screen = screen::Screen::Lessons;
            }
            Action::AskCustomerFile(purpose, suggested) => self.dialogs.ask(purpose, suggested, wake),
            // the dialog may have been left open while another screen was looked at
            Action::CustomerFile(..) => drop(self.customer.take(action, ctx)),
            Action::OpenRecords => self.dialogs.ask(Purpose::Records, String::new(), wake),
            Action::RecordsFolder(path) => self.records_folder(&path),
            Action::ReadLesson(stem) => {
                self.lessons.read(&stem);
                self.state.screen = screen::Screen::Lessons;
            }
            Action::QuestionsOn(stem) => {
                self.questions.choose_lesson(&stem);
                self.actions.push(Action::GoTo(screen::Screen::Questions));
            }
            Action::AskDesk(ask) => self.dialogs.ask(Purpose::Desk(ask), ask.suggested(), wake),
            Action::Desk(ask, path) => self.desk.take(ask, path),
            Action::AskPath(purpose) => self.asking = Some((purpose, String::new())),
            Action::Save => match self.state.bench().path.clone() {
                Some(path) => self.save(&path),
                None => self.dialogs.ask(Purpose::Save, files::file_name(&title, "toml"), wake),
            },
            Action::SaveTo(path) => self.save(&path),
            Action::OpenPath(path) => match files::read(&path) {
                Ok(scenario) => self.state.load(scenario, Some(path)),
                Err(error) => self.fail(error),
            },
            Action::OpenPaths(paths) => self.open_all(&paths),
            Action::ExportTraceTo(path) => self.export(&path),
            Action::ExportMap(purpose) => {
                let ending = if purpose == Purpose::MapPicture { "svg" } else { "csv" };
                self.dialogs.ask(purpose, files::file_name(&format!("{title} map"), ending), wake);
            }
            Action::Handout { purpose, by_path } => {
                let lesson = self.lessons.shown_lesson();
                let name = lesson.as_ref().map_or(String::new(), |lesson| lesson.stem.clone());
                self.printing.of(lesson);
                if by_path {
                    self.asking = Some((purpose, String::new()));
                } else {
                    self.dialogs.ask(purpose, files::file_name(&name, "pdf"), wake);
                }
            }
            Action::HandoutTo(kind, path) => self.printing.begin(ctx, kind, path),
            Action::CancelHandout => self.printing.cancel(),
            Action::ExportMapTo(purpose, path) => self.export_map(purpose, &path),
            Action::Example(index) => match self.examples.get(index).map(|example| example.scenario.clone()) {
                Some(Ok(scenario)) => self.state.load(scenario, None),
                Some(Err(error)) => self.fail(error),
                None => {}
            },
            _ => {}
        }
    }

    /// Files of what is shown, if that is no bench of families; what is not for it comes back.
    fn file_of_part(&mut self, action: Action, ctx: &egui::Context) -> Option<Action> {
        let screen = self.state.screen;
        if screen == screen::Screen::UsedCarburettor && parts::is_of_benches(&action) {
            self.fail(parts::NO_FILES.to_owned());
            return None;
        }
        let filed = match self.parts.of(screen) {
            Some(part) => part.file(action),
            None => Err(action),
        };
        let wake = ctx.clone();
        match filed {
            Ok(parts::Filed::Said(text)) => self.say(text),
            Ok(parts::Filed::Failed(text)) => self.fail(text),
            Ok(parts::Filed::Ask(purpose, name)) => self.dialogs.ask(purpose, name, move || wake.request_repaint()),
            Ok(parts::Filed::Done) => {}
            Err(action) => return Some(action),
        }
        None
    }

    /// Questions and desk keep their records there from now on.
    fn records_folder(&mut self, path: &Path) {
        self.preferences.records_folder = path.to_string_lossy().into_owned();
        self.questions.ask_folder_again();
        let place = screen::Place::ALL.iter().find(|place| place.has(screen::Screen::Questions));
        if !place.is_some_and(|place| place.has(self.state.screen)) {
            self.actions.push(Action::GoTo(screen::Screen::Questions));
        }
    }

    fn save(&mut self, path: &Path) {
        match files::write(path, &self.state.bench().scenario) {
            Ok(()) => {
                let selected = self.state.selected;
                self.state.benches[selected].path = Some(path.to_owned());
                self.say(format!("Saved to {}.", path.display()));
            }
            Err(error) => self.fail(error),
        }
    }

    fn export(&mut self, path: &Path) {
        let Some(outcome) = self.state.bench().outcome.clone() else {
            self.fail("there is no run of the selected bench yet; mend its settings or wait for it".to_owned());
            return;
        };
        match files::write_trace(path, &outcome.run.trace) {
            Ok(()) => self.say(format!("The trace of {} was written to {}.", outcome.scenario.title, path.display())),
            Err(error) => self.fail(error),
        }
    }
}
