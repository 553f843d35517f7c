//! Damped spring door with lifted rods: blade, wound spring and brake, and a rod that the door lifts out of the jet.

use super::layout::{FLOOR, Layout};
use super::shapes::{Column, Sheet};
use super::{Drawing, Role, door, family_value};
use crate::bench::scenario::Scenario;
use crate::bench::trace::Sample;

/// See the file's heading.
pub const DRAWING: Drawing = Drawing { fittings: door::door_fittings, obstacle: door::obstacle, parts };

/// Most lift of the rods, m; what they leave of the jets is the model's, how far they are lifted for that is not.
const LIFT: f64 = 4e-3;

fn parts(sheet: &mut Sheet, scenario: &Scenario, sample: &Sample, layout: &Layout) {
    rods(sheet, scenario, sample, layout);
    door::draw(sheet, scenario, sample, layout, "Air door");
    door::brake(sheet, scenario, sample, layout);
    door::spring(sheet, scenario, sample, layout);
}

/// A tapered rod whose thickness at the jet leaves the area that the model's three places give.
fn rods(sheet: &mut Sheet, scenario: &Scenario, sample: &Sample, layout: &Layout) {
    let side = &layout.secondary;
    let stroke = LIFT.min(FLOOR / 2.0 + side.passage);
    let lift = stroke * sample.device_opening.clamp(0.0, 1.0);
    // half thickness where the rod leaves a share of the jet's hole
    let thickness = |share: f64| 0.5 * side.barrels.main_jet_m * (1.0 - share).max(0.0).sqrt();
    let shares =
        ["rods_shut_share", "rods_half_share", "rods_open_share"].map(|key| thickness(family_value(scenario, key)));
    let jet = side.floor - FLOOR / 2.0;
    let shank = 0.5 * side.barrels.main_jet_m;
    // with the door open the lowest place stands in the jet, with the door shut the highest
    let profile = [
        (shares[2], jet - stroke + lift),
        (shares[1], jet - stroke / 2.0 + lift),
        (shares[0], jet + lift),
        (shank, jet + 3e-3 + lift),
        (shank, side.lid + 6e-3 + lift),
    ];
    let right = profile.iter().rev().map(|&(u, y)| side.at(side.jet_u - u, y));
    let outline = profile.iter().map(|&(u, y)| side.at(side.jet_u + u, y)).chain(right).collect();
    sheet.area(Role::Part, outline);
    let head = side.at(side.jet_u, side.lid + 6e-3 + lift);
    sheet.disc(Role::Part, head, 1.6e-3);
    if let Some((shaft, _)) = layout.blade {
        sheet.stroke(Role::Part, vec![head, shaft], 0.0);
    }
    sheet.name("Metering rod", side.at(side.jet_u, (side.level + side.lid) / 2.0 + lift), 0, Column::Right);
}
