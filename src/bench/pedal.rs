//! What the foot does.

use crate::settings;
use crate::settings::Source::Invented;

settings! {
    /// Rest, stab, and perhaps a lift and a second stab.
    pub struct Pedal {
        rest: f64 = 0.08, Fraction[0.0, 0.9], "Pedal before", "Pedal travel while cruising.", Invented;
        floor: f64 = 1.0, Fraction[0.05, 1.0], "Pedal after", "Pedal travel when floored.", Invented;
        begin_s: f64 = 0.25, Duration[0.05, 2.0], "Stab begins at", "Time at which the pedal begins to move.", Invented;
        stab_s: f64 = 0.12, ShortTime[0.02, 2.0], "Stab takes", "Time from rest to floored.", Invented;
        hold_s: f64 = 0.0, Duration[0.0, 5.0], "Lift again after", "Time on the floor before the foot lifts for a second stab; 0: it stays down.", Invented;
        off_s: f64 = 0.3, Duration[0.05, 3.0], "Off for", "Time at rest before the second stab.", Invented;
        length_s: f64 = 2.5, Duration[0.5, 8.0], "Length of the run", "Time over which the run is followed.", Invented;
    }
}

impl Pedal {
    /// Times at which the pedal changes speed, with its place there; straight between them.
    pub fn corners(&self) -> Vec<(f64, f64)> {
        let mut corners = vec![(0.0, self.rest), (self.begin_s, self.rest)];
        let mut time = self.begin_s + self.stab_s;
        corners.push((time, self.floor));
        if self.hold_s > 0.0 {
            time += self.hold_s;
            corners.push((time, self.floor));
            time += self.stab_s;
            corners.push((time, self.rest));
            time += self.off_s;
            corners.push((time, self.rest));
            time += self.stab_s;
            corners.push((time, self.floor));
        }
        let end = self.end_s();
        let kept = corners.partition_point(|corner| corner.0 < end);
        let (from, to) = (corners[kept - 1], corners.get(kept).copied().unwrap_or((end, corners[kept - 1].1)));
        let share = (end - from.0) / (to.0 - from.0);
        corners.truncate(kept);
        corners.push((end, from.1 + share * (to.1 - from.1)));
        corners
    }

    /// The same with a corner wherever the pedal passes `place`: what follows it from there on starts with a jerk.
    pub fn corners_with(&self, place: f64) -> Vec<(f64, f64)> {
        let mut all = Vec::new();
        for pair in self.corners().windows(2) {
            let ((t0, p0), (t1, p1)) = (pair[0], pair[1]);
            all.push(pair[0]);
            let share = (place - p0) / (p1 - p0);
            // a crumb of a piece beside a corner would be no piece
            if (1e-6..1.0 - 1e-6).contains(&share) {
                all.push((t0 + share * (t1 - t0), place));
            }
        }
        all.extend(self.corners().last());
        all
    }

    /// End of the run, s: its set length, or a little after the stab if that is later.
    pub fn end_s(&self) -> f64 {
        self.length_s.max(self.begin_s + self.stab_s + 0.1)
    }
}
