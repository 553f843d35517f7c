//! What the fuel does: it boils, diffuses, bubbles, runs over and is drawn.

use crate::heat::links::{self, Temperatures};
use crate::heat::manifold::Exchange;
use crate::heat::network::{Mode, Network, State, at};
use crate::heat::soak::BOWLS;
use crate::physics::GRAVITY;
use crate::physics::vapour;

/// Time in which fuel above its boiling point flashes, s. Any short time gives the same: heat decides. A second means
/// that fuel in a bowl that takes 100 W is half a kelvin too hot.
const FLASH_S: f64 = 2.0;
/// Superheat below which bubbles form with hesitation, K; it rounds the corner that the integrator would stumble over.
const HESITATION_K: f64 = 0.1;
/// Time in which the level comes back when the engine runs, s.
const REFILL_S: f64 = 5.0;
/// Discharge coefficient of a bowl's vent: a plain hole.
const VENT: f64 = 0.6;
/// Level over a jet below which it begins to draw vapour, m.
const COVER_M: f64 = 2e-3;

/// What fuel does in a second.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FuelFlows {
    /// Vapour from the bowls, kg/s.
    pub vented: f64,
    /// Vapour from the wells, kg/s.
    pub bubbled: f64,
    /// Liquid over the nozzles, kg/s.
    pub spilled: f64,
    /// Fuel that the engine draws through the wells, kg/s.
    pub burnt: f64,
    /// Fuel from the pump, kg/s.
    pub supplied: f64,
    /// Pressure over the fuel in the bowls above the air outside, Pa.
    pub over_pa: f64,
    /// Share of the nozzle passages that is vapour.
    pub vapour_share: f64,
    /// In the manifold.
    pub manifold: Exchange,
}

impl Network {
    /// Vapour that leaves the bowls by diffusion through their vents, kg/s (Stefan's tube).
    fn diffused(&self, bowl_pa: f64, bowl_k: f64) -> f64 {
        const ALMOST_ALL: f64 = 0.98;
        let pressure = self.outside.pressure_pa;
        let pure = vapour::vapour_density(self.molar_mass, pressure, bowl_k);
        let share = bowl_pa / pressure;
        let below = share.min(ALMOST_ALL);
        // straight on beyond, where the logarithm would run away and boiling takes over
        let driven = -(1.0 - below).ln() + (share - below) / (1.0 - ALMOST_ALL);
        let length = self.soak.casting.vent_length_m;
        vapour::diffusivity(pressure, bowl_k) * self.vents_m2() / length * pure * driven
    }

    fn vents_m2(&self) -> f64 {
        BOWLS * std::f64::consts::FRAC_PI_4 * self.soak.casting.vent_m * self.soak.casting.vent_m
    }

    /// Vapour that a mass of fuel makes above its boiling point, kg/s.
    fn boiled(&self, mass: f64, temperature_k: f64, lost: f64) -> f64 {
        let above = temperature_k - self.boiling_k - self.slope_k * lost;
        let superheat =
            if above < HESITATION_K { 0.5 * above.max(0.0).powi(2) / HESITATION_K } else { above - 0.5 * HESITATION_K };
        mass * self.fuel_capacity * superheat / (self.latent * FLASH_S)
    }

    /// What the needles let in while the engine draws `burnt`, kg/s: as much, and what is missing to the set level, up to
    /// what they can pass. Floats are quicker than [`REFILL_S`]; nothing here is quick enough to notice.
    fn supplied(&self, state: &State, bowl_k: f64, burnt: f64) -> f64 {
        let bowl = &self.soak.bowl;
        let missing_m3 = BOWLS * bowl.surface_m2 * (bowl.depth_m - self.level_m(state, bowl_k));
        let most = BOWLS * bowl.needle_m3_per_s * self.liquid.density;
        (burnt + missing_m3 * self.liquid.density / REFILL_S).clamp(0.0, most)
    }

    /// What the fuel does in this state.
    pub fn fuel_flows(&self, state: &State, temperatures: &Temperatures) -> FuelFlows {
        let (bowl_k, well_k) = (temperatures[links::BOWL], temperatures[links::WELL]);
        let bowl_kg = state[at::BOWL_KG];
        let wet = bowl_kg / (bowl_kg + 1e-3 * self.full_kg);
        let bowl_pa = self.bowl_pa(state, bowl_k);
        let boiled = self.boiled(bowl_kg, bowl_k, state[at::BOWL_LOST]);
        let pure = vapour::vapour_density(self.molar_mass, self.outside.pressure_pa, bowl_k);
        // what holds the vapour back; a few hundred pascals at most, too little to move the boiling point
        let over_pa = 0.5 * (boiled / (VENT * self.vents_m2())).powi(2) / pure;
        let jet_m = (1.0 - self.soak.wells.depth_share) * self.soak.bowl.depth_m;
        let above_jet = self.level_m(state, bowl_k) - jet_m;
        let cover = (above_jet / COVER_M).clamp(0.0, 1.0);
        let bubbled = cover * self.boiled(self.well_kg, well_k, state[at::WELL_LOST]);
        let bubbles = bubbled / vapour::vapour_density(self.molar_mass, self.outside.pressure_pa, well_k);
        let running = self.mode == Mode::Running;
        let spilled = if running {
            0.0
        } else {
            let head = above_jet + over_pa / (self.liquid.density * GRAVITY);
            cover * self.lift.spill(head, bubbles)
        };
        let burnt = if running { cover * self.soak.start.running_kg_per_s } else { 0.0 };
        let supplied = if running { self.supplied(state, bowl_k, burnt) } else { 0.0 };
        FuelFlows {
            vented: wet * (self.diffused(bowl_pa, bowl_k) + boiled),
            bubbled,
            spilled: spilled * self.liquid.density,
            burnt,
            supplied,
            over_pa,
            vapour_share: self.lift.vapour_share(bubbles, spilled),
            manifold: self.manifold.exchange(self.contents(state, temperatures[links::MANIFOLD])),
        }
    }
}
