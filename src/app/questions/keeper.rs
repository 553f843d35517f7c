//! The records of a folder on a thread of their own, so that a slow disk holds up nothing.

use crate::app::worker::guarded;
use crate::learning::record::{Answer, LearnerCode};
use crate::storage::records::Records;
use std::path::PathBuf;
use std::sync::mpsc::{Receiver, Sender, channel};
use std::time::Duration;

/// Name of an answer towards the keeper.
pub type Token = u64;

/// What the keeper is asked for; it goes through them in their order.
pub enum Ask {
    /// Open the records of a folder, in place of those that are open.
    Open(PathBuf),
    /// Let others have the folder.
    Close,
    /// Take in a new learner.
    Add,
    /// The answers of a learner so far.
    Read(LearnerCode),
    /// Keep an answer.
    Keep {
        /// Its name.
        token: Token,
        /// The answer.
        answer: Box<Answer>,
        /// Whether it may be there already: an attempt before this one failed.
        again: bool,
    },
}

/// What the keeper has to tell.
pub enum Told {
    /// The folder is open: its learners, and what was mended in it.
    Open(Vec<LearnerCode>, Vec<String>),
    /// The folder cannot be used, and why.
    Refused(String),
    /// A new learner.
    Added(LearnerCode),
    /// Answers so far.
    Answers(LearnerCode, Vec<Answer>),
    /// What was asked for did not work, though the folder is open.
    Failed(String),
    /// Whether an answer is on the disk.
    Kept(Token, Result<(), String>),
}

/// The thread.
pub struct Keeper {
    asks: Sender<Ask>,
    told: Receiver<Told>,
    /// How many asks have not been answered.
    pending: usize,
}

impl Keeper {
    /// Start it; `wake` is called when it has something to tell.
    pub fn new(wake: impl Fn() + Send + 'static) -> Self {
        let (asks, to_do) = channel::<Ask>();
        let (teller, told) = channel();
        std::thread::spawn(move || {
            let mut records = None;
            for ask in to_do {
                let kept = if let Ask::Keep { token, .. } = &ask { Some(*token) } else { None };
                let answer = guarded(|| answer(&mut records, ask)).unwrap_or_else(|defect| match kept {
                    Some(token) => Some(Told::Kept(token, Err(defect))),
                    None => Some(Told::Failed(defect)),
                });
                if answer.is_some_and(|answer| teller.send(answer).is_err()) {
                    return;
                }
                wake();
            }
        });
        Self { asks, told, pending: 0 }
    }

    /// Ask for something.
    pub fn ask(&mut self, ask: Ask) {
        let is_answered = !matches!(ask, Ask::Close);
        // a thread that is gone is told by the answer that never comes
        if self.asks.send(ask).is_ok() && is_answered {
            self.pending += 1;
        }
    }

    /// What it has told, if anything.
    pub fn told(&mut self) -> Option<Told> {
        let told = self.told.try_recv().ok()?;
        self.pending = self.pending.saturating_sub(1);
        Some(told)
    }

    /// Whether something was asked that has not been answered.
    pub fn is_busy(&self) -> bool {
        self.pending > 0
    }

    /// Wait for something to be told; `None` after `limit`.
    pub fn wait(&mut self, limit: Duration) -> Option<Told> {
        let told = self.told.recv_timeout(limit).ok()?;
        self.pending = self.pending.saturating_sub(1);
        Some(told)
    }
}

fn answer(records: &mut Option<Records>, ask: Ask) -> Option<Told> {
    match ask {
        Ask::Open(folder) => {
            // before the new one: it may be the same folder
            *records = None;
            Some(opened(records, &folder).unwrap_or_else(Told::Refused))
        }
        Ask::Close => {
            *records = None;
            None
        }
        Ask::Keep { token, answer, again } => Some(Told::Kept(token, keep(records.as_mut(), &answer, again))),
        Ask::Add => Some(added(records.as_mut()).unwrap_or_else(Told::Failed)),
        Ask::Read(learner) => Some(read(records.as_mut(), learner).unwrap_or_else(Told::Failed)),
    }
}

fn opened(records: &mut Option<Records>, folder: &std::path::Path) -> Result<Told, String> {
    let mut opened = Records::open(folder).map_err(|problem| told(&problem))?;
    let learners = opened.learners().map_err(|problem| told(&problem))?;
    let notices = opened.take_notices().iter().map(told).collect();
    *records = Some(opened);
    Ok(Told::Open(learners, notices))
}

/// A problem of a folder or a log as a whole: a line number would mean nothing.
fn told(problem: &crate::content::problem::Problem) -> String {
    format!("{}: {}; {}", problem.file, problem.message, problem.mend)
}

fn open(records: Option<&mut Records>) -> Result<&mut Records, String> {
    records.ok_or_else(|| "the records folder is not open; choose it again".to_owned())
}

fn keep(records: Option<&mut Records>, answer: &Answer, again: bool) -> Result<(), String> {
    let records = open(records)?;
    if again && !records.learners().map_err(|problem| told(&problem))?.contains(&answer.learner) {
        return Err(format!(
            "this folder has no learner {}; choose the one in which the answer belongs",
            answer.learner
        ));
    }
    if again && records.answers(&answer.learner).map_err(|problem| told(&problem))?.contains(answer) {
        return Ok(());
    }
    records.append(answer).map_err(|problem| told(&problem))
}

fn added(records: Option<&mut Records>) -> Result<Told, String> {
    open(records)?.add("").map(Told::Added).map_err(|problem| told(&problem))
}

fn read(records: Option<&mut Records>, learner: LearnerCode) -> Result<Told, String> {
    let answers = open(records)?.answers(&learner).map_err(|problem| told(&problem))?;
    Ok(Told::Answers(learner, answers))
}
