//! What a use counts: in one place, all of it common practice and from memory.
//!
//! Every criterion is a burden, less is better, counted in points: a point is what the table of [`UNITS`] says. A
//! design's cost is the sum of its burdens, each times its weight. Weights come from the uses, from what the owner
//! complains of and from the owner's patience; no family stands here.

use crate::advice::intake::Customer;
use crate::advice::intake::answers::{Complaint, Patience};
use crate::advice::recommend::stroke::STROKES;

/// What a design is judged by.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Criterion {
    /// Torque lost to a wrong mixture after the pedal is floored.
    Clean,
    /// How far it gets in the time after that.
    Pull,
    /// Torque at the top end.
    Top,
    /// Fuel for a kilometre at a steady cruise.
    Fuel,
    /// Time on the bench until it is fitted and set.
    Effort,
    /// What is lost when a setting is a fifth off.
    Narrow,
}

/// Criteria.
pub const CRITERIA: usize = 6;

impl Criterion {
    /// Every criterion.
    pub const ALL: [Self; CRITERIA] = [Self::Clean, Self::Pull, Self::Top, Self::Fuel, Self::Effort, Self::Narrow];

    /// Stable key in files.
    pub const fn id(self) -> &'static str {
        match self {
            Self::Clean => "clean",
            Self::Pull => "pull",
            Self::Top => "top",
            Self::Fuel => "fuel",
            Self::Effort => "effort",
            Self::Narrow => "narrow",
        }
    }

    /// As shown.
    pub const fn label(self) -> &'static str {
        match self {
            Self::Clean => "Clean when floored",
            Self::Pull => "Pull in the first two seconds",
            Self::Top => "Power at the top",
            Self::Fuel => "Fuel at a steady cruise",
            Self::Effort => "Work to fit and set",
            Self::Narrow => "Room for error in its settings",
        }
    }
}

/// What a point is: 60 ms without torque (where a hesitation begins), a twentieth of the pull, of the top-end torque, of
/// the fuel; an hour of work; and for room for error 60 ms again.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Units {
    /// s of lost torque.
    pub lost_s: f64,
    /// Share.
    pub share: f64,
    /// s of work.
    pub work_s: f64,
}

/// See [`Units`].
pub const UNITS: Units = Units { lost_s: 0.06, share: 0.05, work_s: 3600.0 };

/// One number a criterion.
pub type Burdens = [f64; CRITERIA];

/// How much each criterion and each stroke counts.
#[derive(Debug, Clone, PartialEq)]
pub struct Weights {
    /// In the order of [`Criterion::ALL`].
    pub criteria: Burdens,
    /// In the order of [`STROKES`]; they add up to 1.
    pub strokes: [f64; STROKES.len()],
}

/// One use: what it counts of clean, pull, top and fuel, and of each stroke.
struct Row {
    criteria: [f64; 4],
    strokes: [f64; STROKES.len()],
}

/// Daily, towing, strip, long roads.
const USES: [Row; 4] = [
    Row { criteria: [1.0, 0.5, 0.2, 0.5], strokes: [0.5, 0.25, 0.25, 0.0] },
    Row { criteria: [1.2, 0.8, 0.2, 0.5], strokes: [0.3, 0.0, 0.1, 0.6] },
    Row { criteria: [0.7, 1.2, 1.5, 0.05], strokes: [0.1, 0.2, 0.7, 0.0] },
    Row { criteria: [0.8, 0.4, 0.3, 0.8], strokes: [0.3, 0.7, 0.0, 0.0] },
];

/// What the owner complains of counts so many times.
const COMPLAINT: f64 = 2.0;

/// What an hour of work and a setting without room for error count. More patience: both less, and nothing else moves.
const fn patience(patience: Patience) -> [f64; 2] {
    match patience {
        Patience::Leave => [0.25, 1.0],
        Patience::Some => [0.15, 0.5],
        Patience::Enjoys => [0.06, 0.2],
    }
}

impl Weights {
    /// Of a customer.
    pub fn of(customer: &Customer) -> Self {
        let told = &customer.usage;
        let mut shares = [told.daily, told.towing, told.strip, told.cruise];
        if shares.iter().sum::<f64>() <= 0.0 {
            shares[0] = 1.0;
        }
        let whole: f64 = shares.iter().sum();
        let mixed =
            |of: &dyn Fn(&Row) -> f64| USES.iter().zip(shares).map(|(row, share)| of(row) * share / whole).sum();
        let [effort, narrow] = patience(customer.owner.patience);
        let [clean, pull, top, fuel] = std::array::from_fn(|i| mixed(&|row: &Row| row.criteria[i]));
        let mut weights = Self {
            criteria: [clean, pull, top, fuel, effort, narrow],
            strokes: std::array::from_fn(|i| mixed(&|row: &Row| row.strokes[i])),
        };
        for criterion in complained(customer.now.complaint) {
            weights.criteria[*criterion as usize] *= COMPLAINT;
        }
        weights
    }

    /// What a design costs, in points.
    pub fn cost(&self, burdens: &Burdens) -> f64 {
        self.criteria.iter().zip(burdens).map(|(weight, burden)| weight * burden).sum()
    }
}

/// What a complaint is about. Hot starting is about none of these: see [`super::hot`].
const fn complained(complaint: Complaint) -> &'static [Criterion] {
    match complaint {
        Complaint::Bogs | Complaint::Hesitates => &[Criterion::Clean],
        Complaint::Thirsty => &[Criterion::Fuel],
        Complaint::FlatAtTop => &[Criterion::Top],
        Complaint::Nothing | Complaint::HotStart => &[],
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_weight_counts_and_strokes_add_up_to_one() {
        for row in &USES {
            assert!(row.criteria.iter().all(|weight| *weight > 0.0));
            assert!((row.strokes.iter().sum::<f64>() - 1.0).abs() < 1e-12);
        }
        let mut customer = Customer::default();
        for patience in Patience::ALL {
            customer.owner.patience = *patience;
            assert!(Weights::of(&customer).criteria.iter().all(|weight| *weight > 0.0));
        }
        customer.usage =
            crate::advice::intake::answers::UseAnswers { daily: 0.0, towing: 0.0, strip: 0.0, cruise: 0.0 };
        assert!((Weights::of(&customer).strokes.iter().sum::<f64>() - 1.0).abs() < 1e-12, "nothing counts as daily");
    }
}
