//! The seven behaviours that must come out of the equations, in the trade's terms. Common practice, no source: nobody
//! has published figures for them, so the tests compare runs with each other and with the table of verdicts only.
//!
//! All at a full-pedal stab in 0.12 s from a cruise at 1500 rpm on the default car, unless a test says otherwise.

mod support;

use second_breath::bench::findings::{Findings, findings};
use second_breath::bench::rating::{rating, top_end};
use second_breath::bench::run::run;
use second_breath::bench::scenario::Scenario;
use second_breath::bench::verdict::Verdict;
use second_breath::families::FAMILIES;
use second_breath::settings::grouped::Grouped;
use second_breath::units::CFM;
use support::{fresh, with};

fn found(scenario: &Scenario) -> Findings {
    findings(scenario, &run(scenario).expect("the scenario runs"))
}

fn lost(scenario: &Scenario) -> f64 {
    found(scenario).lost_s.expect("always there")
}

/// Venturis, bores and jets of all four barrels times a factor.
fn sized(mut scenario: Scenario, factor: f64) -> Scenario {
    for group in ["primary", "secondary"] {
        for key in ["venturi", "bore", "main_jet"] {
            let place = scenario.place(group, key).expect("a setting");
            let value = scenario.value(place).expect("a value");
            scenario.set(place, value * factor).expect("inside its range");
        }
    }
    scenario
}

#[test]
fn a_bare_link_bogs_and_a_second_pump_of_the_right_shot_cures_it() {
    let bare = found(&fresh("bare_link"));
    let twin = found(&fresh("twin_pump"));
    assert_eq!(bare.verdict, Verdict::Bogs);
    assert!(bare.lean_s > Some(0.1), "a lean hole, not a rich one");
    assert_eq!(twin.verdict, Verdict::Clean);
    assert!(twin.speed_gain_1_s > bare.speed_gain_1_s);
}

#[test]
fn a_second_pump_that_is_much_too_big_drowns_what_it_should_cure() {
    let right = lost(&fresh("twin_pump"));
    assert!(lost(&with(fresh("twin_pump"), "family", "shot", 0.0)) > right);
    assert!(lost(&with(fresh("twin_pump"), "family", "shot", 6e-6)) > right);
}

#[test]
fn a_diaphragm_with_a_suitable_spring_does_not_bog() {
    assert_eq!(found(&fresh("vacuum_diaphragm")).verdict, Verdict::Clean);
}

#[test]
fn a_diaphragm_with_far_too_light_a_spring_behaves_as_the_bare_link_does() {
    let light = with(with(fresh("vacuum_diaphragm"), "family", "spring_preload", 0.0), "family", "spring_rate", 5.0);
    let light = with(light, "family", "restriction", 3e-3);
    let (light, bare) = (found(&light), found(&fresh("bare_link")));
    assert_eq!(light.verdict, bare.verdict);
    assert!(light.secondary_air_s < Some(0.15), "the plates follow the pedal");
}

#[test]
fn a_diaphragm_with_too_stiff_a_spring_never_opens_and_loses_the_top_end() {
    let stiff = with(with(fresh("vacuum_diaphragm"), "family", "spring_preload", 8.0), "family", "spring_rate", 900.0);
    assert_eq!(found(&stiff).secondary_air_s, None);
    let (stiff, usual) = (top_end(&stiff).expect("runs"), top_end(&fresh("vacuum_diaphragm")).expect("runs"));
    assert!(stiff.torque_nm < 0.97 * usual.torque_nm, "{} against {}", stiff.torque_nm, usual.torque_nm);
    assert!(stiff.air_kg_per_s < usual.air_kg_per_s);
}

#[test]
fn weight_off_a_600_cfm_counterweighted_door_brings_the_bog_and_weight_on_costs_time() {
    let door = |mass| with(sized(fresh("counterweighted_door"), 1.15), "family", "mass", mass);
    let cfm = CFM.from_si(rating(&door(0.06)).flow_m3_per_s);
    assert!((590.0..650.0).contains(&cfm), "{cfm} cfm");
    let [none, usual, heavy] = [0.0, 0.05, 0.08].map(|mass| found(&door(mass)));
    assert_eq!(none.verdict, Verdict::Bogs);
    assert!(usual.verdict < Verdict::Bogs, "{usual:?}");
    assert!(heavy.device_travel_s > usual.device_travel_s, "the door takes longer");
    assert!(heavy.speed_gain_2_s < usual.speed_gain_2_s, "and the car knows");
}

#[test]
fn a_counterweighted_door_opens_in_a_fraction_of_a_second() {
    let travel = found(&fresh("counterweighted_door")).device_travel_s.expect("it opens");
    assert!((0.005..0.8).contains(&travel), "{travel} s");
}

#[test]
fn loosening_a_spring_door_brings_the_bog_and_tightening_it_delays() {
    let door = |turns: f64| found(&with(fresh("spring_door"), "family", "wind_up", turns * std::f64::consts::TAU));
    let [loose, usual, tight] = [0.05, 1.1, 2.2].map(door);
    assert_eq!(loose.verdict, Verdict::Bogs);
    assert_eq!(usual.verdict, Verdict::Clean);
    assert!(tight.device_end < usual.device_end, "it stands less open");
    assert!(tight.device_travel_s > usual.device_travel_s);
}

#[test]
fn a_brake_makes_the_same_spring_door_later() {
    let free = found(&fresh("spring_door"));
    for family in ["damped_lifted_rods", "damped_fixed_jets"] {
        let wind_up = 7.0;
        let damped = found(&with(fresh(family), "family", "wind_up", wind_up));
        assert!(damped.device_starts_s > free.device_starts_s.map(|t| t + 0.05), "{family}");
    }
    let slow = found(&with(fresh("damped_lifted_rods"), "family", "brake_orifice", 0.25e-3));
    assert!(slow.device_starts_s > found(&fresh("damped_lifted_rods")).device_starts_s, "a smaller hole, later still");
}

#[test]
fn at_full_flow_a_counterweighted_door_loses_more_than_a_spring_door_and_both_more_than_none() {
    let share = |family| {
        let rated = rating(&fresh(family));
        1.0 - rated.flow_m3_per_s / rated.without_device_m3_per_s
    };
    let [bare, spring, weighted] = ["bare_link", "spring_door", "counterweighted_door"].map(share);
    assert_eq!(bare, 0.0);
    assert!(weighted > spring && spring > 0.01, "rated: {weighted} {spring}");
    let cost = |family| top_end(&fresh(family)).expect("runs").device_cost;
    assert!(cost("counterweighted_door") > cost("spring_door") && cost("spring_door") > 0.0, "on the engine");
}

#[test]
fn too_big_a_carburettor_makes_every_family_worse_at_low_speed() {
    for entry in FAMILIES {
        let (usual, big) = (lost(&Scenario::fresh(entry)), lost(&sized(Scenario::fresh(entry), 1.35)));
        assert!(big > usual, "{}: {big} against {usual}", entry.id);
    }
}

#[test]
fn too_small_a_carburettor_costs_top_end_torque_in_every_family() {
    for entry in FAMILIES {
        let usual = top_end(&Scenario::fresh(entry)).expect("runs");
        let small = top_end(&sized(Scenario::fresh(entry), 0.75)).expect("runs");
        assert!(small.air_kg_per_s < 0.99 * usual.air_kg_per_s, "{}: {small:?} {usual:?}", entry.id);
    }
}

#[test]
fn without_a_primary_pump_the_engine_dies_or_nearly_so() {
    for entry in FAMILIES {
        let mut dry = with(Scenario::fresh(entry), "pump", "shot", 0.0);
        if let Some(second) = dry.place("family", "shot") {
            // a pump on the other shaft would stand in for the missing one
            dry.set(second, 0.0).expect("inside its range");
        }
        let dry = found(&dry);
        let usual = found(&Scenario::fresh(entry));
        assert!(dry.deepest_share < Some(0.1), "{}: torque is all but gone", entry.id);
        assert!(dry.verdict >= Verdict::Bogs && dry.lost_s > usual.lost_s, "{}", entry.id);
    }
    assert_eq!(found(&with(fresh("bare_link"), "pump", "shot", 0.0)).verdict, Verdict::Dies);
}

#[test]
fn a_second_stab_soon_after_the_first_finds_less_in_the_pump() {
    let mut quick = fresh("twin_pump");
    quick.pedal.hold_s = 0.3;
    quick.pedal.off_s = 0.05;
    let mut slow = quick.clone();
    slow.pedal.off_s = 0.6;
    let second_shot = |scenario: &Scenario| {
        let run = run(scenario).expect("runs");
        let pedal = &scenario.pedal;
        let second = pedal.begin_s + 2.0 * pedal.stab_s + pedal.hold_s + pedal.off_s;
        let after = run.trace.samples.iter().filter(|sample| sample.time_s >= second);
        after.map(|sample| sample.pump_kg_per_s * run.trace.interval_s).sum::<f64>()
    };
    assert!(second_shot(&quick) < 0.9 * second_shot(&slow));
}

#[test]
fn opening_all_four_at_low_speed_leaves_a_quarter_of_the_signal() {
    let trace = run(&fresh("bare_link")).expect("runs").trace;
    let two = trace.at(0.30).primary_signal_pa.max(trace.at(0.305).primary_signal_pa);
    let steady_two = run(&with(fresh("bare_link"), "pedal", "floor", 0.48)).expect("runs").trace.at(0.6);
    let four = trace.at(0.6);
    assert!(two > four.primary_signal_pa, "the rush that fills the manifold comes first");
    let ratio = four.primary_signal_pa / steady_two.primary_signal_pa;
    assert!((0.2..0.4).contains(&ratio), "{ratio}");
}
