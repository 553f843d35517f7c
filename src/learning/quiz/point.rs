//! Point at a part of the drawing.

use crate::learning::quiz::asked::{self, Asked};
use crate::learning::quiz::item::Word;
use crate::learning::quiz::response::Graded;
use crate::learning::seen::Seen;

/// Parts of the section of the first bench, by the ids that the drawing gives them.
#[derive(Debug, Clone)]
pub struct Point {
    /// Any of these is right.
    pub parts: Vec<String>,
    /// Others that are worth a word.
    pub mistakes: Vec<(String, Word)>,
}

impl Point {
    pub(super) fn grade(&self, part: &str, asked: &Asked, seen: &[Seen]) -> Graded {
        let right = self.parts.iter().any(|accepted| accepted == part);
        let made = self.mistakes.iter().find(|(wrong, _)| wrong == part && !right);
        let word = asked::Word {
            told: made.map_or_else(String::new, |(_, word)| asked.text(&word.answer, seen)),
            misconception: made.map(|(_, word)| word.misconception.as_str()),
            says_it: false,
        };
        asked.graded(f64::from(u8::from(right)), right, word, seen)
    }
}
