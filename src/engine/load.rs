//! What the engine turns: a dynamometer that holds its speed, a car, or nothing.

use crate::choice;
use crate::physics::GRAVITY;
use crate::settings;
use crate::settings::Source::{CommonPractice, Invented, Memory};

choice! {
    /// Kind of load.
    pub enum LoadKind {
        /// Speed held, whatever the torque.
        Dynamometer = "dynamometer", "Dynamometer, speed held";
        /// A car in gear.
        Vehicle = "vehicle", "Car in gear";
        /// Out of gear.
        Free = "free", "Out of gear";
    }
}

choice! {
    /// What stands between engine and gearbox.
    pub enum Coupling {
        /// A closed clutch.
        Clutch = "clutch", "Clutch";
        /// A torque converter.
        Converter = "converter", "Torque converter";
    }
}

settings! {
    /// The load. The road's slope is such that the car keeps its speed before the pedal moves.
    pub struct Load {
        kind: LoadKind = LoadKind::Vehicle, choice, "Load", "What the engine turns.", Invented;
        start_rad_per_s: f64 = 157.079_632_679_489_66, RotationalSpeed[50.0, 840.0], "Engine speed before", "Engine speed before the pedal moves.", Invented;
        mass_kg: f64 = 1450.0, Mass[400.0, 6000.0], "Car with load", "Mass of the car, its people and what it tows.", Invented;
        gear: f64 = 2.2, Number[0.5, 6.0], "Gear ratio", "Turns of the gearbox input for one of its output.", Memory;
        axle: f64 = 3.36, Number[2.0, 6.5], "Axle ratio", "Turns of the propeller shaft for one of the wheel.", Memory;
        tyre_m: f64 = 0.33, Length[0.2, 0.5], "Tyre radius", "Rolling radius of the driven tyre.", Memory;
        drag_area_m2: f64 = 0.9, DragArea[0.2, 6.0], "Drag area", "Frontal area times drag coefficient.", Memory;
        rolling: f64 = 0.014, Number[0.005, 0.05], "Rolling resistance", "Rolling resistance over weight.", CommonPractice;
        coupling: Coupling = Coupling::Clutch, choice, "Between engine and gearbox", "A converter lets the engine speed up before the car does.", Invented;
        stall_rad_per_s: f64 = 188.495_559_215_387_6, RotationalSpeed[105.0, 470.0], "Converter stall speed", "Engine speed that the converter holds at full torque with the car at rest; higher is looser.", CommonPractice;
        stall_torque_nm: f64 = 300.0, Torque[80.0, 900.0], "Stall speed is at", "Torque at which the stall speed is stated.", Memory;
    }
}

/// Torque ratio of a converter at standstill, and the speed ratio at which it couples; from memory.
const STALL_TORQUE_RATIO: f64 = 2.0;
const COUPLING_POINT: f64 = 0.9;

/// Torques on both sides of a converter, N m.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ConverterTorque {
    /// Taken from the engine.
    pub impeller: f64,
    /// Given to the gearbox.
    pub turbine: f64,
}

impl Load {
    /// Engine turns per metre of road, rad/m, with the clutch closed.
    pub fn turns_per_metre(&self) -> f64 {
        self.gear * self.axle / self.tyre_m
    }

    /// Force that the level road and the air oppose to the car, N; odd in speed and without a jump at rest.
    pub fn road_force(&self, speed_m_per_s: f64, air_density: f64) -> f64 {
        let drag = 0.5 * air_density * self.drag_area_m2 * speed_m_per_s * speed_m_per_s.abs();
        drag + self.rolling * self.mass_kg * GRAVITY * (speed_m_per_s / 0.5).tanh()
    }

    /// The converter between an engine and a turbine speed, rad/s. Capacity falls to nothing as the speeds meet;
    /// a turbine that runs faster drives the engine.
    pub fn converter(&self, engine: f64, turbine: f64) -> ConverterTorque {
        let capacity = self.stall_torque_nm / (self.stall_rad_per_s * self.stall_rad_per_s);
        if engine <= 0.0 && turbine <= 0.0 {
            return ConverterTorque { impeller: 0.0, turbine: 0.0 };
        }
        if turbine <= engine {
            let ratio = (turbine / engine).max(0.0);
            let slip = 1.0 - ratio;
            let impeller = capacity * engine * engine * (1.0 - (1.0 - slip.min(0.3) / 0.3).powi(2));
            let gain = (STALL_TORQUE_RATIO - (STALL_TORQUE_RATIO - 1.0) * ratio / COUPLING_POINT).max(1.0);
            ConverterTorque { impeller, turbine: impeller * gain }
        } else {
            let slip = 1.0 - engine / turbine;
            let back = -capacity * turbine * turbine * (1.0 - (1.0 - slip.min(0.3) / 0.3).powi(2));
            ConverterTorque { impeller: back, turbine: back }
        }
    }
}
