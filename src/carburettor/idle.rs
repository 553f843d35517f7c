//! Idle and transfer circuit of the primary side.
//!
//! Fuel comes through a feed restriction, takes up bleed air, and leaves through the mixture screw's hole below the
//! plate and through that part of the transfer slot which the plate's edge has left on the vacuum side. The part of
//! the slot above the edge sees air-horn pressure and acts as one more bleed. All of it fades with plenum vacuum.
//!
//! The passage is the homogeneous network of [`share_left_by_bleed`] with the lift to the passage as a static head;
//! vacuum counts up to the choking of the discharge holes and no further.

use crate::physics::GRAVITY;
use crate::physics::air::CRITICAL_RATIO;
use crate::physics::fuel_flow::{Jet, Liquid, share_left_by_bleed};
use crate::physics::plate::Plate;
use crate::settings;
use crate::settings::Source::{CommonPractice, Memory};
use std::f64::consts::FRAC_PI_4;

/// Discharge coefficient of the small holes of the circuit: short cylindrical tube, 0.82 by experiment
/// (*Encyclopaedia Britannica* 1911, "Hydraulics").
const HOLE: f64 = 0.82;

settings! {
    /// The idle and transfer circuit; each barrel of the pair has one.
    pub struct Idle {
        feed_m: f64 = 0.36e-3, FineLength[0.2e-3, 2e-3], "Idle feed", "Bore of the restriction that feeds the idle circuit.", Memory;
        bleed_m: f64 = 2.2e-3, FineLength[0.3e-3, 3.5e-3], "Idle air bleed", "Bore of the idle air bleed.", Memory;
        screw_m: f64 = 1.25e-3, FineLength[0.0, 3e-3], "Mixture screw hole", "Bore that the mixture screw leaves open below the plate.", CommonPractice;
        slot_length_m: f64 = 4.5e-3, Length[0.5e-3, 10e-3], "Transfer slot", "Length of the transfer slot along the bore.", Memory;
        slot_width_m: f64 = 0.3e-3, FineLength[0.2e-3, 2.5e-3], "Slot width", "Width of the transfer slot.", Memory;
        slot_below_m: f64 = 0.4e-3, Length[0.0, 5e-3], "Slot below closed plate", "Part of the slot that the closed plate leaves on the vacuum side.", CommonPractice;
        curb_rad: f64 = 0.052_359_877_559_829_9, Angle[0.0, 0.26], "Curb idle stop", "How far the idle stop screw holds the primary plates from closed. Too far, and it uncovers the transfer slot.", CommonPractice;
        lift_m: f64 = 12e-3, Length[0.0, 40e-3], "Lift to the passage", "Height of the idle passage above the fuel level.", Memory;
    }
}

impl Idle {
    /// Share of the slot below the plate's edge, 0 to 1.
    pub fn slot_share(&self, plate: Plate, plate_rad: f64) -> f64 {
        ((self.slot_below_m + plate.edge_rise(plate_rad)) / self.slot_length_m).clamp(0.0, 1.0)
    }

    /// Fuel of one barrel, m³/s, at a plenum vacuum.
    pub fn flow(&self, plate: Plate, plate_rad: f64, vacuum_pa: f64, ambient_pa: f64, air: f64, fuel: Liquid) -> f64 {
        if vacuum_pa <= 0.0 {
            return 0.0;
        }
        let slot = self.slot_length_m * self.slot_width_m;
        let below = self.slot_share(plate, plate_rad);
        let hole = |bore: f64| FRAC_PI_4 * bore * bore * HOLE;
        let out = hole(self.screw_m) + slot * below * HOLE;
        let bleed = hole(self.bleed_m) + slot * (1.0 - below) * HOLE;
        if out <= 0.0 {
            return 0.0;
        }
        let drives = vacuum_pa.min((1.0 - CRITICAL_RATIO) * ambient_pa);
        let left = share_left_by_bleed(hole(self.feed_m), bleed, out, fuel.density, air);
        let at_feed = drives * left - fuel.density * GRAVITY * self.lift_m;
        Jet::holes(1.0, self.feed_m).flow(at_feed.max(0.0), fuel)
    }
}
