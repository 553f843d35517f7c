//! Starting hot: the soak of the customer's car as it is, and with what a workshop can put between heat and fuel.
//!
//! The soak knows no family: bowls, gasket and studs are those of any four-barrel carburettor. So this stands beside
//! the ranking and not in it.

use crate::advice::intake::Customer;
use crate::advice::recommend::car;
use crate::heat::events::HARD_START_S;
use crate::heat::materials::{Spacer, Stud};
use crate::heat::run;
use crate::heat::soak::Soak;
use rayon::prelude::*;

/// Thickness of the spacer that is tried, m: one inch, common practice.
const SPACER_M: f64 = 25.4e-3;

/// One way to keep the fuel cool, and what it comes to.
#[derive(Debug, Clone, PartialEq)]
pub struct HotRow {
    /// What is fitted.
    pub label: &'static str,
    /// Longest cranking at any moment of the hour after stopping, s.
    pub cranking_s: f64,
    /// When that is, s after stopping.
    pub at_s: f64,
    /// Hottest fuel in the bowls, K.
    pub hottest_k: f64,
}

impl HotRow {
    /// Whether an owner would call it a bad start.
    pub fn is_hard(&self) -> bool {
        self.cranking_s >= HARD_START_S
    }
}

/// A change to a soak.
type Put = fn(&mut Soak);

/// As it is, then the remedies from the cheapest on, each with those before it.
const WAYS: &[(&str, Put)] = &[
    ("as it is", |_| {}),
    ("with a spacer of one inch that insulates", spacer),
    ("with the spacer on studs of stainless steel", studs),
    ("with the spacer on stainless studs and the exhaust passage under the carburettor blocked", |soak| {
        studs(soak);
        soak.bay.crossover_w_per_k = 0.0;
    }),
];

fn spacer(soak: &mut Soak) {
    soak.mounting.spacer = Spacer::Phenolic;
    soak.mounting.spacer_thickness_m = SPACER_M;
}

fn studs(soak: &mut Soak) {
    spacer(soak);
    soak.mounting.stud = Stud::Stainless;
}

/// Each way; one that cannot be run is left out.
pub fn rows(customer: &Customer) -> Vec<HotRow> {
    let soak = car::soak(customer);
    let row = |(label, put): &(&'static str, Put)| {
        let mut soak = soak;
        put(&mut soak);
        let found = run::run(&soak).ok()?.findings;
        Some(HotRow {
            label,
            cranking_s: found.worst_cranking_s?,
            at_s: found.worst_cranking_at_s?,
            hottest_k: found.hottest_bowl_k?,
        })
    };
    WAYS.par_iter().map(row).collect::<Vec<_>>().into_iter().flatten().collect()
}
