//! Runs leave nothing behind. A process of its own, so that no other test's memory is counted.
#![cfg(target_os = "linux")]

use rayon::prelude::*;
use second_breath::bench::findings::findings;
use second_breath::bench::run::{COARSE_S, run_with};
use second_breath::bench::scenario::Scenario;
use second_breath::families::FAMILIES;
use second_breath::solver::hybrid::Control;

/// Memory of this process that is in use, in bytes.
fn resident() -> u64 {
    let pages = std::fs::read_to_string("/proc/self/statm").expect("Linux tells it");
    let pages: u64 = pages.split_whitespace().nth(1).and_then(|pages| pages.parse().ok()).expect("a number");
    pages * 4096
}

fn runs(count: usize) {
    (0..count).into_par_iter().for_each(|i| {
        let scenario = Scenario::fresh(&FAMILIES[i % FAMILIES.len()]);
        let run = run_with(&scenario, COARSE_S, Control::default()).expect("runs");
        assert!(findings(&scenario, &run).lost_s.is_some());
    });
}

/// Growth over `count` runs once the threads have what they need, in bytes.
fn growth(count: usize) -> u64 {
    runs(200);
    let before = resident();
    runs(count);
    resident().saturating_sub(before)
}

/// A run's trace is about 200 kB: had one in a hundred been kept, 800 runs would leave 1.6 MB.
#[test]
fn memory_is_flat_over_many_runs() {
    let growth = growth(800);
    assert!(growth < 1_500_000, "{growth} bytes more");
}

/// `cargo test --release --test memory -- --ignored`; a few minutes.
#[test]
#[ignore = "takes minutes"]
fn memory_is_flat_over_a_hundred_thousand_runs() {
    let growth = growth(100_000);
    println!("{growth} bytes more after 100 000 runs");
    assert!(growth < 1_500_000, "{growth} bytes more");
}
