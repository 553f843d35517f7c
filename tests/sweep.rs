//! Maps: the same results as single runs, holes, cancelling, contour lines checked by hand, and the files.

mod support;

use second_breath::bench::events::{EventKind, first};
use second_breath::bench::findings::{FINDINGS, findings};
use second_breath::bench::run::{COARSE_S, run_with};
use second_breath::bench::scenario::{Place, Scenario};
use second_breath::bench::sweep::chart::{Chart, Shade, axis_ticks};
use second_breath::bench::sweep::contour::{Field, decimals, levels};
use second_breath::bench::sweep::{Axis, Found, Map, Refused, point, sweep, whole};
use second_breath::bench::verdict::{BEGINS_S, Verdict};
use second_breath::content::map::{csv, svg::svg};
use second_breath::families::FAMILIES;
use second_breath::settings::Kind;
use second_breath::settings::grouped::Grouped;
use second_breath::solver::hybrid::Control;
use second_breath::units::{Quantity, UnitSystem};
use std::collections::HashSet;
use std::sync::Mutex;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use support::{fresh, with};

/// A run short enough that a small map costs little.
fn short(family: &str) -> Scenario {
    with(fresh(family), "pedal", "length", 0.8)
}

fn axis(scenario: &Scenario, group: &str, key: &str, (from, to): (f64, f64), steps: usize) -> Axis {
    Axis { place: scenario.place(group, key).expect("a place"), from, to, steps }
}

fn small(steps: usize) -> Map {
    let scenario = short("bare_link");
    let stab = axis(&scenario, "pedal", "stab", (0.05, 1.0), steps);
    let jet = axis(&scenario, "secondary", "main_jet", (1.2e-3, 2.2e-3), steps);
    Map::new(scenario, [stab, jet]).expect("a map")
}

#[test]
fn a_point_is_the_same_as_a_run_of_its_own() {
    let map = small(3);
    let map = whole(map.scenario.clone(), map.axes).expect("a map");
    for (column, row) in [(0, 0), (1, 2), (2, 1), (2, 2)] {
        let mut scenario = map.scenario.clone();
        scenario.set(map.axes[0].place, map.axes[0].value(column)).expect("accepted");
        scenario.set(map.axes[1].place, map.axes[1].value(row)).expect("accepted");
        let run = run_with(&scenario, COARSE_S, Control::default()).expect("runs");
        let stalled = first(&run.events, EventKind::Stalls, 0.0).is_some();
        let expected = Found { findings: findings(&scenario, &run), stalled };
        assert_eq!(map.point(column, row), Some(&Ok(expected)));
    }
    assert_eq!(map.progress(), (9, 9));
    assert_eq!(map.point(3, 0), None, "outside the map there is nothing");
}

#[test]
fn any_number_of_threads_gives_the_same_bits() {
    let map = small(5);
    let on = |threads: usize| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().expect("threads");
        let map = pool.install(|| whole(map.scenario.clone(), map.axes)).expect("a map");
        (0..25).map(|i| map.point(i % 5, i / 5).cloned()).collect::<Vec<_>>()
    };
    let alone = on(1);
    assert!(alone.iter().all(Option::is_some));
    assert_eq!(on(2), alone);
    assert_eq!(on(7), alone);
}

#[test]
fn lattices_run_every_point_once_and_the_coarse_one_first() {
    for (across, up) in [(64, 64), (2, 2), (9, 3), (33, 64), (5, 60)] {
        let scenario = short("bare_link");
        let stab = axis(&scenario, "pedal", "stab", (0.05, 1.0), across);
        let jet = axis(&scenario, "secondary", "main_jet", (1.2e-3, 2.2e-3), up);
        let map = Map::new(scenario, [stab, jet]).expect("a map");
        let lattices: Vec<_> = map.strides().into_iter().map(|stride| map.new_points(stride)).collect();
        assert!(lattices[0].len() <= 64, "{across} × {up} begins with {}", lattices[0].len());
        let all: Vec<_> = lattices.concat();
        assert_eq!(all.len(), across * up);
        assert_eq!(all.iter().collect::<HashSet<_>>().len(), all.len(), "a point is run twice");
    }
}

#[test]
fn a_cancelled_map_begins_no_further_run_and_keeps_what_it_has() {
    let map = small(16);
    let (cancelled, run) = (AtomicBool::new(false), AtomicUsize::new(0));
    let done = sweep(&map, &cancelled, |_, _| {
        if run.fetch_add(1, Ordering::Relaxed) == 4 {
            cancelled.store(true, Ordering::Relaxed);
        }
    });
    // those that were under way on other threads come to their end
    let most = 5 + rayon::current_num_threads();
    assert!(!done && run.load(Ordering::Relaxed) <= most, "{} runs", run.load(Ordering::Relaxed));
    let none = AtomicUsize::new(0);
    assert!(!sweep(&map, &AtomicBool::new(true), |_, _| {
        none.fetch_add(1, Ordering::Relaxed);
    }));
    assert_eq!(none.load(Ordering::Relaxed), 0);
}

#[test]
fn what_has_been_run_is_not_run_again_and_stands_for_its_neighbours() {
    let mut map = small(16);
    assert_eq!((map.finished(), map.stand_in(5, 5)), (None, None));
    for (column, row) in map.new_points(2) {
        map.put((column, row), Err("left out".to_owned()));
    }
    assert_eq!(map.finished(), Some(2));
    assert_eq!(map.stand_in(4, 4), Some((4, 4)));
    assert_eq!(map.stand_in(5, 15), Some((6, 14)));
    let run = Mutex::new(Vec::new());
    assert!(sweep(&map, &AtomicBool::new(false), |at, _| run.lock().expect("a lock").push(at)));
    let run = run.into_inner().expect("a lock");
    assert_eq!(run.len(), 16 * 16 - 64);
    assert!(run.iter().all(|(column, row)| column % 2 == 1 || row % 2 == 1));
}

#[test]
fn a_refused_point_is_a_hole_with_its_reason() {
    let mut map = small(3);
    // as a scenario that came from elsewhere might be
    map.scenario.engine.displacement_m3 = -1.0;
    let refused = point(&map, 1, 1).expect_err("no run");
    assert!(refused.contains("engine.displacement"), "{refused}");
    assert!(sweep(&map.clone(), &AtomicBool::new(false), |_, point| assert!(point.is_err())));
    map.put((1, 1), Err(refused));
    let chart = Chart::of(&map, &FINDINGS[0], UnitSystem::Si);
    assert_eq!(chart.shades[4], Shade::Hole);
    assert!(chart.contours.is_empty() && chart.boundaries.is_empty() && chart.range.is_none());
    let table = csv(&map);
    assert!(table.lines().nth(1).expect("a row").contains("engine.displacement"), "{table}");
    map.put((1, 1), Err("one, \"two\"\nthree".to_owned()));
    let table = csv(&map);
    let row = ::csv::Reader::from_reader(table.as_bytes()).into_records().next().expect("a row").expect("readable");
    assert_eq!(row.iter().next_back(), Some("one, \"two\"\nthree"));
}

#[test]
fn axes_that_cannot_be_are_refused_with_the_mend() {
    let scenario = short("bare_link");
    let good = axis(&scenario, "pedal", "stab", (0.05, 1.0), 8);
    let other = axis(&scenario, "secondary", "main_jet", (1.2e-3, 2.2e-3), 8);
    let refused = |axis: Axis| Map::new(scenario.clone(), [axis, other]).expect_err("refused").to_string();
    assert!(refused(Axis { to: 99.0, ..good }).contains("pedal.stab: 99000 ms is not accepted; give 20 ms to 2000 ms"));
    assert!(refused(Axis { to: f64::NAN, ..good }).contains("pedal.stab"));
    assert!(refused(Axis { from: 1.0, to: 0.1, ..good }).contains("smaller value first"));
    assert!(refused(Axis { steps: 65, ..good }).contains("give 2 to 64"));
    assert!(refused(Axis { steps: 0, ..good }).contains("give 2 to 64"));
    assert!(refused(other).contains("choose two settings"));
    assert_eq!(
        Map::new(scenario.clone(), [Axis { place: Place { group: 0, index: 99 }, ..good }, other])
            .expect_err("refused"),
        Refused::NoSuchPlace
    );
    let word = scenario
        .places()
        .into_iter()
        .find(|place| scenario.setting(*place).is_some_and(|setting| matches!(setting.kind, Kind::Choice(_))))
        .expect("a setting with words");
    assert!(refused(Axis { place: word, ..good }).contains("takes words"));
    assert_eq!(Axis::around(&scenario, word, 8), None);
}

#[test]
fn every_numeric_setting_of_every_family_has_a_range_to_start_with() {
    for entry in FAMILIES {
        let scenario = Scenario::fresh(entry);
        let numeric: Vec<Axis> =
            scenario.places().into_iter().filter_map(|place| Axis::around(&scenario, place, 64)).collect();
        for pair in numeric.windows(2) {
            Map::new(scenario.clone(), [pair[0], pair[1]]).unwrap_or_else(|error| panic!("{}: {error}", entry.id));
            let now = pair[0].step_of(scenario.value(pair[0].place).expect("a value"));
            assert!((-1.0..=64.0).contains(&now), "{} {:?} begins far away", entry.id, pair[0]);
        }
    }
}

#[test]
fn an_axis_ends_where_it_was_told_to_and_finds_its_own_values() {
    let axis = Axis { place: Place { group: 1, index: 0 }, from: 0.1, to: 0.7, steps: 7 };
    assert_eq!((axis.value(0), axis.value(6), axis.value(99)), (0.1, 0.7, 0.7));
    assert!((axis.value(2) - 0.3).abs() < 1e-15 && (axis.step_of(0.3) - 2.0).abs() < 1e-12);
    assert!((axis.step_of(0.05) + 0.5).abs() < 1e-12);
}

#[test]
fn a_map_belongs_to_a_scenario_whatever_its_two_settings_are() {
    let map = small(3);
    let moved = with(map.scenario.clone(), "pedal", "stab", 0.3);
    assert!(map.is_of(&moved));
    assert!(!map.is_of(&with(moved, "engine", "displacement", 5e-3)));
    assert!(!map.is_of(&short("twin_pump")));
}

/// By hand: along the lower edge 0 → 4 passes 1 at a quarter; along the upper edge 0 → 2 passes it half way.
#[test]
fn a_line_through_one_square_goes_where_the_hand_says() {
    let field = Field::new(2, 2, |column, row| [[0.0, 4.0], [0.0, 2.0]][row][column]);
    assert_eq!(field.contour(1.0), [[[0.25, 0.0], [0.5, 1.0]]]);
    assert!(field.contour(5.0).is_empty() && field.contour(-1.0).is_empty());
    assert_eq!(field.range(), Some((0.0, 4.0)));
}

/// A saddle, 2 at lower left and upper right, 0 at the others. Its middle is the mean of the corners, 1: at level 0.8 it
/// is inside, so that the high corners hang together and the low ones are cut off; at 1.2 it is the other way round.
#[test]
fn a_saddle_is_parted_by_its_middle() {
    let field = Field::new(2, 2, |column, row| if column == row { 2.0 } else { 0.0 });
    let ends = |level: f64| {
        let mut lines = field.contour(level);
        assert_eq!(lines.len(), 2);
        for line in &mut lines {
            line.sort_by(|a, b| a[0].total_cmp(&b[0]));
        }
        lines.sort_by(|a, b| a[0][0].total_cmp(&b[0][0]).then(a[0][1].total_cmp(&b[0][1])));
        lines
    };
    // upper left cut off: from the left edge at 0.6 up to the top edge at 0.4; lower right: bottom at 0.6, right at 0.4
    let cut = ends(0.8);
    assert!(near(&cut[0], &[[0.0, 0.6], [0.4, 1.0]]) && near(&cut[1], &[[0.6, 0.0], [1.0, 0.4]]), "{cut:?}");
    // lower left cut off: left edge at 0.4, bottom at 0.4; upper right: top at 0.6, right at 0.6
    let cut = ends(1.2);
    assert!(near(&cut[0], &[[0.0, 0.4], [0.4, 0.0]]) && near(&cut[1], &[[0.6, 1.0], [1.0, 0.6]]), "{cut:?}");
}

fn near(line: &[[f64; 2]], expected: &[[f64; 2]]) -> bool {
    line.len() == expected.len()
        && line.iter().zip(expected).all(|(a, b)| (a[0] - b[0]).abs() < 1e-12 && (a[1] - b[1]).abs() < 1e-12)
}

#[test]
fn a_hill_gives_one_closed_line_and_a_slope_one_open_line() {
    let hill = Field::new(3, 3, |column, row| if (column, row) == (1, 1) { 1.0 } else { 0.0 });
    let lines = hill.contour(0.5);
    assert_eq!(lines.len(), 1);
    assert_eq!((lines[0].len(), lines[0].first()), (5, lines[0].last()));
    let slope = Field::new(4, 5, |column, _| column as f64);
    let lines = slope.contour(1.5);
    assert_eq!(lines.len(), 1);
    assert!(lines[0].len() == 5 && lines[0].iter().all(|place| place[0] == 1.5));
    // a level that a row of points has exactly does not fork there
    assert_eq!(slope.contour(2.0).len(), 1);
    let flat = Field::new(4, 4, |_, _| 3.0);
    assert!(flat.contour(3.0).is_empty());
}

#[test]
fn no_line_touches_a_hole_and_a_category_is_passed_half_way() {
    let holed = Field::new(3, 2, |column, row| if (column, row) == (2, 0) { f64::NAN } else { row as f64 });
    assert_eq!(holed.contour(0.25), [[[0.0, 0.25], [1.0, 0.25]]]);
    assert_eq!(holed.range(), Some((0.0, 1.0)));
    let stalled = Field::new(2, 2, |column, _| if column == 1 { f64::INFINITY } else { 0.1 });
    assert_eq!(stalled.contour(0.6), [[[0.5, 0.0], [0.5, 1.0]]]);
    assert_eq!(stalled.range(), Some((0.1, 0.1)));
}

#[test]
fn levels_are_round_and_lie_between_the_ends() {
    let close = |a: &[f64], b: &[f64]| a.len() == b.len() && a.iter().zip(b).all(|(a, b)| (a - b).abs() < 1e-12);
    assert!(close(&levels(0.0, 1.0, 5), &[0.2, 0.4, 0.6, 0.8]));
    assert!(close(&levels(-3.0, 4.0, 4), &[-2.0, 0.0, 2.0]));
    assert!(close(&levels(83.0, 312.0, 5), &[100.0, 150.0, 200.0, 250.0, 300.0]));
    for (least, most) in [(1.0, 1.0), (2.0, 1.0), (f64::NAN, 1.0), (0.0, f64::INFINITY)] {
        assert!(levels(least, most, 5).is_empty());
    }
    assert!(levels(1.0, 1.0 + 1e-15, 5).len() < 14, "a range of rounding noise ends");
    assert_eq!((decimals(&[0.2, 0.4]), decimals(&[100.0, 150.0]), decimals(&[0.25])), (1, 0, 1));
}

#[test]
fn axis_figures_follow_the_units() {
    let axis = Axis { place: Place { group: 1, index: 0 }, from: 273.15, to: 313.15, steps: 5 };
    let ticks = axis_ticks(&axis, Quantity::Temperature, UnitSystem::Si, 4);
    let texts: Vec<_> = ticks.iter().map(|(_, text)| text.as_str()).collect();
    assert_eq!(texts, ["0", "10", "20", "30", "40"]);
    assert!((ticks[1].0 - 1.0).abs() < 1e-9);
    let fahrenheit = axis_ticks(&axis, Quantity::Temperature, UnitSystem::Workshop, 4);
    assert_eq!(fahrenheit[0].1, "40");
}

/// A map with a lost time that rises to the right, and a last column in which the engine stalls at little lost time.
fn made_up() -> Map {
    let mut map = small(6);
    let Ok(found) = point(&map, 0, 0) else { panic!("it runs") };
    for row in 0..6 {
        for column in 0..6 {
            let stalled = column == 5;
            let lost_s = if stalled { 0.01 } else { 0.04 * column as f64 };
            let mut findings = found.findings;
            findings.lost_s = Some(lost_s);
            findings.verdict = Verdict::of(lost_s, stalled);
            map.put((column, row), Ok(Found { findings, stalled }));
        }
    }
    map
}

#[test]
fn verdicts_are_parted_at_their_thresholds_and_at_a_stall() {
    let map = made_up();
    let chart = Chart::of(&map, &FINDINGS[0], UnitSystem::Si);
    let at: Vec<(Verdict, f64)> = chart.boundaries.iter().map(|b| (b.begins, b.lines[0][0][0])).collect();
    assert_eq!(
        at.iter().map(|(verdict, _)| *verdict).collect::<Vec<_>>(),
        BEGINS_S[1..].iter().map(|b| b.0).collect::<Vec<_>>()
    );
    // 0.06 s lies half way between columns 1 and 2, 0.13 s a quarter past column 3; the stall half way to column 5
    assert!((at[0].1 - 1.5).abs() < 1e-9 && (at[1].1 - 3.25).abs() < 1e-9 && (at[2].1 - 4.5).abs() < 1e-9, "{at:?}");
    let sides = chart.sides(&map, Verdict::Hesitates, &chart.boundaries[0].lines[0], 0).expect("two sides");
    assert_eq!((sides.better, sides.worse, sides.towards), (Verdict::Clean, Verdict::Hesitates, [1.0, 0.0]));
    let sides = chart.sides(&map, Verdict::Dies, &chart.boundaries[2].lines[0], 2).expect("two sides");
    assert_eq!((sides.better, sides.worse), (Verdict::Bogs, Verdict::Dies));
    assert!(chart.sides(&map, Verdict::Bogs, &vec![[0.0, 0.0]], 0).is_none());
    // 0 to 160 ms, both ends without a line
    let contours: Vec<_> = chart.contours.iter().map(|contour| contour.text.as_str()).collect();
    assert_eq!(contours, ["20", "40", "60", "80", "100", "120", "140"]);
}

#[test]
fn the_table_has_a_row_a_point_with_every_finding_and_units_in_its_heading() {
    let map = small(3);
    let map = whole(map.scenario.clone(), map.axes).expect("a map");
    let text = csv(&map);
    assert!(text.lines().count() == 10 && text.matches("\r\n").count() == 10, "lines end as RFC 4180 says");
    let mut table = ::csv::Reader::from_reader(text.as_bytes());
    let heading = table.headers().expect("a heading").clone();
    assert_eq!(heading.len(), 2 + FINDINGS.len() + 3);
    for (place, name) in
        [(0, "pedal.stab (ms)"), (1, "secondary.main_jet (mm)"), (2, "lost (ms)"), (3, "lost_torque_time (N·m·s)")]
    {
        assert_eq!(&heading[place], name);
    }
    let rows: Vec<_> = table.records().map(|row| row.expect("a row")).collect();
    assert_eq!((&rows[0][0], &rows[0][1], &rows[8][0], &rows[8][1]), ("50", "1.2", "1000", "2.2"));
    let Some(Ok(found)) = map.point(2, 2) else { panic!("it runs") };
    assert_eq!(
        rows[8][2].parse::<f64>().ok(),
        found.findings.lost_s.map(|s| second_breath::units::rounded(s * 1e3, 9))
    );
    assert_eq!(&rows[8][2 + FINDINGS.len()], found.findings.verdict.id());
    // a bare link has no device to start
    let device = heading.iter().position(|name| name == "device_starts (ms)").expect("a column");
    assert!(rows.iter().all(|row| row[device].is_empty()));
}

#[test]
fn the_picture_holds_the_lines_and_survives_any_title() {
    let mut map = made_up();
    "<Wagon> & \"pump\"\u{7}".clone_into(&mut map.scenario.title);
    let picture = svg(&map, &FINDINGS[0], UnitSystem::Workshop);
    assert!(picture.starts_with("<svg ") && picture.ends_with("</svg>\n"));
    for part in [
        "&lt;Wagon&gt; &amp; &quot;pump&quot;",
        ">hesitates<",
        ">bogs<",
        ">dies<",
        "Pedal: Stab takes (ms)",
        "Main jet",
    ] {
        assert!(picture.contains(part), "{part}");
    }
    assert_eq!(picture.matches("<rect ").count(), 36 + 60 + 3, "cells, scale, ground, clip and frame");
    assert!(!picture.contains('\u{7}') && !picture.contains("NaN"));
    // nothing run yet is a picture too
    assert!(svg(&small(3), &FINDINGS[0], UnitSystem::Si).ends_with("</svg>\n"));
}
