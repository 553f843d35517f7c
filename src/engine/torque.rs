//! Torque from air and mixture.

/// Heat of combustion per unit mass of air in an exact mixture, J/kg: 42.9 MJ/kg (petrol, lower value, from memory)
/// over 14.6. Ethanol is within 3 % of it per unit of air.
pub const HEAT_PER_AIR: f64 = 42.9e6 / 14.6;

/// Lean limit of usable running in λ; carburetted engines of several cylinders about 1.2–1.3, from memory.
pub const LEAN_LIMIT: f64 = 1.25;
/// Rich limit of usable running in λ, from memory.
pub const RICH_LIMIT: f64 = 0.62;

/// Torque over best torque at equal air against λ. Flat within 2 % over the best-power band of NACA TR-189 (F/A
/// 0.07–0.08); towards the limits misfire takes over faster than the ideal fuel–air cycle falls. From memory but
/// for that band.
const TABLE: [(f64, f64); 14] = [
    (0.40, 0.0),
    (0.50, 0.30),
    (0.60, 0.70),
    (0.70, 0.91),
    (0.80, 0.985),
    (0.88, 1.0),
    (0.96, 0.985),
    (1.05, 0.93),
    (1.15, 0.83),
    (1.25, 0.68),
    (1.35, 0.42),
    (1.45, 0.18),
    (1.60, 0.03),
    (1.75, 0.0),
];

/// Share of the best torque that a mixture makes, 0 to 1; `richness` is 1/λ. Monotone cubic interpolation (with
/// the harmonic mean of Fritsch and Butland, *SIAM J. Sci. Stat. Comput.* 5 (1984) 300, reference from memory), so that
/// no torque appears between the points.
pub fn mixture_share(richness: f64) -> f64 {
    if richness <= 1.0 / TABLE[TABLE.len() - 1].0 || richness >= 1.0 / TABLE[0].0 {
        return 0.0;
    }
    let lambda = 1.0 / richness;
    let right = TABLE.iter().position(|point| lambda < point.0).unwrap_or(TABLE.len() - 1).max(1);
    let (left, right) = (right - 1, right);
    let h = TABLE[right].0 - TABLE[left].0;
    let s = (lambda - TABLE[left].0) / h;
    let (s2, s3) = (s * s, s * s * s);
    (2.0 * s3 - 3.0 * s2 + 1.0) * TABLE[left].1
        + h * (s3 - 2.0 * s2 + s) * SLOPES[left]
        + (3.0 * s2 - 2.0 * s3) * TABLE[right].1
        + h * (s3 - s2) * SLOPES[right]
}

/// How a lean mixture burns, with a lean limit that may be varied: nobody has published where this engine's lies.
///
/// What is varied: up to an exact mixture nothing. Beyond it λ − 1 is stretched, so that the share of torque that the
/// table gives at [`LEAN_LIMIT`] is given at the other limit, and misfire takes over sooner or later in proportion.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Mixture {
    lean_limit: f64,
}

impl Default for Mixture {
    fn default() -> Self {
        Self { lean_limit: LEAN_LIMIT }
    }
}

impl Mixture {
    /// With another lean limit in λ; `None` unless it lies between 1.1 and 1.5.
    pub fn with_lean_limit(lean_limit: f64) -> Option<Self> {
        (1.1..=1.5).contains(&lean_limit).then_some(Self { lean_limit })
    }

    /// Lean limit of usable running in λ.
    pub fn lean_limit(&self) -> f64 {
        self.lean_limit
    }

    /// [`mixture_share`] with this lean limit.
    pub fn share(&self, richness: f64) -> f64 {
        if richness >= 1.0 || richness <= 0.0 || self.lean_limit == LEAN_LIMIT {
            return mixture_share(richness);
        }
        let stretched = (1.0 / richness - 1.0) * (LEAN_LIMIT - 1.0) / (self.lean_limit - 1.0);
        mixture_share(1.0 / (1.0 + stretched))
    }
}

const SLOPES: [f64; 14] = slopes();

/// Harmonic mean of the slopes on both sides where they agree in sign, else level.
const fn slopes() -> [f64; 14] {
    let mut slopes = [0.0; 14];
    let mut i = 1;
    while i < 13 {
        let before = (TABLE[i].1 - TABLE[i - 1].1) / (TABLE[i].0 - TABLE[i - 1].0);
        let after = (TABLE[i + 1].1 - TABLE[i].1) / (TABLE[i + 1].0 - TABLE[i].0);
        if before * after > 0.0 {
            slopes[i] = 2.0 * before * after / (before + after);
        }
        i += 1;
    }
    slopes
}

#[cfg(test)]
mod tests {
    use super::*;

    /// NACA TR-189 (Sparrow, 1924): maximum power between 0.07 and 0.08 lb of fuel a pound of air. Within 2.5 % of
    /// the peak over the band: "maximum" in an engine test of that day.
    #[test]
    fn reference_best_power_band() {
        for step in 0..=10 {
            let fuel_air = 0.07 + 0.001 * f64::from(step);
            assert!(mixture_share(fuel_air * 14.6) > 0.975, "F/A {fuel_air}");
        }
    }

    #[test]
    fn another_lean_limit_moves_the_lean_branch_alone() {
        let early = Mixture::with_lean_limit(1.2).expect("inside its range");
        assert!((early.share(1.0 / 1.2) - mixture_share(1.0 / LEAN_LIMIT)).abs() < 1e-12);
        assert_eq!(early.share(1.0 / 0.8), mixture_share(1.0 / 0.8));
        assert!((early.share(1.0 / 1.000_001) - mixture_share(1.0)).abs() < 1e-5, "no step at an exact mixture");
        assert_eq!(early.share(0.0), 0.0);
        assert_eq!(Mixture::with_lean_limit(f64::NAN), None);
        assert_eq!(Mixture::with_lean_limit(1.0), None);
    }

    #[test]
    fn share_rises_to_one_peak_and_falls() {
        let mut last = 0.0;
        let mut falling = false;
        for step in 0..2000 {
            let share = mixture_share(1.0 / (0.35 + 0.001 * f64::from(step)));
            assert!((0.0..=1.0 + 1e-12).contains(&share));
            assert!(!falling || share <= last + 1e-12);
            falling |= share < last;
            last = share;
        }
        assert_eq!(mixture_share(0.0), 0.0);
    }
}
