//! The stages of a recommendation: sizes, settings, the rest of the judgement, and how sure it is.

use crate::advice::free::COMMON;
use crate::advice::intake::Customer;
use crate::advice::intake::answers::{Budget, Patience};
use crate::advice::recommend::car::Car;
use crate::advice::recommend::design::{Action, Design, Judge, Judged};
use crate::advice::recommend::draws::{self, Studied};
use crate::advice::recommend::judge::{Footing, Yardstick};
use crate::advice::recommend::phrase::title;
use crate::advice::recommend::stroke::STROKES;
use crate::advice::recommend::weigh::Weights;
use crate::advice::recommend::{Options, Partial, RecommendError, ranking, size, tune};
use crate::bench::watch::Watch;
use crate::families::FAMILIES;
use rayon::prelude::*;

/// Sizes of a family that are set and judged to the end.
const SIZES_KEPT: usize = 2;

/// What the search comes to.
pub struct Found {
    /// The car.
    pub car: Car,
    /// What counts.
    pub weights: Weights,
    /// What shares were taken of.
    pub yardstick: Yardstick,
    /// One design a family, and what is fitted as it is and changed; the best over all draws first.
    pub ranked: Vec<(Judged, Studied)>,
}

/// What all stages share.
struct Search<'a> {
    customer: &'a Customer,
    judge: Judge<'a>,
    counts: [bool; STROKES.len()],
}

/// Search the candidates of a customer.
pub fn search(
    customer: &Customer,
    options: Options,
    watch: &Watch,
    report: &mut dyn FnMut(&Partial),
) -> Result<Found, RecommendError> {
    let (car, weights) = (Car::of(customer), Weights::of(customer));
    let draws = draws::draws(customer, options.draws.max(1), options.seed);
    let counts = draws::counting(&weights, &draws);
    let factors = size::rungs(&car);
    let yardstick = yardstick(&car, &counts, factors[factors.len() / 2])?;
    let judge = Judge { car: &car, weights: &weights, yardstick, watch };
    let search = Search { customer, judge, counts };
    let about = search.about(options, factors.len());
    let mut tell = |stage, designs: &[Judged]| {
        let mut order: Vec<&Judged> = designs.iter().collect();
        order.sort_by(|a, b| a.cost(&weights).total_cmp(&b.cost(&weights)));
        let ranking = order.into_iter().map(|judged| title(&judged.design, options.units)).collect();
        report(&Partial { stage, done: watch.done(), of_about: about.max(watch.done()), ranking });
    };
    tell("begun", &[]);
    let kept = search.fitted();
    let delivered = if search.may_fit() { search.delivered(&factors)? } else { Vec::new() };
    let first: Vec<Judged> = kept.iter().chain(delivered.iter().flatten()).cloned().collect();
    search.going()?;
    tell("every kind and size, as delivered", &first);
    let set = search.set(&kept, &delivered);
    search.going()?;
    tell("set as far as the owner would go", &set);
    let listed = ranking::shortlist(set, &weights);
    if listed.is_empty() {
        return Err(RecommendError::Nothing);
    }
    let studied = draws::study(&listed, &draws, &search.judge);
    search.going()?;
    let means: Vec<_> = studied.iter().map(|studied| studied.burdens).collect();
    let both: Vec<(Judged, Studied)> = listed.into_iter().zip(studied).collect();
    let ranked = ranking::order(&means, &weights).into_iter().map(|index| both[index].clone()).collect();
    let yardstick = search.judge.yardstick.clone();
    Ok(Found { ranked, yardstick, car: car.clone(), weights: weights.clone() })
}

fn yardstick(car: &Car, counts: &[bool; STROKES.len()], factor: f64) -> Result<Yardstick, RecommendError> {
    let plain = size::sized(&FAMILIES[0], factor, car);
    let footing = Footing::of(&plain, car, counts).map_err(RecommendError::Run)?;
    let top = crate::bench::rating::at_top_end(&plain).map_err(RecommendError::Run)?;
    Ok(Yardstick::new(&plain, car, &footing, top.torque_nm))
}

impl Search<'_> {
    /// About how many runs it will be, a little too many: for a bar that shows how far it has come.
    fn about(&self, options: Options, rungs: usize) -> usize {
        let patience = self.customer.owner.patience;
        let strokes = self.judge.weights.strokes.iter().filter(|weight| **weight > 0.0).count();
        let each = strokes + 1;
        let probes = |settings: usize| 2 * settings * strokes + each;
        let (mut runs, mut finalists) = (0, 0);
        for entry in FAMILIES.iter().filter(|_| self.may_fit()) {
            let own = entry.tuning.len();
            let some = SIZES_KEPT * (tune::most(own) * each + probes(own));
            let enjoys = tune::most(own + COMMON.len()) * each + probes(own);
            finalists += 1;
            runs += rungs * each + SIZES_KEPT * probes(own);
            runs += match patience {
                Patience::Leave => 0,
                Patience::Some => some,
                Patience::Enjoys => some + enjoys,
            };
        }
        if self.customer.fitted().is_some() {
            runs += (COMMON.len() + 2) * (tune::most(1) * each + probes(2));
            finalists += 2;
        }
        // what comes after the draws: room of each setting, steps of tuning
        runs + finalists * (options.draws * each + 2 * 25 + 6 * strokes)
    }

    /// Whether it has not been cancelled.
    fn going(&self) -> Result<(), RecommendError> {
        if self.judge.watch.cancelled() { Err(RecommendError::Cancelled) } else { Ok(()) }
    }

    /// With small parts alone what is fitted stays, if anybody knows what that is.
    fn may_fit(&self) -> bool {
        self.customer.owner.budget == Budget::Carburettor || self.customer.fitted().is_none()
    }

    /// What is fitted now, judged as it is.
    fn fitted(&self) -> Option<Judged> {
        let (scenario, factor) = size::fitted(self.customer, self.judge.car)?;
        let footing = Footing::of(&scenario, self.judge.car, &self.counts).ok()?;
        self.judge.judge(Design { action: Action::Keep, delivered: scenario.clone(), scenario, factor, footing })
    }

    /// Each family as it is delivered, in the sizes that promise most; by what the runs say alone, so that the same
    /// sizes are tried for every owner.
    fn delivered(&self, factors: &[f64]) -> Result<Vec<Vec<Judged>>, RecommendError> {
        let car = self.judge.car;
        // before the pedal moves the secondary barrels are shut: the footing is the size's, not the family's
        let footing = |factor: &f64| Footing::of(&size::sized(&FAMILIES[0], *factor, car), car, &self.counts);
        let footings: Vec<Footing> =
            factors.par_iter().map(footing).collect::<Result<_, _>>().map_err(RecommendError::Run)?;
        let of_family = |entry| {
            let run = |(factor, footing): (&f64, &Footing)| {
                let scenario = size::sized(entry, *factor, car);
                let (_, burdens) = self.judge.run(&scenario, footing)?;
                let (delivered, footing) = (scenario.clone(), footing.clone());
                let design = Design { action: Action::Fit, delivered, scenario, factor: *factor, footing };
                Some((self.judge.weights.cost(&burdens), design))
            };
            let mut sizes: Vec<(f64, Design)> = factors.iter().zip(&footings).filter_map(run).collect();
            sizes.sort_by(|a, b| a.0.total_cmp(&b.0));
            sizes.into_iter().take(SIZES_KEPT).filter_map(|(_, design)| self.judge.judge(design)).collect()
        };
        Ok(FAMILIES.par_iter().map(of_family).collect())
    }

    /// Everything judged: as delivered, and set as far as the owner would go. What more patience tries is added to what
    /// less patience tries.
    fn set(&self, kept: &Option<Judged>, delivered: &[Vec<Judged>]) -> Vec<Judged> {
        let mut all: Vec<Judged> = kept.iter().cloned().collect();
        if let Some(kept) = kept {
            all.extend(tune::one_change(&kept.design, &self.judge));
        }
        all.extend(delivered.iter().flatten().cloned());
        let kept = kept.iter().cloned().collect();
        let groups: Vec<&Vec<Judged>> = std::iter::once(&kept).chain(delivered).collect();
        let further: Vec<Vec<Judged>> = groups.par_iter().map(|group| self.further(group)).collect();
        all.extend(further.into_iter().flatten());
        all
    }

    /// The sizes of one kind with what tunes the kind; and the best of them with what tunes any carburettor as well.
    fn further(&self, sizes: &[Judged]) -> Vec<Judged> {
        let patience = self.customer.owner.patience;
        if patience == Patience::Leave {
            return Vec::new();
        }
        let tuned = |judged: &Judged| tune::tuned(&judged.design, &judged.design.own(), &self.judge);
        let mut all: Vec<Judged> = sizes.par_iter().map(tuned).collect::<Vec<_>>().into_iter().flatten().collect();
        let cost = |judged: &Judged| judged.cost(self.judge.weights);
        let best = all.iter().min_by(|a, b| cost(a).total_cmp(&cost(b))).cloned();
        if let Some(best) = best.filter(|_| patience == Patience::Enjoys) {
            let mut free = best.design.own();
            free.extend(tune::common(&best.design.scenario));
            all.extend(tune::tuned(&best.design, &free, &self.judge));
        }
        all
    }
}
