//! Stores of heat and fuel, and what passes between them.

use crate::heat::fuel::FuelFlows;
use crate::heat::links::{self, Temperatures};
use crate::heat::manifold::{Contents, Exchange, Manifold};
use crate::heat::percolation::Lift;
use crate::heat::soak::{BOWLS, Soak};
use crate::heat::stores::Stores;
use crate::physics::air::Stagnation;
use crate::physics::fuel_flow::Liquid;
use crate::physics::vapour::{self, Blend};

/// Number of states.
pub const SIZE: usize = 22;
/// Every store.
pub type State = [f64; SIZE];

/// Places in a [`State`]. Heat is counted from [`REFERENCE_K`], J; fuel in kg.
pub mod at {
    /// Heat of block, exhaust, manifold with its puddle, base, bowls, fuel in the bowls, fuel in the wells, pump, air
    /// under the bonnet, in the order of the links.
    pub const HEAT: usize = 0;
    /// Number of stores of heat.
    pub const HEATS: usize = 9;
    /// Fuel in the bowls.
    pub const BOWL_KG: usize = 9;
    /// Share of the bowls' fuel that has evaporated.
    pub const BOWL_LOST: usize = 10;
    /// The same in the wells.
    pub const WELL_LOST: usize = 11;
    /// Liquid in the manifold.
    pub const PUDDLE_KG: usize = 12;
    /// Share of it that has evaporated.
    pub const PUDDLE_LOST: usize = 13;
    /// Vapour in the manifold.
    pub const VAPOUR_KG: usize = 14;
    /// States that act on the rates; those below only add up.
    pub const ACTING: usize = 15;
    /// Vapour that has left the bowls by their vents.
    pub const VENTED_KG: usize = 15;
    /// Vapour that has left the wells by the nozzles.
    pub const BUBBLED_KG: usize = 16;
    /// Liquid that has run over the nozzles.
    pub const PERCOLATED_KG: usize = 17;
    /// Vapour that has left the manifold past the plates.
    pub const ESCAPED_KG: usize = 18;
    /// Fuel that the engine has taken.
    pub const BURNT_KG: usize = 19;
    /// Fuel that has come from the tank.
    pub const SUPPLIED_KG: usize = 20;
    /// Heat that has left for the air outside, with what left as vapour, less what engine and tank have brought.
    pub const OUTSIDE_J: usize = 21;
}

/// Temperature from which heat is counted, K.
pub const REFERENCE_K: f64 = 273.15;
/// Heat capacity of petrol and of ethanol, J/(kg K); from memory.
const HEAT_CAPACITY: (f64, f64) = (2100.0, 2440.0);
/// Expansion of petrol, 1/K; from memory.
pub const EXPANSION: f64 = 1.2e-3;
/// Temperature at which densities of fuel are given, K.
const DENSITY_AT_K: f64 = 288.15;
/// Time in which a running engine takes what lies in the manifold, s.
const SWEPT_S: f64 = 3.0;

/// Whether the engine runs.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Mode {
    /// It stands and soaks.
    Standing,
    /// It runs: thermostat, fan and fuel pump work.
    Running,
}

/// The network of a soak.
#[derive(Debug, Clone)]
pub struct Network {
    pub(super) soak: Soak,
    pub(super) mode: Mode,
    pub(super) outside: Stagnation,
    pub(super) liquid: Liquid,
    pub(super) blend: Blend,
    pub(super) manifold: Manifold,
    /// Where fresh fuel boils, K.
    pub(super) boiling_k: f64,
    pub(super) slope_k: f64,
    pub(super) molar_mass: f64,
    /// Heat of vaporisation, J/kg.
    pub(super) latent: f64,
    /// Heat capacity of the fuel, J/(kg K).
    pub(super) fuel_capacity: f64,
    pub(super) full_kg: f64,
    pub(super) well_kg: f64,
    pub(super) lift: Lift,
    /// Capacity of each store of heat without its fuel, J/K.
    capacities: [f64; at::HEATS],
    scale: State,
}

impl Network {
    /// The network of a soak with the engine at rest.
    pub fn new(soak: &Soak) -> Self {
        let outside = soak.ambient.air();
        let liquid = soak.fuel.liquid();
        let blend = soak.blend();
        let slope_k = vapour::weathering_slope(soak.volatility.t10_k, soak.volatility.t50_k);
        let share = soak.fuel.ethanol_mass_share();
        let fuel_capacity = HEAT_CAPACITY.0 + (HEAT_CAPACITY.1 - HEAT_CAPACITY.0) * share;
        let wells = &soak.wells;
        let well_m3 = wells.barrels * std::f64::consts::FRAC_PI_4 * wells.well_m * wells.well_m;
        let well_kg = liquid.density * well_m3 * wells.depth_share * soak.bowl.depth_m;
        let full_kg = liquid.density * BOWLS * soak.bowl.surface_m2 * soak.bowl.depth_m;
        let (bay, line, casting) = (&soak.bay, &soak.line, &soak.casting);
        let capacities = [
            bay.block_capacity_j_per_k,
            bay.exhaust_capacity_j_per_k,
            bay.manifold_capacity_j_per_k,
            casting.base_j_per_k(),
            casting.body_j_per_k(),
            0.0,
            well_kg * fuel_capacity,
            line.pump_capacity_j_per_k,
            bay.air_capacity_j_per_k,
        ];
        Self {
            manifold: Manifold::new(soak.start, blend, slope_k, outside, soak.fuel.stoichiometric_ratio()),
            boiling_k: blend.boiling_point(outside.pressure_pa),
            molar_mass: blend.vapour_molar_mass(outside.pressure_pa),
            latent: blend.heat_of_vaporisation(),
            lift: Lift::new(wells, soak.bowl.depth_m, liquid),
            scale: scale(&capacities, full_kg, fuel_capacity),
            soak: *soak,
            mode: Mode::Standing,
            outside,
            liquid,
            blend,
            slope_k,
            fuel_capacity,
            full_kg,
            well_kg,
            capacities,
        }
    }

    /// The same with the engine running or at rest.
    pub fn in_mode(mut self, mode: Mode) -> Self {
        self.mode = mode;
        self
    }

    /// Full bowls, no fuel in the manifold, and these temperatures.
    pub fn state_at(&self, temperatures: &Temperatures) -> State {
        let mut state = [0.0; SIZE];
        state[at::BOWL_KG] = self.full_kg;
        let mut capacities = self.capacities;
        capacities[links::BOWL] = self.full_kg * self.fuel_capacity;
        for (i, capacity) in capacities.iter().enumerate() {
            state[at::HEAT + i] = capacity * (temperatures[i] - REFERENCE_K);
        }
        state
    }

    /// Temperature of every store of heat, K.
    pub fn temperatures(&self, state: &State) -> Temperatures {
        let mut capacities = self.capacities;
        capacities[links::BOWL] = state[at::BOWL_KG] * self.fuel_capacity;
        capacities[links::MANIFOLD] += state[at::PUDDLE_KG] * self.fuel_capacity;
        std::array::from_fn(|i| REFERENCE_K + state[at::HEAT + i] / capacities[i])
    }

    /// Heat of a mass of fuel at a temperature, J or W.
    fn heat(&self, mass: f64, temperature_k: f64) -> f64 {
        mass * self.fuel_capacity * (temperature_k - REFERENCE_K)
    }

    /// Heat of the manifold with a puddle at a temperature, J.
    pub(super) fn manifold_heat(&self, puddle_kg: f64, temperature_k: f64) -> f64 {
        self.heat(puddle_kg, temperature_k) + self.capacities[links::MANIFOLD] * (temperature_k - REFERENCE_K)
    }

    fn density(&self, temperature_k: f64) -> f64 {
        self.liquid.density * (1.0 - EXPANSION * (temperature_k - DENSITY_AT_K))
    }

    /// Level of the fuel over the floor of a bowl, m.
    pub fn level_m(&self, state: &State, bowl_k: f64) -> f64 {
        state[at::BOWL_KG] / (self.density(bowl_k) * BOWLS * self.soak.bowl.surface_m2)
    }

    /// Vapour pressure of the fuel in the bowls, Pa.
    pub fn bowl_pa(&self, state: &State, bowl_k: f64) -> f64 {
        self.blend.pressure(bowl_k - self.slope_k * state[at::BOWL_LOST])
    }

    /// Fuel in the manifold.
    pub fn contents(&self, state: &State, manifold_k: f64) -> Contents {
        Contents {
            puddle_kg: state[at::PUDDLE_KG].max(0.0),
            lost: state[at::PUDDLE_LOST].min(1.0),
            vapour_kg: state[at::VAPOUR_KG].max(0.0),
            temperature_k: manifold_k,
        }
    }

    /// Heat that moves with fuel and vapour.
    fn add_fuel(&self, state: &State, t: &Temperatures, flows: &FuelFlows, rates: &mut State) {
        let (bowl_k, well_k) = (t[links::BOWL], t[links::WELL]);
        let into_wells = flows.bubbled + flows.spilled + flows.burnt;
        rates[links::BOWL] -= self.heat(flows.vented + into_wells, bowl_k) + flows.vented * self.latent;
        rates[links::BOWL] += self.heat(flows.supplied, t[links::PUMP]);
        rates[links::PUMP] +=
            self.heat(flows.supplied, self.soak.line.tank_k) - self.heat(flows.supplied, t[links::PUMP]);
        rates[links::WELL] +=
            self.heat(into_wells, bowl_k) - self.heat(into_wells, well_k) - flows.bubbled * self.latent;
        rates[at::OUTSIDE_J] += self.heat(flows.vented, bowl_k)
            + self.heat(flows.bubbled + flows.burnt, well_k)
            + (flows.vented + flows.bubbled) * self.latent
            - self.heat(flows.supplied, self.soak.line.tank_k);
        let bowl_kg = state[at::BOWL_KG];
        rates[at::BOWL_KG] += flows.supplied - flows.vented - into_wells;
        rates[at::BOWL_LOST] +=
            ((1.0 - state[at::BOWL_LOST]) * flows.vented - state[at::BOWL_LOST] * flows.supplied) / bowl_kg;
        rates[at::WELL_LOST] += ((1.0 - state[at::WELL_LOST]) * flows.bubbled
            + (state[at::BOWL_LOST] - state[at::WELL_LOST]) * into_wells)
            / self.well_kg;
        rates[at::VENTED_KG] += flows.vented;
        rates[at::BUBBLED_KG] += flows.bubbled;
        rates[at::PERCOLATED_KG] += flows.spilled;
        rates[at::BURNT_KG] += flows.burnt;
        rates[at::SUPPLIED_KG] += flows.supplied;
    }

    /// Puddle and vapour in the manifold. Vapour counts as heat that has left: it carries little.
    fn add_manifold(&self, state: &State, t: &Temperatures, flows: &FuelFlows, rates: &mut State) {
        // a puddle of less than this has the composition of what arrives
        const LEAST_KG: f64 = 1e-6;
        let manifold_k = t[links::MANIFOLD];
        let contents = self.contents(state, manifold_k);
        let Exchange { evaporated, escaped } = flows.manifold;
        let taken = if self.mode == Mode::Running { 1.0 / SWEPT_S } else { 0.0 };
        let swept = taken * state[at::PUDDLE_KG];
        rates[links::MANIFOLD] += self.heat(flows.spilled, t[links::WELL])
            - self.heat(evaporated + swept, manifold_k)
            - evaporated * self.latent;
        rates[at::OUTSIDE_J] += self.heat(evaporated + swept, manifold_k) + evaporated * self.latent;
        rates[at::PUDDLE_KG] += flows.spilled - evaporated - swept;
        rates[at::PUDDLE_LOST] += ((1.0 - contents.lost) * evaporated.max(0.0)
            + (state[at::WELL_LOST] - contents.lost) * flows.spilled)
            / (contents.puddle_kg + LEAST_KG);
        // what warms swells, and leaves in proportion
        let warming = (rates[links::MANIFOLD] / self.capacities[links::MANIFOLD]).max(0.0) / manifold_k;
        let escaped = escaped + contents.vapour_kg * warming;
        let drawn = taken * state[at::VAPOUR_KG];
        rates[at::VAPOUR_KG] += evaporated - escaped - drawn;
        rates[at::ESCAPED_KG] += escaped;
        rates[at::BURNT_KG] += swept + drawn;
    }

    /// Heat in all stores, J, with what has gone outside: constant.
    pub fn total_heat(&self, state: &State) -> f64 {
        state[..at::HEATS].iter().sum::<f64>() + state[at::OUTSIDE_J]
    }

    /// Fuel everywhere, kg, with what has left and less what has come: constant.
    pub fn total_fuel(&self, state: &State) -> f64 {
        let gone = [at::VENTED_KG, at::BUBBLED_KG, at::ESCAPED_KG, at::BURNT_KG];
        let here = state[at::BOWL_KG] + state[at::PUDDLE_KG] + state[at::VAPOUR_KG];
        here + gone.iter().map(|&place| state[place]).sum::<f64>() - state[at::SUPPLIED_KG]
    }
}

/// What matters: 20 K, a gram or a few grams of fuel, a tenth of its light ends. Tallies follow from the rest.
fn scale(capacities: &[f64; at::HEATS], full_kg: f64, fuel_capacity: f64) -> State {
    let mut scale = [0.01; SIZE];
    for (i, capacity) in capacities.iter().enumerate() {
        scale[at::HEAT + i] = 20.0 * capacity;
    }
    scale[links::BOWL] = 20.0 * full_kg * fuel_capacity;
    scale[at::BOWL_LOST] = 0.1;
    scale[at::WELL_LOST] = 0.3;
    scale[at::PUDDLE_LOST] = 0.3;
    scale[at::PUDDLE_KG] = 1e-3;
    scale[at::VAPOUR_KG] = 1e-3;
    for adding in &mut scale[at::VENTED_KG..] {
        *adding = f64::INFINITY;
    }
    scale
}

impl Stores<SIZE> for Network {
    fn rates(&self, state: &State) -> State {
        let mut rates = [0.0; SIZE];
        let temperatures = self.temperatures(state);
        links::add_heat(self, &temperatures, state[at::BOWL_KG] / self.full_kg, &mut rates);
        let flows = self.fuel_flows(state, &temperatures);
        self.add_fuel(state, &temperatures, &flows, &mut rates);
        self.add_manifold(state, &temperatures, &flows, &mut rates);
        rates
    }

    fn acting(&self) -> usize {
        at::ACTING
    }

    fn scale(&self) -> &State {
        &self.scale
    }

    fn possible(&self, state: &State) -> bool {
        let temperatures = self.temperatures(state);
        let shares = [at::BOWL_LOST, at::WELL_LOST, at::PUDDLE_LOST];
        state[at::BOWL_KG] > 0.0
            && state[at::PUDDLE_KG] > -1e-6
            && state[at::VAPOUR_KG] > -1e-6
            && shares.iter().all(|&place| (-0.01..=1.01).contains(&state[place]))
            && temperatures.iter().all(|temperature| (150.0..1500.0).contains(temperature))
    }
}
