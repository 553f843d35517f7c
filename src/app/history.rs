//! Undo and redo: the settings of all benches before each change.

use super::state::{Bench, State};
use super::worker::BenchId;
use crate::bench::scenario::{Place, Scenario};
use crate::settings::grouped::Grouped;
use std::path::PathBuf;

const LONGEST_HISTORY: usize = 200;

/// What was before each change, and after those that were taken back.
#[derive(Debug)]
pub(super) struct History<T> {
    undo: Vec<T>,
    redo: Vec<T>,
    last_edit: Option<(BenchId, Place)>,
}

impl<T> Default for History<T> {
    fn default() -> Self {
        Self { undo: Vec::new(), redo: Vec::new(), last_edit: None }
    }
}

impl<T> History<T> {
    /// Remember the present for undo; a run of changes of one field is one step.
    pub fn remember(&mut self, edit: Option<(BenchId, Place)>, present: impl FnOnce() -> T) {
        if edit.is_none() || self.last_edit != edit {
            self.undo.push(present());
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
    pub fn has(&self) -> (bool, bool) {
        (!self.undo.is_empty(), !self.redo.is_empty())
    }

    /// What was before the last change, which is to be restored; `present` is kept for redo.
    pub fn undo(&mut self, present: impl FnOnce() -> T) -> Option<T> {
        let before = self.undo.pop()?;
        self.redo.push(present());
        self.last_edit = None;
        Some(before)
    }

    /// What was after the change that was taken back last.
    pub fn redo(&mut self, present: impl FnOnce() -> T) -> Option<T> {
        let after = self.redo.pop()?;
        self.undo.push(present());
        self.last_edit = None;
        Some(after)
    }
}

/// What can be undone: every bench's settings and where it is kept.
#[derive(Debug, Clone)]
pub(super) struct Snapshot {
    benches: Vec<(BenchId, Scenario, Option<PathBuf>)>,
    selected: usize,
}

impl Snapshot {
    fn of(benches: &[Bench], selected: usize) -> Self {
        Self { benches: benches.iter().map(|b| (b.id, b.scenario.clone(), b.path.clone())).collect(), selected }
    }
}

impl State {
    /// Remember the present for undo; a run of changes of one field is one step.
    pub(super) fn remember(&mut self, edit: Option<(BenchId, Place)>) {
        let (benches, selected) = (&self.benches, self.selected);
        self.history.remember(edit, || Snapshot::of(benches, selected));
    }

    /// The next change of a field starts a step of its own.
    pub fn end_of_gesture(&mut self) {
        self.history.end_of_gesture();
    }

    /// Whether there is something to undo, and to redo.
    pub fn history(&self) -> (bool, bool) {
        self.history.has()
    }

    /// Take back the last change.
    pub fn undo(&mut self) {
        let (benches, selected) = (&self.benches, self.selected);
        if let Some(snapshot) = self.history.undo(|| Snapshot::of(benches, selected)) {
            self.restore(snapshot);
        }
    }

    /// Make the change again.
    pub fn redo(&mut self) {
        let (benches, selected) = (&self.benches, self.selected);
        if let Some(snapshot) = self.history.redo(|| Snapshot::of(benches, selected)) {
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
    }
}

fn same_settings(a: &Scenario, b: &Scenario) -> bool {
    a.entry().id == b.entry().id && a.places().into_iter().all(|place| a.value(place) == b.value(place))
}
