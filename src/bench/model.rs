//! The right-hand side: every law at one instant, for one scenario.

use crate::bench::pedal::Pedal;
use crate::bench::scenario::Scenario;
use crate::bench::trace::{LARGEST_LAMBDA, Sample};
use crate::carburettor::main_circuit::{MainCircuit, MainFlow};
use crate::carburettor::pump::{Lever, Pump, PumpFlow, PumpMode};
use crate::engine::load::{Coupling, LoadKind};
use crate::engine::torque::{HEAT_PER_AIR, mixture_share};
use crate::families::{Family, Own, OwnRates, PLACE, SPEED, STATES, Surroundings};
use crate::physics::air::{GAS_CONSTANT, Stagnation};
use crate::physics::air_path::{self, PathFlow};
use crate::physics::fuel_flow::Liquid;
use crate::solver::hybrid::{Evaluation, Hybrid};
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
const STALL_SPEED: f64 = 36.0;

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
    part: Option<MovingPart>,
    corners: Vec<(f64, f64)>,
    /// Which piece of the pedal's path the clock is in; `None` before the run.
    piece: Option<usize>,
    modes: Modes,
    drive: Drive,
    tolerance: State,
}

/// Everything that holds at one instant.
struct Instant {
    pedal: f64,
    plates: [f64; 2],
    own: Own,
    own_rates: OwnRates,
    readings: [f64; crate::families::CHANNELS],
    air: [PathFlow; 2],
    signals: [f64; 2],
    mains: [MainFlow; 2],
    levers: [Lever; 2],
    pumps: [PumpFlow; 2],
    idle: f64,
    film: (f64, f64),
    port_fuel: f64,
    engine_air: f64,
    draw_per_pascal: f64,
    transport: f64,
    richness: f64,
    share: f64,
    torque: f64,
    ideal_torque: f64,
    acceleration: (f64, f64),
}

impl<'a> Model<'a> {
    /// A model of `scenario`, speeds held.
    pub fn new(scenario: &'a Scenario) -> Self {
        let ambient = scenario.ambient.air();
        let fuel = scenario.fuel.liquid();
        let family = scenario.family();
        Self {
            scenario,
            family,
            ambient,
            fuel,
            stoichiometric: scenario.fuel.stoichiometric_ratio(),
            mains: [&scenario.primary, &scenario.secondary]
                .map(|barrels| MainCircuit::new(barrels, fuel, ambient.density())),
            part: family.moving_part(),
            corners: scenario.pedal.corners(),
            piece: None,
            modes: Modes { spilling: [false; 2], pumps: [PumpMode::Follows; 2], part: Mode::AtLower, stalled: false },
            drive: Drive::Held,
            tolerance: tolerances(family),
        }
    }

    /// The scenario's foot.
    pub fn pedal(&self) -> &Pedal {
        &self.scenario.pedal
    }

    /// Corners of the pedal's path.
    pub fn corners(&self) -> &[(f64, f64)] {
        &self.corners
    }

    /// Whether the engine has stalled.
    pub fn has_stalled(&self) -> bool {
        self.modes.stalled
    }

    /// A state near rest at the scenario's starting speed and pedal: flows balance, wells, film and pumps settled.
    pub fn near_rest(&mut self) -> State {
        let scenario = self.scenario;
        let mut state = [0.0; SIZE];
        state[at::ENGINE] = scenario.load.start_rad_per_s;
        state[at::ROAD] = scenario.load.start_rad_per_s / scenario.load.turns_per_metre();
        let pedal = self.pedal_at(-1.0).0;
        let plate = scenario.primary.plate().angle_from_stop(scenario.idle.curb_rad, pedal);
        let openings = scenario.primary.openings(plate, 0.5 * scenario.ambient.cleaner_m2);
        let draw = scenario.engine.draw_per_pascal(state[at::ENGINE]);
        let p0 = self.ambient.pressure_pa;
        let plenum = crate::solver::root::bracketed(0.02 * p0, p0, 0.01, |p| {
            air_path::solve(self.ambient, p, &openings).flow_kg_per_s - draw * p
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
            state[at::PUMPS[1]] = pump.lever(scenario.linkage.secondary_travel(pedal, &scenario.primary), 0.0).place_m;
        }
        let now = self.instant(-1.0, &state);
        let (share, time) = now.film;
        state[at::FILM] = now.port_fuel * share * time;
        state[at::AIRBORNE] = now.port_fuel / now.transport.max(1e-6);
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
            (LoadKind::Free, _) => now.torque,
            (LoadKind::Vehicle, Coupling::Clutch) => now.torque * load.turns_per_metre(),
            (LoadKind::Vehicle, Coupling::Converter) => {
                let engine = state[at::ENGINE];
                let turbine = crate::solver::root::bracketed(0.0, 1.5 * engine, 1e-9, |turbine| {
                    load.converter(engine, turbine).impeller - now.torque
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

    /// Pedal and its speed at a time in the present piece of its path; held before the run.
    fn pedal_at(&self, time: f64) -> (f64, f64) {
        let Some(piece) = self.piece else { return (self.corners[0].1, 0.0) };
        let ((t0, p0), (t1, p1)) = (self.corners[piece], self.corners[piece + 1]);
        let rate = (p1 - p0) / (t1 - t0);
        ((p0 + rate * (time - t0)).clamp(p0.min(p1), p0.max(p1)), rate)
    }

    fn signal(&self, side: usize, own: &Own, air: &PathFlow) -> f64 {
        if side == 0 {
            self.scenario.primary.booster_gain * air.throat_depression()
        } else {
            self.family.nozzle_depression(own, air, &self.scenario.secondary)
        }
    }

    fn jet_factor(&self, side: usize, plenum: f64, own: &Own) -> f64 {
        if side == 0 {
            self.scenario.enrichment.area_factor(self.ambient.pressure_pa - plenum)
        } else {
            self.family.jet_factor(own)
        }
    }

    fn pumps(&self) -> [Option<&Pump>; 2] {
        [Some(&self.scenario.pump), self.family.second_pump()]
    }

    fn instant(&self, time: f64, state: &State) -> Instant {
        let scenario = self.scenario;
        let own: Own = std::array::from_fn(|i| state[at::OWN + i]);
        let plenum = state[at::PLENUM];
        let (pedal, pedal_rate) = self.pedal_at(time);
        let link = scenario.linkage.secondary_travel(pedal, &scenario.primary);
        let travels = [pedal, self.family.plate_travel(link, &own)];
        let barrels = [&scenario.primary, &scenario.secondary];
        let stops = [scenario.idle.curb_rad, 0.0];
        let plates: [f64; 2] =
            std::array::from_fn(|side| barrels[side].plate().angle_from_stop(stops[side], travels[side]));
        let cleaner = 0.5 * scenario.ambient.cleaner_m2;
        let air: [PathFlow; 2] = std::array::from_fn(|side| {
            let mut openings = barrels[side].openings(plates[side], cleaner);
            if side == 1 {
                self.family.obstruct(&own, &mut openings);
            }
            air_path::solve(self.ambient, plenum, &openings)
        });
        let signals = std::array::from_fn(|side| self.signal(side, &own, &air[side]));
        let mains = std::array::from_fn(|side| {
            let drop = scenario.bowl.drop(state[at::MISSING[side]]);
            let (well, flow) = (state[at::WELLS[side]], state[at::FLOWS[side]]);
            self.mains[side].motion(signals[side], drop, self.jet_factor(side, plenum, &own), well, flow)
        });
        let pumps = self.pumps();
        let link_rate = scenario.linkage.secondary_slope(pedal, &scenario.primary) * pedal_rate;
        let still = Lever { place_m: 0.0, speed: 0.0 };
        let levers: [Lever; 2] = std::array::from_fn(|side| {
            let (turn, rate) = [(pedal, pedal_rate), (link, link_rate)][side];
            pumps[side].map_or(still, |pump| pump.lever(turn, rate))
        });
        let none = PumpFlow { plunger_speed: 0.0, slope: 0.0, guard: 1.0 };
        let pump_flows: [PumpFlow; 2] = std::array::from_fn(|side| {
            let mode = self.modes.pumps[side];
            pumps[side].map_or(none, |pump| pump.motion(mode, levers[side], state[at::PUMPS[side]], self.fuel))
        });
        let vacuum = self.ambient.pressure_pa - plenum;
        let idle = 2.0
            * scenario.idle.flow(
                scenario.primary.plate(),
                plates[0],
                vacuum,
                self.ambient.pressure_pa,
                self.ambient.density(),
                self.fuel,
            );
        let spilled: f64 = (0..2).map(|side| self.spilled(side, state)).sum();
        let shots: f64 = (0..2).map(|s| pumps[s].map_or(0.0, |pump| pump.shot(pump_flows[s].plunger_speed))).sum();
        let port_fuel = self.fuel.density * (spilled + idle + shots);

        let engine_speed = state[at::ENGINE];
        let draw_per_pascal = scenario.engine.draw_per_pascal(engine_speed);
        let engine_air = draw_per_pascal * plenum;
        // one intake event is half a turn of the crank
        let transport = engine_speed.max(0.0) / std::f64::consts::PI;
        let cylinder_fuel = state[at::AIRBORNE] * transport;
        let richness = if engine_air > 1e-7 { cylinder_fuel * self.stoichiometric / engine_air } else { 0.0 };
        let share = if self.modes.stalled { 0.0 } else { mixture_share(richness) };
        let best = engine_air * HEAT_PER_AIR * scenario.engine.efficiency_indicated / engine_speed.max(1.0);
        let losses = scenario.engine.friction_torque(engine_speed)
            + scenario.engine.pumping_torque(plenum, self.ambient.pressure_pa, engine_speed);
        let torque = best * share - losses;
        let acceleration = self.acceleration(state, torque);

        let near = Surroundings {
            ambient: self.ambient,
            plenum_pa: plenum,
            primary: &air[0],
            secondary: &air[1],
            barrels: &scenario.secondary,
            link_travel: (link, link_rate),
            car_acceleration: acceleration.1,
            fuel: self.fuel,
        };
        Instant {
            pedal,
            plates,
            own,
            own_rates: self.family.rates(&own, &near),
            readings: self.family.readings(&own, &near),
            air,
            signals,
            mains,
            levers,
            pumps: pump_flows,
            idle,
            film: (
                scenario.film.share(plenum, scenario.engine.wall_k),
                scenario.film.time(plenum, scenario.engine.wall_k),
            ),
            port_fuel,
            engine_air,
            draw_per_pascal,
            transport,
            richness,
            share,
            torque,
            ideal_torque: best - losses,
            acceleration,
        }
    }

    /// Fuel over the nozzle lips of a side, m³/s.
    fn spilled(&self, side: usize, state: &State) -> f64 {
        if self.modes.spilling[side] { state[at::FLOWS[side]] } else { 0.0 }
    }

    /// Accelerations of engine (rad/s²) and car (m/s²).
    fn acceleration(&self, state: &State, torque: f64) -> (f64, f64) {
        let Drive::Released { balance } = self.drive else { return (0.0, 0.0) };
        let load = &self.scenario.load;
        let inertia = self.scenario.engine.inertia_kg_m2;
        match (load.kind, load.coupling) {
            (LoadKind::Dynamometer, _) => (0.0, 0.0),
            (LoadKind::Free, _) => {
                let engine = state[at::ENGINE];
                ((torque - balance * (engine / 5.0).tanh()) / inertia, 0.0)
            }
            (LoadKind::Vehicle, Coupling::Clutch) => {
                let turns = load.turns_per_metre();
                let force = torque * turns - load.road_force(state[at::ROAD], self.ambient.density()) - balance;
                let car = force / (load.mass_kg + inertia * turns * turns);
                (car * turns, car)
            }
            (LoadKind::Vehicle, Coupling::Converter) => {
                let turns = load.turns_per_metre();
                let between = load.converter(state[at::ENGINE], state[at::ROAD] * turns);
                let road = load.road_force(state[at::ROAD], self.ambient.density());
                let car = (between.turbine * turns - road - balance) / load.mass_kg;
                ((torque - between.impeller) / inertia, car)
            }
        }
    }

    /// Every figure of an instant.
    pub fn sample(&self, time: f64, state: &State) -> Sample {
        let now = self.instant(time, state);
        let rho = self.fuel.density;
        let p0 = self.ambient.pressure_pa;
        let throat_speed = |air: &PathFlow| {
            // isentropic: T₀ − T = v²/2cp, with cp = 3.5 R
            let ratio = (air.throat_pa / air.above_venturi_pa).min(1.0).powf(2.0 / 7.0);
            (7.0 * GAS_CONSTANT * self.ambient.temperature_k * (1.0 - ratio)).max(0.0).sqrt()
        };
        let pumps = self.pumps();
        let of_stroke = |side: usize, place: f64| {
            let stroke = pumps[side].map_or(0.0, Pump::stroke_m);
            if stroke > 0.0 { place / stroke } else { 0.0 }
        };
        let shot = |side: usize| pumps[side].map_or(0.0, |p| p.shot(now.pumps[side].plunger_speed) * rho);
        let vacuum = p0 - state[at::PLENUM];
        Sample {
            time_s: time,
            pedal: now.pedal,
            primary_plate_rad: now.plates[0],
            secondary_plate_rad: now.plates[1],
            device_opening: self.family.opening(&now.own),
            plenum_pa: state[at::PLENUM],
            primary_air_kg_per_s: now.air[0].flow_kg_per_s,
            secondary_air_kg_per_s: now.air[1].flow_kg_per_s,
            engine_air_kg_per_s: now.engine_air,
            primary_throat_pa: now.air[0].throat_depression(),
            secondary_throat_pa: now.air[1].throat_depression(),
            primary_signal_pa: now.signals[0],
            secondary_signal_pa: now.signals[1],
            primary_throat_m_per_s: throat_speed(&now.air[0]),
            secondary_throat_m_per_s: throat_speed(&now.air[1]),
            primary_well: state[at::WELLS[0]] / self.mains[0].refill_m3,
            secondary_well: state[at::WELLS[1]] / self.mains[1].refill_m3,
            primary_main_kg_per_s: self.spilled(0, state) * rho,
            secondary_main_kg_per_s: self.spilled(1, state) * rho,
            idle_kg_per_s: now.idle * rho,
            pump_kg_per_s: shot(0),
            second_pump_kg_per_s: shot(1),
            pump_plunger: of_stroke(0, state[at::PUMPS[0]]),
            pump_lever: of_stroke(0, now.levers[0].place_m),
            second_pump_plunger: of_stroke(1, state[at::PUMPS[1]]),
            second_pump_lever: of_stroke(1, now.levers[1].place_m),
            slot_share: self.scenario.idle.slot_share(self.scenario.primary.plate(), now.plates[0]),
            enrichment_lift: self.scenario.enrichment.lift(vacuum),
            primary_bowl_drop_m: self.scenario.bowl.drop(state[at::MISSING[0]]),
            secondary_bowl_drop_m: self.scenario.bowl.drop(state[at::MISSING[1]]),
            film_kg: state[at::FILM],
            port_fuel_kg_per_s: now.port_fuel,
            cylinder_fuel_kg_per_s: state[at::AIRBORNE] * now.transport,
            lambda: if now.richness > 1.0 / LARGEST_LAMBDA { 1.0 / now.richness } else { LARGEST_LAMBDA },
            mixture_share: now.share,
            torque_nm: now.torque,
            ideal_torque_nm: now.ideal_torque,
            engine_rad_per_s: state[at::ENGINE],
            road_m_per_s: state[at::ROAD],
            distance_m: state[at::DISTANCE],
            acceleration_m_per_s2: now.acceleration.1,
            own: now.readings,
        }
    }

    /// Enter a piece of the pedal's path: a part that leans on a stop may be left behind by it.
    pub fn enter_piece(&mut self, piece: usize, state: &mut State) {
        self.piece = Some(piece);
        let now = self.instant(self.corners[piece].0, state);
        if let (Some(part), Some(drive)) = (self.part, now.own_rates.drive) {
            self.modes.part = part.stop_changed(self.modes.part, &drive, &mut state[at::OWN + SPEED]);
        }
    }
}

impl Instant {
    /// Fuel leaving a bowl, m³/s: jets, idle feed, pump inlet.
    fn out_of_bowl(&self, model: &Model<'_>, side: usize, state: &State) -> f64 {
        let refill = model.pumps()[side].map_or(0.0, |pump| pump.refill(self.pumps[side].plunger_speed));
        let idle = if side == 0 { self.idle } else { 0.0 };
        state[at::FLOWS[side]] + idle + refill
    }
}

impl Hybrid<SIZE> for Model<'_> {
    fn evaluate(&self, time: f64, state: &State, into: &mut Evaluation<SIZE>) {
        let now = self.instant(time, state);
        into.rates = [0.0; SIZE];
        into.stiff.clear();
        // the order in which the stiff columns solve: plenum, what hangs on it, then where fuel goes
        self.plenum_rates(&now, into);
        self.own_rates(&now, state, into);
        self.main_rates(&now, state, into);
        self.pump_rates(&now, into);
        self.film_rates(&now, state, into);
        let rates = &mut into.rates;
        (rates[at::ENGINE], rates[at::ROAD]) = now.acceleration;
        rates[at::DISTANCE] = state[at::ROAD];
        into.guards.clear();
        self.guards(&now, state, &mut into.guards);
    }

    fn transition(&mut self, index: usize, time: f64, state: &mut State) {
        match index {
            0 | 1 => {
                let spilling = &mut self.modes.spilling[index];
                *spilling = !*spilling;
                if *spilling {
                    // what rounding has put above the lip goes back to the bowl: fuel is neither made nor lost
                    let full = self.mains[index].refill_m3;
                    state[at::MISSING[index]] += full - state[at::WELLS[index]];
                    state[at::WELLS[index]] = full;
                }
            }
            2 => self.modes.stalled = true,
            3 | 4 => {
                let side = index - 3;
                let lever = self.instant(time, state).levers[side];
                if let Some(pump) = self.pumps()[side] {
                    // the plunger starts each mode exactly on the lever; the bowl takes the rounding
                    let area = pump.plunger_m2();
                    let moved = lever.place_m - state[at::PUMPS[side]];
                    self.modes.pumps[side] = pump.next(self.modes.pumps[side], lever.speed);
                    state[at::PUMPS[side]] += moved;
                    state[at::MISSING[side]] -= area * moved;
                }
            }
            _ => {
                let now = self.instant(time, state);
                if let (Some(part), Some(drive)) = (self.part, now.own_rates.drive) {
                    let (mut place, mut speed) = (state[at::OWN + PLACE], state[at::OWN + SPEED]);
                    self.modes.part = part.next(self.modes.part, &drive, &mut place, &mut speed);
                    (state[at::OWN + PLACE], state[at::OWN + SPEED]) = (place, speed);
                }
            }
        }
    }

    fn tolerance(&self) -> &State {
        &self.tolerance
    }
}

impl Model<'_> {
    fn plenum_rates(&self, now: &Instant, into: &mut Evaluation<SIZE>) {
        let engine = &self.scenario.engine;
        let per_kg = GAS_CONSTANT * engine.charge_k / engine.manifold_m3;
        let inflow = now.air[0].flow_kg_per_s + now.air[1].flow_kg_per_s;
        let slope = now.air[0].slope + now.air[1].slope;
        into.rates[at::PLENUM] = per_kg * (inflow - now.engine_air);
        into.rates[at::AIR[0]] = inflow;
        into.rates[at::AIR[1]] = now.engine_air;
        into.stiff.push(at::PLENUM, at::PLENUM, per_kg * (slope - now.draw_per_pascal));
        into.stiff.push(at::AIR[0], at::PLENUM, slope);
        into.stiff.push(at::AIR[1], at::PLENUM, now.draw_per_pascal);
        for side in 0..2 {
            let per_pascal = now.air[side].drop_slope(now.signals[side]) * now.mains[side].per_depression;
            into.stiff.push(at::FLOWS[side], at::PLENUM, per_pascal);
        }
        if let Some(part) = self.part
            && matches!(self.modes.part, Mode::Rising | Mode::Falling)
        {
            into.stiff.push(at::OWN + SPEED, at::PLENUM, now.own_rates.force_slopes.plenum / part.inertia);
        }
    }

    fn main_rates(&self, now: &Instant, state: &State, into: &mut Evaluation<SIZE>) {
        let rho = self.fuel.density;
        let share = now.film.0;
        for side in 0..2 {
            let flow = at::FLOWS[side];
            into.rates[flow] = now.mains[side].acceleration;
            into.rates[at::WELLS[side]] = state[flow] - self.spilled(side, state);
            let needle = self.scenario.bowl.inflow(state[at::MISSING[side]]);
            into.rates[at::MISSING[side]] = now.out_of_bowl(self, side, state) - needle;
            into.rates[at::FUEL[0]] += rho * needle;
            into.stiff.push(flow, flow, now.mains[side].slope);
            into.stiff.push(at::MISSING[side], flow, 1.0);
            if self.modes.spilling[side] {
                into.stiff.push(at::FILM, flow, rho * share);
                into.stiff.push(at::AIRBORNE, flow, rho * (1.0 - share));
            } else {
                into.stiff.push(at::WELLS[side], flow, 1.0);
            }
        }
    }

    fn pump_rates(&self, now: &Instant, into: &mut Evaluation<SIZE>) {
        let rho = self.fuel.density;
        let share = now.film.0;
        for (side, pump) in self.pumps().into_iter().enumerate() {
            let Some(pump) = pump else { continue };
            let PumpFlow { plunger_speed, slope, .. } = now.pumps[side];
            let plunger = at::PUMPS[side];
            into.rates[plunger] = plunger_speed;
            if slope == 0.0 {
                continue;
            }
            into.stiff.push(plunger, plunger, slope);
            let per_place = slope * pump.plunger_m2();
            into.stiff.push(at::FILM, plunger, per_place * rho * share);
            into.stiff.push(at::AIRBORNE, plunger, per_place * rho * (1.0 - share));
        }
    }

    fn film_rates(&self, now: &Instant, state: &State, into: &mut Evaluation<SIZE>) {
        let (share, time_s) = now.film;
        let evaporated = state[at::FILM] / time_s;
        let burned = state[at::AIRBORNE] * now.transport;
        into.rates[at::FILM] = share * now.port_fuel - evaporated;
        into.rates[at::AIRBORNE] = (1.0 - share) * now.port_fuel + evaporated - burned;
        into.rates[at::FUEL[1]] = burned;
        into.stiff.push(at::AIRBORNE, at::AIRBORNE, -now.transport);
        into.stiff.push(at::FUEL[1], at::AIRBORNE, now.transport);
    }

    fn own_rates(&self, now: &Instant, state: &State, into: &mut Evaluation<SIZE>) {
        for i in 0..STATES {
            into.rates[at::OWN + i] = now.own_rates.rates[i];
            if now.own_rates.stiff[i] != 0.0 {
                into.stiff.push(at::OWN + i, at::OWN + i, now.own_rates.stiff[i]);
            }
        }
        if let (Some(part), Some(drive)) = (self.part, now.own_rates.drive) {
            let (speed, acceleration) = part.rates(self.modes.part, &drive, state[at::OWN + SPEED]);
            into.rates[at::OWN + PLACE] = speed;
            into.rates[at::OWN + SPEED] = acceleration;
            if matches!(self.modes.part, Mode::Rising | Mode::Falling) {
                let slopes = now.own_rates.force_slopes;
                let (per_place, per_speed) = (slopes.place / part.inertia, slopes.speed / part.inertia);
                into.stiff.push_oscillator(at::OWN + PLACE, at::OWN + SPEED, per_place, per_speed);
            }
        }
    }

    fn guards(&self, now: &Instant, state: &State, guards: &mut Vec<f64>) {
        for side in 0..2 {
            guards.push(if self.modes.spilling[side] {
                // runs back when the flow has turned
                state[at::FLOWS[side]] * 1e6
            } else {
                // fills up only with fuel still rising, or the two modes would chase each other
                let room = self.mains[side].refill_m3 - state[at::WELLS[side]];
                room.max(-state[at::FLOWS[side]]) * 1e6
            });
        }
        guards.push(if self.modes.stalled { 1.0 } else { state[at::ENGINE] - STALL_SPEED });
        guards.extend(now.pumps.iter().map(|pump| pump.guard));
        if let (Some(part), Some(drive)) = (self.part, now.own_rates.drive) {
            let (place, speed) = (state[at::OWN + PLACE], state[at::OWN + SPEED]);
            guards.extend(part.guards(self.modes.part, &drive, place, speed));
        }
    }
}

fn tolerances(family: &dyn Family) -> State {
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
    t[at::OWN..].copy_from_slice(&family.tolerance());
    t
}
