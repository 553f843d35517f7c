//! How hard an item is, how well it tells learners apart, what was chosen; and how reliable a whole form is.
//!
//! Definitions: Crocker and Algina, *Introduction to Classical and Modern Test Theory*, 1986 (from memory).

use crate::learning::record::{Answer, LearnerCode};
use crate::learning::statistics::{Figure, Undefined, counted, first_answers};
use std::collections::BTreeMap;

/// Learners below which a correlation says nothing: through two points goes every line.
const FEWEST_FOR_CORRELATION: usize = 3;

/// What the first answers say about one item. Only learners who answered it count.
#[derive(Debug, Clone, PartialEq)]
pub struct ItemStatistics {
    /// Id of the item.
    pub item: String,
    /// p: the mean score, 1 when everybody is right.
    pub difficulty: Figure,
    /// Corrected item–total correlation (point-biserial for scores of 0 and 1): of the item's score with the mean score
    /// on the *other* items that the same learner answered. Where everybody answered everything that is the usual
    /// correlation with the total without the item; with gaps the mean is used because totals of different items
    /// cannot be compared. Learners who answered this item alone are left out.
    pub discrimination: Figure,
    /// What was chosen and how often, the most frequent first.
    pub options: Vec<(String, usize)>,
    /// Mistaken beliefs met, the most frequent first.
    pub misconceptions: Vec<(String, usize)>,
}

/// The items of a set of answers, and how reliable they are together.
#[derive(Debug, Clone, PartialEq)]
pub struct FormStatistics {
    /// By id.
    pub items: Vec<ItemStatistics>,
    /// Kuder and Richardson's formula 20 (*Psychometrika* 2 (1937) 151) with population variances; for scores between 0
    /// and 1 it is Cronbach's alpha (*Psychometrika* 16 (1951) 297), which is the same for scores of 0 and 1. Only over
    /// learners who answered every item: n says how many.
    pub reliability: Figure,
    /// Learners with at least one answer.
    pub learners: usize,
}

/// Statistics of the items in these answers; give the answers of one form to judge that form.
pub fn of(answers: &[Answer]) -> FormStatistics {
    let first = first_answers(answers);
    let mut by_item: BTreeMap<&str, Vec<&Answer>> = BTreeMap::new();
    let mut totals: BTreeMap<&LearnerCode, Total> = BTreeMap::new();
    for answer in first.values().copied() {
        by_item.entry(&answer.item).or_default().push(answer);
        totals.entry(&answer.learner).or_default().add(answer.score);
    }
    FormStatistics {
        reliability: reliability(&by_item, &totals),
        items: by_item.iter().map(|(item, answers)| item_statistics(item, answers, &totals)).collect(),
        learners: totals.len(),
    }
}

/// What a learner has on all items.
#[derive(Debug, Default)]
struct Total {
    items: usize,
    score: f64,
}

impl Total {
    fn add(&mut self, score: f64) {
        self.items += 1;
        self.score += score;
    }

    /// Mean score on the other items.
    fn rest(&self, own: f64) -> Option<f64> {
        (self.items > 1).then(|| (self.score - own) / (self.items - 1) as f64)
    }
}

fn item_statistics(item: &str, answers: &[&Answer], totals: &BTreeMap<&LearnerCode, Total>) -> ItemStatistics {
    let n = answers.len();
    let sum: f64 = answers.iter().map(|answer| answer.score).sum();
    let pairs: Vec<(f64, f64)> = answers
        .iter()
        .filter_map(|answer| Some((answer.score, totals.get(&answer.learner)?.rest(answer.score)?)))
        .collect();
    ItemStatistics {
        item: item.to_owned(),
        difficulty: Figure { n, value: if n == 0 { Err(Undefined::NoAnswers) } else { Ok(sum / n as f64) } },
        discrimination: Figure { n: pairs.len(), value: correlation(&pairs) },
        options: counted(answers.iter().map(|answer| answer.chosen.as_str())),
        misconceptions: counted(answers.iter().filter_map(|answer| answer.misconception.as_deref())),
    }
}

/// Pearson's correlation.
fn correlation(pairs: &[(f64, f64)]) -> Result<f64, Undefined> {
    if pairs.len() < FEWEST_FOR_CORRELATION {
        return Err(Undefined::TooFew { needed: FEWEST_FOR_CORRELATION });
    }
    let n = pairs.len() as f64;
    let mean = |of: fn(&(f64, f64)) -> f64| pairs.iter().map(of).sum::<f64>() / n;
    let (mean_x, mean_y) = (mean(|pair| pair.0), mean(|pair| pair.1));
    let product = |f: &dyn Fn(f64, f64) -> f64| pairs.iter().map(|(x, y)| f(x - mean_x, y - mean_y)).sum::<f64>();
    let (xx, yy, xy) = (product(&|x, _| x * x), product(&|_, y| y * y), product(&|x, y| x * y));
    if nothing(xx / n) {
        return Err(Undefined::SameScore);
    }
    if nothing(yy / n) {
        return Err(Undefined::SameRest);
    }
    Ok((xy / (xx.sqrt() * yy.sqrt())).clamp(-1.0, 1.0))
}

/// Whether a variance of scores from 0 to 1 is only rounding: equal means differ by some 1e-16, real ones by far more.
fn nothing(variance: f64) -> bool {
    variance < 1e-24
}

fn reliability(by_item: &BTreeMap<&str, Vec<&Answer>>, totals: &BTreeMap<&LearnerCode, Total>) -> Figure {
    let count = by_item.len();
    let complete = |learner: &LearnerCode| totals.get(learner).is_some_and(|total| total.items == count);
    let whole: Vec<f64> = totals.values().filter(|total| total.items == count).map(|total| total.score).collect();
    let spread: f64 = by_item
        .values()
        .map(|answers| {
            let of_complete = answers.iter().filter(|answer| complete(&answer.learner));
            variance(&of_complete.map(|answer| answer.score).collect::<Vec<_>>())
        })
        .sum();
    let of_totals = variance(&whole);
    let value = match (count, whole.len()) {
        (0, _) => Err(Undefined::NoAnswers),
        (1, _) => Err(Undefined::OneItem),
        (_, 0 | 1) => Err(Undefined::TooFew { needed: 2 }),
        _ if nothing(of_totals / (count * count) as f64) => Err(Undefined::SameTotal),
        _ => Ok(count as f64 / (count - 1) as f64 * (1.0 - spread / of_totals)),
    };
    Figure { n: whole.len(), value }
}

/// Population variance; 0 of nothing.
fn variance(values: &[f64]) -> f64 {
    let n = values.len().max(1) as f64;
    let mean = values.iter().sum::<f64>() / n;
    values.iter().map(|value| (value - mean).powi(2)).sum::<f64>() / n
}
