//! Damped spring door with fixed jets: a spring door with a pull-off, and nozzles under the door that feel only the
//! door's own depression.

use super::Entry;
use super::blade::{Blade, Jetting};
use super::brake::Brake;
use super::damped_door::{DampedDoor, Feed};
use super::spring_door::DoorSpring;
use crate::carburettor::barrels::Barrels;
use crate::physics::air_path::PathFlow;

/// The family in the list.
pub const ENTRY: Entry = Entry {
    id: "damped_fixed_jets",
    name: "Damped spring door, fixed jets",
    summary: "A spring door that a vacuum brake makes late; fixed jets feed nozzles that feel only the door's own depression.",
    tuning: &["family.wind_up", "family.brake_orifice"],
    fresh: || {
        Box::new(DampedDoor {
            spring: DoorSpring { wind_up_rad: 8.0, ..DoorSpring::default() },
            brake: Brake::default(),
            feed: Jetting { area_factor: 1.25 },
            blade: Blade::default(),
        })
    },
};

impl Feed for Jetting {
    fn jet_factor(&self, _opening: f64) -> f64 {
        self.area_factor
    }

    fn nozzle_depression(&self, air: &PathFlow, _barrels: &Barrels) -> f64 {
        air.drop_above()
    }
}
