//! Work out a number from drawn values.

use crate::learning::live::Bench;
use crate::learning::quiz::asked::{self, Asked};
use crate::learning::quiz::formula::Formula;
use crate::learning::quiz::item::Word;
use crate::learning::quiz::number;
use crate::learning::quiz::response::Graded;
use crate::learning::seen::Seen;
use crate::settings::grouped::Place;
use crate::units::{Quantity, Unit, rounded, with_unit};

/// A number to be worked out.
#[derive(Debug, Clone)]
pub struct Numeric {
    /// Values that are drawn.
    pub draws: Vec<Draw>,
    /// The right answer, in [`Self::unit`].
    pub key: Formula,
    /// What is measured.
    pub quantity: Quantity,
    /// Unit of the key, and of an answer without one.
    pub unit: Unit,
    /// How near counts as right.
    pub tolerance: Tolerance,
    /// The precision that is asked for, in [`Self::unit`].
    pub to: f64,
    /// Wrong ways that many go.
    pub slips: Vec<Slip>,
}

/// A value that is drawn.
#[derive(Debug, Clone)]
pub struct Draw {
    /// As formulas and texts name it.
    pub name: String,
    /// What it measures.
    pub quantity: Quantity,
    /// Unit in which it is drawn and shown.
    pub unit: Unit,
    /// Least value.
    pub from: f64,
    /// Distance between two values.
    pub step: f64,
    /// How many values there are; at least one.
    pub count: usize,
    /// Settings of benches that take it, with the bench from 0.
    pub sets: Vec<(usize, Place)>,
}

/// How near an answer must come.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Tolerance {
    /// A share of the right answer.
    Share(f64),
    /// An amount, in the item's unit.
    Amount(f64),
}

/// A wrong way that many go.
#[derive(Debug, Clone)]
pub struct Slip {
    /// What comes out, in the item's unit.
    pub key: Formula,
    /// What is said to it.
    pub word: Word,
    /// Line of the file.
    pub line: usize,
}

/// Rounding of the arithmetic, as a share of the answer.
const ROUNDING: f64 = 1e-9;
/// Figures of a drawn value after its first: cuts off the rounding of from + step × place.
const FIGURES: usize = 12;

impl Draw {
    /// One of its values, in its unit.
    pub fn value(&self, place: usize) -> f64 {
        rounded(self.from + self.step * place as f64, FIGURES)
    }
}

impl Tolerance {
    /// How far from this right answer is still right, in the item's unit.
    pub fn around(self, key: f64) -> f64 {
        match self {
            Self::Share(share) => share * key.abs(),
            Self::Amount(amount) => amount,
        }
    }
}

impl Numeric {
    /// The right answer and the slips.
    pub fn formulas(&self) -> impl Iterator<Item = &Formula> {
        std::iter::once(&self.key).chain(self.slips.iter().map(|slip| &slip.key))
    }

    /// How many sets of values can be drawn.
    pub fn combinations(&self) -> usize {
        self.draws.iter().fold(1, |product: usize, draw| product.saturating_mul(draw.count.max(1)))
    }

    /// A set of values, each in its unit.
    pub fn values(&self, combination: usize) -> Vec<f64> {
        let mut rest = combination;
        let value = |draw: &Draw| {
            let place = rest % draw.count.max(1);
            rest /= draw.count.max(1);
            draw.value(place)
        };
        self.draws.iter().map(value).collect()
    }

    /// The benches with drawn values; the check makes sure that every one is accepted.
    pub fn set(&self, benches: &[Bench], drawn: &[f64]) -> Vec<Bench> {
        let mut benches = benches.to_vec();
        for (draw, value) in self.draws.iter().zip(drawn) {
            for (bench, place) in &draw.sets {
                let Some(bench) = benches.get_mut(*bench) else { continue };
                let settings = bench.subject.settings_mut();
                let Some(setting) = settings.setting(*place) else { continue };
                // refused: the bench stays as it is, and the check has told so
                let _ = settings.set(*place, setting.at_bound(draw.unit.to_si(*value)));
            }
        }
        benches
    }

    /// Drawn values with their units.
    pub(super) fn shown(&self, drawn: &[f64]) -> Vec<String> {
        self.draws.iter().zip(drawn).map(|(draw, value)| with_unit(*value, draw.unit.symbol)).collect()
    }

    pub(super) fn how(&self) -> String {
        let to = number::shown(self.to, Some(self.to), self.unit);
        let within = match self.tolerance {
            Tolerance::Share(share) => format!("{} %", rounded(100.0 * share, 3)),
            Tolerance::Amount(amount) => with_unit(rounded(amount, 3), self.unit.symbol),
        };
        let also: Vec<&str> =
            self.quantity.units().iter().map(|unit| unit.symbol).filter(|symbol| *symbol != self.unit.symbol).collect();
        let also = if also.is_empty() { String::new() } else { format!(", or say the unit: {}", also.join(", ")) };
        let unit = if self.unit.symbol.is_empty() { "as a bare number" } else { self.unit.symbol };
        format!("Answer in {unit}, to the nearest {to}{also}. Within {within} counts as right.").replace("in as", "as")
    }

    pub(super) fn key_shown(&self, drawn: &[f64], seen: &[Seen]) -> Option<String> {
        self.key.value(drawn, seen).map(|key| number::shown(key, Some(self.to), self.unit))
    }

    /// Whether a number, in the item's unit, counts as right beside this right answer.
    pub fn accepts(&self, number: f64, key: f64) -> bool {
        (number - key).abs() <= self.tolerance.around(key) + ROUNDING * key.abs()
    }

    pub(super) fn grade(&self, typed: &str, asked: &Asked, seen: &[Seen]) -> Result<Graded, String> {
        let (si, unit) = number::read(typed, self.quantity, self.unit)?;
        let given = self.unit.from_si(si);
        let key = self.key.value(&asked.drawn, seen).ok_or("the right answer does not happen in this run")?;
        if self.accepts(given, key) {
            return Ok(asked.graded(1.0, true, asked::Word::default(), seen));
        }
        let slip = self.slip(given, &asked.drawn, seen);
        let word = match (slip, self.other_unit(unit.from_si(si), unit, key)) {
            (Some(slip), _) => asked::Word {
                told: asked.text(&slip.word.answer, seen),
                misconception: Some(&slip.word.misconception),
                says_it: false,
            },
            (None, Some(other)) => asked::Word {
                told: format!("That would be right in {}; you gave it in {}.", other.symbol, unit.symbol),
                misconception: Some("the unit was mixed up"),
                says_it: false,
            },
            (None, None) => asked::Word::default(),
        };
        Ok(asked.graded(0.0, false, word, seen))
    }

    /// The slip that comes out nearest to a number, if it comes out there within the tolerance.
    fn slip(&self, given: f64, drawn: &[f64], seen: &[Seen]) -> Option<&Slip> {
        let off = |slip: &Slip| {
            slip.key.value(drawn, seen).filter(|key| self.accepts(given, *key)).map(|k| (given - k).abs())
        };
        let near = self.slips.iter().filter_map(|slip| Some((off(slip)?, slip)));
        near.min_by(|a, b| a.0.total_cmp(&b.0)).map(|(_, slip)| slip)
    }

    /// The unit in which the number would have been right.
    fn other_unit(&self, number: f64, given: Unit, key: f64) -> Option<Unit> {
        let others = self.quantity.units().iter().copied().filter(|unit| unit.symbol != given.symbol);
        let right = |unit: &Unit| {
            let meant = self.unit.from_si(unit.to_si(number));
            self.accepts(meant, key)
        };
        others.into_iter().find(right)
    }
}
