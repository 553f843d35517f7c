//! The right-hand side: every law at one instant, for one scenario.
//!
//! This file holds the states, the modes and what happens at the ends of an integration; `instant` puts the laws
//! together, `rates` hands them to the integrator, `sample` to the trace.

mod instant;
mod rates;
mod sample;

use crate::bench::scenario::Scenario;
use crate::carburettor::barrels::Barrels;
use crate::carburettor::idle::IdleCircuit;
use crate::carburettor::linkage::Link;
use crate::carburettor::main_circuit::MainCircuit;
use crate::carburettor::pump::PumpMode;
use crate::engine::load::{Coupling, LoadKind};
use crate::engine::wall_film::Film;
use crate::families::{Family, SPEED, STATES};
use crate::physics::air::{GAS_CONSTANT, Stagnation};
use crate::physics::air_path::{self, Openings};
use crate::physics::fuel_flow::Liquid;
use crate::physics::plate::Plate;
use crate::solver::hybrid::Tolerance;
use crate::solver::moving_part::{Mode, MovingPart};

/// Number of states.
pub const SIZE: usize = 18 + STATES;
/// A state of a run.
pub type State = [f64; SIZE];

/// Where each state stands.
pub mod at {
    /// Plenum pressure, Pa.
    pub const PLENUM: usize = 0;
    /// Engine speed, rad/s.
    pub const ENGINE: usize = 1;
    /// Road speed, m/s.
    pub const ROAD: usize = 2;
    /// Distance, m.
    pub const DISTANCE: usize = 3;
    /// Fuel on the wall, kg.
    pub const FILM: usize = 4;
    /// Fuel on its way to the cylinders, kg.
    pub const AIRBORNE: usize = 5;
    /// Pump plungers below their tops, m: primary, secondary.
    pub const PUMPS: [usize; 2] = [6, 7];
    /// Fuel above the set level in the wells, m³: primary, secondary.
    pub const WELLS: [usize; 2] = [8, 10];
    /// Flow through the main jets, m³/s: primary, secondary.
    pub const FLOWS: [usize; 2] = [9, 11];
    /// Fuel missing from the bowls, m³: primary, secondary.
    pub const MISSING: [usize; 2] = [12, 13];
    /// Air that has entered and left the plenum, kg.
    pub const AIR: [usize; 2] = [14, 15];
    /// Fuel that has entered through the needles and left into the cylinders, kg.
    pub const FUEL: [usize; 2] = [16, 17];
    /// First of the family's own states.
    pub const OWN: usize = 18;
}

/// Engine speed below which it has stalled, rad/s; about 350 rpm, from memory.
pub(super) const STALL_SPEED: f64 = 36.0;

/// Modes of the shared parts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Modes {
    spilling: [bool; 2],
    pumps: [PumpMode; 2],
    part: Mode,
    stalled: bool,
}

/// What happens with the speeds.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Drive {
    /// Held, as before the stab.
    Held,
    /// Free to change, with a steady force (car) or torque (engine) that balances the moment of release.
    Released { balance: f64 },
}

/// One scenario, ready to be integrated.
#[derive(Debug, Clone)]
pub struct Model<'a> {
    scenario: &'a Scenario,
    family: &'a dyn Family,
    ambient: Stagnation,
    fuel: Liquid,
    stoichiometric: f64,
    mains: [MainCircuit; 2],
    link: Link,
    idle: IdleCircuit,
    film: Film,
    plates: [Plate; 2],
    /// The openings of each side but for plates and doors.
    shut: [Openings; 2],
    part: Option<MovingPart>,
    corners: Vec<(f64, f64)>,
    /// Which piece of the pedal's path the clock is in; `None` before the run.
    piece: Option<usize>,
    modes: Modes,
    drive: Drive,
    tolerance: Tolerance<SIZE>,
}

impl<'a> Model<'a> {
    /// A model of `scenario`, speeds held.
    pub fn new(scenario: &'a Scenario) -> Self {
        let ambient = scenario.ambient.air();
        let fuel = scenario.fuel.liquid();
        let family = scenario.family();
        let barrels = [&scenario.primary, &scenario.secondary];
        let plates = barrels.map(Barrels::plate);
        Self {
            scenario,
            family,
            ambient,
            fuel,
            stoichiometric: scenario.fuel.stoichiometric_ratio(),
            mains: barrels.map(|barrels| MainCircuit::new(barrels, fuel, ambient.density())),
            link: scenario.link(),
            idle: IdleCircuit::new(&scenario.idle, plates[0], ambient, fuel),
            film: scenario.film.on_wall(scenario.engine.wall_k),
            plates,
            shut: barrels.map(|barrels| barrels.shut(0.5 * scenario.ambient.cleaner_m2)),
            part: family.moving_part(),
            corners: scenario.pedal.corners_with(scenario.link().start()),
            piece: None,
            modes: Modes { spilling: [false; 2], pumps: [PumpMode::Follows; 2], part: Mode::AtLower, stalled: false },
            drive: Drive::Held,
            tolerance: tolerances(family),
        }
    }

    /// Corners of the pedal's path, and where it passes the start of the link.
    pub fn corners(&self) -> &[(f64, f64)] {
        &self.corners
    }

    /// Lean limit of usable running in λ.
    pub fn lean_limit(&self) -> f64 {
        self.scenario.mixture.lean_limit()
    }

    /// A state near rest at the scenario's starting speed and pedal: flows balance, wells, film and pumps settled.
    pub fn near_rest(&mut self) -> State {
        let scenario = self.scenario;
        let mut state = [0.0; SIZE];
        state[at::ENGINE] = scenario.load.start_rad_per_s;
        state[at::ROAD] = scenario.load.start_rad_per_s / scenario.load.turns_per_metre();
        let pedal = self.pedal_at(-1.0).0;
        let plate = self.plates[0].angle_from_stop(scenario.idle.curb_rad, pedal);
        let openings = self.openings(0, plate);
        let draw = scenario.engine.draw_per_pascal(state[at::ENGINE]);
        let p0 = self.ambient.pressure_pa;
        let plenum = crate::solver::root::bracketed(0.02 * p0, p0, 0.01, |p| {
            let leak = scenario.leak.flow(self.ambient, p).0;
            air_path::solve(self.ambient, p, &openings).flow_kg_per_s + leak - draw * p
        });
        state[at::PLENUM] = plenum;
        let primary = air_path::solve(self.ambient, plenum, &openings);
        let (own, mode) = self.family.at_rest(self.ambient, plenum, &primary);
        state[at::OWN..].copy_from_slice(&own);
        self.modes.part = mode;
        let signal = self.signal(0, &own, &primary);
        let (well, flow) = self.mains[0].at_rest(signal, self.jet_factor(0, plenum, &own));
        state[at::WELLS[0]] = well;
        state[at::FLOWS[0]] = flow;
        self.modes.spilling = [flow > 0.0, false];
        state[at::PUMPS[0]] = scenario.pump.lever(pedal, 0.0).place_m;
        if let Some(pump) = self.family.second_pump() {
            state[at::PUMPS[1]] = pump.lever(self.link.secondary(pedal).0, 0.0).place_m;
        }
        let now = self.instant(-1.0, &state);
        let (share, time) = now.film;
        state[at::FILM] = now.port_fuel * share * time;
        state[at::AIRBORNE] = now.port_fuel / now.firing.transport.max(1e-6);
        for side in 0..2 {
            let out = now.out_of_bowl(self, side, &state);
            let bowl = &scenario.bowl;
            state[at::MISSING[side]] = out / bowl.needle_m3_per_s * bowl.float_travel_m * bowl.surface_m2;
        }
        state
    }

    /// Let the speeds go: from here on the load decides. A steady force or torque keeps what it balanced before.
    pub fn release(&mut self, state: &mut State) {
        let load = &self.scenario.load;
        let now = self.instant(0.0, state);
        let balance = match (load.kind, load.coupling) {
            (LoadKind::Dynamometer, _) => 0.0,
            (LoadKind::Free, _) => now.firing.torque,
            (LoadKind::Vehicle, Coupling::Clutch) => now.firing.torque * load.turns_per_metre(),
            (LoadKind::Vehicle, Coupling::Converter) => {
                let engine = state[at::ENGINE];
                let turbine = crate::solver::root::bracketed(0.0, 1.5 * engine, 1e-9, |turbine| {
                    load.converter(engine, turbine).impeller - now.firing.torque
                });
                state[at::ROAD] = turbine / load.turns_per_metre();
                load.converter(engine, turbine).turbine * load.turns_per_metre()
            }
        };
        let road = match load.kind {
            LoadKind::Vehicle => load.road_force(state[at::ROAD], self.ambient.density()),
            LoadKind::Free | LoadKind::Dynamometer => 0.0,
        };
        if load.kind == LoadKind::Free {
            state[at::ROAD] = 0.0;
        }
        self.drive = Drive::Released { balance: balance - road };
        state[at::DISTANCE] = 0.0;
        for balance in [at::AIR, at::FUEL] {
            balance.iter().for_each(|&i| state[i] = 0.0);
        }
    }

    /// Air stored in the plenum, kg.
    pub fn stored_air(&self, state: &State) -> f64 {
        let engine = &self.scenario.engine;
        state[at::PLENUM] * engine.manifold_m3 / (GAS_CONSTANT * engine.charge_k)
    }

    /// Fuel stored in wells, pumps, film and port, less what the bowls lack, kg.
    pub fn stored_fuel(&self, state: &State) -> f64 {
        let pumps = [Some(&self.scenario.pump), self.family.second_pump()];
        let volume: f64 = (0..2)
            .map(|side| {
                let pump = pumps[side].map_or(0.0, |pump| pump.plunger_m2() * state[at::PUMPS[side]]);
                state[at::WELLS[side]] - state[at::MISSING[side]] - pump
            })
            .sum();
        state[at::FILM] + state[at::AIRBORNE] + self.fuel.density * volume
    }

    /// Enter a piece of the pedal's path: a part that leans on a stop may be left behind by it.
    pub fn enter_piece(&mut self, piece: usize, state: &mut State) {
        let time = self.corners[piece].0;
        let mut speed = self.instant(time, state).own[SPEED];
        self.piece = Some(piece);
        let now = self.instant(time, state);
        if let (Some(part), Some(drive)) = (self.part, self.own_rates(&now).drive) {
            self.modes.part = part.stop_changed(self.modes.part, &drive, &mut speed);
            state[at::OWN + SPEED] = speed;
        }
    }
}

fn tolerances(family: &dyn Family) -> Tolerance<SIZE> {
    let mut t = [1.0; SIZE];
    t[at::PLENUM] = 0.5;
    t[at::ENGINE] = 1e-3;
    t[at::ROAD] = 1e-4;
    t[at::DISTANCE] = 1e-3;
    t[at::FILM] = 1e-9;
    t[at::AIRBORNE] = 1e-9;
    for side in 0..2 {
        t[at::PUMPS[side]] = 1e-7;
        t[at::WELLS[side]] = 1e-11;
        t[at::FLOWS[side]] = 1e-10;
        t[at::MISSING[side]] = 1e-9;
        // sums: they follow from the others and never choose the step
        t[at::AIR[side]] = 1.0;
        t[at::FUEL[side]] = 1.0;
    }
    let mut share = [1.0; SIZE];
    // what counts is the distance from ambient
    share[at::PLENUM] = 0.1;
    let (own, own_share) = family.tolerance();
    t[at::OWN..].copy_from_slice(&own);
    share[at::OWN..].copy_from_slice(&own_share);
    Tolerance { absolute: t, relative_share: share }
}
