//! Damped spring door with lifted rods: a spring door whose pull-off makes it late, and which lifts metering rods
//! out of the secondary jets as it opens.

use super::Entry;
use super::blade::Blade;
use super::brake::Brake;
use super::damped_door::{DampedDoor, Feed};
use super::spring_door::DoorSpring;
use crate::carburettor::barrels::Barrels;
use crate::physics::air_path::PathFlow;
use crate::settings;
use crate::settings::Source::Memory;

/// The family in the list.
pub const ENTRY: Entry = Entry {
    id: "damped_lifted_rods",
    name: "Damped spring door, lifted rods",
    summary: "A spring door that a vacuum brake makes late; as it opens it lifts metering rods out of the secondary jets.",
    tuning: &["family.wind_up", "family.brake_orifice", "family.rods_shut_share"],
    fresh: || {
        Box::new(DampedDoor {
            spring: DoorSpring::default(),
            brake: Brake::default(),
            feed: MeteringRods::default(),
            blade: Blade::default(),
        })
    },
};

settings! {
    /// What the rods leave of the secondary jets against the door's opening.
    pub struct MeteringRods {
        rods_shut_share: f64 = 0.72, Fraction[0.05, 1.5], "Jet area, door shut", "Area that the rods leave over the main jet's, door shut.", Memory;
        rods_half_share: f64 = 0.90, Fraction[0.05, 1.5], "Jet area, door half open", "The same with the door half open.", Memory;
        rods_open_share: f64 = 1.05, Fraction[0.05, 1.5], "Jet area, door open", "The same with the door on its stop.", Memory;
    }
}

impl Feed for MeteringRods {
    /// Straight between the three places.
    fn jet_factor(&self, opening: f64) -> f64 {
        let opening = opening.clamp(0.0, 1.0);
        if opening < 0.5 {
            self.rods_shut_share + (self.rods_half_share - self.rods_shut_share) * 2.0 * opening
        } else {
            self.rods_half_share + (self.rods_open_share - self.rods_half_share) * (2.0 * opening - 1.0)
        }
    }

    fn nozzle_depression(&self, air: &PathFlow, barrels: &Barrels) -> f64 {
        barrels.booster_gain * air.throat_depression() + air.drop_above()
    }
}
