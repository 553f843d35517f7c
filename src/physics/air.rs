//! Compressible flow of air through one opening.
//!
//! Isentropic flow of a perfect gas to the throat with a discharge coefficient folded into the area; Heywood,
//! *Internal Combustion Engine Fundamentals* (1988), appendix C, equations C.8 and C.9.
//!
//! For γ = 1.4 everything is a polynomial in `x`, the throat temperature over the stagnation temperature:
//! pressure ratio r = x^3.5 and (ṁ √(R T₀) / (A p₀))² = 7 x⁵ (1 − x). So the pressure behind an opening that
//! passes a given flow takes no power function, which is what the series solver spends its time on.

/// Specific gas constant of dry air, J/(kg K).
pub const GAS_CONSTANT: f64 = 287.05;
/// Ratio of specific heats; the formulas of this file are written for this value.
pub const GAMMA: f64 = 1.4;
/// Pressure ratio at and below which an opening is choked: (2/(γ+1))^(γ/(γ−1)).
pub const CRITICAL_RATIO: f64 = 0.528_281_787_717_174;
/// ṁ √(R T₀) / (A p₀) of a choked opening: √γ (2/(γ+1))^((γ+1)/(2(γ−1))).
pub const CHOKED_FACTOR: f64 = 0.684_731_456_377_270_5;
/// Pressure difference in Pa below which an opening is taken as laminar, so that flow has a finite slope at rest.
/// At 1 Pa air passes a plate at 1.3 m/s: a Reynolds number of a few thousand for gaps of a few centimetres.
pub const LAMINAR_BELOW_PA: f64 = 1.0;

/// Still air upstream of an opening.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stagnation {
    /// Absolute pressure, Pa.
    pub pressure_pa: f64,
    /// Temperature, K.
    pub temperature_k: f64,
}

impl Stagnation {
    /// Density, kg/m³.
    pub fn density(self) -> f64 {
        self.pressure_pa / (GAS_CONSTANT * self.temperature_k)
    }
}

/// Mass flow in kg/s through an opening of effective area `area_m2` (area × discharge coefficient) to a back
/// pressure not above the stagnation pressure. Heywood C.8, C.9.
pub fn mass_flow(upstream: Stagnation, back_pressure_pa: f64, area_m2: f64) -> f64 {
    mass_flow_with_slope(upstream, back_pressure_pa, area_m2).0
}

/// [`mass_flow`] and its derivative with respect to the upstream pressure, kg/(s Pa), at a fixed back pressure.
pub(crate) fn mass_flow_with_slope(upstream: Stagnation, back_pressure_pa: f64, area_m2: f64) -> (f64, f64) {
    let per_pascal = area_m2 / (GAS_CONSTANT * upstream.temperature_k).sqrt();
    let ratio = back_pressure_pa / upstream.pressure_pa;
    if ratio >= 1.0 {
        return (0.0, 0.0);
    }
    if ratio <= CRITICAL_RATIO {
        let slope = per_pascal * CHOKED_FACTOR;
        return (slope * upstream.pressure_pa, slope);
    }
    let missing = one_minus_power(ratio);
    let x = 1.0 - missing;
    let factor = (7.0 * x.powi(5) * missing).sqrt();
    // dψ/dr with dx/dr = (2/7) x / r; ṁ = k p₀ ψ(p/p₀), so dṁ/dp₀ = k (ψ − r dψ/dr)
    let r_dfactor_dr = x.powi(5) * (5.0 - 6.0 * x) / factor;
    (per_pascal * upstream.pressure_pa * factor, per_pascal * (factor - r_dfactor_dr))
}

/// 1 − ratio^(2/7) without cancellation: near 1 the binomial series, which is also quicker.
fn one_minus_power(ratio: f64) -> f64 {
    let d = 1.0 - ratio;
    if d < 0.04 {
        // each factor is (k − 2/7)/(k + 1), k from 7 down to 1; the first term left out is below 1e-12 of the sum
        const FACTORS: [f64; 7] =
            [47.0 / 56.0, 40.0 / 49.0, 33.0 / 42.0, 26.0 / 35.0, 19.0 / 28.0, 12.0 / 21.0, 5.0 / 14.0];
        return 2.0 / 7.0 * d * FACTORS.iter().fold(1.0, |sum, factor| 1.0 + d * factor * sum);
    }
    1.0 - ratio.powf(2.0 / 7.0)
}

/// Pressure behind an opening that passes `flow_kg_per_s`, Pa; `None` when no back pressure makes it pass so much.
/// The inverse of [`mass_flow`] on its unchoked branch.
pub fn pressure_behind(upstream: Stagnation, flow_kg_per_s: f64, area_m2: f64) -> Option<f64> {
    throat_temperature_ratio(upstream, flow_kg_per_s, area_m2).map(|x| upstream.pressure_pa * x * x * x * x.sqrt())
}

/// Largest x⁵ (1 − x), at x = 5/6.
pub(crate) const CHOKED_Q: f64 = 0.066_979_595_336_076_8;

/// x⁵ (1 − x) that a flow through an area asks for; above [`CHOKED_Q`] no back pressure makes it pass.
pub(crate) fn q(upstream: Stagnation, flow_kg_per_s: f64, area_m2: f64) -> f64 {
    let factor = flow_kg_per_s / (area_m2 * upstream.pressure_pa);
    factor * factor * (GAS_CONSTANT / 7.0) * upstream.temperature_k
}

/// The `x` of the file's heading for a given flow; `None` when no back pressure makes it pass so much.
pub(crate) fn throat_temperature_ratio(upstream: Stagnation, flow_kg_per_s: f64, area_m2: f64) -> Option<f64> {
    temperature_ratio(q(upstream, flow_kg_per_s, area_m2))
}

/// The x > 5/6 of x⁵ (1 − x) = q, from the series of the inverse and Newton's method.
pub(crate) fn temperature_ratio(q: f64) -> Option<f64> {
    if q >= CHOKED_Q || q.is_nan() {
        return None;
    }
    // Lagrange inversion of y (1 − y)⁵ = q; near choking start at y = 0, from where a concave function is safe
    let mut x = if q < 0.03 { 1.0 - q * (1.0 + 5.0 * q + q * q * (40.0 + 385.0 * q + 4095.0 * (q * q))) } else { 1.0 };
    // the term left out of the series is 46 376 q⁶
    if q < 2e-3 {
        return Some(x);
    }
    for _ in 0..60 {
        let x4 = x * x * x * x;
        let step = (x4 * x * (1.0 - x) - q) / (x4 * (5.0 - 6.0 * x));
        // near choking the slope vanishes and rounding alone could throw the iterate out of the branch
        x = (x - step).clamp(5.0 / 6.0, 1.0);
        // the error that is left is a few times the square of the step, over the distance from choking
        if step.abs() < 3e-6 * (6.0 * x - 5.0) + 1e-9 {
            break;
        }
    }
    Some(x)
}

/// Flow multiplier that makes flow linear in a pressure difference small against `laminar_below_pa`, from 0 at rest to 1.
pub fn laminar_share(difference_pa: f64, laminar_below_pa: f64) -> f64 {
    let d = difference_pa / laminar_below_pa;
    (d * d / (1.0 + d * d)).sqrt().sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pressure_behind_undoes_mass_flow() {
        let upstream = Stagnation { pressure_pa: 101_325.0, temperature_k: 298.15 };
        for ratio in [0.53, 0.6, 0.8, 0.95, 0.999, 0.999_99] {
            let back = upstream.pressure_pa * ratio;
            let flow = mass_flow(upstream, back, 1e-4);
            let again = pressure_behind(upstream, flow, 1e-4).unwrap();
            assert!((again / back - 1.0).abs() < 1e-9, "{ratio}: {again} against {back}");
        }
    }

    #[test]
    fn series_and_power_agree() {
        for d in [1e-5f64, 1e-3, 0.01, 0.039_99, 0.040_01, 0.3] {
            let direct = -(2.0 / 7.0 * (-d).ln_1p()).exp_m1();
            assert!((super::one_minus_power(1.0 - d) / direct - 1.0).abs() < 1e-11, "{d}");
        }
    }

    #[test]
    fn slope_is_the_derivative() {
        let up = |pressure_pa| Stagnation { pressure_pa, temperature_k: 300.0 };
        for back in [30_000.0, 60_000.0, 90_000.0, 99_000.0] {
            let slope = mass_flow_with_slope(up(1e5), back, 1e-4).1;
            let numeric = (mass_flow(up(1e5 + 1.0), back, 1e-4) - mass_flow(up(1e5 - 1.0), back, 1e-4)) / 2.0;
            assert!((slope / numeric - 1.0).abs() < 1e-5, "{back}: {slope} {numeric}");
        }
    }

    #[test]
    fn more_than_choked_flow_is_refused() {
        let upstream = Stagnation { pressure_pa: 1e5, temperature_k: 300.0 };
        let choked = mass_flow(upstream, 0.0, 1e-4);
        assert!(pressure_behind(upstream, choked * 1.000_001, 1e-4).is_none());
        assert!(pressure_behind(upstream, choked * 0.999_999, 1e-4).is_some());
    }
}
