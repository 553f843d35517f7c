//! Counterweighted air door: the plates follow the pedal; a door above the venturis stays shut until the depression
//! under it lifts the weights on its shaft.

use super::blade::{Blade, Jetting};
use super::{CHANNELS, Entry, Family, Own, OwnChannel, OwnRates, PLACE, SPEED, Surroundings};
use crate::carburettor::barrels::Barrels;
use crate::family_plumbing;
use crate::physics::GRAVITY;
use crate::physics::air_path::{Openings, PathFlow};
use crate::settings;
use crate::settings::Source::{CommonPractice, Memory};
use crate::solver::moving_part::MovingPart;
use crate::units::Quantity;

/// The family in the list.
pub const ENTRY: Entry = Entry {
    id: "counterweighted_door",
    name: "Counterweighted air door",
    summary: "The plates follow the pedal; a weighted door above the venturis waits until the air can lift it.",
    tuning: &["family.mass", "family.area_factor"],
    fresh: || Box::new(CounterweightedDoor::default()),
};

settings! {
    /// Weights on the shaft of a door.
    pub struct Counterweight {
        mass_kg: f64 = 60e-3, SmallMass[0.0, 400e-3], "Counterweight", "Mass of the weights. More weight: the door waits for more depression.", Memory;
        arm_m: f64 = 22e-3, Length[3e-3, 60e-3], "Weight arm", "Distance of the weights from the shaft.", Memory;
        ahead_rad: f64 = 0.349_065_850_398_866, Angle[-1.2, 1.5], "Weight is level at", "Angle of the door at which the arm of the weights is level and pulls most.", Memory;
    }
}

impl Counterweight {
    /// Moment that shuts the door, N m: gravity on the weights, and the car's acceleration on that same mass. The
    /// arm points rearward of the shaft when level, so a car that gains speed tips the door one way and the other as
    /// the weights pass the level.
    pub fn closing_moment(&self, angle_rad: f64, car_acceleration: f64) -> f64 {
        let (sin, cos) = (angle_rad - self.ahead_rad).sin_cos();
        self.mass_kg * self.arm_m * (GRAVITY * cos + car_acceleration * sin)
    }

    /// Moment of inertia of the weights, kg m².
    pub fn inertia(&self) -> f64 {
        self.mass_kg * self.arm_m * self.arm_m
    }
}

settings! {
    /// Notches in the edge of the door.
    pub struct Notches {
        notch_share: f64 = 0.25, Fraction[0.0, 1.0], "Notches", "Low confidence: share of the door's own drop that its notches add to the signal by sending the first air past the nozzles. It fades as the door opens.", CommonPractice;
    }
}

/// See the file's heading.
#[derive(Debug, Clone, Copy)]
pub struct CounterweightedDoor {
    blade: Blade,
    weight: Counterweight,
    notches: Notches,
    jets: Jetting,
}

impl Default for CounterweightedDoor {
    fn default() -> Self {
        // cast in one piece with its weights: thick, and its stop comes early
        let blade = Blade { thickness_m: 4.0e-3, open_rad: 1.25, inertia_kg_m2: 2.5e-5, ..Blade::default() };
        Self { blade, weight: Counterweight::default(), notches: Notches::default(), jets: Jetting::default() }
    }
}

/// Door angle and speed.
pub const DOOR_CHANNELS: &[OwnChannel] = &[
    OwnChannel { id: "door_angle", label: "Door angle", quantity: Quantity::Angle },
    OwnChannel { id: "door_speed", label: "Door speed", quantity: Quantity::AngularSpeed },
    OwnChannel { id: "door_drop", label: "Drop over the door", quantity: Quantity::SmallPressure },
];

impl Family for CounterweightedDoor {
    family_plumbing!(weight, notches, jets, blade);

    fn obstruct(&self, own: &Own, openings: &mut Openings) {
        openings.flap_above = Some(self.blade.flap(own));
    }

    fn nozzle_depression(&self, own: &Own, air: &PathFlow, barrels: &Barrels) -> f64 {
        let steered = self.notches.notch_share * (1.0 - self.opening(own));
        barrels.booster_gain * air.throat_depression() + air.drop_above() * (1.0 + steered)
    }

    fn jet_factor(&self, _own: &Own) -> f64 {
        self.jets.area_factor
    }

    fn moving_part(&self) -> Option<MovingPart> {
        Some(self.blade.moving_part(self.weight.inertia()))
    }

    fn rates(&self, own: &Own, near: &Surroundings<'_>) -> OwnRates {
        let closing = self.weight.closing_moment(own[PLACE], near.car_acceleration);
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
