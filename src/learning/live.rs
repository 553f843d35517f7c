//! A live block: what is compared, what may be turned, what is asked first and what the text says about it.

use crate::bench::scenario::Scenario;
use crate::heat::soak::Soak;
use crate::learning::claim::Claim;
use crate::learning::explain::Part;
use crate::learning::prediction::Prediction;
use crate::settings::Setting;
use crate::settings::grouped::{Grouped, Place};

/// Most benches that stand beside each other.
pub const MOST_BENCHES: usize = 4;
/// Settings that a learner may turn in one block.
pub const FREE: std::ops::RangeInclusive<usize> = 2..=4;

/// One side of a comparison.
#[derive(Debug, Clone)]
pub struct Bench {
    /// As shown.
    pub name: String,
    /// What is run.
    pub subject: Subject,
}

/// What a bench runs.
#[derive(Debug, Clone)]
pub enum Subject {
    /// A stab of the pedal.
    Stab(Box<Scenario>),
    /// A warm engine that stands.
    Soak(Box<Soak>),
}

impl Subject {
    /// Its settings.
    pub fn settings(&self) -> &dyn Grouped {
        match self {
            Self::Stab(scenario) => scenario.as_ref(),
            Self::Soak(soak) => soak.as_ref(),
        }
    }

    /// The same, to be changed.
    pub fn settings_mut(&mut self) -> &mut dyn Grouped {
        match self {
            Self::Stab(scenario) => scenario.as_mut(),
            Self::Soak(soak) => soak.as_mut(),
        }
    }

    /// Every `group.key` that it has.
    pub fn keys(&self) -> Vec<String> {
        let settings = self.settings();
        let key = |place: Place| {
            let key = settings.setting(place).map_or("", Setting::key);
            format!("{}.{key}", settings.groups()[place.group].id)
        };
        settings.places().into_iter().map(key).collect()
    }
}

/// A setting that the learner may turn.
#[derive(Debug, Clone, PartialEq)]
pub struct Free {
    /// `group.key`.
    pub key: String,
    /// Benches that it turns, from 0, each with its place there.
    pub benches: Vec<(usize, Place)>,
    /// Its declaration.
    pub setting: Setting,
    /// Least value offered, SI.
    pub least: f64,
    /// Greatest value offered, SI.
    pub most: f64,
}

/// A live block.
#[derive(Debug, Clone)]
pub struct Live {
    /// Name of its own within the lesson.
    pub id: String,
    /// Line of the lesson's file at which it begins.
    pub line: usize,
    /// One to [`MOST_BENCHES`], all of one kind.
    pub benches: Vec<Bench>,
    /// What the learner may turn.
    pub free: Vec<Free>,
    /// What is asked before it may run.
    pub prediction: Prediction,
    /// Channels by their ids, and groups of settings whose part is meant: what to look at, first things first.
    pub look: Vec<String>,
    /// What the text says of the run, as it stands before the learner turns anything.
    pub claims: Vec<Claim>,
    /// What is told after the run.
    pub explain: Vec<Part>,
}

impl Live {
    /// The benches with the learner's values, in the order of [`Self::free`]; `None` leaves a setting as it is.
    ///
    /// # Errors
    /// In words, when a value is refused.
    pub fn turned(&self, values: &[Option<f64>]) -> Result<Vec<Bench>, String> {
        turned(&self.benches, &self.free, values)
    }

    /// Whether anything that is claimed or told needs the steady figures, which take a run of their own.
    pub fn needs_steady(&self) -> bool {
        let told = self.explain.iter().filter_map(|part| match part {
            Part::Value { expression, .. } => Some(expression),
            Part::Words(_) => None,
        });
        let claimed = self.claims.iter().chain(self.prediction.claims()).flat_map(Claim::expressions);
        told.chain(claimed).any(crate::learning::claim::Expression::needs_steady)
    }
}

/// Benches with values for free settings; `None` leaves a setting as it is.
///
/// # Errors
/// In words, when a value is refused.
pub fn turned(benches: &[Bench], free: &[Free], values: &[Option<f64>]) -> Result<Vec<Bench>, String> {
    let mut benches = benches.to_vec();
    for (free, value) in free.iter().zip(values) {
        let Some(value) = value else { continue };
        for (bench, place) in &free.benches {
            let settings = benches[*bench].subject.settings_mut();
            settings.set(*place, *value).map_err(|refused| refused.to_string())?;
        }
    }
    Ok(benches)
}
