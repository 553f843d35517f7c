//! Damped spring door with fixed jets: a spring door with a pull-off, and nozzles under the door that feel only the
//! door's own depression.

use super::blade::{Blade, Jetting};
use super::brake::Brake;
use super::damped_lifted_rods::{
    DAMPED_CHANNELS, DAMPED_TOLERANCE, damped_at_rest, damped_rates, damped_readings, damped_wide_open,
};
use super::spring_door::DoorSpring;
use super::{CHANNELS, Entry, Family, Own, OwnChannel, OwnRates, Surroundings};
use crate::carburettor::barrels::Barrels;
use crate::family_plumbing;
use crate::physics::air::Stagnation;
use crate::physics::air_path::{Openings, PathFlow};
use crate::solver::moving_part::{Mode, MovingPart};

/// The family in the list.
pub const ENTRY: Entry = Entry {
    id: "damped_fixed_jets",
    name: "Damped spring door, fixed jets",
    summary: "A spring door that a vacuum brake makes late; fixed jets feed nozzles that feel only the door's own depression.",
    fresh: || {
        Box::new(DampedFixedJets {
            spring: DoorSpring { wind_up_rad: 8.0, ..DoorSpring::default() },
            brake: Brake::default(),
            jets: Jetting { area_factor: 1.25 },
            blade: Blade::default(),
        })
    },
};

/// See the file's heading.
#[derive(Debug, Clone, Copy)]
pub struct DampedFixedJets {
    spring: DoorSpring,
    brake: Brake,
    jets: Jetting,
    blade: Blade,
}

impl Family for DampedFixedJets {
    family_plumbing!(spring, brake, jets, blade);

    fn obstruct(&self, own: &Own, openings: &mut Openings) {
        openings.flap_above = Some(self.blade.flap(own));
    }

    fn nozzle_depression(&self, _own: &Own, air: &PathFlow, _barrels: &Barrels) -> f64 {
        air.drop_above()
    }

    fn jet_factor(&self, _own: &Own) -> f64 {
        self.jets.area_factor
    }

    fn moving_part(&self) -> Option<MovingPart> {
        Some(self.blade.moving_part(0.0))
    }

    fn at_rest(&self, ambient: Stagnation, plenum_pa: f64, _primary: &PathFlow) -> (Own, Mode) {
        damped_at_rest(&self.brake, ambient, plenum_pa)
    }

    fn tolerance(&self) -> Own {
        DAMPED_TOLERANCE
    }

    fn rates(&self, own: &Own, near: &Surroundings<'_>) -> OwnRates {
        damped_rates(&self.blade, &self.spring, &self.brake, own, near)
    }

    fn opening(&self, own: &Own) -> f64 {
        self.blade.opening(own)
    }

    fn wide_open(&self) -> Own {
        damped_wide_open(&self.blade, &self.brake)
    }

    fn channels(&self) -> &'static [OwnChannel] {
        DAMPED_CHANNELS
    }

    fn readings(&self, own: &Own, near: &Surroundings<'_>) -> [f64; CHANNELS] {
        damped_readings(&self.brake, own, near)
    }
}
