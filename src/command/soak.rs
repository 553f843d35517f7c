//! Lets warm engines stand without a window: findings to standard output, problems to standard error.

use super::exports::Job;
use super::{ALL_WELL, SOME_BAD, complain, print, table};
use rayon::prelude::*;
use second_breath::content::library;
use second_breath::content::problem::quoted;
use second_breath::content::save::save_atomically;
use second_breath::content::soak_export::{findings_json, trace_csv};
use second_breath::heat::findings::FINDINGS;
use second_breath::heat::run::{SoakRun, run};
use second_breath::units::{Quantity, UnitSystem};

/// Runs every soak, on all cores, and reports in the order given. Returns the exit status.
pub fn all(jobs: &[Job]) -> u8 {
    let reports: Vec<Result<String, String>> = jobs.par_iter().map(one).collect();
    let mut status = ALL_WELL;
    let mut told = Vec::new();
    for report in reports {
        match report {
            Ok(report) => told.push(report),
            Err(message) => {
                complain(&message);
                status = SOME_BAD;
            }
        }
    }
    status.max(print(&told.join("\n")))
}

fn one(job: &Job) -> Result<String, String> {
    let titled = library::load_soak(&job.scenario).map_err(|problems| problems.to_string())?;
    let name = job.scenario.display();
    let soak = run(&titled.soak).map_err(|error| format!("{name}: {error}"))?;
    if let Some(path) = &job.trace {
        let text = trace_csv(&soak).map_err(|error| format!("{name}: {error}"))?;
        save_atomically(path, &text).map_err(|error| error.to_string())?;
    }
    if let Some(path) = &job.findings {
        let text = findings_json(&titled.title, &soak).map_err(|error| format!("{name}: {error}"))?;
        save_atomically(path, &text).map_err(|error| error.to_string())?;
    }
    Ok(report(&titled.title, &soak))
}

fn report(title: &str, soak: &SoakRun) -> String {
    let show = |quantity: Quantity, value| quantity.show(value, UnitSystem::Si);
    let happened = FINDINGS.iter().filter_map(|finding| {
        let value = (finding.get)(&soak.findings)?;
        Some(vec![finding.label.to_owned(), show(finding.quantity, value)])
    });
    let events = soak.events.iter().map(|event| {
        let when = format!("{} after stopping", show(Quantity::LongTime, event.time_s));
        vec![event.kind.label().to_owned(), when]
    });
    let rows: Vec<_> = happened.chain(events).collect();
    let table: String = table::aligned(&rows).lines().map(|line| format!("  {line}\n")).collect();
    format!("{}\n{table}", quoted(title))
}
