//! One 2.5 s stab for each family, sampled for drawing, on one core, and a whole map on all cores:
//! `cargo bench --bench run`.

use divan::{Bencher, black_box};
use second_breath::bench::findings::findings;
use second_breath::bench::run::run;
use second_breath::bench::scenario::Scenario;
use second_breath::bench::sweep::{Axis, MOST_STEPS, whole};
use second_breath::families::FAMILIES;
use second_breath::scene;
use second_breath::settings::grouped::Grouped;

fn main() {
    divan::main();
}

const FAMILY_IDS: &[&str] = &[
    "bare_link",
    "twin_pump",
    "vacuum_diaphragm",
    "counterweighted_door",
    "spring_door",
    "damped_lifted_rods",
    "damped_fixed_jets",
    "weighted_valve",
];

fn fresh(id: &str) -> Scenario {
    Scenario::fresh(FAMILIES.iter().find(|entry| entry.id == id).expect("a listed family"))
}

#[divan::bench(args = FAMILY_IDS)]
fn one_stab(bencher: Bencher<'_, '_>, id: &str) {
    let scenario = fresh(id);
    bencher.bench_local(|| run(black_box(&scenario)).expect("runs"));
}

#[divan::bench]
fn findings_of_a_run(bencher: Bencher<'_, '_>) {
    let scenario = fresh("spring_door");
    let run = run(&scenario).expect("runs");
    bencher.bench_local(|| findings(black_box(&scenario), black_box(&run)));
}

#[divan::bench(args = FAMILY_IDS)]
fn one_drawing(bencher: Bencher<'_, '_>, id: &str) {
    let scenario = fresh(id);
    let sample = run(&scenario).expect("runs").trace.at(0.4);
    bencher.bench_local(|| scene::draw(black_box(&scenario), black_box(&sample)));
}

/// The largest map, and the coarse one that is there first, on all cores.
#[divan::bench(args = [8, MOST_STEPS], sample_count = 3, sample_size = 1)]
fn one_map(bencher: Bencher<'_, '_>, steps: usize) {
    let scenario = fresh("spring_door");
    let axis = |group, key| {
        let place = scenario.place(group, key).expect("a place");
        Axis::around(&scenario, place, steps).expect("a number")
    };
    let axes = [axis("family", "wind_up"), axis("pedal", "stab")];
    bencher.bench_local(|| whole(black_box(scenario.clone()), axes).expect("a map"));
}
