//! What the eye sees when a part of a used carburettor is opened: each part by itself, sound or with a fault.
//!
//! Sizes are those of the settings, sound and faulty; where a gap would be too fine to see it is drawn so many times
//! larger as its label says. What is nominal is outlined.

use super::layout::{PLUNGER, WALL};
use super::shapes::{Column, Sheet, coil, dashes, direction};
use super::{Role, Scene, labels};
use crate::bench::faults::{Fault, Mark, Part, Used};
use crate::bench::scenario::Scenario;
use crate::settings::grouped::Grouped;
use crate::units::{Quantity, UnitSystem};
use glam::{DVec2, dvec2};
use std::f64::consts::{FRAC_PI_4, PI, TAU};

/// How many times larger a gap is drawn.
pub const GAP_SCALE: f64 = 20.0;
/// Length of gasket through which a bent face leaks, m.
const LEAK_LENGTH: f64 = 40e-3;

/// A part of the carburettor, sound or with a fault of that part.
pub fn draw(scenario: &Scenario, part: Part, fault: Option<&Fault>, units: UnitSystem) -> Scene {
    let fault = fault.filter(|fault| fault.part == part);
    let faults: Vec<&Fault> = fault.into_iter().collect();
    let bench = Table {
        sheet: Sheet::default(),
        sound: Used::sound(scenario),
        used: Used::with(scenario, &faults),
        mark: fault.map(|fault| fault.mark),
        units,
    };
    bench.drawn(part)
}

/// What one opens to see a part that the section names; `None` for what is not opened by itself.
pub fn opens(named: &str) -> Option<Part> {
    let (part, _) = OPENS.iter().find(|(_, names)| names.contains(&named))?;
    Some(*part)
}

/// What one opens, and the parts of the section that lie in it.
const OPENS: &[(Part, &[&str])] = &[
    (Part::Shafts, &["primary_plate", "secondary_plate", "link_rod"]),
    (Part::Lid, &["primary_well", "secondary_well", "primary_air_bleed", "secondary_air_bleed"]),
    (Part::Bowl, &["primary_bowl", "secondary_bowl", "primary_float", "secondary_float"]),
    (Part::Jets, &["primary_jet", "secondary_jet"]),
    (Part::Bleeds, &["idle_passage", "mixture_screw", "transfer_slot"]),
    (Part::Enrichment, &["enrichment_valve"]),
    (Part::Pump, &["accelerator_pump", "duration_spring", "shooter"]),
    (
        Part::Diaphragm,
        &[
            "diaphragm",
            "diaphragm_spring",
            "diaphragm_rod",
            "restriction",
            "vacuum_passage",
            "brake",
            "brake_diaphragm",
            "brake_hose",
        ],
    ),
    (Part::Door, &["air_door", "air_valve", "weight", "door_spring"]),
];

/// What lies on the table.
struct Table {
    sheet: Sheet,
    sound: Used,
    used: Used,
    mark: Option<Mark>,
    units: UnitSystem,
}

/// Value of a setting of runs or of idle, SI; `None` where there is no such setting.
fn value(used: &Used, group: &str, key: &str) -> Option<f64> {
    let of_run = used.scenario.place(group, key).and_then(|place| used.scenario.value(place));
    of_run.or_else(|| used.idle.place(group, key).and_then(|place| used.idle.value(place)))
}

impl Table {
    fn drawn(mut self, part: Part) -> Scene {
        match part {
            Part::Flange => self.flange(),
            Part::Shafts => self.shafts(),
            Part::Lid => self.lid(),
            Part::Bowl => self.bowl(),
            Part::Jets => {
                self.holes(&[("primary", "main_jet", "Primary jet"), ("secondary", "main_jet", "Secondary jet")])
            }
            Part::Bleeds => self.holes(&[("idle", "bleed", "Idle air bleed")]),
            Part::Enrichment => self.enrichment(),
            Part::Pump => self.pump(),
            Part::Diaphragm => self.diaphragm(),
            Part::Door => self.door(),
        }
        labels::place(self.sheet)
    }

    fn is(&self, mark: Mark) -> bool {
        self.mark == Some(mark)
    }

    /// A setting as it was made and as it is now, SI.
    fn both(&self, group: &str, key: &str) -> (f64, f64) {
        let of = |used: &Used| value(used, group, key).unwrap_or(0.0);
        (of(&self.sound), of(&self.used))
    }

    fn show(&self, quantity: Quantity, value: f64) -> String {
        quantity.show(value, self.units)
    }

    fn name(&mut self, text: &str, part: DVec2, column: Column) {
        self.sheet.name(text, part, 0, column);
    }

    /// A round outline of dashes: what it was made as.
    fn nominal(&mut self, centre: DVec2, radius: f64) {
        let corner = |i: i32| centre + direction(TAU * f64::from(i) / 24.0) * radius;
        for i in (0..24).step_by(2) {
            self.sheet.stroke(Role::Line, vec![corner(i), corner(i + 1)], 0.0);
        }
    }

    /// Holes seen from above in their plugs, side by side.
    fn holes(&mut self, holes: &[(&str, &str, &str)]) {
        let mut x = 0.0;
        for &(group, key, title) in holes {
            let (made, now) = self.both(group, key);
            let plug = 0.8 * made.max(now) + 1e-3;
            let centre = dvec2(x + plug, 0.0);
            self.sheet.disc(Role::Part, centre, plug);
            let changed = made != now;
            let rough = if changed && (self.is(Mark::Eaten) || self.is(Mark::Blocked)) { 0.06 } else { 0.0 };
            if changed && self.is(Mark::Blocked) {
                self.sheet.disc(Role::CutMetal, centre, made / 2.0);
            }
            // a ragged edge whose mean radius is the one that flows the same
            let edge = (0..48).map(|i| {
                let turn = TAU * f64::from(i) / 48.0;
                let ragged = (3.0 * turn).sin() + (7.0 * turn + 1.0).sin() + (11.0 * turn + 2.0).sin();
                centre + direction(turn) * (now / 2.0 * (1.0 + rough * ragged))
            });
            let edge: Vec<_> = edge.collect();
            self.sheet.area(if changed { Role::Accent } else { Role::Vacuum }, edge);
            self.nominal(centre, made / 2.0);
            let bore = |bore| self.show(Quantity::FineLength, bore);
            let text = if changed {
                format!("{title}: flows as {}, made as {}", bore(now), bore(made))
            } else {
                format!("{title} {}", bore(made))
            };
            let column = if x == 0.0 { Column::Left } else { Column::Right };
            self.name(&text, centre + dvec2(0.0, made / 2.0), column);
            x += 2.0 * plug + 2e-3;
        }
    }

    /// A face against a straightedge, with a gap in its middle, m.
    fn face(&mut self, length: f64, gap: f64) {
        let gap_drawn = gap * GAP_SCALE;
        let face = (0..=32).map(|i| {
            let share = f64::from(i) / 32.0;
            dvec2(length * share, -gap_drawn * (PI * share).sin())
        });
        let mut outline: Vec<_> = face.collect();
        let deep = gap_drawn + 8e-3;
        outline.extend([dvec2(length, -deep), dvec2(0.0, -deep)]);
        self.sheet.area(Role::CutMetal, outline);
        self.sheet.rectangle(Role::Part, dvec2(-8e-3, 0.0), dvec2(length + 8e-3, 6e-3));
        self.name("Steel rule", dvec2(length + 4e-3, 3e-3), Column::Right);
        let middle = dvec2(length / 2.0, -gap_drawn / 2.0);
        if gap > 0.0 {
            let text = format!("Gap {}, drawn {GAP_SCALE} times", self.show(Quantity::FineLength, gap));
            let foot = dvec2(length / 2.0, -gap_drawn);
            self.sheet.stroke(Role::Accent, vec![dvec2(length / 2.0, 0.0), foot], 0.0);
            self.name(&text, middle, Column::Left);
        } else {
            self.name("Flat: no light", middle, Column::Left);
        }
    }

    /// The gap that lets as much air by as the leak does, along so much gasket; a parabola's mean is two thirds of its
    /// height.
    fn flange(&mut self) {
        let (_, leak) = self.both("leak", "area");
        let length = 2.0 * self.used.scenario.primary.bore_m + 40e-3;
        self.face(length, 1.5 * leak / LEAK_LENGTH);
    }

    fn lid(&mut self) {
        let more = ["primary", "secondary"].map(|side| {
            let (made, now) = self.both(side, "air_bleed");
            FRAC_PI_4 * (now * now - made * made).max(0.0)
        });
        let gap = 1.5 * more[0].max(more[1]) / LEAK_LENGTH;
        self.face(2.0 * self.used.scenario.primary.bore_m + 60e-3, gap);
    }

    /// A shaft in its bore; the crescent round two shafts with two ends each passes as much as the leak.
    fn shafts(&mut self) {
        let radius = self.used.scenario.primary.bore_m * self.used.scenario.primary.shaft_ratio / 2.0;
        let (_, leak) = self.both("leak", "area");
        let play = leak / (4.0 * PI * radius);
        let drawn = play * GAP_SCALE;
        let corner = |i: i32, out: f64| direction(TAU * f64::from(i) / 48.0) * out;
        let hole = radius + drawn;
        let mut ring: Vec<_> = (0..=48).map(|i| corner(i, hole + 7e-3)).collect();
        ring.extend((0..=48).rev().map(|i| corner(i, hole)));
        self.sheet.area(Role::CutMetal, ring);
        let centre = dvec2(0.0, -drawn);
        self.sheet.disc(Role::Part, centre, radius);
        self.name("Shaft", centre, Column::Left);
        let text = if play > 0.0 {
            format!("Play {}, drawn {GAP_SCALE} times", self.show(Quantity::FineLength, 2.0 * play))
        } else {
            "No play to feel".to_owned()
        };
        self.name(&text, dvec2(0.0, hole), Column::Right);
    }

    /// Level and nozzle to scale; a heavy float hangs deeper in what it swims in.
    fn bowl(&mut self) {
        let depth = self.sound.scenario.bowl.depth_m;
        let (made, now) = self.both("primary", "lip");
        let (width, level) = (40e-3, made - now);
        let top = made + 14e-3;
        let wall = [
            dvec2(-WALL, top),
            dvec2(0.0, top),
            dvec2(0.0, -depth),
            dvec2(width, -depth),
            dvec2(width, top),
            dvec2(width + WALL, top),
            dvec2(width + WALL, -depth - WALL),
            dvec2(-WALL, -depth - WALL),
        ];
        self.sheet.area(Role::CutMetal, wall.to_vec());
        self.sheet.rectangle(Role::Fuel, dvec2(0.0, -depth), dvec2(width, level));
        let height = (0.3 * depth).min(10e-3);
        let sunk = if self.is(Mark::Sunk) { 0.9 } else { 0.6 };
        let low = level - sunk * height;
        self.sheet.rectangle(Role::Part, dvec2(0.2 * width, low), dvec2(0.75 * width, low + height));
        for (a, b) in dashes(DVec2::ZERO, dvec2(width, 0.0), 2e-3) {
            self.sheet.stroke(Role::Line, vec![a, b], 0.0);
        }
        self.sheet.stroke(Role::Part, vec![dvec2(width + WALL, made), dvec2(width + WALL + 12e-3, made)], 2e-3);
        let lip = self.show(Quantity::Length, now);
        self.name(&format!("Nozzle, {lip} over the fuel"), dvec2(width + WALL + 10e-3, made), Column::Right);
        let float = if self.is(Mark::Sunk) { "Float, deep in the fuel" } else { "Float" };
        self.name(float, dvec2(0.5 * width, low + height / 2.0), Column::Left);
        self.name("Level as set", dvec2(0.05 * width, 0.0), Column::Left);
    }

    /// The valve on the bench with full vacuum under its diaphragm: sound, it has shut.
    fn enrichment(&mut self) {
        let lift = if self.is(Mark::HeldOpen) { 2.5e-3 } else { 0.0 };
        let hole = 2e-3;
        for side in [-1.0, 1.0] {
            self.sheet.rectangle(Role::CutMetal, dvec2(side * hole, 0.0), dvec2(side * 14e-3, 4e-3));
            self.sheet.rectangle(Role::CutMetal, dvec2(side * 9e-3, -14e-3), dvec2(side * 12e-3, 0.0));
        }
        let web = [dvec2(-9e-3, -7e-3), dvec2(-4e-3, -8e-3 + lift), dvec2(4e-3, -8e-3 + lift), dvec2(9e-3, -7e-3)];
        self.sheet.stroke(Role::Diaphragm, web.to_vec(), 0.9e-3);
        self.sheet.stroke(Role::Spring, coil(dvec2(0.0, -14e-3), web[1].lerp(web[2], 0.5), 5e-3, 5), 0.7e-3);
        self.sheet.stroke(Role::Part, vec![dvec2(0.0, -8e-3 + lift), dvec2(0.0, 4e-3 + lift)], 1.2e-3);
        let cone = [dvec2(-3e-3, 6e-3), dvec2(3e-3, 6e-3), dvec2(1.2e-3, 3.4e-3), dvec2(-1.2e-3, 3.4e-3)];
        self.sheet.area(Role::Part, cone.map(|point| point + dvec2(0.0, lift)).to_vec());
        let valve = if lift > 0.0 { "Stands open under vacuum" } else { "Shut under vacuum" };
        self.name(valve, dvec2(0.0, 5e-3 + lift), Column::Right);
        if lift > 0.0 {
            self.split(web[2].lerp(web[3], 0.5), 3e-3);
        }
        self.name("Diaphragm", web[0].lerp(web[1], 0.5), Column::Left);
        let (_, opens) = self.both("enrichment", "opens_below");
        let text = format!("Spring: opens below {}", self.show(Quantity::Pressure, opens));
        self.name(&text, dvec2(2e-3, -12e-3), Column::Left);
    }

    fn pump(&mut self) {
        let pump = self.sound.scenario.pump;
        let (half, stroke) = (pump.cylinder_m / 2.0, pump.stroke_m());
        let face = pump.inlet_m + 3e-3 + stroke;
        let top = face + PLUNGER + 6e-3;
        for side in [-1.0, 1.0] {
            self.sheet.rectangle(Role::CutMetal, dvec2(side * half, -WALL), dvec2(side * (half + WALL), top));
            let seat = pump.inlet_m / 2.0;
            self.sheet.rectangle(Role::CutMetal, dvec2(side * seat, -WALL), dvec2(side * half, 0.0));
        }
        self.sheet.rectangle(Role::Part, dvec2(-0.9 * half, face), dvec2(0.9 * half, face + PLUNGER));
        self.sheet.stroke(Role::Part, vec![dvec2(0.0, face + PLUNGER), dvec2(0.0, top + 8e-3)], 2e-3);
        // the lip of the cup stands against the wall on both sides
        let torn = self.is(Mark::Torn);
        for side in [-1.0, 1.0] {
            let inward = if torn && side > 0.0 { 0.72 } else { 1.0 };
            let lip = [dvec2(side * 0.7 * half, face), dvec2(side * inward * half, face - 2.5e-3)];
            self.sheet.stroke(Role::Diaphragm, lip.to_vec(), 1.2e-3);
            if torn && side > 0.0 {
                self.split(lip[1], 3e-3);
            }
        }
        let ball = (0.75 * pump.inlet_m).max(0.6e-3);
        let seat = dvec2(0.0, (ball * ball - pump.inlet_m * pump.inlet_m / 4.0).max(0.0).sqrt());
        self.sheet.disc(Role::Part, seat, ball);
        if self.is(Mark::Stuck) {
            let (from, to) = (dvec2(-2.0 * ball, 0.4e-3), dvec2(2.0 * ball, 0.4e-3));
            self.sheet.stroke(Role::Accent, vec![from, to], 0.8e-3);
        }
        let (_, shot) = self.both("pump", "shot");
        let cup = format!(
            "Cup {}: delivers {}",
            if torn { "split" } else { "whole" },
            self.show(Quantity::SmallVolume, shot)
        );
        self.name(&cup, dvec2(0.8 * half, face - 1e-3), Column::Right);
        let (_, inlet) = self.both("pump", "inlet");
        let check = if self.is(Mark::Stuck) { "gummed up, flows as" } else { "free, hole" };
        let check = format!("Inlet check {check} {}", self.show(Quantity::FineLength, inlet));
        self.name(&check, seat, Column::Left);
    }

    /// The skin laid flat, with its plate; torn, the split runs along the plate's edge.
    fn diaphragm(&mut self) {
        let key = if value(&self.sound, "family", "area").is_some() { "area" } else { "brake_area" };
        let (made, now) = self.both("family", key);
        let radius = (made / PI).sqrt();
        self.sheet.disc(Role::Part, DVec2::ZERO, radius + 5e-3);
        let around: Vec<_> = (0..=48).map(|i| direction(TAU * f64::from(i) / 48.0) * radius).collect();
        self.sheet.stroke(Role::Diaphragm, around, 1e-3);
        self.sheet.disc(Role::Part, DVec2::ZERO, 0.62 * radius);
        self.name("Plate", dvec2(0.0, -0.3 * radius), Column::Left);
        let text = format!("Skin, pulls as {}", self.show(Quantity::Area, now));
        self.name(&text, dvec2(0.8 * radius, -0.2 * radius), Column::Right);
        if self.is(Mark::Torn) {
            let edge = |i: i32, out: f64| direction(0.4 + 0.12 * f64::from(i)) * (radius * out);
            let mut tear: Vec<_> = (0..=8).map(|i| edge(i, if i % 2 == 0 { 0.67 } else { 0.70 })).collect();
            tear.extend((0..=8).rev().map(|i| edge(i, if i % 2 == 0 { 0.73 } else { 0.77 })));
            self.sheet.area(Role::Accent, tear);
            self.name("Split along the plate", edge(4, 0.72), Column::Right);
        }
    }

    /// The door at the furthest that a finger turns it, and where its stop should be.
    fn door(&mut self) {
        let (made, now) = self.both("family", "open");
        let length = value(&self.sound, "family", "length").unwrap_or(0.0);
        let offset = value(&self.sound, "family", "offset").unwrap_or(0.0);
        let (ahead, behind) = (length / 2.0 + offset, length / 2.0 - offset);
        for side in [-1.0, 1.0] {
            let wall = side * (length / 2.0 + 0.4e-3) - offset;
            self.sheet.rectangle(
                Role::CutMetal,
                dvec2(wall, -ahead - 4e-3),
                dvec2(wall + side * 4e-3, behind.max(4e-3) + 4e-3),
            );
        }
        let along = |angle: f64| -direction(angle);
        for (a, b) in dashes(along(made) * ahead, -along(made) * behind, 3e-3) {
            self.sheet.stroke(Role::Line, vec![a, b], 0.0);
        }
        let thick = value(&self.sound, "family", "thickness").unwrap_or(1e-3);
        self.sheet.area(Role::Part, super::shapes::blade(DVec2::ZERO, along(now), ahead, behind, thick));
        self.sheet.disc(Role::Part, DVec2::ZERO, thick.max(2e-3));
        let angle = |angle| self.show(Quantity::Angle, angle);
        let text = if made == now { format!("Opens to {}", angle(now)) } else { format!("Binds at {}", angle(now)) };
        self.name(&text, along(now) * (0.8 * ahead), Column::Left);
        if made != now {
            let text = format!("Stop at {}", self.show(Quantity::Angle, made));
            self.name(&text, along(made) * (0.8 * ahead), Column::Right);
        }
    }

    /// A split in something thin.
    fn split(&mut self, at: DVec2, size: f64) {
        let zigzag = [(-0.5, 0.3), (-0.15, -0.2), (0.15, 0.2), (0.5, -0.3)].map(|(x, y)| at + dvec2(x, y) * size);
        self.sheet.stroke(Role::Accent, zigzag.to_vec(), 0.4e-3);
    }
}
