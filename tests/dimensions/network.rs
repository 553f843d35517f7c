//! The network of a soak: temperatures of its stores, and what fuel and vapour carry with them.

use crate::percolation::Hot;
use crate::vapour::psi;
use crate::{MassFlow, near, pure, same};
use dimensioned::si::{self, J, K, KG, PA, S, W};
use second_breath::heat::links::{self, BOWL, MANIFOLD, PUMP, Temperatures, WELL};
use second_breath::heat::network::{Mode, SIZE, State, at};
use second_breath::heat::stores::Stores;
use second_breath::heat::trace::{PumpLimits, sample};
use second_breath::physics::vapour::vapour_lock_temperature;
use std::ops::Div;

/// Heat is counted from here.
fn zero() -> si::Kelvin<f64> {
    273.15 * K
}

/// A hot state with something of everything, and its temperatures.
fn mixed(hot: &Hot) -> (State, Temperatures) {
    let (mut state, _) = hot.state(pure(hot.boils / K) + 2.0, pure(hot.boils / K) + 9.0);
    (state[at::PUDDLE_KG], state[at::PUDDLE_LOST], state[at::VAPOUR_KG]) = (2e-3, 0.2, 1e-3);
    // a manifold colder than its neighbours gains heat, and only then does its vapour swell
    state[MANIFOLD] *= 0.5;
    (state, hot.network.temperatures(&state))
}

#[test]
fn temperatures() {
    let hot = Hot::new(Mode::Standing);
    let (state, ours) = mixed(&hot);
    let bowl = zero() + state[BOWL] * J / (state[at::BOWL_KG] * KG * hot.capacity);
    same("bowl", ours[BOWL], bowl / K);
    let well = zero() + state[WELL] * J / (hot.in_wells() * hot.capacity);
    same("well", ours[WELL], well / K);
    let iron = hot.soak.bay.manifold_capacity_j_per_k * J / K;
    let manifold = zero() + state[MANIFOLD] * J / (iron + state[at::PUDDLE_KG] * KG * hot.capacity);
    same("manifold", ours[MANIFOLD], manifold / K);
    let again = hot.network.state_at(&[330.0; at::HEATS]);
    same("state", again[BOWL], hot.full() * hot.capacity * (330.0 * K - zero()) / J);
}

#[test]
fn what_fuel_carries() {
    for mode in [Mode::Standing, Mode::Running] {
        let hot = Hot::new(mode);
        let (state, temperatures) = mixed(&hot);
        let ours = hot.network.rates(&state);
        let mut links = [0.0; SIZE];
        links::add_heat(&hot.network, &temperatures, state[at::BOWL_KG] / pure(hot.full() / KG), &mut links);
        let flows = hot.network.fuel_flows(&state, &temperatures);
        let flow = |flow: f64| flow * KG / S;
        let (vented, bubbled, spilled) = (flow(flows.vented), flow(flows.bubbled), flow(flows.spilled));
        let (burnt, supplied) = (flow(flows.burnt), flow(flows.supplied));
        let (evaporated, escaped) = (flow(flows.manifold.evaporated), flow(flows.manifold.escaped));
        let carried =
            |flow: MassFlow, from: si::Kelvin<f64>| -> si::Watt<f64> { flow * hot.capacity * (from - zero()) };
        let place = |store: usize| temperatures[store] * K;
        let through = bubbled + spilled + burnt;

        let bowl = carried(supplied, place(PUMP)) - carried(vented + through, place(BOWL)) - vented * hot.latent;
        near("bowl", ours[BOWL], (links[BOWL] * W + bowl) / W, 1e-8);
        let well = carried(through, place(BOWL)) - carried(through, place(WELL)) - bubbled * hot.latent;
        near("well", ours[WELL], (links[WELL] * W + well) / W, 1e-8);
        let tank = hot.soak.line.tank_k * K;
        let pump = carried(supplied, tank) - carried(supplied, place(PUMP));
        near("pump", ours[PUMP], (links[PUMP] * W + pump) / W, 1e-8);
        // a running engine sweeps the manifold in three seconds
        let per_time = if mode == Mode::Running { 1.0 / (3.0 * S) } else { 0.0 / S };
        let (puddle, vapour) = (state[at::PUDDLE_KG] * KG, state[at::VAPOUR_KG] * KG);
        let leaves = evaporated + puddle * per_time;
        let gain = links[MANIFOLD] * W + carried(spilled, place(WELL))
            - carried(leaves, place(MANIFOLD))
            - evaporated * hot.latent;
        near("manifold", ours[MANIFOLD], gain / W, 1e-8);

        let per = KG / S;
        near("fuel", ours[at::BOWL_KG], (supplied - vented - through) / per, 1e-8);
        near("puddle", ours[at::PUDDLE_KG], (spilled - leaves) / per, 1e-8);
        // what warms swells at one pressure: as a share of its volume, so many kelvin of its temperature
        assert!(gain > 0.0 * W, "it warms: {gain}");
        let swelling = vapour * (gain / (hot.soak.bay.manifold_capacity_j_per_k * J / K) / place(MANIFOLD));
        near("escapes", ours[at::ESCAPED_KG], (escaped + swelling) / per, 1e-8);
        near("vapour", ours[at::VAPOUR_KG], (evaporated - escaped - swelling - vapour * per_time) / per, 1e-8);
        near("burnt", ours[at::BURNT_KG], (burnt + (puddle + vapour) * per_time) / per, 1e-8);

        // light ends: mass of fuel times the share that has gone, balanced
        let (bowls, wells) = (state[at::BOWL_KG] * KG, hot.in_wells());
        let lost = |place: usize| state[place];
        let bowl = (vented * (1.0 - lost(at::BOWL_LOST)) - supplied * lost(at::BOWL_LOST)) / bowls;
        near("bowl lost", ours[at::BOWL_LOST], bowl * S, 1e-8);
        let fresher = through * (lost(at::BOWL_LOST) - lost(at::WELL_LOST));
        let well = (bubbled * (1.0 - lost(at::WELL_LOST)) + fresher) / wells;
        near("well lost", ours[at::WELL_LOST], well * S, 1e-8);
        let gone = if evaporated > 0.0 * per { evaporated } else { 0.0 * per };
        let arrives = spilled * (lost(at::WELL_LOST) - lost(at::PUDDLE_LOST));
        let puddle = (gone * (1.0 - lost(at::PUDDLE_LOST)) + arrives) / (puddle + 1e-6 * KG);
        near("puddle lost", ours[at::PUDDLE_LOST], puddle * S, 1e-8);
    }
}

#[test]
fn figures_of_a_sample() {
    let hot = Hot::new(Mode::Standing);
    let (state, temperatures) = mixed(&hot);
    let limits = PumpLimits::new(&hot.network);
    let ours = sample(&hot.network, limits, 0.0, &state);
    let around = links::around_bowls(&hot.network, &temperatures);
    let across = |conductance: f64, from: usize, to: usize| -> <si::Joule<f64> as Div<si::Second<f64>>>::Output {
        conductance * W / K * (temperatures[from] * K - temperatures[to] * K)
    };
    same("joint", ours.joint_w, across(around.joint, MANIFOLD, links::BASE) / W);
    same("casting", ours.casting_w, across(around.casting, links::BASE, links::BODY) / W);
    same("gap", ours.gap_w, across(around.gap, MANIFOLD, links::BODY) / W);
    same("air", ours.air_w, across(around.air, links::BAY, links::BODY) / W);
    let margin = hot.boils + 0.01 * hot.slope - temperatures[BOWL] * K;
    near("margin", ours.bowl_margin_k, margin / K, 1e-8);

    let blend = hot.soak.blend();
    let boils = |under: si::Pascal<f64>| blend.boiling_point(pure(under / PA)) * K;
    let suction = hot.outside - hot.soak.line.suction_pa * PA;
    // searches end within 1e-9 K
    near("pump boils", limits.boiling_k, boils(suction) / K, 1e-10);
    let fuel = &hot.soak.volatility;
    let reid = blend.reid_pressure(fuel.reid_pa) * PA;
    assert!(reid > 5.0 * psi(), "{reid}");
    let standard = vapour_lock_temperature(pure(reid / PA), fuel.t10_k, fuel.t50_k) * K;
    let lock = standard + (boils(suction) - boils(101_325.0 * PA));
    near("lock", limits.lock_k, lock / K, 1e-10);
}
