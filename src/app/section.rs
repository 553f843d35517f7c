//! The painter of a drawing: display list in metres → shapes on the screen, with moving air and fuel.

use super::areas;
use super::paint::Fit;
use super::preferences::LabelDetail;
use super::theme::Palette;
use crate::scene::{Label, Scene, Shape as Drawn};
use eframe::egui::{self, Align2, Color32, FontId, Painter, Pos2, Rect, Shape, Stroke, pos2, vec2};
use glam::DVec2;

/// What a drawing is painted with.
pub struct Brush<'a> {
    /// Where.
    pub painter: &'a Painter,
    /// Colours.
    pub palette: &'a Palette,
    /// Names.
    pub font: FontId,
    /// Which names.
    pub labels: LabelDetail,
    /// Parts, by id, that are to be looked at: named whatever their detail, in the accent, with a ring.
    pub looked: &'a [&'static str],
}

/// Least room around a drawing, points.
pub(super) const MARGIN: f32 = 8.0;

/// Radius of the ring round what is looked at, points.
const RING: f32 = 5.5;

/// Width beyond which a name beside a drawing goes onto a second line, share of the canvas.
pub const WIDEST_NAME: f32 = 0.3;

/// Corners of everything that several drawings need, so that they share one scale.
pub fn common_bounds<'a>(scenes: impl IntoIterator<Item = &'a Scene>) -> Option<(DVec2, DVec2)> {
    scenes
        .into_iter()
        .filter(|scene| !is_empty(scene))
        .map(|scene| scene.bounds)
        .reduce(|a, b| (a.0.min(b.0), a.1.max(b.1)))
}

/// Whether there is nothing to paint.
pub fn is_empty(scene: &Scene) -> bool {
    let (least, most) = scene.bounds;
    scene.items.is_empty() || !(least.is_finite() && most.is_finite()) || most.x <= least.x || most.y <= least.y
}

/// The fit of a drawing into `room`: `bounds` are common to all drawings, each keeps its own middle.
pub fn fit(scene: &Scene, bounds: (DVec2, DVec2), room: Rect) -> Fit {
    let middle = 0.5 * (scene.bounds.0 + scene.bounds.1);
    let half = 0.5 * (bounds.1 - bounds.0);
    Fit::new(middle - half, middle + half, room)
}

/// The part of a canvas that names leave to the drawing, the same for all drawings.
pub fn room(brush: &Brush<'_>, scenes: &[&Scene], bounds: (DVec2, DVec2), canvas: Rect) -> Rect {
    let room = canvas.shrink(MARGIN);
    // names keep their width while the drawing between them grows: the largest scale at which both fit
    let names: Vec<(f64, f64)> = scenes
        .iter()
        .flat_map(|scene| {
            let fit = fit(scene, bounds, room);
            let middle = 0.5 * (scene.bounds.0.x + scene.bounds.1.x);
            brush.places(scene, &fit, canvas).into_iter().map(move |(rect, label)| {
                let leftward = rect.center().x < fit.at(label.place).x;
                let width = f64::from(rect.width()) + 3.0;
                (label.place.x - middle, if leftward { -width } else { width })
            })
        })
        .collect();
    let size = (bounds.1 - bounds.0).max(DVec2::splat(1e-4));
    let reach = |scale: f64| {
        let edge = 0.5 * size.x * scale + f64::from(MARGIN);
        let ends = names.iter().map(|(place, width)| place * scale + width);
        ends.fold((-edge, edge), |(left, right), end| (left.min(end), right.max(end)))
    };
    let width = f64::from(canvas.width());
    let fits = |scale: f64| reach(scale).1 - reach(scale).0 <= width;
    let largest = (f64::from(room.width()) / size.x).min(f64::from(room.height()) / size.y);
    let (mut low, mut high) = (0.25 * largest, largest);
    if fits(high) {
        low = high;
    }
    for _ in 0..12 {
        let middle = 0.5 * (low + high);
        if fits(middle) { low = middle } else { high = middle }
    }
    let (left, right) = reach(low);
    let centre = pos2(canvas.center().x - (0.5 * (left + right)) as f32, room.center().y);
    Rect::from_center_size(centre, vec2((low * size.x) as f32, room.height()))
}

impl Brush<'_> {
    /// Spaces by pressure, parts; air and fuel come in between by [`super::flow`].
    pub fn tints(&self, scene: &Scene, fit: &Fit) {
        for tint in &scene.tints {
            let points: Vec<Pos2> = tint.outline.iter().map(|p| fit.at(*p)).collect();
            areas::paint(self.painter, &points, tint_colour(self.palette, tint.depression_pa), None);
        }
    }

    /// Stores of heat.
    pub fn warmths(&self, scene: &Scene, fit: &Fit) {
        for warmth in &scene.warmths {
            let points: Vec<Pos2> = warmth.outline.iter().map(|p| fit.at(*p)).collect();
            let (fill, hatch) = self.palette.warmth(warmth.temperature_k);
            areas::paint(self.painter, &points, fill, hatch);
        }
    }

    /// Every part in painting order.
    pub fn items(&self, scene: &Scene, fit: &Fit) {
        for item in &scene.items {
            let finish = self.palette.finish(item.role);
            match &item.shape {
                Drawn::Area(outline) => {
                    let points: Vec<Pos2> = outline.iter().map(|p| fit.at(*p)).collect();
                    areas::paint(self.painter, &points, finish.fill, finish.hatch);
                    self.painter.add(Shape::closed_line(points, finish.line));
                }
                Drawn::Stroke { points, width } => {
                    let points: Vec<Pos2> = points.iter().map(|p| fit.at(*p)).collect();
                    let line = Stroke::new(fit.length(*width).max(finish.line.width), finish.line.color);
                    self.painter.add(Shape::line(points, line));
                }
                Drawn::Disc { centre, radius } => {
                    self.painter.circle(fit.at(*centre), fit.length(*radius).max(1.0), finish.fill, finish.line);
                }
            }
        }
    }

    /// Where the shown names would stand, the most important first.
    fn places<'a>(&self, scene: &'a Scene, fit: &Fit, canvas: Rect) -> Vec<(Rect, &'a Label)> {
        let middle = fit.at(0.5 * (scene.bounds.0 + scene.bounds.1)).x;
        let widest = widest_beside(canvas);
        self.shown(scene, canvas)
            .into_iter()
            .filter_map(|label| {
                let (part, place) = (fit.at(label.part), fit.at(label.place));
                let size = self.layout(label, widest).size();
                let align = if is_leftward(part, place, middle) { Align2::RIGHT_CENTER } else { Align2::LEFT_CENTER };
                (part.is_finite() && place.is_finite()).then(|| (align.anchor_size(place, size), label))
            })
            .collect()
    }

    /// The names that a canvas has room for, the most important first.
    pub(super) fn shown<'a>(&self, scene: &'a Scene, canvas: Rect) -> Vec<&'a Label> {
        let large = canvas.height() >= 300.0 && canvas.width() >= self.font.size * 46.0;
        let mut labels: Vec<&Label> = scene.labels.iter().filter(|label| self.shows(label, large)).collect();
        labels.sort_by_key(|label| if self.is_looked_at(label) { 0 } else { label.level + 1 });
        labels
    }

    pub(super) fn layout(&self, label: &Label, widest: f32) -> std::sync::Arc<egui::Galley> {
        let ink = if self.is_looked_at(label) { self.palette.accent } else { self.palette.ink };
        self.painter.layout(label.text.clone(), self.font.clone(), ink, widest)
    }

    fn is_looked_at(&self, label: &Label) -> bool {
        !self.looked.is_empty() && label.part_named().is_some_and(|part| self.looked.contains(&part.id))
    }

    /// Names with leader lines; two names never share a place.
    pub fn names(&self, scene: &Scene, fit: &Fit, canvas: Rect) {
        let mut taken: Vec<Rect> = Vec::new();
        for (rect, label) in self.places(scene, fit, canvas) {
            let Some(rect) = free_place(inside(rect, canvas.shrink(3.0)), &taken, canvas) else { continue };
            taken.push(rect.expand(1.0));
            let part = fit.at(label.part);
            let near = if part.x > rect.center().x { rect.right() + 2.0 } else { rect.left() - 2.0 };
            self.name(label, rect, pos2(near, rect.center().y), part, widest_beside(canvas));
        }
    }

    /// A name in its place, with a line from `near` to its part.
    pub(super) fn name(&self, label: &Label, rect: Rect, near: Pos2, part: Pos2, widest: f32) {
        self.painter.line_segment([near, part], Stroke::new(0.8, self.palette.weak));
        self.painter.circle_filled(part, 1.8, self.palette.ink);
        if self.is_looked_at(label) {
            self.painter.circle_stroke(part, RING, Stroke::new(2.0, self.palette.accent));
        }
        self.painter.rect_filled(rect.expand(1.0), 2.0, self.palette.paper.gamma_multiply(0.82));
        self.painter.galley(rect.min, self.layout(label, widest), self.palette.ink);
    }

    fn shows(&self, label: &Label, large: bool) -> bool {
        match self.labels {
            _ if self.is_looked_at(label) => true,
            // where there is little room, what is to be looked at has it to itself
            LabelDetail::Fitting | LabelDetail::Few if !self.looked.is_empty() && !large => false,
            LabelDetail::All => true,
            LabelDetail::Fitting => label.level == 0 || (label.level == 1 && large),
            LabelDetail::Few => label.level == 0,
        }
    }
}

/// The tint of a space: stronger with the logarithm of its depression, from a hundred pascals to an atmosphere.
pub fn tint_colour(palette: &Palette, depression_pa: f64) -> Color32 {
    let decades = (1.0 + depression_pa.max(0.0) / 100.0).log10() / 3.0;
    palette.vacuum.gamma_multiply((decades.clamp(0.0, 1.0) * 0.4) as f32)
}

/// Width beyond which a name beside a drawing goes onto a second line.
fn widest_beside(canvas: Rect) -> f32 {
    (canvas.width() * WIDEST_NAME).max(60.0)
}

/// Whether a name stands to the left of what it names: its nearer edge is put at its place.
fn is_leftward(part: Pos2, place: Pos2, middle: f32) -> bool {
    if (place.x - part.x).abs() < 1.0 { place.x < middle } else { place.x < part.x }
}

fn inside(rect: Rect, canvas: Rect) -> Rect {
    let low = (canvas.min - rect.min).max(vec2(0.0, 0.0));
    let rect = rect.translate(low);
    rect.translate((canvas.max - rect.max).min(vec2(0.0, 0.0)))
}

/// The place itself, or the nearest free one above or below it.
fn free_place(rect: Rect, taken: &[Rect], canvas: Rect) -> Option<Rect> {
    let step = rect.height() * 0.5;
    (0..24)
        .map(|n| {
            let rows = (n + 1) / 2;
            let shift = if n % 2 == 0 { rows as f32 } else { -(rows as f32) };
            rect.translate(vec2(0.0, shift * step))
        })
        .find(|place| canvas.contains_rect(*place) && !taken.iter().any(|other| other.intersects(*place)))
}
