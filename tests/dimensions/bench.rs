//! Benches without a run, and laws that only they reach: idle, the pump's shot, the link, checks and moving doors.

use crate::{AIR, FUEL, MassFlow, air_density, hole, jet_flow, near, number, opening_flow, pure, same};
use dimensioned::si::{self, J, K, KG, M, M2, M3, N, PA, S};
use dimensioned::{Recip, Sqrt};
use second_breath::bench::idling::{IdleTest, at_speed, idling};
use second_breath::bench::pedal::Pedal;
use second_breath::bench::scenario::Scenario;
use second_breath::bench::shot::{deliveries, shot};
use second_breath::carburettor::barrels::Barrels;
use second_breath::carburettor::idle::IdleCircuit;
use second_breath::carburettor::linkage::{Link, Linkage};
use second_breath::carburettor::main_circuit::MainCircuit;
use second_breath::carburettor::pump::Pump;
use second_breath::engine::ambient::standard_temperature;
use second_breath::engine::torque::{HEAT_PER_AIR, mixture_share};
use second_breath::physics::air_path::{self, Flap, Openings};
use second_breath::physics::gas_chamber;

const OUTSIDE: f64 = 98_000.0;

/// Air through a fine hole, laminar below 50 Pa, and by how much it falls for a pascal behind.
fn fine(
    difference: si::Pascal<f64>,
    area: si::Meter2<f64>,
) -> (MassFlow, <MassFlow as std::ops::Div<si::Pascal<f64>>>::Output) {
    let from = OUTSIDE * PA;
    let d = pure(difference / (50.0 * PA));
    let share = (d * d / (1.0 + d * d)).powf(0.25);
    let flow = opening_flow(from, from - difference, 300.0 * K, area) * share;
    (flow, -(0.5 + 0.5 / (1.0 + d * d)) * flow / difference)
}

#[test]
fn air_past_a_check() {
    let (narrow, wide) = (1e-7 * M2, 6e-7 * M2);
    let per = KG / (S * PA);
    for (difference, lift) in [(20.0 * PA, 0.4), (300.0 * PA, 1.0)] {
        let area = narrow + (wide - narrow) * lift;
        let (flow, slope) = fine(difference, area);
        let widens = if lift < 1.0 { (wide - narrow) / (50.0 * PA) } else { 0.0 * M2 / PA };
        let back = OUTSIDE - pure(difference / PA);
        let ours = gas_chamber::flow_past_check(OUTSIDE, back, 300.0, 1e-7, 6e-7);
        // powers of ratios close to one
        near("flow", ours.0, flow / (KG / S), 1e-7);
        near("slope", ours.1, (slope - flow / area * widens) / per, 1e-7);
        let ours = gas_chamber::flow_past_check(back, OUTSIDE, 300.0, 1e-7, 6e-7);
        near("shut", ours.0, -fine(difference, narrow).0 / (KG / S), 1e-7);
    }
    let rest = narrow * (2.0 * air_density() / (50.0 * PA)).sqrt();
    same("slope at rest", gas_chamber::flow(OUTSIDE, OUTSIDE, 300.0, 1e-7).1, -rest / per);
    same("slope at rest", gas_chamber::flow_past_check(OUTSIDE, OUTSIDE, 300.0, 1e-7, 6e-7).1, -rest / per);
}

#[test]
fn air_that_a_door_moves() {
    let area = 3e-4 * M2;
    let sweep = 0.03 * M3 / S;
    let flap = |sign: f64| Some(Flap { area_m2: 3e-4, sweep_m3_per_s: sign * 0.03 });
    let openings = Openings { flap_above: flap(1.0), ..Barrels::default().shut(45e-4) };
    let (outside, temperature) = (OUTSIDE * PA, 300.0 * K);
    // plates shut: what an opening door pushes down returns through its gap, and what a closing one draws comes by it
    let pushed = air_path::solve(AIR, 60e3, &openings).above_venturi_pa * PA;
    let mirrored = outside - (pushed - outside);
    near(
        "returns",
        pure(opening_flow(outside, mirrored, temperature, area) / (KG / S)),
        air_density() * sweep / (KG / S),
        1e-8,
    );
    let openings = Openings { flap_above: flap(-1.0), ..openings };
    let drawn = air_path::solve(AIR, 60e3, &openings).above_venturi_pa * PA;
    near(
        "comes",
        pure(opening_flow(outside, drawn, temperature, area) / (KG / S)),
        air_density() * sweep / (KG / S),
        1e-8,
    );

    // at the worst a door chokes its own gap
    let critical = (2.0 / 2.4f64).powf(3.5) * outside;
    for (sign, restated) in [(1.0, outside + (outside - critical)), (-1.0, critical)] {
        let flap_above = Some(Flap { area_m2: 3e-5, sweep_m3_per_s: sign * 0.03 });
        let path = air_path::solve(AIR, 60e3, &Openings { flap_above, ..openings });
        same("choked by the door", path.above_venturi_pa, restated / PA);
    }
}

#[test]
fn air_past_a_moving_door() {
    let (outside, temperature) = (OUTSIDE * PA, 300.0 * K);
    // plates open: each opening passes the flow, the gap the flow less what the door carries
    let open = Barrels::default().openings(0.6, 45e-4);
    for sign in [1.0, -1.0] {
        let openings = Openings { flap_above: Some(Flap { area_m2: 8e-4, sweep_m3_per_s: sign * 0.02 }), ..open };
        let flap_below = Some(Flap { area_m2: 9e-4, sweep_m3_per_s: sign * -0.01 });
        let openings = Openings { flap_below, ..openings };
        let path = air_path::solve(AIR, 80e3, &openings);
        let flow = path.flow_kg_per_s * KG / S;
        let below_cleaner = path.below_cleaner_pa * PA;
        let carried = below_cleaner / (crate::specific() * temperature) * (sign * 0.02 * M3 / S);
        let gap = opening_flow(below_cleaner, path.above_venturi_pa * PA, temperature, 8e-4 * M2);
        // the solver asks for 1e-9 of the flow; differences of pressure lose some of it
        near("door", pure(gap / (KG / S)), (flow - carried) / (KG / S), 1e-6);
        let cleaner = opening_flow(outside, below_cleaner, temperature, 45e-4 * M2);
        near("cleaner", pure(cleaner / (KG / S)), flow / (KG / S), 1e-6);
        let venturi = openings.venturi_loss_m2 * M2;
        let passes = opening_flow(path.above_venturi_pa * PA, path.below_venturi_pa * PA, temperature, venturi);
        near("venturi", pure(passes / (KG / S)), flow / (KG / S), 1e-6);
        let throat =
            opening_flow(path.above_venturi_pa * PA, path.throat_pa * PA, temperature, openings.throat_m2 * M2);
        near("throat", pure(throat / (KG / S)), flow / (KG / S), 1e-6);
        let below = path.below_venturi_pa * PA;
        let carried = below / (crate::specific() * temperature) * (sign * -0.01 * M3 / S);
        let gap = opening_flow(below, path.above_throttle_pa * PA, temperature, 9e-4 * M2);
        near("valve", pure(gap / (KG / S)), (flow - carried) / (KG / S), 1e-6);
        same("drop above", path.drop_above(), (below_cleaner - path.above_venturi_pa * PA) / PA);
        same("drop below", path.drop_below(), (below - path.above_throttle_pa * PA) / PA);
        same("throat", path.throat_depression(), (path.above_venturi_pa * PA - path.throat_pa * PA) / PA);
        let drop = 300.0 * PA;
        let steepness = 2.0 * drop / flow * (path.slope * KG / (S * PA));
        same("slope of a drop", path.drop_slope(300.0), steepness);
        let plates = opening_flow(path.above_throttle_pa * PA, 80e3 * PA, temperature, openings.throttle_m2 * M2);
        near("plates", pure(plates / (KG / S)), flow / (KG / S), 1e-6);
    }
}

#[test]
fn air_that_comes_back() {
    let openings = Barrels::default().openings(0.6, 45e-4);
    let (cleaner, venturi, plates) =
        (openings.cleaner_m2 * M2, openings.venturi_loss_m2 * M2, openings.throttle_m2 * M2);
    // losses of Bernoulli add: so do the squares of the areas, turned over
    let per_square = (cleaner * cleaner).recip() + (venturi * venturi).recip() + (plates * plates).recip();
    let lumped = per_square.sqrt().recip();
    let above = 400.0 * PA;
    let d = pure(above / (1.0 * PA));
    let flow = lumped * (2.0 * air_density() * above).sqrt() * (d * d / (1.0 + d * d)).powf(0.25);
    let path = air_path::solve(AIR, OUTSIDE + 400.0, &openings);
    same("flow", path.flow_kg_per_s, -flow / (KG / S));
    same("slope", path.slope, -flow / above / (KG / (S * PA)));
}

/// Angles are pure numbers, and so is all of the link: what is checked is that its shares are ratios of like with like.
#[test]
fn link() {
    let plate = Barrels::default().plate();
    let linkage = Linkage { starts_rad: 0.7, progression: 1.6 };
    let ours = Link::new(&linkage, &plate, 0.05);
    let travel = plate.sweep_rad() - 0.05;
    let start = (0.7 - 0.05) / travel;
    same("start", ours.start(), number(start));
    let followed = 0.8 * travel - (0.7 - 0.05);
    let share = followed / (travel * (1.0 - start));
    same("share", ours.secondary(0.8).0, number(share.powf(1.6)));
    same("slope", ours.secondary(0.8).1, number(1.6 * share.powf(1.6) / share / (1.0 - start)));
}

#[test]
fn engine_at_idle() {
    let scenario = Scenario::default();
    let test = IdleTest::of(&scenario);
    let at = at_speed(&test, 90.0).expect("balances");
    let (engine, outside) = (&scenario.engine, scenario.ambient.air());
    let speed = 90.0 / S;
    let plenum = at.plenum_pa * PA;
    let drawn = engine.draw_per_pascal(90.0) * KG / (S * PA) * plenum;
    same("air", at.air_kg_per_s, drawn / (KG / S));
    let angle = scenario.primary.plate().angle_from_stop(scenario.idle.curb_rad, 0.0);
    let openings = scenario.primary.openings(angle, 0.5 * scenario.ambient.cleaner_m2);
    let path = air_path::solve(outside, at.plenum_pa, &openings);
    // the search for the plenum's pressure ends within 0.01 Pa
    near("balance", path.flow_kg_per_s, drawn / (KG / S), 1e-5);

    let liquid = scenario.fuel.liquid();
    let density = liquid.density * KG / M3;
    let vacuum = outside.pressure_pa * PA - plenum;
    let circuit = IdleCircuit::new(&scenario.idle, scenario.primary.plate(), outside, liquid);
    let holes = 2.0 * (circuit.flow(at.slot_share, pure(vacuum / PA)) * M3 / S) * density;
    same("idle fuel", at.idle_kg_per_s, holes / (KG / S));
    let signal = scenario.primary.booster_gain * (path.above_venturi_pa * PA - path.throat_pa * PA);
    let mains = MainCircuit::new(&scenario.primary, liquid, outside.density());
    let factor = scenario.enrichment.area_factor(pure(vacuum / PA));
    let nozzles = mains.at_rest(pure(signal / PA), factor).1 * M3 / S * density;
    assert_eq!(at.main_kg_per_s, pure(nozzles / (KG / S)));
    let fuel = holes + nozzles;
    let exact = drawn / scenario.fuel.stoichiometric_ratio();
    same("lambda", at.lambda, exact / fuel);
    let best = drawn * (HEAT_PER_AIR * J / KG) * engine.efficiency_indicated / speed;
    let lost = engine.lost_torque(at.plenum_pa, outside.pressure_pa, 90.0) * N * M;
    let left = best * mixture_share(pure(fuel / exact)) - lost;
    near("torque", at.torque_nm, left / (N * M), 1e-8);

    let idle = idling(&test).expect("idles");
    let share = pure(idle.torque_nm * N * M / lost);
    assert!(share.abs() < 1e-5, "at idle nothing is left over: {share}");
}

#[test]
fn shot_of_the_pump() {
    let pump = Pump::default();
    let pedal = Pedal { rest: 0.0, ..Pedal::default() };
    let samples = shot(&pump, &pedal, FUEL).expect("runs").samples;
    let area = hole(pump.cylinder_m * M);
    let stroke = pump.shot_m3 * M3 / area;
    let squeezed: Vec<_> = samples.iter().filter(|sample| sample.lever - sample.plunger > 0.05).collect();
    assert!(squeezed.len() > 10, "{}", squeezed.len());
    for sample in squeezed {
        let squeeze = (sample.lever - sample.plunger) * stroke;
        let force = pump.spring_preload_n * N + pump.spring_rate_n_per_m * N / M * squeeze;
        let flow = jet_flow(2.0 * hole(pump.shooter_m * M), pump.shooter_m * M, force / area);
        same("flow", sample.flow_m3_per_s, flow / (M3 / S));
        same("delivered", sample.delivered_m3, sample.plunger * stroke * area / M3);
    }
    let delivery = deliveries(&samples, &pedal)[0];
    let last = samples.last().expect("has samples");
    // the end of the squeeze is found within the integrator's tolerance, and the plunger then put on its lever
    near("volume", delivery.volume_m3, last.plunger * stroke * area / M3, 1e-6);
    let full = samples.iter().position(|sample| sample.delivered_m3 >= 0.9 * delivery.volume_m3).expect("delivers");
    let time = full as f64 * (2e-3 * S) - pedal.begin_s * S;
    same("nine tenths", delivery.to_90_percent_s, time / S);
    let peak = samples.iter().map(|sample| sample.flow_m3_per_s).fold(0.0, f64::max) * M3 / S;
    same("peak", delivery.peak_m3_per_s, peak / (M3 / S));
}

#[test]
fn temperature_of_the_atmosphere() {
    let radius = 6_356_766.0 * M;
    let height = radius * (1500.0 * M) / (radius + 1500.0 * M);
    let temperature = 288.15 * K - 6.5 * K / (1000.0 * M) * height;
    same("temperature", standard_temperature(1500.0), temperature / K);
}
