//! Scenario → run → trace, events and findings.

pub mod events;
pub mod findings;
pub mod idling;
pub mod model;
pub mod pedal;
pub mod rating;
pub mod run;
pub mod scenario;
pub mod sentence;
pub mod shot;
pub mod trace;
pub mod verdict;
