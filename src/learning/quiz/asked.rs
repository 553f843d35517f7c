//! An item as it was put to a learner once, what an answer needs, and what it is worth.

use crate::learning::live::Bench;
use crate::learning::quiz::item::{Item, Kind};
use crate::learning::quiz::response::{Graded, Response};
use crate::learning::quiz::text::{Gaps, Text, joined};
use crate::learning::seen::{Seen, see};

/// An item as it was put.
#[derive(Debug, Clone)]
pub struct Asked {
    /// The item.
    pub item: Item,
    /// The seed with which it was put.
    pub seed: u64,
    /// The question, with the drawn values in it.
    pub stem: String,
    /// How to answer: unit, precision, tolerance, how much may be changed; empty where nothing is to be said.
    pub how: String,
    /// What is run: with the drawn values, or with the fault. Empty: nothing is.
    pub benches: Vec<Bench>,
    /// Drawn values, each in its unit.
    pub drawn: Vec<f64>,
    /// Places of options, events or candidates in the order in which they are shown.
    pub order: Vec<usize>,
    drawn_shown: Vec<String>,
}

/// What must be run before an answer can be graded; may be nothing.
#[derive(Debug, Clone)]
pub struct Needed {
    /// What is run.
    pub benches: Vec<Bench>,
    /// Whether with the steady figures.
    pub with_steady: bool,
}

impl Needed {
    /// Run it. The only slow step; a worker may do it and drop the result.
    ///
    /// # Errors
    /// As [`see`].
    pub fn see(&self) -> Result<Vec<Seen>, String> {
        see(&self.benches, self.with_steady)
    }
}

impl Asked {
    pub(super) fn new(item: Item, seed: u64, drawn: Vec<f64>, benches: Vec<Bench>, order: Vec<usize>) -> Self {
        let (drawn_shown, how) = match &item.kind {
            Kind::Numeric(numeric) => (numeric.shown(&drawn), numeric.how()),
            Kind::Tune(tune) => (Vec::new(), tune.how()),
            _ => (Vec::new(), String::new()),
        };
        let stem = item.stem_with(&drawn_shown);
        Self { item, seed, stem, how, benches, drawn, order, drawn_shown }
    }

    /// What is to choose from, in the order in which it is shown: its place in the item, its text.
    pub fn choices(&self) -> Vec<(usize, &str)> {
        let text = |place: usize| match &self.item.kind {
            Kind::Choice(choice) => choice.options.get(place).map(|option| option.text.as_str()),
            Kind::Order(order) => order.events.get(place).map(|event| event.label),
            Kind::Fault(fault) => fault.candidates.get(place).map(|candidate| candidate.label.as_str()),
            _ => None,
        };
        self.order.iter().filter_map(|place| Some((*place, text(*place)?))).collect()
    }

    /// What must be run before this answer can be graded.
    ///
    /// # Errors
    /// In words, when the answer cannot be graded as it is: a value out of its range, too much changed.
    pub fn needed(&self, response: &Response) -> Result<Needed, String> {
        let benches = match (&self.item.kind, response) {
            (Kind::Tune(tune), Response::Tune(values)) => tune.turned(&self.benches, values)?,
            _ if self.item.needs_run() => self.benches.clone(),
            _ => Vec::new(),
        };
        Ok(Needed { benches, with_steady: self.item.needs_steady() })
    }

    /// What an answer is worth, with what was seen of [`Self::needed`]. A pure function of its input.
    ///
    /// # Errors
    /// In words, when it cannot be graded as it is: an unreadable number, an answer of another kind, a run that is missing.
    /// Such an answer is not wrong; the learner mends it.
    pub fn grade(&self, response: &Response, seen: &[Seen]) -> Result<Graded, String> {
        if self.item.needs_run() && seen.len() < self.benches.len() {
            return Err("the run that this needs has not been made".to_owned());
        }
        match (&self.item.kind, response) {
            (_, Response::Skipped) => {
                let told = joined(&[self.solution(seen), self.text(&self.item.explain, seen)]);
                Ok(Graded { score: 0.0, right: false, told, misconception: None })
            }
            (Kind::Choice(choice), Response::Choice(place)) => choice.grade(*place, self, seen),
            (Kind::Numeric(numeric), Response::Numeric(typed)) => numeric.grade(typed, self, seen),
            (Kind::Order(order), Response::Order(places)) => order.grade(places, self, seen),
            (Kind::Point(point), Response::Point(part)) => Ok(point.grade(part, self, seen)),
            (Kind::Sketch(drawn), Response::Sketch(points)) => drawn.grade(points, self, seen),
            (Kind::Tune(tune), Response::Tune(values)) => tune.grade(values, self, seen),
            (Kind::Fault(fault), Response::Fault(place)) => fault.grade(*place, self, seen),
            _ => Err("this answer belongs to an item of another kind".to_owned()),
        }
    }

    /// The right answer in words; with a run where it comes from one.
    pub fn solution(&self, seen: &[Seen]) -> String {
        let right = match &self.item.kind {
            Kind::Choice(choice) => choice.right().map(|option| option.text.clone()),
            Kind::Numeric(numeric) => numeric.key_shown(&self.drawn, seen),
            Kind::Order(order) => order.solution(seen),
            Kind::Point(point) => {
                Some(point.parts.iter().map(|id| id.replace('_', " ")).collect::<Vec<_>>().join(" or "))
            }
            Kind::Sketch(_) => None,
            Kind::Tune(tune) => tune.solution(),
            Kind::Fault(fault) => fault.candidates.get(fault.fault).map(|candidate| candidate.label.clone()),
        };
        right.map_or_else(String::new, |right| format!("The answer: {right}."))
    }

    /// A text of the item with its gaps filled.
    pub fn text(&self, text: &Text, seen: &[Seen]) -> String {
        let key = match &self.item.kind {
            Kind::Numeric(numeric) => numeric.key_shown(&self.drawn, seen),
            _ => None,
        };
        text.told(Gaps { drawn: &self.drawn_shown, key: key.as_deref() }, seen)
    }

    /// What is told: words for this answer, the right one where they do not say it, and the item's explanation.
    pub(super) fn graded(&self, score: f64, right: bool, word: Word<'_>, seen: &[Seen]) -> Graded {
        let explain = self.text(&self.item.explain, seen);
        let solution = if right || word.says_it { String::new() } else { self.solution(seen) };
        let told = joined(&[word.told, solution, explain]);
        Graded { score: score.clamp(0.0, 1.0), right, told, misconception: word.misconception.map(str::to_owned) }
    }
}

/// Words for one answer.
#[derive(Debug, Default)]
pub(super) struct Word<'a> {
    pub told: String,
    pub misconception: Option<&'a str>,
    /// Whether they, or the explanation, say what is right.
    pub says_it: bool,
}
