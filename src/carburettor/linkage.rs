//! From the pedal to the plates.

use crate::physics::plate::Plate;
use crate::settings;
use crate::settings::Source::CommonPractice;

settings! {
    /// The link from the primary to the secondary shaft.
    pub struct Linkage {
        starts_rad: f64 = 0.698_131_700_797_731_8, Angle[0.0, 1.3], "Secondary starts at", "Turn of the primary plates from closed at which the secondary plates begin to follow; both are wide open together. With a vacuum diaphragm the link only sets the upper stop.", CommonPractice;
        progression: f64 = 1.0, Number[1.0, 2.5], "Progression", "1: the secondary shaft moves in proportion to what is left of the primary's travel. Above 1: slowly first, quickly at the end.", CommonPractice;
    }
}

/// The link of one scenario, between the primary shaft on its idle stop and its wide-open stop.
#[derive(Debug, Clone, Copy)]
pub struct Link {
    /// Share of the primary travel at which it begins.
    start: f64,
    progression: f64,
}

impl Link {
    /// From the settings, the primary plates and their idle stop.
    pub fn new(linkage: &Linkage, primary: &Plate, curb_rad: f64) -> Self {
        let whole = primary.sweep_rad();
        let start = (linkage.starts_rad.min(0.98 * whole) - curb_rad).max(0.0) / (whole - curb_rad);
        Self { start, progression: linkage.progression }
    }

    /// Share of the primary travel at which the secondary plates begin to follow.
    pub fn start(&self) -> f64 {
        self.start
    }

    /// Share of the secondary travel, 0 to 1, that the link allows at a share of the primary travel, and the
    /// derivative of the one with respect to the other.
    pub fn secondary(&self, primary_travel: f64) -> (f64, f64) {
        let slope = 1.0 / (1.0 - self.start);
        let share = (primary_travel - self.start) * slope;
        // the pedal may round past the start or its stop
        if !(-1e-12..=1.0 + 1e-12).contains(&share) {
            return (share.clamp(0.0, 1.0), 0.0);
        }
        let share = share.clamp(0.0, 1.0);
        if self.progression == 1.0 {
            return (share, slope);
        }
        (share.powf(self.progression), self.progression * share.powf(self.progression - 1.0) * slope)
    }
}
