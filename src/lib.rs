//! How a four-barrel carburettor delays its second pair of barrels, or feeds them, when the pedal is floored.
//!
//! Dependence runs down this list only; a test reads the `use` lines and enforces it.

#[cfg(feature = "window")]
pub mod app;
pub mod bench;
pub mod carburettor;
pub mod content;
pub mod engine;
pub mod families;
pub mod physics;
pub mod scene;
pub mod settings;
pub mod solver;
pub mod units;
