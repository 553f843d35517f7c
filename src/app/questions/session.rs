//! A row of questions from its first to its last; nothing here paints.

use super::keeper::Token;
use super::question::Question;
use crate::learning::quiz::response::Response;
use crate::learning::record::{Answer, LearnerCode, Mode};

/// Whether an answer is on the disk.
#[derive(Debug, Clone, PartialEq)]
pub enum Kept {
    /// Nobody's record takes it.
    Nowhere,
    /// It is being written.
    Asked(Token),
    /// It is on the disk.
    OnDisk,
    /// It may not be, and why.
    Failed(String),
    /// The learner went on; it is tried again later.
    Later,
}

/// Time for a test.
#[derive(Debug, Clone, Copy)]
pub struct Limit {
    /// Time that was set, s.
    pub set_s: f64,
    /// Time that was added, s.
    pub added_s: f64,
    /// When it began, s.
    pub begun_s: f64,
}

impl Limit {
    /// Time that is left, s.
    pub fn left_s(&self, now_s: f64) -> f64 {
        self.set_s + self.added_s - (now_s - self.begun_s).max(0.0)
    }
}

/// A question with what became of its answer.
pub struct Row {
    /// The question.
    pub question: Question,
    /// Its record.
    pub record: Option<Answer>,
    /// Whether that is kept.
    pub kept: Kept,
    /// Whether the learner has been told what it is worth.
    pub is_told: bool,
}

/// A row of questions.
pub struct Session {
    /// Why they are asked.
    pub mode: Mode,
    /// As shown above them.
    pub title: String,
    /// Who answers; nobody keeps no record.
    pub learner: Option<LearnerCode>,
    /// The questions in their order.
    pub rows: Vec<Row>,
    /// The one that is shown.
    pub at: usize,
    /// Time for them.
    pub limit: Option<Limit>,
    /// Whether the time is over.
    pub is_over: bool,
    /// Whether everything has been answered, or the learner has ended it.
    pub is_finished: bool,
    /// The question of a finished row that is looked at again.
    pub looked_at: Option<usize>,
}

impl Session {
    /// Whether nothing is told before the end.
    pub fn withholds(&self) -> bool {
        matches!(self.mode, Mode::Test { .. })
    }

    /// Whether the learner can do something to a question.
    pub fn takes_deeds(&self) -> bool {
        !self.is_over || self.is_finished
    }

    /// The question that is shown.
    pub fn row(&self) -> Option<&Row> {
        match (self.is_finished, self.looked_at) {
            (true, None) => None,
            (true, Some(at)) => self.rows.get(at),
            (false, _) => self.rows.get(self.at),
        }
    }

    /// The same, to be changed.
    pub fn row_mut(&mut self) -> Option<&mut Row> {
        match (self.is_finished, self.looked_at) {
            (true, None) => None,
            (true, Some(at)) => self.rows.get_mut(at),
            (false, _) => self.rows.get_mut(self.at),
        }
    }

    /// Go on to the next question, or to the end.
    pub fn go_on(&mut self) {
        self.at += 1;
        if self.at >= self.rows.len() {
            self.is_finished = true;
        }
    }

    /// How many were right, and how many were answered.
    pub fn count(&self) -> (usize, usize) {
        let graded = self.rows.iter().filter_map(|row| row.question.graded());
        let graded = graded.filter(|(response, _)| **response != Response::Skipped);
        graded.fold((0, 0), |(right, all), (_, graded)| (right + usize::from(graded.right), all + 1))
    }

    /// The record of the shown question once it has been graded and nobody has asked for it yet.
    pub fn unkept(&mut self, now_s: f64) -> Option<&mut Row> {
        let (mode, learner) = (self.mode.clone(), self.learner.clone()?);
        if self.is_finished {
            return None;
        }
        let row = self.rows.get_mut(self.at)?;
        if row.record.is_some() {
            return None;
        }
        let (response, graded) = row.question.graded()?;
        let item = &row.question.asked.item;
        row.record = Some(Answer {
            at_unix_s: now_s as i64,
            learner,
            item: item.id.clone(),
            seed: row.question.asked.seed,
            mode,
            chosen: response.chosen(item),
            right: graded.right,
            score: graded.score,
            seconds: (now_s - row.question.begun_s.unwrap_or(now_s)).max(0.0),
            misconception: graded.misconception.clone(),
        });
        Some(row)
    }
}
