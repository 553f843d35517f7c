//! Accelerator pump: the lever compresses a spring, the spring drives the plunger, the plunger meets the shooters.
//!
//! The lever's cam decides the volume, the holes and the spring decide rate and duration. On the way back the bowl
//! refills the cylinder through the inlet check no faster than its hole allows: a second stab too soon finds less.
//!
//! Left out: fuel drawn from the shooters by fast air, and the sag of air trapped in the cylinder.

use crate::choice;
use crate::physics::fuel_flow::{Jet, Liquid};
use crate::settings;
use crate::settings::Source::{CommonPractice, Memory};

choice! {
    /// How the cam spends its lift over the shaft's turn; our own letters.
    pub enum CamProfile {
        /// Most of the lift in the first part of the turn.
        A = "a", "A: early";
        /// Lift in proportion to the turn.
        B = "b", "B: even";
        /// Most of the lift in the last part of the turn.
        C = "c", "C: late";
    }
}

impl CamProfile {
    /// Share of the lift at a share of the shaft's turn.
    pub fn lift(self, turn: f64) -> f64 {
        match self {
            Self::A => 1.0 - (1.0 - turn) * (1.0 - turn),
            Self::B => turn,
            Self::C => turn * turn,
        }
    }
}

settings! {
    /// An accelerator pump.
    pub struct Pump {
        shot_m3: f64 = 1.6e-6, SmallVolume[0.0, 8e-6], "Full shot", "Volume that the cam's whole lift displaces. None: no pump.", Memory;
        shooter_m: f64 = 0.65e-3, FineLength[0.2e-3, 2e-3], "Shooter holes", "Bore of each of the two shooter holes: how fast the shot leaves.", Memory;
        spring_n: f64 = 3.0, Force[0.2, 60.0], "Duration spring preload", "Force of the duration spring before the lever compresses it.", Memory;
        spring_n_per_m: f64 = 450.0, Stiffness[0.0, 8000.0], "Duration spring rate", "Stiffness of the duration spring. Stiffer: the shot comes sooner and is over sooner.", Memory;
        cylinder_m: f64 = 18e-3, Length[6e-3, 40e-3], "Pump bore", "Bore of the pump cylinder.", Memory;
        inlet_m: f64 = 1.6e-3, FineLength[0.2e-3, 6e-3], "Inlet check hole", "Bore through which the bowl refills the cylinder.", Memory;
        return_pa: f64 = 1_500.0, SmallPressure[50.0, 20_000.0], "Refill suction", "Suction with which the return spring draws the cylinder full again.", Memory;
        profile: CamProfile = CamProfile::B, choice, "Cam profile", "How the lift is spread over the shaft's turn.", CommonPractice;
    }
}

/// What the pump does at one instant.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PumpFlow {
    /// Speed of the plunger, m/s; down is positive.
    pub plunger_speed: f64,
    /// d speed / d plunger place, 1/s.
    pub slope: f64,
}

/// Lever travel over which the spring's preload is taken up, m: the give of lever and cup.
const TAKE_UP_M: f64 = 0.3e-3;

impl Pump {
    /// Area of the plunger, m².
    pub fn plunger_m2(&self) -> f64 {
        std::f64::consts::FRAC_PI_4 * self.cylinder_m * self.cylinder_m
    }

    /// Travel of the whole lift at the plunger, m.
    pub fn stroke_m(&self) -> f64 {
        self.shot_m3 / self.plunger_m2()
    }

    /// Where the lever would put a plunger without inertia, m, at a share of the shaft's turn.
    pub fn lever_m(&self, turn: f64) -> f64 {
        self.stroke_m() * self.profile.lift(turn.clamp(0.0, 1.0))
    }

    /// Motion of the plunger at `plunger_m` below a lever that asks for `lever_m`.
    pub fn motion(&self, lever_m: f64, plunger_m: f64, fuel: Liquid) -> PumpFlow {
        let area = self.plunger_m2();
        let squeeze = lever_m - plunger_m;
        let take_up = (squeeze.abs() / TAKE_UP_M).min(1.0);
        let (pressure, stiffness, jet) = if squeeze >= 0.0 {
            let engaged = if take_up < 1.0 { self.spring_n / TAKE_UP_M } else { 0.0 };
            let force = self.spring_n * take_up + self.spring_n_per_m * squeeze;
            (force / area, (engaged + self.spring_n_per_m) / area, Jet::holes(2.0, self.shooter_m))
        } else {
            let engaged = if take_up < 1.0 { self.return_pa / TAKE_UP_M } else { 0.0 };
            (-self.return_pa * take_up, engaged, Jet::holes(1.0, self.inlet_m))
        };
        let flow = jet.flow(pressure, fuel);
        PumpFlow { plunger_speed: flow / area, slope: -stiffness / jet.pressure_slope(flow, fuel) / area }
    }

    /// Fuel into the air stream at a plunger speed, m³/s.
    pub fn shot(&self, plunger_speed: f64) -> f64 {
        plunger_speed.max(0.0) * self.plunger_m2()
    }

    /// Fuel from the bowl at a plunger speed, m³/s.
    pub fn refill(&self, plunger_speed: f64) -> f64 {
        (-plunger_speed).max(0.0) * self.plunger_m2()
    }
}
