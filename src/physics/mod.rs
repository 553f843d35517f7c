//! Pure laws without state, SI throughout.

pub mod air;
pub mod air_path;
pub mod fuel_flow;
pub mod gas_chamber;
pub mod heat_transfer;
pub mod plate;
pub mod vapour;

/// Standard acceleration of free fall, m/s² (CGPM 1901).
pub const GRAVITY: f64 = 9.806_65;
