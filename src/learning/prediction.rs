//! What the learner said before the run, and how near it was.

use crate::learning::claim::Claim;
use crate::learning::figure::Column;
use crate::learning::seen::Seen;

/// What is asked before a run.
#[derive(Debug, Clone)]
pub enum Prediction {
    /// One of several answers.
    Choice {
        /// The question.
        ask: String,
        /// Two to four answers, of which one is right.
        options: Vec<Answer>,
    },
    /// The course of a channel, drawn by hand.
    Sketch(Sketch),
}

/// An answer to choose.
#[derive(Debug, Clone)]
pub struct Answer {
    /// The answer.
    pub text: String,
    /// What is said to whoever chose it: the belief behind it and what is so.
    pub why: String,
    /// Whether it is the right one.
    pub right: bool,
    /// What the run must show if it is right, and must not show if it is wrong.
    pub claim: Option<Claim>,
}

/// A channel to draw.
#[derive(Debug, Clone)]
pub struct Sketch {
    /// The question.
    pub ask: String,
    /// Bench, from 0.
    pub bench: usize,
    /// Channel.
    pub column: Column,
    /// From, s after the pedal begins to move, or after the engine stops.
    pub from_s: f64,
    /// To, s.
    pub to_s: f64,
    /// Lower end of the paper, SI.
    pub least: f64,
    /// Upper end of the paper, SI.
    pub most: f64,
}

/// How near a sketch came.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Nearness {
    /// Root mean square distance between sketch and run, SI.
    pub distance: f64,
    /// 1: the run itself; 0: no nearer than the best level line, or further.
    pub score: f64,
}

/// Even places at which a sketch is compared.
const PLACES: usize = 201;
/// A run that hardly moves is judged against this share of the paper.
const LEAST_SPREAD: f64 = 0.05;

impl Prediction {
    /// Claims of the answers.
    pub fn claims(&self) -> impl Iterator<Item = &Claim> {
        let answers: &[Answer] = match self {
            Self::Choice { options, .. } => options,
            Self::Sketch(_) => &[],
        };
        answers.iter().filter_map(|answer| answer.claim.as_ref())
    }

    /// The question.
    pub fn ask(&self) -> &str {
        match self {
            Self::Choice { ask, .. } => ask,
            Self::Sketch(sketch) => &sketch.ask,
        }
    }
}

impl Sketch {
    /// Score of points (s after the pedal begins to move, SI value) drawn from left to right, straight between them and
    /// level beyond their ends. `None` with fewer than two points, or points that are not finite.
    ///
    /// score = max(0, 1 − D / S), where D is the root mean square of sketch − run over the span and S the root mean
    /// square of run − its mean: the distance of the best level line. S is at least 5 % of the paper's height, so that a
    /// level run can be drawn too.
    pub fn score(&self, points: &[(f64, f64)], seen: &[Seen]) -> Option<Nearness> {
        let seen = seen.get(self.bench)?;
        if points.len() < 2 || points.iter().any(|(time, value)| !time.is_finite() || !value.is_finite()) {
            return None;
        }
        let mut points = points.to_vec();
        points.sort_by(|a, b| a.0.total_cmp(&b.0));
        let time = |place: usize| self.from_s + (self.to_s - self.from_s) * place as f64 / (PLACES - 1) as f64;
        let run: Vec<f64> = (0..PLACES).map(|place| self.column.at(seen, time(place))).collect();
        let mean = run.iter().sum::<f64>() / PLACES as f64;
        let root_mean = |squares: f64| (squares / PLACES as f64).sqrt();
        let spread = root_mean(run.iter().map(|value| (value - mean).powi(2)).sum());
        let off = |(place, value): (usize, &f64)| (drawn(&points, time(place)) - value).powi(2);
        let distance = root_mean(run.iter().enumerate().map(off).sum());
        let scale = spread.max(LEAST_SPREAD * (self.most - self.least).abs()).max(f64::MIN_POSITIVE);
        Some(Nearness { distance, score: (1.0 - distance / scale).max(0.0) })
    }
}

/// The drawn line at a time; `points` are sorted and not empty.
fn drawn(points: &[(f64, f64)], time: f64) -> f64 {
    let after = points.partition_point(|point| point.0 < time);
    let (Some(right), Some(left)) = (points.get(after), after.checked_sub(1).and_then(|before| points.get(before)))
    else {
        return if after == 0 { points[0].1 } else { points[points.len() - 1].1 };
    };
    let width = right.0 - left.0;
    if width > 0.0 { left.1 + (right.1 - left.1) * (time - left.0) / width } else { right.1 }
}
