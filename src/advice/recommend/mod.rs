//! From a customer to ranked proposals, by runs.
//!
//! Candidates are what is fitted now, as it is and changed, and every family of the list in every size that the engine
//! can use. Each is run at the strokes that the customer's use brings, set as far as its owner would go, and set a
//! fifth wrong; then all are run again over what nobody has told and what the model does not know well. Nothing here
//! knows a family: their order comes from the runs, [`effort`] and [`weigh`].

pub mod car;
pub mod contrast;
pub mod design;
pub mod draws;
pub mod effort;
pub mod hot;
pub mod judge;
mod notes;
pub mod phrase;
pub mod proposal;
pub mod ranking;
pub mod size;
mod stages;
pub mod stroke;
mod tune;
mod tuning_order;
pub mod weigh;
mod why;

use crate::advice::intake::Customer;
use crate::advice::recommend::proposal::Recommendation;
use crate::bench::run::RunError;
use crate::bench::watch::Watch;
use crate::settings::grouped::{self, Grouped, OutOfRange};
use crate::units::UnitSystem;

/// Draws that are usual: a share is known to about one in twelve (the binomial standard error at one half).
pub const DRAWS: usize = 32;

/// How a recommendation is asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Options {
    /// Of what is drawn; the same seed gives the same recommendation.
    pub seed: u64,
    /// Draws over what is not known, at least 1; see [`DRAWS`].
    pub draws: usize,
    /// Units of its texts.
    pub units: UnitSystem,
}

impl Default for Options {
    fn default() -> Self {
        Self { seed: 1, draws: DRAWS, units: UnitSystem::Si }
    }
}

/// How far a recommendation has come.
#[derive(Debug, Clone, PartialEq)]
pub struct Partial {
    /// What is finished.
    pub stage: &'static str,
    /// Runs until now.
    pub done: usize,
    /// About how many it will be.
    pub of_about: usize,
    /// Titles as they rank until now, the best first.
    pub ranking: Vec<String>,
}

/// Why there is no recommendation.
#[derive(Debug, Clone, PartialEq)]
pub enum RecommendError {
    /// Answers that no question takes.
    OutOfRange(Vec<OutOfRange>),
    /// Not one carburettor could be run on this car.
    Run(RunError),
    /// Nothing that was tried can be run on this car.
    Nothing,
    /// It was stopped; what was found until then has been reported.
    Cancelled,
}

impl std::fmt::Display for RecommendError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::OutOfRange(problems) => f.write_str(&grouped::lines(problems)),
            Self::Run(error) => error.fmt(f),
            Self::Nothing => f.write_str("no carburettor could be run on this car; please report the customer's file"),
            Self::Cancelled => f.write_str("stopped before it was finished"),
        }
    }
}

impl std::error::Error for RecommendError {}

/// Recommend. `report` is told after each stage; the answer is the same on any number of threads.
///
/// # Errors
/// [`RecommendError`].
pub fn recommend(
    customer: &Customer,
    options: Options,
    watch: &Watch,
    report: &mut dyn FnMut(&Partial),
) -> Result<Recommendation, RecommendError> {
    let problems = customer.problems();
    if !problems.is_empty() {
        return Err(RecommendError::OutOfRange(problems));
    }
    let found = stages::search(customer, options, watch, report)?;
    why::recommendation(customer, options, found, watch).ok_or(RecommendError::Cancelled)
}
