//! Pull-off (brake): a vacuum capsule that holds a door shut at cruise and lets go slowly after the pedal is floored.
//!
//! Manifold vacuum fills the capsule quickly through a check; when the vacuum collapses, air can only return through
//! a fine orifice, and until it has, the capsule pulls on the door. The rod pulls and never pushes: while it is taut
//! its place is the door's, when the capsule has let go its place is where spring and capsule balance.

use crate::physics::air::Stagnation;
use crate::physics::gas_chamber;
use crate::settings;
use crate::settings::Source::{CommonPractice, Memory};

settings! {
    /// The pull-off of a damped door.
    pub struct Brake {
        brake_area_m2: f64 = 6.0e-4, Area[0.5e-4, 40e-4], "Brake diaphragm", "Effective area of the capsule's diaphragm.", Memory;
        brake_travel_m: f64 = 9e-3, Length[2e-3, 40e-3], "Brake travel", "Travel of the rod from let go to fully pulled.", Memory;
        brake_arm_m: f64 = 8e-3, Length[2e-3, 40e-3], "Brake arm", "Arm of the rod on the door's shaft.", Memory;
        brake_preload_n: f64 = 9.0, Force[0.2, 60.0], "Brake spring preload", "Force of the capsule's spring when it has let go.", Memory;
        brake_rate_n_per_m: f64 = 400.0, Stiffness[0.0, 6000.0], "Brake spring rate", "Stiffness of the capsule's spring.", Memory;
        brake_orifice_m: f64 = 0.40e-3, FineLength[0.1e-3, 3e-3], "Brake orifice", "Hole through which air returns to the capsule. A smaller hole: the door is later.", CommonPractice;
        brake_check_m: f64 = 1.5e-3, FineLength[0.1e-3, 5e-3], "Brake check", "Hole of the check through which vacuum empties the capsule.", Memory;
        brake_volume_m3: f64 = 12e-6, SmallVolume[1e-6, 200e-6], "Brake volume", "Volume of capsule and hose when fully pulled.", Memory;
    }
}

/// The capsule at one instant.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pull {
    /// Pressure in the capsule, Pa.
    pub chamber_pa: f64,
    /// Travel from let go, m.
    pub travel_m: f64,
    /// Pull on the rod, N.
    pub force_n: f64,
    /// The rod hangs loose and the capsule rests on its spring alone.
    pub slack: bool,
}

impl Brake {
    fn volume_m3(&self, travel_m: f64) -> f64 {
        self.brake_volume_m3 + self.brake_area_m2 * (self.brake_travel_m - travel_m)
    }

    /// Travel of the rod when it is taut to a door at an angle, m.
    fn taut_m(&self, door_rad: f64) -> f64 {
        (self.brake_travel_m - self.brake_arm_m * door_rad).max(0.0)
    }

    /// Moment of the brake against an opening door, N m.
    pub fn closing_moment(&self, pull: &Pull) -> f64 {
        pull.force_n * self.brake_arm_m
    }

    /// The capsule with `air_kg` in it, on a door at an angle.
    pub fn pull(&self, air_kg: f64, door_rad: f64, ambient: Stagnation) -> Pull {
        let taut = self.taut_m(door_rad);
        let at = |travel: f64| gas_chamber::pressure(air_kg, self.volume_m3(travel), ambient.temperature_k);
        let net = |travel: f64| {
            (ambient.pressure_pa - at(travel)) * self.brake_area_m2
                - self.brake_preload_n
                - self.brake_rate_n_per_m * travel
        };
        if taut > 0.0 && net(taut) > 0.0 {
            return Pull { chamber_pa: at(taut), travel_m: taut, force_n: net(taut), slack: false };
        }
        // slack: (p₀ − m R T / V(s)) A = F₀ + k s with V = V₁ − A s, a quadratic in s whose smaller root is the rest
        let a = self.brake_area_m2;
        let largest = self.volume_m3(0.0);
        let push = ambient.pressure_pa * a - self.brake_preload_n;
        let gas = gas_chamber::pressure(air_kg, 1.0, ambient.temperature_k) * a;
        // (push − k s)(V₁ − A s) = gas
        let (qa, qb, qc) =
            (self.brake_rate_n_per_m * a, -(push * a + self.brake_rate_n_per_m * largest), push * largest - gas);
        let root = (qb * qb - 4.0 * qa * qc).max(0.0).sqrt();
        let travel = (2.0 * qc / (-qb + root)).clamp(0.0, taut);
        let slack = travel > 0.0 && travel < taut;
        Pull { chamber_pa: at(travel), travel_m: travel, force_n: 0.0, slack }
    }

    /// Air into the capsule from the plenum, kg/s, and how fast that falls per kilogram in the capsule, 1/s.
    pub fn refill(&self, pull: &Pull, plenum_pa: f64, ambient: Stagnation) -> (f64, f64) {
        let hole = |bore: f64| std::f64::consts::FRAC_PI_4 * bore * bore * 0.8;
        let (narrow, wide) = (hole(self.brake_orifice_m), hole(self.brake_check_m.max(self.brake_orifice_m)));
        let (out, slope) =
            gas_chamber::flow_past_check(pull.chamber_pa, plenum_pa, ambient.temperature_k, narrow, wide);
        let volume = self.volume_m3(pull.travel_m);
        let per_kg = gas_chamber::pressure(1.0, volume, ambient.temperature_k);
        // a slack capsule gives way to its spring as it fills
        let gas = pull.chamber_pa * self.brake_area_m2 * self.brake_area_m2 / volume;
        let held = if pull.slack { self.brake_rate_n_per_m / (self.brake_rate_n_per_m + gas) } else { 1.0 };
        (-out, slope * per_kg * held)
    }

    /// Air in the capsule when it has taken the plenum's pressure with the door shut, kg.
    pub fn at_rest(&self, plenum_pa: f64, ambient: Stagnation) -> f64 {
        let pull = self.volume_m3(self.brake_travel_m);
        let shut = gas_chamber::mass(plenum_pa, pull, ambient.temperature_k);
        let mut air = shut;
        // with too little vacuum the rod is slack and the volume larger: a few substitutions settle it
        for _ in 0..60 {
            let now = self.pull(air, 0.0, ambient);
            let next = gas_chamber::mass(plenum_pa, self.volume_m3(now.travel_m), ambient.temperature_k);
            if (next - air).abs() < 1e-15 {
                break;
            }
            air = 0.5 * (air + next);
        }
        air
    }
}
