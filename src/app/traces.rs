//! Which curves a small trace holds.

use super::state::Bench;
use crate::bench::scenario::Scenario;
use crate::bench::trace::{CHANNELS, Sample};
use crate::engine::torque::{LEAN_LIMIT, RICH_LIMIT};
use crate::units::Quantity;

/// Where a curve's value is found.
#[derive(Debug, Clone, Copy)]
pub enum Reading {
    /// In the sample.
    Common(fn(&Sample) -> f64),
    /// In the sample, against the travel of the scenario's plates.
    OfTravel(fn(&Scenario, &Sample) -> f64),
    /// Among the family's own figures, by the key of the column.
    Own(&'static str),
}

/// One curve.
#[derive(Debug, Clone, Copy)]
pub struct Curve {
    /// As shown.
    pub label: &'static str,
    /// What it measures.
    pub quantity: Quantity,
    /// Where its value is found.
    pub reading: Reading,
}

impl Curve {
    /// Its value on a bench; `None` if that bench has no such figure.
    pub fn value(&self, bench: &Bench, sample: &Sample) -> Option<f64> {
        let value = match self.reading {
            Reading::Common(get) => get(sample),
            Reading::OfTravel(get) => get(&bench.outcome.as_ref()?.scenario, sample),
            Reading::Own(id) => {
                let own = bench.outcome.as_ref()?.run.trace.own;
                sample.own.get(own.iter().position(|channel| channel.id == id)?).copied()?
            }
        };
        value.is_finite().then_some(value)
    }
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
    /// Fixed range of the axis, SI; otherwise as the curves need.
    pub range: Option<(f64, f64)>,
    /// Limits beyond which the ground is shaded: below, above, with a word each.
    pub limits: Option<[(f64, &'static str); 2]>,
}

fn share_of_travel(barrels: &crate::carburettor::barrels::Barrels, angle_rad: f64) -> f64 {
    let travel = barrels.wide_open_rad - barrels.closed_rad;
    if travel > 0.0 { (angle_rad - barrels.closed_rad) / travel } else { 0.0 }
}

fn common(label: &'static str, quantity: Quantity, get: fn(&Sample) -> f64) -> Curve {
    Curve { label, quantity, reading: Reading::Common(get) }
}

/// The composed traces, in order.
fn composed() -> Vec<TracePanel> {
    use Quantity::{AirFlow, Fraction, FuelMassFlow, Number, SmallPressure, Torque};
    let travel = |label, get| Curve { label, quantity: Fraction, reading: Reading::OfTravel(get) };
    let panel = |key: &str, title, curves| TracePanel { key: key.to_owned(), title, curves, range: None, limits: None };
    let full = Some((0.0, 1.0));
    vec![
        TracePanel {
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
        TracePanel {
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
        TracePanel {
            range: full,
            ..panel("device", "Door or diaphragm", vec![common("Open", Fraction, |s| s.device_opening)])
        },
    ]
}

/// Every trace that can be shown for these benches: composed, common columns, the families' own columns.
pub fn all(benches: &[Bench]) -> Vec<TracePanel> {
    let mut panels = composed();
    let single = |key: String, curve: Curve| TracePanel {
        key,
        title: curve.label,
        curves: vec![curve],
        range: None,
        limits: None,
    };
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
        .filter(|panel| keys.contains(&panel.key) && (panel.key != "device" || has_device))
        .collect()
}

/// Least and greatest value of a panel's curves on all benches; always some height.
pub fn range(panel: &TracePanel, benches: &[Bench]) -> (f64, f64) {
    if let Some(range) = panel.range {
        return range;
    }
    let mut least = 0.0_f64;
    let mut most = 0.0_f64;
    for bench in benches {
        let Some(outcome) = &bench.outcome else { continue };
        for sample in &outcome.run.trace.samples {
            for value in panel.curves.iter().filter_map(|curve| curve.value(bench, sample)) {
                least = least.min(value);
                most = most.max(value);
            }
        }
    }
    // far from zero, the axis need not begin there
    if most - least < 1e-12 { (least, least + 1.0) } else { (least, most) }
}
