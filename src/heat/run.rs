//! Soak → trace, events and findings: the one place where time passes.

use crate::heat::events::{Event, events};
use crate::heat::findings::{Findings, findings};
use crate::heat::links::{self, Temperatures};
use crate::heat::network::{Mode, Network, State, at};
use crate::heat::soak::Soak;
use crate::heat::stores::{Control, integrate};
use crate::heat::trace::{PumpLimits, Sample, SoakTrace, sample};
use crate::settings::grouped::{self, Grouped, OutOfRange};
use crate::solver::hybrid::{Failure, Stretch};

/// Sampling interval of a soak that will be drawn, s.
pub const INTERVAL_S: f64 = 15.0;
/// The engine has run for so long before it stops, s: all but the heaviest, best insulated parts have settled.
const WARM_S: f64 = 8.0 * 3600.0;

/// A finished soak.
#[derive(Debug, Clone, PartialEq)]
pub struct SoakRun {
    /// What happened.
    pub trace: SoakTrace,
    /// Its named moments, in order of time.
    pub events: Vec<Event>,
    /// What it comes down to.
    pub findings: Findings,
    /// How well heat and fuel closed.
    pub closure: Closure,
}

/// What is missing from the balances.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Closure {
    /// Heat in all stores and gone outside, end less start, as a share of all heat that changed its place.
    pub heat: f64,
    /// Fuel everywhere, end less start, as a share of what full bowls hold.
    pub fuel: f64,
}

/// Why there is no soak.
#[derive(Debug, Clone, PartialEq)]
pub enum SoakError {
    /// Values outside their ranges.
    OutOfRange(Vec<OutOfRange>),
    /// The equations could not be followed; a defect of the program, reported with the instant.
    Failed(Failure),
}

impl std::fmt::Display for SoakError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::OutOfRange(problems) => f.write_str(&grouped::lines(problems)),
            Self::Failed(Failure::NotFinite { time, state }) => {
                write!(f, "the soak stopped at {time:.1} s: store {state} is not a number; please report the settings")
            }
            Self::Failed(Failure::Stuck { time }) => {
                write!(f, "the soak stopped at {time:.1} s: no step is short enough; please report the settings")
            }
        }
    }
}

impl std::error::Error for SoakError {}

impl From<Failure> for SoakError {
    fn from(failure: Failure) -> Self {
        Self::Failed(failure)
    }
}

/// Let a warm engine stand and start it again, sampled for drawing. A pure function of its settings.
///
/// # Errors
/// [`SoakError::OutOfRange`] for refused values; [`SoakError::Failed`] if the equations fail.
pub fn run(soak: &Soak) -> Result<SoakRun, SoakError> {
    run_with(soak, INTERVAL_S, Control::default())
}

/// The same with a longest sampling interval and an accuracy.
///
/// # Errors
/// As [`run`].
pub fn run_with(soak: &Soak, interval_s: f64, control: Control) -> Result<SoakRun, SoakError> {
    let problems = soak.problems();
    if !problems.is_empty() {
        return Err(SoakError::OutOfRange(problems));
    }
    run_from(soak, warm_start(soak, control)?, interval_s, control)
}

/// The stores of an engine that has run for long and stops now.
///
/// # Errors
/// [`SoakError::Failed`] if the equations fail.
pub fn warm_start(soak: &Soak, control: Control) -> Result<State, SoakError> {
    let standing = Network::new(soak);
    let running = standing.clone().in_mode(Mode::Running);
    Ok(stopped(&standing, warm(&running, control)?))
}

/// The same from any state of the stores instead of a warm engine's.
///
/// # Errors
/// As [`run`].
pub fn run_from(soak: &Soak, start: State, interval_s: f64, control: Control) -> Result<SoakRun, SoakError> {
    let standing = Network::new(soak);
    let running = standing.clone().in_mode(Mode::Running);
    let restart_s = soak.times.soak_s;
    let end_s = restart_s + soak.times.cool_s;
    let count = (end_s / interval_s).ceil().max(1.0);
    let interval_s = end_s / count;
    let limits = PumpLimits::new(&standing);
    let mut samples = Vec::with_capacity(count as usize + 1);
    samples.push(sample(&standing, limits, 0.0, &start));
    let mut state = start;
    for (network, span) in [(&standing, (0.0, restart_s)), (&running, (restart_s, end_s))] {
        integrate(network, span, &mut state, control, |stretch| {
            record(network, limits, interval_s, stretch, &mut samples);
        })?;
    }
    let trace = SoakTrace { interval_s, samples, restart_s };
    let events = events(&trace.samples);
    let findings = findings(&standing, &start, &trace, &events);
    Ok(SoakRun { closure: closure(&standing, &start, &state), trace, events, findings })
}

fn record(
    network: &Network,
    limits: PumpLimits,
    interval_s: f64,
    stretch: &Stretch<'_, { crate::heat::network::SIZE }>,
    samples: &mut Vec<Sample>,
) {
    // the rounding of a multiplication must not lose the last sample
    while samples.len() as f64 * interval_s <= stretch.end * (1.0 + 1e-12) {
        let time = (samples.len() as f64 * interval_s).min(stretch.end);
        samples.push(sample(network, limits, time, &stretch.at(time)));
    }
}

/// A warm engine that has run for long.
fn warm(running: &Network, control: Control) -> Result<State, Failure> {
    let (bay, line) = (&running.soak.bay, &running.soak.line);
    let air = running.outside.temperature_k + bay.running_rise_k;
    let mut temperatures: Temperatures = [air; at::HEATS];
    temperatures[links::BLOCK] = bay.coolant_k;
    temperatures[links::EXHAUST] = bay.exhaust_k;
    temperatures[links::MANIFOLD] = bay.coolant_k;
    temperatures[links::PUMP] = line.tank_k;
    let mut state = running.state_at(&temperatures);
    // only where it comes to rest counts: rough on the way there, as exact as the soak at the end
    for (span, share) in [((0.0, 0.75 * WARM_S), 10.0 * control.share), ((0.75 * WARM_S, WARM_S), control.share)] {
        integrate(running, span, &mut state, Control { share, longest: WARM_S }, |_| {})?;
    }
    Ok(state)
}

/// The moment at which the engine stops: all tallies at zero, a film on the manifold's walls and no vapour.
fn stopped(network: &Network, mut state: State) -> State {
    let manifold_k = network.temperatures(&state)[links::MANIFOLD];
    for tally in &mut state[at::VENTED_KG..] {
        *tally = 0.0;
    }
    state[at::PUDDLE_KG] = network.soak.start.film_kg;
    state[at::PUDDLE_LOST] = 0.0;
    state[at::VAPOUR_KG] = 0.0;
    state[links::MANIFOLD] = network.manifold_heat(state[at::PUDDLE_KG], manifold_k);
    state
}

fn closure(network: &Network, start: &State, end: &State) -> Closure {
    let moved: f64 = (0..at::HEATS).chain([at::OUTSIDE_J]).map(|i| (end[i] - start[i]).abs()).sum();
    Closure {
        heat: (network.total_heat(end) - network.total_heat(start)) / moved.max(1.0),
        fuel: (network.total_fuel(end) - network.total_fuel(start)) / network.full_kg,
    }
}
