//! A lesson as a text file: front matter between two lines `+++`, then running text with live blocks.
//!
//! ````text
//! +++
//! title = "Why fuel climbs"
//! minutes = 12
//! outcomes = [1]
//! sources = ["common practice, no source"]
//! +++
//!
//! A question for the class?
//!
//! ```caution
//! Work outdoors.
//! ```
//!
//! ```experiment
//! id = "…"
//! ```
//!
//! ## Take home
//!
//! One thing.
//! ````
//!
//! Live blocks are described in the room's `live_block`, running text in `prose_text`.

use crate::content::course_file::SourceFile;
use crate::content::live_block::{self, About, Source};
use crate::content::problem::{Problem, instead, quoted};
use crate::content::prose_text;
use crate::content::table::Notes;
use crate::content::toml::{self, Lines};
use crate::learning::course::{Lesson, PartBench, Piece};
use crate::learning::outcomes::OUTCOMES;
use crate::learning::prose::Block;
use std::collections::HashSet;
use toml_edit::TableLike;

/// Largest lesson that is read, bytes.
pub const LARGEST_BYTES: usize = 1 << 18;
/// Most pieces of a lesson; more is no lesson.
const MOST_PIECES: usize = 400;
/// Longest caution, characters: it is read at the bench.
const LONGEST_CAUTION: usize = 320;
/// The heading under which a lesson says what to take home.
const TAKE_HOME: &str = "Take home";
/// What encloses the front matter.
const FRONT: &str = "+++";
/// What encloses a block.
const FENCE: &str = "```";

/// The lesson in a file, as far as it can be read, and everything that is wrong with it in the order of its lines.
pub fn read(file: &SourceFile, files: &[SourceFile]) -> (Option<Lesson>, Vec<Problem>) {
    let mut notes = Notes::new(&file.name, &file.text);
    if file.text.len() > LARGEST_BYTES {
        let message = format!("the file has {} bytes, more than the {LARGEST_BYTES} that are read", file.text.len());
        notes.note(1, "", message, "check that this is a lesson, or make two of it");
        return (None, notes.problems);
    }
    let lesson = lesson(file, files, &mut notes);
    let mut problems = notes.problems;
    problems.sort_by(|a, b| (&a.file, a.line).cmp(&(&b.file, b.line)));
    (lesson, problems)
}

fn lesson(file: &SourceFile, files: &[SourceFile], notes: &mut Notes<'_>) -> Option<Lesson> {
    let lines: Vec<&str> = file.text.lines().collect();
    let fences: Vec<usize> =
        lines.iter().enumerate().filter(|(_, line)| line.trim() == FRONT).map(|(place, _)| place).take(2).collect();
    let [0, end] = fences[..] else {
        let mend = "begin with a line +++, then title = \"…\", minutes, outcomes and sources, then a line +++";
        notes.note(1, "", "the lesson has no front matter", mend);
        return None;
    };
    let mut lesson = front(&lines[1..end].join("\n"), notes)?;
    lesson.stem = file.name.strip_suffix(".md").unwrap_or(&file.name).to_owned();
    lesson.pieces = pieces(&lines, end + 1, files, notes);
    check_shape(&lesson, notes);
    Some(lesson)
}

fn front(text: &str, notes: &mut Notes<'_>) -> Option<Lesson> {
    let padded = format!("\n{text}");
    let of_file = std::mem::replace(&mut notes.lines, Lines::of(&padded));
    let (document, problems) = toml::read(&padded, notes.file, &notes.lines);
    notes.problems.extend(problems);
    let lesson = document.map(|document| front_of(document.as_table(), notes));
    notes.lines = of_file;
    lesson
}

fn front_of(table: &dyn TableLike, notes: &mut Notes<'_>) -> Lesson {
    notes.refuse_unknown(table, "", &["title", "minutes", "outcomes", "sources", "cautions", "bench"]);
    let title = notes.needed(table, ("", "title"), 1, "title = \"What the lesson answers\"").text;
    if !table.contains_key("minutes") {
        notes.note(1, "minutes", "this is missing", "write minutes = 12");
    }
    let minutes = notes.whole(table, "minutes", 1..=90).unwrap_or(0) as u32;
    let sources: Vec<_> = notes.texts(table, "", "sources").into_iter().map(|source| source.text).collect();
    if sources.is_empty() {
        let mend = "name them, or write sources = [\"common practice, no source\"]";
        notes.note(1, "sources", "the lesson names no source", mend);
    }
    let cautions = notes.texts(table, "", "cautions").into_iter().map(|caution| caution.text).collect();
    let outcomes = outcomes(table, notes);
    Lesson {
        stem: String::new(),
        title,
        minutes,
        outcomes,
        sources,
        cautions,
        bench: bench(table, notes),
        pieces: Vec::new(),
    }
}

fn bench(table: &dyn TableLike, notes: &mut Notes<'_>) -> Option<PartBench> {
    let named = notes.text(table, "", "bench")?;
    let found = PartBench::WORDS.iter().position(|word| word.id == named.text);
    if found.is_none() {
        let message = format!("there is no bench \"{}\"", quoted(&named.text));
        notes.note(named.line, "bench", message, instead(&named.text, PartBench::WORDS.iter().map(|word| word.id)));
    }
    found.map(|place| PartBench::ALL[place])
}

fn outcomes(table: &dyn TableLike, notes: &mut Notes<'_>) -> Vec<usize> {
    let most = OUTCOMES.len();
    let how = format!("write outcomes = [1, 2] with numbers from 1 to {most}");
    let Some((key, item)) = table.get_key_value("outcomes") else {
        notes.note(1, "outcomes", "this is missing", how);
        return Vec::new();
    };
    let line = notes.line(key, item);
    let numbers: Option<Vec<usize>> = item.as_array().and_then(|array| {
        let number = |value: &toml_edit::Value| value.as_integer().and_then(|n| usize::try_from(n).ok());
        array.iter().map(|value| number(value).filter(|n| (1..=most).contains(n))).collect()
    });
    match numbers {
        Some(numbers) if !numbers.is_empty() => numbers,
        _ => {
            notes.note(line, "outcomes", "these are not outcomes", how);
            Vec::new()
        }
    }
}

/// Prose and blocks from a line (counted from 0) to the end.
fn pieces(lines: &[&str], from: usize, files: &[SourceFile], notes: &mut Notes<'_>) -> Vec<Piece> {
    let mut pieces = Vec::new();
    let mut at = from;
    while at < lines.len() && pieces.len() < MOST_PIECES {
        let fence = lines[at..].iter().position(|line| line.trim_start().starts_with(FENCE)).map(|place| at + place);
        let until = fence.unwrap_or(lines.len());
        let blocks = prose_text::read(&lines[at..until].join("\n"), at + 1, notes);
        if !blocks.is_empty() {
            pieces.push(Piece::Prose(blocks));
        }
        let Some(fence) = fence else { break };
        let Some(length) = lines[fence + 1..].iter().position(|line| line.trim() == FENCE) else {
            notes.note(fence + 1, "", "the block is not closed", format!("close it with a line {FENCE}"));
            break;
        };
        let end = fence + 1 + length;
        pieces.extend(block(&lines[fence..end], fence + 1, files, notes));
        at = end + 1;
    }
    pieces
}

fn block(lines: &[&str], line: usize, files: &[SourceFile], notes: &mut Notes<'_>) -> Option<Piece> {
    let text = lines[1..].join("\n");
    let kind = lines[0].trim().trim_start_matches('`').trim();
    let about = match kind {
        "caution" => return caution(&text, line, notes),
        "experiment" => About::Stab,
        "soak" => About::Soak,
        other => {
            let message = format!("there is no block \"{}\"", quoted(other));
            notes.note(line, "", message, instead(other, ["experiment", "soak", "caution"]));
            return None;
        }
    };
    live_block::read(&Source { text: &text, line, about, files }, notes).map(|live| Piece::Live(Box::new(live)))
}

fn caution(text: &str, line: usize, notes: &mut Notes<'_>) -> Option<Piece> {
    let words = text.split_whitespace().collect::<Vec<_>>().join(" ");
    if words.is_empty() || words.chars().count() > LONGEST_CAUTION {
        let mend = format!("say in at most {LONGEST_CAUTION} characters what to take care of");
        notes.note(line, "", "a caution is empty or too long to be read at the bench", mend);
    }
    (!words.is_empty()).then_some(Piece::Caution(words))
}

/// A lesson asks first, lets the learner predict and see, and says what to take home.
fn check_shape(lesson: &Lesson, notes: &mut Notes<'_>) {
    let mut ids = HashSet::new();
    for live in lesson.live().filter(|live| !live.id.is_empty()) {
        if !ids.insert(live.id.as_str()) {
            notes.note(
                live.line,
                "id",
                format!("\"{}\" is used twice", quoted(&live.id)),
                "give each block a name of its own",
            );
        }
    }
    let heads = |block: &Block| matches!(block, Block::Heading(..)) && block.text().trim() == TAKE_HOME;
    let prose = |piece: &Piece| matches!(piece, Piece::Prose(blocks) if blocks.iter().any(heads));
    if !lesson.pieces.iter().any(prose) {
        let last = notes.lines.last();
        notes.note(last, "", "nothing is there to take home", format!("end with ## {TAKE_HOME} and a few lines"));
    }
    let first = lesson.pieces.iter().take_while(|piece| !matches!(piece, Piece::Live(_)));
    let asks = |piece: &Piece| matches!(piece, Piece::Prose(blocks) if blocks.iter().any(|b| b.text().contains('?')));
    if !first.into_iter().any(asks) {
        notes.note(1, "", "the lesson asks nothing before its first live block", "begin with a question");
    }
    // a block that could not be read has told its own problems
    let tried = notes.problems.iter().any(|problem| problem.line > 1);
    if lesson.live().next().is_none() && !tried {
        notes.note(1, "", "the lesson has no live block", "add a block ```experiment or ```soak");
    }
}
