//! What makes one setting better than another.
//!
//! A setting whose verdict is clean with a little to spare is better than one whose verdict is not; of two clean ones
//! the one that pulls farther is better; of two others the one that loses less to a wrong mixture. These are the rules
//! of Deb, *Comput. Methods Appl. Mech. Eng.* 186 (2000) 311 (reference from memory) for a goal under a condition. They
//! give a search a slope on both sides of the condition and need no weight between metres and seconds.

use crate::bench::events::{EventKind, first};
use crate::bench::findings::{Findings, findings};
use crate::bench::run::{COARSE_S, Run, RunError, run_with};
use crate::bench::scenario::Scenario;
use crate::bench::verdict::{BEGINS_S, Verdict};
use crate::engine::load::LoadKind;
use crate::solver::hybrid::Control;
use crate::units::Quantity;
use std::cmp::Ordering;

/// How far from hesitating a setting must stay to count as clean, s of lost time: a setting on the very edge would be
/// tipped over by the next coarser sampling.
pub const TO_SPARE_S: f64 = 0.005;

/// Time after the pedal begins to move at which the pull is read, s; the end of a shorter run instead.
pub const HORIZON_S: f64 = 2.0;

/// What a setting is worth.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Merit {
    /// What the run comes down to.
    pub findings: Findings,
    /// Torque lost to a wrong mixture, as seconds of full torque.
    pub lost_s: f64,
    /// How far it pulls, in the unit of its [`Pull`].
    pub pull: f64,
    stalled: bool,
}

/// How a pull is measured: as the load allows.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Pull {
    /// A car: distance since the pedal began to move, m.
    Distance,
    /// Out of gear: engine speed gained, rad/s.
    EngineSpeed,
    /// At a held speed: mean torque, N m.
    MeanTorque,
}

impl Pull {
    /// The measure for a scenario.
    pub fn of(scenario: &Scenario) -> Self {
        match scenario.load.kind {
            LoadKind::Vehicle => Self::Distance,
            LoadKind::Free => Self::EngineSpeed,
            LoadKind::Dynamometer => Self::MeanTorque,
        }
    }

    /// As shown.
    pub fn label(self) -> &'static str {
        match self {
            Self::Distance => "Distance after the stab",
            Self::EngineSpeed => "Engine speed gained",
            Self::MeanTorque => "Mean torque after the stab",
        }
    }

    /// What it measures.
    pub fn quantity(self) -> Quantity {
        match self {
            Self::Distance => Quantity::Distance,
            Self::EngineSpeed => Quantity::RotationalSpeed,
            Self::MeanTorque => Quantity::Torque,
        }
    }

    fn read(self, scenario: &Scenario, run: &Run) -> f64 {
        let begin = scenario.pedal.begin_s;
        let until = (begin + HORIZON_S).min(run.trace.end_s());
        let (from, to) = (run.trace.at(begin), run.trace.at(until));
        match self {
            Self::Distance => to.distance_m - from.distance_m,
            Self::EngineSpeed => to.engine_rad_per_s - from.engine_rad_per_s,
            Self::MeanTorque => {
                let within = run.trace.samples.iter().filter(|s| s.time_s >= begin && s.time_s <= until);
                let (sum, count) = within.fold((0.0, 0), |(sum, count), s| (sum + s.torque_nm, count + 1));
                sum / f64::from(count.max(1))
            }
        }
    }
}

impl Merit {
    /// Run a scenario and say what it is worth.
    ///
    /// # Errors
    /// As [`run_with`].
    pub fn of(scenario: &Scenario) -> Result<Self, RunError> {
        let run = run_with(scenario, COARSE_S, Control::default())?;
        let findings = findings(scenario, &run);
        Ok(Self {
            lost_s: findings.lost_s.unwrap_or(0.0),
            pull: Pull::of(scenario).read(scenario, &run),
            stalled: first(&run.events, EventKind::Stalls, 0.0).is_some(),
            findings,
        })
    }

    /// Whether its verdict is clean with [`TO_SPARE_S`] to spare.
    pub fn is_clean(&self) -> bool {
        self.findings.verdict == Verdict::Clean && self.lost_s <= BEGINS_S[1].1 - TO_SPARE_S
    }

    /// Greater is better.
    pub fn compare(&self, other: &Self) -> Ordering {
        match (self.is_clean(), other.is_clean()) {
            (true, true) => self.pull.total_cmp(&other.pull),
            (false, false) => other.stalled.cmp(&self.stalled).then_with(|| other.lost_s.total_cmp(&self.lost_s)),
            (mine, theirs) => mine.cmp(&theirs),
        }
    }

    /// Whether it is better than the other.
    pub fn beats(&self, other: &Self) -> bool {
        self.compare(other) == Ordering::Greater
    }
}
