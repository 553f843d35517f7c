//! Runs side by side on one axis of time, whatever was run: what flags, traces and their controls show.

use super::worker::BenchId;
use crate::units::{Figure, Quantity};

/// A bench on the axis of time.
#[derive(Debug, Clone)]
pub struct Track {
    /// Its bench.
    pub id: BenchId,
    /// Number of the run that is shown.
    pub answered: u64,
    /// As shown.
    pub name: String,
    /// Whether the shown run is older than the settings.
    pub waiting: bool,
    /// Named moments, in order of time.
    pub flags: Vec<Flag>,
}

/// A named moment.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Flag {
    /// When, s.
    pub time_s: f64,
    /// What.
    pub label: &'static str,
    /// Names of less rank find room first.
    pub rank: usize,
}

/// A curve's values on one bench at even steps of time from 0.
#[derive(Debug, Clone)]
pub struct Readings {
    /// Time between two values, s.
    pub interval_s: f64,
    /// SI; not a number where the bench has none.
    pub values: Vec<f64>,
}

impl Readings {
    /// The value at a time, straight between two; `None` where there is none.
    pub fn at(&self, time_s: f64) -> Option<f64> {
        let last = self.values.len().checked_sub(1)?;
        let place = (time_s / self.interval_s).clamp(0.0, last as f64);
        let before = (place.floor() as usize).min(last);
        let (a, b) = (*self.values.get(before)?, *self.values.get((before + 1).min(last))?);
        let value = if a == b { a } else { a + (b - a) * (place - before as f64) };
        value.is_finite().then_some(value)
    }
}

/// One curve.
#[derive(Debug, Clone)]
pub struct Curve {
    /// As shown.
    pub label: &'static str,
    /// What it measures.
    pub quantity: Quantity,
    /// On each bench, once that has run and if it has such a figure.
    pub readings: Vec<Option<Readings>>,
}

/// A small trace: curves on one axis.
#[derive(Debug, Clone)]
pub struct TracePanel {
    /// Stable key.
    pub key: String,
    /// As shown.
    pub title: &'static str,
    /// The first is the heaviest.
    pub curves: Vec<Curve>,
    /// Values at the ends of the axis, SI.
    pub range: (f64, f64),
    /// Limits beyond which the ground is shaded: below, above, with a word each.
    pub limits: Option<[(f64, &'static str); 2]>,
}

/// A panel of channels by their ids: key, title, ids; of each run the time between its samples, s, and the samples.
pub fn panel<S>(
    runs: &[Option<(f64, &[S])>],
    channels: &'static [Figure<S, f64>],
    (key, title, ids): (&str, &'static str, &[&str]),
) -> TracePanel {
    let of = |id: &&str| {
        let channel = channels.iter().find(|channel| channel.id == *id)?;
        let readings = |run: &Option<(f64, &[S])>| {
            let (interval_s, samples) = (*run)?;
            Some(Readings { interval_s, values: samples.iter().map(channel.get).collect() })
        };
        let readings = runs.iter().map(readings).collect();
        Some(Curve { label: channel.label, quantity: channel.quantity, readings })
    };
    let curves: Vec<_> = ids.iter().filter_map(of).collect();
    TracePanel { key: key.to_owned(), title, range: range(&curves), curves, limits: None }
}

/// Least and greatest value of curves on all benches; always some height. Zero is within it unless the quantity has no
/// zero worth the room.
pub fn range(curves: &[Curve]) -> (f64, f64) {
    let floats = curves.first().is_some_and(|curve| curve.quantity == Quantity::Temperature);
    let start = if floats { (f64::INFINITY, f64::NEG_INFINITY) } else { (0.0_f64, 0.0_f64) };
    let values = curves.iter().flat_map(|curve| curve.readings.iter().flatten()).flat_map(|r| r.values.iter());
    let (least, most) = values
        .copied()
        .filter(|value| value.is_finite())
        .fold(start, |(least, most), value| (least.min(value), most.max(value)));
    match most - least {
        height if height >= 1e-12 => (least, most),
        _ if least.is_finite() => (least, least + 1.0),
        _ => (0.0, 1.0),
    }
}

/// How times are written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Clock {
    /// Seconds with milliseconds.
    Seconds,
    /// Minutes and seconds.
    Minutes,
}

impl Clock {
    /// A time.
    pub fn at(self, time_s: f64) -> String {
        match self {
            Self::Seconds => format!("{time_s:.3} s"),
            Self::Minutes => {
                let seconds = time_s.max(0.0).round();
                format!("{:.0}:{:02.0} min", (seconds / 60.0).floor(), seconds % 60.0)
            }
        }
    }

    /// Distances between ticks, s, in rising order; the last serves where none is wide enough.
    pub fn steps(self) -> &'static [f64] {
        match self {
            Self::Seconds => &[0.001, 0.002, 0.005, 0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1.0, 2.0, 5.0],
            Self::Minutes => &[5.0, 15.0, 30.0, 60.0, 120.0, 300.0, 600.0, 900.0, 1800.0, 3600.0],
        }
    }

    /// A tick's time, no more exact than the distance between ticks.
    pub fn tick(self, time_s: f64, step_s: f64) -> String {
        match self {
            Self::Seconds => {
                let decimals = if step_s < 0.01 { 3 } else { usize::from(step_s < 1.0) + usize::from(step_s < 0.1) };
                format!("{time_s:.decimals$} s")
            }
            Self::Minutes if step_s < 60.0 => self.at(time_s),
            Self::Minutes => format!("{:.0} min", time_s / 60.0),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn readings_hold_at_their_ends_and_say_where_there_is_nothing() {
        let readings = Readings { interval_s: 2.0, values: vec![1.0, 3.0, f64::NAN] };
        assert_eq!([-1.0, 1.0, 2.0].map(|time| readings.at(time)), [Some(1.0), Some(2.0), None]);
        assert_eq!(Readings { interval_s: 1.0, values: Vec::new() }.at(0.0), None);
    }

    #[test]
    fn minutes_are_written_with_their_seconds() {
        assert_eq!([0.0, 59.6, 754.0].map(|time| Clock::Minutes.at(time)), ["0:00 min", "1:00 min", "12:34 min"]);
    }

    #[test]
    fn a_range_without_values_or_height_still_has_some() {
        let curve = |quantity, values: Vec<f64>| Curve {
            label: "x",
            quantity,
            readings: vec![Some(Readings { interval_s: 1.0, values })],
        };
        assert_eq!(range(&[curve(Quantity::Temperature, vec![f64::NAN])]), (0.0, 1.0));
        assert_eq!(range(&[curve(Quantity::Temperature, vec![300.0, 300.0])]), (300.0, 301.0));
        assert_eq!(range(&[curve(Quantity::Power, vec![3.0])]), (0.0, 3.0));
    }
}
