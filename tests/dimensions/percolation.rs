//! Bubbles that lift fuel, and all else that the fuel of a hot carburettor does.

use crate::vapour::{diffusivity, gas_density};
use crate::{
    Density, FlowVolume, MassFlow, MolarMass, SpecificEnergy, SpecificHeat, Speed, fuel_density, gravity, hole, near,
    number, pure, same,
};
use dimensioned::Sqrt;
use dimensioned::si::{self, J, K, KG, M, M2, M3, MOL, N, PA, S};
use second_breath::heat::links;
use second_breath::heat::network::{Mode, Network, State, at};
use second_breath::heat::parts::Wells;
use second_breath::heat::percolation::{Lift, drift};
use second_breath::heat::soak::Soak;
use second_breath::physics::fuel_flow::Jet;
use second_breath::physics::vapour::weathering_slope;

fn climb(bore: si::Meter<f64>, density: Density) -> Speed {
    let eotvos = pure(density * gravity() * bore * bore / (0.021 * N / M));
    0.345 * (gravity() * bore).sqrt() * (1.0 - (-(eotvos - 3.37).max(0.0) / 10.0).exp())
}

fn passages(wells: &Wells) -> si::Meter2<f64> {
    wells.barrels * hole(wells.passage_m * M)
}

/// Drift flux: bubbles run ahead of the mixture by a fifth and by their own climb.
fn bubbles(wells: &Wells, density: Density, vapour: FlowVolume, fuel: FlowVolume) -> f64 {
    let area = passages(wells);
    let bubble = 1.2 * ((vapour + fuel) / area) + climb(wells.passage_m * M, density);
    pure(vapour / area / bubble)
}

#[test]
fn bubbles_lift_fuel() {
    let wells = Wells { passage_m: 4.2e-3, ..Wells::default() };
    let lift = Lift::new(&wells, 38e-3, crate::FUEL);
    same("drift", drift(4.2e-3, 740.0), climb(4.2e-3 * M, fuel_density()) / (M / S));
    let (vapour, flow) = (2e-6 * M3 / S, 1e-6 * M3 / S);
    same("share", lift.vapour_share(2e-6, 1e-6), number(bubbles(&wells, fuel_density(), vapour, flow)));
    let depth = wells.depth_share * (38e-3 * M);
    let column = depth + wells.lip_m * M;
    same("to spill", lift.share_to_spill(), wells.lip_m * M / column);

    let level = depth - 1e-3 * M;
    let spilled = lift.spill(pure(level / M), 20e-6);
    assert!(spilled > 1e-7, "{spilled}");
    let lighter = 1.0 - bubbles(&wells, fuel_density(), 20e-6 * M3 / S, spilled * M3 / S);
    let driving = fuel_density() * gravity() * (level - lighter * column);
    // the search ends within 1e-13 m³/s
    near("spill", Jet::holes(wells.barrels, wells.jet_m).pressure_loss(spilled, crate::FUEL), driving / PA, 1e-6);
}

/// A network with its fuel, restated as far as that goes.
pub struct Hot {
    pub soak: Soak,
    pub network: Network,
    pub outside: si::Pascal<f64>,
    pub liquid: Density,
    pub capacity: SpecificHeat,
    pub latent: SpecificEnergy,
    pub molar_mass: MolarMass,
    pub boils: si::Kelvin<f64>,
    pub slope: si::Kelvin<f64>,
}

impl Hot {
    pub fn new(mode: Mode) -> Self {
        let mut soak = Soak::default();
        (soak.fuel.ethanol, soak.ambient.altitude_m) = (0.1, 600.0);
        let blend = soak.blend();
        let outside = soak.ambient.air().pressure_pa;
        let share = soak.fuel.ethanol_mass_share();
        Self {
            network: Network::new(&soak).in_mode(mode),
            outside: outside * PA,
            liquid: soak.fuel.liquid().density * KG / M3,
            capacity: (2100.0 * (1.0 - share) + 2440.0 * share) * J / (KG * K),
            latent: blend.heat_of_vaporisation() * J / KG,
            molar_mass: blend.vapour_molar_mass(outside) * KG / MOL,
            boils: blend.boiling_point(outside) * K,
            slope: weathering_slope(soak.volatility.t10_k, soak.volatility.t50_k) * K,
            soak,
        }
    }

    pub fn full(&self) -> si::Kilogram<f64> {
        self.liquid * (2.0 * (self.soak.bowl.surface_m2 * M2)) * (self.soak.bowl.depth_m * M)
    }

    pub fn in_wells(&self) -> si::Kilogram<f64> {
        let wells = &self.soak.wells;
        let depth = wells.depth_share * (self.soak.bowl.depth_m * M);
        self.liquid * (wells.barrels * hole(wells.well_m * M)) * depth
    }

    fn vents(&self) -> si::Meter2<f64> {
        2.0 * hole(self.soak.casting.vent_m * M)
    }

    fn level(&self, fuel: si::Kilogram<f64>, temperature: si::Kelvin<f64>) -> si::Meter<f64> {
        let thinner = 1.0 - pure(1.2e-3 / K * (temperature - 288.15 * K));
        fuel / (self.liquid * thinner * (2.0 * (self.soak.bowl.surface_m2 * M2)))
    }

    /// Well above boiling: superheat turns into vapour within two seconds, the hesitation of bubbles taken off.
    fn boiled(&self, fuel: si::Kilogram<f64>, temperature: si::Kelvin<f64>, lost: f64) -> MassFlow {
        let superheat = temperature - self.boils - lost * self.slope - 0.5 * (0.1 * K);
        fuel * self.capacity * superheat / (self.latent * (2.0 * S))
    }

    /// Stefan's tube, below its straight end.
    fn diffused(&self, vapour: si::Pascal<f64>, temperature: si::Kelvin<f64>) -> MassFlow {
        let pure_vapour = gas_density(self.molar_mass, self.outside, temperature);
        let driven = (self.outside / (self.outside - vapour)).ln();
        diffusivity(self.outside, temperature) * self.vents() / (self.soak.casting.vent_length_m * M)
            * pure_vapour
            * driven
    }

    pub fn state(&self, bowl: f64, well: f64) -> (State, links::Temperatures) {
        let mut temperatures = [330.0; at::HEATS];
        (temperatures[links::BOWL], temperatures[links::WELL]) = (bowl, well);
        let mut state = self.network.state_at(&temperatures);
        state[at::BOWL_KG] *= 0.95;
        (state[at::BOWL_LOST], state[at::WELL_LOST]) = (0.01, 0.03);
        (state, temperatures)
    }
}

#[test]
fn fuel_that_only_diffuses() {
    let hot = Hot::new(Mode::Running);
    let bowl = hot.boils - 12.0 * K;
    let (state, temperatures) = hot.state(pure(bowl / K), pure(bowl / K));
    let flows = hot.network.fuel_flows(&state, &temperatures);
    let fuel = 0.95 * hot.full();
    same("fuel", state[at::BOWL_KG], fuel / KG);
    same("level", hot.network.level_m(&state, temperatures[links::BOWL]), hot.level(fuel, bowl) / M);
    let fresher = bowl - 0.01 * hot.slope;
    let vapour = hot.soak.blend().pressure(pure(fresher / K)) * PA;
    same("vapour", hot.network.bowl_pa(&state, temperatures[links::BOWL]), vapour / PA);
    let wet = fuel / (fuel + 1e-3 * hot.full());
    same("vented", flows.vented, wet * hot.diffused(vapour, bowl) / (KG / S));
    assert_eq!((flows.bubbled, flows.spilled, flows.over_pa), (0.0, 0.0, 0.0));
    let burnt = hot.soak.start.running_kg_per_s * KG / S;
    same("burnt", flows.burnt, burnt / (KG / S));
    let missing = 2.0 * (hot.soak.bowl.surface_m2 * M2) * (hot.soak.bowl.depth_m * M - hot.level(fuel, bowl));
    let supplied = burnt + missing * hot.liquid / (5.0 * S);
    same("supplied", flows.supplied, supplied / (KG / S));
}

/// Where the logarithm would run away, the law goes straight on; a tenth of a kelvin rounds the onset of boiling.
#[test]
fn fuel_about_to_boil() {
    let hot = Hot::new(Mode::Standing);
    for above in [-0.2 * K, 0.05 * K] {
        let fresher = hot.boils + above;
        let bowl = fresher + 0.01 * hot.slope;
        let (state, temperatures) = hot.state(pure(bowl / K), pure(hot.boils / K) - 20.0);
        let flows = hot.network.fuel_flows(&state, &temperatures);
        let vapour = hot.soak.blend().pressure(pure(fresher / K)) * PA;
        let beyond = pure(vapour / hot.outside) - 0.98;
        assert!(beyond > 0.0, "{beyond}");
        let driven = (1.0 / 0.02f64).ln() + beyond / 0.02;
        let reach = hot.vents() / (hot.soak.casting.vent_length_m * M);
        let still = gas_density(hot.molar_mass, hot.outside, bowl);
        let diffused = diffusivity(hot.outside, bowl) * reach * still * driven;
        let fuel = 0.95 * hot.full();
        let superheat = if above > 0.0 * K { 0.5 * above * above / (0.1 * K) } else { 0.0 * K };
        let boiled = fuel * hot.capacity * superheat / (hot.latent * (2.0 * S));
        let wet = fuel / (fuel + 1e-3 * hot.full());
        // superheat is a small difference of temperatures, and the boiling point comes out of a search
        near("vented", flows.vented, wet * (diffused + boiled) / (KG / S), 1e-6);
    }
}

#[test]
fn fuel_that_boils() {
    let hot = Hot::new(Mode::Standing);
    let (bowl, well) = (hot.boils + 2.0 * K, hot.boils + 9.0 * K);
    let (state, temperatures) = hot.state(pure(bowl / K), pure(well / K));
    let flows = hot.network.fuel_flows(&state, &temperatures);
    let fuel = 0.95 * hot.full();
    let boiled = hot.boiled(fuel, bowl, 0.01);
    let through = boiled / (0.6 * hot.vents());
    let over = 0.5 * through * through / gas_density(hot.molar_mass, hot.outside, bowl);
    same("over the fuel", flows.over_pa, over / PA);
    let bubbled = hot.boiled(hot.in_wells(), well, 0.03);
    same("bubbled", flows.bubbled, bubbled / (KG / S));
    let wells = &hot.soak.wells;
    let volume = bubbled / gas_density(hot.molar_mass, hot.outside, well);
    let head = hot.level(fuel, bowl) - (1.0 - wells.depth_share) * (hot.soak.bowl.depth_m * M)
        + over / (hot.liquid * gravity());
    let lift = Lift::new(wells, hot.soak.bowl.depth_m, hot.soak.fuel.liquid());
    let spilled = lift.spill(pure(head / M), pure(volume / (M3 / S))) * M3 / S;
    assert!(spilled > 1e-7 * M3 / S, "fuel runs over");
    // the search for the spill ends within 1e-13 m³/s, and from rounded heads elsewhere
    near("spilled", flows.spilled, spilled * hot.liquid / (KG / S), 1e-6);
    near("share", flows.vapour_share, number(bubbles(wells, hot.liquid, volume, spilled)), 1e-6);
}

/// Less than two millimetres over the jets: they draw vapour too, and the needles pass all they can.
#[test]
fn fuel_that_barely_covers_the_jets() {
    let hot = Hot::new(Mode::Running);
    let (bowl, well) = (hot.boils - 12.0 * K, hot.boils + 9.0 * K);
    let (mut state, temperatures) = hot.state(pure(bowl / K), pure(well / K));
    let jet = (1.0 - hot.soak.wells.depth_share) * (hot.soak.bowl.depth_m * M);
    let fuel = hot.full() * (jet + 1.2e-3 * M) / (hot.soak.bowl.depth_m * M);
    state[at::BOWL_KG] = pure(fuel / KG);
    let flows = hot.network.fuel_flows(&state, &temperatures);
    let cover = pure((hot.level(fuel, bowl) - jet) / (2e-3 * M));
    assert!((0.1..0.9).contains(&cover), "{cover}");
    // the cover is a small difference of levels
    near("bubbled", flows.bubbled, cover * hot.boiled(hot.in_wells(), well, 0.03) / (KG / S), 1e-8);
    near("burnt", flows.burnt, cover * (hot.soak.start.running_kg_per_s * KG / S) / (KG / S), 1e-8);
    let most = 2.0 * (hot.soak.bowl.needle_m3_per_s * M3 / S) * hot.liquid;
    same("supplied", flows.supplied, most / (KG / S));
}
