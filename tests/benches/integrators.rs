//! Our integrator against general-purpose ones on the same equations:
//! `cargo bench --no-default-features --features comparison --bench integrators`.
//!
//! Every method integrates the same hybrid run from the same released state: from event to event, asking the guards
//! after each of its steps, locating an event on its own dense output, changing mode and starting anew, as ours does.
//! Nothing is sampled while the clock runs. Accuracy is what the findings say: torque lost, leanest mixture, plenum
//! pressure and engine speed at the end, against a very tight run. The general methods get the same tolerances, state
//! by state, in steps of a factor of 3; compared is the cheapest that is no worse than ours.
//!
//! A Jacobian by differences takes increments that suit each state: the library's own default, 1.5e-8 in every unit,
//! is larger than a whole well of fuel in cubic metres.

use differential_equations::interpolate::{Interpolation, cubic_hermite_interpolate};
use differential_equations::linalg::Matrix;
use differential_equations::methods::{BackwardDifferentiationFormula, ExplicitRungeKutta, ImplicitRungeKutta};
use differential_equations::ode::{ODE, OrdinaryNumericalMethod};
use differential_equations::status::Status;
use second_breath::bench::findings::findings;
use second_breath::bench::model::{Model, SIZE, State, at};
use second_breath::bench::run::{Closure, FINE_S, Run};
use second_breath::bench::scenario::Scenario;
use second_breath::bench::trace::{Sample, Trace};
use second_breath::families::entry;
use second_breath::solver::hybrid::{self, Control, Evaluation, Hybrid, Tolerance};
use second_breath::solver::root;
use std::cell::{Cell, RefCell};
use std::time::Instant;

const FAMILIES: [&str; 4] = ["bare_link", "vacuum_diaphragm", "spring_door", "damped_lifted_rods"];
/// Far below the errors that are compared.
const TIGHT: Control = Control { relative: 1e-9, absolute_scale: 1e-5, longest: 5e-4 };
/// Width to which the time of an event is closed in, as ours does, s.
const EVENT_TIME: f64 = 1e-7;
/// Events after which a run is given up.
const MOST_EVENTS: usize = 2000;
/// Steps after which a piece of a run is given up.
const MOST_STEPS: usize = 2_000_000;

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
struct Seen {
    samples: Vec<Sample>,
    corners: Vec<Sample>,
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
struct Start<'a> {
    scenario: &'a Scenario,
    model: Model<'a>,
    state: State,
}

impl<'a> Start<'a> {
    fn of(scenario: &'a Scenario) -> Self {
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

    fn ours(&self, control: Control, seen: &mut Option<Seen>) -> Result<(State, usize), String> {
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

    fn general<M>(&self, method: &dyn Fn() -> M, own: Own, seen: &mut Option<Seen>) -> Result<(State, usize), String>
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
struct Own {
    /// Our stiff columns as its Jacobian.
    columns: bool,
    /// A cubic through states and rates at both ends of a step as its dense output: the library's multistep method
    /// has changed its step length before it is asked.
    cubic: bool,
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

/// Torque lost (s), leanest λ, plenum pressure and engine speed at the end.
type Answer = [f64; 4];

fn answer(start: &Start<'_>, end: &State, seen: Seen) -> Answer {
    let run = Run {
        trace: Trace { interval_s: FINE_S, samples: seen.samples, own: start.scenario.family().channels() },
        corners: seen.corners,
        events: Vec::new(),
        closure: Closure { air: 0.0, fuel: 0.0 },
    };
    let findings = findings(start.scenario, &run);
    let value = |finding: Option<f64>| finding.unwrap_or(f64::NAN);
    [value(findings.lost_s), value(findings.peak_lambda), end[at::PLENUM], end[at::ENGINE]]
}

type Attempt<'a> = dyn Fn(&mut Option<Seen>) -> Result<(State, usize), String> + 'a;

/// Cost and error of one setting of one method.
#[derive(Clone)]
struct Point {
    relative: f64,
    evaluations: usize,
    seconds: f64,
    errors: Answer,
}

impl Point {
    fn worst(&self) -> f64 {
        self.errors.iter().copied().fold(0.0, f64::max)
    }
}

/// The shortest of several runs: what else the machine does only adds.
fn measure(start: &Start<'_>, truth: &Answer, relative: f64, attempt: &Attempt<'_>) -> Result<Point, String> {
    let mut seen = Some(Seen::default());
    let (end, evaluations) = attempt(&mut seen)?;
    let ours = answer(start, &end, seen.unwrap_or_default());
    let errors = std::array::from_fn(|i| (ours[i] / truth[i] - 1.0).abs());
    let begin = Instant::now();
    let mut seconds = f64::INFINITY;
    let mut rounds = 0;
    while rounds < 3 || (begin.elapsed().as_secs_f64() < 0.25 && rounds < 50) {
        let clock = Instant::now();
        std::hint::black_box(attempt(&mut None)?);
        seconds = seconds.min(clock.elapsed().as_secs_f64());
        rounds += 1;
    }
    Ok(Point { relative, evaluations, seconds, errors })
}

/// Settings from coarse to fine.
fn settings() -> impl Iterator<Item = f64> {
    (0..14).map(|step| 1e-2 * 3f64.powi(-step))
}

fn sweep<M>(start: &Start<'_>, truth: &Answer, own: Own, method: impl Fn([f64; SIZE], [f64; SIZE]) -> M) -> Vec<Point>
where
    M: OrdinaryNumericalMethod<f64, State> + Interpolation<f64, State>,
{
    let tolerance = start.model.tolerance();
    settings()
        .filter_map(|relative| {
            // our default goes with a tenth of the absolute tolerances at 1e-5
            let rtol = tolerance.relative_share.map(|share| share * relative);
            let atol = tolerance.absolute.map(|absolute| absolute * relative * 1e4);
            let make = || method(rtol, atol);
            let attempt = |seen: &mut Option<Seen>| start.general(&make, own, seen);
            measure(start, truth, relative, &attempt).map_err(|error| println!("  at {relative:.0e}: {error}")).ok()
        })
        .collect()
}

fn print(name: &str, points: &[Point]) {
    for point in points {
        let [lost, lambda, plenum, speed] = point.errors;
        println!(
            "  {name:32} {:8.1e} {:9} {:10.3}   {lost:.1e} {lambda:.1e} {plenum:.1e} {speed:.1e}   {:.1e}",
            point.relative,
            point.evaluations,
            1e3 * point.seconds,
            point.worst()
        );
    }
}

fn main() {
    let defaults = Control::default();
    for id in FAMILIES {
        let scenario = Scenario::fresh(entry(id).expect("a listed family"));
        let start = Start::of(&scenario);
        let mut seen = Some(Seen::default());
        let (end, _) = start.ours(TIGHT, &mut seen).expect("runs");
        let truth = answer(&start, &end, seen.unwrap_or_default());
        let ours: Vec<Point> = [1.0, 0.1, 0.01]
            .into_iter()
            .filter_map(|share| {
                let (relative, absolute_scale) = (defaults.relative * share, defaults.absolute_scale * share);
                let control = Control { relative, absolute_scale, ..defaults };
                measure(&start, &truth, relative, &|seen| start.ours(control, seen)).ok()
            })
            .collect();
        println!("{id}");
        println!(
            "  method                            setting evaluations      ms   errors: lost_s, λ, plenum, speed; worst"
        );
        print("ours", &ours);
        let cubic = Own { cubic: true, ..Own::default() };
        let general = [
            (
                "explicit, order 5 (dopri5)",
                sweep(&start, &truth, Own::default(), |r, a| {
                    ExplicitRungeKutta::dopri5().rtol(r).atol(a).max_steps(MOST_STEPS)
                }),
            ),
            (
                "explicit, order 8 (dop853)",
                sweep(&start, &truth, Own::default(), |r, a| {
                    ExplicitRungeKutta::dop853().rtol(r).atol(a).max_steps(MOST_STEPS)
                }),
            ),
            (
                "stiff, one-step (radau5)",
                sweep(&start, &truth, Own::default(), |r, a| {
                    ImplicitRungeKutta::radau5().rtol(r).atol(a).max_steps(MOST_STEPS)
                }),
            ),
            (
                "stiff, multistep (bdf)",
                sweep(&start, &truth, cubic, |r, a| {
                    BackwardDifferentiationFormula::adaptive().rtol(r).atol(a).max_steps(MOST_STEPS)
                }),
            ),
            (
                "bdf with our stiff columns",
                sweep(&start, &truth, Own { columns: true, ..cubic }, |r, a| {
                    BackwardDifferentiationFormula::adaptive().rtol(r).atol(a).max_steps(MOST_STEPS)
                }),
            ),
        ];
        for (name, points) in &general {
            print(name, points);
        }
        for goal in &ours {
            println!(
                "  no worse than ours at {:.0e} (worst {:.1e}, {:.3} ms):",
                goal.relative,
                goal.worst(),
                1e3 * goal.seconds
            );
            for (name, points) in &general {
                let enough = points.iter().filter(|point| point.worst() <= goal.worst());
                match enough.min_by(|a, b| a.seconds.total_cmp(&b.seconds)) {
                    Some(point) => println!(
                        "    {name:30} {:7.1} times the time, {:7.1} times the evaluations",
                        point.seconds / goal.seconds,
                        point.evaluations as f64 / goal.evaluations as f64
                    ),
                    None => println!("    {name:30} does not come so close"),
                }
            }
        }
    }
}
