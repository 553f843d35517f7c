//! Moving air and fuel: where each streak and drop is at a time follows from the trace alone.

use super::paint::Fit;
use super::section::Brush;
use super::strips::Strips;
use crate::scene::{Scene, Spray, Stream};
use eframe::egui::{Pos2, Shape, Stroke};
use glam::DVec2;

/// Way of the drawn air over way of the air: throat air at 100 m/s would cross the drawing in a screen refresh.
pub const AIR_SCALE: f64 = 1.0 / 50.0;

/// Most streaks in sight in a stream; how many there are is the mass flow.
const MOST_STREAKS: f64 = 70.0;
/// Streaks come round again after this way, m: longer than a stream, and the same whatever its shape, so that a moving
/// door does not throw them about.
const ROUND_M: f64 = 2.0;
/// Mass flow of one streak, kg/s.
const FLOW_PER_STREAK: f64 = 0.0006;
/// Time for which a streak has been exposed, s of the drawn air.
const EXPOSURE_S: f64 = 0.02;
const DROPS: usize = 40;
const FLOW_PER_DROP: f64 = 0.000_12;
/// Time that a drop is shown on its way, s. Drops show how much fuel flows, not how fast.
const DROP_LIFE_S: f64 = 0.03;

/// The fractional part of multiples of the golden ratio: evenly spread whatever their number.
fn spread(index: usize, seed: f64) -> f64 {
    (index as f64 * 0.618_033_988_749_895 + seed).fract()
}

impl Brush<'_> {
    /// Streaks of air. `ways` gives how far air has come in a throat since the start: primary, secondary.
    pub fn air(&self, scene: &Scene, fit: &Fit, sides: [(f64, f64); 2], secondary_from_x: f64) {
        for stream in &scene.streams {
            let Some(course) = Course::new(stream) else { continue };
            let side = usize::from(course.middle_x() > secondary_from_x);
            let (way, speed) = sides[side];
            self.streaks(stream, &course, fit, way, speed);
        }
    }

    /// Air as at one instant, where no time passes: each stream at its own greatest speed.
    pub fn still_air(&self, scene: &Scene, fit: &Fit) {
        for stream in &scene.streams {
            let fastest = stream.speeds.iter().copied().fold(0.0, f64::max);
            if let Some(course) = Course::new(stream) {
                self.streaks(stream, &course, fit, 0.0, fastest);
            }
        }
    }

    fn streaks(&self, stream: &Stream, course: &Course, fit: &Fit, way: f64, speed: f64) {
        let length = course.length().min(ROUND_M);
        if length <= 0.0 || speed <= 0.0 {
            return;
        }
        let in_sight = (stream.flow_kg_per_s.max(0.0) / FLOW_PER_STREAK).min(MOST_STREAKS);
        let number = (in_sight * ROUND_M / length).min(2000.0);
        let colour = self.palette.air;
        let mut straight = Strips::new(self.painter.ctx().pixels_per_point());
        for slot in 0..number.ceil() as usize {
            // streaks fade in one after another as the flow grows, each at a place of its own
            let strength = (number - slot as f64).clamp(0.0, 1.0);
            let head = (spread(slot, 0.0) + way * AIR_SCALE / ROUND_M).fract() * ROUND_M;
            if head > length {
                continue;
            }
            let lateral = 2.0 * spread(slot * 7 + 3, 0.37) - 1.0;
            let tail = (head - speed * AIR_SCALE * EXPOSURE_S).max(0.0);
            let points: [Pos2; 5] =
                std::array::from_fn(|step| fit.at(course.place(tail + (head - tail) * step as f64 / 4.0, lateral)));
            let stroke = Stroke::new(1.3, colour.gamma_multiply(0.85 * strength as f32));
            if is_straight(&points) {
                straight.line([points[0], points[4]], stroke);
            } else {
                self.painter.add(Shape::line(points.to_vec(), stroke));
            }
        }
        straight.paint(self.painter);
    }

    /// Drops of fuel in the air.
    pub fn fuel(&self, scene: &Scene, fit: &Fit, time_s: f64) {
        for (seed, spray) in scene.sprays.iter().enumerate() {
            self.drops(spray, fit, time_s, seed as f64 * 0.271);
        }
    }

    fn drops(&self, spray: &Spray, fit: &Fit, time_s: f64, seed: f64) {
        let number = (spray.flow_kg_per_s.max(0.0) / FLOW_PER_DROP).min(DROPS as f64);
        let aside = DVec2::new(-spray.reach.y, spray.reach.x);
        for drop in 0..DROPS {
            let strength = (number - drop as f64).clamp(0.0, 1.0);
            if strength <= 0.0 {
                break;
            }
            let share = (spread(drop, seed) + time_s / DROP_LIFE_S).fract();
            let lateral = (2.0 * spread(drop * 5 + 1, seed) - 1.0) * 0.28 * share;
            let place = fit.at(spray.from + spray.reach * share + aside * lateral);
            let radius = 1.2 + 1.2 * strength as f32;
            // a disc on a larger one: a tenth of the corners that a disc with an outline has
            self.painter.circle_filled(place, radius + 0.7, self.palette.fuel);
            self.painter.circle_filled(place, radius, self.palette.fuel_fill);
        }
    }
}

/// Whether the eye cannot tell a line from the straight one between its ends.
fn is_straight(points: &[Pos2; 5]) -> bool {
    const TOLERANCE: f32 = 0.25;
    let chord = points[4] - points[0];
    let length = chord.length().max(1e-3);
    points[1..4].iter().all(|point| {
        let way = *point - points[0];
        (chord.x * way.y - chord.y * way.x).abs() <= TOLERANCE * length
    })
}

/// A stream's middle line measured in way at the fastest place: equal steps along it take equal times.
struct Course {
    corners: Vec<(DVec2, f64)>,
    marks: Vec<f64>,
}

impl Course {
    fn new(stream: &Stream) -> Option<Self> {
        let count = stream.path.len();
        if count < 2
            || stream.speeds.len() != count
            || stream.path.iter().any(|(p, w)| !p.is_finite() || !w.is_finite())
        {
            return None;
        }
        let fastest = stream.speeds.iter().copied().fold(0.0, f64::max);
        if !fastest.is_finite() || fastest < 1e-3 {
            return None;
        }
        let mut marks = vec![0.0];
        for i in 1..count {
            let way = stream.path[i].0.distance(stream.path[i - 1].0);
            // air nearly at rest still leaves the picture some time
            let speed = (0.5 * (stream.speeds[i] + stream.speeds[i - 1]) / fastest).max(0.05);
            marks.push(marks[i - 1] + way / speed);
        }
        Some(Self { corners: stream.path.clone(), marks })
    }

    fn length(&self) -> f64 {
        self.marks.last().copied().unwrap_or(0.0)
    }

    fn middle_x(&self) -> f64 {
        self.corners.iter().map(|corner| corner.0.x).sum::<f64>() / self.corners.len() as f64
    }

    /// The place at `mark`, `lateral` (−1 to 1) to the side.
    fn place(&self, mark: f64, lateral: f64) -> DVec2 {
        let after = self.marks.partition_point(|m| *m <= mark).clamp(1, self.marks.len() - 1);
        let (from, to) = (self.marks[after - 1], self.marks[after]);
        let share = if to > from { ((mark - from) / (to - from)).clamp(0.0, 1.0) } else { 0.0 };
        let ((a, wide_a), (b, wide_b)) = (self.corners[after - 1], self.corners[after]);
        let side = (b - a).perp().normalize_or_zero();
        let wide = (wide_a + (wide_b - wide_a) * share).max(0.0);
        a + (b - a) * share + side * (lateral * 0.85 * wide)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn air_takes_longer_where_it_is_slower() {
        let path = [0.0, 1.0, 2.0].map(|y| (DVec2::new(0.0, y), 0.1)).to_vec();
        let stream = Stream { path, speeds: vec![50.0, 50.0, 150.0], flow_kg_per_s: 0.1 };
        let course = Course::new(&stream).expect("a course");
        assert!((course.length() - (3.0 + 1.5)).abs() < 1e-12);
        assert!((course.place(3.0, 0.0).y - 1.0).abs() < 1e-12);
    }

    #[test]
    fn still_or_broken_streams_are_not_drawn() {
        let path = vec![(DVec2::ZERO, 0.1), (DVec2::Y, 0.1)];
        let still = Stream { path: path.clone(), speeds: vec![0.0, 0.0], flow_kg_per_s: 0.0 };
        assert!(Course::new(&still).is_none());
        let broken = Stream { path, speeds: vec![f64::NAN, 1.0, 2.0], flow_kg_per_s: 0.0 };
        assert!(Course::new(&broken).is_none());
    }
}
