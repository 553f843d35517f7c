//! The engine that draws the air, the wall that keeps some of the fuel, and what the engine turns.

pub mod ambient;
pub mod breathing;
pub mod fuel;
pub mod load;
pub mod torque;
pub mod wall_film;
