//! Many short straight lines as one mesh: hatches and dashes are thousands of them in a frame.

use eframe::egui::{Color32, Mesh, Painter, Pos2, Shape, Stroke, Vec2};

/// Paint straight lines with butt ends and soft sides.
pub fn paint(painter: &Painter, lines: impl IntoIterator<Item = [Pos2; 2]>, stroke: Stroke) {
    let pixel = 1.0 / painter.ctx().pixels_per_point();
    let mut mesh = Mesh::default();
    for line in lines {
        strip(&mut mesh, line, stroke, pixel);
    }
    if !mesh.is_empty() {
        painter.add(mesh);
    }
}

/// Paint a dashed line.
pub fn dashed(painter: &Painter, path: &[Pos2], stroke: Stroke, dash: f32, gap: f32) {
    let dashes = Shape::dashed_line(path, stroke, dash, gap).into_iter().filter_map(|shape| match shape {
        Shape::LineSegment { points, .. } => Some(points),
        _ => None,
    });
    paint(painter, dashes, stroke);
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
