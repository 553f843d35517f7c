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

/// A short time.
pub fn milliseconds(seconds: f64) -> String {
    format!("{:.0} ms", seconds * 1e3)
}

fn how_it_pulls(findings: &Findings) -> String {
    format!("The engine {}", findings.verdict.phrase())
}

fn when_air_and_fuel_came(findings: &Findings) -> String {
    let Some(air) = findings.secondary_air_s else { return "the secondary side stays shut".to_owned() };
    let air = match air {
        0.0 => "secondary air flows before the pedal moves".to_owned(),
        air => format!("secondary air comes {} after the pedal moves", milliseconds(air)),
    };
    match findings.air_to_fuel_s {
        None => format!("{air}, its main fuel not in this run"),
        Some(0.0) => format!("{air}, and so does its main fuel"),
        Some(fuel) if fuel > 0.0 => format!("{air}, its main fuel {} later", milliseconds(fuel)),
        Some(_) => format!("{air}, its main fuel before it"),
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

    /// A link that begins at once has opened the secondary plates before anybody floors the pedal.
    #[test]
    fn air_that_flows_before_the_pedal_moves_is_not_called_shut() {
        let mut scenario = Scenario::default();
        scenario.linkage.starts_rad = 0.0;
        let found = findings(&scenario, &run(&scenario).expect("runs"));
        assert_eq!(found.secondary_air_s, Some(0.0));
        assert!(sentence(&found).contains("flows before the pedal moves"), "{}", sentence(&found));
    }

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
