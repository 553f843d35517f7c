//! What a soak comes down to.

use crate::figures;
use crate::heat::events::{Event, EventKind, first};
use crate::heat::links::around_bowls;
use crate::heat::network::{Network, State};
use crate::heat::trace::{Sample, SoakTrace};
use crate::physics::heat_transfer::{in_series, relaxation};
use crate::units::Figure;

/// One finding; `None` when it did not happen in the soak.
pub type Finding = Figure<Findings, Option<f64>>;

figures! {
    /// The findings of a soak, SI.
    pub struct Findings,
    /// Every finding.
    FINDINGS: Option<f64> {
        hottest_bowl_k: Temperature, "Hottest fuel in the bowls";
        hottest_bowl_s: LongTime, "When that was";
        hottest_base_k: Temperature, "Hottest base";
        least_bowl_margin_k: TemperatureDifference, "Least distance of the bowls from boiling";
        boiling_begins_s: LongTime, "Engine stopped to boiling in the bowls";
        wells_boil_s: LongTime, "Engine stopped to boiling in the wells";
        percolation_begins_s: LongTime, "Engine stopped to percolation";
        evaporated_kg: SmallMass, "Evaporated while standing";
        percolated_kg: SmallMass, "Percolated into the manifold while standing";
        bowl_share_left: Fraction, "Left in the bowls at the restart";
        richness_at_restart: Number, "Fuel in the manifold over what its air can burn, at the restart";
        cranking_at_restart_s: Duration, "Cranking at the restart";
        worst_cranking_s: Duration, "Longest cranking at any moment";
        worst_cranking_at_s: LongTime, "When that was";
        least_pump_margin_k: TemperatureDifference, "Least distance of the pump from boiling";
        least_lock_margin_k: TemperatureDifference, "Least distance of the pump from V/L 20";
        cooled_s: LongTime, "Restart to bowls no longer boiling";
        bowl_time_constant_s: LongTime, "Time constant of bowls with fuel";
        joint_w_per_k: Conductance, "Joint with studs";
        studs_share: Fraction, "Of that, the studs";
    }
}

fn extreme(samples: &[Sample], value: fn(&Sample) -> f64, sign: f64) -> Option<&Sample> {
    samples.iter().max_by(|a, b| (sign * value(a)).total_cmp(&(sign * value(b))))
}

/// The time constant of bowls with their fuel as one body between manifold and air, at rest as the engine stops.
fn time_constant(network: &Network, state: &State) -> f64 {
    let t = network.temperatures(state);
    let around = around_bowls(network, &t);
    let capacity = network.soak.casting.body_j_per_k() + network.full_kg * network.fuel_capacity;
    let neighbours = [in_series(&[around.joint, around.casting]) + around.gap, around.air];
    relaxation(capacity, &neighbours.map(|conductance| (conductance, 0.0))).0
}

/// The findings of a soak that began in `state`.
pub fn findings(network: &Network, state: &State, trace: &SoakTrace, events: &[Event]) -> Findings {
    let standing = trace.standing();
    let hottest = extreme(standing, |s| s.bowl_k, 1.0);
    let worst = extreme(standing, |s| s.cranking_s, 1.0);
    let last = standing.last();
    let since = |kind| first(events, kind, 0.0).filter(|time| *time <= trace.restart_s);
    let boils_at_restart = last.is_some_and(|s| s.bowl_margin_k < 0.0);
    let joint = network.soak.mounting.joint_w_per_k();
    Findings {
        hottest_bowl_k: hottest.map(|s| s.bowl_k),
        hottest_bowl_s: hottest.map(|s| s.time_s),
        hottest_base_k: extreme(standing, |s| s.base_k, 1.0).map(|s| s.base_k),
        least_bowl_margin_k: extreme(standing, |s| s.bowl_margin_k, -1.0).map(|s| s.bowl_margin_k),
        boiling_begins_s: since(EventKind::BoilingBegins),
        wells_boil_s: since(EventKind::WellsBoil),
        percolation_begins_s: since(EventKind::PercolationBegins),
        evaporated_kg: last.map(|s| s.vented_kg + s.bubbled_kg),
        percolated_kg: last.map(|s| s.percolated_kg),
        bowl_share_left: last.map(|s| s.bowl_share),
        richness_at_restart: last.map(|s| s.richness),
        cranking_at_restart_s: last.map(|s| s.cranking_s),
        worst_cranking_s: worst.map(|s| s.cranking_s),
        worst_cranking_at_s: worst.map(|s| s.time_s),
        least_pump_margin_k: extreme(standing, |s| s.pump_margin_k, -1.0).map(|s| s.pump_margin_k),
        least_lock_margin_k: extreme(standing, |s| s.lock_margin_k, -1.0).map(|s| s.lock_margin_k),
        cooled_s: first(events, EventKind::BoilingEnds, trace.restart_s)
            .filter(|_| boils_at_restart)
            .map(|time| time - trace.restart_s),
        bowl_time_constant_s: Some(time_constant(network, state)),
        joint_w_per_k: Some(joint),
        studs_share: Some(network.soak.mounting.studs_w_per_k() / joint),
    }
}
