//! Damped spring door with lifted rods: a spring door whose pull-off makes it late, and which lifts metering rods
//! out of the secondary jets as it opens.

use super::blade::Blade;
use super::brake::Brake;
use super::spring_door::DoorSpring;
use super::{CHANNELS, Entry, Family, Own, OwnChannel, OwnRates, PLACE, Surroundings};
use crate::family_plumbing;
use crate::physics::air::Stagnation;
use crate::physics::air_path::{Openings, PathFlow};
use crate::settings;
use crate::settings::Source::Memory;
use crate::solver::moving_part::{Mode, MovingPart};
use crate::units::Quantity;

/// The family in the list.
pub const ENTRY: Entry = Entry {
    id: "damped_lifted_rods",
    name: "Damped spring door, lifted rods",
    summary: "A spring door that a vacuum brake makes late; as it opens it lifts metering rods out of the secondary jets.",
    fresh: || {
        Box::new(DampedLiftedRods {
            spring: DoorSpring::default(),
            brake: Brake::default(),
            rods: MeteringRods::default(),
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

impl MeteringRods {
    /// Jet area over nominal at an opening of 0 to 1: straight between the three places.
    pub fn area_factor(&self, opening: f64) -> f64 {
        let opening = opening.clamp(0.0, 1.0);
        if opening < 0.5 {
            self.rods_shut_share + (self.rods_half_share - self.rods_shut_share) * 2.0 * opening
        } else {
            self.rods_half_share + (self.rods_open_share - self.rods_half_share) * (2.0 * opening - 1.0)
        }
    }
}

/// See the file's heading.
#[derive(Debug, Clone, Copy)]
pub struct DampedLiftedRods {
    spring: DoorSpring,
    brake: Brake,
    rods: MeteringRods,
    blade: Blade,
}

/// State: air in the brake's capsule, kg.
pub const BRAKE_AIR: usize = 2;

/// Door and brake.
pub const DAMPED_CHANNELS: &[OwnChannel] = &[
    OwnChannel { id: "door_angle", label: "Door angle", quantity: Quantity::Angle },
    OwnChannel { id: "brake_travel", label: "Brake travel", quantity: Quantity::Length },
    OwnChannel { id: "brake_pressure", label: "Brake capsule", quantity: Quantity::Pressure },
    OwnChannel { id: "door_drop", label: "Drop over the door", quantity: Quantity::SmallPressure },
];

/// Rates of a spring door with a brake; shared by both damped families.
pub fn damped_rates(blade: &Blade, spring: &DoorSpring, brake: &Brake, own: &Own, near: &Surroundings<'_>) -> OwnRates {
    let pull = brake.pull(own[BRAKE_AIR], own[PLACE], near.ambient);
    let closing = spring.closing_moment(own[PLACE]) + brake.closing_moment(&pull);
    let (air, slope) = brake.refill(&pull, near.plenum_pa, near.ambient);
    let mut out = blade.rates(own, near, near.secondary.drop_above(), closing);
    out.rates[BRAKE_AIR] = air;
    out.stiff[BRAKE_AIR] = slope;
    out
}

/// Readings of a spring door with a brake.
pub fn damped_readings(brake: &Brake, own: &Own, near: &Surroundings<'_>) -> [f64; CHANNELS] {
    let pull = brake.pull(own[BRAKE_AIR], own[PLACE], near.ambient);
    [own[PLACE], pull.travel_m, pull.chamber_pa, near.secondary.drop_above()]
}

/// A shut door whose brake has taken the plenum's vacuum.
pub fn damped_at_rest(brake: &Brake, ambient: Stagnation, plenum_pa: f64) -> (Own, Mode) {
    let mut own = Own::default();
    own[BRAKE_AIR] = brake.at_rest(plenum_pa, ambient);
    (own, Mode::AtLower)
}

/// An open door whose brake has let go.
pub fn damped_wide_open(blade: &Blade, brake: &Brake) -> Own {
    let mut own = blade.wide_open();
    let sea_level = Stagnation { pressure_pa: 101_325.0, temperature_k: 298.15 };
    own[BRAKE_AIR] = brake.at_rest(sea_level.pressure_pa, sea_level);
    own
}

/// Tolerances with the capsule's milligrams of air.
pub const DAMPED_TOLERANCE: Own = [1e-6, 1e-3, 1e-11, 1e-9];

impl Family for DampedLiftedRods {
    family_plumbing!(spring, brake, rods, blade);

    fn obstruct(&self, own: &Own, openings: &mut Openings) {
        openings.flap_above = Some(self.blade.flap(own));
    }

    fn jet_factor(&self, own: &Own) -> f64 {
        self.rods.area_factor(self.opening(own))
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
