//! A scenario as a TOML file.
//!
//! ```toml
//! format_version = 1
//! title = "Spring far too stiff"
//! note = "Watch when the diaphragm starts. Invented data of Kestrel Yard."
//!
//! [family]
//! kind = "vacuum_diaphragm"
//! restriction = "0.8 mm"
//!
//! [engine]
//! displacement = "4.6 L"
//! ```
//!
//! The tables are [`GROUPS`](crate::bench::scenario::GROUPS); every key may be left out and then has the value of a fresh scenario of that family.

use crate::bench::scenario::Scenario;
use crate::content::problem::{Problems, instead, list, quoted};
use crate::content::settings_file::{self, changed, explained, head};
pub use crate::content::settings_file::{FORMAT_VERSION, LARGEST_BYTES};
use crate::content::table::Notes;
use crate::families::{self, Entry, FAMILIES};
use toml_edit::TableLike;

/// The table of the family, and its key that names it.
const FAMILY: &str = "family";
/// See [`FAMILY`].
const FAMILY_KIND: &str = "kind";

/// Keys of a group of [`GROUPS`](crate::bench::scenario::GROUPS) in files, in the order of its settings.
pub fn keys(scenario: &Scenario, group: usize) -> Vec<&'static str> {
    settings_file::keys(scenario, group)
}

/// The scenario that a file describes.
///
/// # Errors
/// Every problem of the file at once, in the order of its lines.
pub fn parse(text: &str, file_name: &str) -> Result<Scenario, Problems> {
    settings_file::parse(text, file_name, "a scenario file", read)
}

fn read(notes: &mut Notes<'_>, root: &dyn TableLike) -> Scenario {
    notes.version(root, FORMAT_VERSION);
    let entry = family(notes, root);
    let mut scenario = Scenario::fresh(entry.unwrap_or(&FAMILIES[0]));
    if let Some(title) = notes.verbatim(root, "", "title") {
        scenario.title = title.text;
    }
    if let Some(note) = notes.verbatim(root, "", "note") {
        scenario.note = note.text;
    }
    // whose keys an unknown family's are cannot be known
    let skip = entry.is_none().then_some(FAMILY);
    notes.groups(&mut scenario, root, Some((FAMILY, FAMILY_KIND)), skip);
    scenario
}

fn family(notes: &mut Notes<'_>, root: &dyn TableLike) -> Option<&'static Entry> {
    const KEY: &str = "family.kind";
    let ids = FAMILIES.iter().map(|entry| entry.id);
    let table = root.get_key_value(FAMILY);
    let kind = table.and_then(|(_, item)| item.as_table_like()).and_then(|table| table.get_key_value(FAMILY_KIND));
    let Some((key, item)) = kind else {
        let line = table.map_or(1, |(key, item)| notes.line(key, item));
        notes.note(
            line,
            KEY,
            "the family is missing",
            format!("write [family] and below it kind = and one of these words in quotes: {}", list(ids)),
        );
        return None;
    };
    let line = notes.line(key, item);
    let Some(id) = item.as_str() else {
        let message = format!("a family is a word, not of type {}", item.type_name());
        notes.note(line, KEY, message, format!("write one of these words in quotes: {}", list(ids)));
        return None;
    };
    let entry = families::entry(id);
    if entry.is_none() {
        notes.note(line, KEY, format!("there is no family \"{}\"", quoted(id)), instead(id, ids));
    }
    entry
}

fn kind_line(scenario: &Scenario, group: &str) -> Option<String> {
    (group == FAMILY).then(|| format!("{FAMILY_KIND} = \"{}\"\n", scenario.entry().id))
}

/// A scenario as text: its title, note, family and whatever differs from a fresh scenario of that family.
pub fn serialize(scenario: &Scenario) -> String {
    let fresh = Scenario::fresh(scenario.entry());
    let line = |place, setting: &_, value| changed(&fresh, place, setting, value);
    let tables = settings_file::tables(scenario, |group| kind_line(scenario, group), line);
    head(&scenario.title, &scenario.note) + &tables
}

/// A scenario as text with every value, each below its label and range.
pub fn serialize_full(scenario: &Scenario) -> String {
    let line = |_, setting: &_, value| Some(explained(setting, value));
    head(&scenario.title, &scenario.note) + &settings_file::tables(scenario, |group| kind_line(scenario, group), line)
}
