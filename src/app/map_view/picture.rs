//! The map itself: colour, lines, the bench's place, the reader's cursor, axes and scale.

use super::super::actions::Action;
use super::super::paint::focus_ring;
use super::super::state::State;
use super::super::strips::Strips;
use super::super::theme::{Palette, bold};
use super::lines::{Grid, Lines, over};
use super::{At, Drawn, View, bench_in_words, place_in_words, point_in_words};
use crate::bench::findings::FINDINGS;
use crate::bench::scenario::Scenario;
use crate::bench::sweep::chart::{Chart, Shade, axis_ticks};
use crate::bench::sweep::{Map, quantity};
use crate::content::map::{cividis, svg::axis_title};
use crate::settings::grouped::Grouped;
use crate::units::UnitSystem;
use eframe::egui::accesskit::Role;
use eframe::egui::{
    Align2, Color32, ColorImage, EventFilter, FontId, Key, Mesh, Modifiers, Painter, Pos2, Rect, Response, RichText,
    Sense, Shape, Stroke, TextStyle, TextureOptions, Ui, Vec2, WidgetInfo, pos2, vec2,
};
use std::sync::Arc;

/// Highest width of a map by its height: a wide window gives it air, not length.
const WIDEST: f32 = 1.7;

impl View {
    /// The map with its axes, scale and words.
    pub(super) fn picture(
        &mut self,
        ui: &mut Ui,
        state: &State,
        finding: usize,
        units: UnitSystem,
        actions: &mut Vec<Action>,
    ) {
        let Some(job) = self.shown.as_ref().map(|shown| Arc::clone(&shown.job)) else {
            ui.label("There is no map of these settings; mend what the panel at the right says.");
            return;
        };
        let done = job.done();
        let map = job.map();
        self.draw(ui, (Arc::as_ptr(&job) as usize, done), &map, finding, units);
        let Some(drawn) = &self.drawn else { return };
        let bench = state.bench();
        let size = TextStyle::Body.resolve(ui.style()).size;
        let which = bench_in_words(state.selected);
        let heading = format!("{} · {which}, {}", FINDINGS[finding].label, map.scenario.entry().name);
        ui.label(RichText::new(heading).family(bold()).size(size * 1.15));
        let words = ui.available_rect_before_wrap();
        // room for two lines of words under the picture, whatever they are, so that the picture does not jump
        let height = (ui.available_height() - 2.8 * size).max(60.0);
        let (rect, response) = ui.allocate_exact_size(vec2(words.width(), height), Sense::click());
        let layout = Layout::new(ui, rect, &map, &drawn.chart, units);
        let own = own_place(&map, &bench.scenario);
        let cursor = response.hover_pos().and_then(|at| layout.grid.point(at));
        let keyed = self.cursor.or_else(|| nearest_point(&map, own));
        let before = keyed;
        let keyed = if response.has_focus() { moved(ui, &response, &map, keyed) } else { keyed };
        // whichever of pointer and keys moved last is followed
        let by_pointer = ui.input(|input| input.pointer.delta() != Vec2::ZERO);
        self.by_keys = (self.by_keys || keyed != before) && !by_pointer && response.has_focus();
        let keys_point = keyed.filter(|_| response.has_focus());
        let looked_at = if self.by_keys { keys_point.or(cursor) } else { cursor.or(keys_point) };
        paint(ui, &layout, &map, drawn, &Marks { own, looked_at, finding, units, bench: state.selected });
        focus_ring(&ui.painter_at(rect), &response, Palette::of(ui.visuals()));
        let reading = reading(&map, looked_at, &bench.scenario, finding, units);
        ui.label(&reading);
        let spoken = format!("Map of {which}: {}", FINDINGS[finding].label);
        speak(&response, &spoken, &reading);
        let chosen = if response.clicked() {
            response.interact_pointer_pos().map_or(keyed, |at| layout.grid.point(at))
        } else {
            None
        };
        if let Some(at) = chosen.filter(|_| map.scenario.entry().id == bench.scenario.entry().id) {
            let to = [map.axes[0].value(at.0), map.axes[1].value(at.1)];
            let sent = [(map.axes[0].place, to[0]), (map.axes[1].place, to[1])];
            actions.push(Action::SetBoth(sent));
            self.sent = Some(sent);
            response.request_focus();
        }
        self.cursor = chosen.or(if response.has_focus() { keyed } else { self.cursor });
    }

    /// Keep what the map looks like up to date.
    fn draw(&mut self, ui: &Ui, (job, done): (usize, usize), map: &Map, finding: usize, units: UnitSystem) {
        let dark = ui.visuals().dark_mode;
        let key = (job, done, finding, dark, units);
        if self.drawn.as_ref().is_some_and(|drawn| drawn.key == key) {
            return;
        }
        let chart = Chart::of(map, &FINDINGS[finding], units);
        let image = image(map, &chart);
        let texture = match self.drawn.take() {
            Some(mut drawn) => {
                drawn.texture.set(image, TextureOptions::NEAREST);
                drawn.texture
            }
            None => ui.ctx().load_texture("map", image, TextureOptions::NEAREST),
        };
        self.drawn = Some(Drawn { key, chart, texture });
    }
}

/// One pixel a point, the top row first.
fn image(map: &Map, chart: &Chart) -> ColorImage {
    let [across, up] = map.axes.map(|axis| axis.steps);
    let colour = |shade: &Shade| match shade {
        Shade::Share(share) => {
            let [red, green, blue] = cividis::colour(*share);
            Color32::from_rgb(red, green, blue)
        }
        _ => Color32::TRANSPARENT,
    };
    let pixels = chart.shades.chunks(across).rev().flatten().map(colour).collect();
    ColorImage::new([across, up], pixels)
}

/// Where the bench stands on the map, in columns and rows; beyond the ends if it stands outside.
fn own_place(map: &Map, scenario: &Scenario) -> Option<[f64; 2]> {
    if map.scenario.entry().id != scenario.entry().id {
        return None;
    }
    let [across, up] = [0, 1].map(|axis| {
        let axis = &map.axes[axis];
        scenario.value(axis.place).map(|value| axis.step_of(value))
    });
    Some([across?, up?])
}

/// The point of the map that is nearest to a place, or its middle.
fn nearest_point(map: &Map, place: Option<[f64; 2]>) -> Option<At> {
    let last = map.axes.map(|axis| axis.steps - 1);
    let [column, row] = place.unwrap_or([0.5 * last[0] as f64, 0.5 * last[1] as f64]);
    let step = |place: f64, last: usize| (place.round().max(0.0) as usize).min(last);
    Some((step(column, last[0]), step(row, last[1])))
}

/// The keyboard's point after this frame's arrows.
fn moved(ui: &Ui, response: &Response, map: &Map, at: Option<At>) -> Option<At> {
    let filter = EventFilter { horizontal_arrows: true, vertical_arrows: true, ..Default::default() };
    ui.memory_mut(|memory| memory.set_focus_lock_filter(response.id, filter));
    let (mut column, mut row) = at?;
    let last = map.axes.map(|axis| axis.steps - 1);
    ui.input_mut(|input| {
        for (modifiers, by) in [(Modifiers::SHIFT, 4), (Modifiers::NONE, 1)] {
            let mut pressed = |key| input.count_and_consume_key(modifiers, key) * by;
            column = (column + pressed(Key::ArrowRight)).saturating_sub(pressed(Key::ArrowLeft)).min(last[0]);
            row = (row + pressed(Key::ArrowUp)).saturating_sub(pressed(Key::ArrowDown)).min(last[1]);
        }
    });
    Some((column, row))
}

/// What is said under the map.
fn reading(map: &Map, at: Option<At>, scenario: &Scenario, finding: usize, units: UnitSystem) -> String {
    if let Some(at) = at {
        let point = map.point(at.0, at.1);
        return format!("At {}: {}.", place_in_words(map, at, units), point_in_words(point, finding, units));
    }
    let values = map.axes.iter().filter_map(|axis| {
        let label = scenario.setting(axis.place)?.label;
        Some(format!("{label} {}", quantity(scenario, axis.place)?.show(scenario.value(axis.place)?, units)))
    });
    let values = values.collect::<Vec<_>>().join(", ");
    let inside = own_place(map, scenario).is_some_and(|place| {
        place.iter().zip(&map.axes).all(|(place, axis)| (-0.5..=axis.steps as f64 - 0.5).contains(place))
    });
    let outside = if inside { "" } else { ", outside this map" };
    format!("The bench stands at {values}{outside}.")
}

fn speak(response: &Response, name: &str, reading: &str) {
    response.widget_info(|| WidgetInfo::labeled(Role::Canvas, true, name));
    response.ctx.accesskit_node_builder(response.id, |node| node.set_value(reading.to_owned()));
}

/// Where the map, its figures and its scale stand.
struct Layout {
    grid: Grid,
    scale: Rect,
    font: FontId,
    titles: [String; 2],
    ticks: [Vec<(f64, String)>; 2],
}

impl Layout {
    fn new(ui: &Ui, rect: Rect, map: &Map, chart: &Chart, units: UnitSystem) -> Self {
        let font = TextStyle::Small.resolve(ui.style());
        let line = font.size * 1.35;
        let width =
            |text: &str| ui.painter().layout_no_wrap(text.to_owned(), font.clone(), Color32::PLACEHOLDER).size().x;
        let counts = [rect.width() / (font.size * 7.0), rect.height() / (font.size * 4.0)];
        let ticks = [0, 1].map(|axis| {
            let count = (counts[axis] as usize).clamp(2, 8);
            let quantity = quantity(&map.scenario, map.axes[axis].place);
            quantity.map_or(Vec::new(), |quantity| axis_ticks(&map.axes[axis], quantity, units, count))
        });
        let widest = |texts: &mut dyn Iterator<Item = &String>| texts.map(|text| width(text)).fold(0.0_f32, f32::max);
        let left = widest(&mut ticks[1].iter().map(|(_, text)| text)) + 10.0;
        let figures = chart.ticks();
        let right = 24.0 + line + widest(&mut figures.iter().map(|(_, text)| text)).max(width(chart.unit.symbol));
        let plot = Rect::from_min_max(
            rect.min + vec2(left, line + 2.0),
            pos2(rect.right() - right - 10.0, rect.bottom() - 2.0 * line - 8.0),
        );
        let size = vec2(plot.width().min(plot.height() * WIDEST), plot.height()).max(Vec2::splat(20.0));
        let plot = Rect::from_min_size(plot.min, size);
        let scale = Rect::from_min_size(pos2(plot.right() + 14.0, plot.top()), vec2(line, plot.height()));
        let grid = Grid { rect: plot, steps: map.axes.map(|axis| axis.steps) };
        Self { grid, scale, font, titles: [0, 1].map(|axis| axis_title(map, axis, units)), ticks }
    }
}

/// What stands out on the map.
struct Marks {
    own: Option<[f64; 2]>,
    looked_at: Option<At>,
    finding: usize,
    units: UnitSystem,
    bench: usize,
}

fn paint(ui: &Ui, layout: &Layout, map: &Map, drawn: &Drawn, marks: &Marks) {
    let palette = Palette::of(ui.visuals());
    let (grid, plot) = (layout.grid, layout.grid.rect);
    let painter = ui.painter_at(plot.expand(1.0));
    painter.rect_filled(plot, 0.0, palette.sheet);
    hatch(&painter, &grid, &drawn.chart, palette);
    let uv = Rect::from_min_max(Pos2::ZERO, pos2(1.0, 1.0));
    painter.image(drawn.texture.id(), plot, uv, Color32::WHITE);
    let font = layout.font.clone();
    let mut lines = Lines { painter: &painter, grid, palette, font, taken: Vec::new() };
    if let Some(own) = marks.own {
        lines.taken.push(Rect::from_center_size(grid.at(own), Vec2::splat(26.0)));
    }
    lines.contours(&drawn.chart);
    lines.boundaries(map, &drawn.chart);
    lines.figures(&drawn.chart);
    if let Some(own) = marks.own {
        ring(&painter, grid.at(own), palette, marks.bench);
    }
    if let Some((column, row)) = marks.looked_at {
        let cell = Rect::from_center_size(grid.at([column as f64, row as f64]), grid.cell().max(Vec2::splat(8.0)));
        painter.rect_stroke(cell, 0.0, Stroke::new(4.0, palette.paper), eframe::egui::StrokeKind::Outside);
        painter.rect_stroke(cell, 0.0, Stroke::new(2.0, palette.ink), eframe::egui::StrokeKind::Outside);
    }
    frame(ui, layout, palette);
    scale(ui, layout, map, &drawn.chart, marks, palette);
}

/// Slanted lines where there is no value; the picture is clear there.
fn hatch(painter: &Painter, grid: &Grid, chart: &Chart, palette: &Palette) {
    let mut strips = Strips::new(painter.ctx().pixels_per_point());
    let stroke = Stroke::new(1.0, palette.weak);
    let half = 0.5 * grid.cell();
    for (place, shade) in chart.shades.iter().enumerate() {
        if matches!(shade, Shade::Hole | Shade::Absent) {
            let at = grid.at([(place % grid.steps[0]) as f64, (place / grid.steps[0]) as f64]);
            strips.line([at + vec2(-half.x, half.y), at + vec2(half.x, -half.y)], stroke);
        }
    }
    strips.paint(painter);
}

/// The place of the bench: a ring with the bench's own marker in it.
fn ring(painter: &Painter, at: Pos2, palette: &Palette, bench: usize) {
    painter.circle_stroke(at, 10.0, Stroke::new(5.0, palette.paper));
    painter.circle_stroke(at, 10.0, Stroke::new(2.2, palette.ink));
    super::super::paint::Series::of(palette, bench).marker(painter, at, 4.0, palette.paper);
}

/// Frame, figures and titles of both axes.
fn frame(ui: &Ui, layout: &Layout, palette: &Palette) {
    let (painter, plot) = (ui.painter(), layout.grid.rect);
    let font = &layout.font;
    painter.rect_stroke(plot, 0.0, Stroke::new(1.0, palette.ink), eframe::egui::StrokeKind::Outside);
    let tick = Stroke::new(1.0, palette.weak);
    for (step, text) in &layout.ticks[0] {
        let x = layout.grid.at([*step, 0.0]).x;
        painter.line_segment([pos2(x, plot.bottom()), pos2(x, plot.bottom() + 4.0)], tick);
        painter.text(pos2(x, plot.bottom() + 5.0), Align2::CENTER_TOP, text, font.clone(), palette.weak);
    }
    for (step, text) in &layout.ticks[1] {
        let y = layout.grid.at([0.0, *step]).y;
        painter.line_segment([pos2(plot.left() - 4.0, y), pos2(plot.left(), y)], tick);
        painter.text(pos2(plot.left() - 6.0, y), Align2::RIGHT_CENTER, text, font.clone(), palette.weak);
    }
    let line = font.size * 1.35;
    let above = Rect::from_min_max(pos2(plot.left(), plot.top() - line - 2.0), pos2(plot.right(), plot.top()));
    let below = Rect::from_min_size(pos2(plot.left(), plot.bottom() + line + 5.0), vec2(plot.width(), line));
    let [across, up] = &layout.titles;
    super::super::paint::fitted_text(painter, above, Align2::LEFT_CENTER, up, font.clone(), palette.ink);
    super::super::paint::fitted_text(painter, below, Align2::RIGHT_CENTER, across, font.clone(), palette.ink);
}

/// The colour scale with its figures and, while a point is looked at, where that lies on it.
fn scale(ui: &Ui, layout: &Layout, map: &Map, chart: &Chart, marks: &Marks, palette: &Palette) {
    const STRIPES: usize = 48;
    let (painter, rect) = (ui.painter(), layout.scale);
    if chart.range.is_none() {
        return;
    }
    let y = |share: f64| rect.bottom() - share as f32 * rect.height();
    let mut mesh = Mesh::default();
    for row in 0..=STRIPES {
        let share = row as f64 / STRIPES as f64;
        let [red, green, blue] = cividis::colour(share);
        let colour = Color32::from_rgb(red, green, blue);
        let next = mesh.vertices.len() as u32;
        mesh.colored_vertex(pos2(rect.left(), y(share)), colour);
        mesh.colored_vertex(pos2(rect.right(), y(share)), colour);
        if row > 0 {
            mesh.add_triangle(next - 2, next - 1, next);
            mesh.add_triangle(next - 1, next, next + 1);
        }
    }
    painter.add(Shape::mesh(mesh));
    painter.rect_stroke(rect, 0.0, Stroke::new(1.0, palette.ink), eframe::egui::StrokeKind::Outside);
    for (value, text) in chart.ticks() {
        let share = chart.share(value);
        painter.hline(rect.x_range(), y(share), Stroke::new(1.0, over(share)));
        let at = pos2(rect.right() + 5.0, y(share));
        painter.text(at, Align2::LEFT_CENTER, text, layout.font.clone(), palette.ink);
    }
    let above = pos2(rect.left(), rect.top() - 2.0);
    painter.text(above, Align2::LEFT_BOTTOM, chart.unit.symbol, layout.font.clone(), palette.ink);
    let value = marks.looked_at.and_then(|(column, row)| {
        let found = map.point(column, row)?.as_ref().ok()?;
        let finding = &FINDINGS[marks.finding];
        Some(finding.quantity.unit(marks.units).from_si((finding.get)(&found.findings)?))
    });
    if let Some(value) = value {
        let at = y(chart.share(value));
        let points = [(0.0, 0.0), (-8.0, -5.0), (-8.0, 5.0)].map(|(dx, dy)| pos2(rect.left() + dx, at + dy));
        painter.add(Shape::convex_polygon(points.to_vec(), palette.ink, Stroke::new(1.0, palette.paper)));
    }
}
