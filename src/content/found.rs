//! What a search found, as a file for other programs and as what was asked for on a command line. SI throughout.

use crate::advice::exchange::Exchange;
use crate::advice::finder::{Found, Step};
use crate::advice::free::{self, Free, named, usual};
use crate::advice::merit::Pull;
use crate::advice::summary::summary;
use crate::bench::scenario::{GROUPS, Scenario};
use crate::content::problem::{instead, quoted};
use crate::content::value::{self, Raw};
use crate::settings::Setting;
use crate::settings::grouped::Grouped;
use crate::units::UnitSystem;
use serde::Serialize;
use std::collections::BTreeMap;

/// Version of the file.
pub const FORMAT_VERSION: u32 = 1;

#[derive(Serialize)]
struct FoundFile<'a> {
    format_version: u32,
    title: &'a str,
    family: &'a str,
    clean: bool,
    stopped: bool,
    summary: String,
    pull: &'a str,
    runs: usize,
    free: Vec<FreeFile>,
    way: Vec<StepFile>,
    exchange: Vec<ExchangeFile<'a>>,
}

#[derive(Serialize)]
struct FreeFile {
    key: String,
    least: f64,
    most: f64,
    start: f64,
    best: f64,
    verdict_stays_from: Option<f64>,
    verdict_stays_to: Option<f64>,
}

#[derive(Serialize)]
struct StepFile {
    run: usize,
    values: BTreeMap<String, f64>,
    verdict: &'static str,
    lost_s: f64,
    pull: f64,
}

#[derive(Serialize)]
struct ExchangeFile<'a> {
    label: &'a str,
    before: Option<f64>,
    after: Option<f64>,
}

/// What a search found, as JSON. What was not computed is null.
///
/// # Errors
/// As `serde_json`; these types give none.
pub fn found_json(found: &Found, exchange: &[Exchange]) -> Result<String, serde_json::Error> {
    let keys: Vec<String> = found.free.iter().map(|free| free::key(&found.start, free.place)).collect();
    let (first, last) = (found.first(), found.last());
    let free_file = |index: usize| {
        let stretch = found.stretches.get(index);
        FreeFile {
            key: keys[index].clone(),
            least: found.free[index].least,
            most: found.free[index].most,
            start: first.values[index],
            best: last.values[index],
            verdict_stays_from: stretch.map(|stretch| stretch.from),
            verdict_stays_to: stretch.map(|stretch| stretch.to),
        }
    };
    let file = FoundFile {
        format_version: FORMAT_VERSION,
        title: &found.start.title,
        family: found.start.entry().id,
        clean: found.is_clean(),
        stopped: found.stopped,
        summary: summary(found, UnitSystem::Si),
        pull: match found.pull {
            Pull::Distance => "distance_m",
            Pull::EngineSpeed => "engine_speed_gained_rad_per_s",
            Pull::MeanTorque => "mean_torque_nm",
        },
        runs: found.trials.len(),
        free: (0..keys.len()).map(free_file).collect(),
        way: found.way.iter().map(|step| step_file(step, &keys)).collect(),
        exchange: exchange
            .iter()
            .map(|row| ExchangeFile { label: row.label, before: row.before, after: row.after })
            .collect(),
    };
    serde_json::to_string_pretty(&file).map(|mut text| {
        text.push('\n');
        text
    })
}

fn step_file(step: &Step, keys: &[String]) -> StepFile {
    StepFile {
        run: step.run,
        values: keys.iter().cloned().zip(step.values.iter().copied()).collect(),
        verdict: step.merit.findings.verdict.id(),
        lost_s: step.merit.lost_s,
        pull: step.merit.pull,
    }
}

/// The free settings that a text asks for: `group.key`, or `group.key=LEAST..MOST`, with commas between; the family's
/// usual ones without a text.
///
/// # Errors
/// What is wrong with the text and how to mend it.
pub fn free_settings(scenario: &Scenario, text: Option<&str>) -> Result<Vec<Free>, String> {
    let Some(text) = text else { return Ok(usual(scenario)) };
    text.split(',').map(str::trim).filter(|part| !part.is_empty()).map(|part| one(scenario, part)).collect()
}

fn one(scenario: &Scenario, text: &str) -> Result<Free, String> {
    let (key, range) = text.split_once('=').map_or((text, None), |(key, range)| (key.trim(), Some(range)));
    let Some(mut free) = named(scenario, key) else {
        let known = searchable(scenario);
        let instead = instead(key, known.iter().map(String::as_str));
        return Err(format!("{} cannot be searched; {instead}", quoted(key)));
    };
    if let (Some(range), Some(setting)) = (range, scenario.setting(free.place)) {
        let Some((least, most)) = range.split_once("..") else {
            return Err(format!("{}: write the range as {key}=LEAST..MOST", quoted(text)));
        };
        (free.least, free.most) = (end(setting, key, least)?, end(setting, key, most)?);
    }
    Ok(free)
}

fn end(setting: &Setting, key: &str, text: &str) -> Result<f64, String> {
    let text = text.trim();
    let raw = text.parse().map_or(Raw::Text(text), Raw::Bare);
    value::read(setting, raw).map_err(|refusal| format!("{key}: {}; {}", refusal.message, refusal.mend))
}

/// Keys of every number of the groups that a workshop turns.
fn searchable(scenario: &Scenario) -> Vec<String> {
    let turned = |group: &str| !["pedal", "engine", "load", "fuel", "ambient", "film"].contains(&group);
    scenario
        .places()
        .into_iter()
        .filter(|place| turned(GROUPS[place.group].id) && Free::whole(scenario, *place).is_some())
        .map(|place| free::key(scenario, place))
        .collect()
}
