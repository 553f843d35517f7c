//! Heat between surfaces, through joints and into still fluids.

use crate::{
    Coefficient, Conductance, Conductivity, Density, SpecificHeat, Speed, Viscosity, gravity, number, pure, same,
    specific,
};
use dimensioned::si::{self, J, K, KG, M, M2, M3, PA, S, W};
use dimensioned::{Recip, Sqrt};
use second_breath::physics::heat_transfer as ours;
use std::ops::Div;

type PerKelvin = <f64 as Div<si::Kelvin<f64>>>::Output;

/// A fluid beside a surface, restated.
#[derive(Clone, Copy)]
pub struct Fluid {
    pub density: Density,
    pub viscosity: Viscosity,
    pub conductivity: Conductivity,
    pub heat: SpecificHeat,
    pub expansion: PerKelvin,
}

impl Fluid {
    /// Sutherland's law and its like, whose constants hold a square root of a kelvin: taken of the ratio to 1 K.
    pub fn air(pressure: si::Pascal<f64>, temperature: si::Kelvin<f64>) -> Self {
        let root = pure(temperature / K).sqrt();
        let slowed = 245.4 * K * 10f64.powf(-pure(12.0 * K / temperature));
        Self {
            density: pressure / (specific() * temperature),
            viscosity: 1.458e-6 * PA * S * root * (temperature / (temperature + 110.4 * K)),
            conductivity: 2.646_38e-3 * W / (M * K) * root * (temperature / (temperature + slowed)),
            heat: 1007.0 * J / (KG * K),
            expansion: temperature.recip(),
        }
    }

    fn prandtl(&self) -> f64 {
        let momentum = self.viscosity / self.density;
        pure(momentum / (self.conductivity / (self.density * self.heat)))
    }

    fn rayleigh(&self, length: si::Meter<f64>, difference: si::Kelvin<f64>) -> f64 {
        let momentum = self.viscosity / self.density;
        let spread = self.conductivity / (self.density * self.heat);
        pure(gravity() * self.expansion * difference * length * length * length / (momentum * spread))
    }

    /// `difference` not below zero.
    pub fn on_plate(&self, height: si::Meter<f64>, difference: si::Kelvin<f64>) -> Coefficient {
        churchill(0.825, 0.492, self.prandtl(), self.rayleigh(height, difference)) * self.conductivity / height
    }

    /// `difference` not below zero.
    pub fn on_cylinder(&self, diameter: si::Meter<f64>, difference: si::Kelvin<f64>) -> Coefficient {
        churchill(0.60, 0.559, self.prandtl(), self.rayleigh(diameter, difference)) * self.conductivity / diameter
    }

    /// Heated from below.
    pub fn across(&self, gap: si::Meter<f64>, difference: si::Kelvin<f64>) -> Coefficient {
        let rayleigh = self.rayleigh(gap, difference);
        let turning = 1.44 * (1.0 - 1708.0 / rayleigh).max(0.0);
        (1.0 + turning + ((rayleigh / 5830.0).cbrt() - 1.0).max(0.0)) * self.conductivity / gap
    }

    pub fn along(&self, length: si::Meter<f64>, speed: Speed) -> Coefficient {
        let reynolds = pure(self.density * speed * length / self.viscosity);
        0.664 * reynolds.sqrt() * self.prandtl().cbrt() * self.conductivity / length
    }
}

/// Churchill and Chu with the powers as they print them.
fn churchill(smallest: f64, corner: f64, prandtl: f64, rayleigh: f64) -> f64 {
    let shape = (1.0 + (corner / prandtl).powf(9.0 / 16.0)).powf(8.0 / 27.0);
    (smallest + 0.387 * rayleigh.powf(1.0 / 6.0) / shape).powi(2)
}

/// What radiates from the one to the other, over their difference.
pub fn radiation(emissivity: f64, one: si::Kelvin<f64>, other: si::Kelvin<f64>) -> Coefficient {
    let sigma = 5.670_374_419e-8 * W / (M2 * K * K * K * K);
    emissivity * sigma * (one * one * one * one - other * other * other * other) / (one - other)
}

pub fn between_plates(one: f64, other: f64, shields: f64, shield: f64) -> f64 {
    (one.recip() + other.recip() - 1.0 + shields * (2.0 / shield - 1.0)).recip()
}

pub fn slab(conductivity: Conductivity, area: si::Meter2<f64>, thickness: si::Meter<f64>) -> Conductance {
    conductivity * area / thickness
}

/// One after the other: a product over a sum.
pub fn series(one: Conductance, other: Conductance) -> Conductance {
    one * other / (one + other)
}

pub fn draught(height: si::Meter<f64>, warmer: si::Kelvin<f64>, outside: si::Kelvin<f64>) -> Speed {
    (2.0 * gravity() * height * (warmer / outside)).sqrt()
}

#[test]
fn fluids() {
    let air = ours::Fluid::air(95e3, 340.0);
    let restated = Fluid::air(95e3 * PA, 340.0 * K);
    let coefficient = W / (M2 * K);
    same("density", air.density, restated.density / (KG / M3));
    same("viscosity", air.viscosity, restated.viscosity / (PA * S));
    same("conductivity", air.conductivity, restated.conductivity / (W / (M * K)));
    same("heat capacity", air.heat_capacity, restated.heat / (J / (KG * K)));
    same("expansion", air.expansion, restated.expansion * K);
    same("Prandtl", air.prandtl(), number(restated.prandtl()));
    same("Rayleigh", air.rayleigh(0.07, -25.0), number(restated.rayleigh(0.07 * M, 25.0 * K)));
    same("plate", air.on_vertical_plate(0.07, -25.0), restated.on_plate(0.07 * M, 25.0 * K) / coefficient);
    same("cylinder", air.on_horizontal_cylinder(0.06, 25.0), restated.on_cylinder(0.06 * M, 25.0 * K) / coefficient);
    same("along", air.along_plate(0.07, 2.0), restated.along(0.07 * M, 2.0 * M / S) / coefficient);
    // still, turning over, and turning over fast
    for gap in [4e-3, 12e-3, 40e-3] {
        same("across", air.across_layer(gap, 25.0), restated.across(gap * M, 25.0 * K) / coefficient);
    }
    same("across, heated from above", air.across_layer(0.04, -25.0), restated.conductivity / (0.04 * M) / coefficient);
}

#[test]
fn numbers_of_nusselt() {
    same("plate", ours::vertical_plate(0.7, 2e6), number(churchill(0.825, 0.492, 0.7, 2e6)));
    same("cylinder", ours::horizontal_cylinder(0.7, 2e6), number(churchill(0.60, 0.559, 0.7, 2e6)));
    let layer = 1.0 + 1.44 * (1.0 - 1708.0 / 2e4) + (2e4f64 / 5830.0).cbrt() - 1.0;
    same("layer", ours::horizontal_layer(2e4), number(layer));
}

#[test]
fn radiation_and_joints() {
    same("radiation", ours::radiation(0.3, 360.0, 310.0), radiation(0.3, 360.0 * K, 310.0 * K) / (W / (M2 * K)));
    same("plates", ours::between_plates(0.8, 0.3, 1.0, 0.1), number(between_plates(0.8, 0.3, 1.0, 0.1)));
    let spacer = slab(0.31 * W / (M * K), 0.012 * M2, 0.01 * M);
    same("slab", ours::slab(0.31, 0.012, 0.01), spacer / (W / K));
    let other = 2.0 * W / K;
    same("series", ours::in_series(&[pure(spacer / (W / K)), 2.0]), series(spacer, other) / (W / K));
    // C dT/dt = Σ G (Tₙ − T): time C / ΣG, at rest where the sum is nothing
    let rest = (spacer * (360.0 * K) + other * (310.0 * K)) / (spacer + other);
    let (time, end) = ours::relaxation(800.0, &[(pure(spacer / (W / K)), 360.0), (2.0, 310.0)]);
    same("time", time, 800.0 * J / K / (spacer + other) / S);
    same("rest", end, rest / K);
    let biot = 20.0 * W / (M2 * K) * (3.5e-3 * M) / (0.31 * W / (M * K));
    same("Biot", ours::biot(20.0, 3.5e-3, 0.31), biot);
    let speed = draught(0.35 * M, 340.0 * K - 300.0 * K, 300.0 * K);
    same("draught", ours::draught(0.35, 340.0, 300.0), speed / (M / S));
}
