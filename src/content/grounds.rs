//! What the model rests on: its laws with their sources, what each was held against, and what is left out.
//!
//! The laws, what is left out and where the model and the trade's belief differ are written by hand. The checks are
//! written by the reference test from what it found, so that the window, the command and the README say what the
//! tests say.

use crate::content::problem::{Problem, Problems};
use serde::Deserialize;
use serde::de::DeserializeOwned;

/// Largest difference between ours and a reference that has been changed by this share and still passes: what a row
/// must be tighter than to see an error of one per cent.
const ONE_PERCENT: f64 = 0.01;

/// Whether the figures of a second program, written from the stated equations alone, are kept beside the tests.
pub const SECOND_OPINION: bool = matches!(env!("SECOND_OPINION").as_bytes(), b"yes");

/// Part of the model that a law belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Room {
    /// Air on its way in.
    Air,
    /// Fuel in the carburettor, and on the wall.
    Fuel,
    /// What draws and burns it.
    Engine,
    /// Doors, weights, springs, diaphragms, links.
    MovingParts,
    /// Heat soak.
    Heat,
    /// Units at the edge.
    Units,
}

impl Room {
    /// Every room, in order.
    pub const ALL: [Self; 6] = [Self::Air, Self::Fuel, Self::Engine, Self::MovingParts, Self::Heat, Self::Units];

    /// As shown.
    pub const fn label(self) -> &'static str {
        match self {
            Self::Air => "Air",
            Self::Fuel => "Fuel",
            Self::Engine => "Engine",
            Self::MovingParts => "Moving parts",
            Self::Heat => "Heat",
            Self::Units => "Units",
        }
    }
}

/// How far a law's source can be trusted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Confidence {
    /// Standard, report, paper or a library that others keep.
    Published,
    /// What every textbook has.
    Textbook,
    /// Derived here from first principles.
    OwnDerivation,
    /// What everybody in the trade repeats; no source.
    CommonPractice,
    /// Recalled.
    FromMemory,
}

impl Confidence {
    /// As shown.
    pub const fn label(self) -> &'static str {
        match self {
            Self::Published => "published",
            Self::Textbook => "textbook",
            Self::OwnDerivation => "own derivation",
            Self::CommonPractice => "common practice, no source",
            Self::FromMemory => "from memory",
        }
    }
}

/// How a reference value came about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Origin {
    /// A figure printed in a named source.
    Published,
    /// Computed by a library that others keep.
    Library,
    /// The same equation by another's integrator, quadrature or root finder.
    Numeric,
    /// The stated equation evaluated once.
    Arithmetic,
}

impl Origin {
    /// Every origin, best first.
    pub const ALL: [Self; 4] = [Self::Published, Self::Library, Self::Numeric, Self::Arithmetic];

    /// As shown.
    pub const fn label(self) -> &'static str {
        match self {
            Self::Published => "published figure",
            Self::Library => "library",
            Self::Numeric => "another's numerics",
            Self::Arithmetic => "arithmetic",
        }
    }

    /// Whether such a check can contradict more than a slip of the pen.
    pub const fn independent(self) -> bool {
        !matches!(self, Self::Arithmetic)
    }
}

/// One law of the model, without its checks.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
struct LawLine {
    law: String,
    room: Room,
    title: String,
    words: String,
    equation: String,
    source: String,
    confidence: Confidence,
    leaves_out: String,
    unseen: String,
}

/// One law of the model.
#[derive(Debug, Clone)]
pub struct Law {
    /// Name in the code, which rows of the reference test use.
    pub id: String,
    /// Where it belongs.
    pub room: Room,
    /// As a heading.
    pub title: String,
    /// In plain words.
    pub words: String,
    /// The equation, or where it stands.
    pub equation: String,
    /// Where it comes from.
    pub source: String,
    /// How far that can be trusted.
    pub confidence: Confidence,
    /// What it leaves out; may be empty.
    pub leaves_out: String,
    /// Why no independent check sees 1 %; empty where one does.
    pub unseen: String,
    /// What it was held against, best first.
    pub checks: Vec<Check>,
}

impl Law {
    /// Whether something other than our own arithmetic was held against it.
    pub fn independent(&self) -> bool {
        self.checks.iter().any(|check| check.origin.independent())
    }

    /// Whether an independent check would notice an error of 1 % either way.
    pub fn sees_one_percent(&self) -> bool {
        self.checks.iter().any(|check| check.origin.independent() && check.sees_one_percent())
    }

    /// The check that comes nearest to its limit.
    pub fn worst(&self) -> Option<&Check> {
        nearest_to_limit(&self.checks)
    }

    /// Whether every word of a search stands somewhere in what is said of it, whatever its case.
    pub fn matches(&self, search: &str) -> bool {
        let text = format!(
            "{} {} {} {} {} {} {} {} {} {}",
            self.id,
            self.title,
            self.words,
            self.equation,
            self.source,
            self.leaves_out,
            self.unseen,
            self.room.label(),
            self.confidence.label(),
            self.checks.iter().map(|check| format!("{} {} ", check.id, check.source)).collect::<String>()
        )
        .to_lowercase();
        search.to_lowercase().split_whitespace().all(|word| text.contains(word))
    }
}

/// Ours against one reference value.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Check {
    /// Line of the reference table.
    pub id: String,
    /// Law that it goes through.
    pub law: String,
    /// What was computed, with its inputs.
    pub quantity: String,
    /// What our law gives.
    pub ours: f64,
    /// What it was held against.
    pub reference: f64,
    /// Of both; empty for a number.
    pub unit: String,
    /// Ours over reference, less one.
    pub difference: f64,
    /// Largest difference accepted either way.
    pub tolerance: f64,
    /// How the reference came about.
    pub origin: Origin,
    /// Where it came from.
    pub source: String,
    /// Why this tolerance.
    pub reason: String,
    /// Whether it agreed.
    pub agrees: bool,
}

impl Check {
    /// Difference over what is allowed.
    pub fn share_of_limit(&self) -> f64 {
        self.difference.abs() / self.tolerance
    }

    /// Whether a law that is 1 % too high, and one that is 1 % too low, would fail here.
    pub fn sees_one_percent(&self) -> bool {
        let off = |factor: f64| ((1.0 + self.difference) * factor - 1.0).abs() > self.tolerance;
        off(1.0 + ONE_PERCENT) && off(1.0 - ONE_PERCENT)
    }
}

/// Something that the model does not have.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LeftOut {
    /// Where it would belong.
    pub room: Room,
    /// What is missing.
    pub what: String,
    /// What that means.
    pub effect: String,
}

/// Where the model and what the trade believes differ.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Belief {
    /// What is believed.
    pub belief: String,
    /// What the model shows.
    pub model: String,
}

/// Everything that the model rests on.
#[derive(Debug, Clone)]
pub struct Grounds {
    /// Every law, room by room.
    pub laws: Vec<Law>,
    /// What is missing, room by room.
    pub left_out: Vec<LeftOut>,
    /// Where model and belief differ.
    pub beliefs: Vec<Belief>,
}

/// Numbers that sum it up.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Summary {
    /// Laws.
    pub laws: usize,
    /// Checks, by origin in the order of [`Origin::ALL`].
    pub checks: [usize; 4],
    /// Checks that did not agree.
    pub failing: usize,
    /// Laws that an independent check watches to 1 %.
    pub watched: usize,
    /// Laws with an independent check that is coarser than that.
    pub coarse: usize,
    /// Laws with no independent check.
    pub unchecked: usize,
}

impl Summary {
    /// All checks.
    pub fn all_checks(&self) -> usize {
        self.checks.iter().sum()
    }
}

impl Grounds {
    /// What is embedded in the program.
    ///
    /// # Errors
    /// Every problem of the files; a test reads them.
    pub fn shipped() -> Result<Self, Problems> {
        Self::parse(
            include_str!("../../content/grounds/laws.csv"),
            include_str!("../../content/grounds/checks.csv"),
            include_str!("../../content/grounds/left_out.csv"),
            include_str!("../../content/grounds/beliefs.csv"),
        )
    }

    /// From the text of the four files.
    ///
    /// # Errors
    /// Every problem of the files.
    pub fn parse(laws: &str, checks: &str, left_out: &str, beliefs: &str) -> Result<Self, Problems> {
        let mut problems = Vec::new();
        let lines: Vec<(usize, LawLine)> = read(laws, "laws.csv", &mut problems);
        let checks: Vec<(usize, Check)> = read(checks, "checks.csv", &mut problems);
        let mut left_out: Vec<LeftOut> = rows(read(left_out, "left_out.csv", &mut problems));
        let beliefs = rows(read(beliefs, "beliefs.csv", &mut problems));
        let mut laws: Vec<Law> = Vec::with_capacity(lines.len());
        for (line, law) in lines {
            if laws.iter().any(|other| other.id == law.law) {
                problems.push(problem("laws.csv", line, format!("{} stands twice", law.law), "keep one of them"));
            }
            laws.push(Law {
                id: law.law,
                room: law.room,
                title: law.title,
                words: law.words,
                equation: law.equation,
                source: law.source,
                confidence: law.confidence,
                leaves_out: law.leaves_out,
                unseen: law.unseen,
                checks: Vec::new(),
            });
        }
        for (line, check) in checks {
            match laws.iter_mut().find(|law| law.id == check.law) {
                Some(law) => law.checks.push(check),
                None => {
                    let message = format!("there is no law {}", check.law);
                    problems.push(problem("checks.csv", line, message, "add it to laws.csv"));
                }
            }
        }
        laws.sort_by_key(|law| law.room);
        left_out.sort_by_key(|left| left.room);
        if problems.is_empty() { Ok(Self { laws, left_out, beliefs }) } else { Err(Problems(problems)) }
    }

    /// The numbers.
    pub fn summary(&self) -> Summary {
        let checks = || self.laws.iter().flat_map(|law| &law.checks);
        let watched = self.laws.iter().filter(|law| law.sees_one_percent()).count();
        let independent = self.laws.iter().filter(|law| law.independent()).count();
        Summary {
            laws: self.laws.len(),
            checks: Origin::ALL.map(|origin| checks().filter(|check| check.origin == origin).count()),
            failing: checks().filter(|check| !check.agrees).count(),
            watched,
            coarse: independent - watched,
            unchecked: self.laws.len() - independent,
        }
    }

    /// The check of all that comes nearest to its limit.
    pub fn worst(&self) -> Option<&Check> {
        self.laws.iter().filter_map(Law::worst).max_by(|a, b| a.share_of_limit().total_cmp(&b.share_of_limit()))
    }
}

fn nearest_to_limit(checks: &[Check]) -> Option<&Check> {
    checks.iter().max_by(|a, b| a.share_of_limit().total_cmp(&b.share_of_limit()))
}

fn problem(file: &str, line: usize, message: String, mend: &str) -> Problem {
    Problem { file: file.to_owned(), line, key: String::new(), message, mend: mend.to_owned() }
}

fn rows<T>(lines: Vec<(usize, T)>) -> Vec<T> {
    lines.into_iter().map(|(_, row)| row).collect()
}

fn read<T: DeserializeOwned>(text: &str, file: &str, problems: &mut Vec<Problem>) -> Vec<(usize, T)> {
    let mut good = Vec::new();
    for (index, row) in csv::Reader::from_reader(text.as_bytes()).deserialize::<T>().enumerate() {
        match row {
            Ok(row) => good.push((index + 2, row)),
            Err(error) => {
                let line = error.position().map_or(index + 2, |position| position.line() as usize);
                problems.push(problem(file, line, error.to_string(), "compare the line with its neighbours"));
            }
        }
    }
    good
}
