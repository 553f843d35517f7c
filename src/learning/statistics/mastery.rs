//! What each learner and the class can do now, outcome by outcome, and what to teach again.

use crate::learning::record::{Answer, LearnerCode};
use crate::learning::statistics::{counted, last_answers};
use std::collections::BTreeMap;

/// Numbers of the outcomes of an item, by its id.
pub type Outcomes = BTreeMap<String, Vec<usize>>;

/// Share of right answers below which an outcome is worth teaching again: our choice, no source.
pub const WEAK: f64 = 0.6;

/// Right answers out of all.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Share {
    /// Right ones.
    pub right: usize,
    /// All.
    pub n: usize,
}

impl Share {
    fn add(&mut self, right: bool) {
        self.right += usize::from(right);
        self.n += 1;
    }

    /// Right ÷ all; none of nothing.
    pub fn value(self) -> Option<f64> {
        (self.n > 0).then(|| self.right as f64 / self.n as f64)
    }

    /// Where the true share lies with 95 % confidence; none of nothing.
    ///
    /// Wilson, *Journal of the American Statistical Association* 22 (1927) 209: honest also for few answers and for
    /// shares near 0 and 1.
    pub fn interval(self) -> Option<(f64, f64)> {
        /// Two-sided 95 % point of the normal distribution.
        const Z: f64 = 1.959_963_984_540_054;
        let share = self.value()?;
        let n = self.n as f64;
        let scale = 1.0 / (1.0 + Z * Z / n);
        let centre = share + Z * Z / (2.0 * n);
        let half = Z * (share * (1.0 - share) / n + Z * Z / (4.0 * n * n)).sqrt();
        Some(((scale * (centre - half)).max(0.0), (scale * (centre + half)).min(1.0)))
    }
}

/// Outcomes × learners, each with the share of items whose *last* answer is right.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Mastery {
    /// By outcome and learner; what nobody was asked is absent.
    pub cells: BTreeMap<(usize, LearnerCode), Share>,
    /// The whole class by outcome.
    pub class: BTreeMap<usize, Share>,
    /// Ids of answered items that belong to no outcome here, in order: they count nowhere.
    pub unknown_items: Vec<String>,
}

/// The map of a set of answers.
pub fn mastery(answers: &[Answer], outcomes: &Outcomes) -> Mastery {
    let mut map = Mastery::default();
    for ((learner, item), answer) in last_answers(answers) {
        let Some(numbers) = outcomes.get(item) else {
            map.unknown_items.push(item.to_owned());
            continue;
        };
        for number in numbers {
            map.cells.entry((*number, learner.clone())).or_default().add(answer.right);
            map.class.entry(*number).or_default().add(answer.right);
        }
    }
    map.unknown_items.sort();
    map.unknown_items.dedup();
    map
}

/// An outcome that the class may not have.
#[derive(Debug, Clone, PartialEq)]
pub struct Reteach {
    /// Its number.
    pub outcome: usize,
    /// How the class stands.
    pub share: Share,
    /// Where its true share lies with 95 % confidence.
    pub interval: (f64, f64),
    /// True: even the upper end is weak. False: it may be weak, more answers would tell.
    pub sure: bool,
    /// Mistaken beliefs behind the last answers, the most common first.
    pub misconceptions: Vec<(String, usize)>,
}

/// Outcomes of which the lower end of the interval is below [`WEAK`], the lowest first.
pub fn reteach(answers: &[Answer], outcomes: &Outcomes) -> Vec<Reteach> {
    let last = last_answers(answers);
    let believed = |outcome: usize| {
        let of_outcome = last.values().filter(|answer| {
            outcomes.get(&answer.item).is_some_and(|numbers| numbers.contains(&outcome)) && !answer.right
        });
        counted(of_outcome.filter_map(|answer| answer.misconception.as_deref()))
    };
    let weak = |(outcome, share): (&usize, &Share)| {
        let interval = share.interval().filter(|(low, _)| *low < WEAK)?;
        let (outcome, share) = (*outcome, *share);
        Some(Reteach { outcome, share, interval, sure: interval.1 < WEAK, misconceptions: believed(outcome) })
    };
    let mut list: Vec<Reteach> = mastery(answers, outcomes).class.iter().filter_map(weak).collect();
    list.sort_by(|a, b| a.interval.0.total_cmp(&b.interval.0));
    list
}
