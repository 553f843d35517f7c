//! Colours, lines and hatches of print: everything is told by form first, so that a grey copy tells the same.

use crate::scene::Role;

/// A colour of print, sRGB.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Colour(pub u8, pub u8, pub u8);

impl Colour {
    /// The colour thinned with white: 0 is white, 1 the colour itself.
    pub fn thinned(self, share: f64) -> Self {
        let mix = |part: u8| (255.0 + (f64::from(part) - 255.0) * share.clamp(0.0, 1.0)).round() as u8;
        Self(mix(self.0), mix(self.1), mix(self.2))
    }
}

/// Paper.
pub const WHITE: Colour = Colour(0xff, 0xff, 0xff);
/// Text and outlines.
pub const INK: Colour = Colour(0x1c, 0x24, 0x30);
/// Text that may stand back.
pub const WEAK: Colour = Colour(0x52, 0x5c, 0x68);
/// Hair lines.
pub const HAIR: Colour = Colour(0xb8, 0xbc, 0xc0);
/// The one accent.
pub const ACCENT: Colour = Colour(0x0b, 0x66, 0x5c);
/// Air.
pub const AIR: Colour = Colour(0x1f, 0x5f, 0xa8);
/// Fuel as a line.
pub const FUEL: Colour = Colour(0x8a, 0x55, 0x00);
/// Heat and care.
pub const HEAT: Colour = Colour(0xa8, 0x32, 0x20);
/// Vacuum.
pub const VACUUM: Colour = Colour(0x6a, 0x44, 0xa0);
const METAL: Colour = Colour(0xec, 0xeb, 0xe7);
const PART: Colour = Colour(0xc4, 0xc8, 0xcc);
const WEIGHT: Colour = Colour(0x6f, 0x75, 0x7d);
const FUEL_FILL: Colour = Colour(0xf0, 0xc8, 0x82);

/// A line: colour, width in points, lengths of dashes and gaps (none: whole).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pen {
    /// Colour.
    pub colour: Colour,
    /// Width, points.
    pub width_pt: f64,
    /// Dashes and gaps, points.
    pub dash: &'static [f32],
}

impl Pen {
    /// A whole line.
    pub const fn of(colour: Colour, width_pt: f64) -> Self {
        Self { colour, width_pt, dash: &[] }
    }
}

/// Parallel lines in an area; they lie where the page has them, whatever the area.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hatch {
    /// Its lines.
    pub pen: Pen,
    /// Distance between two, points.
    pub spacing_pt: f64,
    /// Direction of the lines, radians anticlockwise from the right.
    pub angle_rad: f64,
}

/// How an area or a line of a section is printed.
#[derive(Debug, Clone, Copy)]
pub struct Finish {
    /// Filling; none for what is only a line.
    pub fill: Option<Colour>,
    /// Outline or line.
    pub line: Pen,
    /// Hatch.
    pub hatch: Option<Hatch>,
}

const RISING: f64 = std::f64::consts::FRAC_PI_4;
const FALLING: f64 = -std::f64::consts::FRAC_PI_4;

/// How a role is printed.
pub fn finish(role: Role) -> Finish {
    let plain = |fill| Finish { fill: Some(fill), line: Pen::of(INK, 0.7), hatch: None };
    let line = |pen| Finish { fill: None, line: pen, hatch: None };
    let hatch = |pen, spacing_pt, angle_rad| Some(Hatch { pen, spacing_pt, angle_rad });
    match role {
        Role::CutMetal => Finish { hatch: hatch(Pen::of(INK.thinned(0.55), 0.3), 2.6, RISING), ..plain(METAL) },
        Role::Part => plain(PART),
        Role::Spring => line(Pen::of(INK, 0.8)),
        Role::Weight => plain(WEIGHT),
        Role::Diaphragm => Finish { fill: Some(VACUUM), line: Pen::of(VACUUM, 1.1), hatch: None },
        // the drawing office's dashes of a liquid
        Role::Fuel => {
            let dashes = Pen { colour: FUEL, width_pt: 0.45, dash: &[3.0, 2.0] };
            Finish { fill: Some(FUEL_FILL), line: Pen::of(FUEL, 0.5), hatch: hatch(dashes, 2.2, 0.0) }
        }
        Role::Vacuum => Finish {
            fill: Some(VACUUM.thinned(0.12)),
            line: Pen::of(VACUUM, 0.5),
            hatch: hatch(Pen::of(VACUUM, 0.35), 3.0, FALLING),
        },
        Role::Line => line(Pen::of(INK.thinned(0.8), 0.5)),
        Role::Hollow => plain(WHITE),
        Role::Vapour => Finish { line: Pen::of(AIR, 0.7), ..plain(WHITE) },
        Role::Heat => Finish { hatch: hatch(Pen::of(WHITE, 0.4), 2.6, RISING), ..plain(HEAT) },
        Role::Accent => Finish { fill: Some(ACCENT.thinned(0.3)), line: Pen::of(ACCENT, 1.1), hatch: None },
    }
}

/// How a space under a depression is printed: the closer the lines, the deeper, with the logarithm from a hundred
/// pascals to an atmosphere.
pub fn tint(depression_pa: f64) -> Option<(Colour, Hatch)> {
    let share = ((1.0 + depression_pa.max(0.0) / 100.0).log10() / 3.0).clamp(0.0, 1.0);
    (share > 0.12).then(|| {
        let pen = Pen::of(VACUUM.thinned(0.75), 0.3);
        (VACUUM.thinned(0.22 * share), Hatch { pen, spacing_pt: 7.5 - 5.0 * share, angle_rad: FALLING })
    })
}

/// The line of a series: colours of Okabe and Ito, darkened for thin lines; each with a dash of its own.
pub fn series(place: usize) -> Pen {
    const COLOURS: [Colour; 4] =
        [Colour(0xb8, 0x4c, 0x00), Colour(0x00, 0x5f, 0x9c), Colour(0x00, 0x73, 0x54), Colour(0x9c, 0x46, 0x7c)];
    const DASHES: [&[f32]; 4] = [&[], &[6.0, 2.6], &[1.6, 1.8], &[8.0, 2.2, 1.6, 2.2]];
    let place = place % 4;
    Pen { colour: COLOURS[place], width_pt: 1.25, dash: DASHES[place] }
}

/// What lies behind words of care.
pub const CARE: Hatch = Hatch { pen: Pen::of(HEAT, 0.9), spacing_pt: 3.2, angle_rad: RISING };

#[cfg(test)]
mod tests {
    use super::*;

    fn luminance(colour: Colour) -> f64 {
        let part = |byte: u8| {
            let share = f64::from(byte) / 255.0;
            if share <= 0.04045 { share / 12.92 } else { ((share + 0.055) / 1.055).powf(2.4) }
        };
        0.2126 * part(colour.0) + 0.7152 * part(colour.1) + 0.0722 * part(colour.2)
    }

    /// WCAG 2.2, 1.4.3 and 1.4.11: 4.5 : 1 for text, 3 : 1 for lines that say something.
    #[test]
    fn print_stands_out_from_the_paper() {
        let contrast = |colour| 1.05 / (luminance(colour) + 0.05);
        for colour in [INK, WEAK, ACCENT, AIR, FUEL, HEAT, VACUUM] {
            assert!(contrast(colour) >= 4.5, "{colour:?} {}", contrast(colour));
        }
        for place in 0..4 {
            assert!(contrast(series(place).colour) >= 3.0, "series {place}");
        }
    }

    #[test]
    fn series_differ_without_their_colours() {
        for (a, b) in [(0, 1), (0, 2), (0, 3), (1, 2), (1, 3), (2, 3)] {
            assert_ne!(series(a).dash, series(b).dash);
        }
    }
}
