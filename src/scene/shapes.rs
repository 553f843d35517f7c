//! Shapes that several drawings use: coils, spirals, blades, capsules, smooth profiles, tubes.

use super::{Item, Label, Role, Scene, Shape, Warmth};
use glam::{DVec2, dvec2};
use std::f64::consts::TAU;

/// Which column of labels a label stands in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Column {
    /// Left of the drawing.
    Left,
    /// Right of the drawing.
    Right,
}

/// A scene that is being drawn, with the labels that still need a place.
#[derive(Debug, Default)]
pub struct Sheet {
    /// What is drawn so far.
    pub scene: Scene,
    /// Names without a place: text, part, level, column.
    pub names: Vec<(Label, Column)>,
}

impl Sheet {
    /// A filled outline.
    pub fn area(&mut self, role: Role, corners: Vec<DVec2>) {
        self.scene.items.push(Item { role, shape: Shape::Area(corners) });
    }

    /// A filled rectangle between two opposite corners; nothing if it has no extent.
    pub fn rectangle(&mut self, role: Role, a: DVec2, b: DVec2) {
        if (a - b).abs().min_element() > 1e-7 {
            self.area(role, corners(a, b));
        }
    }

    /// A store of heat with its outline.
    pub fn warm(&mut self, temperature_k: f64, corners: Vec<DVec2>) {
        self.scene.warmths.push(Warmth { outline: corners.clone(), temperature_k });
        self.area(Role::Line, corners);
    }

    /// An open line.
    pub fn stroke(&mut self, role: Role, points: Vec<DVec2>, width: f64) {
        self.scene.items.push(Item { role, shape: Shape::Stroke { points, width } });
    }

    /// A filled disc.
    pub fn disc(&mut self, role: Role, centre: DVec2, radius: f64) {
        self.scene.items.push(Item { role, shape: Shape::Disc { centre, radius } });
    }

    /// A bored passage or a pipe: its wall, and in it what it holds.
    pub fn tube(&mut self, holds: Role, points: Vec<DVec2>, bore: f64) {
        self.stroke(Role::Line, points.clone(), bore + 0.6e-3);
        self.stroke(holds, points, bore);
    }

    /// A tube that runs behind what is drawn: dashes.
    pub fn hidden_tube(&mut self, holds: Role, from: DVec2, to: DVec2, bore: f64) {
        for (a, b) in dashes(from, to, 3e-3) {
            self.stroke(holds, vec![a, b], bore);
        }
    }

    /// Name a part.
    pub fn name(&mut self, text: &str, part: DVec2, level: u8, column: Column) {
        self.names.push((Label { text: text.to_owned(), part, place: part, level }, column));
    }
}

/// Dashes of a length with gaps as long, from end to end.
pub fn dashes(from: DVec2, to: DVec2, dash: f64) -> Vec<(DVec2, DVec2)> {
    let length = from.distance(to);
    let count = ((length / dash - 1.0) / 2.0).ceil().clamp(0.0, 60.0);
    let share = 1.0 / (2.0 * count + 1.0);
    (0..=count as usize)
        .map(|i| {
            let start = 2.0 * i as f64 * share;
            (from.lerp(to, start), from.lerp(to, start + share))
        })
        .collect()
}

/// Direction of an angle from rearward, anticlockwise.
pub fn direction(angle_rad: f64) -> DVec2 {
    DVec2::from_angle(angle_rad)
}

/// A coil spring seen from its side, between the middles of its two seats.
pub fn coil(from: DVec2, to: DVec2, diameter: f64, turns: usize) -> Vec<DVec2> {
    let along = to - from;
    let across = along.normalize_or(DVec2::Y).perp() * (diameter / 2.0);
    let steps = 2 * turns;
    let mut points = vec![from];
    points.extend((0..steps).map(|i| {
        let side = if i % 2 == 0 { across } else { -across };
        from + along * ((i as f64 + 0.5) / steps as f64) + side
    }));
    points.push(to);
    points
}

/// A spiral spring round a shaft, from its outer anchor inward; its inner end stands at `inner_rad` and it has been
/// wound through `wound_rad` more than its two free turns, which draws the coils together.
pub fn spiral(centre: DVec2, radii: (f64, f64), inner_rad: f64, wound_rad: f64) -> Vec<DVec2> {
    let whole = 2.0 * TAU + wound_rad;
    let steps = (whole / 0.35).ceil().max(8.0) as usize;
    (0..=steps)
        .map(|i| {
            let share = i as f64 / steps as f64;
            // wound: most coils lie near the shaft
            let radius = radii.1 + (radii.0 - radii.1) * share.powf(1.0 / (1.0 + wound_rad / (2.0 * TAU)));
            centre + direction(inner_rad - whole * (1.0 - share)) * radius
        })
        .collect()
}

/// A flat blade from `ahead` of its shaft to `behind` it, both positive outward along `along`.
pub fn blade(shaft: DVec2, along: DVec2, ahead: f64, behind: f64, thickness: f64) -> Vec<DVec2> {
    let half = along.perp() * (thickness / 2.0);
    let (tip, heel) = (shaft + along * ahead, shaft - along * behind);
    vec![tip + half, tip - half, heel - half, heel + half]
}

/// An arrow of a width, its head within its length; it points the other way for a negative width, and is nothing for
/// none.
pub fn arrow(from: DVec2, to: DVec2, width: f64) -> Vec<DVec2> {
    let (from, to) = if width < 0.0 { (to, from) } else { (from, to) };
    let along = (to - from).normalize_or_zero();
    let half = 0.5 * width.abs();
    if half == 0.0 || along == DVec2::ZERO {
        return Vec::new();
    }
    let side = along.perp();
    let neck = to - along * (2.0 * half + 1.5e-3).min(0.6 * from.distance(to));
    let wide = 1.8 * half + 0.8e-3;
    vec![
        from + side * half,
        neck + side * half,
        neck + side * wide,
        to,
        neck - side * wide,
        neck - side * half,
        from - side * half,
    ]
}

/// The outline of a rectangle between two opposite corners.
pub fn corners(a: DVec2, b: DVec2) -> Vec<DVec2> {
    vec![a, dvec2(b.x, a.y), b, dvec2(a.x, b.y)]
}

/// Corners of a smooth change of radius from (y0, r0) to (y1, r1), level at both ends, without the first corner.
pub fn smooth(from: (f64, f64), to: (f64, f64), steps: usize) -> impl Iterator<Item = (f64, f64)> {
    (1..=steps).map(move |i| {
        let t = i as f64 / steps as f64;
        let s = t * t * (3.0 - 2.0 * t);
        (from.0 + (to.0 - from.0) * t, from.1 + (to.1 - from.1) * s)
    })
}

/// A capsule with a diaphragm: rod to the left, sealed chamber with its spring to the right.
#[derive(Debug, Clone, Copy)]
pub struct Capsule {
    /// Where the diaphragm's middle is when the rod is fully let out.
    pub out: DVec2,
    /// Diameter of the diaphragm, m.
    pub diameter: f64,
    /// Whole travel of the rod, m.
    pub stroke: f64,
    /// Travel of the rod from fully out, m.
    pub travel: f64,
}

impl Capsule {
    /// A diaphragm of an area.
    pub fn of_area(out: DVec2, area_m2: f64, stroke: f64, travel: f64) -> Self {
        Self {
            out,
            diameter: (area_m2 / std::f64::consts::FRAC_PI_4).sqrt(),
            stroke,
            travel: travel.clamp(0.0, stroke),
        }
    }

    /// Middle of the diaphragm.
    pub fn middle(&self) -> DVec2 {
        self.out + dvec2(self.travel, 0.0)
    }

    /// Middle of the back of the chamber.
    pub fn back(&self) -> DVec2 {
        self.out + dvec2(self.stroke + 7e-3, 0.0)
    }

    /// Radius of the shell.
    pub fn shell(&self) -> f64 {
        self.diameter / 2.0 + 2.5e-3
    }

    /// Draw shell, diaphragm, spring and the tint of a depression in the chamber.
    pub fn draw(&self, sheet: &mut Sheet, depression_pa: f64) {
        let (radius, shell) = (self.diameter / 2.0, self.shell());
        let rim = self.out.x + self.stroke / 2.0;
        let (plate, back, middle) = (radius * 0.62, self.back(), self.middle());
        let at = |x: f64, y: f64| dvec2(x, self.out.y + y);
        let chamber = vec![
            at(rim, radius),
            at(middle.x, plate),
            at(middle.x, -plate),
            at(rim, -radius),
            at(back.x, -radius * 0.8),
            at(back.x, radius * 0.8),
        ];
        sheet.scene.tints.push(super::Tint { outline: chamber, depression_pa });
        for side in [1.0, -1.0] {
            let front = self.out.x - 4e-3;
            sheet.area(
                Role::CutMetal,
                vec![
                    at(front, side * 3e-3),
                    at(front, side * radius * 0.8),
                    at(rim - 1e-3, side * radius),
                    at(rim - 1e-3, side * shell),
                    at(rim + 1e-3, side * shell),
                    at(rim + 1e-3, side * radius),
                    at(back.x, side * radius * 0.8),
                    at(back.x, 0.0),
                    at(back.x + 1.4e-3, 0.0),
                    at(back.x + 1.4e-3, side * (radius * 0.8 + 1.4e-3)),
                    at(rim + 3e-3, side * (shell + 1e-3)),
                    at(rim - 3e-3, side * (shell + 1e-3)),
                    at(front - 1.4e-3, side * (radius * 0.8 + 1.4e-3)),
                    at(front - 1.4e-3, side * 3e-3),
                ],
            );
        }
        sheet.stroke(Role::Spring, coil(middle, back, plate * 1.3, 6), 0.9e-3);
        let web = vec![at(rim, radius), at(middle.x, plate), at(middle.x, -plate), at(rim, -radius)];
        sheet.stroke(Role::Diaphragm, web, 1.2e-3);
        sheet.stroke(Role::Part, vec![at(middle.x, plate), at(middle.x, -plate)], 1.6e-3);
    }
}
