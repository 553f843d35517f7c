//! What is wrong with a file, where, and how to mend it.

/// One thing that is wrong with a file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Problem {
    /// The file, as the reader knows it.
    pub file: String,
    /// Line in that file, from 1.
    pub line: usize,
    /// Key with its table, such as `pedal.rest`; empty when the problem belongs to no key.
    pub key: String,
    /// What is wrong.
    pub message: String,
    /// How to mend it.
    pub mend: String,
}

impl std::fmt::Display for Problem {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{}:{}: ", self.file, self.line)?;
        if !self.key.is_empty() {
            write!(f, "{}: ", self.key)?;
        }
        write!(f, "{}; {}", self.message, self.mend)
    }
}

/// Everything that is wrong with a file, in the order of its lines; never empty.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Problems(pub Vec<Problem>);

impl Problems {
    /// The only problem of a file that could not be read as far as its keys.
    pub fn of_file(file: &str, line: usize, message: impl Into<String>, mend: impl Into<String>) -> Self {
        Self(vec![Problem {
            file: file.to_owned(),
            line,
            key: String::new(),
            message: message.into(),
            mend: mend.into(),
        }])
    }
}

impl std::fmt::Display for Problems {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        for (index, problem) in self.0.iter().enumerate() {
            let end = if index == 0 { "" } else { "\n" };
            write!(f, "{end}{problem}")?;
        }
        Ok(())
    }
}

impl std::error::Error for Problems {}

/// Longest piece of a file that a message repeats, in characters.
const LONGEST_QUOTE: usize = 60;

/// Text from a file as a message may show it: short, and without characters that a terminal would obey.
pub fn quoted(text: &str) -> String {
    let mut short: String = text.chars().take(LONGEST_QUOTE).flat_map(shown).collect();
    if text.chars().nth(LONGEST_QUOTE).is_some() {
        short.push('…');
    }
    short
}

fn shown(character: char) -> impl Iterator<Item = char> {
    let escaped = character.is_control().then(|| character.escape_debug());
    let plain = escaped.is_none().then_some(character);
    escaped.into_iter().flatten().chain(plain)
}

/// The known word that the writer most likely meant.
pub fn nearest<'a>(word: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    const LIKE_ENOUGH: f64 = 0.75;
    if word.chars().count() > LONGEST_QUOTE {
        return None;
    }
    let word = word.to_lowercase();
    known
        .into_iter()
        .map(|candidate| (likeness(&word, &candidate.to_lowercase()), candidate))
        .filter(|(likeness, _)| *likeness >= LIKE_ENOUGH)
        .max_by(|a, b| a.0.total_cmp(&b.0))
        .map(|(_, candidate)| candidate)
}

/// 1 for the same word, 0 for nothing in common; one slip of the finger in a short word leaves it alike.
fn likeness(word: &str, candidate: &str) -> f64 {
    const ONE_SLIP: f64 = 0.9;
    let likeness = strsim::jaro_winkler(word, candidate);
    let one_slip = word.len() >= 3 && strsim::damerau_levenshtein(word, candidate) <= 1;
    if one_slip { likeness.max(ONE_SLIP) } else { likeness }
}

/// How to mend a word that is not among the known ones.
pub fn instead<'a>(word: &str, known: impl IntoIterator<Item = &'a str> + Clone) -> String {
    match nearest(word, known.clone()) {
        Some(near) => format!("did you mean {near}? Known: {}", list(known)),
        None => format!("known: {}", list(known)),
    }
}

/// Words with commas between them.
pub fn list<'a>(words: impl IntoIterator<Item = &'a str>) -> String {
    words.into_iter().collect::<Vec<_>>().join(", ")
}
