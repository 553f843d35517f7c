//! From the customer's words to the model's engine, load, air and fuel.

use crate::advice::intake::Customer;
use crate::advice::intake::answers::{Cam, Gearbox, Grade, Manifold};
use crate::bench::scenario::Scenario;
use crate::engine::breathing::Engine;
use crate::engine::load::{Coupling, Load, LoadKind};
use crate::engine::{ambient::Ambient, fuel::Fuel};
use crate::heat::soak::Soak;
use crate::units::RPM;

/// What a camshaft does to the breathing: best efficiency, its speed and how fast it falls beside it, top-end speed in
/// rpm, idle vacuum in Pa. From memory of ordinary eight-cylinder engines.
const fn breathing(cam: Cam) -> (f64, f64, f64, f64, f64) {
    match cam {
        Cam::Mild => (0.85, 2900.0, 0.40, 4600.0, 61e3),
        Cam::Street => (0.88, 3400.0, 0.45, 5200.0, 51e3),
        Cam::Sharp => (0.93, 4500.0, 0.70, 6200.0, 34e3),
    }
}

/// Compression at which the default engine's indicated efficiency is meant, and the exponent of the ideal cycle with a
/// burnt mixture (1 − r^−0.3). From memory.
const USUAL_COMPRESSION: f64 = 8.5;
const CYCLE_EXPONENT: f64 = 0.3;

/// Stall speeds of an ordinary and of a loose converter, rpm. From memory.
const TIGHT_STALL_RPM: f64 = 1900.0;
const LOOSE_STALL_RPM: f64 = 2800.0;

/// Reid vapour pressures of summer and winter fuel, Pa. ASTM D4814 spans 54 to 103 kPa; the two from memory.
const SUMMER_PA: f64 = 60e3;
const WINTER_PA: f64 = 90e3;

/// The customer's car in the model's terms.
#[derive(Debug, Clone, PartialEq)]
pub struct Car {
    engine: Engine,
    load: Load,
    ambient: Ambient,
    fuel: Fuel,
    /// First, middle and top gear.
    pub gears: [f64; 3],
    /// Mass of the trailer, kg.
    pub trailer_kg: f64,
    /// Manifold vacuum under which an enrichment valve that suits this engine opens, Pa.
    pub enrichment_pa: f64,
}

impl Car {
    /// From what was answered and assumed.
    pub fn of(customer: &Customer) -> Self {
        let car = &customer.car;
        Self {
            engine: engine(customer),
            load: load(customer),
            ambient: Ambient { altitude_m: customer.place.altitude_m, ..Ambient::default() },
            fuel: Fuel { ethanol: customer.place.ethanol, ..Fuel::default() },
            gears: [car.first, (car.first * car.top).sqrt(), car.top],
            trailer_kg: car.trailer_kg,
            enrichment_pa: enrichment_pa(customer),
        }
    }

    /// Put the car under a carburettor.
    pub fn put_into(&self, scenario: &mut Scenario) {
        scenario.engine = self.engine;
        scenario.load = self.load;
        scenario.ambient = self.ambient;
        scenario.fuel = self.fuel;
    }

    /// Air that the engine draws at its top-end speed from outside air, m³/s: displacement × speed × efficiency ÷ 2.
    pub fn demand_m3_per_s(&self) -> f64 {
        let turns = self.engine.top_speed / std::f64::consts::TAU;
        self.engine.volumetric_efficiency(self.engine.top_speed) * self.engine.displacement_m3 * turns / 2.0
    }

    /// Top-end speed, rad/s.
    pub fn top_rad_per_s(&self) -> f64 {
        self.engine.top_speed
    }
}

fn engine(customer: &Customer) -> Engine {
    let told = &customer.engine;
    let usual = Engine::default();
    let (efficiency_peak, speed, efficiency_width, top, _) = breathing(told.cam);
    let work = |ratio: f64| 1.0 - ratio.powf(-CYCLE_EXPONENT);
    Engine {
        displacement_m3: told.displacement_m3,
        efficiency_peak,
        efficiency_speed: RPM.to_si(speed),
        efficiency_width,
        manifold_m3: manifold_m3(customer),
        efficiency_indicated: usual.efficiency_indicated * work(told.compression) / work(USUAL_COMPRESSION),
        inertia_kg_m2: usual.inertia_kg_m2 * told.displacement_m3 / usual.displacement_m3,
        top_speed: RPM.to_si(top),
        ..usual
    }
}

/// Where nobody knows the manifold's volume: as large as nine tenths of the cylinders, an open one half as large again.
/// From memory.
fn manifold_m3(customer: &Customer) -> f64 {
    if let Some(volume) = customer.told("engine", "manifold_volume") {
        return volume;
    }
    let share = match customer.engine.manifold {
        Manifold::Divided => 0.87,
        Manifold::Open => 1.3,
    };
    share * customer.engine.displacement_m3
}

/// Half of the idle vacuum, and no more than an ordinary valve has: a valve that opens at idle is rich at idle. Common
/// practice, no source.
fn enrichment_pa(customer: &Customer) -> f64 {
    let idle = customer.told("engine", "idle_vacuum").unwrap_or(breathing(customer.engine.cam).4);
    (0.5 * idle).min(crate::carburettor::enrichment::Enrichment::default().opens_below_pa)
}

fn load(customer: &Customer) -> Load {
    let car = &customer.car;
    let (coupling, stall) = match car.gearbox {
        Gearbox::Manual => (Coupling::Clutch, TIGHT_STALL_RPM),
        Gearbox::Tight => (Coupling::Converter, TIGHT_STALL_RPM),
        Gearbox::Loose => (Coupling::Converter, LOOSE_STALL_RPM),
    };
    Load {
        kind: LoadKind::Vehicle,
        mass_kg: car.mass_kg,
        axle: car.axle,
        tyre_m: car.tyre_m,
        coupling,
        stall_rad_per_s: RPM.to_si(stall),
        ..Load::default()
    }
}

/// The customer's car after it has been stopped hot on a hot day.
pub fn soak(customer: &Customer) -> Soak {
    let mut soak = Soak::default();
    soak.ambient.altitude_m = customer.place.altitude_m;
    soak.ambient.temperature_k = customer.place.hot_day_k;
    soak.fuel.ethanol = customer.place.ethanol;
    soak.volatility.reid_pa = match customer.place.grade {
        Grade::Summer => SUMMER_PA,
        Grade::Winter => WINTER_PA,
    };
    soak.start.displacement_m3 = customer.engine.displacement_m3;
    soak.start.manifold_m3 = manifold_m3(customer);
    // the tank stands in the same air
    soak.line.tank_k = soak.line.tank_k.max(customer.place.hot_day_k + 5.0).min(333.15);
    soak
}
