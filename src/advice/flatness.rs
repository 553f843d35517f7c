//! How far a setting may be off before the verdict is another.

use crate::advice::free::Free;
use crate::advice::merit::Merit;
use crate::bench::scenario::Scenario;
use crate::bench::verdict::Verdict;
use crate::bench::watch::Watch;
use crate::settings::grouped::Grouped;
use rayon::prelude::*;

/// The stretch of one setting around its best value within which the verdict stays, all others as they are.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stretch {
    /// Which setting and what was searched.
    pub free: Free,
    /// Its least value with this verdict, SI.
    pub from: f64,
    /// Its greatest value with this verdict, SI.
    pub to: f64,
    /// Whether each end is only the end of what was searched.
    pub open: [bool; 2],
}

/// Nearer to an end than this share of what was searched, a setting stands at the edge of its verdict.
const EDGE: f64 = 0.02;

impl Stretch {
    /// Whether the verdict changes as soon as the setting is a little off its value.
    pub fn is_at_edge(&self, value: f64) -> bool {
        let near = |end: f64| (self.free.share(value) - self.free.share(end)).abs() < EDGE;
        (!self.open[0] && near(self.from)) || (!self.open[1] && near(self.to))
    }
}

/// Steps from the value to an end of the range.
const STEPS: usize = 10;
/// Halvings of the step in which the verdict changes.
const HALVINGS: usize = 5;

/// The stretches of all free settings around the values of `scenario`; `None` if cancelled.
pub fn stretches(scenario: &Scenario, free: &[Free], watch: &Watch) -> Option<Vec<Stretch>> {
    let verdict = Merit::of(scenario).ok()?.findings.verdict;
    let ends: Vec<(f64, bool)> = (0..2 * free.len())
        .into_par_iter()
        .map(|side| end(scenario, free[side / 2], if side % 2 == 0 { 0.0 } else { 1.0 }, verdict, watch))
        .collect();
    if watch.cancelled() {
        return None;
    }
    let stretch = |(free, ends): (&Free, &[(f64, bool)])| Stretch {
        free: *free,
        from: ends[0].0,
        to: ends[1].0,
        open: [ends[0].1, ends[1].1],
    };
    Some(free.iter().zip(ends.chunks_exact(2)).map(stretch).collect())
}

/// The last value with this verdict on the way to an end of the range, and whether that is the end.
fn end(scenario: &Scenario, free: Free, towards: f64, verdict: Verdict, watch: &Watch) -> (f64, bool) {
    let value = scenario.value(free.place).unwrap_or(free.least);
    let here = free.share(value);
    let stays = |share: f64| {
        let mut varied = scenario.clone();
        let set = !watch.cancelled() && varied.set(free.place, free.value(share)).is_ok();
        set && {
            watch.count();
            Merit::of(&varied).is_ok_and(|merit| merit.findings.verdict == verdict)
        }
    };
    let mut good = here;
    for step in 1..=STEPS {
        let next = here + (towards - here) * step as f64 / STEPS as f64;
        if next == good {
            break;
        }
        if stays(next) {
            good = next;
            continue;
        }
        let mut bad = next;
        for _ in 0..HALVINGS {
            let middle = 0.5 * (good + bad);
            if stays(middle) { good = middle } else { bad = middle }
        }
        return (if good == here { value } else { free.value(good) }, false);
    }
    (if good == here { value } else { free.value(good) }, true)
}
