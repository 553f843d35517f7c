//! What the foot and the road ask: the strokes that a use brings, and where the pedal stands before each.

use crate::advice::recommend::car::Car;
use crate::bench::pedal::Pedal;
use crate::bench::run::{RunError, run_with};
use crate::bench::scenario::Scenario;
use crate::bench::trace::Sample;
use crate::engine::load::LoadKind;
use crate::physics::GRAVITY;
use crate::solver::hybrid::Control;
use crate::solver::root;
use crate::units::RPM;

/// A stroke that a use brings.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stroke {
    /// Stable key in files.
    pub id: &'static str,
    /// As it stands in a sentence: "Floored …".
    pub phrase: &'static str,
    /// First, middle or top gear.
    gear: usize,
    from: From,
    grade: f64,
    trailer: bool,
    stab_s: f64,
}

/// Speed before the pedal moves.
#[derive(Debug, Clone, Copy, PartialEq)]
enum From {
    /// Of the engine, rpm.
    Engine(f64),
    /// Of the car, m/s.
    Road(f64),
}

/// Every stroke. Speeds, grade and times are common practice and from memory: what drivers do, not what a standard says.
pub const STROKES: &[Stroke] = &[
    Stroke {
        id: "town",
        phrase: "at low speed in a middle gear",
        gear: 1,
        from: From::Engine(1400.0),
        grade: 0.0,
        trailer: false,
        stab_s: 0.12,
    },
    Stroke {
        id: "roll_on",
        phrase: "from 80 km/h in top gear",
        gear: 2,
        from: From::Road(80.0 / 3.6),
        grade: 0.0,
        trailer: false,
        stab_s: 0.15,
    },
    Stroke {
        id: "launch",
        phrase: "just after the start in first gear",
        gear: 0,
        from: From::Engine(1800.0),
        grade: 0.0,
        trailer: false,
        stab_s: 0.08,
    },
    Stroke {
        id: "hill",
        phrase: "on a six per cent hill with all it tows",
        gear: 1,
        from: From::Engine(1700.0),
        grade: 0.06,
        trailer: true,
        stab_s: 0.2,
    },
];

/// Steady driving at which fuel is compared: 90 km/h on a level road in top gear.
pub const CRUISE: Stroke = Stroke {
    id: "cruise",
    phrase: "steady at 90 km/h in top gear",
    gear: 2,
    from: From::Road(25.0),
    grade: 0.0,
    trailer: false,
    stab_s: 0.12,
};

/// Length of a run, s: two seconds after the pedal begins to move, and a little.
const LENGTH_S: f64 = 2.3;
/// Slowest engine speed at which a pedal is floored, and the fastest as a share of the top-end speed.
const SLOWEST_RPM: f64 = 1000.0;
const FASTEST_SHARE: f64 = 0.8;

/// Pedal travels between which the place before a stroke is sought: beyond the second the secondary barrels could be
/// at work.
const PEDAL: (f64, f64) = (0.005, 0.45);

impl Stroke {
    /// The car at this stroke, the pedal at `rest` before.
    pub fn put_into(&self, scenario: &mut Scenario, car: &Car, rest: f64) {
        scenario.load.gear = car.gears[self.gear];
        if self.trailer {
            scenario.load.mass_kg = (scenario.load.mass_kg + car.trailer_kg).min(6000.0);
        }
        let speed = match self.from {
            From::Engine(rpm) => RPM.to_si(rpm),
            From::Road(speed) => speed * scenario.load.turns_per_metre(),
        };
        scenario.load.start_rad_per_s = speed.clamp(RPM.to_si(SLOWEST_RPM), FASTEST_SHARE * car.top_rad_per_s());
        scenario.pedal = Pedal { rest, stab_s: self.stab_s, length_s: LENGTH_S, ..Pedal::default() };
    }

    /// Pedal at which the car keeps its speed on this road with this carburettor, to a tolerance; the widest pedal that
    /// surely leaves the other barrels shut where more would be needed.
    ///
    /// # Errors
    /// As [`run_with`].
    pub fn rest(&self, carburettor: &Scenario, car: &Car, tolerance: f64) -> Result<f64, RunError> {
        let mut failed = None;
        let rest = root::bracketed(PEDAL.0, PEDAL.1, tolerance, |pedal| match self.steady(carburettor, car, pedal) {
            Ok((sample, needed)) => sample.torque_nm - needed,
            Err(error) => {
                failed = Some(error);
                0.0
            }
        });
        failed.map_or(Ok(rest), Err)
    }

    /// Steady running before this stroke at a pedal, and the torque that the road asks for, N m.
    ///
    /// # Errors
    /// As [`run_with`].
    pub fn steady(&self, carburettor: &Scenario, car: &Car, pedal: f64) -> Result<(Sample, f64), RunError> {
        let mut scenario = carburettor.clone();
        self.put_into(&mut scenario, car, pedal);
        let load = &scenario.load;
        let speed = load.start_rad_per_s / load.turns_per_metre();
        let force = load.road_force(speed, scenario.ambient.air().density()) + load.mass_kg * GRAVITY * self.grade;
        let needed = force / load.turns_per_metre();
        scenario.load.kind = LoadKind::Dynamometer;
        // the shortest run there is: only its first instant counts, and that has settled before the run begins
        scenario.pedal = Pedal { rest: pedal, floor: pedal.max(0.05), begin_s: 0.4, length_s: 0.5, ..Pedal::default() };
        let run = run_with(&scenario, 0.25, Control::default())?;
        Ok((run.trace.at(0.0), needed))
    }

    /// Speed of the car before this stroke, m/s.
    pub fn speed(&self, carburettor: &Scenario, car: &Car) -> f64 {
        let mut scenario = carburettor.clone();
        self.put_into(&mut scenario, car, PEDAL.0);
        scenario.load.start_rad_per_s / scenario.load.turns_per_metre()
    }
}
