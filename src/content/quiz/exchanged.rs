//! Items of the bank ↔ the little that other programs know of an item.
//!
//! Out goes an item as it is put with one seed: drawn values, words of the run. In comes a quiz file. What a package cannot
//! hold stays behind and is told: curves and drawings, the other kinds, slips of numeric items.

use crate::content::course_file::SourceFile;
use crate::content::exchange::{ExchangeItem, ExchangeKind, ExchangeOption, Tolerance as Width};
use crate::content::lesson_file::LARGEST_BYTES;
use crate::content::problem::{Problem, quoted};
use crate::content::quiz::file::{self, FORMAT_VERSION, MOST_ITEMS};
use crate::learning::quiz::asked::Asked;
use crate::learning::quiz::bank::Bank;
use crate::learning::quiz::item::{Item, Kind};
use crate::learning::quiz::number;
use crate::learning::quiz::numeric::{Numeric, Tolerance};
use crate::learning::quiz::response::Response;
use crate::learning::quiz::text::joined;
use crate::learning::seen::Seen;
use crate::units::{rounded, with_unit};
use rayon::prelude::*;
use toml_edit::{Array, ArrayOfTables, DocumentMut, InlineTable, Item as Entry, Table, value};

/// What stands before the belief behind a wrong option.
const BELIEVED: &str = "Often believed: ";
/// What is said to an option to which the package says nothing.
const SAID: [&str; 2] = ["That is not right.", "That is right."];
/// Largest share of the answer that a tolerance may be, percent; the bound of the format.
const MOST_PERCENT: f64 = 50.0;

/// What a bank gives to other programs.
#[derive(Debug, Clone, PartialEq)]
pub struct Exported {
    /// Items that can be exchanged, in the bank's order.
    pub items: Vec<ExchangeItem>,
    /// Every other item, and why it stays.
    pub left_out: Vec<Problem>,
}

/// The items of a bank as they are put with a seed. Makes their runs, so it is slow.
pub fn export(bank: &Bank, seed: u64) -> Exported {
    let made: Vec<Result<ExchangeItem, String>> = bank.items.par_iter().map(|item| exchanged(item, seed)).collect();
    let mut exported = Exported { items: Vec::new(), left_out: Vec::new() };
    for (item, made) in bank.items.iter().zip(made) {
        match made {
            Ok(made) => exported.items.push(made),
            Err(message) => exported.left_out.push(Problem {
                file: item.file.clone(),
                line: item.line,
                key: item.id.clone(),
                message,
                mend: "it stays here; ask it in the program or on paper".to_owned(),
            }),
        }
    }
    exported
}

/// An item as it is put with a seed.
///
/// # Errors
/// Why a package cannot hold it, in words.
pub fn exchanged(item: &Item, seed: u64) -> Result<ExchangeItem, String> {
    if !matches!(item.kind, Kind::Choice(_) | Kind::Numeric(_)) {
        return Err(format!("an item of the kind {} has no form in a package", item.kind.id()));
    }
    if !item.look.is_empty() || item.at_s.is_some() {
        return Err("a curve or a drawing is seen before the answer, and a package has words alone".to_owned());
    }
    let asked = item.ask(seed);
    let seen = asked.needed(&Response::Skipped)?.see()?;
    let (stem, kind) = match &item.kind {
        Kind::Numeric(numeric) => number_out(&asked, numeric, &seen)?,
        _ => (asked.stem.clone(), choice_out(&asked, &seen)?),
    };
    let (id, title, outcomes) = (item.id.clone(), item.topic.clone(), item.outcomes.clone());
    let made = ExchangeItem { id, title, stem, kind, outcomes }.tidied();
    made.check()?;
    Ok(made)
}

fn choice_out(asked: &Asked, seen: &[Seen]) -> Result<ExchangeKind, String> {
    let Kind::Choice(choice) = &asked.item.kind else { return Err("this is no choice".to_owned()) };
    let option = |(place, option): (usize, &crate::learning::quiz::choice::Alternative)| {
        let told = asked.grade(&Response::Choice(place), seen)?.told;
        let believed = option.misconception.as_ref().filter(|_| !option.right);
        let believed = believed.map_or_else(String::new, |belief| format!("{BELIEVED}{belief}."));
        Ok(ExchangeOption {
            id: format!("option_{}", place + 1),
            text: option.text.clone(),
            feedback: joined(&[believed, told]),
            right: option.right,
        })
    };
    Ok(ExchangeKind::Choice { options: choice.options.iter().enumerate().map(option).collect::<Result<_, String>>()? })
}

fn number_out(asked: &Asked, numeric: &Numeric, seen: &[Seen]) -> Result<(String, ExchangeKind), String> {
    let key = numeric.key.value(&asked.drawn, seen).ok_or("its right answer does not happen in the run")?;
    let tolerance = match numeric.tolerance {
        Tolerance::Share(share) => Width::Percent(rounded(100.0 * share, 12)),
        Tolerance::Amount(amount) => Width::Absolute(amount),
    };
    let explain = asked.text(&asked.item.explain, seen);
    let kind = ExchangeKind::Numeric {
        key,
        tolerance,
        unit: numeric.unit.symbol.to_owned(),
        wrong: joined(&[asked.solution(seen), explain.clone()]),
        right: explain,
    };
    let precision = number::shown(numeric.to, Some(numeric.to), numeric.unit);
    Ok((format!("{}\n\n{}{precision}.", asked.stem, asks_for(numeric.unit.symbol)), kind))
}

/// How an exported number is asked for, up to its precision; [`parted`] reads it back.
fn asks_for(unit: &str) -> String {
    let unit = if unit.is_empty() { "as a bare number".to_owned() } else { format!("in {unit}") };
    format!("Answer {unit}, to the nearest ")
}

/// A question, and the precision that its last paragraph asks for.
fn parted<'a>(stem: &'a str, unit: &str) -> (&'a str, Option<f64>) {
    let asks = asks_for(unit);
    let precision = |last: &str| Some(number::split(last.strip_prefix(&asks)?.strip_suffix('.')?)?.0);
    let found = stem.rsplit_once("\n\n").and_then(|(stem, last)| Some((stem, precision(last)?)));
    found.map_or((stem, None), |(stem, to)| (stem, Some(to)))
}

/// Items of another program as a quiz file.
#[derive(Debug, Clone, PartialEq)]
pub struct Taken {
    /// The file's text; empty when nothing was taken.
    pub text: String,
    /// Ids of the items in it.
    pub ids: Vec<String>,
    /// Every item that was not taken, and why.
    pub not_taken: Vec<Problem>,
}

/// What an imported file says of all its items.
#[derive(Debug, Clone, Copy)]
pub struct About<'a> {
    /// Its topic.
    pub topic: &'a str,
    /// Where the items come from, as their source and in messages.
    pub from: &'a str,
    /// Outcomes of items that name none.
    pub outcomes: &'a [usize],
}

/// Write items as a quiz file that is read here. Each is tried; one that would not be read is not taken.
pub fn take(items: &[ExchangeItem], about: About<'_>) -> Taken {
    let mut taken = Taken { text: String::new(), ids: Vec::new(), not_taken: Vec::new() };
    let mut tables = ArrayOfTables::new();
    let mut bytes = 0;
    for (place, item) in items.iter().enumerate() {
        let id = id_of(&item.id);
        let tried = match () {
            () if taken.ids.contains(&id) => Err(format!("another item becomes {} too", quoted(&id))),
            () if tables.len() == MOST_ITEMS => Err(format!("a file holds {MOST_ITEMS} items")),
            () => tried(item, &id, about).and_then(|(table, length)| match bytes + length > LARGEST_BYTES {
                true => Err(format!("a file holds {LARGEST_BYTES} bytes")),
                false => Ok((table, length)),
            }),
        };
        match tried {
            Ok((table, length)) => {
                bytes += length;
                tables.push(table);
                taken.ids.push(id);
            }
            Err(message) => taken.not_taken.push(Problem {
                file: about.from.to_owned(),
                line: place + 1,
                key: quoted(&item.id),
                message,
                mend: "it is not taken; change it where it comes from, or write it here".to_owned(),
            }),
        }
    }
    if !tables.is_empty() {
        taken.text = document(about.topic, tables).to_string();
    }
    taken
}

/// An id as the files here have it.
fn id_of(id: &str) -> String {
    let plain: String =
        id.to_ascii_lowercase().chars().map(|c| if c.is_ascii_alphanumeric() { c } else { '_' }).collect();
    if plain.starts_with(|c: char| c.is_ascii_lowercase()) {
        plain
    } else {
        format!("item_{}", plain.trim_matches('_'))
    }
}

/// The item as a table, and how long a file with it alone is; it has been read back.
fn tried(item: &ExchangeItem, id: &str, about: About<'_>) -> Result<(Table, usize), String> {
    let table = table(&item.tidied(), id, about)?;
    let mut alone = ArrayOfTables::new();
    alone.push(table.clone());
    let text = document(about.topic, alone).to_string();
    let length = text.len();
    let (_, problems) = file::read(&SourceFile { name: about.from.to_owned(), text }, &[]);
    match problems.first() {
        None => Ok((table, length)),
        Some(problem) => Err(problem.message.clone()),
    }
}

fn document(topic: &str, tables: ArrayOfTables) -> DocumentMut {
    let mut document = DocumentMut::new();
    document.insert("format_version", value(FORMAT_VERSION));
    document.insert("topic", value(topic));
    document.insert("item", Entry::ArrayOfTables(tables));
    document
}

fn table(item: &ExchangeItem, id: &str, about: About<'_>) -> Result<Table, String> {
    let outcomes = if item.outcomes.is_empty() { about.outcomes } else { &item.outcomes };
    if outcomes.is_empty() {
        return Err("it names no outcome, and none was given for such items".to_owned());
    }
    let numbers: Option<Array> = outcomes.iter().map(|number| i64::try_from(*number).ok()).collect();
    let numbers = numbers.ok_or("its outcomes are no numbers of this course")?;
    let mut table = Table::new();
    table.insert("id", value(id));
    let kind = if matches!(item.kind, ExchangeKind::Choice { .. }) { "choice" } else { "numeric" };
    table.insert("kind", value(kind));
    table.insert("outcomes", value(numbers));
    table.insert("source", value(format!("imported from {}", about.from)));
    match &item.kind {
        ExchangeKind::Choice { options } => {
            table.insert("stem", value(&item.stem));
            table.insert("options", value(options_in(options)));
        }
        ExchangeKind::Numeric { key, tolerance, unit, right, wrong } => {
            let (stem, to) = parted(&item.stem, unit);
            table.insert("stem", value(stem));
            table.insert("key", value(key.to_string()));
            table.insert("unit", value(unit));
            let (width, entry) = width(*tolerance, *key, unit)?;
            table.insert("tolerance", entry);
            table.insert("to", value(to.unwrap_or_else(|| 10_f64.powf(width.log10().floor()))));
            let explain = if right.is_empty() { wrong } else { right };
            table.insert("explain", value(if explain.is_empty() { with_unit(*key, unit) } else { explain.clone() }));
        }
    }
    Ok(table)
}

/// A tolerance in the item's unit, and as a file says it.
fn width(tolerance: Width, key: f64, unit: &str) -> Result<(f64, Entry), String> {
    let (width, entry) = match tolerance {
        // of an answer that is itself in percent the format takes a percentage for an amount
        Width::Percent(percent) if unit != "%" && percent <= MOST_PERCENT => {
            (percent / 100.0 * key.abs(), value(format!("{percent} %")))
        }
        Width::Percent(percent) => (percent / 100.0 * key.abs(), value(percent / 100.0 * key.abs())),
        Width::Absolute(amount) => (amount, value(amount)),
    };
    if width > 0.0 && width.is_finite() {
        return Ok((width, entry));
    }
    Err("only the exact number counts as right; give it a tolerance".to_owned())
}

fn options_in(options: &[ExchangeOption]) -> Array {
    let mut array = Array::new();
    for option in options {
        let mut table = InlineTable::new();
        table.insert("text", option.text.as_str().into());
        let believed = option.feedback.strip_prefix(BELIEVED).and_then(|rest| rest.split_once(". "));
        let (belief, answer) = match believed {
            Some((belief, answer)) if !option.right => (belief, answer),
            // where none is named the option itself is what is believed
            _ => (option.text.as_str(), option.feedback.as_str()),
        };
        if option.right {
            table.insert("right", true.into());
        } else {
            table.insert("misconception", belief.into());
        }
        let answer = if answer.is_empty() { SAID[usize::from(option.right)] } else { answer };
        table.insert("answer", answer.into());
        let mut entry = toml_edit::Value::InlineTable(table);
        entry.decor_mut().set_prefix("\n  ");
        array.push_formatted(entry);
    }
    array.set_trailing("\n");
    array.set_trailing_comma(true);
    array
}
