//! How hard a text is to read.
//!
//! Flesch–Kincaid grade (Kincaid et al. 1975, from memory): 0.39 words ÷ sentences + 11.8 syllables ÷ words − 15.59.
//! Grade 8 is what a reader of thirteen or fourteen follows.

use crate::learning::course::{Lesson, Piece};
use crate::learning::explain::Part;
use crate::learning::prediction::Prediction;
use crate::learning::prose::Block;

/// Sentences, words and syllables of a text.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Counts {
    /// Sentences.
    pub sentences: usize,
    /// Words.
    pub words: usize,
    /// Syllables.
    pub syllables: usize,
}

impl Counts {
    /// Of a text: a sentence ends at `.`, `!` or `?` before a space or the end, and at the end of the text.
    pub fn of(text: &str) -> Self {
        let mut counts = Self::default();
        let mut open = false;
        for token in text.split_whitespace() {
            let word = token.trim_matches(|c: char| !c.is_alphanumeric());
            for part in word.split(['-', '–', '—', '/']).filter(|part| part.contains(char::is_alphanumeric)) {
                counts.words += 1;
                counts.syllables += syllables(part);
                open = true;
            }
            if open && token.trim_end_matches(['"', '”', '’', ')', '*']).ends_with(['.', '!', '?']) {
                counts.sentences += 1;
                open = false;
            }
        }
        counts.sentences += usize::from(open);
        counts
    }

    /// Both texts one after the other.
    pub fn and(self, other: Self) -> Self {
        Self {
            sentences: self.sentences + other.sentences,
            words: self.words + other.words,
            syllables: self.syllables + other.syllables,
        }
    }

    /// Flesch–Kincaid grade; 0 for a text without words.
    pub fn grade(self) -> f64 {
        if self.words == 0 || self.sentences == 0 {
            return 0.0;
        }
        let words = self.words as f64;
        0.39 * words / self.sentences as f64 + 11.8 * self.syllables as f64 / words - 15.59
    }
}

/// Syllables of a word: its groups of vowels (a e i o u y); less one for a silent ending in e, es or ed; at least one.
/// A number has one for each digit, which is about how it is said. λ is *lambda*.
pub fn syllables(word: &str) -> usize {
    let word = word.to_lowercase().replace('λ', "lambda");
    let digits = word.chars().filter(char::is_ascii_digit).count();
    if digits > 0 {
        return digits;
    }
    let letters: Vec<char> = word.chars().filter(|c| c.is_alphabetic()).collect();
    let is_vowel = |c: char| "aeiouyéèü".contains(c);
    let groups = (0..letters.len()).filter(|&i| is_vowel(letters[i]) && (i == 0 || !is_vowel(letters[i - 1]))).count();
    groups.saturating_sub(usize::from(ends_silently(&letters, is_vowel))).max(1)
}

/// `-e` but not consonant + `-le`; `-es` but not after a hiss; `-ed` but not after d or t.
fn ends_silently(letters: &[char], is_vowel: impl Fn(char) -> bool) -> bool {
    let before = |back: usize| letters.len().checked_sub(back).map(|place| letters[place]);
    let is_consonant = |c: Option<char>| c.is_some_and(|c| !is_vowel(c));
    match (before(2), before(1)) {
        (Some('e'), Some('s')) => {
            is_consonant(before(3))
                && !matches!(before(3), Some('s' | 'x' | 'z' | 'h' | 'c' | 'g'))
                && !(before(3) == Some('l') && is_consonant(before(4)))
        }
        (Some('e'), Some('d')) => is_consonant(before(3)) && !matches!(before(3), Some('d' | 't')),
        (Some('l'), Some('e')) => !is_consonant(before(3)),
        (other, Some('e')) => is_consonant(other),
        _ => false,
    }
}

/// A word that stands for a number of a run when a text is measured.
pub const STAND_IN: &str = "300 ms";

/// What a reader reads of a lesson: prose without headings, cautions, questions, answers and explanations.
pub fn counts(lesson: &Lesson) -> Counts {
    lesson.pieces.iter().map(of_piece).fold(Counts::default(), Counts::and)
}

fn of_piece(piece: &Piece) -> Counts {
    match piece {
        Piece::Caution(text) => Counts::of(text),
        Piece::Prose(blocks) => {
            let read = blocks.iter().filter(|block| !matches!(block, Block::Heading(..)));
            read.map(|block| Counts::of(&block.text())).fold(Counts::default(), Counts::and)
        }
        Piece::Live(live) => {
            let explained: String = live.explain.iter().map(words).collect();
            let mut counts = Counts::of(live.prediction.ask()).and(Counts::of(&explained));
            if let Prediction::Choice { options, .. } = &live.prediction {
                for option in options {
                    counts = counts.and(Counts::of(&option.text)).and(Counts::of(&option.why));
                }
            }
            counts
        }
    }
}

fn words(part: &Part) -> &str {
    match part {
        Part::Words(words) => words,
        Part::Value { .. } => STAND_IN,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn syllables_are_counted_as_they_are_said() {
        let known = [
            ("air", 1),
            ("venturi", 3),
            ("barrels", 2),
            ("needle", 2),
            ("valve", 1),
            ("closed", 1),
            ("opened", 2),
            ("needed", 2),
            ("gases", 2),
            ("plates", 1),
            ("engine", 2),
            ("the", 1),
            ("pressure", 2),
            ("310", 3),
            ("λ", 2),
            ("people", 2),
            ("holes", 1),
            ("pull", 1),
        ];
        for (word, expected) in known {
            assert_eq!(syllables(word), expected, "{word}");
        }
    }

    #[test]
    fn a_sentence_ends_where_a_reader_stops() {
        let counts = Counts::of("The plate opens. Does 0.3 s matter? Yes");
        assert_eq!((counts.sentences, counts.words), (3, 8));
    }

    #[test]
    fn the_grade_is_the_published_formula() {
        let counts = Counts { sentences: 10, words: 150, syllables: 210 };
        assert!((counts.grade() - (0.39 * 15.0 + 11.8 * 1.4 - 15.59)).abs() < 1e-12);
        assert_eq!(Counts::default().grade(), 0.0);
    }
}
