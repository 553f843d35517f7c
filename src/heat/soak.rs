//! Everything that a heat soak depends on.

use crate::carburettor::bowl::Bowl;
use crate::engine::{ambient::Ambient, fuel::Fuel};
use crate::heat::parts::{Bay, Casting, Line, Mounting, Start, Times, Volatility, Wells};
use crate::physics::vapour::Blend;
use crate::settings::{Setting, Settings};
use crate::units::UnitSystem;

/// A heat soak: the sole input of [`crate::heat::run::run`]. Air, fuel and bowls are declared where a tip-in declares
/// them, so that one car can be asked both questions.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Soak {
    /// Times.
    pub times: Times,
    /// Carburettor.
    pub casting: Casting,
    /// Gasket, spacer, studs, gap.
    pub mounting: Mounting,
    /// Float bowls, two of them and alike.
    pub bowl: Bowl,
    /// From bowls to nozzles.
    pub wells: Wells,
    /// Composition of the fuel.
    pub fuel: Fuel,
    /// How readily it boils.
    pub volatility: Volatility,
    /// Air of the day.
    pub ambient: Ambient,
    /// Engine and what is under the bonnet.
    pub bay: Bay,
    /// Pump and line.
    pub line: Line,
    /// Manifold and starting.
    pub start: Start,
}

/// Bowls of a carburettor.
pub const BOWLS: f64 = 2.0;

/// A group of settings as files and screens show it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Group {
    /// Stable key in files.
    pub id: &'static str,
    /// As shown.
    pub label: &'static str,
}

macro_rules! groups {
    ($($field:ident: $label:literal;)*) => {
        /// Groups in the order in which they are shown.
        pub const GROUPS: &[Group] = &[$(Group { id: stringify!($field), label: $label },)*];

        impl Soak {
            /// The groups, in the order of [`GROUPS`].
            pub fn tables(&self) -> Vec<&dyn Settings> {
                vec![$(&self.$field,)*]
            }

            fn tables_mut(&mut self) -> Vec<&mut dyn Settings> {
                vec![$(&mut self.$field,)*]
            }
        }
    };
}

groups! {
    times: "Times";
    casting: "Carburettor body";
    mounting: "Mounting";
    volatility: "Volatility";
    fuel: "Fuel";
    ambient: "Air";
    bowl: "Float bowls";
    wells: "Wells";
    bay: "Under the bonnet";
    line: "Fuel line";
    start: "Starting";
}

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

impl Soak {
    /// Every place that can be set.
    pub fn places(&self) -> Vec<Place> {
        let sizes = self.tables().into_iter().map(|table| table.settings().len()).enumerate();
        sizes.flat_map(|(group, size)| (0..size).map(move |index| Place { group, index })).collect()
    }

    /// The declaration at a place; `None` if there is no such place.
    pub fn setting(&self, place: Place) -> Option<&'static Setting> {
        self.tables().get(place.group)?.settings().get(place.index)
    }

    /// The place called `group.key`, by the keys that files use.
    pub fn place(&self, group_id: &str, key: &str) -> Option<Place> {
        let group = GROUPS.iter().position(|group| group.id == group_id)?;
        let index = self.tables()[group].settings().iter().position(|setting| setting.key() == key)?;
        Some(Place { group, index })
    }

    /// Value at a place: SI, or the place in the list of words; `None` if there is no such place.
    pub fn value(&self, place: Place) -> Option<f64> {
        self.setting(place)?;
        Some(self.tables()[place.group].get(place.index))
    }

    /// Change a value.
    ///
    /// # Errors
    /// [`OutOfRange`], and nothing is changed, when the setting does not accept the value.
    pub fn set(&mut self, place: Place, value: f64) -> Result<(), OutOfRange> {
        let Some(setting) = self.setting(place) else { return Ok(()) };
        if !setting.accepts(value) {
            return Err(refusal(place, setting, value));
        }
        self.tables_mut()[place.group].set(place.index, value);
        Ok(())
    }

    /// Every value outside its range; an empty list means that the soak can be run.
    pub fn problems(&self) -> Vec<OutOfRange> {
        self.places()
            .into_iter()
            .filter_map(|place| {
                let (setting, value) = (self.setting(place)?, self.value(place)?);
                (!setting.accepts(value)).then(|| refusal(place, setting, value))
            })
            .collect()
    }

    /// The fuel as its vapour is concerned.
    pub fn blend(&self) -> Blend {
        self.volatility.blend(self.fuel.ethanol_mass_share())
    }
}

fn refusal(place: Place, setting: &Setting, value: f64) -> OutOfRange {
    OutOfRange {
        key: format!("{}.{}", GROUPS[place.group].id, setting.key()),
        value,
        shown: setting.shown(value, UnitSystem::Si),
        accepted: setting.accepted(UnitSystem::Si),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    #[test]
    fn keys_are_unique_in_their_group_and_found_again() {
        let soak = Soak::default();
        for (group, table) in GROUPS.iter().zip(soak.tables()) {
            let keys: BTreeSet<_> = table.settings().iter().map(Setting::key).collect();
            assert_eq!(keys.len(), table.settings().len(), "{}: {keys:?}", group.id);
        }
        for place in soak.places() {
            let key = soak.setting(place).expect("listed").key();
            assert_eq!(soak.place(GROUPS[place.group].id, key), Some(place), "{key}");
        }
    }

    #[test]
    fn defaults_are_accepted() {
        assert!(Soak::default().problems().is_empty());
    }
}
