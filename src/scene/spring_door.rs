//! Spring air door: blade and wound spring on one shaft.

use super::layout::Layout;
use super::shapes::Sheet;
use super::{Drawing, door};
use crate::bench::scenario::Scenario;
use crate::bench::trace::Sample;

/// See the file's heading.
pub const DRAWING: Drawing = Drawing { fittings: door::door_fittings, obstacle: door::obstacle, parts };

fn parts(sheet: &mut Sheet, scenario: &Scenario, sample: &Sample, layout: &Layout) {
    door::draw(sheet, scenario, sample, layout, "Air door");
    door::spring(sheet, scenario, sample, layout);
}
