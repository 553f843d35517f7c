//! Which curves a small trace holds.

use super::state::Bench;
use super::track::{self, Readings, TracePanel};
use crate::bench::scenario::Scenario;
use crate::bench::trace::{CHANNELS, Sample};
use crate::engine::torque::{LEAN_LIMIT, RICH_LIMIT};
use crate::units::Quantity;

/// Where a curve's value is found.
#[derive(Debug, Clone, Copy)]
enum Reading {
    /// In the sample.
    Common(fn(&Sample) -> f64),
    /// In the sample, against the travel of the scenario's plates.
    OfTravel(fn(&Scenario, &Sample) -> f64),
    /// Among the family's own figures, by the key of the column.
    Own(&'static str),
}

/// One curve.
#[derive(Debug, Clone, Copy)]
struct Curve {
    label: &'static str,
    quantity: Quantity,
    reading: Reading,
}

impl Curve {
    /// Its values on a bench; `None` if that has not run or has no such figure.
    fn readings(&self, bench: &Bench) -> Option<Readings> {
        let outcome = bench.outcome.as_ref()?;
        let trace = &outcome.run.trace;
        let values = match self.reading {
            Reading::Common(get) => trace.samples.iter().map(get).collect(),
            Reading::OfTravel(get) => trace.samples.iter().map(|sample| get(&outcome.scenario, sample)).collect(),
            Reading::Own(id) => {
                let place = trace.own.iter().position(|channel| channel.id == id)?;
                trace.samples.iter().map(|sample| sample.own.get(place).copied().unwrap_or(f64::NAN)).collect()
            }
        };
        Some(Readings { interval_s: trace.interval_s, values })
    }
}

/// A small trace that can be shown.
#[derive(Debug, Clone)]
pub struct Choice {
    /// Stable key.
    pub key: String,
    /// As shown.
    pub title: &'static str,
    curves: Vec<Curve>,
    /// Fixed range of the axis, SI; otherwise as the curves need.
    range: Option<(f64, f64)>,
    limits: Option<[(f64, &'static str); 2]>,
}

impl Choice {
    fn panel(self, benches: &[Bench]) -> TracePanel {
        let of_benches = |curve: Curve| track::Curve {
            label: curve.label,
            quantity: curve.quantity,
            readings: benches.iter().map(|bench| curve.readings(bench)).collect(),
        };
        let curves: Vec<_> = self.curves.into_iter().map(of_benches).collect();
        let range = self.range.unwrap_or_else(|| track::range(&curves));
        TracePanel { key: self.key, title: self.title, curves, range, limits: self.limits }
    }
}

fn share_of_travel(barrels: &crate::carburettor::barrels::Barrels, angle_rad: f64) -> f64 {
    let travel = barrels.wide_open_rad - barrels.closed_rad;
    if travel > 0.0 { (angle_rad - barrels.closed_rad) / travel } else { 0.0 }
}

fn common(label: &'static str, quantity: Quantity, get: fn(&Sample) -> f64) -> Curve {
    Curve { label, quantity, reading: Reading::Common(get) }
}

/// The composed traces, in order.
fn composed() -> Vec<Choice> {
    use Quantity::{AirFlow, Fraction, FuelMassFlow, Number, SmallPressure, Torque};
    let travel = |label, get| Curve { label, quantity: Fraction, reading: Reading::OfTravel(get) };
    let panel = |key: &str, title, curves| Choice { key: key.to_owned(), title, curves, range: None, limits: None };
    let full = Some((0.0, 1.0));
    vec![
        Choice {
            range: full,
            ..panel(
                "plates",
                "Pedal and plates",
                vec![
                    travel("Secondary plates", |c, s| share_of_travel(&c.secondary, s.secondary_plate_rad)),
                    travel("Primary plates", |c, s| share_of_travel(&c.primary, s.primary_plate_rad)),
                    common("Pedal", Fraction, |s| s.pedal),
                ],
            )
        },
        Choice {
            range: Some((0.5, 1.7)),
            limits: Some([(RICH_LIMIT, "too rich"), (LEAN_LIMIT, "too lean")]),
            ..panel("lambda", "λ", vec![common("λ in the cylinders", Number, |s| s.lambda)])
        },
        panel(
            "torque",
            "Torque",
            vec![
                common("Torque", Torque, |s| s.torque_nm),
                common("With the right mixture", Torque, |s| s.ideal_torque_nm),
            ],
        ),
        panel("secondary_air", "Secondary air", vec![common("Secondary air", AirFlow, |s| s.secondary_air_kg_per_s)]),
        panel(
            "secondary_fuel",
            "Secondary fuel",
            vec![
                common("Secondary main fuel", FuelMassFlow, |s| s.secondary_main_kg_per_s),
                common("Second pump", FuelMassFlow, |s| s.second_pump_kg_per_s),
            ],
        ),
        panel(
            "signals",
            "Nozzle signals",
            vec![
                common("Secondary signal", SmallPressure, |s| s.secondary_signal_pa),
                common("Primary signal", SmallPressure, |s| s.primary_signal_pa),
            ],
        ),
        Choice {
            range: full,
            ..panel("device", "Door or diaphragm", vec![common("Open", Fraction, |s| s.device_opening)])
        },
    ]
}

/// Every trace that can be shown for these benches: composed, common columns, the families' own columns.
pub fn all(benches: &[Bench]) -> Vec<Choice> {
    let mut panels = composed();
    let single =
        |key: String, curve: Curve| Choice { key, title: curve.label, curves: vec![curve], range: None, limits: None };
    panels.extend(CHANNELS.iter().filter(|channel| channel.id != "time_s").map(|channel| {
        single(format!("channel:{}", channel.id), common(channel.label, channel.quantity, channel.get))
    }));
    for bench in benches {
        for own in bench.scenario.family().channels() {
            let key = format!("own:{}", own.id);
            if !panels.iter().any(|panel| panel.key == key) {
                let curve = Curve { label: own.label, quantity: own.quantity, reading: Reading::Own(own.id) };
                panels.push(single(key, curve));
            }
        }
    }
    panels
}

/// The traces that are shown: chosen, and with something to show.
pub fn chosen(benches: &[Bench], keys: &[String]) -> Vec<TracePanel> {
    let has_device = benches.iter().any(|bench| bench.scenario.family().moving_part().is_some());
    all(benches)
        .into_iter()
        .filter(|choice| keys.contains(&choice.key) && (choice.key != "device" || has_device))
        .map(|choice| choice.panel(benches))
        .collect()
}
