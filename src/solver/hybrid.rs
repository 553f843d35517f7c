//! Smooth flow between located events.
//!
//! A [`Hybrid`] system has modes inside it. Each evaluation also gives guards that stay non-negative while the mode
//! lasts. When a step ends with a negative guard, the moment at which the guard passes zero is sought on the step's
//! polynomial; the system then changes mode and the flow starts anew from there.

use super::multistep::{MOST_ORDER, Past};
use super::root;
use super::rosenbrock;
use super::stiff::Stiff;

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

/// A finished step, for dense output.
#[derive(Debug, Clone, Copy)]
pub struct Stretch<'a, const N: usize> {
    /// Start time, s.
    pub start: f64,
    /// End time, s.
    pub end: f64,
    /// The past up to the end of the step or a little beyond, and the order of the step.
    pub past: &'a Past<N>,
    /// See `past`.
    pub order: usize,
    /// A mode changes at its end.
    pub ends_in_event: bool,
}

impl<const N: usize> Stretch<'_, N> {
    /// State at a time between the ends.
    pub fn at(&self, time: f64) -> [f64; N] {
        self.past.at(time, self.order)
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
        Self { relative: 1e-5, absolute_scale: 0.1, longest: 0.05 }
    }
}

const SHORTEST: f64 = 1e-10;
/// Width to which the time of an event is closed in, s.
const EVENT_TIME: f64 = 1e-7;
/// First step tried after an event, s.
const AFTER_EVENT: f64 = 1e-3;
/// Attempts after which an integration is given up; an ordinary run takes a few hundred.
const MOST_ATTEMPTS: usize = 200_000;
/// Events that may follow each other within [`EVENT_TIME`].
const MOST_AT_ONCE: usize = 50;
/// Refusals of one step after which the past is forgotten: the rates have a corner there.
const FORGET_AFTER: usize = 3;
/// Order that a past of one step supports.
const START_ORDER: usize = 3;

/// Integrate from `start` to `end`, changing `state` and the system's modes. `watch` sees every finished stretch
/// before the modes change.
pub fn integrate<const N: usize, S: Hybrid<N>>(
    system: &mut S,
    (start, end): (f64, f64),
    state: &mut [f64; N],
    control: Control,
    mut watch: impl FnMut(&S, &Stretch<'_, N>),
) -> Result<(), Failure> {
    let (mut here, mut there) = (Evaluation::default(), Evaluation::default());
    let (mut time, mut length) = (start, AFTER_EVENT);
    settle(system, time, state, &mut here)?;
    let mut past = None;
    let (mut order, mut refused, mut attempts, mut at_once) = (START_ORDER, 0, 0, 0);
    while time < end {
        attempts += 1;
        if attempts > MOST_ATTEMPTS {
            return Err(Failure::Stuck { time });
        }
        let whole = end - time;
        let mut h = length.min(control.longest).min(whole);
        // two even steps rather than a crumb at the end
        if h < whole && whole - h < 0.5 * h {
            h = 0.5 * whole;
        }
        let then = if h == whole { end } else { time + h };
        let (next, error, power) = match &past {
            None => start_step(system, time, state, &here, h, &mut there),
            Some(past) => next_step(system, past, then, order, &mut there),
        };
        let size = error_size(system.tolerance(), state, &next, &error, control);
        if size.is_nan() || size > 1.0 {
            length = h * if size.is_finite() { (0.9 * size.powf(-1.0 / power)).clamp(0.2, 0.9) } else { 0.1 };
            if length < SHORTEST {
                check(then, &next, &there.rates)?;
                return Err(Failure::Stuck { time });
            }
            refused += 1;
            if refused == FORGET_AFTER && past.take().is_some() {
                system.evaluate(time, state, &mut here);
            }
            continue;
        }
        check(then, &next, &there.rates)?;
        let started = past.is_none();
        let path = match past.take() {
            Some(mut path) => {
                Past::push(&mut path, then, &next);
                path
            }
            None => {
                order = START_ORDER;
                Past::new([time, then], [state, &next], [&here.rates, &there.rates])
            }
        };
        let event = violated(&there.guards).and_then(|_| locate(system, (time, then), &path, order, &mut there));
        let until = event.map_or(then, |(at, _)| at);
        watch(system, &Stretch { start: time, end: until, past: &path, order, ends_in_event: event.is_some() });
        refused = 0;
        at_once = if until - time > EVENT_TIME { 0 } else { at_once + 1 };
        if at_once > MOST_AT_ONCE {
            return Err(Failure::Stuck { time });
        }
        time = until;
        if let Some((at, index)) = event {
            *state = path.at(at, order);
            system.transition(index, time, state);
            settle(system, time, state, &mut here)?;
            length = AFTER_EVENT;
        } else {
            *state = next;
            (order, length) = if started {
                (START_ORDER, h * (0.6 * size.max(1e-6).powf(-1.0 / power)).clamp(0.3, 2.0))
            } else {
                advice(system.tolerance(), &path, order, h, size, control)
            };
            past = Some(path);
        }
    }
    Ok(())
}

/// Change modes until all guards hold.
fn settle<const N: usize, S: Hybrid<N>>(
    system: &mut S,
    time: f64,
    state: &mut [f64; N],
    now: &mut Evaluation<N>,
) -> Result<(), Failure> {
    system.evaluate(time, state, now);
    for _ in 0..MOST_AT_ONCE {
        let Some(index) = violated(&now.guards) else { return check(time, state, &now.rates) };
        system.transition(index, time, state);
        system.evaluate(time, state, now);
    }
    Err(Failure::Stuck { time })
}

/// New state, its error, and the power of the step with which the error goes: a step without a past.
fn start_step<const N: usize, S: Hybrid<N>>(
    system: &S,
    time: f64,
    state: &[f64; N],
    here: &Evaluation<N>,
    h: f64,
    there: &mut Evaluation<N>,
) -> ([f64; N], [f64; N], f64) {
    let (next, error) = rosenbrock::step(time, state, &here.rates, &here.stiff, h, |t, s| {
        system.evaluate(t, s, there);
        there.rates
    });
    system.evaluate(time + h, &next, there);
    (next, error, 3.0)
}

/// The same from a past. Rates and guards are those of the extrapolated state.
fn next_step<const N: usize, S: Hybrid<N>>(
    system: &S,
    past: &Past<N>,
    then: f64,
    order: usize,
    there: &mut Evaluation<N>,
) -> ([f64; N], [f64; N], f64) {
    let step = past.predict(then, order);
    system.evaluate(then, &step.state, there);
    let correction = step.correction(&there.rates, &there.stiff);
    let next = std::array::from_fn(|i| step.state[i] + correction[i]);
    (next, correction.map(|e| e * step.error_share), (order + 1) as f64)
}

/// When the first guard passes zero on the polynomial of the step just taken, and which guard it is.
fn locate<const N: usize, S: Hybrid<N>>(
    system: &S,
    (from, to): (f64, f64),
    past: &Past<N>,
    order: usize,
    now: &mut Evaluation<N>,
) -> Option<(f64, usize)> {
    let mut first = None;
    let mut look = |time: f64| {
        system.evaluate(time, &past.at(time, order), now);
        let event = violated(&now.guards);
        if let Some(index) = event
            && first.is_none_or(|(earliest, _)| time <= earliest)
        {
            first = Some((time, index));
        }
        if event.is_some() { least(&now.guards) } else { least(&now.guards).max(f64::MIN_POSITIVE) }
    };
    if look(to) < 0.0 {
        root::bracketed(from, to, EVENT_TIME, |time| if time == from { f64::MIN_POSITIVE } else { look(time) });
    }
    first
}

/// Order and length of the next step: those that promise the longest. A little slower to change than to stay.
fn advice<const N: usize>(
    tolerance: &Tolerance<N>,
    past: &Past<N>,
    order: usize,
    h: f64,
    size: f64,
    control: Control,
) -> (usize, f64) {
    let factor = |size: f64, order: usize| 0.8 * size.max(1e-10).powf(-1.0 / (order + 1) as f64);
    let promise = |other: usize| {
        let error = past.error(other)?;
        Some(factor(error_size(tolerance, past.state(), past.state(), &error, control), other))
    };
    let mut best = (order, factor(size, order));
    if order > 1
        && let Some(lower) = promise(order - 1)
        && lower > best.1
    {
        best = (order - 1, lower);
    }
    if order < past.order() {
        // without the history to tell, a young past grows in order as in length
        match promise(order + 1) {
            Some(higher) if higher > 1.05 * best.1 => best = (order + 1, higher),
            None => best = (order + 1, best.1),
            _ => {}
        }
    }
    (best.0, h * best.1.clamp(0.3, GROWTH[best.0]))
}

/// Most by which a step may be longer than the one before it, by order: variable formulas of high order are unstable
/// when steps grow quickly.
const GROWTH: [f64; MOST_ORDER + 1] = [1.0, 5.0, 2.4, 1.8, 1.5];

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
