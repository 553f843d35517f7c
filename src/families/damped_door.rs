//! A spring door with a pull-off, whatever feeds its nozzles. Shared by the damped families, which differ in that.

use super::blade::Blade;
use super::brake::Brake;
use super::spring_door::DoorSpring;
use super::{CHANNELS, Family, Own, OwnChannel, OwnRates, PLACE, Surroundings};
use crate::carburettor::barrels::Barrels;
use crate::physics::air::Stagnation;
use crate::physics::air_path::{Openings, PathFlow};
use crate::settings::Settings;
use crate::solver::moving_part::{Mode, MovingPart};
use crate::units::Quantity;

/// How the nozzles under a damped door get their fuel.
pub trait Feed: Settings + Copy + Send + Sync + std::fmt::Debug + 'static {
    /// Secondary jet area over its nominal area at an opening of the door, 0 to 1.
    fn jet_factor(&self, opening: f64) -> f64;
    /// Depression at the nozzles against the bowl, Pa.
    fn nozzle_depression(&self, air: &PathFlow, barrels: &Barrels) -> f64;
}

/// The family's parts.
#[derive(Debug, Clone, Copy)]
pub struct DampedDoor<F> {
    /// The door's spring.
    pub spring: DoorSpring,
    /// Its pull-off.
    pub brake: Brake,
    /// Its fuel.
    pub feed: F,
    /// The door itself.
    pub blade: Blade,
}

/// State: air in the brake's capsule, kg.
const BRAKE_AIR: usize = 2;

const READINGS: &[OwnChannel] = &[
    OwnChannel { id: "door_angle", label: "Door angle", quantity: Quantity::Angle },
    OwnChannel { id: "brake_travel", label: "Brake travel", quantity: Quantity::Length },
    OwnChannel { id: "brake_pressure", label: "Brake capsule", quantity: Quantity::Pressure },
    OwnChannel { id: "door_drop", label: "Drop over the door", quantity: Quantity::SmallPressure },
];

impl<F: Feed> Family for DampedDoor<F> {
    fn groups(&self) -> Vec<&dyn Settings> {
        vec![&self.spring, &self.brake, &self.feed, &self.blade]
    }

    fn groups_mut(&mut self) -> Vec<&mut dyn Settings> {
        vec![&mut self.spring, &mut self.brake, &mut self.feed, &mut self.blade]
    }

    fn boxed(&self) -> Box<dyn Family> {
        Box::new(*self)
    }

    fn obstruct(&self, own: &Own, openings: &mut Openings) {
        openings.flap_above = Some(self.blade.flap(own));
    }

    fn nozzle_depression(&self, _own: &Own, air: &PathFlow, barrels: &Barrels) -> f64 {
        self.feed.nozzle_depression(air, barrels)
    }

    fn jet_factor(&self, own: &Own) -> f64 {
        self.feed.jet_factor(self.opening(own))
    }

    fn moving_part(&self) -> Option<MovingPart> {
        Some(self.blade.moving_part(0.0))
    }

    fn at_rest(&self, ambient: Stagnation, plenum_pa: f64, _primary: &PathFlow) -> (Own, Mode) {
        let mut own = Own::default();
        own[BRAKE_AIR] = self.brake.at_rest(plenum_pa, ambient);
        (own, Mode::AtLower)
    }

    fn tolerance(&self) -> (Own, Own) {
        // the capsule holds milligrams of air, and what counts is how much it lacks
        ([1e-6, 1e-3, 1e-11, 1e-9], [1.0, 1.0, 0.5, 1.0])
    }

    fn rates(&self, own: &Own, near: &Surroundings<'_>) -> OwnRates {
        let pull = self.brake.pull(own[BRAKE_AIR], own[PLACE], near.ambient);
        let closing = self.spring.closing_moment(own[PLACE]) + self.brake.closing_moment(&pull);
        let (air, slope) = self.brake.refill(&pull, near.plenum_pa, near.ambient);
        let mut out = self.blade.rates(own, near, near.secondary.drop_above(), closing);
        out.rates[BRAKE_AIR] = air;
        out.stiff[BRAKE_AIR] = slope;
        out
    }

    fn opening(&self, own: &Own) -> f64 {
        self.blade.opening(own)
    }

    fn wide_open(&self) -> Own {
        let mut own = self.blade.wide_open();
        // the brake has let go: its capsule is at ambient pressure
        let sea_level = Stagnation { pressure_pa: 101_325.0, temperature_k: 298.15 };
        own[BRAKE_AIR] = self.brake.at_rest(sea_level.pressure_pa, sea_level);
        own
    }

    fn channels(&self) -> &'static [OwnChannel] {
        READINGS
    }

    fn readings(&self, own: &Own, near: &Surroundings<'_>) -> [f64; CHANNELS] {
        let pull = self.brake.pull(own[BRAKE_AIR], own[PLACE], near.ambient);
        [own[PLACE], pull.travel_m, pull.chamber_pa, near.secondary.drop_above()]
    }
}
