//! Air, fuel, carburettor, engine and car: the laws of a tip-in.

use crate::{AIR, FUEL, air_density, fuel_density, fuel_viscosity, hole, jet_flow, pure, same};
use dimensioned::si::{J, K, KG, M, M2, M3, MOL, N, PA, S};
use dimensioned::{Dimensionless, Sqrt};
use second_breath::bench::model::{Model, at};
use second_breath::bench::rating::rating;
use second_breath::bench::scenario::Scenario;
use second_breath::carburettor::barrels::Barrels;
use second_breath::carburettor::bowl::Bowl;
use second_breath::carburettor::enrichment::Enrichment;
use second_breath::carburettor::idle::{Idle, IdleCircuit};
use second_breath::carburettor::main_circuit::MainCircuit;
use second_breath::carburettor::pump::{Lever, Pump, PumpMode};
use second_breath::engine::ambient::standard_pressure;
use second_breath::engine::breathing::Engine;
use second_breath::engine::fuel::Fuel;
use second_breath::engine::load::Load;
use second_breath::engine::torque::HEAT_PER_AIR;
use second_breath::engine::wall_film::WallFilm;
use second_breath::families::FAMILIES;
use second_breath::families::blade::Blade;
use second_breath::families::brake::Brake;
use second_breath::families::counterweighted_door::Counterweight;
use second_breath::families::spring_door::DoorSpring;
use second_breath::physics::air::{Stagnation, mass_flow, pressure_behind};
use second_breath::physics::air_path;
use second_breath::physics::fuel_flow::{Bleed, Jet};
use second_breath::physics::gas_chamber;
use second_breath::physics::plate::Plate;
use second_breath::solver::hybrid::{Evaluation, Hybrid};
use std::f64::consts::{PI, TAU};

#[test]
fn air_through_an_opening() {
    let specific = 287.05 * J / (KG * K);
    let (stagnation, back, temperature) = (98_000.0 * PA, 80_000.0 * PA, 300.0 * K);
    let area = 2e-4 * M2;
    let per_factor = area * stagnation / (specific * temperature).sqrt();
    let r = pure(back / stagnation);
    let factor = (7.0 * (r.powf(2.0 / 1.4) - r.powf(2.4 / 1.4))).sqrt();
    let flow = per_factor * factor;
    same("subcritical flow", mass_flow(AIR, 80_000.0, 2e-4), flow / (KG / S));
    let choked = per_factor * 1.4f64.sqrt() * (2.0 / 2.4f64).powi(3);
    // the core's constant of choked flow has eight right digits
    let ours = mass_flow(AIR, 20_000.0, 2e-4);
    assert!((ours / pure(choked / (KG / S)) - 1.0).abs() < 2e-8, "choked flow: {ours}");
    let behind = pressure_behind(AIR, *(flow / (KG / S)).value(), 2e-4).expect("not choked");
    same("pressure behind", behind, back / PA);
    same("density", AIR.density(), air_density() / (KG / M3));
}

#[test]
fn air_in_a_chamber() {
    let specific = 287.05 * J / (KG * K);
    let mass = 3e-6 * KG;
    let pressure = mass * specific * (300.0 * K) / (40e-6 * M3);
    same("pressure", gas_chamber::pressure(3e-6, 40e-6, 300.0), pressure / PA);
    let again = 90e3 * PA * (40e-6 * M3) / (specific * (300.0 * K));
    same("mass", gas_chamber::mass(90e3, 40e-6, 300.0), again / KG);
    // laminar below 50 Pa: the share is a ratio of pressures
    let d = pure((98_000.0 * PA - 97_900.0 * PA) / (50.0 * PA));
    let share = (d * d / (1.0 + d * d)).powf(0.25);
    let flow = mass_flow(AIR, 97_900.0, 1e-7) * KG / S * share;
    same("flow", gas_chamber::flow(98_000.0, 97_900.0, 300.0, 1e-7).0, flow / (KG / S));
}

#[test]
fn fuel_through_a_jet() {
    let jet = Jet::holes(2.0, 1.4e-3);
    let (area, bore) = (2.0 * hole(1.4e-3 * M), 1.4e-3 * M);
    let flow = jet_flow(area, bore, 1200.0 * PA);
    same("flow", jet.flow(1200.0, FUEL), flow / (M3 / S));
    let speed = flow / area;
    let loss = fuel_density() * speed * speed / (2.0 * 0.81 * 0.81) + 280.0 * fuel_viscosity() * speed / (2.0 * bore);
    same("loss", jet.pressure_loss(*(flow / (M3 / S)).value(), FUEL), loss / PA);
    let slope = fuel_density() * speed / (0.81 * 0.81) / area + 280.0 * fuel_viscosity() / (2.0 * bore) / area;
    same("slope", jet.pressure_slope(*(flow / (M3 / S)).value(), FUEL), slope / (PA * S / M3));
    let reynolds = pure(fuel_density() * speed * bore / fuel_viscosity());
    let ideal = (2.0 * (1200.0 * PA) / fuel_density()).sqrt();
    same("coefficient", Jet::coefficient(reynolds), speed / ideal);
}

#[test]
fn bleed_and_main_circuit() {
    let (jet, bleed, nozzle) = (1.3e-6 * M2, 0.4e-6 * M2, 12e-6 * M2);
    let light = pure(air_density() / fuel_density()).sqrt();
    let k = (jet + bleed * light) * (jet + bleed / light) / (nozzle * nozzle);
    same("share left", Bleed::new(740.0, AIR.density()).share_left(1.3e-6, 0.4e-6, 12e-6), 1.0 / (1.0 + k));

    let barrels = Barrels { air_bleed_m: 0.0, nozzle_m: 1.0, ..Barrels::default() };
    let circuit = MainCircuit::new(&barrels, FUEL, AIR.density());
    let area = 2.0 * hole(barrels.main_jet_m * M);
    let left = 1.0 / (1.0 + (0.81 * area / (2.0 * 0.82 * hole(M))) * (0.81 * area / (2.0 * 0.82 * hole(M))));
    let inertance = fuel_density() * (barrels.passage_length_m * M) / (2.0 * hole(barrels.passage_bore_m * M));
    let gravity = 9.806_65 * M / (S * S);
    let well = 0.3e-6 * M3;
    let front = barrels.lip_m * M * well / (2.0 * barrels.refill_m3 * M3);
    let head = fuel_density() * gravity * (front + 1e-3 * M);
    let flow = 1e-6 * M3 / S;
    let loss = Jet::holes(2.0, barrels.main_jet_m).pressure_loss(1e-6, FUEL) * PA;
    let acceleration = (2000.0 * PA * left - head - loss) / inertance;
    let ours = circuit.motion(2000.0, 1e-3, 1.0, 0.3e-6, *(flow / (M3 / S)).value());
    same("acceleration", ours.acceleration, acceleration / (M3 / (S * S)));
    let full = fuel_density() * gravity * (barrels.lip_m * M);
    let steady = jet_flow(area, barrels.main_jet_m * M, 2000.0 * PA * left - full);
    same("steady flow", circuit.at_rest(2000.0, 1.0).1, steady / (M3 / S));
    same("well surface", barrels.well_surface_m2(), 2.0 * barrels.refill_m3 * M3 / (barrels.lip_m * M) / M2);
}

#[test]
fn idle_enrichment_bowl() {
    let plate = Barrels::default().plate();
    let idle = Idle { slot_below_m: 0.0, ..Idle::default() };
    let slot = idle.slot_length_m * M * (idle.slot_width_m * M);
    let out = 0.82 * hole(idle.screw_m * M);
    let bleed = 0.82 * hole(idle.bleed_m * M) + 0.82 * slot;
    let feed = 0.82 * hole(idle.feed_m * M);
    let light = pure(air_density() / fuel_density()).sqrt();
    let left = 1.0 / (1.0 + (feed + bleed * light) * (feed + bleed / light) / (out * out));
    let at_feed = 40e3 * PA * left - fuel_density() * (9.806_65 * M / (S * S)) * (idle.lift_m * M);
    let flow = jet_flow(hole(idle.feed_m * M), idle.feed_m * M, at_feed);
    let circuit = IdleCircuit::new(&idle, plate, AIR, FUEL);
    let ours = circuit.flow(circuit.slot_share(Barrels::default().closed_rad), 40e3);
    same("idle", ours, flow / (M3 / S));

    let valve = Enrichment::default();
    let lift = (valve.opens_below_pa * PA - 18e3 * PA) / (valve.over_pa * PA);
    same("enrichment", valve.area_factor(18e3), 1.0 + valve.extra_area * lift);

    let bowl = Bowl::default();
    let drop = 3e-6 * M3 / (bowl.surface_m2 * M2);
    same("drop", bowl.drop(3e-6), drop / M);
    let inflow = bowl.needle_m3_per_s * M3 / S * (drop / (bowl.float_travel_m * M));
    same("needle", bowl.inflow(3e-6), inflow / (M3 / S));
}

#[test]
fn accelerator_pump() {
    let pump = Pump::default();
    let area = hole(pump.cylinder_m * M);
    let stroke = pump.shot_m3 * M3 / area;
    same("stroke", pump.stroke_m(), stroke / M);
    let lever = pump.lever(0.5, 4.0);
    same("lever speed", lever.speed, stroke * (4.0 / S) / (M / S));
    let squeeze = 2e-3 * M;
    let force = pump.spring_preload_n * N + pump.spring_rate_n_per_m * N / M * squeeze;
    let flow = jet_flow(2.0 * hole(pump.shooter_m * M), pump.shooter_m * M, force / area);
    let ours = pump.motion(PumpMode::Squeezed, Lever { place_m: 3e-3, speed: 0.0 }, 1e-3, FUEL);
    same("plunger", ours.plunger_speed, flow / area / (M / S));
    let slope = PA * S / M3 * Jet::holes(2.0, pump.shooter_m).pressure_slope(*(flow / (M3 / S)).value(), FUEL);
    same("plunger slope", ours.slope, -(pump.spring_rate_n_per_m * N / M) / area / slope / area * S);
    same("shot", pump.shot(0.01), 0.01 * M / S * area / (M3 / S));
}

#[test]
fn plates_and_doors() {
    let plate = Plate::new(0.04, 0.2, 0.12, 1.5);
    let (bore, shaft) = (0.04 * M, 0.008 * M);
    let c = 0.7f64.cos() / 0.12f64.cos();
    let a = pure(shaft / bore);
    let b = a / c;
    let covered = c - 2.0 / PI * (a * (1.0 - b * b).sqrt() + c * b.asin() - a * (1.0 - a * a).sqrt() - a.asin());
    same("plate", plate.open_area(0.7), hole(bore) * (1.0 - covered) / M2);
    let rise = bore / 2.0 * (0.7f64.sin() - 0.12f64.sin()) / 0.12f64.cos();
    same("edge", plate.edge_rise(0.7), rise / M);

    let blade = Blade::default();
    let area = blade.length_m * M * (blade.width_m * M);
    let arm = area * (blade.offset_m * M) * (1.0f64.cos() + blade.torque_open_share * 1.0f64.sin());
    same("arm of torque", blade.torque_arm(1.0), arm / M3);
    let moment = 600.0 * PA * arm;
    same("moment", 600.0 * blade.torque_arm(1.0), moment / (N * M));
    let edge = blade.thickness_m * M * (blade.width_m * M);
    let gap = blade.leak_m2 * M2 + area - area * 1.0f64.cos() - edge * 1.0f64.sin();
    same("gap", blade.gap_m2(1.0), gap / M2);
    let flap = blade.flap(&[1.0, 3.0, 0.0, 0.0]);
    same("sweep", flap.sweep_m3_per_s, arm * (3.0 / S) / (M3 / S));

    let spring = DoorSpring::default();
    let closing = spring.spring_rate_nm_per_rad * N * M * (spring.wind_up_rad + 1.0);
    same("spring", spring.closing_moment(1.0), closing / (N * M));
    let weight = Counterweight::default();
    let (sin, cos) = (1.0 - weight.ahead_rad).sin_cos();
    let pull = 9.806_65 * M / (S * S) * cos + 2.0 * M / (S * S) * sin;
    let closing = weight.mass_kg * KG * (weight.arm_m * M) * pull;
    same("weight", weight.closing_moment(1.0, 2.0), closing / (N * M));
    same("inertia", weight.inertia(), weight.mass_kg * KG * (weight.arm_m * M) * (weight.arm_m * M) / (KG * M2));
}

#[test]
fn brake() {
    let brake = Brake::default();
    let specific = 287.05 * J / (KG * K);
    let air = 6e-6 * KG;
    let chamber = air * specific * (300.0 * K) / (brake.brake_volume_m3 * M3);
    let force = (98_000.0 * PA - chamber) * (brake.brake_area_m2 * M2)
        - brake.brake_preload_n * N
        - brake.brake_rate_n_per_m * N / M * (brake.brake_travel_m * M);
    let pull = brake.pull(6e-6, 0.0, AIR);
    same("chamber", pull.chamber_pa, chamber / PA);
    same("pull", pull.force_n, force / N);
    same("closing", brake.closing_moment(&pull), force * (brake.brake_arm_m * M) / (N * M));
}

#[test]
fn engine_and_load() {
    let engine = Engine::default();
    let speed = 250.0 / S;
    let off = pure(speed / (engine.efficiency_speed / S)) - 1.0;
    let efficiency = engine.efficiency_peak * (1.0 - engine.efficiency_width * off * off);
    let specific = 287.05 * J / (KG * K);
    let swept = engine.displacement_m3 * M3;
    let draw = efficiency * swept * (speed / TAU) / (2.0 * specific * (engine.charge_k * K));
    same("draw", engine.draw_per_pascal(250.0), draw / (KG / (S * PA)));
    let thousands = pure(speed / TAU / (1000.0 / (60.0 * S)));
    let friction = (0.97 + 0.15 * thousands + 0.05 * thousands * thousands) * 1e5 * PA * swept / (4.0 * PI);
    same("friction", engine.lost_torque(98_000.0, 98_000.0, 250.0), friction * 50f64.tanh() / (N * M));
    let pumping = (98_000.0 * PA - 40_000.0 * PA) * swept / (4.0 * PI);
    let ours = engine.lost_torque(40_000.0, 98_000.0, 250.0) - engine.lost_torque(98_000.0, 98_000.0, 250.0);
    same("pumping", ours, pumping * 50f64.tanh() / (N * M));

    let load = Load::default();
    same("turns", load.turns_per_metre(), load.gear * load.axle / (load.tyre_m * M) * M);
    let road = 20.0 * M / S;
    let drag = 0.5 * air_density() * (load.drag_area_m2 * M2) * road * road;
    let rolling = load.rolling * (load.mass_kg * KG) * (9.806_65 * M / (S * S));
    let ratio = pure(road / (0.5 * M / S));
    same("road", load.road_force(20.0, AIR.density()), (drag + rolling * ratio.tanh()) / N);
    let stall = load.stall_rad_per_s / S;
    let converter = load.stall_torque_nm * N * M / (stall * stall) * (200.0 / S) * (200.0 / S);
    same("converter", load.converter(200.0, 0.0).impeller, converter / (N * M));

    let lapse = 0.0065 * K / M;
    let radius = 6_356_766.0 * M;
    let height = radius * (1500.0 * M) / (radius + 1500.0 * M);
    let exponent = pure(9.806_65 * M / (S * S) * (0.028_964_4 * KG / MOL) / (8.314_32 * J / (MOL * K) * lapse));
    let pressure = 101_325.0 * PA * (1.0 - pure(lapse * height / (288.15 * K))).powf(exponent);
    same("atmosphere", standard_pressure(1500.0), pressure / PA);
}

#[test]
fn fuel_and_film() {
    let fuel = Fuel { ethanol: 0.1, ..Fuel::default() };
    let ethanol = 0.1 * (789.0 * KG / M3);
    let petrol = 0.9 * (fuel.density_kg_per_m3 * KG / M3);
    same("density", fuel.liquid().density, (ethanol + petrol) / (KG / M3));
    let ratio = (ethanol * 9.0 + petrol * 14.6) / (ethanol + petrol);
    same("air for fuel", fuel.stoichiometric_ratio(), ratio);
    let film = WallFilm::default();
    let full = pure(60e3 * PA / (101_325.0 * PA));
    let colder = 350.0 * K - 330.0 * K;
    let share = film.share_base + film.share_per_pressure * full + film.cold_share * (colder / (100.0 * K));
    same("share", film.on_wall(330.0).share(60e3), share);
    let time = (film.time_base_s * S + film.time_per_pressure_s * S * full) * pure(colder / (film.cold_time * K)).exp();
    same("time", film.on_wall(330.0).time(60e3), time / S);
}

#[test]
fn whole_model() {
    let scenario = Scenario::fresh(&FAMILIES[0]);
    let mut model = Model::new(&scenario);
    let mut state = model.near_rest();
    state[at::FILM] *= 1.5;
    state[at::PLENUM] += 2e3;
    let mut now = Evaluation::default();
    model.evaluate(-1.0, &state, &mut now);
    let sample = model.sample(-1.0, &state);
    let engine = &scenario.engine;
    let specific = 287.05 * J / (KG * K);

    let air = (sample.primary_air_kg_per_s + sample.secondary_air_kg_per_s) * KG / S;
    let drawn = sample.engine_air_kg_per_s * KG / S;
    let filling = specific * (engine.charge_k * K) / (engine.manifold_m3 * M3) * (air - drawn);
    same("plenum", now.rates[at::PLENUM], filling / (PA / S));

    let film = state[at::FILM] * KG;
    let share = scenario.film.on_wall(engine.wall_k).share(state[at::PLENUM]);
    let time = scenario.film.on_wall(engine.wall_k).time(state[at::PLENUM]) * S;
    let growth = share * (sample.port_fuel_kg_per_s * KG / S) - film / time;
    same("film", now.rates[at::FILM], growth / (KG / S));
    let burned = state[at::AIRBORNE] * KG * (state[at::ENGINE] / S) / PI;
    same("burned", now.rates[at::FUEL[1]], burned / (KG / S));

    let speed = state[at::ENGINE] / S;
    let heat = HEAT_PER_AIR * J / KG;
    let best = drawn * heat * engine.efficiency_indicated / speed;
    let outside = scenario.ambient.air().pressure_pa;
    let losses = engine.lost_torque(state[at::PLENUM], outside, state[at::ENGINE]) * N * M;
    same("torque", sample.torque_nm, (best * sample.mixture_share - losses) / (N * M));
}

#[test]
fn rated_flow() {
    let scenario = Scenario::fresh(&FAMILIES[0]);
    let outside = Stagnation { pressure_pa: 101_325.0, temperature_k: 298.15 };
    let below = 101_325.0 * PA - 1.5 * 3386.389 * PA;
    let side = |barrels: &Barrels| {
        let openings = barrels.openings(barrels.wide_open_rad, 1.0);
        air_path::solve(outside, *(below / PA).value(), &openings).flow_kg_per_s * KG / S
    };
    let density = 101_325.0 * PA / (287.05 * J / (KG * K) * (298.15 * K));
    let volume = (side(&scenario.primary) + side(&scenario.secondary)) / density;
    same("rating", rating(&scenario).flow_m3_per_s, volume / (M3 / S));
}
