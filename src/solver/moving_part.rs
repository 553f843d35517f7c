//! A part with inertia and dry friction between two stops, one of which may itself move.
//!
//! Rest, sliding either way and leaning on a stop are separate modes. Within a mode the motion is smooth; a guard
//! that turns negative ends the mode, and [`MovingPart::next`] says what follows. Nothing is a stiff penalty.

/// What the part is doing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Mode {
    /// Held between the stops by dry friction.
    Held,
    /// Leaning on the lower stop.
    AtLower,
    /// Leaning on the upper stop, and going where that goes.
    AtUpper,
    /// Moving up.
    Rising,
    /// Moving down.
    Falling,
}

/// A part; turning or sliding, in consistent SI units.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MovingPart {
    /// Mass (kg) or moment of inertia (kg m²).
    pub inertia: f64,
    /// Dry friction, N or N m.
    pub friction: f64,
    /// Share of its speed with which it leaves a stop that it hits.
    pub restitution: f64,
    /// Speed under which it does not bounce but stays, m/s or rad/s.
    pub settle_speed: f64,
}

/// Dry friction at rest over dry friction in motion; from memory, lubricated metal. Without a difference a part that
/// is driven slowly would start and stop thousands of times a second.
const STICTION: f64 = 1.1;

/// What acts on a part at one instant.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Drive {
    /// Everything but dry friction and stops, N or N m, positive upward.
    pub force: f64,
    /// Lower stop.
    pub lower: f64,
    /// Upper stop.
    pub upper: f64,
    /// Speed of the upper stop.
    pub upper_speed: f64,
}

/// Guards of one part.
pub const GUARDS: usize = 3;

impl MovingPart {
    /// Rates of position and speed.
    pub fn rates(&self, mode: Mode, drive: &Drive, speed: f64) -> (f64, f64) {
        match mode {
            Mode::Held | Mode::AtLower => (0.0, 0.0),
            Mode::AtUpper => (drive.upper_speed, 0.0),
            Mode::Rising => (speed, (drive.force - self.friction) / self.inertia),
            Mode::Falling => (speed, (drive.force + self.friction) / self.inertia),
        }
    }

    /// Not negative as long as the mode lasts.
    pub fn guards(&self, mode: Mode, drive: &Drive, place: f64, speed: f64) -> [f64; GUARDS] {
        let holds = STICTION * self.friction;
        match mode {
            Mode::Held => [holds - drive.force, holds + drive.force, drive.upper - place],
            // leaves only when it is pushed and there is somewhere to go
            Mode::AtLower => [(holds - drive.force).max(place - drive.upper), 1.0, 1.0],
            // the push between part and stop; friction acts against the motion of both
            Mode::AtUpper if drive.upper_speed > 0.0 => [drive.force - self.friction, place - drive.lower, 1.0],
            Mode::AtUpper if drive.upper_speed < 0.0 => [drive.force + self.friction, place - drive.lower, 1.0],
            Mode::AtUpper => [drive.force + holds, place - drive.lower, 1.0],
            Mode::Rising => [speed, drive.upper - place, 1.0],
            Mode::Falling => [-speed, place - drive.lower, drive.upper - place],
        }
    }

    /// What follows a guard that has turned negative; place and speed are corrected to the stop or the impact.
    pub fn next(&self, mode: Mode, drive: &Drive, place: &mut f64, speed: &mut f64) -> Mode {
        match mode {
            Mode::AtLower => self.free(drive, speed),
            Mode::Held if *place <= drive.upper => self.free(drive, speed),
            Mode::AtUpper if *place > drive.lower => {
                *speed = drive.upper_speed;
                if drive.upper_speed > 0.0 { Mode::Rising } else { Mode::Falling }
            }
            // between two stops that meet there is nowhere to go
            _ if *place <= drive.lower && drive.upper <= drive.lower => {
                (*place, *speed) = (drive.lower, 0.0);
                Mode::AtLower
            }
            _ if *place <= drive.lower => {
                *place = drive.lower;
                self.bounce(-1.0, 0.0, speed, Mode::AtLower)
            }
            _ if *place >= drive.upper => {
                *place = drive.upper;
                self.bounce(1.0, drive.upper_speed, speed, Mode::AtUpper)
            }
            _ => self.free(drive, speed),
        }
    }

    /// What follows a sudden change of the upper stop's speed: a part whose stop runs away keeps its own, one whose
    /// stop turns on it goes with it.
    pub fn stop_changed(&self, mode: Mode, drive: &Drive, speed: &mut f64) -> Mode {
        if mode != Mode::AtUpper {
            return mode;
        }
        if drive.upper_speed <= *speed {
            *speed = drive.upper_speed;
            return mode;
        }
        if *speed > 0.0 {
            Mode::Rising
        } else if *speed < 0.0 {
            Mode::Falling
        } else {
            self.free(drive, speed)
        }
    }

    /// At rest between the stops: off in the direction of the force, or held.
    fn free(&self, drive: &Drive, speed: &mut f64) -> Mode {
        *speed = 0.0;
        if drive.force > STICTION * self.friction {
            Mode::Rising
        } else if drive.force < -STICTION * self.friction {
            Mode::Falling
        } else {
            Mode::Held
        }
    }

    fn bounce(&self, side: f64, stop_speed: f64, speed: &mut f64, leaning: Mode) -> Mode {
        let closing = side * (*speed - stop_speed);
        if closing <= self.settle_speed {
            *speed = stop_speed;
            return leaning;
        }
        *speed = stop_speed - side * self.restitution * closing;
        if *speed > 0.0 { Mode::Rising } else { Mode::Falling }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const PART: MovingPart = MovingPart { inertia: 1e-5, friction: 1e-3, restitution: 0.25, settle_speed: 0.4 };

    fn drive(force: f64) -> Drive {
        Drive { force, lower: 0.0, upper: 1.0, upper_speed: 0.0 }
    }

    #[test]
    fn friction_holds_until_it_is_overcome() {
        let held = PART.guards(Mode::Held, &drive(0.9e-3), 0.5, 0.0);
        assert!(held.iter().all(|guard| *guard >= 0.0));
        let pushed = PART.guards(Mode::Held, &drive(1.2e-3), 0.5, 0.0);
        assert!(pushed[0] < 0.0);
        assert_eq!(PART.next(Mode::Held, &drive(1.2e-3), &mut 0.5, &mut 0.0), Mode::Rising);
    }

    #[test]
    fn a_hard_landing_bounces_and_a_soft_one_stays() {
        let (mut place, mut speed) = (1.001, 8.0);
        assert_eq!(PART.next(Mode::Rising, &drive(0.0), &mut place, &mut speed), Mode::Falling);
        assert_eq!((place, speed), (1.0, -2.0));
        let mut soft = 0.3;
        assert_eq!(PART.next(Mode::Rising, &drive(0.0), &mut place, &mut soft), Mode::AtUpper);
        assert_eq!(soft, 0.0);
    }

    #[test]
    fn a_descending_stop_takes_the_part_along() {
        let pushing = Drive { upper_speed: -0.5, ..drive(-0.5e-3) };
        let guards = PART.guards(Mode::AtUpper, &pushing, 0.6, -0.5);
        assert!(guards.iter().all(|guard| *guard >= 0.0), "friction keeps it on the stop");
        assert_eq!(PART.rates(Mode::AtUpper, &pushing, -0.5), (-0.5, 0.0));
    }
}
