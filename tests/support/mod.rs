//! What several test files share.
#![allow(dead_code)]

#[cfg(feature = "window")]
pub mod window;

use second_breath::bench::scenario::Scenario;
use second_breath::families::FAMILIES;
use second_breath::settings::Kind;
use second_breath::settings::grouped::Grouped;

/// A scenario with every setting somewhere in its range: in one case of eight at an end, else evenly, in the
/// logarithm where the range spans decades.
pub fn random_scenario(seed: u64) -> Scenario {
    let mut random = fastrand::Rng::with_seed(seed);
    let mut scenario = Scenario::fresh(&FAMILIES[random.usize(0..FAMILIES.len())]);
    scatter(&mut scenario, &mut random);
    scenario
}

/// Put every setting somewhere in its range, as [`random_scenario`] does.
pub fn scatter(settings: &mut dyn Grouped, random: &mut fastrand::Rng) {
    for place in settings.places() {
        let Some(setting) = settings.setting(place) else { continue };
        let value = match setting.kind {
            Kind::Choice(words) => random.usize(0..words.len()) as f64,
            Kind::Number { least, most, .. } => match random.u8(0..16) {
                0 => least,
                1 => most,
                _ if least > 0.0 && most / least > 30.0 => least * (most / least).powf(random.f64()),
                _ => least + (most - least) * random.f64(),
            },
        };
        settings.set(place, value).expect("inside its range");
    }
}

/// A fresh scenario of a family.
pub fn fresh(family: &str) -> Scenario {
    Scenario::fresh(second_breath::families::entry(family).expect("a listed family"))
}

/// The scenario with `group.key` set, SI.
pub fn with(mut scenario: Scenario, group: &str, key: &str, value: f64) -> Scenario {
    let place = scenario.place(group, key).unwrap_or_else(|| panic!("{group}.{key} exists"));
    scenario.set(place, value).expect("inside its range");
    scenario
}
