//! Text with the numbers of a run in it.

use crate::learning::claim::Expression;
use crate::learning::figure::Measure;
use crate::learning::seen::Seen;
use crate::units::{Unit, significant};

/// A part of such a text.
#[derive(Debug, Clone, PartialEq)]
pub enum Part {
    /// Words as they stand.
    Words(String),
    /// A number of the run.
    Value {
        /// Which.
        expression: Expression,
        /// In which unit; `None`: in the one in which it is shown everywhere.
        unit: Option<Unit>,
    },
}

/// What stands for a number that a run does not have.
pub const NOT_IN_RUN: &str = "(not in this run)";

/// The text for runs of the benches.
pub fn told(parts: &[Part], seen: &[Seen]) -> String {
    parts.iter().map(|part| one(part, seen)).collect()
}

fn one(part: &Part, seen: &[Seen]) -> String {
    match part {
        Part::Words(words) => words.clone(),
        Part::Value { expression, unit } => {
            let Some(value) = expression.value(seen) else { return NOT_IN_RUN.to_owned() };
            match unit {
                Some(unit) => {
                    let gap = if unit.symbol == "°" || unit.symbol.is_empty() { "" } else { " " };
                    format!("{}{gap}{}", significant(unit.from_si(value), 3), unit.symbol)
                }
                None => expression.measure().unwrap_or(Measure::NUMBER).shown(value),
            }
        }
    }
}
