//! Slabs → pages, with what stands at the head and the foot of each.

use crate::report::page::{Owner, Piece};
use crate::report::slab::{End, Slab};
use glam::dvec2;

/// A room grows by no more than this, points.
const MOST_GROWTH_PT: f64 = 190.0;

/// Pages of a height, without margins. Slabs that belong together stand on one page where a page holds them; else they
/// part where they must. Nothing is lost and nothing is printed twice but the heads of tables.
pub fn pages(slabs: Vec<Slab>, heads: &[Slab], height_pt: f64) -> Vec<Vec<Piece>> {
    let mut flow = Flow { pages: vec![Vec::new()], y: 0.0, height_pt, heads };
    let mut rest = slabs.into_iter().peekable();
    while let Some(first) = rest.next() {
        let mut chain = vec![first];
        while chain.last().is_some_and(|last| last.with_next) {
            let Some(next) = rest.next() else { break };
            chain.push(next);
        }
        let break_follows = rest.peek().is_some_and(|next| matches!(next.end, End::Page));
        flow.chain(chain, break_follows);
    }
    if flow.pages.len() > 1 && flow.is_fresh() {
        flow.pages.pop();
    }
    flow.pages
}

struct Flow<'a> {
    pages: Vec<Vec<Piece>>,
    y: f64,
    height_pt: f64,
    heads: &'a [Slab],
}

impl Flow<'_> {
    fn is_fresh(&self) -> bool {
        self.pages.last().is_none_or(Vec::is_empty)
    }

    fn turn(&mut self) {
        if !self.is_fresh() {
            self.pages.push(Vec::new());
            self.y = 0.0;
        }
    }

    fn fits(&self, height_pt: f64) -> bool {
        self.y + height_pt <= self.height_pt + 1e-6
    }

    fn chain(&mut self, chain: Vec<Slab>, break_follows: bool) {
        let whole: f64 = chain.iter().map(|slab| slab.before_pt + slab.height_pt).sum();
        if !self.is_fresh() && !self.fits(whole) && whole <= self.height_pt {
            self.turn();
        }
        let last = chain.len() - 1;
        for (place, slab) in chain.into_iter().enumerate() {
            self.place(slab, break_follows && place == last);
        }
    }

    fn place(&mut self, mut slab: Slab, break_follows: bool) {
        if matches!(slab.end, End::Page) {
            self.turn();
            return;
        }
        if !self.is_fresh() && !self.fits(slab.before_pt + slab.height_pt) {
            self.turn();
        }
        if self.is_fresh() {
            if let Some(head) = slab.head.and_then(|head| self.heads.get(head)) {
                self.put(head.pieces.clone());
                self.y += head.height_pt;
            }
        } else {
            self.y += slab.before_pt;
        }
        if let End::Grows(sheet) = &slab.end {
            if break_follows {
                slab.height_pt += (self.height_pt - self.y - slab.height_pt).clamp(0.0, MOST_GROWTH_PT);
            }
            slab.pieces.push(sheet.piece(slab.height_pt));
        }
        self.put(slab.pieces);
        self.y += slab.height_pt;
    }

    fn put(&mut self, mut pieces: Vec<Piece>) {
        let by = dvec2(0.0, self.y);
        pieces.iter_mut().flat_map(|piece| &mut piece.marks).for_each(|mark| mark.shift(by));
        if let Some(page) = self.pages.last_mut() {
            page.extend(pieces);
            if page.is_empty() {
                // free space is there too: a page with nothing but it is not fresh
                page.push(Piece { owner: Owner::Ornament, marks: Vec::new() });
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn slab(height_pt: f64, with_next: bool) -> Slab {
        let pieces = vec![Piece { owner: Owner::Ornament, marks: Vec::new() }];
        Slab { height_pt, with_next, pieces, ..Slab::default() }
    }

    fn counts(slabs: Vec<Slab>) -> Vec<usize> {
        pages(slabs, &[], 100.0).iter().map(Vec::len).collect()
    }

    #[test]
    fn what_belongs_together_turns_the_page_together() {
        assert_eq!(counts(vec![slab(70.0, false), slab(20.0, true), slab(20.0, false)]), [1, 2]);
        assert_eq!(counts(vec![slab(70.0, false), slab(20.0, false), slab(20.0, false)]), [2, 1]);
    }

    #[test]
    fn what_no_page_holds_parts_where_it_must() {
        assert_eq!(counts((0..7).map(|place| slab(30.0, place < 6)).collect()), [3, 3, 1]);
    }

    #[test]
    fn page_breaks_leave_no_empty_page() {
        let ends = || Slab { end: End::Page, ..Slab::default() };
        assert_eq!(counts(vec![ends(), slab(10.0, false), ends(), ends(), slab(10.0, false), ends()]), [1, 1]);
        assert_eq!(counts(Vec::new()), [0]);
    }
}
