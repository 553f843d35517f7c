//! The model as the integrator sees it: rates, stiff pieces, guards and what follows them.

use super::instant::Instant;
use super::{Model, SIZE, STALL_SPEED, State, at};
use crate::carburettor::pump::PumpFlow;
use crate::families::{OwnRates, PLACE, SPEED, STATES};
use crate::physics::air::GAS_CONSTANT;
use crate::solver::hybrid::{Evaluation, Hybrid, Tolerance};
use crate::solver::moving_part::Mode;

impl Hybrid<SIZE> for Model<'_> {
    fn evaluate(&self, time: f64, state: &State, into: &mut Evaluation<SIZE>) {
        let now = self.instant(time, state);
        let own = self.own_rates(&now);
        into.rates = [0.0; SIZE];
        into.stiff.clear();
        // the order in which the stiff columns solve: plenum, what hangs on it, then where fuel goes
        self.plenum_rates(&now, &own, into);
        self.part_rates(&own, state, into);
        self.main_rates(&now, state, into);
        self.pump_rates(&now, into);
        self.film_rates(&now, state, into);
        let rates = &mut into.rates;
        (rates[at::ENGINE], rates[at::ROAD]) = now.acceleration;
        rates[at::DISTANCE] = state[at::ROAD];
        into.guards.clear();
        self.guards(&now, &own, state, &mut into.guards);
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
                if let (Some(part), Some(drive)) = (self.part, self.own_rates(&now).drive) {
                    let (mut place, mut speed) = (now.own[PLACE], now.own[SPEED]);
                    self.modes.part = part.next(self.modes.part, &drive, &mut place, &mut speed);
                    (state[at::OWN + PLACE], state[at::OWN + SPEED]) = (place, speed);
                }
            }
        }
    }

    fn tolerance(&self) -> &Tolerance<SIZE> {
        &self.tolerance
    }
}

impl Model<'_> {
    fn plenum_rates(&self, now: &Instant, own: &OwnRates, into: &mut Evaluation<SIZE>) {
        let engine = &self.scenario.engine;
        let per_kg = GAS_CONSTANT * engine.charge_k / engine.manifold_m3;
        let inflow = now.air[0].flow_kg_per_s + now.air[1].flow_kg_per_s + now.leak.0;
        let slope = now.air[0].slope + now.air[1].slope + now.leak.1;
        into.rates[at::PLENUM] = per_kg * (inflow - now.firing.air);
        into.rates[at::AIR[0]] = inflow;
        into.rates[at::AIR[1]] = now.firing.air;
        into.stiff.push(at::PLENUM, at::PLENUM, per_kg * (slope - now.firing.draw_per_pascal));
        into.stiff.push(at::AIR[0], at::PLENUM, slope);
        into.stiff.push(at::AIR[1], at::PLENUM, now.firing.draw_per_pascal);
        for side in 0..2 {
            let per_pascal = now.air[side].drop_slope(now.signals[side]) * now.mains[side].per_depression;
            into.stiff.push(at::FLOWS[side], at::PLENUM, per_pascal);
        }
        if let Some(part) = self.part
            && matches!(self.modes.part, Mode::Rising | Mode::Falling)
        {
            into.stiff.push(at::OWN + SPEED, at::PLENUM, own.force_slopes.plenum / part.inertia);
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
        let burned = state[at::AIRBORNE] * now.firing.transport;
        into.rates[at::FILM] = share * now.port_fuel - evaporated;
        into.rates[at::AIRBORNE] = (1.0 - share) * now.port_fuel + evaporated - burned;
        into.rates[at::FUEL[1]] = burned;
        into.stiff.push(at::AIRBORNE, at::AIRBORNE, -now.firing.transport);
        into.stiff.push(at::FUEL[1], at::AIRBORNE, now.firing.transport);
    }

    fn part_rates(&self, own: &OwnRates, state: &State, into: &mut Evaluation<SIZE>) {
        for i in 0..STATES {
            into.rates[at::OWN + i] = own.rates[i];
            if own.stiff[i] != 0.0 {
                into.stiff.push(at::OWN + i, at::OWN + i, own.stiff[i]);
            }
        }
        if let (Some(part), Some(drive)) = (self.part, own.drive) {
            let (speed, acceleration) = part.rates(self.modes.part, &drive, state[at::OWN + SPEED]);
            into.rates[at::OWN + PLACE] = speed;
            into.rates[at::OWN + SPEED] = acceleration;
            if matches!(self.modes.part, Mode::Rising | Mode::Falling) {
                let slopes = own.force_slopes;
                let (per_place, per_speed) = (slopes.place / part.inertia, slopes.speed / part.inertia);
                into.stiff.push_oscillator(at::OWN + PLACE, at::OWN + SPEED, per_place, per_speed);
            }
        }
    }

    fn guards(&self, now: &Instant, own: &OwnRates, state: &State, guards: &mut Vec<f64>) {
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
        if let (Some(part), Some(drive)) = (self.part, own.drive) {
            let (place, speed) = (state[at::OWN + PLACE], state[at::OWN + SPEED]);
            guards.extend(part.guards(self.modes.part, &drive, place, speed));
        }
    }
}
