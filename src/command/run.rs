//! Runs scenarios without a window: findings to standard output, problems to standard error.

use super::exports::Job;
use super::{ALL_WELL, SOME_BAD, complain, print, table};
use rayon::prelude::*;
use second_breath::bench::findings::FINDINGS;
use second_breath::bench::rating::TopEnd;
use second_breath::bench::scenario::Scenario;
use second_breath::bench::sensitivity::{Ends, Sensitivity, sensitivity};
use second_breath::bench::sentence::sentence;
use second_breath::bench::watch::Watch;
use second_breath::content::export::{Outcome, findings_json, trace_csv};
use second_breath::content::library;
use second_breath::content::problem::quoted;
use second_breath::content::save::save_atomically;
use second_breath::units::{CFM, Quantity, UnitSystem, significant};

/// Runs every job, on all cores, and reports in the order given. Returns the exit status.
pub fn all(jobs: &[Job], sure: bool) -> u8 {
    let reports: Vec<Result<String, String>> = jobs.par_iter().map(|job| one(job, sure)).collect();
    let mut status = ALL_WELL;
    let mut text = String::new();
    for report in reports {
        match report {
            Ok(report) => {
                let gap = if text.is_empty() { "" } else { "\n" };
                text += gap;
                text += &report;
            }
            Err(message) => {
                complain(&message);
                status = SOME_BAD;
            }
        }
    }
    status.max(print(&text))
}

fn one(job: &Job, sure: bool) -> Result<String, String> {
    let scenario = library::load(&job.scenario).map_err(|problems| problems.to_string())?;
    let name = job.scenario.display();
    let outcome = Outcome::of(&scenario).map_err(|error| format!("{name}: {error}"))?;
    if let Some(path) = &job.trace {
        let text = trace_csv(&outcome.run.trace).map_err(|error| format!("{name}: {error}"))?;
        save_atomically(path, &text).map_err(|error| error.to_string())?;
    }
    if let Some(path) = &job.findings {
        let text = findings_json(&scenario, &outcome).map_err(|error| format!("{name}: {error}"))?;
        save_atomically(path, &text).map_err(|error| error.to_string())?;
    }
    let mut text = report(&scenario, &outcome);
    if sure {
        let study = sensitivity(&scenario, &Watch::default()).map_err(|error| format!("{name}: {error}"))?;
        text += &how_sure(&study);
    }
    Ok(text)
}

/// The verdict over the range of what is not known well.
fn how_sure(study: &Sensitivity) -> String {
    let show = |quantity: Quantity, value| quantity.show(value, UnitSystem::Si);
    let lost = |ends: &Ends| format!("{} {}", ends.verdict.id(), show(Quantity::ShortTime, ends.lost_s));
    let heading = ["What is not known well", "Here", "Least", "", "Most", ""].map(str::to_owned).to_vec();
    let mut rows = vec![heading];
    rows.extend(study.rows.iter().map(|row| {
        let value = |value| show(row.quantity, value);
        vec![
            row.coefficient.label.to_owned(),
            value(row.base),
            value(row.tried.0),
            lost(&row.ends[0]),
            value(row.tried.1),
            lost(&row.ends[1]),
        ]
    }));
    let blank = String::new;
    let [best, worst] = &study.together;
    rows.push(vec!["All of them together".to_owned(), blank(), blank(), lost(best), blank(), lost(worst)]);
    let table: String = table::aligned(&rows).lines().map(|line| format!("  {line}\n")).collect();
    format!("  How sure: {}\n{table}", study.sentence())
}

fn report(scenario: &Scenario, outcome: &Outcome) -> String {
    let findings = &outcome.findings;
    let mut rows = vec![row("Verdict", findings.verdict.id())];
    let happened = FINDINGS.iter().filter_map(|finding| {
        let value = (finding.get)(findings)?;
        Some(row(finding.label, &finding.quantity.show(value, UnitSystem::Si)))
    });
    rows.extend(happened);
    match &outcome.top_end {
        Ok(top_end) => rows.extend(top_end_rows(top_end)),
        Err(error) => rows.push(row("Top end", &format!("not computed: {error}"))),
    }
    let flow = outcome.rating.flow_m3_per_s;
    let cfm = significant(CFM.from_si(flow), 3);
    rows.push(row("Rated flow", &format!("{} ({cfm} cfm)", Quantity::VolumeFlow.show(flow, UnitSystem::Si))));
    let table: String = table::aligned(&rows).lines().map(|line| format!("  {line}\n")).collect();
    format!("{}\n{}\n{table}", quoted(&scenario.title), sentence(findings))
}

fn top_end_rows(top_end: &TopEnd) -> [Vec<String>; 4] {
    let show = |quantity: Quantity, value| quantity.show(value, UnitSystem::Si);
    [
        row("Top end: torque", &show(Quantity::Torque, top_end.torque_nm)),
        row("Top end: air", &show(Quantity::AirFlow, top_end.air_kg_per_s)),
        row("Top end: λ", &show(Quantity::Number, top_end.lambda)),
        row("Top end: air that the device costs", &show(Quantity::Fraction, top_end.device_cost)),
    ]
}

fn row(label: &str, value: &str) -> Vec<String> {
    vec![label.to_owned(), value.to_owned()]
}
