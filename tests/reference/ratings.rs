//! Air demand, ratings and densities: section 5 of the checks; the standard atmosphere of section 10.

use crate::engine::{air_drawn, draw};
use crate::table::{DIGITS, REAL_AIR, Row, row};
use second_breath::engine::ambient::standard_pressure;
use second_breath::physics::air::{Stagnation, mass_flow};
use second_breath::units::{CFM, INHG, Quantity, Unit};

fn unit(quantity: Quantity, name: &str) -> Unit {
    quantity.unit_named(name).expect("a unit of this quantity")
}

/// Volume of air that an engine draws at the density in its manifold, m³/s.
pub fn demand(cubic_inches: f64, rpm: f64, efficiency: f64) -> f64 {
    let outside = Stagnation { pressure_pa: 101_325.0, temperature_k: 300.0 };
    let displacement = unit(Quantity::Volume, "in3").to_si(cubic_inches);
    air_drawn(displacement, efficiency, rpm, outside) / outside.density()
}

/// 288.15 K and 101 325 Pa: 1.2250 kg/m³.
fn mass_demand() -> f64 {
    let displacement = unit(Quantity::Volume, "in3").to_si(350.0);
    1e3 * 101_325.0 * draw(displacement, 0.85, 6000.0, 288.15)
}

/// Flow at 3.0 over flow at 1.5 inHg below 29.92 inHg, the depressions multiplied by `scale`.
fn three_over_one_and_a_half(scale: f64) -> f64 {
    let air = Stagnation { pressure_pa: INHG.to_si(29.92), temperature_k: 298.15 };
    let flow = |inhg: f64| mass_flow(air, air.pressure_pa - INHG.to_si(inhg * scale), 1e-3);
    flow(3.0) / flow(1.5)
}

pub fn density(fahrenheit: f64, pressure_pa: f64) -> f64 {
    let temperature_k = unit(Quantity::Temperature, "°F").to_si(fahrenheit);
    Stagnation { pressure_pa, temperature_k }.density()
}

fn per_cubic_foot(density: f64) -> f64 {
    // 231 in³ in a gallon, 1728 in³ in a cubic foot
    unit(Quantity::Density, "lb/gal").from_si(density) * 1728.0 / 231.0
}

pub fn standard_kpa(feet: f64) -> f64 {
    standard_pressure(unit(Quantity::Distance, "ft").to_si(feet)) / 1e3
}

const STANDARD_DENSITY: (f64, &str) = (3e-5, "the standard's 1.2250 has five digits");
const ATMOSPHERE: (f64, &str) = (1e-5, "six digits, of a standard that states its constants");

pub const ROWS: &[Row] = &[
    row("C5.02", "Engine::draw_per_pascal", DIGITS, || CFM.from_si(demand(350.0, 6000.0, 0.85))),
    row("C5.03", "Engine::draw_per_pascal", DIGITS, || CFM.from_si(demand(302.0, 5500.0, 0.8))),
    row("C5.05", "Engine::draw_per_pascal", DIGITS, || CFM.from_si(demand(231.0, 4800.0, 0.78))),
    row("C5.06", "Engine::draw_per_pascal", DIGITS, || demand(350.0, 6000.0, 0.85)),
    row("C5.07", "Engine::draw_per_pascal", STANDARD_DENSITY, mass_demand),
    row("C5.09", "air::mass_flow, small differences", DIGITS, || three_over_one_and_a_half(1e-6)),
    row("C5.10", "air::mass_flow", DIGITS, || three_over_one_and_a_half(1.0)),
    row("C5.12", "air::mass_flow", DIGITS, || 500.0 / three_over_one_and_a_half(1.0)),
    row("C5.23", "Stagnation::density", REAL_AIR, || density(70.0, 101_325.0)),
    row("C5.24", "Stagnation::density", REAL_AIR, || density(77.0, 99_000.0)),
    row("C5.25", "Stagnation::density", REAL_AIR, || density(32.0, 101_325.0)),
    row("C5.26", "Stagnation::density", REAL_AIR, || per_cubic_foot(density(70.0, 101_325.0))),
    row("C5.34", "units::INHG", DIGITS, || INHG.to_si(29.235) / 1e3),
    row("C10.51", "ambient::standard_pressure", ATMOSPHERE, || standard_kpa(0.0)),
    row("C10.54", "ambient::standard_pressure", ATMOSPHERE, || standard_kpa(5000.0)),
    row("C10.58", "ambient::standard_pressure", ATMOSPHERE, || standard_kpa(10_000.0)),
    row("C10.59", "ambient::standard_pressure", ATMOSPHERE, || standard_kpa(10_000.0)),
    row("C10.61", "ambient::standard_pressure", (1e-4, "R = 287.05 against the standard's 287.053"), || {
        // the day's temperature is an input of our model: the standard's at this height
        Stagnation { pressure_pa: 1e3 * standard_kpa(10_000.0), temperature_k: 268.3475 }.density()
    }),
    row("P5.1", "units::INHG", DIGITS, || INHG.to_si(29.235) / 1e3),
    row("P5.2", "Stagnation::density", REAL_AIR, || density(60.08, INHG.to_si(760.0 / 25.4))),
];
