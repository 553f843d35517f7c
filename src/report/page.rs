//! Pages on which everything has its place, and the order in which they are read aloud. Lengths in points from the upper
//! left corner, y downwards.

use crate::report::face::{Face, Glyph};
use crate::report::ink::{Colour, Hatch, Pen};
use glam::DVec2;

/// A size of paper.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Paper {
    /// ISO 216 A4, 210 × 297 mm.
    #[default]
    A4,
    /// ANSI A, 8.5 × 11 inches.
    Letter,
}

/// Points in a millimetre: 72 points in an inch of 25.4 mm.
pub const PT_PER_MM: f64 = 72.0 / 25.4;
/// From the paper's edge to what stands on it, points: left and right, above, below.
pub const MARGINS_PT: (f64, f64, f64) = (68.0, 64.0, 66.0);
/// The same of a document that is set small throughout.
pub const NARROW_PT: (f64, f64, f64) = (54.0, 48.0, 52.0);

impl Paper {
    /// Width and height, points.
    pub fn size_pt(self) -> DVec2 {
        match self {
            Self::A4 => DVec2::new(210.0, 297.0) * PT_PER_MM,
            Self::Letter => DVec2::new(612.0, 792.0),
        }
    }

    /// Width and height inside margins, points.
    pub fn body_pt(self, (beside, above, below): (f64, f64, f64)) -> DVec2 {
        self.size_pt() - DVec2::new(2.0 * beside, above + below)
    }
}

/// Something that is printed.
#[derive(Debug, Clone, PartialEq)]
pub enum Mark {
    /// Words on one line.
    Words(Words),
    /// An open line.
    Line(Vec<DVec2>, Pen),
    /// A closed outline with its filling, its hatch, its line.
    Area {
        /// Corners.
        outline: Vec<DVec2>,
        /// Filling.
        fill: Option<Colour>,
        /// Hatch.
        hatch: Option<Hatch>,
        /// Line round it.
        line: Option<Pen>,
    },
    /// A disc.
    Disc {
        /// Centre.
        centre: DVec2,
        /// Radius, points.
        radius_pt: f64,
        /// Filling.
        fill: Colour,
        /// Line round it.
        line: Option<Pen>,
    },
}

/// Words in one setting on one line.
#[derive(Debug, Clone, PartialEq)]
pub struct Words {
    /// Left end of the base line.
    pub at: DVec2,
    /// Cut.
    pub face: Face,
    /// Size of the type, points.
    pub size_pt: f64,
    /// Whether they lean, which stands for the italic that the typeface here has not.
    pub leans: bool,
    /// Colour.
    pub colour: Colour,
    /// What they say.
    pub text: String,
    /// Their signs.
    pub glyphs: Vec<Glyph>,
}

impl Words {
    /// Width, points.
    pub fn width_pt(&self) -> f64 {
        self.size_pt * self.glyphs.iter().map(|glyph| glyph.advance).sum::<f64>()
    }
}

impl Mark {
    /// A rectangle with a filling.
    pub fn filled(corner: DVec2, size: DVec2, fill: Colour) -> Self {
        Self::Area { outline: rectangle(corner, size), fill: Some(fill), hatch: None, line: None }
    }

    /// A rectangle of a line.
    pub fn framed(corner: DVec2, size: DVec2, pen: Pen) -> Self {
        Self::Area { outline: rectangle(corner, size), fill: None, hatch: None, line: Some(pen) }
    }

    /// A level line.
    pub fn level(from: DVec2, length: f64, pen: Pen) -> Self {
        Self::Line(vec![from, from + DVec2::new(length, 0.0)], pen)
    }

    /// Moves it.
    pub fn shift(&mut self, by: DVec2) {
        match self {
            Self::Words(words) => words.at += by,
            Self::Line(points, _) | Self::Area { outline: points, .. } => {
                points.iter_mut().for_each(|point| *point += by);
            }
            Self::Disc { centre, .. } => *centre += by,
        }
    }
}

fn rectangle(corner: DVec2, size: DVec2) -> Vec<DVec2> {
    let across = DVec2::new(size.x, 0.0);
    vec![corner, corner + across, corner + size, corner + size - across]
}

/// What a part of a document is for those who listen.
#[derive(Debug, Clone, PartialEq)]
pub enum Kind {
    /// A part that holds others.
    Part,
    /// A heading with its level and its words.
    Heading(u8, String),
    /// A paragraph.
    Paragraph,
    /// A list; whether it is numbered.
    List(bool),
    /// An item of a list.
    Item,
    /// What stands before an item.
    Label,
    /// What an item says.
    Body,
    /// A table.
    Table,
    /// A row of a table.
    Row,
    /// The head of a column.
    Head,
    /// A cell.
    Cell,
    /// A figure, with what it shows in words.
    Figure(String),
    /// What stands under a figure.
    Caption,
}

/// A part of a document in the order of reading.
#[derive(Debug, Clone, PartialEq)]
pub struct Node {
    /// The part that it belongs to, by its place in the list; it stands before.
    pub parent: Option<usize>,
    /// What it is.
    pub kind: Kind,
}

/// Whose marks these are.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Owner {
    /// A part of the document, by its place in the list.
    Node(usize),
    /// The head of a page, which is not read aloud.
    PageHead,
    /// The foot of a page.
    PageFoot,
    /// Lines and tints that say nothing.
    Ornament,
}

/// Marks of one owner.
#[derive(Debug, Clone, PartialEq)]
pub struct Piece {
    /// Whose.
    pub owner: Owner,
    /// The marks in painting order.
    pub marks: Vec<Mark>,
}

/// A document on pages.
#[derive(Debug, Clone, PartialEq)]
pub struct Laid {
    /// Paper.
    pub paper: Paper,
    /// What stands on each page.
    pub pages: Vec<Vec<Piece>>,
    /// Parts in the order of reading.
    pub nodes: Vec<Node>,
    /// Signs that the typeface lacks.
    pub missing: Vec<char>,
}

impl Laid {
    /// Every word of a page with its owner.
    pub fn words(&self, page: usize) -> impl Iterator<Item = (Owner, &Words)> {
        let pieces = self.pages.get(page).into_iter().flatten();
        pieces.flat_map(|piece| {
            piece.marks.iter().filter_map(move |mark| match mark {
                Mark::Words(words) => Some((piece.owner, words)),
                _ => None,
            })
        })
    }
}
