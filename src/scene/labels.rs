//! Places for names: two columns beside the drawing, each name as near to its part's height as its neighbours let it.

use super::shapes::{Column, Sheet};
use super::{Label, Scene, Shape};
use glam::DVec2;

/// Space between the drawing and its names, m.
const MARGIN: f64 = 9e-3;
/// Names in a column of the drawing's height: the least distance between two is the height over this.
const ROWS: f64 = 23.0;

/// Give every name a place, and return the scene with its bounds.
pub fn place(sheet: Sheet) -> Scene {
    let Sheet { mut scene, names } = sheet;
    scene.bounds = bounds(&scene);
    let (low, high) = scene.bounds;
    for column in [Column::Left, Column::Right] {
        let mut labels: Vec<Label> =
            names.iter().filter(|(_, place)| *place == column).map(|(label, _)| label.clone()).collect();
        labels.sort_by(|a, b| b.part.y.total_cmp(&a.part.y));
        let x = if column == Column::Left { low.x - MARGIN } else { high.x + MARGIN };
        let pitch = row_pitch(&scene).min((high.y - low.y) / (labels.len().max(2) - 1) as f64);
        stack(&mut labels, x, pitch, (low.y, high.y));
        scene.labels.append(&mut labels);
    }
    scene
}

/// Distance between rows of a scene's label columns, m.
pub fn row_pitch(scene: &Scene) -> f64 {
    (scene.bounds.1.y - scene.bounds.0.y) / ROWS
}

/// From the top down, each at its part or under its upper neighbour; then up again from the bottom.
fn stack(labels: &mut [Label], x: f64, pitch: f64, (low, high): (f64, f64)) {
    let mut ceiling = high;
    for label in labels.iter_mut() {
        let y = label.part.y.min(ceiling);
        label.place = DVec2::new(x, y);
        ceiling = y - pitch;
    }
    let mut floor = low;
    for label in labels.iter_mut().rev() {
        label.place.y = label.place.y.max(floor);
        floor = label.place.y + pitch;
    }
}

fn bounds(scene: &Scene) -> (DVec2, DVec2) {
    let mut low = DVec2::INFINITY;
    let mut high = DVec2::NEG_INFINITY;
    for item in &scene.items {
        let mut take = |point: DVec2, around: f64| {
            low = low.min(point - around);
            high = high.max(point + around);
        };
        match &item.shape {
            Shape::Area(points) => points.iter().for_each(|&point| take(point, 0.0)),
            Shape::Stroke { points, width } => points.iter().for_each(|&point| take(point, width / 2.0)),
            Shape::Disc { centre, radius } => take(*centre, *radius),
        }
    }
    (low, high)
}
