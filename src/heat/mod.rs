//! Heat soak: what happens to the fuel after the engine has stopped.
//!
//! [`soak::Soak`] holds the settings; [`run::run`] turns them into a trace, events and findings. A network of lumped
//! stores carries heat from engine and exhaust to the fuel, the fuel boils as its vapour pressure says, bubbles lift it
//! over the nozzles as far as their drift allows, and what reaches the manifold makes the engine start badly.

pub mod events;
pub mod findings;
pub mod fuel;
pub mod links;
pub mod manifold;
pub mod materials;
pub mod network;
pub mod parts;
pub mod percolation;
pub mod run;
pub mod sentence;
pub mod soak;
pub mod stores;
pub mod trace;
