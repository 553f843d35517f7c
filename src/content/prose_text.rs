//! Running text as lessons write it: a small part of Markdown.
//!
//! `#` to `###` begin headings, `-` and `1.` items, an empty line ends a paragraph, `**strong**`, `*emphasis*` and
//! `[words](lesson:07_accelerator_pump)` or `[words](scenario:01_bare_link)`. Links lead nowhere else: a class is offline.

use crate::content::problem::quoted;
use crate::content::table::Notes;
use crate::learning::prose::{Block, Span, Style};

/// Longest marked span, in bytes; what is longer is no mark but a stray sign.
const LONGEST_SPAN: usize = 600;

/// The blocks of a text that begins at a line of its file.
pub fn read(text: &str, first_line: usize, notes: &mut Notes<'_>) -> Vec<Block> {
    let mut blocks = Vec::new();
    let mut open: Option<(Kind, String, usize)> = None;
    for (place, line) in text.lines().enumerate() {
        let number = first_line + place;
        let trimmed = line.trim();
        let begins = Kind::of(trimmed);
        if trimmed.is_empty() || begins.is_some() {
            blocks.extend(open.take().map(|block| finished(block, notes)));
        }
        match (begins, &mut open) {
            (Some((kind @ Kind::Heading(_), words)), _) => {
                blocks.push(finished((kind, words.to_owned(), number), notes));
            }
            (Some((kind, words)), _) => open = Some((kind, words.to_owned(), number)),
            (None, _) if trimmed.is_empty() => {}
            (None, Some((_, words, _))) => {
                words.push(' ');
                words.push_str(trimmed);
            }
            (None, None) => open = Some((Kind::Paragraph, trimmed.to_owned(), number)),
        }
    }
    blocks.extend(open.take().map(|block| finished(block, notes)));
    blocks
}

#[derive(Clone, Copy)]
enum Kind {
    Heading(u8),
    Paragraph,
    Item(Option<u32>),
}

impl Kind {
    /// What a line begins, and its words; `None` for a line that begins nothing of its own.
    fn of(line: &str) -> Option<(Self, &str)> {
        for (mark, level) in [("### ", 3), ("## ", 2), ("# ", 1)] {
            if let Some(words) = line.strip_prefix(mark) {
                return Some((Self::Heading(level), words));
            }
        }
        if let Some(words) = line.strip_prefix("- ").or_else(|| line.strip_prefix("* ")) {
            return Some((Self::Item(None), words));
        }
        let (number, words) = line.split_once(". ")?;
        number.parse().ok().filter(|_| number.len() <= 3).map(|number| (Self::Item(Some(number)), words))
    }
}

fn finished((kind, words, line): (Kind, String, usize), notes: &mut Notes<'_>) -> Block {
    let spans = spans(&words, line, notes);
    match kind {
        Kind::Heading(level) => Block::Heading(level, spans),
        Kind::Paragraph => Block::Paragraph(spans),
        Kind::Item(number) => Block::Item(number, spans),
    }
}

fn spans(words: &str, line: usize, notes: &mut Notes<'_>) -> Vec<Span> {
    let mut spans = Vec::new();
    let mut plain = String::new();
    let mut rest = words;
    while let Some(first) = rest.chars().next() {
        let Some((span, length)) = marked(rest, line, notes) else {
            plain.push(first);
            rest = &rest[first.len_utf8()..];
            continue;
        };
        if !plain.is_empty() {
            spans.push(Span { text: std::mem::take(&mut plain), style: Style::Plain });
        }
        spans.push(span);
        rest = &rest[length..];
    }
    if !plain.is_empty() || spans.is_empty() {
        spans.push(Span { text: plain, style: Style::Plain });
    }
    spans
}

/// A marked span at the start of the text, and its length in bytes.
fn marked(text: &str, line: usize, notes: &mut Notes<'_>) -> Option<(Span, usize)> {
    let text = &text[..text.floor_char_boundary(LONGEST_SPAN)];
    for (mark, style) in [("**", Style::Strong), ("*", Style::Emphasis)] {
        let Some(inside) = text.strip_prefix(mark) else { continue };
        let end = inside.find(mark).filter(|end| *end > 0 && !inside.starts_with(' '))?;
        return Some((Span { text: inside[..end].to_owned(), style }, end + 2 * mark.len()));
    }
    let inside = text.strip_prefix('[')?;
    let (words, after) = inside.split_once("](")?;
    let (target, _) = after.split_once(')')?;
    let length = 1 + words.len() + 2 + target.len() + 1;
    let style = match target.split_once(':') {
        Some(("lesson", stem)) => Style::Lesson(stem.to_owned()),
        Some(("scenario", stem)) => Style::Scenario(stem.to_owned()),
        _ => {
            let message = format!("\"{}\" leads neither to a lesson nor to a scenario", quoted(target));
            notes.note(line, "", message, "write lesson:NAME or scenario:NAME, or take the link out");
            Style::Plain
        }
    };
    Some((Span { text: words.to_owned(), style }, length))
}
