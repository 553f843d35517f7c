//! A part's screen: what stands on its benches, and what the reader does to them; nothing here paints a drawing.

use super::bench::{Before, Bench, Ran, Snapshot, snapshot};
use super::{Filed, MOST, Part, PartScreen, Titled, page};
use crate::app::actions::Action;
use crate::app::history::History;
use crate::app::latest::{Latest, Reply};
use crate::app::layout::Panels;
use crate::app::playback::Playback;
use crate::app::preferences::Preferences;
use crate::app::track::Track;
use crate::app::worker::BenchId;
use crate::settings::grouped::{Grouped, Place};
use crate::units::UnitSystem;
use eframe::egui::Context;
use std::sync::Arc;
use std::time::Duration;

/// What a file says where nobody has said it.
const NOTE: &str = "Invented demonstration data of Kestrel Yard.";

/// The screen of a part.
pub struct View<P: Part> {
    /// One or two subjects.
    pub benches: Vec<Bench<P>>,
    /// The one that the settings edit.
    pub selected: usize,
    /// Where time stands.
    pub time: Playback,
    /// The last refused entry: whose, where, what was wrong.
    pub refusal: Option<(BenchId, Place, String)>,
    /// Text that settings must contain to be shown.
    pub filter: String,
    history: History<Snapshot<P>>,
    runner: Option<Latest<P::Settings, Ran<P>>>,
    next_id: BenchId,
    /// Whether it has been shown: until then nothing is run and nothing plays.
    shown: bool,
}

impl<P: Part> View<P> {
    /// As it opens. `number` tells it from the other parts' screens, so that no two benches of the window share a name.
    pub fn new(number: u32) -> Self {
        let mut view = Self {
            benches: Vec::new(),
            selected: 0,
            time: Playback::new((0.0, 1.0), 0.01, 0),
            refusal: None,
            filter: String::new(),
            history: History::default(),
            runner: None,
            next_id: u64::from(number) << 32,
            shown: false,
        };
        for (title, settings) in P::opening() {
            view.push(title, settings);
        }
        let shortest = P::TIMING.map_or(0.01, |timing| timing.shortest_s);
        view.time = Playback::new((0.0, view.end_s()), shortest, 0);
        view
    }

    fn push(&mut self, title: String, settings: P::Settings) {
        self.next_id += 1;
        self.benches.push(Bench {
            id: self.next_id,
            title,
            note: NOTE.to_owned(),
            path: None,
            settings,
            ran: None,
            error: None,
            revision: 1,
            answered: 0,
            asked: 0,
        });
    }

    /// The selected bench.
    pub fn bench(&self) -> &Bench<P> {
        &self.benches[self.selected.min(self.benches.len() - 1)]
    }

    /// End of the longest run, s.
    pub fn end_s(&self) -> f64 {
        self.benches.iter().map(|bench| P::end_s(&bench.settings)).fold(0.1, f64::max)
    }

    fn remember(&mut self, edit: Option<(BenchId, Place)>) {
        let (benches, selected) = (&self.benches, self.selected);
        self.history.remember(edit, || snapshot(benches, selected));
    }

    /// Put other settings on a bench, as one step that can be undone.
    pub fn load(&mut self, index: usize, title: String, settings: P::Settings) {
        if index >= self.benches.len() {
            return;
        }
        self.remember(None);
        self.refusal = None;
        self.change(index, title, settings);
    }

    /// Other settings on a bench; the shown part of the time axis grows or shrinks with the run when it showed it all.
    fn change(&mut self, index: usize, title: String, settings: P::Settings) {
        let end = self.end_s();
        let whole = self.time.view_s.0 <= 0.0 && self.time.view_s.1 >= end;
        let bench = &mut self.benches[index];
        bench.title = title;
        if bench.settings != settings {
            bench.settings = settings;
            bench.revision += 1;
        }
        self.fit_time(whole);
    }

    fn fit_time(&mut self, whole: bool) {
        let end = self.end_s();
        let (from, to) = self.time.view_s;
        self.time.show(if whole { 0.0 } else { from }, if whole { end } else { to }, end);
        self.time.cursor_s = self.time.cursor_s.min(end);
    }

    fn set(&mut self, place: Place, value: f64, units: UnitSystem) {
        let bench = self.bench();
        let (id, title) = (bench.id, bench.title.clone());
        if bench.settings.value(place) == Some(value) {
            return;
        }
        let mut settings = bench.settings.clone();
        match settings.set(place, value) {
            Ok(()) => {
                self.remember(Some((id, place)));
                self.refusal = None;
                self.change(self.selected, title, settings);
            }
            Err(refused) => {
                let text = settings.setting(place).map_or(refused.to_string(), |setting| {
                    format!("{} is not accepted; {}.", setting.shown(value, units), setting.accepted(units))
                });
                self.refusal = Some((id, place, text));
            }
        }
    }

    fn preset(&mut self, index: usize, preset: usize) {
        let (Some(bench), Some(preset)) = (self.benches.get(index), P::presets().get(preset)) else { return };
        let mut settings = bench.settings.clone();
        for (place, value) in preset.places(&bench.settings) {
            // presets lie within their ranges: a test says so
            if settings.set(place, value).is_err() {
                return;
            }
        }
        let plain = bench.settings == P::fresh();
        let title = if plain { preset.label.to_owned() } else { format!("{}, {}", bench.title, preset.label) };
        self.load(index, title, settings);
        self.selected = index;
    }

    fn add(&mut self, copy_of: usize) {
        let Some(bench) = self.benches.get(copy_of).filter(|_| self.benches.len() < MOST) else { return };
        let (title, settings) = (bench.title.clone(), bench.settings.clone());
        self.remember(None);
        self.push(title, settings);
        self.selected = self.benches.len() - 1;
    }

    fn remove(&mut self, index: usize) {
        if self.benches.len() > 1 && index < self.benches.len() {
            self.remember(None);
            self.benches.remove(index);
            self.selected = 0;
            self.fit_time(true);
        }
    }

    fn open_anew(&mut self) {
        self.remember(None);
        self.benches.clear();
        for (title, settings) in P::opening() {
            self.push(title, settings);
        }
        self.selected = 0;
        self.refusal = None;
        self.fit_time(true);
    }

    fn restore(&mut self, (benches, selected): Snapshot<P>) {
        let mut before = std::mem::take(&mut self.benches);
        for Before { id, path, titled: Titled { title, note, settings } } in benches {
            match before.iter().position(|bench| bench.id == id) {
                Some(known) => {
                    let mut bench = before.swap_remove(known);
                    bench.title = title;
                    if bench.settings != settings {
                        bench.settings = settings;
                        bench.revision += 1;
                    }
                    self.benches.push(bench);
                }
                None => {
                    self.push(title, settings);
                    if let Some(bench) = self.benches.last_mut() {
                        // its newest number is not known any more; this one is above all that were
                        (bench.id, bench.revision) = (id, self.next_id);
                    }
                }
            }
            if let Some(bench) = self.benches.last_mut() {
                (bench.path, bench.note) = (path, note);
            }
        }
        self.selected = selected.min(self.benches.len() - 1);
        self.refusal = None;
        self.fit_time(false);
    }

    fn undo(&mut self, forward: bool) {
        let (benches, selected) = (&self.benches, self.selected);
        let present = || snapshot(benches, selected);
        let other = if forward { self.history.redo(present) } else { self.history.undo(present) };
        if let Some(other) = other {
            self.restore(other);
        }
    }

    fn ask_runs(&mut self, ctx: Option<&Context>) {
        if self.runner.is_none() {
            let Some(ctx) = ctx.cloned() else { return };
            let run = |settings: &P::Settings| Ok(Ran { settings: settings.clone(), run: P::run(settings)? });
            self.runner = Some(Latest::new(move || ctx.request_repaint(), run));
        }
        let Some(runner) = &self.runner else { return };
        for bench in self.benches.iter_mut().filter(|bench| bench.asked < bench.revision) {
            runner.ask(bench.id, bench.revision, bench.settings.clone());
            bench.asked = bench.revision;
        }
    }

    fn receive(&mut self, reply: Reply<Ran<P>>) {
        let Some(bench) = self.benches.iter_mut().find(|bench| bench.id == reply.key) else { return };
        if reply.revision <= bench.answered {
            return;
        }
        bench.answered = reply.revision;
        match reply.answer {
            Ok(ran) => (bench.ran, bench.error) = (Some(Arc::new(ran)), None),
            Err(text) => bench.error = Some(text),
        }
    }

    fn event_times(&self) -> Vec<f64> {
        self.tracks().iter().flat_map(|track| track.flags.iter().map(|flag| flag.time_s)).collect()
    }

    /// The benches on the axis of time.
    pub fn tracks(&self) -> Vec<Track> {
        let track = |bench: &Bench<P>| Track {
            id: bench.id,
            answered: bench.answered,
            name: bench.title.clone(),
            waiting: bench.waiting(),
            flags: bench.ran.as_ref().map_or_else(Vec::new, |ran| P::flags(&ran.run)),
        };
        self.benches.iter().map(track).collect()
    }

    /// What the shown things depend on.
    pub fn key(&self) -> Vec<(BenchId, u64)> {
        self.benches.iter().map(|bench| (bench.id, bench.answered)).collect()
    }

    fn move_time(&mut self, action: Action) -> Option<Action> {
        let end = self.end_s();
        let step_s = P::TIMING.map_or(0.0, |timing| timing.step_s);
        match action {
            Action::TogglePlay => self.time.playing = !self.time.playing,
            Action::Speed(index) => self.time.speed = index.min(2),
            Action::Seek(time) => {
                self.time.playing = false;
                self.time.seek(time, end);
            }
            Action::Step(by) => {
                self.time.playing = false;
                self.time.seek(self.time.cursor_s + by * step_s, end);
            }
            Action::ToEvent { forward } => self.time.step_to(self.event_times(), forward, end),
            Action::Zoom(about, factor) => self.time.zoom(about, factor, end),
            Action::Pan(by) => {
                let (from, to) = self.time.view_s;
                self.time.show(from + by, to + by, end);
            }
            Action::Show(from, to) => self.time.show(from, to, end),
            other => return Some(other),
        }
        None
    }
}

impl<P: Part> PartScreen for View<P> {
    fn panels<'a>(&'a mut self, preferences: &'a Preferences, actions: &'a mut Vec<Action>) -> Box<dyn Panels + 'a> {
        page::panels(self, preferences, actions)
    }

    fn take(&mut self, action: Action, units: UnitSystem) -> Option<Action> {
        match self.move_time(action)? {
            Action::Set(place, value) => self.set(place, value, units),
            Action::Refuse(place, text) => self.refusal = Some((self.bench().id, place, text)),
            Action::Rename(title) => {
                let selected = self.selected;
                self.benches[selected].title = title;
            }
            Action::EndOfGesture => self.history.end_of_gesture(),
            Action::AddBench => self.add(self.selected),
            Action::CopyBench(index) => self.add(index),
            Action::RemoveBench(index) => self.remove(index),
            Action::Select(index) => self.selected = index.min(self.benches.len() - 1),
            Action::Preset { bench, preset } => self.preset(bench, preset),
            Action::Fresh(index) => self.load(index, "As it comes".to_owned(), P::fresh()),
            Action::PartOpening => self.open_anew(),
            Action::Filter(text) => self.filter = text,
            Action::Undo => self.undo(false),
            Action::Redo => self.undo(true),
            other => return Some(other),
        }
        None
    }

    fn advance(&mut self, ctx: &Context, reduced_motion: bool) {
        if !self.shown {
            self.shown = true;
            self.time.playing = !reduced_motion;
        }
        while let Some(reply) = self.runner.as_ref().and_then(Latest::reply) {
            self.receive(reply);
        }
        self.ask_runs(Some(ctx));
        if let Some(timing) = P::TIMING.filter(|_| self.benches.iter().any(|bench| bench.ran.is_some())) {
            let (pace, end) = (timing.speeds[self.time.speed.min(2)].0, self.end_s());
            let times = self.event_times();
            self.time.pass(ctx, reduced_motion, pace, || times.clone(), end);
        }
    }

    fn wait_for_runs(&mut self, limit: Duration) -> bool {
        if !self.shown {
            return true;
        }
        self.ask_runs(None);
        while self.benches.iter().any(Bench::waiting) {
            match self.runner.as_ref().and_then(|runner| runner.wait(limit)) {
                Some(reply) => self.receive(reply),
                None => return false,
            }
        }
        true
    }

    fn history(&self) -> (bool, bool) {
        self.history.has()
    }

    fn has_room(&self) -> bool {
        self.benches.len() < MOST
    }

    fn question(&self) -> String {
        let settings: Vec<_> = self.benches.iter().map(|bench| &bench.settings).collect();
        P::question(&settings)
    }

    fn file(&mut self, action: Action) -> Result<Filed, Action> {
        self.filed(action)
    }

    fn examples(&self) -> Option<Vec<String>> {
        Some((P::FILES?.shipped)().into_iter().map(|titled| titled.title).collect())
    }
}
