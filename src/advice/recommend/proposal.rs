//! A recommendation as it is handed over: everything a page, a table or a window needs, texts included.

use crate::advice::intake::Customer;
use crate::advice::recommend::car::Car;
use crate::advice::recommend::design::{Action, Change};
use crate::advice::recommend::hot::HotRow;
use crate::advice::recommend::judge::{Figures, Footing, at_stroke};
use crate::advice::recommend::weigh::{Burdens, Weights};
use crate::bench::rating::Rating;
use crate::bench::scenario::Scenario;
use crate::families::Entry;

/// A recommendation.
#[derive(Debug, Clone)]
pub struct Recommendation {
    /// Who asked.
    pub customer: Customer,
    /// The car in the model's terms.
    pub car: Car,
    /// What counted.
    pub weights: Weights,
    /// Seed of the draws.
    pub seed: u64,
    /// Draws over what is not known.
    pub draws: usize,
    /// Runs made in all.
    pub runs: usize,
    /// Air that the engine draws at its top end by the formula, m³/s.
    pub demand_m3_per_s: f64,
    /// The answer in a sentence or two.
    pub headline: String,
    /// How sure the ranking is, in words.
    pub sure: String,
    /// What the model says of the complaint.
    pub complaint: Option<String>,
    /// What counts for this customer, in words.
    pub counts: String,
    /// What was taken for the answers that are missing.
    pub assumed: Vec<Line>,
    /// The proposals, the best first; never empty.
    pub proposals: Vec<Proposal>,
    /// Starting hot.
    pub hot: Hot,
    /// How to read it: what each criterion is, and where the weights come from.
    pub reading: Vec<String>,
    /// Cautions that hold for all of it.
    pub cautions: Vec<String>,
    /// What to know where the law is concerned.
    pub law: String,
    /// What the model leaves out; whoever hands the recommendation over fills it from the list of what it rests on.
    pub left_out: Vec<String>,
}

/// A label and a text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Line {
    /// As shown.
    pub label: String,
    /// As shown.
    pub text: String,
}

/// Starting hot.
#[derive(Debug, Clone, PartialEq)]
pub struct Hot {
    /// As it is, and with each remedy.
    pub rows: Vec<HotRow>,
    /// What follows, in words.
    pub text: String,
}

/// One proposal.
#[derive(Debug, Clone)]
pub struct Proposal {
    /// "Keep what you have", "Fit: …".
    pub title: String,
    /// What the workshop would do.
    pub action: Action,
    /// Its family.
    pub family: &'static Entry,
    /// Bores over the default ones.
    pub factor: f64,
    /// Rated flow.
    pub rating: Rating,
    /// As it is to be set on the customer's car; of no stroke in particular.
    pub scenario: Scenario,
    /// Settings that are changed.
    pub changes: Vec<Change>,
    /// Where the pedal stands before each stroke, and the cruise.
    pub footing: Footing,
    /// What it does.
    pub figures: Figures,
    /// Its burdens, in points: means over what is not known.
    pub burdens: Burdens,
    /// Their weighted sum, by which the proposals are ranked.
    pub cost: f64,
    /// Its cost if all is as told and assumed and the model's figures are right.
    pub cost_as_told: f64,
    /// Work until it is fitted and set, s.
    pub work_s: f64,
    /// No other is at least as good in everything and better in something.
    pub on_front: bool,
    /// Share of the draws in which it is the best.
    pub first_share: f64,
    /// Share of the draws in which it beats what is fitted now; `None` for that itself, and where nobody knows it.
    pub beats_fitted: Option<f64>,
    /// Within what can be known it is as good as the first.
    pub alike: bool,
    /// What it does better than what it is compared with.
    pub gains: Vec<String>,
    /// What it does worse.
    pub costs: Vec<String>,
    /// What it is compared with.
    pub against: String,
    /// Why, from the runs.
    pub why: Vec<String>,
    /// How it is to be set at first.
    pub settings: Vec<FirstSetting>,
    /// In which order to tune it.
    pub steps: Vec<Step>,
    /// How far each setting may be off.
    pub room: Vec<String>,
}

impl Proposal {
    /// The scenario of one stroke, as it was run.
    pub fn at_stroke(&self, car: &Car, stroke: usize) -> Scenario {
        let rest = self.figures.stabs.iter().find(|stab| stab.stroke == stroke).map(|stab| stab.rest);
        at_stroke(&self.scenario, car, rest.unwrap_or(self.footing.rests[stroke]), stroke)
    }
}

/// A setting to begin with.
#[derive(Debug, Clone, PartialEq)]
pub struct FirstSetting {
    /// `group.key` as files have it.
    pub key: String,
    /// As shown.
    pub label: String,
    /// With its unit.
    pub value: String,
    /// As it was found or delivered, where that is another.
    pub before: Option<String>,
}

/// One step of tuning.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Step {
    /// First this, look for that.
    pub text: String,
    /// What to be careful of.
    pub caution: &'static str,
}
