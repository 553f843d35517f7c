//! Where the learner goes: from the first page to a row, through it, and back.

use super::keeper::Ask;
use super::page::{Arrive, Wish};
use super::question::Deed;
use super::session::Kept;
use super::{Unkept, View};
use crate::app::actions::{Action, Purpose};

/// Time that a learner may add to a test at once, s.
const EXTENSION_S: f64 = 300.0;

impl View {
    pub(super) fn fulfil(&mut self, wish: Wish, actions: &mut Vec<Action>) {
        match wish {
            Wish::Plan(plan) => {
                self.plan = *plan;
                self.plan_error = None;
                self.who_error = None;
            }
            Wish::Nobody => {
                self.nobody();
                self.arrive = Some(Arrive::Who);
            }
            Wish::Code => self.use_code(),
            Wish::NewLearner => {
                if let Some(keeper) = &mut self.keeper {
                    keeper.ask(Ask::Add);
                }
            }
            Wish::Folder => self.asked_folder = None,
            Wish::ChooseFolder => actions.push(Action::OpenRecords),
            Wish::WriteFolder => actions.push(Action::AskPath(Purpose::Records)),
            Wish::BeginLesson => self.begin_lesson(),
            Wish::BeginReview => self.begin_review(),
            Wish::BeginTest => self.begin_test(),
            Wish::Read(stem) => actions.push(Action::ReadLesson(stem)),
            Wish::KeepRest => self.keep_rest(),
            other => self.move_on(other),
        }
    }

    /// Wishes about the row of questions.
    fn move_on(&mut self, wish: Wish) {
        let now_s = self.clock.now_s();
        let Some(session) = &mut self.session else { return };
        match wish {
            Wish::Leave => self.go_to_start(),
            Wish::Resume => {
                self.is_open = true;
                self.arrive = Some(if session.is_finished { Arrive::Result } else { Arrive::Stem });
                self.to_top = true;
            }
            Wish::Next => self.next(),
            Wish::KeepAgain => {
                let again = session.row_mut().and_then(|row| row.record.clone());
                if let Some((answer, keeper)) = again.zip(self.keeper.as_mut()) {
                    self.names += 1;
                    keeper.ask(Ask::Keep { token: self.names, answer: Box::new(answer), again: true });
                    if let Some(row) = session.row_mut() {
                        row.kept = Kept::Asked(self.names);
                    }
                }
            }
            Wish::KeepLater => {
                if let Some(row) = session.row_mut()
                    && let Kept::Failed(why) = std::mem::replace(&mut row.kept, Kept::Later)
                {
                    self.unkept.extend(row.record.clone().map(|answer| Unkept { answer, token: None, why }));
                }
            }
            Wish::End => {
                session.is_finished = true;
                self.end();
            }
            Wish::Extend => {
                if let Some(limit) = &mut session.limit {
                    // from now on, not from when the time was over
                    limit.added_s += EXTENSION_S + (-limit.left_s(now_s)).max(0.0);
                }
                if std::mem::take(&mut session.is_over) {
                    self.arrive = Some(Arrive::Stem);
                }
            }
            Wish::Look(at) => {
                session.looked_at = Some(at);
                // what was left open is explained too
                if let Some(row) = session.row_mut() {
                    row.question.apply(Deed::Skip);
                }
                self.arrive = Some(Arrive::Stem);
                self.to_top = true;
            }
            Wish::Result => {
                session.looked_at = None;
                self.arrive = Some(Arrive::Result);
                self.to_top = true;
            }
            Wish::Done => {
                self.put_off();
                self.session = None;
                self.go_to_start();
            }
            _ => {}
        }
    }

    fn go_to_start(&mut self) {
        self.is_open = false;
        self.arrive = Some(Arrive::Start);
        self.to_top = true;
        self.read_answers();
    }

    pub(super) fn next(&mut self) {
        let Some(session) = &mut self.session else { return };
        let may_go = session.row().is_some_and(|row| {
            row.question.graded().is_some() && matches!(row.kept, Kept::Nowhere | Kept::OnDisk | Kept::Later)
        });
        if !may_go || session.is_finished {
            return;
        }
        session.go_on();
        self.to_top = true;
        if session.is_finished {
            self.end();
        } else {
            self.arrive = Some(Arrive::Stem);
        }
    }

    fn end(&mut self) {
        self.put_off();
        self.arrive = Some(Arrive::Result);
        self.to_top = true;
        self.read_answers();
    }
}
