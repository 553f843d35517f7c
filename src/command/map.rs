//! Maps without a window: a run at every crossing of two settings, as a table and a picture.

use super::arguments::MapWords;
use super::exports::refuse_same;
use super::{SOME_BAD, complain, print, table, wrong_usage};
use second_breath::bench::findings::{FINDINGS, Finding};
use second_breath::bench::scenario::{GROUPS, Place, Scenario};
use second_breath::bench::sweep::{Axis, FEWEST_STEPS, Found, MOST_STEPS, Map, key, quantity, whole};
use second_breath::bench::verdict::BEGINS_S;
use second_breath::content::library;
use second_breath::content::map::{csv, svg::svg};
use second_breath::content::problem::{instead, quoted};
use second_breath::content::save::save_atomically;
use second_breath::content::value::{Raw, read};
use second_breath::settings::Setting;
use second_breath::settings::grouped::Grouped;
use second_breath::units::UnitSystem;
use std::path::Path;

/// Values along an axis unless the call says otherwise.
const STEPS: usize = 32;

/// Computes the map that the words ask for and writes it. Returns the exit status.
pub fn all(words: &MapWords) -> u8 {
    if let Err(message) = refuse_same(&words.scenario, &words.csv, &words.svg) {
        return wrong_usage(&message);
    }
    let asked = steps(words.steps.as_deref()).and_then(|steps| Ok((steps, finding(words.finding.as_deref())?)));
    let (steps, finding) = match asked {
        Ok(asked) => asked,
        Err(message) => return wrong_usage(&message),
    };
    let scenario = match library::load(&words.scenario) {
        Ok(scenario) => scenario,
        Err(problems) => {
            complain(&problems.to_string());
            return SOME_BAD;
        }
    };
    let axes = axis(&scenario, "--across", &words.across, steps)
        .and_then(|across| Ok([across, axis(&scenario, "--up", &words.up, steps)?]));
    let map = match axes.and_then(|axes| whole(scenario, axes).map_err(|refused| refused.to_string())) {
        Ok(map) => map,
        Err(message) => return wrong_usage(&message),
    };
    match write(words, &map, finding) {
        Ok(()) => print(&report(&map, finding)),
        Err(message) => {
            complain(&message);
            SOME_BAD
        }
    }
}

fn write(words: &MapWords, map: &Map, finding: &Finding) -> Result<(), String> {
    let save = |path: &Path, text: &str| save_atomically(path, text).map_err(|error| error.to_string());
    if let Some(path) = &words.csv {
        save(path, &csv(map))?;
    }
    if let Some(path) = &words.svg {
        save(path, &svg(map, finding, UnitSystem::Si))?;
    }
    Ok(())
}

fn steps(text: Option<&str>) -> Result<usize, String> {
    let Some(text) = text else { return Ok(STEPS) };
    match text.parse() {
        Ok(steps) if (FEWEST_STEPS..=MOST_STEPS).contains(&steps) => Ok(steps),
        _ => Err(format!("--steps {}: give a whole number from {FEWEST_STEPS} to {MOST_STEPS}", quoted(text))),
    }
}

fn finding(id: Option<&str>) -> Result<&'static Finding, String> {
    let id = id.unwrap_or("lost_s");
    let known = FINDINGS.iter().map(|finding| finding.id);
    FINDINGS
        .iter()
        .find(|finding| finding.id == id)
        .ok_or_else(|| format!("--finding {}: there is no such finding; {}", quoted(id), instead(id, known)))
}

/// The axis that `group.key` or `group.key=from..to` asks for.
fn axis(scenario: &Scenario, option: &str, text: &str, steps: usize) -> Result<Axis, String> {
    let (name, range) = text.split_once('=').map_or((text, None), |(name, range)| (name, Some(range)));
    let place = place(scenario, option, name.trim())?;
    let words = || format!("{option} {}: takes words and makes no axis; choose a setting with numbers", quoted(name));
    let around = Axis::around(scenario, place, steps).ok_or_else(words)?;
    let Some(range) = range else { return Ok(around) };
    let Some((from, to)) = range.split_once("..") else {
        return Err(format!(
            "{option} {}: write the range as from..to, such as {name}={}",
            quoted(text),
            example(scenario, &around)
        ));
    };
    let setting = scenario.setting(place).ok_or_else(words)?;
    let (from, to) = (from.trim(), to.trim());
    // 50..400ms: the unit is said once, at the end
    let is_bare = from.parse::<f64>().is_ok();
    let unit = to.trim_start_matches(|c: char| matches!(c, '0'..='9' | '+' | '-' | '.' | 'e' | 'E'));
    let from = if is_bare { format!("{from}{unit}") } else { from.to_owned() };
    let axis = Axis { from: end(setting, option, name, &from)?, to: end(setting, option, name, to)?, ..around };
    if axis.from < axis.to { Ok(axis) } else { Err(format!("{option} {}: give the smaller value first", quoted(text))) }
}

fn end(setting: &Setting, option: &str, name: &str, text: &str) -> Result<f64, String> {
    // a bare number is right for a setting without unit, and told about for any other
    let raw = text.parse().map_or(Raw::Text(text), Raw::Bare);
    read(setting, raw).map_err(|refusal| format!("{option} {}: {}; {}", quoted(name), refusal.message, refusal.mend))
}

/// A range as it can be written, in the units that files use.
fn example(scenario: &Scenario, axis: &Axis) -> String {
    let unit = quantity(scenario, axis.place).map(|quantity| quantity.unit(UnitSystem::Si));
    let number = |si: f64| second_breath::units::significant(unit.map_or(si, |unit| unit.from_si(si)), 3);
    format!("{}..{}{}", number(axis.from), number(axis.to), unit.map_or("", |unit| unit.symbol))
}

fn place(scenario: &Scenario, option: &str, name: &str) -> Result<Place, String> {
    let Some((group, setting)) = name.split_once('.') else {
        return Err(format!("{option} {}: write it as group.key, such as pedal.stab", quoted(name)));
    };
    if let Some(place) = scenario.place(group, setting) {
        return Ok(place);
    }
    let Some(index) = GROUPS.iter().position(|known| known.id == group) else {
        let known = GROUPS.iter().map(|group| group.id);
        return Err(format!("{option} {}: there is no such group; {}", quoted(name), instead(group, known)));
    };
    let keys: Vec<_> = scenario.settings(index).iter().map(|setting| setting.key()).collect();
    if keys.is_empty() {
        return Err(format!(
            "{option} {}: {} has no settings of its own; choose another group",
            quoted(name),
            scenario.entry().id
        ));
    }
    Err(format!("{option} {}: there is no such setting; {}", quoted(name), instead(setting, keys.iter().copied())))
}

fn report(map: &Map, finding: &Finding) -> String {
    let points = || {
        (0..map.axes[1].steps).flat_map(|row| (0..map.axes[0].steps).filter_map(move |column| map.point(column, row)))
    };
    let found = || points().filter_map(|point| point.as_ref().ok());
    let mut rows: Vec<Vec<String>> = ["Across", "Upwards"]
        .iter()
        .zip(&map.axes)
        .map(|(name, axis)| vec![(*name).to_owned(), axis_in_words(map, axis)])
        .collect();
    let (run, holes) = (points().count(), points().filter(|point| point.is_err()).count());
    rows.push(vec!["Runs".to_owned(), format!("{run}, of which {holes} failed")]);
    rows.push(vec![finding.label.to_owned(), range(found(), finding)]);
    for (verdict, _) in BEGINS_S {
        let count = found().filter(|found| found.findings.verdict == verdict).count();
        rows.push(vec![format!("The engine {}", verdict.phrase()), count.to_string()]);
    }
    let table: String = table::aligned(&rows).lines().map(|line| format!("  {line}\n")).collect();
    format!("{}\n{table}", quoted(&map.scenario.title))
}

fn axis_in_words(map: &Map, axis: &Axis) -> String {
    let shown =
        |si| quantity(&map.scenario, axis.place).map_or(String::new(), |quantity| quantity.show(si, UnitSystem::Si));
    format!("{}, {} to {}, {} values", key(&map.scenario, axis.place), shown(axis.from), shown(axis.to), axis.steps)
}

fn range<'a>(found: impl Iterator<Item = &'a Found>, finding: &Finding) -> String {
    let values: Vec<f64> = found.filter_map(|found| (finding.get)(&found.findings)).collect();
    let (least, most) = (values.iter().copied().reduce(f64::min), values.iter().copied().reduce(f64::max));
    let shown = |si| finding.quantity.show(si, UnitSystem::Si);
    least.zip(most).map_or("did not happen".to_owned(), |(least, most)| format!("{} to {}", shown(least), shown(most)))
}
