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
    /// Heat soak of a carburettor after the engine has stopped.
    HeatSoak,
    /// Lessons of the course.
    Lessons,
    /// A customer's card, what suits the car, and how it is shown.
    Customer,
    /// Laws, sources, checks, and what the model leaves out.
    RestsOn,
}

impl Screen {
    /// Whether it shows benches with settings, findings and drawings.
    pub fn has_benches(self) -> bool {
        matches!(self, Self::Benches | Self::HeatSoak)
    }

    /// Whether families of carburettors stand on its benches, rather than one part.
    pub fn has_family(self) -> bool {
        self != Self::HeatSoak
    }
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
        Self { name: "Parts", screens: &[(Screen::HeatSoak, "Heat soak")] },
        Self { name: "Lessons", screens: &[(Screen::Lessons, "Lessons")] },
        Self { name: "Customer", screens: &[(Screen::Customer, "Customer")] },
        Self { name: "What this rests on", screens: &[(Screen::RestsOn, "What this rests on")] },
    ];

    /// Whether a screen is one of its own.
    pub fn has(&self, screen: Screen) -> bool {
        self.screens.iter().any(|(own, _)| *own == screen)
    }
}
