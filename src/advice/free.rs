//! Which settings a search may turn, and how far.

use crate::bench::scenario::{GROUPS, Place, Scenario};
use crate::settings::grouped::Grouped;
use crate::settings::{Kind, Setting};

/// Settings beside the family's own that a workshop turns on any carburettor.
pub const COMMON: &[&str] = &["pump.shot", "pump.shooter", "secondary.main_jet"];

/// Most settings that may be free at once: the runs that a search needs grow with their number.
pub const MOST_FREE: usize = 8;

/// A setting that a search may turn, between two ends.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Free {
    /// Which.
    pub place: Place,
    /// Least value tried, SI.
    pub least: f64,
    /// Greatest value tried, SI.
    pub most: f64,
}

impl Free {
    /// A setting over its whole accepted range; `None` for a word or a place that the scenario does not have.
    pub fn whole(scenario: &Scenario, place: Place) -> Option<Self> {
        let Kind::Number { least, most, .. } = scenario.setting(place)?.kind else { return None };
        Some(Self { place, least, most })
    }

    /// Where ranges span decades, equal steps are equal ratios.
    fn by_ratio(&self) -> bool {
        self.least > 0.0 && self.most / self.least > 30.0
    }

    /// The value at a share of the range, 0 to 1.
    pub fn value(&self, share: f64) -> f64 {
        let share = share.clamp(0.0, 1.0);
        let value = if self.by_ratio() {
            self.least * (self.most / self.least).powf(share)
        } else {
            self.least + share * (self.most - self.least)
        };
        value.clamp(self.least, self.most)
    }

    /// The share of the range at which a value stands; the nearer end for one outside.
    pub fn share(&self, value: f64) -> f64 {
        let share = if self.by_ratio() {
            (value.max(self.least) / self.least).ln() / (self.most / self.least).ln()
        } else {
            (value - self.least) / (self.most - self.least)
        };
        share.clamp(0.0, 1.0)
    }

    fn problem(&self, scenario: &Scenario) -> Option<String> {
        let Some(setting) = scenario.setting(self.place) else {
            return Some("a free setting is none of this scenario's".to_owned());
        };
        if !matches!(setting.kind, Kind::Number { .. }) {
            return Some(format!("{} is a word; only numbers can be searched", setting.label));
        }
        let ordered = self.least < self.most;
        let accepted = setting.accepts(self.least) && setting.accepts(self.most);
        (!ordered || !accepted).then(|| {
            format!("{}: the range to search must lie inside what is accepted, least before most", setting.label)
        })
    }
}

/// `group.key` of a place.
pub fn key(scenario: &Scenario, place: Place) -> String {
    let setting = scenario.setting(place).map_or("", Setting::key);
    format!("{}.{setting}", GROUPS.get(place.group).map_or("", |group| group.id))
}

/// The setting called `group.key` over its whole range.
pub fn named(scenario: &Scenario, key: &str) -> Option<Free> {
    let (group, key) = key.split_once('.')?;
    Free::whole(scenario, scenario.place(group, key)?)
}

/// What a workshop turns on this scenario: the family's own tuning settings, then [`COMMON`], each with whether it is
/// the family's own.
pub fn offered(scenario: &Scenario) -> Vec<(Free, bool)> {
    let own = scenario.entry().tuning.iter().map(|key| (*key, true));
    let common = COMMON.iter().map(|key| (*key, false));
    own.chain(common).filter_map(|(key, own)| Some((named(scenario, key)?, own))).collect()
}

/// The family's own tuning settings over their whole ranges.
pub fn usual(scenario: &Scenario) -> Vec<Free> {
    offered(scenario).into_iter().filter_map(|(free, own)| own.then_some(free)).collect()
}

/// Why these settings cannot be searched, if they cannot.
pub(super) fn problem(scenario: &Scenario, free: &[Free]) -> Option<String> {
    if free.is_empty() {
        return Some("nothing is free to be turned; free at least one setting".to_owned());
    }
    if free.len() > MOST_FREE {
        return Some(format!("{} settings are free; free at most {MOST_FREE}", free.len()));
    }
    let twice = free.iter().enumerate().any(|(i, one)| free[..i].iter().any(|other| other.place == one.place));
    if twice {
        return Some("a setting is free twice".to_owned());
    }
    free.iter().find_map(|free| free.problem(scenario))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::families::FAMILIES;

    #[test]
    fn every_family_declares_settings_that_it_has_and_that_are_numbers() {
        for entry in FAMILIES {
            let scenario = Scenario::fresh(entry);
            for key in entry.tuning.iter().chain(COMMON) {
                assert!(named(&scenario, key).is_some(), "{}: {key}", entry.id);
            }
            assert!(!usual(&scenario).is_empty(), "{}", entry.id);
            assert_eq!(problem(&scenario, &usual(&scenario)), None);
        }
    }

    #[test]
    fn shares_of_a_range_go_there_and_back() {
        let scenario = Scenario::default();
        for place in scenario.places() {
            let Some(free) = Free::whole(&scenario, place) else { continue };
            for share in [0.0, 0.3, 1.0] {
                assert!((free.share(free.value(share)) - share).abs() < 1e-9);
                assert!(scenario.setting(place).is_some_and(|setting| setting.accepts(free.value(share))));
            }
        }
    }
}
