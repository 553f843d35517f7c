//! The search for the best setting: what it keeps to, what it finds, and what it says where there is nothing.

mod support;

use second_breath::advice::finder::{FinderError, Found, find, most_runs};
use second_breath::advice::free::{Free, MOST_FREE, named, offered, usual};
use second_breath::advice::merit::Merit;
use second_breath::advice::summary::summary;
use second_breath::bench::scenario::Scenario;
use second_breath::bench::verdict::Verdict;
use second_breath::bench::watch::Watch;
use second_breath::families::FAMILIES;
use second_breath::settings::grouped::Grouped;
use second_breath::units::UnitSystem;
use support::{fresh, with};

fn search(start: &Scenario, free: &[Free]) -> Found {
    find(start, free, &Watch::default(), &mut |_| {}).expect("the start runs")
}

/// As `search`, on a pool of so many threads.
fn search_on(threads: usize, start: &Scenario, free: &[Free]) -> Found {
    let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().expect("threads");
    pool.install(|| search(start, free))
}

fn loose_spring() -> Scenario {
    with(fresh("spring_door"), "family", "wind_up", 0.5)
}

#[test]
fn a_spring_door_that_is_far_too_loose_is_wound_up_until_it_is_clean() {
    let start = loose_spring();
    assert_eq!(Merit::of(&start).expect("runs").findings.verdict, Verdict::Bogs);
    let found = search(&start, &usual(&start));
    assert!(found.is_clean(), "{}", summary(&found, UnitSystem::Si));
    assert!(found.last().values[0] > 4.0, "a tighter spring, not another cure: {:?}", found.last());
    assert!(found.last().merit.pull > found.first().merit.pull);
    let text = summary(&found, UnitSystem::Si);
    assert!(text.contains("Spring wind-up from") && text.contains("pulls cleanly"), "{text}");
}

#[test]
fn every_family_is_improved_or_kept_and_never_left_its_ranges() {
    for entry in FAMILIES {
        let start = Scenario::fresh(entry);
        let free = usual(&start);
        let found = search(&start, &free);
        assert!(found.trials.len() <= most_runs(free.len()), "{}", entry.id);
        for trial in &found.trials {
            for (free, value) in free.iter().zip(&trial.values) {
                assert!((free.least..=free.most).contains(value), "{}: {value}", entry.id);
            }
        }
        for pair in found.way.windows(2) {
            assert!(pair[1].merit.beats(&pair[0].merit) && pair[1].run > pair[0].run, "{}", entry.id);
        }
        assert!(found.best.problems().is_empty());
        assert_eq!(Merit::of(&found.best).expect("runs"), found.last().merit, "{}: the best is what was run", entry.id);
        for (stretch, value) in found.stretches.iter().zip(&found.last().values) {
            assert!(stretch.from <= *value && *value <= stretch.to, "{}: {stretch:?}", entry.id);
        }
        println!("{}: {} runs. {}", entry.id, found.trials.len(), summary(&found, UnitSystem::Si));
    }
}

#[test]
fn only_what_is_free_is_changed() {
    let start = loose_spring();
    let found = search(&start, &usual(&start));
    let changed: Vec<_> =
        start.places().into_iter().filter(|place| start.value(*place) != found.best.value(*place)).collect();
    assert_eq!(changed, [usual(&start)[0].place]);
}

#[test]
fn it_finds_the_same_on_any_number_of_threads() {
    let start = fresh("counterweighted_door");
    let free = usual(&start);
    let (one, four) = (search_on(1, &start, &free), search_on(4, &start, &free));
    assert_eq!(one.way, four.way);
    assert_eq!(one.trials, four.trials);
    assert_eq!(one.stretches, four.stretches);
}

#[test]
fn where_nothing_is_clean_it_says_so_and_gives_what_loses_least() {
    let start = with(fresh("bare_link"), "pump", "shot", 0.0);
    let free = named(&start, "pump.shooter").expect("a setting");
    let found = search(&start, &[free]);
    assert!(!found.is_clean());
    let text = summary(&found, UnitSystem::Si);
    assert!(text.contains("Nothing clean was found"), "{text}");
    let narrow = Free { most: 0.8e-6, ..named(&start, "pump.shot").expect("a setting") };
    let found = search(&start, &[narrow]);
    assert!(!found.is_clean() && found.last().merit.lost_s < found.first().merit.lost_s);
    assert!(summary(&found, UnitSystem::Si).contains("loses least"), "{}", summary(&found, UnitSystem::Si));
}

#[test]
fn it_stops_when_it_is_asked_to_and_keeps_what_it_has() {
    let start = loose_spring();
    let watch = Watch::default();
    let mut steps = 0;
    let found = find(&start, &usual(&start), &watch, &mut |_| {
        steps += 1;
        if steps == 2 {
            watch.cancel();
        }
    })
    .expect("the start runs");
    assert!(found.stopped && found.stretches.is_empty());
    assert!(found.trials.len() < most_runs(1) && found.way.len() >= 2);
    let before = Watch::default();
    before.cancel();
    let found = find(&start, &usual(&start), &before, &mut |_| {}).expect("the start runs");
    assert_eq!((found.way.len(), found.trials.len()), (1, 1));
}

#[test]
fn what_cannot_be_searched_is_refused_with_a_remedy() {
    let start = loose_spring();
    let free = usual(&start)[0];
    let refused = |start: &Scenario, free: &[Free]| match find(start, free, &Watch::default(), &mut |_| {}) {
        Err(FinderError::Free(text)) => text,
        other => panic!("{other:?}"),
    };
    assert!(refused(&start, &[]).contains("free at least one"));
    assert!(refused(&start, &[free, free]).contains("twice"));
    assert!(refused(&start, &[Free { most: free.least, ..free }]).contains("least before most"));
    assert!(refused(&start, &[Free { most: f64::NAN, ..free }]).contains("least before most"));
    assert!(refused(&start, &[Free { most: 1e9, ..free }]).contains("accepted"));
    let many: Vec<Free> =
        start.places().into_iter().filter_map(|place| Free::whole(&start, place)).take(MOST_FREE + 1).collect();
    assert!(refused(&start, &many).contains("at most"));
    let mut bad = start.clone();
    bad.primary.bore_m = f64::NAN;
    assert!(matches!(find(&bad, &[free], &Watch::default(), &mut |_| {}), Err(FinderError::Start(_))));
}

#[test]
fn a_short_run_out_of_gear_and_one_at_held_speed_are_searched_as_well() {
    for kind in 0..3 {
        let mut start = with(loose_spring(), "load", "kind", f64::from(kind));
        start.pedal.length_s = 0.9;
        let found = search(&start, &usual(&start));
        assert!(found.last().merit.pull.is_finite());
        assert!(!summary(&found, UnitSystem::Workshop).is_empty());
    }
}

/// Ten seconds on two cores are the aim; the bound leaves room for a busy machine.
#[test]
fn everything_that_is_offered_can_be_free_at_once() {
    let start = fresh("damped_lifted_rods");
    let free: Vec<Free> = offered(&start).into_iter().map(|(free, _)| free).collect();
    let begun = std::time::Instant::now();
    let found = search(&start, &free);
    println!(
        "{} free, {} runs in {:?}: {}",
        free.len(),
        found.trials.len(),
        begun.elapsed(),
        summary(&found, UnitSystem::Si)
    );
    assert!(begun.elapsed().as_secs() < 60);
    assert!(found.is_clean() && found.last().merit.pull >= found.first().merit.pull);
}
