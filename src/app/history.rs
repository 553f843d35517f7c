//! Undo and redo: the settings of all benches before each change.

use super::state::{Bench, State};
use super::worker::BenchId;
use crate::bench::scenario::{Place, Scenario};
use crate::settings::grouped::Grouped;
use std::path::PathBuf;

const LONGEST_HISTORY: usize = 200;

/// What can be undone: every bench's settings and where it is kept.
#[derive(Debug, Clone)]
pub(super) struct Snapshot {
    benches: Vec<(BenchId, Scenario, Option<PathBuf>)>,
    selected: usize,
}

impl State {
    fn snapshot(&self) -> Snapshot {
        Snapshot {
            benches: self.benches.iter().map(|b| (b.id, b.scenario.clone(), b.path.clone())).collect(),
            selected: self.selected,
        }
    }

    /// Remember the present for undo; a run of changes of one field is one step.
    pub(super) fn remember(&mut self, edit: Option<(BenchId, Place)>) {
        if edit.is_none() || self.last_edit != edit {
            self.undo.push(self.snapshot());
            if self.undo.len() > LONGEST_HISTORY {
                self.undo.remove(0);
            }
        }
        self.redo.clear();
        self.last_edit = edit;
    }

    /// The next change of a field starts a step of its own.
    pub fn end_of_gesture(&mut self) {
        self.last_edit = None;
    }

    /// Whether there is something to undo, and to redo.
    pub fn history(&self) -> (bool, bool) {
        (!self.undo.is_empty(), !self.redo.is_empty())
    }

    /// Take back the last change.
    pub fn undo(&mut self) {
        if let Some(snapshot) = self.undo.pop() {
            self.redo.push(self.snapshot());
            self.restore(snapshot);
        }
    }

    /// Make the change again.
    pub fn redo(&mut self) {
        if let Some(snapshot) = self.redo.pop() {
            self.undo.push(self.snapshot());
            self.restore(snapshot);
        }
    }

    fn restore(&mut self, snapshot: Snapshot) {
        let before = std::mem::take(&mut self.benches);
        for (id, scenario, path) in snapshot.benches {
            let known = before.iter().find(|bench| bench.id == id).cloned();
            let same = known.as_ref().is_some_and(|bench| same_settings(&bench.scenario, &scenario));
            let mut bench = known.unwrap_or_else(|| Bench::new(id, scenario.clone(), None));
            bench.scenario = scenario;
            bench.path = path;
            self.benches.push(bench);
            if !same {
                self.touch(self.benches.len() - 1);
            }
        }
        self.selected = snapshot.selected.min(self.benches.len() - 1);
        self.refusal = None;
        self.last_edit = None;
    }
}

fn same_settings(a: &Scenario, b: &Scenario) -> bool {
    a.entry().id == b.entry().id && a.places().into_iter().all(|place| a.value(place) == b.value(place))
}
