//! The section as a drawing.

#[path = "support/picture.rs"]
mod picture;

use glam::{DVec2, dvec2};
use picture::svg;
use proptest::prelude::*;
use proptest::strategy::ValueTree as _;
use second_breath::bench::run;
use second_breath::bench::scenario::Scenario;
use second_breath::bench::trace::Sample;
use second_breath::families::FAMILIES;
use second_breath::scene::layout::Layout;
use second_breath::scene::{self, DRAWINGS, Role, Scene, Shape};
use second_breath::settings::Kind;
use second_breath::settings::grouped::Grouped;
use std::collections::HashSet;

fn samples(scenario: &Scenario) -> Vec<(&'static str, Sample)> {
    let trace = run::run(scenario).expect("the default runs").trace;
    [("rest", 0.1), ("stab", 0.33), ("after", 0.6), ("end", trace.end_s())]
        .map(|(name, time)| (name, trace.at(time)))
        .to_vec()
}

#[test]
fn pictures_on_request() {
    let Some(place) = std::env::var_os("SCENE_OUT").map(std::path::PathBuf::from) else { return };
    std::fs::create_dir_all(&place).expect("the folder can be made");
    for entry in FAMILIES {
        let scenario = Scenario::fresh(entry);
        for (name, sample) in samples(&scenario) {
            let start = std::time::Instant::now();
            (0..1000).for_each(|_| drop(std::hint::black_box(scene::draw(&scenario, &sample))));
            println!("{} {name}: {:?} a scene", entry.id, start.elapsed() / 1000);
            for level in [0, 2] {
                let picture = svg(&scene::draw(&scenario, &sample), level);
                let file = format!("{}-{name}-{level}.svg", entry.id);
                std::fs::write(place.join(file), picture).expect("it can be written");
            }
        }
    }
}

fn entry(id: &str) -> &'static second_breath::families::Entry {
    second_breath::families::entry(id).expect("a family of this name")
}

fn layout(scenario: &Scenario) -> Layout {
    let (_, drawing) = DRAWINGS.iter().find(|(id, _)| *id == scenario.entry().id).expect("a drawing");
    Layout::new(scenario, &(drawing.fittings)(scenario))
}

fn set(scenario: &mut Scenario, group: &str, key: &str, value: f64) {
    let place = scenario.place(group, key).expect("the setting exists");
    scenario.set(place, value).expect("the value is accepted");
}

fn areas(scene: &Scene, role: Role) -> impl Iterator<Item = &Vec<DVec2>> {
    scene.items.iter().filter(move |item| item.role == role).filter_map(|item| match &item.shape {
        Shape::Area(points) => Some(points),
        _ => None,
    })
}

/// The blade that a drawing shows with its shaft at a point: the middles of its two short edges.
fn blade_at(scene: &Scene, shaft: DVec2) -> (DVec2, DVec2) {
    let ends = |points: &Vec<DVec2>| ((points[0] + points[1]) / 2.0, (points[2] + points[3]) / 2.0);
    areas(scene, Role::Part)
        .filter(|points| points.len() == 4)
        .map(ends)
        .filter(|(a, b)| a.distance(*b) > 12e-3)
        .find(|(a, b)| (shaft - *a).perp_dot(*b - *a).abs() / a.distance(*b) < 1e-9 && (shaft - *a).dot(*b - *a) > 0.0)
        .expect("a blade on that shaft")
}

/// Highest fuel between two x.
fn fuel_top(scene: &Scene, from: f64, to: f64) -> f64 {
    let middle = (from + to) / 2.0;
    areas(scene, Role::Fuel)
        .filter(|points| {
            let xs = points.iter().map(|point| point.x);
            xs.clone().fold(f64::MAX, f64::min) <= middle && xs.fold(f64::MIN, f64::max) >= middle
        })
        .flat_map(|points| points.iter().filter(|point| (from - 1e-9..=to + 1e-9).contains(&point.x)))
        .map(|point| point.y)
        .fold(f64::MIN, f64::max)
}

#[test]
fn every_family_has_a_drawing() {
    let families: HashSet<_> = FAMILIES.iter().map(|entry| entry.id).collect();
    let drawings: HashSet<_> = DRAWINGS.iter().map(|(id, _)| *id).collect();
    assert_eq!(families, drawings);
    assert_eq!(FAMILIES.len(), DRAWINGS.len());
}

#[test]
fn plates_stand_at_the_angles_of_the_sample() {
    let scenario = Scenario::default();
    let sample = Sample { primary_plate_rad: 0.7, secondary_plate_rad: 0.3, ..Sample::default() };
    let picture = scene::draw(&scenario, &sample);
    for (x, angle) in [(0.0, 0.7), (layout(&scenario).secondary.axis, 0.3)] {
        let (risen, sunk) = blade_at(&picture, dvec2(x, 0.0));
        let along = risen - sunk;
        assert!(along.x < 0.0, "the front edge rises");
        assert!((along.y.atan2(-along.x) - angle).abs() < 1e-9);
    }
}

#[test]
fn a_closed_plate_touches_the_bore() {
    let scenario = Scenario::default();
    let sample = Sample { primary_plate_rad: scenario.primary.closed_rad, ..Sample::default() };
    let (risen, _) = blade_at(&scene::draw(&scenario, &sample), DVec2::ZERO);
    assert!((risen.x + scenario.primary.bore_m / 2.0).abs() < 1e-9);
}

#[test]
fn level_falls_by_the_bowl_drop() {
    let scenario = Scenario::default();
    let rear = layout(&scenario).secondary;
    let (from, to) = (rear.axis + rear.bowl.0, rear.axis + rear.bowl.1);
    let top = |drop: f64| {
        let sample = Sample { secondary_bowl_drop_m: drop, ..Sample::default() };
        fuel_top(&scene::draw(&scenario, &sample), from, to)
    };
    assert!((top(0.0) - rear.level).abs() < 1e-9);
    assert!((top(0.0) - top(2e-3) - 2e-3).abs() < 1e-9);
}

#[test]
fn fuel_front_stands_at_the_share_of_the_lip_that_the_well_holds() {
    let scenario = Scenario::default();
    let rear = layout(&scenario).secondary;
    let (from, to) = (rear.axis + rear.well.0, rear.axis + rear.well.1);
    for share in [0.0, 0.25, 0.8, 1.0] {
        let sample = Sample { secondary_well: share, ..Sample::default() };
        let front = fuel_top(&scene::draw(&scenario, &sample), from, to);
        assert!((front - rear.level - share * scenario.secondary.lip_m).abs() < 1e-9, "{share}: {front}");
    }
}

#[test]
fn tip_of_the_door_lies_where_its_angle_says() {
    let scenario = Scenario::fresh(entry("counterweighted_door"));
    let mut sample = Sample::default();
    sample.own[0] = 0.9;
    let (shaft, size) = layout(&scenario).blade.expect("a door");
    let (tip, heel) = blade_at(&scene::draw(&scenario, &sample), shaft);
    let long = size.length / 2.0 + size.offset;
    assert!(tip.distance(shaft - long * dvec2(0.9f64.cos(), 0.9f64.sin())) < 1e-9);
    assert!((tip.distance(heel) - size.length).abs() < 1e-9);
}

#[test]
fn weight_is_level_behind_the_shaft_at_its_setting() {
    let scenario = Scenario::fresh(entry("counterweighted_door"));
    let mut sample = Sample::default();
    sample.own[0] = scene::family_value(&scenario, "ahead");
    let (shaft, _) = layout(&scenario).blade.expect("a door");
    let picture = scene::draw(&scenario, &sample);
    let weight = picture.items.iter().find_map(|item| match (&item.shape, item.role) {
        (Shape::Disc { centre, .. }, Role::Weight) => Some(*centre),
        _ => None,
    });
    let expected = shaft + dvec2(scene::family_value(&scenario, "arm"), 0.0);
    assert!(weight.expect("a weight").distance(expected) < 1e-9);
}

#[test]
fn barrel_is_as_wide_as_the_bore() {
    let width = |bore: f64| {
        let mut scenario = Scenario::default();
        set(&mut scenario, "primary", "bore", bore);
        let picture = scene::draw(&scenario, &Sample::default());
        // the wall between the barrels begins at the bore's foot
        let foot = layout(&scenario).base;
        let at_foot = |sign: f64| {
            let xs = areas(&picture, Role::CutMetal).flatten().filter(|point| (point.y - foot).abs() < 1e-9);
            xs.map(|point| sign * point.x).filter(|&x| x > 0.0).fold(f64::MAX, f64::min)
        };
        at_foot(1.0) + at_foot(-1.0)
    };
    assert!((width(45e-3) / width(36e-3) - 45.0 / 36.0).abs() < 1e-9);
}

#[test]
fn duration_spring_is_as_short_as_lever_less_plunger() {
    let scenario = Scenario::default();
    let length = |lever: f64, plunger: f64| {
        let sample = Sample { pump_lever: lever, pump_plunger: plunger, ..Sample::default() };
        let picture = scene::draw(&scenario, &sample);
        let spring = picture.items.iter().find_map(|item| match (&item.shape, item.role) {
            (Shape::Stroke { points, .. }, Role::Spring) => Some(points[points.len() - 1].y - points[0].y),
            _ => None,
        });
        spring.expect("a spring")
    };
    let stroke = scenario.pump.stroke_m();
    assert!((length(0.0, 0.0) - length(0.9, 0.3) - 0.6 * stroke).abs() < 1e-9);
    // a plunger that lags on its way up leaves the spring at its fitted length
    assert!((length(0.0, 0.0) - length(0.2, 0.5)).abs() < 1e-9);
}

#[test]
fn nothing_that_is_not_fitted_is_drawn() {
    let named = |scenario: &Scenario, text: &str| {
        scene::draw(scenario, &Sample::default()).labels.iter().any(|label| label.text == text)
    };
    let mut scenario = Scenario::default();
    assert!(named(&scenario, "Accelerator pump") && named(&scenario, "Enrichment valve"));
    assert!(!named(&scenario, "Second pump"));
    set(&mut scenario, "pump", "shot", 0.0);
    set(&mut scenario, "enrichment", "extra_area", 0.0);
    assert!(!named(&scenario, "Accelerator pump") && !named(&scenario, "Enrichment valve"));
    assert!(named(&Scenario::fresh(entry("twin_pump")), "Second pump"));
    assert!(!named(&Scenario::fresh(entry("damped_fixed_jets")), "Secondary booster"));
}

#[test]
fn still_air_has_no_streams_and_dry_nozzles_no_sprays() {
    for family in FAMILIES {
        let picture = scene::draw(&Scenario::fresh(family), &Sample::default());
        assert!(picture.streams.is_empty() && picture.sprays.is_empty(), "{}", family.id);
    }
}

#[test]
fn streams_of_a_barrel_carry_half_of_the_pair_at_the_speed_of_the_throat() {
    let scenario = Scenario::default();
    let trace = run::run(&scenario).expect("it runs").trace;
    let sample = trace.at(trace.end_s());
    let picture = scene::draw(&scenario, &sample);
    let flow: f64 = picture.streams.iter().map(|stream| stream.flow_kg_per_s).sum();
    let pairs = sample.primary_air_kg_per_s + sample.secondary_air_kg_per_s;
    assert!((flow / pairs - 0.5).abs() < 1e-9);
    let throat = layout(&scenario).primary.throat_y;
    let stream = &picture.streams[0];
    let at = stream.path.iter().position(|(point, _)| (point.y - throat).abs() < 1e-9).expect("a corner there");
    assert!((stream.speeds[at] / sample.primary_throat_m_per_s - 1.0).abs() < 1e-9);
}

/// Every number of a scene.
fn numbers(scene: &Scene) -> Vec<f64> {
    let mut points = vec![scene.bounds.0, scene.bounds.1];
    let mut others = Vec::new();
    for item in &scene.items {
        match &item.shape {
            Shape::Area(corners) => points.extend(corners),
            Shape::Stroke { points: corners, width } => {
                points.extend(corners);
                others.push(*width);
            }
            Shape::Disc { centre, radius } => {
                points.push(*centre);
                others.push(*radius);
            }
        }
    }
    for tint in &scene.tints {
        points.extend(&tint.outline);
        others.push(tint.depression_pa);
    }
    for stream in &scene.streams {
        assert_eq!(stream.path.len(), stream.speeds.len());
        points.extend(stream.path.iter().map(|corner| corner.0));
        others.extend(stream.path.iter().map(|corner| corner.1));
        others.extend(&stream.speeds);
    }
    for spray in &scene.sprays {
        points.extend([spray.from, spray.reach]);
        others.push(spray.flow_kg_per_s);
    }
    points.extend(scene.labels.iter().flat_map(|label| [label.part, label.place]));
    others.extend(points.iter().flat_map(|point| [point.x, point.y]));
    others
}

/// Names stand in two columns, one under the other, and each is said once.
fn names_are_apart(scene: &Scene) -> Result<(), String> {
    let height = scene.bounds.1.y - scene.bounds.0.y;
    for (i, label) in scene.labels.iter().enumerate() {
        for other in &scene.labels[i + 1..] {
            if label.text == other.text {
                return Err(format!("{} is said twice", label.text));
            }
            let same_column = (label.place.x - other.place.x).abs() < 1e-9;
            if same_column && (label.place.y - other.place.y).abs() < height / 26.0 {
                return Err(format!("{} overlaps {}", label.text, other.text));
            }
        }
    }
    Ok(())
}

#[test]
fn names_of_every_family_are_apart_and_said_once() {
    for family in FAMILIES {
        let scenario = Scenario::fresh(family);
        for (name, sample) in samples(&scenario) {
            let picture = scene::draw(&scenario, &sample);
            names_are_apart(&picture).unwrap_or_else(|what| panic!("{} {name}: {what}", family.id));
        }
    }
}

#[test]
fn pictures_of_odd_scenarios_on_request() {
    let Some(place) = std::env::var_os("SCENE_OUT").map(std::path::PathBuf::from) else { return };
    let mut runner = proptest::test_runner::TestRunner::deterministic();
    for number in 0..16 {
        let scenario = scenarios().new_tree(&mut runner).expect("a scenario").current();
        let shares: Vec<_> = (0..26).map(|i| f64::from(i * 7 % 10) / 10.0).collect();
        let picture = svg(&scene::draw(&scenario, &instant(&scenario, &shares)), 1);
        std::fs::write(place.join(format!("odd-{number}.svg")), picture).expect("it can be written");
    }
}

/// A scenario with every setting somewhere in its range, ends included.
fn scenarios() -> impl Strategy<Value = Scenario> {
    let share = prop_oneof![4 => 0.0..=1.0f64, 1 => Just(0.0), 1 => Just(1.0)];
    (0..FAMILIES.len(), proptest::collection::vec(share, 160)).prop_map(|(family, shares)| {
        let mut scenario = Scenario::fresh(&FAMILIES[family]);
        for (place, share) in scenario.places().into_iter().zip(shares) {
            let value = match scenario.setting(place).expect("a listed place").kind {
                Kind::Number { least, most, .. } => (least + (most - least) * share).clamp(least, most),
                Kind::Choice(words) => (share * (words.len() - 1) as f64).round(),
            };
            scenario.set(place, value).expect("in range");
        }
        scenario
    })
}

/// An instant that such a scenario could be in.
fn instant(scenario: &Scenario, shares: &[f64]) -> Sample {
    let share = |i: usize| shares[i % shares.len()];
    let own = |i: usize| match scenario.family().channels().get(i).map(|channel| channel.id) {
        Some("door_angle") => share(20) * scene::family_value(scenario, "open"),
        Some("diaphragm_travel") => share(20) * scene::family_value(scenario, "stroke"),
        Some("brake_travel") => share(21) * scene::family_value(scenario, "travel"),
        Some("brake_pressure") => 2e4 + share(22) * 8e4,
        _ => share(23) * 5e3,
    };
    Sample {
        primary_plate_rad: scenario.primary.plate().angle(share(0)),
        secondary_plate_rad: scenario.secondary.plate().angle(share(1)),
        device_opening: share(20),
        plenum_pa: 2e4 + share(2) * 8e4,
        primary_air_kg_per_s: share(3) * 0.2 - 0.02,
        secondary_air_kg_per_s: share(4) * 0.2 - 0.02,
        primary_throat_m_per_s: share(5) * 340.0,
        secondary_throat_m_per_s: share(6) * 340.0,
        primary_well: share(7) * 1.2 - 0.2,
        secondary_well: share(8) * 1.2 - 0.2,
        primary_main_kg_per_s: share(9) * 0.02,
        secondary_main_kg_per_s: share(10) * 0.02,
        idle_kg_per_s: share(11) * 1e-3,
        pump_kg_per_s: share(12) * 0.02,
        second_pump_kg_per_s: share(13) * 0.02,
        pump_plunger: share(14),
        pump_lever: share(15),
        second_pump_plunger: share(16),
        second_pump_lever: share(17),
        slot_share: share(18),
        enrichment_lift: share(19),
        primary_bowl_drop_m: share(24) * 0.2 - 0.01,
        secondary_bowl_drop_m: share(25) * 0.2 - 0.01,
        own: std::array::from_fn(own),
        ..Sample::default()
    }
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]
    #[test]
    fn every_coordinate_is_finite(scenario in scenarios(), shares in proptest::collection::vec(0.0..=1.0f64, 26)) {
        let picture = scene::draw(&scenario, &instant(&scenario, &shares));
        prop_assert!(!picture.items.is_empty());
        for number in numbers(&picture) {
            prop_assert!(number.is_finite());
        }
        if let Err(what) = names_are_apart(&picture) {
            prop_assert!(false, "{}", what);
        }
    }
}
