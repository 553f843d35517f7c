//! Two settings across, a finding as colour: which settings change the verdict, and where the edge lies.

mod choice;
mod controls;
mod job;
mod lines;
mod picture;
mod window;

use super::actions::{Action, Purpose};
use super::paint::MARKER_NAMES;
use super::preferences::Preferences;
use super::state::{Bench, State};
use super::worker::BenchId;
use crate::bench::findings::FINDINGS;
use crate::bench::scenario::Place;
use crate::bench::sweep::chart::Chart;
use crate::bench::sweep::{Map, Point, quantity};
use crate::bench::verdict::Verdict;
use crate::content::map;
use crate::settings::grouped::Grouped;
use crate::units::UnitSystem;
use choice::Choice;
use eframe::egui::{CentralPanel, Frame, Margin, Panel, TextureHandle, Ui};
use job::{Job, Runner};
use std::sync::Arc;
use std::time::Duration;

/// Time between two pictures of a map that fills.
const REPAINT: Duration = Duration::from_millis(60);

/// What this screen remembers.
#[derive(Default)]
pub struct View {
    choice: Option<Choice>,
    runner: Option<Runner>,
    shown: Option<Shown>,
    drawn: Option<Drawn>,
    /// Point that the keyboard stands at: column, row.
    cursor: Option<(usize, usize)>,
    /// Whether that point was moved since the pointer was.
    by_keys: bool,
    /// Where the bench was last sent from here.
    sent: Option<[(Place, f64); 2]>,
    /// Text that settings must contain to be offered.
    filter: String,
    /// Why the newest choice gave no map.
    error: Option<String>,
}

/// The map that was asked for last.
struct Shown {
    job: Arc<Job>,
    bench: BenchId,
}

/// What a map looks like, kept until the map, the finding or the units change.
struct Drawn {
    key: (usize, usize, usize, bool, UnitSystem),
    chart: Chart,
    texture: TextureHandle,
}

/// A point of the map that the reader looks at.
type At = (usize, usize);

impl View {
    /// The screen.
    pub fn show(&mut self, ui: &mut Ui, state: &State, preferences: &Preferences, actions: &mut Vec<Action>) {
        let bench = state.bench();
        let units = preferences.units;
        let mut choice = self.choice.take().unwrap_or_else(|| Choice::first(&bench.scenario));
        choice.follow(&bench.scenario);
        if self.shown.as_ref().is_none_or(|shown| shown.bench != bench.id) && self.error.is_none() {
            self.ask(ui, bench, &choice, units);
        }
        let window = ui.available_size();
        let margin = Frame::new().inner_margin(Margin { left: 8, right: 4, top: 2, bottom: 2 });
        let width = (300.0 * preferences.text_size.sqrt()).min(window.x * 0.4);
        let before = choice.clone();
        let again = Panel::right("map choice")
            .frame(margin)
            .resizable(true)
            .default_size(width)
            .size_range(160.0..=(window.x * 0.5).max(161.0))
            .show(ui, |ui| self.controls(ui, state, &mut choice, units, actions))
            .inner;
        if again || choice.axes != before.axes {
            self.ask(ui, bench, &choice, units);
        }
        CentralPanel::no_frame().show(ui, |ui| self.picture(ui, state, choice.finding, units, actions));
        self.choice = Some(choice);
    }

    /// Ask for the map of what is chosen; the one that is being run is given up.
    fn ask(&mut self, ui: &Ui, bench: &Bench, choice: &Choice, units: UnitSystem) {
        let map = match choice.map(&bench.scenario, units) {
            Ok(map) => map,
            Err(error) => {
                self.error = Some(error);
                return;
            }
        };
        self.error = None;
        let runner = self.runner.get_or_insert_with(|| {
            let ctx = ui.ctx().clone();
            Runner::new(move || ctx.request_repaint_after(REPAINT))
        });
        let same_axes = self.shown.as_ref().is_some_and(|shown| shown.job.map().axes == map.axes);
        self.cursor = self.cursor.filter(|_| same_axes);
        self.shown = Some(Shown { job: runner.ask(map), bench: bench.id });
        self.drawn = None;
    }

    /// Wait until the map that was asked for last has been run; `false` if `limit` passes first or there is none.
    pub fn wait(&self, limit: Duration) -> bool {
        self.shown.as_ref().is_some_and(|shown| shown.job.wait(limit))
    }

    /// How many points of the map there are: run, in all, and whether it was given up.
    pub fn progress(&self) -> Option<(usize, usize, bool)> {
        let shown = self.shown.as_ref()?;
        let (run, all) = shown.job.map().progress();
        Some((run, all, shown.job.is_cancelled()))
    }

    /// The map as a table.
    ///
    /// # Errors
    /// What is missing and what to do first.
    pub fn table(&self) -> Result<String, String> {
        self.with_map(map::csv)
    }

    /// The map as a picture.
    ///
    /// # Errors
    /// What is missing and what to do first.
    pub fn drawing(&self, units: UnitSystem) -> Result<String, String> {
        let finding = self.choice.as_ref().map_or(0, |choice| choice.finding);
        self.with_map(|map| map::svg::svg(map, &FINDINGS[finding], units))
    }

    fn with_map(&self, write: impl FnOnce(&Map) -> String) -> Result<String, String> {
        let Some(shown) = &self.shown else { return Err("there is no map yet; open the map first".to_owned()) };
        // runs go on while a table is written
        let map = shown.job.map().clone();
        if map.progress().0 == 0 {
            return Err("no point of the map has been run yet; compute it first".to_owned());
        }
        Ok(write(&map))
    }

    /// What to write, to a path that was asked for with this purpose.
    ///
    /// # Errors
    /// What is missing and what to do first.
    pub fn export(&self, purpose: Purpose, units: UnitSystem) -> Result<String, String> {
        if purpose == Purpose::MapPicture { self.drawing(units) } else { self.table() }
    }

    /// Whether the shown map is another one than that of the bench as it stands.
    fn is_stale(&self, bench: &Bench) -> bool {
        self.shown.as_ref().is_some_and(|shown| shown.bench != bench.id || !shown.job.map().is_of(&bench.scenario))
    }
}

/// Both settings of a point in words: `Stab takes 120 ms, Main jet 1.63 mm`.
fn place_in_words(map: &Map, at: At, units: UnitSystem) -> String {
    let values = map.axes.iter().zip([at.0, at.1]).filter_map(|(axis, step)| {
        let label = map.scenario.setting(axis.place)?.label;
        Some(format!("{label} {}", quantity(&map.scenario, axis.place)?.show(axis.value(step), units)))
    });
    values.collect::<Vec<_>>().join(", ")
}

/// What a point came to, in words: the finding, then the verdict.
fn point_in_words(point: Option<&Point>, finding: usize, units: UnitSystem) -> String {
    let finding = &FINDINGS[finding];
    match point {
        None => "not run yet".to_owned(),
        Some(Err(reason)) => format!("no run: {reason}"),
        Some(Ok(found)) => {
            let value = (finding.get)(&found.findings);
            let value = value.map_or("did not happen".to_owned(), |si| finding.quantity.show(si, units));
            let stalled = if found.stalled { " (it stalls)" } else { "" };
            format!("{}: {value}; the engine {}{stalled}", finding.label, found.findings.verdict.phrase())
        }
    }
}

/// A line between verdicts in words: how it is drawn and what begins there.
fn boundary_in_words(begins: Verdict) -> &'static str {
    match begins {
        Verdict::Clean => "",
        Verdict::Hesitates => "Dotted: beyond it the engine hesitates",
        Verdict::Bogs => "Dashed: beyond it the engine bogs",
        Verdict::Dies => "Whole: beyond it the engine dies",
    }
}

/// A bench in words: `bench 1 (circle)`.
fn bench_in_words(index: usize) -> String {
    format!("bench {} ({})", index + 1, MARKER_NAMES[index % 4])
}
