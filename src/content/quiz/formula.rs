//! Formulas of numeric items as text.
//!
//! ```text
//! sum     = product { (+ | -) product }
//! product = power { (* | /) power }
//! power   = factor [ ^ power ]
//! factor  = - factor | ( sum ) | sqrt ( sum ) | pi | number | name [ "[" unit "]" ]
//! name    = a drawn value | BENCH.figure
//! ```

use crate::content::claim_text::{Misread, figure_named};
use crate::content::problem::{instead, quoted};
use crate::learning::claim::Join;
use crate::learning::figure::Measure;
use crate::learning::live::Bench;
use crate::learning::quiz::formula::Formula;
use crate::learning::quiz::numeric::Draw;
use crate::units::{Quantity, Unit, UnitSystem};

/// Longest formula that is read, in characters.
const LONGEST: usize = 300;
/// Deepest nesting that is read.
const DEEPEST: usize = 30;
/// Signs that stand by themselves.
const SIGNS: &str = "+-*/^()";
/// Names that are no drawn value.
pub(super) const TAKEN: [&str; 3] = ["pi", "sqrt", "key"];

const HOW: &str = "write such as displacement * speed / 3456, or 1.lost_s[ms] / 2";

fn misread<T>(message: impl Into<String>, mend: impl Into<String>) -> Result<T, Misread> {
    Err(Misread { message: message.into(), mend: mend.into() })
}

/// A formula over drawn values and figures of the benches.
///
/// # Errors
/// [`Misread`] with a remedy.
pub(super) fn parse(text: &str, draws: &[Draw], benches: &[Bench]) -> Result<Formula, Misread> {
    if text.chars().count() > LONGEST {
        return misread("the formula is too long", format!("say it in at most {LONGEST} characters"));
    }
    let text = text.replace('−', "-").replace('×', "*").replace('÷', "/");
    let words = words(&text)?;
    let mut parser = Parser { words: &words, at: 0, draws, benches };
    let formula = parser.sum(0)?;
    match parser.words.get(parser.at) {
        None => Ok(formula),
        Some(word) => misread(format!("\"{}\" does not belong here", quoted(word)), HOW),
    }
}

/// Signs, and the words between them; a bracket belongs to its word.
fn words(text: &str) -> Result<Vec<&str>, Misread> {
    let mut words = Vec::new();
    let mut rest = text.trim_start();
    while let Some(first) = rest.chars().next() {
        let length = if SIGNS.contains(first) {
            1
        } else {
            let end = rest.find(|c: char| c.is_whitespace() || SIGNS.contains(c) || c == '[').unwrap_or(rest.len());
            match rest.get(end..).and_then(|after| after.strip_prefix('[')) {
                None => end,
                Some(unit) => match unit.find(']') {
                    Some(length) => end + length + 2,
                    None => return misread("a [ is not closed", "close it with ]"),
                },
            }
        };
        let (word, after) = rest.split_at(length);
        words.push(word);
        rest = after.trim_start();
    }
    Ok(words)
}

struct Parser<'a> {
    words: &'a [&'a str],
    at: usize,
    draws: &'a [Draw],
    benches: &'a [Bench],
}

impl Parser<'_> {
    fn takes(&mut self, sign: &str) -> bool {
        let found = self.words.get(self.at) == Some(&sign);
        self.at += usize::from(found);
        found
    }

    fn sum(&mut self, depth: usize) -> Result<Formula, Misread> {
        if depth > DEEPEST {
            return misread("the formula is nested too deeply", "make it simpler");
        }
        let mut left = self.product(depth)?;
        loop {
            let join = match () {
                () if self.takes("+") => Join::Plus,
                () if self.takes("-") => Join::Minus,
                () => return Ok(left),
            };
            left = Formula::Joined(Box::new(left), join, Box::new(self.product(depth)?));
        }
    }

    fn product(&mut self, depth: usize) -> Result<Formula, Misread> {
        let mut left = self.power(depth)?;
        loop {
            let join = match () {
                () if self.takes("*") => Join::Times,
                () if self.takes("/") => Join::Over,
                () => return Ok(left),
            };
            left = Formula::Joined(Box::new(left), join, Box::new(self.power(depth)?));
        }
    }

    fn power(&mut self, depth: usize) -> Result<Formula, Misread> {
        if depth > DEEPEST {
            return misread("the formula is nested too deeply", "make it simpler");
        }
        let base = self.factor(depth)?;
        if self.takes("^") {
            return Ok(Formula::Power(Box::new(base), Box::new(self.power(depth + 1)?)));
        }
        Ok(base)
    }

    fn factor(&mut self, depth: usize) -> Result<Formula, Misread> {
        if depth > DEEPEST {
            return misread("the formula is nested too deeply", "make it simpler");
        }
        if self.takes("-") {
            let of = Box::new(self.factor(depth + 1)?);
            return Ok(Formula::Joined(Box::new(Formula::Number(0.0)), Join::Minus, of));
        }
        let is_root = self.takes("sqrt");
        if self.takes("(") {
            let inner = self.sum(depth + 1)?;
            if !self.takes(")") {
                return misread("a ( is not closed", "close it with )");
            }
            return Ok(if is_root { Formula::Root(Box::new(inner)) } else { inner });
        }
        if is_root {
            return misread("sqrt has no brackets", "write sqrt( )");
        }
        let Some(word) = self.words.get(self.at).copied().filter(|word| !SIGNS.contains(word)) else {
            return misread("a value is missing", HOW);
        };
        self.at += 1;
        self.value(word)
    }

    fn value(&self, word: &str) -> Result<Formula, Misread> {
        let (name, unit) = match word.strip_suffix(']').and_then(|word| word.split_once('[')) {
            Some((name, unit)) => (name, Some(unit.trim())),
            None => (word, None),
        };
        if name == "pi" && unit.is_none() {
            return Ok(Formula::Number(std::f64::consts::PI));
        }
        if let Some(place) = self.draws.iter().position(|draw| draw.name == name) {
            let draw = &self.draws[place];
            let to = unit.map(|unit| unit_for(draw.quantity, unit)).transpose()?;
            return Ok(Formula::Drawn(place, to.map(|to| (draw.unit, to))));
        }
        let looks_like_number = name.starts_with(|c: char| c.is_ascii_digit() || c == '.');
        if let (true, None, Ok(number)) = (looks_like_number, unit, name.parse::<f64>()) {
            return if number.is_finite() {
                Ok(Formula::Number(number))
            } else {
                misread("a number is not finite", HOW)
            };
        }
        if !looks_like_number || !name.contains('.') || self.benches.is_empty() {
            let known: Vec<&str> = self.draws.iter().map(|draw| draw.name.as_str()).chain(["pi", "sqrt"]).collect();
            return misread(
                format!("\"{}\" is neither a number nor a drawn value", quoted(name)),
                instead(name, known),
            );
        }
        let (bench, figure) = figure_named(name, self.benches)?;
        let Measure::Quantity(quantity) = figure.measure() else {
            return misread("a verdict is no number", "take a figure that is one, such as 1.lost_s[ms]");
        };
        let unit = unit_for(quantity, unit.unwrap_or_default())?;
        Ok(Formula::Figure(bench, figure, unit))
    }
}

fn unit_for(quantity: Quantity, name: &str) -> Result<Unit, Misread> {
    let bare = quantity.unit(UnitSystem::Si);
    match quantity.unit_named(name) {
        Some(unit) => Ok(unit),
        None if name.is_empty() => {
            let mend = format!("write it in brackets behind the figure, such as [{}]", bare.symbol);
            misread("a figure does not say its unit", mend)
        }
        None => {
            let known: Vec<&str> = quantity.units().iter().map(|unit| unit.symbol).collect();
            misread(format!("\"{}\" is not a unit for this", quoted(name)), format!("known: {}", known.join(", ")))
        }
    }
}
