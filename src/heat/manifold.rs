//! What has reached the manifold: a puddle on its floor, vapour over it, and what the starter makes of both.

use crate::engine::torque::RICH_LIMIT;
use crate::heat::parts::{Cranking, Start};
use crate::physics::air::{self, GAS_CONSTANT, Stagnation};
use crate::physics::heat_transfer::AIR_HEAT_CAPACITY;
use crate::physics::vapour::{self, Blend, MOLAR_GAS_CONSTANT};
use crate::solver::root;

/// Coefficient of natural convection over a warm floor, W/(m² K), from which that of mass follows; from memory.
const OVER_FLOOR: f64 = 5.0;
/// Lewis number to the power −2/3: air's diffusivity for heat is 2.2e-5 m²/s at 25 °C, the vapour's for mass 0.9e-5.
const LEWIS_FACTOR: f64 = 0.551;
/// Below this mass a puddle no longer covers its floor, kg.
const THIN_KG: f64 = 50e-6;
/// Length of the way past a throttle plate, m; from memory.
const PLATE_LENGTH_M: f64 = 6e-3;
/// Share of its swept volume that an engine draws while cranked; from memory.
const CRANKING_EFFICIENCY: f64 = 0.8;
/// Cranking after which a starter is given up, s: what everybody says a starter takes at a time is 10 to 30 s.
pub const LONGEST_CRANKING_S: f64 = 120.0;

/// Fuel in the manifold at an instant.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Contents {
    /// Liquid, kg.
    pub puddle_kg: f64,
    /// Share of the puddle's fuel that has evaporated.
    pub lost: f64,
    /// Vapour, kg.
    pub vapour_kg: f64,
    /// Temperature, K.
    pub temperature_k: f64,
}

/// What passes in a second.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Exchange {
    /// From puddle to vapour; negative when it condenses, kg/s.
    pub evaporated: f64,
    /// Vapour that leaves past the plates, driven out by new vapour or by diffusion, kg/s.
    pub escaped: f64,
}

/// The manifold with the laws that its fuel follows.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Manifold {
    start: Start,
    blend: Blend,
    slope_k: f64,
    outside: Stagnation,
    molar_mass: f64,
    stoichiometric: f64,
    /// Pressure while cranking, Pa.
    cranking_pa: f64,
}

impl Manifold {
    /// A manifold of these settings, in this air, for this fuel. `slope_k` is the rise of its boiling point as it
    /// evaporates, `stoichiometric` the mass of air that burns a unit mass.
    pub fn new(start: Start, blend: Blend, slope_k: f64, outside: Stagnation, stoichiometric: f64) -> Self {
        let mut manifold = Self {
            start,
            blend,
            slope_k,
            outside,
            molar_mass: blend.vapour_molar_mass(outside.pressure_pa),
            stoichiometric,
            cranking_pa: outside.pressure_pa,
        };
        if start.cranking == Cranking::Shut {
            manifold.cranking_pa = manifold.pressure_behind_the_plates();
        }
        manifold
    }

    fn cranked_m3_per_s(&self) -> f64 {
        CRANKING_EFFICIENCY * self.start.displacement_m3 * self.start.crank_rad_per_s / (4.0 * std::f64::consts::PI)
    }

    fn pressure_behind_the_plates(&self) -> f64 {
        let drawn = self.cranked_m3_per_s() / (GAS_CONSTANT * self.outside.temperature_k);
        let through = |pressure: f64| air::mass_flow(self.outside, pressure, self.start.plate_gap_m2);
        let most = self.outside.pressure_pa;
        root::bracketed(1e-3 * most, most, 1e-6 * most, |pressure| through(pressure) - drawn * pressure)
    }

    /// Moles of gas that fill the manifold.
    fn moles(&self, temperature_k: f64) -> f64 {
        self.outside.pressure_pa * self.start.manifold_m3 / (MOLAR_GAS_CONSTANT * temperature_k)
    }

    /// Share of the gas that is fuel vapour, by moles.
    pub fn vapour_share(&self, contents: Contents) -> f64 {
        contents.vapour_kg / (self.molar_mass * self.moles(contents.temperature_k))
    }

    /// All fuel in the manifold over what its air could burn if it held nothing else; 1 is the exact mixture.
    pub fn richness(&self, contents: Contents) -> f64 {
        let air_kg = self.outside.pressure_pa * self.start.manifold_m3 / (GAS_CONSTANT * contents.temperature_k);
        (contents.puddle_kg + contents.vapour_kg) * self.stoichiometric / air_kg
    }

    /// Vapour pressure over the puddle, Pa.
    fn puddle_pa(&self, contents: Contents) -> f64 {
        self.blend.pressure(contents.temperature_k - self.slope_k * contents.lost)
    }

    /// What passes with the engine at rest: mass transfer over a warm floor by analogy with heat (Chilton and Colburn),
    /// and at the plates what the new vapour displaces and what diffuses.
    pub fn exchange(&self, contents: Contents) -> Exchange {
        let (pressure, temperature) = (self.outside.pressure_pa, contents.temperature_k);
        let diffusivity = vapour::diffusivity(pressure, temperature);
        let gas = air::Stagnation { pressure_pa: pressure, temperature_k: temperature };
        let speed = OVER_FLOOR / (gas.density() * AIR_HEAT_CAPACITY) * LEWIS_FACTOR;
        let pure = vapour::vapour_density(self.molar_mass, pressure, temperature);
        let share = self.vapour_share(contents);
        let drive = self.puddle_pa(contents) / pressure - share;
        let covered = if drive > 0.0 { contents.puddle_kg / (contents.puddle_kg + THIN_KG) } else { 1.0 };
        let evaporated = speed * self.start.puddle_m2 * pure * drive * covered;
        let diffusion = diffusivity * self.start.plate_gap_m2 / PLATE_LENGTH_M * pure;
        Exchange { evaporated, escaped: share * (evaporated.max(0.0) + diffusion) }
    }

    /// Cranking until the mixture is no longer too rich to burn, s, up to [`LONGEST_CRANKING_S`]: cranked air leaves
    /// saturated as long as there is a puddle, each litre taking light ends with it; then the vessel is flushed.
    pub fn cranking_s(&self, contents: Contents) -> f64 {
        const PIECES: usize = 12;
        let limit = vapour::vapour_share(1.0 / (RICH_LIMIT * self.stoichiometric), self.molar_mass);
        let volume = self.cranked_m3_per_s();
        let pure = vapour::vapour_density(self.molar_mass, self.cranking_pa, contents.temperature_k);
        let fresh = contents.puddle_kg / (1.0 - contents.lost).max(1e-9);
        let piece = (1.0 - contents.lost) / PIECES as f64;
        let over = |lost: f64| (self.puddle_pa(Contents { lost, ..contents }) / self.cranking_pa).min(1.0);
        let mut share = over(contents.lost);
        let mut time = 0.0;
        for number in 1..=PIECES {
            if share <= limit {
                break;
            }
            let next = over(contents.lost + number as f64 * piece);
            // straight between the ends of a piece, to where the puddle no longer gives too much
            let part = if next < limit { (share - limit) / (share - next) } else { 1.0 };
            time += fresh * piece * part / (volume * pure * 0.5 * (share + next.max(limit)));
            share = next;
        }
        let gas = self.vapour_share(contents).min(1.0);
        if gas > limit {
            time += self.start.manifold_m3 / volume * (gas / limit).ln();
        }
        time.min(LONGEST_CRANKING_S)
    }
}
