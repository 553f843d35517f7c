//! The walk through a used carburettor and the faults of one, as a TOML file; the file that comes with the program tells
//! its own format.

use crate::bench::faults::{Change, Fault, Faults, Mark, Opened, Part, Severity, Turn};
use crate::bench::scenario::Scenario;
use crate::content::problem::{Problems, instead, quoted};
use crate::content::settings_file::raw;
use crate::content::table::{Lined, Notes};
use crate::content::toml;
use crate::content::value;
use crate::families::FAMILIES;
use crate::settings::grouped::Grouped;
use crate::settings::{Setting, Word};
use toml_edit::{Item, TableLike};

/// The version that is read.
pub const FORMAT_VERSION: i64 = 1;

const SHIPPED: &str = include_str!("../../content/faults.toml");
const FILE: &str = "faults.toml";
const PART_KEYS: &[&str] = &["id", "title", "needs", "look", "sound", "faulty", "caution"];
const FAULT_KEYS: &[&str] = &["id", "name", "part", "needs", "mark", "severity", "eye", "why", "change"];
const CHANGE_KEYS: &[&str] = &["key", "value", "factor"];

/// The faults that come with the program.
///
/// # Errors
/// As [`parse`]; a test reads them.
pub fn shipped() -> Result<Faults, Problems> {
    parse(SHIPPED, FILE)
}

/// The faults that a file describes.
///
/// # Errors
/// Every problem of the file at once, in the order of its lines.
pub fn parse(text: &str, file: &str) -> Result<Faults, Problems> {
    let mut notes = Notes::new(file, text);
    let (document, problems) = toml::read(text, file, &notes.lines);
    notes.problems = problems;
    let faults = document.as_ref().map(|document| faults(document.as_table(), &mut notes));
    let Notes { mut problems, .. } = notes;
    problems.sort_by_key(|problem| problem.line);
    match faults {
        Some(faults) if problems.is_empty() => Ok(faults),
        _ => Err(Problems(problems)),
    }
}

/// The setting `group.key` of any family.
fn setting(name: &str) -> Option<(&str, &str, &'static Setting)> {
    let (group, key) = name.split_once('.')?;
    let found = FAMILIES.iter().find_map(|entry| {
        let scenario = Scenario::fresh(entry);
        scenario.setting(scenario.place(group, key)?)
    })?;
    Some((group, key, found))
}

fn faults(root: &dyn TableLike, notes: &mut Notes<'_>) -> Faults {
    notes.version(root, FORMAT_VERSION);
    notes.refuse_unknown(root, "", &["format_version", "part", "fault"]);
    let mut faults = Faults::default();
    for table in notes.tables(root, ("", "part"), "[[part]]") {
        faults.opened.extend(part(table, notes));
    }
    for table in notes.tables(root, ("", "fault"), "[[fault]]") {
        let Some(fault) = fault(table, notes) else { continue };
        if faults.fault(&fault.id).is_some() {
            let message = format!("{} is there twice", quoted(&fault.id));
            notes.note(line_of(table, "id", notes), "fault.id", message, "rename one");
        } else if !faults.opened.iter().any(|opened| opened.part == fault.part) {
            let mend = "write a [[part]] with this id";
            notes.note(line_of(table, "part", notes), "fault.part", "nobody opens this part", mend);
        }
        faults.all.push(fault);
    }
    faults
}

/// Line of a key; the table's own where it is missing.
fn line_of((table, line): Lined<'_>, key: &str, notes: &Notes<'_>) -> usize {
    table.get_key_value(key).map_or(line, |(key, item)| notes.line(key, item))
}

fn text((table, line): Lined<'_>, key: &str, notes: &mut Notes<'_>) -> Option<String> {
    let text = notes.needed(table, ("", key), line, &format!("{key} = \"...\"")).text;
    (!text.is_empty()).then_some(text)
}

fn word<T: Copy>(table: Lined<'_>, key: &str, (words, all): (&[Word], &[T]), notes: &mut Notes<'_>) -> Option<T> {
    let text = text(table, key, notes)?;
    let found = words.iter().position(|word| word.id == text).and_then(|place| all.get(place).copied());
    if found.is_none() {
        let message = format!("\"{}\" is not one of its words", quoted(&text));
        notes.note(line_of(table, key, notes), key, message, instead(&text, words.iter().map(|word| word.id)));
    }
    found
}

/// A list of settings, each of which some carburettor has.
fn needs((table, _): Lined<'_>, notes: &mut Notes<'_>) -> Vec<String> {
    let names = notes.texts(table, "", "needs");
    for name in names.iter().filter(|name| setting(&name.text).is_none()) {
        notes.note(name.line, "needs", unknown(&name.text), SETTINGS);
    }
    names.into_iter().map(|name| name.text).collect()
}

fn part(table: Lined<'_>, notes: &mut Notes<'_>) -> Option<Opened> {
    notes.refuse_unknown(table.0, "", PART_KEYS);
    let part = word(table, "id", (Part::WORDS, Part::ALL), notes);
    let [title, look, sound, faulty] = ["title", "look", "sound", "faulty"].map(|key| text(table, key, notes));
    let needs = needs(table, notes);
    let caution = notes.text(table.0, "", "caution").map(|caution| caution.text).unwrap_or_default();
    Some(Opened { part: part?, title: title?, needs, look: look?, sound: sound?, faulty: faulty?, caution })
}

fn fault(table: Lined<'_>, notes: &mut Notes<'_>) -> Option<Fault> {
    notes.refuse_unknown(table.0, "", FAULT_KEYS);
    let [id, name, eye, why] = ["id", "name", "eye", "why"].map(|key| text(table, key, notes));
    let part = word(table, "part", (Part::WORDS, Part::ALL), notes);
    let mark = word(table, "mark", (Mark::WORDS, Mark::ALL), notes);
    let severity = word(table, "severity", (Severity::WORDS, Severity::ALL), notes);
    let needs = needs(table, notes);
    let tables = notes.tables(table.0, ("", "change"), "[[fault.change]]");
    if tables.is_empty() {
        let mend = "write a [[fault.change]] below it";
        notes.note(line_of(table, "id", notes), "change", "this fault changes nothing", mend);
    }
    let changes = tables.into_iter().filter_map(|table| change(table, notes)).collect();
    let (part, mark, severity) = (part?, mark?, severity?);
    Some(Fault { id: id?, name: name?, part, needs, mark, severity, eye: eye?, why: why?, changes })
}

fn change(table: Lined<'_>, notes: &mut Notes<'_>) -> Option<Change> {
    notes.refuse_unknown(table.0, "", CHANGE_KEYS);
    let name = text(table, "key", notes)?;
    let Some((group, key, setting)) = setting(&name) else {
        notes.note(line_of(table, "key", notes), "key", unknown(&name), SETTINGS);
        return None;
    };
    let (at, wrong) = match (table.0.get("value"), table.0.get("factor")) {
        (Some(item), None) => match value::read(setting, raw(item)) {
            Ok(value) => return Some(changed(group, key, Turn::To(value))),
            Err(refusal) => ("value", (refusal.message, refusal.mend)),
        },
        (None, Some(item)) => match factor(item) {
            Some(factor) => return Some(changed(group, key, Turn::By(factor))),
            None => ("factor", ("a factor is a number above 0".to_owned(), "write factor = 1.1".to_owned())),
        },
        _ => {
            let mend = "write value = \"1 mm\" or factor = 1.1".to_owned();
            ("key", ("give a value or a factor, and not both".to_owned(), mend))
        }
    };
    let (message, mend) = wrong;
    notes.note(line_of(table, at, notes), quoted(&name), message, mend);
    None
}

fn changed(group: &str, key: &str, turn: Turn) -> Change {
    Change { group: group.to_owned(), key: key.to_owned(), turn }
}

fn factor(item: &Item) -> Option<f64> {
    let factor = item.as_float().or_else(|| item.as_integer().map(|whole| whole as f64));
    factor.filter(|factor| factor.is_finite() && *factor > 0.0)
}

fn unknown(name: &str) -> String {
    format!("no carburettor has a setting {}", quoted(name))
}

const SETTINGS: &str = "write group.key as in scenario files, such as primary.main_jet";
