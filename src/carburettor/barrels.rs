//! One pair of barrels: venturis with boosters, plates, main circuit dimensions.

use crate::physics::air_path::Openings;
use crate::physics::fuel_flow::Jet;
use crate::physics::plate::Plate;
use crate::settings;
use crate::settings::Source::{CommonPractice, Memory, Published};
use std::f64::consts::FRAC_PI_4;

/// Barrels on a side.
pub const BARRELS: f64 = 2.0;

settings! {
    /// One side's pair of barrels, both alike.
    pub struct Barrels {
        venturi_m: f64 = 32.5e-3, Length[12e-3, 60e-3], "Venturi", "Throat diameter of the main venturi. A smaller throat gives more signal at the same air flow and passes less at full speed.", Memory;
        bore_m: f64 = 42.9e-3, Length[16e-3, 75e-3], "Throttle bore", "Diameter of the bore at the throttle plate.", Memory;
        shaft_ratio: f64 = 0.2, Number[0.05, 0.35], "Shaft ÷ bore", "Thickness of the throttle shaft over the bore: what it covers when the plate is wide open.", Memory;
        closed_rad: f64 = 0.139_626_340_159_546_4, Angle[0.035, 0.35], "Closed plate angle", "Angle of the closed plate from the plane across the bore.", Memory;
        wide_open_rad: f64 = 1.518_436_449_235_07, Angle[1.2, std::f64::consts::FRAC_PI_2], "Wide-open angle", "Angle of the plate on its wide-open stop.", Memory;
        throat_coefficient: f64 = 0.9, Number[0.6, 1.0], "Throat coefficient", "Discharge coefficient of the throat with its booster in it.", Published("Heywood 1988 §7.2 gives about 0.85, rising with Reynolds number; recalled");
        venturi_loss: f64 = 0.55, Number[0.05, 2.0], "Unrecovered loss", "Dynamic heads of the throat that the diffuser does not give back. It costs flow, and does not meter fuel.", Memory;
        plate_coefficient: f64 = 0.85, Number[0.5, 1.0], "Plate coefficient", "Discharge coefficient of the throttle opening.", Memory;
        booster_gain: f64 = 2.4, Number[1.0, 4.0], "Booster gain", "Depression at the nozzle over depression in the throat.", Memory;
        main_jet_m: f64 = 1.42e-3, FineLength[0.4e-3, 4e-3], "Main jet", "Bore of each barrel's main jet.", Memory;
        lip_m: f64 = 6e-3, Length[1e-3, 25e-3], "Nozzle above level", "Height of the nozzle lip above the set fuel level: no fuel flows below the depression that lifts it this far.", Memory;
        refill_m3: f64 = 0.35e-6, SmallVolume[0.02e-6, 3e-6], "Refill volume", "Well and passage of each barrel from fuel level to nozzle, to be filled before fuel spills over.", Memory;
        passage_length_m: f64 = 45e-3, Length[5e-3, 200e-3], "Passage length", "Length of the column of fuel that must be set moving.", Memory;
        passage_bore_m: f64 = 2.6e-3, FineLength[1e-3, 8e-3], "Passage bore", "Bore of that column.", Memory;
        nozzle_m: f64 = 3.6e-3, FineLength[1e-3, 9e-3], "Nozzle passage", "Bore of the passage that fuel and bleed air share on their way to the nozzle.", Memory;
        air_bleed_m: f64 = 0.6e-3, FineLength[0.0, 2.5e-3], "Main air bleed", "Bore of the main air bleed. A bigger bleed weakens the mixture.", CommonPractice;
    }
}

impl Barrels {
    /// The plate of one barrel.
    pub fn plate(&self) -> Plate {
        Plate::new(self.bore_m, self.shaft_ratio, self.closed_rad, self.wide_open_rad)
    }

    /// Throats of the pair with their coefficient, m².
    pub fn throat_m2(&self) -> f64 {
        BARRELS * FRAC_PI_4 * self.venturi_m * self.venturi_m * self.throat_coefficient
    }

    /// The pair's openings with the plates at an angle, behind a cleaner of effective area `cleaner_m2`, no flap.
    pub fn openings(&self, plate_rad: f64, cleaner_m2: f64) -> Openings {
        Openings { throttle_m2: self.throttle_m2(&self.plate(), plate_rad), ..self.shut(cleaner_m2) }
    }

    /// The same with the plates shut tight.
    pub fn shut(&self, cleaner_m2: f64) -> Openings {
        Openings {
            cleaner_m2,
            flap_above: None,
            throat_m2: self.throat_m2(),
            venturi_loss_m2: self.throat_m2() / self.venturi_loss.sqrt(),
            flap_below: None,
            throttle_m2: 0.0,
        }
    }

    /// What the pair's plates, which are `plate`, leave open at an angle, with their coefficient, m².
    pub fn throttle_m2(&self, plate: &Plate, plate_rad: f64) -> f64 {
        BARRELS * plate.open_area(plate_rad) * self.plate_coefficient
    }

    /// The pair's main jets.
    pub fn main_jets(&self) -> Jet {
        Jet::holes(BARRELS, self.main_jet_m)
    }

    /// Horizontal surface of the pair's wells, m²: how fast the fuel front climbs.
    pub fn well_surface_m2(&self) -> f64 {
        self.refill_m3() / self.lip_m
    }

    /// Refill volume of the pair, m³.
    pub fn refill_m3(&self) -> f64 {
        BARRELS * self.refill_m3
    }
}
