//! What happened, in one plain sentence built from the findings.

use crate::bench::findings::Findings;

/// Shorter than this a mixture out of its limits is not worth a word, s: two firings of a cruising engine.
const WORTH_A_WORD_S: f64 = 0.025;

/// The sentence above a run.
pub fn sentence(findings: &Findings) -> String {
    let parts =
        [Some(how_it_pulls(findings)), Some(when_air_and_fuel_came(findings)), mixture(findings), cost(findings)];
    let mut text = parts.into_iter().flatten().collect::<Vec<_>>().join("; ");
    text.push('.');
    text
}

fn milliseconds(seconds: f64) -> String {
    format!("{:.0} ms", seconds * 1e3)
}

fn how_it_pulls(findings: &Findings) -> String {
    format!("The engine {}", findings.verdict.phrase())
}

fn when_air_and_fuel_came(findings: &Findings) -> String {
    match (findings.secondary_air_s, findings.air_to_fuel_s) {
        (None, _) => "the secondary side stays shut".to_owned(),
        (Some(air), None) => {
            format!("secondary air comes {} after the pedal moves, its main fuel not in this run", milliseconds(air))
        }
        (Some(air), Some(fuel)) if fuel >= 0.0 => format!(
            "secondary air comes {} after the pedal moves, its main fuel {} later",
            milliseconds(air),
            milliseconds(fuel)
        ),
        (Some(air), Some(_)) => {
            format!("secondary air comes {} after the pedal moves, its main fuel before it", milliseconds(air))
        }
    }
}

fn mixture(findings: &Findings) -> Option<String> {
    let lean = findings.lean_s.unwrap_or(0.0);
    let rich = findings.rich_s.unwrap_or(0.0);
    if lean >= WORTH_A_WORD_S && lean >= rich {
        Some(format!("too lean to burn well for {}", milliseconds(lean)))
    } else if rich >= WORTH_A_WORD_S {
        Some(format!("too rich to burn well for {}", milliseconds(rich)))
    } else {
        findings.peak_lambda.map(|lambda| format!("leanest at λ {lambda:.2}"))
    }
}

fn cost(findings: &Findings) -> Option<String> {
    let lost = findings.lost_s.filter(|lost| *lost >= 0.001)?;
    Some(format!("a wrong mixture costs as much as {} without torque", milliseconds(lost)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::findings::findings;
    use crate::bench::run::run;
    use crate::bench::scenario::Scenario;

    #[test]
    fn the_sentence_carries_the_findings_of_its_run() {
        let scenario = Scenario::default();
        let found = findings(&scenario, &run(&scenario).expect("the default scenario runs"));
        let text = sentence(&found);
        assert!(text.contains(found.verdict.phrase()), "{text}");
        assert!(text.contains(&milliseconds(found.secondary_air_s.expect("plates open"))), "{text}");
        assert!(text.contains(&milliseconds(found.lost_s.expect("always"))), "{text}");
    }
}
