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
        let up = drive.force - self.friction;
        let down = -drive.force - self.friction;
        match mode {
            Mode::Held => [-up, -down, drive.upper - place],
            // leaves only when it is pushed and there is somewhere to go
            Mode::AtLower => [-up.min(drive.upper - place), 1.0, 1.0],
            Mode::AtUpper => [drive.force, place - drive.lower, 1.0],
            Mode::Rising => [speed, drive.upper - place, 1.0],
            Mode::Falling => [-speed, place - drive.lower, drive.upper - place],
        }
    }

    /// What follows a guard that has turned negative; place and speed are corrected to the stop or the impact.
    pub fn next(&self, mode: Mode, drive: &Drive, place: &mut f64, speed: &mut f64) -> Mode {
        let meets_upper = *place >= drive.upper && *speed >= drive.upper_speed;
        let meets_lower = *place <= drive.lower && *speed <= 0.0;
        match mode {
            Mode::AtLower | Mode::Held if !(mode == Mode::Held && *place > drive.upper) => self.free(drive, speed),
            Mode::AtUpper if *place > drive.lower => self.free(drive, speed),
            _ if meets_lower || *place <= drive.lower => {
                *place = drive.lower;
                self.bounce(-1.0, 0.0, speed, Mode::AtLower)
            }
            _ if meets_upper || *place >= drive.upper => {
                *place = drive.upper;
                self.bounce(1.0, drive.upper_speed, speed, Mode::AtUpper)
            }
            _ => self.free(drive, speed),
        }
    }

    /// What follows a sudden change of the upper stop's speed: a part that leans on a stop which runs away is free,
    /// one whose stop turns on it goes with it.
    pub fn stop_changed(&self, mode: Mode, drive: &Drive, speed: &mut f64) -> Mode {
        if mode != Mode::AtUpper {
            return mode;
        }
        if drive.upper_speed > *speed && drive.force > self.friction {
            return Mode::Rising;
        }
        *speed = drive.upper_speed;
        mode
    }

    /// At rest between the stops: off in the direction of the force, or held.
    fn free(&self, drive: &Drive, speed: &mut f64) -> Mode {
        *speed = 0.0;
        if drive.force > self.friction {
            Mode::Rising
        } else if drive.force < -self.friction {
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
