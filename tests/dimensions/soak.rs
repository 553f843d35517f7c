//! The parts between engine and fuel, and what passes between the stores of heat.

use crate::surfaces::{Fluid, between_plates, draught, radiation, series, slab};
use crate::{Coefficient, Conductance, Conductivity, SpecificHeat, Speed, hole, near, pure, same, specific};
use dimensioned::si::{self, J, K, KG, M, M2, M3, PA, S, W};
use dimensioned::{Abs, Cbrt, Recip, Sqrt};
use second_breath::heat::links::{self, BASE, BAY, BLOCK, BODY, BOWL, EXHAUST, MANIFOLD, PUMP, Temperatures, WELL};
use second_breath::heat::materials::{Body, Finish, Material, PHENOLIC, Shield, Spacer};
use second_breath::heat::network::{Mode, Network, SIZE, at};
use second_breath::heat::parts::{Casting, Mounting};
use second_breath::heat::soak::Soak;
use std::f64::consts::PI;

fn conducts(material: Material) -> Conductivity {
    material.conductivity * W / (M * K)
}

fn capacity(volume: si::Meter3<f64>, material: Material) -> <si::Joule<f64> as std::ops::Div<si::Kelvin<f64>>>::Output {
    volume * (material.density * KG / M3) * (material.heat_capacity * J / (KG * K))
}

fn half_wall(casting: &Casting, area: si::Meter2<f64>) -> Conductance {
    slab(conducts(casting.body.material()), area, 0.5 * casting.wall_m * M)
}

fn path(casting: &Casting) -> Conductance {
    let half = |material| slab(conducts(material), casting.path_section_m2 * M2, 0.5 * casting.path_length_m * M);
    series(half(casting.body.base()), half(casting.body.material()))
}

fn stack(mounting: &Mounting) -> Conductance {
    let joint = mounting.joint_m2 * M2;
    let gasket = slab(mounting.gasket_conductivity_w_per_mk * W / (M * K), joint, mounting.gasket_thickness_m * M);
    if mounting.spacer_thickness_m == 0.0 {
        return gasket;
    }
    let spacer = slab(mounting.spacer.conductivity() * W / (M * K), joint, mounting.spacer_thickness_m * M);
    series(series(gasket, gasket), spacer)
}

fn studs(mounting: &Mounting) -> Conductance {
    let gaskets = if mounting.spacer_thickness_m == 0.0 { 1.0 } else { 2.0 };
    let length = gaskets * mounting.gasket_thickness_m * M + mounting.spacer_thickness_m * M + mounting.ear_m * M;
    slab(mounting.stud.conductivity() * W / (M * K), mounting.studs * hole(mounting.stud_diameter_m * M), length)
}

#[test]
fn parts() {
    let per_kelvin = W / K;
    let per_volume = PHENOLIC.density * KG / M3 * (PHENOLIC.heat_capacity * J / (KG * K));
    same("per volume", PHENOLIC.per_volume(), per_volume / (J / (M3 * K)));
    for body in [Body::Zinc, Body::Phenolic] {
        let casting = Casting { body, ..Casting::default() };
        same("bowls", casting.body_j_per_k(), capacity(casting.body_volume_m3 * M3, body.material()) / (J / K));
        same("base", casting.base_j_per_k(), capacity(casting.base_volume_m3 * M3, body.base()) / (J / K));
        same("path", casting.path_w_per_k(), path(&casting) / per_kelvin);
        same("wall", casting.half_wall_w_per_k(0.02), half_wall(&casting, 0.02 * M2) / per_kelvin);
    }
    for spacer_thickness_m in [0.0, 0.012] {
        let mounting = Mounting { spacer_thickness_m, spacer: Spacer::Laminate, ..Mounting::default() };
        same("stack", mounting.stack_w_per_k(), stack(&mounting) / per_kelvin);
        same("studs", mounting.studs_w_per_k(), studs(&mounting) / per_kelvin);
        same("joint", mounting.joint_w_per_k(), (stack(&mounting) + studs(&mounting)) / per_kelvin);
    }
}

/// Emissivity of dull metal.
const DULL: f64 = 0.8;

/// The stores of a soak at given temperatures.
struct Stores {
    soak: Soak,
    mode: Mode,
    temperatures: Temperatures,
}

impl Stores {
    fn at(&self, store: usize) -> si::Kelvin<f64> {
        self.temperatures[store] * K
    }

    fn air(&self, one: si::Kelvin<f64>, other: si::Kelvin<f64>) -> Fluid {
        Fluid::air(self.soak.ambient.air().pressure_pa * PA, 0.5 * (one + other))
    }

    fn outside(&self) -> si::Kelvin<f64> {
        self.soak.ambient.temperature_k * K
    }

    /// Of the fan, where it blows.
    fn stream(&self) -> Speed {
        if self.mode == Mode::Running { self.soak.bay.fan_m_per_s * M / S } else { 0.0 * M / S }
    }

    /// A wall of a height in the air of a store or outside; the fan reaches some walls only.
    fn wall(&self, wall: usize, around: si::Kelvin<f64>, height: f64, emissivity: f64, stream: Speed) -> Coefficient {
        let warm = self.at(wall);
        let fluid = self.air(warm, around);
        let own = fluid.on_plate(height * M, (warm - around).abs());
        joined(own, fluid.along(height * M, stream)) + radiation(emissivity, warm, around)
    }

    fn gap(&self) -> Conductance {
        let (mounting, casting) = (&self.soak.mounting, &self.soak.casting);
        let sheets = mounting.shield.sheets();
        let layers = sheets + 1.0;
        let (below, above) = (self.at(MANIFOLD), self.at(BODY));
        let layer = (mounting.gap_m * M + mounting.spacer_thickness_m * M) / layers;
        let still = self.air(below, above).across(layer, (below - above) / layers) / layers;
        let emissivity = between_plates(DULL, casting.emissivity(), sheets, 0.1);
        mounting.floor_m2 * M2 * (still + radiation(emissivity, below, above))
    }

    fn bowls_to_gap(&self) -> Conductance {
        series(self.gap(), half_wall(&self.soak.casting, self.soak.mounting.floor_m2 * M2))
    }

    fn bowls_to_air(&self) -> Conductance {
        let casting = &self.soak.casting;
        let area = casting.body_surface_m2 * M2;
        let sides = self.wall(BODY, self.at(BAY), casting.body_height_m, casting.emissivity(), self.stream());
        series(area * sides, half_wall(casting, area))
    }

    fn walls_to_fuel(&self, fill: f64) -> Conductance {
        let bowl = &self.soak.bowl;
        let (surface, depth) = (bowl.surface_m2 * M2, bowl.depth_m * M);
        let area = 2.0 * (surface + 4.0 * surface.sqrt() * depth) * fill;
        let liquid = self.soak.fuel.liquid();
        let share = self.soak.fuel.ethanol_mass_share();
        let heat: SpecificHeat = (2100.0 * (1.0 - share) + 2440.0 * share) * J / (KG * K);
        let fuel = Fluid {
            density: liquid.density * KG / M3,
            viscosity: liquid.viscosity * PA * S,
            conductivity: 0.12 * W / (M * K),
            heat,
            expansion: 1.2e-3 * K.recip(),
        };
        let own = fuel.on_plate(depth, (self.at(BODY) - self.at(BOWL)).abs());
        series(own * area, half_wall(&self.soak.casting, area))
    }

    /// A slow stream in a tube has a Nusselt number of 3.66.
    fn walls_to_wells(&self) -> Conductance {
        let wells = &self.soak.wells;
        let area = wells.barrels * PI * (wells.well_m * M) * (wells.depth_share * (self.soak.bowl.depth_m * M));
        series(3.66 * (0.12 * W / (M * K)) / (wells.well_m * M) * area, half_wall(&self.soak.casting, area))
    }

    /// What the pump gives to the air under the bonnet: a cylinder.
    fn pump(&self) -> Conductance {
        let line = &self.soak.line;
        let (warm, around) = (self.at(PUMP), self.at(BAY));
        let (fluid, size) = (self.air(warm, around), line.pump_diameter_m * M);
        let own = fluid.on_cylinder(size, (warm - around).abs());
        let moved = fluid.along(size, self.stream());
        line.pump_surface_m2 * M2 * (joined(own, moved) + radiation(DULL, warm, around))
    }

    /// Every way of heat; the last place is the air outside.
    fn heat(&self, fill: f64) -> [si::Watt<f64>; at::HEATS + 1] {
        const OUTSIDE: usize = at::HEATS;
        let (bay, casting) = (&self.soak.bay, &self.soak.casting);
        let (around, still) = (self.at(BAY), 0.0 * M / S);
        let metal = |wall, area: f64, height| area * M2 * self.wall(wall, around, height, DULL, still);
        let base = self.wall(BASE, around, 0.04, casting.base_emissivity(), self.stream());
        let mut ways = vec![
            (BLOCK, MANIFOLD, bay.manifold_joint_w_per_k * W / K),
            (EXHAUST, BLOCK, bay.ports_w_per_k * W / K),
            (EXHAUST, MANIFOLD, bay.crossover_w_per_k * W / K),
            (BLOCK, PUMP, self.soak.line.pump_mount_w_per_k * W / K),
            (MANIFOLD, BASE, stack(&self.soak.mounting) + studs(&self.soak.mounting)),
            (BASE, BODY, path(casting)),
            (MANIFOLD, BODY, self.bowls_to_gap()),
            (BODY, BAY, self.bowls_to_air()),
            (BODY, BOWL, self.walls_to_fuel(fill)),
            (BODY, WELL, self.walls_to_wells()),
            (BLOCK, BAY, metal(BLOCK, bay.block_surface_m2, 0.4)),
            (EXHAUST, BAY, metal(EXHAUST, bay.exhaust_surface_m2, 0.15)),
            (MANIFOLD, BAY, metal(MANIFOLD, bay.manifold_surface_m2, 0.1)),
            (BASE, BAY, casting.base_surface_m2 * M2 * base),
            (PUMP, BAY, self.pump()),
            (BLOCK, OUTSIDE, bay.below_m2 * M2 * self.wall(BLOCK, self.outside(), 0.4, DULL, still)),
            (BAY, OUTSIDE, bay.bonnet_w_per_k * W / K),
        ];
        if self.mode == Mode::Running {
            ways.push((BASE, OUTSIDE, bay.charge_w_per_k * W / K));
            ways.push((BODY, OUTSIDE, bay.charge_w_per_k * W / K));
        } else {
            let speed = draught(bay.opening_height_m * M, around - self.outside(), self.outside());
            let density = self.soak.ambient.air().pressure_pa * PA / (specific() * self.outside());
            let leaves = 0.6 * (bay.opening_m2 * M2) * density * speed;
            ways.push((BAY, OUTSIDE, leaves * (1007.0 * J / (KG * K))));
        }
        let place = |store| if store == OUTSIDE { self.outside() } else { self.at(store) };
        let mut gains = [0.0 * W; at::HEATS + 1];
        for (from, to, conductance) in ways {
            let passes = conductance * (place(from) - place(to));
            gains[from] -= passes;
            gains[to] += passes;
        }
        if self.mode == Mode::Running {
            let air = self.outside() + bay.running_rise_k * K;
            for (store, firmly, held) in [
                (BLOCK, 2000.0 * W / K, bay.coolant_k * K),
                (EXHAUST, 200.0 * W / K, bay.exhaust_k * K),
                (BAY, 2000.0 * W / K, air),
            ] {
                let passes = firmly * (held - self.at(store));
                gains[store] += passes;
                gains[OUTSIDE] -= passes;
            }
        }
        gains
    }
}

/// A draught of the wall's own and a stream join as cubes.
fn joined(own: Coefficient, moved: Coefficient) -> Coefficient {
    (own * own * own + moved * moved * moved).cbrt()
}

fn stores(mode: Mode) -> Stores {
    let mut soak = Soak::default();
    (soak.fuel.ethanol, soak.ambient.altitude_m) = (0.1, 600.0);
    (soak.mounting.spacer_thickness_m, soak.mounting.shield) = (0.01, Shield::Bright);
    (soak.casting.body, soak.casting.finish) = (Body::Phenolic, Finish::Painted);
    // block, exhaust, manifold, base, bowls, fuel of bowls and wells, pump, air under the bonnet
    let temperatures = [365.0, 520.0, 361.0, 347.0, 331.0, 323.0, 327.0, 319.0, 337.0];
    Stores { soak, mode, temperatures }
}

#[test]
fn around_the_bowls() {
    for mode in [Mode::Standing, Mode::Running] {
        let stores = stores(mode);
        let network = Network::new(&stores.soak).in_mode(mode);
        let ours = links::around_bowls(&network, &stores.temperatures);
        same("joint", ours.joint, (stack(&stores.soak.mounting) + studs(&stores.soak.mounting)) / (W / K));
        same("casting", ours.casting, path(&stores.soak.casting) / (W / K));
        same("gap", ours.gap, stores.bowls_to_gap() / (W / K));
        same("air", ours.air, stores.bowls_to_air() / (W / K));
    }
}

#[test]
fn heat_between_the_stores() {
    for mode in [Mode::Standing, Mode::Running] {
        let stores = stores(mode);
        let network = Network::new(&stores.soak).in_mode(mode);
        let mut rates = [0.0; SIZE];
        links::add_heat(&network, &stores.temperatures, 0.9, &mut rates);
        let gains = stores.heat(0.9);
        // sums of terms of either sign
        for (store, gain) in gains.iter().enumerate().take(at::HEATS) {
            near(&format!("store {store}"), rates[store], *gain / W, 1e-8);
        }
        near("outside", rates[at::OUTSIDE_J], gains[at::HEATS] / W, 1e-8);
        assert!(pure(gains[BOWL] / W) > 0.0, "warmer walls warm the fuel");
    }
}
