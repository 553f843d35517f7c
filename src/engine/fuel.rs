//! Fuel: hydrocarbon petrol with a share of ethanol.

use crate::physics::fuel_flow::Liquid;
use crate::settings;
use crate::settings::Source::{Memory, Published};

settings! {
    /// What is in the bowl.
    pub struct Fuel {
        density_kg_per_m3: f64 = 740.0, Density[690.0, 800.0], "Petrol density", "Density of the petrol before ethanol is added.", Memory;
        viscosity_pa_s: f64 = 0.5e-3, Viscosity[0.25e-3, 1.2e-3], "Viscosity", "Dynamic viscosity; it matters in fine holes only.", Published("between iso-octane 0.477 and toluene 0.552 mPa s at 25 °C, thermo library");
        ethanol: f64 = 0.0, Fraction[0.0, 0.85], "Ethanol", "Share of ethanol by volume. More ethanol needs more fuel for the same air.", Published("stoichiometry by composition: 14.60 for CH1.87, 9.00 for ethanol");
    }
}

const ETHANOL_DENSITY: f64 = 789.0;
const PETROL_RATIO: f64 = 14.60;
const ETHANOL_RATIO: f64 = 9.00;

impl Fuel {
    /// Share of ethanol by mass.
    pub fn ethanol_mass_share(&self) -> f64 {
        let ethanol = self.ethanol * ETHANOL_DENSITY;
        ethanol / (ethanol + (1.0 - self.ethanol) * self.density_kg_per_m3)
    }

    /// The liquid as jets see it; volumes are taken to add.
    pub fn liquid(&self) -> Liquid {
        let density = self.ethanol * ETHANOL_DENSITY + (1.0 - self.ethanol) * self.density_kg_per_m3;
        Liquid { density, viscosity: self.viscosity_pa_s }
    }

    /// Mass of air that burns a unit mass of the blend exactly.
    pub fn stoichiometric_ratio(&self) -> f64 {
        let e = self.ethanol_mass_share();
        e * ETHANOL_RATIO + (1.0 - e) * PETROL_RATIO
    }
}
