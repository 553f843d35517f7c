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
    /// A mode changes at its end, or the integration is over: what comes after does not continue it smoothly.
    pub is_last: bool,
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
    /// Relative error allowed in one step. At the default the findings of every shipped scenario are within 0.1 % of
    /// those at a hundredth of it.
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
    let mut walk = Walk {
        system,
        control,
        time: start,
        state: *state,
        past: None,
        order: START_ORDER,
        length: AFTER_EVENT,
        refused: 0,
        at_once: 0,
        here: Evaluation::default(),
        there: Evaluation::default(),
    };
    walk.settle()?;
    for _ in 0..MOST_ATTEMPTS {
        if walk.time >= end {
            *state = walk.state;
            return Ok(());
        }
        let then = walk.next_time(end);
        let trial = walk.attempt(then);
        if trial.size.is_nan() || trial.size > 1.0 {
            walk.refuse(then, &trial)?;
        } else {
            walk.accept(then, end, &trial, &mut watch)?;
        }
    }
    Err(Failure::Stuck { time: walk.time })
}

/// An integration under way.
struct Walk<'s, const N: usize, S> {
    system: &'s mut S,
    control: Control,
    time: f64,
    state: [f64; N],
    /// None after an event: then a step without a past comes first.
    past: Option<Past<N>>,
    order: usize,
    /// Length of the next step, s.
    length: f64,
    /// Refusals since the last accepted step, and events since time last passed.
    refused: usize,
    at_once: usize,
    /// At the present state, where there is no past; and at the trial.
    here: Evaluation<N>,
    there: Evaluation<N>,
}

/// A step that may be taken.
struct Trial<const N: usize> {
    next: [f64; N],
    /// Error over what is allowed.
    size: f64,
    /// Power of the step's length with which the error goes.
    power: f64,
}

impl<const N: usize, S: Hybrid<N>> Walk<'_, N, S> {
    /// Change modes until all guards hold.
    fn settle(&mut self) -> Result<(), Failure> {
        self.system.evaluate(self.time, &self.state, &mut self.here);
        for _ in 0..MOST_AT_ONCE {
            let Some(index) = violated(&self.here.guards) else {
                return check(self.time, &self.state, &self.here.rates);
            };
            self.system.transition(index, self.time, &mut self.state);
            self.system.evaluate(self.time, &self.state, &mut self.here);
        }
        Err(Failure::Stuck { time: self.time })
    }

    /// Where the next step ends.
    fn next_time(&self, end: f64) -> f64 {
        let whole = end - self.time;
        let h = self.length.min(self.control.longest).min(whole);
        if h == whole {
            end
        } else if whole - h < 0.5 * h {
            // two even steps rather than a crumb at the end
            self.time + 0.5 * whole
        } else {
            self.time + h
        }
    }

    /// A step from the past, or without one. From a past, rates and guards are those of the extrapolated state.
    fn attempt(&mut self, then: f64) -> Trial<N> {
        let Self { system, there, .. } = self;
        let (next, error, power) = match &self.past {
            None => {
                let h = then - self.time;
                let (next, error) =
                    rosenbrock::step(self.time, &self.state, &self.here.rates, &self.here.stiff, h, |t, s| {
                        system.evaluate(t, s, there);
                        there.rates
                    });
                system.evaluate(then, &next, there);
                (next, error, START_ORDER as f64)
            }
            Some(past) => {
                let step = past.predict(then, self.order);
                system.evaluate(then, &step.state, there);
                let correction = step.correction(&there.rates, &there.stiff);
                let next = std::array::from_fn(|i| step.state[i] + correction[i]);
                (next, correction.map(|e| e * step.error_share), (self.order + 1) as f64)
            }
        };
        let size = error_size(self.system.tolerance(), &self.state, &next, &error, self.control);
        Trial { next, size, power }
    }

    /// Try again, shorter.
    fn refuse(&mut self, then: f64, trial: &Trial<N>) -> Result<(), Failure> {
        let h = then - self.time;
        let shorter = (0.9 * trial.size.powf(-1.0 / trial.power)).clamp(0.2, 0.9);
        self.length = h * if trial.size.is_finite() { shorter } else { 0.1 };
        if self.length < SHORTEST {
            check(then, &trial.next, &self.there.rates)?;
            return Err(Failure::Stuck { time: self.time });
        }
        self.refused += 1;
        if self.refused == FORGET_AFTER && self.past.take().is_some() {
            self.system.evaluate(self.time, &self.state, &mut self.here);
        }
        Ok(())
    }

    /// Go there, or to an event on the way.
    fn accept(
        &mut self,
        then: f64,
        end: f64,
        trial: &Trial<N>,
        watch: &mut impl FnMut(&S, &Stretch<'_, N>),
    ) -> Result<(), Failure> {
        check(then, &trial.next, &self.there.rates)?;
        let (start, h) = (self.time, then - self.time);
        let begins = self.past.is_none();
        let past = match self.past.take() {
            Some(mut past) => {
                past.push(then, &trial.next);
                past
            }
            None => {
                self.order = START_ORDER;
                Past::new([start, then], [&self.state, &trial.next], [&self.here.rates, &self.there.rates])
            }
        };
        let event = violated(&self.there.guards)
            .and_then(|_| locate(self.system, (start, then), &past, self.order, &mut self.there));
        self.time = event.map_or(then, |(at, _)| at);
        let is_last = event.is_some() || self.time >= end;
        watch(self.system, &Stretch { start, end: self.time, past: &past, order: self.order, is_last });
        self.refused = 0;
        self.at_once = if self.time - start > EVENT_TIME { 0 } else { self.at_once + 1 };
        if self.at_once > MOST_AT_ONCE {
            return Err(Failure::Stuck { time: start });
        }
        if let Some((at, index)) = event {
            self.state = past.at(at, self.order);
            self.system.transition(index, at, &mut self.state);
            self.length = AFTER_EVENT;
            return self.settle();
        }
        self.state = trial.next;
        if begins {
            // the method changes: what is known of its error is only its power
            self.length = h * (0.6 * trial.size.max(1e-6).powf(-1.0 / trial.power)).clamp(0.3, 2.0);
        } else {
            (self.order, self.length) = advice(self.system.tolerance(), &past, self.order, h, trial.size, self.control);
        }
        self.past = Some(past);
        Ok(())
    }
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
