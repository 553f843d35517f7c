//! What a class's answers say, against hand values, against numpy and scipy (`make_expected.py`, `cases.json`), and
//! for the invented class.

use second_breath::learning::invented_class::{ANSWERS, LEARNERS, invented_class};
use second_breath::learning::outcomes::OUTCOMES;
use second_breath::learning::record::{Answer, LearnerCode, Mode};
use second_breath::learning::statistics::items::{self, FormStatistics};
use second_breath::learning::statistics::mastery::{Outcomes, Share, WEAK, mastery, reteach};
use second_breath::learning::statistics::{Figure, Undefined};
use serde::Deserialize;
use std::collections::BTreeSet;

/// Both sides add some hundred numbers of size 1 in double precision.
const ROUNDING: f64 = 1e-12;

fn learner(place: usize) -> LearnerCode {
    let mut bytes = [place / 27, place % 27, 0, 0, 0, 0].into_iter();
    let drawn = LearnerCode::drawn(|| bytes.next().map(|byte| byte as u8).ok_or(()));
    drawn.expect("bytes")
}

fn answer(place: usize, item: &str, score: f64) -> Answer {
    Answer {
        at_unix_s: 100,
        learner: learner(place),
        item: item.to_owned(),
        seed: 0,
        mode: Mode::Lesson,
        chosen: if score == 1.0 { "a" } else { "b" }.to_owned(),
        right: score == 1.0,
        score,
        seconds: 1.0,
        misconception: (score < 1.0).then(|| "a belief".to_owned()),
    }
}

fn class(rows: &[Vec<Option<f64>>]) -> Vec<Answer> {
    let of_row = |(place, row): (usize, &Vec<Option<f64>>)| {
        let scores = row.iter().enumerate().filter_map(|(item, score)| Some((item, (*score)?)));
        scores.map(|(item, score)| answer(place, &format!("item_{item:02}"), score)).collect::<Vec<_>>()
    };
    rows.iter().enumerate().flat_map(of_row).collect()
}

fn of_text(rows: &str) -> FormStatistics {
    let score = |character| match character {
        '1' => Some(1.0),
        '0' => Some(0.0),
        _ => None,
    };
    items::of(&class(&rows.split(' ').map(|row| row.chars().map(score).collect()).collect::<Vec<_>>()))
}

fn near(figure: Figure, n: usize, value: f64, tolerance: f64, what: &str) {
    let found = figure.value.unwrap_or_else(|reason| panic!("{what}: {reason}"));
    assert!((found - value).abs() <= tolerance, "{what}: {found}, not {value}");
    assert_eq!(figure.n, n, "{what}");
}

/// By hand; the tolerance is half of the last figure that is given.
#[test]
fn five_learners_and_four_items_come_out_as_by_hand() {
    let form = of_text("1111 1110 1100 1000 0000");
    near(form.reliability, 5, 0.8, 1e-12, "KR-20");
    for ((item, p), r) in form.items.iter().zip([0.8, 0.6, 0.4, 0.2]).zip([0.514, 0.721, 0.721, 0.514]) {
        near(item.difficulty, 5, p, 1e-12, "p");
        near(item.discrimination, 5, r, 0.0005, "corrected r");
    }
    assert_eq!(form.items[0].options, [("a".to_owned(), 4), ("b".to_owned(), 1)]);
    assert_eq!(form.items[3].options, [("b".to_owned(), 4), ("a".to_owned(), 1)]);
    assert_eq!((form.items[3].misconceptions.clone(), form.learners), (vec![("a belief".to_owned(), 4)], 5));
}

#[test]
fn what_is_not_defined_says_why() {
    let empty = items::of(&[]);
    assert_eq!((empty.reliability.value, empty.items.len()), (Err(Undefined::NoAnswers), 0));
    let same = of_text("11 11 11");
    assert_eq!(same.reliability.value, Err(Undefined::SameTotal));
    assert_eq!(same.items[0].discrimination.value, Err(Undefined::SameScore));
    assert_eq!(of_text("11 01 01").items[0].discrimination.value, Err(Undefined::SameRest));
    assert_eq!(of_text("10 01").items[0].discrimination.value, Err(Undefined::TooFew { needed: 3 }));
    assert_eq!(of_text("1 0 1").reliability.value, Err(Undefined::OneItem));
    // nobody answered both
    let apart = of_text("1. 0. .1 .0 .1");
    assert_eq!(apart.reliability, Figure { n: 0, value: Err(Undefined::TooFew { needed: 2 }) });
    assert_eq!(apart.items[0].discrimination, Figure { n: 0, value: Err(Undefined::TooFew { needed: 3 }) });
    near(apart.items[1].difficulty, 3, 2.0 / 3.0, ROUNDING, "p");
    for text in [Undefined::NoAnswers, Undefined::TooFew { needed: 3 }, Undefined::SameTotal].map(|it| it.to_string()) {
        assert!(text.len() > 10, "{text}");
    }
    assert_eq!((Share::default().value(), Share::default().interval()), (None, None));
}

#[derive(Deserialize)]
struct Expected {
    cases: Vec<Case>,
    wilson: Vec<Wilson>,
}

#[derive(Deserialize)]
struct Case {
    scores: Vec<Vec<Option<f64>>>,
    items: Vec<ExpectedItem>,
    reliability: ExpectedReliability,
}

#[derive(Deserialize)]
struct ExpectedItem {
    n: usize,
    p: f64,
    r_n: usize,
    r: Option<f64>,
}

#[derive(Deserialize)]
struct ExpectedReliability {
    n: usize,
    value: Option<f64>,
}

#[derive(Deserialize)]
struct Wilson {
    right: usize,
    n: usize,
    low: f64,
    high: f64,
}

fn expected() -> Expected {
    serde_json::from_str(include_str!("cases.json")).expect("the cases")
}

fn same(figure: Figure, n: usize, value: Option<f64>, what: &str) {
    match value {
        Some(value) => near(figure, n, value, ROUNDING, what),
        None => assert!(figure.value.is_err() && figure.n == n, "{what}: {figure:?}"),
    }
}

#[test]
fn random_classes_with_gaps_and_partial_scores_come_out_as_by_numpy_and_scipy() {
    let mut figures = 0;
    for (number, case) in expected().cases.iter().enumerate() {
        let form = items::of(&class(&case.scores));
        assert_eq!(form.items.len(), case.items.len());
        same(form.reliability, case.reliability.n, case.reliability.value, &format!("{number}: reliability"));
        for (item, expected) in form.items.iter().zip(&case.items) {
            near(item.difficulty, expected.n, expected.p, ROUNDING, &format!("{number}: {} p", item.item));
            same(item.discrimination, expected.r_n, expected.r, &format!("{number}: {} r", item.item));
            figures += 1;
        }
    }
    assert!(figures > 40, "{figures}");
}

#[test]
fn wilson_intervals_come_out_as_by_scipy() {
    for Wilson { right, n, low, high } in expected().wilson {
        let (found_low, found_high) = Share { right, n }.interval().expect("an interval");
        assert!((found_low - low).abs() < ROUNDING && (found_high - high).abs() < ROUNDING, "{right} of {n}");
    }
}

#[test]
fn the_first_answer_tells_how_hard_and_the_last_what_is_known() {
    let at = |at_unix_s, score| Answer { at_unix_s, ..answer(0, "i", score) };
    // the order of the record does not matter, that of time does
    let answers = [at(3, 1.0), at(1, 0.0), at(2, 0.0)];
    near(items::of(&answers).items[0].difficulty, 1, 0.0, 0.0, "p");
    let outcomes: Outcomes = [("i".to_owned(), vec![3, 7])].into();
    let map = mastery(&answers, &outcomes);
    assert_eq!(map.class[&3], Share { right: 1, n: 1 });
    assert_eq!(map.cells[&(7, learner(0))], Share { right: 1, n: 1 });
    // at the same second the later line of the record is the later answer
    let map = mastery(&[at(5, 1.0), at(5, 0.0)], &outcomes);
    assert_eq!(map.class[&3], Share { right: 0, n: 1 });
    let map = mastery(&[answer(0, "unknown", 1.0)], &outcomes);
    assert_eq!((map.unknown_items, map.class.len()), (vec!["unknown".to_owned()], 0));
}

#[test]
fn what_to_teach_again_begins_with_the_weakest_and_its_commonest_belief() {
    let mut answers = Vec::new();
    for place in 0..20 {
        answers.push(answer(place, "weak", if place < 4 { 1.0 } else { 0.0 }));
        answers.push(answer(place, "good", if place < 19 { 1.0 } else { 0.0 }));
    }
    answers.push(answer(0, "asked_once", 1.0));
    for answer in answers.iter_mut().filter(|answer| answer.item == "weak").skip(4).take(5) {
        answer.misconception = Some("b rarer belief".to_owned());
    }
    let of = |item: &str, outcome| (item.to_owned(), vec![outcome]);
    let list = reteach(&answers, &[of("weak", 2), of("good", 5), of("asked_once", 9)].into());
    assert_eq!(list.iter().map(|entry| (entry.outcome, entry.sure)).collect::<Vec<_>>(), [(2, true), (9, false)]);
    assert_eq!(list[0].misconceptions, [("a belief".to_owned(), 11), ("b rarer belief".to_owned(), 5)]);
    assert!(list[0].interval.1 < WEAK && list[1].interval.1 == 1.0);
}

#[test]
fn the_invented_class_is_the_same_every_time_and_says_that_it_is_invented() {
    let class = invented_class(1);
    assert_eq!(class, invented_class(1));
    assert_ne!(class.answers, invented_class(2).answers);
    assert_eq!((class.learners.len(), class.answers.len()), (LEARNERS, ANSWERS));
    assert!(class.learners.iter().all(|(_, name)| name.starts_with("Invented")));
    assert!(class.answers.iter().all(|answer| answer.item.starts_with("invented_") && answer.check().is_ok()));
    let codes: BTreeSet<&LearnerCode> = class.learners.iter().map(|(code, _)| code).collect();
    assert_eq!(codes.len(), LEARNERS);
    let map = mastery(&class.answers, &class.outcomes);
    assert!(map.unknown_items.is_empty());
    assert_eq!(map.class.keys().copied().collect::<Vec<_>>(), (1..=OUTCOMES.len()).collect::<Vec<_>>());
    // abilities that differ by a standard deviation of 1 make a form of two dozen items reliable
    let lesson: Vec<Answer> = class.answers.iter().filter(|answer| answer.mode == Mode::Lesson).cloned().collect();
    let form = items::of(&lesson);
    assert_eq!((form.items.len(), form.reliability.n), (24, LEARNERS));
    assert!(form.reliability.value.is_ok_and(|value| value > 0.6), "{:?}", form.reliability);
}
