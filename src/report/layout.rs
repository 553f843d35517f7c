//! A document → pages.

use crate::report::document::{Block, Document, Figure, Marks, Picture, Room, Span, Style, Text};
use crate::report::face::{Faces, MISSING};
use crate::report::ink::{self, ACCENT, HEAT, INK, Pen, WEAK};
use crate::report::lines::{Compositor, Line, Type};
use crate::report::page::{Kind, Laid, MARGINS_PT, Mark, NARROW_PT, Node, Owner, Paper, Piece};
use crate::report::sizes::{SMALL, Sizes, USUAL};
use crate::report::slab::{End, Sheet, Slab};
use crate::report::{chart, flow, section};
use glam::{DVec2, dvec2};
use std::collections::BTreeSet;

/// What may stand back, as usual.
const NOTE: Type = USUAL.note;
const TITLE: Type = Type { size_pt: 23.0, leading_pt: 28.0, colour: INK, strong: true };
/// Words above a frame, and of what is named in the margin.
const LABEL: Type = Type { strong: true, colour: INK, ..NOTE };
/// Where items of a list begin.
const INDENT_PT: f64 = 18.0;
/// Between columns.
const GUTTER_PT: f64 = 18.0;
/// Most missing signs that are told one by one.
const MOST_MISSING: usize = 12;

/// The part of a page that a block may fill.
#[derive(Debug, Clone, Copy)]
pub struct Frame {
    /// Its left edge from the left margin, points.
    pub left: f64,
    /// Its width, points.
    pub width: f64,
}

impl Frame {
    fn indented(self, by: f64) -> Self {
        Self { left: self.left + by, width: (self.width - by).max(10.0) }
    }
}

/// A document on its pages.
pub fn lay_out(document: &Document, faces: &Faces, paper: Paper) -> Laid {
    let margins = margins_pt(document);
    let body = paper.body_pt(margins);
    let frame = Frame { left: 0.0, width: body.x };
    let compositor = Compositor { faces, missing: BTreeSet::new() };
    let mut setter = Setter { compositor, nodes: Vec::new(), slabs: Vec::new(), heads: Vec::new(), body, sizes: USUAL };
    setter.title(document, frame);
    setter.blocks(&document.blocks, None, frame);
    setter.tell_missing(frame);
    let mut pages = flow::pages(std::mem::take(&mut setter.slabs), &setter.heads, body.y);
    let count = pages.len();
    for (place, page) in pages.iter_mut().enumerate() {
        let margin = dvec2(margins.0, margins.1);
        page.iter_mut().flat_map(|piece| &mut piece.marks).for_each(|mark| mark.shift(margin));
        setter.edges(page, document, paper, (place + 1, count));
    }
    let missing = setter.compositor.missing.into_iter().collect();
    Laid { paper, pages, nodes: setter.nodes, missing }
}

/// What is set small throughout has narrow margins.
fn margins_pt(document: &Document) -> (f64, f64, f64) {
    if matches!(document.blocks.as_slice(), [Block::Small(_)]) { NARROW_PT } else { MARGINS_PT }
}

/// What turns blocks into slabs.
pub struct Setter<'a> {
    /// Sets lines.
    pub compositor: Compositor<'a>,
    /// Parts so far, in the order of reading.
    pub nodes: Vec<Node>,
    /// Slabs so far.
    pub slabs: Vec<Slab>,
    /// Heads of tables.
    pub heads: Vec<Slab>,
    /// Sizes of what is set now.
    pub sizes: Sizes,
    body: DVec2,
}

impl Setter<'_> {
    /// A new part.
    pub fn node(&mut self, parent: Option<usize>, kind: Kind) -> usize {
        self.nodes.push(Node { parent, kind });
        self.nodes.len() - 1
    }

    fn title(&mut self, document: &Document, frame: Frame) {
        let node = self.node(None, Kind::Heading(1, document.title.clone()));
        self.text(&Text::plain(&document.title), &TITLE, Owner::Node(node), frame, 0.0);
        let rule = Mark::level(dvec2(frame.left, 4.0), frame.width, Pen::of(INK, 1.2));
        let pieces = vec![Piece { owner: Owner::Ornament, marks: vec![rule] }];
        self.slabs.push(Slab { height_pt: 10.0, pieces, with_next: true, ..Slab::default() });
        self.keep(0);
    }

    fn blocks(&mut self, blocks: &[Block], parent: Option<usize>, frame: Frame) {
        blocks.iter().for_each(|block| self.block(block, parent, frame));
    }

    fn block(&mut self, block: &Block, parent: Option<usize>, frame: Frame) {
        match block {
            Block::Heading(level, text) => self.heading(*level, text, parent, frame),
            Block::Paragraph(text) => self.paragraph(text, &self.sizes.body.clone(), parent, frame),
            Block::Note(text) => self.paragraph(text, &self.sizes.note.clone(), parent, frame),
            Block::List(marks, items) => self.list(*marks, items, parent, frame),
            Block::Table(table) => self.table(table, parent, frame),
            Block::Caution(texts) => self.caution(texts, parent, frame),
            Block::Room(room) => self.room(room, parent, frame),
            Block::Fields(names) => self.fields(names, parent, frame),
            Block::Figure(figure) => self.figure(figure, parent, frame),
            Block::Columns(columns) => self.columns(columns, parent, frame),
            Block::Together(blocks) => {
                let first = self.slabs.len();
                self.blocks(blocks, parent, frame);
                self.keep(first);
                if let Some(last) = self.slabs[first..].last_mut() {
                    last.with_next = false;
                }
            }
            Block::Small(blocks) => {
                let before = std::mem::replace(&mut self.sizes, SMALL);
                self.blocks(blocks, parent, frame);
                self.sizes = before;
            }
            Block::PageBreak => self.slabs.push(Slab { end: End::Page, ..Slab::default() }),
        }
    }

    /// Keeps the slabs from this one on together, and with what follows.
    fn keep(&mut self, first: usize) {
        self.slabs[first..].iter_mut().for_each(|slab| slab.with_next = true);
    }

    fn heading(&mut self, level: u8, text: &Text, parent: Option<usize>, frame: Frame) {
        let which = usize::from(level > 2);
        let (style, above) = (self.sizes.headings[which], self.sizes.above_pt[which]);
        let node = self.node(parent, Kind::Heading(level.clamp(1, 6), text.words()));
        let first = self.slabs.len();
        self.text(text, &style, Owner::Node(node), frame, above);
        self.keep(first);
    }

    fn paragraph(&mut self, text: &Text, style: &Type, parent: Option<usize>, frame: Frame) {
        let node = self.node(parent, Kind::Paragraph);
        self.text(text, style, Owner::Node(node), frame, self.sizes.paragraph_pt);
    }

    /// Lines under each other; the first two and the last two stay together.
    fn text(&mut self, text: &Text, style: &Type, owner: Owner, frame: Frame, before_pt: f64) {
        let lines = self.compositor.lines(text, style, frame.width);
        let last = lines.len() - 1;
        for (place, line) in lines.into_iter().enumerate() {
            self.slabs.push(Slab {
                before_pt: if place == 0 { before_pt } else { 0.0 },
                height_pt: style.leading_pt,
                pieces: vec![Piece { owner, marks: put(line, dvec2(frame.left, style.base_pt())) }],
                with_next: place < last && (place == 0 || place + 2 > last),
                ..Slab::default()
            });
        }
    }

    fn list(&mut self, marks: Marks, items: &[Text], parent: Option<usize>, frame: Frame) {
        let list = self.node(parent, Kind::List(matches!(marks, Marks::Numbers(_))));
        for (place, text) in items.iter().enumerate() {
            let item = self.node(Some(list), Kind::Item);
            let mark = match marks {
                Marks::Dots => self.label("•", item, frame),
                Marks::Numbers(first) => self.label(&format!("{}.", u64::from(first) + place as u64), item, frame),
                Marks::Boxes => tick_box(frame, false),
                Marks::Ticked(right) => tick_box(frame, right == place),
            };
            let body = self.node(Some(item), Kind::Body);
            let first = self.slabs.len();
            let Sizes { body: style, paragraph_pt, item_pt, .. } = self.sizes;
            let before = if place == 0 { paragraph_pt } else { item_pt };
            self.text(text, &style, Owner::Node(body), frame.indented(INDENT_PT), before);
            if let Some(slab) = self.slabs.get_mut(first) {
                slab.pieces.insert(0, mark);
            }
        }
    }

    fn label(&mut self, text: &str, item: usize, frame: Frame) -> Piece {
        let node = self.node(Some(item), Kind::Label);
        let style = self.sizes.body;
        let line = self.compositor.line(text, &style);
        let left = frame.left + (INDENT_PT - 6.0 - line.width_pt).max(0.0);
        Piece { owner: Owner::Node(node), marks: put(line, dvec2(left, style.base_pt())) }
    }

    /// Words of care behind a hatched bar.
    fn caution(&mut self, texts: &[Text], parent: Option<usize>, frame: Frame) {
        let part = self.node(parent, Kind::Part);
        let first = self.slabs.len();
        let inside = frame.indented(INDENT_PT);
        let style = self.sizes.body;
        let word = self.node(Some(part), Kind::Paragraph);
        self.text(
            &Text::plain("Caution"),
            &Type { colour: HEAT, strong: true, ..style },
            Owner::Node(word),
            inside,
            0.0,
        );
        for text in texts {
            let node = self.node(Some(part), Kind::Paragraph);
            self.text(text, &style, Owner::Node(node), inside, 0.0);
        }
        for slab in &mut self.slabs[first..] {
            let size = dvec2(6.0, slab.height_pt);
            let outline = vec![
                dvec2(frame.left, 0.0),
                dvec2(frame.left + size.x, 0.0),
                dvec2(frame.left + size.x, size.y),
                dvec2(frame.left, size.y),
            ];
            let bar = Mark::Area { outline, fill: Some(HEAT.thinned(0.12)), hatch: Some(ink::CARE), line: None };
            slab.pieces.insert(0, Piece { owner: Owner::Ornament, marks: vec![bar] });
        }
        // short as they are, cautions are read in one
        self.keep(first);
        if let Some(slab) = self.slabs.get_mut(first) {
            slab.before_pt = self.sizes.figure_pt;
        }
        self.slabs.push(Slab { height_pt: 4.0, ..Slab::default() });
    }

    fn room(&mut self, room: &Room, parent: Option<usize>, frame: Frame) {
        let first = self.slabs.len();
        if !room.caption.is_empty() {
            let node = self.node(parent, Kind::Paragraph);
            self.text(&Text::plain(&room.caption), &LABEL, Owner::Node(node), frame, self.sizes.figure_pt);
            self.keep(first);
        }
        let sheet = Sheet { left_pt: frame.left, width_pt: frame.width, ruled: room.ruled };
        let height_pt = room.height_pt.clamp(8.0, 0.8 * self.body.y);
        let (pieces, end) = match room.grows {
            true => (Vec::new(), End::Grows(sheet)),
            false => (vec![sheet.piece(height_pt)], End::None),
        };
        self.slabs.push(Slab { before_pt: 3.0, height_pt, pieces, end, ..Slab::default() });
    }

    fn fields(&mut self, names: &[String], parent: Option<usize>, frame: Frame) {
        let width = frame.width / names.len().max(1) as f64;
        let node = self.node(parent, Kind::Paragraph);
        let (mut words, mut rules) = (Vec::new(), Vec::new());
        for (place, name) in names.iter().enumerate() {
            let left = frame.left + place as f64 * width;
            let room = 0.6 * width;
            let line = self.compositor.lines(&Text::plain(name), &NOTE, room).swap_remove(0);
            let from = left + line.width_pt + 5.0;
            words.extend(put(line, dvec2(left, 14.0)));
            rules.push(Mark::level(dvec2(from, 15.5), (left + width - 12.0 - from).max(0.0), Pen::of(WEAK, 0.5)));
        }
        let pieces =
            vec![Piece { owner: Owner::Node(node), marks: words }, Piece { owner: Owner::Ornament, marks: rules }];
        self.slabs.push(Slab { before_pt: self.sizes.paragraph_pt, height_pt: 20.0, pieces, ..Slab::default() });
    }

    fn figure(&mut self, figure: &Figure, parent: Option<usize>, frame: Frame) {
        let most = 0.75 * self.body.y;
        let (mut marks, height_pt) = match &figure.picture {
            Picture::Section(scene, height) => {
                section::marks(&mut self.compositor, scene, frame.width, height.clamp(20.0, most))
            }
            Picture::Chart(chart) => {
                let chart = super::document::Chart { height_pt: chart.height_pt.clamp(20.0, most), ..chart.clone() };
                chart::marks(&mut self.compositor, &chart, frame.width)
            }
        };
        if marks.is_empty() {
            return;
        }
        marks.iter_mut().for_each(|mark| mark.shift(dvec2(frame.left, 0.0)));
        let caption = figure.caption.words();
        // the format wants words for every figure
        let spoken = [&figure.spoken, &caption].into_iter().find(|words| !words.trim().is_empty());
        let node = self.node(parent, Kind::Figure(spoken.map_or("A figure.", String::as_str).to_owned()));
        let pieces = vec![Piece { owner: Owner::Node(node), marks }];
        let with_next = !figure.caption.0.is_empty();
        self.slabs.push(Slab { before_pt: self.sizes.figure_pt, height_pt, pieces, with_next, ..Slab::default() });
        if with_next {
            let caption = self.node(Some(node), Kind::Caption);
            self.text(&figure.caption, &self.sizes.note.clone(), Owner::Node(caption), frame, 3.0);
        }
    }

    /// Side by side as one slab where a page holds it, else under each other.
    fn columns(&mut self, columns: &[Vec<Block>], parent: Option<usize>, frame: Frame) {
        let count = columns.len().max(1) as f64;
        let width = (frame.width - (count - 1.0) * GUTTER_PT) / count;
        let before = std::mem::take(&mut self.slabs);
        let mut sets = Vec::new();
        for (place, blocks) in columns.iter().enumerate() {
            let left = frame.left + place as f64 * (width + GUTTER_PT);
            self.blocks(blocks, parent, Frame { left, width: width.max(10.0) });
            sets.push(std::mem::take(&mut self.slabs));
        }
        self.slabs = before;
        let above = sets.iter().filter_map(|set| set.first()).map(|slab| slab.before_pt).fold(0.0, f64::max);
        let height = |set: &Vec<Slab>| set.iter().map(|slab| slab.before_pt + slab.height_pt).sum::<f64>();
        let whole = sets.iter().map(height).fold(0.0, f64::max);
        let parts = sets.iter().flatten().any(|slab| matches!(slab.end, End::Page));
        if whole > self.body.y || parts {
            self.slabs.extend(sets.into_iter().flatten());
            return;
        }
        let mut joint = Slab { before_pt: above, height_pt: whole - above, ..Slab::default() };
        for set in sets {
            let mut y = -above;
            for mut slab in set {
                y += slab.before_pt;
                if let End::Grows(sheet) = &slab.end {
                    slab.pieces.push(sheet.piece(slab.height_pt));
                }
                slab.pieces.iter_mut().flat_map(|piece| &mut piece.marks).for_each(|mark| mark.shift(dvec2(0.0, y)));
                joint.pieces.extend(slab.pieces);
                y += slab.height_pt;
            }
        }
        self.slabs.push(joint);
    }

    fn tell_missing(&mut self, frame: Frame) {
        let missing = &self.compositor.missing;
        if missing.is_empty() {
            return;
        }
        let named: Vec<String> =
            missing.iter().take(MOST_MISSING).map(|sign| format!("U+{:04X}", u32::from(*sign))).collect();
        let more = missing.len().saturating_sub(MOST_MISSING);
        let more = if more > 0 { format!(" and {more} more") } else { String::new() };
        let text = format!("{MISSING} stands for a sign that the typeface lacks: {}{more}.", named.join(", "));
        self.paragraph(&Text::plain(text), &NOTE, None, frame);
    }

    /// Head and foot of a page.
    fn edges(&mut self, page: &mut Vec<Piece>, document: &Document, paper: Paper, (number, count): (usize, usize)) {
        let (size, left) = (paper.size_pt(), margins_pt(document).0);
        let right = size.x - left;
        let title = if number > 1 { document.title.as_str() } else { "" };
        let made = format!("Second Breath {} · {}", env!("CARGO_PKG_VERSION"), document.date);
        let numbered = format!("Page {number} of {count}");
        let rows = [
            (Owner::PageHead, 40.0, title, document.kind.as_str()),
            (Owner::PageFoot, size.y - 34.0, made.as_str(), numbered.as_str()),
        ];
        for (owner, base, first, second) in rows {
            let mut set = |text: &str| {
                let text = Text(vec![Span { text: text.to_owned(), style: Style::Plain }]);
                self.compositor.lines(&text, &NOTE, 0.48 * (right - left)).swap_remove(0)
            };
            let (first, second) = (set(first), set(second));
            let second_at = dvec2(right - second.width_pt, base);
            let marks = put(first, dvec2(left, base)).into_iter().chain(put(second, second_at)).collect();
            page.push(Piece { owner, marks });
        }
    }
}

/// A line of words at the left end of its base line.
pub fn put(line: Line, at: DVec2) -> Vec<Mark> {
    let mut marks = Vec::new();
    chart::put(&mut marks, line, at);
    marks
}

fn tick_box(frame: Frame, ticked: bool) -> Piece {
    let (corner, side) = (dvec2(frame.left + 1.5, 3.4), 8.4);
    let mut marks = vec![Mark::framed(corner, DVec2::splat(side), Pen::of(INK, 0.8))];
    if ticked {
        let tick = [(0.18, 0.5), (0.42, 0.78), (0.95, -0.12)].map(|(x, y)| corner + dvec2(x, y) * side);
        marks.push(Mark::Line(tick.to_vec(), Pen::of(ACCENT, 1.5)));
    }
    Piece { owner: Owner::Ornament, marks }
}
