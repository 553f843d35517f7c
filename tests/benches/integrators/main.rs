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

mod general;

use differential_equations::interpolate::Interpolation;
use differential_equations::methods::{BackwardDifferentiationFormula, ExplicitRungeKutta, ImplicitRungeKutta};
use differential_equations::ode::OrdinaryNumericalMethod;
use general::{MOST_STEPS, Own, Seen, Start, TIGHT};
use second_breath::bench::findings::findings;
use second_breath::bench::model::{SIZE, State, at};
use second_breath::bench::run::{Closure, FINE_S, Run};
use second_breath::bench::scenario::Scenario;
use second_breath::bench::trace::Trace;
use second_breath::families::entry;
use second_breath::solver::hybrid::{Control, Hybrid};
use std::time::Instant;

const FAMILIES: [&str; 4] = ["bare_link", "vacuum_diaphragm", "spring_door", "damped_lifted_rods"];
/// The general methods, in the order in which they are tried.
const METHODS: [&str; 5] = [
    "explicit, order 5 (dopri5)",
    "explicit, order 8 (dop853)",
    "stiff, one-step (radau5)",
    "stiff, multistep (bdf)",
    "bdf with our stiff columns",
];

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
    while rounds < 8 || (begin.elapsed().as_secs_f64() < 0.3 && rounds < 100) {
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
    let multistep = |r: [f64; SIZE], a: [f64; SIZE]| {
        BackwardDifferentiationFormula::adaptive().rtol(r).atol(a).max_steps(MOST_STEPS)
    };
    let mut summary = Vec::new();
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
        let plain = Own::default();
        let general = [
            sweep(&start, &truth, plain, |r, a| ExplicitRungeKutta::dopri5().rtol(r).atol(a).max_steps(MOST_STEPS)),
            sweep(&start, &truth, plain, |r, a| ExplicitRungeKutta::dop853().rtol(r).atol(a).max_steps(MOST_STEPS)),
            sweep(&start, &truth, plain, |r, a| ImplicitRungeKutta::radau5().rtol(r).atol(a).max_steps(MOST_STEPS)),
            sweep(&start, &truth, cubic, multistep),
            sweep(&start, &truth, Own { columns: true, ..cubic }, multistep),
        ];
        for (name, points) in METHODS.iter().zip(&general) {
            print(name, points);
        }
        for goal in &ours {
            summary.push(compare(id, goal, &general));
        }
    }
    println!(
        "\nTimes the time, and in brackets times the evaluations, of the cheapest setting that is no worse than ours:"
    );
    println!("| family | ours: setting, worst error, time, evaluations | {} |", METHODS.join(" | "));
    for line in summary {
        println!("{line}");
    }
}

/// A line of the summary: what each general method costs to be no worse than ours.
fn compare(family: &str, goal: &Point, general: &[Vec<Point>]) -> String {
    let cells: Vec<String> = general
        .iter()
        .map(|points| {
            let enough = points.iter().filter(|point| point.worst() <= goal.worst());
            enough.min_by(|a, b| a.seconds.total_cmp(&b.seconds)).map_or("not reached".to_owned(), |point| {
                let evaluations = point.evaluations as f64 / goal.evaluations as f64;
                format!("{:.1} ({evaluations:.1})", point.seconds / goal.seconds)
            })
        })
        .collect();
    format!(
        "| {family} | {:.0e}, {:.0e}, {:.2} ms, {} | {} |",
        goal.relative,
        goal.worst(),
        1e3 * goal.seconds,
        goal.evaluations,
        cells.join(" | ")
    )
}
