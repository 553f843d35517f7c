//! A recommendation as files for other programs: all of it as JSON, the proposals as a table. SI throughout.

use crate::advice::recommend::proposal::{Hot, Line, Proposal, Recommendation};
use crate::advice::recommend::stroke::STROKES;
use crate::advice::recommend::weigh::{Burdens, Criterion};
use crate::bench::findings::{FINDINGS, Findings};
use crate::content::grounds::Grounds;
use crate::content::problem::Problems;
use crate::content::{customer_file, scenario_file};
use crate::units::{CFM, rounded};
use serde::Serialize;

/// Version of the file.
pub const FORMAT_VERSION: u32 = 1;

/// The recommendation with what the model leaves out, from the list of what it rests on.
///
/// # Errors
/// Every problem of that list; a test reads it.
pub fn with_what_is_left_out(recommendation: Recommendation) -> Result<Recommendation, Problems> {
    let left_out = Grounds::shipped()?.left_out.iter().map(|gap| format!("{}: {}", gap.what, gap.effect)).collect();
    Ok(Recommendation { left_out, ..recommendation })
}

#[derive(Serialize)]
struct File<'a> {
    format_version: u32,
    customer: String,
    seed: u64,
    draws: usize,
    runs: usize,
    demand_m3_per_s: f64,
    headline: &'a str,
    sure: &'a str,
    complaint: Option<&'a str>,
    counts: &'a str,
    assumed: Vec<LineFile<'a>>,
    weights: CriteriaFile<'a>,
    proposals: Vec<ProposalFile<'a>>,
    hot: HotFile<'a>,
    reading: &'a [String],
    cautions: &'a [String],
    law: &'a str,
    left_out: &'a [String],
}

#[derive(Serialize)]
struct LineFile<'a> {
    label: &'a str,
    text: &'a str,
}

impl<'a> From<&'a Line> for LineFile<'a> {
    fn from(line: &'a Line) -> Self {
        Self { label: &line.label, text: &line.text }
    }
}

/// A number a criterion, by its id.
struct CriteriaFile<'a>(&'a Burdens);

impl Serialize for CriteriaFile<'_> {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_map(Criterion::ALL.iter().map(|criterion| (criterion.id(), self.0[*criterion as usize])))
    }
}

struct FindingsFile<'a>(&'a Findings);

impl Serialize for FindingsFile<'_> {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_map(FINDINGS.iter().map(|finding| (finding.id, (finding.get)(self.0))))
    }
}

#[derive(Serialize)]
struct ProposalFile<'a> {
    title: &'a str,
    action: &'a str,
    family: &'a str,
    bores_over_default: f64,
    rated_m3_per_s: f64,
    cost_points: f64,
    cost_as_told_points: f64,
    burdens: CriteriaFile<'a>,
    on_front: bool,
    first_share: f64,
    beats_fitted: Option<f64>,
    alike: bool,
    work_s: f64,
    top_torque_nm: f64,
    top_lambda: f64,
    cruise_lambda: f64,
    cruise_fuel_kg_per_m: f64,
    strokes: Vec<StrokeFile<'a>>,
    against: &'a str,
    gains: &'a [String],
    costs: &'a [String],
    why: &'a [String],
    settings: Vec<SettingFile<'a>>,
    steps: Vec<StepFile<'a>>,
    room: &'a [String],
    /// As a scenario file.
    scenario: String,
}

#[derive(Serialize)]
struct StrokeFile<'a> {
    id: &'a str,
    pedal_before: f64,
    verdict: &'a str,
    gained_m: f64,
    findings: FindingsFile<'a>,
}

#[derive(Serialize)]
struct SettingFile<'a> {
    key: &'a str,
    label: &'a str,
    value: &'a str,
    before: Option<&'a str>,
}

#[derive(Serialize)]
struct StepFile<'a> {
    text: &'a str,
    caution: &'a str,
}

#[derive(Serialize)]
struct HotFile<'a> {
    text: &'a str,
    rows: Vec<HotRowFile<'a>>,
}

#[derive(Serialize)]
struct HotRowFile<'a> {
    label: &'a str,
    cranking_s: f64,
    at_s: f64,
    hottest_k: f64,
}

fn hot(hot: &Hot) -> HotFile<'_> {
    let row = |row: &crate::advice::recommend::hot::HotRow| HotRowFile {
        label: row.label,
        cranking_s: row.cranking_s,
        at_s: row.at_s,
        hottest_k: row.hottest_k,
    };
    HotFile { text: &hot.text, rows: hot.rows.iter().map(row).collect() }
}

fn proposal(proposal: &Proposal) -> ProposalFile<'_> {
    let strokes = proposal.figures.stabs.iter().map(|stab| StrokeFile {
        id: STROKES[stab.stroke].id,
        pedal_before: stab.rest,
        verdict: stab.findings.verdict.id(),
        gained_m: stab.gained_m,
        findings: FindingsFile(&stab.findings),
    });
    let settings = proposal.settings.iter().map(|setting| SettingFile {
        key: &setting.key,
        label: &setting.label,
        value: &setting.value,
        before: setting.before.as_deref(),
    });
    ProposalFile {
        title: &proposal.title,
        action: proposal.action.id(),
        family: proposal.family.id,
        bores_over_default: proposal.factor,
        rated_m3_per_s: proposal.rating.flow_m3_per_s,
        cost_points: proposal.cost,
        cost_as_told_points: proposal.cost_as_told,
        burdens: CriteriaFile(&proposal.burdens),
        on_front: proposal.on_front,
        first_share: proposal.first_share,
        beats_fitted: proposal.beats_fitted,
        alike: proposal.alike,
        work_s: proposal.work_s,
        top_torque_nm: proposal.figures.top_nm,
        top_lambda: proposal.figures.top_lambda,
        cruise_lambda: proposal.footing.cruise.lambda,
        cruise_fuel_kg_per_m: proposal.footing.cruise.fuel_kg_per_m,
        strokes: strokes.collect(),
        against: &proposal.against,
        gains: &proposal.gains,
        costs: &proposal.costs,
        why: &proposal.why,
        settings: settings.collect(),
        steps: proposal.steps.iter().map(|step| StepFile { text: &step.text, caution: step.caution }).collect(),
        room: &proposal.room,
        scenario: scenario_file::serialize(&proposal.scenario),
    }
}

/// All of it as JSON.
///
/// # Errors
/// As `serde_json`; these types give none.
pub fn recommendation_json(recommendation: &Recommendation) -> Result<String, serde_json::Error> {
    let r = recommendation;
    let file = File {
        format_version: FORMAT_VERSION,
        customer: customer_file::serialize(&r.customer),
        seed: r.seed,
        draws: r.draws,
        runs: r.runs,
        demand_m3_per_s: r.demand_m3_per_s,
        headline: &r.headline,
        sure: &r.sure,
        complaint: r.complaint.as_deref(),
        counts: &r.counts,
        assumed: r.assumed.iter().map(LineFile::from).collect(),
        weights: CriteriaFile(&r.weights.criteria),
        proposals: r.proposals.iter().map(proposal).collect(),
        hot: hot(&r.hot),
        reading: &r.reading,
        cautions: &r.cautions,
        law: &r.law,
        left_out: &r.left_out,
    };
    serde_json::to_string_pretty(&file).map(|text| text + "\n")
}

/// The proposals as comma-separated values, the best first.
///
/// # Errors
/// As the csv crate; writing to memory gives none.
pub fn proposals_csv(recommendation: &Recommendation) -> Result<String, csv::Error> {
    let mut table = csv::Writer::from_writer(Vec::new());
    let mut heading: Vec<String> = ["rank", "action", "family", "rated_cfm", "cost_points"].map(str::to_owned).to_vec();
    heading.extend(Criterion::ALL.iter().map(|criterion| format!("{}_points", criterion.id())));
    heading.extend(
        ["lost_s", "top_torque_nm", "cruise_lambda", "cruise_fuel_kg_per_m", "work_s", "on_front", "first_share"]
            .map(str::to_owned),
    );
    heading.extend(["beats_fitted", "title"].map(str::to_owned));
    table.write_record(&heading)?;
    for (index, proposal) in recommendation.proposals.iter().enumerate() {
        table.write_record(row(index, proposal, recommendation))?;
    }
    let bytes = table.into_inner().map_err(|error| csv::Error::from(error.into_error()))?;
    String::from_utf8(bytes).map_err(|error| csv::Error::from(std::io::Error::other(error)))
}

fn row(index: usize, proposal: &Proposal, recommendation: &Recommendation) -> Vec<String> {
    let text = |value: f64| rounded(value, 9).to_string();
    let mut row = vec![
        (index + 1).to_string(),
        proposal.action.id().to_owned(),
        proposal.family.id.to_owned(),
        text(CFM.from_si(proposal.rating.flow_m3_per_s)),
        text(proposal.cost),
    ];
    row.extend(proposal.burdens.iter().map(|burden| text(*burden)));
    row.extend([
        text(proposal.figures.lost_s(&recommendation.weights)),
        text(proposal.figures.top_nm),
        text(proposal.footing.cruise.lambda),
        text(proposal.footing.cruise.fuel_kg_per_m),
        text(proposal.work_s),
        proposal.on_front.to_string(),
        text(proposal.first_share),
        proposal.beats_fitted.map(text).unwrap_or_default(),
        proposal.title.clone(),
    ]);
    row
}
