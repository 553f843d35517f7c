//! Faults of a used carburettor: what one opens, what may be wrong there, and what that does to the settings.
//!
//! The texts and the changes are content. A carburettor that lacks a part does not offer its faults, which its settings
//! decide.

use crate::bench::findings::{Findings, findings};
use crate::bench::idling::{IdleTest, Idling, NoIdle, idling};
use crate::bench::run::{COARSE_S, RunError, run_with};
use crate::bench::scenario::Scenario;
use crate::choice;
use crate::settings::Kind;
use crate::settings::grouped::Grouped;
use crate::solver::hybrid::Control;
use crate::solver::sampling::Random;

choice! {
    /// Something that one opens; each has a drawing.
    pub enum Part {
        /// Face to the manifold.
        Flange = "flange", "Base flange";
        /// Shafts of the throttle plates.
        Shafts = "shafts", "Throttle shafts";
        /// Lid over bowls and wells.
        Lid = "lid", "Lid";
        /// Bowl with its float.
        Bowl = "bowl", "Float bowl";
        /// Main jets.
        Jets = "jets", "Main jets";
        /// Idle air bleed.
        Bleeds = "bleeds", "Idle air bleed";
        /// Enrichment valve.
        Enrichment = "enrichment", "Enrichment valve";
        /// Accelerator pump.
        Pump = "pump", "Accelerator pump";
        /// Diaphragm of the secondaries or of a door's brake.
        Diaphragm = "diaphragm", "Diaphragm";
        /// Air door or valve.
        Door = "door", "Air door";
    }
}

choice! {
    /// How a fault looks.
    pub enum Mark {
        /// A hole that has grown and is rough.
        Eaten = "eaten", "Eaten";
        /// A hole with crust in it.
        Blocked = "blocked", "Blocked";
        /// A face that is no longer flat.
        Bowed = "bowed", "Bowed";
        /// Play in a bearing.
        Worn = "worn", "Worn";
        /// A split.
        Torn = "torn", "Torn";
        /// It does not move.
        Stuck = "stuck", "Stuck";
        /// It hangs too deep.
        Sunk = "sunk", "Sunk";
        /// A valve that does not shut.
        HeldOpen = "held_open", "Held open";
    }
}

choice! {
    /// How much a fault matters.
    pub enum Severity {
        /// One can drive with it.
        Mild = "mild", "Mild";
        /// It spoils how the car runs.
        Spoils = "spoils", "Spoils how it runs";
        /// Do not start the engine.
        Unsafe = "unsafe", "Unsafe: do not start it";
    }
}

/// What one opens, and what to look for.
#[derive(Debug, Clone, PartialEq)]
pub struct Opened {
    /// What.
    pub part: Part,
    /// As shown.
    pub title: String,
    /// Settings, `group.key`, of which a carburettor with this part has one; none: every carburettor has it.
    pub needs: Vec<String>,
    /// How to look.
    pub look: String,
    /// What one sees when all is well.
    pub sound: String,
    /// What one sees when it is not.
    pub faulty: String,
    /// What may hurt somebody; often empty.
    pub caution: String,
}

/// How a setting changes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Turn {
    /// To a value, SI.
    To(f64),
    /// By a factor.
    By(f64),
}

/// One setting that a fault changes.
#[derive(Debug, Clone, PartialEq)]
pub struct Change {
    /// Group in files.
    pub group: String,
    /// Key in files.
    pub key: String,
    /// How.
    pub turn: Turn,
}

impl Change {
    /// Make the change where the setting exists, as far as its range lets it. Whether anything is different now.
    pub fn apply<T: Grouped>(&self, to: &mut T) -> bool {
        let Some(place) = to.place(&self.group, &self.key) else { return false };
        let (Some(setting), Some(before)) = (to.setting(place), to.value(place)) else { return false };
        let wished = match self.turn {
            Turn::To(value) => value,
            Turn::By(factor) => before * factor,
        };
        let value = match setting.kind {
            Kind::Number { least, most, .. } => wished.clamp(least, most),
            Kind::Choice(_) => wished,
        };
        value != before && to.set(place, value).is_ok()
    }
}

/// A fault that can be planted.
#[derive(Debug, Clone, PartialEq)]
pub struct Fault {
    /// Stable key in files.
    pub id: String,
    /// As shown when it is found.
    pub name: String,
    /// Where it shows.
    pub part: Part,
    /// As [`Opened::needs`].
    pub needs: Vec<String>,
    /// How it is drawn.
    pub mark: Mark,
    /// How much it matters.
    pub severity: Severity,
    /// What the eye sees.
    pub eye: String,
    /// How it came about and what it does.
    pub why: String,
    /// What it changes.
    pub changes: Vec<Change>,
}

/// A scenario, and the idle of its car: what faults are planted in.
#[derive(Debug, Clone)]
pub struct Used {
    /// For runs.
    pub scenario: Scenario,
    /// For idle.
    pub idle: IdleTest,
}

impl Used {
    /// Sound.
    pub fn sound(scenario: &Scenario) -> Self {
        Self { scenario: scenario.clone(), idle: IdleTest::of(scenario) }
    }

    /// With faults in it.
    pub fn with(scenario: &Scenario, faults: &[&Fault]) -> Self {
        let mut used = Self::sound(scenario);
        for change in faults.iter().flat_map(|fault| &fault.changes) {
            used.apply(change);
        }
        used
    }

    fn apply(&mut self, change: &Change) -> bool {
        let (runs, idles) = (change.apply(&mut self.scenario), change.apply(&mut self.idle));
        runs || idles
    }

    fn has(&self, needs: &[String]) -> bool {
        let known = |name: &String| {
            let (group, key) = name.split_once('.').unwrap_or((name, ""));
            self.scenario.place(group, key).is_some()
        };
        needs.is_empty() || needs.iter().any(known)
    }
}

/// What comes out of the content: the walk through a used carburettor and the faults.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Faults {
    /// In the order in which one opens them.
    pub opened: Vec<Opened>,
    /// Every fault.
    pub all: Vec<Fault>,
}

impl Faults {
    /// What can be opened on this carburettor, in order.
    pub fn opened(&self, scenario: &Scenario) -> Vec<&Opened> {
        let used = Used::sound(scenario);
        self.opened.iter().filter(|opened| used.has(&opened.needs)).collect()
    }

    /// The faults that this carburettor can have: it has the part, and something would be different.
    pub fn offered(&self, scenario: &Scenario) -> Vec<&Fault> {
        let used = Used::sound(scenario);
        let differs = |fault: &&Fault| {
            let mut tried = used.clone();
            fault.changes.iter().any(|change| tried.apply(change))
        };
        self.all.iter().filter(|fault| used.has(&fault.needs)).filter(differs).collect()
    }

    /// The fault with this id.
    pub fn fault(&self, id: &str) -> Option<&Fault> {
        self.all.iter().find(|fault| fault.id == id)
    }

    /// Up to `count` faults drawn by a seed, always the same for the same scenario and seed. No two of them change one
    /// setting, so that each can be seen and mended by itself.
    pub fn planted(&self, scenario: &Scenario, seed: u64, count: usize) -> Vec<&Fault> {
        let offered = self.offered(scenario);
        let mut planted: Vec<&Fault> = Vec::new();
        for fault in Random::new(seed).order(offered.len()).into_iter().map(|place| offered[place]) {
            let meets = |other: &&Fault| {
                let same = |a: &Change| other.changes.iter().any(|b| (&a.group, &a.key) == (&b.group, &b.key));
                fault.changes.iter().any(same)
            };
            if planted.len() < count && !planted.iter().any(meets) {
                planted.push(fault);
            }
        }
        planted
    }

    /// What is wrong with a used one: one to three faults drawn by its number, no two in one part, so that each can be
    /// seen by itself.
    pub fn at_a_market(&self, scenario: &Scenario, number: u64) -> Vec<&Fault> {
        let count = 1 + (3.0 * Random::new(!number).unit()) as usize;
        let mut found: Vec<&Fault> = Vec::new();
        for fault in self.planted(scenario, number, count) {
            if !found.iter().any(|other| other.part == fault.part) {
                found.push(fault);
            }
        }
        found
    }
}

/// What a carburettor does on the road and at idle.
#[derive(Debug, Clone, PartialEq)]
pub struct Behaviour {
    /// Of the run.
    pub findings: Findings,
    /// Idle, or why there is none.
    pub idle: Result<Idling, NoIdle>,
}

impl Used {
    /// Run it, and let it idle.
    ///
    /// # Errors
    /// As [`run_with`].
    pub fn behaviour(&self) -> Result<Behaviour, RunError> {
        let run = run_with(&self.scenario, COARSE_S, Control::default())?;
        Ok(Behaviour { findings: findings(&self.scenario, &run), idle: idling(&self.idle) })
    }
}
