//! How a four-barrel carburettor delays its second pair of barrels, or feeds them, when the pedal is floored.
//!
//! Dependence runs down this list only: a room uses those above it. A test reads the `use` lines and enforces it.

pub mod units;

pub mod settings;

pub mod solver;

pub mod physics;

pub mod carburettor;

pub mod families;

pub mod engine;

pub mod heat;

pub mod bench;

pub mod advice;

pub mod scene;

pub mod learning;

pub mod content;

pub mod storage;

pub mod report;

#[cfg(feature = "window")]
pub mod app;
