//! Find me the setting: the settings that pull fastest without a hole, and the way to them.

use crate::advice::flatness::{Stretch, stretches};
use crate::advice::free::{self, Free};
use crate::advice::merit::{Merit, Pull};
use crate::advice::search::{Plan, Tried, search};
use crate::bench::run::RunError;
use crate::bench::scenario::Scenario;
use crate::bench::watch::Watch;
use crate::settings::grouped::Grouped;
use rayon::prelude::*;

/// One step of the way: the first is the start, each later one better than all before.
#[derive(Debug, Clone, PartialEq)]
pub struct Step {
    /// How many runs had been made, this one included.
    pub run: usize,
    /// Values of the free settings, SI, in their order.
    pub values: Vec<f64>,
    /// What they are worth.
    pub merit: Merit,
}

/// One run of the search, for a chart.
#[derive(Debug, Clone, PartialEq)]
pub struct Trial {
    /// Values of the free settings, SI, in their order.
    pub values: Vec<f64>,
    /// What they are worth; `None` where the equations could not be followed.
    pub merit: Option<Merit>,
}

/// What a search found.
#[derive(Debug, Clone)]
pub struct Found {
    /// What was free.
    pub free: Vec<Free>,
    /// How a pull was measured.
    pub pull: Pull,
    /// The start.
    pub start: Scenario,
    /// The start with the best values found.
    pub best: Scenario,
    /// From the start to the best: at least the start.
    pub way: Vec<Step>,
    /// Every run of the search, in order.
    pub trials: Vec<Trial>,
    /// Within what the verdict on the best stays; empty if the search was stopped.
    pub stretches: Vec<Stretch>,
    /// Whether the reader stopped it; then this is the best so far.
    pub stopped: bool,
}

/// Why nothing was searched.
#[derive(Debug, Clone, PartialEq)]
pub enum FinderError {
    /// What is free cannot be searched; what to change.
    Free(String),
    /// The start cannot be run.
    Start(RunError),
}

impl std::fmt::Display for FinderError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Free(text) => f.write_str(text),
            Self::Start(error) => error.fmt(f),
        }
    }
}

impl std::error::Error for FinderError {}

/// How much is tried with so many free settings.
fn plan(free: usize) -> Plan {
    Plan { sample: 32 + 16 * free, starts: 3, most: 160 + 80 * free }
}

/// Most runs of the search with so many free settings, the start included; the stretches around the best come after.
pub fn most_runs(free: usize) -> usize {
    plan(free).most + 1
}

impl Found {
    /// The first step.
    pub fn first(&self) -> &Step {
        &self.way[0]
    }

    /// The last step: the best.
    pub fn last(&self) -> &Step {
        &self.way[self.way.len() - 1]
    }

    /// Whether the best is clean with a little to spare.
    pub fn is_clean(&self) -> bool {
        self.last().merit.is_clean()
    }

    /// Whether anything better than the start was found.
    pub fn improved(&self) -> bool {
        self.way.len() > 1
    }
}

/// Search the free settings of `start`; `report` is told of each step of the way as it is made. A start outside a
/// range that was narrowed is kept as it is: it is beaten or it stays.
///
/// # Errors
/// [`FinderError::Free`] when what is free cannot be searched; [`FinderError::Start`] when the start cannot be run.
pub fn find(
    start: &Scenario,
    free: &[Free],
    watch: &Watch,
    report: &mut dyn FnMut(&Step),
) -> Result<Found, FinderError> {
    if let Some(problem) = free::problem(start, free) {
        return Err(FinderError::Free(problem));
    }
    let merit = Merit::of(start).map_err(FinderError::Start)?;
    watch.count();
    let values: Vec<f64> = free.iter().filter_map(|free| start.value(free.place)).collect();
    let mut way = vec![Step { run: 1, values: values.clone(), merit }];
    report(&way[0]);
    let mut trials = vec![Trial { values: values.clone(), merit: Some(merit) }];
    let point = free.iter().zip(&values).map(|(free, value)| free.share(*value)).collect();
    search(&Tried { point, worth: merit }, plan(free.len()), &Merit::compare, &mut |points| {
        let batch = run_all(start, free, points, watch)?;
        for trial in &batch {
            trials.push(trial.clone());
            if let Some(merit) = trial.merit.filter(|merit| merit.beats(&way[way.len() - 1].merit)) {
                way.push(Step { run: trials.len(), values: trial.values.clone(), merit });
                report(&way[way.len() - 1]);
            }
        }
        Some(batch.into_iter().map(|trial| trial.merit).collect())
    });
    let best = with(start, free, &way[way.len() - 1].values);
    let stretches = if watch.cancelled() { None } else { stretches(&best, free, watch) };
    Ok(Found {
        free: free.to_vec(),
        pull: Pull::of(start),
        start: start.clone(),
        best,
        way,
        trials,
        stopped: watch.cancelled(),
        stretches: stretches.unwrap_or_default(),
    })
}

/// The start with these values of its free settings.
fn with(start: &Scenario, free: &[Free], values: &[f64]) -> Scenario {
    let mut changed = start.clone();
    for (free, value) in free.iter().zip(values) {
        // a value between accepted ends is accepted, and the start has its own
        drop(changed.set(free.place, *value));
    }
    changed
}

/// Run all points on all cores, in their order; `None` once cancelled.
fn run_all(start: &Scenario, free: &[Free], points: &[Vec<f64>], watch: &Watch) -> Option<Vec<Trial>> {
    points
        .par_iter()
        .map(|point| {
            if watch.cancelled() {
                return None;
            }
            let values: Vec<f64> = free.iter().zip(point).map(|(free, share)| free.value(*share)).collect();
            let merit = Merit::of(&with(start, free, &values)).ok();
            watch.count();
            Some(Trial { values, merit })
        })
        .collect()
}
