//! The sheet on which a curve is predicted: drawn places with straight lines between them.

use crate::learning::prediction::Sketch;

/// Places of a sheet from left to right; few enough to be set one by one with the keyboard.
pub const PLACES: usize = 25;

/// A drawn curve.
#[derive(Debug, Clone)]
pub struct Sheet {
    from_s: f64,
    to_s: f64,
    least: f64,
    most: f64,
    drawn: [Option<f64>; PLACES],
    held: usize,
}

impl Sheet {
    /// An empty sheet.
    pub fn new(sketch: &Sketch) -> Self {
        let Sketch { from_s, to_s, least, most, .. } = *sketch;
        Self { from_s, to_s, least, most, drawn: [None; PLACES], held: 0 }
    }

    /// Whether there is a curve: one that says more than a single point.
    pub fn is_drawn(&self) -> bool {
        self.drawn.iter().flatten().count() >= 2
    }

    /// Whether nothing is drawn.
    pub fn is_empty(&self) -> bool {
        self.drawn.iter().all(Option::is_none)
    }

    /// The place that the keyboard moves.
    pub fn held(&self) -> usize {
        self.held
    }

    /// Whether this place was drawn, and not only passed by a line.
    pub fn is_set(&self, place: usize) -> bool {
        self.drawn.get(place).is_some_and(Option::is_some)
    }

    /// Draw at a place.
    pub fn draw(&mut self, place: usize, value: f64) {
        if value.is_finite() && place < PLACES {
            self.drawn[place] = Some(value.clamp(self.least.min(self.most), self.most.max(self.least)));
            self.held = place;
        }
    }

    /// Take what is drawn at a place away.
    pub fn rub(&mut self, place: usize) {
        if let Some(drawn) = self.drawn.get_mut(place) {
            *drawn = None;
        }
    }

    /// Hold another place.
    pub fn hold(&mut self, place: usize) {
        self.held = place.min(PLACES - 1);
    }

    /// Take everything away.
    pub fn wipe(&mut self) {
        self.drawn = [None; PLACES];
        self.held = 0;
    }

    /// Times at its edges, s.
    pub fn span_s(&self) -> (f64, f64) {
        (self.from_s, self.to_s)
    }

    /// Values at its lower and upper edge.
    pub fn range(&self) -> (f64, f64) {
        (self.least, self.most)
    }

    /// Time of a place, s.
    pub fn time(&self, place: usize) -> f64 {
        self.from_s + (self.to_s - self.from_s) * place as f64 / (PLACES - 1) as f64
    }

    /// The place nearest to a time.
    pub fn place(&self, time_s: f64) -> usize {
        let share = (time_s - self.from_s) / (self.to_s - self.from_s).max(f64::MIN_POSITIVE);
        (share.clamp(0.0, 1.0) * (PLACES - 1) as f64).round() as usize
    }

    /// Value of the curve at a place: drawn, on a line between drawn ones, level beyond them; the middle of an empty
    /// sheet.
    pub fn value(&self, place: usize) -> f64 {
        let before = (0..=place.min(PLACES - 1)).rev().find_map(|p| Some((p, self.drawn[p]?)));
        let after = (place..PLACES).find_map(|p| Some((p, self.drawn[p]?)));
        match (before, after) {
            (Some((left, a)), Some((right, b))) if right > left => {
                a + (b - a) * (place - left) as f64 / (right - left) as f64
            }
            (Some((_, value)), _) | (None, Some((_, value))) => value,
            (None, None) => 0.5 * (self.least + self.most),
        }
    }

    /// The curve: time and value of each place; nothing of an empty sheet.
    pub fn points(&self) -> Vec<(f64, f64)> {
        if self.is_empty() {
            return Vec::new();
        }
        (0..PLACES).map(|place| (self.time(place), self.value(place))).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sheet() -> Sheet {
        let drawn = [None; PLACES];
        Sheet { from_s: 0.0, to_s: 1.2, least: 0.5, most: 2.0, drawn, held: 0 }
    }

    #[test]
    fn between_drawn_places_the_curve_is_straight_and_beyond_them_level() {
        let mut sheet = sheet();
        sheet.draw(4, 1.0);
        assert!(!sheet.is_drawn(), "one point is no curve");
        sheet.draw(8, 2.0);
        assert!(sheet.is_drawn());
        assert_eq!([0, 4, 6, 8, 24].map(|place| sheet.value(place)), [1.0, 1.0, 1.5, 2.0, 2.0]);
        sheet.rub(8);
        assert_eq!(sheet.value(8), 1.0);
        sheet.wipe();
        assert!(sheet.points().is_empty());
    }

    #[test]
    fn nothing_is_drawn_off_the_sheet() {
        let mut sheet = sheet();
        sheet.draw(0, 9.0);
        sheet.draw(1, f64::NAN);
        sheet.draw(99, 1.0);
        assert_eq!((sheet.value(0), sheet.is_set(1)), (2.0, false));
        assert_eq!([-5.0, 0.6, 9.0].map(|time| sheet.place(time)), [0, 12, 24]);
    }
}
