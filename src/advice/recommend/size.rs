//! Sizes of carburettor: a ladder, which rungs an engine can use, and the size of one that is already there.

use crate::advice::intake::Customer;
use crate::advice::recommend::car::Car;
use crate::bench::rating::rating;
use crate::bench::scenario::Scenario;
use crate::families::{Entry, FAMILIES};
use crate::settings::grouped::Grouped;

/// What grows with a carburettor, by its power of the bore: openings and jets in proportion, what the air or fuel of
/// larger openings asks for with their area. A door grows with its barrels, and with its area the moment that shuts it.
/// A family without a setting does without it. Similarity, from memory: nobody has published a series of one design.
const GROWS: &[(&str, &str, i32)] = &[
    ("primary", "venturi", 1),
    ("primary", "bore", 1),
    ("primary", "main_jet", 1),
    ("secondary", "venturi", 1),
    ("secondary", "bore", 1),
    ("secondary", "main_jet", 1),
    ("pump", "shot", 2),
    ("pump", "shooter", 1),
    ("idle", "feed", 1),
    ("idle", "bleed", 1),
    ("idle", "screw", 1),
    ("idle", "slot_width", 1),
    ("family", "shot", 2),
    ("family", "shooter", 1),
    ("family", "length", 1),
    ("family", "width", 1),
    ("family", "wind_up", 2),
    ("family", "mass", 2),
];

/// Bores over the default ones; each rung passes about a quarter more air than the one before.
pub const LADDER: &[f64] = &[0.62, 0.70, 0.78, 0.88, 1.0, 1.12, 1.26, 1.41];

/// Rated flow over the engine's demand between which a size is tried: below it chokes, above it has no signal.
/// Common practice is 1 to 1.5; the runs decide, so more is tried.
const TRIED: (f64, f64) = (0.8, 2.1);

/// A fresh carburettor of a family and a size, its enrichment suited to the car.
pub fn sized(entry: &'static Entry, factor: f64, car: &Car) -> Scenario {
    let mut scenario = grown(entry, factor);
    scenario.enrichment.opens_below_pa = car.enrichment_pa;
    car.put_into(&mut scenario);
    scenario
}

fn grown(entry: &'static Entry, factor: f64) -> Scenario {
    let mut scenario = Scenario::fresh(entry);
    for (group, key, power) in GROWS {
        let Some(place) = scenario.place(group, key) else { continue };
        let Some(value) = scenario.value(place) else { continue };
        // every rung is within the ranges, and a test says so
        drop(scenario.set(place, value * factor.powi(*power)));
    }
    scenario
}

/// Rated flow of four open barrels of a size without any device, m³/s.
pub fn open_rating(factor: f64) -> f64 {
    rating(&grown(&FAMILIES[0], factor)).without_device_m3_per_s
}

/// The rungs that suit a car; the nearest where none does. Never empty.
pub fn rungs(car: &Car) -> Vec<f64> {
    let demand = car.demand_m3_per_s();
    let over = |factor: f64| open_rating(factor) / demand;
    let within: Vec<f64> =
        LADDER.iter().copied().filter(|factor| (TRIED.0..=TRIED.1).contains(&over(*factor))).collect();
    if !within.is_empty() {
        return within;
    }
    let near = |factor: &f64| (over(*factor) / TRIED.0.midpoint(TRIED.1)).ln().abs();
    let nearest = LADDER.iter().copied().min_by(|a, b| near(a).total_cmp(&near(b)));
    vec![nearest.unwrap_or(1.0)]
}

/// What is fitted now: of the size that its rating says, and set as it was found. `None` if nobody knows what it is.
pub fn fitted(customer: &Customer, car: &Car) -> Option<(Scenario, f64)> {
    let entry = customer.fitted()?.entry();
    let goal = match customer.told("now", "rating") {
        Some(rated) => rated,
        // whoever chose it meant it to suit the engine
        None => 1.3 * car.demand_m3_per_s(),
    };
    let (least, most) = (LADDER[0], LADDER[LADDER.len() - 1]);
    let factor =
        crate::solver::root::bracketed(least, most, 1e-4, |factor| rating(&grown(entry, factor)).flow_m3_per_s - goal);
    let mut scenario = grown(entry, factor);
    for found in &customer.as_found {
        if let Some(place) = scenario.place(&found.group, &found.key) {
            // a file or a form has checked it
            drop(scenario.set(place, found.value));
        }
    }
    car.put_into(&mut scenario);
    Some((scenario, factor))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_rung_of_every_family_is_within_its_ranges() {
        for entry in FAMILIES {
            for factor in LADDER {
                let sized = grown(entry, *factor);
                let fresh = Scenario::fresh(entry);
                for (group, key, power) in GROWS {
                    let Some(place) = fresh.place(group, key) else { continue };
                    let (small, grown) = (fresh.value(place).expect("a value"), sized.value(place).expect("a value"));
                    assert!((grown - small * factor.powi(*power)).abs() < 1e-12, "{} {group}.{key}", entry.id);
                }
            }
        }
    }

    #[test]
    fn a_rung_passes_about_a_quarter_more_than_the_one_before() {
        for pair in LADDER.windows(2) {
            let more = open_rating(pair[1]) / open_rating(pair[0]);
            assert!((1.2..1.35).contains(&more), "{pair:?}: {more}");
        }
    }
}
