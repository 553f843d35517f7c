//! What happened, in one plain sentence built from the findings.

use crate::bench::findings::Findings;
use crate::bench::verdict::Verdict;
use crate::units::{Quantity, UnitSystem};

/// The sentence above a run.
pub fn sentence(findings: &Findings, system: UnitSystem) -> String {
    let time = |seconds: f64| Quantity::ShortTime.show(seconds, system);
    let mut parts = Vec::new();
    parts.push(match findings.verdict {
        Verdict::Dies => "The engine dies".to_owned(),
        verdict => format!("The engine {}", verdict.phrase()),
    });
    parts.push(match (findings.secondary_air_s, findings.air_to_fuel_s) {
        (None, _) => "the secondary side stays shut".to_owned(),
        (Some(air), None) => {
            format!("secondary air comes {} after the pedal moves, and its main fuel never", time(air))
        }
        (Some(air), Some(fuel)) if fuel >= 0.0 => {
            format!("secondary air comes {} after the pedal moves, its main fuel {} later", time(air), time(fuel))
        }
        (Some(air), Some(_)) => {
            format!("secondary air comes {} after the pedal moves, its main fuel before it", time(air))
        }
    });
    let lean = findings.lean_s.unwrap_or(0.0);
    let rich = findings.rich_s.unwrap_or(0.0);
    if lean >= 0.001 {
        parts.push(format!("too lean to burn well for {}", time(lean)));
    } else if rich >= 0.001 {
        parts.push(format!("too rich to burn well for {}", time(rich)));
    }
    if let Some(share) = findings.deepest_share.filter(|share| *share < 0.97) {
        let share = Quantity::Fraction.show(share, system);
        parts.push(format!("torque falls to {share} of what this air could make"));
    }
    let mut text = parts.join("; ");
    text.push('.');
    text
}
