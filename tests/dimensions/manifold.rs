//! A puddle in the manifold, the vapour over it, and cranking until the mixture burns.

use crate::vapour::{Blend, air_mass, diffusivity, gas_density};
use crate::{
    AIR, FlowVolume, MassFlow, MolarMass, SpecificHeat, molar, near, number, opening_flow, pure, same, specific,
};
use dimensioned::si::{self, J, K, KG, M, M2, M3, PA, S, W};
use second_breath::engine::torque::RICH_LIMIT;
use second_breath::heat::manifold::{Contents, Manifold};
use second_breath::heat::parts::{Cranking, Start};
use second_breath::physics::vapour;
use std::f64::consts::PI;

const REID: f64 = 62e3;
const ETHANOL: f64 = 0.11;
const RATIO: f64 = 14.0;
const SLOPE: f64 = 120.0;
const FLOODED: Contents = Contents { puddle_kg: 4e-3, lost: 0.05, vapour_kg: 1.5e-3, temperature_k: 318.0 };

fn manifold(start: Start) -> Manifold {
    Manifold::new(start, vapour::Blend::new(REID, ETHANOL), SLOPE, AIR, RATIO)
}

fn outside() -> si::Pascal<f64> {
    98_000.0 * PA
}

fn warm() -> si::Kelvin<f64> {
    318.0 * K
}

fn molar_mass() -> MolarMass {
    let blend = vapour::Blend::new(REID, ETHANOL);
    Blend::new(REID * PA, ETHANOL).vapour(blend.boiling_point(98_000.0) * K)
}

fn over_puddle(lost: f64) -> si::Pascal<f64> {
    Blend::new(REID * PA, ETHANOL).pressure(warm() - lost * (SLOPE * K))
}

fn share(start: &Start, vapour: si::Kilogram<f64>) -> f64 {
    let gas = outside() * (start.manifold_m3 * M3) / (molar() * warm());
    pure(vapour / molar_mass() / gas)
}

/// What the starter draws, at the pressure behind the plates.
fn cranked(start: &Start) -> FlowVolume {
    0.8 * (start.displacement_m3 * M3) * (start.crank_rad_per_s / S) / (4.0 * PI)
}

#[test]
fn contents() {
    let start = Start::default();
    let ours = manifold(start);
    let vapour = 1.5e-3 * KG;
    same("share", ours.vapour_share(FLOODED), number(share(&start, vapour)));
    let air = outside() * (start.manifold_m3 * M3) / (specific() * warm());
    same("richness", ours.richness(FLOODED), (4e-3 * KG + vapour) * RATIO / air);
}

#[test]
fn exchange() {
    let start = Start::default();
    let air: SpecificHeat = 1007.0 * J / (KG * K);
    // the coefficient of heat over that of a unit volume of air is a speed; Lewis makes it that of mass
    let speed = 5.0 * W / (M2 * K) / (outside() / (specific() * warm()) * air) * 0.551;
    let pure_vapour = gas_density(molar_mass(), outside(), warm());
    let past_plates: MassFlow = diffusivity(outside(), warm()) * (start.plate_gap_m2 * M2) / (6e-3 * M) * pure_vapour;
    for vapour_kg in [1.5e-3, 9e-3] {
        let ours = manifold(start).exchange(Contents { vapour_kg, ..FLOODED });
        let share = share(&start, vapour_kg * KG);
        let drive = pure(over_puddle(0.05) / outside()) - share;
        let puddle = 4e-3 * KG;
        // the second lot condenses
        assert_eq!(drive > 0.0, vapour_kg < 5e-3, "{drive}");
        let covered = if drive > 0.0 { pure(puddle / (puddle + 50e-6 * KG)) } else { 1.0 };
        let evaporated = speed * (start.puddle_m2 * M2) * pure_vapour * drive * covered;
        same("evaporated", ours.evaporated, evaporated / (KG / S));
        let displaced = if drive > 0.0 { evaporated } else { 0.0 * KG / S };
        same("escaped", ours.escaped, share * (displaced + past_plates) / (KG / S));
    }
}

/// Share of vapour at which the mixture is just no longer too rich.
fn limit() -> f64 {
    let (air, fuel) = (RICH_LIMIT * RATIO * KG, 1.0 * KG);
    let (air, fuel) = (air / air_mass(), fuel / molar_mass());
    pure(fuel / (air + fuel))
}

/// The puddle in twelve pieces, none of which falls below the limit; then the vessel.
fn cranking(start: &Start, behind: si::Pascal<f64>, contents: &Contents) -> si::Second<f64> {
    let volume = cranked(start);
    let fresh = contents.puddle_kg * KG / (1.0 - contents.lost);
    let leaves = gas_density(molar_mass(), behind, warm());
    let over = |lost: f64| pure(over_puddle(lost) / behind).min(1.0);
    let piece = (1.0 - contents.lost) / 12.0;
    let (mut time, mut from) = (0.0 * S, over(contents.lost));
    for number in 1..=12 {
        if from <= limit() {
            break;
        }
        let to = over(contents.lost + f64::from(number) * piece);
        let part = if to < limit() { (from - limit()) / (from - to) } else { 1.0 };
        time += fresh * piece * part / (volume * leaves * (0.5 * (from + to.max(limit()))));
        from = to;
    }
    let gas = share(start, contents.vapour_kg * KG);
    time + start.manifold_m3 * M3 / volume * (gas / limit()).ln().max(0.0)
}

#[test]
fn cranking_past_a_puddle() {
    let start = Start { cranking: Cranking::Open, ..Start::default() };
    for puddle_kg in [0.0, 1e-3] {
        let contents = Contents { puddle_kg, ..FLOODED };
        let time = cranking(&start, outside(), &contents);
        same("pedal down", manifold(start).cranking_s(contents), time / S);
    }
    // the pressure behind shut plates: as much leaves as comes; the core's search ends within a millionth of it
    let start = Start { cranking: Cranking::Shut, plate_gap_m2: 300e-6, ..start };
    let excess = |behind: si::Pascal<f64>| {
        let came = opening_flow(outside(), behind, 300.0 * K, start.plate_gap_m2 * M2);
        came - cranked(&start) * behind / (specific() * (300.0 * K))
    };
    let (mut low, mut high) = (0.53 * outside(), outside());
    assert!(excess(low) > 0.0 * KG / S, "not choked");
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        if excess(middle) > 0.0 * KG / S { low = middle } else { high = middle }
    }
    let contents = Contents { puddle_kg: 1e-3, ..FLOODED };
    near("pedal up", manifold(start).cranking_s(contents), cranking(&start, low, &contents) / S, 1e-5);
}
