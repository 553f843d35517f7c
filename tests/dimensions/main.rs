//! Every law once more with quantities that carry their dimensions (crate dimensioned 0.8): an equation whose two
//! sides differ in dimension does not compile. At one point each, its number is compared with our law's.
//!
//! Angles and turns are pure numbers. Tolerance 1e-9 but where said: the same arithmetic in another order.

mod bench;
mod manifold;
mod network;
mod percolation;
mod run;
mod soak;
mod surfaces;
mod vapour;

use dimensioned::si::{self, J, K, KG, M, M3, MOL, PA, S};
use dimensioned::{Dimensionless, Sqrt};
use second_breath::physics::air::Stagnation;
use second_breath::physics::fuel_flow::Liquid;
use std::f64::consts::FRAC_PI_4;
use std::ops::{Div, Mul};

type Number = si::Unitless<f64>;
type PerArea = <si::Kilogram<f64> as Div<si::Meter2<f64>>>::Output;
type Density = <PerArea as Div<si::Meter<f64>>>::Output;
type Viscosity = <si::Pascal<f64> as Mul<si::Second<f64>>>::Output;
type FlowVolume = <si::Meter3<f64> as Div<si::Second<f64>>>::Output;
type MassFlow = <si::Kilogram<f64> as Div<si::Second<f64>>>::Output;
type Speed = <si::Meter<f64> as Div<si::Second<f64>>>::Output;
type Acceleration = <Speed as Div<si::Second<f64>>>::Output;
type MolarMass = <si::Kilogram<f64> as Div<si::Mole<f64>>>::Output;
type MolarHeat = <si::Joule<f64> as Div<si::Mole<f64>>>::Output;
type MolarConstant = <MolarHeat as Div<si::Kelvin<f64>>>::Output;
type SpecificEnergy = <si::Joule<f64> as Div<si::Kilogram<f64>>>::Output;
type SpecificHeat = <SpecificEnergy as Div<si::Kelvin<f64>>>::Output;
type Conductance = <si::Watt<f64> as Div<si::Kelvin<f64>>>::Output;
type Conductivity = <Conductance as Div<si::Meter<f64>>>::Output;
type Coefficient = <Conductance as Div<si::Meter2<f64>>>::Output;
type Diffusivity = <si::Meter2<f64> as Div<si::Second<f64>>>::Output;

/// Our bare number against a quantity divided by its unit: only a pure number gets here.
fn same(what: &str, ours: f64, restated: Number) {
    let restated = *restated.value();
    assert!((ours - restated).abs() <= 1e-9 * restated.abs(), "{what}: {ours} against {restated}");
}

/// The same where our number comes out of a search: within a share of it.
fn near(what: &str, ours: f64, restated: Number, share: f64) {
    let restated = *restated.value();
    assert!((ours - restated).abs() <= share * restated.abs(), "{what}: {ours} against {restated}");
}

/// A pure number out of a ratio, for powers and angles.
fn pure(ratio: Number) -> f64 {
    *ratio.value()
}

/// A number that has no dimension in the core either, where the two are to be compared all the same.
fn number(value: f64) -> Number {
    Number::new(value)
}

const AIR: Stagnation = Stagnation { pressure_pa: 98_000.0, temperature_k: 300.0 };
const FUEL: Liquid = Liquid { density: 740.0, viscosity: 0.5e-3 };

fn air_density() -> Density {
    98_000.0 * PA / (287.05 * J / (KG * K) * (300.0 * K))
}

fn fuel_density() -> Density {
    740.0 * KG / M3
}

fn fuel_viscosity() -> Viscosity {
    0.5e-3 * PA * S
}

fn hole(diameter: si::Meter<f64>) -> si::Meter2<f64> {
    FRAC_PI_4 * diameter * diameter
}

/// Flow through a jet: the positive root of a v² + b v = Δp.
fn jet_flow(area: si::Meter2<f64>, bore: si::Meter<f64>, drop: si::Pascal<f64>) -> FlowVolume {
    let a = fuel_density() / (2.0 * 0.81 * 0.81);
    let b = 280.0 * fuel_viscosity() / (2.0 * bore);
    let speed = 2.0 * drop / (b + (b * b + 4.0 * a * drop).sqrt());
    speed * area
}

fn gravity() -> Acceleration {
    9.806_65 * M / (S * S)
}

/// Gas constant of dry air.
fn specific() -> SpecificHeat {
    287.05 * J / (KG * K)
}

fn molar() -> MolarConstant {
    8.314_462_618 * J / (MOL * K)
}

/// Air through an opening that is not choked.
fn opening_flow(
    from: si::Pascal<f64>,
    to: si::Pascal<f64>,
    temperature: si::Kelvin<f64>,
    area: si::Meter2<f64>,
) -> MassFlow {
    let r = pure(to / from);
    area * from / (specific() * temperature).sqrt() * (7.0 * (r.powf(2.0 / 1.4) - r.powf(2.4 / 1.4))).sqrt()
}
