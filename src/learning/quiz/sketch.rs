//! Draw a curve before it is shown.

use crate::learning::prediction::Sketch;
use crate::learning::quiz::asked::{Asked, Word};
use crate::learning::quiz::response::Graded;
use crate::learning::seen::Seen;

/// A curve to draw.
#[derive(Debug, Clone)]
pub struct Drawn {
    /// The paper, and how a drawing is scored.
    pub sketch: Sketch,
    /// Score from which on it counts as right.
    pub enough: f64,
}

impl Drawn {
    pub(super) fn grade(&self, points: &[(f64, f64)], asked: &Asked, seen: &[Seen]) -> Result<Graded, String> {
        let nearness = self.sketch.score(points, seen).ok_or("draw a curve of at least two points")?;
        let told = format!("Your curve scores {:.0} of 100.", 100.0 * nearness.score);
        let right = nearness.score >= self.enough;
        Ok(asked.graded(nearness.score, right, Word { told, misconception: None, says_it: true }, seen))
    }
}
