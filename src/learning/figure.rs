//! Figures of a run that a text may speak of.

use crate::bench::events::{self, EventKind};
use crate::bench::findings::Finding;
use crate::bench::rating::{Rating, TopEnd};
use crate::bench::scenario::Scenario;
use crate::bench::trace::{Channel, Sample};
use crate::bench::verdict::{BEGINS_S, Verdict};
use crate::families::OwnChannel;
use crate::heat::events::EventKind as SoakEventKind;
use crate::heat::findings::Finding as SoakFinding;
use crate::heat::trace::Channel as SoakChannel;
use crate::learning::seen::{Seen, StabSeen};
use crate::settings::grouped::{Grouped, Place};
use crate::units::{Quantity, UnitSystem};

/// A figure of one bench.
#[derive(Debug, Clone, Copy)]
pub enum Figure {
    /// How the stab went, as its place in the table of verdicts.
    Verdict,
    /// A finding of a stab.
    Finding(&'static Finding),
    /// A finding of a soak.
    SoakFinding(&'static SoakFinding),
    /// When an event first happens, s after the pedal begins to move.
    Event(EventKind),
    /// When an event of a soak first happens, s after the engine stops.
    SoakEvent(SoakEventKind),
    /// A figure of the steady top end or of the rating.
    Steady(&'static Steady),
    /// A channel read in one way.
    Channel(Column, Reading),
    /// A setting, and what it measures.
    Setting(Quantity, Place),
}

/// A figure that does not depend on the stab.
#[derive(Debug)]
pub struct Steady {
    /// As files name it.
    pub id: &'static str,
    /// As shown.
    pub label: &'static str,
    /// What it measures.
    pub quantity: Quantity,
    /// Its value, SI.
    pub get: fn(&Scenario, &Rating, &TopEnd) -> f64,
}

/// Figures that a run of its own or the rating gives.
pub const STEADY: &[Steady] = &[
    Steady {
        id: "rated_m3_per_s",
        label: "Rated flow",
        quantity: Quantity::VolumeFlow,
        get: |_, rating, _| rating.flow_m3_per_s,
    },
    Steady {
        id: "rated_without_device_m3_per_s",
        label: "Rated flow without the device",
        quantity: Quantity::VolumeFlow,
        get: |_, rating, _| rating.without_device_m3_per_s,
    },
    Steady {
        id: "device_share_of_rating",
        label: "Share of the rating that the device takes",
        quantity: Quantity::Fraction,
        get: |_, rating, _| 1.0 - rating.flow_m3_per_s / rating.without_device_m3_per_s,
    },
    Steady {
        id: "top_torque_nm",
        label: "Torque at top speed",
        quantity: Quantity::Torque,
        get: |_, _, top| top.torque_nm,
    },
    Steady {
        id: "top_air_kg_per_s",
        label: "Air at top speed",
        quantity: Quantity::AirFlow,
        get: |_, _, top| top.air_kg_per_s,
    },
    Steady { id: "top_lambda", label: "λ at top speed", quantity: Quantity::Number, get: |_, _, top| top.lambda },
    Steady {
        id: "device_cost",
        label: "Torque that the device costs at top speed",
        quantity: Quantity::Fraction,
        get: |_, _, top| top.device_cost,
    },
    // half the displacement in every turn: what the trade's formula gives with a filling of 1
    Steady {
        id: "demand_m3_per_s",
        label: "Air that the engine asks for",
        quantity: Quantity::VolumeFlow,
        get: |scenario, _, _| {
            scenario.engine.displacement_m3 * scenario.engine.top_speed / (2.0 * std::f64::consts::TAU)
        },
    },
];

/// A channel of a trace.
#[derive(Debug, Clone, Copy)]
pub enum Column {
    /// One that every stab has.
    Common(&'static Channel),
    /// One of the family's own, and its place among those.
    Own(&'static OwnChannel, usize),
    /// One of a soak.
    Soak(&'static SoakChannel),
}

/// How a channel becomes one number.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Reading {
    /// Least value.
    Least,
    /// Greatest value.
    Most,
    /// Value when the pedal begins to move or the engine stops.
    Start,
    /// Value at the end.
    End,
    /// Sum over time, such as grams of a flow in grams a second.
    Total,
    /// Value at a time, s after the pedal begins to move or the engine stops.
    At(f64),
}

/// What a number measures.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Measure {
    /// A place in the table of verdicts.
    Verdict,
    /// A quantity.
    Quantity(Quantity),
}

impl Measure {
    /// A bare number.
    pub const NUMBER: Self = Self::Quantity(Quantity::Number);

    /// A value as text.
    pub fn shown(self, value: f64) -> String {
        match self {
            Self::Verdict => verdict_at(value).map_or_else(|| value.to_string(), |verdict| verdict.phrase().to_owned()),
            Self::Quantity(quantity) => quantity.show(value, UnitSystem::Si),
        }
    }
}

/// Place of a verdict in the table, by its id.
pub fn verdict_place(id: &str) -> Option<f64> {
    BEGINS_S.iter().position(|(verdict, _)| verdict.id() == id).map(|place| place as f64)
}

fn verdict_at(place: f64) -> Option<Verdict> {
    BEGINS_S.get(place as usize).map(|(verdict, _)| *verdict)
}

impl Column {
    /// As files name it.
    pub fn id(self) -> &'static str {
        match self {
            Self::Common(channel) => channel.id,
            Self::Own(channel, _) => channel.id,
            Self::Soak(channel) => channel.id,
        }
    }

    /// As shown.
    pub fn label(self) -> &'static str {
        match self {
            Self::Common(channel) => channel.label,
            Self::Own(channel, _) => channel.label,
            Self::Soak(channel) => channel.label,
        }
    }

    /// What it measures.
    pub fn quantity(self) -> Quantity {
        match self {
            Self::Common(channel) => channel.quantity,
            Self::Own(channel, _) => channel.quantity,
            Self::Soak(channel) => channel.quantity,
        }
    }

    fn of(self, sample: &Sample) -> f64 {
        match self {
            Self::Common(channel) => (channel.get)(sample),
            Self::Own(_, place) => sample.own.get(place).copied().unwrap_or(f64::NAN),
            Self::Soak(_) => f64::NAN,
        }
    }

    /// Value at a time, s after the pedal begins to move or the engine stops; not a number for a bench of another kind.
    pub fn at(self, seen: &Seen, time_s: f64) -> f64 {
        match (seen, self) {
            (Seen::Soak(soak), Self::Soak(channel)) => (channel.get)(&soak.run.trace.at(time_s)),
            (Seen::Stab(stab), _) => self.of(&stab.run.trace.at(stab.scenario.pedal.begin_s + time_s)),
            _ => f64::NAN,
        }
    }

    /// Its values after the pedal begins to move or the engine stops, and the time between them, s. A soak counts while
    /// the engine stands.
    pub fn values(self, seen: &Seen) -> (Vec<f64>, f64) {
        match (seen, self) {
            (Seen::Soak(soak), Self::Soak(channel)) => {
                let trace = &soak.run.trace;
                (trace.standing().iter().map(channel.get).collect(), trace.interval_s)
            }
            (Seen::Stab(stab), _) => {
                let begin = stab.scenario.pedal.begin_s - 1e-9;
                let samples = stab.run.trace.samples.iter().filter(|sample| sample.time_s >= begin);
                (samples.map(|sample| self.of(sample)).collect(), stab.run.trace.interval_s)
            }
            _ => (Vec::new(), 0.0),
        }
    }
}

impl Reading {
    fn of(self, column: Column, seen: &Seen) -> Option<f64> {
        if let Self::At(time_s) = self {
            return Some(column.at(seen, time_s));
        }
        let (values, interval_s) = column.values(seen);
        match self {
            Self::Least => values.into_iter().reduce(f64::min),
            Self::Most => values.into_iter().reduce(f64::max),
            Self::Start => values.first().copied(),
            Self::Total => Some(values.windows(2).map(|pair| 0.5 * interval_s * (pair[0] + pair[1])).sum()),
            Self::End | Self::At(_) => values.last().copied(),
        }
    }

    fn label(self) -> String {
        match self {
            Self::Least => "least".to_owned(),
            Self::Most => "greatest".to_owned(),
            Self::Start => "at the start".to_owned(),
            Self::End => "at the end".to_owned(),
            Self::Total => "in all".to_owned(),
            Self::At(time_s) => format!("at {time_s} s"),
        }
    }

    fn measures(self, column: Column) -> Quantity {
        match (self, column.quantity()) {
            (Self::Total, Quantity::FuelMassFlow | Quantity::AirFlow) => Quantity::SmallMass,
            (Self::Total, _) => Quantity::Number,
            (_, quantity) => quantity,
        }
    }
}

impl Figure {
    /// What it measures.
    pub fn measure(self) -> Measure {
        Measure::Quantity(match self {
            Self::Verdict => return Measure::Verdict,
            Self::Finding(finding) => finding.quantity,
            Self::SoakFinding(finding) => finding.quantity,
            Self::Event(_) => Quantity::ShortTime,
            Self::SoakEvent(_) => Quantity::LongTime,
            Self::Steady(steady) => steady.quantity,
            Self::Channel(column, reading) => reading.measures(column),
            Self::Setting(quantity, _) => quantity,
        })
    }

    /// What it is, in words.
    pub fn label(self) -> String {
        match self {
            Self::Verdict => "Verdict".to_owned(),
            Self::Finding(finding) => finding.label.to_owned(),
            Self::SoakFinding(finding) => finding.label.to_owned(),
            Self::Event(kind) => kind.label().to_owned(),
            Self::SoakEvent(kind) => kind.label().to_owned(),
            Self::Steady(steady) => steady.label.to_owned(),
            Self::Setting(..) => "Setting".to_owned(),
            Self::Channel(column, reading) => format!("{}, {}", column.label(), reading.label()),
        }
    }

    /// Its value, SI; `None`: it did not happen, or this bench has no such figure.
    pub fn value(self, seen: &Seen) -> Option<f64> {
        let value = match (seen, self) {
            (_, Self::Channel(column, reading)) => reading.of(column, seen),
            (Seen::Stab(stab), _) => self.of_stab(stab),
            (Seen::Soak(soak), Self::SoakFinding(finding)) => (finding.get)(&soak.run.findings),
            (Seen::Soak(soak), Self::SoakEvent(kind)) => {
                let standing = |time: &f64| *time <= soak.run.trace.restart_s;
                crate::heat::events::first(&soak.run.events, kind, 0.0).filter(standing)
            }
            (Seen::Soak(soak), Self::Setting(_, place)) => soak.soak.value(place),
            _ => None,
        };
        value.filter(|value| value.is_finite())
    }

    fn of_stab(self, stab: &StabSeen) -> Option<f64> {
        let begin = stab.scenario.pedal.begin_s;
        match self {
            Self::Verdict => verdict_place(stab.findings.verdict.id()),
            Self::Finding(finding) => (finding.get)(&stab.findings),
            Self::Event(kind) => events::first(&stab.run.events, kind, begin - 1e-6).map(|time| time - begin),
            Self::Steady(steady) => stab.steady.as_ref().map(|(rating, top)| (steady.get)(&stab.scenario, rating, top)),
            Self::Setting(_, place) => stab.scenario.value(place),
            _ => None,
        }
    }
}
