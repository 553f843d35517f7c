//! Twin pump: the secondary plates follow the pedal, and a second accelerator pump on their shaft covers the hole.

use super::{Entry, Family};
use crate::carburettor::pump::{CamProfile, Pump};
use crate::family_plumbing;

/// The family in the list.
pub const ENTRY: Entry = Entry {
    id: "twin_pump",
    name: "Twin pump",
    summary: "The secondary plates follow the pedal through a rod; a second accelerator pump on their shaft covers the gap.",
    tuning: &["family.shot", "family.shooter"],
    fresh: || Box::new(TwinPump { pump: Pump { profile: CamProfile::A, ..Pump::default() } }),
};

/// See the file's heading.
#[derive(Debug, Clone, Copy)]
pub struct TwinPump {
    pump: Pump,
}

impl Family for TwinPump {
    family_plumbing!(pump);

    fn second_pump(&self) -> Option<&Pump> {
        Some(&self.pump)
    }
}
