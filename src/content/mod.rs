//! Raw text formats → checked types, and back; what a run did, as files.
//!
//! This room knows the bench and the settings, not the screen. Reading collects every problem of a file at once.

pub mod course_check;
pub mod course_file;
pub mod course_folder;
pub mod customer_file;
pub mod customers;
pub mod exchange;
pub mod export;
pub mod fault_file;
pub mod found;
pub mod grounds;
pub mod grounds_text;
pub mod lesson_file;
pub mod library;
pub mod map;
pub mod problem;
pub mod quiz;
pub mod quiz_check;
pub mod recommended;
pub mod save;
pub mod scenario_file;
pub mod settings_file;
pub mod soak_export;
pub mod soak_file;
pub mod value;

pub mod claim_text;
mod live_block;
mod prediction_block;
mod prose_text;
mod table;
pub(crate) mod toml;
