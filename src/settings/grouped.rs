//! Settings in groups, each with an address: what files, sliders, checks and searches walk over.

use super::{Setting, Settings};
use crate::units::UnitSystem;

/// A group of settings as files and screens show it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Group {
    /// Stable key in files.
    pub id: &'static str,
    /// As shown.
    pub label: &'static str,
}

/// Address of one setting: group, place in that group.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Place {
    /// Index into the list of groups.
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

/// A list of refused values, one a line.
pub fn lines(problems: &[OutOfRange]) -> String {
    problems.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n")
}

/// Gives a struct its groups: after its name, a line reads `field: "Label";`, each field is a table of settings.
#[macro_export]
macro_rules! grouped {
    ($name:ident; $($field:ident: $label:literal;)*) => {
        /// Groups in the order in which they are shown.
        pub const GROUPS: &[$crate::settings::grouped::Group] =
            &[$($crate::settings::grouped::Group { id: stringify!($field), label: $label },)*];

        impl $crate::settings::grouped::Grouped for $name {
            fn groups(&self) -> &'static [$crate::settings::grouped::Group] {
                GROUPS
            }

            fn tables(&self, group: usize) -> Vec<&dyn $crate::settings::Settings> {
                match GROUPS[group].id {
                    $(stringify!($field) => vec![&self.$field],)*
                    _ => Vec::new(),
                }
            }

            fn tables_mut(&mut self, group: usize) -> Vec<&mut dyn $crate::settings::Settings> {
                match GROUPS[group].id {
                    $(stringify!($field) => vec![&mut self.$field],)*
                    _ => Vec::new(),
                }
            }
        }
    };
}

/// Something with settings in groups. A group may consist of several tables.
pub trait Grouped {
    /// The groups in the order in which they are shown.
    fn groups(&self) -> &'static [Group];
    /// The tables of a group, in order.
    fn tables(&self, group: usize) -> Vec<&dyn Settings>;
    /// The same, to be changed.
    fn tables_mut(&mut self, group: usize) -> Vec<&mut dyn Settings>;

    /// Settings of a group, in order.
    fn settings(&self, group: usize) -> Vec<&'static Setting> {
        self.tables(group).into_iter().flat_map(|table| table.settings().iter()).collect()
    }

    /// Every place that can be set.
    fn places(&self) -> Vec<Place> {
        (0..self.groups().len())
            .flat_map(|group| (0..self.settings(group).len()).map(move |index| Place { group, index }))
            .collect()
    }

    /// The declaration at a place; `None` if there is no such place.
    fn setting(&self, place: Place) -> Option<&'static Setting> {
        self.settings(place.group).get(place.index).copied()
    }

    /// Name of a setting, with its group where two groups have one of that name: `Secondary barrels: Main jet`.
    fn name(&self, place: Place) -> String {
        let Some(setting) = self.setting(place) else { return String::new() };
        let has = |group: usize| self.settings(group).iter().any(|other| other.label == setting.label);
        if (0..self.groups().len()).any(|group| group != place.group && has(group)) {
            format!("{}: {}", self.groups()[place.group].label, setting.label)
        } else {
            setting.label.to_owned()
        }
    }

    /// The place called `group.key`, by the keys that files use.
    fn place(&self, group_id: &str, key: &str) -> Option<Place> {
        let group = self.groups().iter().position(|group| group.id == group_id)?;
        let index = self.settings(group).iter().position(|setting| setting.key() == key)?;
        Some(Place { group, index })
    }

    /// Value at a place: SI, or the place in the list of words; `None` if there is no such place.
    fn value(&self, place: Place) -> Option<f64> {
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
    fn set(&mut self, place: Place, value: f64) -> Result<(), OutOfRange> {
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

    /// What is wrong with a value that a setting does not accept.
    fn refusal(&self, place: Place, setting: &Setting, value: f64) -> OutOfRange {
        OutOfRange {
            place,
            key: format!("{}.{}", self.groups()[place.group].id, setting.key()),
            value,
            shown: setting.shown(value, UnitSystem::Si),
            accepted: setting.accepted(UnitSystem::Si),
        }
    }

    /// Every value outside its range; an empty list means that all can be used.
    fn problems(&self) -> Vec<OutOfRange> {
        let mut problems = Vec::new();
        for group in 0..self.groups().len() {
            let mut index = 0;
            for table in self.tables(group) {
                for (i, setting) in table.settings().iter().enumerate() {
                    let value = table.get(i);
                    if !setting.accepts(value) {
                        problems.push(self.refusal(Place { group, index }, setting, value));
                    }
                    index += 1;
                }
            }
        }
        problems
    }
}
