//! Ways of heat between the stores.

use crate::heat::network::{EXPANSION, Mode, Network, State, at};
use crate::heat::soak::BOWLS;
use crate::physics::heat_transfer::{AIR_HEAT_CAPACITY, Fluid, between_plates, draught, in_series, radiation};

/// Engine block with coolant.
pub const BLOCK: usize = 0;
/// Exhaust manifolds and ports.
pub const EXHAUST: usize = 1;
/// Intake manifold with its flange.
pub const MANIFOLD: usize = 2;
/// Base of the carburettor.
pub const BASE: usize = 3;
/// Bowls and main body.
pub const BODY: usize = 4;
/// Fuel in the bowls.
pub const BOWL: usize = 5;
/// Fuel in the wells.
pub const WELL: usize = 6;
/// Fuel pump and line.
pub const PUMP: usize = 7;
/// Air under the bonnet, with the bonnet.
pub const BAY: usize = 8;

/// Temperature of each store of heat, K.
pub type Temperatures = [f64; at::HEATS];

/// Heights on which warm air rises, m: block, exhaust, intake manifold, base; from memory.
const HEIGHTS: (f64, f64, f64, f64) = (0.4, 0.15, 0.1, 0.04);
/// Emissivity of oily, rusty or oxidised metal; from memory.
const DULL: f64 = 0.8;
/// Emissivity of a bright sheet; from memory.
const BRIGHT: f64 = 0.1;
/// Conductivity of petrol, W/(m K); from memory.
const PETROL_CONDUCTIVITY: f64 = 0.12;
/// Nusselt number of a slow stream in a tube with walls of one temperature (Graetz).
const TUBE: f64 = 3.66;
/// Discharge coefficient of openings under the bonnet; from memory.
const OPENING: f64 = 0.6;
/// While the engine runs: how firmly thermostat, exhaust gas and fan hold their temperatures, W/K. Firm enough is all
/// that matters.
const HELD: (f64, f64, f64) = (2000.0, 200.0, 2000.0);

/// A stream and a draught of the surface's own join as cubes (Churchill 1977).
fn joined(own: f64, moved: f64) -> f64 {
    (own.powi(3) + moved.powi(3)).cbrt()
}

/// A surface in air: from `wall` to `air` by convection and radiation, W/(m² K).
fn surface(network: &Network, wall: f64, air: f64, height_m: f64, emissivity: f64, stream: f64) -> f64 {
    let fluid = Fluid::air(network.outside.pressure_pa, 0.5 * (wall + air));
    let own = fluid.on_vertical_plate(height_m, wall - air);
    let convection = if stream > 0.0 { joined(own, fluid.along_plate(height_m, stream)) } else { own };
    convection + radiation(emissivity, wall, air)
}

/// Conductance across the gap between manifold and bowls, sheets and all, W/K.
fn across_gap(network: &Network, below: f64, above: f64) -> f64 {
    let (mounting, casting) = (&network.soak.mounting, &network.soak.casting);
    let sheets = mounting.shield.sheets();
    let layers = sheets + 1.0;
    let air = Fluid::air(network.outside.pressure_pa, 0.5 * (below + above));
    let gap = (mounting.gap_m + mounting.spacer_thickness_m) / layers;
    let still = air.across_layer(gap, (below - above) / layers) / layers;
    let emissivity = between_plates(DULL, casting.emissivity(), sheets, BRIGHT);
    mounting.floor_m2 * (still + radiation(emissivity, below, above))
}

/// Conductance from the walls of the bowls into their fuel, W/K.
fn into_fuel(network: &Network, body: f64, fuel: f64, fill: f64) -> f64 {
    let bowl = &network.soak.bowl;
    let side = 4.0 * bowl.surface_m2.sqrt() * bowl.depth_m;
    let area = BOWLS * (bowl.surface_m2 + side) * fill;
    let petrol = Fluid {
        density: network.liquid.density,
        viscosity: network.liquid.viscosity,
        conductivity: PETROL_CONDUCTIVITY,
        heat_capacity: network.fuel_capacity,
        expansion: EXPANSION,
    };
    let own = petrol.on_vertical_plate(bowl.depth_m, body - fuel);
    in_series(&[own * area, network.soak.casting.half_wall_w_per_k(area)])
}

/// Conductance from the body into the fuel of the wells, W/K.
fn into_wells(network: &Network) -> f64 {
    let wells = &network.soak.wells;
    let depth = wells.depth_share * network.soak.bowl.depth_m;
    let area = wells.barrels * std::f64::consts::PI * wells.well_m * depth;
    let inside = TUBE * PETROL_CONDUCTIVITY / wells.well_m * area;
    in_series(&[inside, network.soak.casting.half_wall_w_per_k(area)])
}

/// What warms or cools the bowls and what stands below them, W/K: joint, casting, gap, air.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AroundBowls {
    /// Manifold to base, through gasket, spacer and studs.
    pub joint: f64,
    /// Base to bowls, along the casting.
    pub casting: f64,
    /// Manifold to bowls, across the gap.
    pub gap: f64,
    /// Air under the bonnet to bowls.
    pub air: f64,
}

/// The conductances around the bowls at these temperatures.
pub fn around_bowls(network: &Network, t: &Temperatures) -> AroundBowls {
    let casting = &network.soak.casting;
    let stream = if network.mode == Mode::Running { network.soak.bay.fan_m_per_s } else { 0.0 };
    let floor = casting.half_wall_w_per_k(network.soak.mounting.floor_m2);
    let sides = surface(network, t[BODY], t[BAY], casting.body_height_m, casting.emissivity(), stream);
    AroundBowls {
        joint: network.soak.mounting.joint_w_per_k(),
        casting: casting.path_w_per_k(),
        gap: in_series(&[across_gap(network, t[MANIFOLD], t[BODY]), floor]),
        air: in_series(&[casting.body_surface_m2 * sides, casting.half_wall_w_per_k(casting.body_surface_m2)]),
    }
}

/// Add what passes between the stores, W. `fill` is the share of the bowls' set filling that is left.
pub fn add_heat(network: &Network, t: &Temperatures, fill: f64, rates: &mut State) {
    let (bay, line, casting) = (&network.soak.bay, &network.soak.line, &network.soak.casting);
    let outside = network.outside.temperature_k;
    let running = network.mode == Mode::Running;
    let stream = if running { bay.fan_m_per_s } else { 0.0 };
    let mut pass = |from: usize, to: usize, watts: f64| {
        rates[from] -= watts;
        rates[to] += watts;
    };
    let mut link = |one: usize, other: usize, conductance: f64| pass(one, other, conductance * (t[one] - t[other]));
    let to_air = |wall: usize, area: f64, height: f64, emissivity: f64, stream: f64| {
        area * surface(network, t[wall], t[BAY], height, emissivity, stream)
    };

    link(BLOCK, MANIFOLD, bay.manifold_joint_w_per_k);
    link(EXHAUST, BLOCK, bay.ports_w_per_k);
    link(EXHAUST, MANIFOLD, bay.crossover_w_per_k);
    link(BLOCK, PUMP, line.pump_mount_w_per_k);
    let around = around_bowls(network, t);
    link(MANIFOLD, BASE, around.joint);
    link(BASE, BODY, around.casting);
    link(MANIFOLD, BODY, around.gap);
    link(BODY, BAY, around.air);
    link(BODY, BOWL, into_fuel(network, t[BODY], t[BOWL], fill));
    link(BODY, WELL, into_wells(network));

    link(BLOCK, BAY, to_air(BLOCK, bay.block_surface_m2, HEIGHTS.0, DULL, 0.0));
    link(EXHAUST, BAY, to_air(EXHAUST, bay.exhaust_surface_m2, HEIGHTS.1, DULL, 0.0));
    link(MANIFOLD, BAY, to_air(MANIFOLD, bay.manifold_surface_m2, HEIGHTS.2, DULL, 0.0));
    link(BASE, BAY, to_air(BASE, casting.base_surface_m2, HEIGHTS.3, casting.base_emissivity(), stream));
    let film = Fluid::air(network.outside.pressure_pa, 0.5 * (t[PUMP] + t[BAY]));
    let own = film.on_horizontal_cylinder(line.pump_diameter_m, t[PUMP] - t[BAY]);
    let moved = film.along_plate(line.pump_diameter_m, stream);
    let pump = joined(own, moved) + radiation(DULL, t[PUMP], t[BAY]);
    link(PUMP, BAY, line.pump_surface_m2 * pump);

    let below = bay.below_m2 * surface(network, t[BLOCK], outside, HEIGHTS.0, DULL, 0.0);
    pass(BLOCK, at::OUTSIDE_J, below * (t[BLOCK] - outside));
    pass(BAY, at::OUTSIDE_J, bay.bonnet_w_per_k * (t[BAY] - outside));
    if running {
        pass(at::OUTSIDE_J, BLOCK, HELD.0 * (bay.coolant_k - t[BLOCK]));
        pass(at::OUTSIDE_J, EXHAUST, HELD.1 * (bay.exhaust_k - t[EXHAUST]));
        pass(at::OUTSIDE_J, BAY, HELD.2 * (outside + bay.running_rise_k - t[BAY]));
        for wall in [BASE, BODY] {
            pass(wall, at::OUTSIDE_J, bay.charge_w_per_k * (t[wall] - outside));
        }
    } else {
        let speed = draught(bay.opening_height_m, t[BAY], outside);
        let leaving = OPENING * bay.opening_m2 * network.outside.density() * speed;
        pass(BAY, at::OUTSIDE_J, leaving * AIR_HEAT_CAPACITY * (t[BAY] - outside));
    }
}
