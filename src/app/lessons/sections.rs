//! Sections of a block's benches at the cursor, side by side at one scale.

use super::Page;
use super::block::Block;
use super::runner::Shown;
use crate::app::bench_view;
use crate::app::paint::{MARKER_NAMES, Series, canvas, fitted_text, focus_ring};
use crate::app::section::{Brush, common_bounds, fit, is_empty, room};
use crate::app::theme::bold;
use crate::app::worker::Outcome;
use crate::learning::live::Live;
use crate::scene::{self, Scene, looked};
use crate::units::Quantity;
use eframe::egui::accesskit::Role;
use eframe::egui::{Align2, FontId, Rect, Sense, TextStyle, Ui, pos2, vec2};

/// Height of a drawing over its width, with the names beside it.
const ASPECT: f32 = 0.66;
/// Highest row of drawings, share of the window.
const HIGHEST: f32 = 0.46;

/// Every bench that has a section.
pub fn show(ui: &mut Ui, page: &mut Page<'_>, live: &Live, block: &Block, shown: &Shown) {
    let drawn: Vec<(usize, &Outcome, Scene, f64)> = shown
        .outcomes
        .iter()
        .enumerate()
        .filter_map(|(index, outcome)| {
            let outcome = outcome.as_ref()?;
            let time = outcome.scenario.pedal.begin_s + block.cursor_s;
            Some((index, outcome, scene::draw(&outcome.scenario, &outcome.run.trace.at(time)), time))
        })
        .collect();
    let scenes: Vec<&Scene> = drawn.iter().map(|(_, _, scene, _)| scene).filter(|scene| !is_empty(scene)).collect();
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
    (index, outcome, scene, time): &(usize, &Outcome, Scene, f64),
    (scenes, bounds): (&[&Scene], (glam::DVec2, glam::DVec2)),
    size: eframe::egui::Vec2,
) {
    let palette = page.palette;
    let shown: Vec<&'static str> = scene.parts().into_iter().map(|(part, _)| part.id).collect();
    let looked = live.look.iter().flat_map(|look| looked::parts(look)).copied();
    let looked: Vec<&'static str> = looked.filter(|id| shown.contains(id)).collect();
    let font = TextStyle::Small.resolve(ui.style());
    let (rect, response) = ui.allocate_exact_size(size, Sense::click());
    let painter = ui.painter_at(rect);
    let name = live.benches.get(*index).map_or("", |bench| bench.name.as_str());
    let line = Rect::from_min_size(rect.min, vec2(rect.width(), font.size * 1.5));
    Series::of(palette, *index).marker(&painter, pos2(rect.left() + 7.0, line.center().y), 4.0, palette.ink);
    let face = FontId::new(font.size, bold());
    fitted_text(&painter, line.with_min_x(rect.left() + 16.0), Align2::LEFT_CENTER, name, face, palette.ink);
    let below = rect.with_min_y(line.bottom());
    if !is_empty(scene) && ui.is_rect_visible(rect) {
        let brush = Brush { painter: &painter, palette, font, labels: page.preferences.labels, looked: &looked };
        let place = room(&brush, scenes, bounds, below);
        bench_view::paint(&brush, scene, &fit(scene, bounds, place), below, outcome, *time);
    }
    let sample = outcome.run.trace.at(*time);
    let show = |quantity: Quantity, value| quantity.show(value, page.preferences.units);
    let found = scene.parts().into_iter().filter(|(part, _)| looked.contains(&part.id));
    let mut names: Vec<&str> = found.map(|(part, _)| part.text).collect();
    names.dedup();
    let look = if names.is_empty() { String::new() } else { format!("; look at: {}", names.join(", ")) };
    let spoken = format!(
        "Section of {name} ({}), {}: primary plates {}, secondary plates {}, λ {}, torque {}{look}",
        MARKER_NAMES[*index % 4],
        outcome.scenario.entry().name,
        show(Quantity::Angle, sample.primary_plate_rad),
        show(Quantity::Angle, sample.secondary_plate_rad),
        show(Quantity::Number, sample.lambda),
        show(Quantity::Torque, sample.torque_nm),
    );
    focus_ring(&painter, &response, palette);
    canvas(ui, &response, Role::Image, &spoken);
    if response.gained_focus() {
        page.active = Some(live.id.clone());
    }
}
