//! Float bowl: what leaves through jets and pumps comes back through the needle as the level falls.

use crate::settings;
use crate::settings::Source::Memory;

settings! {
    /// The float bowl of a side.
    pub struct Bowl {
        surface_m2: f64 = 28e-4, Area[4e-4, 150e-4], "Bowl surface", "Horizontal surface of the fuel in a bowl.", Memory;
        needle_m3_per_s: f64 = 12e-6, FuelFlow[1e-6, 80e-6], "Needle flow", "Fuel that the needle passes when the float has dropped through its travel.", Memory;
        float_travel_m: f64 = 3e-3, Length[0.5e-3, 15e-3], "Float travel", "Fall of the level that opens the needle fully.", Memory;
        depth_m: f64 = 38e-3, Length[10e-3, 90e-3], "Bowl depth", "Depth of fuel at the set level.", Memory;
    }
}

impl Bowl {
    /// How far the level stands below the set level when `missing_m3` is gone, m.
    pub fn drop(&self, missing_m3: f64) -> f64 {
        missing_m3 / self.surface_m2
    }

    /// Inflow through the needle, m³/s: in proportion to the float's fall, to its full flow.
    pub fn inflow(&self, missing_m3: f64) -> f64 {
        self.needle_m3_per_s * (self.drop(missing_m3) / self.float_travel_m).clamp(0.0, 1.0)
    }
}
