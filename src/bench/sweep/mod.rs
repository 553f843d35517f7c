//! Two settings across, a run at every crossing.
//!
//! Every point is an ordinary run of an ordinary scenario. The points come coarse first: a sparse lattice that covers
//! the whole map, then the points between, never one twice; so a rough picture is there at once.

pub mod chart;
pub mod contour;

use crate::bench::events::{EventKind, first};
use crate::bench::findings::{Findings, findings};
use crate::bench::run::{COARSE_S, RunError, run_with};
use crate::bench::scenario::{GROUPS, OutOfRange, Place, Scenario};
use crate::settings::grouped::Grouped;
use crate::settings::{Kind, Setting};
use crate::solver::hybrid::Control;
use crate::units::{Quantity, UnitSystem, rounded};
use rayon::prelude::*;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::atomic::{AtomicBool, Ordering};

/// Fewest values along an axis.
pub const FEWEST_STEPS: usize = 2;
/// Most values along an axis.
pub const MOST_STEPS: usize = 64;
/// Most values along an axis in the first, coarse picture.
const COARSE_STEPS: usize = 8;

/// A setting that is varied, with its values: evenly from one end to the other, both included.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Axis {
    /// Which setting.
    pub place: Place,
    /// First value, SI.
    pub from: f64,
    /// Last value, SI.
    pub to: f64,
    /// How many values.
    pub steps: usize,
}

impl Axis {
    /// An axis about the scenario's present value, never beyond the accepted range: by a factor where that range spans
    /// several (the wider the range, the larger the factor), else by three tenths of the range to both sides. `None`
    /// for a word or a place that is not there.
    pub fn around(scenario: &Scenario, place: Place, steps: usize) -> Option<Self> {
        const SHARE: f64 = 0.3;
        let (setting, now) = (scenario.setting(place)?, scenario.value(place)?);
        let Kind::Number { quantity, least, most } = setting.kind else { return None };
        let span = if least > 0.0 { most / least } else { 1.0 };
        let factor = if span > 50.0 { 2.0 } else { 1.5 };
        let reach = SHARE * (most - least);
        let (from, to) = if span > 5.0 { (now / factor, factor * now) } else { (now - reach, now + reach) };
        // ends that can be read at a glance
        let unit = quantity.unit(UnitSystem::Si);
        let short = |si: f64| unit.to_si(rounded(unit.from_si(si), 1)).clamp(least, most);
        let axis = Self { place, from: short(from), to: short(to), steps };
        Some(if axis.from < axis.to { axis } else { Self { from: least, to: most, ..axis } })
    }

    /// Value at a step, SI.
    pub fn value(&self, step: usize) -> f64 {
        let last = self.steps.saturating_sub(1);
        // the ends are what was asked for, whatever rounding makes of the way there
        match step {
            0 => self.from,
            _ if step >= last => self.to,
            _ => self.from + (self.to - self.from) * step as f64 / last as f64,
        }
    }

    /// Where a value lies: 0 at the first step, 1 at the second, and so on, between them and beyond the ends too.
    pub fn step_of(&self, value: f64) -> f64 {
        (value - self.from) / (self.to - self.from) * self.steps.saturating_sub(1) as f64
    }

    fn check(&self, scenario: &Scenario) -> Result<&'static Setting, Refused> {
        let setting = scenario.setting(self.place).ok_or(Refused::NoSuchPlace)?;
        let key = key(scenario, self.place);
        if matches!(setting.kind, Kind::Choice(_)) {
            return Err(Refused::NotANumber(key));
        }
        if !(FEWEST_STEPS..=MOST_STEPS).contains(&self.steps) {
            return Err(Refused::Steps(self.steps));
        }
        for end in [self.from, self.to] {
            scenario.clone().set(self.place, end).map_err(Refused::OutOfRange)?;
        }
        if self.from < self.to { Ok(setting) } else { Err(Refused::Order(key)) }
    }
}

/// `group.key` of a place; empty if the scenario has no such place.
pub fn key(scenario: &Scenario, place: Place) -> String {
    scenario.setting(place).map_or(String::new(), |setting| format!("{}.{}", GROUPS[place.group].id, setting.key()))
}

/// What a numeric setting measures; `None` for a word or a place that is not there.
pub fn quantity(scenario: &Scenario, place: Place) -> Option<Quantity> {
    match scenario.setting(place)?.kind {
        Kind::Number { quantity, .. } => Some(quantity),
        Kind::Choice(_) => None,
    }
}

/// Why there is no map.
#[derive(Debug, Clone, PartialEq)]
pub enum Refused {
    /// The scenario has no such setting.
    NoSuchPlace,
    /// A setting that takes words.
    NotANumber(String),
    /// An end that the setting does not accept.
    OutOfRange(OutOfRange),
    /// An axis that does not rise.
    Order(String),
    /// So many values along an axis.
    Steps(usize),
    /// One setting on both axes.
    Twice(String),
}

impl std::fmt::Display for Refused {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::NoSuchPlace => f.write_str("this scenario has no such setting; choose one of its own"),
            Self::NotANumber(key) => write!(f, "{key} takes words and makes no axis; choose a setting with numbers"),
            Self::OutOfRange(out) => write!(f, "{out}"),
            Self::Order(key) => write!(f, "{key}: its range does not rise; give the smaller value first"),
            Self::Steps(steps) => {
                write!(f, "{steps} values along an axis are not accepted; give {FEWEST_STEPS} to {MOST_STEPS}")
            }
            Self::Twice(key) => write!(f, "{key} is on both axes; choose two settings"),
        }
    }
}

impl std::error::Error for Refused {}

/// What a point of the map came to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Found {
    /// Findings of its run.
    pub findings: Findings,
    /// Whether the engine stalled.
    pub stalled: bool,
}

/// A point: what was found, or the reason why there is a hole.
pub type Point = Result<Found, String>;

/// A scenario with two of its settings varied, and the points that have been run so far.
#[derive(Debug, Clone)]
pub struct Map {
    /// Everything else that the runs depend on.
    pub scenario: Scenario,
    /// The setting that varies to the right, then the one that varies upwards.
    pub axes: [Axis; 2],
    points: Vec<Option<Point>>,
}

impl Map {
    /// A map without any run yet.
    ///
    /// # Errors
    /// [`Refused`] for axes that the scenario cannot have.
    pub fn new(scenario: Scenario, axes: [Axis; 2]) -> Result<Self, Refused> {
        for axis in &axes {
            axis.check(&scenario)?;
        }
        if axes[0].place == axes[1].place {
            return Err(Refused::Twice(key(&scenario, axes[0].place)));
        }
        let points = vec![None; axes[0].steps * axes[1].steps];
        Ok(Self { scenario, axes, points })
    }

    /// What is known of a point; `None` while it has not been run, and outside the map.
    pub fn point(&self, column: usize, row: usize) -> Option<&Point> {
        let [across, up] = [self.axes[0].steps, self.axes[1].steps];
        (column < across && row < up).then(|| self.points[row * across + column].as_ref()).flatten()
    }

    /// Note what a point came to; outside the map nothing is noted.
    pub fn put(&mut self, (column, row): (usize, usize), point: Point) {
        let across = self.axes[0].steps;
        if column < across && row < self.axes[1].steps {
            self.points[row * across + column] = Some(point);
        }
    }

    /// How many points have been run, and how many there are.
    pub fn progress(&self) -> (usize, usize) {
        (self.points.iter().filter(|point| point.is_some()).count(), self.points.len())
    }

    /// The scenario of a point.
    ///
    /// # Errors
    /// [`OutOfRange`] for a value that a setting does not accept.
    pub fn scenario_at(&self, column: usize, row: usize) -> Result<Scenario, OutOfRange> {
        let mut scenario = self.scenario.clone();
        for (axis, step) in self.axes.iter().zip([column, row]) {
            scenario.set(axis.place, axis.value(step))?;
        }
        Ok(scenario)
    }

    /// Whether this would be the map of `other` too: the same settings but for the two that vary.
    pub fn is_of(&self, other: &Scenario) -> bool {
        let varies = |place: &Place| self.axes.iter().any(|axis| axis.place == *place);
        self.scenario.entry().id == other.entry().id
            && (self.scenario.places().iter().filter(|place| !varies(place)))
                .all(|place| self.scenario.value(*place) == other.value(*place))
    }

    /// Distances of the lattices in the order in which they are run: the coarse one first, 1 last.
    pub fn strides(&self) -> Vec<usize> {
        let most = self.axes[0].steps.max(self.axes[1].steps);
        let mut strides = vec![1];
        while most.div_ceil(strides[0]) > COARSE_STEPS {
            strides.insert(0, 2 * strides[0]);
        }
        strides
    }

    /// Points that a lattice adds to the coarser ones, row by row.
    pub fn new_points(&self, stride: usize) -> Vec<(usize, usize)> {
        let strides = self.strides();
        let is_first = strides.first() == Some(&stride);
        let coarser = 2 * stride;
        let on = |step: usize, stride: usize| step.is_multiple_of(stride);
        (0..self.axes[1].steps)
            .flat_map(|row| (0..self.axes[0].steps).map(move |column| (column, row)))
            .filter(|(column, row)| on(*column, stride) && on(*row, stride))
            .filter(|(column, row)| is_first || !(on(*column, coarser) && on(*row, coarser)))
            .collect()
    }

    /// Distance of the finest lattice of which every point has been run; `None` before the coarse one is full.
    pub fn finished(&self) -> Option<usize> {
        let full = |stride: &usize| {
            self.new_points(*stride).into_iter().all(|(column, row)| self.point(column, row).is_some())
        };
        self.strides().into_iter().take_while(full).last()
    }

    /// The point that stands for `column`, `row` while that itself has not been run: the nearest one of the finest
    /// lattice that has it.
    pub fn stand_in(&self, column: usize, row: usize) -> Option<(usize, usize)> {
        let near = |step: usize, stride: usize, steps: usize| {
            ((step + stride / 2) / stride * stride).min((steps - 1) / stride * stride)
        };
        self.strides().into_iter().rev().find_map(|stride| {
            let at = (near(column, stride, self.axes[0].steps), near(row, stride, self.axes[1].steps));
            self.point(at.0, at.1).map(|_| at)
        })
    }
}

/// Run one point.
pub fn point(map: &Map, column: usize, row: usize) -> Point {
    let scenario = map.scenario_at(column, row).map_err(|out| out.to_string())?;
    // a defect of the core is a hole in the map and not the end of the program
    let run = catch_unwind(AssertUnwindSafe(|| -> Result<Found, RunError> {
        let run = run_with(&scenario, COARSE_S, Control::default())?;
        let stalled = first(&run.events, EventKind::Stalls, 0.0).is_some();
        Ok(Found { findings: findings(&scenario, &run), stalled })
    }));
    match run {
        Ok(found) => found.map_err(|error| error.to_string()),
        Err(_) => Err("the run broke off through a defect of the program; please report the scenario".to_owned()),
    }
}

/// Run every point of a map on all threads of the pool that this is called in, coarse lattice first, and give each to
/// `found` as it comes, on whichever thread it was run. Points that are there already are not run again. A point in
/// progress when `cancelled` is set is finished, and nothing begun after it; gives whether all were run.
pub fn sweep(map: &Map, cancelled: &AtomicBool, found: impl Fn((usize, usize), Point) + Sync) -> bool {
    for stride in map.strides() {
        let mut points = map.new_points(stride);
        points.retain(|(column, row)| map.point(*column, *row).is_none());
        points.par_iter().with_max_len(1).for_each(|&(column, row)| {
            if !cancelled.load(Ordering::Relaxed) {
                found((column, row), point(map, column, row));
                // whoever else wants the core, such as the window, gets it between two runs
                std::thread::yield_now();
            }
        });
        if cancelled.load(Ordering::Relaxed) {
            return false;
        }
    }
    true
}

/// A whole map, run to its end.
///
/// # Errors
/// As [`Map::new`].
pub fn whole(scenario: Scenario, axes: [Axis; 2]) -> Result<Map, Refused> {
    let map = Map::new(scenario, axes)?;
    let run = std::sync::Mutex::new(map.clone());
    let locked = || run.lock().unwrap_or_else(std::sync::PoisonError::into_inner);
    sweep(&map, &AtomicBool::new(false), |at, point| locked().put(at, point));
    let whole = locked().clone();
    Ok(whole)
}
