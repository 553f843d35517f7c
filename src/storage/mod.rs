//! Learner records on disk: one folder that the user chooses, and nothing outside it.
//!
//! ```text
//! FOLDER/names.toml             names by code; share the answers without it
//! FOLDER/answers/CODE.answers   the answers of one learner, one a line, only ever appended to
//! FOLDER/in_use.lock            locked while a program works in the folder
//! ```
//!
//! Beside a file may stand `.damaged-1`, `.version-0-1` and so on: what was set aside, never overwritten.
//!
//! One log a learner, so that damage, deletion and export concern one learner. A line is a check sum and JSON
//! ([`mod@line`]); an answer is kept once [`records::Records::append`] has returned, because the line has then been written
//! through to the disk. A program that is killed leaves at most the beginning of one line, which the next reader sets
//! aside and tells of.

pub mod clock;
pub mod line;
pub mod records;

mod folder;
mod log;
mod names;
mod place;
