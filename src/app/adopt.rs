//! Putting what was found elsewhere onto benches.

use super::state::{MOST_BENCHES, State};
use super::worker::BenchId;
use crate::bench::scenario::{Place, Scenario};
use crate::settings::grouped::Grouped;

impl State {
    /// Set these values of a bench in one step that can be undone; values that it refuses change nothing at all.
    pub fn adopt(&mut self, bench: BenchId, values: &[(Place, f64)]) {
        let Some(index) = self.benches.iter().position(|other| other.id == bench) else { return };
        let mut changed = self.benches[index].scenario.clone();
        if values.iter().any(|(place, value)| changed.set(*place, *value).is_err()) {
            return;
        }
        self.remember(None);
        self.benches[index].scenario = changed;
        self.selected = index;
        self.refusal = None;
        self.touch(index);
    }

    /// One more bench with this scenario, if there is room.
    pub fn add_scenario(&mut self, scenario: Scenario) {
        if self.benches.len() < MOST_BENCHES {
            self.remember(None);
            self.push(scenario, None);
            self.selected = self.benches.len() - 1;
        }
    }
}
