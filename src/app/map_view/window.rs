//! What the window does for the map: going to a point, writing files, waiting.

use super::super::actions::Purpose;
use super::super::{App, files, state};
use crate::bench::scenario::Place;
use std::path::Path;
use std::time::Duration;

impl App {
    /// Write the map to a path that was asked for with this purpose.
    pub(in crate::app) fn export_map(&mut self, purpose: Purpose, path: &Path) {
        let text = self.map.export(purpose, self.preferences.units);
        match text.and_then(|text| files::write_text(path, &text)) {
            Ok(()) => self.say(format!("The map was written to {}.", path.display())),
            Err(error) => self.fail(error),
        }
    }

    /// Go to a point of the map: both settings in one step, and say so.
    pub(in crate::app) fn set_both(&mut self, values: [(Place, f64); 2]) {
        let units = self.preferences.units;
        let bench = self.state.bench();
        let mut changed = bench.scenario.clone();
        if let Err(refused) = values.iter().try_for_each(|(place, value)| changed.set(*place, *value)) {
            self.fail(refused.to_string());
            return;
        }
        let told = values.iter().map(|(place, value)| {
            let label = changed.setting(*place).map_or("–", |setting| setting.label);
            format!("{label} {}", state::shown(&changed, *place, *value, units))
        });
        let told = told.collect::<Vec<_>>().join(", ");
        let path = bench.path.clone();
        self.state.load(changed, path);
        self.say(format!("Bench {}: {told}. Undo takes both back.", self.state.selected + 1));
    }

    /// Wait until the map that was asked for last has been run; `false` if `limit` passes first or there is none.
    pub fn wait_for_map(&self, limit: Duration) -> bool {
        self.map.wait(limit)
    }

    /// How many points of the map have been run, how many it has, and whether it was given up; `None` without a map.
    pub fn map_progress(&self) -> Option<(usize, usize, bool)> {
        self.map.progress()
    }
}
