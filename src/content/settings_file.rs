//! What files of settings in groups have in common: version, title, note, a table a group, every problem at once.

use crate::content::problem::{Problems, instead, list, nearest, quoted};
use crate::content::table::Notes;
use crate::content::toml;
use crate::content::value::{self, Raw};
use crate::settings::grouped::{Grouped, Place};
use crate::settings::{Kind, Setting};
use crate::units::UnitSystem;
use toml_edit::{Item, TableLike, Value};

/// The version that is read and written.
pub const FORMAT_VERSION: i64 = 1;
/// Largest file that is read, bytes; ours are a thousandth of it.
pub const LARGEST_BYTES: usize = 1 << 20;
/// Keys that stand before the first table.
const HEAD: [&str; 3] = ["format_version", "title", "note"];

/// Keys of a group in files, in the order of its settings.
pub fn keys(of: &impl Grouped, group: usize) -> Vec<&'static str> {
    of.settings(group).iter().map(|setting| setting.key()).collect()
}

/// What `read` makes of a file; `what` it is, such as "a scenario file", is for the message about one that is too large.
///
/// # Errors
/// Every problem of the file at once, in the order of its lines.
pub(super) fn parse<T>(
    text: &str,
    file: &str,
    what: &str,
    read: impl FnOnce(&mut Notes<'_>, &dyn TableLike) -> T,
) -> Result<T, Problems> {
    if text.len() > LARGEST_BYTES {
        let message = format!("the file has {} bytes, more than the {LARGEST_BYTES} that are read", text.len());
        return Err(Problems::of_file(file, 1, message, format!("check that this is {what}")));
    }
    let mut notes = Notes::new(file, text);
    let (document, problems) = toml::read(text, file, &notes.lines);
    notes.problems = problems;
    let found = document.as_ref().map(|document| read(&mut notes, document.as_table()));
    let Notes { mut problems, .. } = notes;
    problems.sort_by_key(|problem| problem.line);
    match found {
        Some(found) if problems.is_empty() => Ok(found),
        _ => Err(Problems(problems)),
    }
}

/// A key that a table has beside its group's settings: group, key. Whoever gives it reads it.
pub(super) type Extra = Option<(&'static str, &'static str)>;

impl Notes<'_> {
    /// Every table of the file into its group; `skip` leaves a group out, whose keys cannot be known.
    pub(super) fn groups<T: Grouped>(&mut self, into: &mut T, root: &dyn TableLike, extra: Extra, skip: Option<&str>) {
        let groups = into.groups();
        for (name, item) in root.iter() {
            let Some((key, _)) = root.get_key_value(name) else { continue };
            let line = self.line(key, item);
            match groups.iter().position(|group| group.id == name) {
                Some(group) => self.group(into, group, line, item, extra, skip),
                None if HEAD.contains(&name) => {}
                None => {
                    let known = HEAD.into_iter().chain(groups.iter().map(|group| group.id));
                    self.note(line, quoted(name), "there is no such table or key", instead(name, known));
                }
            }
        }
    }

    fn group<T: Grouped>(
        &mut self,
        into: &mut T,
        group: usize,
        line: usize,
        item: &Item,
        extra: Extra,
        skip: Option<&str>,
    ) {
        let id = into.groups()[group].id;
        let Some(table) = item.as_table_like() else {
            let message = format!("this is a table, not of type {}", item.type_name());
            self.note(line, id, message, format!("write [{id}] on a line of its own and its keys below"));
            return;
        };
        if skip == Some(id) {
            return;
        }
        let known = keys(into, group);
        let extra = extra.filter(|(group, _)| *group == id).map(|(_, key)| key);
        for (name, item) in table.iter() {
            let Some((key, _)) = table.get_key_value(name) else { continue };
            let line = self.line(key, item);
            match known.iter().position(|known| *known == name) {
                Some(index) => self.value(into, Place { group, index }, (line, name), item),
                None if extra == Some(name) => {}
                None => {
                    let (message, mend) = unknown_key(into, id, name, &known, extra);
                    self.note(line, format!("{id}.{}", quoted(name)), message, mend);
                }
            }
        }
    }

    fn value<T: Grouped>(&mut self, into: &mut T, place: Place, (line, name): (usize, &str), item: &Item) {
        let Some(setting) = into.setting(place) else { return };
        let key = format!("{}.{name}", into.groups()[place.group].id);
        match value::read(setting, raw(item)) {
            Ok(value) => {
                if let Err(refused) = into.set(place, value) {
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

fn unknown_key(
    of: &impl Grouped,
    id: &str,
    name: &str,
    known: &[&str],
    extra: Option<&'static str>,
) -> (String, String) {
    let message = format!("there is no such key in [{id}]");
    let known = known.iter().copied();
    if nearest(name, known.clone()).is_none() {
        let groups = of.groups();
        let elsewhere = |group: &usize| keys(of, *group).contains(&name);
        if let Some(group) = (0..groups.len()).find(elsewhere) {
            return (message, format!("write it in [{}]", groups[group].id));
        }
    }
    (message, instead(name, known.chain(extra)))
}

/// A line of a file for a value that differs from what a fresh one has.
pub(super) fn changed(fresh: &impl Grouped, place: Place, setting: &Setting, value: f64) -> Option<String> {
    let is_close = |default: f64| (default - value).abs() <= 1e-12 * default.abs();
    let same = fresh.value(place).is_some_and(is_close);
    (!same).then(|| format!("{} = {}\n", setting.key(), value::written(setting, value)))
}

/// The lines of a file for any value, below its label and range.
pub(super) fn explained(setting: &Setting, value: f64) -> String {
    let accepted = match setting.kind {
        Kind::Number { quantity, .. } => {
            let unit = quantity.unit(UnitSystem::Si);
            setting.range(unit, unit.symbol)
        }
        Kind::Choice(words) => list(words.iter().map(|word| word.id)),
    };
    format!("# {}: {accepted}\n{} = {}\n", setting.label, setting.key(), value::written(setting, value))
}

/// The head of a file.
pub(super) fn head(title: &str, note: &str) -> String {
    format!("format_version = {FORMAT_VERSION}\ntitle = {}\nnote = {}\n", Value::from(title), Value::from(note))
}

/// Every table with something in it; `before` is what stands first in a table, its own line included.
pub(super) fn tables(
    of: &impl Grouped,
    before: impl Fn(&str) -> Option<String>,
    line: impl Fn(Place, &Setting, f64) -> Option<String>,
) -> String {
    let mut text = String::new();
    for (group, id) in of.groups().iter().map(|group| group.id).enumerate() {
        let written = |index| {
            let place = Place { group, index };
            line(place, of.setting(place)?, of.value(place)?)
        };
        let body: String = (0..of.settings(group).len()).filter_map(written).collect();
        match before(id) {
            Some(first) => text += &format!("\n[{id}]\n{first}{body}"),
            None if body.is_empty() => {}
            None => text += &format!("\n[{id}]\n{body}"),
        }
    }
    text
}
