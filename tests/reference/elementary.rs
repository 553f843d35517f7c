//! The elementary carburettor: section 3 of the checks.
//!
//! The examples A to J are those of public textbook companions (FOSSEE Scilab Textbook Companions): inputs and
//! formulas read there, results recomputed, so they catch slips.
//!
//! Two bridges. Textbooks take a constant coefficient of the fuel jet, ours falls at low Reynolds number: with a
//! fuel that has next to no viscosity ours is constant at [`TURBULENT_COEFFICIENT`], and the jet's area is scaled
//! by the textbook's coefficient over that. Examples A, E, F and J take air as incompressible: see
//! [`incompressible_flow`].

use crate::air::{SEA_LEVEL, incompressible_depression, incompressible_flow};
use crate::engine::air_drawn;
use crate::table::{DIGITS, Row, TEXTBOOK, row};
use second_breath::carburettor::barrels::{BARRELS, Barrels};
use second_breath::carburettor::main_circuit::MainCircuit;
use second_breath::engine::ambient::standard_pressure;
use second_breath::physics::GRAVITY;
use second_breath::physics::air::{GAS_CONSTANT, Stagnation, mass_flow};
use second_breath::physics::fuel_flow::{Bleed, Jet, Liquid, TURBULENT_COEFFICIENT};
use second_breath::solver::root;
use std::f64::consts::FRAC_PI_4;

/// A fuel without viscosity worth the name: the coefficient of a jet is then constant.
pub fn thin_fuel(density: f64) -> Liquid {
    Liquid { density, viscosity: 1e-15 }
}

fn hole(diameter_m: f64) -> f64 {
    FRAC_PI_4 * diameter_m * diameter_m
}

fn air(pressure_pa: f64, temperature_k: f64) -> Stagnation {
    Stagnation { pressure_pa, temperature_k }
}

/// Mass flow of fuel through a jet with a constant coefficient, kg/s.
fn fuel_flow(diameter_m: f64, coefficient: f64, difference_pa: f64, density: f64) -> f64 {
    let area_m2 = hole(diameter_m) * coefficient / TURBULENT_COEFFICIENT;
    density * Jet { area_m2, diameter_m }.flow(difference_pa, thin_fuel(density))
}

/// Diameter in mm of the jet that passes a mass flow of fuel.
fn jet_mm(kg_per_s: f64, coefficient: f64, depression_pa: f64, lip_m: f64, density: f64) -> f64 {
    let net = depression_pa - density * GRAVITY * lip_m;
    1e3 * (kg_per_s / fuel_flow(1.0, coefficient, net, density)).sqrt()
}

/// Throat pressure at which our flow over the isentropic density there gives a speed, Pa.
fn throat_pa(air: Stagnation, speed_m_per_s: f64) -> f64 {
    root::bracketed(0.55 * air.pressure_pa, (1.0 - 1e-9) * air.pressure_pa, 1e-6, |p| {
        let density = air.density() * (p / air.pressure_pa).powf(1.0 / 1.4);
        mass_flow(air, p, 1.0) / density - speed_m_per_s
    })
}

fn example_a() -> f64 {
    let outside = air(1.013e5, 1.013e5 / (GAS_CONSTANT * 1.2));
    let drop = 0.08e5;
    let metered = fuel_flow(1.14e-3, 0.65, drop - 750.0 * GRAVITY * 5e-3, 750.0);
    incompressible_flow(outside, drop, 0.8 * hole(20e-3)) / metered
}

fn example_c() -> f64 {
    let outside = air(1e5, 300.0);
    let drawn = air_drawn(1.7e-3, 0.75, 5000.0, outside) / 2.0;
    jet_mm(drawn / 14.0, 0.65, 1e5 - throat_pa(outside, 100.0), 6e-3, 750.0)
}

fn example_d() -> f64 {
    let outside = air(1.013e5, 293.0);
    let drawn = air_drawn(1489e-6, 0.75, 4200.0, outside);
    jet_mm(drawn / 13.0, 0.65, 1.013e5 - throat_pa(outside, 85.0), 6e-3, 740.0)
}

fn example_e() -> f64 {
    let fuel = 7.2 / 3600.0;
    let drop = incompressible_depression(air(1.013e5, 300.0), 15.0 * fuel, 0.8 * hole(24e-3));
    jet_mm(fuel, 0.7, drop, 4.2e-3, 750.0)
}

fn example_f() -> (f64, f64) {
    let outside = air(1.013e5, 298.0);
    let drawn = air_drawn(4.0 * hole(0.1) * 0.12, 0.8, 3000.0, outside);
    (drawn, incompressible_depression(outside, drawn, 0.82 * hole(35e-3)))
}

fn example_g() -> (f64, f64) {
    let outside = air(1.013e5, 300.0);
    let drawn = air_drawn(1710e-6, 0.7, 5400.0, outside) / 2.0;
    let throat = throat_pa(outside, 107.0);
    let annulus = drawn / mass_flow(outside, throat, 0.85);
    let choke_mm = 1e3 * (annulus / (FRAC_PI_4 * (1.0 - 1.0 / (2.5 * 2.5)))).sqrt();
    (choke_mm, jet_mm(drawn / 13.0, 0.66, 1.013e5 - throat, 6e-3, 750.0))
}

fn example_j() -> f64 {
    incompressible_depression(air(1.013e5, 298.0), 15.0 * 7.5 / 3600.0, 0.82 * hole(22e-3))
}

/// A main circuit without bleed whose jets have a constant coefficient.
pub fn plain_circuit(jet_m: f64, coefficient: f64, barrels: Barrels) -> MainCircuit {
    let main_jet_m = jet_m * (coefficient / TURBULENT_COEFFICIENT).sqrt();
    MainCircuit::new(&Barrels { main_jet_m, air_bleed_m: 0.0, nozzle_m: 1.0, ..barrels }, thin_fuel(745.0), 1.184)
}

fn simple_metering() -> MainCircuit {
    plain_circuit(1.5e-3, 0.8, Barrels { lip_m: 10e-3, ..Barrels::default() })
}

/// Fuel over air of a pair at a throat depression.
fn fuel_air(depression_pa: f64) -> f64 {
    let air = mass_flow(SEA_LEVEL, SEA_LEVEL.pressure_pa - depression_pa, BARRELS * 0.85 * hole(30e-3));
    745.0 * simple_metering().at_rest(depression_pa, 1.0).1 / air
}

fn threshold() -> f64 {
    let circuit = simple_metering();
    root::bracketed(0.0, 200.0, 1e-7, |p| if circuit.at_rest(p, 1.0).1 > 0.0 { 1.0 } else { -1.0 })
}

/// Richness gained with height at one throat depression: fuel stays, air falls. The day's temperature is an input of
/// our model; here it is the standard's, 288.15 K less 6.5 K a geopotential kilometre.
fn enrichment(altitude_ft: f64, temperature_k: f64) -> f64 {
    let aloft = air(standard_pressure(altitude_ft * 0.3048), temperature_k);
    let sea = air(standard_pressure(0.0), 288.15);
    incompressible_flow(sea, 1000.0, 1e-4) / incompressible_flow(aloft, 1000.0, 1e-4)
}

pub fn share_left(bleed_m: f64) -> f64 {
    let area = |diameter: f64| 0.8 * hole(diameter);
    Bleed::new(745.0, 1.184).share_left(area(1.4e-3), area(bleed_m), area(2.5e-3))
}

const SIX: (f64, &str) = (2e-5, "same equation; six digits, and a density of air rounded in the fifth");

pub const ROWS: &[Row] = &[
    row("C3.02", "Jet::flow and air::mass_flow", TEXTBOOK, example_a),
    row("C3.04", "air::mass_flow, speed", TEXTBOOK, || throat_pa(air(1e5, 300.0), 100.0 / 0.8) / 1e5),
    row("C3.09", "Jet::flow", TEXTBOOK, example_c),
    row("C3.11", "Jet::flow", TEXTBOOK, example_d),
    row("C3.13", "Jet::flow", TEXTBOOK, example_e),
    row("C3.14", "Engine::draw_per_pascal and air::mass_flow", TEXTBOOK, || example_f().1 / 1e5),
    row("C3.15", "Jet::flow", TEXTBOOK, || {
        let (drawn, drop) = example_f();
        jet_mm(drawn / 15.0, 0.7, drop, 5e-3, 750.0)
    }),
    row("C3.16", "air::mass_flow, speed", TEXTBOOK, || example_g().0),
    row("C3.17", "Jet::flow", TEXTBOOK, || example_g().1),
    row("C3.21", "air::mass_flow, small differences", TEXTBOOK, example_j),
    row("C3.22", "Jet::flow", TEXTBOOK, || jet_mm(7.5 / 3600.0, 0.7, example_j(), 4e-3, 750.0)),
    row("C3.30", "MainCircuit::at_rest", SIX, || fuel_air(250.0)),
    row("C3.32", "MainCircuit::at_rest", SIX, || fuel_air(1e3)),
    row("C3.35", "MainCircuit::at_rest", SIX, || fuel_air(1e4)),
    row("C3.36", "MainCircuit::at_rest", SIX, || fuel_air(2e4)),
    row("C3.38", "MainCircuit::at_rest, threshold", DIGITS, threshold),
    row("C3.41", "ambient::standard_pressure", SIX, || enrichment(2500.0, 283.1976)),
    row("C3.42", "ambient::standard_pressure", SIX, || enrichment(5000.0, 278.2464)),
    row("C3.44", "ambient::standard_pressure", SIX, || enrichment(10_000.0, 268.3475)),
    row("C3.50", "Bleed::share_left", DIGITS, || 1.0 / share_left(1e-3) - 1.0),
    row("C3.53", "Bleed::share_left", DIGITS, || share_left(1e-3)),
    row("P1.3", "air::mass_flow, speed", DIGITS, || throat_pa(air(1e5, 300.0), 125.0) / 1e5),
    row("P3.1", "Jet::flow", DIGITS, || {
        1e6 * Jet::holes(1.0, 1.5e-3).flow(1500.0, Liquid { density: 745.0, viscosity: 5e-4 })
    }),
];
