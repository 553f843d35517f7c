//! What answers are worth.

use super::{example, graded, seen};
use second_breath::learning::figure::Column;
use second_breath::learning::quiz::asked::Asked;
use second_breath::learning::quiz::item::{Item, Kind};
use second_breath::learning::quiz::numeric::Numeric;
use second_breath::learning::quiz::order::kendall;
use second_breath::learning::quiz::response::Response;
use std::collections::BTreeSet;

#[test]
fn a_choice_tells_the_misconception_and_the_numbers_of_the_run() {
    let asked = example("example_two_pumps").ask(3);
    let right = graded(&asked, &Response::Choice(0));
    assert!(right.right && right.score == 1.0 && right.misconception.is_none());
    assert!(right.told.contains(" ms lost"), "a number of the run: {}", right.told);
    let wrong = graded(&asked, &Response::Choice(1));
    assert!(!wrong.right && wrong.score == 0.0);
    assert_eq!(wrong.misconception.as_deref(), Some("the pump feeds steady power"));
    assert!(asked.grade(&Response::Choice(3), &seen(&asked, &Response::Choice(0))).is_err(), "there are three options");
}

#[test]
fn a_run_that_was_not_made_is_asked_for_and_not_graded() {
    let asked = example("example_two_pumps").ask(3);
    assert_eq!(asked.needed(&Response::Choice(0)).expect("may be graded").benches.len(), 2);
    assert!(asked.grade(&Response::Choice(0), &[]).is_err());
}

#[test]
fn options_are_shuffled_by_the_seed_and_by_nothing_else() {
    let item = example("example_two_pumps");
    let orders: BTreeSet<Vec<usize>> = (0..40).map(|seed| item.ask(seed).order).collect();
    assert_eq!(orders.len(), 6, "all orders of three come up");
    assert_eq!(item.ask(7).order, item.ask(7).order);
    let shown: BTreeSet<usize> = item.ask(7).choices().into_iter().map(|(place, _)| place).collect();
    assert_eq!(shown, BTreeSet::from([0, 1, 2]));
}

fn numeric(item: &Item) -> &Numeric {
    match &item.kind {
        Kind::Numeric(numeric) => numeric,
        other => panic!("{} is not numeric", other.id()),
    }
}

/// The air demand worked by hand from the drawn values: in³, %, rpm.
fn demand(asked: &Asked) -> f64 {
    let [displacement, filling, speed] = asked.drawn[..] else { panic!("three values") };
    displacement * speed * filling / 100.0 / 3456.0
}

fn typed(asked: &Asked, text: String) -> Response {
    let response = Response::Numeric(text);
    assert!(asked.needed(&response).expect("may be graded").benches.is_empty(), "arithmetic needs no run");
    response
}

#[test]
fn a_number_is_right_in_any_unit_within_the_tolerance() {
    for seed in 0..50 {
        let asked = example("example_air_demand").ask(seed);
        let key = demand(&asked);
        // 3 % counts as right; a cubic foot a minute is 0.471 947 L/s
        for (factor, unit, right) in [
            (1.0, "", true),
            (1.0, " cfm", true),
            (1.0299, "cfm", true),
            (0.9701, "cfm", true),
            (1.0301, "cfm", false),
            (0.471_947, " L/s", true),
            (0.471_947e-3, " m3/s", true),
        ] {
            let answer = typed(&asked, format!("{:.7}{unit}", key * factor));
            assert_eq!(graded(&asked, &answer).right, right, "seed {seed}: {answer:?} for {key}");
        }
    }
}

#[test]
fn the_usual_slips_are_recognised_for_every_seed() {
    for seed in 0..50 {
        let asked = example("example_air_demand").ask(seed);
        let key = demand(&asked);
        let believed = |number: f64| graded(&asked, &typed(&asked, format!("{number:.3}"))).misconception;
        assert_eq!(believed(2.0 * key).as_deref(), Some("forgot the ÷ 2"));
        assert_eq!(believed(key * 100.0 / asked.drawn[1]).as_deref(), Some("forgot the filling"));
        assert_eq!(believed(key * 0.471_947).as_deref(), Some("the unit was mixed up"), "litres typed as cfm");
        assert_eq!(believed(key * 7.0), None);
    }
}

#[test]
fn a_number_that_cannot_be_read_is_mended_and_not_marked_wrong() {
    let asked = example("example_air_demand").ask(1);
    for text in ["", "about 300", "300 kPa", "1,200", "nan", "inf cfm", "300 300"] {
        let refused = asked.grade(&Response::Numeric(text.to_owned()), &[]);
        assert!(refused.is_err_and(|why| why.contains("write such as")), "{text}");
    }
}

#[test]
fn the_question_states_values_unit_precision_and_tolerance() {
    let item = example("example_air_demand");
    let asked = item.ask(11);
    let shown = format!(
        "An engine of {} in³ fills {} % of its cylinders at {} rpm.",
        asked.drawn[0], asked.drawn[1], asked.drawn[2]
    );
    assert!(asked.stem.starts_with(&shown), "{}", asked.stem);
    assert_eq!(
        asked.how,
        "Answer in cfm, to the nearest 5 cfm, or say the unit: L/s, m³/s. Within 3 % counts as right."
    );
    let told = graded(&asked, &Response::Numeric("1".to_owned())).told;
    let key = format!("{} cfm", 5.0 * (demand(&asked) / 5.0).round());
    assert!(told.contains(&key), "{told} has {key}");
}

#[test]
fn drawn_values_stay_on_their_steps_and_all_come_up() {
    let item = example("example_air_demand");
    let numeric = numeric(item);
    assert_eq!(numeric.combinations(), 16 * 5 * 9);
    let mut speeds = BTreeSet::new();
    for seed in 0..400 {
        let drawn = item.ask(seed).drawn;
        assert!((250.0..=400.0).contains(&drawn[0]) && drawn[0] % 10.0 == 0.0, "{drawn:?}");
        speeds.insert(drawn[2] as i64);
    }
    assert_eq!(speeds.len(), 9, "4000 to 6000 by 250");
}

#[test]
fn the_score_of_an_order_is_kendalls_tau_and_never_below_zero() {
    // pairs by hand: 3 events 3 pairs, 4 events 6
    assert_eq!(kendall(&[2, 0, 1], &[2, 0, 1]), 1.0);
    assert_eq!(kendall(&[0, 2, 1], &[2, 0, 1]), (2.0 - 1.0) / 3.0);
    assert_eq!(kendall(&[1, 0, 2], &[2, 0, 1]), 0.0);
    assert_eq!(kendall(&[0, 1, 3, 2], &[0, 1, 2, 3]), (5.0 - 1.0) / 6.0);
    assert_eq!(kendall(&[3, 2, 1, 0], &[0, 1, 2, 3]), 0.0);
}

#[test]
fn an_order_is_that_of_the_run() {
    // in the file: secondary_air, lean_limit, secondary_fuel, which is also the order of the run
    let asked = example("example_what_comes_first").ask(5);
    let right = graded(&asked, &Response::Order(vec![0, 1, 2]));
    assert!(right.right && right.score == 1.0);
    let wrong = graded(&asked, &Response::Order(vec![2, 0, 1]));
    assert!(!wrong.right && wrong.score == 0.0, "one pair of three is right");
    assert_eq!(wrong.misconception.as_deref(), Some("the circuit flows from the first air"));
    assert!(wrong.told.contains("then lean limit passed, then secondary fuel"), "{}", wrong.told);
    let seen = seen(&asked, &Response::Skipped);
    for bad in [vec![0, 1], vec![0, 0, 1], vec![0, 1, 3]] {
        assert!(asked.grade(&Response::Order(bad), &seen).is_err());
    }
}

#[test]
fn a_part_is_right_or_has_its_word() {
    let asked = example("example_where_it_waits").ask(0);
    let answer = |part: &str| graded(&asked, &Response::Point(part.to_owned()));
    assert!(answer("secondary_well").right);
    assert_eq!(answer("secondary_bowl").misconception.as_deref(), Some("the bowl must fill first"));
    let other = answer("plenum");
    assert!(!other.right && other.misconception.is_none() && other.told.contains("The answer: secondary well."));
}

#[test]
fn a_sketch_of_the_run_itself_is_right_and_a_level_line_is_not() {
    let asked = example("example_draw_lambda").ask(0);
    let Kind::Sketch(drawn) = &asked.item.kind else { panic!("a sketch") };
    let seen = seen(&asked, &Response::Skipped);
    let column: Column = drawn.sketch.column;
    let run: Vec<(f64, f64)> = (0..=120).map(|i| f64::from(i) / 100.0).map(|t| (t, column.at(&seen[0], t))).collect();
    let right = asked.grade(&Response::Sketch(run), &seen).expect("a grade");
    assert!(right.right && right.score > 0.97, "straight between points 10 ms apart: {}", right.score);
    let level = asked.grade(&Response::Sketch(vec![(0.0, 1.0), (1.2, 1.0)]), &seen).expect("a grade");
    assert!(!level.right && level.score < 0.1, "{}", level.score);
    assert!(asked.grade(&Response::Sketch(vec![(0.0, 1.0)]), &seen).is_err());
    assert!(asked.grade(&Response::Sketch(vec![(0.0, f64::NAN), (1.0, 1.0)]), &seen).is_err());
}

#[test]
fn tuning_is_graded_by_the_run() {
    let asked = example("example_calm_the_door").ask(0);
    let degrees = f64::to_radians;
    let right = graded(&asked, &Response::Tune(vec![Some(degrees(500.0)), None]));
    assert!(right.right && right.score == 1.0, "{}", right.told);
    let untouched = graded(&asked, &Response::Tune(vec![None, None]));
    assert!(!untouched.right && untouched.told.contains("bogs"), "{}", untouched.told);
    let looser = graded(&asked, &Response::Tune(vec![Some(degrees(5.0)), None]));
    assert_eq!(looser.misconception.as_deref(), Some("a looser spring helps"));
}

#[test]
fn too_much_changed_or_out_of_range_is_said_and_not_graded() {
    let asked = example("example_calm_the_door").ask(0);
    let needed = |values: Vec<Option<f64>>| asked.needed(&Response::Tune(values)).map(|needed| needed.benches.len());
    assert_eq!(needed(vec![Some(5.0), None]), Ok(1));
    assert!(needed(vec![Some(5.0), Some(1.5e-3)]).is_err_and(|why| why.contains("2 settings")));
    assert!(needed(vec![Some(40.0), None]).is_err_and(|why| why.contains("is not offered here")));
    assert!(needed(vec![Some(f64::NAN), None]).is_err());
    assert!(needed(vec![None]).is_err());
    // a slider that was touched and brought back
    let start = asked.benches[0].subject.settings();
    let jet = start.place("secondary", "main_jet").and_then(|place| start.value(place)).expect("the jet");
    assert_eq!(needed(vec![Some(5.0), Some(jet)]), Ok(1));
}

#[test]
fn the_fault_is_built_in_where_it_is_asked_and_not_in_the_sound_car() {
    let asked = example("example_weak_rear").ask(2);
    let jet = |bench: &second_breath::learning::live::Bench| {
        let settings = bench.subject.settings();
        settings.place("secondary", "main_jet").and_then(|place| settings.value(place)).expect("the jet")
    };
    assert!((jet(&asked.benches[0]) - 1.4e-3).abs() < 1e-12, "as the file says");
    assert!(jet(&asked.item.benches[0]) > 1.6e-3);
    assert!(graded(&asked, &Response::Fault(0)).right);
    let wrong = graded(&asked, &Response::Fault(1));
    assert_eq!((wrong.right, wrong.misconception.as_deref()), (false, Some("every bog is the pump")));
    assert!(wrong.told.contains("The answer: Rear main jets too small."));
}

#[test]
fn an_item_that_was_skipped_tells_the_answer_and_scores_nothing() {
    for item in &super::BANK.items {
        let asked = item.ask(1);
        let skipped = graded(&asked, &Response::Skipped);
        assert!(!skipped.right && skipped.score == 0.0 && !skipped.told.is_empty(), "{}", item.id);
    }
}

#[test]
fn an_answer_of_another_kind_is_refused() {
    let asked = example("example_where_it_waits").ask(0);
    assert!(asked.grade(&Response::Choice(0), &seen(&asked, &Response::Skipped)).is_err());
}

#[test]
fn what_was_chosen_goes_into_a_record_and_comes_back() {
    let cases = [
        ("example_two_pumps", Response::Choice(1), "2"),
        ("example_air_demand", Response::Numeric(" 312  cfm".to_owned()), "312 cfm"),
        ("example_what_comes_first", Response::Order(vec![2, 0, 1]), "secondary_fuel;secondary_air;lean_limit"),
        ("example_where_it_waits", Response::Point("plenum".to_owned()), "plenum"),
        ("example_draw_lambda", Response::Sketch(vec![(0.0, 1.0), (0.5, 1.25)]), "0.0000 1.00000e0;0.5000 1.25000e0"),
        ("example_calm_the_door", Response::Tune(vec![Some(7.5), None]), "family.wind_up=7.5"),
        ("example_weak_rear", Response::Fault(2), "fine_shooter"),
        ("example_weak_rear", Response::Skipped, ""),
    ];
    for (id, response, text) in cases {
        let item = example(id);
        assert_eq!(response.chosen(item), text);
        let back = Response::from_chosen(item, text).expect("it reads back");
        assert_eq!(back.chosen(item), text, "{id}");
    }
    for (id, nonsense) in [
        ("example_two_pumps", "9"),
        ("example_weak_rear", "gone"),
        ("example_calm_the_door", "x=1"),
        ("example_draw_lambda", "0 nan"),
    ] {
        assert_eq!(Response::from_chosen(example(id), nonsense), None, "{id}");
    }
}
