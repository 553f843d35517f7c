//! What is chosen on the first page, and the questions that follow from it.

use super::stock::Read;
use crate::learning::outcomes::OUTCOMES;
use crate::learning::quiz::bank::Bank;
use crate::learning::quiz::item::Item;
use crate::learning::quiz::review::{self, Past};
use crate::learning::quiz::select;
use crate::learning::record::Answer;
use std::collections::BTreeMap;

/// Fewest and most questions on a lesson.
pub const ON_LESSON: std::ops::RangeInclusive<usize> = 3..=5;
/// Fewest and most questions of a test.
pub const IN_TEST: std::ops::RangeInclusive<usize> = 1..=60;
/// Shortest and longest time limit, minutes.
pub const MINUTES: std::ops::RangeInclusive<u32> = 1..=240;
/// Most questions of one review: more than that is put off to another sitting.
pub const MOST_DUE: usize = 20;

/// What is chosen.
#[derive(Debug, Clone, PartialEq)]
pub struct Plan {
    /// The code as typed.
    pub code: String,
    /// Stem of the lesson.
    pub lesson: String,
    /// Questions on it.
    pub on_lesson: usize,
    /// Outcomes of the test; none: all.
    pub outcomes: Vec<usize>,
    /// Questions of the test.
    pub in_test: usize,
    /// The seed of the test as typed.
    pub seed: String,
    /// Minutes for the test.
    pub minutes: Option<u32>,
}

impl Default for Plan {
    fn default() -> Self {
        Self {
            code: String::new(),
            lesson: String::new(),
            on_lesson: 4,
            outcomes: Vec::new(),
            in_test: 10,
            seed: String::new(),
            minutes: None,
        }
    }
}

impl Plan {
    /// The seed of the test.
    ///
    /// # Errors
    /// In words, if it is no seed.
    pub fn seed(&self) -> Result<u64, String> {
        let seed = self.seed.trim();
        let is_seed = !seed.is_empty() && seed.len() <= 9 && seed.bytes().all(|byte| byte.is_ascii_digit());
        seed.parse()
            .ok()
            .filter(|_| is_seed)
            .ok_or_else(|| "the seed is a whole number of up to nine figures, such as 4711".to_owned())
    }

    /// Numbers of the outcomes that are tested.
    pub fn tested(&self) -> Vec<usize> {
        match self.outcomes.is_empty() {
            true => OUTCOMES.iter().map(|outcome| outcome.number).collect(),
            false => self.outcomes.clone(),
        }
    }

    /// The name of the form: outcomes, questions and seed say which questions it has.
    pub fn form(&self, seed: u64) -> String {
        let outcomes = match self.outcomes.is_empty() {
            true => "all".to_owned(),
            false => self.outcomes.iter().map(usize::to_string).collect::<Vec<_>>().join("+"),
        };
        format!("outcomes {outcomes}, {} items, seed {seed}", self.in_test)
    }

    /// The questions of the test.
    pub fn test<'a>(&self, bank: &'a Bank, seed: u64) -> Vec<&'a Item> {
        select::form(bank, &self.tested(), self.in_test, seed)
    }

    /// The questions on the lesson.
    pub fn lesson_items<'a>(&self, read: &'a Read, seed: u64) -> Vec<&'a Item> {
        let lesson = read.course.lesson(&self.lesson);
        lesson.map_or_else(Vec::new, |lesson| select::for_lesson(&read.bank, lesson, self.on_lesson, seed))
    }
}

/// Ids of the items of the bank that are due on a day, the longest overdue first.
pub fn due(answers: &[Answer], bank: &Bank, today: i64) -> Vec<String> {
    let mut past: BTreeMap<&str, Vec<Past>> = BTreeMap::new();
    for answer in answers.iter().filter(|answer| bank.item(&answer.item).is_some()) {
        past.entry(&answer.item).or_default().push(Past { day: day(answer.at_unix_s), right: answer.right });
    }
    let answered = past.iter().map(|(id, past)| (*id, past.as_slice()));
    review::due(answered, today).into_iter().map(str::to_owned).collect()
}

/// The day of a moment, UTC.
pub fn day(unix_s: i64) -> i64 {
    unix_s.div_euclid(86_400)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_seed_is_a_short_whole_number() {
        let read = |seed: &str| Plan { seed: seed.to_owned(), ..Plan::default() }.seed();
        assert_eq!((read("4711"), read(" 0 ")), (Ok(4711), Ok(0)));
        for text in ["", "-3", "4.5", "1234567890", "seed"] {
            assert!(read(text).is_err(), "{text}");
        }
    }

    #[test]
    fn a_form_is_told_apart_by_all_that_its_questions_depend_on() {
        let plan = Plan::default();
        let some = Plan { outcomes: vec![3, 7], ..plan.clone() };
        let fewer = Plan { in_test: 5, ..plan.clone() };
        let forms = [plan.form(1), plan.form(2), some.form(1), fewer.form(1)];
        assert!((0..forms.len()).all(|a| (0..a).all(|b| forms[a] != forms[b])), "{forms:?}");
    }
}
