//! The engine at idle: the speed at which torque is just spent, and the mixture there.
//!
//! No time passes here. For each speed the plenum settles where the primary plates on their idle stop pass as much as the
//! cylinders draw; the idle circuit answers that vacuum; what torque the mixture makes, less friction and pumping, is
//! left. Idle is the highest speed at which nothing is left: faster, the engine slows down; slower, it speeds up.

use crate::bench::scenario::Scenario;
use crate::carburettor::air_leak::AirLeak;
use crate::carburettor::barrels::{BARRELS, Barrels};
use crate::carburettor::enrichment::Enrichment;
use crate::carburettor::idle::{Idle, IdleCircuit};
use crate::carburettor::main_circuit::MainCircuit;
use crate::engine::ambient::Ambient;
use crate::engine::breathing::Engine;
use crate::engine::fuel::Fuel;
use crate::engine::torque::{HEAT_PER_AIR, mixture_share};
use crate::physics::air_path;
use crate::settings::Source::Invented;
use crate::settings::grouped::{Grouped, Place};
use crate::solver::root;
use crate::units::{Figure, RPM};
use crate::{figures, grouped, settings};

settings! {
    /// At what speed the engine is held while its plates are swept, and how far.
    pub struct Hold {
        speed_rad_per_s: f64 = 78.539_816_339_744_83, RotationalSpeed[36.0, 420.0], "Held at", "Engine speed while the plates are swept.", Invented;
        plate_rad: f64 = 0.436_332_312_998_582_4, Angle[0.1, 1.2], "Swept to", "Plate angle at which the sweep ends.", Invented;
    }
}

/// Everything that an engine at idle depends on.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct IdleTest {
    /// Idle and transfer circuit.
    pub idle: Idle,
    /// Primary barrels.
    pub primary: Barrels,
    /// Enrichment.
    pub enrichment: Enrichment,
    /// Air past the plates.
    pub leak: AirLeak,
    /// Engine.
    pub engine: Engine,
    /// Fuel.
    pub fuel: Fuel,
    /// Air of the day.
    pub ambient: Ambient,
    /// For the sweep.
    pub hold: Hold,
}

grouped! {
    IdleTest;
    idle: "Idle and transfer";
    primary: "Primary barrels";
    enrichment: "Enrichment";
    leak: "Air leak";
    engine: "Engine";
    fuel: "Fuel";
    ambient: "Air";
    hold: "Sweep";
}

impl IdleTest {
    /// The idle of a scenario's car.
    pub fn of(scenario: &Scenario) -> Self {
        Self {
            idle: scenario.idle,
            primary: scenario.primary,
            enrichment: scenario.enrichment,
            leak: scenario.leak,
            engine: scenario.engine,
            fuel: scenario.fuel,
            ambient: scenario.ambient,
            hold: Hold::default(),
        }
    }

    /// Plate angle on the stop screw.
    pub fn stop_rad(&self) -> f64 {
        self.primary.plate().angle_from_stop(self.idle.curb_rad, 0.0)
    }

    /// Idle circuit of one barrel.
    pub fn circuit(&self) -> IdleCircuit {
        IdleCircuit::new(&self.idle, self.primary.plate(), self.ambient.air(), self.fuel.liquid())
    }

    /// Plate angles at which the edge reaches the slot's lower end and its upper end; `None` where the slot begins below
    /// the closed plate, or ends above an open one.
    pub fn slot_rad(&self) -> (Option<f64>, Option<f64>) {
        let (plate, idle) = (self.primary.plate(), &self.idle);
        (plate.angle_of_rise(-idle.slot_below_m), plate.angle_of_rise(idle.slot_length_m - idle.slot_below_m))
    }
}

/// A column of a sweep; SI.
pub type Channel = Figure<Idling, f64>;

figures! {
    /// An engine at a steady speed with its plates held; SI.
    pub struct Idling,
    /// The columns.
    CHANNELS: f64 {
        plate_rad: Angle, "Primary plates";
        speed_rad_per_s: RotationalSpeed, "Engine speed";
        plenum_pa: Pressure, "Manifold pressure";
        vacuum_pa: Pressure, "Manifold vacuum";
        air_kg_per_s: AirFlow, "Air into the engine";
        leak_kg_per_s: AirFlow, "Of it, past the plates";
        idle_kg_per_s: FuelMassFlow, "Idle and transfer fuel";
        hole_kg_per_s: FuelMassFlow, "Of it, through the screw's holes";
        slot_kg_per_s: FuelMassFlow, "Of it, through the slots";
        main_kg_per_s: FuelMassFlow, "Fuel over the main nozzles";
        lambda: Number, "λ";
        slot_share: Fraction, "Transfer slot uncovered";
        torque_nm: Torque, "Torque left over";
        best_torque_nm: Torque, "Torque left over with the right mixture";
    }
}

/// Why an engine does not idle.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum NoIdle {
    /// Air would do, the mixture is too lean.
    TooLean,
    /// Air would do, the mixture is too rich.
    TooRich,
    /// No mixture of so little air carries the engine's own losses.
    NotEnoughAir,
    /// There is torque to spare at every speed at which an engine may idle.
    RunsAway,
}

impl NoIdle {
    /// What is wrong and what to turn.
    pub const fn explain(self) -> &'static str {
        match self {
            Self::TooLean => "It will not idle: the mixture is too lean. Turn the mixture screw out.",
            Self::TooRich => "It will not idle: the mixture is too rich. Turn the mixture screw in.",
            Self::NotEnoughAir => "It will not idle: there is not enough air. Turn the stop screw in.",
            Self::RunsAway => "It will not settle: there is too much air. Back the stop screw off, or find the leak.",
        }
    }
}

/// Speeds between which idle is sought, rpm.
const SPEEDS_RPM: (f64, f64) = (350.0, 4000.0);
/// Steps of that search: a change of sign narrower than 20 rpm is no idle.
const STEPS: usize = 183;

/// The engine held at a speed with its foot off; `None` when no plenum pressure balances the air.
pub fn at_speed(test: &IdleTest, speed_rad_per_s: f64) -> Option<Idling> {
    at_plate(test, test.stop_rad(), speed_rad_per_s)
}

/// The engine held at a speed with its primary plates at an angle; `None` when no plenum pressure balances the air.
pub fn at_plate(test: &IdleTest, plate_rad: f64, speed_rad_per_s: f64) -> Option<Idling> {
    let ambient = test.ambient.air();
    let fuel = test.fuel.liquid();
    let (engine, barrels) = (&test.engine, &test.primary);
    let openings = barrels.openings(plate_rad, 0.5 * test.ambient.cleaner_m2);
    let draw = engine.draw_per_pascal(speed_rad_per_s);
    let leak = |plenum: f64| test.leak.flow(ambient, plenum).0;
    let left = |plenum: f64| air_path::solve(ambient, plenum, &openings).flow_kg_per_s + leak(plenum) - draw * plenum;
    let (low, high) = (1e3, ambient.pressure_pa);
    if left(low) < 0.0 || left(high) > 0.0 {
        return None;
    }
    let plenum_pa = root::bracketed(low, high, 0.01, left);
    let path = air_path::solve(ambient, plenum_pa, &openings);
    let vacuum_pa = ambient.pressure_pa - plenum_pa;
    let circuit = test.circuit();
    let slot_share = circuit.slot_share(plate_rad);
    let idle = BARRELS * circuit.flow(slot_share, vacuum_pa) * fuel.density;
    let hole = idle * test.idle.hole_share(slot_share);
    let signal = barrels.booster_gain * path.throat_depression();
    let mains = MainCircuit::new(barrels, fuel, ambient.density());
    let main = mains.at_rest(signal, test.enrichment.area_factor(vacuum_pa)).1 * fuel.density;
    let flow = draw * plenum_pa;
    let richness = (idle + main) * test.fuel.stoichiometric_ratio() / flow;
    let best = flow * HEAT_PER_AIR * engine.efficiency_indicated / speed_rad_per_s;
    let lost = engine.lost_torque(plenum_pa, ambient.pressure_pa, speed_rad_per_s);
    Some(Idling {
        plate_rad,
        speed_rad_per_s,
        plenum_pa,
        vacuum_pa,
        air_kg_per_s: flow,
        leak_kg_per_s: leak(plenum_pa),
        idle_kg_per_s: idle,
        hole_kg_per_s: hole,
        slot_kg_per_s: idle - hole,
        main_kg_per_s: main,
        lambda: 1.0 / richness.max(1e-3),
        slot_share,
        torque_nm: best * mixture_share(richness) - lost,
        best_torque_nm: best - lost,
    })
}

fn speed(step: usize) -> f64 {
    RPM.to_si(SPEEDS_RPM.1 + (SPEEDS_RPM.0 - SPEEDS_RPM.1) * step as f64 / STEPS as f64)
}

/// The engine at idle.
///
/// # Errors
/// [`NoIdle`]: why it will not.
pub fn idling(test: &IdleTest) -> Result<Idling, NoIdle> {
    let torque = |speed: f64| at_speed(test, speed).map_or(-1.0, |at| at.torque_nm);
    // from above: the first speed at which the engine would gain
    let Some(gains) = (0..=STEPS).find(|&step| torque(speed(step)) > 0.0) else { return Err(why(test)) };
    let Some(before) = gains.checked_sub(1) else { return Err(NoIdle::RunsAway) };
    at_speed(test, root::bracketed(speed(gains), speed(before), 1e-6, torque)).ok_or(NoIdle::NotEnoughAir)
}

/// Why an engine that gains at no speed does not: judged where the right mixture would give it most.
fn why(test: &IdleTest) -> NoIdle {
    let all = (0..=STEPS).filter_map(|step| at_speed(test, speed(step)));
    match all.max_by(|a, b| a.best_torque_nm.total_cmp(&b.best_torque_nm)) {
        Some(at) if at.best_torque_nm > 0.0 && at.lambda > 1.0 => NoIdle::TooLean,
        Some(at) if at.best_torque_nm > 0.0 => NoIdle::TooRich,
        _ => NoIdle::NotEnoughAir,
    }
}

/// The engine held at a speed while its plates turn from the stop screw to where the sweep ends, `steps` apart; without
/// the angles at which the air does not balance.
pub fn sweep(test: &IdleTest, steps: usize) -> Vec<Idling> {
    let (from, to) = (test.stop_rad(), test.hold.plate_rad.max(test.stop_rad()));
    let angle = |step: usize| from + (to - from) * step as f64 / steps.max(1) as f64;
    (0..=steps).filter_map(|step| at_plate(test, angle(step), test.hold.speed_rad_per_s)).collect()
}

/// Idle with a screw at one of its places.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ScrewPoint {
    /// The setting that the screw is, SI.
    pub value: f64,
    /// Idle there, or why there is none.
    pub idling: Result<Idling, NoIdle>,
}

/// The stop screw as a setting: group and key.
pub const STOP_SCREW: (&str, &str) = ("idle", "curb");
/// The mixture screw.
pub const MIXTURE_SCREW: (&str, &str) = ("idle", "screw");

/// Idle against one setting of the test between two values, both included; values that the setting refuses are left out.
pub fn against(test: &IdleTest, place: Place, (from, to): (f64, f64), steps: usize) -> Vec<ScrewPoint> {
    let value = |step: usize| from + (to - from) * step as f64 / steps.max(1) as f64;
    let at = |step: usize| {
        let mut turned = *test;
        turned.set(place, value(step)).ok()?;
        Some(ScrewPoint { value: value(step), idling: idling(&turned) })
    };
    (0..=steps).filter_map(at).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn idle(change: impl Fn(&mut Idle)) -> Result<Idling, NoIdle> {
        let mut test = IdleTest::default();
        change(&mut test.idle);
        idling(&test)
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
    fn an_engine_that_does_not_idle_says_why() {
        let lean = idle(|idle| (idle.screw_m, idle.slot_below_m, idle.slot_width_m) = (0.0, 0.0, 0.2e-3));
        assert_eq!(lean, Err(NoIdle::TooLean));
        assert_eq!(idle(|idle| (idle.screw_m, idle.feed_m) = (3e-3, 2e-3)), Err(NoIdle::TooRich));
        assert_eq!(idle(|idle| idle.curb_rad = 0.005), Err(NoIdle::NotEnoughAir));
        let mut open = IdleTest { leak: AirLeak { area_m2: 40e-6 }, ..IdleTest::default() };
        (open.idle.curb_rad, open.primary.main_jet_m) = (0.26, 1.7e-3);
        assert_eq!(idling(&open), Err(NoIdle::RunsAway));
    }

    #[test]
    fn air_past_the_plates_leans_and_none_changes_nothing() {
        let with = |area_m2: f64| idling(&IdleTest { leak: AirLeak { area_m2 }, ..IdleTest::default() });
        let (sound, leaking) = (with(0.0).expect("idles"), with(3e-6).expect("idles"));
        assert!(leaking.lambda > 1.03 * sound.lambda && leaking.leak_kg_per_s > 0.0, "{sound:?} {leaking:?}");
        assert_eq!(with(60e-6), Err(NoIdle::TooLean));
    }

    #[test]
    fn in_a_sweep_the_hole_hands_over_to_the_slot() {
        let test = IdleTest::default();
        let all = sweep(&test, 40);
        assert_eq!(all.len(), 41);
        let (first, last) = (all[0], all[40]);
        assert!(first.hole_kg_per_s > first.slot_kg_per_s, "{first:?}");
        assert!(all.iter().any(|at| at.slot_kg_per_s > at.hole_kg_per_s), "the slot feeds more at some angle");
        assert!(last.vacuum_pa < first.vacuum_pa && last.air_kg_per_s > first.air_kg_per_s);
        for at in &all {
            let parts = at.hole_kg_per_s + at.slot_kg_per_s;
            assert!((parts - at.idle_kg_per_s).abs() <= 1e-12, "{at:?}");
        }
        let whole = test.slot_rad().1.expect("the slot ends within the plate's way");
        let seen = all.iter().find(|at| at.slot_share == 1.0).expect("swept past the slot").plate_rad;
        let step = (test.hold.plate_rad - test.stop_rad()) / 40.0;
        assert!((0.0..=step * (1.0 + 1e-9)).contains(&(seen - whole)), "{seen} {whole}");
    }

    #[test]
    fn the_mixture_screw_has_a_best_place_and_an_end_on_either_side() {
        let test = IdleTest::default();
        let place = test.place(MIXTURE_SCREW.0, MIXTURE_SCREW.1).expect("a setting");
        let all = against(&test, place, (0.0, 3e-3), 30);
        assert_eq!(all.len(), 31);
        assert_eq!(all[0].idling, Err(NoIdle::TooLean), "{:?}", all[0]);
        let speeds: Vec<_> = all.iter().filter_map(|at| at.idling.ok()).map(|at| at.speed_rad_per_s).collect();
        let best = speeds.iter().copied().fold(0.0, f64::max);
        assert!(best > speeds[0] && best > speeds[speeds.len() - 1], "{speeds:?}");
        let stop = test.place(STOP_SCREW.0, STOP_SCREW.1).expect("a setting");
        assert_eq!(against(&test, stop, (-0.1, 0.26), 1).len(), 1, "a refused value is left out");
    }

    #[test]
    fn a_wider_curb_stop_uncovers_the_slot() {
        let share = |curb: f64| idle(|idle| idle.curb_rad = curb).expect("idles").slot_share;
        assert!(share(0.07) > share(0.06) && share(0.06) > share(0.05));
    }
}
