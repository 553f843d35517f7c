//! A class that never was: thirty invented learners of the invented workshop Kestrel Yard, for demonstration and tests.
//!
//! Each learner has an ability and each item a difficulty, both drawn; a learner is right with the chance of Rasch's
//! model (*Probabilistic Models for Some Intelligence and Attainment Tests*, 1960), which rises with every answer given.

use crate::learning::outcomes::OUTCOMES;
use crate::learning::record::{Answer, LearnerCode, Mode};
use crate::learning::statistics::mastery::Outcomes;
use crate::solver::sampling::Random;

/// What a screen writes over it.
pub const TITLE: &str = "Evening class at Kestrel Yard (invented: these learners do not exist)";

/// Learners.
pub const LEARNERS: usize = 30;

/// Answers.
pub const ANSWERS: usize = 2_000;

/// Items to an outcome.
const ITEMS_PER_OUTCOME: usize = 3;

/// 7 September 2026, 17:00 UTC.
const BEGINS_UNIX_S: i64 = 1_788_800_400;

/// An invented class.
#[derive(Debug, Clone, PartialEq)]
pub struct InventedClass {
    /// Codes with invented names, which say that they are.
    pub learners: Vec<(LearnerCode, String)>,
    /// Answers in the order of their time.
    pub answers: Vec<Answer>,
    /// Outcomes of the invented items.
    pub outcomes: Outcomes,
}

/// The class of a seed: the same one every time.
pub fn invented_class(seed: u64) -> InventedClass {
    let mut random = Random::new(seed);
    let items: Vec<Item> =
        (0..OUTCOMES.len() * ITEMS_PER_OUTCOME).map(|place| Item::drawn(place, &mut random)).collect();
    let mut learners: Vec<Learner> = (0..LEARNERS).map(|_| Learner::drawn(items.len(), &mut random)).collect();
    let mut answers = Vec::with_capacity(ANSWERS);
    let mut at_unix_s = BEGINS_UNIX_S;
    for turn in 0..ANSWERS {
        at_unix_s += 5 + (random.unit() * 40.0) as i64;
        let place = turn % LEARNERS;
        answers.push(learners[place].answer(&items, at_unix_s, &mut random));
    }
    InventedClass {
        learners: learners
            .into_iter()
            .enumerate()
            .map(|(place, learner)| (learner.code, format!("Invented learner {:02}", place + 1)))
            .collect(),
        answers,
        outcomes: items.into_iter().map(|item| (item.id, vec![item.outcome])).collect(),
    }
}

struct Item {
    id: String,
    outcome: usize,
    mistaken: &'static str,
    difficulty: f64,
}

impl Item {
    fn drawn(place: usize, random: &mut Random) -> Self {
        let outcome = &OUTCOMES[place / ITEMS_PER_OUTCOME];
        let id = format!("invented_{:02}_{}", outcome.number, place % ITEMS_PER_OUTCOME + 1);
        Self { id, outcome: outcome.number, mistaken: outcome.mistaken, difficulty: normal(random) - 0.5 }
    }
}

struct Learner {
    code: LearnerCode,
    ability: f64,
    /// Items in the order in which this learner meets them; after the last one the first comes again.
    order: Vec<usize>,
    answered: usize,
}

impl Learner {
    fn drawn(items: usize, random: &mut Random) -> Self {
        let byte = || Ok::<u8, std::convert::Infallible>(random.bits().to_le_bytes()[0]);
        let code = match LearnerCode::drawn(byte) {
            Ok(code) => code,
            Err(never) => match never {},
        };
        let ability = normal(random);
        // the first third comes in the same order for all, as in a lesson, the rest as it is due
        let third = items / 3;
        let later = random.order(items - third).into_iter().map(|place| third + place);
        Self { code, ability, order: (0..third).chain(later).collect(), answered: 0 }
    }

    fn answer(&mut self, items: &[Item], at_unix_s: i64, random: &mut Random) -> Answer {
        /// What one answered question adds to the ability, in logits.
        const LEARNT: f64 = 0.01;
        let item = &items[self.order[self.answered % self.order.len()]];
        let mode = match self.answered / (items.len() / 3) {
            0 => Mode::Lesson,
            1 => Mode::Test { form: "invented".to_owned() },
            _ => Mode::Review,
        };
        let chance = 1.0 / (1.0 + (item.difficulty - self.ability - LEARNT * self.answered as f64).exp());
        let right = random.unit() < chance;
        let believed = random.unit() < 0.7;
        self.answered += 1;
        Answer {
            at_unix_s,
            learner: self.code.clone(),
            item: item.id.clone(),
            seed: random.bits(),
            mode,
            chosen: if right {
                "a"
            } else if believed {
                "b"
            } else {
                "c"
            }
            .to_owned(),
            right,
            score: f64::from(u8::from(right)),
            seconds: (40.0 + 400.0 * random.unit()).round() / 10.0,
            misconception: (!right && believed).then(|| item.mistaken.to_owned()),
        }
    }
}

/// Nearly normal: twelve even numbers have a sum of variance 1.
fn normal(random: &mut Random) -> f64 {
    (0..12).map(|_| random.unit()).sum::<f64>() - 6.0
}
