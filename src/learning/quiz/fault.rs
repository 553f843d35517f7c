//! Find the fault that is built into a car.

use crate::learning::figure::Figure;
use crate::learning::live::Bench;
use crate::learning::quiz::asked::{Asked, Word};
use crate::learning::quiz::response::Graded;
use crate::learning::quiz::text::Text;
use crate::learning::seen::Seen;
use crate::settings::grouped::Place;

/// Candidates of which one is built in, and what may be measured. The item's benches are sound.
#[derive(Debug, Clone)]
pub struct Fault {
    /// In the order of the file.
    pub candidates: Vec<Candidate>,
    /// The one that is built in.
    pub fault: usize,
    /// What may be measured.
    pub measures: Vec<Measured>,
}

/// What could be wrong.
#[derive(Debug, Clone)]
pub struct Candidate {
    /// Name within the item.
    pub id: String,
    /// As shown.
    pub label: String,
    /// Settings that it changes: bench from 0, place, SI value.
    pub changes: Vec<(usize, Place, f64)>,
    /// The belief behind naming it wrongly.
    pub misconception: Option<String>,
    /// Told to whoever named it.
    pub answer: Text,
    /// Line of the file.
    pub line: usize,
}

/// A figure that may be measured.
#[derive(Debug, Clone)]
pub struct Measured {
    /// As the file writes it.
    pub text: String,
    /// Bench, from 0.
    pub bench: usize,
    /// The figure.
    pub figure: Figure,
    /// Least difference that can be told, SI.
    pub apart: f64,
}

impl Measured {
    /// Its value; `None` if it does not happen.
    pub fn value(&self, seen: &[Seen]) -> Option<f64> {
        self.figure.value(seen.get(self.bench)?)
    }

    /// As a gauge shows it.
    pub fn shown(&self, seen: &[Seen]) -> String {
        self.value(seen).map_or_else(|| "did not happen".to_owned(), |value| self.figure.measure().shown(value))
    }

    /// Whether it tells two runs apart.
    pub fn tells(&self, one: &[Seen], other: &[Seen]) -> bool {
        match (self.value(one), self.value(other)) {
            (Some(one), Some(other)) => (one - other).abs() > self.apart,
            (one, other) => one.is_some() != other.is_some(),
        }
    }
}

impl Fault {
    /// The benches with a candidate built in; the check makes sure that its values are accepted.
    pub fn built_in(&self, sound: &[Bench], candidate: usize) -> Vec<Bench> {
        let mut benches = sound.to_vec();
        let changes = self.candidates.get(candidate).map_or(&[][..], |candidate| &candidate.changes);
        for (bench, place, value) in changes {
            if let Some(bench) = benches.get_mut(*bench) {
                // refused: the bench stays as it is, and reading the file has told so
                let _ = bench.subject.settings_mut().set(*place, *value);
            }
        }
        benches
    }

    pub(super) fn grade(&self, place: usize, asked: &Asked, seen: &[Seen]) -> Result<Graded, String> {
        let candidate = self.candidates.get(place).ok_or("there is no such candidate")?;
        let right = place == self.fault;
        let word = Word {
            told: asked.text(&candidate.answer, seen),
            misconception: candidate.misconception.as_deref().filter(|_| !right),
            says_it: false,
        };
        Ok(asked.graded(f64::from(u8::from(right)), right, word, seen))
    }
}
