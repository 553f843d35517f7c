//! What the window does for the map: going to a point, writing files, waiting.

use super::super::actions::Purpose;
use super::super::{App, files};
use crate::bench::scenario::Place;
use crate::settings::grouped::Grouped;
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

    /// Go to a point of the map: both settings in one step. The map itself says so.
    pub(in crate::app) fn set_both(&mut self, values: [(Place, f64); 2]) {
        let bench = self.state.bench();
        let mut changed = bench.scenario.clone();
        match values.iter().try_for_each(|(place, value)| changed.set(*place, *value)) {
            Ok(()) => {
                let path = bench.path.clone();
                self.state.load(changed, path);
            }
            Err(refused) => self.fail(refused.to_string()),
        }
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
