//! Air that reaches the manifold past the plates: a bowed flange, worn throttle shafts.

use crate::physics::air::Stagnation;
use crate::physics::gas_chamber;
use crate::settings;
use crate::settings::Source::Memory;

settings! {
    /// Air that goes round the plates and meets no nozzle. A healthy carburettor has none.
    pub struct AirLeak {
        area_m2: f64 = 0.0, FineArea[0.0, 60e-6], "Leak below the plates", "Effective area of gaps at the flange or round the throttle shafts, through which air reaches the manifold past the plates.", Memory;
    }
}

impl AirLeak {
    /// Air into the manifold, kg/s, and how fast it falls per pascal of manifold pressure, kg/(s Pa): a fine orifice from
    /// the outside, either way.
    pub fn flow(&self, ambient: Stagnation, plenum_pa: f64) -> (f64, f64) {
        gas_chamber::flow(ambient.pressure_pa, plenum_pa, ambient.temperature_k, self.area_m2)
    }
}
