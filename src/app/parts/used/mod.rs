//! A used carburettor: closed and clean on the table, with faults in it that nobody has told.
//!
//! What the reader does is a [`Deed`], applied before the next drawing; the runs that show what the faults do are made on
//! a thread as soon as a carburettor lies on the table.

mod report;
mod table;

use crate::app::actions::Action;
use crate::app::latest::Latest;
use crate::app::preferences::Preferences;
use crate::bench::faults::{Behaviour, Fault, Faults, Opened, Part, Used};
use crate::bench::run::run;
use crate::bench::scenario::Scenario;
use crate::bench::trace::Sample;
use crate::content::{fault_file, library};
use crate::families::FAMILIES;
use eframe::egui::{Context, Ui};
use std::time::Duration;

/// What the reader does here.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Deed {
    /// A carburettor of another kind.
    Kind(usize),
    /// The one with this number.
    Number(u64),
    /// Look at this part; `None`: close it and look from outside.
    Look(Option<Part>),
    /// Believe that this part is faulty, or no longer.
    Mark(Part, bool),
    /// Run it beside the sound one.
    Run,
    /// Be told what was planted.
    Tell,
}

/// What is asked of the thread.
struct Asked {
    scenario: Scenario,
    planted: Vec<Fault>,
}

/// What the faults do.
struct Ran {
    /// Before the pedal moves, sound: what is seen from outside.
    still: Sample,
    /// Sound, and with every fault.
    both: [Behaviour; 2],
    /// With each fault alone, in the order of the planted.
    alone: Vec<Behaviour>,
}

/// The screen.
pub struct View {
    faults: Faults,
    /// Why there are none; a test reads them.
    broken: Option<String>,
    /// A scenario of each kind, as it comes.
    kinds: Vec<Scenario>,
    kind: usize,
    number: u64,
    /// What has been looked at.
    opened: Vec<Part>,
    /// What is looked at.
    shown: Option<Part>,
    /// What the reader believes to be faulty.
    marked: Vec<Part>,
    has_run: bool,
    told: bool,
    deeds: Vec<Deed>,
    runner: Option<Latest<Asked, Ran>>,
    revision: u64,
    asked: u64,
    answered: u64,
    ran: Option<Result<Ran, String>>,
}

impl Default for View {
    fn default() -> Self {
        let (faults, broken) = match fault_file::shipped() {
            Ok(faults) => (faults, None),
            Err(problems) => (Faults::default(), Some(problems.to_string())),
        };
        let shipped: Vec<Scenario> = library::shipped().iter().filter_map(|shipped| shipped.scenario().ok()).collect();
        let of_kind = |id: &str| shipped.iter().find(|scenario| scenario.entry().id == id).cloned();
        Self {
            faults,
            broken,
            kinds: FAMILIES.iter().map(|entry| of_kind(entry.id).unwrap_or_else(|| Scenario::fresh(entry))).collect(),
            // one that pulls cleanly as long as it is sound
            kind: 1,
            number: 1,
            opened: Vec::new(),
            shown: None,
            marked: Vec::new(),
            has_run: false,
            told: false,
            deeds: Vec::new(),
            runner: None,
            revision: 1,
            asked: 0,
            answered: 0,
            ran: None,
        }
    }
}

impl View {
    /// The carburettor as it was made.
    fn scenario(&self) -> &Scenario {
        &self.kinds[self.kind.min(self.kinds.len() - 1)]
    }

    /// What was planted.
    pub fn planted(&self) -> Vec<&Fault> {
        self.faults.at_a_market(self.scenario(), self.number)
    }

    /// What can be opened.
    pub fn walk(&self) -> Vec<&Opened> {
        self.faults.opened(self.scenario())
    }

    /// What the reader believes to be faulty.
    pub fn marked(&self) -> &[Part] {
        &self.marked
    }

    /// The part that is looked at.
    pub fn shown(&self) -> Option<Part> {
        self.shown
    }

    fn fault_of(&self, part: Part) -> Option<&Fault> {
        self.planted().into_iter().find(|fault| fault.part == part)
    }

    /// Keys of time and of the benches mean nothing here, and must not move what is not shown; every other action comes
    /// back.
    pub fn take(&mut self, action: Action) -> Option<Action> {
        match action {
            Action::TogglePlay
            | Action::Speed(_)
            | Action::Seek(_)
            | Action::Step(_)
            | Action::ToEvent { .. }
            | Action::Undo
            | Action::Redo
            | Action::AddBench => None,
            other => Some(other),
        }
    }

    fn apply(&mut self, deed: Deed) {
        match deed {
            Deed::Kind(kind) if kind != self.kind => {
                self.kind = kind.min(self.kinds.len() - 1);
                self.lay_down();
            }
            Deed::Kind(_) => {}
            Deed::Number(number) if number != self.number => {
                self.number = number;
                self.lay_down();
            }
            Deed::Number(_) => {}
            Deed::Look(part) => {
                self.shown = part;
                self.opened.extend(part.filter(|part| !self.opened.contains(part)));
            }
            Deed::Mark(part, faulty) => {
                self.marked.retain(|other| *other != part);
                self.marked.extend(faulty.then_some(part));
            }
            Deed::Run => self.has_run = true,
            Deed::Tell => self.told = true,
        }
    }

    /// Another carburettor on the table.
    fn lay_down(&mut self) {
        self.opened.clear();
        self.marked.clear();
        (self.shown, self.has_run, self.told, self.ran) = (None, false, false, None);
        self.revision += 1;
    }

    /// Apply what was done, and let runs come in.
    pub fn advance(&mut self, ctx: &Context) {
        for deed in std::mem::take(&mut self.deeds) {
            self.apply(deed);
        }
        while let Some(reply) = self.runner.as_ref().and_then(Latest::reply) {
            self.receive(reply);
        }
        if self.asked < self.revision {
            let asked =
                Asked { scenario: self.scenario().clone(), planted: self.planted().into_iter().cloned().collect() };
            let runner = self.runner.get_or_insert_with(|| {
                let wake = ctx.clone();
                Latest::new(move || wake.request_repaint(), behave)
            });
            runner.ask(0, self.revision, asked);
            self.asked = self.revision;
        }
    }

    fn receive(&mut self, reply: crate::app::latest::Reply<Ran>) {
        self.answered = reply.revision;
        if reply.revision == self.revision {
            self.ran = Some(reply.answer);
        }
    }

    /// Wait for the runs that were asked for; `true` if they came.
    pub fn wait_for_runs(&mut self, limit: Duration) -> bool {
        while self.answered < self.asked {
            match self.runner.as_ref().and_then(|runner| runner.wait(limit)) {
                Some(reply) => self.receive(reply),
                None => return false,
            }
        }
        true
    }

    /// The screen.
    pub fn show(&mut self, ui: &mut Ui, preferences: &Preferences) {
        let mut deeds = Vec::new();
        table::show(ui, self, preferences, &mut deeds);
        if !deeds.is_empty() {
            ui.ctx().request_repaint();
        }
        self.deeds.extend(deeds);
    }
}

fn behave(asked: &Asked) -> Result<Ran, String> {
    let told = |used: Used| used.behaviour().map_err(|error| error.to_string());
    let scenario = &asked.scenario;
    let all: Vec<&Fault> = asked.planted.iter().collect();
    let still = run(scenario).map_err(|error| error.to_string())?.trace.at(0.0);
    let alone: Result<Vec<_>, _> = all.iter().map(|fault| told(Used::with(scenario, &[fault]))).collect();
    Ok(Ran { still, both: [told(Used::sound(scenario))?, told(Used::with(scenario, &all))?], alone: alone? })
}
