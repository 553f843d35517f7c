//! An item: one question with what is needed to ask, grade and explain it.

use crate::learning::claim::{Claim, Expression};
use crate::learning::figure::Figure;
use crate::learning::live::Bench;
use crate::learning::quiz::asked::Asked;
use crate::learning::quiz::choice::Choice;
use crate::learning::quiz::fault::Fault;
use crate::learning::quiz::numeric::Numeric;
use crate::learning::quiz::order::Order;
use crate::learning::quiz::point::Point;
use crate::learning::quiz::select::mixed;
use crate::learning::quiz::sketch::Drawn;
use crate::learning::quiz::text::{Gaps, Text};
use crate::learning::quiz::tune::Tune;
use crate::solver::sampling::Random;

/// An item.
#[derive(Debug, Clone)]
pub struct Item {
    /// Name of its own among all items; records refer to it.
    pub id: String,
    /// File in which it stands.
    pub file: String,
    /// Line at which it begins.
    pub line: usize,
    /// Topic of its file.
    pub topic: String,
    /// Numbers of [`crate::learning::outcomes::OUTCOMES`].
    pub outcomes: Vec<usize>,
    /// Stem of the lesson that it belongs to.
    pub lesson: Option<String>,
    /// Where the right answer comes from.
    pub source: String,
    /// The question.
    pub stem: Text,
    /// What is run; may be empty.
    pub benches: Vec<Bench>,
    /// Channels and groups of settings that are seen before the answer.
    pub look: Vec<String>,
    /// The section is seen before the answer at this time, s after the pedal begins to move or the engine stops.
    pub at_s: Option<f64>,
    /// What is told after every answer.
    pub explain: Text,
    /// What is to be done.
    pub kind: Kind,
}

/// What is to be done in an item.
#[derive(Debug, Clone)]
pub enum Kind {
    /// Choose an option.
    Choice(Choice),
    /// Work out a number.
    Numeric(Box<Numeric>),
    /// Put events in order.
    Order(Order),
    /// Point at a part.
    Point(Point),
    /// Draw a curve.
    Sketch(Drawn),
    /// Turn settings until a goal is reached.
    Tune(Tune),
    /// Find a fault.
    Fault(Fault),
}

/// A wrong answer that is worth a word.
#[derive(Debug, Clone)]
pub struct Word {
    /// The belief behind it, in a few words.
    pub misconception: String,
    /// What is so.
    pub answer: Text,
}

impl Kind {
    /// Every kind as files name it.
    pub const IDS: [&'static str; 7] = ["choice", "numeric", "order", "point", "sketch", "tune", "fault"];

    /// As files name it.
    pub fn id(&self) -> &'static str {
        match self {
            Self::Choice(_) => "choice",
            Self::Numeric(_) => "numeric",
            Self::Order(_) => "order",
            Self::Point(_) => "point",
            Self::Sketch(_) => "sketch",
            Self::Tune(_) => "tune",
            Self::Fault(_) => "fault",
        }
    }
}

impl Item {
    /// The question as it is put once: values drawn, choices shuffled, the same for the same seed.
    pub fn ask(&self, seed: u64) -> Asked {
        let mut random = Random::new(mixed(&self.id, seed));
        let (drawn, mut benches) = match &self.kind {
            Kind::Numeric(numeric) => {
                let drawn = numeric.values((random.unit() * numeric.combinations() as f64) as usize);
                let benches = numeric.set(&self.benches, &drawn);
                (drawn, benches)
            }
            _ => (Vec::new(), self.benches.clone()),
        };
        if let Kind::Fault(fault) = &self.kind {
            benches = fault.built_in(&self.benches, fault.fault);
        }
        let order = match &self.kind {
            Kind::Choice(choice) => random.order(choice.options.len()),
            Kind::Order(order) => random.order(order.events.len()),
            Kind::Fault(fault) => random.order(fault.candidates.len()),
            _ => Vec::new(),
        };
        Asked::new(self.clone(), seed, drawn, benches, order)
    }

    /// Every text of it that may hold values of a run: what is told, and to whom.
    pub fn told(&self) -> Vec<&Text> {
        let mut texts = vec![&self.explain];
        let of_kind: Vec<&Text> = match &self.kind {
            Kind::Choice(choice) => choice.options.iter().map(|option| &option.answer).collect(),
            Kind::Numeric(numeric) => numeric.slips.iter().map(|slip| &slip.word.answer).collect(),
            Kind::Order(order) => order.mistakes.iter().map(|mistake| &mistake.word.answer).collect(),
            Kind::Point(point) => point.mistakes.iter().map(|(_, word)| &word.answer).collect(),
            Kind::Sketch(_) => Vec::new(),
            Kind::Tune(tune) => tune.mistakes.iter().map(|(_, word)| &word.answer).collect(),
            Kind::Fault(fault) => fault.candidates.iter().map(|candidate| &candidate.answer).collect(),
        };
        texts.extend(of_kind);
        texts
    }

    /// Every claim of it.
    pub fn claims(&self) -> Vec<&Claim> {
        match &self.kind {
            Kind::Choice(choice) => choice.options.iter().filter_map(|option| option.claim.as_ref()).collect(),
            Kind::Tune(tune) => tune.goal.iter().chain(tune.mistakes.iter().map(|(claim, _)| claim)).collect(),
            _ => Vec::new(),
        }
    }

    /// Whether grading or telling needs a run.
    pub fn needs_run(&self) -> bool {
        let by_kind = match &self.kind {
            Kind::Order(_) | Kind::Sketch(_) | Kind::Tune(_) => true,
            Kind::Numeric(numeric) => numeric.formulas().any(|formula| !formula.figures().is_empty()),
            Kind::Choice(_) | Kind::Point(_) | Kind::Fault(_) => false,
        };
        by_kind || self.told().into_iter().any(|text| text.expressions().next().is_some())
    }

    /// Whether a run of it needs the steady figures too.
    pub fn needs_steady(&self) -> bool {
        let steady = |figure: &Figure| matches!(figure, Figure::Steady(_));
        let by_kind = match &self.kind {
            Kind::Numeric(numeric) => numeric.formulas().flat_map(|formula| formula.figures()).any(|f| steady(&f)),
            Kind::Fault(fault) => fault.measures.iter().any(|measure| steady(&measure.figure)),
            _ => false,
        };
        by_kind
            || self.told().into_iter().flat_map(Text::expressions).any(Expression::needs_steady)
            || self.claims().into_iter().flat_map(Claim::expressions).any(Expression::needs_steady)
    }

    /// The question with the drawn values as shown.
    pub(super) fn stem_with(&self, drawn: &[String]) -> String {
        self.stem.told(Gaps { drawn, key: None }, &[])
    }
}
