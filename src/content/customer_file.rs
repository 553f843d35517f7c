//! A customer as a TOML file: what was answered, and nothing else.
//!
//! ```toml
//! format_version = 1
//! name = "Wagon with a boat"
//! note = "Invented customer of Kestrel Yard."
//!
//! [engine]
//! displacement = "5.2 L"
//! cam = "mild"
//!
//! [now]
//! kind = "spring_door"
//!
//! [as_found.family]
//! wind_up = "230°"
//! ```
//!
//! The tables are [`GROUPS`]; a key that is left out, or says "unknown", is a question that nobody answered. Below
//! `as_found` stand settings of what is fitted, by the keys of a scenario file.

use crate::advice::intake::{AsFound, Customer, GROUPS};
use crate::bench::scenario::Scenario;
use crate::content::problem::{Problem, Problems, instead, list, quoted};
use crate::content::settings_file::{FORMAT_VERSION, LARGEST_BYTES, raw};
use crate::content::table::{Notes, joined};
use crate::content::toml;
use crate::content::value::{self, Raw};
use crate::settings::grouped::{Grouped, Place};
use toml_edit::{Item, TableLike, Value};

/// In place of an answer.
const UNKNOWN: &str = "unknown";
const AS_FOUND: &str = "as_found";
/// Groups of a scenario that belong to the carburettor.
const CARBURETTOR: &[&str] = &["family", "primary", "secondary", "linkage", "pump", "idle", "enrichment", "bowl"];

/// The customer that a file describes.
///
/// # Errors
/// Every problem of the file at once, in the order of its lines.
pub fn parse(text: &str, file_name: &str) -> Result<Customer, Problems> {
    if text.len() > LARGEST_BYTES {
        let message = format!("the file has {} bytes, more than the {LARGEST_BYTES} that are read", text.len());
        return Err(Problems::of_file(file_name, 1, message, "check that this is a customer file"));
    }
    let mut notes = Notes::new(file_name, text);
    let (document, problems) = toml::read(text, file_name, &notes.lines);
    notes.problems = problems;
    let customer = document.as_ref().map(|document| customer(document.as_table(), &mut notes));
    let mut problems: Vec<Problem> = notes.problems;
    problems.sort_by_key(|problem| problem.line);
    match customer {
        Some(customer) if problems.is_empty() => Ok(customer),
        _ => Err(Problems(problems)),
    }
}

fn customer(root: &dyn TableLike, notes: &mut Notes<'_>) -> Customer {
    notes.version(root, FORMAT_VERSION);
    let mut known = vec!["format_version", "name", "note", AS_FOUND];
    known.extend(GROUPS.iter().map(|group| group.id));
    notes.refuse_unknown(root, "", &known);
    let mut customer = Customer::default();
    let mut text = |name| notes.text(root, "", name).map(|text| text.text).unwrap_or_default();
    (customer.name, customer.note) = (text("name"), text("note"));
    for (group, id) in GROUPS.iter().map(|group| group.id).enumerate() {
        if let Some((table, _)) = notes.table(root, id) {
            answers(&mut customer, group, table, notes);
        }
    }
    if let Some((table, line)) = notes.table(root, AS_FOUND) {
        as_found(&mut customer, table, line, notes);
    }
    customer
}

/// The answers of one group.
fn answers(customer: &mut Customer, group: usize, table: &dyn TableLike, notes: &mut Notes<'_>) {
    let id = GROUPS[group].id;
    let keys: Vec<&str> = customer.settings(group).iter().map(|setting| setting.key()).collect();
    notes.refuse_unknown(table, id, &keys);
    for (index, name) in keys.iter().enumerate() {
        let Some((key, item)) = table.get_key_value(name) else { continue };
        let line = notes.line(key, item);
        let place = Place { group, index };
        let Some(setting) = customer.setting(place) else { continue };
        if matches!(raw(item), Raw::Text(UNKNOWN)) {
            continue;
        }
        match value::read(setting, raw(item)) {
            Ok(value) => {
                if let Err(refused) = customer.tell(place, value) {
                    notes.note(line, joined(id, name), format!("{} is not accepted", refused.shown), refused.accepted);
                }
            }
            Err(refusal) => notes.note(line, joined(id, name), refusal.message, or_unknown(&refusal.mend)),
        }
    }
}

fn or_unknown(mend: &str) -> String {
    format!("{mend}; or \"{UNKNOWN}\"")
}

/// Settings of what is fitted.
fn as_found(customer: &mut Customer, table: &dyn TableLike, line: usize, notes: &mut Notes<'_>) {
    let Some(kind) = customer.fitted() else {
        let mend = "write kind = and a word in [now], or take the settings out";
        notes.note(line, AS_FOUND, "whose settings these are is not told", mend);
        return;
    };
    let scenario = Scenario::fresh(kind.entry());
    notes.refuse_unknown(table, AS_FOUND, CARBURETTOR);
    for group in CARBURETTOR {
        let Some((key, item)) = table.get_key_value(group) else { continue };
        let line = notes.line(key, item);
        let Some(table) = item.as_table_like() else {
            let message = format!("this is a table, not of type {}", item.type_name());
            let mend = format!("write [{AS_FOUND}.{group}] on a line of its own and its keys below");
            notes.note(line, joined(AS_FOUND, group), message, mend);
            continue;
        };
        for (name, item) in table.iter() {
            let line = table.get_key_value(name).map_or(line, |(key, item)| notes.line(key, item));
            match found(&scenario, group, name, item) {
                Ok(found) => customer.as_found.push(found),
                Err((message, mend)) => {
                    notes.note(line, format!("{AS_FOUND}.{group}.{}", quoted(name)), message, mend);
                }
            }
        }
    }
}

fn found(scenario: &Scenario, group: &str, name: &str, item: &Item) -> Result<AsFound, (String, String)> {
    let Some(setting) = scenario.place(group, name).and_then(|place| scenario.setting(place)) else {
        let index = scenario.groups().iter().position(|known| known.id == group).unwrap_or(0);
        let keys: Vec<&str> = scenario.settings(index).iter().map(|setting| setting.key()).collect();
        let message = format!("{} has no such setting", scenario.entry().name.to_lowercase());
        let mend = if keys.is_empty() { "it has none here".to_owned() } else { instead(name, keys) };
        return Err((message, mend));
    };
    let value = value::read(setting, raw(item)).map_err(|refusal| (refusal.message, refusal.mend))?;
    if !setting.accepts(value) {
        return Err((format!("{value} is not accepted"), setting.accepted(crate::units::UnitSystem::Si)));
    }
    Ok(AsFound { group: group.to_owned(), key: name.to_owned(), value })
}

/// A customer as text: what was answered, each below its question.
pub fn serialize(customer: &Customer) -> String {
    let mut text = format!(
        "format_version = {FORMAT_VERSION}\nname = {}\nnote = {}\n",
        Value::from(&customer.name),
        Value::from(&customer.note),
    );
    for (group, id) in GROUPS.iter().map(|group| group.id).enumerate() {
        let settings = customer.settings(group).into_iter().enumerate();
        let body: String = settings
            .filter_map(|(index, setting)| {
                let value = customer.answer(Place { group, index })?;
                Some(format!("# {}\n{} = {}\n", setting.label, setting.key(), value::written(setting, value)))
            })
            .collect();
        if !body.is_empty() {
            text += &format!("\n[{id}]\n{body}");
        }
    }
    text + &serialize_as_found(customer)
}

fn serialize_as_found(customer: &Customer) -> String {
    let Some(kind) = customer.fitted() else { return String::new() };
    let scenario = Scenario::fresh(kind.entry());
    let mut text = String::new();
    for group in CARBURETTOR {
        let lines: String = customer
            .as_found
            .iter()
            .filter(|found| found.group == *group)
            .filter_map(|found| {
                let setting = scenario.setting(scenario.place(group, &found.key)?)?;
                Some(format!("{} = {}\n", found.key, value::written(setting, found.value)))
            })
            .collect();
        if !lines.is_empty() {
            text += &format!("\n[{AS_FOUND}.{group}]\n{lines}");
        }
    }
    text
}

/// An empty card: every question with its help, what it takes, and no answer.
pub fn blank() -> String {
    let customer = Customer::default();
    let mut text = format!("format_version = {FORMAT_VERSION}\nname = \"\"\nnote = \"\"\n");
    for (group, id) in GROUPS.iter().map(|group| group.id).enumerate() {
        text += &format!("\n[{id}]\n");
        for setting in customer.settings(group) {
            let takes = match setting.kind {
                crate::settings::Kind::Choice(words) => list(words.iter().map(|word| word.id)),
                crate::settings::Kind::Number { quantity, .. } => {
                    let unit = quantity.unit(crate::units::UnitSystem::Si);
                    setting.range(unit, unit.symbol)
                }
            };
            text += &format!("# {} {}\n# {takes}\n{} = \"{UNKNOWN}\"\n", setting.label, setting.help, setting.key());
        }
    }
    text
}
