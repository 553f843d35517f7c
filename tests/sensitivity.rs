//! How sure a verdict is: what is varied, and that the answer says what the runs said.

mod support;

use second_breath::bench::scenario::Scenario;
use second_breath::bench::sensitivity::{MOST_RUNS, StudyError, runs, sensitivity};
use second_breath::bench::verdict::Verdict;
use second_breath::bench::watch::Watch;
use second_breath::families::FAMILIES;
use support::{fresh, with};

#[test]
fn every_family_is_studied_within_sixty_runs() {
    for entry in FAMILIES {
        let scenario = Scenario::fresh(entry);
        let watch = Watch::default();
        let study = sensitivity(&scenario, &watch).expect("runs");
        assert_eq!(watch.done(), runs(&scenario), "{}", entry.id);
        assert!(watch.done() <= MOST_RUNS, "{}", entry.id);
        let (least, most) = study.lost_range_s();
        assert!(least <= study.base.lost_s && study.base.lost_s <= most);
        println!("{}: {}", entry.id, study.sentence());
    }
}

#[test]
fn the_answer_is_the_same_on_any_number_of_threads() {
    let scenario = fresh("spring_door");
    let study = |threads| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().expect("threads");
        pool.install(|| sensitivity(&scenario, &Watch::default())).expect("runs")
    };
    assert_eq!(study(1), study(3));
}

/// With the plates and all else at rest nothing lands on the wall or burns any differently than before.
#[test]
fn a_verdict_that_nothing_moves_stays_over_all_of_it() {
    let dead = with(with(fresh("bare_link"), "pump", "shot", 0.0), "secondary", "venturi", 60e-3);
    let study = sensitivity(&dead, &Watch::default()).expect("runs");
    assert_eq!(study.base.verdict, Verdict::Dies);
    if study.verdict_range() == (Verdict::Dies, Verdict::Dies) {
        assert!(study.sentence().contains("dies all over the range"), "{}", study.sentence());
    }
    let still = with(fresh("bare_link"), "pedal", "floor", 0.08);
    let study = sensitivity(&still, &Watch::default()).expect("runs");
    assert_eq!(study.verdict_range(), (Verdict::Clean, Verdict::Clean), "{}", study.sentence());
    assert_eq!(study.sentence(), "It pulls cleanly all over the range of what is not known.");
}

#[test]
fn a_verdict_at_the_edge_names_what_moves_it() {
    let study = sensitivity(&fresh("bare_link"), &Watch::default()).expect("runs");
    let (best, worst) = study.verdict_range();
    assert!(best < worst);
    let text = study.sentence();
    assert!(text.contains("film time at high pressure"), "{text}");
    assert!(text.contains("of 32 trials"), "{text}");
}

#[test]
fn a_lower_lean_limit_loses_more_where_it_is_lean_and_nothing_elsewhere() {
    let row = |family: &str| {
        let study = sensitivity(&fresh(family), &Watch::default()).expect("runs");
        study.rows.into_iter().find(|row| row.coefficient.id == "lean_limit").expect("a row")
    };
    let lean = row("bare_link");
    assert!(lean.ends[0].lost_s > lean.ends[1].lost_s + 0.01, "{lean:?}");
    assert_eq!(lean.base, 1.25);
}

#[test]
fn a_value_beyond_the_plausible_range_is_kept_in_what_is_tried() {
    let scenario = with(fresh("bare_link"), "film", "share_base", 0.4);
    let study = sensitivity(&scenario, &Watch::default()).expect("runs");
    let row = study.rows.iter().find(|row| row.coefficient.id == "share_base").expect("a row");
    assert_eq!((row.base, row.tried.1), (0.4, 0.4));
    assert_eq!(row.ends[1], study.base);
}

#[test]
fn only_families_with_a_door_have_its_coefficient() {
    let has = |family: &str| {
        let study = sensitivity(&fresh(family), &Watch::default()).expect("runs");
        study.rows.iter().any(|row| row.coefficient.id == "torque_open_share")
    };
    assert!(has("spring_door") && !has("bare_link") && !has("vacuum_diaphragm"));
}

#[test]
fn a_study_can_be_cancelled_and_a_bad_scenario_has_none() {
    let watch = Watch::default();
    watch.cancel();
    assert_eq!(sensitivity(&fresh("bare_link"), &watch), Err(StudyError::Cancelled));
    let mut bad = fresh("bare_link");
    bad.film.share_base = f64::INFINITY;
    assert!(matches!(sensitivity(&bad, &Watch::default()), Err(StudyError::Run(_))));
}
