//! Texts of an item, with values that are known only when it is asked or answered.

use crate::learning::claim::Expression;
use crate::learning::explain::{self, Part};
use crate::learning::seen::Seen;

/// A part of such a text.
#[derive(Debug, Clone, PartialEq)]
pub enum Piece {
    /// Words, or a number of the run.
    Part(Part),
    /// A drawn value, by its place.
    Drawn(usize),
    /// The right answer of a numeric item.
    Key,
}

/// A text of an item.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Text(pub Vec<Piece>);

/// What fills the gaps of a text beside the run.
#[derive(Debug, Clone, Copy, Default)]
pub struct Gaps<'a> {
    /// Drawn values as shown.
    pub drawn: &'a [String],
    /// The right answer as shown.
    pub key: Option<&'a str>,
}

impl Text {
    /// Words alone.
    pub fn plain(words: &str) -> Self {
        Self(vec![Piece::Part(Part::Words(words.to_owned()))])
    }

    /// Whether it says nothing.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// The text with its gaps filled; a value that there is not is told as missing.
    pub fn told(&self, gaps: Gaps<'_>, seen: &[Seen]) -> String {
        let missing = || explain::NOT_IN_RUN.to_owned();
        let one = |piece: &Piece| match piece {
            Piece::Part(part) => explain::told(std::slice::from_ref(part), seen),
            Piece::Drawn(place) => gaps.drawn.get(*place).cloned().unwrap_or_else(missing),
            Piece::Key => gaps.key.map_or_else(missing, str::to_owned),
        };
        self.0.iter().map(one).collect()
    }

    /// The values of the run in it.
    pub fn expressions(&self) -> impl Iterator<Item = &Expression> {
        self.0.iter().filter_map(|piece| match piece {
            Piece::Part(Part::Value { expression, .. }) => Some(expression),
            _ => None,
        })
    }

    /// Its words, with the same stand-in for every value: what a reading grade is measured on.
    pub fn with_stand_in(&self, stand_in: &str) -> String {
        let one = |piece: &Piece| match piece {
            Piece::Part(Part::Words(words)) => words.clone(),
            _ => stand_in.to_owned(),
        };
        self.0.iter().map(one).collect()
    }
}

/// Sentences that are there, with a space between.
pub fn joined(sentences: &[String]) -> String {
    let there: Vec<&str> = sentences.iter().map(|text| text.trim()).filter(|text| !text.is_empty()).collect();
    there.join(" ")
}
