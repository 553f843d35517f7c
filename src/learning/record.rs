//! What is kept of a learner: one answer after the other, under a code that says nothing about who it is.

use serde::{Deserialize, Serialize};

/// Characters of a code: no vowels, so that no words arise, and nothing that is mistaken for another character.
const ALPHABET: &[u8; 27] = b"23456789bcdfghjkmnpqrstvwxz";

/// Characters in a code: 27⁶ = 387 million codes, so that a class hardly ever draws one twice.
const LENGTH: usize = 6;

/// Longest id of an item, in characters.
const LONGEST_ID: usize = 200;

/// Longest answer that is kept, in characters.
const LONGEST_ANSWER: usize = 2_000;

/// The last second of the year 9999, which is as far as a date of four figures goes.
const LAST_S: i64 = 253_402_300_799;

/// A learner, without a name.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct LearnerCode(String);

impl LearnerCode {
    /// A code from random bytes; every code is equally likely.
    ///
    /// # Errors
    /// Those of the source of bytes.
    pub fn drawn<E>(mut byte: impl FnMut() -> Result<u8, E>) -> Result<Self, E> {
        // bytes above the last whole multiple would favour the first characters
        let count = ALPHABET.len() as u8;
        let even = u8::MAX - u8::MAX % count;
        let mut code = String::with_capacity(LENGTH);
        while code.len() < LENGTH {
            let drawn = byte()?;
            if drawn < even {
                code.push(char::from(ALPHABET[usize::from(drawn % count)]));
            }
        }
        Ok(Self(code))
    }

    /// A code as somebody typed it; capitals and spaces around it do no harm.
    pub fn parse(text: &str) -> Option<Self> {
        let code = text.trim().to_ascii_lowercase();
        let known = code.len() == LENGTH && code.bytes().all(|byte| ALPHABET.contains(&byte));
        known.then_some(Self(code))
    }

    /// As text.
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl std::fmt::Display for LearnerCode {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.0)
    }
}

impl From<LearnerCode> for String {
    fn from(code: LearnerCode) -> Self {
        code.0
    }
}

impl TryFrom<String> for LearnerCode {
    type Error = String;

    fn try_from(text: String) -> Result<Self, String> {
        Self::parse(&text).ok_or_else(|| format!("a learner's code has {LENGTH} letters and figures, such as k7m2qd"))
    }
}

/// Why a question was asked.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Mode {
    /// At the end of a lesson.
    Lesson,
    /// Because it was due again.
    Review,
    /// In a test.
    Test {
        /// Which of its forms.
        form: String,
    },
}

impl Mode {
    /// Stable word for files.
    pub fn id(&self) -> &'static str {
        match self {
            Self::Lesson => "lesson",
            Self::Review => "review",
            Self::Test { .. } => "test",
        }
    }

    /// The form of a test.
    pub fn form(&self) -> Option<&str> {
        match self {
            Self::Test { form } => Some(form),
            Self::Lesson | Self::Review => None,
        }
    }
}

/// One answer to one item.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Answer {
    /// When, in seconds since 1970 began (UTC).
    pub at_unix_s: i64,
    /// Who.
    pub learner: LearnerCode,
    /// Id of the item.
    pub item: String,
    /// From which its values were drawn and its options shuffled.
    pub seed: u64,
    /// Why it was asked.
    pub mode: Mode,
    /// What was chosen, as a short stable text.
    pub chosen: String,
    /// Whether that is right.
    pub right: bool,
    /// Share of the item that is right, 0 to 1.
    pub score: f64,
    /// Time taken, s.
    pub seconds: f64,
    /// The mistaken belief behind a wrong answer, where one is known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub misconception: Option<String>,
}

impl Answer {
    /// Whether it can be kept.
    ///
    /// # Errors
    /// The first thing that is wrong with it, in words.
    pub fn check(&self) -> Result<(), String> {
        let short = |text: &str, most: usize| text.chars().nth(most).is_none();
        if !(0..=LAST_S).contains(&self.at_unix_s) {
            return Err("its time lies outside the years 1970 to 9999".to_owned());
        }
        if self.item.is_empty() || !short(&self.item, LONGEST_ID) {
            return Err(format!("the item's id must have 1 to {LONGEST_ID} characters"));
        }
        if !self.mode.form().is_none_or(|form| short(form, LONGEST_ID)) {
            return Err(format!("the form's name must have at most {LONGEST_ID} characters"));
        }
        if !short(&self.chosen, LONGEST_ANSWER) {
            return Err(format!("what was chosen must have at most {LONGEST_ANSWER} characters"));
        }
        if !self.misconception.as_ref().is_none_or(|text| short(text, LONGEST_ANSWER)) {
            return Err(format!("the misconception must have at most {LONGEST_ANSWER} characters"));
        }
        if !(0.0..=1.0).contains(&self.score) {
            return Err("its score must lie between 0 and 1".to_owned());
        }
        if !self.seconds.is_finite() || self.seconds < 0.0 {
            return Err("its time taken must be a number of seconds, 0 or more".to_owned());
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_code_is_drawn_evenly_and_comes_back_from_its_text() {
        let mut next = 0_u8;
        let mut bytes = || -> Result<u8, ()> {
            next = next.wrapping_add(1);
            Ok(next)
        };
        let mut seen = std::collections::HashMap::new();
        // a multiple of the 243 bytes of 256 that count, so that every character is drawn equally often
        for _ in 0..243 {
            let code = LearnerCode::drawn(&mut bytes).expect("bytes");
            assert_eq!(LearnerCode::parse(&code.as_str().to_uppercase()), Some(code.clone()));
            for character in code.as_str().chars() {
                *seen.entry(character).or_insert(0) += 1;
            }
        }
        assert_eq!(seen.len(), ALPHABET.len());
        assert!(seen.values().all(|count| *count == 243 * LENGTH / ALPHABET.len()), "{seen:?}");
    }

    #[test]
    fn what_is_no_code_is_refused() {
        for text in ["", "k7m2q", "k7m2qdd", "../../", "k7m2q/", "k7m2ql", "k7m2q\0", "κ7m2qd"] {
            assert_eq!(LearnerCode::parse(text), None, "{text}");
        }
    }
}
