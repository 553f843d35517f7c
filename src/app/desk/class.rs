//! A class as the desk shows it: answers of a records folder or of the invented class, with all that follows from them.

use crate::content::course_folder;
use crate::content::problem::Problem;
use crate::content::quiz::bank::bank;
use crate::learning::invented_class::{TITLE, invented_class};
use crate::learning::quiz::bank::Bank;
use crate::learning::quiz::review::{Past, due};
use crate::learning::record::{Answer, LearnerCode, Mode};
use crate::learning::statistics::items::{self, FormStatistics};
use crate::learning::statistics::mastery::{Mastery, Outcomes, Reteach, Share, mastery, reteach};
use crate::storage::clock;
use crate::storage::records::Records;
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

const DAY_S: i64 = 86_400;
/// Seed of the invented class.
const SEED: u64 = 1;

/// Where a class comes from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Source {
    /// A folder with records.
    Folder(PathBuf),
    /// The invented class.
    Invented,
}

/// A learner in a line.
#[derive(Debug, Clone, PartialEq)]
pub struct Learner {
    /// Code.
    pub code: LearnerCode,
    /// Name, where one is known.
    pub name: Option<String>,
    /// Right answers of all.
    pub share: Share,
    /// Last answer, s since 1970 began.
    pub last_unix_s: Option<i64>,
    /// Items that are due again.
    pub due: usize,
}

/// A class with all that follows from its answers.
#[derive(Debug)]
pub struct Class {
    /// Where it comes from.
    pub source: Source,
    /// What is written over it.
    pub title: String,
    /// Learners by code.
    pub learners: Vec<Learner>,
    /// Answers, learner by learner.
    pub answers: Vec<Answer>,
    /// Statistics of all items, then of each form of a test, with their names.
    pub forms: Vec<(String, FormStatistics)>,
    /// Outcomes × learners.
    pub mastery: Mastery,
    /// What to teach again.
    pub reteach: Vec<Reteach>,
    /// The items.
    pub bank: Bank,
    /// The lesson that teaches an outcome: stem, title.
    pub lessons: BTreeMap<usize, (String, String)>,
    /// Day for which the due items are counted, since 1970 began.
    pub today: i64,
}

impl Class {
    /// Read a class with everything that follows, and what was mended on the way or is wrong with the course folder.
    ///
    /// # Errors
    /// In words: a folder that cannot be read.
    pub fn read(source: &Source, course: Option<&Path>) -> Result<(Self, Vec<Problem>), String> {
        let (bank, mut problems) = bank(course);
        let mut found = match source {
            Source::Invented => invented(),
            Source::Folder(folder) => {
                let (found, notices) = stored(folder, &bank).map_err(|problem| problem.to_string())?;
                problems.extend(notices);
                found
            }
        };
        found.named.sort();
        Ok((Self::of(source.clone(), found, bank, course), problems))
    }

    fn of(source: Source, found: Found, bank: Bank, course: Option<&Path>) -> Self {
        let Found { title, named, answers, outcomes, today } = found;
        let mut forms = vec![("All answers".to_owned(), items::of(&answers))];
        let mut by_form: BTreeMap<&str, Vec<Answer>> = BTreeMap::new();
        for answer in &answers {
            if let Mode::Test { form } = &answer.mode {
                by_form.entry(form).or_default().push(answer.clone());
            }
        }
        forms.extend(by_form.iter().map(|(form, answers)| (format!("Test form {form}"), items::of(answers))));
        let mut lessons = BTreeMap::new();
        for lesson in &course_folder::course(course).0.lessons {
            for number in &lesson.outcomes {
                lessons.entry(*number).or_insert_with(|| (lesson.stem.clone(), lesson.title.clone()));
            }
        }
        Self {
            learners: named.into_iter().map(|(code, name)| learner(code, name, &answers, today)).collect(),
            mastery: mastery(&answers, &outcomes),
            reteach: reteach(&answers, &outcomes),
            source,
            title,
            answers,
            forms,
            bank,
            lessons,
            today,
        }
    }

    /// The learner with this code.
    pub fn learner(&self, code: &LearnerCode) -> Option<&Learner> {
        self.learners.iter().find(|learner| learner.code == *code)
    }

    /// Whether its learners do not exist.
    pub fn is_invented(&self) -> bool {
        self.source == Source::Invented
    }
}

/// What a source gives.
struct Found {
    title: String,
    named: Vec<(LearnerCode, Option<String>)>,
    answers: Vec<Answer>,
    outcomes: Outcomes,
    today: i64,
}

fn invented() -> Found {
    let class = invented_class(SEED);
    let last = class.answers.iter().map(|answer| answer.at_unix_s).max().unwrap_or(0);
    Found {
        title: TITLE.to_owned(),
        named: class.learners.into_iter().map(|(code, name)| (code, Some(name))).collect(),
        answers: class.answers,
        outcomes: class.outcomes,
        // the day after the last evening: the invented class does not grow older
        today: last.div_euclid(DAY_S) + 1,
    }
}

/// What a folder holds, and what was mended.
fn stored(folder: &Path, bank: &Bank) -> Result<(Found, Vec<Problem>), Problem> {
    let mut records = Records::open(folder)?;
    let answers = records.all_answers()?;
    let named = records.learners()?.into_iter().map(|code| {
        let name = records.name(&code).map(str::to_owned);
        (code, name)
    });
    let found = Found {
        title: format!("Records in {}", folder.display()),
        named: named.collect(),
        answers,
        outcomes: bank.items.iter().map(|item| (item.id.clone(), item.outcomes.clone())).collect(),
        today: clock::today(),
    };
    Ok((found, records.take_notices()))
}

fn learner(code: LearnerCode, name: Option<String>, answers: &[Answer], today: i64) -> Learner {
    let mut own: Vec<&Answer> = answers.iter().filter(|answer| answer.learner == code).collect();
    own.sort_by_key(|answer| answer.at_unix_s);
    let mut past: BTreeMap<&str, Vec<Past>> = BTreeMap::new();
    for answer in &own {
        let one = Past { day: answer.at_unix_s.div_euclid(DAY_S), right: answer.right };
        past.entry(&answer.item).or_default().push(one);
    }
    let due = due(past.iter().map(|(item, past)| (*item, past.as_slice())), today).len();
    let share = Share { right: own.iter().filter(|answer| answer.right).count(), n: own.len() };
    Learner { code, name, share, last_unix_s: own.last().map(|answer| answer.at_unix_s), due }
}
