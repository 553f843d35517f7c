//! What stands on a page as one: a line, a row, a figure. Slabs stack; a page ends between two of them.

use crate::report::ink::{HAIR, INK, Pen};
use crate::report::page::{Mark, Owner, Piece};
use glam::dvec2;

/// A slab.
#[derive(Debug, Clone, Default)]
pub struct Slab {
    /// Free space above it, left out where it begins a page; points.
    pub before_pt: f64,
    /// Its own height, points.
    pub height_pt: f64,
    /// What it shows, from its upper left corner; x counts from the left margin.
    pub pieces: Vec<Piece>,
    /// Whether the next slab should stand on the same page.
    pub with_next: bool,
    /// What is said again above it where it begins a page, by its place among the heads.
    pub head: Option<usize>,
    /// What it does beside that.
    pub end: End,
}

/// What a slab does to its page.
#[derive(Debug, Clone, Default)]
pub enum End {
    /// Nothing.
    #[default]
    None,
    /// What follows begins a page.
    Page,
    /// It is room to write that takes what is left of the page when a page break follows.
    Grows(Sheet),
}

/// A frame to write in.
#[derive(Debug, Clone, Copy)]
pub struct Sheet {
    /// Its left edge, points.
    pub left_pt: f64,
    /// Its width, points.
    pub width_pt: f64,
    /// Whether it has lines.
    pub ruled: bool,
}

/// From line to line for a hand that writes, points: 8 mm.
const WRITING_PT: f64 = 22.7;

impl Sheet {
    /// The frame of a height.
    pub fn piece(&self, height_pt: f64) -> Piece {
        let corner = dvec2(self.left_pt, 0.0);
        let mut marks = Vec::new();
        if self.ruled {
            let lines = (height_pt / WRITING_PT).ceil() as usize;
            let pen = Pen { dash: &[0.8, 2.4], ..Pen::of(HAIR, 0.6) };
            for line in (1..lines).map(|line| line as f64 * WRITING_PT).filter(|y| *y < height_pt - 6.0) {
                marks.push(Mark::level(dvec2(self.left_pt + 8.0, line), (self.width_pt - 16.0).max(0.0), pen));
            }
        }
        marks.push(Mark::framed(corner, dvec2(self.width_pt, height_pt), Pen::of(INK, 0.5)));
        Piece { owner: Owner::Ornament, marks }
    }
}
