//! Heat soak: a warm engine is parked, and started again.

use super::{Part, Preset, Sentence, Timing};
use crate::app::track::{self, Clock, Flag, Readings, TracePanel};
use crate::heat::events::EventKind;
use crate::heat::findings::FINDINGS;
use crate::heat::run::{SoakRun, run};
use crate::heat::soak::Soak;
use crate::heat::trace::CHANNELS;
use crate::scene::Scene;
use crate::units::{Quantity, UnitSystem};
use eframe::egui::{Rect, Ui};

/// A heat soak.
pub struct HeatSoak;

impl Part for HeatSoak {
    type Settings = Soak;
    type Run = SoakRun;

    const ID: &'static str = "heat_soak";
    const DRAWING: &'static str = "Section";
    const OPEN: &'static [&'static str] = &["times", "mounting"];
    const TIMING: Option<Timing> = Some(Timing {
        clock: Clock::Minutes,
        speeds: [(270.0, "×270"), (90.0, "×90"), (30.0, "×30")],
        step_s: 15.0,
        shortest_s: 60.0,
    });

    fn fresh() -> Soak {
        Soak::default()
    }

    fn opening() -> Vec<(String, Soak)> {
        let mut spaced = Soak::default();
        spaced.mounting.spacer_thickness_m = 0.025;
        vec![("Gasket only".to_owned(), Soak::default()), ("25 mm spacer".to_owned(), spaced)]
    }

    fn presets() -> &'static [Preset] {
        &[]
    }

    fn question(_: &[&Soak]) -> String {
        "The same car, parked hot: what does what stands under the carburettor change?".to_owned()
    }

    fn run(soak: &Soak) -> Result<SoakRun, String> {
        run(soak).map_err(|error| error.to_string())
    }

    fn sentence(_: &SoakRun, _: UnitSystem) -> Sentence {
        Sentence { text: String::new(), warns: false }
    }

    fn findings(run: &SoakRun) -> Vec<(&'static str, Quantity, Option<f64>)> {
        FINDINGS.iter().map(|finding| (finding.label, finding.quantity, (finding.get)(&run.findings))).collect()
    }

    fn end_s(soak: &Soak) -> f64 {
        soak.times.soak_s + soak.times.cool_s
    }

    fn flags(run: &SoakRun) -> Vec<Flag> {
        const FIRST: [EventKind; 3] = [EventKind::PercolationBegins, EventKind::BoilingBegins, EventKind::Flooded];
        let rank = |kind| 1 + FIRST.iter().position(|first| *first == kind).unwrap_or(FIRST.len());
        let restart = Flag { time_s: run.trace.restart_s, label: "Engine starts again", rank: 0 };
        let events = run.events.iter();
        let mut flags: Vec<_> =
            events.map(|e| Flag { time_s: e.time_s, label: e.kind.label(), rank: rank(e.kind) }).collect();
        flags.push(restart);
        flags.sort_by(|a, b| a.time_s.total_cmp(&b.time_s));
        flags
    }

    fn traces(runs: &[Option<&SoakRun>]) -> Vec<TracePanel> {
        PANELS.iter().map(|(key, title, ids)| panel(runs, (key, title, ids))).collect()
    }

    fn draw(_: &Soak, _: &SoakRun, _: f64, _: UnitSystem) -> Scene {
        Scene::default()
    }

    fn describe(_: &SoakRun, _: f64, _: UnitSystem) -> String {
        String::new()
    }

    fn legend(_: &mut Ui, _: Rect, _: f64, _: UnitSystem) {}
}

/// Traces: key, title, columns.
const PANELS: &[(&str, &str, &[&str])] = &[
    ("temperatures", "Temperatures", &["bowl_k", "manifold_k", "bay_k"]),
    ("joint", "Heat through the joint", &["joint_w"]),
    ("percolated", "Percolated", &["percolated_kg", "vented_kg"]),
    ("cranking", "Cranking", &["cranking_s"]),
];

fn panel(runs: &[Option<&SoakRun>], (key, title, ids): (&str, &'static str, &[&str])) -> TracePanel {
    let of = |id: &&str| {
        let channel = CHANNELS.iter().find(|channel| channel.id == *id)?;
        let readings = |run: &Option<&SoakRun>| {
            let trace = &(*run)?.trace;
            Some(Readings { interval_s: trace.interval_s, values: trace.samples.iter().map(channel.get).collect() })
        };
        let readings = runs.iter().map(readings).collect();
        Some(track::Curve { label: channel.label, quantity: channel.quantity, readings })
    };
    let curves: Vec<_> = ids.iter().filter_map(of).collect();
    TracePanel { key: key.to_owned(), title, range: track::range(&curves), curves, limits: None }
}
