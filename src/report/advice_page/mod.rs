//! The page that a customer takes home: what is proposed, how to set it, why, and what nobody knows.

mod background;
mod pictures;
mod to_do;
mod words;

use crate::advice::recommend::contrast::Contrast;
use crate::advice::recommend::phrase::capital;
use crate::advice::recommend::proposal::{Proposal, Recommendation};
use crate::report::date::Date;
use crate::report::document::{Block, Document, Marks, Text};
use crate::report::face::Faces;
use crate::report::handout::heading_of;
use crate::report::layout::lay_out;
use crate::report::page::Paper;
use crate::report::print;

/// Most pages, where the least that is told fits on them.
const MOST_PAGES: usize = 2;

/// How much is told; what is left away is counted and stands in the program.
#[derive(Debug, Clone, Copy)]
struct Detail {
    /// Other proposals in the table.
    others: usize,
    /// Steps of tuning.
    steps: usize,
    /// Gaps of the model that are named.
    gaps: usize,
    /// Settings of which is told how far they may be off.
    rooms: usize,
    /// Whether every stroke is told of, not the shown one alone.
    strokes: bool,
    /// Words of the page that are explained.
    words: usize,
    /// Whether it is told how the criteria are weighted.
    weights: bool,
}

/// What every page tells.
const LEAST: Detail = Detail { others: 2, steps: 3, gaps: 1, rooms: 0, strokes: false, words: 0, weights: false };

/// What is told beside it where there is room, the most useful to a stranger first.
const MORE: [fn(&mut Detail); 12] = [
    |detail| detail.words = 4,
    |detail| detail.words = usize::MAX,
    |detail| detail.others = 3,
    |detail| detail.strokes = true,
    |detail| detail.steps = 4,
    |detail| detail.gaps = 6,
    |detail| detail.rooms = 2,
    |detail| detail.others = 5,
    |detail| detail.weights = true,
    |detail| detail.steps = 6,
    |detail| detail.rooms = 4,
    |detail| detail.gaps = usize::MAX,
];

/// The page as a file.
///
/// # Errors
/// In words, when the two carburettors do not run again or the file cannot be made.
pub fn pdf(recommendation: &Recommendation, paper: Paper, date: Date) -> Result<Vec<u8>, String> {
    print(&document(recommendation, paper, date)?, paper)
}

/// The page, with as much as two sheets of this paper hold. A pure function of its input.
///
/// # Errors
/// In words, when the two carburettors do not run again.
pub fn document(recommendation: &Recommendation, paper: Paper, date: Date) -> Result<Document, String> {
    let Some(first) = recommendation.proposals.first() else {
        return Err("there is no proposal to print; ask for a recommendation first".to_owned());
    };
    let contrast = Contrast::of(recommendation).map_err(|error| error.to_string())?;
    let faces = Faces::embedded().ok_or("a font of the program cannot be read")?;
    let with = |detail| told(recommendation, first, &contrast, detail, date);
    let (mut detail, mut best) = (LEAST, with(LEAST));
    for more in MORE {
        let mut tried = detail;
        more(&mut tried);
        let document = with(tried);
        if lay_out(&document, &faces, paper).pages.len() <= MOST_PAGES {
            (detail, best) = (tried, document);
        }
    }
    Ok(best)
}

fn told(found: &Recommendation, first: &Proposal, contrast: &Contrast, detail: Detail, date: Date) -> Document {
    let name = found.customer.name.trim();
    let title = if name.is_empty() { "A carburettor for your car" } else { name };
    let mut blocks = head(found);
    blocks.extend(to_do::in_short(found, first));
    blocks.extend(change(first));
    blocks.extend(pictures::pictures(contrast));
    // running text fills the first sheet; the workshop's part then stands together
    blocks.extend(background::reasons(found, first, contrast, detail));
    blocks.extend(to_do::settings_and_tuning(found, first, detail));
    blocks.extend(background::others(found, detail));
    if detail.words > 0 {
        blocks.push(words::explained(first, detail.words));
    }
    blocks.extend(background::car(found));
    blocks.extend(background::foot(found, detail));
    let blocks = vec![Block::Small(blocks)];
    Document { title: title.to_owned(), kind: "Recommendation".to_owned(), date, blocks }
}

fn note(text: impl Into<String>) -> Block {
    Block::Note(Text::plain(text))
}

fn paragraph(text: impl Into<String>) -> Block {
    Block::Paragraph(Text::plain(text))
}

/// The answer, before anything else.
fn head(found: &Recommendation) -> Vec<Block> {
    let mut blocks = Vec::new();
    if !found.customer.note.trim().is_empty() {
        blocks.push(note(found.customer.note.trim()));
    }
    blocks.push(Block::Paragraph(Text::strong(&found.headline)));
    blocks.extend(found.complaint.as_ref().map(paragraph));
    blocks
}

/// What it gains and what it costs.
fn change(first: &Proposal) -> Vec<Block> {
    let list = |head: &str, lines: &[String], none: &str| {
        let lines = if lines.is_empty() { vec![none.to_owned()] } else { lines.to_vec() };
        vec![
            heading_of(3, &format!("{head} {}", first.against)),
            Block::List(Marks::Dots, lines.into_iter().map(|line| Text::plain(sentenced(&line))).collect()),
        ]
    };
    if first.against.is_empty() {
        return Vec::new();
    }
    vec![Block::Columns(vec![
        list("Better", &first.gains, "nothing that can be felt"),
        list("Worse", &first.costs, "nothing that can be felt"),
    ])]
}

/// With a capital and a stop.
fn sentenced(text: &str) -> String {
    capital(text).trim_end_matches('.').to_owned() + "."
}
