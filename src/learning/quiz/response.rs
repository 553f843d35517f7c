//! What a learner answers, and its short text for a record.

use crate::learning::quiz::item::{Item, Kind};

/// An answer.
#[derive(Debug, Clone, PartialEq)]
pub enum Response {
    /// An option, by its place in the item.
    Choice(usize),
    /// A number as typed, with or without a unit.
    Numeric(String),
    /// Events by their places in the item, the earliest first.
    Order(Vec<usize>),
    /// A part of the drawing, by its id.
    Point(String),
    /// Points of a curve: s after the pedal begins to move, SI value.
    Sketch(Vec<(f64, f64)>),
    /// A value for each free setting, SI; `None` leaves it as it is.
    Tune(Vec<Option<f64>>),
    /// A candidate, by its place in the item.
    Fault(usize),
    /// Nothing: the learner went on.
    Skipped,
}

/// What a verdict on an answer says.
#[derive(Debug, Clone, PartialEq)]
pub struct Graded {
    /// From 0 to 1.
    pub score: f64,
    /// Whether it counts as right.
    pub right: bool,
    /// What is told to the learner.
    pub told: String,
    /// The belief behind it, where it is known.
    pub misconception: Option<String>,
}

/// Longest text that a record keeps of what was typed, in characters.
const LONGEST_TYPED: usize = 40;
/// Most points that a record keeps of a sketch.
const MOST_POINTS: usize = 64;

impl Response {
    /// The text for a record, in one line: what was chosen by its number from 1 or its id, what was typed, points as
    /// `TIME VALUE` and settings as `group.key=VALUE` with semicolons between, SI. Empty for no answer.
    pub fn chosen(&self, item: &Item) -> String {
        match (self, &item.kind) {
            (Self::Choice(place), _) => (place + 1).to_string(),
            (Self::Numeric(typed), _) => {
                typed.split_whitespace().collect::<Vec<_>>().join(" ").chars().take(LONGEST_TYPED).collect()
            }
            (Self::Point(id), _) => id.clone(),
            (Self::Order(places), Kind::Order(order)) => {
                let ids = places.iter().filter_map(|place| Some(order.events.get(*place)?.id));
                ids.collect::<Vec<_>>().join(";")
            }
            (Self::Fault(place), Kind::Fault(fault)) => {
                fault.candidates.get(*place).map_or_else(String::new, |candidate| candidate.id.clone())
            }
            (Self::Tune(values), Kind::Tune(tune)) => {
                let set = tune.free.iter().zip(values).filter_map(|(free, value)| Some((free, (*value)?)));
                set.map(|(free, value)| format!("{}={value}", free.key)).collect::<Vec<_>>().join(";")
            }
            (Self::Sketch(points), _) => {
                let every = points.len().div_ceil(MOST_POINTS).max(1);
                let kept = points.iter().step_by(every);
                kept.map(|(time, value)| format!("{time:.4} {value:.5e}")).collect::<Vec<_>>().join(";")
            }
            _ => String::new(),
        }
    }

    /// The answer that a record's text stands for; `None` if it is none to this item.
    pub fn from_chosen(item: &Item, text: &str) -> Option<Self> {
        if text.is_empty() {
            return Some(Self::Skipped);
        }
        let pieces = || text.split(';').filter(|piece| !piece.is_empty());
        match &item.kind {
            Kind::Choice(choice) => {
                let place = text.parse::<usize>().ok()?.checked_sub(1)?;
                (place < choice.options.len()).then_some(Self::Choice(place))
            }
            Kind::Numeric(_) => Some(Self::Numeric(text.to_owned())),
            Kind::Point(_) => Some(Self::Point(text.to_owned())),
            Kind::Order(order) => {
                let place = |id: &str| order.events.iter().position(|event| event.id == id);
                pieces().map(place).collect::<Option<_>>().map(Self::Order)
            }
            Kind::Fault(fault) => fault.candidates.iter().position(|candidate| candidate.id == text).map(Self::Fault),
            Kind::Tune(tune) => {
                let mut values = vec![None; tune.free.len()];
                for piece in pieces() {
                    let (key, value) = piece.split_once('=')?;
                    let place = tune.free.iter().position(|free| free.key == key)?;
                    *values.get_mut(place)? = Some(finite(value)?);
                }
                Some(Self::Tune(values))
            }
            Kind::Sketch(_) => {
                let point =
                    |piece: &str| piece.split_once(' ').and_then(|(time, value)| Some((finite(time)?, finite(value)?)));
                pieces().map(point).collect::<Option<_>>().map(Self::Sketch)
            }
        }
    }
}

fn finite(text: &str) -> Option<f64> {
    text.parse().ok().filter(|number: &f64| number.is_finite())
}
