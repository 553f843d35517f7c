//! Vapour over petrol and over its blends with ethanol.

use crate::{Density, Diffusivity, MolarHeat, MolarMass, SpecificEnergy, molar, near, pure, same, specific};
use dimensioned::si::{self, J, K, KG, M, M2, M3, MOL, PA, S};
use second_breath::physics::vapour as ours;

pub fn psi() -> si::Pascal<f64> {
    0.453_592_37 * KG * (9.806_65 * M / (S * S)) / (0.0254 * M * (0.0254 * M))
}

/// Reid vapour pressure is taken at 100 °F.
const REID_AT: f64 = 310.928;

/// p = 1 psi · exp(a − b/T).
#[derive(Clone, Copy)]
pub struct Curve {
    a: f64,
    b: si::Kelvin<f64>,
}

impl Curve {
    /// B is printed in degrees Rankine.
    fn petrol(reid: si::Pascal<f64>) -> Self {
        let (slope, ln) = (3f64.sqrt(), pure(reid / psi()).ln());
        let rankine = K / 1.8;
        Self {
            a: 15.64 - 1.854 * slope - (0.8742 - 0.3280 * slope) * ln,
            b: (8742.0 - 1042.0 * slope - (1049.0 - 179.4 * slope) * ln) * rankine,
        }
    }

    /// Clausius and Clapeyron from the boiling point under one atmosphere.
    fn ethanol() -> Self {
        let b = 41.4e3 * J / MOL / molar();
        Self { a: pure(101_325.0 * PA / psi()).ln() + pure(b / (351.44 * K)), b }
    }

    fn pressure(self, temperature: si::Kelvin<f64>) -> si::Pascal<f64> {
        psi() * (self.a - pure(self.b / temperature)).exp()
    }

    fn boiling(self, pressure: si::Pascal<f64>) -> si::Kelvin<f64> {
        self.b / (self.a - pure(pressure / psi()).ln())
    }

    fn heat(self) -> MolarHeat {
        self.b * molar()
    }
}

/// Petrol with ethanol, restated; boiling points are found by search in the core and only checked here.
#[derive(Clone, Copy)]
pub struct Blend {
    petrol: Curve,
    ethanol: Curve,
    moles: f64,
    activity: [f64; 2],
    light: MolarMass,
    mass_share: f64,
}

fn ethanol_mass() -> MolarMass {
    46.07e-3 * KG / MOL
}

fn light_ends(reid: si::Pascal<f64>) -> MolarMass {
    let above = reid - 10.0 * psi();
    let per_psi = if above > 0.0 * PA { 4.0 / 3.0 } else { 2.0 / 3.0 } * 1e-3 * KG / MOL / psi();
    66e-3 * KG / MOL - per_psi * above
}

impl Blend {
    pub fn new(reid: si::Pascal<f64>, mass_share: f64) -> Self {
        let ethanol = mass_share / ethanol_mass();
        let moles = pure(ethanol / (ethanol + (1.0 - mass_share) / (92e-3 * KG / MOL)));
        // van Laar: ln γ₁ = A (B x₂ / (A x₁ + B x₂))², and the other way round
        let (a, b) = (2.8463, 1.9195);
        let sum = a * moles + b * (1.0 - moles);
        let of_ethanol = a * (b * (1.0 - moles) / sum).powi(2);
        let of_petrol = b * (a * moles / sum).powi(2);
        Self {
            petrol: Curve::petrol(reid),
            ethanol: Curve::ethanol(),
            moles,
            activity: [of_petrol, of_ethanol],
            light: light_ends(reid),
            mass_share,
        }
    }

    fn parts(&self, temperature: si::Kelvin<f64>) -> [si::Pascal<f64>; 2] {
        let gamma = |ln: f64| (ln * pure(REID_AT * K / temperature)).exp();
        [
            (1.0 - self.moles) * gamma(self.activity[0]) * self.petrol.pressure(temperature),
            self.moles * gamma(self.activity[1]) * self.ethanol.pressure(temperature),
        ]
    }

    pub fn pressure(&self, temperature: si::Kelvin<f64>) -> si::Pascal<f64> {
        let [petrol, ethanol] = self.parts(temperature);
        petrol + ethanol
    }

    /// Molar mass of the vapour at a temperature.
    pub fn vapour(&self, temperature: si::Kelvin<f64>) -> MolarMass {
        let [petrol, ethanol] = self.parts(temperature);
        (petrol * self.light + ethanol * ethanol_mass()) / (petrol + ethanol)
    }

    pub fn heat(&self) -> SpecificEnergy {
        let petrol = self.petrol.heat() / self.light;
        let ethanol = 42.3e3 * J / MOL / ethanol_mass();
        petrol * (1.0 - self.mass_share) + ethanol * self.mass_share
    }
}

pub fn gas_density(molar_mass: MolarMass, pressure: si::Pascal<f64>, temperature: si::Kelvin<f64>) -> Density {
    pressure * molar_mass / (molar() * temperature)
}

pub fn diffusivity(pressure: si::Pascal<f64>, temperature: si::Kelvin<f64>) -> Diffusivity {
    0.9e-5 * M2 / S * pure(temperature / (298.15 * K)).powf(1.75) * (101_325.0 * PA / pressure)
}

pub fn air_mass() -> MolarMass {
    molar() / specific()
}

#[test]
fn curves() {
    let reid = 62e3 * PA;
    for (name, curve, restated) in [
        ("petrol", ours::VapourCurve::petrol(62e3), Curve::petrol(reid)),
        ("ethanol", ours::VapourCurve::ethanol(), Curve::ethanol()),
    ] {
        same(name, curve.b_k, restated.b / K);
        same("pressure", curve.pressure(330.0), restated.pressure(330.0 * K) / PA);
        same("boiling point", curve.boiling_point(90e3), restated.boiling(90e3 * PA) / K);
        same("heat", curve.heat_of_vaporisation(), restated.heat() / (J / MOL));
    }
    for reid in [50e3, 80e3] {
        same("light ends", ours::petrol_vapour_molar_mass(reid), light_ends(reid * PA) / (KG / MOL));
    }
}

#[test]
fn blends() {
    for share in [0.0, 0.12] {
        let blend = ours::Blend::new(62e3, share);
        let restated = Blend::new(62e3 * PA, share);
        same("pressure", blend.pressure(325.0), restated.pressure(325.0 * K) / PA);
        // the search ends within 1e-9 K
        let boils = blend.boiling_point(95e3) * K;
        near("boiling point", 95e3, restated.pressure(boils) / PA, 1e-9);
        let at_reid = REID_AT * K;
        let reid = restated.pressure(at_reid) * (62e3 * PA / restated.petrol.pressure(at_reid));
        same("Reid pressure", blend.reid_pressure(62e3), reid / PA);
        same("vapour", blend.vapour_molar_mass(95e3), restated.vapour(boils) / (KG / MOL));
        same("heat", blend.heat_of_vaporisation(), restated.heat() / (J / KG));
    }
}

#[test]
fn vapour_alone_and_in_air() {
    let molar_mass = 66e-3 * KG / MOL;
    let density = gas_density(molar_mass, 95e3 * PA, 330.0 * K);
    same("density", ours::vapour_density(66e-3, 95e3, 330.0), density / (KG / M3));
    same("air", ours::AIR_MOLAR_MASS, air_mass() / (KG / MOL));
    // a mole of mixture
    let (vapour, air) = (0.03 * MOL, 0.97 * MOL);
    let ratio = vapour * molar_mass / (air * air_mass());
    same("by mass", ours::fuel_air_ratio(0.03, 66e-3), ratio);
    same("by moles", ours::vapour_share(pure(ratio), 66e-3), vapour / (vapour + air));
    same("diffusivity", ours::diffusivity(95e3, 330.0), diffusivity(95e3 * PA, 330.0 * K) / (M2 / S));
}

#[test]
fn distillation() {
    let (t10, t50) = (326.15 * K, 374.15 * K);
    let chord = (t50 - t10) / (0.5 - 0.1);
    same("weathering", ours::weathering_slope(326.15, 374.15), chord / K);
    let zero = 273.15 * K;
    let lock = zero + 52.47 * K - 0.33 * K / (1e3 * PA) * (62e3 * PA) + 0.20 * (t10 - zero) + 0.17 * (t50 - zero);
    same("vapour lock", ours::vapour_lock_temperature(62e3, 326.15, 374.15), lock / K);
}
