//! Smooth flow between located events.
//!
//! A [`Hybrid`] system has modes inside it. Each evaluation also gives guards that stay non-negative while the mode
//! lasts. A step after which a guard is negative is repeated with the step length at which the guard passes zero;
//! the system then changes mode and the flow goes on from there.

use super::root;
use super::rosenbrock::{Stiff, step};

/// What a system says about one instant.
#[derive(Debug, Clone)]
pub struct Evaluation<const N: usize> {
    /// Time derivative of the state.
    pub rates: [f64; N],
    /// Stiff part of the Jacobian.
    pub stiff: Stiff,
    /// Non-negative while the present modes last.
    pub guards: Vec<f64>,
}

impl<const N: usize> Default for Evaluation<N> {
    fn default() -> Self {
        Self { rates: [0.0; N], stiff: Stiff::default(), guards: Vec::new() }
    }
}

/// Error allowed in each state in one step: absolute, in the state's units, plus a share of the control's relative
/// error times the state. A state that matters by its distance from a large constant, such as a pressure near
/// ambient, takes a small share.
#[derive(Debug, Clone, PartialEq)]
pub struct Tolerance<const N: usize> {
    /// In the state's units.
    pub absolute: [f64; N],
    /// Of [`Control::relative`].
    pub relative_share: [f64; N],
}

/// A system of ordinary differential equations with modes.
pub trait Hybrid<const N: usize> {
    /// Rates, stiffness and guards at an instant. A pure function of time, state and the present modes.
    fn evaluate(&self, time: f64, state: &[f64; N], into: &mut Evaluation<N>);
    /// Guard `index` has turned negative here: change mode, and correct the state to the event.
    fn transition(&mut self, index: usize, time: f64, state: &mut [f64; N]);
    /// Error allowed in one step.
    fn tolerance(&self) -> &Tolerance<N>;
}

/// A finished step, for dense output: cubic Hermite between its ends, third order like the method.
#[derive(Debug, Clone, Copy)]
pub struct Stretch<'a, const N: usize> {
    /// Start time, s.
    pub start: f64,
    /// End time, s.
    pub end: f64,
    /// States at the ends.
    pub states: [&'a [f64; N]; 2],
    /// Rates at the ends.
    pub rates: [&'a [f64; N]; 2],
    /// A mode changes at its end.
    pub ends_in_event: bool,
}

impl<const N: usize> Stretch<'_, N> {
    /// State at a time between the ends.
    pub fn at(&self, time: f64) -> [f64; N] {
        let h = self.end - self.start;
        let s = if h > 0.0 { (time - self.start) / h } else { 1.0 };
        let (s2, s3) = (s * s, s * s * s);
        let weights = [2.0 * s3 - 3.0 * s2 + 1.0, h * (s3 - 2.0 * s2 + s), 3.0 * s2 - 2.0 * s3, h * (s3 - s2)];
        std::array::from_fn(|i| {
            weights[0] * self.states[0][i]
                + weights[1] * self.rates[0][i]
                + weights[2] * self.states[1][i]
                + weights[3] * self.rates[1][i]
        })
    }
}

/// Why an integration stopped early.
#[derive(Debug, Clone, PartialEq)]
pub enum Failure {
    /// A state or rate is not a finite number.
    NotFinite {
        /// When, s.
        time: f64,
        /// Which state.
        state: usize,
    },
    /// Events follow each other without time passing, or the step has become too small.
    Stuck {
        /// When, s.
        time: f64,
    },
}

/// Accuracy and limits of an integration.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Control {
    /// Relative error allowed in one step.
    pub relative: f64,
    /// Multiplies the system's absolute tolerances.
    pub absolute_scale: f64,
    /// Longest step, s.
    pub longest: f64,
}

impl Default for Control {
    fn default() -> Self {
        Self { relative: 1e-4, absolute_scale: 1.0, longest: 0.02 }
    }
}

const SHORTEST: f64 = 1e-10;
/// Width to which the time of an event is closed in, s.
const EVENT_TIME: f64 = 1e-7;
/// Longest step tried after an event, s.
const AFTER_EVENT: f64 = 1e-3;
/// Attempts after which an integration is given up; an ordinary run takes a few hundred.
const MOST_ATTEMPTS: usize = 200_000;

/// Integrate from `start` to `end`, changing `state` and the system's modes. `watch` sees every finished stretch
/// before the modes change. `first` is the first step tried; the last one accepted is returned.
pub fn integrate<const N: usize, S: Hybrid<N>>(
    system: &mut S,
    (start, end): (f64, f64),
    state: &mut [f64; N],
    control: Control,
    first: f64,
    mut watch: impl FnMut(&S, &Stretch<'_, N>),
) -> Result<f64, Failure> {
    let mut time = start;
    let mut length = first;
    let mut here = Evaluation::default();
    let mut there = Evaluation::default();
    system.evaluate(time, state, &mut here);
    let mut without_progress = 0;
    let mut attempts = 0;
    while time < end {
        attempts += 1;
        if attempts > MOST_ATTEMPTS {
            return Err(Failure::Stuck { time });
        }
        if let Some(index) = violated(&here.guards) {
            without_progress += 1;
            if without_progress > 20 {
                return Err(Failure::Stuck { time });
            }
            system.transition(index, time, state);
            system.evaluate(time, state, &mut here);
            continue;
        }
        check(time, state, &here.rates)?;
        let whole = end - time;
        let mut h = length.min(control.longest).min(whole);
        // two even steps rather than a crumb at the end
        if h < whole && whole - h < 0.5 * h {
            h = 0.5 * whole;
        }
        let (next, error) = attempt(system, time, state, &here, h, &mut there);
        let size = error_size(system.tolerance(), state, &next, &error, control);
        if size.is_nan() || size > 1.0 {
            length = h * if size.is_finite() { (0.9 * size.powf(-1.0 / 3.0)).clamp(0.2, 0.9) } else { 0.1 };
            if length < SHORTEST {
                check(time, &next, &there.rates)?;
                return Err(Failure::Stuck { time });
            }
            continue;
        }
        system.evaluate(time + h, &next, &mut there);
        let (h, mut next, event) = match violated(&there.guards) {
            None => (h, next, None),
            Some(_) => locate(system, time, state, &here, (h, &next), &mut there),
        };
        watch(
            system,
            &Stretch {
                start: time,
                end: time + h,
                states: [state, &next],
                rates: [&here.rates, &there.rates],
                ends_in_event: event.is_some(),
            },
        );
        time = if h == whole { end } else { time + h };
        if let Some(index) = event {
            system.transition(index, time, &mut next);
            system.evaluate(time, &next, &mut there);
            length = length.min(AFTER_EVENT);
            without_progress = if h > 1e-7 { 0 } else { without_progress + 1 };
            if without_progress > 50 {
                return Err(Failure::Stuck { time });
            }
        } else {
            without_progress = 0;
            length = h * (0.9 * size.max(1e-6).powf(-1.0 / 3.0)).clamp(0.3, 4.0);
        }
        *state = next;
        std::mem::swap(&mut here, &mut there);
    }
    Ok(length)
}

fn attempt<const N: usize, S: Hybrid<N>>(
    system: &S,
    time: f64,
    state: &[f64; N],
    here: &Evaluation<N>,
    h: f64,
    scratch: &mut Evaluation<N>,
) -> ([f64; N], [f64; N]) {
    step(time, state, &here.rates, &here.stiff, h, |t, s| {
        system.evaluate(t, s, scratch);
        scratch.rates
    })
}

/// The step length at which the first guard passes zero, the state there and which guard it is.
///
/// The root is sought on the interpolant of the step that went too far, one evaluation a trial; then a step of that
/// length is taken, and a little more until it passes too. The interpolant is as accurate as the method.
fn locate<const N: usize, S: Hybrid<N>>(
    system: &S,
    time: f64,
    state: &[f64; N],
    here: &Evaluation<N>,
    (h, too_far): (f64, &[f64; N]),
    there: &mut Evaluation<N>,
) -> (f64, [f64; N], Option<usize>) {
    let rates = there.rates;
    let states = [state, too_far];
    let stretch = Stretch { start: 0.0, end: h, states, rates: [&here.rates, &rates], ends_in_event: false };
    let near = root::bracketed(0.0, h, EVENT_TIME, |trial| {
        if trial == 0.0 {
            return f64::MIN_POSITIVE;
        }
        system.evaluate(time + trial, &stretch.at(trial), there);
        if violated(&there.guards).is_some() { least(&there.guards) } else { least(&there.guards).max(f64::MIN_POSITIVE) }
    });
    let (mut past, mut further) = (near, EVENT_TIME);
    loop {
        past = (past + further).min(h);
        let (next, _) = attempt(system, time, state, here, past, there);
        system.evaluate(time + past, &next, there);
        let event = violated(&there.guards);
        if event.is_some() || past >= h {
            return (past, next, event);
        }
        further *= 4.0;
    }
}

fn least(guards: &[f64]) -> f64 {
    guards.iter().copied().fold(f64::INFINITY, f64::min)
}

/// The guard that is furthest below zero, beyond rounding.
fn violated(guards: &[f64]) -> Option<usize> {
    let (index, value) = guards.iter().copied().enumerate().min_by(|a, b| a.1.total_cmp(&b.1))?;
    (value < -1e-12).then_some(index)
}

fn error_size<const N: usize>(
    tolerance: &Tolerance<N>,
    state: &[f64; N],
    next: &[f64; N],
    error: &[f64; N],
    control: Control,
) -> f64 {
    let mut size: f64 = 0.0;
    for i in 0..N {
        let relative = control.relative * tolerance.relative_share[i];
        let allowed = tolerance.absolute[i] * control.absolute_scale + relative * state[i].abs().max(next[i].abs());
        let share = error[i].abs() / allowed;
        if share.is_nan() {
            return f64::NAN;
        }
        size = size.max(share);
    }
    size
}

fn check<const N: usize>(time: f64, state: &[f64; N], rates: &[f64; N]) -> Result<(), Failure> {
    match (0..N).find(|&i| !state[i].is_finite() || !rates[i].is_finite()) {
        Some(state) => Err(Failure::NotFinite { time, state }),
        None => Ok(()),
    }
}
