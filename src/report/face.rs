//! The typeface that comes with the program: which signs it has, and how wide words are in it.

use rustybuzz::{Direction, Language, ShapePlan, UnicodeBuffer, script};
use std::ops::Range;
use std::str::FromStr;

/// A cut of the typeface.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Face {
    /// Upright.
    Regular,
    /// Bold.
    Bold,
}

impl Face {
    /// The font file.
    pub fn bytes(self) -> &'static [u8] {
        match self {
            Self::Regular => include_bytes!("../../assets/fonts/Lato-Regular.ttf"),
            Self::Bold => include_bytes!("../../assets/fonts/Lato-Bold.ttf"),
        }
    }
}

/// A sign with its place; lengths in sizes of the type.
#[derive(Debug, Clone, PartialEq)]
pub struct Glyph {
    /// Number in the font.
    pub id: u32,
    /// Way to the next one.
    pub advance: f64,
    /// Away from its place, right and up.
    pub offset: (f64, f64),
    /// Bytes of the text for which it stands.
    pub range: Range<usize>,
}

/// What stands for a sign that the typeface lacks.
pub const MISSING: char = '□';

/// Both cuts, ready to measure.
pub struct Faces {
    cuts: [(rustybuzz::Face<'static>, ShapePlan); 2],
}

impl Faces {
    /// The typeface; `None` if the program was built with files that are no fonts.
    pub fn embedded() -> Option<Self> {
        let cut = |face: Face| {
            let face = rustybuzz::Face::from_slice(face.bytes(), 0)?;
            let language = Language::from_str("en").ok();
            let plan = ShapePlan::new(&face, Direction::LeftToRight, Some(script::LATIN), language.as_ref(), &[]);
            Some((face, plan))
        };
        Some(Self { cuts: [cut(Face::Regular)?, cut(Face::Bold)?] })
    }

    fn cut(&self, face: Face) -> &(rustybuzz::Face<'static>, ShapePlan) {
        &self.cuts[usize::from(face == Face::Bold)]
    }

    /// Whether both cuts have a sign.
    pub fn has(&self, sign: char) -> bool {
        self.cuts.iter().all(|(face, _)| face.glyph_index(sign).is_some())
    }

    /// The glyphs of a text, from left to right.
    pub fn shape(&self, face: Face, text: &str) -> Vec<Glyph> {
        let (font, plan) = self.cut(face);
        let mut buffer = UnicodeBuffer::new();
        buffer.push_str(text);
        buffer.set_direction(Direction::LeftToRight);
        buffer.set_script(script::LATIN);
        if let Ok(language) = Language::from_str("en") {
            buffer.set_language(language);
        }
        let shaped = rustybuzz::shape_with_plan(font, plan, buffer);
        let em = f64::from(font.units_per_em().max(1));
        let starts: Vec<usize> = shaped.glyph_infos().iter().map(|info| info.cluster as usize).collect();
        let end =
            |place: usize| starts[place..].iter().copied().find(|start| *start > starts[place]).unwrap_or(text.len());
        let glyphs = shaped.glyph_infos().iter().zip(shaped.glyph_positions()).enumerate();
        glyphs
            .map(|(place, (info, position))| Glyph {
                id: info.glyph_id,
                advance: f64::from(position.x_advance) / em,
                offset: (f64::from(position.x_offset) / em, f64::from(position.y_offset) / em),
                range: starts[place]..end(place),
            })
            .collect()
    }

    /// Width of a text, in sizes of the type.
    pub fn width(&self, face: Face, text: &str) -> f64 {
        self.shape(face, text).iter().map(|glyph| glyph.advance).sum()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn figures_stand_in_columns() {
        let faces = Faces::embedded().unwrap();
        for face in [Face::Regular, Face::Bold] {
            let widths: Vec<f64> = ('0'..='9').map(|figure| faces.width(face, &figure.to_string())).collect();
            assert!(widths.iter().all(|width| (width - widths[0]).abs() < 1e-9), "{widths:?}");
        }
    }

    #[test]
    fn the_sign_for_missing_ones_is_there_itself() {
        let faces = Faces::embedded().unwrap();
        assert!(faces.has(MISSING) && faces.has('λ') && faces.has('³') && faces.has('₂'));
        assert!(!faces.has('字'));
    }

    #[test]
    fn glyphs_cover_their_text_without_a_gap() {
        let faces = Faces::embedded().unwrap();
        let text = "Office: λ = 1.32, 2.4 cm³";
        let glyphs = faces.shape(Face::Regular, text);
        let mut place = 0;
        for glyph in &glyphs {
            assert_eq!(glyph.range.start, place);
            place = glyph.range.end;
        }
        assert_eq!(place, text.len());
    }
}
