//! Weighted valve below the venturis (early type): as the counterweighted door, but under the secondary venturis,
//! so that its drop gives the nozzles no signal.

use super::blade::Blade;
use super::counterweighted_door::{Counterweight, DOOR_CHANNELS};
use super::{CHANNELS, Entry, Family, Own, OwnChannel, OwnRates, PLACE, SPEED, Surroundings};
use crate::family_plumbing;
use crate::physics::air_path::Openings;
use crate::solver::moving_part::MovingPart;

/// The family in the list.
pub const ENTRY: Entry = Entry {
    id: "weighted_valve",
    name: "Weighted valve below the venturis",
    summary: "The plates follow the pedal; a weighted valve under the secondary venturis waits until the air can lift it.",
    tuning: &["family.mass"],
    fresh: || Box::new(WeightedValve::default()),
};

/// See the file's heading.
#[derive(Debug, Clone, Copy)]
pub struct WeightedValve {
    valve: Blade,
    weight: Counterweight,
}

impl Default for WeightedValve {
    fn default() -> Self {
        let valve = Blade { length_m: 52e-3, width_m: 88e-3, thickness_m: 3.0e-3, open_rad: 1.25, ..Blade::default() };
        Self { valve, weight: Counterweight { mass_kg: 200e-3, arm_m: 26e-3, ..Counterweight::default() } }
    }
}

impl Family for WeightedValve {
    family_plumbing!(weight, valve);

    fn obstruct(&self, own: &Own, openings: &mut Openings) {
        openings.flap_below = Some(self.valve.flap(own));
    }

    fn moving_part(&self) -> Option<MovingPart> {
        Some(self.valve.moving_part(self.weight.inertia()))
    }

    fn rates(&self, own: &Own, near: &Surroundings<'_>) -> OwnRates {
        let closing = self.weight.closing_moment(own[PLACE], near.car_acceleration);
        self.valve.rates(own, near, near.secondary.drop_below(), closing)
    }

    fn opening(&self, own: &Own) -> f64 {
        self.valve.opening(own)
    }

    fn wide_open(&self) -> Own {
        self.valve.wide_open()
    }

    fn channels(&self) -> &'static [OwnChannel] {
        DOOR_CHANNELS
    }

    fn readings(&self, own: &Own, near: &Surroundings<'_>) -> [f64; CHANNELS] {
        [own[PLACE], own[SPEED], near.secondary.drop_below(), 0.0]
    }
}
