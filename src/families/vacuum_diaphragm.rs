//! Vacuum diaphragm: primary-venturi depression, through a restriction, pulls a diaphragm against a spring; the
//! diaphragm opens the secondary plates. The link to the pedal is only their upper stop.

use super::{CHANNELS, Entry, Family, ForceSlopes, Own, OwnChannel, OwnRates, PLACE, SPEED, Surroundings};
use crate::carburettor::barrels::BARRELS;
use crate::choice;
use crate::family_plumbing;
use crate::physics::air::Stagnation;
use crate::physics::air_path::PathFlow;
use crate::physics::gas_chamber;
use crate::settings;
use crate::settings::Source::{CommonPractice, Memory};
use crate::solver::moving_part::{Drive, Mode, MovingPart};
use crate::units::Quantity;
use std::f64::consts::FRAC_PI_4;

/// The family in the list.
pub const ENTRY: Entry = Entry {
    id: "vacuum_diaphragm",
    name: "Vacuum diaphragm",
    summary: "Primary-venturi depression pulls a diaphragm against a spring and opens the plates when the engine has use for them.",
    tuning: &["family.spring_preload", "family.spring_rate", "family.restriction"],
    fresh: || Box::new(VacuumDiaphragm::default()),
};

choice! {
    /// A ball in the restriction.
    pub enum CheckBall {
        /// Air leaves through the restriction and returns freely.
        Fitted = "fitted", "Fitted: slow to open, quick to close";
        /// Both ways through the restriction.
        None = "none", "None: slow both ways";
    }
}

settings! {
    /// Diaphragm, spring and restriction.
    pub struct Diaphragm {
        spring_preload_n: f64 = 1.8, Force[0.0, 30.0], "Spring preload", "Force of the diaphragm spring with the plates shut.", Memory;
        spring_rate_n_per_m: f64 = 180.0, Stiffness[0.0, 3000.0], "Spring rate", "Stiffness of the diaphragm spring. Stiffer: the plates open later.", Memory;
        area_m2: f64 = 16e-4, Area[3e-4, 60e-4], "Diaphragm area", "Effective area of the diaphragm.", Memory;
        stroke_m: f64 = 20e-3, Length[5e-3, 50e-3], "Stroke", "Travel of the rod from plates shut to wide open.", Memory;
        restriction_m: f64 = 0.76e-3, FineLength[0.2e-3, 4e-3], "Restriction", "Bore between the primary venturi and the chamber. Smaller: the plates open more slowly.", CommonPractice;
        check_ball: CheckBall = CheckBall::Fitted, choice, "Check ball", "A ball that lets air back into the chamber quickly.", CommonPractice;
        return_m: f64 = 2.0e-3, FineLength[0.3e-3, 5e-3], "Return hole", "Bore that the lifted ball frees.", Memory;
        dead_m3: f64 = 15e-6, SmallVolume[1e-6, 300e-6], "Chamber volume left", "Volume of chamber and passage with the plates wide open.", Memory;
        mass_kg: f64 = 0.06, SmallMass[0.005, 0.5], "Moving mass", "Diaphragm, rod and plates as felt at the rod.", Memory;
        friction_n: f64 = 0.12, Force[0.0, 3.0], "Dry friction", "Dry friction of shaft and rod at the rod.", Memory;
        viscous_n_s_per_m: f64 = 2.0, Damping[0.0, 60.0], "Drag", "Viscous friction at the rod.", Memory;
        plate_offset_m: f64 = 0.3e-3, Length[-3e-3, 3e-3], "Plate offset", "Offset of the secondary shaft: with a positive offset the air shuts the plates.", Memory;
    }
}

/// See the file's heading.
#[derive(Debug, Clone, Copy, Default)]
pub struct VacuumDiaphragm {
    diaphragm: Diaphragm,
}

/// State: air in the chamber, kg.
const AIR: usize = 2;

impl VacuumDiaphragm {
    fn volume_m3(&self, place_m: f64) -> f64 {
        let d = &self.diaphragm;
        d.dead_m3 + d.area_m2 * (d.stroke_m - place_m).max(0.0)
    }

    fn chamber_pa(&self, own: &Own, ambient: Stagnation) -> f64 {
        gas_chamber::pressure(own[AIR], self.volume_m3(own[PLACE]), ambient.temperature_k)
    }

    fn force(&self, own: &Own, near: &Surroundings<'_>) -> f64 {
        let d = &self.diaphragm;
        let pull = (near.ambient.pressure_pa - self.chamber_pa(own, near.ambient)) * d.area_m2;
        pull - d.spring_preload_n
            - d.spring_rate_n_per_m * own[PLACE]
            - d.viscous_n_s_per_m * own[SPEED]
            - self.plate_force(own, near)
    }

    /// Force of the air on offset plates at the rod, N: the drop on the bore's area at the offset, tapering as the
    /// projection. Exact for a plate that shuts square to the bore, one or two per cent low for one that shuts at 8°.
    fn plate_force(&self, own: &Own, near: &Surroundings<'_>) -> f64 {
        let d = &self.diaphragm;
        if d.plate_offset_m == 0.0 {
            return 0.0;
        }
        let plate = near.barrels.plate();
        let angle = plate.angle(own[PLACE] / d.stroke_m);
        let drop = near.secondary.above_throttle_pa - near.plenum_pa;
        let moment = drop * BARRELS * plate.bore_m2() * d.plate_offset_m * angle.cos();
        moment * plate.sweep_rad() / d.stroke_m
    }
}

const READINGS: &[OwnChannel] = &[
    OwnChannel { id: "diaphragm_travel", label: "Diaphragm travel", quantity: Quantity::Length },
    OwnChannel { id: "diaphragm_speed", label: "Diaphragm speed", quantity: Quantity::PartSpeed },
    OwnChannel { id: "chamber_depression", label: "Chamber depression", quantity: Quantity::SmallPressure },
    OwnChannel { id: "primary_signal", label: "Primary-venturi depression", quantity: Quantity::SmallPressure },
];

impl Family for VacuumDiaphragm {
    family_plumbing!(diaphragm);

    fn plate_travel(&self, _link_travel: f64, own: &Own) -> f64 {
        (own[PLACE] / self.diaphragm.stroke_m).clamp(0.0, 1.0)
    }

    fn moving_part(&self) -> Option<MovingPart> {
        let d = &self.diaphragm;
        Some(MovingPart { inertia: d.mass_kg, friction: d.friction_n, restitution: 0.1, settle_speed: 0.02 })
    }

    fn upper_stop_speed(&self, link_rate: f64) -> f64 {
        link_rate * self.diaphragm.stroke_m
    }

    fn at_rest(&self, ambient: Stagnation, _plenum_pa: f64, primary: &PathFlow) -> (Own, Mode) {
        let mut own = Own::default();
        own[AIR] = gas_chamber::mass(primary.throat_pa, self.volume_m3(0.0), ambient.temperature_k);
        (own, Mode::AtLower)
    }

    fn tolerance(&self) -> (Own, Own) {
        // a hundred pascals of depression move the plates: a thousandth of the air in the chamber
        ([1e-7, 1e-4, 1e-11, 1e-9], [1.0, 1.0, 0.1, 1.0])
    }

    fn rates(&self, own: &Own, near: &Surroundings<'_>) -> OwnRates {
        let d = &self.diaphragm;
        let chamber = self.chamber_pa(own, near.ambient);
        let hole = |bore: f64| FRAC_PI_4 * bore * bore * 0.65;
        let narrow = hole(d.restriction_m);
        let wide = match d.check_ball {
            CheckBall::Fitted => hole(d.return_m).max(narrow),
            CheckBall::None => narrow,
        };
        let throat = near.primary.throat_pa;
        let (flow, slope) = gas_chamber::flow_past_check(throat, chamber, near.ambient.temperature_k, narrow, wide);
        let per_kg = gas_chamber::pressure(1.0, self.volume_m3(own[PLACE]), near.ambient.temperature_k);
        let (link, link_rate) = near.link_travel;
        let mut out = OwnRates {
            drive: Some(Drive {
                force: self.force(own, near),
                lower: 0.0,
                upper: link * d.stroke_m,
                upper_speed: self.upper_stop_speed(link_rate),
            }),
            ..OwnRates::default()
        };
        // spring, and the gas in the chamber as it is stretched
        let gas = chamber * d.area_m2 * d.area_m2 / self.volume_m3(own[PLACE]);
        out.force_slopes =
            ForceSlopes { place: -d.spring_rate_n_per_m - gas, speed: -d.viscous_n_s_per_m, plenum: 0.0 };
        out.rates[AIR] = flow;
        out.stiff[AIR] = slope * per_kg;
        out
    }

    fn opening(&self, own: &Own) -> f64 {
        own[PLACE] / self.diaphragm.stroke_m
    }

    fn wide_open(&self) -> Own {
        let mut own = Own::default();
        own[PLACE] = self.diaphragm.stroke_m;
        own[AIR] = gas_chamber::mass(101_325.0, self.volume_m3(own[PLACE]), 298.15);
        own
    }

    fn channels(&self) -> &'static [OwnChannel] {
        READINGS
    }

    fn readings(&self, own: &Own, near: &Surroundings<'_>) -> [f64; CHANNELS] {
        let ambient = near.ambient.pressure_pa;
        let chamber = self.chamber_pa(own, near.ambient);
        [own[PLACE], own[SPEED], ambient - chamber, ambient - near.primary.throat_pa]
    }
}
