//! What a course is: lessons of prose, cautions and live blocks, and what a run says to their claims.
//!
//! Everything here is already checked; the text formats are read in the content room. A screen needs
//! [`course::Course`] for what it shows, [`seen::see`] to run a live block with the learner's settings,
//! [`claim::Claim::check`] and [`explain::told`] for what the run says, and [`prediction`] for what the learner said
//! before it.

pub mod claim;
pub mod course;
pub mod explain;
pub mod figure;
pub mod live;
pub mod outcomes;
pub mod prediction;
pub mod prose;
pub mod quiz;
pub mod reading;
pub mod seen;
