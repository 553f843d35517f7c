//! What happens between two frames: what has come in, what the learner did, and what is asked for next.

use super::keeper::{Ask, Keeper, Told};
use super::page::{Arrive, Wish};
use super::plan::{self, MOST_DUE};
use super::question::{Deed, Question};
use super::session::{Kept, Limit, Row, Session};
use super::{Folder, Unkept, View};
use crate::app::actions::Action;
use crate::app::lessons::runner::{Reply, Runner};
use crate::app::preferences::Preferences;
use crate::learning::quiz::item::Item;
use crate::learning::record::{LearnerCode, Mode};
use eframe::egui::Context;
use std::path::PathBuf;
use std::time::Duration;

/// Time that a learner may add to a test at once, s.
pub const EXTENSION_S: f64 = 300.0;

/// Names of questions towards the runner begin here: blocks of lessons, whose pictures are kept by such names too, count
/// from 1.
const FIRST_KEY: u64 = 1 << 32;

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

    fn keeper(&mut self, ctx: &Context) -> &mut Keeper {
        let wake = ctx.clone();
        self.keeper.get_or_insert_with(|| Keeper::new(move || wake.request_repaint()))
    }

    /// Open the records folder that the preferences name, once.
    fn open_folder(&mut self, ctx: &Context, preferences: &Preferences) {
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

    fn nobody(&mut self) {
        self.learner = None;
        self.is_new = false;
        self.answers.clear();
        self.due.clear();
    }

    fn answer_as(&mut self, learner: LearnerCode) {
        self.nobody();
        self.who_error = None;
        self.plan.code.clear();
        self.learner = Some(learner);
        self.read_answers();
    }

    fn count_due(&mut self) {
        let today = plan::day(self.clock.now_s() as i64);
        self.due = self.stock.read().map_or_else(Vec::new, |read| plan::due(&self.answers, &read.bank, today));
    }

    fn use_code(&mut self) {
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

    fn fulfil(&mut self, wish: Wish, actions: &mut Vec<Action>) {
        match wish {
            Wish::Plan(plan) => {
                self.plan = *plan;
                self.plan_error = None;
                self.who_error = None;
            }
            Wish::Nobody => self.nobody(),
            Wish::Code => self.use_code(),
            Wish::NewLearner => {
                if let Some(keeper) = &mut self.keeper {
                    keeper.ask(Ask::Add);
                }
            }
            Wish::Folder => self.asked_folder = None,
            Wish::ChooseFolder => actions.push(Action::OpenRecords),
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
                    limit.added_s += EXTENSION_S;
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

    /// What the learner has answered so far, from the disk.
    fn read_answers(&mut self) {
        if let (Some(learner), Some(keeper)) = (&self.learner, &mut self.keeper) {
            keeper.ask(Ask::Read(learner.clone()));
        }
    }

    /// Try everything again that is not on the disk, in the order in which it was answered.
    fn keep_rest(&mut self) {
        let Some(keeper) = &mut self.keeper else { return };
        for unkept in self.unkept.iter_mut().filter(|unkept| unkept.token.is_none()) {
            self.names += 1;
            unkept.token = Some(self.names);
            keeper.ask(Ask::Keep { token: self.names, answer: Box::new(unkept.answer.clone()), again: true });
        }
    }

    fn next(&mut self) {
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

    fn begin_lesson(&mut self) {
        let seed = self.fresh_seed();
        let Some(read) = self.stock.read().cloned() else { return };
        let items = self.plan.lesson_items(&read, seed);
        let title = read.course.lesson(&self.plan.lesson).map_or_else(String::new, |lesson| lesson.title.clone());
        if items.is_empty() {
            let why = "there is no question on this lesson yet; choose another one".to_owned();
            self.plan_error = Some((Arrive::Lesson, why));
            return;
        }
        self.begin(Mode::Lesson, title, &items, seed, None);
    }

    fn begin_review(&mut self) {
        let seed = self.fresh_seed();
        let Some(read) = self.stock.read().cloned() else { return };
        let items: Vec<&Item> = self.due.iter().take(MOST_DUE).filter_map(|id| read.bank.item(id)).collect();
        self.begin(Mode::Review, "Due today".to_owned(), &items, seed, None);
    }

    fn begin_test(&mut self) {
        let seed = match self.plan.seed() {
            Ok(seed) => seed,
            Err(why) => {
                self.plan_error = Some((Arrive::Stem, why));
                return;
            }
        };
        let Some(read) = self.stock.read().cloned() else { return };
        let items = self.plan.test(&read.bank, seed);
        let form = self.plan.form(seed);
        let begun_s = self.clock.now_s();
        let limit = self.plan.minutes.map(|minutes| Limit { set_s: 60.0 * f64::from(minutes), added_s: 0.0, begun_s });
        self.begin(Mode::Test { form }, format!("Test, seed {seed}"), &items, seed, limit);
    }

    fn begin_wanted(&mut self) {
        let Some(read) = self.stock.read().cloned() else { return };
        let Some((ids, mode)) = self.wanted.take() else { return };
        let seed = self.fresh_seed();
        let items: Vec<&Item> = ids.iter().filter_map(|id| read.bank.item(id)).collect();
        self.begin(mode, "Chosen questions".to_owned(), &items, seed, None);
    }

    /// A seed that nobody needs to know.
    fn fresh_seed(&mut self) -> u64 {
        self.names += 1;
        (self.clock.now_s() * 1e3) as u64 ^ self.names
    }

    fn begin(&mut self, mode: Mode, title: String, items: &[&Item], seed: u64, limit: Option<Limit>) {
        if items.is_empty() {
            return;
        }
        let mut row = |item: &&Item| {
            self.names += 1;
            let question = Question::new(FIRST_KEY + self.names, item.ask(seed));
            Row { question, record: None, kept: Kept::Nowhere, is_told: false }
        };
        let rows = items.iter().map(&mut row).collect();
        let learner = self.learner.clone();
        let (is_over, is_finished, looked_at) = (false, false, None);
        self.put_off();
        self.session = Some(Session { mode, title, learner, rows, at: 0, limit, is_over, is_finished, looked_at });
        self.is_open = true;
        self.is_new = false;
        self.arrive = Some(Arrive::Stem);
        self.to_top = true;
    }

    /// Answers that are not on the disk yet are not lost with their row.
    fn put_off(&mut self) {
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
            play(ctx, &mut row.question, preferences);
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

/// A run that plays goes on; with reduced motion it steps from event to event.
fn play(ctx: &Context, question: &mut Question, preferences: &Preferences) {
    const STILL_S: f64 = 2.5;
    let block = &mut question.block;
    if !block.playing {
        return;
    }
    if !preferences.reduced_motion {
        block.tick(f64::from(ctx.input(|input| input.stable_dt)).min(0.1));
        ctx.request_repaint();
        return;
    }
    let now = ctx.input(|input| input.time);
    if now - question.still_since_s >= STILL_S {
        question.still_since_s = now;
        block.step_to_event(true);
        block.playing = block.cursor_s < block.span_s().1;
    }
    ctx.request_repaint_after(Duration::from_millis(100));
}
