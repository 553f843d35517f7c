//! The right answer of a numeric item, worked from drawn values and figures of a run.

use crate::learning::claim::Join;
use crate::learning::figure::Figure;
use crate::learning::seen::Seen;
use crate::units::Unit;

/// A formula. Its numbers are plain; a drawn value and a figure count in the unit that stands with them.
#[derive(Debug, Clone)]
pub enum Formula {
    /// A number.
    Number(f64),
    /// A drawn value, by its place; with another unit: from the one in which it is drawn.
    Drawn(usize, Option<(Unit, Unit)>),
    /// A figure of a bench, from 0, in a unit.
    Figure(usize, Figure, Unit),
    /// Two values joined.
    Joined(Box<Formula>, Join, Box<Formula>),
    /// A power.
    Power(Box<Formula>, Box<Formula>),
    /// A square root.
    Root(Box<Formula>),
}

impl Formula {
    /// Its value; `None` if a figure did not happen or the value is not finite.
    pub fn value(&self, drawn: &[f64], seen: &[Seen]) -> Option<f64> {
        let value = match self {
            Self::Number(number) => *number,
            Self::Drawn(place, None) => *drawn.get(*place)?,
            Self::Drawn(place, Some((from, to))) => to.from_si(from.to_si(*drawn.get(*place)?)),
            Self::Figure(bench, figure, unit) => unit.from_si(figure.value(seen.get(*bench)?)?),
            Self::Joined(left, join, right) => {
                let (left, right) = (left.value(drawn, seen)?, right.value(drawn, seen)?);
                match join {
                    Join::Plus => left + right,
                    Join::Minus => left - right,
                    Join::Times => left * right,
                    Join::Over => left / right,
                }
            }
            Self::Power(base, power) => base.value(drawn, seen)?.powf(power.value(drawn, seen)?),
            Self::Root(of) => of.value(drawn, seen)?.sqrt(),
        };
        value.is_finite().then_some(value)
    }

    /// Its figures of a run.
    pub fn figures(&self) -> Vec<Figure> {
        match self {
            Self::Number(_) | Self::Drawn(..) => Vec::new(),
            Self::Figure(_, figure, _) => vec![*figure],
            Self::Root(of) => of.figures(),
            Self::Joined(left, _, right) | Self::Power(left, right) => {
                let mut figures = left.figures();
                figures.extend(right.figures());
                figures
            }
        }
    }
}
