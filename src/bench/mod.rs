//! Scenario → run → trace, events and findings.

pub mod coefficients;
pub mod events;
pub mod faults;
pub mod findings;
pub mod idling;
pub mod model;
pub mod pedal;
pub mod pump_test;
pub mod rating;
pub mod run;
pub mod scenario;
pub mod sensitivity;
pub mod sentence;
pub mod shot;
pub mod sweep;
pub mod trace;
pub mod verdict;
pub mod watch;
