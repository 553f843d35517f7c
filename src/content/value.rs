//! One value of a file: a number with its unit, or a word.

use crate::content::problem::{instead, list, quoted};
use crate::settings::{Kind, Setting, Word};
use crate::units::{Quantity, Unit, UnitSystem, rounded, with_unit};

/// Why a value is refused, and how to mend it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Refusal {
    /// What is wrong.
    pub message: String,
    /// How to mend it.
    pub mend: String,
}

fn refusal(message: impl Into<String>, mend: impl Into<String>) -> Refusal {
    Refusal { message: message.into(), mend: mend.into() }
}

/// A value as a file gives it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Raw<'a> {
    /// A string.
    Text(&'a str),
    /// A number without a unit.
    Bare(f64),
    /// Something that no setting takes, by the name of its type.
    Other(&'a str),
}

/// The SI value, or the place in the list of words, that `raw` gives to `setting`.
///
/// # Errors
/// [`Refusal`] for a wrong type, unit, number, word or range.
pub fn read(setting: &Setting, raw: Raw<'_>) -> Result<f64, Refusal> {
    match setting.kind {
        Kind::Choice(words) => read_word(words, raw),
        Kind::Number { quantity, .. } => within_range(setting, read_number(setting, quantity, raw)?),
    }
}

fn read_word(words: &[Word], raw: Raw<'_>) -> Result<f64, Refusal> {
    let ids = words.iter().map(|word| word.id);
    let Raw::Text(text) = raw else {
        return Err(refusal(
            format!("{} is not one of its words", described(raw)),
            format!("write one of these words in quotes: {}", list(ids)),
        ));
    };
    match words.iter().position(|word| word.id == text) {
        Some(place) => Ok(place as f64),
        None => Err(refusal(format!("\"{}\" is not one of its words", quoted(text)), instead(text, ids))),
    }
}

/// A number with its unit, and how the writer spells that unit.
type Written<'a> = (f64, Unit, &'a str);

fn read_number<'a>(setting: &Setting, quantity: Quantity, raw: Raw<'a>) -> Result<Written<'a>, Refusal> {
    let bare_unit = quantity.unit(UnitSystem::Si);
    match raw {
        Raw::Bare(number) if bare_unit.symbol.is_empty() => finite(number).map(|number| (number, bare_unit, "")),
        Raw::Bare(number) => {
            finite(number)?;
            Err(refusal(format!("{number} has no unit"), how_to_write(setting, quantity)))
        }
        Raw::Text(text) => read_text(setting, quantity, text.trim()),
        Raw::Other(_) => {
            Err(refusal(format!("{} is not a number with its unit", described(raw)), how_to_write(setting, quantity)))
        }
    }
}

fn read_text<'a>(setting: &Setting, quantity: Quantity, text: &'a str) -> Result<Written<'a>, Refusal> {
    let split = text.find(|c: char| !matches!(c, '0'..='9' | '+' | '-' | '.' | ',' | 'e' | 'E')).unwrap_or(text.len());
    let (number, unit) = (&text[..split], text[split..].trim());
    if names_no_number(unit) {
        return Err(not_finite());
    }
    let Ok(value) = number.parse::<f64>() else {
        let mend = if number.contains(',') {
            "write the number with a point and without commas, such as 1640.5".to_owned()
        } else {
            how_to_write(setting, quantity)
        };
        return Err(refusal(format!("\"{}\" does not begin with a number", quoted(text)), mend));
    };
    let value = finite(value)?;
    match quantity.unit_named(unit) {
        Some(known) => Ok((value, known, unit)),
        None if unit.is_empty() => {
            Err(refusal(format!("\"{}\" has no unit", quoted(text)), how_to_write(setting, quantity)))
        }
        None => Err(refusal(format!("\"{}\" is not a unit for this", quoted(unit)), how_to_write(setting, quantity))),
    }
}

/// Whether the text begins with a word that programs write for a number that is none.
fn names_no_number(text: &str) -> bool {
    let word = text.split_whitespace().next().unwrap_or_default().to_ascii_lowercase();
    matches!(word.as_str(), "nan" | "inf" | "infinity")
}

fn finite(number: f64) -> Result<f64, Refusal> {
    if number.is_finite() { Ok(number) } else { Err(not_finite()) }
}

fn not_finite() -> Refusal {
    refusal("the number is not finite", "write an ordinary number")
}

fn described(raw: Raw<'_>) -> String {
    match raw {
        Raw::Text(text) => format!("\"{}\"", quoted(text)),
        Raw::Bare(number) => number.to_string(),
        Raw::Other(kind) => format!("a value of type {kind}"),
    }
}

fn how_to_write(setting: &Setting, quantity: Quantity) -> String {
    let example = written(setting, setting.default);
    let units = accepted_units(quantity);
    if units.is_empty() {
        format!("write a bare number such as {example}")
    } else {
        format!("write it such as {example}; accepted units: {units}")
    }
}

/// Units that are read for a quantity, with their plain-keyboard spellings.
pub fn accepted_units(quantity: Quantity) -> String {
    let mut symbols: Vec<&str> = Vec::new();
    for unit in quantity.units() {
        for symbol in std::iter::once(unit.symbol).chain(unit.also.iter().copied()) {
            if !symbol.is_empty() && !symbols.contains(&symbol) {
                symbols.push(symbol);
            }
        }
    }
    list(symbols)
}

fn within_range(setting: &Setting, (number, unit, spelling): Written<'_>) -> Result<f64, Refusal> {
    let value = setting.at_bound(unit.to_si(number));
    if setting.accepts(value) {
        return Ok(value);
    }
    let message = format!("{} is outside its range", with_unit(number, spelling));
    Err(refusal(message, format!("give {}", setting.range(unit, spelling))))
}

/// A stored value as a file writes it, in SI display units, quoted where it needs to be.
pub fn written(setting: &Setting, value: f64) -> String {
    match setting.kind {
        Kind::Choice(words) => format!("\"{}\"", words.get(value as usize).map_or("", |word| word.id)),
        Kind::Number { quantity, .. } => {
            let unit = quantity.unit(UnitSystem::Si);
            let number = with_unit(shortest(value, unit), unit.symbol);
            if unit.symbol.is_empty() { number } else { format!("\"{number}\"") }
        }
    }
}

/// The shortest number in `unit` that reads back as `si`, to a part in 10¹³.
fn shortest(si: f64, unit: Unit) -> f64 {
    let exact = unit.from_si(si);
    (0..17)
        .map(|figures| rounded(exact, figures))
        .find(|short| (unit.to_si(*short) - si).abs() <= 1e-13 * si.abs())
        .unwrap_or(exact)
}
