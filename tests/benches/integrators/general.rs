//! A run by a general-purpose integrator, and by ours, from the same start and with the same things seen.

use differential_equations::interpolate::{Interpolation, cubic_hermite_interpolate};
use differential_equations::linalg::Matrix;
use differential_equations::ode::{ODE, OrdinaryNumericalMethod};
use differential_equations::status::Status;
use second_breath::bench::model::{Model, SIZE, State};
use second_breath::bench::run::FINE_S;
use second_breath::bench::scenario::Scenario;
use second_breath::bench::trace::Sample;
use second_breath::solver::hybrid::{self, Control, Evaluation, Hybrid, Tolerance};
use second_breath::solver::root;
use std::cell::{Cell, RefCell};

/// Far below the errors that are compared.
pub const TIGHT: Control = Control { relative: 1e-9, absolute_scale: 1e-5, longest: 5e-4 };
/// Width to which the time of an event is closed in, as ours does, s.
const EVENT_TIME: f64 = 1e-7;
/// Events after which a run is given up.
const MOST_EVENTS: usize = 2000;
/// Steps after which a piece of a run is given up.
pub const MOST_STEPS: usize = 2_000_000;

/// The model, with its evaluations counted.
struct Counted<'a> {
    model: Model<'a>,
    count: Cell<usize>,
    now: RefCell<Evaluation<SIZE>>,
    /// The Jacobian that is handed out: our few stiff columns, or differences of all.
    own_columns: bool,
}

impl<'a> Counted<'a> {
    fn new(model: Model<'a>, own_columns: bool) -> Self {
        Self { model, count: Cell::new(0), now: RefCell::default(), own_columns }
    }

    /// Rates, and the guard furthest below zero, if one is.
    fn look(&self, time: f64, state: &State) -> (State, Option<usize>, f64) {
        let mut now = self.now.borrow_mut();
        self.evaluate(time, state, &mut now);
        let least = now.guards.iter().copied().enumerate().min_by(|a, b| a.1.total_cmp(&b.1));
        let violated = least.filter(|(_, value)| *value < -1e-12).map(|(index, _)| index);
        (now.rates, violated, least.map_or(f64::INFINITY, |(_, value)| value))
    }

    fn settle(&mut self, time: f64, state: &mut State) -> Result<(), String> {
        for _ in 0..50 {
            let Some(index) = self.look(time, state).1 else { return Ok(()) };
            self.model.transition(index, time, state);
        }
        Err(format!("stuck at {time} s"))
    }
}

impl Hybrid<SIZE> for Counted<'_> {
    fn evaluate(&self, time: f64, state: &State, into: &mut Evaluation<SIZE>) {
        self.count.set(self.count.get() + 1);
        self.model.evaluate(time, state, into);
    }

    fn transition(&mut self, index: usize, time: f64, state: &mut State) {
        self.model.transition(index, time, state);
    }

    fn tolerance(&self) -> &Tolerance<SIZE> {
        self.model.tolerance()
    }
}

impl ODE<f64, State> for Counted<'_> {
    fn diff(&self, time: f64, state: &State, rates: &mut State) {
        let mut now = self.now.borrow_mut();
        self.evaluate(time, state, &mut now);
        *rates = now.rates;
    }

    fn jacobian(&self, time: f64, state: &State, into: &mut Matrix<f64>) {
        let here = self.look(time, state).0;
        let stiff = self.now.borrow().stiff.clone();
        for column in 0..SIZE {
            let mut slope = [0.0; SIZE];
            if self.own_columns {
                let mut one = [0.0; SIZE];
                one[column] = 1.0;
                stiff.add_product(1.0, &one, &mut slope);
            } else {
                let increment = 1e-7 * state[column].abs() + 1e-3 * self.tolerance().absolute[column];
                let mut moved = *state;
                moved[column] += increment;
                self.diff(time, &moved, &mut slope);
                slope = std::array::from_fn(|row| (slope[row] - here[row]) / increment);
            }
            for (row, value) in slope.into_iter().enumerate() {
                into[(row, column)] = value;
            }
        }
    }
}

/// What is seen of a run: samples on the even grid, and the instants at which a mode changes.
#[derive(Default)]
pub struct Seen {
    pub samples: Vec<Sample>,
    pub corners: Vec<Sample>,
}

impl Seen {
    fn stretch(&mut self, model: &Model<'_>, end: f64, is_last: bool, mut state: impl FnMut(f64) -> State) {
        while self.samples.len() as f64 * FINE_S <= end + 1e-12 {
            let time = self.samples.len() as f64 * FINE_S;
            self.samples.push(model.sample(time, &state(time.min(end))));
        }
        if is_last {
            self.corners.push(model.sample(end, &state(end)));
        }
    }
}

/// A scenario at the moment of release.
#[derive(Clone)]
pub struct Start<'a> {
    pub scenario: &'a Scenario,
    pub model: Model<'a>,
    state: State,
}

impl<'a> Start<'a> {
    pub fn of(scenario: &'a Scenario) -> Self {
        let mut model = Model::new(scenario);
        let mut state = model.near_rest();
        hybrid::integrate(&mut model, (-1.5, 0.0), &mut state, TIGHT, |_, _| {}).expect("settles");
        model.release(&mut state);
        Self { scenario, model, state }
    }

    /// From corner to corner of the pedal's path.
    fn pieces(
        &self,
        run: &mut Counted<'a>,
        mut piece: impl FnMut(&mut Counted<'a>, (f64, f64), &mut State) -> Result<(), String>,
    ) -> Result<State, String> {
        let mut state = self.state;
        let corners = run.model.corners().to_vec();
        for (index, pair) in corners.windows(2).enumerate() {
            run.model.enter_piece(index, &mut state);
            piece(run, (pair[0].0, pair[1].0), &mut state)?;
        }
        Ok(state)
    }

    pub fn ours(&self, control: Control, seen: &mut Option<Seen>) -> Result<(State, usize), String> {
        let mut run = Counted::new(self.model.clone(), false);
        let end = self.pieces(&mut run, |run, span, state| {
            hybrid::integrate(run, span, state, control, |run, stretch| {
                if let Some(seen) = seen {
                    seen.stretch(&run.model, stretch.end, stretch.is_last, |time| stretch.at(time));
                }
            })
            .map_err(|failure| format!("{failure:?}"))
        })?;
        Ok((end, run.count.get()))
    }

    pub fn general<M>(
        &self,
        method: &dyn Fn() -> M,
        own: Own,
        seen: &mut Option<Seen>,
    ) -> Result<(State, usize), String>
    where
        M: OrdinaryNumericalMethod<f64, State> + Interpolation<f64, State>,
    {
        let mut run = Counted::new(self.model.clone(), own.columns);
        let end = self.pieces(&mut run, |run, span, state| piece(method, own, run, span, state, seen))?;
        Ok((end, run.count.get()))
    }
}

/// What a general method is given that is not its own.
#[derive(Clone, Copy, Default)]
pub struct Own {
    /// Our stiff columns as its Jacobian.
    pub columns: bool,
    /// A cubic through states and rates at both ends of a step as its dense output: the library's multistep method
    /// has changed its step length before it is asked.
    pub cubic: bool,
}

/// From event to event with a general method.
fn piece<M>(
    make: &dyn Fn() -> M,
    own: Own,
    run: &mut Counted<'_>,
    (start, end): (f64, f64),
    state: &mut State,
    seen: &mut Option<Seen>,
) -> Result<(), String>
where
    M: OrdinaryNumericalMethod<f64, State> + Interpolation<f64, State>,
{
    let mut time = start;
    for _ in 0..MOST_EVENTS {
        run.settle(time, state)?;
        if end - time < 1e-12 {
            return Ok(());
        }
        let mut method = make();
        method.init(run, time, end, state).map_err(|error| told(&error))?;
        let mut before = run.look(time, state).0;
        let mut event = None;
        for _ in 0..MOST_STEPS {
            let left = end - method.t();
            if event.is_some() || left < 1e-12 {
                break;
            }
            if method.h() > left {
                method.set_h(left);
            }
            method.step(run).map_err(|error| told(&error))?;
            if matches!(method.status(), Status::RejectedStep) {
                continue;
            }
            let (from, to, old, new) = (method.t_prev(), method.t(), *method.y_prev(), *method.y());
            let (after, violated, _) = run.look(to, &new);
            let mut inside = |time: f64| match method.interpolate(time) {
                Ok(state) if !own.cubic => state,
                _ => cubic_hermite_interpolate(from, to, &old, &new, &before, &after, time),
            };
            event = violated.map(|index| locate(run, (from, to), index, &mut inside));
            if let Some(seen) = seen {
                seen.stretch(
                    &run.model,
                    event.map_or(to, |(at, _)| at),
                    event.is_some() || end - to < 1e-12,
                    &mut inside,
                );
            }
            match event {
                Some((at, index)) => {
                    *state = inside(at);
                    time = at;
                    run.model.transition(index, at, state);
                }
                None => (*state, time) = (new, to),
            }
            before = after;
        }
    }
    if end - time < 1e-12 { Ok(()) } else { Err(format!("too many events before {time} s")) }
}

/// The beginning of the library's complaint; its end repeats the whole state.
fn told(error: &impl std::fmt::Debug) -> String {
    format!("{error:?}").chars().take(60).collect()
}

/// When a guard first passes zero in a step, and which it is.
fn locate(
    run: &Counted<'_>,
    (from, to): (f64, f64),
    index: usize,
    state: &mut dyn FnMut(f64) -> State,
) -> (f64, usize) {
    let mut first = (to, index);
    root::bracketed(from, to, EVENT_TIME, |time| {
        if time == from {
            return f64::MIN_POSITIVE;
        }
        let (_, violated, least) = run.look(time, &state(time));
        match violated {
            Some(index) => {
                if time <= first.0 {
                    first = (time, index);
                }
                least
            }
            None => least.max(f64::MIN_POSITIVE),
        }
    });
    first
}
