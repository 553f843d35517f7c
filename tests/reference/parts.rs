//! Moving fuel, flaps and capsules: the parts of sections 7, 8 and 9 that the model has.

use crate::air::SEA_LEVEL;
use crate::elementary::plain_circuit;
use crate::table::{DIGITS, Row, row};
use second_breath::carburettor::barrels::{BARRELS, Barrels};
use second_breath::carburettor::main_circuit::MainCircuit;
use second_breath::families::blade::Blade;
use second_breath::families::brake::Brake;
use second_breath::families::vacuum_diaphragm::VacuumDiaphragm;
use second_breath::families::{Family, Own, Surroundings};
use second_breath::physics::air::{GAS_CONSTANT, Stagnation};
use second_breath::physics::air_path::{self, PathFlow};
use second_breath::physics::fuel_flow::Liquid;
use second_breath::physics::gas_chamber;
use second_breath::solver::hybrid::{Control, Evaluation, Hybrid, Tolerance, integrate};
use second_breath::units::INHG;
use std::f64::consts::FRAC_PI_4;

const TIGHT: Control = Control { relative: 1e-9, absolute_scale: 1e-6, longest: 1e-3 };

/// A column of fuel that starts from rest under a steady depression, with the head left out.
pub struct Column {
    circuit: MainCircuit,
    depression_pa: f64,
}

impl Column {
    pub fn new(jet_m: f64, passage_length_m: f64, passage_bore_m: f64, depression_pa: f64) -> Self {
        let barrels = Barrels { passage_length_m, passage_bore_m, lip_m: 1e-12, ..Barrels::default() };
        Self { circuit: plain_circuit(jet_m, 0.8, barrels), depression_pa }
    }

    /// Steady flow of one barrel, m³/s.
    fn steady(&self) -> f64 {
        self.circuit.at_rest(self.depression_pa, 1.0).1 / BARRELS
    }

    /// Flow of one barrel after a time, over its steady flow.
    pub fn share_after(mut self, time_s: f64) -> f64 {
        let mut flow = [0.0];
        integrate(&mut self, (0.0, time_s), &mut flow, TIGHT, |_, _| {}).expect("runs");
        flow[0] / BARRELS / self.steady()
    }

    /// Time constant: what the acceleration at rest would need for the steady flow, s.
    fn time_constant(&self) -> f64 {
        BARRELS * self.steady() / self.circuit.motion(self.depression_pa, 0.0, 1.0, 0.0, 0.0).acceleration
    }
}

impl Hybrid<1> for Column {
    fn evaluate(&self, _time: f64, state: &[f64; 1], into: &mut Evaluation<1>) {
        let motion = self.circuit.motion(self.depression_pa, 0.0, 1.0, 0.0, state[0]);
        into.rates = [motion.acceleration];
        into.stiff.clear();
        into.stiff.push(0, 0, motion.slope);
    }

    fn transition(&mut self, _index: usize, _time: f64, _state: &mut [f64; 1]) {}

    fn tolerance(&self) -> &Tolerance<1> {
        &Tolerance { absolute: [1e-10], relative_share: [1.0] }
    }
}

fn short_passage() -> Column {
    Column::new(1.5e-3, 60e-3, 5e-3, 1500.0)
}

/// Moment of a closed blade, mN m, by our arm of torque.
fn blade_moment(length_m: f64, width_m: f64, offset_m: f64, drop_pa: f64) -> f64 {
    1e3 * drop_pa * Blade { length_m, width_m, offset_m, ..Blade::default() }.torque_arm(0.0)
}

/// A blade of the area of a disc: only area and offset count.
pub fn disc_moment(diameter_m: f64, offset_m: f64, drop_pa: f64) -> f64 {
    blade_moment(FRAC_PI_4 * diameter_m, diameter_m, offset_m, drop_pa)
}

fn set(family: &mut VacuumDiaphragm, key: &str, value: f64) {
    let mut groups = family.groups_mut();
    let index = groups[0].settings().iter().position(|setting| setting.id == key).expect("a setting");
    groups[0].set(index, value);
}

/// Moment on one of the offset secondary plates of the vacuum diaphragm, closed at right angles, mN m: what the
/// offset takes from the force at the rod, back through the rod's travel.
fn plate_moment(bore_m: f64, offset_m: f64, drop_pa: f64) -> f64 {
    let barrels = Barrels { bore_m, closed_rad: 0.0, ..Barrels::default() };
    let openings = barrels.openings(0.0, 1.0);
    let still = air_path::solve(SEA_LEVEL, SEA_LEVEL.pressure_pa - drop_pa, &openings);
    let path = PathFlow { above_throttle_pa: SEA_LEVEL.pressure_pa, ..still };
    let stroke = 20e-3;
    let force = |offset: f64| {
        let mut family = VacuumDiaphragm::default();
        set(&mut family, "plate_offset_m", offset);
        set(&mut family, "stroke_m", stroke);
        let mut own = Own::default();
        own[2] = 1e-5;
        let near = Surroundings {
            ambient: SEA_LEVEL,
            plenum_pa: SEA_LEVEL.pressure_pa - drop_pa,
            primary: &path,
            secondary: &path,
            barrels: &barrels,
            link_travel: (1.0, 0.0),
            car_acceleration: 0.0,
            fuel: Liquid { density: 740.0, viscosity: 5e-4 },
        };
        family.opening_force(&own, &near)
    };
    1e3 * (force(0.0) - force(offset_m)) * stroke / barrels.wide_open_rad / BARRELS
}

const ROOM: Stagnation = Stagnation { pressure_pa: 101_325.0, temperature_k: 300.0 };
const RIGID: Brake = Brake {
    brake_area_m2: 0.0,
    brake_travel_m: 9e-3,
    brake_arm_m: 8e-3,
    brake_preload_n: 0.0,
    brake_rate_n_per_m: 400.0,
    brake_orifice_m: 0.5e-3,
    brake_check_m: 1.5e-3,
    brake_volume_m3: 50e-6,
};

/// A can that fills from the room through the brake's orifice until a depression is left.
struct Can {
    brake: Brake,
    until_pa: f64,
    reached: bool,
}

impl Can {
    fn depression(&self, air_kg: f64) -> f64 {
        ROOM.pressure_pa - self.brake.pull(air_kg, 0.0, ROOM).chamber_pa
    }
}

impl Hybrid<1> for Can {
    fn evaluate(&self, _time: f64, state: &[f64; 1], into: &mut Evaluation<1>) {
        let pull = self.brake.pull(state[0], 0.0, ROOM);
        let (flow, slope) = self.brake.refill(&pull, ROOM.pressure_pa, ROOM);
        into.rates = [flow];
        into.stiff.clear();
        into.stiff.push(0, 0, slope);
        into.guards.clear();
        into.guards.push(if self.reached { 1.0 } else { self.depression(state[0]) - self.until_pa });
    }

    fn transition(&mut self, _index: usize, _time: f64, _state: &mut [f64; 1]) {
        self.reached = true;
    }

    fn tolerance(&self) -> &Tolerance<1> {
        &Tolerance { absolute: [1e-9], relative_share: [1.0] }
    }
}

/// Time in ms in which a rigid can of 50 cm³ fills through an orifice from 5 kPa to a depression.
pub fn filling_ms(orifice_m: f64, until_pa: f64) -> f64 {
    let brake = Brake { brake_orifice_m: orifice_m, ..RIGID };
    let mut can = Can { brake, until_pa, reached: false };
    let mut air = [gas_chamber::mass(ROOM.pressure_pa - 5e3, 50e-6, ROOM.temperature_k)];
    let mut time = 0.0;
    integrate(&mut can, (0.0, 1.0), &mut air, TIGHT, |can: &Can, stretch| {
        if !can.reached {
            time = stretch.end;
        }
    })
    .expect("runs");
    1e3 * time
}

/// Volume in m³ that a capsule seems to have: how much air it takes for each pascal, near let go.
fn seeming_volume(area_m2: f64) -> f64 {
    let brake = Brake { brake_area_m2: area_m2, brake_rate_n_per_m: 800.0, brake_travel_m: 1e-5, ..RIGID };
    let largest = RIGID.brake_volume_m3 + area_m2 * brake.brake_travel_m;
    let at = |depression: f64| gas_chamber::mass(ROOM.pressure_pa - depression, largest, ROOM.temperature_k);
    let (more, less) = (at(0.05), at(0.1));
    let pressure = |air: f64| brake.pull(air, 0.0, ROOM).chamber_pa;
    GAS_CONSTANT * ROOM.temperature_k * (more - less) / (pressure(more) - pressure(less))
}

/// 1989.68 mm²: a diaphragm between 60 and 40 mm (C9.03).
const DIAPHRAGM_M2: f64 = 1989.68e-6;
/// Resistance of the restriction behind C9.14 to C9.16, Pa s/m³: 59.6322 ms × 101 325 Pa over 50 cm³.
const RESISTANCE: f64 = 59.6322e-3 * 101_325.0 / 50e-6;

const LAMINAR_END: (f64, &str) =
    (0.01, "below about 100 Pa our fine orifice turns laminar, theirs does not: the last tenth takes 8 % longer");
const CLOSED_FORM: (f64, &str) = (0.02, "the same, and the closed form takes air as incompressible: 1 % more");
const TURBULENT: (f64, &str) = (3e-4, "at 1 kPa the laminar part of our orifice has begun: 0.02 %");
const COMPLIANCE: (f64, &str) = (1e-3, "a difference quotient over a twentieth of a pascal of a capsule that moves");

pub const ROWS: &[Row] = &[
    row("C7.02", "MainCircuit::motion", DIGITS, || 1e3 * short_passage().time_constant()),
    row("C7.04", "MainCircuit::at_rest", DIGITS, || 1e6 * Column::new(1.5e-3, 60e-3, 3e-3, 1500.0).steady()),
    row("C7.07", "MainCircuit::at_rest", DIGITS, || 1e6 * Column::new(1.8e-3, 100e-3, 3e-3, 500.0).steady()),
    row("C7.09", "MainCircuit::motion", DIGITS, || short_passage().share_after(4.305_58e-3)),
    row("C8.41", "Blade::torque_arm", DIGITS, || disc_moment(40e-3, 2e-3, 5e3)),
    row("C8.42", "VacuumDiaphragm, offset plates", DIGITS, || plate_moment(40e-3, 2e-3, INHG.to_si(1.5))),
    row("C8.43", "Blade::torque_arm", DIGITS, || disc_moment(1.0, 0.05, 1.0) / 1e3),
    row("C8.44", "Blade::torque_arm", DIGITS, || blade_moment(40e-3, 60e-3, 4e-3, 500.0)),
    row("C9.11", "Brake::refill and gas_chamber::flow", LAMINAR_END, || filling_ms(0.5e-3, 50.0)),
    row("P9.1", "Brake::refill and gas_chamber::flow", TURBULENT, || filling_ms(0.5e-3, 1000.0)),
    row("C9.12", "Brake::refill and gas_chamber::flow", CLOSED_FORM, || filling_ms(0.5e-3, 50.0)),
    row("C9.14", "gas_chamber", DIGITS, || 1e3 * RESISTANCE * seeming_volume(0.0) / ROOM.pressure_pa),
    row("C9.16", "Brake::pull", COMPLIANCE, || 1e3 * RESISTANCE * seeming_volume(DIAPHRAGM_M2) / ROOM.pressure_pa),
    row("C9.17", "Brake::pull", COMPLIANCE, || 1e6 * (seeming_volume(DIAPHRAGM_M2) - RIGID.brake_volume_m3)),
    row("P7.1", "MainCircuit::at_rest", DIGITS, || 1e6 * Column::new(1.5e-3, 60e-3, 3e-3, 1500.0).steady()),
    row("P8.1", "VacuumDiaphragm, offset plates", DIGITS, || plate_moment(40e-3, 2e-3, INHG.to_si(1.5))),
    row("P9.2", "Brake::pull", COMPLIANCE, || 1e6 * seeming_volume(DIAPHRAGM_M2)),
];

/// Q = Q∞ tanh(t/τ) at other times than τ: 1e-6 of the steady flow is the integrator's.
#[test]
fn a_column_of_fuel_starts_as_the_hyperbolic_tangent() {
    for share in [0.25, 0.5, 2.0] {
        let time = share * short_passage().time_constant();
        let ours = short_passage().share_after(time);
        assert!((ours - share.tanh()).abs() < 1e-6, "{share}: {ours} against {}", share.tanh());
    }
}
