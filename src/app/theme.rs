//! Two palettes, ink on paper and chalk on slate; every colour of the window comes from here.

use crate::scene::Role;
use eframe::egui::{
    self, Color32, CornerRadius, FontData, FontDefinitions, FontFamily, FontId, Stroke, TextStyle, Theme, Visuals,
};
use std::sync::Arc;

/// Colours of one look.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Palette {
    /// Behind everything.
    pub paper: Color32,
    /// Behind panels, menus and fields.
    pub sheet: Color32,
    /// Text and outlines.
    pub ink: Color32,
    /// Text that may stand back.
    pub weak: Color32,
    /// Hair lines of the interface.
    pub hair: Color32,
    /// The one accent.
    pub accent: Color32,
    /// What went wrong.
    pub error: Color32,
    /// Air.
    pub air: Color32,
    /// Fuel as text and line.
    pub fuel: Color32,
    /// Fuel as a filled area.
    pub fuel_fill: Color32,
    /// A space under vacuum.
    pub vacuum: Color32,
    /// Heat.
    pub heat: Color32,
    /// Cut metal.
    pub metal: Color32,
    /// A part seen whole.
    pub part: Color32,
    /// A weight.
    pub weight: Color32,
    /// Lines of the benches, in order.
    pub series: [Color32; 4],
}

/// Ink on paper. The series are those of Okabe and Ito, darkened where a thin line on paper needs it.
pub const PAPER: Palette = Palette {
    paper: Color32::from_rgb(0xf7, 0xf4, 0xec),
    sheet: Color32::from_rgb(0xfd, 0xfb, 0xf6),
    ink: Color32::from_rgb(0x1c, 0x24, 0x30),
    weak: Color32::from_rgb(0x52, 0x5c, 0x68),
    hair: Color32::from_rgb(0xcf, 0xca, 0xbd),
    accent: Color32::from_rgb(0x0b, 0x66, 0x5c),
    error: Color32::from_rgb(0xa1, 0x1d, 0x1d),
    air: Color32::from_rgb(0x1f, 0x5f, 0xa8),
    fuel: Color32::from_rgb(0x8a, 0x55, 0x00),
    fuel_fill: Color32::from_rgb(0xe3, 0xa2, 0x3c),
    vacuum: Color32::from_rgb(0x6a, 0x44, 0xa0),
    heat: Color32::from_rgb(0xa8, 0x32, 0x20),
    metal: Color32::from_rgb(0xdb, 0xd9, 0xd2),
    part: Color32::from_rgb(0xb9, 0xbd, 0xc2),
    weight: Color32::from_rgb(0x6f, 0x75, 0x7d),
    series: [
        Color32::from_rgb(0xd5, 0x5e, 0x00),
        Color32::from_rgb(0x00, 0x72, 0xb2),
        Color32::from_rgb(0x00, 0x8a, 0x65),
        Color32::from_rgb(0xb4, 0x5f, 0x93),
    ],
};

/// Chalk on slate.
pub const SLATE: Palette = Palette {
    paper: Color32::from_rgb(0x1f, 0x26, 0x2d),
    sheet: Color32::from_rgb(0x28, 0x30, 0x38),
    ink: Color32::from_rgb(0xec, 0xe9, 0xe0),
    weak: Color32::from_rgb(0xb0, 0xb8, 0xbe),
    hair: Color32::from_rgb(0x4a, 0x55, 0x5f),
    accent: Color32::from_rgb(0x7a, 0xd3, 0xc4),
    error: Color32::from_rgb(0xff, 0x9d, 0x90),
    air: Color32::from_rgb(0x8e, 0xc5, 0xff),
    fuel: Color32::from_rgb(0xf2, 0xbb, 0x5c),
    fuel_fill: Color32::from_rgb(0xb9, 0x7f, 0x22),
    vacuum: Color32::from_rgb(0xc4, 0xa7, 0xf2),
    heat: Color32::from_rgb(0xff, 0x9b, 0x83),
    metal: Color32::from_rgb(0x3c, 0x45, 0x4e),
    part: Color32::from_rgb(0x66, 0x71, 0x7b),
    weight: Color32::from_rgb(0x9a, 0xa4, 0xad),
    series: [
        Color32::from_rgb(0xe6, 0x9f, 0x00),
        Color32::from_rgb(0x56, 0xb4, 0xe9),
        Color32::from_rgb(0x2f, 0xc4, 0x98),
        Color32::from_rgb(0xe0, 0x9a, 0xc2),
    ],
};

/// How an area or line of the drawing is painted.
#[derive(Debug, Clone, Copy)]
pub struct Finish {
    /// Filling.
    pub fill: Color32,
    /// Outline or line.
    pub line: Stroke,
    /// Hatch, with the distance of its lines in points.
    pub hatch: Option<(Stroke, f32)>,
}

impl Palette {
    /// The palette of the style in use.
    pub fn of(visuals: &Visuals) -> &'static Self {
        if visuals.dark_mode { &SLATE } else { &PAPER }
    }

    /// How a role is painted.
    pub fn finish(&self, role: Role) -> Finish {
        let ink = Stroke::new(1.3, self.ink);
        let plain = |fill| Finish { fill, line: ink, hatch: None };
        match role {
            Role::CutMetal => Finish {
                fill: self.metal,
                line: ink,
                hatch: Some((Stroke::new(0.7, self.ink.gamma_multiply(0.45)), 6.0)),
            },
            Role::Part => plain(self.part),
            Role::Spring => Finish { line: Stroke::new(1.6, self.ink), ..plain(Color32::TRANSPARENT) },
            Role::Weight => plain(self.weight),
            Role::Diaphragm => Finish { fill: self.vacuum, line: Stroke::new(2.0, self.vacuum), hatch: None },
            Role::Fuel => Finish { fill: self.fuel_fill, line: Stroke::new(1.0, self.fuel), hatch: None },
            Role::Vacuum => Finish {
                fill: self.vacuum.gamma_multiply(0.14),
                line: Stroke::new(0.8, self.vacuum),
                hatch: Some((Stroke::new(0.7, self.vacuum.gamma_multiply(0.7)), 8.0)),
            },
            Role::Line => {
                Finish { line: Stroke::new(1.0, self.ink.gamma_multiply(0.8)), ..plain(Color32::TRANSPARENT) }
            }
            Role::Hollow => plain(self.paper),
            Role::Vapour => Finish { fill: self.paper, line: Stroke::new(1.2, self.air), hatch: None },
            Role::Heat => Finish {
                fill: self.heat,
                // ink round a thin arrow would leave nothing of its colour
                line: Stroke::new(0.8, self.heat),
                hatch: Some((Stroke::new(0.8, self.paper.gamma_multiply(0.6)), 3.0)),
            },
            Role::Accent => {
                Finish { fill: self.accent.gamma_multiply(0.3), line: Stroke::new(2.0, self.accent), hatch: None }
            }
        }
    }

    /// How a store of heat is painted: the hotter, the redder and the closer its hatch.
    pub fn warmth(&self, temperature_k: f64) -> (Color32, Option<(Stroke, f32)>) {
        const COLD_K: f64 = 283.15;
        const HOT_K: f64 = 393.15;
        let share = ((temperature_k - COLD_K) / (HOT_K - COLD_K)).clamp(0.0, 1.0) as f32;
        let fill = self.paper.lerp_to_gamma(self.heat, 0.55 * share);
        let hatch = (share > 0.15).then(|| (Stroke::new(0.7, self.heat.gamma_multiply(0.5)), 18.0 - 13.0 * share));
        (fill, hatch)
    }

    /// Text roles with the ground they stand on.
    pub fn text_pairs(&self) -> Vec<(&'static str, Color32, Color32)> {
        let mut pairs = Vec::new();
        for (name, colour) in [
            ("ink", self.ink),
            ("weak", self.weak),
            ("accent", self.accent),
            ("error", self.error),
            ("air", self.air),
            ("fuel", self.fuel),
            ("vacuum", self.vacuum),
            ("heat", self.heat),
        ] {
            pairs.push((name, colour, self.paper));
            pairs.push((name, colour, self.sheet));
        }
        pairs.push(("text on accent", self.paper, self.accent));
        pairs
    }

    fn visuals(&self, theme: Theme) -> Visuals {
        let mut visuals = if theme == Theme::Dark { Visuals::dark() } else { Visuals::light() };
        let round = CornerRadius::same(3);
        for (state, fill, line, width) in [
            (&mut visuals.widgets.noninteractive, self.paper, self.hair, 1.0),
            (&mut visuals.widgets.inactive, self.sheet, self.weak, 0.8),
            (&mut visuals.widgets.hovered, self.sheet, self.ink, 1.2),
            (&mut visuals.widgets.active, self.sheet, self.ink, 1.2),
            (&mut visuals.widgets.open, self.sheet, self.ink, 1.0),
        ] {
            state.bg_fill = fill;
            state.weak_bg_fill = fill;
            state.bg_stroke = Stroke::new(width, line);
            state.fg_stroke = Stroke::new(1.2, self.ink);
            state.corner_radius = round;
            state.expansion = 0.0;
        }
        visuals.widgets.inactive.bg_fill = self.hair;
        visuals.widgets.hovered.bg_fill = self.hair;
        visuals.widgets.active.bg_fill = self.hair;
        visuals.weak_text_color = Some(self.weak);
        visuals.hyperlink_color = self.accent;
        visuals.selection.bg_fill = self.accent;
        visuals.selection.stroke = Stroke::new(1.2, self.paper);
        visuals.panel_fill = self.paper;
        visuals.window_fill = self.sheet;
        visuals.window_stroke = Stroke::new(1.0, self.weak);
        visuals.window_corner_radius = round;
        visuals.menu_corner_radius = round;
        visuals.extreme_bg_color = self.sheet;
        visuals.faint_bg_color = self.sheet;
        visuals.code_bg_color = self.sheet;
        visuals.error_fg_color = self.error;
        visuals.warn_fg_color = self.fuel;
        visuals.window_shadow = egui::Shadow::NONE;
        visuals.popup_shadow = egui::Shadow::NONE;
        visuals.indent_has_left_vline = false;
        visuals.slider_trailing_fill = true;
        visuals
    }
}

/// WCAG 2 contrast of two opaque colours.
pub fn contrast(a: Color32, b: Color32) -> f64 {
    let (a, b) = (luminance(a), luminance(b));
    (a.max(b) + 0.05) / (a.min(b) + 0.05)
}

fn luminance(colour: Color32) -> f64 {
    let part = |byte: u8| {
        let share = f64::from(byte) / 255.0;
        if share <= 0.04045 { share / 12.92 } else { ((share + 0.055) / 1.055).powf(2.4) }
    };
    0.2126 * part(colour.r()) + 0.7152 * part(colour.g()) + 0.0722 * part(colour.b())
}

/// Name of the bold family.
pub fn bold() -> FontFamily {
    FontFamily::Name("bold".into())
}

/// Text in the bold face.
pub fn heavy(text: impl Into<String>) -> egui::RichText {
    egui::RichText::new(text).family(bold())
}

/// The three sizes of text: small, body, heading.
pub const SIZES: [f32; 3] = [11.5, 13.5, 17.0];

/// Fonts, once for a window.
pub fn install_fonts(ctx: &egui::Context) {
    let mut fonts = FontDefinitions::default();
    for (name, bytes) in [
        ("plate", include_bytes!("../../assets/fonts/Lato-Regular.ttf").as_slice()),
        ("plate_bold", include_bytes!("../../assets/fonts/Lato-Bold.ttf").as_slice()),
    ] {
        fonts.font_data.insert(name.to_owned(), Arc::new(FontData::from_static(bytes)));
    }
    let rest = fonts.families.get(&FontFamily::Proportional).cloned().unwrap_or_default();
    let with = |first: &str| std::iter::once(first.to_owned()).chain(rest.iter().cloned()).collect::<Vec<_>>();
    let (regular, heavy) = (with("plate"), with("plate_bold"));
    fonts.families.insert(FontFamily::Proportional, regular);
    fonts.families.insert(bold(), heavy);
    ctx.set_fonts(fonts);
}

/// Colours and text sizes of both looks.
pub fn install_styles(ctx: &egui::Context, text_size: f32, reduced_motion: bool) {
    for (theme, palette) in [(Theme::Light, &PAPER), (Theme::Dark, &SLATE)] {
        ctx.style_mut_of(theme, |style| {
            style.visuals = palette.visuals(theme);
            let [small, body, heading] = SIZES.map(|size| size * text_size);
            let font = |size| FontId::new(size, FontFamily::Proportional);
            style.text_styles.insert(TextStyle::Small, font(small));
            style.text_styles.insert(TextStyle::Body, font(body));
            style.text_styles.insert(TextStyle::Button, font(body));
            style.text_styles.insert(TextStyle::Monospace, FontId::new(body, FontFamily::Monospace));
            style.text_styles.insert(TextStyle::Heading, FontId::new(heading, bold()));
            style.spacing.interact_size = egui::vec2(26.0, 20.0) * text_size.max(1.0);
            style.spacing.icon_width = 14.0 * text_size;
            style.spacing.icon_width_inner = 8.0 * text_size;
            style.spacing.item_spacing = egui::vec2(7.0, 4.0);
            style.spacing.combo_width = 60.0;
            style.interaction.selectable_labels = false;
            style.animation_time = if reduced_motion { 0.0 } else { 0.12 };
        });
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn reference_black_on_white_has_a_contrast_of_21() {
        assert!((contrast(Color32::BLACK, Color32::WHITE) - 21.0).abs() < 1e-9);
    }

    /// WCAG 2.2, 1.4.3: 4.5 : 1 for text.
    #[test]
    fn every_text_stands_out_from_its_ground() {
        for palette in [PAPER, SLATE] {
            for (name, text, ground) in palette.text_pairs() {
                let contrast = contrast(text, ground);
                assert!(contrast >= 4.5, "{name} on {ground:?}: {contrast:.2}");
            }
        }
    }

    /// WCAG 2.2, 1.4.11: 3 : 1 for graphics.
    #[test]
    fn every_line_of_a_bench_stands_out_from_the_paper() {
        for palette in [PAPER, SLATE] {
            for colour in palette.series {
                let contrast = contrast(colour, palette.paper);
                assert!(contrast >= 3.0, "{colour:?}: {contrast:.2}");
            }
        }
    }
}
