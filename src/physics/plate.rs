//! Open area and edge position of a round plate on a shaft in a round bore.

use std::f64::consts::PI;

/// A throttle plate and its bore, with what does not change as it turns.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Plate {
    bore_m: f64,
    shaft_ratio: f64,
    closed_rad: f64,
    wide_open_rad: f64,
    closed_cos: f64,
    closed_sin: f64,
    /// a √(1 − a²) + asin a: what the shaft covers, in units of bore² / 2.
    shaft: f64,
}

impl Plate {
    /// From bore (m), shaft diameter over bore, and the angles from the plane across the bore at which the plate
    /// closes it and at which it meets its wide-open stop (rad).
    pub fn new(bore_m: f64, shaft_ratio: f64, closed_rad: f64, wide_open_rad: f64) -> Self {
        let a = shaft_ratio;
        let (closed_sin, closed_cos) = closed_rad.sin_cos();
        let shaft = a * (1.0 - a * a).sqrt() + a.asin();
        Self { bore_m, shaft_ratio, closed_rad, wide_open_rad, closed_cos, closed_sin, shaft }
    }

    /// Area of the empty bore, m².
    pub fn bore_m2(&self) -> f64 {
        PI / 4.0 * self.bore_m * self.bore_m
    }

    /// Turn from closed to wide open, rad.
    pub fn sweep_rad(&self) -> f64 {
        self.wide_open_rad - self.closed_rad
    }

    /// Open area at `angle_rad` from the plane across the bore, m²: the bore less the projected ellipse and less
    /// what the shaft covers beyond it. Heywood (1988) equation 7.18 in layout; the signs are those of the geometry,
    /// which the widely copied transcription has wrong in two terms.
    pub fn open_area(&self, angle_rad: f64) -> f64 {
        let a = self.shaft_ratio;
        let c = angle_rad.clamp(self.closed_rad, PI / 2.0).cos() / self.closed_cos;
        let share = if a < c {
            let b = a / c;
            1.0 - c + 2.0 / PI * (a * (1.0 - b * b).sqrt() + c * b.asin() - self.shaft)
        } else {
            1.0 - 2.0 / PI * self.shaft
        };
        share.max(0.0) * self.bore_m2()
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
        self.bore_m / 2.0 * (angle_rad.sin() - self.closed_sin) / self.closed_cos
    }

    /// The angle at which the edge stands so far above its closed position; `None` when no angle lifts it so far.
    pub fn angle_of_rise(&self, rise_m: f64) -> Option<f64> {
        let sin = self.closed_sin + 2.0 * rise_m / self.bore_m * self.closed_cos;
        (rise_m >= 0.0 && sin <= 1.0).then(|| sin.asin())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn area_grows_from_nothing_to_bore_less_shaft() {
        let plate = Plate::new(0.0429, 0.2, 8f64.to_radians(), 1.5);
        assert_eq!(plate.open_area(plate.closed_rad), 0.0);
        let mut last = 0.0;
        for step in 1..=100 {
            let area = plate.open_area(plate.angle(f64::from(step) / 100.0));
            assert!(area >= last, "area falls at step {step}");
            last = area;
        }
        assert!((last / plate.bore_m2() - 0.748).abs() < 5e-3);
    }

    #[test]
    fn an_angle_and_the_rise_of_its_edge_say_the_same() {
        let plate = Plate::new(0.0429, 0.2, 8f64.to_radians(), 1.5);
        for angle in [plate.closed_rad, 0.2, 0.5, 1.2] {
            let again = plate.angle_of_rise(plate.edge_rise(angle)).expect("within the bore");
            assert!((again - angle).abs() < 1e-12, "{again} {angle}");
        }
        assert_eq!(plate.angle_of_rise(0.03), None, "more than the plate's half");
    }
}
