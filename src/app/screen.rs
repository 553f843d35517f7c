//! Which of its screens the window shows.

/// A screen.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Screen {
    /// Benches in motion.
    #[default]
    Benches,
    /// Lessons of the course.
    Lessons,
    /// Two settings across, a finding as colour.
    Map,
    /// The settings that pull fastest without a bog.
    BestSetting,
    /// Laws, sources, checks, and what the model leaves out.
    RestsOn,
}

impl Screen {
    /// Every screen with its name.
    pub const ALL: [(Self, &'static str); 5] = [
        (Self::Benches, "Benches"),
        (Self::Lessons, "Lessons"),
        (Self::Map, "Map"),
        (Self::BestSetting, "Best setting"),
        (Self::RestsOn, "What this rests on"),
    ];
}
