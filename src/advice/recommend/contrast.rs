//! What is fitted now beside what is proposed, on one stroke of the pedal: what a customer is shown.

use crate::advice::recommend::design::Action;
use crate::advice::recommend::proposal::{Proposal, Recommendation};
use crate::advice::recommend::stroke::STROKES;
use crate::bench::findings::{Findings, findings};
use crate::bench::run::{Run, RunError, run};
use crate::bench::scenario::Scenario;

/// Time after the pedal begins to move in which the most telling instant is looked for, and its step; s.
const LOOKED_AT_S: f64 = 1.5;
const LOOK_STEP_S: f64 = 0.005;

/// Two carburettors on one stroke.
#[derive(Debug, Clone)]
pub struct Contrast {
    /// Place of the stroke among [`STROKES`].
    pub stroke: usize,
    /// What is fitted now, or what else stands against the first; then the first. One alone where there is no other.
    pub sides: Vec<Side>,
}

/// One of them.
#[derive(Debug, Clone)]
pub struct Side {
    /// "Today", "Proposed", …
    pub name: &'static str,
    /// Place among the proposals.
    pub proposal: usize,
    /// What was run.
    pub scenario: Scenario,
    /// The run, sampled for drawing.
    pub run: Run,
    /// What it comes down to.
    pub findings: Findings,
}

impl Contrast {
    /// The two that are compared, on the stroke on which the first named of them loses most.
    ///
    /// # Errors
    /// As [`run`].
    pub fn of(recommendation: &Recommendation) -> Result<Self, RunError> {
        let pair = pair(&recommendation.proposals);
        let worst = pair.first().and_then(|(_, place)| recommendation.proposals[*place].figures.worst());
        let stroke = worst.map_or(0, |stab| stab.stroke);
        let side = |(name, place): (&'static str, usize)| -> Result<Side, RunError> {
            let scenario = recommendation.proposals[place].at_stroke(&recommendation.car, stroke);
            let run = run(&scenario)?;
            let findings = findings(&scenario, &run);
            Ok(Side { name, proposal: place, scenario, run, findings })
        };
        let sides = pair.into_iter().map(side).collect::<Result<_, RunError>>()?;
        Ok(Self { stroke, sides })
    }

    /// How the pedal is floored: "at low speed in a middle gear".
    pub fn phrase(&self) -> &'static str {
        STROKES.get(self.stroke).map_or("", |stroke| stroke.phrase)
    }

    /// The instant at which their torques are farthest apart, s after the pedal begins to move.
    pub fn telling_s(&self) -> f64 {
        let torque = |side: &Side, after_s: f64| side.run.trace.at(side.scenario.pedal.begin_s + after_s).torque_nm;
        let [one, other] = self.sides.as_slice() else { return 0.2 };
        let steps = (LOOKED_AT_S / LOOK_STEP_S) as usize;
        let apart = |after_s: f64| (torque(one, after_s) - torque(other, after_s)).abs();
        let times = (0..=steps).map(|step| step as f64 * LOOK_STEP_S);
        times.max_by(|a, b| apart(*a).total_cmp(&apart(*b))).unwrap_or(0.2)
    }
}

/// Names and places of what is shown side by side: what is fitted now stands at the left where anybody knows it.
fn pair(proposals: &[Proposal]) -> Vec<(&'static str, usize)> {
    let kept = proposals.iter().position(|proposal| proposal.action == Action::Keep);
    match (kept, proposals.len()) {
        (_, 0) => Vec::new(),
        (Some(0), 1) => vec![("Today", 0)],
        (Some(0), _) => vec![("Today, and proposed", 0), ("The next best", 1)],
        (Some(kept), _) => vec![("Today", kept), ("Proposed", 0)],
        (None, 1) => vec![("Proposed", 0)],
        (None, _) => vec![("The next best", 1), ("Proposed", 0)],
    }
}
