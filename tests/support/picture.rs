//! A scene as a plain picture, for whoever works on a drawing.

use glam::{DVec2, dvec2};
use second_breath::scene::{Role, Scene, Shape};
use std::fmt::Write as _;

fn colour(role: Role) -> (&'static str, &'static str) {
    match role {
        Role::CutMetal => ("#b9bbbd", "#55585c"),
        Role::Part => ("#e9e7e2", "#26282b"),
        Role::Spring => ("none", "#26282b"),
        Role::Weight => ("#6d7075", "#26282b"),
        Role::Diaphragm => ("none", "#8a3324"),
        Role::Fuel => ("#e0a030", "#a06c10"),
        Role::Vacuum => ("#8a6fc0", "#6a4fa0"),
        Role::Line => ("none", "#44474b"),
        Role::Hollow => ("#faf8f3", "#26282b"),
        Role::Vapour => ("#faf8f3", "#3a7fc0"),
        Role::Heat => ("#d04020", "#faf8f3"),
        Role::Accent => ("#d04020", "#d04020"),
    }
}

/// A plain picture for whoever works on the drawing; written only on request.
pub fn svg(scene: &Scene, level: u8) -> String {
    let (low, high) = scene.bounds;
    let side = 62e-3;
    let k = 1e3;
    let x = |v: f64| (v - low.x + side) * k;
    let y = |v: f64| (high.y - v + 6e-3) * k;
    let (w, h) = ((high.x - low.x + 2.0 * side) * k, (high.y - low.y + 12e-3) * k);
    // text no larger than a fourteenth of the drawing
    let font = ((high.y - low.y) * k / 14.0).min(4.4);
    let mut out = format!(
        "<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 {w:.1} {h:.1}' width='{:.0}' height='{:.0}'><rect width='{w}' height='{h}' fill='#faf8f3'/>",
        w * 5.0,
        h * 5.0
    );
    let list =
        |points: &[DVec2]| points.iter().map(|p| format!("{:.3},{:.3}", x(p.x), y(p.y))).collect::<Vec<_>>().join(" ");
    for tint in &scene.tints {
        let a = (tint.depression_pa / 60e3).abs().sqrt().min(0.8);
        let _ = write!(out, "<polygon points='{}' fill='#8a6fc0' fill-opacity='{a:.3}'/>", list(&tint.outline));
    }
    for item in &scene.items {
        let (fill, line) = colour(item.role);
        let _ = match &item.shape {
            Shape::Area(points) => write!(
                out,
                "<polygon points='{}' fill='{fill}' stroke='{line}' stroke-width='0.25' stroke-linejoin='round'/>",
                list(points)
            ),
            Shape::Stroke { points, width } => {
                let ink = match item.role {
                    Role::Fuel | Role::Vacuum | Role::CutMetal => fill,
                    Role::Part => "#55585c",
                    _ => line,
                };
                write!(
                    out,
                    "<polyline points='{}' fill='none' stroke='{ink}' stroke-width='{:.2}' stroke-linejoin='round'/>",
                    list(points),
                    (width * k).max(0.2)
                )
            }
            Shape::Disc { centre, radius } => write!(
                out,
                "<circle cx='{:.3}' cy='{:.3}' r='{:.3}' fill='{fill}' stroke='{line}' stroke-width='0.25'/>",
                x(centre.x),
                y(centre.y),
                radius * k
            ),
        };
    }
    for stream in &scene.streams {
        for offset in [-0.6, 0.0, 0.6] {
            let points: Vec<_> = stream.path.iter().map(|&(p, half)| p + dvec2(offset * half, 0.0)).collect();
            let _ = write!(
                out,
                "<polyline points='{}' fill='none' stroke='#3a7fc0' stroke-width='{:.2}' stroke-opacity='0.6'/>",
                list(&points),
                0.1 + stream.flow_kg_per_s * 10.0
            );
        }
    }
    for spray in &scene.sprays {
        let _ = write!(
            out,
            "<line x1='{}' y1='{}' x2='{}' y2='{}' stroke='#e08a00' stroke-width='{:.2}' stroke-dasharray='0.8 0.8'/>",
            x(spray.from.x),
            y(spray.from.y),
            x(spray.from.x + spray.reach.x),
            y(spray.from.y + spray.reach.y),
            0.3 + spray.flow_kg_per_s * 400.0
        );
    }
    for label in scene.labels.iter().filter(|label| label.level <= level) {
        let left = label.place.x < (low.x + high.x) / 2.0;
        let _ = write!(
            out,
            "<line x1='{}' y1='{}' x2='{}' y2='{}' stroke='#777' stroke-width='0.2'/><circle cx='{0}' cy='{1}' r='0.5'/>",
            x(label.part.x),
            y(label.part.y),
            x(label.place.x),
            y(label.place.y)
        );
        let _ = write!(
            out,
            "<text x='{}' y='{}' font-family='Lato' font-size='{font:.2}' text-anchor='{}'>{}</text>",
            x(label.place.x) + if left { -1.0 } else { 1.0 },
            y(label.place.y) + 1.5,
            if left { "end" } else { "start" },
            label.text
        );
    }
    out + "</svg>"
}
