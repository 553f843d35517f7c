//! Bubbles that lift fuel over the nozzles.
//!
//! A well and the bowl are two arms of a U-tube. Bubbles make the column in the well lighter; once the bowl outweighs a
//! column that reaches the lip, fuel runs over, and the bowl sends more through the main jet. How much lighter depends
//! on how fast bubbles slip past the fuel, and in a narrow passage they do not slip at all.

use crate::heat::parts::Wells;
use crate::physics::GRAVITY;
use crate::physics::fuel_flow::{Jet, Liquid};
use crate::solver::root;

/// Share by which a slug of vapour runs ahead of the mixture: Nicklin, Wilkes and Davidson, *Trans. Inst. Chem. Eng.*
/// 40 (1962) 61; recalled.
const AHEAD: f64 = 1.2;
/// Surface tension of petrol, N/m; from memory.
const SURFACE_TENSION: f64 = 0.021;

/// Speed at which a long bubble climbs in a still round column, m/s: 0.345 √(g D), and less in a narrow one, where
/// surface tension holds it (none below an Eötvös number of 3.37). Wallis, *One-dimensional Two-phase Flow* (1969),
/// for thin liquids; recalled.
pub fn drift(bore_m: f64, density: f64) -> f64 {
    let eotvos = density * GRAVITY * bore_m * bore_m / SURFACE_TENSION;
    0.345 * (GRAVITY * bore_m).sqrt() * -(-((eotvos - 3.37).max(0.0)) / 10.0).exp_m1()
}

/// All the wells of a carburettor.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lift {
    /// From jet to set level, m.
    jet_depth_m: f64,
    lip_m: f64,
    passage_m2: f64,
    drift_m_per_s: f64,
    jets: Jet,
    liquid: Liquid,
}

impl Lift {
    /// Wells under bowls of a depth.
    pub fn new(wells: &Wells, bowl_depth_m: f64, liquid: Liquid) -> Self {
        Self {
            jet_depth_m: wells.depth_share * bowl_depth_m,
            lip_m: wells.lip_m,
            passage_m2: wells.barrels * std::f64::consts::FRAC_PI_4 * wells.passage_m * wells.passage_m,
            drift_m_per_s: drift(wells.passage_m, liquid.density),
            jets: Jet::holes(wells.barrels, wells.jet_m),
            liquid,
        }
    }

    /// Share of the column that is vapour, at volume flows of vapour and fuel in m³/s (drift flux).
    pub fn vapour_share(&self, vapour_m3_per_s: f64, fuel_m3_per_s: f64) -> f64 {
        if vapour_m3_per_s <= 0.0 {
            return 0.0;
        }
        let mixture = (vapour_m3_per_s + fuel_m3_per_s) / self.passage_m2;
        vapour_m3_per_s / self.passage_m2 / (AHEAD * mixture + self.drift_m_per_s)
    }

    /// Share of the column that must be vapour before fuel runs over with the level where it was set.
    pub fn share_to_spill(&self) -> f64 {
        self.lip_m / (self.jet_depth_m + self.lip_m)
    }

    /// Fuel that runs over the lips, m³/s. `level_m` is the head over the jets that the bowl offers, with the pressure
    /// over its fuel counted in.
    pub fn spill(&self, level_m: f64, vapour_m3_per_s: f64) -> f64 {
        let weight = self.liquid.density * GRAVITY;
        let column = self.jet_depth_m + self.lip_m;
        let excess = |fuel: f64| {
            let lighter = 1.0 - self.vapour_share(vapour_m3_per_s, fuel);
            weight * (level_m - lighter * column) - self.jets.pressure_loss(fuel, self.liquid)
        };
        if level_m <= 0.0 || excess(0.0) <= 0.0 {
            return 0.0;
        }
        let most = self.jets.flow(weight * level_m, self.liquid);
        root::bracketed(0.0, most, 1e-13, excess)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const PETROL: Liquid = Liquid { density: 740.0, viscosity: 0.5e-3 };

    /// Critical Eötvös number 3.37: petrol in a bore of 3.1 mm.
    #[test]
    fn bubbles_do_not_slip_in_a_narrow_bore() {
        assert_eq!(drift(3.0e-3, 740.0), 0.0);
        assert!(drift(3.3e-3, 740.0) > 0.0);
        assert!(drift(30e-3, 740.0) > 0.34 * (GRAVITY * 30e-3_f64).sqrt());
    }

    #[test]
    fn still_fuel_stays_below_the_lip_and_pressed_fuel_runs_over() {
        let lift = Lift::new(&Wells::default(), 38e-3, PETROL);
        let level = 0.8 * 38e-3;
        assert_eq!(lift.spill(level, 0.0), 0.0);
        assert_eq!(lift.spill(level + 0.99 * 6e-3, 0.0), 0.0);
        assert!(lift.spill(level + 1.2 * 6e-3, 0.0) > 0.0);
    }

    /// Where bubbles cannot slip, the least of them fill 1/1.2 of the passage and carry fuel.
    #[test]
    fn a_narrow_passage_percolates_at_once_and_a_wide_one_later() {
        let spill = |passage_m: f64| {
            Lift::new(&Wells { passage_m, ..Wells::default() }, 38e-3, PETROL).spill(0.8 * 38e-3, 0.05e-6)
        };
        assert!(spill(2.5e-3) > 0.0);
        assert_eq!(spill(10e-3), 0.0);
    }
}
