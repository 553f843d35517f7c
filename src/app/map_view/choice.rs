//! What the reader wants a map of: two settings with their ranges, a finding, and how many values a side.

use crate::bench::findings::FINDINGS;
use crate::bench::scenario::{GROUPS, Place, Scenario};
use crate::bench::sweep::{Axis, Map, Refused};
use crate::settings::Kind;
use crate::settings::grouped::Grouped;
use crate::units::UnitSystem;

/// Numbers of values along a side that can be chosen.
pub const SIDES: [usize; 4] = [8, 16, 32, 64];

/// What the reader wants a map of.
#[derive(Debug, Clone, PartialEq)]
pub struct Choice {
    /// To the right, then upwards.
    pub axes: [Axis; 2],
    /// Index into [`FINDINGS`].
    pub finding: usize,
    /// Family whose settings the axes mean.
    family: &'static str,
}

impl Choice {
    /// What to look at first: the family's own first setting, or else the secondary jet, against the foot's haste.
    pub fn first(scenario: &Scenario) -> Self {
        let steps = SIDES[2];
        let own = (0..scenario.settings(0).len()).map(|index| Place { group: 0, index });
        let jet = scenario.place("secondary", "main_jet");
        let stab = scenario.place("pedal", "stab");
        // a family or foot without these begins with whatever numbers there are
        let mut axes = own.chain(jet).filter_map(|place| Axis::around(scenario, place, steps)).take(1);
        let mut rest = stab.into_iter().chain(scenario.places());
        let across = axes.next().or_else(|| rest.find_map(|place| Axis::around(scenario, place, steps)));
        let other = |place: &Place| across.is_none_or(|across| across.place != *place);
        let up = rest.filter(other).find_map(|place| Axis::around(scenario, place, steps));
        let none = Axis { place: Place { group: 0, index: usize::MAX }, from: 0.0, to: 1.0, steps };
        let finding = FINDINGS.iter().position(|finding| finding.id == "lost_s").unwrap_or(0);
        Self { axes: [across.unwrap_or(none), up.unwrap_or(none)], finding, family: scenario.entry().id }
    }

    /// Keep what still means something for this scenario: another family has other settings of its own.
    pub fn follow(&mut self, scenario: &Scenario) {
        if self.family == scenario.entry().id {
            return;
        }
        self.family = scenario.entry().id;
        if self.axes.iter().any(|axis| GROUPS[axis.place.group].id == "family") {
            let first = Self::first(scenario);
            let steps = self.axes[0].steps;
            self.axes = first.axes.map(|axis| Axis { steps, ..axis });
        }
    }

    /// Put a setting on an axis; the setting that is on the other axis changes places with it.
    pub fn put(&mut self, axis: usize, scenario: &Scenario, place: Place) {
        let other = 1 - axis;
        if self.axes[other].place == place {
            self.axes.swap(0, 1);
        } else if let Some(fresh) = Axis::around(scenario, place, self.axes[axis].steps) {
            self.axes[axis] = fresh;
        }
    }

    /// As many values along both sides.
    pub fn set_side(&mut self, steps: usize) {
        for axis in &mut self.axes {
            axis.steps = steps;
        }
    }

    /// The map that is wanted, not run yet.
    ///
    /// # Errors
    /// What is wrong and how to mend it, in the reader's units.
    pub fn map(&self, scenario: &Scenario, units: UnitSystem) -> Result<Map, String> {
        Map::new(scenario.clone(), self.axes).map_err(|refused| match refused {
            Refused::OutOfRange(out) => match scenario.setting(out.place) {
                Some(setting) => format!(
                    "{}: {} is not accepted; {}.",
                    setting.label,
                    setting.shown(out.value, units),
                    setting.accepted(units)
                ),
                None => out.to_string(),
            },
            other => format!("{other}."),
        })
    }
}

/// Settings that can be an axis and whose group, name or key contains the text, with how they are listed.
pub fn offered(scenario: &Scenario, filter: &str) -> Vec<(Place, String)> {
    let filter = filter.trim().to_lowercase();
    scenario
        .places()
        .into_iter()
        .filter(|place| matches!(scenario.setting(*place).map(|setting| setting.kind), Some(Kind::Number { .. })))
        .map(|place| (place, full_name(scenario, place)))
        .filter(|(_, name)| name.to_lowercase().contains(&filter))
        .collect()
}

/// Group and setting: `Pedal: Stab takes`.
pub fn full_name(scenario: &Scenario, place: Place) -> String {
    let label = scenario.setting(place).map_or("–", |setting| setting.label);
    format!("{}: {label}", GROUPS[place.group].label)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::families::FAMILIES;

    #[test]
    fn every_family_has_a_map_to_begin_with_and_keeps_what_it_can() {
        for entry in FAMILIES {
            let scenario = Scenario::fresh(entry);
            let mut choice = Choice::first(&scenario);
            choice.set_side(16);
            for other in FAMILIES {
                let scenario = Scenario::fresh(other);
                choice.follow(&scenario);
                let map = choice.map(&scenario, UnitSystem::Si).expect("a map");
                assert_eq!(map.axes[0].steps, 16);
            }
        }
    }

    #[test]
    fn a_setting_from_the_other_axis_changes_places() {
        let scenario = Scenario::default();
        let mut choice = Choice::first(&scenario);
        let [across, up] = choice.axes;
        choice.put(0, &scenario, up.place);
        assert_eq!(choice.axes, [up, across]);
    }

    #[test]
    fn a_setting_is_found_by_group_or_name() {
        let scenario = Scenario::default();
        assert!(offered(&scenario, "PEDAL: stab").iter().any(|(_, name)| name == "Pedal: Stab takes"));
        assert!(offered(&scenario, "no such thing").is_empty());
    }

    #[test]
    fn a_refused_range_is_told_in_the_readers_units() {
        let scenario = Scenario::default();
        let mut choice = Choice::first(&scenario);
        choice.put(0, &scenario, scenario.place("secondary", "main_jet").expect("a place"));
        choice.axes[0].to = 1.0;
        let error = choice.map(&scenario, UnitSystem::Workshop).expect_err("too large");
        assert!(error.contains("thou is not accepted; give "), "{error}");
    }
}
