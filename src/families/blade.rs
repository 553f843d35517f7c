//! An air door or valve: an offset blade on a shaft in the air of the secondary pair. Shared by the door families.

use super::{ForceSlopes, Own, OwnRates, PLACE, SPEED, Surroundings};
use crate::physics::air_path::Flap;
use crate::settings;
use crate::settings::Source::{CommonPractice, Memory};
use crate::solver::moving_part::{Drive, MovingPart};

settings! {
    /// Shape and bearing of the door.
    pub struct Blade {
        length_m: f64 = 60e-3, Length[20e-3, 110e-3], "Door length", "Length of the door across its shaft.", Memory;
        width_m: f64 = 70e-3, Length[20e-3, 130e-3], "Door width", "Width of the door along its shaft.", Memory;
        thickness_m: f64 = 1.6e-3, Length[0.4e-3, 8e-3], "Door thickness", "Thickness of blade and shaft: what an open door still covers.", Memory;
        offset_m: f64 = 9e-3, Length[1e-3, 30e-3], "Shaft offset", "Distance of the shaft from the middle of the door: the arm on which pressure opens it.", Memory;
        open_rad: f64 = 1.38, Angle[0.3, 1.55], "Open stop", "Angle at which the door meets its open stop.", CommonPractice;
        leak_m2: f64 = 0.6e-4, Area[0.05e-4, 8e-4], "Leak when shut", "Gap around the shut door.", Memory;
        coefficient: f64 = 0.75, Number[0.5, 1.0], "Door coefficient", "Discharge coefficient of the gap.", Memory;
        torque_open_share: f64 = 0.35, Number[0.05, 0.9], "Torque when open", "Low confidence: arm of the air's torque on a fully open door, over its arm on a shut one.", Memory;
        inertia_kg_m2: f64 = 1.5e-5, SmallInertia[0.1e-5, 20e-5], "Door inertia", "Moment of inertia of the door without weights.", Memory;
        friction_nm: f64 = 0.4e-3, SmallTorque[0.0, 10e-3], "Shaft friction", "Dry friction of the shaft in its bearings.", Memory;
        viscous_nm_s: f64 = 0.15e-3, TorqueDamping[0.0, 5e-3], "Shaft drag", "Viscous friction of the shaft.", Memory;
    }
}

settings! {
    /// Secondary jets of a family whose door adds to the signal.
    pub struct Jetting {
        area_factor: f64 = 0.85, Number[0.2, 6.0], "Jet area ÷ main jet", "The door's drop adds to the signal, so the jets of these families differ from the barrels' nominal main jets by this factor of area.", Memory;
    }
}

/// Share of its speed with which a door leaves a stop; from memory.
const RESTITUTION: f64 = 0.25;
/// Speed below which a door stays on its stop, rad/s.
const SETTLE_SPEED: f64 = 0.4;

/// What depends on the angle alone.
struct Pose {
    arm_m3: f64,
    gap_m2: f64,
    /// How fast the gap grows with the angle, m²/rad.
    widening_m2: f64,
}

impl Blade {
    /// Area of the blade, m².
    pub fn area_m2(&self) -> f64 {
        self.length_m * self.width_m
    }

    /// Arm of the pressure drop at an angle, m³: area × offset × share. Exact when shut (M = Δp A e whatever the
    /// outline); towards open it tapers as the projection, to a share that no published table gives.
    pub fn torque_arm(&self, angle_rad: f64) -> f64 {
        self.pose(angle_rad).arm_m3
    }

    /// Gap at an angle, m²: what the projected blade and its edge leave of the opening, never under the leak.
    pub fn gap_m2(&self, angle_rad: f64) -> f64 {
        self.pose(angle_rad).gap_m2
    }

    fn pose(&self, angle_rad: f64) -> Pose {
        let (sin, cos) = angle_rad.sin_cos();
        let share = (cos + self.torque_open_share * sin).min(1.0);
        let covered = self.area_m2() * cos + self.thickness_m * self.width_m * sin;
        Pose {
            arm_m3: self.area_m2() * self.offset_m * share,
            gap_m2: self.leak_m2 + (self.area_m2() - covered).max(0.0),
            widening_m2: self.area_m2() * sin,
        }
    }

    /// The flap that the door is in the air, at its angle and speed. What it sweeps has the same arm as its torque:
    /// the work that the air does on the door is what the air loses.
    pub fn flap(&self, own: &Own) -> Flap {
        let pose = self.pose(own[PLACE]);
        Flap { area_m2: pose.gap_m2 * self.coefficient, sweep_m3_per_s: pose.arm_m3 * own[SPEED] }
    }

    /// The door as a moving part, with what else turns on its shaft.
    pub fn moving_part(&self, added_inertia: f64) -> MovingPart {
        MovingPart {
            inertia: self.inertia_kg_m2 + added_inertia,
            friction: self.friction_nm,
            restitution: RESTITUTION,
            settle_speed: SETTLE_SPEED,
        }
    }

    /// What drives the door under a pressure drop of the secondary path against a closing moment.
    pub fn rates(&self, own: &Own, near: &Surroundings<'_>, drop_pa: f64, closing_nm: f64) -> OwnRates {
        let pose = self.pose(own[PLACE]);
        let drive = Drive {
            force: drop_pa * pose.arm_m3 - closing_nm - self.viscous_nm_s * own[SPEED],
            lower: 0.0,
            upper: self.open_rad,
            upper_speed: 0.0,
        };
        let force_slopes = self.force_slopes(own, near, drop_pa, &pose);
        OwnRates { drive: Some(drive), force_slopes, ..OwnRates::default() }
    }

    /// With drops that go with the square of the flow, gap and rest of the path share a disturbance by their
    /// slopes R′ = 2 Δp / flow: opening by itself or pushing air ahead of itself, a door lowers its own drop.
    fn force_slopes(&self, own: &Own, near: &Surroundings<'_>, drop_pa: f64, pose: &Pose) -> ForceSlopes {
        let arm = pose.arm_m3;
        let path = near.secondary;
        let plenum = arm * path.drop_slope(drop_pa);
        let swept = near.ambient.density() * arm;
        let gap_flow = path.flow_kg_per_s - swept * own[SPEED];
        let rest_pa = near.ambient.pressure_pa - near.plenum_pa - drop_pa;
        if path.choked || gap_flow.abs() < 1e-9 || path.flow_kg_per_s < 1e-9 || rest_pa <= 0.0 {
            return ForceSlopes { place: 0.0, speed: -self.viscous_nm_s, plenum };
        }
        let gap_slope = (2.0 * drop_pa / gap_flow).abs();
        let rest_slope = 2.0 * rest_pa / path.flow_kg_per_s;
        let rest_share = rest_slope / (gap_slope + rest_slope);
        let widening = pose.widening_m2 / pose.gap_m2;
        ForceSlopes {
            place: -arm * rest_share * 2.0 * drop_pa * widening,
            speed: -self.viscous_nm_s - arm * swept * gap_slope * rest_share,
            plenum,
        }
    }

    /// How far open, 0 to 1.
    pub fn opening(&self, own: &Own) -> f64 {
        own[PLACE] / self.open_rad
    }

    /// The door on its open stop.
    pub fn wide_open(&self) -> Own {
        let mut own = Own::default();
        own[PLACE] = self.open_rad;
        own
    }
}
