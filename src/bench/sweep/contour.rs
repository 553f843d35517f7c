//! Lines of one level through a table of numbers: marching squares (Lorensen and Cline 1987 in three dimensions; the
//! plane case is common practice).
//!
//! A value that is not a number is a hole: no line enters a square with a hole at a corner. An infinite value is a
//! category of its own, beyond every level; where a line passes between it and a number, it passes half way, because
//! nothing finer is known.

use std::collections::BTreeMap;

/// Numbers at the crossings of columns and rows.
#[derive(Debug, Clone, PartialEq)]
pub struct Field {
    columns: usize,
    rows: usize,
    values: Vec<f64>,
}

/// A line in columns and rows, such as half way from column 2 to column 3.
pub type Line = Vec<[f64; 2]>;

/// An edge of a square: its lower left end, and whether it rises.
type Edge = (usize, usize, bool);

impl Field {
    /// A field of these values.
    pub fn new(columns: usize, rows: usize, value: impl Fn(usize, usize) -> f64) -> Self {
        let values = (0..rows).flat_map(|row| (0..columns).map(move |column| (column, row)));
        Self { columns, rows, values: values.map(|(column, row)| value(column, row)).collect() }
    }

    /// Value at a crossing; not a number outside the field.
    pub fn value(&self, column: usize, row: usize) -> f64 {
        if column < self.columns && row < self.rows { self.values[row * self.columns + column] } else { f64::NAN }
    }

    /// Least and greatest finite value; `None` if there is none.
    pub fn range(&self) -> Option<(f64, f64)> {
        let finite = || self.values.iter().copied().filter(|value| value.is_finite());
        Some((finite().reduce(f64::min)?, finite().reduce(f64::max)?))
    }

    /// Where the value passes `level`, from below to at or above it. Closed lines end where they begin.
    pub fn contour(&self, level: f64) -> Vec<Line> {
        let mut neighbours: BTreeMap<Edge, Vec<Edge>> = BTreeMap::new();
        for row in 1..self.rows {
            for column in 1..self.columns {
                for [from, to] in self.segments(column - 1, row - 1, level) {
                    neighbours.entry(from).or_default().push(to);
                    neighbours.entry(to).or_default().push(from);
                }
            }
        }
        chains(neighbours)
            .into_iter()
            .map(|chain| chain.into_iter().map(|edge| self.crossing(edge, level)).collect())
            .collect()
    }

    /// Pieces of the line through one square: none, one, or two where it is a saddle.
    fn segments(&self, column: usize, row: usize, level: f64) -> Vec<[Edge; 2]> {
        // lower left, lower right, upper right, upper left
        let corners = [(0, 0), (1, 0), (1, 1), (0, 1)].map(|(x, y)| self.value(column + x, row + y));
        if corners.iter().any(|value| value.is_nan()) {
            return Vec::new();
        }
        let [bottom, right, top, left] =
            [(column, row, false), (column + 1, row, true), (column, row + 1, false), (column, row, true)];
        let inside = corners.map(|value| value >= level);
        let edges = [bottom, right, top, left];
        let crossed: Vec<Edge> = (0..4).filter(|&i| inside[i] != inside[(i + 1) % 4]).map(|i| edges[i]).collect();
        match crossed[..] {
            [a, b] => vec![[a, b]],
            [_, _, _, _] => {
                // what the middle is decides which corners belong together
                let middle_inside = corners.iter().sum::<f64>() / 4.0 >= level;
                if inside[0] == middle_inside {
                    vec![[bottom, right], [top, left]]
                } else {
                    vec![[left, bottom], [right, top]]
                }
            }
            _ => Vec::new(),
        }
    }

    fn crossing(&self, (column, row, rises): Edge, level: f64) -> [f64; 2] {
        let from = self.value(column, row);
        let to = if rises { self.value(column, row + 1) } else { self.value(column + 1, row) };
        let share = (level - from) / (to - from);
        let share = if from.is_finite() && to.is_finite() && share.is_finite() { share.clamp(0.0, 1.0) } else { 0.5 };
        let (x, y) = (column as f64, row as f64);
        if rises { [x, y + share] } else { [x + share, y] }
    }
}

/// Edges in the order in which a line passes them: open lines first, then closed ones.
fn chains(mut neighbours: BTreeMap<Edge, Vec<Edge>>) -> Vec<Vec<Edge>> {
    let mut chains = Vec::new();
    let ends: Vec<Edge> = neighbours.iter().filter(|(_, near)| near.len() == 1).map(|(edge, _)| *edge).collect();
    for end in ends {
        if neighbours.contains_key(&end) {
            chains.push(chain(&mut neighbours, end));
        }
    }
    while let Some(start) = neighbours.keys().next().copied() {
        let mut closed = chain(&mut neighbours, start);
        closed.push(start);
        chains.push(closed);
    }
    chains
}

fn chain(neighbours: &mut BTreeMap<Edge, Vec<Edge>>, start: Edge) -> Vec<Edge> {
    let mut chain = vec![start];
    let mut near = neighbours.remove(&start).unwrap_or_default();
    while let Some(next) = near.iter().copied().find(|edge| neighbours.contains_key(edge)) {
        chain.push(next);
        near = neighbours.remove(&next).unwrap_or_default();
    }
    chain
}

/// Round numbers strictly between two values: one, two or five times a power of ten apart, about `count` of them.
pub fn levels(least: f64, most: f64, count: usize) -> Vec<f64> {
    let width = most - least;
    if !(width.is_finite() && width > 0.0) || count == 0 {
        return Vec::new();
    }
    let rough = width / count as f64;
    let power = 10f64.powf(rough.log10().floor());
    let away = |factor: &f64| (factor * power / rough).ln().abs();
    let factor = [1.0, 2.0, 5.0, 10.0].into_iter().min_by(|a, b| away(a).total_cmp(&away(b))).unwrap_or(1.0);
    let step = factor * power;
    let first = (least / step).floor();
    // a step that is lost in the rounding of the numbers gives no levels
    (0..=2 * count + 2)
        .map(|place| (first + place as f64) * step)
        .filter(|level| *level > least + 1e-9 * width && *level < most - 1e-9 * width)
        .collect()
}

/// Decimals that show levels of this distance.
pub fn decimals(levels: &[f64]) -> usize {
    let step = levels.windows(2).map(|pair| pair[1] - pair[0]).fold(f64::INFINITY, f64::min);
    let step = if step.is_finite() { step } else { levels.first().map_or(1.0, |level| level.abs()) };
    if step > 0.0 { (-(step * (1.0 + 1e-9)).log10().floor()).clamp(0.0, 9.0) as usize } else { 0 }
}
