//! Every law at one instant, put together.

use super::{Drive, Model, State, at};
use crate::carburettor::barrels::BARRELS;
use crate::carburettor::main_circuit::MainFlow;
use crate::carburettor::pump::{Lever, Pump, PumpFlow};
use crate::engine::load::{Coupling, LoadKind};
use crate::engine::torque::HEAT_PER_AIR;
use crate::families::{Own, OwnRates, SPEED, Surroundings};
use crate::physics::air_path::{self, Openings, PathFlow};
use crate::solver::moving_part::Mode;

/// Everything that holds at one instant; pairs are primary and secondary side.
pub(super) struct Instant {
    pub plenum: f64,
    pub pedal: f64,
    /// Share of the secondary travel that the link allows, and its rate, 1/s.
    pub link: (f64, f64),
    pub plates: [f64; 2],
    pub own: Own,
    pub air: [PathFlow; 2],
    /// Air past the plates, kg/s, and its slope against plenum pressure, kg/(s Pa).
    pub leak: (f64, f64),
    pub signals: [f64; 2],
    pub mains: [MainFlow; 2],
    pub levers: [Lever; 2],
    pub pumps: [PumpFlow; 2],
    /// Share of the transfer slot below the primary plates' edges.
    pub slot_share: f64,
    /// Fuel through idle holes and slots of the pair, m³/s.
    pub idle: f64,
    /// Share and time of the wall film.
    pub film: (f64, f64),
    pub port_fuel: f64,
    pub firing: Firing,
    /// Of the engine, rad/s², and of the car, m/s².
    pub acceleration: (f64, f64),
}

/// What the cylinders draw and make.
pub(super) struct Firing {
    pub air: f64,
    pub draw_per_pascal: f64,
    /// Share of the airborne fuel that goes into the cylinders in a second.
    pub transport: f64,
    /// 1/λ.
    pub richness: f64,
    /// Share of the best torque that the mixture makes.
    pub share: f64,
    pub torque: f64,
    pub ideal_torque: f64,
}

impl Model<'_> {
    pub(super) fn instant(&self, time: f64, state: &State) -> Instant {
        self.instant_near(time, state, [None; 2])
    }

    /// The same with a first guess of the air of both sides, kg/s.
    pub(super) fn instant_near(&self, time: f64, state: &State, guess: [Option<f64>; 2]) -> Instant {
        let scenario = self.scenario;
        let mut own: Own = std::array::from_fn(|i| state[at::OWN + i]);
        let plenum = state[at::PLENUM];
        let (pedal, pedal_rate) = self.pedal_at(time);
        let (link_travel, link_slope) = self.link_at(pedal);
        let link = (link_travel, link_slope * pedal_rate);
        if self.modes.part == Mode::AtUpper {
            // a part that leans on its stop goes as fast as that
            own[SPEED] = self.family.upper_stop_speed(link.1);
        }
        let plates = self.plate_angles(pedal, link.0, &own);
        let air = self.air(plenum, plates, &own, guess);
        let signals = std::array::from_fn(|side| self.signal(side, &own, &air[side]));
        let mains = std::array::from_fn(|side| {
            let drop = scenario.bowl.drop(state[at::MISSING[side]]);
            let (well, flow) = (state[at::WELLS[side]], state[at::FLOWS[side]]);
            self.mains[side].motion(signals[side], drop, self.jet_factor(side, plenum, &own), well, flow)
        });
        let (levers, pumps) = self.pump_motion([(pedal, pedal_rate), link], state);
        let slot_share = self.idle.slot_share(plates[0]);
        let idle = BARRELS * self.idle.flow(slot_share, self.ambient.pressure_pa - plenum);
        let spilled: f64 = (0..2).map(|side| self.spilled(side, state)).sum();
        let shots: f64 = (0..2).map(|side| self.shot(side, &pumps[side])).sum();
        let firing = self.firing(state);
        let acceleration = self.acceleration(state, firing.torque);
        Instant {
            plenum,
            pedal,
            link,
            plates,
            own,
            air,
            leak: scenario.leak.flow(self.ambient, plenum),
            signals,
            mains,
            levers,
            pumps,
            slot_share,
            idle,
            film: (self.film.share(plenum), self.film.time(plenum)),
            port_fuel: self.fuel.density * (spilled + idle + shots),
            firing,
            acceleration,
        }
    }

    /// What a family's parts feel.
    pub(super) fn near<'b>(&'b self, now: &'b Instant) -> Surroundings<'b> {
        Surroundings {
            ambient: self.ambient,
            plenum_pa: now.plenum,
            primary: &now.air[0],
            secondary: &now.air[1],
            barrels: &self.scenario.secondary,
            link_travel: now.link,
            car_acceleration: now.acceleration.1,
            fuel: self.fuel,
        }
    }

    /// What the family's own states do.
    pub(super) fn own_rates(&self, now: &Instant) -> OwnRates {
        self.family.rates(&now.own, &self.near(now))
    }

    fn plate_angles(&self, pedal: f64, link: f64, own: &Own) -> [f64; 2] {
        let travels = [pedal, self.family.plate_travel(link, own)];
        let stops = [self.scenario.idle.curb_rad, 0.0];
        std::array::from_fn(|side| self.plates[side].angle_from_stop(stops[side], travels[side]))
    }

    /// Openings of a side with its plates at an angle, no door.
    pub(super) fn openings(&self, side: usize, plate_rad: f64) -> Openings {
        let barrels = [&self.scenario.primary, &self.scenario.secondary][side];
        Openings { throttle_m2: barrels.throttle_m2(&self.plates[side], plate_rad), ..self.shut[side] }
    }

    fn air(&self, plenum: f64, plates: [f64; 2], own: &Own, guess: [Option<f64>; 2]) -> [PathFlow; 2] {
        std::array::from_fn(|side| {
            let mut openings = self.openings(side, plates[side]);
            if side == 1 {
                self.family.obstruct(own, &mut openings);
            }
            air_path::solve_near(self.ambient, plenum, &openings, guess[side])
        })
    }

    /// Levers and plungers; `turns` are the shafts' shares of travel with their rates.
    fn pump_motion(&self, turns: [(f64, f64); 2], state: &State) -> ([Lever; 2], [PumpFlow; 2]) {
        let pumps = self.pumps();
        let still = Lever { place_m: 0.0, speed: 0.0 };
        let none = PumpFlow { plunger_speed: 0.0, slope: 0.0, guard: 1.0 };
        let levers: [Lever; 2] = std::array::from_fn(|side| {
            let (turn, rate) = turns[side];
            pumps[side].map_or(still, |pump| pump.lever(turn, rate))
        });
        let flows = std::array::from_fn(|side| {
            let mode = self.modes.pumps[side];
            pumps[side].map_or(none, |pump| pump.motion(mode, levers[side], state[at::PUMPS[side]], self.fuel))
        });
        (levers, flows)
    }

    /// Fuel through the shooters of a side, m³/s.
    pub(super) fn shot(&self, side: usize, flow: &PumpFlow) -> f64 {
        self.pumps()[side].map_or(0.0, |pump| pump.shot(flow.plunger_speed))
    }

    fn firing(&self, state: &State) -> Firing {
        let engine = &self.scenario.engine;
        let (plenum, speed) = (state[at::PLENUM], state[at::ENGINE]);
        let draw_per_pascal = engine.draw_per_pascal(speed);
        let air = draw_per_pascal * plenum;
        // one intake event is half a turn of the crank
        let transport = speed.max(0.0) / std::f64::consts::PI;
        let fuel = state[at::AIRBORNE] * transport;
        let richness = if air > 1e-7 { fuel * self.stoichiometric / air } else { 0.0 };
        let share = if self.modes.stalled { 0.0 } else { self.scenario.mixture.share(richness) };
        let best = air * HEAT_PER_AIR * engine.efficiency_indicated / speed.max(1.0);
        let losses = engine.lost_torque(plenum, self.ambient.pressure_pa, speed);
        let torque = best * share - losses;
        Firing { air, draw_per_pascal, transport, richness, share, torque, ideal_torque: best - losses }
    }

    /// Pedal and its speed at a time in the present piece of its path; held before the run.
    pub(super) fn pedal_at(&self, time: f64) -> (f64, f64) {
        let Some(piece) = self.piece else { return (self.corners[0].1, 0.0) };
        let ((t0, p0), (t1, p1)) = (self.corners[piece], self.corners[piece + 1]);
        let rate = (p1 - p0) / (t1 - t0);
        ((p0 + rate * (time - t0)).clamp(p0.min(p1), p0.max(p1)), rate)
    }

    /// Share of the secondary travel that the link allows, and its slope. A piece of the pedal's path lies on one side
    /// of the link's start, whatever rounding says at its ends.
    fn link_at(&self, pedal: f64) -> (f64, f64) {
        let middle = match self.piece {
            Some(piece) => 0.5 * (self.corners[piece].1 + self.corners[piece + 1].1),
            None => pedal,
        };
        if middle > self.link.start() { self.link.secondary(pedal) } else { (0.0, 0.0) }
    }

    pub(super) fn signal(&self, side: usize, own: &Own, air: &PathFlow) -> f64 {
        if side == 0 {
            self.scenario.primary.booster_gain * air.throat_depression()
        } else {
            self.family.nozzle_depression(own, air, &self.scenario.secondary)
        }
    }

    pub(super) fn jet_factor(&self, side: usize, plenum: f64, own: &Own) -> f64 {
        if side == 0 {
            self.scenario.enrichment.area_factor(self.ambient.pressure_pa - plenum)
        } else {
            self.family.jet_factor(own)
        }
    }

    pub(super) fn pumps(&self) -> [Option<&Pump>; 2] {
        [Some(&self.scenario.pump), self.family.second_pump()]
    }

    /// Fuel over the nozzle lips of a side, m³/s.
    pub(super) fn spilled(&self, side: usize, state: &State) -> f64 {
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
}

impl Instant {
    /// Fuel leaving a bowl, m³/s: jets, idle feed, pump inlet.
    pub(super) fn out_of_bowl(&self, model: &Model<'_>, side: usize, state: &State) -> f64 {
        let refill = model.pumps()[side].map_or(0.0, |pump| pump.refill(self.pumps[side].plunger_speed));
        let idle = if side == 0 { self.idle } else { 0.0 };
        state[at::FLOWS[side]] + idle + refill
    }
}
