//! Air through a fine orifice into and out of a small chamber.

use super::air::{GAS_CONSTANT, Stagnation, laminar_share, mass_flow};

/// Pressure difference below which a fine orifice is laminar: a half-millimetre hole reaches a Reynolds number of
/// about 300 at 9 m/s, which 50 Pa give.
const LAMINAR_BELOW_PA: f64 = 50.0;

/// Mass flow in kg/s from `from_pa` to `to_pa` through an effective area, with its sign, and how fast it falls per
/// pascal of `to_pa`, kg/(s Pa). Continuous through zero; Heywood C.8, C.9 in either direction.
pub fn flow(from_pa: f64, to_pa: f64, temperature_k: f64, area_m2: f64) -> (f64, f64) {
    let difference = from_pa - to_pa;
    if difference == 0.0 || area_m2 <= 0.0 {
        let slope = area_m2 * (2.0 * from_pa / (GAS_CONSTANT * temperature_k) / LAMINAR_BELOW_PA).sqrt();
        return (0.0, -slope);
    }
    let (high, low) = (from_pa.max(to_pa), from_pa.min(to_pa));
    let d = difference.abs() / LAMINAR_BELOW_PA;
    let share = laminar_share(difference.abs(), LAMINAR_BELOW_PA);
    let flow = mass_flow(Stagnation { pressure_pa: high, temperature_k }, low, area_m2) * share;
    // between laminar (flow ∝ Δp) and turbulent (∝ √Δp); nothing depends on this slope but the step size
    let order = 0.5 + 0.5 / (1.0 + d * d);
    (flow.copysign(difference), -order * flow / difference.abs())
}

/// Pressure difference over which a check lifts, Pa; from memory, a light ball or flap.
const LIFT_PA: f64 = 50.0;

/// [`flow`] past a check: `narrow_m2` is always open, and the area grows to `wide_m2` as the difference lifts the check,
/// which it does only from `from_pa` to `to_pa`.
pub fn flow_past_check(from_pa: f64, to_pa: f64, temperature_k: f64, narrow_m2: f64, wide_m2: f64) -> (f64, f64) {
    let lift = (from_pa - to_pa) / LIFT_PA;
    let area = narrow_m2 + (wide_m2 - narrow_m2) * lift.clamp(0.0, 1.0);
    let (flow, slope) = flow(from_pa, to_pa, temperature_k, area);
    let widening = if (0.0..1.0).contains(&lift) { (wide_m2 - narrow_m2) / LIFT_PA / area } else { 0.0 };
    (flow, slope - flow * widening)
}

/// Pressure of `mass_kg` of air in `volume_m3`, Pa. Perfect gas.
pub fn pressure(mass_kg: f64, volume_m3: f64, temperature_k: f64) -> f64 {
    mass_kg * GAS_CONSTANT * temperature_k / volume_m3
}

/// Mass of air at a pressure in a volume, kg. Perfect gas.
pub fn mass(pressure_pa: f64, volume_m3: f64, temperature_k: f64) -> f64 {
    pressure_pa * volume_m3 / (GAS_CONSTANT * temperature_k)
}
