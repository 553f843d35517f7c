//! Damped spring door with fixed jets: blade, wound spring and brake; bare nozzles under the door.

use super::layout::Layout;
use super::shapes::Sheet;
use super::{Drawing, Fittings, door};
use crate::bench::scenario::Scenario;
use crate::bench::trace::Sample;

/// See the file's heading.
pub const DRAWING: Drawing = Drawing { fittings, obstacle: door::obstacle, parts };

fn fittings(scenario: &Scenario) -> Fittings {
    Fittings { nozzles_under_door: true, ..door::door_fittings(scenario) }
}

fn parts(sheet: &mut Sheet, scenario: &Scenario, sample: &Sample, layout: &Layout) {
    door::draw(sheet, scenario, sample, layout, "Air door");
    door::brake(sheet, scenario, sample, layout);
    door::spring(sheet, scenario, sample, layout);
}
