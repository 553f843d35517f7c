//! Spring air door: the plates follow the pedal; a door above the venturis is held shut by a wound spring.

use super::blade::{Blade, Jetting};
use super::counterweighted_door::DOOR_CHANNELS;
use super::{CHANNELS, Entry, Family, Own, OwnChannel, OwnRates, PLACE, SPEED, Surroundings};
use crate::family_plumbing;
use crate::physics::air_path::Openings;
use crate::settings;
use crate::settings::Source::CommonPractice;
use crate::settings::Source::Memory;
use crate::solver::moving_part::MovingPart;

/// The family in the list.
pub const ENTRY: Entry = Entry {
    id: "spring_door",
    name: "Spring air door",
    summary: "The plates follow the pedal; a door above the venturis is held shut by a spring that a turn winds up.",
    tuning: &["family.wind_up"],
    fresh: || Box::new(SpringDoor { spring: DoorSpring::default(), jets: Jetting::default(), blade: Blade::default() }),
};

settings! {
    /// The wound spring of a door.
    pub struct DoorSpring {
        wind_up_rad: f64 = 7.0, Angle[0.0, 30.0], "Spring wind-up", "How far the spring is wound with the door shut. More wind-up: the door waits for more depression.", CommonPractice;
        spring_rate_nm_per_rad: f64 = 1.5e-3, TorqueRate[0.1e-3, 30e-3], "Spring rate", "Moment that each radian of turn adds.", Memory;
    }
}

impl DoorSpring {
    /// Moment that shuts the door at an angle, N m.
    pub fn closing_moment(&self, angle_rad: f64) -> f64 {
        self.spring_rate_nm_per_rad * (self.wind_up_rad + angle_rad)
    }
}

/// See the file's heading.
#[derive(Debug, Clone, Copy)]
pub struct SpringDoor {
    spring: DoorSpring,
    jets: Jetting,
    blade: Blade,
}

impl Family for SpringDoor {
    family_plumbing!(spring, jets, blade);

    fn obstruct(&self, own: &Own, openings: &mut Openings) {
        openings.flap_above = Some(self.blade.flap(own));
    }

    fn jet_factor(&self, _own: &Own) -> f64 {
        self.jets.area_factor
    }

    fn moving_part(&self) -> Option<MovingPart> {
        Some(self.blade.moving_part(0.0))
    }

    fn rates(&self, own: &Own, near: &Surroundings<'_>) -> OwnRates {
        let closing = self.spring.closing_moment(own[PLACE]);
        self.blade.rates(own, near, near.secondary.drop_above(), closing)
    }

    fn opening(&self, own: &Own) -> f64 {
        self.blade.opening(own)
    }

    fn wide_open(&self) -> Own {
        self.blade.wide_open()
    }

    fn channels(&self) -> &'static [OwnChannel] {
        DOOR_CHANNELS
    }

    fn readings(&self, own: &Own, near: &Surroundings<'_>) -> [f64; CHANNELS] {
        [own[PLACE], own[SPEED], near.secondary.drop_above(), 0.0]
    }
}
