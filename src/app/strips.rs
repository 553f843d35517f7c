//! Many short straight lines as one mesh: hatches and dashes are thousands of them in a frame.

use eframe::egui::{Color32, Mesh, Painter, Pos2, Shape, Stroke, Vec2};

/// Lines with butt ends and soft sides that become one mesh.
pub struct Strips {
    mesh: Mesh,
    pixel: f32,
}

impl Strips {
    /// None yet, for a screen of so many pixels a point.
    pub fn new(pixels_per_point: f32) -> Self {
        Self { mesh: Mesh::default(), pixel: 1.0 / pixels_per_point }
    }

    /// Another straight line.
    pub fn line(&mut self, line: [Pos2; 2], stroke: Stroke) {
        strip(&mut self.mesh, line, stroke, self.pixel);
    }

    /// A dashed line.
    pub fn dashed(&mut self, path: &[Pos2], stroke: Stroke, dash: f32, gap: f32) {
        for shape in Shape::dashed_line(path, stroke, dash, gap) {
            if let Shape::LineSegment { points, .. } = shape {
                self.line(points, stroke);
            }
        }
    }

    /// All of them.
    pub fn mesh(self) -> Mesh {
        self.mesh
    }

    /// Paint all of them.
    pub fn paint(self, painter: &Painter) {
        if !self.mesh.is_empty() {
            painter.add(self.mesh);
        }
    }
}

/// Rows of corners along a line: clear, full, full, clear. A line thinner than a pixel is a paler one of a pixel.
fn strip(mesh: &mut Mesh, [from, to]: [Pos2; 2], stroke: Stroke, pixel: f32) {
    let across = (to - from).normalized().rot90();
    if !across.is_finite() || across == Vec2::ZERO || !from.is_finite() || !to.is_finite() {
        return;
    }
    let inner = 0.5 * (stroke.width - pixel).max(0.0);
    let colour = stroke.color.gamma_multiply((stroke.width / pixel).min(1.0));
    let outer = inner + pixel;
    let rows: &[(f32, Color32)] = if inner > 0.0 {
        &[(-outer, Color32::TRANSPARENT), (-inner, colour), (inner, colour), (outer, Color32::TRANSPARENT)]
    } else {
        &[(-outer, Color32::TRANSPARENT), (0.0, colour), (outer, Color32::TRANSPARENT)]
    };
    for (place, (shift, colour)) in rows.iter().enumerate() {
        let next = mesh.vertices.len() as u32;
        mesh.colored_vertex(from + across * *shift, *colour);
        mesh.colored_vertex(to + across * *shift, *colour);
        if place > 0 {
            mesh.add_triangle(next - 2, next - 1, next);
            mesh.add_triangle(next - 1, next, next + 1);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use eframe::egui::pos2;

    #[test]
    fn a_strip_is_as_wide_as_its_stroke_and_ends_where_the_line_ends() {
        let mut mesh = Mesh::default();
        strip(&mut mesh, [pos2(0.0, 0.0), pos2(10.0, 0.0)], Stroke::new(3.0, Color32::RED), 1.0);
        assert_eq!((mesh.vertices.len(), mesh.indices.len()), (8, 18));
        assert!(mesh.vertices.iter().all(|v| v.pos.x == 0.0 || v.pos.x == 10.0));
        // half way up its soft side a line is 3 wide
        let heights: Vec<f32> = mesh.vertices.iter().map(|v| v.pos.y.abs()).collect();
        assert!(heights.iter().all(|h| *h == 1.0 || *h == 2.0), "{heights:?}");
        assert!(mesh.is_valid());
    }

    #[test]
    fn a_line_without_length_or_place_is_left_out() {
        let mut mesh = Mesh::default();
        strip(&mut mesh, [pos2(1.0, 1.0); 2], Stroke::new(1.0, Color32::RED), 1.0);
        strip(&mut mesh, [pos2(f32::NAN, 1.0), pos2(2.0, 1.0)], Stroke::new(1.0, Color32::RED), 1.0);
        assert!(mesh.is_empty());
    }
}
