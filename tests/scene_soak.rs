//! The section of a parked carburettor as a drawing.

mod support;

use glam::DVec2;
use second_breath::heat::run::run;
use second_breath::heat::soak::Soak;
use second_breath::heat::trace::Sample;
use second_breath::scene::soak::{WIDTH_PER_WATT, draw};
use second_breath::scene::soak_plan::SoakPlan;
use second_breath::scene::{Item, Role, Scene, Shape, labels};
use second_breath::units::UnitSystem;

fn changed(change: impl Fn(&mut Soak)) -> Soak {
    let mut soak = Soak::default();
    change(&mut soak);
    soak
}

/// The moment at which most fuel runs over.
fn boiling(soak: &Soak) -> Sample {
    let run = run(soak).expect("the soak runs");
    let most = run.trace.samples.iter().max_by(|a, b| a.percolating_kg_per_s.total_cmp(&b.percolating_kg_per_s));
    *most.expect("samples")
}

fn cold(soak: &Soak) -> Sample {
    run(soak).expect("the soak runs").trace.at(0.0)
}

fn of_role(scene: &Scene, role: Role) -> Vec<&Item> {
    scene.items.iter().filter(|item| item.role == role).collect()
}

fn points(item: &Item) -> Vec<DVec2> {
    match &item.shape {
        Shape::Area(points) | Shape::Stroke { points, .. } => points.clone(),
        Shape::Disc { centre, radius } => vec![*centre - *radius, *centre + *radius],
    }
}

fn size(item: &Item) -> DVec2 {
    let all = points(item);
    let low = all.iter().copied().fold(DVec2::INFINITY, DVec2::min);
    all.into_iter().fold(DVec2::NEG_INFINITY, DVec2::max) - low
}

fn has_name(scene: &Scene, part: &str) -> bool {
    scene.labels.iter().any(|label| label.text.contains(part))
}

#[test]
fn what_has_dimensions_is_drawn_to_scale() {
    let soak = changed(|s| s.mounting.spacer_thickness_m = 0.025);
    let plan = SoakPlan::new(&soak);
    let (low, high) = plan.spacer.expect("a spacer");
    assert!((high - low - 0.025).abs() < 1e-12);
    assert!((plan.level - plan.bottom - soak.bowl.depth_m).abs() < 1e-12);
    assert!((plan.floor - soak.mounting.gap_m - 0.025).abs() < 1e-12);
    assert!((plan.nozzle.0 - plan.level - soak.wells.lip_m).abs() < 1e-12);
    assert!(((plan.bowl.1 - plan.bowl.0).powi(2) - soak.bowl.surface_m2).abs() < 1e-12);
    assert!(((2.0 * plan.joint).powi(2) - soak.mounting.joint_m2).abs() < 1e-9, "the joint");
    let sample = cold(&soak);
    let scene = draw(&soak, &sample, UnitSystem::Si);
    let fuel = of_role(&scene, Role::Fuel);
    let bowls: Vec<_> = fuel.iter().filter(|item| (size(item).x - (plan.bowl.1 - plan.bowl.0)).abs() < 1e-9).collect();
    assert_eq!(bowls.len(), 2);
    assert!(bowls.iter().all(|bowl| (size(bowl).y - sample.level_m).abs() < 1e-9), "the level is not the computed one");
}

/// Without studs all heat of the joint passes through its stack, half on either side. To rounding.
#[test]
fn arrows_are_as_wide_as_the_computed_watts() {
    let soak = changed(|s| (s.mounting.studs, s.mounting.floor_m2) = (0.0, 0.0));
    let sample = cold(&soak);
    let scene = draw(&soak, &sample, UnitSystem::Si);
    let shaft = |item: &&Item| {
        let p = points(item);
        p[0].distance(p[6]) / WIDTH_PER_WATT
    };
    let upward: f64 = of_role(&scene, Role::Heat)
        .iter()
        .filter(|item| points(item)[3].y > points(item)[0].y && points(item)[0].y < 0.0)
        .map(shaft)
        .sum();
    assert!((upward - sample.joint_w).abs() < 1e-6, "{upward} W drawn, {} W computed", sample.joint_w);
}

#[test]
fn heat_that_turns_round_has_its_arrow_turned() {
    let soak = Soak::default();
    let mut sample = cold(&soak);
    let toward_bowl = |sample: &Sample| {
        let scene = draw(&soak, sample, UnitSystem::Si);
        let plan = SoakPlan::new(&soak);
        let beside = of_role(&scene, Role::Heat)
            .into_iter()
            .find(|item| points(item).iter().all(|p| p.x >= plan.outside - 1e-9));
        points(beside.expect("an arrow beside the bowl"))[3].x
    };
    let inward = toward_bowl(&Sample { air_w: 10.0, ..sample });
    sample.air_w = -10.0;
    assert!(toward_bowl(&sample) > inward + 5e-3);
}

#[test]
fn bubbles_and_drops_follow_the_computed_vapour_and_flow() {
    let soak = Soak::default();
    let (still, boils) = (cold(&soak), boiling(&soak));
    let rings = |sample: &Sample| of_role(&draw(&soak, sample, UnitSystem::Si), Role::Vapour).len();
    let drops = |sample: &Sample| {
        let scene = draw(&soak, sample, UnitSystem::Si);
        of_role(&scene, Role::Fuel).into_iter().filter(|item| matches!(item.shape, Shape::Disc { .. })).count()
    };
    assert_eq!(drops(&still), 0);
    assert!(drops(&boils) > 0 && rings(&boils) > rings(&still));
    let less = Sample { percolating_kg_per_s: 0.3 * boils.percolating_kg_per_s, ..boils };
    assert!(drops(&less) < drops(&boils));
    let fewer = Sample { bubble_share: 0.3 * boils.bubble_share, ..boils };
    assert!(rings(&fewer) < rings(&boils));
}

#[test]
fn fuel_stands_higher_in_a_well_with_bubbles_and_not_in_one_that_is_dry() {
    let soak = Soak::default();
    let plan = SoakPlan::new(&soak);
    let height = |sample: &Sample| {
        let scene = draw(&soak, sample, UnitSystem::Si);
        let well = of_role(&scene, Role::Fuel)
            .into_iter()
            .find(|item| (size(item).x - soak.wells.well_m).abs() < 1e-9 && points(item).iter().all(|p| p.x > 0.0));
        well.map(|item| size(item).y)
    };
    let sample = cold(&soak);
    let still = height(&sample).expect("fuel in the well");
    assert!((still - sample.over_jets_m - 0.5 * plan.jet.1).abs() < 1e-9, "{still}");
    assert!(height(&Sample { bubble_share: 0.1, ..sample }).expect("fuel in the well") > still + 1e-3);
    assert_eq!(height(&Sample { over_jets_m: -1e-3, ..sample }), None);
}

#[test]
fn a_part_that_is_absent_is_not_drawn() {
    let bare = changed(|s| (s.mounting.studs, s.wells.barrels) = (0.0, 1.0));
    let full = changed(|s| {
        (s.mounting.spacer_thickness_m, s.mounting.shield) = (0.025, second_breath::heat::materials::Shield::Bright)
    });
    let sample = cold(&Soak::default());
    let (bare, full) = (draw(&bare, &sample, UnitSystem::Si), draw(&full, &sample, UnitSystem::Si));
    for part in ["Studs", "Phenolic"] {
        assert!(!has_name(&bare, part), "{part} is named and absent");
        assert!(has_name(&full, part), "{part} is not named");
    }
    assert!(of_role(&full, Role::Part).len() > of_role(&bare, Role::Part).len() + 4);
    assert_eq!(of_role(&bare, Role::Weight).len() + 1, of_role(&full, Role::Weight).len(), "the second gasket");
    assert!(!has_name(&full, "Over "), "nothing runs over, and it is named");
}

#[test]
fn each_store_has_its_own_temperature() {
    let sample = Sample {
        block_k: 301.0,
        exhaust_k: 302.0,
        manifold_k: 303.0,
        base_k: 304.0,
        body_k: 305.0,
        pump_k: 306.0,
        bay_k: 307.0,
        ..cold(&Soak::default())
    };
    let scene = draw(&Soak::default(), &sample, UnitSystem::Si);
    let mut seen: Vec<f64> = scene.warmths.iter().map(|warmth| warmth.temperature_k).collect();
    seen.sort_by(f64::total_cmp);
    assert_eq!(seen, [301.0, 302.0, 303.0, 304.0, 305.0, 306.0, 307.0]);
}

/// Every setting anywhere in its range, every figure of the trace within what a soak can do.
#[test]
fn drawings_are_finite_and_named_apart_for_every_accepted_setting() {
    let base = boiling(&Soak::default());
    for seed in 0..2000 {
        let mut random = fastrand::Rng::with_seed(seed);
        let mut soak = Soak::default();
        support::scatter(&mut soak, &mut random);
        let mut sample = base;
        sample.level_m = soak.bowl.depth_m * random.f64() * 1.2;
        sample.over_jets_m = sample.level_m - (1.0 - soak.wells.depth_share) * soak.bowl.depth_m;
        sample.bubble_share = random.f64();
        sample.puddle_kg = random.f64() * 0.3;
        sample.percolating_kg_per_s = random.f64() * 1e-3;
        for watts in [&mut sample.joint_w, &mut sample.casting_w, &mut sample.gap_w, &mut sample.air_w] {
            *watts = 400.0 * (random.f64() - 0.3);
        }
        let scene = draw(&soak, &sample, UnitSystem::Workshop);
        let (low, high) = scene.bounds;
        assert!(low.is_finite() && high.is_finite() && (high - low).max_element() < 1.5, "seed {seed}: {low} {high}");
        let all = scene.items.iter().flat_map(points).chain(scene.warmths.iter().flat_map(|w| w.outline.clone()));
        assert!(all.into_iter().all(|point| point.is_finite()), "seed {seed}");
        let pitch = 0.6 * labels::row_pitch(&scene);
        for (i, one) in scene.labels.iter().enumerate() {
            let together = scene.labels[i + 1..].iter().filter(|other| other.place.x == one.place.x);
            for other in together {
                assert!((one.place.y - other.place.y).abs() > pitch, "seed {seed}: {} {}", one.text, other.text);
            }
        }
    }
}

#[test]
fn names_touch_their_parts() {
    let soak = changed(|s| s.mounting.spacer_thickness_m = 0.025);
    let scene = draw(&soak, &boiling(&soak), UnitSystem::Si);
    let (low, high) = scene.bounds;
    for label in &scene.labels {
        let inside = label.part.cmpge(low).all() && label.part.cmple(high).all();
        assert!(inside, "{} points outside the drawing", label.text);
    }
    let plan = SoakPlan::new(&soak);
    let spacer = scene.labels.iter().find(|label| label.text.starts_with("Phenolic")).expect("a spacer");
    let (from, to) = plan.spacer.expect("a spacer");
    assert!((from..to).contains(&spacer.part.y) && spacer.part.x.abs() <= plan.joint);
}
