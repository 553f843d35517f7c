//! What a carburettor passes: its rated flow, and the engine's air at the top end.

use crate::bench::run::{RunError, run_with};
use crate::bench::scenario::Scenario;
use crate::bench::trace::Sample;
use crate::engine::load::LoadKind;
use crate::families::{self, PLACE, Surroundings};
use crate::physics::air::Stagnation;
use crate::physics::air_path::{self, PathFlow};
use crate::solver::hybrid::Control;
use crate::solver::root;
use crate::units::INHG;

/// Depression across a four-barrel carburettor at which it is rated, inHg. Trade convention; no standard found.
pub const RATING_INHG: f64 = 1.5;

/// A rated flow.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rating {
    /// Air at ambient density with everything open as far as that flow holds it, m³/s.
    pub flow_m3_per_s: f64,
    /// The same with the secondary side's door or valve taken out, m³/s.
    pub without_device_m3_per_s: f64,
    /// Opening of the door or valve in that flow, 0 to 1.
    pub opening: f64,
}

/// Flow in dry standard air (101 325 Pa, 25 °C) at [`RATING_INHG`] across the whole carburettor without its cleaner,
/// computed from its geometry; never typed in. A door stands where the air of that flow holds it.
pub fn rating(scenario: &Scenario) -> Rating {
    let air = Stagnation { pressure_pa: 101_325.0, temperature_k: 298.15 };
    let below = air.pressure_pa - INHG.to_si(RATING_INHG);
    let no_cleaner = 1.0;
    let primary = air_path::solve(air, below, &scenario.primary.openings(scenario.primary.wide_open_rad, no_cleaner));
    let family = scenario.family();
    let bare = scenario.secondary.openings(scenario.secondary.wide_open_rad, no_cleaner);
    let at = |opening: f64| -> (PathFlow, f64) {
        let mut own = family.wide_open();
        own[PLACE] *= opening;
        let mut openings = bare;
        family.obstruct(&own, &mut openings);
        let secondary = air_path::solve(air, below, &openings);
        let near = Surroundings {
            ambient: air,
            plenum_pa: below,
            primary: &primary,
            secondary: &secondary,
            barrels: &scenario.secondary,
            link_travel: (1.0, 0.0),
            car_acceleration: 0.0,
            fuel: scenario.fuel.liquid(),
        };
        (secondary, family.opening_force(&own, &near))
    };
    let mut probe = bare;
    family.obstruct(&family.wide_open(), &mut probe);
    let obstructed = probe != bare;
    let opening = if obstructed && at(1.0).1 < 0.0 { root::bracketed(0.0, 1.0, 1e-9, |o| at(o).1) } else { 1.0 };
    let secondary = if obstructed { at(opening).0 } else { air_path::solve(air, below, &bare) };
    let volume = |flow: f64| (primary.flow_kg_per_s + flow) / air.density();
    Rating {
        flow_m3_per_s: volume(secondary.flow_kg_per_s),
        without_device_m3_per_s: volume(air_path::solve(air, below, &bare).flow_kg_per_s),
        opening,
    }
}

/// Full pedal at the engine's top-end speed, held there.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Held {
    /// Air into the cylinders, kg/s.
    pub air_kg_per_s: f64,
    /// Torque, N m.
    pub torque_nm: f64,
    /// λ.
    pub lambda: f64,
}

/// What it passes at the top end, and what its device costs there.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TopEnd {
    /// Air into the cylinders, kg/s.
    pub air_kg_per_s: f64,
    /// Torque, N m.
    pub torque_nm: f64,
    /// λ.
    pub lambda: f64,
    /// Share of the air that the same barrels with a bare link would pass and this family does not.
    pub device_cost: f64,
}

/// Time for which the pedal is held down, s; of the last part the mean is taken. A heavy valve flutters for good, and a
/// diaphragm behind a very fine hole is still on its way: no instant of theirs would be their top end.
const HELD_S: f64 = 6.0;
const MEAN_S: f64 = 3.0;
/// Time between samples, s: a flutter takes some tenths of a second.
const INTERVAL_S: f64 = 0.01;

/// The mean over the last three seconds of six at the top-end speed with the pedal down.
///
/// # Errors
/// As [`crate::bench::run::run`].
pub fn at_top_end(scenario: &Scenario) -> Result<Held, RunError> {
    let mut steady = scenario.clone();
    steady.load.kind = LoadKind::Dynamometer;
    steady.load.start_rad_per_s = scenario.engine.top_speed;
    steady.pedal = crate::bench::pedal::Pedal {
        rest: 0.9,
        floor: 1.0,
        begin_s: 0.05,
        stab_s: 0.05,
        hold_s: 0.0,
        length_s: HELD_S,
        ..scenario.pedal
    };
    let trace = run_with(&steady, INTERVAL_S, Control::default())?.trace;
    let count = (MEAN_S / INTERVAL_S).round() as usize;
    let last = &trace.samples[trace.samples.len().saturating_sub(count + 1)..];
    let mean = |figure: fn(&Sample) -> f64| {
        let sum: f64 = last.windows(2).map(|pair| 0.5 * (figure(&pair[0]) + figure(&pair[1]))).sum();
        sum / (last.len() - 1).max(1) as f64
    };
    Ok(Held {
        air_kg_per_s: mean(|sample| sample.engine_air_kg_per_s),
        torque_nm: mean(|sample| sample.torque_nm),
        lambda: mean(|sample| sample.lambda),
    })
}

/// The top end of a scenario, and the same barrels with a bare link.
///
/// # Errors
/// As [`crate::bench::run::run`].
pub fn top_end(scenario: &Scenario) -> Result<TopEnd, RunError> {
    let Held { air_kg_per_s, torque_nm, lambda } = at_top_end(scenario)?;
    let mut plain = scenario.clone();
    plain.choose_family(&families::FAMILIES[0]);
    let device_cost = 1.0 - air_kg_per_s / at_top_end(&plain)?.air_kg_per_s;
    Ok(TopEnd { air_kg_per_s, torque_nm, lambda, device_cost })
}
