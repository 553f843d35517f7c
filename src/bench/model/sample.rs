//! An instant as a trace carries it.

use super::{Model, State, at};
use crate::bench::trace::{LARGEST_LAMBDA, Sample};
use crate::carburettor::pump::Pump;
use crate::physics::air::GAS_CONSTANT;
use crate::physics::air_path::PathFlow;

impl Model<'_> {
    /// Every figure of an instant.
    pub fn sample(&self, time: f64, state: &State) -> Sample {
        self.sample_after(time, state, &[])
    }

    /// The same where samples at even intervals have gone before: their air, prolonged, is the first guess.
    pub fn sample_after(&self, time: f64, state: &State, before: &[Sample]) -> Sample {
        let guess = match before {
            [.., oldest, older, newer] => [
                Some(prolonged(oldest.primary_air_kg_per_s, older.primary_air_kg_per_s, newer.primary_air_kg_per_s)),
                Some(prolonged(
                    oldest.secondary_air_kg_per_s,
                    older.secondary_air_kg_per_s,
                    newer.secondary_air_kg_per_s,
                )),
            ],
            _ => [None; 2],
        };
        let now = self.instant_near(time, state, guess);
        let rho = self.fuel.density;
        let p0 = self.ambient.pressure_pa;
        let throat_speed = |air: &PathFlow| {
            // isentropic: T₀ − T = v²/2cp, with cp = 3.5 R
            (7.0 * GAS_CONSTANT * self.ambient.temperature_k * (1.0 - air.throat_temperature)).sqrt()
        };
        let pumps = self.pumps();
        let of_stroke = |side: usize, place: f64| {
            let stroke = pumps[side].map_or(0.0, Pump::stroke_m);
            if stroke > 0.0 { place / stroke } else { 0.0 }
        };
        let shot = |side: usize| self.shot(side, &now.pumps[side]) * rho;
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
            leak_kg_per_s: now.leak.0,
            engine_air_kg_per_s: now.firing.air,
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
            slot_share: now.slot_share,
            enrichment_lift: self.scenario.enrichment.lift(vacuum),
            primary_bowl_drop_m: self.scenario.bowl.drop(state[at::MISSING[0]]),
            secondary_bowl_drop_m: self.scenario.bowl.drop(state[at::MISSING[1]]),
            film_kg: state[at::FILM],
            port_fuel_kg_per_s: now.port_fuel,
            cylinder_fuel_kg_per_s: state[at::AIRBORNE] * now.firing.transport,
            lambda: if now.firing.richness > 1.0 / LARGEST_LAMBDA { 1.0 / now.firing.richness } else { LARGEST_LAMBDA },
            mixture_share: now.firing.share,
            torque_nm: now.firing.torque,
            ideal_torque_nm: now.firing.ideal_torque,
            engine_rad_per_s: state[at::ENGINE],
            road_m_per_s: state[at::ROAD],
            distance_m: state[at::DISTANCE],
            acceleration_m_per_s2: now.acceleration.1,
            own: self.family.readings(&now.own, &self.near(&now)),
        }
    }
}

/// The next of three values at even intervals, on the parabola through them.
fn prolonged(oldest: f64, older: f64, newer: f64) -> f64 {
    3.0 * (newer - older) + oldest
}
