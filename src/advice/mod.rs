//! From runs to a proposal: which settings pull fastest without a hole, and which carburettor suits a customer.

pub mod exchange;
pub mod finder;
pub mod flatness;
pub mod free;
pub mod intake;
pub mod merit;
pub mod recommend;
mod search;
pub mod summary;
