//! Open area of a throttle plate: section 4 of the checks, and the geometry counted independently.

use crate::table::{DIGITS, Row, row};
use second_breath::physics::plate::Plate;
use second_breath::solver::root;
use std::f64::consts::{FRAC_PI_2, FRAC_PI_4};

fn plate(bore_m: f64, shaft_ratio: f64, closed_deg: f64) -> Plate {
    Plate::new(bore_m, shaft_ratio, closed_deg.to_radians(), FRAC_PI_2)
}

/// Open share of the bore.
pub fn share(angle_deg: f64, closed_deg: f64, shaft_ratio: f64) -> f64 {
    plate(1.0, shaft_ratio, closed_deg).open_area(angle_deg.to_radians()) / FRAC_PI_4
}

/// Angle from which the shaft alone covers the bore, degrees.
fn fully_open_deg() -> f64 {
    let most = share(90.0, 7.0, 0.2);
    root::bracketed(45.0, 90.0, 1e-9, |deg| if share(deg, 7.0, 0.2) < most * (1.0 - 1e-14) { -1.0 } else { 1.0 })
}

pub const ROWS: &[Row] = &[
    row("C4.01", "Plate::open_area", DIGITS, || share(10.0, 7.0, 0.2)),
    row("C4.02", "Plate::open_area", DIGITS, || share(20.0, 7.0, 0.2)),
    row("C4.03", "Plate::open_area", DIGITS, || share(30.0, 7.0, 0.2)),
    row("C4.04", "Plate::open_area", DIGITS, || share(45.0, 7.0, 0.2)),
    row("C4.05", "Plate::open_area", DIGITS, || share(60.0, 7.0, 0.2)),
    row("C4.07", "Plate::open_area", DIGITS, || share(85.0, 7.0, 0.2)),
    row("C4.08", "Plate::open_area", DIGITS, || share(30.0, 10.0, 0.1)),
    row("C4.09", "Plate::open_area", DIGITS, || share(60.0, 10.0, 0.1)),
    row("C4.11", "Plate::open_area", DIGITS, || share(45.0, 7.0, 0.2)),
    row("C4.12", "Plate::open_area", DIGITS, || share(60.0, 10.0, 0.1)),
    row("C4.13", "Plate::open_area", DIGITS, || share(90.0, 7.0, 0.2)),
    row("C4.14", "Plate::open_area", DIGITS, || share(90.0, 10.0, 0.1)),
    row("C4.15", "Plate::open_area", DIGITS, fully_open_deg),
    row("C4.18", "Plate::open_area", DIGITS, || share(78.0, 7.0, 0.2)),
    row("C4.19", "Plate::open_area", DIGITS, || 1e6 * plate(0.04, 0.2, 7.0).open_area(30f64.to_radians())),
];

/// The bore less the projected ellipse and less the shaft beyond it, counted in strips along the shaft's axis: no
/// formula of an area is used. Strips are even in the angle around the bore, so that their ends cost no accuracy.
fn counted_share(angle_deg: f64, closed_deg: f64, shaft_ratio: f64) -> f64 {
    let shrink = angle_deg.to_radians().cos() / closed_deg.to_radians().cos();
    let strips = 100_000;
    let step = FRAC_PI_2 / f64::from(strips);
    let quarter: f64 = (0..strips)
        .map(|i| {
            let around = (f64::from(i) + 0.5) * step;
            // x runs along the shaft; half the bore's chord there, half the ellipse's, half the shaft's thickness
            let bore = 0.5 * around.sin();
            let covered = (shrink * bore).max(0.5 * shaft_ratio).min(bore);
            (bore - covered) * 0.5 * around.sin() * step
        })
        .sum();
    4.0 * quarter / FRAC_PI_4
}

/// The closed form against the count at 200 shapes. Tolerance 1e-7 of the bore: the sum's own error with a kink
/// where ellipse and shaft meet.
#[test]
fn plate_area_is_circle_less_ellipse_less_shaft() {
    for shape in 0..200 {
        let of = |steps: i32, every: i32| f64::from(shape / every % steps) / f64::from(steps - 1);
        let closed = 2.0 + 18.0 * of(5, 1);
        let ratio = 0.05 + 0.30 * of(5, 5);
        let angle = closed + (90.0 - closed) * of(8, 25);
        let (ours, counted) = (share(angle, closed, ratio), counted_share(angle, closed, ratio));
        assert!((ours - counted).abs() < 1e-7, "ψ {angle} ψ0 {closed} a {ratio}: {ours} against {counted}");
    }
}

/// The transcription that circulates has two wrong signs (C4.16, C4.17, C4.21): ours must not equal it.
#[test]
fn plate_area_is_not_the_transcription_with_wrong_signs() {
    for (angle, wrong) in [(45.0, 0.284_165), (78.0, 0.662_606), (60.0, 0.485_610)] {
        let ours = share(angle, 7.0, 0.2);
        assert!((ours / wrong - 1.0).abs() > 5e-3, "ψ {angle}: {ours} is the wrong {wrong}");
    }
}
