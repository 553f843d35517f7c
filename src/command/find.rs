//! Searches the best setting without a window.

use super::exports::resolved;
use super::{SOME_BAD, complain, print, table};
use second_breath::advice::exchange::{Exchange, exchange};
use second_breath::advice::finder::{Found, Step, find};
use second_breath::advice::summary::{rooms, summary};
use second_breath::bench::watch::Watch;
use second_breath::content::found::{found_json, free_settings};
use second_breath::content::library;
use second_breath::content::problem::quoted;
use second_breath::content::save::save_atomically;
use second_breath::content::scenario_file::serialize;
use second_breath::settings::grouped::Grouped;
use second_breath::units::{Quantity, UnitSystem};
use std::path::PathBuf;

/// What is asked for.
#[derive(Debug, PartialEq)]
pub struct Task {
    /// Path or name of a shipped scenario.
    pub scenario: PathBuf,
    /// Settings that are free; the family's own without.
    pub free: Option<String>,
    /// Where the search goes as JSON.
    pub json: Option<PathBuf>,
    /// Where the scenario with the best setting goes.
    pub out: Option<PathBuf>,
}

impl Task {
    /// Why the paths are refused, if they are.
    pub fn problem(&self) -> Option<String> {
        let written: Vec<PathBuf> = [&self.json, &self.out].into_iter().flatten().map(|path| resolved(path)).collect();
        if written.len() == 2 && written[0] == written[1] {
            return Some("--json and --out name the same file; name them apart".to_owned());
        }
        let own = self.scenario.exists() && written.contains(&resolved(&self.scenario));
        own.then(|| format!("{} would be overwritten; write to another file", self.scenario.display()))
    }
}

/// Searches, prints and writes. Returns the exit status.
pub fn one(task: &Task) -> u8 {
    match report(task) {
        Ok(text) => print(&text),
        Err(message) => {
            complain(&message);
            SOME_BAD
        }
    }
}

fn report(task: &Task) -> Result<String, String> {
    let scenario = library::load(&task.scenario).map_err(|problems| problems.to_string())?;
    let name = task.scenario.display();
    let free = free_settings(&scenario, task.free.as_deref()).map_err(|error| format!("{name}: {error}"))?;
    let found = find(&scenario, &free, &Watch::default(), &mut |_| {}).map_err(|error| format!("{name}: {error}"))?;
    let exchange = exchange(&found);
    if let Some(path) = &task.json {
        let text = found_json(&found, &exchange).map_err(|error| format!("{name}: {error}"))?;
        save_atomically(path, &text).map_err(|error| error.to_string())?;
    }
    if let Some(path) = &task.out {
        save_atomically(path, &serialize(&found.best)).map_err(|error| error.to_string())?;
    }
    Ok(text(&found, &exchange))
}

fn text(found: &Found, exchange: &[Exchange]) -> String {
    let units = UnitSystem::Si;
    let show = |value: Option<f64>, quantity: Quantity| value.map_or("–".to_owned(), |v| quantity.show(v, units));
    let verdict = |step: &Step| step.merit.findings.verdict.id().to_owned();
    let mut rows = vec![
        vec![String::new(), "Start".to_owned(), "Found".to_owned()],
        vec!["Verdict".to_owned(), verdict(found.first()), verdict(found.last())],
    ];
    for (index, free) in found.free.iter().enumerate() {
        if let Some(setting) = found.start.setting(free.place) {
            let value = |values: &[f64]| setting.shown(values[index], units);
            rows.push(vec![setting.label.to_owned(), value(&found.first().values), value(&found.last().values)]);
        }
    }
    let row = |e: &Exchange| vec![e.label.to_owned(), show(e.before, e.quantity), show(e.after, e.quantity)];
    rows.extend(exchange.iter().map(row));
    let mut lines: Vec<String> = table::aligned(&rows).lines().map(|line| format!("  {line}")).collect();
    lines.extend(rooms(found, units).into_iter().map(|room| format!("  {room}")));
    let (title, runs) = (quoted(&found.start.title), found.trials.len());
    format!("{title}\n{}\n{}\n  Runs of the search: {runs}\n", summary(found, units), lines.join("\n"))
}
