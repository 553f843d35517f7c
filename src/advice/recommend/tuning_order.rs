//! How to set a proposal at first, and in which order to tune it: what moves most for its work comes first.

use crate::advice::recommend::design::{Design, Judge, Judged, Probe};
use crate::advice::recommend::phrase::{how, noun, shown};
use crate::advice::recommend::proposal::{FirstSetting, Step};
use crate::advice::recommend::{effort, tune};
use crate::bench::sentence::milliseconds;
use crate::settings::grouped::Grouped;
use crate::units::UnitSystem;
use rayon::prelude::*;

/// Less than this, lost when a setting is a fifth off, nobody feels, s.
const FELT_S: f64 = 0.005;

/// Settings to begin with: what tunes the family and what any carburettor has, with how they were delivered.
pub fn first_settings(design: &Design, units: UnitSystem) -> Vec<FirstSetting> {
    let scenario = &design.scenario;
    let mut places: Vec<_> = design.own().iter().map(|free| free.place).collect();
    places.extend(tune::common(scenario).iter().map(|free| free.place));
    places.extend(scenario.place("primary", "main_jet"));
    places.extend(scenario.place("enrichment", "opens_below"));
    let setting = |place| {
        let (now, before) = (scenario.value(place)?, design.delivered.value(place)?);
        Some(FirstSetting {
            key: crate::advice::free::key(scenario, place),
            label: noun(scenario, place),
            value: shown(scenario, place, now, units),
            before: (now != before).then(|| shown(scenario, place, before, units)),
        })
    };
    places.into_iter().filter_map(setting).collect()
}

/// The steps of tuning, from what each setting does when it is a fifth off.
pub fn steps(judged: &Judged, judge: &Judge<'_>, units: UnitSystem) -> Vec<Step> {
    let design = &judged.design;
    let common: Vec<Option<Probe>> =
        tune::common(&design.scenario).par_iter().map(|free| judge.probe(design, *free)).collect();
    let lost = judged.figures.lost_s(judge.weights);
    let effect = |probe: &Probe| probe.lost_s.iter().map(|end| (end - lost).abs()).fold(0.0, f64::max);
    let work = |probe: &Probe| effort::kind(&design.scenario, probe.place).work_s();
    let mut probes: Vec<Probe> = judged.probes.iter().copied().chain(common.into_iter().flatten()).collect();
    probes.retain(|probe| effect(probe) >= FELT_S);
    // stable: the family's own stand before those of any carburettor where both move as much
    probes.sort_by(|a, b| (effect(b) / work(b)).total_cmp(&(effect(a) / work(a))));
    let mut steps: Vec<Step> = probes
        .iter()
        .enumerate()
        .map(|(index, probe)| Step {
            text: text(design, probe, lost, index == 0, units),
            caution: effort::kind(&design.scenario, probe.place).caution(),
        })
        .collect();
    if steps.is_empty() {
        steps.push(Step {
            text: "None of its settings moves the pull by anything that can be felt: check the float level and leave the rest."
                .to_owned(),
            caution: effort::Kind::Jet.caution(),
        });
    }
    steps
}

fn text(design: &Design, probe: &Probe, lost: f64, first: bool, units: UnitSystem) -> String {
    let scenario = &design.scenario;
    let when = if first { "First" } else { "Then" };
    let value = scenario.value(probe.place).map_or(String::new(), |value| shown(scenario, probe.place, value, units));
    let end = |index: usize| {
        let at = shown(scenario, probe.place, probe.tried[index], units);
        let more = probe.lost_s[index] - lost;
        let what = match more {
            more if !more.is_finite() => "cannot be run".to_owned(),
            more if more >= FELT_S => format!("loses {} more", milliseconds(more)),
            more if more <= -FELT_S => format!("loses {} less", milliseconds(-more)),
            _ => "loses as much".to_owned(),
        };
        format!("with {at} it {what}")
    };
    let worse = |index: usize| probe.lost_s[index] - lost >= FELT_S;
    let look = match (worse(0), worse(1)) {
        (true, true) => "Look for the middle of the range in which it does not stumble",
        (true, false) => "Look for a stumble as the pedal goes down: if there is one, give it more",
        (false, true) => "Look for a stumble as the pedal goes down: if there is one, give it less",
        (false, false) => "Look for a crisper pull in small steps",
    };
    format!(
        "{when} {}, {}: begin at {value}; {}, {}. {look}.",
        noun(scenario, probe.place),
        how(scenario, probe.place),
        end(0),
        end(1)
    )
}
