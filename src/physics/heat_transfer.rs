//! Heat between surfaces, through joints and into still air.

use crate::physics::GRAVITY;
use crate::physics::air::GAS_CONSTANT;

/// Stefan–Boltzmann constant, W/(m² K⁴); exact since 2019.
pub const STEFAN_BOLTZMANN: f64 = 5.670_374_419e-8;
/// Heat capacity of air at constant pressure, J/(kg K): within 0.3 % from 250 to 380 K, within 4 % at 600 K.
pub const AIR_HEAT_CAPACITY: f64 = 1007.0;

/// A still fluid beside a surface.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fluid {
    /// Density, kg/m³.
    pub density: f64,
    /// Dynamic viscosity, Pa s.
    pub viscosity: f64,
    /// Conductivity, W/(m K).
    pub conductivity: f64,
    /// Heat capacity, J/(kg K).
    pub heat_capacity: f64,
    /// Expansion by volume, 1/K.
    pub expansion: f64,
}

impl Fluid {
    /// Dry air. Viscosity (Sutherland) and conductivity as in the US Standard Atmosphere 1976.
    pub fn air(pressure_pa: f64, temperature_k: f64) -> Self {
        let root = temperature_k.sqrt();
        Self {
            density: pressure_pa / (GAS_CONSTANT * temperature_k),
            viscosity: 1.458e-6 * temperature_k * root / (temperature_k + 110.4),
            conductivity: 2.646_38e-3 * temperature_k * root
                / (temperature_k + 245.4 * (-12.0 * std::f64::consts::LN_10 / temperature_k).exp()),
            heat_capacity: AIR_HEAT_CAPACITY,
            expansion: 1.0 / temperature_k,
        }
    }

    /// Prandtl number.
    pub fn prandtl(&self) -> f64 {
        self.viscosity * self.heat_capacity / self.conductivity
    }

    /// Rayleigh number of a length and a temperature difference of either sign.
    pub fn rayleigh(&self, length_m: f64, difference_k: f64) -> f64 {
        let diffusivity = self.conductivity / (self.density * self.heat_capacity);
        GRAVITY * self.expansion * difference_k.abs() * length_m.powi(3) * self.density / (self.viscosity * diffusivity)
    }

    /// Coefficient of natural convection on a vertical plate, W/(m² K).
    pub fn on_vertical_plate(&self, height_m: f64, difference_k: f64) -> f64 {
        vertical_plate(self.prandtl(), self.rayleigh(height_m, difference_k)) * self.conductivity / height_m
    }

    /// Coefficient of natural convection on a horizontal cylinder, W/(m² K).
    pub fn on_horizontal_cylinder(&self, diameter_m: f64, difference_k: f64) -> f64 {
        horizontal_cylinder(self.prandtl(), self.rayleigh(diameter_m, difference_k)) * self.conductivity / diameter_m
    }

    /// Coefficient across a horizontal layer, W/(m² K); still when it is heated from above.
    pub fn across_layer(&self, gap_m: f64, below_less_above_k: f64) -> f64 {
        horizontal_layer(self.rayleigh(gap_m, below_less_above_k.max(0.0))) * self.conductivity / gap_m
    }

    /// Coefficient of a laminar stream along a plate, W/(m² K): mean Nu = 0.664 Re^½ Pr^⅓ (Pohlhausen).
    pub fn along_plate(&self, length_m: f64, speed_m_per_s: f64) -> f64 {
        let reynolds = self.density * speed_m_per_s * length_m / self.viscosity;
        0.664 * reynolds.sqrt() * self.prandtl().cbrt() * self.conductivity / length_m
    }
}

/// The powers 9/16, 8/27 and 1/6 by roots: a network asks for them a hundred thousand times.
fn churchill(smallest: f64, corner: f64, prandtl: f64, rayleigh: f64) -> f64 {
    let ratio = (corner / prandtl).powi(9).sqrt().sqrt().sqrt().sqrt();
    let shape = (1.0 + ratio).cbrt().cbrt().cbrt().powi(8);
    let nusselt_root = smallest + 0.387 * rayleigh.cbrt().sqrt() / shape;
    nusselt_root * nusselt_root
}

/// Mean Nusselt number of a vertical plate in natural convection. Churchill and Chu, *Int. J. Heat Mass Transfer* 18
/// (1975) 1323.
pub fn vertical_plate(prandtl: f64, rayleigh: f64) -> f64 {
    churchill(0.825, 0.492, prandtl, rayleigh)
}

/// Mean Nusselt number of a horizontal cylinder in natural convection. Churchill and Chu, the same volume, page 1049.
pub fn horizontal_cylinder(prandtl: f64, rayleigh: f64) -> f64 {
    churchill(0.60, 0.559, prandtl, rayleigh)
}

/// Nusselt number of a horizontal layer of air heated from below: 1 until it turns over at Ra = 1708. Hollands,
/// Unny, Raithby and Konicek, *J. Heat Transfer* 98 (1976) 189; recalled.
pub fn horizontal_layer(rayleigh: f64) -> f64 {
    let turning = if rayleigh > 1708.0 { 1.44 * (1.0 - 1708.0 / rayleigh) } else { 0.0 };
    1.0 + turning + ((rayleigh / 5830.0).cbrt() - 1.0).max(0.0)
}

/// Radiation between a small surface and what surrounds it, as a coefficient on the difference, W/(m² K). With the
/// emissivity of [`between_plates`], between two wide plates.
pub fn radiation(emissivity: f64, one_k: f64, other_k: f64) -> f64 {
    emissivity * STEFAN_BOLTZMANN * (one_k * one_k + other_k * other_k) * (one_k + other_k)
}

/// Effective emissivity between two wide plates with `shields` thin plates of one emissivity between them.
pub fn between_plates(one: f64, other: f64, shields: f64, shield: f64) -> f64 {
    1.0 / (1.0 / one + 1.0 / other - 1.0 + shields * (2.0 / shield - 1.0))
}

/// Conductance of a slab or rod, W/K: k A / L; without length it resists nothing.
pub fn slab(conductivity: f64, area_m2: f64, thickness_m: f64) -> f64 {
    conductivity * area_m2 / thickness_m
}

/// Conductance of parts that heat passes one after the other, W/K.
pub fn in_series(parts: &[f64]) -> f64 {
    1.0 / parts.iter().map(|part| 1.0 / part).sum::<f64>()
}

/// A body between several neighbours at fixed temperatures, each given as (conductance in W/K, temperature in K):
/// its time constant in s, and the temperature in K at which it comes to rest.
pub fn relaxation(capacity_j_per_k: f64, neighbours: &[(f64, f64)]) -> (f64, f64) {
    let sum: f64 = neighbours.iter().map(|(conductance, _)| conductance).sum();
    let weighted: f64 = neighbours.iter().map(|(conductance, temperature)| conductance * temperature).sum();
    (capacity_j_per_k / sum, weighted / sum)
}

/// Biot number: below 0.1 or so, a wall has one temperature.
pub fn biot(coefficient: f64, length_m: f64, conductivity: f64) -> f64 {
    coefficient * length_m / conductivity
}

/// Speed of the draught that warm air makes under a height, m/s, without loss: √(2 g H ΔT / T outside).
pub fn draught(height_m: f64, inside_k: f64, outside_k: f64) -> f64 {
    (2.0 * GRAVITY * height_m * (inside_k - outside_k).abs() / outside_k).sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Incropera and DeWitt, example 9.2: Ra 1.813e9, Nu 147 (to its three digits).
    #[test]
    fn reference_textbook_plate() {
        assert!((vertical_plate(0.69, 1.813e9) - 147.0).abs() < 0.5);
    }

    /// Dry air at 300 K and one atmosphere in every textbook's table: 1.85e-5 Pa s, 0.0263 W/(m K), Pr 0.707; 1 %.
    #[test]
    fn reference_air_is_the_textbooks_air() {
        let air = Fluid::air(101_325.0, 300.0);
        assert!((air.viscosity / 1.85e-5 - 1.0).abs() < 0.01);
        assert!((air.conductivity / 0.0263 - 1.0).abs() < 0.01);
        assert!((air.prandtl() / 0.707 - 1.0).abs() < 0.01);
    }

    #[test]
    fn a_layer_heated_from_above_is_still() {
        let air = Fluid::air(101_325.0, 330.0);
        assert_eq!(air.across_layer(0.02, -50.0), air.conductivity / 0.02);
        assert!(air.across_layer(0.02, 50.0) > 1.5 * air.conductivity / 0.02);
    }

    #[test]
    fn one_bright_shield_more_than_halves_radiation() {
        assert!(between_plates(0.8, 0.3, 1.0, 0.1) < 0.5 * between_plates(0.8, 0.3, 0.0, 0.1));
    }

    #[test]
    fn a_missing_part_does_not_resist() {
        assert_eq!(in_series(&[slab(0.31, 0.012, 0.0), 2.0]), 2.0);
    }

    #[test]
    fn rest_lies_between_the_neighbours() {
        let (time, rest) = relaxation(1000.0, &[(1.0, 300.0), (3.0, 400.0)]);
        assert_eq!((time, rest), (250.0, 375.0));
    }
}
