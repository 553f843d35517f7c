//! What a found setting gains and what it costs, figure by figure.

use crate::advice::finder::Found;
use crate::bench::findings::FINDINGS;
use crate::bench::rating::{TopEnd, top_end};
use crate::units::Quantity;

/// One figure before and after; `None` where it did not happen or could not be computed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Exchange {
    /// As shown.
    pub label: &'static str,
    /// What it measures.
    pub quantity: Quantity,
    /// Of the start, SI.
    pub before: Option<f64>,
    /// Of the best, SI.
    pub after: Option<f64>,
}

/// What a driver or a workshop asks after first; each is the id of a finding.
const ASKED: &[&str] = &[
    "lost_s",
    "lean_s",
    "rich_s",
    "to_90_percent_s",
    "speed_gain_1_s",
    "speed_gain_2_s",
    "distance_2_s",
    "secondary_air_s",
    "device_end",
];

/// The figures that count, of the start and of the best. The top end, which the search does not look at, is run here.
pub fn exchange(found: &Found) -> Vec<Exchange> {
    let (first, last) = (&found.first().merit.findings, &found.last().merit.findings);
    let mut rows: Vec<Exchange> = FINDINGS
        .iter()
        .filter(|finding| ASKED.contains(&finding.id))
        .map(|finding| Exchange {
            label: finding.label,
            quantity: finding.quantity,
            before: (finding.get)(first),
            after: (finding.get)(last),
        })
        .filter(|row| row.before.is_some() || row.after.is_some())
        .collect();
    let (before, after) = rayon::join(|| top_end(&found.start).ok(), || top_end(&found.best).ok());
    let top = |label, quantity, get: fn(&TopEnd) -> f64| Exchange {
        label,
        quantity,
        before: before.as_ref().map(get),
        after: after.as_ref().map(get),
    };
    rows.push(top("Top end: torque", Quantity::Torque, |end| end.torque_nm));
    rows.push(top("Top end: λ", Quantity::Number, |end| end.lambda));
    rows
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_figure_asked_for_is_a_finding() {
        for id in ASKED {
            assert!(FINDINGS.iter().any(|finding| finding.id == *id), "{id}");
        }
    }
}
