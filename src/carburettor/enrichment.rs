//! Enrichment valve: more jet when manifold vacuum falls.

use crate::settings;
use crate::settings::Source::{CommonPractice, Memory};

settings! {
    /// The enrichment valve of the primary side.
    pub struct Enrichment {
        opens_below_pa: f64 = 20_318.0, Pressure[0.0, 60_000.0], "Opens below", "Manifold vacuum under which the spring begins to open the valve. It opens when vacuum falls.", CommonPractice;
        over_pa: f64 = 5_000.0, Pressure[200.0, 20_000.0], "Fully open after", "Further fall of vacuum over which the valve opens fully.", Memory;
        extra_area: f64 = 0.32, Fraction[0.0, 1.0], "Adds to the jet", "Area that the open valve adds to the main jets.", Memory;
    }
}

impl Enrichment {
    /// How far open the valve is at a manifold vacuum, 0 to 1: a spring against a small diaphragm.
    pub fn lift(&self, vacuum_pa: f64) -> f64 {
        ((self.opens_below_pa - vacuum_pa) / self.over_pa).clamp(0.0, 1.0)
    }

    /// Jet area over main jet area at a manifold vacuum.
    pub fn area_factor(&self, vacuum_pa: f64) -> f64 {
        1.0 + self.extra_area * self.lift(vacuum_pa)
    }
}
