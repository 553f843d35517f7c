//! Idle circuit, pump and opened carburettor as drawings.

#[path = "support/picture.rs"]
mod picture;
mod support;

use glam::DVec2;
use second_breath::bench::faults::{Fault, Faults, Mark, Part, Used};
use second_breath::bench::idling::{IdleTest, at_plate, idling, sweep};
use second_breath::bench::pump_test::PumpTest;
use second_breath::bench::run::run;
use second_breath::bench::scenario::Scenario;
use second_breath::carburettor::pump::{CamProfile, Pump};
use second_breath::content::fault_file;
use second_breath::families::FAMILIES;
use second_breath::scene::idle_bench::{self, IdleLayout};
use second_breath::scene::opened;
use second_breath::scene::pump_bench::{self, PumpLayout, WAY_M};
use second_breath::scene::{Role, Scene, Shape};
use second_breath::units::UnitSystem;

/// Every figure of a drawing that must be a number, and every label apart from its neighbours.
fn sound(scene: &Scene) {
    let mut points: Vec<DVec2> = Vec::new();
    for item in &scene.items {
        match &item.shape {
            Shape::Area(corners) | Shape::Stroke { points: corners, .. } => points.extend(corners),
            Shape::Disc { centre, radius } => points.push(*centre + *radius),
        }
    }
    points.extend(scene.labels.iter().flat_map(|label| [label.part, label.place]));
    points.extend(scene.sprays.iter().flat_map(|spray| [spray.from, spray.reach]));
    points.extend(scene.tints.iter().flat_map(|tint| tint.outline.iter().copied()));
    points.extend(scene.streams.iter().flat_map(|stream| stream.path.iter().map(|(point, half)| *point + *half)));
    assert!(points.iter().all(|point| point.is_finite()), "{points:?}");
    assert!(scene.streams.iter().all(|stream| stream.speeds.iter().all(|speed| speed.is_finite())));
    for (i, a) in scene.labels.iter().enumerate() {
        for b in &scene.labels[i + 1..] {
            assert!(a.place.distance(b.place) > 1e-4, "{} on {}", a.text, b.text);
        }
    }
}

fn strokes(scene: &Scene, role: Role) -> impl Iterator<Item = (&Vec<DVec2>, f64)> {
    scene.items.iter().filter(move |item| item.role == role).filter_map(|item| match &item.shape {
        Shape::Stroke { points, width } => Some((points, *width)),
        _ => None,
    })
}

fn pump_at(test: &PumpTest, time_s: f64) -> Scene {
    let run = test.run().expect("runs");
    pump_bench::draw(test, &run.shot, time_s, UnitSystem::Si)
}

#[test]
fn jets_leave_level_and_end_at_the_plate() {
    let test = PumpTest::default();
    let (layout, scene) = (PumpLayout::new(&test.pump), pump_at(&test, 0.4));
    let jet = |scene: &Scene| {
        let of_jet = |points: &[DVec2]| points[0].distance(layout.mouth) < 1e-9;
        strokes(scene, Role::Fuel).find(|(points, _)| of_jet(points)).map(|(points, width)| (points.clone(), width))
    };
    let (path, width) = jet(&scene).expect("a jet");
    assert_eq!(width, test.pump.shooter_m);
    let end = path[path.len() - 1] - layout.mouth;
    assert!((end.x - WAY_M).abs() < 1e-9, "{end}");
    // while the flow hardly changes the end has fallen as the label says; 10 %: the speed falls a little meanwhile
    let fall = test.run().expect("runs").shot.at(0.4).fall_m(WAY_M).expect("a jet");
    assert!((-end.y / fall - 1.0).abs() < 0.1, "{} {fall}", -end.y);
    assert!(path.windows(2).all(|pair| pair[1].y <= pair[0].y && pair[1].x > pair[0].x));
    assert!(jet(&pump_at(&test, 0.1)).is_none(), "nothing flies before the stab");
}

#[test]
fn the_roller_stands_on_the_cam_at_every_turn() {
    for profile in CamProfile::ALL {
        let pump = Pump { profile: *profile, ..Pump::default() };
        let middle = pump_bench::cam_middle(&PumpLayout::new(&pump));
        let height = |turn: f64| {
            let above = |points: Vec<DVec2>| {
                points
                    .into_iter()
                    .map(|p| p - middle)
                    .filter(|p| p.x.abs() < 1e-9 && p.y > 0.0)
                    .map(|p| p.y)
                    .fold(f64::NAN, f64::max)
            };
            above(pump_bench::cam(&pump, middle, turn))
        };
        // at multiples of a twenty-fourth a corner of the outline stands straight above the middle
        for turn in [0.25, 0.5, 1.0] {
            let lift = height(turn) - height(0.0);
            assert!((lift - pump.stroke_m() * profile.lift(turn)).abs() < 1e-9, "{profile:?} {turn}: {lift}");
        }
    }
}

#[test]
fn the_glass_holds_what_was_delivered() {
    let test = PumpTest::default();
    let layout = PumpLayout::new(&test.pump);
    let shot = test.run().expect("runs").shot;
    let scene = pump_bench::draw(&test, &shot, 2.4, UnitSystem::Si);
    let top = |role| {
        scene.items.iter().filter(move |item| item.role == role).filter_map(|item| match &item.shape {
            Shape::Area(corners) if corners.iter().all(|c| (c.x - layout.glass.x).abs() < 8.1e-3) => {
                corners.iter().map(|c| c.y).reduce(f64::max)
            }
            _ => None,
        })
    };
    let level = top(Role::Fuel).next().expect("fuel in the glass") - layout.glass.y;
    let delivered = shot.at(2.4).delivered_m3;
    assert!(delivered > test.pump.shot_m3, "two shots: {delivered}");
    assert!((level * PumpLayout::glass_m2() / delivered - 1.0).abs() < 1e-9, "{level}");
}

#[test]
fn every_pump_can_be_drawn() {
    let mut drawn = 0;
    for seed in 0..200 {
        let test = PumpTest::of(&support::random_scenario(seed));
        let run = test.run().unwrap_or_else(|error| panic!("{seed}: {error}: {test:?}"));
        for share in [0.1, 0.3, 0.6, 1.0] {
            let scene = pump_bench::draw(&test, &run.shot, share * test.pedal.end_s(), UnitSystem::Workshop);
            sound(&scene);
            drawn += 1;
        }
    }
    assert_eq!(drawn, 800);
}

fn idle_scene(test: &IdleTest, plate_rad: f64) -> Scene {
    let at = at_plate(test, plate_rad, test.hold.speed_rad_per_s).expect("balances");
    idle_bench::draw(test, &at, UnitSystem::Si)
}

#[test]
fn the_plates_edge_stands_against_the_slot_as_the_circuit_has_it() {
    let test = IdleTest::default();
    for angle in [0.16, 0.2, 0.3] {
        let layout = IdleLayout::new(&test, angle);
        let share = (layout.edge_y - layout.slot.0) / (layout.slot.1 - layout.slot.0);
        let ours = test.circuit().slot_share(angle);
        assert!((share.clamp(0.0, 1.0) - ours).abs() < 1e-9, "{angle}: {share} {ours}");
    }
    let closed = IdleLayout::new(&test, test.primary.closed_rad);
    assert!(closed.gap.abs() < 1e-12 && closed.edge_y.abs() < 1e-12, "{closed:?}");
}

#[test]
fn drops_leave_hole_and_slot_as_they_share_the_fuel() {
    let test = IdleTest::default();
    let at = idling(&test).expect("idles");
    let scene = idle_bench::draw(&test, &at, UnitSystem::Si);
    let flows: f64 = scene.sprays.iter().map(|spray| spray.flow_kg_per_s).sum();
    // a section shows one of two barrels
    assert!((2.0 * flows - at.idle_kg_per_s).abs() < 1e-12 && scene.sprays.len() == 2, "{:?}", scene.sprays);
    assert!(scene.sprays[0].from.y < scene.sprays[1].from.y, "the hole lies under the slot");
}

#[test]
fn every_idle_circuit_can_be_drawn() {
    let mut drawn = 0;
    for seed in 0..300 {
        let test = IdleTest::of(&support::random_scenario(seed));
        for at in sweep(&test, 3) {
            sound(&idle_bench::draw(&test, &at, UnitSystem::Workshop));
            drawn += 1;
        }
    }
    assert!(drawn > 600, "{drawn}");
}

fn shipped() -> Faults {
    fault_file::shipped().unwrap_or_else(|problems| panic!("{problems}"))
}

#[test]
fn every_part_that_can_be_drawn_is_opened_and_can_have_a_fault() {
    let faults = shipped();
    for part in Part::ALL {
        assert_eq!(faults.opened.iter().filter(|opened| opened.part == *part).count(), 1, "{part:?}");
        assert!(faults.all.iter().any(|fault| fault.part == *part), "{part:?}");
    }
    for mark in Mark::ALL {
        assert!(faults.all.iter().any(|fault| fault.mark == *mark), "{mark:?}");
    }
}

#[test]
fn a_carburettor_offers_the_faults_of_the_parts_that_it_has() {
    let faults = shipped();
    let offers = |family: &str, id: &str| faults.offered(&support::fresh(family)).iter().any(|fault| fault.id == id);
    assert!(offers("vacuum_diaphragm", "torn_diaphragm") && !offers("bare_link", "torn_diaphragm"));
    assert!(offers("spring_door", "stuck_door") && !offers("vacuum_diaphragm", "stuck_door"));
    assert!(offers("damped_fixed_jets", "torn_brake") && !offers("spring_door", "torn_brake"));
    let opens = |family: &str, part| faults.opened(&support::fresh(family)).iter().any(|opened| opened.part == part);
    assert!(opens("weighted_valve", Part::Door) && !opens("twin_pump", Part::Door));
    let without_bleed = support::with(Scenario::default(), "idle", "bleed", 0.3e-3);
    let blocked = faults.offered(&without_bleed).iter().any(|fault| fault.id == "blocked_bleed");
    assert!(!blocked, "a bleed at its least cannot be blocked further");
}

#[test]
fn a_fault_is_seen_where_its_part_is_opened_and_nowhere_else() {
    let faults = shipped();
    let mut seen = 0;
    for entry in FAMILIES {
        let scenario = Scenario::fresh(entry);
        for fault in faults.offered(&scenario) {
            for opened in faults.opened(&scenario) {
                let picture = |fault| opened::draw(&scenario, opened.part, fault, UnitSystem::Si);
                let (sound, faulty) = (picture(None), picture(Some(fault)));
                assert_eq!(sound.items != faulty.items, opened.part == fault.part, "{}: {}", entry.id, fault.id);
                seen += 1;
            }
        }
    }
    assert!(seen > 500, "{seen}");
}

#[test]
fn every_opened_part_can_be_drawn() {
    let faults = shipped();
    for seed in 0..60 {
        let scenario = support::random_scenario(seed);
        for opened in faults.opened(&scenario) {
            sound(&opened::draw(&scenario, opened.part, None, UnitSystem::Workshop));
        }
        for fault in faults.offered(&scenario) {
            sound(&opened::draw(&scenario, fault.part, Some(fault), UnitSystem::Si));
        }
    }
}

#[test]
fn a_seed_always_plants_the_same_and_no_setting_twice() {
    let faults = shipped();
    let ids =
        |seed| faults.planted(&Scenario::default(), seed, 4).iter().map(|fault| fault.id.clone()).collect::<Vec<_>>();
    assert_eq!(ids(7), ids(7));
    assert!((0..20).any(|seed| ids(seed) != ids(7)), "seeds differ");
    for seed in 0..50 {
        let planted = faults.planted(&Scenario::default(), seed, 4);
        assert_eq!(planted.len(), 4);
        let mut keys: Vec<_> = planted.iter().flat_map(|f| f.changes.iter().map(|c| (&c.group, &c.key))).collect();
        let count = keys.len();
        keys.sort();
        keys.dedup();
        assert_eq!(keys.len(), count, "{seed}");
    }
    assert!(faults.planted(&Scenario::default(), 1, 0).is_empty());
}

#[test]
fn a_used_one_has_one_to_three_faults_each_in_a_part_of_its_own() {
    let faults = shipped();
    for family in FAMILIES {
        let scenario = Scenario::fresh(family);
        let mut counts = [0; 4];
        for number in 1..60 {
            let found = faults.at_a_market(&scenario, number);
            assert_eq!(found, faults.at_a_market(&scenario, number), "a number is a carburettor");
            counts[found.len()] += 1;
            for (index, fault) in found.iter().enumerate() {
                assert!(found[..index].iter().all(|other| other.part != fault.part), "{}", fault.id);
                assert!(faults.opened(&scenario).iter().any(|opened| opened.part == fault.part), "{}", fault.id);
            }
        }
        assert!(counts[0] == 0 && counts[1..].iter().all(|count| *count > 5), "{counts:?}");
    }
}

/// Whatever the section names and one can open leads to a part of the walk.
#[test]
fn parts_that_the_section_names_open_what_the_walk_has() {
    let faults = shipped();
    for family in FAMILIES {
        let scenario = Scenario::fresh(family);
        let walk: Vec<Part> = faults.opened(&scenario).iter().map(|opened| opened.part).collect();
        let sample = second_breath::bench::trace::Sample::default();
        let scene = second_breath::scene::draw(&scenario, &sample);
        let opens: Vec<Part> = scene.parts().iter().filter_map(|(part, _)| opened::opens(part.id)).collect();
        for part in [Part::Jets, Part::Bowl, Part::Pump, Part::Shafts] {
            assert!(opens.contains(&part), "{}: {part:?}", family.id);
        }
        for part in opens {
            assert!(walk.contains(&part), "{}: {part:?} is not in the walk", family.id);
        }
    }
    assert_eq!(opened::opens("plenum"), None);
}

/// What the faults do on the road and at idle is what the equations make of the changed settings.
#[test]
fn faults_show_where_the_trade_says() {
    let faults = shipped();
    let with = |family: &str, id: &str| {
        let scenario = support::fresh(family);
        let fault = faults.fault(id).expect("a shipped fault");
        let sound = Used::sound(&scenario).behaviour().expect("runs");
        (sound, Used::with(&scenario, &[fault]).behaviour().expect("runs"))
    };
    let (sound, torn) = with("vacuum_diaphragm", "torn_diaphragm");
    assert!(sound.findings.device_starts_s.is_some() && torn.findings.device_starts_s.is_none());
    let (sound, cup) = with("bare_link", "hard_cup");
    assert!(cup.findings.lost_s > sound.findings.lost_s, "{:?} {:?}", sound.findings, cup.findings);
    let (sound, eaten) = with("bare_link", "eaten_jets");
    assert!(eaten.findings.least_lambda < sound.findings.least_lambda);
    let (sound, flange) = with("bare_link", "bowed_flange");
    let runs = |faults: &[&Fault]| run(&Used::with(&support::fresh("bare_link"), faults).scenario).expect("runs").trace;
    let (tight, leaking) = (runs(&[]), runs(&[faults.fault("bowed_flange").expect("a shipped fault")]));
    let change = |at_s: f64| leaking.at(at_s).lambda / tight.at(at_s).lambda - 1.0;
    assert!(change(0.0) > 0.03, "lean at a light cruise: {}", change(0.0));
    assert!(change(tight.end_s()).abs() < 0.01, "lost in all the air on the floor: {}", change(tight.end_s()));
    let lean =
        |behaviour: &second_breath::bench::faults::Behaviour| behaviour.idle.map_or(f64::INFINITY, |at| at.lambda);
    assert!(lean(&flange) > 1.05 * lean(&sound), "{:?}", flange.idle);
    let (sound, bleed) = with("bare_link", "blocked_bleed");
    assert!(lean(&bleed) < lean(&sound) || bleed.idle.is_err(), "{:?}", bleed.idle);
}

#[test]
fn a_bad_fault_file_tells_every_problem_with_its_line() {
    let text = "format_version = 1\n[[part]]\nid = \"jet\"\ntitle = \"T\"\nlook = \"L\"\nsound = \"S\"\nfaulty = \"F\"\n\
        [[fault]]\nid = \"x\"\nname = \"N\"\npart = \"jets\"\nmark = \"eaten\"\nseverity = \"mild\"\neye = \"E\"\n\
        [[fault.change]]\nkey = \"primary.main_jett\"\nfactor = 1.1\n[[fault.change]]\nkey = \"pump.shot\"\nvalue = \"9 mm\"\n";
    let problems = fault_file::parse(text, "own.toml").expect_err("bad");
    let told: Vec<_> = problems.0.iter().map(|problem| (problem.line, problem.key.as_str())).collect();
    assert_eq!(told, [(3, "id"), (8, "why"), (16, "key"), (20, "pump.shot")], "{problems}");
    assert!(problems.0[0].mend.contains("jets"), "{problems}");
}

/// With `SCENE_OUT` naming a folder, the drawings of this file as pictures.
fn keep(name: &str, scene: &Scene) {
    let Some(place) = std::env::var_os("SCENE_OUT").map(std::path::PathBuf::from) else { return };
    std::fs::create_dir_all(&place).expect("the folder can be made");
    std::fs::write(place.join(format!("{name}.svg")), picture::svg(scene, 2)).expect("it can be written");
}

#[test]
fn pictures_on_request() {
    let test = PumpTest::default();
    for (name, time) in [("rest", 0.1), ("shot", 0.4), ("refill", 1.1), ("end", 2.4)] {
        keep(&format!("pump-{name}"), &pump_at(&test, time));
    }
    let test = IdleTest::default();
    for (name, angle) in [("stop", test.stop_rad()), ("open", 0.3)] {
        keep(&format!("idle-{name}"), &idle_scene(&test, angle));
    }
    let faults = shipped();
    for family in ["vacuum_diaphragm", "damped_fixed_jets"] {
        let scenario = support::fresh(family);
        for fault in faults.offered(&scenario) {
            let scene = opened::draw(&scenario, fault.part, Some(fault), UnitSystem::Si);
            keep(&format!("opened-{family}-{}", fault.id), &scene);
        }
    }
}
