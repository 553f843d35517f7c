//! Everything that a run depends on.

use crate::bench::pedal::Pedal;
use crate::carburettor::{
    barrels::Barrels, bowl::Bowl, enrichment::Enrichment, idle::Idle, linkage::Link, linkage::Linkage, pump::Pump,
};
use crate::engine::{
    ambient::Ambient, breathing::Engine, fuel::Fuel, load::Load, torque::Mixture, wall_film::WallFilm,
};
use crate::families::{self, Entry, Family};
use crate::settings::{Setting, Settings};
use crate::units::UnitSystem;

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
    /// Accelerator pump of the primary side.
    pub pump: Pump,
    /// Wall film coefficients.
    pub film: WallFilm,
    /// How a lean mixture burns. Not a setting: only a study of what is not known varies it.
    pub(crate) mixture: Mixture,
    entry: &'static Entry,
    family: Box<dyn Family>,
}

/// A group of settings as files and screens show it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Group {
    /// Stable key in files.
    pub id: &'static str,
    /// As shown.
    pub label: &'static str,
}

/// Groups in the order in which they are shown; the family comes first.
pub const GROUPS: &[Group] = &[
    Group { id: "family", label: "Family" },
    Group { id: "pedal", label: "Pedal" },
    Group { id: "engine", label: "Engine" },
    Group { id: "load", label: "Load" },
    Group { id: "primary", label: "Primary barrels" },
    Group { id: "secondary", label: "Secondary barrels" },
    Group { id: "linkage", label: "Link" },
    Group { id: "pump", label: "Accelerator pump" },
    Group { id: "idle", label: "Idle and transfer" },
    Group { id: "enrichment", label: "Enrichment" },
    Group { id: "bowl", label: "Float bowls" },
    Group { id: "fuel", label: "Fuel" },
    Group { id: "ambient", label: "Air" },
    Group { id: "film", label: "Wall film" },
];

/// Address of one setting: group in [`GROUPS`], place in that group.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Place {
    /// Index into [`GROUPS`].
    pub group: usize,
    /// Place among the group's settings.
    pub index: usize,
}

/// A value outside its range.
#[derive(Debug, Clone, PartialEq)]
pub struct OutOfRange {
    /// Where.
    pub place: Place,
    /// `group.key`.
    pub key: String,
    /// The refused value, SI.
    pub value: f64,
    /// The refused value with its unit.
    pub shown: String,
    /// What would be accepted, in words.
    pub accepted: String,
}

impl std::fmt::Display for OutOfRange {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{}: {} is not accepted; {}", self.key, self.shown, self.accepted)
    }
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

    fn tables(&self, group: usize) -> Vec<&dyn Settings> {
        match GROUPS[group].id {
            "family" => self.family.groups(),
            "pedal" => vec![&self.pedal],
            "engine" => vec![&self.engine],
            "load" => vec![&self.load],
            "primary" => vec![&self.primary],
            "secondary" => vec![&self.secondary],
            "linkage" => vec![&self.linkage],
            "pump" => vec![&self.pump],
            "idle" => vec![&self.idle],
            "enrichment" => vec![&self.enrichment],
            "bowl" => vec![&self.bowl],
            "fuel" => vec![&self.fuel],
            "ambient" => vec![&self.ambient],
            _ => vec![&self.film],
        }
    }

    fn tables_mut(&mut self, group: usize) -> Vec<&mut dyn Settings> {
        match GROUPS[group].id {
            "family" => self.family.groups_mut(),
            "pedal" => vec![&mut self.pedal],
            "engine" => vec![&mut self.engine],
            "load" => vec![&mut self.load],
            "primary" => vec![&mut self.primary],
            "secondary" => vec![&mut self.secondary],
            "linkage" => vec![&mut self.linkage],
            "pump" => vec![&mut self.pump],
            "idle" => vec![&mut self.idle],
            "enrichment" => vec![&mut self.enrichment],
            "bowl" => vec![&mut self.bowl],
            "fuel" => vec![&mut self.fuel],
            "ambient" => vec![&mut self.ambient],
            _ => vec![&mut self.film],
        }
    }

    /// Settings of a group of [`GROUPS`], in order.
    pub fn settings(&self, group: usize) -> Vec<&'static Setting> {
        self.tables(group).into_iter().flat_map(|table| table.settings().iter()).collect()
    }

    /// Every place that can be set.
    pub fn places(&self) -> Vec<Place> {
        (0..GROUPS.len())
            .flat_map(|group| (0..self.settings(group).len()).map(move |index| Place { group, index }))
            .collect()
    }

    /// The declaration at a place; `None` if this scenario has no such place.
    pub fn setting(&self, place: Place) -> Option<&'static Setting> {
        self.settings(place.group).get(place.index).copied()
    }

    /// The place called `group.key`, by the keys that files use.
    pub fn place(&self, group_id: &str, key: &str) -> Option<Place> {
        let group = GROUPS.iter().position(|group| group.id == group_id)?;
        let index = self.settings(group).iter().position(|setting| setting.key() == key)?;
        Some(Place { group, index })
    }

    /// Value at a place: SI, or the place in the list of words; `None` if this scenario has no such place.
    pub fn value(&self, place: Place) -> Option<f64> {
        let mut index = place.index;
        for table in self.tables(place.group) {
            if index < table.settings().len() {
                return Some(table.get(index));
            }
            index -= table.settings().len();
        }
        None
    }

    /// Change a value.
    ///
    /// # Errors
    /// [`OutOfRange`], and nothing is changed, when the setting does not accept the value.
    pub fn set(&mut self, place: Place, value: f64) -> Result<(), OutOfRange> {
        let Some(setting) = self.setting(place) else { return Ok(()) };
        if !setting.accepts(value) {
            return Err(self.refusal(place, setting, value));
        }
        let mut index = place.index;
        for table in self.tables_mut(place.group) {
            let count = table.settings().len();
            if index < count {
                table.set(index, value);
                break;
            }
            index -= count;
        }
        Ok(())
    }

    fn refusal(&self, place: Place, setting: &Setting, value: f64) -> OutOfRange {
        OutOfRange {
            place,
            key: format!("{}.{}", GROUPS[place.group].id, setting.key()),
            value,
            shown: setting.shown(value, UnitSystem::Si),
            accepted: setting.accepted(UnitSystem::Si),
        }
    }

    /// Every value outside its range; an empty list means that the scenario can be run.
    pub fn problems(&self) -> Vec<OutOfRange> {
        self.places()
            .into_iter()
            .filter_map(|place| {
                let (setting, value) = (self.setting(place)?, self.value(place)?);
                (!setting.accepts(value)).then(|| self.refusal(place, setting, value))
            })
            .collect()
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
