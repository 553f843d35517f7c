//! A map as it is drawn, on a screen or in a file: shades, contour lines, and lines between verdicts.
//!
//! Places are in columns and rows of the map, so that a drawing scales them as it likes.

use super::contour::{Field, Line, decimals, levels};
use super::{Found, Map};
use crate::bench::findings::Finding;
use crate::bench::verdict::{BEGINS_S, Verdict};
use crate::units::{Quantity, Unit, UnitSystem};

/// About how many contour lines a map has.
const CONTOURS: usize = 7;

/// How a point is filled.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Shade {
    /// Neither the point nor one that stands for it has been run.
    Waiting,
    /// The run failed or was refused.
    Hole,
    /// It ran, and what is shown did not happen in it.
    Absent,
    /// Place on the scale, 0 to 1.
    Share(f64),
}

/// A line of one value of the finding.
#[derive(Debug, Clone, PartialEq)]
pub struct Contour {
    /// The value, in the chart's unit.
    pub level: f64,
    /// The value as text, without the unit.
    pub text: String,
    /// Place on the scale, 0 to 1.
    pub share: f64,
    /// Where.
    pub lines: Vec<Line>,
}

/// The line beyond which a verdict or a worse one holds.
#[derive(Debug, Clone, PartialEq)]
pub struct Boundary {
    /// The verdict that begins there.
    pub begins: Verdict,
    /// Where.
    pub lines: Vec<Line>,
}

/// What holds on both sides of a boundary.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sides {
    /// On the better side.
    pub better: Verdict,
    /// On the worse side.
    pub worse: Verdict,
    /// From the better to the worse side, in columns and rows: one of them, forward or back.
    pub towards: [f64; 2],
}

/// A map as it is drawn.
#[derive(Debug, Clone, PartialEq)]
pub struct Chart {
    /// Unit of the scale.
    pub unit: Unit,
    /// Ends of the scale, in that unit; `None` while no point has a value.
    pub range: Option<(f64, f64)>,
    /// Filling of every point, row by row from the first values on.
    pub shades: Vec<Shade>,
    /// Contour lines, from the least level on.
    pub contours: Vec<Contour>,
    /// Lines between verdicts, from the mildest on; those that the map has.
    pub boundaries: Vec<Boundary>,
    stride: usize,
}

impl Chart {
    /// The chart of one finding over a map, as far as the map has been run.
    pub fn of(map: &Map, finding: &Finding, units: UnitSystem) -> Self {
        let unit = finding.quantity.unit(units);
        let value = |found: &Found| (finding.get)(&found.findings).map(|si| unit.from_si(si));
        let stride = map.finished();
        let range = range(map, value);
        let mut chart = Self {
            unit,
            range,
            shades: shades(map, range, value),
            contours: Vec::new(),
            boundaries: Vec::new(),
            stride: stride.unwrap_or(1),
        };
        if let Some(stride) = stride {
            let shown = lattice(map, stride, |found| value(found).unwrap_or(f64::NAN));
            chart.contours = contours(&shown, range, stride);
            // a stalled engine is beyond every threshold of lost time
            let lost = |found: &Found| if found.stalled { f64::INFINITY } else { lost_s(found) };
            chart.boundaries = boundaries(&lattice(map, stride, lost), stride);
        }
        chart
    }

    /// Place on the scale of a value in the chart's unit; half where all values are alike.
    pub fn share(&self, value: f64) -> f64 {
        self.range.map_or(0.5, |range| share(range, value))
    }

    /// Levels of the contour lines, in the chart's unit; at least one figure wherever there is a scale.
    pub fn ticks(&self) -> Vec<(f64, String)> {
        let Some((least, most)) = self.range else { return Vec::new() };
        let levels = levels(least, most, CONTOURS);
        let figures = decimals(&levels);
        if levels.is_empty() {
            return vec![(least, crate::units::significant(least, 3))];
        }
        levels.into_iter().map(|level| (level, written(level, figures))).collect()
    }

    /// What holds on both sides of a boundary at one of the corners of one of its lines; `None` where there is no such
    /// corner. Where the line runs between two values it is the verdicts that meet at its threshold; where it runs
    /// beside a stalled engine, those of the two runs.
    pub fn sides(&self, map: &Map, begins: Verdict, line: &Line, corner: usize) -> Option<Sides> {
        let stride = self.stride as f64;
        let [x, y] = line.get(corner)?.map(|place| place / stride);
        let found = |[x, y]: [f64; 2]| {
            let at = |place: f64| (place.max(0.0) * stride).round() as usize;
            map.point(at(x), at(y))?.as_ref().ok()
        };
        let across = (x - x.round()).abs() > 1e-9;
        let (low, high) = if across { ([x.floor(), y], [x.ceil(), y]) } else { ([x, y.floor()], [x, y.ceil()]) };
        let (low, high) = (found(low)?, found(high)?);
        let (a, b) = (low.findings.verdict, high.findings.verdict);
        if a == b {
            return None;
        }
        let milder = BEGINS_S.iter().rev().find(|(verdict, _)| *verdict < begins)?.0;
        let stalls = low.stalled || high.stalled;
        let (better, worse) = if stalls { (a.min(b), a.max(b)) } else { (milder, begins) };
        let forward = if across { [1.0, 0.0] } else { [0.0, 1.0] };
        let way = if b > a { forward } else { forward.map(|way| -way) };
        Some(Sides { better, worse, towards: crosswise(line, corner, way) })
    }
}

/// The one of the four ways that leads most nearly straight away from a line, on the side to which `way` leads.
fn crosswise(line: &Line, corner: usize, way: [f64; 2]) -> [f64; 2] {
    let before = line[corner.saturating_sub(1)];
    let after = line[(corner + 1).min(line.len() - 1)];
    let normal = [before[1] - after[1], after[0] - before[0]];
    let along = normal[0] * way[0] + normal[1] * way[1];
    if along == 0.0 {
        return way;
    }
    let away = normal.map(|part| part * along.signum());
    if away[0].abs() >= away[1].abs() { [away[0].signum(), 0.0] } else { [0.0, away[1].signum()] }
}

fn lost_s(found: &Found) -> f64 {
    found.findings.lost_s.unwrap_or(f64::NAN)
}

fn range(map: &Map, value: impl Fn(&Found) -> Option<f64>) -> Option<(f64, f64)> {
    let [across, up] = [map.axes[0].steps, map.axes[1].steps];
    let known = |column, row| map.point(column, row).and_then(|point| point.as_ref().ok()).and_then(&value);
    Field::new(across, up, |column, row| known(column, row).unwrap_or(f64::NAN)).range()
}

fn share((least, most): (f64, f64), value: f64) -> f64 {
    let share = (value - least) / (most - least);
    if share.is_finite() { share.clamp(0.0, 1.0) } else { 0.5 }
}

fn shades(map: &Map, range: Option<(f64, f64)>, value: impl Fn(&Found) -> Option<f64>) -> Vec<Shade> {
    let shade = |column, row| {
        let Some((column, row)) = map.stand_in(column, row) else { return Shade::Waiting };
        match (map.point(column, row), range) {
            (Some(Ok(found)), Some(range)) => match value(found).filter(|value| value.is_finite()) {
                Some(value) => Shade::Share(share(range, value)),
                None => Shade::Absent,
            },
            (Some(Ok(_)), None) => Shade::Absent,
            (Some(Err(_)), _) => Shade::Hole,
            (None, _) => Shade::Waiting,
        }
    };
    let rows = 0..map.axes[1].steps;
    rows.flat_map(|row| (0..map.axes[0].steps).map(move |column| (column, row)))
        .map(|(column, row)| shade(column, row))
        .collect()
}

/// Every `stride`th point.
fn lattice(map: &Map, stride: usize, value: impl Fn(&Found) -> f64) -> Field {
    let [columns, rows] = [0, 1].map(|axis| map.axes[axis].steps.div_ceil(stride));
    Field::new(columns, rows, |column, row| {
        map.point(column * stride, row * stride).and_then(|point| point.as_ref().ok()).map_or(f64::NAN, &value)
    })
}

fn lines(field: &Field, level: f64, stride: usize) -> Vec<Line> {
    let stride = stride as f64;
    let scaled = |line: Line| line.into_iter().map(|place| place.map(|steps| steps * stride)).collect();
    field.contour(level).into_iter().map(scaled).collect()
}

fn contours(field: &Field, range: Option<(f64, f64)>, stride: usize) -> Vec<Contour> {
    let Some((least, most)) = range else { return Vec::new() };
    let levels = levels(least, most, CONTOURS);
    let figures = decimals(&levels);
    levels
        .into_iter()
        .map(|level| Contour {
            level,
            text: written(level, figures),
            share: share((least, most), level),
            lines: lines(field, level, stride),
        })
        .collect()
}

fn boundaries(lost: &Field, stride: usize) -> Vec<Boundary> {
    BEGINS_S
        .iter()
        .skip(1)
        .map(|(begins, level)| Boundary { begins: *begins, lines: lines(lost, *level, stride) })
        .filter(|boundary| !boundary.lines.is_empty())
        .collect()
}

fn written(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    if text.trim_start_matches(['-', '0', '.']).is_empty() { "0".to_owned() } else { text }
}

/// Round values of an axis with their text: place in steps, and the figure in the quantity's unit.
pub fn axis_ticks(axis: &super::Axis, quantity: Quantity, units: UnitSystem, count: usize) -> Vec<(f64, String)> {
    let unit = quantity.unit(units);
    let (from, to) = (unit.from_si(axis.from), unit.from_si(axis.to));
    let width = (to - from).abs();
    // the ends themselves may carry a figure too
    let levels = levels(from.min(to) - 1e-6 * width, from.max(to) + 1e-6 * width, count);
    let figures = decimals(&levels);
    levels.into_iter().map(|level| (axis.step_of(unit.to_si(level)), written(level, figures))).collect()
}
