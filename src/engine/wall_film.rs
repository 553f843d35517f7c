//! Fuel on the manifold wall: the X–τ film of Aquino, SAE 810494 (1981).
//!
//! No readable published table of X and τ against pressure and temperature was found. The coefficients are from
//! memory and of low confidence; they stand together in [`WallFilm`] with the range in which they may lie, and a
//! run can be repeated over that range to see whether its verdict moves.

use crate::settings;
use crate::settings::Source::Memory;

settings! {
    /// Coefficients of the film, low confidence.
    pub struct WallFilm {
        share_base: f64 = 0.15, Number[0.0, 0.4], "Film share, empty manifold", "Share of the fuel that lands on the wall at zero manifold pressure, warm wall.", Memory;
        share_per_pressure: f64 = 0.50, Number[0.0, 0.7], "Film share, added by pressure", "What the share gains as manifold pressure rises to one atmosphere: less of the fuel can be vapour.", Memory;
        time_base_s: f64 = 0.15, Duration[0.02, 1.0], "Film time, empty manifold", "Time in which the film gives its fuel back at zero manifold pressure, warm wall.", Memory;
        time_per_pressure_s: f64 = 0.35, Duration[0.0, 2.0], "Film time, added by pressure", "What that time gains as manifold pressure rises to one atmosphere.", Memory;
        cold_share: f64 = 0.35, Number[0.0, 1.0], "Film share, per 100 K colder", "What the share gains when the wall is 100 K colder than a warm one at 350 K.", Memory;
        cold_time: f64 = 60.0, Number[20.0, 200.0], "Film time, e-fold (K)", "Cooling of the wall that multiplies the time by 2.718.", Memory;
    }
}

const WARM_K: f64 = 350.0;
/// Pressure at which the coefficients are stated, Pa.
const FULL_PA: f64 = 101_325.0;

impl WallFilm {
    /// The film on a wall of a temperature, K.
    pub fn on_wall(&self, wall_k: f64) -> Film {
        let colder = WARM_K - wall_k;
        Film {
            share: self.share_base + self.cold_share * colder / 100.0,
            share_per_pascal: self.share_per_pressure / FULL_PA,
            time_s: self.time_base_s * (colder / self.cold_time).exp(),
            time_per_pascal: self.time_per_pressure_s / FULL_PA * (colder / self.cold_time).exp(),
        }
    }
}

/// The film of one wall, as it depends on plenum pressure.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Film {
    share: f64,
    share_per_pascal: f64,
    time_s: f64,
    time_per_pascal: f64,
}

impl Film {
    /// Share X of arriving fuel that lands on the wall.
    pub fn share(&self, plenum_pa: f64) -> f64 {
        (self.share + self.share_per_pascal * plenum_pa).clamp(0.0, 0.95)
    }

    /// Time τ in which the film gives its fuel back, s.
    pub fn time(&self, plenum_pa: f64) -> f64 {
        self.time_s + self.time_per_pascal * plenum_pa.max(0.0)
    }
}
