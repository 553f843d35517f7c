//! Vacuum diaphragm: a capsule behind the secondary bowl whose rod turns the secondary shaft, and the passage that
//! brings it the primary venturi's depression.

use super::layout::Layout;
use super::shapes::{Capsule, Column, Sheet, direction};
use super::{Drawing, Fittings, Role, family_value, own_value};
use crate::bench::scenario::Scenario;
use crate::bench::trace::Sample;
use glam::dvec2;
use std::f64::consts::FRAC_PI_2;

/// See the file's heading.
pub const DRAWING: Drawing = Drawing { fittings: |_| Fittings::default(), obstacle: |_, _, _| None, parts };

fn parts(sheet: &mut Sheet, scenario: &Scenario, sample: &Sample, layout: &Layout) {
    let side = &layout.secondary;
    let stroke = family_value(scenario, "stroke");
    let travel = own_value(scenario, sample, "diaphragm_travel");
    let plate = side.barrels.plate();
    let sweep = plate.sweep_rad();
    // the lever's chord is the rod's stroke
    let arm = stroke / (2.0 * (sweep / 2.0).sin());
    let shaft = dvec2(side.axis, 0.0);
    let turn = sample.secondary_plate_rad - side.barrels.closed_rad;
    let pin = shaft + direction(FRAC_PI_2 + sweep / 2.0 - turn) * arm;
    let area = family_value(scenario, "area");
    let out = dvec2(side.axis + side.outside + 14e-3, arm);
    let capsule = Capsule::of_area(out, area, stroke, travel);
    capsule.draw(sheet, own_value(scenario, sample, "chamber_depression"));
    sheet.stroke(Role::Part, vec![capsule.middle(), pin], 2.0e-3);
    sheet.stroke(Role::Part, vec![shaft, pin], 2.8e-3);
    sheet.disc(Role::Part, pin, 1.3e-3);
    let foot = (out.y + 0.22 * capsule.diameter).max(side.floor);
    sheet.rectangle(Role::CutMetal, dvec2(side.axis + side.outside, foot), dvec2(out.x - 5e-3, foot + 3e-3));
    passage(sheet, scenario, layout, &capsule);
    let (middle, back) = (capsule.middle(), capsule.back());
    sheet.name("Diaphragm", middle + dvec2(0.0, 0.28 * capsule.diameter), 0, Column::Right);
    sheet.name("Diaphragm spring", middle.lerp(back, 0.6) + dvec2(0.0, -0.2 * capsule.diameter), 0, Column::Right);
    sheet.name("Diaphragm rod", middle.lerp(pin, 0.3), 1, Column::Right);
}

/// From the primary throat down between the barrels, behind the secondary bore, and up to the chamber.
fn passage(sheet: &mut Sheet, scenario: &Scenario, layout: &Layout, capsule: &Capsule) {
    let (front, rear) = (&layout.primary, &layout.secondary);
    let throat = front.barrels.venturi_m / 2.0;
    let bore = rear.barrels.bore_m / 2.0;
    let metal = (front.axis + front.barrels.bore_m / 2.0 + rear.axis - bore) / 2.0;
    let y = layout.base + 3.5e-3;
    let x = capsule.back().x - 3e-3;
    let port = dvec2(front.axis + throat, front.throat_y);
    let width = 1.6e-3;
    sheet.tube(Role::Vacuum, vec![port, dvec2(metal, port.y), dvec2(metal, y), dvec2(rear.axis - bore, y)], width);
    sheet.hidden_tube(Role::Vacuum, dvec2(rear.axis - bore, y), dvec2(rear.axis + bore, y), width);
    let entry = dvec2(x, capsule.out.y - 0.42 * capsule.diameter);
    sheet.tube(Role::Vacuum, vec![dvec2(rear.axis + bore, y), dvec2(x, y), entry], width);
    // the restriction narrows the passage to its own bore
    let restriction = family_value(scenario, "restriction");
    for edge in [-1.0, 1.0] {
        let inner = edge * restriction / 2.0;
        let outer = edge * (restriction / 2.0).max(width / 2.0 + 1.2e-3);
        let at = dvec2(x - 8e-3, y);
        sheet.rectangle(Role::Part, at + dvec2(-1.5e-3, inner), at + dvec2(1.5e-3, outer));
    }
    sheet.name("Restriction", dvec2(x - 7e-3, y - 1.2e-3), 1, Column::Right);
    sheet.name("Vacuum passage", dvec2(x - 18e-3, y), 1, Column::Right);
}
