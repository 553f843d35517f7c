//! What a soak did, in plain words built from its findings.

use crate::heat::events::HARD_START_S;
use crate::heat::findings::Findings;
use crate::units::{Quantity, UnitSystem};

/// Less fuel than this is not worth a word, kg: a few drops.
const WORTH_A_WORD_KG: f64 = 0.2e-3;

/// Whether the engine must be cranked for long at the restart.
pub fn is_hard_to_start(findings: &Findings) -> bool {
    findings.cranking_at_restart_s.is_some_and(|cranking| cranking > HARD_START_S)
}

/// The sentence above a soak: how it starts, how hot the fuel was, what ran over, how long the starter turns.
pub fn sentence(findings: &Findings, units: UnitSystem) -> String {
    let mut text = how_it_starts(findings).to_owned();
    if let (Some(kelvin), Some(when)) = (findings.hottest_bowl_k, findings.hottest_bowl_s) {
        let warm = Quantity::Temperature.show(kelvin, units);
        text.push_str(&format!("; the fuel in the bowls is hottest after {}, {warm}", minutes(when)));
    }
    match (findings.percolated_kg.filter(|kg| *kg > WORTH_A_WORD_KG), findings.percolation_begins_s) {
        (Some(kg), Some(begins)) => {
            let mass = Quantity::SmallMass.show(kg, units);
            text.push_str(&format!(
                "; {mass} of fuel runs over into the manifold, the first after {}",
                minutes(begins)
            ));
        }
        _ => text.push_str("; no fuel runs over"),
    }
    match findings.cranking_at_restart_s {
        Some(cranking) if cranking >= 0.1 => {
            text.push_str(&format!("; at the restart it cranks for {cranking:.1} s until it can fire"));
        }
        Some(_) => text.push_str("; at the restart it fires at once"),
        None => {}
    }
    text.push('.');
    text
}

fn how_it_starts(findings: &Findings) -> &'static str {
    if is_hard_to_start(findings) {
        "Hot and hard to start: flooded"
    } else if findings.boiling_begins_s.is_some() {
        "It boils, and starts readily"
    } else {
        "It does not boil, and starts readily"
    }
}

fn minutes(seconds: f64) -> String {
    if seconds < 90.0 { format!("{seconds:.0} s") } else { format!("{:.0} min", seconds / 60.0) }
}

/// What the second soak changes against the first.
pub fn difference(first: &Findings, second: &Findings, units: UnitSystem) -> String {
    type Row = (&'static str, Quantity, fn(&Findings) -> Option<f64>);
    const ROWS: [Row; 3] = [
        ("hottest fuel", Quantity::TemperatureDifference, |f| f.hottest_bowl_k),
        ("fuel run over", Quantity::SmallMass, |f| f.percolated_kg),
        ("cranking at the restart", Quantity::Duration, |f| f.cranking_at_restart_s),
    ];
    let row = |(label, quantity, get): Row| {
        let by = get(second)? - get(first)?;
        let sign = if by > 0.0 { "+" } else { "" };
        Some(format!("{label} {sign}{}", quantity.show(by, units).replace('-', "−")))
    };
    format!("The second against the first: {}.", ROWS.into_iter().filter_map(row).collect::<Vec<_>>().join(", "))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::heat::materials::Body;
    use crate::heat::run::run;
    use crate::heat::soak::Soak;

    fn found(change: impl Fn(&mut Soak)) -> Findings {
        let mut soak = Soak::default();
        change(&mut soak);
        run(&soak).expect("the soak runs").findings
    }

    #[test]
    fn the_sentence_carries_the_findings_of_its_run() {
        let flooded = found(|_| {});
        let text = sentence(&flooded, UnitSystem::Si);
        assert!(text.starts_with("Hot and hard to start"), "{text}");
        let mass = Quantity::SmallMass.show(flooded.percolated_kg.expect("always"), UnitSystem::Si);
        assert!(text.contains(&mass), "{text}");
        let moulded = found(|soak| soak.casting.body = Body::Phenolic);
        let text = sentence(&moulded, UnitSystem::Si);
        assert!(text.contains("starts readily") && text.contains("no fuel runs over"), "{text}");
    }

    #[test]
    fn a_difference_has_its_sign() {
        let text = difference(&found(|_| {}), &found(|soak| soak.casting.body = Body::Phenolic), UnitSystem::Si);
        assert!(text.contains("hottest fuel −") && text.contains("fuel run over −"), "{text}");
    }
}
