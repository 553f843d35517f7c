//! TOML with every syntax error reported, not only the first.

use crate::content::problem::{Problem, quoted};
use toml_edit::Document;

/// Syntax errors after which a file is given up; one slip can look like many.
const MOST_ERRORS: usize = 20;

/// Where the lines of a text begin.
pub struct Lines {
    ends: Vec<usize>,
}

impl Lines {
    /// The lines of a text.
    pub fn of(text: &str) -> Self {
        Self { ends: text.match_indices('\n').map(|(place, _)| place).collect() }
    }

    /// Line of a byte, from 1.
    pub fn line_at(&self, offset: usize) -> usize {
        self.ends.partition_point(|end| *end < offset) + 1
    }

    /// The last line.
    pub fn last(&self) -> usize {
        self.ends.len().max(1)
    }

    /// Line of the first byte of a span; line 1 for what has no place in the text.
    pub fn line_of(&self, span: Option<std::ops::Range<usize>>) -> usize {
        span.map_or(1, |span| self.line_at(span.start))
    }
}

/// The document, without the lines that are not TOML, and a problem for each of those.
/// No document: the text could not be followed past its last problem.
pub fn read(text: &str, file: &str, lines: &Lines) -> (Option<Document<String>>, Vec<Problem>) {
    let mut text = text.to_owned();
    let mut problems = Vec::new();
    loop {
        let error = match Document::parse(text.clone()) {
            Ok(document) => return (Some(document), problems),
            Err(error) => error,
        };
        let span = error.span().unwrap_or(text.len()..text.len());
        problems.push(syntax_problem(&text, file, lines, error.message(), &span));
        if problems.len() >= MOST_ERRORS || !blank(&mut text, span.start) {
            return (None, problems);
        }
    }
}

fn syntax_problem(text: &str, file: &str, lines: &Lines, message: &str, span: &std::ops::Range<usize>) -> Problem {
    let duplicate = message.contains("duplicate key");
    let key = if duplicate { key_at(text, span) } else { String::new() };
    let (message, mend) = if duplicate {
        ("this is set twice".to_owned(), "keep one of the two".to_owned())
    } else {
        let message = format!("this is not TOML: {}", quoted(message));
        (message, "a line reads key = \"4.6 L\", a table begins with [name], a comment with #".to_owned())
    };
    Problem { file: file.to_owned(), line: lines.line_at(span.start), key, message, mend }
}

/// The key written at a place, with the table that it stands in.
fn key_at(text: &str, span: &std::ops::Range<usize>) -> String {
    let key = quoted(text.get(span.clone()).unwrap_or_default().trim_matches(['[', ']']));
    let before = text.get(..line_start(text, span.start)).unwrap_or_default();
    let is_header = text.get(line_start(text, span.start)..).is_some_and(|line| line.trim_start().starts_with('['));
    let table = before.lines().rev().find(|line| line.trim_start().starts_with('[')).filter(|_| !is_header);
    match table {
        Some(header) => format!("{}.{key}", quoted(header.trim_matches(|c: char| !c.is_alphanumeric() && c != '_'))),
        None => key,
    }
}

/// Take the line at a byte out of the text, keeping the places of all others; with a table's heading goes the table,
/// whose keys would otherwise seem to belong to the one before. False: there was nothing to take out.
fn blank(text: &mut String, offset: usize) -> bool {
    let start = line_start(text, offset);
    let mut end = line_end(text, start);
    if text[start..].trim_start_matches([' ', '\t']).starts_with('[') {
        while end < text.len() && !text[end + 1..].trim_start_matches([' ', '\t']).starts_with('[') {
            end = line_end(text, end + 1);
        }
    }
    if text[start..end].trim().is_empty() {
        return false;
    }
    let spaces: String = text[start..end].bytes().map(|byte| if byte == b'\n' { '\n' } else { ' ' }).collect();
    text.replace_range(start..end, &spaces);
    true
}

fn line_start(text: &str, offset: usize) -> usize {
    let before = &text.as_bytes()[..offset.min(text.len())];
    before.iter().rposition(|byte| *byte == b'\n').map_or(0, |place| place + 1)
}

fn line_end(text: &str, start: usize) -> usize {
    text[start..].find('\n').map_or(text.len(), |length| start + length)
}
