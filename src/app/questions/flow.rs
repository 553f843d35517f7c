//! What happens between two frames: what has come in, what the learner did, and what is asked for next.

use super::View;
use super::keeper::{Ask, Keeper};
use super::page::Arrive;
use super::question::Question;
use super::session::{Kept, Session};
use crate::app::actions::Action;
use crate::app::lessons::passing::play;
use crate::app::lessons::runner::{Reply, Runner};
use crate::app::preferences::Preferences;
use eframe::egui::Context;
use std::time::Duration;

impl View {
    /// Let everything come in that has happened since the last frame.
    pub(super) fn advance(&mut self, ctx: &Context, preferences: &Preferences, actions: &mut Vec<Action>) {
        let wake = ctx.clone();
        self.stock.refresh(move || wake.request_repaint(), &preferences.course_folder);
        if self.plan.seed.is_empty() {
            // any number will do: it is shown, and can be typed again
            self.plan.seed = format!("{}", (self.clock.now_s() * 10.0) as u64 % 10_000);
        }
        if let Some(first) = self.stock.read().and_then(|read| read.course.lessons.first())
            && self.plan.lesson.is_empty()
        {
            self.plan.lesson.clone_from(&first.stem);
        }
        self.open_folder(ctx, preferences);
        while let Some(told) = self.keeper.as_mut().and_then(Keeper::told) {
            self.hear(told);
        }
        while let Some(reply) = self.runner.as_ref().and_then(Runner::reply) {
            self.receive(reply);
        }
        for deed in std::mem::take(&mut self.deeds) {
            if let Some(row) = self.session.as_mut().filter(|session| session.takes_deeds()).and_then(Session::row_mut)
            {
                row.question.apply(deed);
            }
        }
        for wish in std::mem::take(&mut self.wishes) {
            self.fulfil(wish, actions);
        }
        self.begin_wanted();
        self.pass(ctx, preferences);
        self.ask_runs(ctx);
    }

    pub(super) fn receive(&mut self, reply: Reply) {
        let mut rows = self.session.iter_mut().flat_map(|session| &mut session.rows);
        if let Some(row) = rows.find(|row| row.question.block.key == reply.key) {
            row.question.receive(reply);
        }
    }

    /// Whether a run that was asked for has not come.
    pub(super) fn runs_wait(&self) -> bool {
        let mut rows = self.session.iter().flat_map(|session| &session.rows);
        rows.any(|row| row.question.waiting() && !row.question.block.stale)
    }

    /// Time passes, and an answer that has just been graded goes to the keeper.
    fn pass(&mut self, ctx: &Context, preferences: &Preferences) {
        let now_s = self.clock.now_s();
        let Some(session) = self.session.as_mut().filter(|_| self.is_open) else { return };
        if let Some(limit) = session.limit.filter(|_| !session.is_finished) {
            let is_over = limit.left_s(now_s) <= 0.0;
            if is_over && !session.is_over {
                self.arrive = Some(Arrive::Result);
            }
            session.is_over = is_over;
            ctx.request_repaint_after(Duration::from_millis(500));
        }
        let was_graded = session.row().is_some_and(|row| row.question.graded().is_some());
        if let Some(row) = session.row_mut() {
            row.question.begun_s.get_or_insert(now_s);
            let Question { block, still_since_s, .. } = &mut row.question;
            if block.playing {
                play(ctx, block, preferences, still_since_s);
            }
        }
        if let Some(row) = session.unkept(now_s) {
            self.names += 1;
            row.kept = Kept::Asked(self.names);
            let answer = row.record.clone().map(Box::new);
            match (answer, &mut self.keeper) {
                (Some(answer), Some(keeper)) => keeper.ask(Ask::Keep { token: self.names, answer, again: false }),
                _ => row.kept = Kept::Failed("the records folder is not open; choose it again".to_owned()),
            }
        }
        let withholds = session.withholds() && !session.is_finished;
        match session.row_mut() {
            Some(row) if was_graded && !row.is_told && !withholds => {
                row.is_told = true;
                // a question that is looked at again begins with itself
                if !session.is_finished {
                    self.arrive = Some(Arrive::Verdict);
                }
            }
            Some(_) if was_graded && withholds => self.next(),
            _ => {}
        }
    }

    fn ask_runs(&mut self, ctx: &Context) {
        let Some(session) = &mut self.session else { return };
        let shown = session.looked_at.unwrap_or(session.at);
        for (_, row) in session.rows.iter_mut().enumerate().filter(|(at, _)| *at == shown || *at == shown + 1) {
            let (key, with_steady) = (row.question.block.key, row.question.asked.item.needs_steady());
            let Some(benches) = row.question.take_request() else { continue };
            let runner = self.runner.get_or_insert_with(|| {
                let wake = ctx.clone();
                Runner::new(move || wake.request_repaint())
            });
            runner.ask(key, row.question.block.revision, benches, with_steady);
        }
    }
}
