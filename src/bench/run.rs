//! Scenario → trace and events: the one place where time passes.

use crate::bench::events::{Event, EventKind, first};
use crate::bench::model::{Model, SIZE, State, at};
use crate::bench::scenario::{OutOfRange, Scenario};
use crate::bench::trace::{Sample, Trace};
use crate::settings::grouped::{self, Grouped};
use crate::solver::hybrid::{self, Control, Failure, Stretch};
use crate::solver::multistep::Past;
use crate::solver::root;

/// Sampling interval of a run that will be drawn, s.
pub const FINE_S: f64 = 0.002;

/// Sampling interval of a run of which only the findings are wanted, s. Integrals and events are as good as at
/// [`FINE_S`]; the extremes of a sharp corner are those of the samples.
pub const COARSE_S: f64 = 0.005;

/// A finished run.
#[derive(Debug, Clone)]
pub struct Run {
    /// What the scenario did.
    pub trace: Trace,
    /// Instants beside the even grid at which a part changes what it does: corners of the curves.
    pub corners: Vec<Sample>,
    /// Its named moments, in order of time.
    pub events: Vec<Event>,
    /// How well air and fuel closed.
    pub closure: Closure,
}

/// What is missing from the balances, as shares of what passed through.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Closure {
    /// (in − out − stored) ÷ in, air of the plenum.
    pub air: f64,
    /// The same for fuel from needle to cylinder.
    pub fuel: f64,
}

/// Why there is no run.
#[derive(Debug, Clone, PartialEq)]
pub enum RunError {
    /// The scenario has values outside their ranges.
    OutOfRange(Vec<OutOfRange>),
    /// The equations could not be followed; a defect of the program, reported with the instant.
    Failed(Failure),
}

impl std::fmt::Display for RunError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::OutOfRange(problems) => f.write_str(&grouped::lines(problems)),
            Self::Failed(Failure::NotFinite { time, state }) => {
                write!(f, "the run stopped at {time:.4} s: state {state} is not a number; please report the scenario")
            }
            Self::Failed(Failure::Stuck { time }) => {
                write!(
                    f,
                    "the run stopped at {time:.4} s: events follow each other without end; please report the scenario"
                )
            }
        }
    }
}

impl std::error::Error for RunError {}

impl From<Failure> for RunError {
    fn from(failure: Failure) -> Self {
        Self::Failed(failure)
    }
}

/// Time before the run in which everything settles with the speeds held, s.
const LEAD_IN_S: f64 = 1.5;

/// Run a scenario, sampled for drawing.
///
/// # Errors
/// [`RunError::OutOfRange`] for a scenario with refused values; [`RunError::Failed`] if the equations fail.
pub fn run(scenario: &Scenario) -> Result<Run, RunError> {
    run_with(scenario, FINE_S, Control::default())
}

/// Run a scenario with a sampling interval and an accuracy.
///
/// # Errors
/// As [`run`].
pub fn run_with(scenario: &Scenario, interval_s: f64, control: Control) -> Result<Run, RunError> {
    let problems = scenario.problems();
    if !problems.is_empty() {
        return Err(RunError::OutOfRange(problems));
    }
    let mut model = Model::new(scenario);
    let mut state = model.near_rest();
    let lead_in = Control { longest: 0.05, ..control };
    hybrid::integrate(&mut model, (-LEAD_IN_S, 0.0), &mut state, lead_in, |_, _| {})?;
    model.release(&mut state);
    let start = state;

    let end = scenario.pedal.end_s();
    let count = (end / interval_s).round() as usize;
    let mut recorder = Recorder::new(&model, &state, interval_s, count);
    let corners = model.corners().to_vec();
    for (piece, pair) in corners.windows(2).enumerate() {
        let span = (pair[0].0, pair[1].0);
        model.enter_piece(piece, &mut state);
        hybrid::integrate(&mut model, span, &mut state, control, |model, stretch| {
            recorder.watch(model, stretch);
        })?;
    }
    recorder.finish(&model, &state, end);
    Ok(Run {
        trace: Trace { interval_s, samples: recorder.samples, own: scenario.family().channels() },
        corners: recorder.corners,
        events: recorder.events,
        closure: closure(&model, &start, &state),
    })
}

fn closure(model: &Model<'_>, start: &State, end: &State) -> Closure {
    let air_in = end[at::AIR[0]] - start[at::AIR[0]];
    let air_out = end[at::AIR[1]] - start[at::AIR[1]];
    let air_stored = model.stored_air(end) - model.stored_air(start);
    let fuel_in = end[at::FUEL[0]] - start[at::FUEL[0]];
    let fuel_out = end[at::FUEL[1]] - start[at::FUEL[1]];
    let fuel_stored = model.stored_fuel(end) - model.stored_fuel(start);
    Closure {
        air: (air_in - air_out - air_stored) / air_in.abs().max(1e-6),
        fuel: (fuel_in - fuel_out - fuel_stored) / fuel_in.max(fuel_out).max(1e-6),
    }
}

/// Samples on the grid, and events where a monitor rises through zero.
struct Recorder {
    interval: f64,
    count: usize,
    samples: Vec<Sample>,
    corners: Vec<Sample>,
    events: Vec<Event>,
    /// Time of the last sample, on the grid or beside it, and what each event's monitor said of it.
    last_s: f64,
    monitors: [f64; EventKind::ALL.len()],
    /// The stretch before, where the last sample lies in it.
    before: Option<Before>,
}

/// A stretch kept beyond its moment.
struct Before {
    past: Past<SIZE>,
    order: usize,
}

impl Before {
    fn of(stretch: &Stretch<'_, SIZE>) -> Self {
        Self { past: *stretch.past, order: stretch.order }
    }

    fn at(&self, time: f64) -> State {
        self.past.at(time, self.order)
    }
}

impl Recorder {
    fn new(model: &Model<'_>, state: &State, interval: f64, count: usize) -> Self {
        let first = model.sample(0.0, state);
        let mut samples = Vec::with_capacity(count + 1);
        samples.push(first);
        let monitors = EventKind::monitors(&first, model.lean_limit());
        Self { interval, count, samples, corners: Vec::new(), events: Vec::new(), last_s: 0.0, monitors, before: None }
    }

    fn watch(&mut self, model: &Model<'_>, stretch: &Stretch<'_, SIZE>) {
        while self.samples.len() <= self.count {
            let time = self.samples.len() as f64 * self.interval;
            if time > stretch.end {
                break;
            }
            let sample = model.sample_after(time, &stretch.at(time), &self.samples);
            self.compare(model, stretch, &sample);
            self.samples.push(sample);
        }
        // a mode that changes must be seen from both sides; else a stretch with a sample in it can wait for the next
        if !stretch.is_last && self.last_s >= stretch.start {
            self.before = Some(Before::of(stretch));
            return;
        }
        if stretch.end > self.last_s {
            let sample = model.sample(stretch.end, &stretch.at(stretch.end));
            self.compare(model, stretch, &sample);
            if stretch.is_last {
                self.corners.push(sample);
            }
        }
        self.before = None;
    }

    fn compare(&mut self, model: &Model<'_>, stretch: &Stretch<'_, SIZE>, sample: &Sample) {
        let before = self.events.len();
        let monitors = EventKind::monitors(sample, model.lean_limit());
        for (i, &kind) in EventKind::ALL.iter().enumerate() {
            if self.monitors[i] <= 0.0 && monitors[i] > 0.0 {
                let monitor = kind.monitor();
                let from = if self.before.is_some() { self.last_s } else { self.last_s.max(stretch.start) };
                let value = |time: f64| {
                    let state = match &self.before {
                        Some(before) if time < stretch.start => before.at(time),
                        _ => stretch.at(time),
                    };
                    monitor(&model.sample(time, &state), model.lean_limit())
                };
                // a mode that has just changed shows as a jump at the start of the stretch
                let time_s = if value(from) > 0.0 { from } else { root::bracketed(from, sample.time_s, 1e-6, value) };
                self.events.push(Event { time_s, kind });
            }
        }
        self.events[before..].sort_by(|a, b| a.time_s.total_cmp(&b.time_s));
        if let Some(stall) = first(&self.events, EventKind::Stalls, 0.0) {
            self.events.retain(|event| event.time_s <= stall || !event.kind.of_mixture());
        }
        self.last_s = sample.time_s;
        self.monitors = monitors;
    }

    /// The last grid point may lie a rounding error past the end.
    fn finish(&mut self, model: &Model<'_>, state: &State, end: f64) {
        while self.samples.len() <= self.count {
            let time = self.samples.len() as f64 * self.interval;
            self.samples.push(Sample { time_s: time, ..model.sample(end, state) });
        }
    }
}
