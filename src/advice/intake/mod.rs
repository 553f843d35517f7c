//! What a customer tells at the counter: one declaration a question, and every answer may be missing.
//!
//! A question that nobody answered has its default and counts as unknown: a recommendation is then asked over the
//! range in which the answer plausibly lies.

pub mod answers;
mod spread;

use crate::advice::intake::answers::{
    CarAnswers, EngineAnswers, FamilyAnswer, NowAnswers, OwnerAnswers, PlaceAnswers, UseAnswers,
};
use crate::settings::grouped::{Group, Grouped, OutOfRange, Place};
use crate::settings::{Setting, Settings};
use crate::solver::sampling::latin;
use std::collections::BTreeSet;

/// A setting of the carburettor that the customer has, as it was found.
#[derive(Debug, Clone, PartialEq)]
pub struct AsFound {
    /// Group of the scenario.
    pub group: String,
    /// Key in that group.
    pub key: String,
    /// SI.
    pub value: f64,
}

/// A customer: what was answered, and defaults for the rest.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Customer {
    /// What the card is called.
    pub name: String,
    /// Anything else; an invented customer says so here.
    pub note: String,
    /// The engine.
    pub engine: EngineAnswers,
    /// What it moves.
    pub car: CarAnswers,
    /// What for.
    pub usage: UseAnswers,
    /// Where, and on what fuel.
    pub place: PlaceAnswers,
    /// What is fitted now.
    pub now: NowAnswers,
    /// What the owner wants to do.
    pub owner: OwnerAnswers,
    /// Settings of what is fitted now; they belong to the kind in [`Self::now`].
    pub as_found: Vec<AsFound>,
    known: BTreeSet<(usize, usize)>,
}

/// Groups of questions in the order in which they are asked.
pub const GROUPS: &[Group] = &[
    Group { id: "engine", label: "Engine" },
    Group { id: "car", label: "Car" },
    Group { id: "use", label: "What it is for" },
    Group { id: "place", label: "Where it runs" },
    Group { id: "now", label: "What it has now" },
    Group { id: "owner", label: "You" },
];

impl Grouped for Customer {
    fn groups(&self) -> &'static [Group] {
        GROUPS
    }

    fn tables(&self, group: usize) -> Vec<&dyn Settings> {
        match group {
            0 => vec![&self.engine],
            1 => vec![&self.car],
            2 => vec![&self.usage],
            3 => vec![&self.place],
            4 => vec![&self.now],
            5 => vec![&self.owner],
            _ => Vec::new(),
        }
    }

    fn tables_mut(&mut self, group: usize) -> Vec<&mut dyn Settings> {
        match group {
            0 => vec![&mut self.engine],
            1 => vec![&mut self.car],
            2 => vec![&mut self.usage],
            3 => vec![&mut self.place],
            4 => vec![&mut self.now],
            5 => vec![&mut self.owner],
            _ => Vec::new(),
        }
    }
}

/// A question that nobody answered, with what is taken for its answer.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Assumed {
    /// Which question.
    pub place: Place,
    /// Its declaration.
    pub setting: &'static Setting,
    /// What is taken, SI or place in the list of words.
    pub value: f64,
    /// Whether the recommendation is also asked over its range.
    pub varied: bool,
}

impl Customer {
    /// The answer to a question; `None` where it was not answered.
    pub fn answer(&self, place: Place) -> Option<f64> {
        self.is_known(place).then(|| self.value(place)).flatten()
    }

    /// Whether a question was answered.
    pub fn is_known(&self, place: Place) -> bool {
        self.known.contains(&(place.group, place.index))
    }

    /// The answer to the question called `group.key`, if it was answered.
    pub fn told(&self, group: &str, key: &str) -> Option<f64> {
        self.answer(self.place(group, key)?)
    }

    /// Answer a question.
    ///
    /// # Errors
    /// [`OutOfRange`], and nothing is changed, when the question does not take the answer.
    pub fn tell(&mut self, place: Place, value: f64) -> Result<(), OutOfRange> {
        self.set(place, value)?;
        if self.setting(place).is_some() {
            self.known.insert((place.group, place.index));
        }
        Ok(())
    }

    /// Take an answer back: the question has its default again and counts as unknown.
    pub fn forget(&mut self, place: Place) {
        let Some(default) = self.setting(place).map(|setting| setting.default) else { return };
        if self.set(place, default).is_ok() {
            self.known.remove(&(place.group, place.index));
        }
    }

    /// The kind that is fitted now, if it was told.
    pub fn fitted(&self) -> Option<FamilyAnswer> {
        self.told("now", "kind").map(|_| self.now.kind)
    }

    /// Every question without an answer.
    pub fn assumed(&self) -> Vec<Assumed> {
        let unknown = self.places().into_iter().filter(|place| !self.is_known(*place));
        unknown
            .filter_map(|place| {
                let (setting, value) = (self.setting(place)?, self.value(place)?);
                Some(Assumed { place, setting, value, varied: spread::of(self, place).is_some() })
            })
            .collect()
    }

    /// So many customers who could have given the same answers: what is unknown lies anywhere in its plausible range,
    /// spread as a Latin square. The same ones every time for a seed.
    pub fn drawn(&self, count: usize, seed: u64) -> Vec<Self> {
        let open: Vec<_> = self.assumed().into_iter().filter(|assumed| assumed.varied).collect();
        let points = latin(count, open.len(), seed);
        points
            .into_iter()
            .map(|point| {
                let mut drawn = self.clone();
                for (assumed, share) in open.iter().zip(point) {
                    if let Some(spread) = spread::of(self, assumed.place) {
                        // a range that no question takes would be a defect of the table, and a test says that there is none
                        drop(drawn.set(assumed.place, spread.at(assumed.setting, share)));
                    }
                }
                drawn
            })
            .collect()
    }
}
