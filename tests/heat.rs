//! Heat soak: properties that hold for every setting, limits with a known answer, and behaviour.
#![allow(missing_docs)]

use rayon::prelude::*;
use second_breath::heat::events::{EventKind, first};
use second_breath::heat::findings::FINDINGS;
use second_breath::heat::materials::{Body, Spacer, Stud};
use second_breath::heat::network::{Mode, Network};
use second_breath::heat::run::{SoakError, SoakRun, run, run_from, run_with, warm_start};
use second_breath::heat::soak::Soak;
use second_breath::heat::stores::{Control, Stores, integrate};
use second_breath::heat::trace::CHANNELS;
use second_breath::physics::heat_transfer::relaxation;
use second_breath::settings::Kind;
use second_breath::settings::grouped::Grouped;

/// A soak with every setting of these groups somewhere in its range (all groups when none is named): in one case of
/// eight at an end, else evenly, in the logarithm where the range spans decades.
fn random_soak(seed: u64, groups: &[&str]) -> Soak {
    let mut random = fastrand::Rng::with_seed(seed);
    let mut soak = Soak::default();
    for place in soak.places() {
        let Some(setting) = soak.setting(place) else { continue };
        let value = match setting.kind {
            Kind::Choice(words) => random.usize(0..words.len()) as f64,
            Kind::Number { least, most, .. } => match random.u8(0..16) {
                0 => least,
                1 => most,
                _ if least > 0.0 && most / least > 30.0 => least * (most / least).powf(random.f64()),
                _ => least + (most - least) * random.f64(),
            },
        };
        let group = second_breath::heat::soak::GROUPS[place.group].id;
        if groups.is_empty() || groups.contains(&group) {
            soak.set(place, value).expect("inside its range");
        }
    }
    soak
}

fn done(soak: &Soak) -> SoakRun {
    run(soak).unwrap_or_else(|error| panic!("{error}\n{soak:?}"))
}

fn with(change: impl Fn(&mut Soak)) -> SoakRun {
    let mut soak = Soak::default();
    change(&mut soak);
    done(&soak)
}

fn celsius(kelvin: Option<f64>) -> f64 {
    kelvin.expect("found") - 273.15
}

/// 1e-6 as the model's description asks; rounding gives far less.
#[test]
fn random_soaks_are_finite_and_close_heat_and_fuel() {
    const SOAKS: u64 = 2000;
    let failures: Vec<String> = (0..SOAKS)
        .into_par_iter()
        .filter_map(|seed| match run(&random_soak(seed, &[])) {
            Err(error) => Some(format!("seed {seed}: {error}")),
            Ok(run) => {
                let bad = run.trace.samples.iter().find_map(|sample| {
                    CHANNELS.iter().find(|c| !(c.get)(sample).is_finite()).map(|c| (sample.time_s, c.id))
                });
                let wrong = FINDINGS.iter().find(|f| (f.get)(&run.findings).is_some_and(|v| !v.is_finite()));
                let open = run.closure.heat.abs() > 1e-6 || run.closure.fuel.abs() > 1e-6;
                let shares = run.trace.samples.iter().find(|s| {
                    s.bowl_share < 0.0 || s.vapour_share < -1e-3 || !(-0.01..=1.01).contains(&s.bubble_share)
                });
                (bad.is_some() || wrong.is_some() || open || shares.is_some()).then(|| {
                    let share = shares.map(|s| (s.time_s, s.bowl_share, s.vapour_share, s.bubble_share));
                    format!("seed {seed}: {bad:?} {:?} {:?} {share:?}", wrong.map(|f| f.id), run.closure)
                })
            }
        })
        .collect();
    let some = &failures[..failures.len().min(12)];
    assert!(failures.is_empty(), "{} of {SOAKS} fail, for example:\n{}", failures.len(), some.join("\n"));
}

#[test]
fn a_value_out_of_range_is_refused_with_its_key_and_range() {
    let soak = Soak::default();
    for place in soak.places() {
        for value in [f64::NAN, f64::INFINITY, -1e12, 1e12] {
            let mut changed = soak;
            let error = changed.set(place, value).expect_err("out of range");
            assert!(error.to_string().contains(&error.key) && error.accepted.starts_with("give "), "{error}");
            assert_eq!(changed, soak, "nothing is changed");
        }
    }
    let mut typed = soak;
    typed.mounting.spacer_thickness_m = -1.0;
    let Err(SoakError::OutOfRange(problems)) = run(&typed) else { panic!("refused") };
    assert_eq!(problems[0].key, "mounting.spacer_thickness");
}

#[test]
fn same_soak_same_bits_on_any_thread() {
    let runs: Vec<SoakRun> = (0..8u64).into_par_iter().map(|_| done(&random_soak(5, &[]))).collect();
    assert!(runs.iter().all(|run| *run == runs[0]));
}

/// Findings within 0.1 % of a run with a hundredth of the error in a step; of 20 K and 1 g where they are small.
#[test]
fn findings_hold_at_tight_tolerance() {
    for body in Body::ALL {
        let mut soak = Soak::default();
        soak.casting.body = *body;
        let tight = run_with(&soak, 15.0, Control { share: 3e-5, longest: 30.0 }).expect("runs").findings;
        let ours = done(&soak).findings;
        let pairs = [
            (ours.hottest_bowl_k, tight.hottest_bowl_k, 20.0),
            (ours.hottest_base_k, tight.hottest_base_k, 20.0),
            (ours.evaporated_kg, tight.evaporated_kg, 1e-3),
            (ours.percolated_kg, tight.percolated_kg, 1e-3),
            (ours.bowl_share_left, tight.bowl_share_left, 1.0),
            (ours.least_pump_margin_k, tight.least_pump_margin_k, 20.0),
        ];
        for (ours, tight, size) in pairs {
            let (ours, tight) = (ours.expect("found"), tight.expect("found"));
            assert!((ours - tight).abs() <= 1e-3 * tight.abs().max(size), "{body:?}: {ours} against {tight}");
        }
    }
}

/// More resistance between manifold and base: the base stays cooler. 0.05 K for the integration.
#[test]
fn a_thicker_spacer_never_makes_the_base_hotter() {
    (0..60u64).into_par_iter().for_each(|seed| {
        let mut soak = random_soak(seed, &["casting", "mounting", "volatility", "bowl", "wells"]);
        let hottest: Vec<f64> = [0.0, 6e-3, 13e-3, 25e-3, 50e-3]
            .iter()
            .map(|thickness| {
                soak.mounting.spacer_thickness_m = *thickness;
                celsius(done(&soak).findings.hottest_base_k)
            })
            .collect();
        assert!(hottest.windows(2).all(|pair| pair[1] <= pair[0] + 0.05), "seed {seed}: {hottest:?}");
    });
}

/// Wide passages, so that fuel is not carried away before it can boil.
#[test]
fn a_higher_vapour_pressure_boils_sooner_and_makes_more_vapour() {
    (0..40u64).into_par_iter().for_each(|seed| {
        let mut soak = random_soak(seed, &["casting", "mounting"]);
        soak.wells.passage_m = 12e-3;
        let mut before = (f64::INFINITY, 0.0);
        for reid_pa in [45e3, 54e3, 62e3, 69e3] {
            soak.volatility.reid_pa = reid_pa;
            let found = done(&soak).findings;
            let now = (found.boiling_begins_s.unwrap_or(f64::INFINITY), found.evaporated_kg.expect("found"));
            assert!(now.0 <= before.0 + 1.0 && now.1 >= before.1 - 1e-5, "seed {seed} {reid_pa}: {before:?} {now:?}");
            before = now;
        }
    });
}

#[test]
fn at_altitude_it_boils_sooner() {
    (0..40u64).into_par_iter().for_each(|seed| {
        let mut soak = random_soak(seed, &["casting", "mounting", "volatility"]);
        let begins: Vec<f64> = [0.0, 800.0, 1600.0, 3000.0]
            .iter()
            .map(|altitude| {
                soak.ambient.altitude_m = *altitude;
                done(&soak).findings.boiling_begins_s.unwrap_or(f64::INFINITY)
            })
            .collect();
        assert!(begins.windows(2).all(|pair| pair[1] <= pair[0] + 1.0), "seed {seed}: {begins:?}");
    });
}

/// Everything at the temperature of the day: only what evaporates cools, by less than half a kelvin.
#[test]
fn without_a_source_of_heat_nothing_changes() {
    let mut soak = Soak::default();
    (soak.times.cool_s, soak.times.soak_s) = (0.0, 5400.0);
    (soak.volatility.reid_pa, soak.start.film_kg) = (40e3, 0.0);
    let day = soak.ambient.temperature_k;
    let start = Network::new(&soak).state_at(&[day; 9]);
    let run = run_from(&soak, start, 15.0, Control::default()).expect("runs");
    for sample in &run.trace.samples {
        for temperature in
            [sample.block_k, sample.manifold_k, sample.base_k, sample.body_k, sample.bowl_k, sample.bay_k]
        {
            assert!((temperature - day).abs() < 0.5, "{sample:?}");
        }
    }
    assert_eq!(run.findings.percolated_kg, Some(0.0));
    assert!(run.events.is_empty(), "{:?}", run.events);
}

/// The soak begins where a long run has come to rest: in a minute more of running nothing drifts by 0.01 K.
#[test]
fn a_warm_engine_is_at_rest_before_it_stops() {
    for body in Body::ALL {
        let mut soak = Soak::default();
        (soak.casting.body, soak.start.film_kg) = (*body, 0.0);
        let network = Network::new(&soak).in_mode(Mode::Running);
        let mut state = warm_start(&soak, Control::default()).expect("runs");
        let before = network.temperatures(&state);
        integrate(&network, (0.0, 60.0), &mut state, Control::default(), |_| {}).expect("runs");
        for (store, (before, after)) in before.iter().zip(network.temperatures(&state)).enumerate() {
            assert!((before - after).abs() < 0.01, "{body:?}, store {store}: {before} {after}");
        }
    }
}

struct OneBody;

impl Stores<1> for OneBody {
    fn rates(&self, t: &[f64; 1]) -> [f64; 1] {
        [-(1.6 * (t[0] - 373.15) + 0.405 * (t[0] - 333.15)) / 1090.4]
    }

    fn scale(&self) -> &[f64; 1] {
        &[20.0]
    }
}

/// One body between a flange and air: exponential, with the time constant and rest of the law. Order 2: the global error
/// falls at least as the step's, here a hundredth for a thousandth (with a step of second order at first order's price).
#[test]
fn one_body_follows_the_exponential() {
    let (time, rest) = relaxation(1090.4, &[(1.6, 373.15), (0.405, 333.15)]);
    let error = |share: f64| {
        let mut state = [293.15];
        integrate(&OneBody, (0.0, 900.0), &mut state, Control { share, longest: 900.0 }, |_| {}).expect("runs");
        (state[0] - (rest + (293.15 - rest) * (-900.0 / time).exp())).abs()
    };
    let (rough, fine) = (error(3e-3), error(3e-6));
    assert!(rough < 0.05, "{rough}");
    assert!(fine < 1e-2 * rough.max(1e-3), "{fine:e} {rough:e}");
}

struct TwoBodies;

impl Stores<2> for TwoBodies {
    fn rates(&self, t: &[f64; 2]) -> [f64; 2] {
        let across = 2.0 * (t[0] - t[1]);
        [-across / 500.0, (across - 0.5 * t[1]) / 1000.0]
    }

    fn scale(&self) -> &[f64; 2] {
        &[20.0; 2]
    }
}

/// Two bodies against the exponential of their matrix by its eigenvalues.
#[test]
fn two_bodies_follow_the_exponential_of_their_matrix() {
    let matrix: [[f64; 2]; 2] = [[-2.0 / 500.0, 2.0 / 500.0], [2.0 / 1000.0, -2.5 / 1000.0]];
    let half = 0.5 * (matrix[0][0] + matrix[1][1]);
    let root = (half * half - matrix[0][0] * matrix[1][1] + matrix[0][1] * matrix[1][0]).sqrt();
    let (start, time): ([f64; 2], f64) = ([80.0, 20.0], 600.0);
    let (cosh, sinh) = ((root * time).cosh(), (root * time).sinh() / root);
    let exact: [f64; 2] = std::array::from_fn(|i| {
        let product = matrix[i][0] * start[0] + matrix[i][1] * start[1];
        (half * time).exp() * (start[i] * cosh + (product - half * start[i]) * sinh)
    });
    let mut state = start;
    let control = Control { share: 1e-6, longest: 60.0 };
    integrate(&TwoBodies, (0.0, time), &mut state, control, |_| {}).expect("runs");
    for (ours, exact) in state.iter().zip(exact) {
        assert!((ours - exact).abs() < 1e-3, "{ours} {exact}");
    }
}

/// Belief: the metal of a carburettor decides how hot its fuel gets. The numbers: at equal shape zinc and aluminium
/// conduct within 18 % and store within 6 % of each other, and the fuel differs by less than a kelvin. What does differ
/// is weight, and at equal *weight* the zinc body stores less than half. Sources: both alloys from the die casters' tables.
#[test]
fn zinc_and_aluminium_of_one_shape_differ_little() {
    let (a, b) = (Body::Zinc.material(), Body::Aluminium.material());
    assert!((a.conductivity / b.conductivity - 1.0).abs() < 0.18);
    assert!((a.per_volume() / b.per_volume() - 1.0).abs() < 0.06);
    assert!(a.density / b.density > 2.3 && a.heat_capacity / b.heat_capacity < 0.45);
    let of = |body: Body| with(|soak| soak.casting.body = body);
    let (zinc, aluminium, phenolic) = (of(Body::Zinc), of(Body::Aluminium), of(Body::Phenolic));
    let apart = zinc
        .trace
        .standing()
        .iter()
        .zip(aluminium.trace.standing())
        .map(|(zinc, aluminium)| (zinc.bowl_k - aluminium.bowl_k).abs())
        .fold(0.0, f64::max);
    assert!(apart < 1.0, "{apart} K");
    let (zinc, aluminium, phenolic) = (zinc.findings, aluminium.findings, phenolic.findings);
    let constant = zinc.bowl_time_constant_s.expect("found") / aluminium.bowl_time_constant_s.expect("found");
    assert!((constant - 1.0).abs() < 0.06, "{constant}");
    // belief and numbers agree on a moulding: it stops the way along the casting
    assert!(celsius(zinc.hottest_bowl_k) - celsius(phenolic.hottest_bowl_k) > 10.0);
}

/// Common practice, no source: the fuel is hottest some ten to forty minutes after the engine has stopped.
#[test]
fn the_bowls_are_hottest_well_after_the_engine_has_stopped() {
    for body in [Body::Zinc, Body::Aluminium] {
        let found = with(|soak| soak.casting.body = body).findings;
        let minutes = found.hottest_bowl_s.expect("found") / 60.0;
        assert!((10.0..45.0).contains(&minutes), "{body:?}: {minutes} min");
    }
}

/// Common practice, no source: an insulating spacer helps. The model adds that four steel studs carry more than a
/// 25 mm phenolic spacer does (sources: conductivities), and that an aluminium one helps by its second gasket only.
#[test]
fn an_insulating_spacer_helps_and_studs_take_half_of_it_back() {
    let spaced = |spacer: Spacer, stud: Stud| {
        let soak = with(|soak| {
            (soak.mounting.spacer, soak.mounting.stud) = (spacer, stud);
            soak.mounting.spacer_thickness_m = 25.4e-3;
        });
        celsius(soak.findings.hottest_bowl_k)
    };
    let bare = celsius(with(|_| {}).findings.hottest_bowl_k);
    let (phenolic, stainless) = (spaced(Spacer::Phenolic, Stud::Steel), spaced(Spacer::Phenolic, Stud::Stainless));
    assert!(bare - phenolic > 5.0 && phenolic - stainless > 2.0, "{bare} {phenolic} {stainless}");
    let mut soak = Soak::default();
    soak.mounting.spacer_thickness_m = 25.4e-3;
    assert!(soak.mounting.studs_w_per_k() > soak.mounting.stack_w_per_k());
    let metal = spaced(Spacer::Aluminium, Stud::Steel);
    let gaskets = celsius(with(|soak| soak.mounting.gasket_thickness_m *= 2.0).findings.hottest_bowl_k);
    assert!((metal - gaskets).abs() < 3.0 && metal > phenolic + 3.0, "{metal} {gaskets}");
}

/// Common practice, no source: a blocked crossover and a raised bonnet keep the fuel cooler.
#[test]
fn less_heat_below_and_more_air_above_help() {
    let bare = celsius(with(|_| {}).findings.hottest_bowl_k);
    let blocked = celsius(with(|soak| soak.bay.crossover_w_per_k = 0.0).findings.hottest_bowl_k);
    let open = celsius(with(|soak| soak.bay.crossover_w_per_k = 3.0).findings.hottest_bowl_k);
    let raised = celsius(with(|soak| soak.bay.opening_m2 = 1.0).findings.hottest_bowl_k);
    assert!(blocked < bare && bare < open && raised < bare - 3.0, "{blocked} {bare} {open} {raised}");
}

/// Bubbles slip past the fuel in a wide passage and carry it in a narrow one (drift of long bubbles: Wallis 1969).
#[test]
fn narrow_nozzle_passages_percolate_and_wide_ones_only_boil() {
    let of = |passage_m: f64| with(|soak| soak.wells.passage_m = passage_m).findings;
    let (narrow, wide) = (of(2.5e-3), of(9e-3));
    assert!(narrow.percolated_kg.expect("found") > 20e-3, "{narrow:?}");
    assert_eq!(wide.percolated_kg, Some(0.0));
    assert!(wide.boiling_begins_s.is_some());
    assert!(narrow.cranking_at_restart_s > wide.cranking_at_restart_s);
}

/// Common practice, no source: a flooded engine starts sooner with the pedal on the floor, and the bowls calm down once
/// fan and fresh fuel cool them.
#[test]
fn pedal_down_clears_sooner_and_running_cools() {
    let down = with(|_| {});
    let up = with(|soak| soak.start.cranking = second_breath::heat::parts::Cranking::Shut);
    assert!(up.findings.cranking_at_restart_s > down.findings.cranking_at_restart_s);
    let end = down.trace.running().last().expect("runs again");
    assert!(end.bowl_margin_k > 2.0 && end.lock_margin_k > 0.0, "{end:?}");
    let (begins, ends) = (EventKind::VapourLock, EventKind::VapourLockOver);
    let lock = first(&down.events, begins, 0.0).expect("the pump on a hot block locks");
    assert!(first(&down.events, ends, lock).expect("and recovers") > down.trace.restart_s);
}

/// Ten per cent of ethanol boils sooner; most of it in the tank, later (the table of blends that the surrogate supports).
#[test]
fn a_little_ethanol_boils_sooner_and_a_lot_later() {
    let of = |ethanol: f64| with(|soak| soak.fuel.ethanol = ethanol).findings.boiling_begins_s.expect("boils");
    assert!(of(0.10) < of(0.0) && of(0.0) < of(0.85));
}
