//! What a text says that runs show, so that it can be checked.
//!
//! Times count from the moment the pedal begins to move, or from the moment the engine stops. Everything is SI unless a
//! unit stands behind the number. A figure that a run does not have makes every comparison false.

use crate::learning::figure::{Column, Figure, Measure};
use crate::learning::seen::Seen;
use crate::units::Quantity;

/// A statement with the words in which it was written.
#[derive(Debug, Clone)]
pub struct Claim {
    /// As written.
    pub text: String,
    /// Line of the lesson's file.
    pub line: usize,
    /// What it says.
    pub statement: Statement,
}

/// What is said.
#[derive(Debug, Clone)]
pub enum Statement {
    /// One value against another.
    Compare(Expression, Comparison, Expression),
    /// A value within bounds, both allowed.
    Between(Expression, Expression, Expression),
    /// It happens (true), or it never does (false).
    Happens(Expression, bool),
    /// A channel of a bench only rises (true) or only falls (false), but for a hundredth of its span.
    Trend(usize, Column, bool),
}

/// How two values are compared.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Comparison {
    /// `<`
    Less,
    /// `<=`
    AtMost,
    /// `>`
    More,
    /// `>=`
    AtLeast,
    /// `==`
    Same,
    /// `!=`
    Different,
}

/// A value made of figures and numbers.
#[derive(Debug, Clone)]
pub enum Expression {
    /// A number, SI.
    Number(f64),
    /// A figure of a bench, from 0.
    Figure(usize, Figure),
    /// Two values joined.
    Joined(Box<Expression>, Join, Box<Expression>),
}

/// How two values are joined; × and ÷ bind closer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Join {
    /// `+`
    Plus,
    /// `-`
    Minus,
    /// `*`
    Times,
    /// `/`
    Over,
}

impl PartialEq for Expression {
    fn eq(&self, other: &Self) -> bool {
        format!("{self:?}") == format!("{other:?}")
    }
}

/// What runs say to a claim.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Checked {
    /// Whether it holds.
    pub holds: bool,
    /// The values that decide it, in words: `38.2 ms against 197 ms`.
    pub because: String,
}

/// A trend may turn back by so much of its span: doors bounce, and grids are not endless.
const TREND_SLACK: f64 = 0.01;
/// Two numbers are the same within this share.
const SAME: f64 = 1e-9;

impl Comparison {
    /// Whether it holds.
    pub fn holds(self, left: f64, right: f64) -> bool {
        let same = (left - right).abs() <= SAME * left.abs().max(right.abs());
        match self {
            Self::Less => left < right,
            Self::AtMost => left <= right,
            Self::More => left > right,
            Self::AtLeast => left >= right,
            Self::Same => same,
            Self::Different => !same,
        }
    }
}

impl Expression {
    /// Its value from what the benches did; `None` if a figure of it did not happen.
    pub fn value(&self, seen: &[Seen]) -> Option<f64> {
        match self {
            Self::Number(number) => Some(*number),
            Self::Figure(bench, figure) => figure.value(seen.get(*bench)?),
            Self::Joined(left, join, right) => {
                let (left, right) = (left.value(seen)?, right.value(seen)?);
                let value = match join {
                    Join::Plus => left + right,
                    Join::Minus => left - right,
                    Join::Times => left * right,
                    Join::Over => left / right,
                };
                value.is_finite().then_some(value)
            }
        }
    }

    /// What it measures; `None` for bare numbers alone.
    pub fn measure(&self) -> Option<Measure> {
        match self {
            Self::Number(_) => None,
            Self::Figure(_, figure) => Some(figure.measure()),
            Self::Joined(left, Join::Plus, right) => left.measure().or(right.measure()),
            Self::Joined(left, Join::Minus, right) => match (left.measure(), right.measure()) {
                (Some(Measure::Quantity(Quantity::Temperature)), Some(_)) => {
                    Some(Measure::Quantity(Quantity::TemperatureDifference))
                }
                (left, right) => left.or(right),
            },
            Self::Joined(left, Join::Times, right) => match (left.measure(), right.measure()) {
                (Some(_), Some(_)) => Some(Measure::NUMBER),
                (left, right) => left.or(right),
            },
            Self::Joined(left, Join::Over, right) => match right.measure() {
                Some(_) => Some(Measure::NUMBER),
                None => left.measure(),
            },
        }
    }

    /// The first figure in it, which decides in which units its numbers are written.
    pub fn first_figure(&self) -> Option<Figure> {
        match self {
            Self::Number(_) => None,
            Self::Figure(_, figure) => Some(*figure),
            Self::Joined(left, _, right) => left.first_figure().or_else(|| right.first_figure()),
        }
    }

    /// Whether it needs the steady figures.
    pub fn needs_steady(&self) -> bool {
        match self {
            Self::Number(_) => false,
            Self::Figure(_, figure) => matches!(figure, Figure::Steady(_)),
            Self::Joined(left, _, right) => left.needs_steady() || right.needs_steady(),
        }
    }

    fn shown(&self, seen: &[Seen], measure: Option<Measure>) -> String {
        let measure = self.measure().or(measure).unwrap_or(Measure::NUMBER);
        self.value(seen).map_or_else(|| "did not happen".to_owned(), |value| measure.shown(value))
    }
}

impl Claim {
    /// The values that it speaks of.
    pub fn expressions(&self) -> Vec<&Expression> {
        match &self.statement {
            Statement::Compare(left, _, right) => vec![left, right],
            Statement::Between(value, low, high) => vec![value, low, high],
            Statement::Happens(value, _) => vec![value],
            Statement::Trend(..) => Vec::new(),
        }
    }

    /// What these runs of the benches say to it.
    pub fn check(&self, seen: &[Seen]) -> Checked {
        match &self.statement {
            Statement::Compare(left, comparison, right) => {
                let measure = left.measure().or(right.measure());
                let both = left.value(seen).zip(right.value(seen));
                Checked {
                    holds: both.is_some_and(|(left, right)| comparison.holds(left, right)),
                    because: format!("{} against {}", left.shown(seen, measure), right.shown(seen, measure)),
                }
            }
            Statement::Between(value, low, high) => {
                let bounds = low.value(seen).zip(high.value(seen));
                let inside = value.value(seen).zip(bounds).is_some_and(|(v, (low, high))| (low..=high).contains(&v));
                Checked { holds: inside, because: format!("it is {}", value.shown(seen, None)) }
            }
            Statement::Happens(value, expected) => {
                let happened = value.value(seen);
                Checked {
                    holds: happened.is_some() == *expected,
                    because: happened
                        .map_or_else(|| "it did not happen".into(), |_| format!("at {}", value.shown(seen, None))),
                }
            }
            Statement::Trend(bench, column, rises) => trend(seen.get(*bench), *column, *rises),
        }
    }
}

fn trend(seen: Option<&Seen>, column: Column, rises: bool) -> Checked {
    let values = seen.map_or_else(Vec::new, |seen| column.values(seen).0);
    let sign = if rises { 1.0 } else { -1.0 };
    let (mut furthest, mut back) = (f64::NEG_INFINITY, 0.0_f64);
    for value in values.iter().map(|value| sign * value) {
        furthest = furthest.max(value);
        back = back.max(furthest - value);
    }
    let (Some(first), Some(last)) = (values.first(), values.last()) else {
        return Checked { holds: false, because: "there is nothing to see".to_owned() };
    };
    let span = furthest - sign * first;
    let shown = |value: f64| Measure::Quantity(column.quantity()).shown(value);
    Checked {
        holds: span > 0.0 && sign * (last - first) > 0.0 && back <= TREND_SLACK * span,
        because: format!(
            "from {} to {}, back by {:.0} % of its span",
            shown(*first),
            shown(*last),
            100.0 * back / span
        ),
    }
}
