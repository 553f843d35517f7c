//! A test on paper and its key as files.

use super::{ALL_WELL, SOME_BAD, complain, print};
use second_breath::content::problem::Problems;
use second_breath::content::quiz::bank::bank;
use second_breath::content::save::save_atomically;
use second_breath::report::date::Date;
use second_breath::report::page::Paper;
use second_breath::report::paper_test::{Wanted, pdfs};
use std::path::PathBuf;

/// What is asked for.
#[derive(Debug, PartialEq)]
pub struct Task {
    /// Which test.
    pub wanted: Wanted,
    /// Paper.
    pub paper: Paper,
    /// A course folder over the one that comes with the program.
    pub course: Option<PathBuf>,
    /// Where the test goes.
    pub out: PathBuf,
    /// Where the key goes.
    pub answers: PathBuf,
}

/// Makes the test and writes it with its key. Returns the exit status.
pub fn one(task: &Task) -> u8 {
    let (bank, problems) = bank(task.course.as_deref());
    let mut status = ALL_WELL;
    if !problems.is_empty() {
        complain(&Problems(problems).to_string());
        status = SOME_BAD;
    }
    let items = task.wanted.chosen(&bank);
    let made = pdfs(&items, task.wanted.seed, task.paper, Date::today()).and_then(|[test, key]| {
        save_atomically(&task.out, &test).map_err(|error| error.to_string())?;
        save_atomically(&task.answers, &key).map_err(|error| error.to_string())
    });
    match made {
        Ok(()) => {
            let fewer = if items.len() < task.wanted.items { "; there are no more on these outcomes" } else { "" };
            status.max(print(&format!("{} items, form {}{fewer}\n", items.len(), task.wanted.seed)))
        }
        Err(message) => {
            complain(&message);
            SOME_BAD
        }
    }
}
