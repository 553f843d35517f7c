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

    /// Its derivative.
    pub fn lift_slope(self, turn: f64) -> f64 {
        match self {
            Self::A => 2.0 * (1.0 - turn),
            Self::B => 1.0,
            Self::C => 2.0 * turn,
        }
    }
}

settings! {
    /// An accelerator pump.
    pub struct Pump {
        shot_m3: f64 = 1.6e-6, SmallVolume[0.0, 8e-6], "Full shot", "Volume that the cam's whole lift displaces. None: no pump.", Memory;
        shooter_m: f64 = 0.65e-3, FineLength[0.2e-3, 2e-3], "Shooter holes", "Bore of each of the two shooter holes: how fast the shot leaves.", Memory;
        spring_preload_n: f64 = 1.2, Force[0.2, 60.0], "Duration spring preload", "Force of the duration spring before the lever compresses it.", Memory;
        spring_rate_n_per_m: f64 = 800.0, Stiffness[0.0, 8000.0], "Duration spring rate", "Stiffness of the duration spring. Stiffer: the shot comes sooner and is over sooner.", Memory;
        cylinder_m: f64 = 18e-3, Length[6e-3, 40e-3], "Pump bore", "Bore of the pump cylinder.", Memory;
        inlet_m: f64 = 1.6e-3, FineLength[0.2e-3, 6e-3], "Inlet check hole", "Bore through which the bowl refills the cylinder.", Memory;
        return_pa: f64 = 1_500.0, SmallPressure[50.0, 20_000.0], "Refill suction", "Suction with which the return spring draws the cylinder full again.", Memory;
        profile: CamProfile = CamProfile::B, choice, "Cam profile", "How the lift is spread over the shaft's turn.", CommonPractice;
    }
}

/// What the plunger does.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PumpMode {
    /// It follows the lever: the spring's preload is not reached, nor the limit of refilling.
    Follows,
    /// The lever has run ahead, the spring drives it.
    Squeezed,
    /// The lever has gone back, the cylinder draws as fast as its inlet allows.
    Refills,
}

/// What the pump does at one instant.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PumpFlow {
    /// Speed of the plunger, m/s; down is positive.
    pub plunger_speed: f64,
    /// d speed / d plunger place, 1/s.
    pub slope: f64,
    /// Not negative as long as the mode lasts.
    pub guard: f64,
}

/// The lever at one instant.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lever {
    /// Where it would put a plunger that follows, m below the top.
    pub place_m: f64,
    /// Its speed, m/s.
    pub speed: f64,
}

impl Pump {
    /// Area of the plunger, m².
    pub fn plunger_m2(&self) -> f64 {
        std::f64::consts::FRAC_PI_4 * self.cylinder_m * self.cylinder_m
    }

    /// Travel of the whole lift at the plunger, m.
    pub fn stroke_m(&self) -> f64 {
        self.shot_m3 / self.plunger_m2()
    }

    /// The lever at a share of the shaft's turn and the rate of that share, 1/s.
    pub fn lever(&self, turn: f64, turn_rate: f64) -> Lever {
        let turn = turn.clamp(0.0, 1.0);
        Lever {
            place_m: self.stroke_m() * self.profile.lift(turn),
            speed: self.stroke_m() * self.profile.lift_slope(turn) * turn_rate,
        }
    }

    /// The two shooters together.
    pub fn shooters(&self) -> Jet {
        Jet::holes(2.0, self.shooter_m)
    }

    /// The hole of the inlet check.
    pub fn inlet(&self) -> Jet {
        Jet::holes(1.0, self.inlet_m)
    }

    /// Force of the duration spring when its plunger is behind the lever by `squeeze_m`, N.
    pub fn spring_n(&self, squeeze_m: f64) -> f64 {
        self.spring_preload_n + self.spring_rate_n_per_m * squeeze_m.max(0.0)
    }

    /// Greatest speed at which the plunger follows down: what the preload pushes through the shooters, m/s.
    fn fastest_down(&self, fuel: Liquid) -> f64 {
        self.shooters().flow(self.spring_preload_n / self.plunger_m2(), fuel) / self.plunger_m2()
    }

    /// Greatest speed at which the plunger follows up: what the suction draws through the inlet, m/s.
    fn fastest_up(&self, fuel: Liquid) -> f64 {
        self.inlet().flow(self.return_pa, fuel) / self.plunger_m2()
    }

    /// Motion of the plunger, m below its top, under a lever.
    pub fn motion(&self, mode: PumpMode, lever: Lever, plunger_m: f64, fuel: Liquid) -> PumpFlow {
        let area = self.plunger_m2();
        match mode {
            PumpMode::Follows => {
                let guard = (self.fastest_down(fuel) - lever.speed).min(lever.speed + self.fastest_up(fuel));
                PumpFlow { plunger_speed: lever.speed, slope: 0.0, guard }
            }
            PumpMode::Squeezed => {
                let squeeze = lever.place_m - plunger_m;
                let force = self.spring_n(squeeze);
                let flow = self.shooters().flow(force / area, fuel);
                let slope = -self.spring_rate_n_per_m / area / self.shooters().pressure_slope(flow, fuel) / area;
                PumpFlow { plunger_speed: flow / area, slope, guard: squeeze }
            }
            PumpMode::Refills => {
                PumpFlow { plunger_speed: -self.fastest_up(fuel), slope: 0.0, guard: plunger_m - lever.place_m }
            }
        }
    }

    /// What follows when the guard of a mode has turned negative; every mode begins with the plunger on the lever.
    pub fn next(&self, mode: PumpMode, lever_speed: f64) -> PumpMode {
        match mode {
            PumpMode::Follows if lever_speed > 0.0 => PumpMode::Squeezed,
            PumpMode::Follows => PumpMode::Refills,
            PumpMode::Squeezed | PumpMode::Refills => PumpMode::Follows,
        }
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
