//! Checks a bank of items: proves that each right answer is right and each wrong one wrong, by running what they speak of,
//! and watches the rules of item writing.

mod proofs;
mod rules;
mod values;

use crate::content::problem::Problem;
use crate::learning::live::Bench;
use crate::learning::quiz::asked::Asked;
use crate::learning::quiz::bank::{Bank, LEAST_ITEMS};
use crate::learning::quiz::item::Item;
use crate::learning::seen::{Seen, see};
use rayon::prelude::*;

/// What an item came to.
#[derive(Debug, Clone, PartialEq)]
pub struct ItemReport {
    /// Its id.
    pub id: String,
    /// Kind, as files name it.
    pub kind: &'static str,
    /// Runs that were made for it.
    pub runs: usize,
    /// Flesch–Kincaid grade.
    pub grade: f64,
    /// Whatever is wrong.
    pub problems: Vec<Problem>,
}

/// Every item's report, in their order.
pub fn check(bank: &Bank) -> Vec<ItemReport> {
    bank.items.par_iter().map(check_item).collect()
}

/// Proves one item, and watches the rules of writing.
pub fn check_item(item: &Item) -> ItemReport {
    let mut sheet = Sheet { item, runs: 0, problems: Vec::new() };
    rules::watch(&mut sheet);
    proofs::prove(&mut sheet);
    let (id, kind) = (item.id.clone(), item.kind.id());
    let mut problems = sheet.problems;
    problems.sort_by_key(|problem| problem.line);
    problems.dedup();
    ItemReport { id, kind, runs: sheet.runs, grade: rules::grade(item), problems }
}

/// What is wrong with the items of a bank as a whole, file by file.
pub fn check_files(bank: &Bank) -> Vec<Problem> {
    rules::files(bank)
}

/// Outcomes that have fewer than [`LEAST_ITEMS`] items, as problems of the folder of quizzes.
pub fn check_outcomes(bank: &Bank) -> Vec<Problem> {
    let problem = |(number, count): (usize, usize)| Problem {
        file: crate::content::quiz::bank::FOLDER.to_owned(),
        line: 1,
        key: format!("outcome {number}"),
        message: format!("it has {count} of at least {LEAST_ITEMS} items"),
        mend: "write more, so that it can be asked again in another way".to_owned(),
    };
    bank.short_outcomes().into_iter().map(problem).collect()
}

/// An item that is being checked.
struct Sheet<'a> {
    item: &'a Item,
    runs: usize,
    problems: Vec<Problem>,
}

impl Sheet<'_> {
    fn note(&mut self, line: usize, message: impl Into<String>, mend: impl Into<String>) {
        let (file, key) = (self.item.file.clone(), self.item.id.clone());
        self.problems.push(Problem { file, line, key, message: message.into(), mend: mend.into() });
    }

    /// Run benches; a run that fails is a problem of the item.
    fn see(&mut self, benches: &[Bench]) -> Option<Vec<Seen>> {
        self.runs += benches.len();
        match see(benches, self.item.needs_steady()) {
            Ok(seen) => Some(seen),
            Err(why) => {
                self.note(self.item.line, format!("the run fails: {why}"), "change its settings");
                None
            }
        }
    }

    /// Every text must find its values in the run.
    fn texts_are_filled(&mut self, asked: &Asked, seen: &[Seen]) {
        for text in self.item.told() {
            let told = asked.text(text, seen);
            if told.contains(crate::learning::explain::NOT_IN_RUN) {
                let mend = "leave the value out, or change the settings";
                self.note(self.item.line, format!("a text tells a value that is not in the run: {told}"), mend);
            }
        }
    }
}
