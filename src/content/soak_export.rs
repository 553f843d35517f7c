//! What a soak did, as files for other programs. SI throughout.

use crate::content::export::{FORMAT_VERSION, series_csv};
use crate::heat::findings::{FINDINGS, Findings};
use crate::heat::run::SoakRun;
use crate::heat::trace::CHANNELS;
use serde::Serialize;

/// A soak's trace as comma-separated values: a heading of channel ids, then a row a sample.
///
/// # Errors
/// As the csv crate; writing to memory gives none.
pub fn trace_csv(run: &SoakRun) -> Result<String, csv::Error> {
    series_csv(CHANNELS, &run.trace.samples)
}

#[derive(Serialize)]
struct FindingsFile<'a> {
    format_version: u32,
    title: &'a str,
    findings: FindingValues<'a>,
    restart_s: f64,
    closure: ClosureFile,
    events: Vec<EventFile>,
}

/// The findings in their order.
struct FindingValues<'a>(&'a Findings);

impl Serialize for FindingValues<'_> {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_map(FINDINGS.iter().map(|finding| (finding.id, (finding.get)(self.0))))
    }
}

#[derive(Serialize)]
struct ClosureFile {
    heat: f64,
    fuel: f64,
}

#[derive(Serialize)]
struct EventFile {
    time_s: f64,
    kind: &'static str,
    label: &'static str,
}

/// The findings of a soak and its events as JSON; times from when the engine stopped. What did not happen is null.
///
/// # Errors
/// As `serde_json`; these types give none.
pub fn findings_json(title: &str, run: &SoakRun) -> Result<String, serde_json::Error> {
    let event = |event: &crate::heat::events::Event| EventFile {
        time_s: event.time_s,
        kind: event.kind.id(),
        label: event.kind.label(),
    };
    let file = FindingsFile {
        format_version: FORMAT_VERSION,
        title,
        findings: FindingValues(&run.findings),
        restart_s: run.trace.restart_s,
        closure: ClosureFile { heat: run.closure.heat, fuel: run.closure.fuel },
        events: run.events.iter().map(event).collect(),
    };
    serde_json::to_string_pretty(&file).map(|text| text + "\n")
}
