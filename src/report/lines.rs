//! Running text → lines no wider than there is room. Lines break where the Unicode line breaking algorithm (UAX 14)
//! allows it, and between any two signs of a word that is too wide for a line of its own.

use crate::report::document::{Style, Text};
use crate::report::face::{Face, Faces, Glyph, MISSING};
use crate::report::ink::Colour;
use crate::report::page::Words;
use crate::units::Quantity;
use glam::DVec2;
use std::collections::BTreeSet;
use std::ops::Range;
use unicode_linebreak::linebreaks;

/// Size and colour of running text.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Type {
    /// Size, points.
    pub size_pt: f64,
    /// From line to line, points.
    pub leading_pt: f64,
    /// Colour.
    pub colour: Colour,
    /// Whether all of it is strong.
    pub strong: bool,
}

impl Type {
    /// From the top of a line to its base line, points: the signs stand in the middle of it.
    pub fn base_pt(&self) -> f64 {
        // ascender and descender of the typeface are 0.987 and 0.213 of its size
        0.5 * (self.leading_pt - 1.2 * self.size_pt) + 0.987 * self.size_pt
    }
}

/// A line: words in their settings from left to right, with their base line at y = 0.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Line {
    /// Words.
    pub words: Vec<Words>,
    /// Width without the space at its end, points.
    pub width_pt: f64,
}

/// A piece that is not broken, in one setting.
struct Piece {
    range: Range<usize>,
    style: Style,
    glyphs: Vec<Glyph>,
    /// Width, and width without the space at its end.
    widths: (f64, f64),
    /// Whether a line may begin with it.
    may_begin: bool,
}

/// What sets text, and what it could not set.
pub struct Compositor<'a> {
    /// The typeface.
    pub faces: &'a Faces,
    /// Signs that it lacks.
    pub missing: BTreeSet<char>,
}

impl Compositor<'_> {
    /// Lines of a text no wider than `width_pt`; one empty line for no text.
    pub fn lines(&mut self, text: &Text, style: &Type, width_pt: f64) -> Vec<Line> {
        let (clean, settings) = self.clean(text);
        let pieces = self.pieces(&clean, &settings, style, width_pt);
        let mut lines = vec![Vec::new()];
        // pieces that must stay with the one before wait until their word is whole
        let mut used = 0.0;
        let mut at = 0;
        while at < pieces.len() {
            let next = pieces[at + 1..].iter().position(|piece| piece.may_begin).map_or(pieces.len(), |n| at + 1 + n);
            let (whole, visible) = widths(&pieces[at..next]);
            // a word of several settings that is too wide for any line goes piece by piece
            let next = if visible > width_pt { at + 1 } else { next };
            let (whole, visible) = if next == at + 1 { pieces[at].widths } else { (whole, visible) };
            if used + visible > width_pt && used > 0.0 {
                lines.push(Vec::new());
                used = 0.0;
            }
            used += whole;
            if let Some(line) = lines.last_mut() {
                line.extend(at..next);
            }
            at = next;
        }
        lines.into_iter().map(|line| joined(&line, &pieces, &clean, style)).collect()
    }

    /// One line of plain words, however wide.
    pub fn line(&mut self, text: &str, style: &Type) -> Line {
        self.lines(&Text::plain(text), style, f64::INFINITY).into_iter().next().unwrap_or_default()
    }

    /// The words without what cannot be set, and where each setting ends.
    fn clean(&mut self, text: &Text) -> (String, Vec<(usize, Style)>) {
        let (mut clean, mut settings) = (String::new(), Vec::new());
        for span in &text.0 {
            for sign in bound(&span.text).chars().filter(|sign| !is_invisible(*sign)) {
                match sign {
                    '\u{a0}' => clean.push(sign),
                    sign if sign.is_whitespace() || sign.is_control() => {
                        if !clean.ends_with(' ') && !clean.is_empty() {
                            clean.push(' ');
                        }
                    }
                    sign if self.faces.has(sign) => clean.push(sign),
                    sign => {
                        self.missing.insert(sign);
                        clean.push(MISSING);
                    }
                }
            }
            settings.push((clean.len(), span.style));
        }
        (clean, settings)
    }

    fn pieces(&self, clean: &str, settings: &[(usize, Style)], style: &Type, width_pt: f64) -> Vec<Piece> {
        let mut pieces = Vec::new();
        let mut from = 0;
        for (to, _) in linebreaks(clean).filter(|(to, _)| !is_in_a_unit(clean, *to)) {
            let mut first = true;
            let mut within = from;
            while within < to {
                let (end, setting) =
                    settings.iter().copied().find(|(end, _)| *end > within).unwrap_or((to, Style::Plain));
                let range = within..end.min(to);
                let piece = self.piece(clean, range.clone(), setting, style, first);
                if piece.widths.1 > width_pt {
                    let signs = clean[range.clone()].char_indices();
                    pieces.extend(signs.map(|(place, sign)| {
                        let start = range.start + place;
                        self.piece(clean, start..start + sign.len_utf8(), setting, style, true)
                    }));
                } else {
                    pieces.push(piece);
                }
                first = false;
                within = range.end;
            }
            from = to;
        }
        pieces
    }

    fn piece(&self, clean: &str, range: Range<usize>, setting: Style, style: &Type, may_begin: bool) -> Piece {
        let face = face_of(setting, style);
        let text = &clean[range.clone()];
        let width = |glyphs: &[Glyph]| style.size_pt * glyphs.iter().map(|glyph| glyph.advance).sum::<f64>();
        let glyphs = self.faces.shape(face, text);
        let visible = text.trim_end_matches(' ').len();
        let shown = glyphs.iter().take_while(|glyph| glyph.range.start < visible).count();
        let widths = (width(&glyphs), width(&glyphs[..shown]));
        Piece { range, style: setting, glyphs, widths, may_begin }
    }
}

fn face_of(setting: Style, style: &Type) -> Face {
    if style.strong || setting == Style::Strong { Face::Bold } else { Face::Regular }
}

/// Marks of direction, joiners and soft hyphens: they print nothing.
fn is_invisible(sign: char) -> bool {
    matches!(sign, '\u{ad}' | '\u{200b}'..='\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2060}'..='\u{206f}'
        | '\u{fe00}'..='\u{fe0f}' | '\u{feff}' | '\u{e0000}'..='\u{e0fff}')
}

/// A number stays with its unit: the space between them becomes one at which no line breaks.
fn bound(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for (place, sign) in text.char_indices() {
        let after_figure = out.ends_with(|sign: char| sign.is_ascii_digit());
        let binds = sign == ' ' && after_figure && begins_with_unit(&text[place + 1..]);
        out.push(if binds { '\u{a0}' } else { sign });
    }
    out
}

fn begins_with_unit(text: &str) -> bool {
    let word = text.split([' ', ',', '.', ';', ':', ')', '?', '\n']).next().unwrap_or_default();
    !word.is_empty() && Quantity::ALL.iter().any(|quantity| quantity.units().iter().any(|unit| unit.symbol == word))
}

/// Width of pieces, and their width without the space at their end.
fn widths(pieces: &[Piece]) -> (f64, f64) {
    let whole: f64 = pieces.iter().map(|piece| piece.widths.0).sum();
    let last = pieces.last().map_or((0.0, 0.0), |piece| piece.widths);
    (whole, whole - last.0 + last.1)
}

fn joined(line: &[usize], pieces: &[Piece], clean: &str, style: &Type) -> Line {
    let mut out = Line::default();
    let mut x = 0.0;
    for piece in line.iter().map(|place| &pieces[*place]) {
        let (face, leans) = (face_of(piece.style, style), piece.style == Style::Emphasis);
        let fresh = out.words.last().is_none_or(|words: &Words| words.face != face || words.leans != leans);
        if fresh {
            let at = DVec2::new(x, 0.0);
            let (size_pt, colour) = (style.size_pt, style.colour);
            out.words.push(Words { at, face, size_pt, leans, colour, text: String::new(), glyphs: Vec::new() });
        }
        if let Some(words) = out.words.last_mut() {
            let shift = words.text.len();
            words.text.push_str(&clean[piece.range.clone()]);
            let moved =
                |glyph: &Glyph| Glyph { range: glyph.range.start + shift..glyph.range.end + shift, ..glyph.clone() };
            words.glyphs.extend(piece.glyphs.iter().map(moved));
        }
        out.width_pt = x + piece.widths.1;
        x += piece.widths.0;
    }
    out
}

/// Letters after a slash that make a unit rather than a path.
const LONGEST_UNIT: usize = 4;

/// Whether a line that ends here would tear a unit such as L/s, which the standard's rules allow.
fn is_in_a_unit(text: &str, place: usize) -> bool {
    let after = text[place..].chars().take_while(|sign| sign.is_alphanumeric()).count();
    text[..place].ends_with('/') && (1..=LONGEST_UNIT).contains(&after)
}

#[cfg(test)]
mod tests {
    use super::is_in_a_unit;

    #[test]
    fn a_unit_is_not_torn_at_its_slash_and_a_path_may_be() {
        assert!(is_in_a_unit("283 L/s now", 6));
        assert!(!is_in_a_unit("carburettor/manifold", 12));
        assert!(!is_in_a_unit("283 L/s now", 8));
        assert!(!is_in_a_unit("either/", 7));
    }
}
