//! What a carburettor does on the customer's car: the runs, and the burdens that follow from them.

use crate::advice::merit::HORIZON_S;
use crate::advice::recommend::car::Car;
use crate::advice::recommend::stroke::{CRUISE, STROKES};
use crate::advice::recommend::weigh::{Burdens, Criterion, UNITS, Weights};
use crate::bench::findings::{Findings, findings};
use crate::bench::rating::at_top_end;
use crate::bench::run::{COARSE_S, RunError, run_with};
use crate::bench::scenario::Scenario;
use crate::bench::verdict::{BEGINS_S, Verdict};
use crate::bench::watch::Watch;
use crate::solver::hybrid::Control;

/// Where the pedal stands before each stroke, and the steady cruise: what the primary barrels alone decide as long as
/// the others are shut.
#[derive(Debug, Clone, PartialEq)]
pub struct Footing {
    /// Pedal before each of [`STROKES`].
    pub rests: [f64; STROKES.len()],
    /// The steady cruise.
    pub cruise: Cruise,
}

/// Steady running at [`CRUISE`].
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cruise {
    /// λ in the cylinders.
    pub lambda: f64,
    /// Fuel for a metre of road, kg: the economy proxy. Warm, level, still air, and no word of a driving cycle.
    pub fuel_kg_per_m: f64,
}

/// How well the pedal of the cruise is found: fuel is compared to a part in a thousand.
const CRUISE_TOLERANCE: f64 = 1e-5;
/// A hundredth of the travel is less than a foot can hold.
const STROKE_TOLERANCE: f64 = 4e-3;

impl Footing {
    /// Of a carburettor on a car, for the strokes that may count.
    ///
    /// # Errors
    /// As [`run_with`].
    pub fn of(carburettor: &Scenario, car: &Car, counts: &[bool; STROKES.len()]) -> Result<Self, RunError> {
        let mut rests = [0.08; STROKES.len()];
        for (index, stroke) in STROKES.iter().enumerate() {
            if counts[index] {
                rests[index] = stroke.rest(carburettor, car, STROKE_TOLERANCE)?;
            }
        }
        let pedal = CRUISE.rest(carburettor, car, CRUISE_TOLERANCE)?;
        let (sample, _) = CRUISE.steady(carburettor, car, pedal)?;
        let fuel_kg_per_m = sample.cylinder_fuel_kg_per_s / CRUISE.speed(carburettor, car);
        Ok(Self { rests, cruise: Cruise { lambda: sample.lambda, fuel_kg_per_m } })
    }
}

/// What a design does at one stroke.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stab {
    /// Which of [`STROKES`].
    pub stroke: usize,
    /// Pedal before it.
    pub rest: f64,
    /// Whether the secondary barrels are at work before it, at a steady speed.
    pub on_four: bool,
    /// What the run comes down to.
    pub findings: Findings,
    /// Distance won in [`HORIZON_S`] over a car that had kept its speed, m.
    pub gained_m: f64,
}

impl Stab {
    /// Torque lost to a wrong mixture, s; an engine that has stalled has lost at least what dying means.
    pub fn lost_s(&self) -> f64 {
        let lost = self.findings.lost_s.unwrap_or(0.0);
        if self.findings.verdict == Verdict::Dies { lost.max(BEGINS_S[3].1) } else { lost }
    }
}

/// What a design does.
#[derive(Debug, Clone, PartialEq)]
pub struct Figures {
    /// At the strokes that count.
    pub stabs: Vec<Stab>,
    /// Steady torque at the top end, N m.
    pub top_nm: f64,
    /// λ there.
    pub top_lambda: f64,
    /// Air there, kg/s.
    pub top_air_kg_per_s: f64,
}

impl Figures {
    /// The stroke at which most is lost.
    pub fn worst(&self) -> Option<&Stab> {
        self.stabs.iter().max_by(|a, b| a.lost_s().total_cmp(&b.lost_s()))
    }

    /// Weighted mean of the lost time, s.
    pub fn lost_s(&self, weights: &Weights) -> f64 {
        self.mean(weights, Stab::lost_s)
    }

    /// Weighted mean of a figure of the strokes.
    pub fn mean(&self, weights: &Weights, figure: impl Fn(&Stab) -> f64) -> f64 {
        self.stabs.iter().map(|stab| weights.strokes[stab.stroke] * figure(stab)).sum()
    }
}

/// The scenario of one stroke with the pedal at `rest` before: what is run, and what anybody can run again.
pub fn at_stroke(carburettor: &Scenario, car: &Car, rest: f64, stroke: usize) -> Scenario {
    let mut scenario = carburettor.clone();
    STROKES[stroke].put_into(&mut scenario, car, rest);
    scenario
}

/// Share of the engine's air from which on the secondary barrels are at work.
const AT_WORK: f64 = 0.03;

/// One stroke.
///
/// # Errors
/// As [`run_with`].
pub fn stab(carburettor: &Scenario, car: &Car, footing: &Footing, stroke: usize) -> Result<Stab, RunError> {
    let (mut rest, mut on_four) = (footing.rests[stroke], false);
    let mut scenario = at_stroke(carburettor, car, rest, stroke);
    let mut run = run_with(&scenario, COARSE_S, Control::default())?;
    let begin = scenario.pedal.begin_s;
    let before = run.trace.at(begin);
    if before.secondary_air_kg_per_s > AT_WORK * before.engine_air_kg_per_s {
        // less pedal than the footing says keeps the speed
        on_four = true;
        rest = STROKES[stroke].rest(carburettor, car, STROKE_TOLERANCE)?;
        scenario = at_stroke(carburettor, car, rest, stroke);
        run = run_with(&scenario, COARSE_S, Control::default())?;
    }
    let (from, to) = (run.trace.at(begin), run.trace.at(begin + HORIZON_S));
    let gained_m = to.distance_m - from.distance_m - HORIZON_S * from.road_m_per_s;
    Ok(Stab { stroke, rest, on_four, findings: findings(&scenario, &run), gained_m })
}

/// Everything at every stroke that counts.
///
/// # Errors
/// As [`run_with`].
pub fn figures(
    carburettor: &Scenario,
    car: &Car,
    footing: &Footing,
    weights: &Weights,
    watch: &Watch,
) -> Result<Figures, RunError> {
    let stabs = stabs(carburettor, car, footing, weights, watch)?;
    let top = at_top_end(carburettor)?;
    watch.count();
    Ok(Figures { stabs, top_nm: top.torque_nm, top_lambda: top.lambda, top_air_kg_per_s: top.air_kg_per_s })
}

/// The strokes that count.
///
/// # Errors
/// As [`run_with`].
pub fn stabs(
    carburettor: &Scenario,
    car: &Car,
    footing: &Footing,
    weights: &Weights,
    watch: &Watch,
) -> Result<Vec<Stab>, RunError> {
    let counting = (0..STROKES.len()).filter(|stroke| weights.strokes[*stroke] > 0.0);
    counting
        .map(|stroke| {
            let stab = stab(carburettor, car, footing, stroke);
            watch.count();
            stab
        })
        .collect()
}

/// What shares are taken of: the same for every design, so that no design moves another's burden.
#[derive(Debug, Clone, PartialEq)]
pub struct Yardstick {
    /// Distance won at each stroke by the torque below, m.
    gained_m: [f64; STROKES.len()],
    top_nm: f64,
    fuel_kg_per_m: f64,
}

impl Yardstick {
    /// From the top-end torque and the cruise of some plain carburettor on the car.
    pub fn new(carburettor: &Scenario, car: &Car, footing: &Footing, top_nm: f64) -> Self {
        let top_nm = top_nm.max(1.0);
        let gained_m = std::array::from_fn(|stroke| {
            let load = at_stroke(carburettor, car, footing.rests[stroke], stroke).load;
            let acceleration = top_nm * load.turns_per_metre() / load.mass_kg;
            0.5 * acceleration * HORIZON_S * HORIZON_S
        });
        Self { gained_m, top_nm, fuel_kg_per_m: footing.cruise.fuel_kg_per_m.max(1e-6) }
    }

    /// Burdens of what the runs say; work and room for error are others' to add.
    pub fn burdens(&self, figures: &Figures, cruise: &Cruise, weights: &Weights) -> Burdens {
        let pull = figures.mean(weights, |stab| 1.0 - stab.gained_m / self.gained_m[stab.stroke]);
        let mut burdens = Burdens::default();
        burdens[Criterion::Clean as usize] = figures.lost_s(weights) / UNITS.lost_s;
        burdens[Criterion::Pull as usize] = pull / UNITS.share;
        burdens[Criterion::Top as usize] = (1.0 - figures.top_nm / self.top_nm) / UNITS.share;
        burdens[Criterion::Fuel as usize] = (cruise.fuel_kg_per_m / self.fuel_kg_per_m - 1.0) / UNITS.share;
        burdens
    }
}
