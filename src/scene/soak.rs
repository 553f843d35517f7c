//! A parked carburettor in section: stores of heat tinted by their temperature, heat as arrows, fuel where it stands,
//! boils and runs over. Every state is that of one [`Sample`]; see [`SoakPlan`] for what is to scale.

use super::shapes::{Column, Sheet, arrow, corners};
use super::soak_plan::SoakPlan;
use super::{Role, Scene, labels};
use crate::heat::materials::Spacer;
use crate::heat::soak::Soak;
use crate::heat::trace::Sample;
use crate::physics::GRAVITY;
use crate::settings::Word;
use crate::units::{Quantity, UnitSystem};
use glam::{DVec2, dvec2};

/// Width of an arrow for a watt, m.
pub const WIDTH_PER_WATT: f64 = 0.4e-3;
/// What one drop over the nozzles stands for, kg/s.
pub const FLOW_PER_DROP: f64 = 20e-6;
/// What one ring of vapour over the vents stands for, kg/s.
pub const FLOW_PER_RING: f64 = 2e-6;
/// Less vapour or fuel than this is not shown, kg/s.
const LEAST_FLOW: f64 = 0.2e-6;
/// Less fuel on the manifold's floor than this is not named, kg: a drop or two.
const LEAST_PUDDLE_KG: f64 = 0.05e-3;
/// Most drops or rings in one place.
const MOST: usize = 30;
/// Margin to boiling from which fuel is said to boil, K: boiling holds its own margin at nothing.
const BOILS_K: f64 = 0.1;

/// The drawing of a soak at one instant, its names with figures in these units.
pub fn draw(soak: &Soak, sample: &Sample, units: UnitSystem) -> Scene {
    let plan = SoakPlan::new(soak);
    let mut picture = Picture { sheet: Sheet::default(), plan, soak, sample, units };
    picture.surroundings();
    picture.engine();
    picture.joint();
    picture.casting();
    picture.fuel();
    picture.vapour();
    picture.heat();
    picture.names();
    labels::place(picture.sheet)
}

struct Picture<'a> {
    sheet: Sheet,
    plan: SoakPlan,
    soak: &'a Soak,
    sample: &'a Sample,
    units: UnitSystem,
}

/// Both sides: left, right.
const SIDES: [f64; 2] = [-1.0, 1.0];

impl Picture<'_> {
    /// Sides that have a barrel with its well and nozzle.
    fn wet_sides(&self) -> impl Iterator<Item = f64> + use<> {
        let (left, right) = self.plan.barrels;
        SIDES.into_iter().zip([left, right]).filter(|(_, is_there)| *is_there).map(|(side, _)| side)
    }

    fn surroundings(&mut self) {
        let (left, right, top) = self.plan.bay;
        let air = corners(dvec2(left, self.plan.ground), dvec2(right, top));
        self.sheet.scene.warmths.push(super::Warmth { outline: air, temperature_k: self.sample.bay_k });
        self.sheet.stroke(Role::Part, vec![dvec2(left, top), dvec2(right, top)], 1.2e-3);
    }

    fn engine(&mut self) {
        let (plan, sample) = (self.plan, self.sample);
        let (outer, inner) = plan.manifold;
        let (roof, floor, under) = plan.hollow;
        self.sheet.warm(sample.block_k, corners(dvec2(plan.exhaust, plan.ground), dvec2(outer, under)));
        self.sheet.warm(sample.exhaust_k, corners(dvec2(-outer, plan.ground), dvec2(plan.exhaust, under)));
        self.sheet.warm(sample.manifold_k, corners(dvec2(-outer, under), dvec2(outer, 0.0)));
        self.sheet.area(Role::Hollow, corners(dvec2(-inner, floor), dvec2(inner, roof)));
        let (x, y, radius) = plan.pump;
        let way = (plan.outside + 7e-3).max(x);
        let (out, entry) = (y + radius, (plan.level + 6e-3).min(plan.ceiling - 1.5e-3));
        let line = [dvec2(x, out), dvec2(x, out + 3e-3), dvec2(way, out + 3e-3), dvec2(way, entry)];
        self.sheet.tube(Role::Fuel, line.into_iter().chain([dvec2(plan.bowl.1, entry)]).collect(), 2.5e-3);
        self.sheet.stroke(Role::Part, vec![dvec2(outer, y.max(plan.ground + 5e-3)), dvec2(x, y)], 5e-3);
        let round =
            (0..32).map(|i| dvec2(x, y) + DVec2::from_angle(f64::from(i) * std::f64::consts::TAU / 32.0) * radius);
        self.sheet.warm(sample.pump_k, round.collect());
    }

    fn joint(&mut self) {
        let plan = self.plan;
        for (low, high) in plan.gaskets.into_iter().flatten() {
            self.sheet.rectangle(Role::Weight, dvec2(-plan.joint, low), dvec2(plan.joint, high));
        }
        if let Some((low, high)) = plan.spacer {
            self.sheet.rectangle(Role::Part, dvec2(-plan.joint, low), dvec2(plan.joint, high));
        }
        if self.soak.mounting.shield.sheets() > 0.0 {
            for side in SIDES {
                let height = 0.5 * plan.floor;
                let from = dvec2(side * (plan.joint + 1e-3).max(plan.inner), height);
                self.sheet.stroke(Role::Part, vec![from, dvec2(side * plan.outside, height)], 1e-3);
            }
        }
    }

    fn casting(&mut self) {
        let (plan, sample) = (self.plan, self.sample);
        let mirrored = |half: Vec<DVec2>| -> Vec<DVec2> {
            let left = half.iter().rev().map(|p| dvec2(-p.x, p.y)).collect::<Vec<_>>();
            half.into_iter().chain(left).collect()
        };
        let (low, high) = plan.flange;
        let base = [(plan.joint, low), (plan.joint, high), (plan.core, high), (plan.core, plan.seam)];
        self.sheet.warm(sample.base_k, mirrored(base.map(|(x, y)| dvec2(x, y)).to_vec()));
        let body = [
            (plan.core, plan.seam),
            (plan.core, plan.bridge),
            (plan.inner, plan.bridge),
            (plan.inner, plan.floor),
            (plan.outside, plan.floor),
            (plan.outside, plan.top),
        ];
        self.sheet.warm(sample.body_k, mirrored(body.map(|(x, y)| dvec2(x, y)).to_vec()));
        self.hollows();
        self.studs();
    }

    fn hollows(&mut self) {
        let plan = self.plan;
        for side in SIDES {
            let at = |x: f64, y: f64| dvec2(side * x, y);
            self.sheet.area(Role::Hollow, corners(at(plan.bowl.0, plan.bottom), at(plan.bowl.1, plan.ceiling)));
            self.sheet.area(Role::Hollow, corners(at(plan.vent.0, plan.ceiling), at(plan.vent.1, plan.vent_top)));
        }
        for side in self.wet_sides() {
            let at = |x: f64, y: f64| dvec2(side * x, y);
            self.sheet.area(Role::Hollow, corners(at(plan.barrel.0, plan.hollow.0), at(plan.barrel.1, plan.top)));
            let foot = plan.jet.0 - 0.5 * plan.jet.1 - 0.5e-3;
            self.sheet.area(Role::Hollow, corners(at(plan.well.0, foot), at(plan.well.1, plan.nozzle.1)));
            // the nozzle reaches into its barrel
            self.sheet.area(Role::Hollow, corners(at(self.tip(), plan.nozzle.0), at(plan.well.0, plan.nozzle.1)));
            // an idle plate, all but shut
            let height = plan.flange.0 + 0.5 * (plan.flange.1 - plan.flange.0);
            let plate = [at(plan.barrel.0 + 0.4e-3, height - 1.2e-3), at(plan.barrel.1 - 0.4e-3, height + 1.2e-3)];
            self.sheet.stroke(Role::Part, plate.to_vec(), 1.4e-3);
        }
    }

    /// Where a nozzle ends in its barrel.
    fn tip(&self) -> f64 {
        0.35 * self.plan.barrel.0 + 0.65 * self.plan.barrel.1
    }

    fn studs(&mut self) {
        let plan = self.plan;
        let Some((axis, diameter)) = plan.stud else { return };
        for side in SIDES.into_iter().filter(|side| *side > 0.0 || plan.stud_on_left) {
            let (half, top) = (0.5 * diameter, plan.flange.1);
            let at = |x: f64, y: f64| dvec2(side * axis + x, y);
            self.sheet.rectangle(Role::Part, at(-half, -0.8 * plan.hollow.0.abs()), at(half, top + diameter));
            self.sheet.rectangle(Role::Part, at(-0.9 * diameter, top), at(0.9 * diameter, top + 0.8 * diameter));
        }
    }

    fn fuel(&mut self) {
        let (plan, sample) = (self.plan, self.sample);
        let surface = (plan.bottom + sample.level_m.max(0.0)).min(plan.ceiling);
        for side in SIDES {
            let at = |x: f64, y: f64| dvec2(side * x, y);
            self.sheet.rectangle(Role::Fuel, at(plan.bowl.0, plan.bottom), at(plan.bowl.1, surface));
        }
        let density = self.soak.fuel.liquid().density;
        let deep = sample.puddle_kg.max(0.0) / (density * self.soak.start.puddle_m2);
        let deep = deep.min(0.9 * (plan.hollow.0 - plan.hollow.1));
        let floor = plan.hollow.1;
        self.sheet.rectangle(Role::Fuel, dvec2(-plan.puddle, floor), dvec2(plan.puddle, floor + deep));
        for side in self.wet_sides() {
            self.well(side, density);
        }
        self.drops();
    }

    /// Fuel stands in a well as high as the bowl outweighs it; with bubbles it is lighter and stands higher.
    fn well(&mut self, side: f64, density: f64) {
        let (plan, sample) = (self.plan, self.sample);
        let at = |x: f64, y: f64| dvec2(side * x, y);
        let (axis, bore) = plan.jet;
        let head = sample.over_jets_m + sample.over_pa / (density * GRAVITY);
        if head <= 0.0 {
            return;
        }
        self.sheet.rectangle(Role::Fuel, at(plan.well.1, axis - 0.5 * bore), at(plan.bowl.0, axis + 0.5 * bore));
        let share = sample.bubble_share.clamp(0.0, 0.98);
        let surface = (axis + head / (1.0 - share)).min(plan.nozzle.0 + 0.25 * (plan.nozzle.1 - plan.nozzle.0));
        self.sheet.rectangle(Role::Fuel, at(plan.well.0, axis - 0.5 * bore), at(plan.well.1, surface));
        if sample.percolating_kg_per_s > LEAST_FLOW {
            let (low, high) = plan.nozzle;
            self.sheet.rectangle(Role::Fuel, at(self.tip(), low), at(plan.well.0, low + 0.25 * (high - low)));
        }
        let (wide, high) = (plan.well.1 - plan.well.0, surface - axis);
        let radius = (0.18 * wide).min(0.9e-3);
        let area = wide * high / (std::f64::consts::PI * radius * radius);
        let count = ((share * area).round() as usize).min(2 * MOST);
        for (across, up) in spread(count) {
            let x = plan.well.0 + radius + across * (wide - 2.0 * radius);
            self.sheet.disc(Role::Vapour, at(x, axis + up * high), radius);
        }
    }

    /// Fuel that falls from the nozzles into the manifold.
    fn drops(&mut self) {
        let (plan, flow) = (self.plan, self.sample.percolating_kg_per_s);
        let sides: Vec<f64> = self.wet_sides().collect();
        let each = count(flow / sides.len().max(1) as f64, FLOW_PER_DROP);
        let (from, to) = (plan.nozzle.0, plan.hollow.1);
        for side in sides {
            for (across, down) in spread(each) {
                let x = self.tip() - 1e-3 - across * 2.5e-3;
                self.sheet.disc(Role::Fuel, dvec2(side * x, from + (to - from) * down), 0.9e-3);
            }
        }
    }

    /// Vapour over the vents.
    fn vapour(&mut self) {
        const REACH: f64 = 20e-3;
        let plan = self.plan;
        let each = count(0.5 * self.sample.venting_kg_per_s, FLOW_PER_RING);
        for side in SIDES {
            let middle = 0.5 * (plan.vent.0 + plan.vent.1);
            for (across, up) in spread(each) {
                let wide = (across - 0.5) * (plan.vent.1 - plan.vent.0) * (1.0 + up);
                let place = dvec2(side * (middle + wide), plan.vent_top + 2e-3 + up * REACH);
                self.sheet.disc(Role::Vapour, place, 1.1e-3);
            }
        }
    }

    /// The four ways of heat that the trace records, half on either side.
    fn heat(&mut self) {
        let (plan, sample) = (self.plan, self.sample);
        let mounting = &self.soak.mounting;
        let studs = mounting.studs_w_per_k() / mounting.joint_w_per_k();
        let axis = plan.stud.map_or(plan.joint, |(axis, _)| axis);
        let beside = 0.5 * (plan.core + axis - plan.stud.map_or(0.0, |(_, diameter)| 0.5 * diameter));
        let (below, above) = (-0.9 * plan.hollow.0.abs(), 0.35 * plan.flange.0 + 0.65 * plan.flange.1);
        let wall = plan.core - 0.5 * (plan.core - plan.barrel.1);
        let rise = (plan.seam - plan.flange.1).max(6e-3);
        let middle = (0.5 * (plan.bowl.0 + plan.bowl.1)).min(plan.manifold.0 - 4e-3).max(plan.inner + 4e-3);
        let height = 0.5 * (plan.bottom + plan.level);
        let stud_ends = (plan.flange.1 + 2.0 * plan.stud.map_or(0.0, |(_, diameter)| diameter)).max(above);
        let sides_of_studs = if plan.stud_on_left { 2.0 } else { 1.0 };
        for side in SIDES {
            let at = |x: f64, y: f64| dvec2(side * x, y);
            let mut flow = |from: DVec2, to: DVec2, watts: f64| {
                let outline = arrow(from, to, watts * WIDTH_PER_WATT);
                if !outline.is_empty() {
                    self.sheet.area(Role::Heat, outline);
                }
            };
            flow(at(beside, below), at(beside, above), 0.5 * sample.joint_w * (1.0 - studs));
            if plan.stud.is_some() && (side > 0.0 || plan.stud_on_left) {
                flow(at(axis, below), at(axis, stud_ends), sample.joint_w * studs / sides_of_studs);
            }
            flow(at(wall, plan.flange.1 - 1e-3), at(wall, plan.flange.1 + 1.7 * rise), 0.5 * sample.casting_w);
            flow(at(middle, 0.5e-3), at(middle, plan.floor), 0.5 * sample.gap_w);
            flow(at(plan.outside + 13e-3, height), at(plan.outside, height), 0.5 * sample.air_w);
        }
    }

    fn names(&mut self) {
        use Column::{Left, Right};
        let (plan, sample, units) = (self.plan, self.sample, self.units);
        let warm = |kelvin: f64| Quantity::Temperature.show(kelvin, units);
        let length = |metres: f64| Quantity::Length.show(metres, units);
        let watts = |watts: f64| Quantity::Power.show(watts, units);
        let boils = |margin: f64| if margin < BOILS_K { ", boils" } else { "" };
        let mounting = &self.soak.mounting;
        let joint = -plan.joint;
        let mut name = |text: String, x: f64, y: f64, level: u8, column: Column| {
            self.sheet.name(&text, dvec2(x, y), level, column);
        };
        let (left, _, top) = plan.bay;
        name(format!("Air {}", warm(sample.bay_k)), left + 4e-3, top - 8e-3, 1, Left);
        name(format!("Body {}", warm(sample.body_k)), 2e-3 - plan.outside, plan.top - 2e-3, 1, Left);
        name(format!("Base {}", warm(sample.base_k)), joint + 2e-3, 0.5 * (plan.flange.0 + plan.flange.1), 0, Left);
        if let Some((low, high)) = plan.spacer {
            let of = word(Spacer::WORDS, mounting.spacer.value());
            let text = format!("{of} {}", length(high - low));
            name(text, joint + 2e-3, 0.5 * (low + high), 0, Left);
        }
        let gasket = 0.5 * mounting.gasket_thickness_m;
        name(format!("Gasket {}", length(mounting.gasket_thickness_m)), joint + 4e-3, gasket, 1, Left);
        name(format!("Manifold {}", warm(sample.manifold_k)), 3e-3 - plan.manifold.0, -4e-3, 0, Left);
        let low = plan.ground + 8e-3;
        name(format!("Exhaust {}", warm(sample.exhaust_k)), 6e-3 - plan.manifold.0, low, 1, Left);
        name(format!("Block {}", warm(sample.block_k)), 0.5 * plan.manifold.0, low, 1, Right);

        let fuel = format!("Fuel {}{}", warm(sample.bowl_k), boils(sample.bowl_margin_k));
        name(fuel, plan.bowl.1 - 4e-3, plan.bottom + 0.7 * sample.level_m, 0, Right);
        let well = format!("Well {}{}", warm(sample.well_k), boils(sample.well_margin_k));
        let wet = if plan.barrels.1 { 1.0 } else { -1.0 };
        let in_well = wet * 0.5 * (plan.well.0 + plan.well.1);
        name(well, in_well, plan.jet.0 + 0.3 * (plan.level - plan.jet.0), 1, Right);
        let flow = |kg_per_s: f64| format!("{}/min", Quantity::SmallMass.show(60.0 * kg_per_s, units));
        if sample.venting_kg_per_s > LEAST_FLOW {
            name(format!("Vapour {}", flow(sample.venting_kg_per_s)), plan.vent.1, plan.vent_top, 1, Right);
        }
        if sample.percolating_kg_per_s > LEAST_FLOW {
            let tip = wet * self.plan.barrel.1;
            name(format!("Over {}", flow(sample.percolating_kg_per_s)), tip, plan.nozzle.1, 0, Right);
        }
        if let Some((axis, _)) = plan.stud {
            let share = mounting.studs_w_per_k() / mounting.joint_w_per_k();
            let text = format!("Studs {}", watts(share * sample.joint_w));
            name(text, axis, plan.flange.1 + 1e-3, 1, Right);
        }
        name(format!("Joint {}", watts(sample.joint_w)), plan.joint - 1e-3, gasket, 0, Right);
        if sample.puddle_kg > LEAST_PUDDLE_KG {
            let puddle = format!("Puddle {}", Quantity::SmallMass.show(sample.puddle_kg, units));
            name(puddle, 0.8 * plan.puddle, plan.hollow.1 + 0.5e-3, 0, Right);
        }
        let (x, y, radius) = plan.pump;
        let pump = format!("Pump {}{}", warm(sample.pump_k), boils(sample.pump_margin_k));
        name(pump, x + 0.5 * radius, y, 1, Right);
    }
}

/// The word that a choice stands for.
fn word(words: &'static [Word], value: f64) -> &'static str {
    words.get(value as usize).map_or("Spacer", |word| word.label)
}

/// So many marks that each stands for a flow.
fn count(flow: f64, each: f64) -> usize {
    if flow > 0.5 * LEAST_FLOW { ((flow / each).ceil() as usize).min(MOST) } else { 0 }
}

/// Places in a unit square, evenly spread whatever their number: multiples of two shares of the plastic number.
fn spread(count: usize) -> impl Iterator<Item = (f64, f64)> {
    (0..count).map(|i| {
        let i = i as f64;
        ((0.5 + i * 0.754_877_666_246_693).fract(), (0.5 + i * 0.569_840_290_998_053).fract())
    })
}
