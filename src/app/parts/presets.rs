//! Settings worth a look, by the keys that files use: a preset sets these and leaves all others.

use crate::settings::grouped::{Grouped, Place};

/// A preset.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Preset {
    /// As shown.
    pub label: &'static str,
    /// What it is about.
    pub help: &'static str,
    /// Group, key, value: SI, or the place in the list of words.
    pub values: &'static [(&'static str, &'static str, f64)],
}

impl Preset {
    /// Where it sets what; a key that the settings do not have is left out.
    pub fn places(&self, settings: &dyn Grouped) -> Vec<(Place, f64)> {
        self.values.iter().filter_map(|(group, key, value)| Some((settings.place(group, key)?, *value))).collect()
    }
}

/// Every preset of a part sets all that it names, within the ranges.
#[cfg(test)]
pub fn test_all<P: super::Part>() {
    for preset in P::presets() {
        let mut settings = P::fresh();
        let places = preset.places(&settings);
        assert_eq!(places.len(), preset.values.len(), "{}", preset.label);
        for (place, value) in places {
            settings.set(place, value).unwrap_or_else(|refused| panic!("{}: {refused}", preset.label));
        }
    }
}
