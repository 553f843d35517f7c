//! Sizes of letters and of the space between: as usual, and small for a page that must hold much.

use crate::report::ink::{ACCENT, INK, WEAK};
use crate::report::lines::Type;

/// Sizes of one kind of setting.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sizes {
    /// Running text.
    pub body: Type,
    /// What may stand back.
    pub note: Type,
    /// A heading of the second level, and of the third.
    pub headings: [Type; 2],
    /// Cell of a table.
    pub cell: Type,
    /// Above headings of the second level and of the third, points.
    pub above_pt: [f64; 2],
    /// Between paragraphs, points.
    pub paragraph_pt: f64,
    /// Between items of a list, points.
    pub item_pt: f64,
    /// Around figures and tables, points.
    pub figure_pt: f64,
    /// Above and below the words of a row, points.
    pub row_pt: f64,
}

/// As usual.
pub const USUAL: Sizes = Sizes {
    body: Type { size_pt: 10.2, leading_pt: 14.8, colour: INK, strong: false },
    note: Type { size_pt: 8.6, leading_pt: 12.0, colour: WEAK, strong: false },
    headings: [
        Type { size_pt: 13.4, leading_pt: 18.0, colour: INK, strong: true },
        Type { size_pt: 10.6, leading_pt: 15.0, colour: ACCENT, strong: true },
    ],
    cell: Type { size_pt: 9.0, leading_pt: 12.4, colour: INK, strong: false },
    above_pt: [20.0, 12.0],
    paragraph_pt: 6.0,
    item_pt: 2.5,
    figure_pt: 10.0,
    row_pt: 2.6,
};

/// Small: no letter below eight points.
pub const SMALL: Sizes = Sizes {
    body: Type { size_pt: 8.8, leading_pt: 11.6, colour: INK, strong: false },
    note: Type { size_pt: 8.0, leading_pt: 10.3, colour: WEAK, strong: false },
    headings: [
        Type { size_pt: 11.4, leading_pt: 14.6, colour: INK, strong: true },
        Type { size_pt: 9.0, leading_pt: 12.0, colour: ACCENT, strong: true },
    ],
    cell: Type { size_pt: 8.2, leading_pt: 10.4, colour: INK, strong: false },
    above_pt: [7.0, 4.0],
    paragraph_pt: 3.0,
    item_pt: 1.4,
    figure_pt: 5.0,
    row_pt: 1.5,
};
