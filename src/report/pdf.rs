//! Pages → a tagged PDF 1.7 that passes the checks of PDF/UA-1 (ISO 14289-1) which a program can make.

use crate::report::date::Date;
use crate::report::document::Document;
use crate::report::face::Face;
use crate::report::ink::{Colour, Hatch, Pen};
use crate::report::page::{Kind, Laid, Mark, Owner, Piece, Words};
use glam::{DVec2, dvec2};
use krilla::SerializeSettings;
use krilla::color::rgb;
use krilla::configure::{Accessibility, ConfigurationBuilder};
use krilla::destination::XyzDestination;
use krilla::geom::{Path, PathBuilder, Point, Transform};
use krilla::metadata::{DateTime, Metadata};
use krilla::num::NormalizedF32;
use krilla::outline::{Outline, OutlineNode};
use krilla::page::PageSettings;
use krilla::paint::{Fill, FillRule, LineCap, LineJoin, Stroke, StrokeDash};
use krilla::surface::Surface;
use krilla::tagging::{
    Artifact, ArtifactType, ContentTag, Identifier, ListNumbering, Node as TagNode, SpanTag, TableHeaderScope, Tag,
    TagGroup, TagKind, TagTree,
};
use krilla::text::{Font, GlyphId, KrillaGlyph};
use std::num::NonZeroU16;

/// Language of everything that is said.
const LANGUAGE: &str = "en-GB";
/// Lean of emphasised words: run over rise.
const LEAN: f32 = 0.19;
/// Control points of a quarter of a circle, share of its radius: 4/3 (√2 − 1).
const QUARTER: f64 = 0.552_284_749_830_793_4;

/// The file of a document on its pages. The same pages give the same bytes.
///
/// # Errors
/// In words, when a font is none or a check of the format fails.
pub fn write(document: &Document, laid: &Laid) -> Result<Vec<u8>, String> {
    let configuration = ConfigurationBuilder::new().with_accessibility_validator(Accessibility::UA1).finish();
    let configuration = configuration.map_err(|error| format!("the format is refused: {error:?}"))?;
    let mut file = krilla::Document::new_with(SerializeSettings { configuration, ..SerializeSettings::default() });
    let font = |face: Face| Font::new(face.bytes().into(), 0).ok_or("a font of the program cannot be read");
    let mut writer = Writer {
        fonts: [font(Face::Regular)?, font(Face::Bold)?],
        leaves: vec![Vec::new(); laid.nodes.len()],
        places: vec![None; laid.nodes.len()],
    };
    let size = laid.paper.size_pt();
    for (number, pieces) in laid.pages.iter().enumerate() {
        let settings = PageSettings::from_wh(size.x as f32, size.y as f32).ok_or("the paper has no size")?;
        let mut page = file.start_page_with(settings);
        let mut surface = page.surface();
        pieces.iter().for_each(|piece| writer.piece(&mut surface, piece, number));
        surface.finish();
        page.finish();
    }
    file.set_outline(writer.outline(laid));
    file.set_tag_tree(writer.tree(laid));
    file.set_metadata(metadata(document));
    file.finish().map_err(|error| format!("the file cannot be made: {error:?}"))
}

fn metadata(document: &Document) -> Metadata {
    let Date { year, month, day } = document.date;
    let date = DateTime::new(year.clamp(0, 9999) as u16).month(month).day(day);
    Metadata::new()
        .title(titled(&document.title).to_owned())
        .description(document.kind.clone())
        .language(LANGUAGE.to_owned())
        .creator(format!("Second Breath {}", env!("CARGO_PKG_VERSION")))
        .creation_date(date)
}

/// The format wants a title even where there is none.
fn titled(text: &str) -> &str {
    if text.trim().is_empty() { "Untitled" } else { text }
}

struct Writer {
    fonts: [Font; 2],
    /// What is printed of each part.
    leaves: Vec<Vec<Identifier>>,
    /// Page and upper left corner of the first of it.
    places: Vec<Option<(usize, DVec2)>>,
}

impl Writer {
    fn piece(&mut self, surface: &mut Surface<'_>, piece: &Piece, page: usize) {
        if piece.marks.is_empty() {
            return;
        }
        let artifact = |kind| ContentTag::Artifact(Artifact::with_kind(kind));
        let only_words = piece.marks.iter().all(|mark| matches!(mark, Mark::Words(_)));
        let tag = match piece.owner {
            Owner::Node(_) if only_words => ContentTag::Span(SpanTag::empty()),
            Owner::Node(_) => ContentTag::Other,
            Owner::PageHead => artifact(ArtifactType::Header),
            Owner::PageFoot => artifact(ArtifactType::Footer),
            Owner::Ornament => artifact(ArtifactType::Layout),
        };
        let leaf = surface.start_tagged(tag);
        piece.marks.iter().for_each(|mark| self.mark(surface, mark));
        surface.end_tagged();
        if let Owner::Node(node) = piece.owner {
            self.leaves[node].push(leaf);
            let corner = piece.marks.first().map_or(DVec2::ZERO, top);
            self.places[node].get_or_insert((page, corner));
        }
    }

    fn mark(&self, surface: &mut Surface<'_>, mark: &Mark) {
        match mark {
            Mark::Words(words) => self.words(surface, words),
            Mark::Line(points, pen) => draw(surface, path(points, false), None, Some(pen)),
            Mark::Area { outline, fill, hatch, line } => {
                let Some(edge) = path(outline, true) else { return };
                let Some(lines) = hatch else {
                    return draw(surface, Some(edge), *fill, line.as_ref());
                };
                surface.push_clip_path(&edge, &FillRule::NonZero);
                draw(surface, Some(edge), *fill, None);
                draw(surface, hatching(outline, lines), None, Some(&lines.pen));
                surface.pop();
                draw(surface, path(outline, true), None, line.as_ref());
            }
            Mark::Disc { centre, radius_pt, fill, line } => {
                draw(surface, circle(*centre, *radius_pt), Some(*fill), line.as_ref());
            }
        }
    }

    fn words(&self, surface: &mut Surface<'_>, words: &Words) {
        if words.glyphs.is_empty() {
            return;
        }
        let glyphs: Vec<KrillaGlyph> = words
            .glyphs
            .iter()
            .map(|glyph| {
                let (right, up) = glyph.offset;
                let (advance, range) = (glyph.advance as f32, glyph.range.clone());
                KrillaGlyph::new(GlyphId::new(glyph.id), advance, right as f32, up as f32, 0.0, range, None)
            })
            .collect();
        surface.set_stroke(None);
        surface.set_fill(Some(fill(words.colour)));
        let at = point(words.at);
        if words.leans {
            surface.push_transform(&Transform::from_row(1.0, 0.0, -LEAN, 1.0, LEAN * at.y, 0.0));
        }
        let font = self.fonts[usize::from(words.face == Face::Bold)].clone();
        surface.draw_glyphs(at, &glyphs, font, &words.text, words.size_pt as f32, false);
        if words.leans {
            surface.pop();
        }
    }

    /// Headings as the reader's list of contents, all of one level under the title.
    fn outline(&self, laid: &Laid) -> Outline {
        let mut headings = laid.nodes.iter().zip(&self.places).filter_map(|(node, place)| match &node.kind {
            Kind::Heading(_, text) => {
                let (page, corner) = (*place)?;
                Some(OutlineNode::new(titled(text).to_owned(), XyzDestination::new(page, point(corner))))
            }
            _ => None,
        });
        let mut outline = Outline::new();
        if let Some(mut title) = headings.next() {
            headings.for_each(|heading| title.push_child(heading));
            outline.push_child(title.with_open(true));
        }
        outline
    }

    /// The parts in the order of reading, each with what is printed of it.
    fn tree(&mut self, laid: &Laid) -> TagTree {
        let mut tree = TagTree::new().with_lang(Some(LANGUAGE.to_owned()));
        let mut groups: Vec<TagGroup> = laid.nodes.iter().map(|node| TagGroup::new(tag(&node.kind))).collect();
        for (group, leaves) in groups.iter_mut().zip(std::mem::take(&mut self.leaves)) {
            group.children.extend(leaves.into_iter().map(TagNode::from));
        }
        // a part stands after the one that it belongs to: from the last to the first each is whole when it is handed up
        let mut top = Vec::new();
        let mut inner: Vec<Vec<TagGroup>> = vec![Vec::new(); laid.nodes.len()];
        while let Some(mut group) = groups.pop() {
            let place = groups.len();
            group.children.extend(std::mem::take(&mut inner[place]).into_iter().rev().map(TagNode::from));
            if group.children.is_empty() {
                continue;
            }
            match laid.nodes[place].parent {
                Some(parent) => inner[parent].push(group),
                None => top.push(group),
            }
        }
        top.into_iter().rev().for_each(|group| tree.push(group));
        tree
    }
}

fn tag(kind: &Kind) -> TagKind {
    match kind {
        Kind::Part => Tag::Div.into(),
        Kind::Heading(level, text) => {
            let level = NonZeroU16::new(u16::from(*level)).unwrap_or(NonZeroU16::MIN);
            Tag::Hn(level, Some(text.clone())).into()
        }
        Kind::Paragraph => Tag::P.into(),
        Kind::List(true) => Tag::L(ListNumbering::Decimal).into(),
        Kind::List(false) => Tag::L(ListNumbering::None).into(),
        Kind::Item => Tag::LI.into(),
        Kind::Label => Tag::Lbl.into(),
        Kind::Body => Tag::LBody.into(),
        Kind::Table => Tag::Table.into(),
        Kind::Row => Tag::TR.into(),
        Kind::Head => Tag::TH(TableHeaderScope::Column).into(),
        Kind::Cell => Tag::TD.into(),
        Kind::Figure(spoken) => Tag::Figure(Some(spoken.clone())).into(),
        Kind::Caption => Tag::Caption.into(),
    }
}

fn point(place: DVec2) -> Point {
    Point::from_xy(place.x as f32, place.y as f32)
}

fn top(mark: &Mark) -> DVec2 {
    match mark {
        Mark::Words(words) => words.at - dvec2(0.0, words.size_pt),
        Mark::Line(points, _) | Mark::Area { outline: points, .. } => points.first().copied().unwrap_or_default(),
        Mark::Disc { centre, .. } => *centre,
    }
}

fn fill(colour: Colour) -> Fill {
    let paint = rgb::Color::new(colour.0, colour.1, colour.2).into();
    Fill { paint, opacity: NormalizedF32::ONE, rule: FillRule::NonZero }
}

fn stroke(pen: &Pen) -> Stroke {
    Stroke {
        paint: rgb::Color::new(pen.colour.0, pen.colour.1, pen.colour.2).into(),
        width: pen.width_pt as f32,
        line_join: LineJoin::Round,
        line_cap: LineCap::Butt,
        dash: (!pen.dash.is_empty()).then(|| StrokeDash { array: pen.dash.to_vec(), offset: 0.0 }),
        ..Stroke::default()
    }
}

fn draw(surface: &mut Surface<'_>, path: Option<Path>, inside: Option<Colour>, line: Option<&Pen>) {
    let Some(path) = path.filter(|_| inside.is_some() || line.is_some()) else { return };
    surface.set_fill(inside.map(fill));
    surface.set_stroke(line.map(stroke));
    surface.draw_path(&path);
}

/// `None` for fewer than two points or any that is not finite.
fn path(points: &[DVec2], closed: bool) -> Option<Path> {
    let (first, rest) = points.split_first()?;
    if rest.is_empty() || points.iter().any(|point| !point.is_finite()) {
        return None;
    }
    let mut builder = PathBuilder::new();
    builder.move_to(first.x as f32, first.y as f32);
    rest.iter().for_each(|point| builder.line_to(point.x as f32, point.y as f32));
    if closed {
        builder.close();
    }
    builder.finish()
}

fn circle(centre: DVec2, radius: f64) -> Option<Path> {
    if !(centre.is_finite() && radius.is_finite()) {
        return None;
    }
    let mut builder = PathBuilder::new();
    let at = |x: f64, y: f64| (centre + dvec2(x, y) * radius).as_vec2();
    let start = at(1.0, 0.0);
    builder.move_to(start.x, start.y);
    let mut from = dvec2(1.0, 0.0);
    for _ in 0..4 {
        let to = from.perp();
        let (a, b) = (from + QUARTER * to, to + QUARTER * from);
        let [a, b, end] = [a, b, to].map(|place| at(place.x, place.y));
        builder.cubic_to(a.x, a.y, b.x, b.y, end.x, end.y);
        from = to;
    }
    builder.close();
    builder.finish()
}

/// Parallel lines over the box of an outline; they lie where the page has them.
fn hatching(outline: &[DVec2], hatch: &Hatch) -> Option<Path> {
    const MOST: f64 = 4000.0;
    let along = dvec2(hatch.angle_rad.cos(), -hatch.angle_rad.sin());
    let across = along.perp();
    let range = |way: DVec2| {
        let places = outline.iter().map(|point| point.dot(way));
        places.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), place| (low.min(place), high.max(place)))
    };
    let ((from, to), (first, last)) = (range(along), range(across));
    let spacing = hatch.spacing_pt.max(0.5);
    if !(first.is_finite() && last.is_finite()) || (last - first) / spacing > MOST {
        return None;
    }
    let mut builder = PathBuilder::new();
    let mut row = (first / spacing).ceil();
    while row * spacing < last {
        // dashes begin where the page has them too, every second line half a dash later
        let period = hatch.pen.dash.iter().map(|part| f64::from(*part)).sum::<f64>();
        let start = if period > 0.0 { ((from / period).floor() - 0.5 * row.rem_euclid(2.0)) * period } else { from };
        let [a, b] = [start, to].map(|place| (along * place + across * row * spacing).as_vec2());
        builder.move_to(a.x, a.y);
        builder.line_to(b.x, b.y);
        row += 1.0;
    }
    builder.finish()
}
