//! The families of secondaries.
//!
//! A family is one file here, one drawing among the scenes, and one line in [`FAMILIES`]. It says how the
//! secondary plates follow the pedal, what stands in the secondary air, what depression its nozzles feel, and how its
//! own parts move; the bench does the rest the same way for all.

use crate::carburettor::barrels::Barrels;
use crate::carburettor::pump::Pump;
use crate::physics::air::Stagnation;
use crate::physics::air_path::{Openings, PathFlow};
use crate::physics::fuel_flow::Liquid;
use crate::settings::Settings;
use crate::solver::moving_part::{Drive, Mode, MovingPart};
use crate::units::Quantity;

pub mod bare_link;
pub mod blade;
pub mod brake;
pub mod counterweighted_door;
pub mod damped_door;
pub mod damped_fixed_jets;
pub mod damped_lifted_rods;
pub mod spring_door;
pub mod twin_pump;
pub mod vacuum_diaphragm;
pub mod weighted_valve;

/// States that a family may add.
pub const STATES: usize = 4;

/// Own states of a family.
pub type Own = [f64; STATES];

/// A family in the list.
#[derive(Debug, Clone, Copy)]
pub struct Entry {
    /// Stable key in files.
    pub id: &'static str,
    /// As shown.
    pub name: &'static str,
    /// What opens the air and what covers the hole, in one sentence.
    pub summary: &'static str,
    /// What a workshop turns to tune it, by `group.key` as files have it; numbers all of them.
    pub tuning: &'static [&'static str],
    /// A fresh one with its default settings.
    pub fresh: fn() -> Box<dyn Family>,
}

/// Every family, in the order in which they are shown.
pub const FAMILIES: &[Entry] = &[
    bare_link::ENTRY,
    twin_pump::ENTRY,
    vacuum_diaphragm::ENTRY,
    counterweighted_door::ENTRY,
    spring_door::ENTRY,
    damped_lifted_rods::ENTRY,
    damped_fixed_jets::ENTRY,
    weighted_valve::ENTRY,
];

/// The family with this id.
pub fn entry(id: &str) -> Option<&'static Entry> {
    FAMILIES.iter().find(|entry| entry.id == id)
}

/// What surrounds a family's parts at one instant. SI.
#[derive(Debug, Clone, Copy)]
pub struct Surroundings<'a> {
    /// Air outside.
    pub ambient: Stagnation,
    /// Plenum pressure, Pa.
    pub plenum_pa: f64,
    /// Solved air of the primary side.
    pub primary: &'a PathFlow,
    /// Solved air of the secondary side.
    pub secondary: &'a PathFlow,
    /// Secondary barrels.
    pub barrels: &'a Barrels,
    /// Share of the secondary travel that the link allows, 0 to 1, and its rate, 1/s.
    pub link_travel: (f64, f64),
    /// Acceleration of the car, m/s², forward positive.
    pub car_acceleration: f64,
    /// The fuel.
    pub fuel: Liquid,
}

/// What a family adds to the rates of a run.
#[derive(Debug, Clone, Copy, Default)]
pub struct OwnRates {
    /// Rates of its states.
    pub rates: Own,
    /// Diagonal of its Jacobian where that is stiff, 1/s; zero elsewhere.
    pub stiff: Own,
    /// What acts on its moving part, if it has one.
    pub drive: Option<Drive>,
    /// How fast the force in `drive` changes with the part's place, its speed and plenum pressure; only the step
    /// size depends on these.
    pub force_slopes: ForceSlopes,
}

/// Derivatives of the force on a moving part.
#[derive(Debug, Clone, Copy, Default)]
pub struct ForceSlopes {
    /// Per place, N/m or N m/rad.
    pub place: f64,
    /// Per speed, N s/m or N m s/rad.
    pub speed: f64,
    /// Per pascal of plenum pressure.
    pub plenum: f64,
}

/// Which of a family's states are its moving part: place and speed.
pub const PLACE: usize = 0;
/// See [`PLACE`].
pub const SPEED: usize = 1;

/// A figure of a family's own that a trace carries.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OwnChannel {
    /// Column name in files.
    pub id: &'static str,
    /// As shown.
    pub label: &'static str,
    /// What it measures.
    pub quantity: Quantity,
}

/// Figures that a family may add to a trace.
pub const CHANNELS: usize = 4;

/// A family of secondaries with its settings.
pub trait Family: Send + Sync + std::fmt::Debug {
    /// Its settings, group after group.
    fn groups(&self) -> Vec<&dyn Settings>;
    /// The same, to be changed.
    fn groups_mut(&mut self) -> Vec<&mut dyn Settings>;
    /// A copy.
    fn boxed(&self) -> Box<dyn Family>;

    /// Share of the secondary travel at which the plates stand, 0 to 1.
    fn plate_travel(&self, link_travel: f64, own: &Own) -> f64 {
        let _ = own;
        link_travel
    }

    /// Put the family's door or valve into the secondary air.
    fn obstruct(&self, own: &Own, openings: &mut Openings) {
        let _ = (own, openings);
    }

    /// Depression at the secondary nozzles against the bowl, Pa: the boosters', and that of a door above them.
    fn nozzle_depression(&self, own: &Own, air: &PathFlow, barrels: &Barrels) -> f64 {
        let _ = own;
        barrels.booster_gain * air.throat_depression() + air.drop_above()
    }

    /// Secondary jet area over its nominal area.
    fn jet_factor(&self, own: &Own) -> f64 {
        let _ = own;
        1.0
    }

    /// A pump on the secondary shaft.
    fn second_pump(&self) -> Option<&Pump> {
        None
    }

    /// The part with stops and friction, if there is one: its states are [`PLACE`] and [`SPEED`].
    fn moving_part(&self) -> Option<MovingPart> {
        None
    }

    /// Speed of the moving part's upper stop at a rate of the link's share of travel, 1/s.
    fn upper_stop_speed(&self, link_rate: f64) -> f64 {
        let _ = link_rate;
        0.0
    }

    /// Own states at rest, and what the moving part then does.
    fn at_rest(&self, ambient: Stagnation, plenum_pa: f64, primary: &PathFlow) -> (Own, Mode) {
        let _ = (ambient, plenum_pa, primary);
        ([0.0; STATES], Mode::AtLower)
    }

    /// Error allowed in each own state in one step: absolute, and its share of the relative error.
    fn tolerance(&self) -> (Own, Own) {
        ([1e-6, 1e-3, 1e-9, 1e-9], [1.0; STATES])
    }

    /// Rates of the states that are not the moving part's, and what drives that.
    fn rates(&self, own: &Own, near: &Surroundings<'_>) -> OwnRates {
        let _ = (own, near);
        OwnRates::default()
    }

    /// How far the family's own device is open, 0 to 1; 1 for a family without one.
    fn opening(&self, own: &Own) -> f64 {
        let _ = own;
        1.0
    }

    /// A state with the device as far open as its stop allows, for ratings.
    fn wide_open(&self) -> Own {
        [0.0; STATES]
    }

    /// Net moment or force that opens the device further, held still at `own`; positive without a device.
    fn opening_force(&self, own: &Own, near: &Surroundings<'_>) -> f64 {
        self.rates(own, near).drive.map_or(1.0, |drive| drive.force)
    }

    /// What [`Self::readings`] gives.
    fn channels(&self) -> &'static [OwnChannel] {
        &[]
    }

    /// Own figures of an instant, in the order of [`Self::channels`].
    fn readings(&self, own: &Own, near: &Surroundings<'_>) -> [f64; CHANNELS] {
        let _ = (own, near);
        [0.0; CHANNELS]
    }
}

impl Clone for Box<dyn Family> {
    fn clone(&self) -> Self {
        self.boxed()
    }
}

/// The parts of [`Family`] that only depend on the struct: its groups of settings and a copy of itself.
#[macro_export]
macro_rules! family_plumbing {
    ($($group:ident),*) => {
        fn groups(&self) -> Vec<&dyn $crate::settings::Settings> {
            vec![$(&self.$group),*]
        }

        fn groups_mut(&mut self) -> Vec<&mut dyn $crate::settings::Settings> {
            vec![$(&mut self.$group),*]
        }

        fn boxed(&self) -> Box<dyn $crate::families::Family> {
            Box::new(*self)
        }
    };
}
