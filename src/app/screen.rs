//! Which of its screens the window shows.

/// A screen.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Screen {
    /// Benches in motion.
    #[default]
    Benches,
    /// Two settings across, a finding as colour.
    Map,
    /// The settings that pull fastest without a bog.
    BestSetting,
    /// Lessons of the course.
    Lessons,
    /// Laws, sources, checks, and what the model leaves out.
    RestsOn,
}

/// Screens that belong together. The menus show every place, and of the one that is open its screens.
#[derive(Debug)]
pub struct Place {
    /// As shown while another place is open.
    pub name: &'static str,
    /// Its screens with their names; the first one opens with the place.
    pub screens: &'static [(Screen, &'static str)],
}

impl Place {
    /// Every place.
    pub const ALL: &'static [Self] = &[
        Self {
            name: "Benches",
            screens: &[(Screen::Benches, "Benches"), (Screen::Map, "Map"), (Screen::BestSetting, "Best setting")],
        },
        Self { name: "Lessons", screens: &[(Screen::Lessons, "Lessons")] },
        Self { name: "What this rests on", screens: &[(Screen::RestsOn, "What this rests on")] },
    ];

    /// Whether a screen is one of its own.
    pub fn has(&self, screen: Screen) -> bool {
        self.screens.iter().any(|(own, _)| *own == screen)
    }
}
