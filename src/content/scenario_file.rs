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
//! The tables are [`GROUPS`]; every key may be left out and then has the value of a fresh scenario of that family.

use crate::bench::scenario::{GROUPS, Place, Scenario};
use crate::content::problem::{Problem, Problems, instead, list, nearest, quoted};
use crate::content::toml::{self, Lines};
use crate::content::value::{self, Raw};
use crate::families::{self, Entry, FAMILIES};
use crate::settings::grouped::Grouped;
use crate::settings::{Kind, Setting};
use crate::units::UnitSystem;
use toml_edit::{Item, Key, TableLike, Value};

/// The version that is read and written.
pub const FORMAT_VERSION: i64 = 1;
/// Largest file that is read, bytes; ours are a thousandth of it.
pub const LARGEST_BYTES: usize = 1 << 20;
/// The key of the family's own table that names the family.
const FAMILY_KIND: &str = "kind";

/// Keys of a group of [`GROUPS`] in files, in the order of its settings.
pub fn keys(scenario: &Scenario, group: usize) -> Vec<&'static str> {
    scenario.settings(group).iter().map(|setting| setting.key()).collect()
}

/// The scenario that a file describes.
///
/// # Errors
/// Every problem of the file at once, in the order of its lines.
pub fn parse(text: &str, file_name: &str) -> Result<Scenario, Problems> {
    if text.len() > LARGEST_BYTES {
        let message = format!("the file has {} bytes, more than the {LARGEST_BYTES} that are read", text.len());
        return Err(Problems::of_file(file_name, 1, message, "check that this is a scenario file"));
    }
    let lines = Lines::of(text);
    let (document, problems) = toml::read(text, file_name, &lines);
    let mut reader = Reader { file: file_name, lines, problems };
    let scenario = document.as_ref().map(|document| reader.scenario(document.as_table()));
    let Reader { mut problems, .. } = reader;
    problems.sort_by_key(|problem| problem.line);
    match scenario {
        Some(scenario) if problems.is_empty() => Ok(scenario),
        _ => Err(Problems(problems)),
    }
}

/// Reads what TOML has understood, and notes what is wrong with it.
struct Reader<'a> {
    file: &'a str,
    lines: Lines,
    problems: Vec<Problem>,
}

impl Reader<'_> {
    fn note(&mut self, line: usize, key: impl Into<String>, message: impl Into<String>, mend: impl Into<String>) {
        let (file, key) = (self.file.to_owned(), key.into());
        self.problems.push(Problem { file, line, key, message: message.into(), mend: mend.into() });
    }

    fn line(&self, key: &Key, item: &Item) -> usize {
        self.lines.line_of(key.span().or_else(|| item.span()))
    }

    fn scenario(&mut self, root: &dyn TableLike) -> Scenario {
        self.format_version(root);
        let entry = self.family(root);
        let mut scenario = Scenario::fresh(entry.unwrap_or(&FAMILIES[0]));
        if let Some(title) = self.text(root, "title") {
            scenario.title = title;
        }
        if let Some(note) = self.text(root, "note") {
            scenario.note = note;
        }
        for (name, item) in root.iter() {
            let Some((key, _)) = root.get_key_value(name) else { continue };
            let line = self.line(key, item);
            match GROUPS.iter().position(|group| group.id == name) {
                Some(group) => self.group(&mut scenario, group, line, item, entry.is_some()),
                None if matches!(name, "format_version" | "title" | "note") => {}
                None => self.unknown_table(name, line),
            }
        }
        scenario
    }

    fn unknown_table(&mut self, name: &str, line: usize) {
        let known = ["format_version", "title", "note"].into_iter().chain(GROUPS.iter().map(|group| group.id));
        self.note(line, quoted(name), "there is no such table or key", instead(name, known));
    }

    fn format_version(&mut self, root: &dyn TableLike) {
        const KEY: &str = "format_version";
        let Some((key, item)) = root.get_key_value(KEY) else {
            self.note(1, KEY, "the file does not say its version", format!("begin it with {KEY} = {FORMAT_VERSION}"));
            return;
        };
        if item.as_integer() != Some(FORMAT_VERSION) {
            let line = self.line(key, item);
            let given = item.as_integer().map_or_else(|| item.type_name().to_owned(), |version| version.to_string());
            let mend = format!("write {KEY} = {FORMAT_VERSION}, or open the file with the program that wrote it");
            self.note(line, KEY, format!("version {given} is not read here"), mend);
        }
    }

    fn family(&mut self, root: &dyn TableLike) -> Option<&'static Entry> {
        const KEY: &str = "family.kind";
        let ids = FAMILIES.iter().map(|entry| entry.id);
        let table = root.get_key_value("family");
        let kind = table.and_then(|(_, item)| item.as_table_like()).and_then(|table| table.get_key_value(FAMILY_KIND));
        let Some((key, item)) = kind else {
            let line = table.map_or(1, |(key, item)| self.line(key, item));
            self.note(
                line,
                KEY,
                "the family is missing",
                format!("write [family] and below it kind = and one of these words in quotes: {}", list(ids)),
            );
            return None;
        };
        let line = self.line(key, item);
        let Some(id) = item.as_str() else {
            let message = format!("a family is a word, not of type {}", item.type_name());
            self.note(line, KEY, message, format!("write one of these words in quotes: {}", list(ids)));
            return None;
        };
        let entry = families::entry(id);
        if entry.is_none() {
            self.note(line, KEY, format!("there is no family \"{}\"", quoted(id)), instead(id, ids));
        }
        entry
    }

    fn text(&mut self, root: &dyn TableLike, name: &str) -> Option<String> {
        let (key, item) = root.get_key_value(name)?;
        if let Some(text) = item.as_str() {
            return Some(text.to_owned());
        }
        let line = self.line(key, item);
        self.note(line, name, format!("this is text, not of type {}", item.type_name()), "write it in quotes");
        None
    }

    fn group(&mut self, scenario: &mut Scenario, group: usize, line: usize, item: &Item, family_is_known: bool) {
        let id = GROUPS[group].id;
        let Some(table) = item.as_table_like() else {
            let message = format!("this is a table, not of type {}", item.type_name());
            self.note(line, id, message, format!("write [{id}] on a line of its own and its keys below"));
            return;
        };
        let is_family = id == "family";
        if is_family && !family_is_known {
            // whose keys these are cannot be known
            return;
        }
        let known = keys(scenario, group);
        for (name, item) in table.iter() {
            let Some((key, _)) = table.get_key_value(name) else { continue };
            let line = self.line(key, item);
            match known.iter().position(|known| *known == name) {
                Some(index) => self.value(scenario, Place { group, index }, (line, name), item),
                None if is_family && name == FAMILY_KIND => {}
                None => {
                    let (message, mend) = unknown_key(scenario, id, name, &known);
                    self.note(line, format!("{id}.{}", quoted(name)), message, mend);
                }
            }
        }
    }

    fn value(&mut self, scenario: &mut Scenario, place: Place, (line, name): (usize, &str), item: &Item) {
        let Some(setting) = scenario.setting(place) else { return };
        let key = format!("{}.{name}", GROUPS[place.group].id);
        match value::read(setting, raw(item)) {
            Ok(value) => {
                if let Err(refused) = scenario.set(place, value) {
                    self.note(line, key, format!("{} is not accepted", refused.shown), refused.accepted);
                }
            }
            Err(refusal) => self.note(line, key, refusal.message, refusal.mend),
        }
    }
}

/// A value as the file gives it.
pub(super) fn raw(item: &Item) -> Raw<'_> {
    match item.as_value() {
        Some(Value::String(text)) => Raw::Text(text.value()),
        Some(Value::Integer(number)) => Raw::Bare(*number.value() as f64),
        Some(Value::Float(number)) => Raw::Bare(*number.value()),
        _ => Raw::Other(item.type_name()),
    }
}

fn unknown_key(scenario: &Scenario, group_id: &str, name: &str, known: &[&str]) -> (String, String) {
    let message = format!("there is no such key in [{group_id}]");
    let known = known.iter().copied();
    if nearest(name, known.clone()).is_none() {
        let elsewhere = |group: &usize| keys(scenario, *group).contains(&name);
        if let Some(group) = (0..GROUPS.len()).find(elsewhere) {
            return (message, format!("write it in [{}]", GROUPS[group].id));
        }
    }
    if group_id == "family" {
        return (message, instead(name, known.chain([FAMILY_KIND])));
    }
    (message, instead(name, known))
}

/// A scenario as text: its title, note, family and whatever differs from a fresh scenario of that family.
pub fn serialize(scenario: &Scenario) -> String {
    let fresh = Scenario::fresh(scenario.entry());
    write(scenario, |place, setting, key, value| {
        let same = fresh.value(place).is_some_and(|default| is_close(default, value));
        (!same).then(|| format!("{key} = {}\n", value::written(setting, value)))
    })
}

/// A scenario as text with every value, each below its label and range.
pub fn serialize_full(scenario: &Scenario) -> String {
    write(scenario, |_, setting, key, value| {
        let accepted = match setting.kind {
            Kind::Number { quantity, .. } => {
                let unit = quantity.unit(UnitSystem::Si);
                setting.range(unit, unit.symbol)
            }
            Kind::Choice(words) => list(words.iter().map(|word| word.id)),
        };
        Some(format!("# {}: {accepted}\n{key} = {}\n", setting.label, value::written(setting, value)))
    })
}

fn is_close(a: f64, b: f64) -> bool {
    (a - b).abs() <= 1e-12 * a.abs()
}

fn write(scenario: &Scenario, line: impl Fn(Place, &Setting, &str, f64) -> Option<String>) -> String {
    let mut text = format!(
        "format_version = {FORMAT_VERSION}\ntitle = {}\nnote = {}\n",
        Value::from(&scenario.title),
        Value::from(&scenario.note),
    );
    for (group, id) in GROUPS.iter().map(|group| group.id).enumerate() {
        let keys = keys(scenario, group);
        let body: String = (0..keys.len())
            .filter_map(|index| {
                let place = Place { group, index };
                line(place, scenario.setting(place)?, keys[index], scenario.value(place)?)
            })
            .collect();
        if id == "family" {
            text += &format!("\n[family]\n{FAMILY_KIND} = \"{}\"\n{body}", scenario.entry().id);
        } else if !body.is_empty() {
            text += &format!("\n[{id}]\n{body}");
        }
    }
    text
}
