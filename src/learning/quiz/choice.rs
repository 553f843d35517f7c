//! Choose one of several options.

use crate::learning::claim::Claim;
use crate::learning::quiz::asked::{Asked, Word};
use crate::learning::quiz::response::Graded;
use crate::learning::quiz::text::Text;
use crate::learning::seen::Seen;

/// Options of which one is right.
#[derive(Debug, Clone)]
pub struct Choice {
    /// In the order of the file; shuffled when asked.
    pub options: Vec<Alternative>,
}

/// An option.
#[derive(Debug, Clone)]
pub struct Alternative {
    /// As shown.
    pub text: String,
    /// Whether it is the right one.
    pub right: bool,
    /// The belief behind a wrong one.
    pub misconception: Option<String>,
    /// Told to whoever chose it: what is so.
    pub answer: Text,
    /// What the run must show if it is right, and must not show if it is wrong.
    pub claim: Option<Claim>,
}

impl Choice {
    /// The right option.
    pub fn right(&self) -> Option<&Alternative> {
        self.options.iter().find(|option| option.right)
    }

    pub(super) fn grade(&self, place: usize, asked: &Asked, seen: &[Seen]) -> Result<Graded, String> {
        let option = self.options.get(place).ok_or("there is no such option")?;
        let word = Word {
            told: asked.text(&option.answer, seen),
            misconception: option.misconception.as_deref().filter(|_| !option.right),
            says_it: true,
        };
        Ok(asked.graded(f64::from(u8::from(option.right)), option.right, word, seen))
    }
}
