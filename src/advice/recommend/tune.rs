//! Setting a design as far as its owner would go: the search of the finder with a smaller budget, over all strokes.

use crate::advice::free::{COMMON, Free, named};
use crate::advice::recommend::design::{Action, Design, Judge, Judged};
use crate::advice::recommend::effort;
use crate::advice::recommend::weigh::UNITS;
use crate::advice::search::{Plan, Tried, search};
use crate::bench::scenario::Scenario;
use crate::settings::Kind;
use crate::settings::grouped::Grouped;
use crate::units::{UnitSystem, rounded};

/// Figures to which a setting can be set.
const FIGURES: usize = 2;

/// How much is tried with so many free settings; a tenth of what the finder tries, for there are many designs.
fn plan(free: usize) -> Plan {
    Plan { sample: 4 + 3 * free, starts: 1, most: most(free) }
}

/// Most designs tried with so many free settings.
pub const fn most(free: usize) -> usize {
    8 + 8 * free
}

/// Settings beside the family's own.
pub fn common(scenario: &Scenario) -> Vec<Free> {
    COMMON.iter().filter_map(|key| named(scenario, key)).collect()
}

/// The design with these settings as good as they get, and each that gains less than its work put back; judged.
pub fn tuned(design: &Design, free: &[Free], judge: &Judge<'_>) -> Option<Judged> {
    let (_, burdens) = judge.run(&design.scenario, &design.footing)?;
    let value = |free: &Free| design.scenario.value(free.place).unwrap_or(free.least);
    let start: Vec<f64> = free.iter().map(value).collect();
    let mut best = (start.clone(), judge.weights.cost(&burdens));
    let first = Tried { point: free.iter().zip(&start).map(|(f, v)| f.share(*v)).collect(), worth: best.1 };
    search(&first, plan(free.len()), &|a: &f64, b: &f64| b.total_cmp(a), &mut |points| {
        let mut worths = Vec::with_capacity(points.len());
        for point in points {
            if judge.watch.cancelled() {
                return None;
            }
            let values: Vec<f64> = free
                .iter()
                .zip(point)
                .map(|(free, share)| settable(&design.scenario, *free, free.value(*share)))
                .collect();
            let cost = cost(design, free, &values, judge);
            if let Some(cost) = cost.filter(|cost| *cost < best.1) {
                best = (values, cost);
            }
            worths.push(cost);
        }
        Some(worths)
    });
    let kept = only_what_pays(design, free, &start, best, judge);
    let action = if design.action == Action::Keep { Action::Change } else { design.action };
    judge.judge(Design { action, scenario: with(&design.scenario, free, &kept), ..design.clone() })
}

/// A change that gains less than so many points for an hour of work is put back, whoever the owner is: so that more
/// patience finds all that less patience finds. Common practice, from memory.
const PAYS: f64 = 0.15;

fn only_what_pays(
    design: &Design,
    free: &[Free],
    start: &[f64],
    (mut values, mut cost_now): (Vec<f64>, f64),
    judge: &Judge<'_>,
) -> Vec<f64> {
    for index in 0..free.len() {
        if values[index] == start[index] {
            continue;
        }
        let mut without = values.clone();
        without[index] = start[index];
        let worth = PAYS * effort::kind(&design.scenario, free[index].place).work_s() / UNITS.work_s;
        if let Some(cost) = cost(design, free, &without, judge).filter(|cost| *cost <= cost_now + worth) {
            (values, cost_now) = (without, cost);
        }
    }
    values
}

/// Cost of the design with these values, without work and room for error. None for one whose secondary barrels work at a
/// steady speed: they have no idle circuit, and no workshop sets them so.
fn cost(design: &Design, free: &[Free], values: &[f64], judge: &Judge<'_>) -> Option<f64> {
    let (figures, burdens) = judge.run(&with(&design.scenario, free, values), &design.footing)?;
    let shut = figures.stabs.iter().all(|stab| !stab.on_four);
    shut.then(|| judge.weights.cost(&burdens))
}

fn with(scenario: &Scenario, free: &[Free], values: &[f64]) -> Scenario {
    let mut changed = scenario.clone();
    for (free, value) in free.iter().zip(values) {
        // between accepted ends, or where it stood
        drop(changed.set(free.place, *value));
    }
    changed
}

/// The nearest value that a workshop can set and write down.
fn settable(scenario: &Scenario, free: Free, value: f64) -> f64 {
    let Some(Kind::Number { quantity, .. }) = scenario.setting(free.place).map(|setting| setting.kind) else {
        return value;
    };
    let unit = quantity.unit(UnitSystem::Si);
    unit.to_si(rounded(unit.from_si(value), FIGURES)).clamp(free.least, free.most)
}

/// What is fitted, with the one change that helps most; `None` where none helps.
pub fn one_change(design: &Design, judge: &Judge<'_>) -> Option<Judged> {
    use rayon::prelude::*;
    let mut each: Vec<Free> = design.own();
    each.extend(common(&design.scenario));
    let tried: Vec<Option<Judged>> = each.par_iter().map(|free| tuned(design, &[*free], judge)).collect();
    let changed = tried.into_iter().flatten().filter(|judged| !judged.design.changes().is_empty());
    changed.min_by(|a, b| a.cost(judge.weights).total_cmp(&b.cost(judge.weights)))
}
