//! What the cylinders draw from the plenum.

use crate::physics::air::GAS_CONSTANT;
use crate::settings;
use crate::settings::Source::{Memory, Published};
use crate::units::RPM;

settings! {
    /// The engine.
    pub struct Engine {
        displacement_m3: f64 = 4.6e-3, Volume[0.8e-3, 9.5e-3], "Displacement", "Swept volume of all cylinders.", Memory;
        efficiency_peak: f64 = 0.87, Fraction[0.5, 1.15], "Best volumetric efficiency", "Charge over swept volume at plenum density, at its best speed.", Memory;
        efficiency_speed: f64 = 335.103_216_382_911_3, RotationalSpeed[115.0, 840.0], "Best efficiency at", "Engine speed of the best volumetric efficiency. A wilder cam moves it up.", Memory;
        efficiency_width: f64 = 0.40, Number[0.05, 1.2], "Fall beside the peak", "How fast volumetric efficiency falls away from its peak: this times the squared relative distance in speed. A wilder cam has more.", Memory;
        manifold_m3: f64 = 4.0e-3, Volume[0.3e-3, 15e-3], "Manifold volume", "Plenum and runners between carburettor and valves.", Memory;
        charge_k: f64 = 320.0, Temperature[253.15, 373.15], "Mixture temperature", "Temperature of the charge in the manifold.", Memory;
        wall_k: f64 = 350.0, Temperature[253.15, 393.15], "Manifold wall temperature", "A cold wall keeps more fuel, longer.", Memory;
        efficiency_indicated: f64 = 0.37, Fraction[0.15, 0.45], "Indicated efficiency", "Work on the piston over the heat of the air's worth of fuel, at best mixture.", Memory;
        inertia_kg_m2: f64 = 0.22, Inertia[0.03, 1.5], "Engine inertia", "Crankshaft, flywheel and what turns with them.", Memory;
        friction_scale: f64 = 1.0, Number[0.4, 2.0], "Friction", "Multiplies the friction of an ordinary engine.", Published("Heywood 1988 eq. 13.6, recalled: 0.97 + 0.15 n + 0.05 n² bar, n in 1000 rpm");
        top_speed: f64 = 502.654_824_574_366_9, RotationalSpeed[210.0, 840.0], "Top-end speed", "Engine speed at which the top end is judged.", Memory;
    }
}

impl Engine {
    /// Charge over swept volume at plenum density: a parabola in relative speed with a floor.
    pub fn volumetric_efficiency(&self, speed_rad_per_s: f64) -> f64 {
        let off = speed_rad_per_s / self.efficiency_speed - 1.0;
        (self.efficiency_peak * (1.0 - self.efficiency_width * off * off)).max(0.2 * self.efficiency_peak)
    }

    /// Air drawn per pascal of plenum pressure, kg/(s Pa): speed–density, ṁ = ηv Vd n p / (2 R T).
    /// Hendricks and Sorenson, SAE 900616 (1990), in form.
    pub fn draw_per_pascal(&self, speed_rad_per_s: f64) -> f64 {
        let turns = speed_rad_per_s.max(0.0) / std::f64::consts::TAU;
        self.volumetric_efficiency(speed_rad_per_s) * self.displacement_m3 * turns
            / (2.0 * GAS_CONSTANT * self.charge_k)
    }

    /// Torque of friction, and of pumping from plenum to ambient pressure, N m; fading at a standstill.
    pub fn lost_torque(&self, plenum_pa: f64, ambient_pa: f64, speed_rad_per_s: f64) -> f64 {
        let n = RPM.from_si(speed_rad_per_s) / 1000.0;
        let friction = self.friction_scale * (0.97 + 0.15 * n + 0.05 * n * n) * 1e5;
        let moving = (speed_rad_per_s / 5.0).tanh();
        (friction + ambient_pa - plenum_pa) * self.displacement_m3 / (4.0 * std::f64::consts::PI) * moving
    }
}
