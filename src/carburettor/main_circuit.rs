//! Main circuit: jet, column of fuel, well to be refilled, nozzle.
//!
//! Two states a side: the volume of fuel above the set level in the wells (up to the nozzle, then it spills), and
//! the flow through the jets, which has inertia. When the signal falls the column runs back.

use crate::carburettor::barrels::{BARRELS, Barrels};
use crate::physics::GRAVITY;
use crate::physics::fuel_flow::{Bleed, Jet, Liquid, TURBULENT_COEFFICIENT};
use std::f64::consts::FRAC_PI_4;

/// Constant figures of one side's main circuit.
#[derive(Debug, Clone, Copy)]
pub struct MainCircuit {
    jets: Jet,
    nozzle_m2: f64,
    bleed_m2: f64,
    /// Volume from set level to nozzle of the pair, m³.
    pub refill_m3: f64,
    lip_m: f64,
    /// Inertance of the pair's columns, Pa s²/m³.
    inertance: f64,
    fuel: Liquid,
    bleed: Bleed,
}

/// What the main circuit does at one instant.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MainFlow {
    /// d flow / dt, m³/s².
    pub acceleration: f64,
    /// d acceleration / d flow, 1/s.
    pub slope: f64,
    /// d acceleration / d depression, m³/(s² Pa).
    pub per_depression: f64,
}

impl MainCircuit {
    /// From a side's dimensions.
    pub fn new(barrels: &Barrels, fuel: Liquid, air_density: f64) -> Self {
        let hole = |bore: f64| FRAC_PI_4 * bore * bore;
        Self {
            jets: barrels.main_jets(),
            nozzle_m2: BARRELS * hole(barrels.nozzle_m) * 0.82,
            bleed_m2: BARRELS * hole(barrels.air_bleed_m) * 0.82,
            refill_m3: barrels.refill_m3(),
            lip_m: barrels.lip_m,
            inertance: fuel.density * barrels.passage_length_m / (BARRELS * hole(barrels.passage_bore_m)),
            fuel,
            bleed: Bleed::new(fuel.density, air_density),
        }
    }

    /// The jets when something opens or closes them by a factor of area.
    fn jets(&self, area_factor: f64) -> Jet {
        Jet { area_m2: self.jets.area_m2 * area_factor, ..self.jets }
    }

    /// Share of the nozzle's depression that the bleed leaves at these jets.
    fn signal_share(&self, jets: &Jet) -> f64 {
        let jet_m2 = jets.area_m2 * TURBULENT_COEFFICIENT;
        self.bleed.share_left(jet_m2, self.bleed_m2, self.nozzle_m2)
    }

    /// Height of the fuel front above the set level, m.
    pub fn front_m(&self, well_m3: f64) -> f64 {
        self.lip_m * well_m3 / self.refill_m3
    }

    /// Motion of the column under a nozzle depression, with the bowl `bowl_drop_m` below its set level.
    pub fn motion(
        &self,
        depression_pa: f64,
        bowl_drop_m: f64,
        area_factor: f64,
        well_m3: f64,
        flow_m3_per_s: f64,
    ) -> MainFlow {
        let jets = self.jets(area_factor);
        let share = self.signal_share(&jets);
        let head = self.fuel.density * GRAVITY * (self.front_m(well_m3) + bowl_drop_m);
        let net = depression_pa * share - head - jets.pressure_loss(flow_m3_per_s, self.fuel);
        MainFlow {
            acceleration: net / self.inertance,
            slope: -jets.pressure_slope(flow_m3_per_s, self.fuel) / self.inertance,
            per_depression: share / self.inertance,
        }
    }

    /// Well volume and flow that do not change under a depression.
    pub fn at_rest(&self, depression_pa: f64, area_factor: f64) -> (f64, f64) {
        let jets = self.jets(area_factor);
        let share = self.signal_share(&jets);
        let full = self.fuel.density * GRAVITY * self.lip_m;
        let signal = depression_pa * share;
        if signal < full {
            (self.refill_m3 * signal / full, 0.0)
        } else {
            (self.refill_m3, jets.flow(signal - full, self.fuel))
        }
    }
}
