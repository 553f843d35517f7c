//! Answers, statistics and items for other programs, by open standards.
//!
//! | what | as | standard |
//! |---|---|---|
//! | answers, statistics | [`tables`] | CSV, RFC 4180 |
//! | answers | [`statements`] | xAPI 1.0.3, a statement a line |
//! | items, out and in | [`qti`] | 1EdTech QTI 2.2 content package |
//!
//! Answers go out under codes, never under names.

pub mod qti;
pub mod statements;
pub mod tables;

/// An item in the little that every exchange knows.
#[derive(Debug, Clone, PartialEq)]
pub struct ExchangeItem {
    /// Stable id: a letter or underscore, then letters, figures, `_`, `-` and `.`.
    pub id: String,
    /// One line for lists.
    pub title: String,
    /// The question; paragraphs are parted by an empty line.
    pub stem: String,
    /// How it is answered.
    pub kind: ExchangeKind,
    /// Numbers of the outcomes that it asks for.
    pub outcomes: Vec<usize>,
}

/// How an item is answered.
#[derive(Debug, Clone, PartialEq)]
pub enum ExchangeKind {
    /// By one of several options.
    Choice {
        /// Two or more, exactly one of them right.
        options: Vec<ExchangeOption>,
    },
    /// By a number.
    Numeric {
        /// The right one, in the unit.
        key: f64,
        /// How far an answer may be off.
        tolerance: Tolerance,
        /// Shown behind the field; empty for a bare number.
        unit: String,
        /// Said to a right answer.
        right: String,
        /// Said to a wrong one.
        wrong: String,
    },
}

/// An option of a choice.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ExchangeOption {
    /// As the id of an item; unique within it.
    pub id: String,
    /// What it says.
    pub text: String,
    /// What is said to who chose it; may be empty.
    pub feedback: String,
    /// Whether it is right.
    pub right: bool,
}

/// How far a number may be off.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Tolerance {
    /// In the unit of the item.
    Absolute(f64),
    /// In percent of the key.
    Percent(f64),
}

/// Longest id, in characters.
const LONGEST_ID: usize = 200;

/// Longest text of an item, in bytes.
const LONGEST_TEXT: usize = 20_000;

/// Most options of an item.
const MOST_OPTIONS: usize = 26;

impl ExchangeItem {
    /// Whether it can be exchanged.
    ///
    /// # Errors
    /// The first thing that is wrong with it, in words.
    pub fn check(&self) -> Result<(), String> {
        is_id(&self.id)?;
        is_text("the title", &self.title, false)?;
        is_text("the stem", &self.stem, false)?;
        match &self.kind {
            ExchangeKind::Choice { options } => check_options(options),
            ExchangeKind::Numeric { key, tolerance, unit, right, wrong } => {
                let (Tolerance::Absolute(width) | Tolerance::Percent(width)) = tolerance;
                if !key.is_finite() || !width.is_finite() || *width < 0.0 {
                    return Err("the key must be a number and the tolerance one of 0 or more".to_owned());
                }
                is_text("the unit", unit, true)?;
                is_text("what is said to a right answer", right, true)?;
                is_text("what is said to a wrong answer", wrong, true)
            }
        }
    }

    /// The same item with its white space as it comes back from an exchange: one space between words, one empty line
    /// between paragraphs of the stem.
    #[must_use]
    pub fn tidied(&self) -> Self {
        let mut item = self.clone();
        item.title = one_line(&item.title);
        item.stem = paragraphs(&item.stem).join("\n\n");
        match &mut item.kind {
            ExchangeKind::Choice { options } => {
                for option in options {
                    option.text = one_line(&option.text);
                    option.feedback = one_line(&option.feedback);
                }
            }
            ExchangeKind::Numeric { unit, right, wrong, .. } => {
                for text in [unit, right, wrong] {
                    *text = one_line(text);
                }
            }
        }
        item
    }
}

fn check_options(options: &[ExchangeOption]) -> Result<(), String> {
    if !(2..=MOST_OPTIONS).contains(&options.len()) {
        return Err(format!("a choice has 2 to {MOST_OPTIONS} options, this one {}", options.len()));
    }
    let right = options.iter().filter(|option| option.right).count();
    if right != 1 {
        return Err(format!("exactly one option is right, here {right}"));
    }
    for (place, option) in options.iter().enumerate() {
        is_id(&option.id)?;
        is_text("an option", &option.text, false)?;
        is_text("what is said to an option", &option.feedback, true)?;
        if options.iter().take(place).any(|other| other.id == option.id) {
            return Err(format!("two options have the id {}", option.id));
        }
    }
    Ok(())
}

fn is_id(id: &str) -> Result<(), String> {
    let begins = id.starts_with(|first: char| first.is_ascii_alphabetic() || first == '_');
    let goes_on = id.chars().all(|next| next.is_ascii_alphanumeric() || "_-.".contains(next));
    if begins && goes_on && id.len() <= LONGEST_ID {
        return Ok(());
    }
    let shown = crate::content::problem::quoted(id);
    Err(format!("an id begins with a letter and has letters, figures, _, - and . only, up to {LONGEST_ID}: {shown}"))
}

fn is_text(what: &str, text: &str, may_be_empty: bool) -> Result<(), String> {
    if !may_be_empty && text.trim().is_empty() {
        return Err(format!("{what} is empty"));
    }
    if text.len() > LONGEST_TEXT {
        return Err(format!("{what} has more than {LONGEST_TEXT} bytes"));
    }
    // XML has no way to write these, nor the two characters at the end of its first plane
    let strange = |c: char| (c.is_control() && !c.is_whitespace()) || c == '\u{fffe}' || c == '\u{ffff}';
    if text.contains(strange) {
        return Err(format!("{what} has a control character"));
    }
    Ok(())
}

/// Words with one space between them.
fn one_line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Pieces of a text between empty lines.
fn paragraphs(text: &str) -> Vec<String> {
    let mut pieces = vec![String::new()];
    for line in text.lines() {
        match pieces.last_mut() {
            Some(last) if !line.trim().is_empty() => {
                last.push_str(line);
                last.push('\n');
            }
            _ => pieces.push(String::new()),
        }
    }
    pieces.iter().map(|piece| one_line(piece)).filter(|piece| !piece.is_empty()).collect()
}
