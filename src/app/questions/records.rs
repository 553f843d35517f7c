//! Who answers, and what becomes of the answers: between the screen and the records folder.

use super::keeper::{Ask, Keeper, Told};
use super::page::Arrive;
use super::plan;
use super::session::Kept;
use super::{Folder, Unkept, View};
use crate::app::preferences::Preferences;
use crate::learning::record::LearnerCode;
use eframe::egui::Context;
use std::path::PathBuf;

impl View {
    fn keeper(&mut self, ctx: &Context) -> &mut Keeper {
        let wake = ctx.clone();
        self.keeper.get_or_insert_with(|| Keeper::new(move || wake.request_repaint()))
    }

    /// Open the records folder that the preferences name, once.
    pub(super) fn open_folder(&mut self, ctx: &Context, preferences: &Preferences) {
        let path = &preferences.records_folder;
        if self.asked_folder.as_ref() == Some(path) {
            return;
        }
        let is_another = self.asked_folder.is_some();
        self.asked_folder = Some(path.clone());
        if is_another || path.is_empty() {
            self.nobody();
        }
        if path.is_empty() {
            if let Some(keeper) = &mut self.keeper {
                keeper.ask(Ask::Close);
            }
            self.folder = Folder::None;
        } else {
            self.keeper(ctx).ask(Ask::Open(PathBuf::from(path)));
            self.folder = Folder::Opening;
        }
    }

    /// What the keeper tells.
    pub(super) fn hear(&mut self, told: Told) {
        match told {
            Told::Open(learners, notices) => {
                if self.learner.as_ref().is_some_and(|learner| !learners.contains(learner)) {
                    self.nobody();
                }
                if let Some(session) = &mut self.session {
                    // another folder than the one in which this row was begun
                    session.learner.take_if(|learner| !learners.contains(learner));
                }
                self.folder = Folder::Open(learners, notices);
                self.read_answers();
            }
            Told::Refused(why) => {
                self.nobody();
                self.folder = Folder::Refused(why);
            }
            Told::Added(learner) => {
                if let Folder::Open(learners, _) = &mut self.folder {
                    learners.push(learner.clone());
                }
                self.answer_as(learner);
                self.is_new = true;
            }
            Told::Answers(learner, answers) if self.learner.as_ref() == Some(&learner) => {
                self.answers = answers;
                self.count_due();
            }
            Told::Answers(..) => {}
            Told::Failed(why) => self.who_error = Some(why),
            Told::Kept(token, result) => self.kept(token, result),
        }
    }

    fn kept(&mut self, token: u64, result: Result<(), String>) {
        let is_finished = self.session.as_ref().is_some_and(|session| session.is_finished);
        let mut rows = self.session.iter_mut().flat_map(|session| &mut session.rows);
        if let Some(row) = rows.find(|row| row.kept == Kept::Asked(token)) {
            row.kept = match result {
                Ok(()) => Kept::OnDisk,
                Err(why) => Kept::Failed(why),
            };
            if is_finished {
                self.put_off();
            }
            return;
        }
        let Some(place) = self.unkept.iter().position(|unkept| unkept.token == Some(token)) else { return };
        match result {
            Ok(()) => {
                self.unkept.remove(place);
            }
            Err(why) => {
                self.unkept[place].token = None;
                self.unkept[place].why = why;
            }
        }
    }

    pub(super) fn nobody(&mut self) {
        self.learner = None;
        self.is_new = false;
        self.answers.clear();
        self.due.clear();
    }

    pub(super) fn answer_as(&mut self, learner: LearnerCode) {
        self.nobody();
        self.who_error = None;
        self.plan.code.clear();
        self.learner = Some(learner);
        self.arrive = Some(Arrive::Who);
        self.read_answers();
    }

    fn count_due(&mut self) {
        let today = plan::day(self.clock.now_s() as i64);
        self.due = self.stock.read().map_or_else(Vec::new, |read| plan::due(&self.answers, &read.bank, today));
    }

    pub(super) fn use_code(&mut self) {
        let Some(learner) = LearnerCode::parse(&self.plan.code) else {
            self.who_error = Some("a code has six letters and figures, such as k7m2qd; look at it again".to_owned());
            return;
        };
        match &self.folder {
            Folder::Open(learners, _) if learners.contains(&learner) => self.answer_as(learner),
            _ => {
                let why =
                    format!("this folder knows no learner {learner}; look at the code again, or get one of your own");
                self.who_error = Some(why);
            }
        }
    }

    /// What the learner has answered so far, from the disk.
    pub(super) fn read_answers(&mut self) {
        if let (Some(learner), Some(keeper)) = (&self.learner, &mut self.keeper) {
            keeper.ask(Ask::Read(learner.clone()));
        }
    }

    /// Try everything again that is not on the disk, in the order in which it was answered.
    pub(super) fn keep_rest(&mut self) {
        let Some(keeper) = &mut self.keeper else { return };
        for unkept in self.unkept.iter_mut().filter(|unkept| unkept.token.is_none()) {
            self.names += 1;
            unkept.token = Some(self.names);
            keeper.ask(Ask::Keep { token: self.names, answer: Box::new(unkept.answer.clone()), again: true });
        }
    }

    /// Answers that are not on the disk yet are not lost with their row.
    pub(super) fn put_off(&mut self) {
        let rows = self.session.iter_mut().flat_map(|session| &mut session.rows);
        for row in rows {
            let (token, why) = match &row.kept {
                Kept::Failed(why) => (None, why.clone()),
                Kept::Asked(token) => (Some(*token), "it is being written".to_owned()),
                Kept::Nowhere | Kept::OnDisk | Kept::Later => continue,
            };
            row.kept = Kept::Later;
            self.unkept.extend(row.record.clone().map(|answer| Unkept { answer, token, why }));
        }
    }
}
