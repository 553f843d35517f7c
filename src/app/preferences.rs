//! What the reader prefers; kept between sessions.

use crate::units::UnitSystem;
use serde::{Deserialize, Serialize};

/// Light, dark, or as the desktop says.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
pub enum Look {
    /// As the desktop says.
    #[default]
    System,
    /// Ink on paper.
    Paper,
    /// Chalk on slate.
    Slate,
}

impl Look {
    /// Every look with its name.
    pub const ALL: [(Self, &'static str); 3] =
        [(Self::System, "As the desktop"), (Self::Paper, "Paper"), (Self::Slate, "Slate")];
}

/// How many labels a drawing carries.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, PartialOrd, Ord, Serialize, Deserialize)]
pub enum LabelDetail {
    /// Only the names that matter most.
    Few,
    /// More where the drawing is large enough.
    #[default]
    Fitting,
    /// Every name.
    All,
}

impl LabelDetail {
    /// Every level with its name.
    pub const ALL: [(Self, &'static str); 3] = [(Self::Few, "Few"), (Self::Fitting, "As they fit"), (Self::All, "All")];
}

/// Smallest and largest text size, share of normal.
pub const TEXT_SIZES: (f32, f32) = (0.8, 2.0);

/// Preferences of the reader.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct Preferences {
    /// Colours.
    pub look: Look,
    /// Units shown and read.
    pub units: UnitSystem,
    /// Text size, share of normal.
    pub text_size: f32,
    /// Stills at the events in place of motion.
    pub reduced_motion: bool,
    /// Labels in the drawings.
    pub labels: LabelDetail,
    /// Whether the settings are shown.
    pub settings_open: bool,
    /// Traces that are shown, by key.
    pub traces: Vec<String>,
    /// Lessons that are done, by stem.
    pub lessons_done: Vec<String>,
    /// Folder of a course of the reader's own; empty for none.
    pub course_folder: String,
    /// Folder with the records of a class; empty for none.
    pub records_folder: String,
}

impl Default for Preferences {
    fn default() -> Self {
        Self {
            look: Look::default(),
            units: UnitSystem::default(),
            text_size: 1.0,
            reduced_motion: false,
            labels: LabelDetail::default(),
            settings_open: true,
            traces: ["plates", "lambda", "torque", "secondary_air", "secondary_fuel", "device"]
                .map(str::to_owned)
                .to_vec(),
            lessons_done: Vec::new(),
            course_folder: String::new(),
            records_folder: String::new(),
        }
    }
}

impl Preferences {
    /// The same with every value inside its bounds: a stored file may hold anything.
    pub fn mended(mut self) -> Self {
        let normal = if self.text_size.is_finite() { self.text_size } else { 1.0 };
        self.text_size = normal.clamp(TEXT_SIZES.0, TEXT_SIZES.1);
        self
    }
}
