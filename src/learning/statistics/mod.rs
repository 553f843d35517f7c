//! What a class's answers say about the items and about the class. Pure; every figure comes with its n.
//!
//! *How hard* an item is, is told by the first answer of each learner to it: a later one was made after the explanation.
//! *What a learner knows now* is told by the last one.

pub mod items;
pub mod mastery;

use crate::learning::record::{Answer, LearnerCode};
use std::collections::BTreeMap;

/// Why a figure is not there.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Undefined {
    /// Nobody answered.
    NoAnswers,
    /// Fewer learners than the figure needs.
    TooFew {
        /// How many it needs.
        needed: usize,
    },
    /// Everybody has the same score on the item.
    SameScore,
    /// Everybody has the same score on the rest of the items.
    SameRest,
    /// Everybody has the same total.
    SameTotal,
    /// A reliability needs two items or more.
    OneItem,
}

impl std::fmt::Display for Undefined {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::NoAnswers => f.write_str("nobody answered"),
            Self::TooFew { needed } => write!(f, "it needs {needed} learners or more"),
            Self::SameScore => f.write_str("everybody has the same score here"),
            Self::SameRest => f.write_str("everybody has the same score on the other items"),
            Self::SameTotal => f.write_str("everybody has the same total"),
            Self::OneItem => f.write_str("it needs two items or more"),
        }
    }
}

/// A figure with the number of learners or answers that it rests on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Figure {
    /// How many it rests on.
    pub n: usize,
    /// Its value, or why there is none; never infinite, never not a number.
    pub value: Result<f64, Undefined>,
}

/// The first answer of each learner to each item, by learner and item.
pub fn first_answers(answers: &[Answer]) -> BTreeMap<(&LearnerCode, &str), &Answer> {
    chosen_answers(answers, |new, kept| new.at_unix_s < kept.at_unix_s)
}

/// The last answer of each learner to each item, by learner and item.
pub fn last_answers(answers: &[Answer]) -> BTreeMap<(&LearnerCode, &str), &Answer> {
    chosen_answers(answers, |new, kept| new.at_unix_s >= kept.at_unix_s)
}

/// Of answers at the same second the order in the record decides.
fn chosen_answers(
    answers: &[Answer],
    replaces: impl Fn(&Answer, &Answer) -> bool,
) -> BTreeMap<(&LearnerCode, &str), &Answer> {
    let mut chosen: BTreeMap<(&LearnerCode, &str), &Answer> = BTreeMap::new();
    for answer in answers {
        let kept = chosen.entry((&answer.learner, answer.item.as_str())).or_insert(answer);
        if replaces(answer, kept) {
            *kept = answer;
        }
    }
    chosen
}

/// How often each text occurs, the most frequent first, equals by the alphabet.
fn counted<'a>(texts: impl IntoIterator<Item = &'a str>) -> Vec<(String, usize)> {
    let mut counts: BTreeMap<&str, usize> = BTreeMap::new();
    for text in texts {
        *counts.entry(text).or_default() += 1;
    }
    let mut counts: Vec<(String, usize)> = counts.into_iter().map(|(text, count)| (text.to_owned(), count)).collect();
    // the sort keeps the alphabet among equals
    counts.sort_by_key(|(_, count)| std::cmp::Reverse(*count));
    counts
}
