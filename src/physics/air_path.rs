//! Air through one side of the carburettor: openings in series from ambient to plenum.
//!
//! cleaner → door above the venturis → venturi → valve below the venturis → throttle plates → plenum
//!
//! The unknown is the flow. March from ambient with a trial flow, each opening giving the pressure behind it, and
//! ask whether the throttle passes as much as the trial: that residual falls steadily with the trial, so a bracket
//! exists and Newton's step is taken only inside it.

use super::air::{
    CHOKED_FACTOR, CHOKED_Q, CRITICAL_RATIO, GAS_CONSTANT, LAMINAR_BELOW_PA, Stagnation, laminar_share,
    mass_flow_with_slope, q, temperature_ratio, throat_temperature_ratio,
};

/// Relative residual of the flow at which one last Newton step ends the solve: its square, under the 1e-9 that the
/// model asks for by orders, is what remains.
const RESIDUAL: f64 = 2e-5;
/// Relative width of the bracket at which a flow that something before the plates limits is close enough.
const CHOKED: f64 = 1e-13;
/// Less than this is no flow, kg/s: a door that shuts draws what little the plenum would give.
const NOTHING: f64 = 1e-13;

/// A door or valve in the path.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Flap {
    /// Effective area of the gap it leaves, m².
    pub area_m2: f64,
    /// Volume of the air before it that its own motion sweeps from above to below, m³/s: air that need not pass the gap.
    pub sweep_m3_per_s: f64,
}

/// The openings of one side, as effective areas (area × discharge coefficient).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Openings {
    /// Air cleaner, m².
    pub cleaner_m2: f64,
    /// Door above the venturis.
    pub flap_above: Option<Flap>,
    /// Venturi throat, m²; decides the throat depression.
    pub throat_m2: f64,
    /// Opening that loses what the venturi does not recover, m²: throat ÷ √(unrecovered dynamic heads).
    pub venturi_loss_m2: f64,
    /// Valve below the venturis.
    pub flap_below: Option<Flap>,
    /// Throttle plates, m².
    pub throttle_m2: f64,
}

/// The solved flow of one side. Pressures are absolute, Pa.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PathFlow {
    /// Air into the plenum, kg/s; negative in reverse.
    pub flow_kg_per_s: f64,
    /// d flow / d plenum pressure, kg/(s Pa); not positive.
    pub slope: f64,
    /// Behind the cleaner, where the bowl is vented.
    pub below_cleaner_pa: f64,
    /// Upstream of the venturi: below a door above it.
    pub above_venturi_pa: f64,
    /// Static pressure in the throat.
    pub throat_pa: f64,
    /// Static over stagnation temperature in the throat.
    pub throat_temperature: f64,
    /// Behind the venturi, above a valve below it.
    pub below_venturi_pa: f64,
    /// Above the throttle plates.
    pub above_throttle_pa: f64,
    /// Some opening before the plates is choked: nothing that happens in the plenum reaches past it.
    pub choked: bool,
}

impl PathFlow {
    /// Pressure drop over a door above the venturis, Pa.
    pub fn drop_above(&self) -> f64 {
        self.below_cleaner_pa - self.above_venturi_pa
    }

    /// Pressure drop over a valve below the venturis, Pa.
    pub fn drop_below(&self) -> f64 {
        self.below_venturi_pa - self.above_throttle_pa
    }

    /// How fast a pressure drop of this path changes with plenum pressure; exact where drops go with the square of
    /// the flow, and used for step size only.
    pub fn drop_slope(&self, drop_pa: f64) -> f64 {
        if self.flow_kg_per_s > 1e-9 { 2.0 * drop_pa * self.slope / self.flow_kg_per_s } else { 0.0 }
    }

    /// Throat depression against the air above the venturi, Pa.
    pub fn throat_depression(&self) -> f64 {
        self.above_venturi_pa - self.throat_pa
    }
}

/// A trial flow that no pressures can carry.
#[derive(Clone, Copy)]
enum Misfit {
    /// Some opening cannot pass so much.
    TooMuch,
    /// A flap pushes more air than its gap lets back.
    TooLittle,
}

/// A pressure on the march, and the derivative of its logarithm with respect to the trial flow.
#[derive(Clone, Copy)]
struct Station {
    pa: f64,
    log_slope: f64,
}

impl Station {
    fn behind(self, temperature_k: f64, flow: f64, area_m2: f64) -> Result<Self, Misfit> {
        if flow <= 0.0 {
            return Ok(self);
        }
        let upstream = Stagnation { pressure_pa: self.pa, temperature_k };
        let x = temperature_ratio(q(upstream, flow, area_m2)).ok_or(Misfit::TooMuch)?;
        // with q = x⁵(1−x), p' = p x^3.5 and d ln q = 2 (dm/m − d ln p); infinite at choking, where x = 5/6
        let steepness = 7.0 * (1.0 - x) / (5.0 - 6.0 * x).min(-1e-9);
        let log_slope = self.log_slope + steepness * (1.0 / flow - self.log_slope);
        Ok(Self { pa: self.pa * (x * x * x * x.sqrt()), log_slope })
    }

    fn behind_flap(self, temperature_k: f64, flow: f64, flap: Option<Flap>) -> Result<Self, Misfit> {
        let Some(flap) = flap else { return Ok(self) };
        let density = self.pa / (GAS_CONSTANT * temperature_k);
        let through_gap = flow - density * flap.sweep_m3_per_s;
        if through_gap >= 0.0 {
            return self.behind(temperature_k, through_gap, flap.area_m2);
        }
        // the flap pushes more air than the side takes: the rest returns through the gap, mirrored
        let rest = Self { log_slope: 0.0, ..self };
        let back = rest.behind(temperature_k, -through_gap, flap.area_m2).map_err(|_| Misfit::TooLittle)?;
        let pa = 2.0 * self.pa - back.pa;
        Ok(Self { pa, log_slope: (self.pa * self.log_slope + back.pa * back.log_slope) / pa })
    }

    /// Behind a flap through which nothing passes but what it sweeps itself; it chokes its own gap at the worst.
    fn behind_still_flap(self, temperature_k: f64, flap: Option<Flap>) -> Self {
        self.behind_flap(temperature_k, 0.0, flap).unwrap_or_else(|misfit| {
            let ratio = match misfit {
                Misfit::TooMuch => CRITICAL_RATIO,
                Misfit::TooLittle => 2.0 - CRITICAL_RATIO,
            };
            Self { pa: self.pa * ratio, ..self }
        })
    }

    /// Here with a slightly different flow.
    fn moved(self, flow: f64) -> Self {
        Self { pa: self.pa * (1.0 + self.log_slope * flow), ..self }
    }
}

#[derive(Clone, Copy)]
struct March {
    below_cleaner: Station,
    above_venturi: Station,
    below_venturi: Station,
    above_throttle: Station,
}

impl March {
    /// The same march with a slightly different flow.
    fn moved(self, flow: f64) -> Self {
        Self {
            below_cleaner: self.below_cleaner.moved(flow),
            above_venturi: self.above_venturi.moved(flow),
            below_venturi: self.below_venturi.moved(flow),
            above_throttle: self.above_throttle.moved(flow),
        }
    }
}

fn march(ambient: Stagnation, openings: &Openings, flow: f64) -> Result<March, Misfit> {
    let t = ambient.temperature_k;
    let start = Station { pa: ambient.pressure_pa, log_slope: 0.0 };
    let below_cleaner = start.behind(t, flow, openings.cleaner_m2)?;
    let above_venturi = below_cleaner.behind_flap(t, flow, openings.flap_above)?;
    let upstream = Stagnation { pressure_pa: above_venturi.pa, temperature_k: t };
    if q(upstream, flow, openings.throat_m2) >= CHOKED_Q {
        return Err(Misfit::TooMuch);
    }
    let below_venturi = above_venturi.behind(t, flow, openings.venturi_loss_m2)?;
    let above_throttle = below_venturi.behind_flap(t, flow, openings.flap_below)?;
    Ok(March { below_cleaner, above_venturi, below_venturi, above_throttle })
}

/// Flow of one side between `ambient` and the plenum. Total for every finite input: no flow through closed plates,
/// a lumped quadratic resistance in reverse.
pub fn solve(ambient: Stagnation, plenum_pa: f64, openings: &Openings) -> PathFlow {
    solve_near(ambient, plenum_pa, openings, None)
}

/// [`solve`] with a first guess of the flow, kg/s. A good guess saves half of the work and changes no more than the
/// last digits.
pub fn solve_near(ambient: Stagnation, plenum_pa: f64, openings: &Openings, near: Option<f64>) -> PathFlow {
    let difference = ambient.pressure_pa - plenum_pa;
    if openings.throttle_m2 <= 0.0 {
        return still(ambient, openings);
    }
    let lumped = lumped_area(openings);
    if difference <= 0.0 {
        return reverse(ambient, difference, openings, lumped);
    }
    // slopes are infinite at rest; a microscopic difference stands in for none
    let plenum_pa = plenum_pa.min(ambient.pressure_pa - 1e-6);
    let difference = ambient.pressure_pa - plenum_pa;
    let most_per_area = CHOKED_FACTOR * ambient.pressure_pa / (GAS_CONSTANT * ambient.temperature_k).sqrt();
    let guess = near.filter(|near| *near > 0.0).unwrap_or_else(|| {
        // first-order expansibility of an orifice, 1 − 3 Δp / (4 γ p₀)
        let expansion = (1.0 - 0.536 * difference / ambient.pressure_pa).max(0.6);
        lumped * (2.0 * ambient.density() * difference).sqrt() * expansion
    });
    let guess = guess.min(0.99 * most_per_area * openings.throttle_m2);
    let Bracketed { flow: turbulent, at, slope, choked } =
        bracketed(ambient, plenum_pa, openings, most_per_area, guess);
    let share = laminar_share(difference, LAMINAR_BELOW_PA);
    let d = difference / LAMINAR_BELOW_PA;
    // d ln share / d difference = 1 / (2 Δp (1 + d²)), and plenum pressure counts against the difference
    let share_slope = -share / (2.0 * difference * (1.0 + d * d));
    let throat = Stagnation { pressure_pa: at.above_venturi.pa, temperature_k: ambient.temperature_k };
    let x = throat_temperature_ratio(throat, turbulent, openings.throat_m2).unwrap_or(5.0 / 6.0);
    PathFlow {
        choked,
        flow_kg_per_s: turbulent * share,
        slope: slope * share + turbulent * share_slope,
        below_cleaner_pa: at.below_cleaner.pa,
        above_venturi_pa: at.above_venturi.pa,
        throat_pa: at.above_venturi.pa * (x * x * x * x.sqrt()),
        throat_temperature: x,
        below_venturi_pa: at.below_venturi.pa,
        above_throttle_pa: at.above_throttle.pa,
    }
}

struct Bracketed {
    flow: f64,
    at: March,
    slope: f64,
    choked: bool,
}

/// The flow at which the plates pass what the march brings; without one, because something before the plates chokes,
/// the most that can be carried.
fn bracketed(ambient: Stagnation, plenum_pa: f64, openings: &Openings, most_per_area: f64, guess: f64) -> Bracketed {
    let mut carried = None;
    let (mut low, mut high) = (0.0, most_per_area * openings.throttle_m2.min(openings.throat_m2));
    let mut flow = guess.clamp(0.0, high);
    for _ in 0..200 {
        let at = match march(ambient, openings, flow) {
            Ok(at) => at,
            Err(misfit) => {
                match misfit {
                    Misfit::TooMuch => high = flow,
                    Misfit::TooLittle => low = flow,
                }
                if high - low <= CHOKED * high + NOTHING {
                    break;
                }
                flow = 0.5 * (low + high);
                continue;
            }
        };
        let up = Stagnation { pressure_pa: at.above_throttle.pa, temperature_k: ambient.temperature_k };
        let (passed, per_pa) = mass_flow_with_slope(up, plenum_pa, openings.throttle_m2);
        let residual = passed - flow;
        let falls = 1.0 - per_pa * at.above_throttle.pa * at.above_throttle.log_slope;
        // implicit differentiation: F(m, p) = passed(p_up(m), p) − m
        let per_plenum = passed_per_plenum(up, plenum_pa, passed, per_pa);
        if residual > 0.0 {
            low = flow;
            carried = Some((flow, at));
        } else {
            high = flow;
        }
        let correction = residual / falls;
        // close to choking a small flow more is a large pressure less: go on until the march itself stands still
        let stands = (at.above_throttle.log_slope * correction).abs() <= RESIDUAL;
        if stands && residual.abs() <= RESIDUAL * flow.max(passed) {
            let slope = per_plenum / falls;
            return Bracketed { flow: flow + correction, at: at.moved(correction), slope, choked: false };
        }
        let newton = flow + correction;
        if high - low <= CHOKED * high + NOTHING {
            break;
        }
        flow = if newton > low && newton < high { newton } else { 0.5 * (low + high) };
    }
    let (flow, at) = carried.unwrap_or_else(|| (0.0, still_march(ambient, openings)));
    Bracketed { flow, at, slope: 0.0, choked: true }
}

/// d passed / d plenum pressure: flow is upstream pressure × a function of the pressure ratio (Euler's theorem for
/// a homogeneous function of degree one).
fn passed_per_plenum(up: Stagnation, plenum_pa: f64, passed: f64, per_pa: f64) -> f64 {
    (passed - per_pa * up.pressure_pa) / plenum_pa.max(1.0)
}

fn lumped_area(openings: &Openings) -> f64 {
    let flap = |flap: Option<Flap>| flap.map_or(0.0, |f| f.area_m2.powi(-2));
    let sum = openings.cleaner_m2.powi(-2)
        + flap(openings.flap_above)
        + openings.venturi_loss_m2.powi(-2)
        + flap(openings.flap_below)
        + openings.throttle_m2.powi(-2);
    sum.sqrt().recip()
}

/// Nothing passes; but a door that moves in still air has a drop.
fn still(ambient: Stagnation, openings: &Openings) -> PathFlow {
    let at = still_march(ambient, openings);
    PathFlow {
        flow_kg_per_s: 0.0,
        slope: 0.0,
        below_cleaner_pa: at.below_cleaner.pa,
        above_venturi_pa: at.above_venturi.pa,
        throat_pa: at.above_venturi.pa,
        throat_temperature: 1.0,
        below_venturi_pa: at.below_venturi.pa,
        above_throttle_pa: at.above_throttle.pa,
        choked: false,
    }
}

fn still_march(ambient: Stagnation, openings: &Openings) -> March {
    let t = ambient.temperature_k;
    let rest = Station { pa: ambient.pressure_pa, log_slope: 0.0 };
    let above_venturi = rest.behind_still_flap(t, openings.flap_above);
    let above_throttle = above_venturi.behind_still_flap(t, openings.flap_below);
    March { below_cleaner: rest, above_venturi, below_venturi: above_venturi, above_throttle }
}

/// A closing transient can lift the plenum above ambient; the slope is that of the laminar end, an upper bound.
fn reverse(ambient: Stagnation, difference: f64, openings: &Openings, lumped: f64) -> PathFlow {
    let d = difference.abs().max(1e-6);
    let flow = lumped * (2.0 * ambient.density() * d).sqrt() * laminar_share(d, LAMINAR_BELOW_PA);
    let flow_kg_per_s = if difference == 0.0 { 0.0 } else { -flow };
    PathFlow { flow_kg_per_s, slope: -flow / d, ..still(ambient, openings) }
}

#[cfg(test)]
mod tests {
    use super::*;

    const AMBIENT: Stagnation = Stagnation { pressure_pa: 101_325.0, temperature_k: 298.15 };

    fn openings() -> Openings {
        Openings {
            cleaner_m2: 60e-4,
            flap_above: Some(Flap { area_m2: 30e-4, sweep_m3_per_s: 0.0 }),
            throat_m2: 30e-4,
            venturi_loss_m2: 36e-4,
            flap_below: None,
            throttle_m2: 20e-4,
        }
    }

    #[test]
    fn throttle_passes_what_the_march_brings() {
        for plenum in [20e3, 60e3, 95e3, 101e3, 101.3e3] {
            let flow = solve(AMBIENT, plenum, &openings());
            let up = Stagnation { pressure_pa: flow.above_throttle_pa, temperature_k: AMBIENT.temperature_k };
            let passed = super::super::air::mass_flow(up, plenum, openings().throttle_m2);
            let turbulent = flow.flow_kg_per_s / laminar_share(AMBIENT.pressure_pa - plenum, LAMINAR_BELOW_PA);
            assert!((passed / turbulent - 1.0).abs() < 1e-9, "{plenum}: {passed} {turbulent}");
        }
    }

    #[test]
    fn slope_is_the_derivative() {
        for plenum in [30e3, 70e3, 99e3, 101.3e3, 101.32e3, 102e3] {
            let at = |p: f64| solve(AMBIENT, p, &openings()).flow_kg_per_s;
            let numeric = (at(plenum + 0.01) - at(plenum - 0.01)) / 0.02;
            let slope = solve(AMBIENT, plenum, &openings()).slope;
            let close = (slope - numeric).abs() < 1e-3 * numeric.abs() + 1e-12;
            assert!(close || plenum > 101_325.0, "{plenum}: {slope} {numeric}");
        }
    }

    #[test]
    fn flow_is_continuous_through_rest() {
        let tiny = solve(AMBIENT, AMBIENT.pressure_pa - 1e-3, &openings()).flow_kg_per_s;
        let back = solve(AMBIENT, AMBIENT.pressure_pa + 1e-3, &openings()).flow_kg_per_s;
        assert!(tiny > 0.0 && back < 0.0 && tiny - back < 1e-4);
    }

    #[test]
    fn an_opening_flap_lowers_its_own_drop() {
        let mut moving = openings();
        moving.flap_above = Some(Flap { area_m2: 30e-4, sweep_m3_per_s: 4e-3 });
        let rest = solve(AMBIENT, 95e3, &openings());
        assert!(solve(AMBIENT, 95e3, &moving).drop_above() < rest.drop_above());
    }
}
