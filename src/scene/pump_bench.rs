//! An accelerator pump on the bench, to scale: cam and lever, duration spring, plunger in its well, both checks, and the
//! jets of fuel in flight towards a plate over a measuring glass.
//!
//! x runs ahead from the pump's axis, y up from the bottom of its well. The glass has room for two shots. Sizes that no
//! setting gives (walls, passages, lever, cam's base circle, way to the plate) are ours.

use super::layout::{PLUNGER, WALL};
use super::shapes::{Column, Sheet, coil, direction};
use super::{Role, Scene, Tint, labels};
use crate::bench::pump_test::PumpTest;
use crate::bench::shot::{Shot, ShotSample};
use crate::carburettor::pump::{CamProfile, Pump};
use crate::units::{Quantity, UnitSystem};
use glam::{DVec2, dvec2};
use std::f64::consts::{FRAC_PI_2, FRAC_PI_4};

/// From the shooter to the plate that stops the jets, m.
pub const WAY_M: f64 = 60e-3;
/// Bore of the measuring glass, m.
const GLASS_BORE: f64 = 16e-3;
/// From the shooter down to the mouth of the glass, m.
const FUNNEL: f64 = 34e-3;
/// Bore of the passage to the shooter, m.
const PASSAGE: f64 = 2e-3;
/// Length of the bowl that is shown, m.
const BOWL: f64 = 22e-3;
/// Radius of the cam where it does not lift, m.
const CAM_BASE: f64 = 9e-3;
/// Radius of the lever's roller, m.
const ROLLER: f64 = 2.2e-3;
/// Turn of the throttle shaft from end to end, rad.
const SWEEP: f64 = 1.38;
/// How far an open check stands off its seat, m: open or shut is all that the model knows.
const OPEN: f64 = 1.5e-3;

/// Where everything stands before it moves.
#[derive(Debug, Clone, Copy)]
pub struct PumpLayout {
    /// Half of the pump's bore.
    pub half: f64,
    /// Whole travel of the plunger.
    pub stroke: f64,
    /// Height of the plunger's face at rest.
    pub top: f64,
    /// Length of the fitted spring.
    pub spring: f64,
    /// Fuel in the bowl.
    pub level: f64,
    /// x of the rising passage.
    pub riser: f64,
    /// Mouth of the shooter.
    pub mouth: DVec2,
    /// Bottom of the measuring glass, in its middle.
    pub glass: DVec2,
    /// Height of the glass.
    pub glass_height: f64,
    /// Length of each of the lever's two arms.
    pub arm: f64,
}

impl PumpLayout {
    /// From the pump's settings.
    pub fn new(pump: &Pump) -> Self {
        let (half, stroke) = (pump.cylinder_m / 2.0, pump.stroke_m());
        let top = pump.inlet_m + 3e-3 + stroke;
        let riser = half + WALL;
        let mouth = dvec2(riser + 12e-3, top + 20e-3);
        let glass_height = 2.0 * pump.shot_m3 / Self::glass_m2() + 6e-3;
        Self {
            half,
            stroke,
            top,
            spring: stroke + 8e-3,
            level: top + PLUNGER + 4e-3,
            riser,
            mouth,
            glass: mouth + dvec2(WAY_M / 2.0, -FUNNEL - glass_height),
            glass_height,
            arm: (half + 2.0 * WALL + BOWL + CAM_BASE + stroke + 3e-3) / 2.0,
        }
    }

    /// Cross-section of the measuring glass, m².
    pub fn glass_m2() -> f64 {
        FRAC_PI_4 * GLASS_BORE * GLASS_BORE
    }

    /// Height of the pad that presses the spring, with the lever at a share of its travel.
    fn pad(&self, lever: f64) -> f64 {
        self.top + PLUNGER + self.spring - self.stroke * lever
    }
}

/// The pump at a time of its shot.
pub fn draw(test: &PumpTest, shot: &Shot, time_s: f64, units: UnitSystem) -> Scene {
    let pump = &test.pump;
    let (layout, sample) = (PumpLayout::new(pump), shot.at(time_s));
    let mut sheet = Sheet::default();
    body(&mut sheet, &layout, &sample);
    plunger(&mut sheet, &layout, &sample);
    lever(&mut sheet, pump, &layout, &sample);
    checks(&mut sheet, pump, &layout, &sample);
    glass(&mut sheet, &layout, &sample);
    jets(&mut sheet, pump, &layout, shot, time_s);
    names(&mut sheet, pump, &layout, &sample, units);
    labels::place(sheet)
}

/// Bowl, well, riser and shooter with what they hold.
fn body(sheet: &mut Sheet, at: &PumpLayout, sample: &ShotSample) {
    let (left, near) = (-at.half - WALL - BOWL, -at.half - WALL);
    let face = at.top - at.stroke * sample.plunger;
    let (well_top, right) = (at.top + PLUNGER, at.riser + WALL);
    let outline = [
        (left - WALL, at.level + 4e-3),
        (left, at.level + 4e-3),
        (left, 0.0),
        (near, 0.0),
        (near, well_top),
        (-at.half, well_top),
        (-at.half, 0.0),
        (at.half, 0.0),
        (at.half, at.mouth.y + 4e-3),
        (right, at.mouth.y + 4e-3),
        (right, -WALL),
        (left - WALL, -WALL),
    ];
    sheet.area(Role::CutMetal, outline.map(|(x, y)| dvec2(x, y)).to_vec());
    sheet.rectangle(Role::Fuel, dvec2(left, 0.0), dvec2(near, at.level));
    sheet.rectangle(Role::Fuel, dvec2(near, well_top), dvec2(-at.half, at.level));
    let well = [dvec2(-at.half, 0.0), dvec2(at.half, face)];
    sheet.rectangle(Role::Fuel, well[0], well[1]);
    sheet.rectangle(Role::Fuel, dvec2(-at.half, face), dvec2(at.half, at.level));
    if sample.pressure_pa < 0.0 {
        let outline = vec![well[0], dvec2(well[1].x, 0.0), well[1], dvec2(well[0].x, face)];
        sheet.scene.tints.push(Tint { outline, depression_pa: -sample.pressure_pa });
    }
    let low = 1.5e-3;
    let riser = vec![dvec2(at.half, low), dvec2(at.riser, low), dvec2(at.riser, at.mouth.y), at.mouth];
    sheet.tube(Role::Fuel, riser, PASSAGE);
}

fn plunger(sheet: &mut Sheet, at: &PumpLayout, sample: &ShotSample) {
    let face = at.top - at.stroke * sample.plunger;
    let (crown, pad) = (face + PLUNGER, at.pad(sample.lever));
    let collar = crown + at.spring;
    sheet.rectangle(Role::Part, dvec2(-at.half, face), dvec2(at.half, crown));
    sheet.stroke(Role::Part, vec![dvec2(0.0, crown), dvec2(0.0, collar)], 1.6e-3);
    let coils = coil(dvec2(0.0, crown), dvec2(0.0, pad.min(collar)), at.half, 6);
    sheet.stroke(Role::Spring, coils, 0.9e-3);
    sheet.stroke(Role::Part, vec![dvec2(-1.8e-3, collar), dvec2(1.8e-3, collar)], 1.4e-3);
    sheet.stroke(Role::Part, vec![dvec2(-0.6 * at.half, pad), dvec2(0.6 * at.half, pad)], 1.8e-3);
}

/// Outline of the cam with its shaft at a share of its turn: straight above its middle stands what lifts the roller now.
pub fn cam(pump: &Pump, middle: DVec2, turn: f64) -> Vec<DVec2> {
    let stroke = pump.stroke_m();
    let point = |along: f64, radius: f64| middle + direction(FRAC_PI_2 + (turn - along) * SWEEP) * radius;
    let lifting = (0..=24).map(|i| {
        let along = f64::from(i) / 24.0;
        point(along, CAM_BASE + stroke * pump.profile.lift(along))
    });
    // past its end the cam falls back to its base circle
    let back = (1..=24).map(|i| {
        let past = f64::from(i) / 24.0;
        let fall = (1.0 - 3.0 * past).max(0.0);
        let around = (std::f64::consts::TAU / SWEEP - 1.0) * past;
        point(1.0 + around, CAM_BASE + stroke * fall * fall)
    });
    lifting.chain(back).collect()
}

/// Middle of the cam: under the lever's far end.
pub fn cam_middle(at: &PumpLayout) -> DVec2 {
    let rest = at.pad(0.5) - at.stroke / 2.0;
    dvec2(-2.0 * at.arm, rest - ROLLER - CAM_BASE)
}

fn lever(sheet: &mut Sheet, pump: &Pump, at: &PumpLayout, sample: &ShotSample) {
    let (pivot, pad) = (dvec2(-at.arm, at.pad(0.5)), dvec2(0.0, at.pad(sample.lever)));
    let far = pivot * 2.0 - pad;
    let middle = cam_middle(at);
    sheet.area(Role::Part, cam(pump, middle, sample.turn));
    sheet.disc(Role::Part, middle, 4e-3);
    sheet.stroke(Role::Part, vec![far, pivot, pad], 2.6e-3);
    sheet.disc(Role::Part, far, ROLLER);
    sheet.disc(Role::Part, pivot, 1.6e-3);
    sheet.disc(Role::Part, pad, 1.6e-3);
}

/// Both checks: a ball that its own flow lifts and any other seats.
fn checks(sheet: &mut Sheet, pump: &Pump, at: &PumpLayout, sample: &ShotSample) {
    let hole = 0.5 * pump.inlet_m;
    let near = dvec2(-at.half, hole + 1e-3);
    sheet.stroke(Role::Fuel, vec![near - dvec2(WALL, 0.0), near], pump.inlet_m);
    let lift = |opens: bool| if opens { OPEN } else { 0.0 };
    // a ball half as wide again as its hole
    let ball = (1.5 * hole).max(0.5e-3);
    let sunk = (ball * ball - hole * hole).max(0.0).sqrt();
    sheet.disc(Role::Part, near + dvec2(sunk + lift(sample.refill_m3_per_s > 0.0), 0.0), ball);
    let seat = dvec2(at.riser, at.mouth.y - 9e-3);
    sheet.rectangle(Role::Fuel, seat + dvec2(-2.2e-3, 0.0), seat + dvec2(2.2e-3, 6e-3));
    sheet.disc(Role::Part, seat + dvec2(0.0, 1.1e-3 + lift(sample.flow_m3_per_s > 0.0)), 1.5e-3);
    // the shooter: a hole twice as long as wide, which is what its coefficient is for
    let (length, hole) = (2.0 * pump.shooter_m, 0.5 * pump.shooter_m);
    for edge in [-1.0, 1.0] {
        let (from, to) = (dvec2(-length, edge * hole), dvec2(0.0, edge * (PASSAGE / 2.0).max(hole + 0.6e-3)));
        sheet.rectangle(Role::Part, at.mouth + from, at.mouth + to);
    }
}

fn glass(sheet: &mut Sheet, at: &PumpLayout, sample: &ShotSample) {
    let (half, foot) = (GLASS_BORE / 2.0, at.glass);
    let rim = foot.y + at.glass_height;
    let level = (foot.y + sample.delivered_m3 / PumpLayout::glass_m2()).min(rim);
    sheet.rectangle(Role::Fuel, foot - dvec2(half, 0.0), dvec2(foot.x + half, level));
    let (from, to) = (at.mouth.x + 2e-3, at.mouth.x + WAY_M);
    let (lip, top) = (at.mouth.y - FUNNEL + 10e-3, at.mouth.y + 12e-3);
    let wall = [
        dvec2(from, lip),
        dvec2(foot.x - half, rim),
        foot - dvec2(half, 0.0),
        foot + dvec2(half, 0.0),
        dvec2(foot.x + half, rim),
        dvec2(to, lip),
        dvec2(to, top),
    ];
    sheet.stroke(Role::Part, wall.to_vec(), 1e-3);
    let (each, marks) = (1e-6 / PumpLayout::glass_m2(), (at.glass_height * PumpLayout::glass_m2() / 1e-6) as usize);
    for mark in 1..=marks {
        let y = foot.y + mark as f64 * each;
        let length = if mark % 5 == 0 { half } else { half / 2.0 };
        sheet.stroke(Role::Line, vec![dvec2(foot.x + half - length, y), dvec2(foot.x + half, y)], 0.0);
    }
}

/// The fuel in flight: as thick as the hole, cut off where it meets the plate or the funnel.
fn jets(sheet: &mut Sheet, pump: &Pump, at: &PumpLayout, shot: &Shot, time_s: f64) {
    let mut path: Vec<DVec2> = Vec::new();
    for (way, height) in shot.flying(time_s) {
        if let Some(last) = path.last().filter(|_| way > WAY_M) {
            let before = *last - at.mouth;
            let share = (WAY_M - before.x) / (way - before.x);
            path.push(at.mouth + before.lerp(dvec2(way, height), share));
            break;
        }
        if height < 10e-3 - FUNNEL {
            break;
        }
        path.push(at.mouth + dvec2(way, height));
    }
    if path.len() > 1 {
        sheet.stroke(Role::Fuel, path, pump.shooter_m);
    }
}

fn names(sheet: &mut Sheet, pump: &Pump, at: &PumpLayout, sample: &ShotSample, units: UnitSystem) {
    let show = |quantity: Quantity, value: f64| quantity.show(value, units);
    let percent = |share: f64| show(Quantity::Fraction, share);
    let face = at.top - at.stroke * sample.plunger;
    let pad = at.pad(sample.lever);
    let cam = cam_middle(at);
    let profile = CamProfile::WORDS.get(pump.profile as usize).map_or("", |word| word.label);
    sheet.name(&format!("Cam {profile}, {}", percent(sample.turn)), cam, 0, Column::Left);
    sheet.name(&format!("Lever {} down", percent(sample.lever)), dvec2(-at.arm, at.pad(0.5)), 1, Column::Left);
    let inlet = if sample.refill_m3_per_s > 0.0 {
        format!("Inlet check open, {}", show(Quantity::FuelFlow, sample.refill_m3_per_s))
    } else {
        "Inlet check shut".to_owned()
    };
    sheet.name(&inlet, dvec2(-at.half, 0.5 * pump.inlet_m + 1e-3), 1, Column::Left);
    sheet.name("Bowl", dvec2(-at.half - WALL - 0.7 * BOWL, 0.6 * at.level), 2, Column::Left);
    let spring = format!("Duration spring {}", show(Quantity::Force, sample.spring_n));
    sheet.name(&spring, dvec2(0.4 * at.half, (face + PLUNGER + pad) / 2.0), 0, Column::Right);
    let plunger = format!("Plunger {} down", percent(sample.plunger));
    sheet.name(&plunger, dvec2(0.8 * at.half, face + PLUNGER / 2.0), 1, Column::Right);
    let pressure = format!("Pump well {}", show(Quantity::Pressure, sample.pressure_pa));
    sheet.name(&pressure, dvec2(0.5 * at.half, face / 2.0), 1, Column::Right);
    let discharge = if sample.flow_m3_per_s > 0.0 { "Discharge check open" } else { "Discharge check shut" };
    sheet.name(discharge, dvec2(at.riser, at.mouth.y - 7e-3), 2, Column::Right);
    let jets = sample.fall_m(WAY_M).map_or_else(
        || "Shooters".to_owned(),
        |fall| {
            let speed = show(Quantity::AirSpeed, sample.jet_m_per_s);
            format!("Two jets {speed}, fall {}", show(Quantity::Length, fall))
        },
    );
    sheet.name(&jets, at.mouth, 0, Column::Right);
    let delivered = format!("Delivered {}", show(Quantity::SmallVolume, sample.delivered_m3));
    let level = sample.delivered_m3 / PumpLayout::glass_m2();
    sheet.name(&delivered, at.glass + dvec2(0.0, level.min(at.glass_height)), 0, Column::Right);
}
