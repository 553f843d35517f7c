//! A heat soak as a TOML file.
//!
//! ```toml
//! format_version = 1
//! title = "Hot lunch stop"
//! note = "Watch when the bowls boil. Invented data of Kestrel Yard."
//!
//! [ambient]
//! temperature = "35 °C"
//! ```
//!
//! The tables are [`GROUPS`](crate::heat::soak::GROUPS); every key may be left out and then has its default.

use crate::content::problem::Problems;
use crate::content::settings_file::{self, FORMAT_VERSION, changed, explained, head};
use crate::heat::soak::Soak;

/// A soak with its name.
#[derive(Debug, Clone, PartialEq)]
pub struct TitledSoak {
    /// A short name.
    pub title: String,
    /// What it shows, and that its data is invented.
    pub note: String,
    /// The soak.
    pub soak: Soak,
}

impl Default for TitledSoak {
    fn default() -> Self {
        let note = "Invented demonstration data of Kestrel Yard.".to_owned();
        Self { title: "Heat soak".to_owned(), note, soak: Soak::default() }
    }
}

/// The soak that a file describes.
///
/// # Errors
/// Every problem of the file at once, in the order of its lines.
pub fn parse(text: &str, file_name: &str) -> Result<TitledSoak, Problems> {
    settings_file::parse(text, file_name, "a soak file", |notes, root| {
        notes.version(root, FORMAT_VERSION);
        let mut titled = TitledSoak::default();
        if let Some(title) = notes.verbatim(root, "", "title") {
            titled.title = title.text;
        }
        if let Some(note) = notes.verbatim(root, "", "note") {
            titled.note = note.text;
        }
        notes.groups(&mut titled.soak, root, None, None);
        titled
    })
}

/// A soak as text: its title, note, and whatever differs from the defaults.
pub fn serialize(titled: &TitledSoak) -> String {
    let fresh = Soak::default();
    let tables =
        settings_file::tables(&titled.soak, |_| None, |place, setting, value| changed(&fresh, place, setting, value));
    head(&titled.title, &titled.note) + &tables
}

/// A soak as text with every value, each below its label and range.
pub fn serialize_full(titled: &TitledSoak) -> String {
    let line = |_, setting: &_, value| Some(explained(setting, value));
    head(&titled.title, &titled.note) + &settings_file::tables(&titled.soak, |_| None, line)
}
