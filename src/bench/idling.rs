//! The engine at idle: the speed at which torque is just spent, and the mixture there.
//!
//! No time passes here. For each speed the plenum settles where the primary plates on their idle stop pass as much as the
//! cylinders draw; the idle circuit answers that vacuum; what torque the mixture makes, less friction and pumping, is
//! left. Idle is the highest speed at which nothing is left: faster, the engine slows down; slower, it speeds up.

use crate::bench::scenario::Scenario;
use crate::carburettor::barrels::BARRELS;
use crate::carburettor::idle::IdleCircuit;
use crate::carburettor::main_circuit::MainCircuit;
use crate::engine::torque::{HEAT_PER_AIR, mixture_share};
use crate::physics::air_path;
use crate::solver::root;
use crate::units::RPM;

/// An engine at a steady speed with its foot off.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Idling {
    /// Engine speed, rad/s.
    pub speed_rad_per_s: f64,
    /// Plenum pressure, Pa.
    pub plenum_pa: f64,
    /// Air into the engine, kg/s.
    pub air_kg_per_s: f64,
    /// Fuel of idle holes and slots, kg/s.
    pub idle_kg_per_s: f64,
    /// Fuel over the main nozzles, kg/s: none at a healthy idle.
    pub main_kg_per_s: f64,
    /// Air to fuel against an exact mixture.
    pub lambda: f64,
    /// Share of the transfer slot below the plates' edges.
    pub slot_share: f64,
    /// Torque left over, N m; nothing at idle.
    pub torque_nm: f64,
}

/// Speeds between which idle is sought, rpm.
const SPEEDS_RPM: (f64, f64) = (350.0, 4000.0);
/// Steps of that search: a change of sign narrower than 20 rpm is no idle.
const STEPS: usize = 183;

/// The engine held at a speed with its foot off; `None` when no plenum pressure balances the air.
pub fn at_speed(scenario: &Scenario, speed_rad_per_s: f64) -> Option<Idling> {
    let ambient = scenario.ambient.air();
    let fuel = scenario.fuel.liquid();
    let (engine, barrels) = (&scenario.engine, &scenario.primary);
    let plate = barrels.plate();
    let angle = plate.angle_from_stop(scenario.idle.curb_rad, 0.0);
    let openings = barrels.openings(angle, 0.5 * scenario.ambient.cleaner_m2);
    let draw = engine.draw_per_pascal(speed_rad_per_s);
    let left = |plenum: f64| air_path::solve(ambient, plenum, &openings).flow_kg_per_s - draw * plenum;
    let (low, high) = (1e3, ambient.pressure_pa);
    if left(low) < 0.0 || left(high) > 0.0 {
        return None;
    }
    let plenum_pa = root::bracketed(low, high, 0.01, left);
    let air = air_path::solve(ambient, plenum_pa, &openings);
    let vacuum = ambient.pressure_pa - plenum_pa;
    let circuit = IdleCircuit::new(&scenario.idle, plate, ambient, fuel);
    let slot_share = circuit.slot_share(angle);
    let idle = BARRELS * circuit.flow(slot_share, vacuum) * fuel.density;
    let signal = barrels.booster_gain * air.throat_depression();
    let mains = MainCircuit::new(barrels, fuel, ambient.density());
    let main = mains.at_rest(signal, scenario.enrichment.area_factor(vacuum)).1 * fuel.density;
    let flow = draw * plenum_pa;
    let richness = (idle + main) * scenario.fuel.stoichiometric_ratio() / flow;
    let best = flow * HEAT_PER_AIR * engine.efficiency_indicated / speed_rad_per_s;
    let lost = engine.lost_torque(plenum_pa, ambient.pressure_pa, speed_rad_per_s);
    Some(Idling {
        speed_rad_per_s,
        plenum_pa,
        air_kg_per_s: flow,
        idle_kg_per_s: idle,
        main_kg_per_s: main,
        lambda: 1.0 / richness.max(1e-3),
        slot_share,
        torque_nm: best * mixture_share(richness) - lost,
    })
}

/// The engine at idle; `None` when it will not.
pub fn idling(scenario: &Scenario) -> Option<Idling> {
    let speed = |step: usize| RPM.to_si(SPEEDS_RPM.1 + (SPEEDS_RPM.0 - SPEEDS_RPM.1) * step as f64 / STEPS as f64);
    let torque = |speed: f64| at_speed(scenario, speed).map_or(-1.0, |at| at.torque_nm);
    // from above: the first speed at which the engine would gain
    let gains = (0..=STEPS).find(|&step| torque(speed(step)) > 0.0)?;
    let above = speed(gains.checked_sub(1)?);
    at_speed(scenario, root::bracketed(speed(gains), above, 1e-6, torque))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::carburettor::idle::Idle;

    fn idle(change: impl Fn(&mut Idle)) -> Option<Idling> {
        let mut scenario = Scenario::default();
        change(&mut scenario.idle);
        idling(&scenario)
    }

    #[test]
    fn the_default_car_idles_on_its_idle_circuit_alone() {
        let at = idle(|_| {}).expect("idles");
        let rpm = RPM.from_si(at.speed_rad_per_s);
        assert!((500.0..1100.0).contains(&rpm), "{rpm}");
        assert!(at.main_kg_per_s == 0.0 && at.torque_nm.abs() < 0.05, "{at:?}");
    }

    /// More air alone leans the mixture, for the slot opens late; with the screw trimmed to the same mixture the engine
    /// is faster. The screw alone moves the mixture by more than the speed.
    #[test]
    fn the_stop_screw_sets_speed_and_the_mixture_screw_trims_fuel() {
        let base = idle(|_| {}).expect("idles");
        let opened = idle(|idle| idle.curb_rad += 0.01).expect("idles");
        assert!(opened.lambda > 1.05 * base.lambda, "{opened:?}");
        let trimmed =
            |screw: f64| idle(|idle| (idle.curb_rad, idle.screw_m) = (idle.curb_rad + 0.01, idle.screw_m * screw));
        let screw = root::bracketed(1.0, 1.3, 1e-6, |screw| trimmed(screw).map_or(1.0, |at| at.lambda - base.lambda));
        let trimmed = trimmed(screw).expect("idles");
        assert!(trimmed.speed_rad_per_s > 1.15 * base.speed_rad_per_s, "{base:?} {trimmed:?}");
        let richer = idle(|idle| idle.screw_m *= 1.05).expect("idles");
        let (faster, leaner) = (richer.speed_rad_per_s / base.speed_rad_per_s, richer.lambda / base.lambda);
        assert!((faster - 1.0).abs() < 0.03 && leaner < 0.95, "{base:?} {richer:?}");
    }

    #[test]
    fn a_shut_mixture_screw_and_slot_give_no_idle() {
        assert!(idle(|idle| (idle.screw_m, idle.slot_below_m, idle.slot_width_m) = (0.0, 0.0, 0.2e-3)).is_none());
    }

    #[test]
    fn a_wider_curb_stop_uncovers_the_slot() {
        let share = |curb: f64| idle(|idle| idle.curb_rad = curb).expect("idles").slot_share;
        assert!(share(0.07) > share(0.06) && share(0.06) > share(0.05));
    }
}
