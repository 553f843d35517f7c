//! Drawings of a block's benches at the cursor, side by side at one scale: the section in motion, or the car that stands.

use super::Page;
use super::block::Block;
use super::runner::Shown;
use crate::app::bench_view;
use crate::app::canvas::paint_part;
use crate::app::paint::{Fit, MARKER_NAMES, Series, canvas, fitted_text, focus_ring};
use crate::app::parts::Part as _;
use crate::app::parts::soak::HeatSoak;
use crate::app::section::{Brush, common_bounds, fit, is_empty, room};
use crate::app::theme::bold;
use crate::app::worker::Outcome;
use crate::learning::live::Live;
use crate::learning::seen::{Seen, SoakSeen};
use crate::scene::{self, Scene, looked};
use crate::units::{Quantity, UnitSystem};
use eframe::egui::accesskit::Role;
use eframe::egui::{Align2, FontId, Rect, Sense, TextStyle, Ui, pos2, vec2};

/// Height of a drawing over its width, with the names beside it.
const ASPECT: f32 = 0.66;
/// Highest row of drawings, share of the window.
const HIGHEST: f32 = 0.46;

/// What a bench did.
#[derive(Clone, Copy)]
enum Subject<'a> {
    Stab(&'a Outcome),
    Soak(&'a SoakSeen),
}

/// A bench's drawing at a time of its run.
struct Drawn<'a> {
    index: usize,
    subject: Subject<'a>,
    time_s: f64,
    scene: Scene,
}

impl<'a> Drawn<'a> {
    fn new(shown: &'a Shown, index: usize, cursor_s: f64, units: UnitSystem) -> Option<Self> {
        let subject = match shown.seen.get(index)? {
            Seen::Stab(_) => Subject::Stab(shown.outcomes.get(index)?.as_ref()?),
            Seen::Soak(soak) => Subject::Soak(soak),
        };
        let (time_s, scene) = match subject {
            Subject::Stab(outcome) => {
                let time_s = outcome.scenario.pedal.begin_s + cursor_s;
                (time_s, scene::draw(&outcome.scenario, &outcome.run.trace.at(time_s)))
            }
            Subject::Soak(seen) => (cursor_s, HeatSoak::draw(&seen.soak, &seen.run, cursor_s, units)),
        };
        Some(Self { index, subject, time_s, scene })
    }

    fn paint(&self, brush: &Brush<'_>, fit: &Fit, rect: Rect) {
        match self.subject {
            Subject::Stab(outcome) => bench_view::paint(brush, &self.scene, fit, rect, outcome, self.time_s),
            Subject::Soak(_) => {
                paint_part(brush, &self.scene, fit, self.time_s);
                brush.names(&self.scene, fit, rect);
            }
        }
    }

    /// The drawing in words, but for the bench's name.
    fn spoken(&self, units: UnitSystem) -> String {
        let outcome = match self.subject {
            Subject::Stab(outcome) => outcome,
            Subject::Soak(seen) => return HeatSoak::describe(&seen.run, self.time_s, units),
        };
        let sample = outcome.run.trace.at(self.time_s);
        let show = |quantity: Quantity, value| quantity.show(value, units);
        format!(
            "{}: primary plates {}, secondary plates {}, λ {}, torque {}",
            outcome.scenario.entry().name,
            show(Quantity::Angle, sample.primary_plate_rad),
            show(Quantity::Angle, sample.secondary_plate_rad),
            show(Quantity::Number, sample.lambda),
            show(Quantity::Torque, sample.torque_nm),
        )
    }
}

/// Every bench.
pub fn show(ui: &mut Ui, page: &mut Page<'_>, live: &Live, block: &Block, shown: &Shown) {
    let units = page.preferences.units;
    let drawn: Vec<Drawn<'_>> =
        (0..shown.seen.len()).filter_map(|index| Drawn::new(shown, index, block.cursor_s, units)).collect();
    let scenes: Vec<&Scene> = drawn.iter().map(|one| &one.scene).filter(|scene| !is_empty(scene)).collect();
    let Some(bounds) = common_bounds(scenes.iter().copied()) else { return };
    let text = ui.text_style_height(&TextStyle::Body);
    let count = drawn.len();
    let columns =
        if count == 4 || ui.available_width() < text * 13.0 * count as f32 { count.div_ceil(2) } else { count };
    let gap = 8.0;
    let width = (ui.available_width() - gap * (columns as f32 - 1.0)) / columns as f32;
    let highest = ui.ctx().content_rect().height() * HIGHEST / count.div_ceil(columns) as f32;
    let size = vec2(width, (width * ASPECT).min(highest.max(text * 8.0)));
    for row in drawn.chunks(columns) {
        ui.horizontal(|ui| {
            ui.spacing_mut().item_spacing.x = gap;
            for one in row {
                cell(ui, page, live, one, (&scenes, bounds), size);
            }
        });
    }
}

fn cell(
    ui: &mut Ui,
    page: &mut Page<'_>,
    live: &Live,
    drawn: &Drawn<'_>,
    (scenes, bounds): (&[&Scene], (glam::DVec2, glam::DVec2)),
    size: eframe::egui::Vec2,
) {
    let (palette, scene) = (page.palette, &drawn.scene);
    let shown: Vec<&'static str> = scene.parts().into_iter().map(|(part, _)| part.id).collect();
    let looked = live.look.iter().flat_map(|look| looked::parts(look)).copied();
    let looked: Vec<&'static str> = looked.filter(|id| shown.contains(id)).collect();
    let font = TextStyle::Small.resolve(ui.style());
    let (rect, response) = ui.allocate_exact_size(size, Sense::click());
    let painter = ui.painter_at(rect);
    let name = live.benches.get(drawn.index).map_or("", |bench| bench.name.as_str());
    let line = Rect::from_min_size(rect.min, vec2(rect.width(), font.size * 1.5));
    Series::of(palette, drawn.index).marker(&painter, pos2(rect.left() + 7.0, line.center().y), 4.0, palette.ink);
    let face = FontId::new(font.size, bold());
    fitted_text(&painter, line.with_min_x(rect.left() + 16.0), Align2::LEFT_CENTER, name, face, palette.ink);
    let below = rect.with_min_y(line.bottom());
    if !is_empty(scene) && ui.is_rect_visible(rect) {
        let brush = Brush { painter: &painter, palette, font, labels: page.preferences.labels, looked: &looked };
        let place = room(&brush, scenes, bounds, below);
        drawn.paint(&brush, &fit(scene, bounds, place), below);
    }
    let found = scene.parts().into_iter().filter(|(part, _)| looked.contains(&part.id));
    let mut names: Vec<&str> = found.map(|(part, _)| part.text).collect();
    names.dedup();
    let look = if names.is_empty() { String::new() } else { format!("; look at: {}", names.join(", ")) };
    let marker = MARKER_NAMES[drawn.index % 4];
    let spoken = format!("Section of {name} ({marker}), {}{look}", drawn.spoken(page.preferences.units));
    focus_ring(&painter, &response, palette);
    canvas(ui, &response, Role::Image, &spoken);
    if response.gained_focus() {
        page.active = Some(live.id.clone());
    }
}
