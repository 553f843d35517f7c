//! How sure a verdict is: the same scenario over the range in which the coefficients of low confidence may lie.
//!
//! First each coefficient alone at both ends of its range, then all of them at the ends that lose least and most, then
//! all of them at random places at once (a Latin square with a fixed seed, so that the answer is the same every time).

use crate::bench::coefficients::{COEFFICIENTS, Coefficient, Target};
use crate::bench::findings::{Findings, findings};
use crate::bench::run::{COARSE_S, RunError, run_with};
use crate::bench::scenario::Scenario;
use crate::bench::verdict::Verdict;
use crate::bench::watch::Watch;
use crate::settings::Kind;
use crate::settings::grouped::Grouped;
use crate::solver::hybrid::Control;
use crate::solver::sampling::latin;
use crate::units::Quantity;
use rayon::prelude::*;

/// Most runs that [`sensitivity`] makes.
pub const MOST_RUNS: usize = 60;
/// Scenarios with all coefficients at random places.
const JOINT: usize = 32;
const SEED: u64 = 1;

/// What one run of the study came to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ends {
    /// Torque lost to a wrong mixture, as seconds of full torque.
    pub lost_s: f64,
    /// In one word.
    pub verdict: Verdict,
}

impl From<&Findings> for Ends {
    fn from(findings: &Findings) -> Self {
        Self { lost_s: findings.lost_s.unwrap_or(0.0), verdict: findings.verdict }
    }
}

/// One coefficient of a scenario, varied alone.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Row {
    /// Which.
    pub coefficient: &'static Coefficient,
    /// What it measures.
    pub quantity: Quantity,
    /// Its value in the scenario, SI.
    pub base: f64,
    /// Least and greatest value tried, SI: the plausible range, and the scenario's own value if that lies outside.
    pub tried: (f64, f64),
    /// What the run came to at the least and at the greatest value.
    pub ends: [Ends; 2],
}

/// How sure a verdict is.
#[derive(Debug, Clone, PartialEq)]
pub struct Sensitivity {
    /// The scenario as it is.
    pub base: Ends,
    /// Each coefficient alone.
    pub rows: Vec<Row>,
    /// All coefficients at the ends that lose least, and most.
    pub together: [Ends; 2],
    /// All coefficients at random places of their ranges.
    pub joint: Vec<Ends>,
}

/// Why there is no study.
#[derive(Debug, Clone, PartialEq)]
pub enum StudyError {
    /// A run of it failed.
    Run(RunError),
    /// It was cancelled.
    Cancelled,
}

impl std::fmt::Display for StudyError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Run(error) => error.fmt(f),
            Self::Cancelled => f.write_str("stopped before it was finished"),
        }
    }
}

impl std::error::Error for StudyError {}

/// A coefficient where it stands in a scenario.
struct Found {
    coefficient: &'static Coefficient,
    quantity: Quantity,
    base: f64,
    tried: (f64, f64),
}

impl Found {
    fn of(coefficient: &'static Coefficient, scenario: &Scenario) -> Option<Self> {
        let (quantity, base) = match coefficient.target {
            Target::LeanLimit => (Quantity::Number, scenario.mixture.lean_limit()),
            Target::Setting(group, key) => {
                let place = scenario.place(group, key)?;
                let Kind::Number { quantity, .. } = scenario.setting(place)?.kind else { return None };
                (quantity, scenario.value(place)?)
            }
        };
        let tried = (coefficient.least.min(base), coefficient.most.max(base));
        Some(Self { coefficient, quantity, base, tried })
    }
}

/// Runs that the study of this scenario makes.
pub fn runs(scenario: &Scenario) -> usize {
    3 + 2 * COEFFICIENTS.iter().filter(|c| Found::of(c, scenario).is_some()).count() + JOINT
}

/// How sure the verdict on a scenario is. About as long as ten runs on a machine with several cores.
///
/// # Errors
/// [`StudyError::Run`] if the scenario, or one of its variations, cannot be run; [`StudyError::Cancelled`].
pub fn sensitivity(scenario: &Scenario, watch: &Watch) -> Result<Sensitivity, StudyError> {
    let found: Vec<Found> = COEFFICIENTS.iter().filter_map(|c| Found::of(c, scenario)).collect();
    let with = |values: &[f64]| {
        let mut varied = scenario.clone();
        found.iter().zip(values).for_each(|(found, value)| found.coefficient.put(&mut varied, *value));
        varied
    };
    let base: Vec<f64> = found.iter().map(|found| found.base).collect();
    let mut alone = vec![base.clone()];
    for (index, found) in found.iter().enumerate() {
        for value in [found.tried.0, found.tried.1] {
            let mut values = base.clone();
            values[index] = value;
            alone.push(values);
        }
    }
    let alone = all(&alone, &with, watch)?;
    let rows: Vec<Row> = found
        .iter()
        .zip(alone[1..].chunks_exact(2))
        .map(|(found, ends)| Row {
            coefficient: found.coefficient,
            quantity: found.quantity,
            base: found.base,
            tried: found.tried,
            ends: [ends[0], ends[1]],
        })
        .collect();
    let pushed = |most: bool| -> Vec<f64> {
        let end = |row: &Row| if (row.ends[1].lost_s > row.ends[0].lost_s) == most { row.tried.1 } else { row.tried.0 };
        rows.iter().map(end).collect()
    };
    let mut joint = vec![pushed(false), pushed(true)];
    joint.extend(latin(JOINT, found.len(), SEED).into_iter().map(|point| {
        let place = |(found, share): (&Found, f64)| found.tried.0 + share * (found.tried.1 - found.tried.0);
        found.iter().zip(point).map(place).collect::<Vec<f64>>()
    }));
    let joint = all(&joint, &with, watch)?;
    Ok(Sensitivity { base: alone[0], rows, together: [joint[0], joint[1]], joint: joint[2..].to_vec() })
}

/// Run the scenario with each set of values, on all cores, in the order given.
fn all(
    points: &[Vec<f64>],
    with: &(impl Fn(&[f64]) -> Scenario + Sync),
    watch: &Watch,
) -> Result<Vec<Ends>, StudyError> {
    points
        .par_iter()
        .map(|point| {
            if watch.cancelled() {
                return Err(StudyError::Cancelled);
            }
            let varied = with(point);
            let run = run_with(&varied, COARSE_S, Control::default()).map_err(StudyError::Run)?;
            watch.count();
            Ok(Ends::from(&findings(&varied, &run)))
        })
        .collect()
}

impl Sensitivity {
    /// Every run of the study.
    fn every(&self) -> impl Iterator<Item = &Ends> {
        let alone = self.rows.iter().flat_map(|row| &row.ends);
        std::iter::once(&self.base).chain(alone).chain(&self.together).chain(&self.joint)
    }

    /// Least and most lost time of every run, s.
    pub fn lost_range_s(&self) -> (f64, f64) {
        let of = |pick: fn(f64, f64) -> f64| self.every().map(|ends| ends.lost_s).fold(self.base.lost_s, pick);
        (of(f64::min), of(f64::max))
    }

    /// Best and worst verdict of every run.
    pub fn verdict_range(&self) -> (Verdict, Verdict) {
        let base = self.base.verdict;
        let every = || self.every().map(|ends| ends.verdict);
        (every().min().unwrap_or(base), every().max().unwrap_or(base))
    }

    /// How many of the joint runs have the scenario's own verdict.
    pub fn agreeing(&self) -> usize {
        self.joint.iter().filter(|ends| ends.verdict == self.base.verdict).count()
    }

    /// "only hesitates with a smaller … or a larger …": each single change that leads to a verdict.
    fn leading_to(&self, verdict: Verdict) -> Option<String> {
        let leads = |ends: &Ends| ends.verdict == verdict;
        let change = |row: &Row| {
            let word = match (leads(&row.ends[0]), leads(&row.ends[1])) {
                (true, true) => "smaller or larger",
                (true, false) => "smaller",
                (false, true) => "larger",
                (false, false) => return None,
            };
            Some(format!("a {word} {}", row.coefficient.noun))
        };
        let changes: Vec<String> = self.rows.iter().filter_map(change).collect();
        let (last, before) = changes.split_last()?;
        let changes = if before.is_empty() { last.clone() } else { format!("{} or {last}", before.join(", ")) };
        let only = match verdict {
            Verdict::Clean => "even ",
            better if better < self.base.verdict => "only ",
            _ => "",
        };
        Some(format!("{only}{} with {changes}", verdict.phrase()))
    }

    /// What it comes down to, in words.
    pub fn sentence(&self) -> String {
        let base = self.base.verdict;
        let (best, worst) = self.verdict_range();
        if best == worst {
            return format!("It {} all over the range of what is not known.", base.phrase());
        }
        let parts: Vec<String> = [Verdict::Clean, Verdict::Hesitates, Verdict::Bogs, Verdict::Dies]
            .into_iter()
            .filter(|verdict| *verdict != base)
            .filter_map(|verdict| self.leading_to(verdict))
            .collect();
        let together = match (best < base, worst > base) {
            (true, true) => format!("between {} and {}", best.name(), worst.name()),
            (true, false) => format!("as good as {}", best.name()),
            _ => format!("as bad as {}", worst.name()),
        };
        let alone = if parts.is_empty() {
            "None of the coefficients changes the verdict alone".to_owned()
        } else {
            format!("It {}", parts.join("; it "))
        };
        format!(
            "{alone}. With all varied at once it {} in {} of {} trials, and at the extremes it is {together}.",
            base.phrase(),
            self.agreeing(),
            self.joint.len(),
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engine::torque::Mixture;
    use crate::families::FAMILIES;

    #[test]
    fn every_range_is_accepted_and_holds_the_default() {
        for entry in FAMILIES {
            let scenario = Scenario::fresh(entry);
            assert!(runs(&scenario) <= MOST_RUNS, "{}", entry.id);
            for coefficient in COEFFICIENTS {
                let Some(found) = Found::of(coefficient, &scenario) else { continue };
                assert!((coefficient.least..=coefficient.most).contains(&found.base), "{}", coefficient.id);
                for value in [coefficient.least, coefficient.most] {
                    let accepted = match coefficient.target {
                        Target::Setting(group, key) => {
                            let place = scenario.place(group, key).expect("found");
                            scenario.setting(place).is_some_and(|setting| setting.accepts(value))
                        }
                        Target::LeanLimit => Mixture::with_lean_limit(value).is_some(),
                    };
                    assert!(accepted, "{} at {value}", coefficient.id);
                }
            }
        }
    }
}
