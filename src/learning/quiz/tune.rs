//! Turn settings until the run reaches a goal.

use crate::learning::claim::Claim;
use crate::learning::live::{self, Bench, Free};
use crate::learning::quiz::asked::{self, Asked};
use crate::learning::quiz::item::Word;
use crate::learning::quiz::response::Graded;
use crate::learning::seen::Seen;
use crate::units::UnitSystem;

/// Settings to be turned, and what the run must then show.
#[derive(Debug, Clone)]
pub struct Tune {
    /// What may be turned.
    pub free: Vec<Free>,
    /// How many may differ from the start.
    pub changes: usize,
    /// All must hold.
    pub goal: Vec<Claim>,
    /// Ways to the goal: a value for each free setting, SI; `None` leaves it.
    pub solutions: Vec<Solution>,
    /// Said when the claim holds in a run that misses the goal.
    pub mistakes: Vec<(Claim, Word)>,
}

/// A way to the goal.
#[derive(Debug, Clone)]
pub struct Solution {
    /// A value for each free setting, SI; `None` leaves it.
    pub values: Vec<Option<f64>>,
    /// Line of the file.
    pub line: usize,
}

/// A value that is as near to the start as this share of its range has not been changed: a slider that was touched and
/// brought back is forgiven.
const UNCHANGED: f64 = 1e-6;

impl Tune {
    /// The benches with an answer's values.
    ///
    /// # Errors
    /// In words, when a value is refused or too much is changed.
    pub fn turned(&self, benches: &[Bench], values: &[Option<f64>]) -> Result<Vec<Bench>, String> {
        if values.len() != self.free.len() {
            return Err("give a value for each setting, or leave it as it is".to_owned());
        }
        for (free, value) in self.free.iter().zip(values) {
            let Some(value) = value.map(|value| free.setting.at_bound(value)) else { continue };
            let slack = UNCHANGED * (free.most - free.least);
            if !(free.least - slack..=free.most + slack).contains(&value) {
                let shown = |value| free.setting.shown(value, UnitSystem::Si);
                let (label, least, most) = (free.setting.label, shown(free.least), shown(free.most));
                return Err(format!("{label}: {} is not offered here; give {least} to {most}", shown(value)));
            }
        }
        let changed = self.changed(benches, values);
        if changed > self.changes {
            return Err(format!("{changed} settings are changed; {}", self.how()));
        }
        live::turned(benches, &self.free, values)
    }

    /// How many settings differ from the start.
    pub fn changed(&self, benches: &[Bench], values: &[Option<f64>]) -> usize {
        let is_changed = |(free, value): (&Free, &Option<f64>)| {
            let slack = UNCHANGED * (free.most - free.least);
            value
                .map(|value| free.setting.at_bound(value))
                .is_some_and(|value| self.start(free, benches).is_none_or(|start| (value - start).abs() > slack))
        };
        self.free.iter().zip(values).filter(|pair| is_changed(*pair)).count()
    }

    fn start(&self, free: &Free, benches: &[Bench]) -> Option<f64> {
        let (bench, place) = free.benches.first()?;
        benches.get(*bench)?.subject.settings().value(*place)
    }

    pub(super) fn how(&self) -> String {
        match self.changes {
            1 => "Change one setting at most.".to_owned(),
            more => format!("Change {more} settings at most."),
        }
    }

    /// Claims of the goal that a run misses.
    pub fn missed<'a>(&'a self, seen: &'a [Seen]) -> impl Iterator<Item = &'a Claim> {
        self.goal.iter().filter(|claim| !claim.check(seen).holds)
    }

    pub(super) fn solution(&self) -> Option<String> {
        let shown = |free: &Free, value: f64| {
            format!("{} to {}", free.setting.label.to_lowercase(), free.setting.shown(value, UnitSystem::Si))
        };
        let set = self.free.iter().zip(&self.solutions.first()?.values);
        let all: Vec<String> = set.filter_map(|(free, value)| Some(shown(free, (*value)?))).collect();
        (!all.is_empty()).then(|| format!("for example, {}", all.join(" and ")))
    }

    pub(super) fn grade(&self, values: &[Option<f64>], asked: &Asked, seen: &[Seen]) -> Result<Graded, String> {
        self.turned(&asked.benches, values)?;
        let missed: Vec<&Claim> = self.missed(seen).collect();
        let right = missed.is_empty();
        let made = self.mistakes.iter().find(|(claim, _)| !right && claim.check(seen).holds);
        let mut told: Vec<String> =
            missed.iter().map(|claim| format!("Not there yet: {}.", claim.check(seen).because)).collect();
        told.extend(made.map(|(_, word)| asked.text(&word.answer, seen)));
        let word = asked::Word {
            told: told.join(" "),
            misconception: made.map(|(_, word)| word.misconception.as_str()),
            says_it: false,
        };
        Ok(asked.graded(f64::from(u8::from(right)), right, word, seen))
    }
}
