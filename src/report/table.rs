//! Tables: a row is a chain of lines that stay together, its head is said again on every page.

use crate::report::document::{Column, Table, Text};
use crate::report::ink::{HAIR, INK, Pen};
use crate::report::layout::{Frame, Setter, put};
use crate::report::lines::{Line, Type};
use crate::report::page::{Kind, Mark, Owner, Piece};
use crate::report::slab::Slab;
use glam::dvec2;

/// Between two columns.
const GAP_PT: f64 = 12.0;
/// A table no higher than this stays on one page.
const SHORT_PT: f64 = 260.0;

/// Where a column stands.
#[derive(Clone, Copy)]
struct Place {
    left: f64,
    width: f64,
    numbers: bool,
}

impl Setter<'_> {
    /// A table.
    pub(super) fn table(&mut self, table: &Table, parent: Option<usize>, frame: Frame) {
        if table.columns.is_empty() {
            return;
        }
        let places = places(&table.columns, frame);
        let cell = self.sizes.cell;
        let node = self.node(parent, Kind::Table);
        let first = self.slabs.len();
        let heads: Vec<Text> = table.columns.iter().map(|column| column.head.clone()).collect();
        let has_head = heads.iter().any(|head| !head.words().trim().is_empty());
        if has_head {
            let slabs = self.row(&heads, &Type { strong: true, ..cell }, (node, Kind::Head), &places);
            self.slabs.extend(slabs);
            self.rule(frame, Pen::of(INK, 0.7));
            self.slabs[first..].iter_mut().for_each(|slab| slab.with_next = true);
        }
        let head = has_head.then(|| self.repeated(first));
        for (number, row) in table.rows.iter().enumerate() {
            if number > 0 || !has_head {
                self.rule(frame, Pen::of(HAIR, 0.4));
                if let Some(rule) = self.slabs.last_mut() {
                    rule.with_next = true;
                    rule.head = head;
                }
            }
            let mut slabs = self.row(row, &cell, (node, Kind::Cell), &places);
            slabs.iter_mut().for_each(|slab| slab.head = head);
            self.slabs.extend(slabs);
        }
        self.rule(frame, Pen::of(INK, 0.7));
        let slabs = &mut self.slabs[first..];
        let last = slabs.len() - 1;
        let is_short = slabs.iter().map(|slab| slab.height_pt).sum::<f64>() <= SHORT_PT;
        for (place, slab) in slabs.iter_mut().enumerate() {
            // the last line of a table does not begin a page
            slab.with_next = place < last && (slab.with_next || is_short || place + 1 == last);
        }
        if let Some(slab) = self.slabs.get_mut(first) {
            slab.before_pt = 0.8 * self.sizes.figure_pt;
        }
    }

    /// The head of a table once more, as something that is not read aloud again.
    fn repeated(&mut self, first: usize) -> usize {
        let mut whole = Slab::default();
        for slab in &self.slabs[first..] {
            for mut piece in slab.pieces.clone() {
                piece.owner = Owner::Ornament;
                piece.marks.iter_mut().for_each(|mark| mark.shift(dvec2(0.0, whole.height_pt)));
                whole.pieces.push(piece);
            }
            whole.height_pt += slab.height_pt;
        }
        self.heads.push(whole);
        self.heads.len() - 1
    }

    fn rule(&mut self, frame: Frame, pen: Pen) {
        let marks = vec![Mark::level(dvec2(frame.left, 0.5), frame.width, pen)];
        let pieces = vec![Piece { owner: Owner::Ornament, marks }];
        self.slabs.push(Slab { height_pt: 1.0, pieces, ..Slab::default() });
    }

    /// The lines of a row, which stay together.
    fn row(&mut self, cells: &[Text], style: &Type, (table, kind): (usize, Kind), places: &[Place]) -> Vec<Slab> {
        let pad = self.sizes.row_pt;
        let row = self.node(Some(table), Kind::Row);
        let mut columns: Vec<(Owner, Place, std::vec::IntoIter<Line>)> = Vec::new();
        for (cell, place) in cells.iter().zip(places) {
            let node = self.node(Some(row), kind.clone());
            let lines = self.compositor.lines(cell, style, place.width);
            columns.push((Owner::Node(node), *place, lines.into_iter()));
        }
        let count = columns.iter().map(|(_, _, lines)| lines.len()).max().unwrap_or(1);
        (0..count)
            .map(|line| {
                let top = if line == 0 { pad } else { 0.0 };
                let bottom = if line + 1 == count { pad } else { 0.0 };
                let base = top + style.base_pt();
                let pieces = columns.iter_mut().filter_map(|(owner, place, lines)| {
                    let line = lines.next()?;
                    let away = if place.numbers { (place.width - line.width_pt).max(0.0) } else { 0.0 };
                    Some(Piece { owner: *owner, marks: put(line, dvec2(place.left + away, base)) })
                });
                let height_pt = top + style.leading_pt + bottom;
                Slab { height_pt, pieces: pieces.collect(), with_next: line + 1 < count, ..Slab::default() }
            })
            .collect()
    }
}

fn places(columns: &[Column], frame: Frame) -> Vec<Place> {
    let gaps = GAP_PT.min(0.3 * frame.width / columns.len() as f64);
    let room = frame.width - gaps * (columns.len() - 1) as f64;
    let share = |column: &Column| if column.share.is_finite() { column.share.max(0.01) } else { 1.0 };
    let whole: f64 = columns.iter().map(share).sum();
    let mut left = frame.left;
    columns
        .iter()
        .map(|column| {
            let width = room * share(column) / whole;
            let place = Place { left, width, numbers: column.numbers };
            left += width + gaps;
            place
        })
        .collect()
}
