//! Open area and edge position of a round plate on a shaft in a round bore.

use std::f64::consts::PI;

/// A throttle plate and its bore.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Plate {
    /// Bore, m.
    pub bore_m: f64,
    /// Shaft diameter over bore.
    pub shaft_ratio: f64,
    /// Angle at which the plate closes the bore, from the plane across the bore, rad.
    pub closed_rad: f64,
    /// Angle at the wide-open stop, rad.
    pub wide_open_rad: f64,
}

impl Plate {
    /// Open area at `angle_rad` from the plane across the bore, m²: the bore less the projected ellipse and less
    /// what the shaft covers beyond it. Heywood (1988) equation 7.18 in layout; the signs are those of the geometry,
    /// which the widely copied transcription has wrong in two terms.
    pub fn open_area(&self, angle_rad: f64) -> f64 {
        let a = self.shaft_ratio;
        let c = angle_rad.clamp(self.closed_rad, PI / 2.0).cos() / self.closed_rad.cos();
        let shaft = a * (1.0 - a * a).sqrt() + a.asin();
        let share = if a < c {
            let b = a / c;
            1.0 - c + 2.0 / PI * (a * (1.0 - b * b).sqrt() + c * b.asin() - shaft)
        } else {
            1.0 - 2.0 / PI * shaft
        };
        share.max(0.0) * PI / 4.0 * self.bore_m * self.bore_m
    }

    /// Angle at a share of the travel from closed (0) to wide open (1), rad.
    pub fn angle(&self, travel: f64) -> f64 {
        self.angle_from_stop(0.0, travel)
    }

    /// The same for plates that a stop keeps `curb_rad` from closed.
    pub fn angle_from_stop(&self, curb_rad: f64, travel: f64) -> f64 {
        let rest = self.closed_rad + curb_rad;
        rest + (self.wide_open_rad - rest) * travel
    }

    /// Height of the plate's edge above its closed position, m; the edge that sweeps past the transfer slot.
    pub fn edge_rise(&self, angle_rad: f64) -> f64 {
        self.bore_m / 2.0 * (angle_rad.sin() - self.closed_rad.sin()) / self.closed_rad.cos()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn area_grows_from_nothing_to_bore_less_shaft() {
        let plate = Plate { bore_m: 0.0429, shaft_ratio: 0.2, closed_rad: 8f64.to_radians(), wide_open_rad: 1.5 };
        assert_eq!(plate.open_area(plate.closed_rad), 0.0);
        let mut last = 0.0;
        for step in 1..=100 {
            let area = plate.open_area(plate.angle(f64::from(step) / 100.0));
            assert!(area >= last, "area falls at step {step}");
            last = area;
        }
        let bore = PI / 4.0 * plate.bore_m * plate.bore_m;
        assert!((last / bore - 0.748).abs() < 5e-3);
    }
}
