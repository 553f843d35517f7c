//! Courses and lessons as they are shown.

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
