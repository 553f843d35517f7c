//! The air around the car.

use crate::physics::air::Stagnation;
use crate::settings;
use crate::settings::Source::{Memory, Published};

settings! {
    /// Air of the day, and what it passes before it reaches the carburettor.
    pub struct Ambient {
        altitude_m: f64 = 0.0, Distance[-400.0, 4500.0], "Altitude", "Height above the sea; it sets the pressure.", Published("US Standard Atmosphere 1976, troposphere");
        temperature_k: f64 = 298.15, Temperature[243.15, 328.15], "Air temperature", "Temperature of the air at the cleaner.", Memory;
        cleaner_m2: f64 = 90e-4, Area[10e-4, 400e-4], "Air cleaner", "Effective area of the air cleaner; each side of the carburettor has half of it.", Memory;
    }
}

/// Temperature of the standard atmosphere at a geometric altitude below 11 km, K. US Standard Atmosphere 1976:
/// geopotential altitude with Earth radius 6 356 766 m, lapse 6.5 K/km.
pub fn standard_temperature(altitude_m: f64) -> f64 {
    let geopotential = 6_356_766.0 * altitude_m / (6_356_766.0 + altitude_m);
    288.15 - 0.0065 * geopotential
}

/// Pressure at a geometric altitude below 11 km, Pa. US Standard Atmosphere 1976: exponent g₀M/(R*L) = 5.255 88.
pub fn standard_pressure(altitude_m: f64) -> f64 {
    let exponent = 9.806_65 * 0.028_964_4 / (8.314_32 * 0.0065);
    101_325.0 * (standard_temperature(altitude_m) / 288.15).powf(exponent)
}

impl Ambient {
    /// Still air outside.
    pub fn air(&self) -> Stagnation {
        Stagnation { pressure_pa: standard_pressure(self.altitude_m), temperature_k: self.temperature_k }
    }
}
