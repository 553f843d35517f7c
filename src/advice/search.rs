//! A search without derivatives in a cube: an even sample first, then polls around the best of it.
//!
//! The goal has kinks (a door that starts or does not) and a condition (no hole), so slopes are of no use. A poll tries
//! both ways along each of a set of perpendicular directions, moves to the best if that is better and widens its
//! step, else halves it once two polls have failed: a mesh adaptive direct search with the directions of Abramson,
//! Audet, Dennis and Le Digabel, *SIAM J. Optim.* 20 (2009) 948 (reference from memory), every other time the axes
//! themselves. Points beyond the cube are moved to its wall. Directions come from a fixed sequence and ties go to the
//! earlier point, so the answer is the same on any number of threads.

use crate::solver::sampling::Spread;
use std::cmp::Ordering;

/// How much is tried.
#[derive(Debug, Clone, Copy)]
pub struct Plan {
    /// Points of the first sample.
    pub sample: usize,
    /// Starts from which polls begin.
    pub starts: usize,
    /// Most points tried in all.
    pub most: usize,
}

/// First step of a poll, share of the range.
const FIRST_STEP: f64 = 0.2;
/// Step at which a poll ends.
const LAST_STEP: f64 = 1.0 / 400.0;
/// Starts are at least so far apart.
const APART: f64 = 0.15;
const SEED: u64 = 4;

/// A point and what it is worth.
#[derive(Debug, Clone)]
pub struct Tried<T> {
    /// In the cube.
    pub point: Vec<f64>,
    /// What was found there.
    pub worth: T,
}

/// Which of two worths is greater.
type Compare<'a, T> = &'a dyn Fn(&T, &T) -> Ordering;

/// The worths of a batch of points, in order; `None` for a point that has none, and for the batch to end the search.
type Evaluate<'a, T> = &'a mut dyn FnMut(&[Vec<f64>]) -> Option<Vec<Option<T>>>;

/// Search from `start`.
pub fn search<T: Clone>(start: &Tried<T>, plan: Plan, compare: Compare<'_, T>, evaluate: Evaluate<'_, T>) {
    let dimensions = start.point.len();
    let mut spread = Spread::new(dimensions, SEED);
    let sample: Vec<Vec<f64>> = (0..plan.sample).map(|_| spread.point()).collect();
    let Some(worths) = evaluate(&sample) else { return };
    let mut used = sample.len();
    let sampled = sample.into_iter().zip(worths).filter_map(|(point, worth)| Some(Tried { point, worth: worth? }));
    let mut ranked: Vec<Tried<T>> = std::iter::once(start.clone()).chain(sampled).collect();
    // stable: the earlier of two equals stays in front
    ranked.sort_by(|a, b| compare(&b.worth, &a.worth));
    let mut directions = Spread::new(dimensions, SEED + 1);
    let starts = apart(ranked, plan.starts);
    for (index, start) in starts.iter().enumerate() {
        // what is left is shared by the starts that are left
        let share = plan.most.saturating_sub(used) / (starts.len() - index);
        match poll(start, share, &mut directions, compare, evaluate) {
            Some(count) => used += count,
            None => return,
        }
    }
}

/// The first `count` that are apart from each other.
fn apart<T>(ranked: Vec<Tried<T>>, count: usize) -> Vec<Tried<T>> {
    let mut kept: Vec<Tried<T>> = Vec::new();
    for tried in ranked {
        let far = |other: &Tried<T>| other.point.iter().zip(&tried.point).any(|(a, b)| (a - b).abs() > APART);
        if kept.len() < count && kept.iter().all(far) {
            kept.push(tried);
        }
    }
    kept
}

/// Poll around a start with at most `most` points; how many were used, `None` if the search was ended.
fn poll<T: Clone>(
    start: &Tried<T>,
    most: usize,
    directions: &mut Spread,
    compare: Compare<'_, T>,
    evaluate: Evaluate<'_, T>,
) -> Option<usize> {
    let mut best = start.clone();
    let mut step = FIRST_STEP;
    let mut used = 0;
    let mut axes = true;
    let mut failures = 0;
    // both kinds of direction fail before the step is halved; along one axis both are the same
    let patience = if start.point.len() == 1 { 1 } else { 2 };
    while step >= LAST_STEP {
        let turned = if axes { None } else { Some(directions.point()) };
        axes = !axes;
        let points = around(&best.point, step, turned.as_deref());
        if points.is_empty() || used + points.len() > most {
            break;
        }
        used += points.len();
        let worths = evaluate(&points)?;
        let mut moved = false;
        for (point, worth) in points.into_iter().zip(worths) {
            if let Some(worth) = worth
                && compare(&worth, &best.worth) == Ordering::Greater
            {
                best = Tried { point, worth };
                moved = true;
            }
        }
        failures = if moved { 0 } else { failures + 1 };
        if moved {
            step = (2.0 * step).min(FIRST_STEP);
        } else if failures == patience {
            (step, failures) = (0.5 * step, 0);
        }
    }
    Some(used)
}

/// Points a step from `centre`, both ways along each axis, or along axes mirrored so that one of them points to `turned`;
/// kept inside the cube, without those that fall back on the centre.
fn around(centre: &[f64], step: f64, turned: Option<&[f64]>) -> Vec<Vec<f64>> {
    let dimensions = centre.len();
    let mirror: Vec<f64> = turned.map_or(vec![0.0; dimensions], |point| {
        let raw: Vec<f64> = point.iter().map(|value| 2.0 * value - 1.0).collect();
        let length = raw.iter().map(|value| value * value).sum::<f64>().sqrt().max(1e-9);
        raw.into_iter().map(|value| value / length).collect()
    });
    let mut points = Vec::with_capacity(2 * dimensions);
    for axis in 0..dimensions {
        // Householder: the axis mirrored at the plane across `mirror`
        let direction = |i: usize| (if i == axis { 1.0 } else { 0.0 }) - 2.0 * mirror[axis] * mirror[i];
        for way in [step, -step] {
            let point: Vec<f64> = (0..dimensions).map(|i| (centre[i] + way * direction(i)).clamp(0.0, 1.0)).collect();
            if point != centre && !points.contains(&point) {
                points.push(point);
            }
        }
    }
    points
}

#[cfg(test)]
mod tests {
    use super::*;

    const PLAN: Plan = Plan { sample: 48, starts: 3, most: 400 };

    /// Best point found for a goal to be made large, and how many were tried.
    fn best_of(start: Vec<f64>, goal: fn(&[f64]) -> f64) -> (Tried<f64>, usize) {
        let start = Tried { worth: goal(&start), point: start };
        let mut best = start.clone();
        let mut count = 0;
        search(&start, PLAN, &f64::total_cmp, &mut |points| {
            count += points.len();
            assert!(points.iter().flatten().all(|value| (0.0..=1.0).contains(value)));
            let worths: Vec<f64> = points.iter().map(|point| goal(point)).collect();
            for (point, worth) in points.iter().zip(&worths) {
                if *worth > best.worth {
                    best = Tried { point: point.clone(), worth: *worth };
                }
            }
            Some(worths.into_iter().map(Some).collect())
        });
        (best, count)
    }

    #[test]
    fn a_hill_is_climbed_and_a_wall_is_reached() {
        let (best, count) = best_of(vec![0.9, 0.9, 0.9], |x| -(x[0] - 0.3).powi(2) - (x[1] - 0.71).powi(2) + x[2]);
        assert!((best.point[0] - 0.3).abs() < 0.02 && (best.point[1] - 0.71).abs() < 0.02, "{best:?}");
        assert_eq!(best.point[2], 1.0);
        assert!(count <= PLAN.most, "{count}");
    }

    #[test]
    fn an_oblique_edge_is_followed() {
        // a cliff along x + y = 1; the goal lies at one end of it
        let (best, _) =
            best_of(vec![0.1, 0.1], |x| if x[0] + x[1] > 1.0 { -1.0 - x[0] - x[1] } else { x[0] + 0.8 * x[1] });
        assert!(best.worth > 0.98, "{best:?}");
    }

    #[test]
    fn a_narrow_hill_beside_a_broad_one_is_found() {
        let (best, _) = best_of(vec![0.2], |x| (0.5 - (x[0] - 0.2).abs()).max(0.9 - 6.0 * (x[0] - 0.85).abs()));
        assert!((best.point[0] - 0.85).abs() < 0.01, "{best:?}");
    }
}
