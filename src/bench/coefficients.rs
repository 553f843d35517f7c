//! The figures of the model that are not known well, and where they may lie.

use crate::bench::scenario::Scenario;
use crate::engine::torque::Mixture;
use crate::settings::grouped::Grouped;

/// What a coefficient is in the model.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Target {
    /// A setting: group and key as files use them. A scenario without it does without the coefficient.
    Setting(&'static str, &'static str),
    /// The lean limit, which no reader sets: see [`Mixture`] for what moves with it.
    LeanLimit,
}

/// A coefficient of low confidence and where it may lie.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Coefficient {
    /// Stable key.
    pub id: &'static str,
    /// As shown.
    pub label: &'static str,
    /// As it stands in a sentence: "with a smaller …".
    pub noun: &'static str,
    /// What it is in the model.
    pub target: Target,
    /// Least plausible value, SI.
    pub least: f64,
    /// Greatest plausible value, SI.
    pub most: f64,
    /// Why it is not known better, and where the range comes from.
    pub why: &'static str,
}

impl Coefficient {
    /// Give it a value in a scenario, SI; a scenario without it, or that does not accept the value, stays as it is.
    pub fn put(&self, scenario: &mut Scenario, value: f64) {
        match self.target {
            Target::LeanLimit => scenario.mixture = Mixture::with_lean_limit(value).unwrap_or(scenario.mixture),
            Target::Setting(group, key) => {
                if let Some(place) = scenario.place(group, key) {
                    // a range that no setting accepts would be a defect of the table, and a test says that there is none
                    drop(scenario.set(place, value));
                }
            }
        }
    }
}

/// Every coefficient of low confidence. These are the ranges in which they may lie on a warm petrol engine, narrower
/// than what the settings accept. No readable published table was found for any of them: all ranges are from memory.
pub const COEFFICIENTS: &[Coefficient] = &[
    Coefficient {
        id: "share_base",
        label: "Film share, empty manifold",
        noun: "film share at low pressure",
        target: Target::Setting("film", "share_base"),
        least: 0.05,
        most: 0.30,
        why: "At low pressure nearly all fuel is vapour; how nearly depends on fuel and wall. From memory.",
    },
    Coefficient {
        id: "share_per_pressure",
        label: "Film share, added by pressure",
        noun: "film share at high pressure",
        target: Target::Setting("film", "share_per_pressure"),
        least: 0.30,
        most: 0.65,
        why: "Part-load data do not reach the full pressure of a floored pedal. From memory.",
    },
    Coefficient {
        id: "time_base",
        label: "Film time, empty manifold",
        noun: "film time at low pressure",
        target: Target::Setting("film", "time_base"),
        least: 0.08,
        most: 0.30,
        why: "Measured times differ between engines by a factor of three. From memory.",
    },
    Coefficient {
        id: "time_per_pressure",
        label: "Film time, added by pressure",
        noun: "film time at high pressure",
        target: Target::Setting("film", "time_per_pressure"),
        least: 0.15,
        most: 0.70,
        why: "As above, and wet manifolds below a carburettor are slower than injected ports. From memory.",
    },
    Coefficient {
        id: "cold_share",
        label: "Film share, per 100 K colder",
        noun: "film share on a cold wall",
        target: Target::Setting("film", "cold_share"),
        least: 0.15,
        most: 0.55,
        why: "Of no effect on a warm wall; on a cold one it depends on the fuel's light ends. From memory.",
    },
    Coefficient {
        id: "cold_time",
        label: "Film time, e-fold (K)",
        noun: "fall in temperature for a film three times as slow",
        target: Target::Setting("film", "cold_time"),
        least: 40.0,
        most: 90.0,
        why: "Of no effect on a warm wall. From memory.",
    },
    Coefficient {
        id: "torque_open_share",
        label: "Air torque on an open door",
        noun: "air torque on a part-open door",
        target: Target::Setting("family", "torque_open_share"),
        least: 0.20,
        most: 0.55,
        why: "Exact only on a shut door; no table for a door in a horn was found. From memory.",
    },
    Coefficient {
        id: "notch_share",
        label: "Help of the notches",
        noun: "help of the notches",
        target: Target::Setting("family", "notch_share"),
        least: 0.0,
        most: 0.50,
        why: "How much of the door's drop its notches turn into signal has not been measured. From memory.",
    },
    Coefficient {
        id: "lean_limit",
        label: "Lean limit (λ)",
        noun: "lean limit",
        target: Target::LeanLimit,
        least: 1.20,
        most: 1.30,
        why: "Carburetted engines of several cylinders misfire from λ 1.2 to 1.3; where misfire takes over moves with it. From memory.",
    },
];
