//! What a run comes down to.

use crate::bench::events::{EventKind, first};
use crate::bench::run::Run;
use crate::bench::scenario::Scenario;
use crate::bench::trace::Sample;
use crate::bench::verdict::Verdict;
use crate::engine::torque::RICH_LIMIT;
use crate::units::{Figure, Quantity};

/// One finding; `None` when it did not happen in the run.
pub type Finding = Figure<Findings, Option<f64>>;

macro_rules! findings {
    ($($field:ident: $quantity:ident, $label:literal;)*) => {
        /// The findings of a run, SI; times count from the moment the pedal begins to move.
        #[derive(Debug, Clone, Copy, PartialEq)]
        pub struct Findings {
            $(#[doc = $label] pub $field: Option<f64>,)*
            /// In one word.
            pub verdict: Verdict,
        }

        /// Every finding but the verdict.
        pub const FINDINGS: &[Finding] = &[$(Figure {
            id: stringify!($field), label: $label, quantity: Quantity::$quantity, get: |findings| findings.$field,
        },)*];
    };
}

findings! {
    lost_s: ShortTime, "Torque lost, as time at full torque";
    lost_torque_time: Number, "Torque–time area lost (N·m·s)";
    peak_lambda: Number, "Leanest λ";
    lean_s: ShortTime, "Time lean of the limit";
    least_lambda: Number, "Richest λ";
    rich_s: ShortTime, "Time rich of the limit";
    deepest_share: Fraction, "Deepest dip: share of the torque it should make";
    to_90_percent_s: ShortTime, "To 90 % of full torque";
    speed_gain_1_s: RoadSpeed, "Speed gained after 1 s";
    speed_gain_2_s: RoadSpeed, "Speed gained after 2 s";
    distance_1_s: Distance, "Distance after 1 s";
    distance_2_s: Distance, "Distance after 2 s";
    engine_gain_1_s: RotationalSpeed, "Engine speed gained after 1 s";
    secondary_air_s: ShortTime, "Pedal to secondary air";
    secondary_fuel_s: ShortTime, "Pedal to secondary main fuel";
    air_to_fuel_s: ShortTime, "Secondary air to secondary main fuel";
    device_starts_s: ShortTime, "Pedal to door or diaphragm moving";
    device_travel_s: ShortTime, "Door or diaphragm, start to 90 % of where it ends";
    device_end: Fraction, "Door or diaphragm open at the end";
}

/// The findings of a run of `scenario`.
pub fn findings(scenario: &Scenario, run: &Run) -> Findings {
    let begin = scenario.pedal.begin_s;
    let samples = &run.trace.samples;
    let after: Vec<&Sample> = samples.iter().filter(|sample| sample.time_s >= begin - 1e-9).collect();
    let last = samples[samples.len() - 1];
    // an engine that has stalled has no mixture
    let stall_s = first(&run.events, EventKind::Stalls, 0.0);
    let burning = &after[..after.partition_point(|sample| stall_s.is_none_or(|stall| sample.time_s <= stall))];
    let extreme = |value: fn(&Sample) -> f64, pick: fn(f64, f64) -> f64| {
        let corners = run.corners.iter().filter(|c| c.time_s >= begin && stall_s.is_none_or(|stall| c.time_s < stall));
        burning.iter().copied().chain(corners).map(value).reduce(pick)
    };
    let dt = run.trace.interval_s;
    let lost_torque_time = integral(&after, dt, |s| s.ideal_torque_nm - s.torque_nm);
    // an engine that runs out of breath ends with next to nothing: no measure of what a second without torque costs
    let greatest = after.iter().map(|sample| sample.ideal_torque_nm).fold(0.0, f64::max);
    let final_torque = last.ideal_torque_nm.max(0.5 * greatest).max(1.0);
    let lost_s = lost_torque_time / final_torque;
    let at = |seconds: f64| (begin + seconds <= last.time_s + 1e-9).then(|| run.trace.at(begin + seconds));
    let start = run.trace.at(begin);
    let since = |kind| first(&run.events, kind, begin - 1e-6).map(|time| time - begin);
    // what flows before the pedal moves has not to come
    let flows = |kind: EventKind| kind.monitor()(&start, scenario.mixture.lean_limit()) > 0.0;
    let comes = |kind| if flows(kind) { Some(0.0) } else { since(kind) };
    let secondary_air_s = comes(EventKind::SecondaryAir);
    let secondary_fuel_s = comes(EventKind::SecondaryFuel);
    let has_device = scenario.family().moving_part().is_some();
    let device_starts_s = since(EventKind::DeviceStarts).filter(|_| has_device);
    Findings {
        lost_s: Some(lost_s),
        lost_torque_time: Some(lost_torque_time),
        peak_lambda: extreme(|s| s.lambda, f64::max),
        lean_s: Some(time_above(burning, |s| s.lambda - scenario.mixture.lean_limit())),
        least_lambda: extreme(|s| s.lambda, f64::min),
        rich_s: Some(time_above(burning, |s| RICH_LIMIT - s.lambda)),
        deepest_share: extreme(|s| s.mixture_share, f64::min),
        to_90_percent_s: reaches_for_good(&after, 0.9 * final_torque).map(|time| time - begin),
        speed_gain_1_s: at(1.0).map(|s| s.road_m_per_s - start.road_m_per_s),
        speed_gain_2_s: at(2.0).map(|s| s.road_m_per_s - start.road_m_per_s),
        distance_1_s: at(1.0).map(|s| s.distance_m - start.distance_m),
        distance_2_s: at(2.0).map(|s| s.distance_m - start.distance_m),
        engine_gain_1_s: at(1.0).map(|s| s.engine_rad_per_s - start.engine_rad_per_s),
        secondary_air_s,
        secondary_fuel_s,
        air_to_fuel_s: secondary_air_s.zip(secondary_fuel_s).map(|(air, fuel)| fuel - air),
        device_starts_s,
        device_travel_s: device_starts_s.and_then(|start| device_travel(&after, begin + start, last.device_opening)),
        device_end: has_device.then_some(last.device_opening),
        verdict: Verdict::of(lost_s, stall_s.is_some()),
    }
}

fn integral(samples: &[&Sample], dt: f64, value: impl Fn(&Sample) -> f64) -> f64 {
    samples.windows(2).map(|pair| 0.5 * dt * (value(pair[0]) + value(pair[1]))).sum()
}

/// Time for which a value is above zero, s, straight between samples.
fn time_above(samples: &[&Sample], value: impl Fn(&Sample) -> f64) -> f64 {
    samples
        .windows(2)
        .map(|pair| {
            let dt = pair[1].time_s - pair[0].time_s;
            match (value(pair[0]), value(pair[1])) {
                (a, b) if a > 0.0 && b > 0.0 => dt,
                (a, b) if a > 0.0 => dt * a / (a - b),
                (a, b) if b > 0.0 => dt * b / (b - a),
                _ => 0.0,
            }
        })
        .sum()
}

/// Time from which on the torque stays above `goal`: the first sample's if it is never below, `None` if it ends below.
fn reaches_for_good(samples: &[&Sample], goal: f64) -> Option<f64> {
    let Some(below) = samples.iter().rposition(|sample| sample.torque_nm < goal) else {
        return samples.first().map(|sample| sample.time_s);
    };
    let (low, high) = (samples.get(below)?, samples.get(below + 1)?);
    let share = (goal - low.torque_nm) / (high.torque_nm - low.torque_nm);
    Some(low.time_s + share * (high.time_s - low.time_s))
}

fn device_travel(samples: &[&Sample], starts: f64, end: f64) -> Option<f64> {
    let goal = 0.9 * end;
    let there = samples.iter().position(|s| s.time_s >= starts && s.device_opening >= goal)?;
    let (high, low) = (samples[there], samples[there.checked_sub(1)?]);
    let share = (goal - low.device_opening) / (high.device_opening - low.device_opening);
    let time = if share > 0.0 { low.time_s + share * (high.time_s - low.time_s) } else { high.time_s };
    Some((time - starts).max(0.0))
}
