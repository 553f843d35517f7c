//! Step halving on a run itself: on a smooth stretch the error falls with the order of the method.

use second_breath::bench::model::{Model, SIZE, State, at};
use second_breath::bench::scenario::Scenario;
use second_breath::families::FAMILIES;
use second_breath::solver::hybrid::{Control, Evaluation, Hybrid, integrate};
use second_breath::solver::multistep::{MOST_ORDER, Past};

/// Far below the errors that are compared.
const TIGHT: Control = Control { relative: 1e-9, absolute_scale: 1e-5, longest: 5e-4 };
/// A stretch of the default stab in which nothing begins or ends: the plates are wide open, all fuel spills.
const STRETCH_S: (f64, f64) = (1.2, 1.6);

fn begun<'a>(scenario: &'a Scenario) -> (Model<'a>, State) {
    let mut model = Model::new(scenario);
    let mut state = model.near_rest();
    integrate(&mut model, (-1.5, 0.0), &mut state, TIGHT, |_, _| {}).expect("settles");
    model.release(&mut state);
    let corners = model.corners().to_vec();
    for (piece, pair) in corners.windows(2).enumerate() {
        model.enter_piece(piece, &mut state);
        let end = pair[1].0.min(STRETCH_S.0);
        integrate(&mut model, (pair[0].0, end), &mut state, TIGHT, |_, _| {}).expect("runs");
        if end >= STRETCH_S.0 {
            break;
        }
    }
    (model, state)
}

/// The stretch in even steps of one order, from exact beginnings.
fn even_steps(model: &mut Model<'_>, start: &State, order: usize, steps: usize) -> State {
    let h = (STRETCH_S.1 - STRETCH_S.0) / steps as f64;
    let time = |i: usize| STRETCH_S.0 + h * i as f64;
    let mut exact = vec![*start];
    for i in 0..=order {
        let mut state = exact[i];
        integrate(model, (time(i), time(i + 1)), &mut state, TIGHT, |_, _| {}).expect("runs");
        exact.push(state);
    }
    let mut now = Evaluation::default();
    let mut rates = |model: &Model<'_>, time: f64, state: &State| {
        model.evaluate(time, state, &mut now);
        now.clone()
    };
    let both = [0, 1].map(|i| rates(model, time(i), &exact[i]).rates);
    let mut past = Past::new([time(0), time(1)], [&exact[0], &exact[1]], [&both[0], &both[1]]);
    for i in 2..=steps {
        let state = exact.get(i).copied().unwrap_or_else(|| {
            let step = past.predict(time(i), order);
            let there = rates(model, time(i), &step.state);
            let correction = step.correction(&there.rates, &there.stiff);
            std::array::from_fn(|k| step.state[k] + correction[k])
        });
        past.push(time(i), &state);
    }
    *past.state()
}

/// Observed order of plenum pressure and engine speed within 0.4 of the design order: steps of 25 and 13 ms are still
/// large beside the next term of the error, smaller ones meet the last digits of the air path at order 4.
#[test]
fn reference_halving_the_step_of_a_run_shows_the_order() {
    let scenario = Scenario::fresh(&FAMILIES[0]);
    let (mut model, start) = begun(&scenario);
    let mut end = start;
    integrate(&mut model, STRETCH_S, &mut end, TIGHT, |_, _| {}).expect("runs");
    let size = |state: &State| -> f64 {
        let scales: [(usize, f64); 4] =
            [(at::PLENUM, 1e3), (at::ENGINE, 1.0), (at::FILM, 1e-4), (at::AIRBORNE, 1e-5)];
        scales.iter().map(|(i, scale)| ((state[*i] - end[*i]) / scale).abs()).fold(0.0, f64::max)
    };
    for order in 1..=MOST_ORDER {
        let errors = [16, 32].map(|steps| size(&even_steps(&mut model, &start, order, steps)));
        let observed = (errors[0] / errors[1]).log2();
        println!("order {order}: errors {errors:?}, observed {observed:.2}");
        assert!((observed - order as f64).abs() < 0.4, "order {order}: {errors:?}, observed {observed}");
    }
    assert_eq!(SIZE, end.len());
}
