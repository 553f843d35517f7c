//! Claims and placeholders as a lesson writes them.
//!
//! ```text
//! claim      = value ( < | <= | > | >= | == | != ) value
//!            | value between value and value
//!            | figure happens | figure never
//!            | BENCH.channel rises | BENCH.channel falls
//! value      = number [unit] | figure, joined by + - * / in the usual order
//! figure     = BENCH . name
//! name       = verdict | a finding | an event | a steady figure | channel.READING | channel@SECONDS | group.key
//! READING    = min | max | start | end | total
//! ```
//!
//! `BENCH` counts from 1. Words for `verdict` are clean < hesitates < bogs < dies. A number without a unit is SI; the
//! first figure of the claim says which units are understood. In an explanation a value stands in braces and may name
//! its unit: `{1.lean_s}`, `{2.lost_s / 1.lost_s in %}`.

use crate::bench::events::EventKind;
use crate::bench::findings::FINDINGS;
use crate::bench::trace::CHANNELS;
use crate::content::problem::quoted;
use crate::content::table::instead_of_many;
use crate::heat::events::EventKind as SoakEventKind;
use crate::heat::findings::FINDINGS as SOAK_FINDINGS;
use crate::heat::trace::CHANNELS as SOAK_CHANNELS;
use crate::learning::claim::{Comparison, Expression, Join, Statement};
use crate::learning::explain::Part;
use crate::learning::figure::{Column, Figure, Measure, Reading, STEADY, verdict_place};
use crate::learning::live::{Bench, Subject};
use crate::settings::Kind;
use crate::units::{Quantity, Unit, UnitSystem};

/// Longest claim or placeholder that is read, in characters.
const LONGEST: usize = 300;

/// What is wrong with a claim, and how to mend it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Misread {
    /// What is wrong.
    pub message: String,
    /// How to mend it.
    pub mend: String,
}

fn misread(message: impl Into<String>, mend: impl Into<String>) -> Misread {
    Misread { message: message.into(), mend: mend.into() }
}

const HOW: &str = "a claim reads 2.lost_s < 0.5 * 1.lost_s, or 1.lean_s between 0.1 and 0.3, or 1.stalls never";

/// A claim about these benches.
///
/// # Errors
/// [`Misread`] with a remedy.
pub fn claim(text: &str, benches: &[Bench]) -> Result<Statement, Misread> {
    let words = short(text)?;
    match words.as_slice() {
        [figure, word @ ("happens" | "never")] => {
            Ok(Statement::Happens(Expression::from(figure_named(figure, benches)?), *word == "happens"))
        }
        [channel, word @ ("rises" | "falls")] => {
            let (bench, name) = bench_of(channel, benches)?;
            let column = column(&benches[bench].subject, name).ok_or_else(|| no_channel(name, &benches[bench]))?;
            Ok(Statement::Trend(bench, column, *word == "rises"))
        }
        words => compared(words, benches),
    }
}

fn short(text: &str) -> Result<Vec<&str>, Misread> {
    if text.chars().count() > LONGEST {
        return Err(misread("this is too long", format!("say it in at most {LONGEST} characters")));
    }
    Ok(text.split_whitespace().collect())
}

fn compared(words: &[&str], benches: &[Bench]) -> Result<Statement, Misread> {
    let units = Units::of(words, benches);
    if let Some(between) = words.iter().position(|word| *word == "between") {
        let and = words.iter().position(|word| *word == "and").filter(|and| *and > between);
        let Some(and) = and else { return Err(misread("between has no and", HOW)) };
        let value = |words| expression(words, benches, units);
        return Ok(Statement::Between(
            value(&words[..between])?,
            value(&words[between + 1..and])?,
            value(&words[and + 1..])?,
        ));
    }
    let comparison = |word: &str| match word {
        "<" => Some(Comparison::Less),
        "<=" | "≤" => Some(Comparison::AtMost),
        ">" => Some(Comparison::More),
        ">=" | "≥" => Some(Comparison::AtLeast),
        "==" => Some(Comparison::Same),
        "!=" => Some(Comparison::Different),
        _ => None,
    };
    let Some((place, comparison)) = words.iter().enumerate().find_map(|(i, word)| Some((i, comparison(word)?))) else {
        return Err(misread("this claims nothing that can be checked", HOW));
    };
    let left = expression(&words[..place], benches, units)?;
    let right = expression(&words[place + 1..], benches, units)?;
    if left.measure().is_none() && right.measure().is_none() {
        return Err(misread("this names no figure of a run", HOW));
    }
    Ok(Statement::Compare(left, comparison, right))
}

/// Units in which the numbers of a claim are written: those of its first figure.
#[derive(Clone, Copy)]
struct Units(Option<Measure>);

impl Units {
    fn of(words: &[&str], benches: &[Bench]) -> Self {
        Self(words.iter().find_map(|word| figure_named(word, benches).ok()).map(|(_, figure)| figure.measure()))
    }

    fn quantity(self) -> Quantity {
        match self.0 {
            Some(Measure::Quantity(quantity)) => quantity,
            _ => Quantity::Number,
        }
    }
}

impl From<(usize, Figure)> for Expression {
    fn from((bench, figure): (usize, Figure)) -> Self {
        Self::Figure(bench, figure)
    }
}

/// Sums of products, from left to right.
fn expression(words: &[&str], benches: &[Bench], units: Units) -> Result<Expression, Misread> {
    let mut at = 0;
    let mut sum = product(words, &mut at, benches, units)?;
    while let Some(word) = words.get(at) {
        let join = match *word {
            "+" => Join::Plus,
            "-" | "−" => Join::Minus,
            other => return Err(misread(format!("\"{}\" does not belong here", quoted(other)), HOW)),
        };
        at += 1;
        let right = product(words, &mut at, benches, units)?;
        sum = Expression::Joined(Box::new(sum), join, Box::new(right));
    }
    Ok(sum)
}

fn product(words: &[&str], at: &mut usize, benches: &[Bench], units: Units) -> Result<Expression, Misread> {
    let mut product = factor(words, at, benches, units)?;
    while let Some(join) = words.get(*at).and_then(|word| match *word {
        "*" | "×" => Some(Join::Times),
        "/" | "÷" => Some(Join::Over),
        _ => None,
    }) {
        *at += 1;
        let right = factor(words, at, benches, units)?;
        product = Expression::Joined(Box::new(product), join, Box::new(right));
    }
    Ok(product)
}

fn factor(words: &[&str], at: &mut usize, benches: &[Bench], units: Units) -> Result<Expression, Misread> {
    let Some(word) = words.get(*at).copied() else {
        return Err(misread("a value is missing", HOW));
    };
    *at += 1;
    if let (Some(Measure::Verdict), Some(place)) = (units.0, verdict_place(word)) {
        return Ok(Expression::Number(place));
    }
    let Ok(number) = word.parse::<f64>() else {
        return Ok(Expression::from(figure_named(word, benches)?));
    };
    if !number.is_finite() {
        return Err(misread("the number is not finite", "write an ordinary number"));
    }
    let unit = words.get(*at).and_then(|word| units.quantity().unit_named(word).filter(|unit| !unit.symbol.is_empty()));
    if let Some(unit) = unit {
        *at += 1;
        return Ok(Expression::Number(unit.to_si(number)));
    }
    Ok(Expression::Number(number))
}

fn bench_of<'w>(word: &'w str, benches: &[Bench]) -> Result<(usize, &'w str), Misread> {
    let how = "write the bench and the name, such as 1.lean_s";
    let Some((bench, name)) = word.split_once('.') else {
        return Err(misread(format!("\"{}\" is neither a number nor a figure", quoted(word)), how));
    };
    match bench.parse::<usize>() {
        Ok(number) if (1..=benches.len()).contains(&number) => Ok((number - 1, name)),
        Ok(number) => Err(misread(
            format!("there is no bench {number}"),
            format!("this block has benches 1 to {}", benches.len()),
        )),
        Err(_) => Err(misread(format!("\"{}\" does not begin with a bench", quoted(word)), how)),
    }
}

/// A figure behind its bench, such as `1.lean_s`: the bench from 0.
///
/// # Errors
/// [`Misread`] with a remedy.
pub(super) fn figure_named(word: &str, benches: &[Bench]) -> Result<(usize, Figure), Misread> {
    let (bench, name) = bench_of(word, benches)?;
    figure(&benches[bench].subject, name).map(|figure| (bench, figure)).ok_or_else(|| {
        let known = names(&benches[bench].subject);
        let mend = instead_of_many(
            name,
            known.iter().map(String::as_str),
            "name a finding, an event, a channel with .min .max .start .end .total or @SECONDS, or a setting",
        );
        misread(format!("a run has no figure \"{}\"", quoted(name)), mend)
    })
}

fn figure(subject: &Subject, name: &str) -> Option<Figure> {
    plain_figure(subject, name).or_else(|| channel_figure(subject, name)).or_else(|| setting_figure(subject, name))
}

fn plain_figure(subject: &Subject, name: &str) -> Option<Figure> {
    match subject {
        Subject::Stab(_) if name == "verdict" => Some(Figure::Verdict),
        Subject::Stab(_) => FINDINGS
            .iter()
            .find(|finding| finding.id == name)
            .map(Figure::Finding)
            .or_else(|| STEADY.iter().find(|steady| steady.id == name).map(Figure::Steady))
            .or_else(|| EventKind::ALL.iter().find(|kind| kind.id() == name).map(|kind| Figure::Event(*kind))),
        Subject::Soak(_) => {
            SOAK_FINDINGS.iter().find(|finding| finding.id == name).map(Figure::SoakFinding).or_else(|| {
                SoakEventKind::ALL.iter().find(|kind| kind.id() == name).map(|kind| Figure::SoakEvent(*kind))
            })
        }
    }
}

/// The channel of a subject with this id.
pub fn column(subject: &Subject, id: &str) -> Option<Column> {
    match subject {
        Subject::Stab(scenario) => {
            let own = scenario.family().channels();
            let common = CHANNELS.iter().find(|channel| channel.id == id).map(Column::Common);
            common.or_else(|| own.iter().enumerate().find(|(_, own)| own.id == id).map(|(i, own)| Column::Own(own, i)))
        }
        Subject::Soak(_) => SOAK_CHANNELS.iter().find(|channel| channel.id == id).map(Column::Soak),
    }
}

/// Every channel id of a subject.
pub fn columns(subject: &Subject) -> Vec<&'static str> {
    match subject {
        Subject::Stab(scenario) => {
            let own = scenario.family().channels().iter().map(|own| own.id);
            CHANNELS.iter().map(|channel| channel.id).chain(own).collect()
        }
        Subject::Soak(_) => SOAK_CHANNELS.iter().map(|channel| channel.id).collect(),
    }
}

fn no_channel(name: &str, bench: &Bench) -> Misread {
    let mend = instead_of_many(name, columns(&bench.subject), "name a column of the trace");
    misread(format!("there is no channel \"{}\"", quoted(name)), mend)
}

fn channel_figure(subject: &Subject, name: &str) -> Option<Figure> {
    if let Some((id, time)) = name.split_once('@') {
        let time: f64 = time.parse().ok().filter(|time: &f64| time.is_finite() && *time >= 0.0)?;
        return Some(Figure::Channel(column(subject, id)?, Reading::At(time)));
    }
    let (id, reading) = name.rsplit_once('.')?;
    let reading = match reading {
        "min" => Reading::Least,
        "max" => Reading::Most,
        "start" => Reading::Start,
        "end" => Reading::End,
        "total" => Reading::Total,
        _ => return None,
    };
    Some(Figure::Channel(column(subject, id)?, reading))
}

fn setting_figure(subject: &Subject, name: &str) -> Option<Figure> {
    let (group, key) = name.split_once('.')?;
    let place = subject.settings().place(group, key)?;
    match subject.settings().setting(place)?.kind {
        Kind::Number { quantity, .. } => Some(Figure::Setting(quantity, place)),
        Kind::Choice(_) => None,
    }
}

fn names(subject: &Subject) -> Vec<String> {
    let plain: Vec<&str> = match subject {
        Subject::Stab(_) => std::iter::once("verdict")
            .chain(FINDINGS.iter().map(|finding| finding.id))
            .chain(STEADY.iter().map(|steady| steady.id))
            .chain(EventKind::ALL.iter().map(|kind| kind.id()))
            .collect(),
        Subject::Soak(_) => {
            let findings = SOAK_FINDINGS.iter().map(|finding| finding.id);
            findings.chain(SoakEventKind::ALL.iter().map(|kind| kind.id())).collect()
        }
    };
    let readings = |id: &str| ["min", "max", "start", "end", "total"].map(|reading| format!("{id}.{reading}"));
    let channels = columns(subject).into_iter().flat_map(readings);
    plain.into_iter().map(str::to_owned).chain(channels).chain(subject.keys()).collect()
}

/// An explanation taken apart.
///
/// # Errors
/// The first placeholder that cannot be read.
pub fn explanation(text: &str, benches: &[Bench]) -> Result<Vec<Part>, Misread> {
    let mut parts = Vec::new();
    let mut rest = text;
    while let Some(open) = rest.find('{') {
        let Some(length) = rest[open..].find('}') else {
            return Err(misread("a { is not closed", "close it with }"));
        };
        if open > 0 {
            parts.push(Part::Words(rest[..open].to_owned()));
        }
        parts.push(placeholder(&rest[open + 1..open + length], benches)?);
        rest = &rest[open + length + 1..];
    }
    if !rest.is_empty() {
        parts.push(Part::Words(rest.to_owned()));
    }
    Ok(parts)
}

fn placeholder(text: &str, benches: &[Bench]) -> Result<Part, Misread> {
    let (value, unit) = text.rsplit_once(" in ").map_or((text, None), |(value, unit)| (value, Some(unit.trim())));
    let words = short(value)?;
    let expression = expression(&words, benches, Units::of(&words, benches))?;
    let quantity = match expression.measure() {
        Some(Measure::Quantity(quantity)) => quantity,
        Some(Measure::Verdict) => return Ok(Part::Value { expression, unit: None }),
        None => return Err(misread("this names no figure of a run", "write such as {1.lean_s}")),
    };
    let unit = unit.map(|unit| unit_for(quantity, unit)).transpose()?;
    Ok(Part::Value { expression, unit })
}

fn unit_for(quantity: Quantity, unit: &str) -> Result<Unit, Misread> {
    // a ratio may be shown as a share
    let share = (quantity == Quantity::Number && unit == "%").then(|| Quantity::Fraction.unit(UnitSystem::Si));
    share.or_else(|| quantity.unit_named(unit)).ok_or_else(|| {
        let known: Vec<_> = quantity.units().iter().map(|unit| unit.symbol).collect();
        misread(format!("\"{}\" is not a unit for this", quoted(unit)), format!("known: {}", known.join(", ")))
    })
}
