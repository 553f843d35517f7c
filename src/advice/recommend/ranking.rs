//! From everything judged to a ranked list.

use crate::advice::recommend::design::{Action, Judged};
use crate::advice::recommend::weigh::{Burdens, Weights};

/// Of each family that could be fitted, and of what is fitted now as it is and changed, the one that costs least;
/// the best first. A change that changes nothing is the thing as it is.
pub fn shortlist(all: Vec<Judged>, weights: &Weights) -> Vec<Judged> {
    let changed = |judged: &Judged| judged.design.action != Action::Change || !judged.design.changes().is_empty();
    let all: Vec<Judged> = all.into_iter().filter(changed).collect();
    let burdens: Vec<Burdens> = all.iter().map(|judged| judged.burdens).collect();
    let mut kept: Vec<Judged> = Vec::new();
    // what is there stands before what would be bought
    for judged in order(&burdens, weights).into_iter().map(|index| &all[index]) {
        let seen = |other: &Judged| {
            let (mine, theirs) = (&judged.design, &other.design);
            mine.action == theirs.action
                && (mine.action != Action::Fit || mine.scenario.entry().id == theirs.scenario.entry().id)
        };
        if !kept.iter().any(seen) {
            kept.push(judged.clone());
        }
    }
    kept
}

/// Which of these are on the front: no other is at least as good in everything and better in something.
pub fn front(burdens: &[Burdens]) -> Vec<bool> {
    let beaten = |one: &Burdens| burdens.iter().any(|other| crate::advice::recommend::design::dominated(one, other));
    burdens.iter().map(|one| !beaten(one)).collect()
}

/// Order of these burdens by what they cost, the best first; the earlier of two equals stays in front.
pub fn order(burdens: &[Burdens], weights: &Weights) -> Vec<usize> {
    let mut order: Vec<usize> = (0..burdens.len()).collect();
    order.sort_by(|a, b| weights.cost(&burdens[*a]).total_cmp(&weights.cost(&burdens[*b])));
    order
}
