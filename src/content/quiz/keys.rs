//! Pieces that items of several kinds have: tables in a list, texts with gaps, amounts, words for a wrong answer.

use crate::content::claim_text::{self, Misread};
use crate::content::live_block::Reader;
use crate::content::problem::quoted;
use crate::content::table::{Lined, joined};
use crate::learning::live::Bench;
use crate::learning::quiz::item::Word;
use crate::learning::quiz::number;
use crate::learning::quiz::numeric::Draw;
use crate::learning::quiz::text::{Piece, Text};
use crate::units::{Quantity, Unit};
use toml_edit::{Item, TableLike};

/// Most tables of a list in an item: some of them are run.
const MOST_TABLES: usize = 20;

/// Reads one item.
pub(super) struct ItemReader<'t, 'a, 'n> {
    pub table: &'t dyn TableLike,
    pub line: usize,
    pub draws: Vec<Draw>,
    pub reader: Reader<'a, 'n>,
}

/// A text with gaps. Without benches it may not speak of a run.
pub(super) fn parsed(text: &str, draws: &[Draw], benches: Option<&[Bench]>) -> Result<Text, Misread> {
    let mut pieces = Vec::new();
    let mut rest = text;
    let words = |words: &str| Text::plain(words).0;
    while let Some(open) = rest.find('{') {
        let Some(length) = rest[open..].find('}') else {
            return Err(Misread { message: "a { is not closed".to_owned(), mend: "close it with }".to_owned() });
        };
        if open > 0 {
            pieces.extend(words(&rest[..open]));
        }
        pieces.extend(gap(&rest[open..=open + length], draws, benches)?);
        rest = &rest[open + length + 1..];
    }
    if !rest.is_empty() {
        pieces.extend(words(rest));
    }
    Ok(Text(pieces))
}

fn gap(braced: &str, draws: &[Draw], benches: Option<&[Bench]>) -> Result<Vec<Piece>, Misread> {
    let name = braced.trim_matches(['{', '}']).trim();
    if let Some(place) = draws.iter().position(|draw| draw.name == name) {
        return Ok(vec![Piece::Drawn(place)]);
    }
    match benches {
        Some(_) if name == "key" && !draws.is_empty() => Ok(vec![Piece::Key]),
        Some(benches) if !benches.is_empty() => {
            Ok(claim_text::explanation(braced, benches)?.into_iter().map(Piece::Part).collect())
        }
        _ => {
            let drawn: Vec<&str> = draws.iter().map(|draw| draw.name.as_str()).collect();
            let mend = match (benches, drawn.is_empty()) {
                (None, true) => "the question tells no value of the run; take the braces out".to_owned(),
                (_, true) => "add scenario = \"01_bare_link\", or take the braces out".to_owned(),
                (_, false) => format!("known here: {}", drawn.join(", ")),
            };
            Err(Misread { message: format!("nothing fills \"{}\"", quoted(braced)), mend })
        }
    }
}

impl<'t> ItemReader<'t, '_, '_> {
    /// Note a problem of a key of the item.
    pub fn note(&mut self, line: usize, key: &str, message: impl Into<String>, mend: impl Into<String>) {
        self.reader.notes.note(line, joined("item", key), message, mend);
    }

    /// A text of the item that must be there.
    pub fn needed(&mut self, name: &str, example: &str) -> String {
        self.reader.notes.needed(self.table, ("item", name), self.line, example).text
    }

    /// The tables of a list of the item.
    pub fn tables(&mut self, name: &str, example: &str) -> Vec<Lined<'t>> {
        let mut tables = self.reader.notes.tables(self.table, ("item", name), example);
        if let Some((_, line)) = tables.get(MOST_TABLES) {
            self.note(*line, name, "the list is too long", format!("leave at most {MOST_TABLES}"));
            tables.truncate(MOST_TABLES);
        }
        tables
    }

    /// Line of a key of the item; the item's own where it is missing.
    pub fn line_of(&self, name: &str) -> usize {
        self.table.get_key_value(name).map_or(self.line, |(key, item)| self.reader.notes.line(key, item))
    }

    /// A text with gaps that must be there.
    pub fn text(
        &mut self,
        table: &dyn TableLike,
        (prefix, name): (&str, &str),
        line: usize,
        benches: &[Bench],
    ) -> Text {
        let example = format!("{name} = \"what is so\"");
        let written = self.reader.notes.needed(table, (prefix, name), line, &example);
        match parsed(&written.text, &self.draws, Some(benches)) {
            Ok(text) => text,
            Err(wrong) => {
                self.reader.notes.note(written.line, joined(prefix, name), wrong.message, wrong.mend);
                Text::default()
            }
        }
    }

    /// What is said to a wrong answer: `misconception` and `answer`.
    pub fn word(&mut self, (table, line): Lined<'_>, prefix: &str, benches: &[Bench]) -> Word {
        let example = "misconception = \"the belief behind it\"";
        let misconception = self.reader.notes.needed(table, (prefix, "misconception"), line, example).text;
        Word { misconception, answer: self.text(table, (prefix, "answer"), line, benches) }
    }

    /// A time, s, if the key is there.
    pub fn time(&mut self, name: &str) -> Option<f64> {
        let (key, item) = self.table.get_key_value(name)?;
        let line = self.reader.notes.line(key, item);
        let seconds = Quantity::Duration.units()[0];
        let read = |text: &str| {
            let short = number::read(text, Quantity::Duration, seconds);
            short.or_else(|_| number::read(text, Quantity::LongTime, seconds)).ok().map(|(si, _)| si)
        };
        let time = item.as_str().and_then(read).or_else(|| plain(item)).filter(|time| *time >= 0.0);
        if time.is_none() {
            self.note(line, name, "this is not a time", "write such as \"0.3 s\" or \"20 ms\"");
        }
        time
    }

    /// An amount of a quantity, in `unit`: how large a difference is, not a place on a scale. A bare number is one of
    /// `unit`.
    pub fn amount(&mut self, (table, line): Lined<'_>, key: &str, name: &str, of: (Quantity, Unit)) -> Option<f64> {
        let (quantity, unit) = of;
        let item = table.get(name)?;
        if let Some(number) = plain(item) {
            return Some(number);
        }
        let read = item.as_str().and_then(number::split);
        let from = |symbol: &str| if symbol.is_empty() { Some(unit) } else { quantity.unit_named(symbol) };
        let amount = read.and_then(|(value, symbol)| Some(number::difference(value, from(symbol)?, unit)));
        if amount.is_none() {
            let known: Vec<&str> = quantity.units().iter().map(|unit| unit.symbol).filter(|s| !s.is_empty()).collect();
            let mend = match known.is_empty() {
                true => "write a bare number".to_owned(),
                false => format!("write a number with one of these units: {}", known.join(", ")),
            };
            self.note(line, key, "this is not an amount", mend);
        }
        amount.filter(|amount| amount.is_finite())
    }
}

/// A number without quotes.
pub(super) fn plain(item: &Item) -> Option<f64> {
    let number = item.as_float().or_else(|| item.as_integer().map(|whole| whole as f64));
    number.filter(|number| number.is_finite())
}
