//! Names above and below a drawing, for a drawing that names at its sides would leave little of a narrow canvas.

use super::paint::Fit;
use super::section::{Brush, MARGIN, fit, room};
use crate::scene::{Label, Scene};
use eframe::egui::{Rect, Vec2, pos2};
use glam::DVec2;

/// A drawing must become so many times larger before its names leave its sides, where they are found more easily.
const GAIN: f64 = 1.4;
/// Width beyond which such a name goes onto a second line, share of the canvas.
const WIDEST: f32 = 0.46;
/// Space between a drawing and its names, and between two names, points.
const GAP: f32 = 8.0;

/// Where the names of a drawing stand.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Names {
    /// In columns at its sides.
    Beside,
    /// In rows above and below.
    Around,
}

/// Names on one side of a drawing, in rows; the first row is nearest to the drawing.
struct Rows<'a> {
    names: Vec<Placed<'a>>,
    height: f32,
    count: usize,
}

struct Placed<'a> {
    label: &'a Label,
    left: f32,
    size: Vec2,
    row: usize,
}

impl Rows<'_> {
    fn room(&self) -> f32 {
        if self.count == 0 { 0.0 } else { GAP + self.height * self.count as f32 }
    }
}

/// The part of a canvas that names leave to the drawing, the same for all drawings, with the names where they leave most.
pub fn best_room(brush: &Brush<'_>, scenes: &[&Scene], bounds: (DVec2, DVec2), canvas: Rect) -> (Rect, Names) {
    let beside = room(brush, scenes, bounds, canvas);
    let mut around = canvas.shrink(MARGIN);
    // a drawing that becomes smaller moves its names together, which may need another row
    for _ in 0..2 {
        let rows = scenes.iter().map(|scene| brush.rows(scene, &fit(scene, bounds, around), canvas));
        let [above, below] = rows.fold([0.0_f32; 2], |most, rows| [0, 1].map(|side| most[side].max(rows[side].room())));
        around = canvas.shrink(MARGIN).with_min_y(canvas.top() + MARGIN + above);
        around.max.y = (canvas.bottom() - MARGIN - below).max(around.top() + 1.0);
    }
    let scale = |room| Fit::new(bounds.0, bounds.1, room).scale;
    if scale(around) > GAIN * scale(beside) { (around, Names::Around) } else { (beside, Names::Beside) }
}

impl Brush<'_> {
    /// The names that stand above a drawing, and those below it.
    fn rows<'a>(&self, scene: &'a Scene, fit: &Fit, canvas: Rect) -> [Rows<'a>; 2] {
        let middle = fit.at(0.5 * (scene.bounds.0 + scene.bounds.1)).y;
        let (above, below): (Vec<&Label>, Vec<&Label>) = self
            .shown(scene, canvas)
            .into_iter()
            .filter(|label| fit.at(label.part).is_finite())
            .partition(|label| fit.at(label.part).y < middle);
        [above, below].map(|labels| self.in_rows(labels, fit, canvas))
    }

    /// From left to right in the order of their parts, each as near to being over its part as its neighbours let it.
    fn in_rows<'a>(&self, mut labels: Vec<&'a Label>, fit: &Fit, canvas: Rect) -> Rows<'a> {
        labels.sort_by(|a, b| a.part.x.total_cmp(&b.part.x));
        let (mut ends, mut height): (Vec<f32>, f32) = (Vec::new(), 0.0);
        let right = canvas.right() - 3.0;
        let mut names = Vec::with_capacity(labels.len());
        for label in labels {
            let size = self.layout(label, canvas.width() * WIDEST).size();
            let wish = (fit.at(label.part).x - 0.5 * size.x).min(right - size.x).max(canvas.left() + 3.0);
            let free = ends.iter().position(|end| wish.max(end + GAP) + size.x <= right);
            let row = free.unwrap_or(ends.len());
            let left = ends.get(row).map_or(wish, |end| wish.max(end + GAP));
            match ends.get_mut(row) {
                Some(end) => *end = left + size.x,
                None => ends.push(left + size.x),
            }
            height = height.max(size.y + 3.0);
            names.push(Placed { label, left, size, row });
        }
        Rows { names, height, count: ends.len() }
    }

    /// Names above and below a drawing that has `bounds` to itself.
    pub fn names_around(&self, scene: &Scene, fit: &Fit, canvas: Rect, bounds: (DVec2, DVec2)) {
        let middle = 0.5 * (scene.bounds.0 + scene.bounds.1);
        let half = 0.5 * (bounds.1 - bounds.0);
        let (top, bottom) = (fit.at(middle + half).y - GAP, fit.at(middle - half).y + GAP);
        let [above, below] = self.rows(scene, fit, canvas);
        for (rows, is_above) in [(above, true), (below, false)] {
            for Placed { label, left, size, row } in rows.names {
                let away = row as f32 * rows.height;
                let y = if is_above { top - away - size.y } else { bottom + away };
                let y = y.min(canvas.bottom() - size.y - 2.0).max(canvas.top() + 2.0);
                let rect = Rect::from_min_size(pos2(left, y), size);
                let x = fit.at(label.part).x.clamp(rect.left(), rect.right());
                let near = pos2(x, if is_above { rect.bottom() } else { rect.top() });
                self.name(label, rect, near, fit.at(label.part), canvas.width() * WIDEST);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::app::preferences::LabelDetail;
    use crate::app::theme::Palette;
    use eframe::egui::{self, FontId, vec2};
    use glam::dvec2;

    fn scene(size: DVec2) -> Scene {
        let label = |text: &str, x: f64, y: f64| Label {
            text: text.to_owned(),
            part: dvec2(x, y),
            place: dvec2(if x < 0.0 { -0.6 } else { 0.6 } * size.x, y),
            level: 0,
        };
        let (a, b) = (0.4 * size.x, 0.4 * size.y);
        let labels = vec![
            label("A name of some length", -a, b),
            label("Another of some length", a, b),
            label("A third one of a length", a, -b),
        ];
        let items = vec![crate::scene::Item {
            role: crate::scene::Role::Part,
            shape: crate::scene::Shape::Disc { centre: DVec2::ZERO, radius: 0.1 * size.y },
        }];
        Scene { bounds: (-0.5 * size, 0.5 * size), labels, items, ..Scene::default() }
    }

    /// Run `look` with a brush on a canvas of `size`.
    fn with_brush<R>(size: Vec2, look: impl Fn(&Brush<'_>, Rect) -> R) -> R {
        let ctx = egui::Context::default();
        let mut found = None;
        let mut output = ctx.run_ui(egui::RawInput::default(), |ui| {
            let palette = Palette::of(ui.visuals());
            let font = FontId::proportional(12.0);
            let labels = LabelDetail::All;
            let brush = Brush { painter: ui.painter(), palette, font, labels, looked: &[] };
            found = Some(look(&brush, Rect::from_min_size(pos2(0.0, 0.0), size)));
        });
        // nothing is put on a screen
        output.textures_delta.clear();
        found.expect("one frame")
    }

    #[test]
    fn names_leave_the_sides_only_where_the_drawing_becomes_much_larger() {
        let named = |size: Vec2, drawn: DVec2| {
            let scene = scene(drawn);
            with_brush(size, |brush, canvas| best_room(brush, &[&scene], scene.bounds, canvas).1)
        };
        assert_eq!(named(vec2(420.0, 320.0), dvec2(0.2, 0.08)), Names::Around, "wide, on a narrow canvas");
        assert_eq!(named(vec2(1400.0, 320.0), dvec2(0.2, 0.08)), Names::Beside, "wide, on a wide canvas");
        assert_eq!(named(vec2(420.0, 120.0), dvec2(0.1, 0.1)), Names::Beside, "no height to spare");
    }

    #[test]
    fn names_around_a_drawing_lie_on_the_canvas_apart_from_each_other_and_from_the_drawing() {
        let scene = scene(dvec2(0.2, 0.08));
        with_brush(vec2(420.0, 320.0), |brush, canvas| {
            let (room, _) = best_room(brush, &[&scene], scene.bounds, canvas);
            let fit = fit(&scene, scene.bounds, room);
            for rows in brush.rows(&scene, &fit, canvas) {
                for (index, name) in rows.names.iter().enumerate() {
                    assert!(name.left >= 0.0 && name.left + name.size.x <= canvas.right());
                    let earlier = rows.names[..index].iter().filter(|other| other.row == name.row);
                    for other in earlier {
                        assert!(other.left + other.size.x < name.left, "two names meet");
                    }
                }
            }
            let [above, below] = brush.rows(&scene, &fit, canvas).map(|rows| rows.room());
            let drawn = (fit.at(scene.bounds.1).y, fit.at(scene.bounds.0).y);
            assert!(drawn.0 - above >= 0.0 && drawn.1 + below <= canvas.bottom(), "names reach over the canvas");
        });
    }
}
