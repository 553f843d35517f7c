//! What a live block's benches did.

use crate::bench::findings::{Findings, findings};
use crate::bench::rating::{self, Rating, TopEnd};
use crate::bench::run::{Run, run};
use crate::bench::scenario::Scenario;
use crate::heat;
use crate::heat::run::SoakRun;
use crate::heat::soak::Soak;
use crate::learning::live::{Bench, Subject};

/// What a bench did.
#[derive(Debug, Clone)]
pub enum Seen {
    /// A stab of the pedal.
    Stab(Box<StabSeen>),
    /// A soak.
    Soak(Box<SoakSeen>),
}

/// A soak and its settings.
#[derive(Debug, Clone)]
pub struct SoakSeen {
    /// What was run.
    pub soak: Soak,
    /// Trace, events and findings.
    pub run: SoakRun,
}

/// A stab and what is computed from it.
#[derive(Debug, Clone)]
pub struct StabSeen {
    /// What was run.
    pub scenario: Scenario,
    /// Trace and events.
    pub run: Run,
    /// What it comes down to.
    pub findings: Findings,
    /// Rated flow and top end, where they were asked for.
    pub steady: Option<(Rating, TopEnd)>,
}

/// Run benches one after the other, with the steady figures if they are needed. A pure function of its input.
///
/// # Errors
/// In words, with the name of the bench.
pub fn see(benches: &[Bench], with_steady: bool) -> Result<Vec<Seen>, String> {
    benches
        .iter()
        .map(|bench| one(&bench.subject, with_steady).map_err(|why| format!("{}: {why}", bench.name)))
        .collect()
}

fn one(subject: &Subject, with_steady: bool) -> Result<Seen, String> {
    match subject {
        Subject::Stab(scenario) => {
            let run = run(scenario).map_err(|error| error.to_string())?;
            let steady = match with_steady {
                true => {
                    let top_end = rating::top_end(scenario).map_err(|error| error.to_string())?;
                    Some((rating::rating(scenario), top_end))
                }
                false => None,
            };
            let findings = findings(scenario, &run);
            Ok(Seen::Stab(Box::new(StabSeen { scenario: (**scenario).clone(), run, findings, steady })))
        }
        Subject::Soak(soak) => {
            let run = heat::run::run(soak).map_err(|error| error.to_string())?;
            Ok(Seen::Soak(Box::new(SoakSeen { soak: **soak, run })))
        }
    }
}
