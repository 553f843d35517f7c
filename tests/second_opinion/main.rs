//! A second opinion on whole runs: the equations of `equations.md`, integrated by another program in another language
//! with a general stiff method at tight tolerance. Its results are the CSV files here; `make.py` makes them.

use second_breath::bench::findings::{FINDINGS, findings};
use second_breath::bench::rating::{rating, top_end};
use second_breath::bench::run::run;
use second_breath::bench::scenario::Scenario;
use second_breath::content::scenario_file;
use std::collections::BTreeMap;
use std::path::Path;

/// Accepted relative difference of a finding. The aim of the model's description.
const RELATIVE: f64 = 1e-3;
/// Accepted difference of a time, s.
const TIME_S: f64 = 5e-4;

/// Scenario → name → value.
type Table = BTreeMap<String, Vec<(String, f64)>>;

fn table(file: &str) -> Table {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/second_opinion").join(file);
    let mut table = Table::new();
    for line in csv::Reader::from_path(path).expect("a table").deserialize() {
        // what did not happen has no value
        let (scenario, name, value): (String, String, Option<f64>) = line.expect("a line");
        let entry = table.entry(scenario).or_default();
        entry.extend(value.map(|value| (name, value)));
    }
    table
}

fn scenario(name: &str) -> Scenario {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let file = format!("{name}.toml");
    let path = [root.join("content/scenarios").join(&file), root.join("tests/second_opinion/scenarios").join(&file)]
        .into_iter()
        .find(|path| path.exists())
        .unwrap_or_else(|| panic!("{file} is nowhere"));
    let text = std::fs::read_to_string(path).expect("readable");
    scenario_file::parse(&text, &file).expect("a good scenario")
}

/// A duration agrees to half a millisecond, anything else to a thousandth; what is nothing beside its kind is compared
/// with that kind: a gain in speed with 1 m/s or 10 rad/s, an area with 1 N m s, a share of the air with all of it.
fn agrees(name: &str, ours: f64, theirs: f64) -> bool {
    let floor = match name {
        "lost_torque_time" | "speed_gain_1_s" | "speed_gain_2_s" | "device_cost" => 1.0,
        "engine_gain_1_s" => 10.0,
        // what is nothing to one of us may be rounding to the other
        _ => 1e-12,
    };
    let time = name.ends_with("_s") && !name.contains("gain") && !name.contains("distance");
    (ours - theirs).abs() <= RELATIVE * theirs.abs().max(floor) + if time { TIME_S } else { 0.0 }
}

fn compare(kind: &str, ours: &BTreeMap<String, f64>, theirs: &[(String, f64)], scenario: &str, out: &mut Vec<String>) {
    for (name, value) in theirs {
        match ours.get(name) {
            Some(mine) if agrees(name, *mine, *value) => {}
            mine => out.push(format!("{scenario} {kind} {name}: {mine:?} against {value}")),
        }
    }
    for name in ours.keys().filter(|name| !theirs.iter().any(|(other, _)| other == *name)) {
        out.push(format!("{scenario} {kind} {name}: ours only, {}", ours[name]));
    }
}

#[test]
fn reference_findings_agree_with_the_second_implementation() {
    let table = table("findings.csv");
    assert!(table.len() >= 21, "every shipped scenario");
    let mut failures = Vec::new();
    for (name, theirs) in &table {
        let scenario = scenario(name);
        let found = findings(&scenario, &run(&scenario).expect("runs"));
        let ours = FINDINGS.iter().filter_map(|f| Some((f.id.to_owned(), (f.get)(&found)?))).collect();
        compare("finding", &ours, theirs, name, &mut failures);
    }
    assert!(failures.is_empty(), "{} differ:\n{}", failures.len(), failures.join("\n"));
}

#[test]
fn reference_events_agree_with_the_second_implementation() {
    let mut failures = Vec::new();
    for (name, theirs) in &table("events.csv") {
        let scenario = scenario(name);
        let mut ours: Vec<_> =
            run(&scenario).expect("runs").events.iter().map(|e| (e.kind.id().to_owned(), e.time_s)).collect();
        let mut theirs = theirs.clone();
        // two events at one instant have no order
        for events in [&mut ours, &mut theirs] {
            events.sort_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)));
        }
        let same = ours.len() == theirs.len()
            && ours.iter().zip(&theirs).all(|(a, b)| a.0 == b.0 && (a.1 - b.1).abs() <= TIME_S);
        if !same {
            failures.push(format!("{name}:\n  ours   {ours:?}\n  theirs {theirs:?}"));
        }
    }
    assert!(failures.is_empty(), "{} differ:\n{}", failures.len(), failures.join("\n"));
}

#[test]
fn reference_ratings_agree_with_the_second_implementation() {
    let mut failures = Vec::new();
    for (name, theirs) in &table("ratings.csv") {
        let scenario = scenario(name);
        let (rating, top) = (rating(&scenario), top_end(&scenario).expect("runs"));
        let ours = [
            ("flow_m3_per_s", rating.flow_m3_per_s),
            ("without_device_m3_per_s", rating.without_device_m3_per_s),
            ("opening", rating.opening),
            ("air_kg_per_s", top.air_kg_per_s),
            ("torque_nm", top.torque_nm),
            ("lambda", top.lambda),
            ("device_cost", top.device_cost),
        ];
        let ours = ours.into_iter().map(|(id, value)| (id.to_owned(), value)).collect();
        compare("rating", &ours, theirs, name, &mut failures);
    }
    assert!(failures.is_empty(), "{} differ:\n{}", failures.len(), failures.join("\n"));
}
