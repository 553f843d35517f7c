//! Places for names: two columns beside the drawing, each name as near to its part's height as its neighbours let it.

use super::shapes::{Column, Sheet};
use super::{Label, Scene, Shape};
use glam::DVec2;

/// Space between the drawing and its names, m; less beside a small drawing.
const MARGIN: f64 = 9e-3;
/// Most of that space over the drawing's larger extent.
const MARGIN_SHARE: f64 = 0.15;
/// Names in a column of the drawing's height: the least distance between two is the height over this.
const ROWS: f64 = 23.0;

/// Give every name a place, and return the scene with its bounds.
pub fn place(sheet: Sheet) -> Scene {
    let Sheet { mut scene, names } = sheet;
    scene.bounds = bounds(&scene);
    let (low, high) = scene.bounds;
    let margin = MARGIN.min(MARGIN_SHARE * (high - low).max_element());
    let (left, right): (Vec<_>, Vec<_>) = names.into_iter().partition(|(_, column)| *column == Column::Left);
    for (names, x) in [(left, low.x - margin), (right, high.x + margin)] {
        let mut labels: Vec<Label> = names.into_iter().map(|(label, _)| label).collect();
        labels.sort_by(|a, b| b.part.y.total_cmp(&a.part.y));
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

/// Names that stand against each other: how many, and the mean height that their first would like.
struct Block {
    count: usize,
    first: f64,
}

impl Block {
    fn last(&self, pitch: f64) -> f64 {
        self.first - (self.count - 1) as f64 * pitch
    }

    fn kept(mut self, pitch: f64, (low, high): (f64, f64)) -> Self {
        self.first = self.first.max(low + (self.count - 1) as f64 * pitch).min(high);
        self
    }
}

/// From the top down, each at its part's height; names that would meet stand together round the mean of their wishes.
fn stack(labels: &mut [Label], x: f64, pitch: f64, range: (f64, f64)) {
    let mut blocks: Vec<Block> = Vec::with_capacity(labels.len());
    for label in labels.iter() {
        let mut block = Block { count: 1, first: label.part.y }.kept(pitch, range);
        while let Some(above) = blocks.pop_if(|above| above.last(pitch) - pitch < block.first) {
            let (a, b) = (above.count as f64, block.count as f64);
            let first = (above.first * a + (block.first + a * pitch) * b) / (a + b);
            block = Block { count: above.count + block.count, first }.kept(pitch, range);
        }
        blocks.push(block);
    }
    let rows = blocks.iter().flat_map(|block| (0..block.count).map(move |row| block.first - row as f64 * pitch));
    for (label, y) in labels.iter_mut().zip(rows) {
        label.place = DVec2::new(x, y);
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
