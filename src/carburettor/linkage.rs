//! From the pedal to the plates.

use crate::carburettor::barrels::Barrels;
use crate::settings;
use crate::settings::Source::CommonPractice;

settings! {
    /// The link from the primary to the secondary shaft.
    pub struct Linkage {
        starts_rad: f64 = 0.698_131_700_797_731_8, Angle[0.0, 1.3], "Secondary starts at", "Turn of the primary shaft at which the secondary plates begin to follow; both are wide open together. With a vacuum diaphragm the link only sets the upper stop.", CommonPractice;
        progression: f64 = 1.0, Number[1.0, 2.5], "Progression", "1: the secondary shaft moves in proportion to what is left of the primary's travel. Above 1: slowly first, quickly at the end.", CommonPractice;
    }
}

impl Linkage {
    /// Share of what is left of the primary travel once the link begins, below 0 before; and its slope.
    fn left_share(&self, primary_travel: f64, primary: &Barrels) -> (f64, f64) {
        let whole = primary.wide_open_rad - primary.closed_rad;
        let start = self.starts_rad.min(0.98 * whole) / whole;
        ((primary_travel - start) / (1.0 - start), 1.0 / (1.0 - start))
    }

    /// Share of the secondary travel, 0 to 1, that the link allows at a share of the primary travel.
    pub fn secondary_travel(&self, primary_travel: f64, primary: &Barrels) -> f64 {
        let share = self.left_share(primary_travel, primary).0.clamp(0.0, 1.0);
        if self.progression == 1.0 { share } else { share.powf(self.progression) }
    }

    /// Its derivative.
    pub fn secondary_slope(&self, primary_travel: f64, primary: &Barrels) -> f64 {
        let (share, slope) = self.left_share(primary_travel, primary);
        if !(0.0..=1.0 + 1e-12).contains(&share) {
            return 0.0;
        }
        self.progression * share.min(1.0).powf(self.progression - 1.0) * slope
    }
}
