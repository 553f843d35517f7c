//! From runs to a proposal: which settings pull fastest without a hole.

pub mod exchange;
pub mod finder;
pub mod flatness;
pub mod free;
pub mod merit;
mod search;
pub mod summary;
