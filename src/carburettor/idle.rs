//! Idle and transfer circuit of the primary side.
//!
//! Fuel comes through a feed restriction, takes up bleed air, and leaves through the mixture screw's hole below the
//! plate and through that part of the transfer slot which the plate's edge has left on the vacuum side. The part of
//! the slot above the edge sees air-horn pressure and acts as one more bleed. All of it fades with plenum vacuum.
//!
//! The passage is the homogeneous network of [`Bleed`] with the lift to the passage as a static head;
//! vacuum counts up to the choking of the discharge holes and no further.

use crate::physics::GRAVITY;
use crate::physics::air::{CRITICAL_RATIO, Stagnation};
use crate::physics::fuel_flow::{Bleed, Jet, Liquid};
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
        slot_width_m: f64 = 0.3e-3, FineLength[0.1e-3, 2.5e-3], "Slot width", "Width of the transfer slot.", Memory;
        slot_below_m: f64 = 0.4e-3, Length[0.0, 5e-3], "Slot below closed plate", "Part of the slot that the closed plate leaves on the vacuum side.", CommonPractice;
        curb_rad: f64 = 0.052_359_877_559_829_9, Angle[0.0, 0.26], "Curb idle stop", "How far the idle stop screw holds the primary plates from closed. Too far, and it uncovers the transfer slot.", CommonPractice;
        lift_m: f64 = 12e-3, Length[0.0, 40e-3], "Lift to the passage", "Height of the idle passage above the fuel level.", Memory;
    }
}

impl Idle {
    /// Share of the idle fuel that leaves through the screw's hole, the rest through the slot: both feel one depression.
    pub fn hole_share(&self, slot_share: f64) -> f64 {
        let hole = FRAC_PI_4 * self.screw_m * self.screw_m;
        let whole = hole + self.slot_length_m * self.slot_width_m * slot_share;
        if whole > 0.0 { hole / whole } else { 0.0 }
    }
}

/// The circuit of one barrel behind its plate, with what does not change during a run.
#[derive(Debug, Clone, Copy)]
pub struct IdleCircuit {
    plate: Plate,
    slot_below_m: f64,
    slot_length_m: f64,
    /// Screw hole, bleed, slot and feed with their coefficient, m².
    screw_m2: f64,
    bleed_m2: f64,
    slot_m2: f64,
    feed_m2: f64,
    feed: Jet,
    /// Vacuum beyond which the discharge holes choke, Pa.
    most_pa: f64,
    /// Head of fuel up to the passage, Pa.
    lift_pa: f64,
    fuel: Liquid,
    bleed: Bleed,
}

impl IdleCircuit {
    /// From the settings, the plate that opens the slot, the air of the day and the fuel.
    pub fn new(idle: &Idle, plate: Plate, ambient: Stagnation, fuel: Liquid) -> Self {
        let hole = |bore: f64| FRAC_PI_4 * bore * bore * HOLE;
        Self {
            plate,
            slot_below_m: idle.slot_below_m,
            slot_length_m: idle.slot_length_m,
            screw_m2: hole(idle.screw_m),
            bleed_m2: hole(idle.bleed_m),
            slot_m2: idle.slot_length_m * idle.slot_width_m * HOLE,
            feed_m2: hole(idle.feed_m),
            feed: Jet::holes(1.0, idle.feed_m),
            most_pa: (1.0 - CRITICAL_RATIO) * ambient.pressure_pa,
            lift_pa: fuel.density * GRAVITY * idle.lift_m,
            fuel,
            bleed: Bleed::new(fuel.density, ambient.density()),
        }
    }

    /// Share of the slot below the plate's edge, 0 to 1.
    pub fn slot_share(&self, plate_rad: f64) -> f64 {
        ((self.slot_below_m + self.plate.edge_rise(plate_rad)) / self.slot_length_m).clamp(0.0, 1.0)
    }

    /// Depression in the passage, Pa, at a plenum vacuum with a share of the slot below the plate's edge.
    pub fn passage_pa(&self, slot_share: f64, vacuum_pa: f64) -> f64 {
        let out = self.screw_m2 + self.slot_m2 * slot_share;
        if vacuum_pa <= 0.0 || out <= 0.0 {
            return 0.0;
        }
        let bleed = self.bleed_m2 + self.slot_m2 * (1.0 - slot_share);
        vacuum_pa.min(self.most_pa) * self.bleed.share_left(self.feed_m2, bleed, out)
    }

    /// Fuel, m³/s, at a plenum vacuum with a share of the slot below the plate's edge.
    pub fn flow(&self, slot_share: f64, vacuum_pa: f64) -> f64 {
        let at_feed = self.passage_pa(slot_share, vacuum_pa) - self.lift_pa;
        self.feed.flow(at_feed.max(0.0), self.fuel)
    }
}
