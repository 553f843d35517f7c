//! What a run did, as files for other programs: a table of the trace and the findings. SI throughout.

use crate::bench::events::EventKind;
use crate::bench::findings::{FINDINGS, Findings, findings};
use crate::bench::rating::{self, Rating, TopEnd};
use crate::bench::run::{Run, RunError, run};
use crate::bench::scenario::Scenario;
use crate::bench::sentence::sentence;
use crate::bench::trace::{CHANNELS, Sample, Trace};
use crate::units::{CFM, Figure, rounded};
use serde::Serialize;

/// Version of the findings file.
pub const FORMAT_VERSION: u32 = 1;

/// A run and all that is computed from it and its scenario.
#[derive(Debug, Clone)]
pub struct Outcome {
    /// Trace, events and closure.
    pub run: Run,
    /// What the run comes down to.
    pub findings: Findings,
    /// Steady full pedal at the top end; the run stands without it.
    pub top_end: Result<TopEnd, RunError>,
    /// Rated flow.
    pub rating: Rating,
}

impl Outcome {
    /// Run a scenario and compute everything.
    ///
    /// # Errors
    /// As [`run`].
    pub fn of(scenario: &Scenario) -> Result<Self, RunError> {
        let run = run(scenario)?;
        Ok(Self {
            findings: findings(scenario, &run),
            top_end: rating::top_end(scenario),
            rating: rating::rating(scenario),
            run,
        })
    }
}

/// A trace as comma-separated values: a heading of channel ids, the family's own last, then a row a sample.
///
/// # Errors
/// As the csv crate; writing to memory gives none.
pub fn trace_csv(trace: &Trace) -> Result<String, csv::Error> {
    table_csv(columns(trace), trace.samples.iter().map(|sample| row(trace, sample)))
}

/// Samples as comma-separated values: a heading of channel ids, then a row a sample.
///
/// # Errors
/// As the csv crate; writing to memory gives none.
pub fn series_csv<T>(channels: &[Figure<T, f64>], samples: &[T]) -> Result<String, csv::Error> {
    let heading = channels.iter().map(|channel| channel.id.to_owned()).collect();
    let row = |sample| channels.iter().map(|channel| figure((channel.get)(sample))).collect();
    table_csv(heading, samples.iter().map(row))
}

fn table_csv(heading: Vec<String>, rows: impl Iterator<Item = Vec<String>>) -> Result<String, csv::Error> {
    let mut table = csv::Writer::from_writer(Vec::new());
    table.write_record(heading)?;
    for row in rows {
        table.write_record(row)?;
    }
    let bytes = table.into_inner().map_err(|error| csv::Error::from(error.into_error()))?;
    String::from_utf8(bytes).map_err(|error| csv::Error::from(std::io::Error::other(error)))
}

/// Column names of a trace; an own channel that shares a name with a common one is told apart by `own_`.
fn columns(trace: &Trace) -> Vec<String> {
    let common = CHANNELS.iter().map(|channel| channel.id.to_owned());
    let own = trace.own.iter().map(|own| {
        let taken = CHANNELS.iter().any(|channel| channel.id == own.id);
        if taken { format!("own_{}", own.id) } else { own.id.to_owned() }
    });
    common.chain(own).collect()
}

fn row(trace: &Trace, sample: &Sample) -> Vec<String> {
    let common = CHANNELS.iter().map(|channel| figure((channel.get)(sample)));
    common.chain(sample.own[..trace.own.len()].iter().map(|value| figure(*value))).collect()
}

/// A number to ten figures: more than a run is accurate to, fewer than rounding noise shows.
fn figure(value: f64) -> String {
    rounded(value, 9).to_string()
}

#[derive(Serialize)]
struct FindingsFile<'a> {
    format_version: u32,
    title: &'a str,
    family: &'a str,
    verdict: &'a str,
    sentence: String,
    distance_to_worse_s: Option<f64>,
    distance_to_better_s: Option<f64>,
    findings: FindingValues<'a>,
    top_end: Option<TopEndFile>,
    rating: RatingFile,
    closure: ClosureFile,
    pedal_begins_s: f64,
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
struct TopEndFile {
    air_kg_per_s: f64,
    torque_nm: f64,
    lambda: f64,
    device_cost: f64,
}

#[derive(Serialize)]
struct RatingFile {
    flow_m3_per_s: f64,
    flow_cfm: f64,
    without_device_m3_per_s: f64,
    without_device_cfm: f64,
    opening: f64,
}

#[derive(Serialize)]
struct ClosureFile {
    air: f64,
    fuel: f64,
}

/// Times count from the start of the run, unlike those of the findings.
#[derive(Serialize)]
struct EventFile {
    time_s: f64,
    kind: &'static str,
    label: &'static str,
}

/// The findings of a run, its events and what goes with them, as JSON. What did not happen is null.
///
/// # Errors
/// As `serde_json`; these types give none.
pub fn findings_json(scenario: &Scenario, outcome: &Outcome) -> Result<String, serde_json::Error> {
    let Outcome { run, findings, top_end, rating } = outcome;
    let lost = findings.lost_s.unwrap_or(0.0);
    let file = FindingsFile {
        format_version: FORMAT_VERSION,
        title: &scenario.title,
        family: scenario.entry().id,
        verdict: findings.verdict.id(),
        sentence: sentence(findings),
        distance_to_worse_s: findings.verdict.distance_to_worse(lost),
        distance_to_better_s: findings.verdict.distance_to_better(lost),
        findings: FindingValues(findings),
        top_end: top_end.as_ref().ok().map(top_end_file),
        rating: RatingFile {
            flow_m3_per_s: rating.flow_m3_per_s,
            flow_cfm: CFM.from_si(rating.flow_m3_per_s),
            without_device_m3_per_s: rating.without_device_m3_per_s,
            without_device_cfm: CFM.from_si(rating.without_device_m3_per_s),
            opening: rating.opening,
        },
        closure: ClosureFile { air: run.closure.air, fuel: run.closure.fuel },
        pedal_begins_s: scenario.pedal.begin_s,
        events: run.events.iter().map(|event| event_file(event.time_s, event.kind)).collect(),
    };
    serde_json::to_string_pretty(&file).map(|mut text| {
        text.push('\n');
        text
    })
}

fn event_file(time_s: f64, kind: EventKind) -> EventFile {
    EventFile { time_s, kind: kind.id(), label: kind.label() }
}

fn top_end_file(top_end: &TopEnd) -> TopEndFile {
    TopEndFile {
        air_kg_per_s: top_end.air_kg_per_s,
        torque_nm: top_end.torque_nm,
        lambda: top_end.lambda,
        device_cost: top_end.device_cost,
    }
}
