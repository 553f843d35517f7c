//! Put events of a run in order.

use crate::learning::figure::Figure;
use crate::learning::quiz::asked::{self, Asked};
use crate::learning::quiz::item::Word;
use crate::learning::quiz::response::Graded;
use crate::learning::seen::Seen;

/// Events to be put in order; the run says which is right.
#[derive(Debug, Clone)]
pub struct Order {
    /// In the order of the file.
    pub events: Vec<Moment>,
    /// Least time between one and the next, s.
    pub apart_s: f64,
    /// Pairs in the wrong order that are worth a word.
    pub mistakes: Vec<Mistake>,
}

/// An event of the first bench.
#[derive(Debug, Clone)]
pub struct Moment {
    /// As files name it.
    pub id: &'static str,
    /// As shown.
    pub label: &'static str,
    /// When it first happens.
    pub figure: Figure,
}

/// A pair in the wrong order: by places among the events.
#[derive(Debug, Clone)]
pub struct Mistake {
    /// Put before the other, though it happens after it.
    pub first: usize,
    /// The other.
    pub then: usize,
    /// What is said to it.
    pub word: Word,
    /// Line of the file.
    pub line: usize,
}

impl Order {
    /// When each happens, s; `None` for one that does not.
    pub fn times(&self, seen: &[Seen]) -> Vec<Option<f64>> {
        self.events.iter().map(|event| event.figure.value(seen.first()?)).collect()
    }

    /// Places of the events, the earliest first; `None` if one does not happen.
    pub fn key(&self, seen: &[Seen]) -> Option<Vec<usize>> {
        let times: Vec<f64> = self.times(seen).into_iter().collect::<Option<_>>()?;
        let mut places: Vec<usize> = (0..times.len()).collect();
        places.sort_by(|a, b| times[*a].total_cmp(&times[*b]));
        Some(places)
    }

    pub(super) fn solution(&self, seen: &[Seen]) -> Option<String> {
        let labels = |places: Vec<usize>| {
            places.into_iter().map(|place| self.events[place].label.to_lowercase()).collect::<Vec<_>>()
        };
        self.key(seen).map(|key| labels(key).join(", then "))
    }

    pub(super) fn grade(&self, places: &[usize], asked: &Asked, seen: &[Seen]) -> Result<Graded, String> {
        let mut sorted = places.to_vec();
        sorted.sort_unstable();
        if sorted != (0..self.events.len()).collect::<Vec<_>>() {
            return Err("put every event in its place, each once".to_owned());
        }
        let key = self.key(seen).ok_or("an event does not happen in this run")?;
        let score = kendall(places, &key);
        let at = |event: usize| places.iter().position(|place| *place == event);
        let made = self.mistakes.iter().find(|mistake| at(mistake.first) < at(mistake.then));
        let right = places == key;
        let word = asked::Word {
            told: made.map_or_else(String::new, |mistake| asked.text(&mistake.word.answer, seen)),
            misconception: made.map(|mistake| mistake.word.misconception.as_str()).filter(|_| !right),
            says_it: false,
        };
        Ok(asked.graded(score, right, word, seen))
    }
}

/// Kendall's τ of two orders without ties (M. G. Kendall, *Biometrika* 30 (1938) 81), and never below 0: pairs in the same
/// order less pairs in the other, by all pairs. So 1 is the right order, and guessing is worth 0 on average before the cut.
pub fn kendall(given: &[usize], key: &[usize]) -> f64 {
    let place = |of: usize| key.iter().position(|other| *other == of);
    let places: Vec<_> = given.iter().map(|of| place(*of)).collect();
    let pairs = (0..places.len()).flat_map(|a| (a + 1..places.len()).map(move |b| (a, b)));
    let (mut same, mut all) = (0.0, 0.0);
    for (a, b) in pairs {
        all += 1.0;
        same += if places[a] < places[b] { 1.0 } else { -1.0 };
    }
    if all > 0.0 { f64::max(same / all, 0.0) } else { 0.0 }
}
