//! Fuel: bowls, main wells and nozzles, idle and transfer circuit, accelerator pump, enrichment valve.

use super::body::{jet_plug, passage_end};
use super::layout::{FLOOR, Layout, PLUNGER, Side, WALL};
use super::shapes::{Column, Sheet, coil};
use super::{Role, Spray};
use crate::bench::scenario::Scenario;
use crate::bench::trace::Sample;
use glam::DVec2;

/// What the fuel of one side does.
#[derive(Debug, Clone, Copy)]
struct Flow {
    drop_m: f64,
    well: f64,
    main: f64,
    plunger: f64,
    lever: f64,
    pump: f64,
}

fn flows(sample: &Sample) -> [Flow; 2] {
    [
        Flow {
            drop_m: sample.primary_bowl_drop_m,
            well: sample.primary_well,
            main: sample.primary_main_kg_per_s,
            plunger: sample.pump_plunger,
            lever: sample.pump_lever,
            pump: sample.pump_kg_per_s,
        },
        Flow {
            drop_m: sample.secondary_bowl_drop_m,
            well: sample.secondary_well,
            main: sample.secondary_main_kg_per_s,
            plunger: sample.second_pump_plunger,
            lever: sample.second_pump_lever,
            pump: sample.second_pump_kg_per_s,
        },
    ]
}

/// Draw both sides' fuel and the parts that move in it.
pub fn draw(sheet: &mut Sheet, scenario: &Scenario, sample: &Sample, layout: &Layout) {
    for (side, flow) in layout.sides().into_iter().zip(flows(sample)) {
        bowl(sheet, scenario, side, &flow);
        main(sheet, layout, side, &flow);
        pump(sheet, layout, side, &flow);
    }
    idle(sheet, scenario, sample, layout);
    enrichment(sheet, scenario, sample, layout);
}

/// A name by the side that the part is on.
fn called(side: &Side, names: [&'static str; 2]) -> &'static str {
    names[usize::from(side.outward > 0.0)]
}

fn column(side: &Side) -> Column {
    if side.outward < 0.0 { Column::Left } else { Column::Right }
}

/// Surface of the fuel in a bowl: the set level less the drop, never under the floor.
pub fn surface(side: &Side, drop_m: f64) -> f64 {
    (side.level - drop_m).max(side.floor)
}

fn bowl(sheet: &mut Sheet, scenario: &Scenario, side: &Side, flow: &Flow) {
    let level = surface(side, flow.drop_m);
    sheet.rectangle(Role::Fuel, side.at(side.bowl.0, side.floor), side.at(side.bowl.1, level));
    // the float follows the level through its travel, and hangs there
    let fallen = flow.drop_m.clamp(0.0, scenario.bowl.float_travel_m);
    let (length, centre) = (0.42 * (side.bowl.1 - side.bowl.0), side.bowl.1 - 0.3 * (side.bowl.1 - side.bowl.0));
    let height = (0.22 * scenario.bowl.depth_m).min(9e-3);
    let (low, high) = (side.level - fallen - 0.7 * height, side.level - fallen + 0.3 * height);
    sheet.rectangle(Role::Part, side.at(centre - length / 2.0, low), side.at(centre + length / 2.0, high));
    let seat = side.ceiling - 1.5e-3;
    let tip = seat - fallen;
    let needle = [(0.0, tip), (1.3e-3, tip - 3e-3), (1.3e-3, high), (-1.3e-3, high), (-1.3e-3, tip - 3e-3)];
    sheet.area(Role::Part, needle.into_iter().map(|(u, y)| side.at(centre + u, y)).collect());
    for edge in [-1.0, 1.0] {
        let corners = [(0.8e-3, seat + 1.5e-3), (3.4e-3, seat + 1.5e-3), (3.4e-3, seat - 1.5e-3)];
        sheet.area(Role::Part, corners.into_iter().map(|(u, y)| side.at(centre + edge * u, y)).collect());
    }
    sheet.name(
        called(side, ["Primary bowl", "Secondary bowl"]),
        side.at(side.bowl.0 + 2e-3, (level + side.floor) / 2.0),
        1,
        column(side),
    );
    sheet.name(
        called(side, ["Primary float", "Secondary float"]),
        side.at(centre, (tip + high) / 2.0),
        2,
        column(side),
    );
}

/// Front of the fuel in the main well: at the set level when the well counts as empty, at the lip when it is full.
pub fn front(side: &Side, well: f64) -> f64 {
    (side.level + side.barrels.lip_m * well).clamp(side.floor, side.nozzle_y)
}

fn main(sheet: &mut Sheet, layout: &Layout, side: &Side, flow: &Flow) {
    let throat = side.barrels.venturi_m / 2.0;
    let low = side.floor - FLOOR - side.passage;
    let top = front(side, flow.well);
    let (inner, outer) = side.well;
    let corners = [
        (inner, top),
        (inner, low),
        (passage_end(side), low),
        (passage_end(side), low + side.passage),
        (outer, low + side.passage),
        (outer, top),
    ];
    sheet.area(Role::Fuel, corners.into_iter().map(|(u, y)| side.at(u, y)).collect());
    jet(sheet, side);
    // the bleed lets air into the top of the well
    if side.barrels.air_bleed_m > 0.0 {
        let path = vec![side.at(side.bay - 1.2e-3, layout.deck), side.at((inner + outer) / 2.0, side.well_top)];
        sheet.stroke(Role::Line, path, side.barrels.air_bleed_m);
        let name = side.at(side.bay - 1.2e-3, layout.deck);
        sheet.name(called(side, ["Primary air bleed", "Secondary air bleed"]), name, 2, column(side));
    }
    let tip = side.at(0.3 * throat, side.nozzle_y);
    if flow.main > 0.0 {
        let depth = 0.45 * side.slit;
        sheet.rectangle(Role::Fuel, tip, side.at(outer, side.nozzle_y + depth));
        let reach = side.at(0.05 * throat, side.nozzle_y - 1.1 * throat) - tip;
        sheet.scene.sprays.push(Spray { from: tip, reach, flow_kg_per_s: flow.main / 2.0 });
    }
    let level = u8::from(side.outward < 0.0);
    sheet.name(
        called(side, ["Primary nozzle", "Secondary nozzle"]),
        side.at(0.44 * throat, side.nozzle_y + side.slit / 2.0),
        level,
        column(side),
    );
    sheet.name(
        called(side, ["Primary well", "Secondary well"]),
        side.at((inner + outer) / 2.0, top - 2e-3),
        level,
        column(side),
    );
    if side.booster {
        let at = side.at(0.38 * throat, side.throat_y);
        sheet.name(called(side, ["Primary booster", "Secondary booster"]), at, 2, column(side));
    }
}

fn jet(sheet: &mut Sheet, side: &Side) {
    let (hole, plug) = (side.barrels.main_jet_m / 2.0, jet_plug(side));
    let (low, high) = (side.floor - FLOOR, side.floor + 1.2e-3);
    for (from, to) in [(-plug, -hole), (hole, plug)] {
        sheet.rectangle(Role::Part, side.at(side.jet_u + from, low), side.at(side.jet_u + to, high));
    }
    sheet.rectangle(Role::Fuel, side.at(side.jet_u - hole, low), side.at(side.jet_u + hole, side.floor));
    sheet.name(
        called(side, ["Primary jet", "Secondary jet"]),
        side.at(side.jet_u + plug - 0.5e-3, high - 1e-3),
        1,
        column(side),
    );
}

fn pump(sheet: &mut Sheet, layout: &Layout, side: &Side, flow: &Flow) {
    let Some(pump) = side.pump else { return };
    let (near, far) = pump.cylinder;
    let middle = (near + far) / 2.0;
    let face = pump.top - pump.stroke * flow.plunger;
    let level = surface(side, flow.drop_m);
    sheet.rectangle(Role::Fuel, side.at(near, pump.bottom), side.at(far, face));
    // over the plunger the cylinder is part of the bowl
    sheet.rectangle(Role::Fuel, side.at(near, face), side.at(far, level.max(face)));
    sheet.rectangle(Role::Fuel, side.at(side.bowl.1, pump.top), side.at(near, level.max(pump.top)));
    let hole = (pump.bottom + 1.5e-3).max(side.floor + 1.5e-3).min(pump.top - 1e-3);
    sheet.stroke(Role::Fuel, vec![side.at(side.bowl.1, hole), side.at(near, hole)], pump.holes.0);
    let crown = face + PLUNGER;
    sheet.rectangle(Role::Part, side.at(near, face), side.at(far, crown));
    let pad = pump.top + PLUNGER + pump.spring - pump.stroke * flow.lever;
    let collar = crown + pump.spring;
    sheet.stroke(Role::Part, vec![side.at(middle, crown), side.at(middle, collar)], 1.6e-3);
    let bore = far - near;
    let spring = coil(side.at(middle, crown), side.at(middle, pad.min(collar)), 0.5 * bore, 6);
    sheet.stroke(Role::Spring, spring, 0.9e-3);
    sheet.stroke(Role::Part, vec![side.at(middle - 1.8e-3, collar), side.at(middle + 1.8e-3, collar)], 1.4e-3);
    // the lever pushes on the spring through a rod that passes the lid
    let arm = middle + 0.3 * bore;
    sheet.stroke(Role::Part, vec![side.at(middle - 0.3 * bore, pad), side.at(arm, pad)], 1.8e-3);
    sheet.stroke(Role::Part, vec![side.at(arm, pad), side.at(arm, pad + side.lid - side.ceiling + 12e-3)], 1.6e-3);
    shooter(sheet, layout, side, flow.pump, pump.bottom);
    let level = u8::from(side.outward < 0.0);
    sheet.name(
        called(side, ["Accelerator pump", "Second pump"]),
        side.at(far - 1e-3, face + PLUNGER / 2.0),
        level,
        column(side),
    );
    let spring = side.at(middle + 0.25 * bore, (crown + pad.min(collar)) / 2.0);
    sheet.name(called(side, ["Duration spring", "Second duration spring"]), spring, 1, column(side));
}

/// From the cylinder's bottom up through the outer wall and along the lid to the nose over the venturi.
fn shooter(sheet: &mut Sheet, layout: &Layout, side: &Side, flow: f64, bottom: f64) {
    let Some(pump) = side.pump else { return };
    let lid = (side.lid + side.ceiling) / 2.0;
    let mouth = lid.max(layout.deck + 3e-3);
    let wall = pump.cylinder.1 + WALL / 2.0;
    let tip = side.at(0.62 * side.inlet, mouth - 1.5e-3);
    let nose = side.at(side.bay - 1e-3, mouth);
    let path = [(pump.cylinder.1, bottom + 0.8e-3), (wall, bottom + 0.8e-3), (wall, lid), (side.bay + 6e-3, lid)];
    let mut path: Vec<_> = path.into_iter().map(|(u, y)| side.at(u, y)).collect();
    path.extend([nose, tip]);
    sheet.tube(Role::Fuel, path, 1.0e-3);
    sheet.stroke(Role::Part, vec![nose, tip], 1.8e-3);
    if flow > 0.0 {
        let reach = side.at(0.1 * side.inlet, side.throat_y) - tip;
        sheet.scene.sprays.push(Spray { from: tip, reach, flow_kg_per_s: flow / 2.0 });
    }
    sheet.name(called(side, ["Shooter", "Second shooter"]), nose.lerp(tip, 0.6), 1, column(side));
}

fn idle(sheet: &mut Sheet, scenario: &Scenario, sample: &Sample, layout: &Layout) {
    let (side, idle) = (&layout.primary, &scenario.idle);
    let bore = side.barrels.bore_m / 2.0;
    let closed = side.plate_half() * side.barrels.closed_rad.sin();
    let (low, high) = (closed - idle.slot_below_m, closed - idle.slot_below_m + idle.slot_length_m);
    let middle = (low + high) / 2.0;
    let crest = (side.level + idle.lift_m).min(layout.deck - 1.5e-3).max(high + 4e-3);
    let stand = side.well.0 + 1.6e-3;
    let holds = if sample.idle_kg_per_s > 0.0 { Role::Fuel } else { Role::CutMetal };
    let foot = (side.level - 9e-3).max(side.floor);
    let screw_y = low - 5e-3;
    let foot_u = idle_run(side, middle).last().map_or(side.idle_u, |corner| corner.0);
    let path = |corners: &[(f64, f64)]| corners.iter().map(|&(u, y)| side.at(u, y)).collect::<Vec<_>>();
    sheet.stroke(Role::Line, path(&[(side.idle_u, crest), (side.inlet + 1.5e-3, layout.deck)]), idle.bleed_m * 0.5);
    if idle.screw_m > 0.0 {
        sheet.tube(holds, path(&[(foot_u, middle), (foot_u, screw_y), (bore, screw_y)]), 0.9e-3);
        let screw = [(foot_u - 2e-3, 0.0), (foot_u + 2e-3, 1.2e-3), (foot_u + 12e-3, 1.2e-3)];
        let mirrored = screw.iter().rev().map(|&(u, y)| (u, -y));
        let outline = screw.iter().copied().chain(mirrored).map(|(u, y)| side.at(u, screw_y + y)).collect();
        sheet.area(Role::Part, outline);
        sheet.name("Mixture screw", side.at(foot_u + 11e-3, screw_y), 2, Column::Left);
    }
    let mut feed = path(&[(stand, foot), (stand, crest), (side.idle_u, crest)]);
    feed.extend(idle_run(side, middle).into_iter().map(|(u, y)| side.at(u, y)));
    feed.push(side.at(bore + 1e-3, middle));
    sheet.tube(holds, feed, 0.9e-3);
    // the slot, and of it what the plate has uncovered
    let uncovered = low + idle.slot_length_m * sample.slot_share;
    sheet.stroke(Role::Line, path(&[(bore + 0.5e-3, low), (bore + 0.5e-3, high)]), 1.2e-3);
    sheet.stroke(holds, path(&[(bore + 0.5e-3, low), (bore + 0.5e-3, uncovered)]), 0.8e-3);
    sheet.name("Transfer slot", side.at(bore + 0.5e-3, middle), 2, Column::Left);
    sheet.name("Idle passage", side.at(foot_u, middle + 3e-3), 2, Column::Left);
    if sample.idle_kg_per_s > 0.0 {
        let screw = idle.hole_share(sample.slot_share);
        let reach = DVec2::new(0.35 * bore, -0.3 * bore);
        for (share, y) in [(screw, screw_y), (1.0 - screw, (low + uncovered) / 2.0)] {
            if share > 0.0 {
                let flow_kg_per_s = sample.idle_kg_per_s / 2.0 * share;
                sheet.scene.sprays.push(Spray { from: side.at(bore, y), reach, flow_kg_per_s });
            }
        }
    }
}

/// Metal between the barrel and the idle channel, m.
const IDLE_SKIN: f64 = 3e-3;

/// The idle channel's way down to a height: straight where the casting is thick enough, else along the barrel's wall.
fn idle_run(side: &Side, low: f64) -> Vec<(f64, f64)> {
    let foot = side.radius(low) + IDLE_SKIN;
    if side.idle_u <= foot + 3e-3 {
        return vec![(side.idle_u, low)];
    }
    side.wall(low, side.throat_y).into_iter().rev().map(|(y, r)| (r + IDLE_SKIN, y)).collect()
}

/// A valve in the bowl's floor: its spring lifts it as manifold vacuum lets go of the little diaphragm under it.
fn enrichment(sheet: &mut Sheet, scenario: &Scenario, sample: &Sample, layout: &Layout) {
    let side = &layout.primary;
    let Some(valve) = side.enrichment_u else { return };
    let hole = 0.5 * side.barrels.main_jet_m * scenario.enrichment.extra_area.sqrt();
    let gap = 0.5 * side.barrels.main_jet_m.max(2e-3);
    let (under, floor) = (side.floor - FLOOR, side.floor);
    for edge in [-1.0, 1.0] {
        let corners = (side.at(valve + edge * hole, under), side.at(valve + edge * gap, floor));
        sheet.rectangle(Role::Part, corners.0, corners.1);
    }
    sheet.rectangle(Role::Fuel, side.at(valve - hole, under), side.at(valve + hole, floor));
    let lift = 2.5e-3 * sample.enrichment_lift;
    let web = under - side.passage - 7e-3;
    let (radius, back) = (5.5e-3, web - 5.5e-3);
    let shell = [(-radius, web + 2.6e-3), (-radius, back), (radius, back), (radius, web + 2.6e-3)];
    let outer = [
        (radius + 1.3e-3, web + 2.6e-3),
        (radius + 1.3e-3, back - 1.3e-3),
        (-radius - 1.3e-3, back - 1.3e-3),
        (-radius - 1.3e-3, web + 2.6e-3),
    ];
    let place = |&(u, y): &(f64, f64)| side.at(valve + u, y);
    sheet.area(Role::CutMetal, shell.iter().chain(&outer).map(place).collect());
    let pan = web + lift;
    let depression_pa = scenario.ambient.air().pressure_pa - sample.plenum_pa;
    let chamber = [(-radius, web), (-2.5e-3, pan), (2.5e-3, pan), (radius, web), (radius, back), (-radius, back)];
    sheet.scene.tints.push(super::Tint { outline: chamber.iter().map(place).collect(), depression_pa });
    sheet.stroke(Role::Spring, coil(side.at(valve, back), side.at(valve, pan), 4e-3, 4), 0.6e-3);
    sheet.stroke(Role::Diaphragm, chamber[..4].iter().map(place).collect(), 0.9e-3);
    sheet.stroke(Role::Part, vec![side.at(valve, pan), side.at(valve, floor + lift)], 0.7e-3);
    let cone = [
        (-gap * 0.9, floor + lift + 1.2e-3),
        (gap * 0.9, floor + lift + 1.2e-3),
        (hole * 0.5, floor + lift - 0.4e-3),
        (-hole * 0.5, floor + lift - 0.4e-3),
    ];
    sheet.area(Role::Part, cone.iter().map(place).collect());
    sheet.name("Enrichment valve", side.at(valve, floor + lift + 0.8e-3), 1, Column::Left);
}
