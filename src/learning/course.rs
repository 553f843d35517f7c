//! Courses and lessons as they are shown.

use crate::choice;
use crate::learning::live::Live;
use crate::learning::prose::Block;

/// A course.
#[derive(Debug, Clone, Default)]
pub struct Course {
    /// Its title.
    pub title: String,
    /// Lessons in their order.
    pub lessons: Vec<Lesson>,
}

choice! {
    /// A bench of one part that a lesson leads to.
    pub enum PartBench {
        /// The idle circuit on its two screws.
        IdleCircuit = "idle_circuit", "Idle circuit";
        /// An accelerator pump by itself.
        AcceleratorPump = "accelerator_pump", "Accelerator pump";
        /// A warm engine parked, and started again.
        HeatSoak = "heat_soak", "Heat soak";
        /// A used carburettor to open.
        UsedCarburettor = "used_carburettor", "Used carburettor";
    }
}

impl PartBench {
    /// As shown.
    pub fn label(self) -> &'static str {
        Self::WORDS[self as usize].label
    }
}

/// A lesson: one file.
#[derive(Debug, Clone)]
pub struct Lesson {
    /// File name without its ending; what links and the course's order name.
    pub stem: String,
    /// As shown.
    pub title: String,
    /// How long it takes in class.
    pub minutes: u32,
    /// Numbers of [`crate::learning::outcomes::OUTCOMES`], in order.
    pub outcomes: Vec<usize>,
    /// Where what it says comes from.
    pub sources: Vec<String>,
    /// Cautions for the lesson as a whole; those of a step stand at the step.
    pub cautions: Vec<String>,
    /// The bench on which one goes on by oneself.
    pub bench: Option<PartBench>,
    /// What it consists of, from top to bottom.
    pub pieces: Vec<Piece>,
}

/// A piece of a lesson.
#[derive(Debug, Clone)]
pub enum Piece {
    /// Text.
    Prose(Vec<Block>),
    /// Care that the next step needs.
    Caution(String),
    /// Something to predict, run and explain.
    Live(Box<Live>),
}

impl Course {
    /// The lesson with this stem.
    pub fn lesson(&self, stem: &str) -> Option<&Lesson> {
        self.lessons.iter().find(|lesson| lesson.stem == stem)
    }
}

impl Lesson {
    /// Its live blocks.
    pub fn live(&self) -> impl Iterator<Item = &Live> {
        self.pieces.iter().filter_map(|piece| match piece {
            Piece::Live(live) => Some(live.as_ref()),
            _ => None,
        })
    }
}
