//! How sure a ranking is: the same designs over what nobody has told and what the model does not know well.

use crate::advice::intake::Customer;
use crate::advice::recommend::car::Car;
use crate::advice::recommend::design::{Judge, Judged};
use crate::advice::recommend::judge;
use crate::advice::recommend::stroke::STROKES;
use crate::advice::recommend::weigh::{Burdens, Criterion, Weights};
use crate::bench::coefficients::COEFFICIENTS;
use crate::bench::scenario::Scenario;
use crate::solver::sampling::latin;
use rayon::prelude::*;

/// One possible truth.
#[derive(Debug, Clone)]
pub struct Draw {
    car: Car,
    weights: Weights,
    /// In the order of [`COEFFICIENTS`], SI.
    coefficients: Vec<f64>,
}

/// The draws of a customer; the same ones every time for a seed.
pub fn draws(customer: &Customer, count: usize, seed: u64) -> Vec<Draw> {
    // another seed for the second square, so that the two are not alike
    let coefficients = latin(count, COEFFICIENTS.len(), seed ^ 0x5eed);
    let customers = customer.drawn(count, seed);
    customers
        .iter()
        .zip(coefficients)
        .map(|(customer, point)| Draw {
            car: Car::of(customer),
            weights: Weights::of(customer),
            coefficients: COEFFICIENTS
                .iter()
                .zip(point)
                .map(|(c, share)| c.least + share * (c.most - c.least))
                .collect(),
        })
        .collect()
}

/// Which strokes count in the customer's own words or in any draw.
pub fn counting(weights: &Weights, draws: &[Draw]) -> [bool; STROKES.len()] {
    std::array::from_fn(|stroke| {
        weights.strokes[stroke] > 0.0 || draws.iter().any(|draw| draw.weights.strokes[stroke] > 0.0)
    })
}

impl Draw {
    /// The carburettor if this were the truth.
    fn put_into(&self, carburettor: &Scenario) -> Scenario {
        let mut scenario = carburettor.clone();
        self.car.put_into(&mut scenario);
        for (coefficient, value) in COEFFICIENTS.iter().zip(&self.coefficients) {
            coefficient.put(&mut scenario, *value);
        }
        scenario
    }

    /// Burdens of a design if this were the truth; work, room for error and fuel are the customer's own: they hardly
    /// depend on what is drawn. `None` for one that cannot be run so.
    fn burdens(&self, judged: &Judged, judge: &Judge<'_>) -> Option<Burdens> {
        if judge.watch.cancelled() {
            return None;
        }
        let design = &judged.design;
        let scenario = self.put_into(&design.scenario);
        let figures = judge::figures(&scenario, &self.car, &design.footing, &self.weights, judge.watch).ok()?;
        let mut burdens: Burdens = judge.yardstick.burdens(&figures, &design.footing.cruise, &self.weights);
        for own in [Criterion::Fuel, Criterion::Effort, Criterion::Narrow] {
            burdens[own as usize] = judged.burdens[own as usize];
        }
        Some(burdens)
    }
}

/// A design over all draws.
#[derive(Debug, Clone, PartialEq)]
pub struct Studied {
    /// Mean of its burdens over the draws in which it runs; its own where it runs in none.
    pub burdens: Burdens,
    /// Its cost in each draw; a design that cannot be run in a draw is beaten there by all that can.
    pub costs: Vec<f64>,
}

/// Each design over all draws.
pub fn study(designs: &[Judged], draws: &[Draw], judge: &Judge<'_>) -> Vec<Studied> {
    let one = |judged: &Judged| {
        let each: Vec<Option<Burdens>> = draws.par_iter().map(|draw| draw.burdens(judged, judge)).collect();
        let cost = |(draw, burdens): (&Draw, &Option<Burdens>)| {
            burdens.as_ref().map_or(f64::INFINITY, |burdens| draw.weights.cost(burdens))
        };
        let costs = draws.iter().zip(&each).map(cost).collect();
        let ran: Vec<Burdens> = each.into_iter().flatten().collect();
        let mean = |i: usize| ran.iter().map(|burdens| burdens[i]).sum::<f64>() / ran.len() as f64;
        let burdens = if ran.is_empty() { judged.burdens } else { std::array::from_fn(mean) };
        Studied { burdens, costs }
    };
    designs.par_iter().map(one).collect()
}

/// Share of draws in which each design costs least; a draw goes to the earlier of two that cost the same.
pub fn first_shares(costs: &[&[f64]]) -> Vec<f64> {
    let draws = costs.first().map_or(0, |costs| costs.len());
    let mut firsts = vec![0.0; costs.len()];
    for draw in 0..draws {
        let least = (0..costs.len()).min_by(|a, b| costs[*a][draw].total_cmp(&costs[*b][draw]));
        if let Some(least) = least {
            firsts[least] += 1.0 / draws as f64;
        }
    }
    firsts
}

/// Share of draws in which one costs less than another.
pub fn beats(one: &[f64], other: &[f64]) -> f64 {
    let wins = one.iter().zip(other).filter(|(one, other)| one < other).count();
    wins as f64 / one.len().max(1) as f64
}
