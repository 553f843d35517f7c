//! Vapour over liquid fuel.
//!
//! Petrol: US EPA, AP-42 (5th edition) chapter 7.1, equation 1-25 with figure 7.1-15; read in a re-implementation, and
//! equal to AP-42's own table 7.1-2 to every printed digit. The nomograph behind it covers about 0 to 140 °F and Reid
//! vapour pressures of 1 to 20 psi; boiling points are a mild extrapolation.
//!
//! Ethanol: petrol as one pseudo-component and ethanol as the other, with van Laar activities. Neither part forms an
//! ideal solution with the other: a little ethanol raises the pressure, a lot lowers it.

use crate::physics::air::GAS_CONSTANT as AIR_CONSTANT;
use crate::solver::root;
use crate::units::PSI;

/// Molar gas constant, J/(mol K); exact since 2019.
pub const MOLAR_GAS_CONSTANT: f64 = 8.314_462_618;
/// Molar mass of dry air, kg/mol.
pub const AIR_MOLAR_MASS: f64 = MOLAR_GAS_CONSTANT / AIR_CONSTANT;
/// Molar mass of liquid petrol, kg/mol: AP-42 table 7.1-2.
pub const PETROL_MOLAR_MASS: f64 = 92e-3;
/// Molar mass of ethanol, kg/mol.
pub const ETHANOL_MOLAR_MASS: f64 = 46.07e-3;
/// Slope of the ASTM D86 curve at 10 % evaporated, °F a per cent: 3.0 for motor petrol, AP-42 figure 7.1-15.
const DISTILLATION_SLOPE: f64 = 3.0;
/// Reid vapour pressure is measured at 100 °F.
const REID_TEMPERATURE: f64 = 310.928;

/// ln p = ln p₁ − B (1/T − 1/T₁) in the form that AP-42 gives it: p = 1 psi · exp(A − B/T).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct VapourCurve {
    /// A, pure number.
    pub a: f64,
    /// B, K.
    pub b_k: f64,
}

impl VapourCurve {
    /// Petrol of a Reid vapour pressure. AP-42 figure 7.1-15 with S = 3.
    pub fn petrol(reid_pa: f64) -> Self {
        let root = DISTILLATION_SLOPE.sqrt();
        let ln = PSI.from_si(reid_pa).ln();
        Self {
            a: 15.64 - 1.854 * root - (0.8742 - 0.3280 * root) * ln,
            b_k: (8742.0 - 1042.0 * root - (1049.0 - 179.4 * root) * ln) / 1.8,
        }
    }

    /// Pure ethanol: boils at 351.44 K, 41.4 kJ/mol over the range of a bowl; from memory. Gives 16.0 kPa at 100 °F.
    pub fn ethanol() -> Self {
        let b_k = 41.4e3 / MOLAR_GAS_CONSTANT;
        Self { a: PSI.from_si(101_325.0).ln() + b_k / 351.44, b_k }
    }

    /// True vapour pressure at a temperature, Pa.
    pub fn pressure(self, temperature_k: f64) -> f64 {
        PSI.to_si((self.a - self.b_k / temperature_k).exp())
    }

    /// Temperature at which the vapour pressure reaches `pressure_pa`, K.
    pub fn boiling_point(self, pressure_pa: f64) -> f64 {
        self.b_k / (self.a - PSI.from_si(pressure_pa).ln())
    }

    /// Heat that the slope of the curve implies for ideal vapour, J/mol: B R (Clausius and Clapeyron).
    pub fn heat_of_vaporisation(self) -> f64 {
        self.b_k * MOLAR_GAS_CONSTANT
    }
}

/// Molar mass of the vapour over petrol, kg/mol: AP-42 table 7.1-2 (62, 66, 68 at Reid 13, 10, 7 psi), straight
/// between and beyond. The lightest hydrocarbons leave first.
pub fn petrol_vapour_molar_mass(reid_pa: f64) -> f64 {
    let above_ten = PSI.from_si(reid_pa) - 10.0;
    1e-3 * (66.0 - above_ten * if above_ten > 0.0 { 4.0 / 3.0 } else { 2.0 / 3.0 })
}

/// Van Laar constants of ethanol in hydrocarbon and of hydrocarbon in ethanol, at [`REID_TEMPERATURE`]: those of
/// ethanol and hexane in the usual tables, from memory. ln γ is taken to fall as 1/T (regular solution).
const VAN_LAAR: (f64, f64) = (2.8463, 1.9195);

/// Petrol with a share of ethanol, as far as its vapour goes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Blend {
    petrol: VapourCurve,
    ethanol: VapourCurve,
    /// Mole share of ethanol in the liquid.
    ethanol_share: f64,
    /// ln γ of petrol and of ethanol at the reference temperature.
    ln_activity: [f64; 2],
    petrol_vapour_molar_mass: f64,
    ethanol_mass_share: f64,
}

impl Blend {
    /// Petrol of a Reid vapour pressure with a share of ethanol by mass.
    pub fn new(reid_pa: f64, ethanol_mass_share: f64) -> Self {
        let ethanol = ethanol_mass_share / ETHANOL_MOLAR_MASS;
        let share = ethanol / (ethanol + (1.0 - ethanol_mass_share) / PETROL_MOLAR_MASS);
        let (a, b) = VAN_LAAR;
        // A x / (A x + B (1 − x)): the form without a division by a share that may be zero
        let weight = a * share / (a * share + b * (1.0 - share));
        Self {
            petrol: VapourCurve::petrol(reid_pa),
            ethanol: VapourCurve::ethanol(),
            ethanol_share: share,
            ln_activity: [b * weight * weight, a * (1.0 - weight) * (1.0 - weight)],
            petrol_vapour_molar_mass: petrol_vapour_molar_mass(reid_pa),
            ethanol_mass_share,
        }
    }

    /// Parts of the vapour pressure due to petrol and to ethanol, Pa: xᵢ γᵢ pᵢ (modified Raoult).
    fn parts(&self, temperature_k: f64) -> [f64; 2] {
        let petrol = self.petrol.pressure(temperature_k);
        if self.ethanol_share == 0.0 {
            return [petrol, 0.0];
        }
        let [of_petrol, of_ethanol] =
            self.ln_activity.map(|ln_activity| (ln_activity * REID_TEMPERATURE / temperature_k).exp());
        [
            (1.0 - self.ethanol_share) * of_petrol * petrol,
            self.ethanol_share * of_ethanol * self.ethanol.pressure(temperature_k),
        ]
    }

    /// True vapour pressure of the fresh blend, Pa.
    pub fn pressure(&self, temperature_k: f64) -> f64 {
        let [petrol, ethanol] = self.parts(temperature_k);
        petrol + ethanol
    }

    /// Temperature at which the fresh blend boils under a pressure, K (bubble point).
    pub fn boiling_point(&self, pressure_pa: f64) -> f64 {
        if self.ethanol_share == 0.0 {
            return self.petrol.boiling_point(pressure_pa);
        }
        let excess = |temperature: f64| (self.pressure(temperature) / pressure_pa).ln();
        root::bracketed(150.0, 500.0, 1e-9, excess)
    }

    /// Reid vapour pressure of the blend, Pa: its true pressure at 100 °F, with the ratio of Reid to true pressure
    /// that its petrol has.
    pub fn reid_pressure(&self, petrol_reid_pa: f64) -> f64 {
        self.pressure(REID_TEMPERATURE) * petrol_reid_pa / self.petrol.pressure(REID_TEMPERATURE)
    }

    /// Mean molar mass of the vapour, kg/mol, at the boiling point under `pressure_pa`.
    pub fn vapour_molar_mass(&self, pressure_pa: f64) -> f64 {
        let [petrol, ethanol] = self.parts(self.boiling_point(pressure_pa));
        (petrol * self.petrol_vapour_molar_mass + ethanol * ETHANOL_MOLAR_MASS) / (petrol + ethanol)
    }

    /// Heat of vaporisation of the blend, J/kg: by mass, petrol from the slope of its curve over the molar mass of
    /// its vapour, ethanol as its curve has it at room temperature (42.3 kJ/mol, from memory).
    pub fn heat_of_vaporisation(&self) -> f64 {
        let petrol = self.petrol.heat_of_vaporisation() / self.petrol_vapour_molar_mass;
        let ethanol = 42.3e3 / ETHANOL_MOLAR_MASS;
        petrol + (ethanol - petrol) * self.ethanol_mass_share
    }
}

/// How the boiling point climbs as the light ends leave, K a whole: the chord of the distillation curve between 10 %
/// and 50 % evaporated. The curve of a pure liquid would be flat.
pub fn weathering_slope(t10_k: f64, t50_k: f64) -> f64 {
    (t50_k - t10_k) / 0.4
}

/// Temperature at which vapour is twenty times the liquid's volume, K: the linear estimate of ASTM D4814's appendix,
/// 52.47 − 0.33 VP + 0.20 T₁₀ + 0.17 T₅₀ in °C and kPa; recalled. The usual measure of vapour lock.
pub fn vapour_lock_temperature(reid_pa: f64, t10_k: f64, t50_k: f64) -> f64 {
    let (t10, t50) = (t10_k - 273.15, t50_k - 273.15);
    273.15 + 52.47 - 0.33 * 1e-3 * reid_pa + 0.20 * t10 + 0.17 * t50
}

/// Density of a vapour as a perfect gas, kg/m³.
pub fn vapour_density(molar_mass_kg: f64, pressure_pa: f64, temperature_k: f64) -> f64 {
    pressure_pa * molar_mass_kg / (MOLAR_GAS_CONSTANT * temperature_k)
}

/// Fuel over air by mass where vapour is this share of the moles, below 1.
pub fn fuel_air_ratio(vapour_share: f64, molar_mass_kg: f64) -> f64 {
    vapour_share / (1.0 - vapour_share) * molar_mass_kg / AIR_MOLAR_MASS
}

/// Vapour's share of the moles in a fuel–air mixture by mass; the inverse of [`fuel_air_ratio`].
pub fn vapour_share(fuel_air_ratio: f64, molar_mass_kg: f64) -> f64 {
    let ratio = fuel_air_ratio * AIR_MOLAR_MASS / molar_mass_kg;
    ratio / (1.0 + ratio)
}

/// Diffusivity of petrol vapour in air, m²/s: 0.9e-5 at 25 °C and one atmosphere (pentane to hexane, from memory),
/// with the usual T^1.75 and 1/p of Fuller, Schettler and Giddings (1966).
pub fn diffusivity(pressure_pa: f64, temperature_k: f64) -> f64 {
    let ratio = temperature_k / 298.15;
    0.9e-5 * ratio * ratio.sqrt() * ratio.sqrt().sqrt() * 101_325.0 / pressure_pa
}

#[cfg(test)]
mod tests {
    use super::*;

    fn fahrenheit(degrees: f64) -> f64 {
        (degrees + 459.67) / 1.8
    }

    /// AP-42 table 7.1-2: A, B (°R) and the pressure at 60 °F for Reid 13, 10 and 7 psi. Its printed digits.
    #[test]
    fn reference_petrol_is_the_printed_table() {
        for (reid, a, b, pressure) in
            [(13.0, 11.644, 5043.6, 7.0), (10.0, 11.724, 5237.3, 5.2), (7.0, 11.833, 5500.6, 3.5)]
        {
            let curve = VapourCurve::petrol(PSI.to_si(reid));
            assert!((curve.a - a).abs() < 6e-4 && (1.8 * curve.b_k - b).abs() < 0.06, "{reid}: {curve:?}");
            assert!((PSI.from_si(curve.pressure(fahrenheit(60.0))) - pressure).abs() < 0.06);
        }
    }

    #[test]
    fn boiling_point_and_pressure_are_inverse() {
        for ethanol in [0.0, 0.05, 0.1, 0.5, 0.85] {
            let blend = Blend::new(62e3, ethanol);
            for pressure in [20e3, 69e3, 101_325.0] {
                let back = blend.pressure(blend.boiling_point(pressure));
                assert!((back / pressure - 1.0).abs() < 1e-8, "{ethanol} {pressure}: {back}");
            }
        }
    }

    /// The allowance of 1.0 psi for 9 to 10 % ethanol by volume (US EPA), and what everybody finds at 85 %: less
    /// than the petrol it was made from. Nothing here is fitted to either.
    #[test]
    fn a_little_ethanol_raises_the_pressure_and_a_lot_lowers_it() {
        let reid = PSI.to_si(9.0);
        let blended = |mass_share: f64| PSI.from_si(Blend::new(reid, mass_share).reid_pressure(reid)) - 9.0;
        assert!((0.8..1.5).contains(&blended(0.106)), "{}", blended(0.106));
        assert!(blended(0.858) < -2.0, "{}", blended(0.858));
    }

    /// Petrols are said to take 325 to 375 kJ/kg (National Renewable Energy Laboratory, abstract); 1 % for a range that
    /// is given in round numbers.
    #[test]
    fn reference_the_slope_of_the_curve_gives_the_published_heat() {
        for reid in [7.0, 9.0, 10.0, 13.0] {
            let heat = Blend::new(PSI.to_si(reid), 0.0).heat_of_vaporisation();
            assert!((0.99 * 325e3..=1.01 * 375e3).contains(&heat), "Reid {reid} psi: {heat}");
        }
    }

    #[test]
    fn mixture_by_moles_and_by_mass_are_inverse() {
        for share in [0.0, 0.014, 0.076, 0.5] {
            assert!((vapour_share(fuel_air_ratio(share, 66e-3), 66e-3) - share).abs() < 1e-15);
        }
    }
}
