//! The idle circuit on the bench, magnified and to scale: the throttle plate's edge against the transfer slot, the screw's
//! hole with its needle, the passage with its feed and its air bleed.
//!
//! The origin lies on the bore's wall where the closed plate's edge touches it; x runs into the barrel, y up. What no
//! setting gives (how far the passage lies in the metal, and the well from it) is ours.

use super::body::rising_edge;
use super::shapes::{Column, Sheet, direction};
use super::{Role, Scene, Spray, Stream, Tint, labels};
use crate::bench::idling::{IdleTest, Idling};
use crate::carburettor::barrels::BARRELS;
use crate::physics::air::CRITICAL_RATIO;
use crate::units::{Quantity, UnitSystem};
use glam::{DVec2, dvec2};
use std::f64::consts::FRAC_PI_4;

/// Middle of the idle passage in the metal, m.
const PASSAGE_X: f64 = -7e-3;
/// Half of its bore, m.
const PASSAGE_HALF: f64 = 1.4e-3;
/// Middle of the well with the idle feed, m.
const WELL_X: f64 = -20e-3;
/// Half of the well, m.
const WELL_HALF: f64 = 4e-3;
/// From the slot's upper end up to the passage's crest, m.
const CREST: f64 = 9e-3;
/// From the slot's lower end down to the middle of the screw's hole, m.
const HOLE_BELOW: f64 = 3.5e-3;
/// How far the feed hangs under the fuel, m.
const DIP: f64 = 7e-3;

/// Where everything stands.
#[derive(Debug, Clone, Copy)]
pub struct IdleLayout {
    /// Lower and upper end of the slot.
    pub slot: (f64, f64),
    /// Height of the plate's edge.
    pub edge_y: f64,
    /// Gap between edge and wall.
    pub gap: f64,
    /// Middle of the plate's shaft.
    pub shaft: DVec2,
    /// Height of the screw's hole.
    pub hole_y: f64,
    /// Height of the passage's crest.
    pub crest: f64,
    /// Fuel in the well.
    pub level: f64,
    /// Lowest and highest of what is shown.
    pub ends: (f64, f64),
}

impl IdleLayout {
    /// From the settings and the plate's angle.
    pub fn new(test: &IdleTest, plate_rad: f64) -> Self {
        let (idle, barrels) = (&test.idle, &test.primary);
        let half = barrels.bore_m / 2.0 / barrels.closed_rad.cos();
        let slot = (-idle.slot_below_m, idle.slot_length_m - idle.slot_below_m);
        let crest = slot.1 + CREST;
        let hole_y = slot.0 - HOLE_BELOW - idle.screw_m / 2.0;
        let level = crest - idle.lift_m;
        Self {
            slot,
            edge_y: barrels.plate().edge_rise(plate_rad),
            gap: barrels.bore_m / 2.0 - half * plate_rad.cos(),
            shaft: dvec2(barrels.bore_m / 2.0, -half * barrels.closed_rad.sin()),
            hole_y,
            crest,
            level,
            ends: ((hole_y - 9e-3).min(level - DIP - 6e-3), crest + 7e-3),
        }
    }
}

/// The circuit with the plates as `at` says.
pub fn draw(test: &IdleTest, at: &Idling, units: UnitSystem) -> Scene {
    let layout = IdleLayout::new(test, at.plate_rad);
    let mut sheet = Sheet::default();
    tints(&mut sheet, test, at, &layout);
    metal(&mut sheet, test, &layout);
    passages(&mut sheet, test, at, &layout);
    plate(&mut sheet, test, at, &layout);
    air(&mut sheet, test, at, &layout);
    drops(&mut sheet, at, &layout);
    names(&mut sheet, test, at, &layout, units);
    labels::place(sheet)
}

fn tints(sheet: &mut Sheet, test: &IdleTest, at: &Idling, layout: &IdleLayout) {
    let (low, shaft) = (layout.ends.0, layout.shaft);
    let below =
        vec![dvec2(0.0, low), dvec2(0.0, layout.edge_y), dvec2(layout.gap, layout.edge_y), shaft, dvec2(shaft.x, low)];
    sheet.scene.tints.push(Tint { outline: below, depression_pa: at.vacuum_pa });
    let depression_pa = test.circuit().passage_pa(at.slot_share, at.vacuum_pa);
    let (a, b) = (PASSAGE_X - PASSAGE_HALF, PASSAGE_X + PASSAGE_HALF);
    let outline =
        vec![dvec2(a, layout.hole_y), dvec2(b, layout.hole_y), dvec2(b, layout.crest), dvec2(a, layout.crest)];
    sheet.scene.tints.push(Tint { outline, depression_pa });
}

/// The wall of the bore with slot and hole, and the metal round passage and well.
fn metal(sheet: &mut Sheet, test: &IdleTest, layout: &IdleLayout) {
    let (low, high) = layout.ends;
    let (near, far) = (PASSAGE_X + PASSAGE_HALF, PASSAGE_X - PASSAGE_HALF);
    let hole = test.idle.screw_m / 2.0;
    let channel = PASSAGE_HALF.max(hole);
    let (roof, floor) = (layout.crest + PASSAGE_HALF, layout.hole_y - channel);
    // between passage and bore, left open by slot and hole
    sheet.rectangle(Role::CutMetal, dvec2(near, layout.slot.1), dvec2(0.0, high));
    sheet.rectangle(Role::CutMetal, dvec2(near, layout.hole_y + hole), dvec2(0.0, layout.slot.0));
    sheet.rectangle(Role::CutMetal, dvec2(near, low), dvec2(0.0, layout.hole_y - hole));
    let bleed = test.idle.bleed_m / 2.0;
    let left = WELL_X - WELL_HALF;
    sheet.rectangle(Role::CutMetal, dvec2(left, roof), dvec2(PASSAGE_X - bleed, high));
    sheet.rectangle(Role::CutMetal, dvec2(PASSAGE_X + bleed, roof), dvec2(near.max(PASSAGE_X + bleed), high));
    // between well and passage under the crest; the screw comes in through it
    let wall = WELL_X + WELL_HALF;
    sheet.rectangle(Role::CutMetal, dvec2(wall, floor), dvec2(far, layout.crest - PASSAGE_HALF));
    sheet.rectangle(Role::CutMetal, dvec2(left, low), dvec2(near, floor.min(layout.level - DIP - 2e-3)));
}

fn passages(sheet: &mut Sheet, test: &IdleTest, at: &Idling, layout: &IdleLayout) {
    let fed = at.idle_kg_per_s > 0.0;
    let foot = layout.level - DIP;
    sheet.rectangle(Role::Fuel, dvec2(WELL_X - WELL_HALF, foot - 2e-3), dvec2(WELL_X + WELL_HALF, layout.level));
    // the tube dips into the well; at its foot the feed, to scale
    let (feed, tube) = (test.idle.feed_m / 2.0, 1.0e-3_f64.max(test.idle.feed_m / 2.0 + 0.3e-3));
    let top = if fed { layout.crest } else { layout.level };
    sheet.stroke(Role::Line, vec![dvec2(WELL_X, foot), dvec2(WELL_X, layout.crest)], 2.0 * tube + 0.6e-3);
    sheet.stroke(Role::Fuel, vec![dvec2(WELL_X, foot), dvec2(WELL_X, top)], 2.0 * tube);
    for edge in [-1.0, 1.0] {
        let (inner, outer) = (dvec2(WELL_X + edge * feed, foot), dvec2(WELL_X + edge * (tube + 0.3e-3), foot + 2e-3));
        sheet.rectangle(Role::Part, inner, outer);
    }
    if fed {
        let (crest, hole) = (layout.crest, layout.hole_y);
        // fuel runs down the near wall, the rest of the passage is the bleed's air
        let film = vec![dvec2(WELL_X, crest), dvec2(PASSAGE_X, crest), dvec2(PASSAGE_X, hole), dvec2(0.0, hole)];
        sheet.stroke(Role::Fuel, film, 0.8e-3);
        let end = layout.edge_y.clamp(layout.slot.0, layout.slot.1);
        let middle = (layout.slot.0 + end) / 2.0;
        if end > layout.slot.0 {
            sheet.stroke(Role::Fuel, vec![dvec2(PASSAGE_X, middle), dvec2(0.0, middle)], 0.6e-3);
        }
    }
    needle(sheet, test, layout);
    // the slot seen from the bore is as wide as its setting: drawn on the wall, uncovered and covered part
    let width = test.idle.slot_width_m;
    let edge = layout.edge_y.clamp(layout.slot.0, layout.slot.1);
    for (role, from, to) in [(Role::Accent, layout.slot.0, edge), (Role::Line, edge, layout.slot.1)] {
        if to > from {
            sheet.stroke(role, vec![dvec2(-width / 2.0, from), dvec2(-width / 2.0, to)], width);
        }
    }
}

/// Direction in which the mixture screw comes in from below.
fn screw_way() -> DVec2 {
    direction(-0.79 * std::f64::consts::PI)
}

/// The mixture screw: its point stands off the hole, the further the more it leaves open.
fn needle(sheet: &mut Sheet, test: &IdleTest, layout: &IdleLayout) {
    let (away, across) = (screw_way(), screw_way().perp());
    let point = dvec2(-1.2e-3, layout.hole_y) + away * test.idle.screw_m;
    let outline = [(0.0, 0.0), (4e-3, 0.9e-3), (9e-3, 1.6e-3), (26e-3, 1.6e-3)];
    let mirrored = outline.iter().rev().map(|&(way, half)| (way, -half));
    let corners = outline.iter().copied().chain(mirrored).map(|(way, half)| point + away * way + across * half);
    sheet.area(Role::Part, corners.collect());
}

/// The plate from its edge, ground to fit the bore when closed, to its shaft.
fn plate(sheet: &mut Sheet, test: &IdleTest, at: &Idling, layout: &IdleLayout) {
    let barrels = &test.primary;
    let (along, shaft) = (rising_edge(at.plate_rad), layout.shaft);
    let across = along.perp();
    let half = barrels.bore_m / 2.0 / barrels.closed_rad.cos();
    let thick = (0.04 * barrels.bore_m).min(barrels.shaft_ratio * barrels.bore_m) / 2.0;
    let corner = |side: f64| shaft + along * (half - side * thick * barrels.closed_rad.tan()) + across * (side * thick);
    let heel = |side: f64| shaft + across * (side * thick);
    sheet.area(Role::Part, vec![corner(1.0), corner(-1.0), heel(-1.0), heel(1.0)]);
    sheet.disc(Role::Part, shaft, barrels.shaft_ratio * barrels.bore_m / 2.0);
}

/// Greatest speed of air from rest to a pressure, m/s; it chokes at the speed of sound.
fn speed_to(test: &IdleTest, pressure_pa: f64) -> f64 {
    /// Heat capacity of air at constant pressure, J/(kg K).
    const CP: f64 = 1_004.5;
    let ambient = test.ambient.air();
    let ratio = (pressure_pa / ambient.pressure_pa).clamp(CRITICAL_RATIO, 1.0);
    (2.0 * CP * ambient.temperature_k * (1.0 - ratio.powf(2.0 / 7.0))).sqrt()
}

/// Air past the edge, and air down the bleed.
fn air(sheet: &mut Sheet, test: &IdleTest, at: &Idling, layout: &IdleLayout) {
    let density = test.ambient.air().density();
    let past = (at.air_kg_per_s - at.leak_kg_per_s) / BARRELS;
    let bore = test.primary.bore_m;
    let slow = past / (density * FRAC_PI_4 * bore * bore);
    let gap = layout.gap.max(0.05e-3);
    let (low, high) = layout.ends;
    let edge = layout.edge_y;
    if past > 0.0 {
        let quarter = bore / 4.0;
        let path = vec![
            (dvec2(quarter, high), quarter),
            (dvec2(0.7 * quarter, edge + 4e-3), 0.7 * quarter),
            (dvec2(gap / 2.0, edge), gap / 2.0),
            (dvec2(gap, edge - 3e-3), gap),
            (dvec2(3.0 * gap, low), 3.0 * gap),
        ];
        let fast = speed_to(test, at.plenum_pa);
        let speeds = vec![slow, slow / 0.7, fast, fast / 2.0, fast / 6.0];
        sheet.scene.streams.push(Stream { path, speeds, flow_kg_per_s: past / 2.0 });
    }
    let depression = test.circuit().passage_pa(at.slot_share, at.vacuum_pa);
    let hole = test.idle.bleed_m / 2.0;
    if depression > 0.0 {
        // Bernoulli, as the law of the bleed has it; 0.82 is its holes' coefficient
        let speed = (2.0 * depression / density).sqrt();
        let flow_kg_per_s = 0.82 * FRAC_PI_4 * test.idle.bleed_m.powi(2) * density * speed;
        let path = vec![
            (dvec2(PASSAGE_X, high + 3e-3), 2.0 * hole),
            (dvec2(PASSAGE_X, high), hole),
            (dvec2(PASSAGE_X, layout.crest + PASSAGE_HALF), hole),
            (dvec2(PASSAGE_X, layout.hole_y), PASSAGE_HALF),
        ];
        let within = speed * (hole / PASSAGE_HALF).powi(2);
        sheet.scene.streams.push(Stream { path, speeds: vec![speed / 4.0, speed, speed, within], flow_kg_per_s });
    }
}

fn drops(sheet: &mut Sheet, at: &Idling, layout: &IdleLayout) {
    let end = layout.edge_y.clamp(layout.slot.0, layout.slot.1);
    let slot = (layout.slot.0 + end) / 2.0;
    let reach = dvec2(5e-3, -4e-3);
    for (y, flow) in [(layout.hole_y, at.hole_kg_per_s), (slot, at.slot_kg_per_s)] {
        if flow > 0.0 {
            sheet.scene.sprays.push(Spray { from: dvec2(0.0, y), reach, flow_kg_per_s: flow / BARRELS });
        }
    }
}

fn names(sheet: &mut Sheet, test: &IdleTest, at: &Idling, layout: &IdleLayout, units: UnitSystem) {
    let show = |quantity: Quantity, value: f64| quantity.show(value, units);
    let bore = |value: f64| show(Quantity::FineLength, value);
    let idle = &test.idle;
    let uncovered = at.slot_share * idle.slot_length_m;
    let edge = dvec2(layout.gap, layout.edge_y);
    let end = layout.edge_y.clamp(layout.slot.0, layout.slot.1);
    let slot = dvec2(0.0, (layout.slot.0 + end) / 2.0);
    let fuel = |flow: f64| show(Quantity::FuelMassFlow, flow);
    let of = |length: f64| show(Quantity::Length, length);
    let mut name = |text: String, part: DVec2, level: u8, column: Column| sheet.name(&text, part, level, column);
    name(format!("Plate's edge at {}", show(Quantity::Angle, at.plate_rad)), edge, 0, Column::Right);
    let text = format!("Slot uncovered {}, {}", of(uncovered), fuel(at.slot_kg_per_s));
    name(text, slot, 0, Column::Right);
    let hole = dvec2(0.0, layout.hole_y);
    name(format!("Screw's hole {}", fuel(at.hole_kg_per_s)), hole, 0, Column::Right);
    let below = dvec2(0.6 * layout.shaft.x, layout.ends.0 + 2e-3);
    name(format!("Manifold vacuum {}", show(Quantity::Pressure, at.vacuum_pa)), below, 1, Column::Right);
    let air = dvec2(layout.gap / 2.0, layout.edge_y + 0.5e-3);
    name(format!("Air {}", show(Quantity::AirSpeed, speed_to(test, at.plenum_pa))), air, 1, Column::Right);
    name(format!("Air bleed {}", bore(idle.bleed_m)), dvec2(PASSAGE_X, layout.ends.1), 1, Column::Left);
    let text = format!("Idle feed {}", bore(idle.feed_m));
    name(text, dvec2(WELL_X, layout.level - DIP), 1, Column::Left);
    name(format!("Lift {}", of(idle.lift_m)), dvec2(WELL_X, (layout.level + layout.crest) / 2.0), 2, Column::Left);
    let screw = dvec2(-1.2e-3, layout.hole_y) + screw_way() * 18e-3;
    name(format!("Mixture screw leaves {}", bore(idle.screw_m)), screw, 0, Column::Left);
}
