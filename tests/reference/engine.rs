//! Breathing, manifold filling, mixture and wall film: section 6 of the checks, with what sections 7, 10 and 12 say
//! about the same laws.

use crate::air::SEA_LEVEL;
use crate::table::{DIGITS, Row, row};
use second_breath::bench::model::{Model, State, at};
use second_breath::bench::scenario::Scenario;
use second_breath::carburettor::barrels::BARRELS;
use second_breath::carburettor::pump::Pump;
use second_breath::engine::breathing::Engine;
use second_breath::engine::fuel::Fuel;
use second_breath::engine::torque::mixture_share;
use second_breath::families::FAMILIES;
use second_breath::physics::air::{Stagnation, mass_flow};
use second_breath::solver::hybrid::{Control, Evaluation, Hybrid, Tolerance, integrate};
use second_breath::solver::root;
use second_breath::units::RPM;

/// An engine whose volumetric efficiency is the same at every speed.
fn even_engine(displacement_m3: f64, efficiency: f64, charge_k: f64) -> Engine {
    Engine { displacement_m3, efficiency_peak: efficiency, efficiency_width: 0.0, charge_k, ..Engine::default() }
}

/// Air drawn per pascal, kg/(s Pa).
pub fn draw(displacement_m3: f64, efficiency: f64, rpm: f64, charge_k: f64) -> f64 {
    even_engine(displacement_m3, efficiency, charge_k).draw_per_pascal(RPM.to_si(rpm))
}

/// Air drawn from an outside without anything between, kg/s.
pub fn air_drawn(displacement_m3: f64, efficiency: f64, rpm: f64, outside: Stagnation) -> f64 {
    outside.pressure_pa * draw(displacement_m3, efficiency, rpm, outside.temperature_k)
}

/// Air of the 5.7 l engine at 2000 rpm at a manifold pressure, kg/s.
fn port_flow(plenum_pa: f64) -> f64 {
    plenum_pa * draw(5.7e-3, 0.85, 2000.0, 310.0)
}

/// That engine behind plates of an effective area, with nothing else in the way of the air: a cleaner and venturis
/// so wide that they lose less than a pascal.
fn behind_plates(area_m2: f64, manifold_m3: f64) -> Scenario {
    let mut scenario = Scenario::fresh(&FAMILIES[0]);
    scenario.ambient.temperature_k = SEA_LEVEL.temperature_k;
    scenario.ambient.cleaner_m2 = 4.0;
    scenario.engine = Engine { manifold_m3, ..even_engine(5.7e-3, 0.85, 310.0) };
    scenario.load.start_rad_per_s = RPM.to_si(2000.0);
    scenario.primary.venturi_m = 1.0;
    let plate = scenario.primary.plate();
    let open = plate.open_area(plate.angle_from_stop(scenario.idle.curb_rad, scenario.pedal.rest));
    scenario.primary.plate_coefficient = area_m2 / (BARRELS * open);
    scenario
}

/// Plates that pass 30 g/s when choked, m².
pub fn thirty_grams() -> f64 {
    0.030 / mass_flow(SEA_LEVEL, 0.0, 1.0)
}

/// Tight enough that the integrator's error is below the digits of the references.
const TIGHT: Control = Control { relative: 1e-8, absolute_scale: 1e-4, longest: 1e-3 };

/// Manifold pressure in kPa some time after 30 kPa: the whole model, integrated by our solver, speed held.
pub fn filled_kpa(area_m2: f64, manifold_m3: f64, time_s: f64) -> f64 {
    let scenario = behind_plates(area_m2, manifold_m3);
    let mut model = Model::new(&scenario);
    let mut state = model.near_rest();
    state[at::PLENUM] = 30e3;
    integrate(&mut model, (0.0, time_s), &mut state, TIGHT, |_, _| {}).expect("runs");
    state[at::PLENUM] / 1e3
}

fn steady_kpa() -> f64 {
    let scenario = behind_plates(thirty_grams(), 4e-3);
    Model::new(&scenario).near_rest()[at::PLENUM] / 1e3
}

/// The film of a run with X = 0.4 and τ = 0.5 s and everything but the primary mains shut: the model's own rates,
/// with the metered flow in our hand.
struct Film<'a> {
    model: Model<'a>,
    state: State,
    metered_kg_per_s: f64,
    density: f64,
}

impl Film<'_> {
    fn rates(&self, film_kg: f64) -> State {
        let mut state = self.state;
        state[at::FILM] = film_kg;
        state[at::FLOWS[0]] = self.metered_kg_per_s / self.density;
        let mut evaluation = Evaluation::default();
        self.model.evaluate(0.0, &state, &mut evaluation);
        evaluation.rates
    }

    /// Fuel that leaves port and wall for the cylinders, kg/s.
    fn arriving(&self, film_kg: f64) -> f64 {
        let rates = self.rates(film_kg);
        rates[at::AIRBORNE] + rates[at::FUEL[1]]
    }

    /// Fuel on the wall when nothing changes, kg.
    fn settled(&self) -> f64 {
        root::bracketed(0.0, 1.0, 1e-15, |film| self.rates(film)[at::FILM])
    }
}

impl Hybrid<1> for Film<'_> {
    fn evaluate(&self, _time: f64, state: &[f64; 1], into: &mut Evaluation<1>) {
        into.rates = [self.rates(state[0])[at::FILM]];
    }

    fn transition(&mut self, _index: usize, _time: f64, _state: &mut [f64; 1]) {}

    fn tolerance(&self) -> &Tolerance<1> {
        &Tolerance { absolute: [1e-9], relative_share: [1.0] }
    }
}

fn with_film<T>(measure: impl FnOnce(Film<'_>) -> T) -> T {
    let mut scenario = Scenario::fresh(&FAMILIES[0]);
    (scenario.film.share_base, scenario.film.share_per_pressure) = (0.4, 0.0);
    (scenario.film.time_base_s, scenario.film.time_per_pressure_s) = (0.5, 0.0);
    (scenario.idle.screw_m, scenario.idle.slot_width_m) = (0.0, 0.0);
    scenario.pump.shot_m3 = 0.0;
    scenario.pedal.rest = 1.0;
    scenario.load.start_rad_per_s = RPM.to_si(3000.0);
    let density = scenario.fuel.liquid().density;
    let mut model = Model::new(&scenario);
    let state = model.near_rest();
    assert!(state[at::FLOWS[0]] > 0.0, "the mains spill, so that the metered flow reaches the port");
    measure(Film { model, state, metered_kg_per_s: 1e-3, density })
}

/// Cylinder fuel over metered fuel some time after the metered flow doubles.
fn after_doubling(time_s: f64) -> f64 {
    with_film(|mut film| {
        let mut wall = [film.settled()];
        film.metered_kg_per_s *= 2.0;
        if time_s > 0.0 {
            integrate(&mut film, (0.0, time_s), &mut wall, TIGHT, |_, _| {}).expect("runs");
        }
        film.arriving(wall[0]) / film.metered_kg_per_s
    })
}

/// Growth of the film from 30 kPa at A/F 14.6 to 95 kPa at A/F 13, kg.
fn film_growth() -> f64 {
    with_film(|mut film| {
        film.metered_kg_per_s = port_flow(30e3) / 14.6;
        let before = film.settled();
        film.metered_kg_per_s = port_flow(95e3) / 13.0;
        film.settled() - before
    })
}

fn blend(ethanol: f64) -> Fuel {
    Fuel { ethanol, ..Fuel::default() }
}

/// Torque at a λ over torque at λ = 1, equal air.
fn torque_ratio(lambda: f64) -> f64 {
    mixture_share(1.0 / lambda) / mixture_share(1.0)
}

fn best_lambda() -> f64 {
    let share = |step: i32| mixture_share(1.0 / (0.7 + 1e-4 * f64::from(step)));
    let best = (0..5000).max_by(|a, b| share(*a).total_cmp(&share(*b))).expect("steps");
    0.7 + 1e-4 * f64::from(best)
}

/// 20 cm³ in ten strokes.
fn shot_m3() -> f64 {
    let pump = Pump { shot_m3: 20e-6 / 10.0, ..Pump::default() };
    pump.shot(pump.stroke_m())
}

const FUEL_ROUNDED: (f64, &str) = (5e-4, "our constants are 14.60 and 9.00");
const BLEND: (f64, &str) = (1e-3, "densities of petrol and ethanol differ a little between the two");
const PETROLS: (f64, &str) = (0.01, "one petrol in our model, CH1.87; others differ by their hydrogen");
const BAND: (f64, &str) = (0.025, "\"maximum\" over a band, in an engine test of 1924");
const RICH: (f64, &str) = (0.04, "ideal cycle against a running engine; ours peaks richer, as engines do");
const LEAN: (f64, &str) = (0.11, "ideal cycle against a running engine, which falls off faster when lean");
const PEAK: (f64, &str) = (0.06, "ideal cycle 0.932; engines peak at 0.86 to 0.98 (NACA TR-189)");
const INTEGRATED: (f64, &str) = (2e-5, "two integrators at tight tolerance, and six digits");

pub const ROWS: &[Row] = &[
    row("C6.04", "Fuel::stoichiometric_ratio", FUEL_ROUNDED, || blend(1.0).stoichiometric_ratio()),
    row("C6.06", "Fuel::stoichiometric_ratio", PETROLS, || blend(0.0).stoichiometric_ratio()),
    row("C6.07", "Fuel::stoichiometric_ratio", PETROLS, || blend(0.0).stoichiometric_ratio()),
    row("C6.09", "Fuel::stoichiometric_ratio", FUEL_ROUNDED, || blend(1.0).stoichiometric_ratio()),
    row("C6.11", "Fuel::stoichiometric_ratio", BLEND, || blend(0.1).stoichiometric_ratio()),
    row("C6.12", "Fuel::stoichiometric_ratio", BLEND, || 14.7 / blend(0.1).stoichiometric_ratio()),
    row("C12.03", "Fuel::stoichiometric_ratio", FUEL_ROUNDED, || 1.0 / 0.032_353_9 / blend(0.0).stoichiometric_ratio()),
    row("C12.04", "Fuel::stoichiometric_ratio", FUEL_ROUNDED, || 1.0 / 0.187_420 / blend(0.0).stoichiometric_ratio()),
    row("P6.1", "torque::mixture_share", BAND, || mixture_share(0.07 * 14.6)),
    row("P6.2", "torque::mixture_share", BAND, || mixture_share(0.075 * 14.6)),
    row("P6.3", "torque::mixture_share", BAND, || mixture_share(0.08 * 14.6)),
    row("C6.22", "torque::mixture_share", RICH, || torque_ratio(0.8)),
    row("C6.23", "torque::mixture_share", RICH, || torque_ratio(0.85)),
    row("C6.24", "torque::mixture_share", RICH, || torque_ratio(0.9)),
    row("C6.25", "torque::mixture_share", RICH, || torque_ratio(0.95)),
    row("C6.27", "torque::mixture_share", LEAN, || torque_ratio(1.1)),
    row("C6.28", "torque::mixture_share", LEAN, || torque_ratio(1.2)),
    row("C6.31", "torque::mixture_share", PEAK, best_lambda),
    row("C6.41", "Model::near_rest", DIGITS, steady_kpa),
    row("C6.42", "Model::evaluate, manifold", INTEGRATED, || filled_kpa(thirty_grams(), 4e-3, 0.05)),
    row("C6.44", "Engine::draw_per_pascal", DIGITS, || 1e3 * port_flow(50e3)),
    row("C6.48", "Model::evaluate, manifold", INTEGRATED, || filled_kpa(7.3631e-4, 4e-3, 0.05)),
    row("C6.49", "Model::evaluate, manifold", INTEGRATED, || filled_kpa(7.3631e-4, 4e-3, 0.3)),
    row("C6.63", "air::mass_flow", DIGITS, || {
        mass_flow(SEA_LEVEL, 0.9 * SEA_LEVEL.pressure_pa, 1.0) / mass_flow(SEA_LEVEL, 0.0, 1.0)
    }),
    row("C6.81", "Model::evaluate, film", DIGITS, || after_doubling(0.25)),
    row("C6.82", "Model::evaluate, film", DIGITS, || after_doubling(0.5)),
    row("C6.83", "Model::evaluate, film", DIGITS, || after_doubling(1.0)),
    row("C6.87", "Model::evaluate, film", DIGITS, || 1.0 / after_doubling(0.0)),
    row("C7.12", "Fuel and Engine", DIGITS, || 1e3 * port_flow(30e3) / blend(0.0).stoichiometric_ratio()),
    row("C7.14", "Model::evaluate, film", DIGITS, || 1e3 * film_growth()),
    row("C7.15", "Model::evaluate, film", DIGITS, || 1e6 * film_growth() / 745.0),
    row("C7.30", "Pump::shot and stroke", DIGITS, || 1e9 * shot_m3()),
    row("C7.31", "Pump::shot and stroke", DIGITS, || {
        1e3 * shot_m3() * Fuel { density_kg_per_m3: 745.0, ..Fuel::default() }.liquid().density
    }),
    row("C7.32", "Pump and Fuel", DIGITS, || 1e3 * shot_m3() * 745.0 * blend(0.0).stoichiometric_ratio()),
    row("C10.81", "Fuel, default density", (0.01, "a setting; finished petrol varies by more"), || {
        blend(0.0).liquid().density
    }),
    row("P6.4", "torque::mixture_share", (0.067, "the band's own half width"), || 1.0 / (14.6 * best_lambda())),
    row("P6.5", "Model::evaluate, film", DIGITS, || after_doubling(0.25)),
];

/// Outside the flammability limits (1.4 and 7.6 % by volume, λ 2.117 and 0.365: C12.03, C12.04) nothing burns.
#[test]
fn no_torque_outside_the_flammability_limits() {
    for lambda in [0.365_434, 2.116_90] {
        assert_eq!(mixture_share(1.0 / lambda), 0.0, "λ {lambda}");
    }
}
