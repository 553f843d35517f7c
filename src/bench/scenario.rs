//! Everything that a run depends on.

use crate::bench::pedal::Pedal;
use crate::carburettor::{
    air_leak::AirLeak, barrels::Barrels, bowl::Bowl, enrichment::Enrichment, idle::Idle, linkage::Link,
    linkage::Linkage, pump::Pump,
};
use crate::engine::{
    ambient::Ambient, breathing::Engine, fuel::Fuel, load::Load, torque::Mixture, wall_film::WallFilm,
};
use crate::families::{self, Entry, Family};
use crate::settings::Settings;
pub use crate::settings::grouped::{Group, Grouped, OutOfRange, Place};

/// A scenario: the sole input of a run.
#[derive(Debug, Clone)]
pub struct Scenario {
    /// A short name.
    pub title: String,
    /// What it shows, and that its data is invented.
    pub note: String,
    /// Air of the day.
    pub ambient: Ambient,
    /// Fuel.
    pub fuel: Fuel,
    /// Engine.
    pub engine: Engine,
    /// Load.
    pub load: Load,
    /// Foot.
    pub pedal: Pedal,
    /// Primary barrels.
    pub primary: Barrels,
    /// Secondary barrels.
    pub secondary: Barrels,
    /// Link between them.
    pub linkage: Linkage,
    /// Float bowls, alike on both sides.
    pub bowl: Bowl,
    /// Idle and transfer circuit of the primary side.
    pub idle: Idle,
    /// Enrichment of the primary side.
    pub enrichment: Enrichment,
    /// Air past the plates.
    pub leak: AirLeak,
    /// Accelerator pump of the primary side.
    pub pump: Pump,
    /// Wall film coefficients.
    pub film: WallFilm,
    /// How a lean mixture burns. Not a setting: only a study of what is not known varies it.
    pub(crate) mixture: Mixture,
    entry: &'static Entry,
    family: Box<dyn Family>,
}

macro_rules! groups {
    ($($field:ident: $label:literal;)*) => {
        /// Groups in the order in which they are shown; the family comes first.
        pub const GROUPS: &[Group] =
            &[Group { id: "family", label: "Family" }, $(Group { id: stringify!($field), label: $label },)*];

        impl Grouped for Scenario {
            fn groups(&self) -> &'static [Group] {
                GROUPS
            }

            fn tables(&self, group: usize) -> Vec<&dyn Settings> {
                match GROUPS[group].id {
                    $(stringify!($field) => vec![&self.$field],)*
                    _ => self.family.groups(),
                }
            }

            fn tables_mut(&mut self, group: usize) -> Vec<&mut dyn Settings> {
                match GROUPS[group].id {
                    $(stringify!($field) => vec![&mut self.$field],)*
                    _ => self.family.groups_mut(),
                }
            }
        }
    };
}

groups! {
    pedal: "Pedal";
    engine: "Engine";
    load: "Load";
    primary: "Primary barrels";
    secondary: "Secondary barrels";
    linkage: "Link";
    pump: "Accelerator pump";
    idle: "Idle and transfer";
    enrichment: "Enrichment";
    leak: "Air leak";
    bowl: "Float bowls";
    fuel: "Fuel";
    ambient: "Air";
    film: "Wall film";
}

impl Scenario {
    /// The default car and carburettor with a family's defaults.
    pub fn fresh(entry: &'static Entry) -> Self {
        let jet_m = 1.71e-3;
        Self {
            title: entry.name.to_owned(),
            note: "Invented demonstration data of Kestrel Yard.".to_owned(),
            ambient: Ambient::default(),
            fuel: Fuel::default(),
            engine: Engine::default(),
            load: Load::default(),
            pedal: Pedal::default(),
            primary: Barrels::default(),
            // no enrichment on this side, so its jets are larger
            secondary: Barrels { main_jet_m: jet_m, ..Barrels::default() },
            linkage: Linkage::default(),
            bowl: Bowl::default(),
            idle: Idle::default(),
            enrichment: Enrichment::default(),
            leak: AirLeak::default(),
            pump: Pump::default(),
            film: WallFilm::default(),
            mixture: Mixture::default(),
            entry,
            family: (entry.fresh)(),
        }
    }

    /// The family's line in the list.
    pub fn entry(&self) -> &'static Entry {
        self.entry
    }

    /// The family with its settings.
    pub fn family(&self) -> &dyn Family {
        self.family.as_ref()
    }

    /// The link between the shafts as it is set.
    pub fn link(&self) -> Link {
        Link::new(&self.linkage, &self.primary.plate(), self.idle.curb_rad)
    }

    /// Change the family; it starts from its defaults and all else stays. Same family: nothing changes.
    pub fn choose_family(&mut self, entry: &'static Entry) {
        if entry.id != self.entry.id {
            self.entry = entry;
            self.family = (entry.fresh)();
        }
    }

    /// The value that a fresh scenario of this family has at a place.
    pub fn default_value(&self, place: Place) -> Option<f64> {
        Self::fresh(self.entry).value(place)
    }
}

impl Default for Scenario {
    fn default() -> Self {
        Self::fresh(&families::FAMILIES[0])
    }
}
