//! Raw text formats → checked types, and back; what a run did, as files.
//!
//! This room knows the bench and the settings, not the screen. Reading collects every problem of a file at once.

pub mod export;
pub mod found;
pub mod grounds;
pub mod grounds_text;
pub mod library;
pub mod map;
pub mod problem;
pub mod save;
pub mod scenario_file;
pub mod value;

mod toml;
