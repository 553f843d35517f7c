//! What the window shows: benches, cursor, choice; nothing here paints.

use super::history::{History, Snapshot};
use super::playback::Playback;
use super::screen::Screen;
use super::track::{Flag, Track};
use super::worker::{Answer, BenchId, Capacity, Outcome, Reply};
use crate::bench::events::{Event, EventKind};
use crate::bench::scenario::{GROUPS, Place, Scenario};
use crate::families::{self, FAMILIES};
use crate::settings::grouped::Grouped;
use crate::units::UnitSystem;
use std::path::PathBuf;
use std::sync::Arc;

/// Most benches at once.
pub const MOST_BENCHES: usize = 4;

/// Speeds at which a run is played, as shares of real time, with their names.
pub const SPEEDS: [(f64, &str); 3] = [(1.0, "1/1"), (0.25, "1/4"), (0.05, "1/20")];

/// One carburettor with its run.
#[derive(Debug, Clone)]
pub struct Bench {
    /// Its name towards the worker.
    pub id: BenchId,
    /// What is set.
    pub scenario: Scenario,
    /// Where it was read from or saved to.
    pub path: Option<PathBuf>,
    /// The newest run that has come.
    pub outcome: Option<Arc<Outcome>>,
    /// Rating and top end of that run.
    pub capacity: Option<Capacity>,
    /// Why the newest request brought no run.
    pub error: Option<String>,
    /// Number of the newest request.
    pub revision: u64,
    /// Number of the newest request that was answered.
    pub answered: u64,
}

impl Bench {
    /// A bench that has not been run.
    pub(super) fn new(id: BenchId, scenario: Scenario, path: Option<PathBuf>) -> Self {
        Self { id, scenario, path, outcome: None, capacity: None, error: None, revision: 0, answered: 0 }
    }

    /// Whether the shown run is older than the settings.
    pub fn waiting(&self) -> bool {
        self.answered < self.revision
    }

    /// On the axis of time; the names that matter most find room first.
    fn track(&self) -> Track {
        const FIRST: [EventKind; 6] = [
            EventKind::SecondaryAir,
            EventKind::SecondaryFuel,
            EventKind::LeanLimit,
            EventKind::RichLimit,
            EventKind::Stalls,
            EventKind::DeviceOpen,
        ];
        let rank = |kind| FIRST.iter().position(|first| *first == kind).unwrap_or(FIRST.len());
        let events = self.outcome.as_ref().map_or(&[][..], |outcome| &outcome.run.events);
        let flag = |event: &Event| Flag { time_s: event.time_s, label: event.kind.label(), rank: rank(event.kind) };
        Track {
            id: self.id,
            answered: self.answered,
            name: self.scenario.entry().name.to_owned(),
            waiting: self.waiting(),
            flags: events.iter().map(flag).collect(),
        }
    }
}

/// A refused entry, shown beside its field.
#[derive(Debug, Clone, PartialEq)]
pub struct Refusal {
    /// Which bench.
    pub bench: BenchId,
    /// Which field.
    pub place: Place,
    /// What was wrong and what would be accepted.
    pub text: String,
}

/// Everything that the window shows.
pub struct State {
    /// Which screen is shown.
    pub screen: Screen,
    /// One to four benches.
    pub benches: Vec<Bench>,
    /// The one that the settings edit.
    pub selected: usize,
    /// Where time stands; its speed is an index into [`SPEEDS`].
    pub time: Playback,
    /// The last refused entry.
    pub refusal: Option<Refusal>,
    /// Text that settings must contain to be shown.
    pub filter: String,
    /// Benches that must be run anew.
    pub stale: Vec<BenchId>,
    pub(super) history: History<Snapshot>,
    next_id: BenchId,
}

/// The two families on the benches when the program opens.
pub const OPENING_CONTRAST: [&str; 2] = ["bare_link", "twin_pump"];
/// View at the start: the stab and the second after it.
const FIRST_VIEW_S: (f64, f64) = (0.15, 1.25);
/// Shortest part of the time axis that can be shown, s.
const SHORTEST_VIEW_S: f64 = 0.01;
/// Time by which a step moves the cursor, s.
pub const STEP_S: f64 = 0.002;

impl State {
    /// The opening contrast: the same car with a bare link and with twin pumps.
    pub fn opening() -> Self {
        let mut state = Self {
            screen: Screen::default(),
            benches: Vec::new(),
            selected: 0,
            time: Playback::new(FIRST_VIEW_S, SHORTEST_VIEW_S, 2),
            refusal: None,
            filter: String::new(),
            stale: Vec::new(),
            history: History::default(),
            next_id: 1,
        };
        for id in OPENING_CONTRAST {
            let entry = families::entry(id).unwrap_or(&FAMILIES[0]);
            state.push(Scenario::fresh(entry), None);
        }
        state
    }

    pub(super) fn push(&mut self, scenario: Scenario, path: Option<PathBuf>) {
        let id = self.next_id;
        self.next_id += 1;
        self.benches.push(Bench::new(id, scenario, path));
        self.touch(self.benches.len() - 1);
    }

    /// The selected bench.
    pub fn bench(&self) -> &Bench {
        &self.benches[self.selected.min(self.benches.len() - 1)]
    }

    /// Note that a bench's run is out of date.
    pub(super) fn touch(&mut self, index: usize) {
        let bench = &mut self.benches[index];
        bench.revision += 1;
        if !self.stale.contains(&bench.id) {
            self.stale.push(bench.id);
        }
    }

    /// Change a bench's family.
    pub fn choose_family(&mut self, index: usize, entry: &'static families::Entry) {
        if self.benches.get(index).is_none_or(|bench| bench.scenario.entry().id == entry.id) {
            return;
        }
        self.remember(None);
        let bench = &mut self.benches[index];
        if bench.scenario.title == bench.scenario.entry().name {
            entry.name.clone_into(&mut bench.scenario.title);
        }
        bench.scenario.choose_family(entry);
        self.refusal = None;
        self.touch(index);
    }

    /// Change a setting of the selected bench; a refused value changes nothing and is noted beside the field.
    pub fn set(&mut self, place: Place, value: f64, units: UnitSystem) {
        let index = self.selected;
        let id = self.benches[index].id;
        if self.benches[index].scenario.value(place) == Some(value) {
            return;
        }
        let mut changed = self.benches[index].scenario.clone();
        match changed.set(place, value) {
            Ok(()) => {
                self.remember(Some((id, place)));
                self.benches[index].scenario = changed;
                self.refusal = None;
                self.touch(index);
            }
            Err(refused) => {
                let accepted = changed.setting(place).map_or(refused.accepted, |setting| setting.accepted(units));
                let given = shown(&changed, place, value, units);
                self.refuse(place, format!("{given} is not accepted; {accepted}."));
            }
        }
    }

    /// Note a refused entry of the selected bench.
    pub fn refuse(&mut self, place: Place, text: String) {
        self.refusal = Some(Refusal { bench: self.bench().id, place, text });
    }

    /// Change the title of the selected bench.
    pub fn rename(&mut self, title: String) {
        self.benches[self.selected].scenario.title = title;
    }

    /// Another bench: a copy of one, or a fresh one of the first family that is not shown yet.
    pub fn add(&mut self, copy_of: Option<usize>) {
        if self.benches.len() >= MOST_BENCHES {
            return;
        }
        self.remember(None);
        let scenario = copy_of.and_then(|index| self.benches.get(index)).map_or_else(
            || {
                let shown: Vec<_> = self.benches.iter().map(|bench| bench.scenario.entry().id).collect();
                let entry = FAMILIES.iter().find(|entry| !shown.contains(&entry.id)).unwrap_or(&FAMILIES[0]);
                let mut scenario = self.bench().scenario.clone();
                scenario.choose_family(entry);
                entry.name.clone_into(&mut scenario.title);
                scenario
            },
            |bench| bench.scenario.clone(),
        );
        self.push(scenario, None);
        self.selected = self.benches.len() - 1;
    }

    /// Take a bench away; the last one stays.
    pub fn remove(&mut self, index: usize) {
        if self.benches.len() > 1 && index < self.benches.len() {
            self.remember(None);
            self.benches.remove(index);
            self.selected = if self.selected > index { self.selected - 1 } else { self.selected };
            self.selected = self.selected.min(self.benches.len() - 1);
        }
    }

    /// Put a scenario that was read onto the selected bench.
    pub fn load(&mut self, scenario: Scenario, path: Option<PathBuf>) {
        self.remember(None);
        let bench = &mut self.benches[self.selected];
        bench.scenario = scenario;
        bench.path = path;
        self.refusal = None;
        self.touch(self.selected);
    }

    /// Show exactly these scenarios, each on a bench.
    pub fn load_all(&mut self, scenarios: Vec<(Scenario, Option<PathBuf>)>) {
        if scenarios.is_empty() {
            return;
        }
        self.remember(None);
        self.benches.clear();
        for (scenario, path) in scenarios.into_iter().take(MOST_BENCHES) {
            self.push(scenario, path);
        }
        self.selected = 0;
    }

    /// Take in what the worker has finished.
    pub fn receive(&mut self, reply: Reply) {
        let Some(bench) = self.benches.iter_mut().find(|bench| bench.id == reply.bench) else { return };
        match reply.answer {
            Answer::Run(_) if reply.revision <= bench.answered => {}
            Answer::Run(result) => {
                bench.answered = reply.revision;
                match *result {
                    Ok(outcome) => {
                        bench.outcome = Some(Arc::new(outcome));
                        bench.error = None;
                    }
                    Err(text) => bench.error = Some(text),
                }
                bench.capacity = None;
            }
            Answer::Capacity(capacity) if reply.revision == bench.answered => bench.capacity = Some(*capacity),
            Answer::Capacity(_) => {}
        }
    }

    /// End of the longest run, s.
    pub fn end_s(&self) -> f64 {
        self.benches.iter().map(|bench| bench.scenario.pedal.end_s()).fold(0.1, f64::max)
    }

    /// Seconds of the run in a second of the clock; none as long as there is nothing to see.
    pub fn pace(&self) -> f64 {
        let speed = SPEEDS[self.time.speed.min(SPEEDS.len() - 1)].0;
        if self.benches.iter().all(|bench| bench.outcome.is_none()) { 0.0 } else { speed }
    }

    /// Put the cursor at a time, and the shown part of the axis around it if need be.
    pub fn seek(&mut self, time_s: f64) {
        self.time.seek(time_s, self.end_s());
    }

    /// Every event of every bench: time, bench, kind, in order of time.
    pub fn events(&self) -> Vec<(f64, usize, EventKind)> {
        let mut events: Vec<_> = self
            .benches
            .iter()
            .enumerate()
            .filter_map(|(index, bench)| Some((index, bench.outcome.as_ref()?)))
            .flat_map(|(index, outcome)| outcome.run.events.iter().map(move |e| (e.time_s, index, e.kind)))
            .collect();
        events.sort_by(|a, b| a.0.total_cmp(&b.0));
        events
    }

    /// Times of all events, in order.
    pub fn event_times(&self) -> Vec<f64> {
        self.events().into_iter().map(|event| event.0).collect()
    }

    /// Step to the next event, or the one before.
    pub fn step_to_event(&mut self, forward: bool) {
        self.time.step_to(self.event_times(), forward, self.end_s());
    }

    /// The benches on the axis of time.
    pub fn tracks(&self) -> Vec<Track> {
        self.benches.iter().map(Bench::track).collect()
    }
}

/// A value of a scenario as text.
pub fn shown(settings: &dyn Grouped, place: Place, value: f64, units: UnitSystem) -> String {
    settings.setting(place).map_or("–".to_owned(), |setting| setting.shown(value, units))
}

/// In which settings other benches differ from the first: label and each bench's value.
pub fn differences(benches: &[Bench], units: UnitSystem) -> Vec<String> {
    let Some(first) = benches.first() else { return Vec::new() };
    // a family's own settings only compare within that family
    let same_family = benches.iter().all(|bench| bench.scenario.entry().id == first.scenario.entry().id);
    let settings: Vec<&dyn Grouped> = benches.iter().map(|bench| &bench.scenario as &dyn Grouped).collect();
    differing(&settings, units, |group| same_family || GROUPS[group].id != "family")
}

/// In which settings of the groups that `compares` takes others differ from the first.
pub fn differing(settings: &[&dyn Grouped], units: UnitSystem, compares: impl Fn(usize) -> bool) -> Vec<String> {
    let Some(first) = settings.first() else { return Vec::new() };
    let at = |place: Place| {
        let value = first.value(place)?;
        if !compares(place.group) || settings.iter().all(|other| other.value(place) == Some(value)) {
            return None;
        }
        let shown = |other: &&dyn Grouped| Some(shown(*other, place, other.value(place)?, units));
        let values: Vec<String> = settings.iter().filter_map(shown).collect();
        let label = first.setting(place)?.label;
        Some(format!("{} – {label}: {}", first.groups()[place.group].label, values.join(" against ")))
    };
    first.places().into_iter().filter_map(at).collect()
}
