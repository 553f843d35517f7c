//! Compressible flow through one opening: section 1 of the checks.

use crate::table::{DIGITS, REAL_AIR, Row, row};
use second_breath::physics::air::{CHOKED_FACTOR, CRITICAL_RATIO, Stagnation, mass_flow, pressure_behind};
use std::f64::consts::FRAC_PI_4;

pub const SEA_LEVEL: Stagnation = Stagnation { pressure_pa: 101_325.0, temperature_k: 298.15 };

/// Flow in g/s through 1 cm² at a pressure ratio.
fn grams(ratio: f64) -> f64 {
    mass_flow(SEA_LEVEL, ratio * SEA_LEVEL.pressure_pa, 1e-4) * 1e3
}

/// What an incompressible fluid of the upstream density would pass: our law where the difference is too small to
/// matter for density, and the square root from there. The bridge to textbooks that take air as incompressible.
pub fn incompressible_flow(air: Stagnation, difference_pa: f64, area_m2: f64) -> f64 {
    1e3 * mass_flow(air, air.pressure_pa - difference_pa / 1e6, area_m2)
}

/// Depression that an incompressible fluid of the upstream density needs.
pub fn incompressible_depression(air: Stagnation, flow_kg_per_s: f64, area_m2: f64) -> f64 {
    (flow_kg_per_s / incompressible_flow(air, 1.0, area_m2)).powi(2)
}

/// Heywood's Φ: our flow over the incompressible one.
fn compressibility(ratio: f64) -> f64 {
    let difference = (1.0 - ratio) * SEA_LEVEL.pressure_pa;
    grams(ratio) / 1e3 / incompressible_flow(SEA_LEVEL, difference, 1e-4)
}

/// Depression of a throat that passes 50 g/s, Pa.
pub fn throat_depression(area_m2: f64) -> f64 {
    SEA_LEVEL.pressure_pa - pressure_behind(SEA_LEVEL, 0.05, area_m2).expect("not choked")
}

pub fn throat_m2() -> f64 {
    0.85 * FRAC_PI_4 * 0.03 * 0.03
}

pub const ROWS: &[Row] = &[
    row("C1.02", "air::CRITICAL_RATIO", DIGITS, || CRITICAL_RATIO),
    row("C1.04", "air::CHOKED_FACTOR", DIGITS, || CHOKED_FACTOR),
    row("C1.10", "air::mass_flow", DIGITS, || grams(0.99)),
    row("C1.11", "air::mass_flow", DIGITS, || grams(0.95)),
    row("C1.12", "air::mass_flow", DIGITS, || grams(0.9)),
    row("C1.14", "air::mass_flow", DIGITS, || grams(0.7)),
    row("C1.15", "air::mass_flow", DIGITS, || grams(0.6)),
    row("C1.16", "air::mass_flow", DIGITS, || grams(0.52828)),
    row("C1.17", "air::mass_flow", DIGITS, || grams(0.4)),
    row("C1.20", "air::mass_flow", DIGITS, || grams(0.99)),
    row("C1.21", "air::mass_flow", DIGITS, || grams(0.9)),
    row("C1.31", "air::mass_flow", REAL_AIR, || grams(0.7)),
    row("C1.35", "air::mass_flow", REAL_AIR, || grams(0.9)),
    row("C1.36", "air::mass_flow", REAL_AIR, || grams(0.7)),
    row("C1.40", "air::mass_flow, small differences", DIGITS, || {
        1e3 * incompressible_flow(SEA_LEVEL, 0.05 * SEA_LEVEL.pressure_pa, 1e-4)
    }),
    row("C1.42", "air::mass_flow, compressibility", DIGITS, || compressibility(0.9)),
    row("C1.43", "air::pressure_behind", DIGITS, || throat_depression(throat_m2())),
    row("C1.44", "air::mass_flow, small differences", DIGITS, || {
        incompressible_depression(SEA_LEVEL, 0.05, throat_m2())
    }),
    row("C1.46", "Stagnation::density", REAL_AIR, || SEA_LEVEL.density()),
    row("C1.47", "air::mass_flow, compressibility", DIGITS, || compressibility(0.95)),
    row("P1.1", "air::CHOKED_FACTOR", DIGITS, || CHOKED_FACTOR),
    row("P1.2", "air::mass_flow, small differences", DIGITS, || {
        1e3 * incompressible_flow(SEA_LEVEL, 0.05 * SEA_LEVEL.pressure_pa, 1e-4)
    }),
];
