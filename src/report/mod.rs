//! What is printed: a document → pages → a PDF that can be read aloud.
//!
//! [`document`] says what there is, [`layout`] gives everything its place, [`pdf`] writes it down; [`handout`] makes a
//! document of a lesson. Lengths on paper are points, 1/72 inch, the unit of the format. Nothing here reads the clock: the
//! caller gives the date, and the same call gives the same bytes.

pub mod advice_page;
pub mod chart;
pub mod date;
pub mod document;
pub mod experiment;
pub mod face;
pub mod flow;
pub mod handout;
pub mod ink;
pub mod key;
pub mod layout;
pub mod lines;
pub mod page;
pub mod paper_test;
pub mod pdf;
pub mod section;
pub mod sizes;
pub mod slab;
pub mod spread;
pub mod table;

use document::Document;
use face::Faces;
use page::Paper;

/// The file of a document.
///
/// # Errors
/// In words, when the format refuses it.
pub fn print(document: &Document, paper: Paper) -> Result<Vec<u8>, String> {
    let faces = Faces::embedded().ok_or("a font of the program cannot be read")?;
    pdf::write(document, &layout::lay_out(document, &faces, paper))
}
