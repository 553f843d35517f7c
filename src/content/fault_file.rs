//! The walk through a used carburettor and the faults of one, as a TOML file; the file that comes with the program tells
//! its own format.

use crate::bench::faults::{Change, Fault, Faults, Mark, Opened, Part, Severity, Turn};
use crate::bench::idling::IdleTest;
use crate::bench::scenario::Scenario;
use crate::content::problem::{Problem, Problems, instead, quoted};
use crate::content::settings_file::raw;
use crate::content::toml::{self, Lines};
use crate::content::value;
use crate::families::FAMILIES;
use crate::settings::grouped::Grouped;
use crate::settings::{Setting, Word};
use toml_edit::{Item, Table};

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
    let lines = Lines::of(text);
    let (document, problems) = toml::read(text, file, &lines);
    let mut reader = Reader { file, lines, problems };
    let faults = document.map(|document| reader.faults(document.as_table()));
    let Reader { mut problems, .. } = reader;
    problems.sort_by_key(|problem| problem.line);
    match faults {
        Some(faults) if problems.is_empty() => Ok(faults),
        _ => Err(Problems(problems)),
    }
}

/// The setting `group.key` of any family or of the idle bench.
fn setting(name: &str) -> Option<(&str, &str, &'static Setting)> {
    let (group, key) = name.split_once('.')?;
    let of_family = FAMILIES.iter().find_map(|entry| {
        let scenario = Scenario::fresh(entry);
        scenario.setting(scenario.place(group, key)?)
    });
    let idle = IdleTest::default();
    let found = of_family.or_else(|| idle.setting(idle.place(group, key)?))?;
    Some((group, key, found))
}

struct Reader<'a> {
    file: &'a str,
    lines: Lines,
    problems: Vec<Problem>,
}

impl Reader<'_> {
    fn note(&mut self, line: usize, key: &str, message: impl Into<String>, mend: impl Into<String>) {
        let (file, key) = (self.file.to_owned(), quoted(key));
        self.problems.push(Problem { file, line, key, message: message.into(), mend: mend.into() });
    }

    fn line(&self, table: &Table, key: &str) -> usize {
        let of_key = table.get_key_value(key).and_then(|(key, item)| key.span().or_else(|| item.span()));
        self.lines.line_of(of_key.or_else(|| table.span()))
    }

    fn faults(&mut self, root: &Table) -> Faults {
        if root.get("format_version").and_then(Item::as_integer) != Some(FORMAT_VERSION) {
            let mend = format!("write format_version = {FORMAT_VERSION}");
            self.note(self.line(root, "format_version"), "format_version", "this version is not read here", mend);
        }
        self.known(root, &["format_version", "part", "fault"]);
        let mut faults = Faults::default();
        for table in self.tables(root, "part") {
            faults.opened.extend(self.part(table));
        }
        for table in self.tables(root, "fault") {
            let Some(fault) = self.fault(table) else { continue };
            if faults.fault(&fault.id).is_some() {
                self.note(
                    self.line(table, "id"),
                    "fault.id",
                    format!("{} is there twice", quoted(&fault.id)),
                    "rename one",
                );
            } else if !faults.opened.iter().any(|opened| opened.part == fault.part) {
                let mend = "write a [[part]] with this id";
                self.note(self.line(table, "part"), "fault.part", "nobody opens this part", mend);
            }
            faults.all.push(fault);
        }
        faults
    }

    fn tables<'t>(&mut self, table: &'t Table, key: &str) -> Vec<&'t Table> {
        let Some(item) = table.get(key) else { return Vec::new() };
        let Some(array) = item.as_array_of_tables() else {
            let line = self.line(table, key);
            self.note(line, key, format!("this is of type {}", item.type_name()), format!("write [[{key}]]"));
            return Vec::new();
        };
        array.iter().collect()
    }

    fn known(&mut self, table: &Table, keys: &[&str]) {
        for (key, _) in table.iter().filter(|(key, _)| !keys.contains(key)) {
            self.note(self.line(table, key), key, "there is no such key", instead(key, keys.iter().copied()));
        }
    }

    fn text(&mut self, table: &Table, key: &str) -> Option<String> {
        let text = table.get(key).and_then(Item::as_str).filter(|text| !text.trim().is_empty());
        if text.is_none() {
            self.note(self.line(table, key), key, "the text is missing", format!("write {key} = \"...\""));
        }
        text.map(str::to_owned)
    }

    fn word<T: Copy>(&mut self, table: &Table, key: &str, words: &[Word], all: &[T]) -> Option<T> {
        let text = self.text(table, key)?;
        let found = words.iter().position(|word| word.id == text).and_then(|place| all.get(place).copied());
        if found.is_none() {
            let message = format!("\"{}\" is not one of its words", quoted(&text));
            self.note(self.line(table, key), key, message, instead(&text, words.iter().map(|word| word.id)));
        }
        found
    }

    /// A list of settings, each of which some carburettor has.
    fn needs(&mut self, table: &Table) -> Vec<String> {
        let Some(item) = table.get("needs") else { return Vec::new() };
        let line = self.line(table, "needs");
        let names: Vec<_> = item.as_array().into_iter().flatten().filter_map(|name| name.as_str()).collect();
        if names.is_empty() {
            self.note(line, "needs", "this is no list of settings", "write needs = [\"family.open\"]");
        }
        for name in names.iter().filter(|name| setting(name).is_none()) {
            self.note(line, "needs", format!("no carburettor has a setting {}", quoted(name)), SETTINGS);
        }
        names.into_iter().map(str::to_owned).collect()
    }

    fn part(&mut self, table: &Table) -> Option<Opened> {
        self.known(table, PART_KEYS);
        let part = self.word(table, "id", Part::WORDS, Part::ALL);
        let [title, look, sound, faulty] = ["title", "look", "sound", "faulty"].map(|key| self.text(table, key));
        let needs = self.needs(table);
        let caution = table.get("caution").and_then(Item::as_str).unwrap_or_default().to_owned();
        Some(Opened { part: part?, title: title?, needs, look: look?, sound: sound?, faulty: faulty?, caution })
    }

    fn fault(&mut self, table: &Table) -> Option<Fault> {
        self.known(table, FAULT_KEYS);
        let [id, name, eye, why] = ["id", "name", "eye", "why"].map(|key| self.text(table, key));
        let part = self.word(table, "part", Part::WORDS, Part::ALL);
        let mark = self.word(table, "mark", Mark::WORDS, Mark::ALL);
        let severity = self.word(table, "severity", Severity::WORDS, Severity::ALL);
        let needs = self.needs(table);
        let tables = self.tables(table, "change");
        if tables.is_empty() {
            self.note(
                self.line(table, "id"),
                "change",
                "this fault changes nothing",
                "write a [[fault.change]] below it",
            );
        }
        let changes = tables.into_iter().filter_map(|table| self.change(table)).collect();
        let (part, mark, severity) = (part?, mark?, severity?);
        Some(Fault { id: id?, name: name?, part, needs, mark, severity, eye: eye?, why: why?, changes })
    }

    fn change(&mut self, table: &Table) -> Option<Change> {
        self.known(table, CHANGE_KEYS);
        let name = self.text(table, "key")?;
        let Some((group, key, setting)) = setting(&name) else {
            self.note(
                self.line(table, "key"),
                "key",
                format!("no carburettor has a setting {}", quoted(&name)),
                SETTINGS,
            );
            return None;
        };
        let turn = match (table.get("value"), table.get("factor")) {
            (Some(item), None) => match value::read(setting, raw(item)) {
                Ok(value) => Turn::To(value),
                Err(refusal) => {
                    self.note(self.line(table, "value"), &name, refusal.message, refusal.mend);
                    return None;
                }
            },
            (None, Some(item)) => match item.as_float().or_else(|| item.as_integer().map(|whole| whole as f64)) {
                Some(factor) if factor.is_finite() && factor > 0.0 => Turn::By(factor),
                _ => {
                    let message = "a factor is a number above 0";
                    self.note(self.line(table, "factor"), &name, message, "write factor = 1.1");
                    return None;
                }
            },
            _ => {
                let line = self.line(table, "key");
                self.note(
                    line,
                    &name,
                    "give a value or a factor, and not both",
                    "write value = \"1 mm\" or factor = 1.1",
                );
                return None;
            }
        };
        Some(Change { group: group.to_owned(), key: key.to_owned(), turn })
    }
}

const SETTINGS: &str = "write group.key as in scenario files, such as primary.main_jet";
