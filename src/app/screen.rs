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
    /// Idle and transfer circuit on its two screws.
    IdleCircuit,
    /// Accelerator pump by itself.
    AcceleratorPump,
    /// A used carburettor with planted faults.
    UsedCarburettor,
    /// Lessons of the course.
    Lessons,
    /// Questions to be answered.
    Questions,
    /// What a class answered, and what to teach again.
    Desk,
    /// A customer's card, what suits the car, and how it is shown.
    Customer,
    /// Laws, sources, checks, and what the model leaves out.
    RestsOn,
}

impl Screen {
    /// Whether it shows benches with settings, findings and drawings.
    pub fn has_benches(self) -> bool {
        matches!(self, Self::Benches | Self::HeatSoak | Self::IdleCircuit | Self::AcceleratorPump)
    }

    /// Whether families of carburettors stand on its benches, rather than one part.
    pub fn has_family(self) -> bool {
        !matches!(self, Self::HeatSoak | Self::IdleCircuit | Self::AcceleratorPump)
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
        Self {
            name: "Parts",
            screens: &[
                (Screen::IdleCircuit, "Idle"),
                (Screen::AcceleratorPump, "Pump"),
                (Screen::HeatSoak, "Heat soak"),
                (Screen::UsedCarburettor, "Used carburettor"),
            ],
        },
        Self { name: "Lessons", screens: &[(Screen::Lessons, "Lessons")] },
        Self { name: "Questions", screens: &[(Screen::Questions, "Questions"), (Screen::Desk, "Desk")] },
        Self { name: "Customer", screens: &[(Screen::Customer, "Customer")] },
        Self { name: "What this rests on", screens: &[(Screen::RestsOn, "What this rests on")] },
    ];

    /// Whether a screen is one of its own.
    pub fn has(&self, screen: Screen) -> bool {
        self.screens.iter().any(|(own, _)| *own == screen)
    }
}
