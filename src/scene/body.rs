//! Castings that every family has: barrels, bowls, base, air horn, plenum, boosters, plates and their link.

use super::layout::{BASE, FLOOR, Layout, Side, WALL};
use super::shapes::{Column, Sheet, blade, direction};
use super::{Role, Tint};
use crate::bench::scenario::Scenario;
use crate::bench::trace::Sample;
use glam::{DVec2, dvec2};
use std::f64::consts::PI;

/// Thickness of the air horn's wall, m.
const HORN: f64 = 3.5e-3;
/// How far the base reaches beyond a bore, m.
const FLANGE: f64 = 14e-3;

/// Draw what does not move, and the pressure in the plenum.
pub fn castings(sheet: &mut Sheet, scenario: &Scenario, sample: &Sample, layout: &Layout) {
    plenum(sheet, scenario, sample, layout);
    for side in layout.sides() {
        lower(sheet, layout, side);
        upper(sheet, layout, side);
        nozzle(sheet, side);
    }
    between(sheet, layout);
}

fn plenum(sheet: &mut Sheet, scenario: &Scenario, sample: &Sample, layout: &Layout) {
    let depression_pa = scenario.ambient.air().pressure_pa - sample.plenum_pa;
    let (front, rear) = (&layout.primary, &layout.secondary);
    let left = front.axis - front.barrels.bore_m / 2.0 - FLANGE;
    let right = rear.axis + rear.barrels.bore_m / 2.0 + FLANGE;
    let (top, bottom) = (layout.base, layout.plenum);
    let inner = [left + WALL, right - WALL];
    let outline = vec![dvec2(inner[0], top), dvec2(inner[0], bottom), dvec2(inner[1], bottom), dvec2(inner[1], top)];
    sheet.scene.tints.push(Tint { outline, depression_pa });
    // up to its plate a barrel is plenum too
    for (side, angle) in [(front, sample.primary_plate_rad), (rear, sample.secondary_plate_rad)] {
        let radius = side.barrels.bore_m / 2.0;
        let mut outline = vec![dvec2(side.axis - radius, top)];
        outline.extend(parting(side, angle));
        outline.push(dvec2(side.axis + radius, top));
        sheet.scene.tints.push(Tint { outline, depression_pa });
    }
    sheet.area(
        Role::CutMetal,
        vec![
            dvec2(left, top),
            dvec2(inner[0], top),
            dvec2(inner[0], bottom),
            dvec2(inner[1], bottom),
            dvec2(inner[1], top),
            dvec2(right, top),
            dvec2(right, bottom - WALL),
            dvec2(left, bottom - WALL),
        ],
    );
    sheet.name("Plenum", dvec2(inner[0] + 4e-3, (top + bottom) / 2.0), 1, Column::Left);
}

/// Line across a barrel at which its plate parts two pressures, from the front; the further the plate opens, the less
/// of it does.
pub fn parting(side: &Side, plate_rad: f64) -> [DVec2; 4] {
    let share = (plate_rad.cos() / side.barrels.closed_rad.cos()).clamp(0.0, 1.0);
    let (radius, edge) = (side.barrels.bore_m / 2.0, rising_edge(plate_rad) * side.plate_half() * share);
    let at = |x: f64, y: f64| dvec2(side.axis + x, y);
    [at(-radius, edge.y), at(edge.x, edge.y), at(-edge.x, -edge.y), at(radius, -edge.y)]
}

/// u where the passage from the jets ends.
pub fn passage_end(side: &Side) -> f64 {
    side.enrichment_u.unwrap_or(side.jet_u) + side.barrels.main_jet_m / 2.0 + 3.5e-3
}

/// Everything below the nozzle's passage, from the barrel to the outside of the bowl.
fn lower(sheet: &mut Sheet, layout: &Layout, side: &Side) {
    let bore = side.barrels.bore_m / 2.0;
    let low = side.floor - FLOOR - side.passage;
    let end = passage_end(side);
    let mut corners: Vec<_> = side.wall(layout.base, side.nozzle_y).into_iter().map(|(y, u)| (u, y)).collect();
    let well = side.well.0;
    corners.extend([(well, side.nozzle_y), (well, low), (end, low), (end, side.floor), (side.bowl.1, side.floor)]);
    let mut foot = side.floor - WALL;
    let mut inside = side.bowl.1;
    let mut step = side.bowl.1 - 1e-3;
    if let Some(pump) = &side.pump {
        let (near, far) = pump.cylinder;
        let rim = pump.top;
        corners.extend([(side.bowl.1, rim), (near, rim), (near, pump.bottom), (far, pump.bottom)]);
        foot = pump.bottom - WALL;
        step = if foot > side.floor { side.bowl.1 + WALL } else { step };
        inside = far;
    }
    corners.extend([(inside, side.ceiling), (side.outside, side.ceiling), (side.outside, foot)]);
    let (under, flank) = (low - 4e-3, side.well.0.max(bore + 6e-3));
    let wide = (end + 3e-3).min(side.bowl.1 - 1e-3).max(flank + 1e-3);
    corners.extend([(step, foot), (step, side.floor - WALL), (wide, side.floor - WALL), (wide, under), (flank, under)]);
    // below the bowl the outside follows the barrel
    let skin = side.wall(layout.base + BASE, under).into_iter().rev();
    corners.extend(skin.map(|(y, r)| ((r + 7e-3).min(flank), y)));
    corners.extend([(bore + FLANGE, layout.base + BASE), (bore + FLANGE, layout.base)]);
    fill(sheet, side, corners);
}

fn fill(sheet: &mut Sheet, side: &Side, corners: Vec<(f64, f64)>) {
    sheet.area(Role::CutMetal, corners.into_iter().map(|(u, y)| side.at(u, y)).collect());
}

/// Inner face of the air horn from the deck up: (y, half width).
pub fn horn(layout: &Layout, side: &Side) -> Vec<(f64, f64)> {
    let door = layout.door_bay().filter(|_| side.outward > 0.0);
    let top = layout.horn;
    match door {
        Some(door) => vec![(layout.deck, side.bay), (layout.deck + 3e-3, door), (top, door)],
        None => vec![
            (layout.deck, side.bay),
            (top - 5e-3, side.bay),
            (top - 3e-3, side.bay + 0.4e-3),
            (top - 1.2e-3, side.bay + 1.4e-3),
            (top, side.bay + 3e-3),
        ],
    }
}

/// Everything above the nozzle's passage: inlet, horn, lid, the wall between well and bowl, the bowl's floor.
fn upper(sheet: &mut Sheet, layout: &Layout, side: &Side) {
    let slit = side.nozzle_y + side.slit;
    let mut corners: Vec<_> = side.wall(slit, layout.deck).into_iter().map(|(y, u)| (u, y)).collect();
    let face = horn(layout, side);
    corners.extend(face.iter().map(|&(y, u)| (u, y)));
    let outer = face[1].1.max(side.bay) + HORN;
    corners.extend([(outer.max(face[face.len() - 1].1 + 0.8e-3), layout.horn), (outer, layout.horn - 5e-3)]);
    corners.extend([(outer, side.lid), (side.outside, side.lid), (side.outside, side.ceiling)]);
    let (well, bowl) = (side.well, side.bowl.0);
    let under = side.floor - FLOOR;
    let jet = side.jet_u - jet_plug(side);
    corners.extend([(bowl, side.ceiling), (bowl, side.floor), (jet, side.floor), (jet, under), (well.1, under)]);
    corners.extend([(well.1, side.well_top), (well.0, side.well_top), (well.0, slit)]);
    fill(sheet, side, corners);
    if let Some(valve) = side.enrichment_u {
        let hole = 0.5 * side.barrels.main_jet_m.max(2e-3);
        let (from, to) = (side.jet_u + jet_plug(side), valve - hole);
        sheet.rectangle(Role::CutMetal, side.at(from, under), side.at(to, side.floor));
        sheet.rectangle(Role::CutMetal, side.at(valve + hole, under), side.at(passage_end(side), side.floor));
    } else {
        let from = side.jet_u + jet_plug(side);
        sheet.rectangle(Role::CutMetal, side.at(from, under), side.at(passage_end(side), side.floor));
    }
}

/// Half width of the jet with the plug that it is bored in.
pub fn jet_plug(side: &Side) -> f64 {
    side.barrels.main_jet_m / 2.0 + 1.6e-3
}

/// The booster in the venturi with the arm that holds it, or the bare nozzle under a door.
fn nozzle(sheet: &mut Sheet, side: &Side) {
    let throat = side.barrels.venturi_m / 2.0;
    let (low, high) = (side.nozzle_y, side.nozzle_y + side.slit);
    let arm = 0.07 * throat;
    let wall = side.radius(low).max(side.radius(high));
    if !side.booster {
        for (a, b) in [(low - arm, low), (high, high + arm)] {
            sheet.rectangle(Role::CutMetal, side.at(0.3 * throat, a), side.at(side.radius(a) + 1e-4, b));
        }
        return;
    }
    let y = |share: f64| side.throat_y + share * throat;
    let outline = |from: f64, to: f64| {
        let inner = [(0.37, -0.15), (0.33, 0.05), (0.30, 0.25), (0.30, 0.6), (0.36, 0.85)];
        let outer = [(0.40, 0.88), (0.45, 0.8), (0.46, 0.4), (0.40, -0.15)];
        let clamp = |(u, share): (f64, f64)| (u * throat, y(share).clamp(from, to));
        inner.into_iter().chain(outer).map(clamp).collect::<Vec<_>>()
    };
    let whole = outline(f64::MIN, f64::MAX).into_iter().map(|(u, y)| side.at(-u, y)).collect();
    sheet.area(Role::CutMetal, whole);
    fill(sheet, side, outline(f64::MIN, low));
    fill(sheet, side, outline(high, f64::MAX));
    for (a, b) in [(low - arm, low), (high, high + arm)] {
        sheet.rectangle(Role::CutMetal, side.at(0.44 * throat, a), side.at(wall, b));
    }
}

/// The metal between the two barrels, with the wall that parts a door's bay from the primary air.
fn between(sheet: &mut Sheet, layout: &Layout) {
    let (front, rear) = (&layout.primary, &layout.secondary);
    let mut corners: Vec<_> =
        front.wall(layout.base, layout.deck).into_iter().map(|(y, r)| dvec2(front.axis + r, y)).collect();
    if let Some(bay) = layout.door_bay() {
        let face = rear.axis - bay;
        let foot = face.min(rear.axis - rear.inlet);
        corners.extend([dvec2(foot - HORN, layout.deck), dvec2(face - HORN, layout.deck + 4e-3)]);
        corners.extend([dvec2(face - HORN, layout.horn), dvec2(face, layout.horn)]);
        corners.extend([dvec2(face, layout.deck + 3e-3), dvec2(foot, layout.deck)]);
    }
    corners.extend(rear.wall(layout.base, layout.deck).into_iter().rev().map(|(y, r)| dvec2(rear.axis - r, y)));
    sheet.area(Role::CutMetal, corners);
}

/// Direction from the shaft to the plate's edge that rises as it opens; the front edge.
pub fn rising_edge(plate_rad: f64) -> DVec2 {
    direction(PI - plate_rad)
}

/// Throttle plates at their angles with their shafts, and the rod between the shafts.
pub fn plates(sheet: &mut Sheet, scenario: &Scenario, sample: &Sample, layout: &Layout) {
    let angles = [sample.primary_plate_rad, sample.secondary_plate_rad];
    for (side, angle) in layout.sides().into_iter().zip(angles) {
        let shaft = dvec2(side.axis, 0.0);
        let half = side.plate_half();
        let thickness = (0.04 * side.barrels.bore_m).min(side.barrels.shaft_ratio * side.barrels.bore_m);
        sheet.area(Role::Part, blade(shaft, rising_edge(angle), half, half, thickness));
        sheet.disc(Role::Part, shaft, side.barrels.shaft_ratio * side.barrels.bore_m / 2.0);
    }
    link(sheet, scenario, angles, layout);
    let edge = |side: &Side, angle: f64| dvec2(side.axis, 0.0) + rising_edge(angle) * side.plate_half() * 0.8;
    let (front, rear) = (&layout.primary, &layout.secondary);
    sheet.name("Primary plate", edge(front, angles[0]), 1, Column::Left);
    sheet.name("Secondary plate", dvec2(rear.axis, 0.0) * 2.0 - edge(rear, angles[1]), 0, Column::Right);
}

/// Lever ends on the two shafts. The secondary lever is shorter by the travel that the slot takes up, so that both are
/// wide open together.
struct Levers {
    lengths: [f64; 2],
    starts: [f64; 2],
    closed: [f64; 2],
    axes: [f64; 2],
}

impl Levers {
    fn new(scenario: &Scenario, layout: &Layout) -> Self {
        let sides = layout.sides();
        let sweep = sides.map(|side| side.barrels.wide_open_rad - side.barrels.closed_rad);
        let length = 0.3 * sides[0].barrels.bore_m.min(sides[1].barrels.bore_m);
        let follows = (sweep[0] - scenario.linkage.starts_rad.min(0.98 * sweep[0])) / sweep[1];
        Self {
            lengths: [length, length * follows.clamp(0.25, 1.2)],
            // both hang below their shafts half way
            starts: sweep.map(|sweep| -PI / 2.0 + sweep / 2.0),
            closed: sides.map(|side| side.barrels.closed_rad),
            axes: sides.map(|side| side.axis),
        }
    }

    fn pin(&self, side: usize, plate_rad: f64) -> DVec2 {
        let turn = plate_rad - self.closed[side];
        dvec2(self.axes[side], 0.0) + direction(self.starts[side] - turn) * self.lengths[side]
    }
}

fn link(sheet: &mut Sheet, scenario: &Scenario, angles: [f64; 2], layout: &Layout) {
    let levers = Levers::new(scenario, layout);
    let pins = [levers.pin(0, angles[0]), levers.pin(1, angles[1])];
    // the rod is as long as the pins come near each other, its slot as long as that distance varies
    let (mut near, mut far) = (pins[0].distance(pins[1]), pins[0].distance(pins[1]));
    let link = scenario.link();
    for step in 0..=8 {
        let travel = f64::from(step) / 8.0;
        let front = levers.pin(0, scenario.primary.plate().angle_from_stop(scenario.idle.curb_rad, travel));
        let follows = link.secondary(travel).0;
        for rear in [0.0, follows] {
            let length = front.distance(levers.pin(1, scenario.secondary.plate().angle(rear)));
            (near, far) = (near.min(length), far.max(length));
        }
    }
    let along = (pins[0] - pins[1]).normalize_or(-DVec2::X);
    let (from, to) = (pins[1] + along * (near - 1.5e-3), pins[1] + along * (far + 1.5e-3));
    let half = along.perp() * 1.5e-3;
    for (pin, axis) in pins.into_iter().zip(levers.axes) {
        sheet.stroke(Role::Part, vec![dvec2(axis, 0.0), pin], 2.6e-3);
    }
    sheet.stroke(Role::Part, vec![pins[1], from], 1.4e-3);
    sheet.stroke(Role::Part, vec![from + half, to + half, to - half, from - half, from + half], 0.7e-3);
    for pin in pins {
        sheet.disc(Role::Part, pin, 1.2e-3);
    }
    sheet.name("Link rod", pins[1].lerp(pins[0], 0.4), 1, Column::Right);
}
