//! What was found, in words: the recommendation as it is handed over.

use crate::advice::flatness::stretches;
use crate::advice::intake::Customer;
use crate::advice::intake::answers::{Budget, Complaint};
use crate::advice::recommend::design::{Action, Judge, Judged};
use crate::advice::recommend::draws::{beats, first_shares};
use crate::advice::recommend::hot;
use crate::advice::recommend::judge::at_stroke;
use crate::advice::recommend::phrase::{flow, lower, title, work};
use crate::advice::recommend::proposal::{Hot, Line, Proposal, Recommendation};
use crate::advice::recommend::stages::Found;
use crate::advice::recommend::stroke::STROKES;
use crate::advice::recommend::weigh::{CRITERIA, Criterion, UNITS};
use crate::advice::recommend::{Options, notes, ranking, tuning_order};
use crate::advice::summary::room;
use crate::bench::rating::rating;
use crate::bench::sentence::{milliseconds, sentence};
use crate::bench::verdict::Verdict;
use crate::bench::watch::Watch;
use crate::families::FAMILIES;
use crate::settings::grouped::Grouped;
use crate::units::{Quantity, RPM};
use rayon::prelude::*;

/// The first is said to be better than another when it is so in more than this share of the draws; else they are alike.
const SURE: f64 = 0.8;
/// Points that nobody would feel: 6 ms without torque, half of a hundredth of the pull.
const FELT_POINTS: f64 = 0.1;
/// A shorter way than this behind or ahead is not told, m: nobody sees it on the road. From memory.
const SEEN_M: f64 = 0.1;

/// Everything about what was found; `None` if it was cancelled meanwhile.
pub fn recommendation(customer: &Customer, options: Options, found: Found, watch: &Watch) -> Option<Recommendation> {
    let Found { car, weights, yardstick, ranked } = &found;
    let judge = Judge { car, weights, yardstick: yardstick.clone(), watch };
    let writer = Writer { customer, options, found: &found, judge: &judge };
    let firsts = first_shares(&ranked.iter().map(|(_, studied)| studied.costs.as_slice()).collect::<Vec<_>>());
    let burdens: Vec<_> = ranked.iter().map(|(_, studied)| studied.burdens).collect();
    let front = ranking::front(&burdens);
    let proposals: Vec<Proposal> =
        (0..ranked.len()).into_par_iter().map(|index| writer.proposal(index, firsts[index], front[index])).collect();
    let hot = notes::hot(hot::rows(customer), customer, options.units);
    if watch.cancelled() {
        return None;
    }
    Some(Recommendation {
        customer: customer.clone(),
        car: car.clone(),
        weights: weights.clone(),
        seed: options.seed,
        draws: options.draws.max(1),
        runs: watch.done(),
        demand_m3_per_s: car.demand_m3_per_s(),
        headline: writer.headline(&proposals),
        sure: writer.sure(&proposals),
        complaint: writer.complaint(&hot),
        counts: writer.counts(),
        assumed: writer.assumed(),
        hot,
        reading: notes::reading(),
        cautions: notes::cautions(&proposals),
        law: notes::law(customer),
        left_out: Vec::new(),
        proposals,
    })
}

struct Writer<'a> {
    customer: &'a Customer,
    options: Options,
    found: &'a Found,
    judge: &'a Judge<'a>,
}

impl Writer<'_> {
    /// What is fitted now, as it is.
    fn kept(&self) -> Option<usize> {
        self.found.ranked.iter().position(|(judged, _)| judged.design.action == Action::Keep)
    }

    /// Cost of a design over all draws.
    fn cost(&self, index: usize) -> f64 {
        self.found.weights.cost(&self.found.ranked[index].1.burdens)
    }

    /// Share of the draws in which one costs less than another.
    fn beats(&self, one: usize, other: usize) -> f64 {
        beats(&self.found.ranked[one].1.costs, &self.found.ranked[other].1.costs)
    }

    /// Whether a design is within what can be known as good as the first.
    fn is_alike(&self, index: usize) -> bool {
        let surely = self.beats(0, index) > SURE;
        index == 0 || !surely || self.cost(index) - self.cost(0) < FELT_POINTS
    }

    fn proposal(&self, index: usize, first_share: f64, on_front: bool) -> Proposal {
        let (judged, studied) = &self.found.ranked[index];
        let design = &judged.design;
        let (other, against) = self.compared_with(index);
        let (gains, costs) = other.map_or_else(Default::default, |other| self.exchange(judged, other));
        let beats_fitted = self.kept().filter(|kept| *kept != index);
        Proposal {
            title: title(design, self.options.units),
            action: design.action,
            family: design.scenario.entry(),
            factor: design.factor,
            rating: rating(&design.scenario),
            changes: design.changes(),
            footing: design.footing.clone(),
            figures: judged.figures.clone(),
            burdens: studied.burdens,
            cost: self.cost(index),
            cost_as_told: judged.cost(&self.found.weights),
            work_s: design.work_s(),
            on_front,
            first_share,
            beats_fitted: beats_fitted.map(|kept| self.beats(index, kept)),
            alike: self.is_alike(index),
            gains,
            costs,
            against,
            why: self.why(judged),
            settings: tuning_order::first_settings(design, self.options.units),
            steps: tuning_order::steps(judged, self.judge, self.options.units),
            room: self.room(judged),
            scenario: design.scenario.clone(),
        }
    }

    /// What is fitted now; for that itself, and where nobody knows it, the first, and for that one the second.
    fn compared_with(&self, index: usize) -> (Option<&Judged>, String) {
        let ranked = &self.found.ranked;
        if let Some(kept) = self.kept().filter(|kept| *kept != index) {
            return (Some(&ranked[kept].0), "against what is fitted now".to_owned());
        }
        let other = if index == 0 { 1 } else { 0 };
        let against = ranked
            .get(other)
            .map_or(String::new(), |(judged, _)| format!("against “{}”", title(&judged.design, self.options.units)));
        (ranked.get(other).map(|(judged, _)| judged), against)
    }

    /// Gains and costs of one against another, each with its numbers.
    fn exchange(&self, one: &Judged, other: &Judged) -> (Vec<String>, Vec<String>) {
        let (mut gains, mut costs) = (Vec::new(), Vec::new());
        for criterion in Criterion::ALL {
            let more = one.burdens[criterion as usize] - other.burdens[criterion as usize];
            let unseen = criterion == Criterion::Pull && self.farther_m(one, other).abs() < SEEN_M;
            if more.abs() < FELT_POINTS || unseen {
                continue;
            }
            let text = self.difference(criterion, one, other);
            if more < 0.0 { gains.push(text) } else { costs.push(text) }
        }
        (gains, costs)
    }

    /// How much farther the car is after two seconds, the mean of the strokes by their weights.
    fn farther_m(&self, one: &Judged, other: &Judged) -> f64 {
        let won = |judged: &Judged| judged.figures.mean(&self.found.weights, |stab| stab.gained_m);
        won(one) - won(other)
    }

    fn difference(&self, criterion: Criterion, one: &Judged, other: &Judged) -> String {
        let weights = &self.found.weights;
        let share = |mine: f64, theirs: f64| (mine / theirs - 1.0) * 100.0;
        let lost = |judged: &Judged| milliseconds(judged.figures.lost_s(weights));
        match criterion {
            Criterion::Clean => {
                format!("floored, it loses {} instead of {}", lost(one), lost(other))
            }
            Criterion::Pull => {
                let more = self.farther_m(one, other);
                let unit = Quantity::Distance.unit(self.options.units);
                let amount = format!("{:.2} {}", unit.from_si(more.abs()), unit.symbol);
                format!(
                    "two seconds after the pedal the car is {amount} {}",
                    if more > 0.0 { "farther" } else { "behind" }
                )
            }
            Criterion::Top => {
                let more = share(one.figures.top_nm, other.figures.top_nm);
                let speed = RPM.from_si(self.found.car.top_rad_per_s());
                format!("{:.1} % {} torque at {speed:.0} rpm", more.abs(), if more > 0.0 { "more" } else { "less" })
            }
            Criterion::Fuel => {
                let fuel = |judged: &Judged| judged.design.footing.cruise.fuel_kg_per_m;
                let more = share(fuel(one), fuel(other));
                let word = if more > 0.0 { "more" } else { "less" };
                format!("{:.0} % {word} fuel at a steady 90 km/h", more.abs())
            }
            Criterion::Effort => {
                format!("{} instead of {}", work(one.design.work_s()), work(other.design.work_s()))
            }
            Criterion::Narrow => {
                let narrow = |judged: &Judged| judged.burdens[Criterion::Narrow as usize] * UNITS.lost_s;
                format!(
                    "a setting a fifth off costs {} more, not {}",
                    milliseconds(narrow(one)),
                    milliseconds(narrow(other))
                )
            }
        }
    }

    /// Why, from the runs of a design.
    fn why(&self, judged: &Judged) -> Vec<String> {
        let design = &judged.design;
        let mut lines: Vec<String> = judged
            .figures
            .stabs
            .iter()
            .map(|stab| {
                let told = sentence(&stab.findings);
                let told = told.strip_prefix("The engine").map_or(told.clone(), |rest| format!("the engine{rest}"));
                format!("Floored {}, {told}", STROKES[stab.stroke].phrase)
            })
            .collect();
        let air = design.scenario.ambient.air().density();
        lines.push(format!(
            "Its rated flow is {}; the engine draws {} by the formula, and in the run at {:.0} rpm it got {}, for {} of torque at λ {:.2}.",
            flow(rating(&design.scenario).flow_m3_per_s),
            flow(self.found.car.demand_m3_per_s()),
            RPM.from_si(self.found.car.top_rad_per_s()),
            flow(judged.figures.top_air_kg_per_s / air),
            Quantity::Torque.show(judged.figures.top_nm, self.options.units),
            judged.figures.top_lambda,
        ));
        let cruise = &design.footing.cruise;
        lines.push(format!(
            "At a steady 90 km/h (warm, level, still air) it runs at λ {:.2} and burns {:.1} g for a kilometre; only the primary barrels count.",
            cruise.lambda,
            cruise.fuel_kg_per_m * 1e6,
        ));
        lines
    }

    /// How far each setting may be off at the stroke that is hardest on this design.
    fn room(&self, judged: &Judged) -> Vec<String> {
        let Some(worst) = judged.figures.worst() else { return Vec::new() };
        let design = &judged.design;
        let scenario = at_stroke(&design.scenario, self.judge.car, worst.rest, worst.stroke);
        let own = design.own();
        let Some(stretches) = stretches(&scenario, &own, self.judge.watch) else { return Vec::new() };
        let of = |stretch: &crate::advice::flatness::Stretch| {
            let (setting, value) = (scenario.setting(stretch.free.place)?, scenario.value(stretch.free.place)?);
            let text = room(stretch, value, setting, worst.findings.verdict, self.options.units);
            Some(format!("{text}, floored {}.", STROKES[worst.stroke].phrase))
        };
        stretches.iter().filter_map(of).collect()
    }

    fn headline(&self, proposals: &[Proposal]) -> String {
        let Some(first) = proposals.first() else { return String::new() };
        let mut text = format!("{}.", first.title);
        let kinds = proposals.iter().filter(|proposal| proposal.action == Action::Fit && proposal.alike).count();
        let of = format!("{kinds} of {} kinds are as good as the best within what can be known", FAMILIES.len());
        if 4 * kinds >= 3 * FAMILIES.len() {
            text += &format!(" Any kind is fine for this car if it has the right size and is set right: {of}.");
        } else if 2 * kinds >= FAMILIES.len() {
            text += &format!(" The kind matters less here than size and setting: {of}.");
        }
        let kept = proposals.iter().find(|proposal| proposal.action == Action::Keep);
        match kept {
            Some(kept) if kept.alike && first.action != Action::Keep => {
                text +=
                    " What is fitted now, as it is, is as good within what can be known: money spent here buys little.";
            }
            _ => {}
        }
        let easier = proposals.iter().find(|proposal| {
            proposal.alike && proposal.action != Action::Keep && 2.0 * proposal.work_s <= first.work_s
        });
        if let Some(easier) = easier {
            text += &format!(
                " With no more than {}, this is as good within what can be known: {}.",
                work(easier.work_s),
                lower(&easier.title)
            );
        }
        if self.customer.owner.budget == Budget::Parts && self.customer.fitted().is_none() {
            text += " Nobody told what is fitted now, so keeping it could not be weighed.";
        }
        text
    }

    fn sure(&self, proposals: &[Proposal]) -> String {
        let Some(first) = proposals.first() else { return String::new() };
        let open = self.customer.assumed().iter().filter(|assumed| assumed.varied).count();
        let questions = match open {
            0 => String::new(),
            1 => "1 open question and ".to_owned(),
            _ => format!("{open} open questions and "),
        };
        let draws = self.options.draws.max(1);
        let mut text = format!(
            "The ranking was made again {draws} times with other likely values for what is not known ({questions}the figures that the model does not know well). The first proposal came out best in {:.0} of them",
            first.first_share * draws as f64,
        );
        match first.beats_fitted {
            Some(share) => {
                text += &format!(", better than what is fitted now, as it is, in {:.0}.", share * draws as f64)
            }
            None => text.push('.'),
        }
        match proposals.iter().skip(1).filter(|proposal| proposal.alike).count() {
            0 => {}
            1 => text += " One of the others is as good within what can be known.",
            alike => text += &format!(" {alike} of the others are as good within what can be known."),
        }
        text
    }

    fn complaint(&self, hot: &Hot) -> Option<String> {
        self.customer.told("now", "complaint")?;
        let kept = self.kept().map(|index| &self.found.ranked[index].0);
        let told = self.customer.now.complaint;
        if told == Complaint::Nothing {
            return None;
        }
        if told == Complaint::HotStart {
            return Some(format!("You say that it starts badly when hot. {}", hot.text));
        }
        let Some(kept) = kept else {
            return Some("Nobody told what is fitted now, so the complaint cannot be looked for in a run.".to_owned());
        };
        Some(self.in_the_runs(told, kept))
    }

    /// Whether the runs of what is fitted show what the owner complains of.
    fn in_the_runs(&self, told: Complaint, kept: &Judged) -> String {
        const SOUND: &str = "The model knows a sound carburettor only. Before anything is bought, look for a fault: air leaks, float level, a dead pump, a worn shaft, timing.";
        let best = |figure: fn(&Judged) -> f64| {
            self.found.ranked.iter().map(|(judged, _)| figure(judged)).fold(f64::NEG_INFINITY, f64::max)
        };
        match told {
            Complaint::Bogs | Complaint::Hesitates => {
                let worst = kept.figures.worst();
                let stroke = worst.map_or("", |stab| STROKES[stab.stroke].phrase);
                let lost = milliseconds(worst.map_or(0.0, |stab| stab.lost_s()));
                if worst.is_some_and(|stab| stab.findings.verdict > Verdict::Clean) {
                    format!(
                        "You say that it stumbles when floored. So does the model of it: floored {stroke} it loses {lost} of pull."
                    )
                } else {
                    format!(
                        "You say that it stumbles when floored. The model of it does not: at worst, {stroke}, it loses {lost}. {SOUND}"
                    )
                }
            }
            Complaint::FlatAtTop => {
                let share = 100.0 * (1.0 - kept.figures.top_nm / best(|judged| judged.figures.top_nm).max(1.0));
                let fault = if share < 2.0 { SOUND } else { "" };
                format!(
                    "You say that it is flat at the top. It makes {share:.1} % less there than the best of all that was tried. {fault}"
                )
            }
            Complaint::Thirsty => {
                let fuel = |judged: &Judged| -judged.design.footing.cruise.fuel_kg_per_m;
                let share = 100.0 * (1.0 - best(fuel) / fuel(kept));
                let fault = if share < 3.0 { SOUND } else { "" };
                format!(
                    "You say that it is thirsty. Of all that was tried the thriftiest burns {share:.0} % less at a steady 90 km/h. {fault}"
                )
            }
            Complaint::Nothing | Complaint::HotStart => String::new(),
        }
    }

    fn counts(&self) -> String {
        let criteria = &self.found.weights.criteria;
        let mut order: Vec<usize> = (0..CRITERIA).collect();
        order.sort_by(|a, b| criteria[*b].total_cmp(&criteria[*a]));
        let parts: Vec<String> = order
            .iter()
            .map(|index| format!("{} ({:.2})", Criterion::ALL[*index].label().to_lowercase(), criteria[*index]))
            .collect();
        format!("What counts, by weight: {}.", parts.join(", "))
    }

    fn assumed(&self) -> Vec<Line> {
        let of = |assumed: crate::advice::intake::Assumed| {
            let shown = assumed.setting.shown(assumed.value, self.options.units);
            let text = match assumed.setting.help.split_once("Not known: ") {
                Some((_, what)) => format!("not told; {}", what.trim_end_matches('.')),
                None if assumed.varied => format!("not told; taken as {shown}, and tried over its likely range"),
                None => format!("not told; taken as {shown}"),
            };
            Line { label: assumed.setting.label.to_owned(), text }
        };
        self.customer.assumed().into_iter().map(of).collect()
    }
}
