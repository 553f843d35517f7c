//! Flow of fuel through jets, shooters and bleeds.

/// Discharge coefficient of a jet at high Reynolds number: long square-edged hole, L/d = 2, Lichtarowicz, Duggins
/// and Markland (1965), C = 0.827 − 0.0085 L/d.
pub const TURBULENT_COEFFICIENT: f64 = 0.81;
/// Laminar part of the loss: 1/C² = 1/0.81² + this/Re. Within 1 % of Lichtarowicz et al. at L/d = 2 for
/// 500 < Re < 20 000, and with the right limit at rest, where their fit has none.
pub const LAMINAR_LOSS: f64 = 280.0;

/// A round hole that meters fuel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Jet {
    /// Cross-section, m².
    pub area_m2: f64,
    /// Diameter of one hole, m; it sets the Reynolds number.
    pub diameter_m: f64,
}

impl Jet {
    /// `count` round holes of one diameter.
    pub fn holes(count: f64, diameter_m: f64) -> Self {
        Self { area_m2: count * std::f64::consts::FRAC_PI_4 * diameter_m * diameter_m, diameter_m }
    }

    /// Pressure lost in passing `flow_m3_per_s`, Pa, with the sign of the flow; odd, smooth, increasing.
    pub fn pressure_loss(&self, flow_m3_per_s: f64, fuel: Liquid) -> f64 {
        let speed = flow_m3_per_s / self.area_m2;
        let turbulent = fuel.density / (2.0 * TURBULENT_COEFFICIENT * TURBULENT_COEFFICIENT) * speed * speed.abs();
        let laminar = LAMINAR_LOSS * fuel.viscosity / (2.0 * self.diameter_m) * speed;
        turbulent + laminar
    }

    /// Derivative of [`Self::pressure_loss`], Pa s/m³.
    pub fn pressure_slope(&self, flow_m3_per_s: f64, fuel: Liquid) -> f64 {
        let speed = (flow_m3_per_s / self.area_m2).abs();
        let turbulent = fuel.density / (TURBULENT_COEFFICIENT * TURBULENT_COEFFICIENT) * speed;
        let laminar = LAMINAR_LOSS * fuel.viscosity / (2.0 * self.diameter_m);
        (turbulent + laminar) / self.area_m2
    }

    /// Steady flow under a pressure difference, m³/s, with its sign: the inverse of [`Self::pressure_loss`].
    pub fn flow(&self, difference_pa: f64, fuel: Liquid) -> f64 {
        let a = fuel.density / (2.0 * TURBULENT_COEFFICIENT * TURBULENT_COEFFICIENT);
        let b = LAMINAR_LOSS * fuel.viscosity / (2.0 * self.diameter_m);
        let d = difference_pa.abs();
        let speed = 2.0 * d / (b + (b * b + 4.0 * a * d).sqrt());
        speed.copysign(difference_pa) * self.area_m2
    }

    /// Discharge coefficient at a Reynolds number on mean speed and hole diameter.
    pub fn coefficient(reynolds: f64) -> f64 {
        (1.0 / (TURBULENT_COEFFICIENT * TURBULENT_COEFFICIENT) + LAMINAR_LOSS / reynolds).sqrt().recip()
    }
}

/// A liquid as far as jets care.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Liquid {
    /// Density, kg/m³.
    pub density: f64,
    /// Dynamic viscosity, Pa s.
    pub viscosity: f64,
}

/// Fuel and bleed air that share a passage on their way to a nozzle: the homogeneous network without static heads,
/// derived from Bernoulli in each branch.
///
/// It scales the signal by a constant: a bleed weakens, and raises the depression at which fuel starts; it does not
/// flatten the curve.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bleed {
    /// √(ρf/ρa) + √(ρa/ρf).
    coupling: f64,
}

impl Bleed {
    /// For two densities, kg/m³.
    pub fn new(fuel_density: f64, air_density: f64) -> Self {
        let root = (fuel_density / air_density).sqrt();
        Self { coupling: root + 1.0 / root }
    }

    /// Share of the nozzle's depression that is left at the jet: 1/(1+K),
    /// K = (Aⱼ√ρf + Aᵦ√ρa)(Aⱼ/√ρf + Aᵦ/√ρa)/Aₙ², areas with their coefficients.
    pub fn share_left(&self, jet_m2: f64, bleed_m2: f64, nozzle_m2: f64) -> f64 {
        let k = jet_m2 * jet_m2 + bleed_m2 * bleed_m2 + self.coupling * jet_m2 * bleed_m2;
        let nozzle = nozzle_m2 * nozzle_m2;
        nozzle / (nozzle + k)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const PETROL: Liquid = Liquid { density: 740.0, viscosity: 0.5e-3 };

    #[test]
    fn flow_undoes_loss_in_both_directions() {
        let jet = Jet::holes(1.0, 1.5e-3);
        for difference in [-2e4, -10.0, 0.5, 300.0, 4e4] {
            let again = jet.pressure_loss(jet.flow(difference, PETROL), PETROL);
            assert!((again / difference - 1.0).abs() < 1e-9);
        }
    }

    /// Lichtarowicz et al. 1965, L/d = 2: 0.687940 at Re 500, 0.744643 at 1000, 0.808110 at 10 000, 0.808817 at 20 000.
    /// Tolerance 1 %: the two-term form gives up their logarithmic term; the two published fits differ by 5 %.
    #[test]
    fn reference_long_hole_coefficients() {
        for (reynolds, published) in [(500.0, 0.687_94), (1e3, 0.744_643), (1e4, 0.808_11), (2e4, 0.808_817)] {
            let ours = Jet::coefficient(reynolds);
            assert!((ours / published - 1.0).abs() < 0.01, "Re {reynolds}: {ours} against {published}");
        }
    }

    #[test]
    fn a_bigger_bleed_weakens() {
        let share = |bleed| Bleed::new(740.0, 1.2).share_left(1.3e-6, bleed, 12e-6);
        assert!(share(0.2e-6) > share(0.5e-6));
    }
}
