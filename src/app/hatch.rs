//! Plane geometry of filled areas: triangles for any simple outline, and hatch lines clipped to it.

use eframe::egui::{Pos2, Vec2, vec2};

/// Twice the signed area of an outline.
pub fn twice_area(outline: &[Pos2]) -> f32 {
    let next = outline.iter().cycle().skip(1);
    outline.iter().zip(next).map(|(a, b)| a.x * b.y - b.x * a.y).sum()
}

fn turn(a: Pos2, b: Pos2, c: Pos2) -> f32 {
    (b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x)
}

/// Triangles, as indices into `outline`, that fill it: ears are cut off one after another. An outline that crosses
/// itself is filled as far as ears are found.
pub fn triangles(outline: &[Pos2]) -> Vec<[u32; 3]> {
    let mut left: Vec<usize> = (0..outline.len()).collect();
    if twice_area(outline) < 0.0 {
        left.reverse();
    }
    let mut found = Vec::with_capacity(outline.len().saturating_sub(2));
    while left.len() > 3 {
        let Some(ear) = (0..left.len()).find(|&at| is_ear(outline, &left, at)) else { break };
        let [a, b, c] = corner(&left, ear);
        found.push([a as u32, b as u32, c as u32]);
        left.remove(ear);
    }
    if let [a, b, c] = left[..] {
        found.push([a as u32, b as u32, c as u32]);
    }
    found
}

fn corner(left: &[usize], at: usize) -> [usize; 3] {
    let count = left.len();
    [left[(at + count - 1) % count], left[at], left[(at + 1) % count]]
}

fn is_ear(outline: &[Pos2], left: &[usize], at: usize) -> bool {
    let [a, b, c] = corner(left, at);
    let (pa, pb, pc) = (outline[a], outline[b], outline[c]);
    let area = turn(pa, pb, pc);
    if area < 0.0 {
        return false;
    }
    // a corner without area can always go
    area < 1e-6
        || left.iter().filter(|&&i| i != a && i != b && i != c).map(|&i| outline[i]).all(|p| {
            p == pa || p == pb || p == pc || turn(pa, pb, p) <= 0.0 || turn(pb, pc, p) <= 0.0 || turn(pc, pa, p) <= 0.0
        })
}

/// Parallel lines rising to the right, `spacing` apart, inside the outline. They stay where they are on the screen
/// when the outline moves.
pub fn hatch(outline: &[Pos2], spacing: f32) -> Vec<[Pos2; 2]> {
    const MOST: f32 = 2000.0;
    let along = vec2(1.0, -1.0) * std::f32::consts::FRAC_1_SQRT_2;
    let across = vec2(1.0, 1.0) * std::f32::consts::FRAC_1_SQRT_2;
    let places: Vec<Vec2> = outline.iter().map(|p| vec2(p.to_vec2().dot(along), p.to_vec2().dot(across))).collect();
    let least = places.iter().map(|p| p.y).fold(f32::INFINITY, f32::min);
    let most = places.iter().map(|p| p.y).fold(f32::NEG_INFINITY, f32::max);
    if !least.is_finite() || !most.is_finite() || spacing <= 0.0 || (most - least) / spacing > MOST {
        return Vec::new();
    }
    let mut lines = Vec::new();
    let mut row = (least / spacing).ceil() * spacing;
    while row < most {
        let mut crossings: Vec<f32> = (0..places.len())
            .filter_map(|i| {
                let (a, b) = (places[i], places[(i + 1) % places.len()]);
                ((a.y <= row) != (b.y <= row)).then(|| a.x + (b.x - a.x) * (row - a.y) / (b.y - a.y))
            })
            .collect();
        crossings.sort_by(f32::total_cmp);
        let point = |x: f32| (along * x + across * row).to_pos2();
        lines.extend(crossings.chunks_exact(2).map(|pair| [point(pair[0]), point(pair[1])]));
        row += spacing;
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;
    use eframe::egui::pos2;

    fn area(outline: &[Pos2]) -> f32 {
        triangles(outline)
            .iter()
            .map(|t| 0.5 * turn(outline[t[0] as usize], outline[t[1] as usize], outline[t[2] as usize]).abs())
            .sum()
    }

    #[test]
    fn triangles_fill_a_hollow_outline_either_way_round() {
        let mut u = vec![(0, 0), (3, 0), (3, 3), (2, 3), (2, 1), (1, 1), (1, 3), (0, 3)]
            .into_iter()
            .map(|(x, y)| pos2(x as f32, y as f32))
            .collect::<Vec<_>>();
        assert!((area(&u) - 7.0).abs() < 1e-5);
        u.reverse();
        assert!((area(&u) - 7.0).abs() < 1e-5);
    }

    #[test]
    fn hatch_lines_stay_inside() {
        let square = [pos2(0.0, 0.0), pos2(40.0, 0.0), pos2(40.0, 40.0), pos2(0.0, 40.0)];
        let lines = hatch(&square, 6.0);
        assert!(lines.len() > 5);
        assert!(lines.iter().flatten().all(|p| (-0.01..=40.01).contains(&p.x) && (-0.01..=40.01).contains(&p.y)));
    }

    #[test]
    fn degenerate_outlines_give_nothing_and_do_no_harm() {
        assert!(triangles(&[]).is_empty());
        assert!(triangles(&[pos2(0.0, 0.0), pos2(1.0, 0.0)]).is_empty());
        assert!(hatch(&[pos2(f32::NAN, 0.0)], 5.0).is_empty());
    }
}
