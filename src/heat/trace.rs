//! What a soak did, on an even grid of time.

use crate::figures;
use crate::heat::links::{self, around_bowls};
use crate::heat::network::{Network, State, at};
use crate::physics::vapour;
use crate::units::Figure;

/// A column of a trace; SI.
pub type Channel = Figure<Sample, f64>;

figures! {
    /// Every figure of one instant; SI, times from when the engine stopped.
    pub struct Sample,
    /// The columns.
    CHANNELS: f64 {
        time_s: LongTime, "Time";
        block_k: Temperature, "Block and coolant";
        exhaust_k: Temperature, "Exhaust metal";
        manifold_k: Temperature, "Intake manifold";
        base_k: Temperature, "Base";
        body_k: Temperature, "Bowls and body";
        bowl_k: Temperature, "Fuel in the bowls";
        well_k: Temperature, "Fuel in the wells";
        pump_k: Temperature, "Fuel pump and line";
        bay_k: Temperature, "Air under the bonnet";
        joint_w: Power, "Heat through the joint into the base";
        casting_w: Power, "Heat along the casting into the bowls";
        gap_w: Power, "Heat across the gap into the bowls";
        air_w: Power, "Heat from the air into the bowls";
        vapour_pa: Pressure, "Vapour pressure of the fuel in the bowls";
        over_pa: SmallPressure, "Pressure over the fuel in the bowls";
        bowl_margin_k: TemperatureDifference, "Bowls below boiling";
        well_margin_k: TemperatureDifference, "Wells below boiling";
        bowl_lost: Fraction, "Evaporated from the bowls";
        bowl_share: Fraction, "Left in the bowls";
        level_m: Length, "Level in the bowls";
        over_jets_m: Length, "Level over the jets";
        vented_kg: SmallMass, "Gone by the vents";
        bubbled_kg: SmallMass, "Gone as bubbles from the wells";
        percolated_kg: SmallMass, "Percolated into the manifold";
        venting_kg_per_s: FuelMassFlow, "Vapour from the vents";
        percolating_kg_per_s: FuelMassFlow, "Fuel over the nozzles";
        bubble_share: Fraction, "Vapour in the nozzle passages";
        puddle_kg: SmallMass, "Puddle in the manifold";
        manifold_vapour_kg: SmallMass, "Vapour in the manifold";
        vapour_share: Fraction, "Vapour's share of the gas in the manifold";
        richness: Number, "Fuel in the manifold over what its air can burn";
        cranking_s: Duration, "Cranking until it can fire";
        pump_margin_k: TemperatureDifference, "Pump below boiling";
        lock_margin_k: TemperatureDifference, "Pump below V/L 20";
    }
}

/// Limits of the pump's inlet, known before the soak begins.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PumpLimits {
    /// Where fresh fuel boils under the suction, K.
    pub boiling_k: f64,
    /// Where vapour is twenty times the liquid, K; the standard's estimate, shifted as the boiling point shifts with
    /// pressure.
    pub lock_k: f64,
}

impl PumpLimits {
    /// Limits of a network.
    pub fn new(network: &Network) -> Self {
        let (soak, blend) = (&network.soak, &network.blend);
        let boiling_k = blend.boiling_point(network.outside.pressure_pa - soak.line.suction_pa);
        let volatility = &soak.volatility;
        let reid = blend.reid_pressure(volatility.reid_pa);
        let standard = vapour::vapour_lock_temperature(reid, volatility.t10_k, volatility.t50_k);
        Self { boiling_k, lock_k: standard + boiling_k - blend.boiling_point(101_325.0) }
    }
}

/// Every figure of a state.
pub fn sample(network: &Network, limits: PumpLimits, time_s: f64, state: &State) -> Sample {
    let t = network.temperatures(state);
    let flows = network.fuel_flows(state, &t);
    let around = around_bowls(network, &t);
    let contents = network.contents(state, t[links::MANIFOLD]);
    let level_m = network.level_m(state, t[links::BOWL]);
    let boiling = |lost: f64| network.boiling_k + network.slope_k * lost;
    Sample {
        time_s,
        block_k: t[links::BLOCK],
        exhaust_k: t[links::EXHAUST],
        manifold_k: t[links::MANIFOLD],
        base_k: t[links::BASE],
        body_k: t[links::BODY],
        bowl_k: t[links::BOWL],
        well_k: t[links::WELL],
        pump_k: t[links::PUMP],
        bay_k: t[links::BAY],
        joint_w: around.joint * (t[links::MANIFOLD] - t[links::BASE]),
        casting_w: around.casting * (t[links::BASE] - t[links::BODY]),
        gap_w: around.gap * (t[links::MANIFOLD] - t[links::BODY]),
        air_w: around.air * (t[links::BAY] - t[links::BODY]),
        vapour_pa: network.bowl_pa(state, t[links::BOWL]),
        over_pa: flows.over_pa,
        bowl_margin_k: boiling(state[at::BOWL_LOST]) - t[links::BOWL],
        well_margin_k: boiling(state[at::WELL_LOST]) - t[links::WELL],
        bowl_lost: state[at::BOWL_LOST],
        bowl_share: state[at::BOWL_KG] / network.full_kg,
        level_m,
        over_jets_m: level_m - (1.0 - network.soak.wells.depth_share) * network.soak.bowl.depth_m,
        vented_kg: state[at::VENTED_KG],
        bubbled_kg: state[at::BUBBLED_KG],
        percolated_kg: state[at::PERCOLATED_KG],
        venting_kg_per_s: flows.vented,
        percolating_kg_per_s: flows.spilled,
        bubble_share: flows.vapour_share,
        puddle_kg: contents.puddle_kg,
        manifold_vapour_kg: contents.vapour_kg,
        vapour_share: network.manifold.vapour_share(contents),
        richness: network.manifold.richness(contents),
        cranking_s: network.manifold.cranking_s(contents),
        pump_margin_k: limits.boiling_k - t[links::PUMP],
        lock_margin_k: limits.lock_k - t[links::PUMP],
    }
}

/// A finished soak's figures.
#[derive(Debug, Clone, PartialEq)]
pub struct SoakTrace {
    /// Time between samples, s.
    pub interval_s: f64,
    /// From when the engine stopped to the end.
    pub samples: Vec<Sample>,
    /// When the engine starts again, s.
    pub restart_s: f64,
}

impl SoakTrace {
    /// The figures at a time, straight between samples; the ends hold beyond the ends.
    pub fn at(&self, time_s: f64) -> Sample {
        let place = (time_s / self.interval_s).clamp(0.0, (self.samples.len() - 1) as f64);
        let index = (place as usize).min(self.samples.len().saturating_sub(2));
        let next = (index + 1).min(self.samples.len() - 1);
        self.samples[index].towards(&self.samples[next], place - index as f64)
    }

    /// The samples taken while the engine stands, the moment of the restart included.
    pub fn standing(&self) -> &[Sample] {
        let end = self.samples.partition_point(|sample| sample.time_s <= self.restart_s + 1e-6);
        &self.samples[..end]
    }

    /// The samples taken after the engine has started again.
    pub fn running(&self) -> &[Sample] {
        &self.samples[self.standing().len()..]
    }
}
