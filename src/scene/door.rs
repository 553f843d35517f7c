//! Doors and valves: the blade at its angle, and what weighs on it, winds it or holds it.

use super::air::{Obstacle, blade_obstacle};
use super::body::parting;
use super::layout::{BladeSize, Layout};
use super::shapes::{Capsule, Column, Sheet, blade, direction, spiral};
use super::{Fittings, Role, Tint, family_value, own_value};
use crate::bench::scenario::Scenario;
use crate::bench::trace::Sample;
use glam::{DVec2, dvec2};
use std::f64::consts::{FRAC_PI_2, PI};

/// Density of the weights' metal, kg/m³: brass.
const BRASS: f64 = 8500.0;

/// A door above the venturis.
pub fn door_fittings(scenario: &Scenario) -> Fittings {
    Fittings { blade: Some(size(scenario)), door_above: true, nozzles_under_door: false }
}

/// A valve below the venturis.
pub fn valve_fittings(scenario: &Scenario) -> Fittings {
    Fittings { blade: Some(size(scenario)), door_above: false, nozzles_under_door: false }
}

fn size(scenario: &Scenario) -> BladeSize {
    BladeSize {
        length: family_value(scenario, "length"),
        thickness: family_value(scenario, "thickness"),
        offset: family_value(scenario, "offset"),
        open: family_value(scenario, "open"),
    }
}

/// The door as an obstacle to the air.
pub fn obstacle(scenario: &Scenario, sample: &Sample, layout: &Layout) -> Option<Obstacle> {
    let value = |key| family_value(scenario, key);
    blade_obstacle(layout, angle(scenario, sample), value("width"), value("leak"), value("coefficient"))
}

fn angle(scenario: &Scenario, sample: &Sample) -> f64 {
    own_value(scenario, sample, "door_angle")
}

/// Direction from the shaft to the end that swings down: forward when shut.
pub fn along(angle_rad: f64) -> DVec2 {
    -direction(angle_rad)
}

/// The blade at its angle, with the pressure under it.
pub fn draw(sheet: &mut Sheet, scenario: &Scenario, sample: &Sample, layout: &Layout, name: &str) {
    let Some((shaft, size)) = layout.blade else { return };
    let along = along(angle(scenario, sample));
    sheet.area(Role::Part, blade(shaft, along, size.ahead(), size.behind(), size.thickness));
    sheet.disc(Role::Part, shaft, (0.7 * size.thickness).max(2.2e-3));
    let depression_pa = own_value(scenario, sample, "door_drop");
    let ends = [shaft + along * size.ahead(), shaft - along * size.behind()];
    sheet.scene.tints.push(Tint { outline: under(layout, sample.secondary_plate_rad, ends), depression_pa });
    sheet.name(name, shaft + along * size.ahead() * 0.75, 0, Column::Right);
}

/// Outline of the space under a blade, down to the deck or to the plate.
fn under(layout: &Layout, plate_rad: f64, [low_end, high_end]: [DVec2; 2]) -> Vec<DVec2> {
    let side = &layout.secondary;
    let half = layout.blade.map_or(side.bay, |blade| blade.1.length / 2.0);
    let corner = |x: f64, y: f64| dvec2(side.axis + x, y);
    let mut outline = vec![corner(half, high_end.y), high_end, low_end, corner(-half, low_end.y)];
    if layout.door_above {
        let foot = side.inlet.min(half);
        let rim = layout.deck + 4e-3;
        outline.extend([corner(-half, rim.min(low_end.y)), corner(-foot, layout.deck)]);
        outline.extend([corner(foot, layout.deck), corner(half, rim)]);
    } else {
        let (bore, rim) = (side.barrels.bore_m / 2.0, side.plate_half() + 3e-3);
        outline.extend([corner(-half, rim), corner(-bore, rim)]);
        outline.extend(parting(side, plate_rad));
        outline.extend([corner(bore, rim), corner(half, rim)]);
    }
    outline
}

/// The weights on their arm: rearward and level when the door stands at the angle of greatest moment.
pub fn weight(sheet: &mut Sheet, scenario: &Scenario, sample: &Sample, layout: &Layout) {
    let Some((shaft, _)) = layout.blade else { return };
    let (mass, arm) = (family_value(scenario, "mass"), family_value(scenario, "arm"));
    let centre = shaft + direction(angle(scenario, sample) - family_value(scenario, "ahead")) * arm;
    // round weights that together are half as long as the door is wide
    let length = 0.5 * family_value(scenario, "width");
    let radius = (mass / (BRASS * PI * length)).sqrt();
    sheet.stroke(Role::Part, vec![shaft, centre], 2.4e-3);
    if mass > 0.0 {
        sheet.disc(Role::Weight, centre, radius.max(1e-3));
        sheet.disc(Role::Part, centre, 0.25 * radius);
        sheet.name("Weight", centre + dvec2(0.5 * radius, 0.5 * radius), 0, Column::Right);
    }
    sheet.disc(Role::Part, shaft, 2.2e-3);
}

/// The wound spring round the door's shaft.
pub fn spring(sheet: &mut Sheet, scenario: &Scenario, sample: &Sample, layout: &Layout) {
    let Some((shaft, size)) = layout.blade else { return };
    let turn = angle(scenario, sample);
    let inner = (0.7 * size.thickness).max(2.2e-3) + 0.6e-3;
    let outer = inner + 6.5e-3;
    // opening turns the shaft against the coils; the outer end stays on its pin
    let anchor = FRAC_PI_2 * 0.5;
    let wound = family_value(scenario, "wind_up") + turn;
    let coils = spiral(shaft, (inner, outer), anchor + 2.0 * std::f64::consts::TAU + wound, wound);
    let pin = coils[0];
    sheet.stroke(Role::Spring, coils, 0.5e-3);
    sheet.disc(Role::Part, pin, 1.1e-3);
    sheet.disc(Role::Part, shaft, inner - 0.6e-3);
    sheet.name("Door spring", shaft + direction(0.6) * (outer - 1e-3), 0, Column::Right);
}

/// The brake: a capsule whose rod pulls the door's lever until it lets go; the slot in the rod lets the door run ahead.
pub fn brake(sheet: &mut Sheet, scenario: &Scenario, sample: &Sample, layout: &Layout) {
    let Some((shaft, _)) = layout.blade else { return };
    let value = |key| family_value(scenario, key);
    let (arm, stroke) = (value("brake_arm"), value("brake_travel"));
    let travel = own_value(scenario, sample, "brake_travel").clamp(0.0, stroke);
    // upright half way through the taut travel
    let middle = 0.5 * (stroke / arm).min(PI * 0.8);
    let pin_at = |door: f64| shaft + direction(FRAC_PI_2 - middle + door) * arm;
    let pin = pin_at(angle(scenario, sample));
    let taut = pin_at(0.0);
    let side = &layout.secondary;
    let shell = (value("brake_area") / PI).sqrt() + 2.5e-3;
    let out =
        dvec2((side.axis + side.outside).max(taut.x + 20e-3) - 12e-3, (shaft.y + arm).max(side.lid + shell + 6e-3));
    let capsule = Capsule::of_area(out, value("brake_area"), stroke, travel);
    let depression_pa = scenario.ambient.air().pressure_pa - own_value(scenario, sample, "brake_pressure");
    let post = out.x + stroke / 2.0;
    let top = out.y - capsule.shell() - 1e-3;
    sheet.rectangle(Role::CutMetal, dvec2(post - 1.7e-3, side.lid), dvec2(post + 1.7e-3, top));
    capsule.draw(sheet, depression_pa);
    let end = dvec2(taut.x - (stroke - travel), out.y);
    rod(sheet, capsule.middle(), end, (stroke + 4e-3).max(pin.x - end.x + 1.6e-3));
    sheet.stroke(Role::Part, vec![shaft, pin, dvec2(pin.x, out.y)], 2.2e-3);
    sheet.disc(Role::Part, dvec2(pin.x, out.y), 1.1e-3);
    brake_hose(sheet, layout, &capsule);
    sheet.name("Brake", capsule.back() + dvec2(0.5e-3, 0.3 * capsule.diameter), 0, Column::Right);
    sheet.name("Brake diaphragm", capsule.middle() - dvec2(0.0, 0.28 * capsule.diameter), 2, Column::Right);
}

/// A rod from a diaphragm forward to `end`, with a slot of a length at that end.
fn rod(sheet: &mut Sheet, from: DVec2, end: DVec2, slot: f64) {
    let half = dvec2(0.0, 1.7e-3);
    let left = end - dvec2(1.4e-3, 0.0);
    let right = end + dvec2(slot, 0.0);
    sheet.stroke(Role::Part, vec![from, right], 1.6e-3);
    sheet.stroke(Role::Part, vec![left + half, right + half, right - half, left - half, left + half], 0.8e-3);
}

/// Hose from the capsule down the outside to the plenum.
fn brake_hose(sheet: &mut Sheet, layout: &Layout, capsule: &Capsule) {
    let side = &layout.secondary;
    let x = (side.axis + side.outside).max(capsule.back().x) + 9e-3;
    let wall = side.axis + side.barrels.bore_m / 2.0 + 9.5e-3;
    let y = layout.base - 6e-3;
    let back = capsule.back() + dvec2(1.4e-3, 0.0);
    sheet.tube(Role::Vacuum, vec![back, dvec2(x, back.y), dvec2(x, y), dvec2(wall, y)], 1.6e-3);
    sheet.name("Brake hose", dvec2(x, side.floor), 1, Column::Right);
}
