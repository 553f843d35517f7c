//! Numbers without meaning: root finding, the integrator, located events, parts that move between stops.

pub mod hybrid;
pub mod moving_part;
pub mod multistep;
pub mod root;
pub mod rosenbrock;
pub mod sampling;
pub mod stiff;
