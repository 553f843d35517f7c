//! A carburettor as it could stand on the customer's engine, judged.

use crate::advice::free::Free;
use crate::advice::recommend::car::Car;
use crate::advice::recommend::effort::{self, FIT_S};
use crate::advice::recommend::judge::{self, Figures, Footing, Stab, Yardstick};
use crate::advice::recommend::weigh::{Burdens, Criterion, UNITS, Weights};
use crate::bench::scenario::{Place, Scenario};
use crate::bench::watch::Watch;
use crate::settings::grouped::Grouped;

/// What the workshop would do.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Action {
    /// Nothing.
    Keep,
    /// Set what is there.
    Change,
    /// Fit another.
    Fit,
}

impl Action {
    /// Stable key in files.
    pub const fn id(self) -> &'static str {
        match self {
            Self::Keep => "keep",
            Self::Change => "change",
            Self::Fit => "fit",
        }
    }
}

/// A carburettor on the customer's car, before and after it is set.
#[derive(Debug, Clone)]
pub struct Design {
    /// What the workshop would do.
    pub action: Action,
    /// As it is found or delivered.
    pub delivered: Scenario,
    /// As it is to be set; of no stroke in particular.
    pub scenario: Scenario,
    /// Bores over the default ones.
    pub factor: f64,
    /// Where the pedal stands before each stroke, and the cruise.
    pub footing: Footing,
}

/// One setting that is changed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Change {
    /// Which.
    pub place: Place,
    /// As delivered, SI.
    pub from: f64,
    /// As it is to be set, SI.
    pub to: f64,
}

impl Design {
    /// Every setting that is not as it was delivered.
    pub fn changes(&self) -> Vec<Change> {
        let places = self.scenario.places().into_iter();
        let of = |place| Some(Change { place, from: self.delivered.value(place)?, to: self.scenario.value(place)? });
        places.filter_map(of).filter(|change| change.from != change.to).collect()
    }

    /// Work until it is fitted and set, s.
    pub fn work_s(&self) -> f64 {
        let fit = if self.action == Action::Fit { FIT_S } else { 0.0 };
        let changes = self.changes();
        fit + changes.iter().map(|change| effort::kind(&self.scenario, change.place).work_s()).sum::<f64>()
    }

    /// What tunes this family, over its whole ranges.
    pub fn own(&self) -> Vec<Free> {
        crate::advice::free::usual(&self.scenario)
    }
}

/// How far off a setting is when room for error is asked for, as a share of its value.
pub const OFF: f64 = 0.2;

/// One setting a fifth off, both ways.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Probe {
    /// Which setting.
    pub place: Place,
    /// Its values that were tried, SI.
    pub tried: [f64; 2],
    /// Weighted mean of the lost time with each, s; infinite where the engine could not be run so.
    pub lost_s: [f64; 2],
    /// Weighted mean of the distance won with each, m.
    pub gained_m: [f64; 2],
}

/// A design and what the runs say of it.
#[derive(Debug, Clone)]
pub struct Judged {
    /// The design.
    pub design: Design,
    /// What it does.
    pub figures: Figures,
    /// Its burdens, all of them.
    pub burdens: Burdens,
    /// Each setting that tunes its family, a fifth off.
    pub probes: Vec<Probe>,
}

/// The customer's side of every judgement.
pub struct Judge<'a> {
    /// The car.
    pub car: &'a Car,
    /// What counts.
    pub weights: &'a Weights,
    /// What shares are taken of.
    pub yardstick: Yardstick,
    /// Progress and cancel.
    pub watch: &'a Watch,
}

impl Judge<'_> {
    /// What the runs say of a carburettor, and its cost without work and room for error. `None` once cancelled, and for
    /// one that cannot be run.
    pub fn run(&self, carburettor: &Scenario, footing: &Footing) -> Option<(Figures, Burdens)> {
        if self.watch.cancelled() {
            return None;
        }
        let figures = judge::figures(carburettor, self.car, footing, self.weights, self.watch).ok()?;
        let burdens = self.yardstick.burdens(&figures, &footing.cruise, self.weights);
        Some((figures, burdens))
    }

    /// Everything about a design.
    pub fn judge(&self, design: Design) -> Option<Judged> {
        let (figures, mut burdens) = self.run(&design.scenario, &design.footing)?;
        let places: Vec<Free> = design.own();
        let probes: Vec<Probe> = places.iter().filter_map(|free| self.probe(&design, *free)).collect();
        if self.watch.cancelled() {
            return None;
        }
        let lost = figures.lost_s(self.weights);
        burdens[Criterion::Effort as usize] = design.work_s() / UNITS.work_s;
        burdens[Criterion::Narrow as usize] = narrowness(lost, &probes) / UNITS.lost_s;
        Some(Judged { design, figures, burdens, probes })
    }

    /// A setting of a design a fifth off, both ways.
    pub fn probe(&self, design: &Design, free: Free) -> Option<Probe> {
        let value = design.scenario.value(free.place)?;
        // what stands at nothing is off by a fiftieth of its range
        let off = if value == 0.0 { 0.02 * (free.most - free.least) } else { OFF * value.abs() };
        let tried = [value - off, value + off].map(|value| value.clamp(free.least, free.most));
        let ends = tried.map(|value| {
            let mut varied = design.scenario.clone();
            let set = !self.watch.cancelled() && varied.set(free.place, value).is_ok();
            let stabs = set.then(|| judge::stabs(&varied, self.car, &design.footing, self.weights, self.watch).ok());
            let Some(stabs) = stabs.flatten() else { return (f64::INFINITY, 0.0) };
            let mean = |of: &dyn Fn(&Stab) -> f64| stabs.iter().map(|s| self.weights.strokes[s.stroke] * of(s)).sum();
            (mean(&Stab::lost_s), mean(&|stab: &Stab| stab.gained_m))
        });
        Some(Probe { place: free.place, tried, lost_s: ends.map(|end| end.0), gained_m: ends.map(|end| end.1) })
    }
}

/// What is lost on average, s, when one setting is off; no more counts than a dead engine.
fn narrowness(lost_s: f64, probes: &[Probe]) -> f64 {
    const MOST: f64 = 0.6;
    let more = |end: &f64| (end - lost_s).clamp(0.0, MOST);
    let ends = probes.len() * 2;
    probes.iter().flat_map(|probe| &probe.lost_s).map(more).sum::<f64>() / (ends.max(1) as f64)
}

impl Judged {
    /// What it costs, in points.
    pub fn cost(&self, weights: &Weights) -> f64 {
        weights.cost(&self.burdens)
    }

    /// No better in anything, and worse in something.
    pub fn is_dominated_by(&self, other: &Self) -> bool {
        dominated(&self.burdens, &other.burdens)
    }
}

/// Whether the first is no better than the second in anything, and worse in something.
pub fn dominated(burdens: &Burdens, other: &Burdens) -> bool {
    let mut pairs = burdens.iter().zip(other);
    pairs.clone().all(|(mine, theirs)| mine >= theirs) && pairs.any(|(mine, theirs)| mine > theirs)
}
