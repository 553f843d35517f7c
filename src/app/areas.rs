//! Filled and hatched areas as meshes, kept while nothing of them changes: castings stand still through a run.

use super::hatch::{hatch, triangles};
use super::strips::Strips;
use eframe::egui::cache::{ComputerMut, FrameCache};
use eframe::egui::{Color32, Mesh, Painter, Pos2, Stroke};
use std::hash::{Hash, Hasher};
use std::sync::Arc;

/// An outline with what fills it.
#[derive(Clone, Copy)]
struct Area<'a> {
    outline: &'a [Pos2],
    fill: Color32,
    hatch: Option<(Stroke, f32)>,
    pixels_per_point: f32,
}

impl Hash for Area<'_> {
    fn hash<H: Hasher>(&self, state: &mut H) {
        for point in self.outline {
            (point.x.to_bits(), point.y.to_bits()).hash(state);
        }
        self.fill.hash(state);
        if let Some((stroke, spacing)) = self.hatch {
            (stroke.color, stroke.width.to_bits(), spacing.to_bits()).hash(state);
        }
        self.pixels_per_point.to_bits().hash(state);
    }
}

#[derive(Default)]
struct Filled;

impl ComputerMut<Area<'_>, Arc<Mesh>> for Filled {
    fn compute(&mut self, area: Area<'_>) -> Arc<Mesh> {
        let mut strips = Strips::new(area.pixels_per_point);
        if let Some((stroke, spacing)) = area.hatch {
            for line in hatch(area.outline, spacing) {
                strips.line(line, stroke);
            }
        }
        let mut mesh = Mesh::default();
        if area.fill != Color32::TRANSPARENT {
            for point in area.outline {
                mesh.colored_vertex(*point, area.fill);
            }
            for [a, b, c] in triangles(area.outline) {
                mesh.add_triangle(a, b, c);
            }
        }
        mesh.append(strips.mesh());
        Arc::new(mesh)
    }
}

/// Paint the inside of an outline, which need not be convex; nothing for one with a corner at no place.
pub fn paint(painter: &Painter, outline: &[Pos2], fill: Color32, hatch: Option<(Stroke, f32)>) {
    if outline.iter().any(|point| !point.is_finite()) {
        return;
    }
    let area = Area { outline, fill, hatch, pixels_per_point: painter.ctx().pixels_per_point() };
    let mesh =
        painter.ctx().memory_mut(|memory| memory.caches.cache::<FrameCache<Arc<Mesh>, Filled>>().get(area).clone());
    if !mesh.is_empty() {
        painter.add(mesh);
    }
}
