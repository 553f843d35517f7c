//! What a change asks of the one who makes it: a table, common practice, no source; times from memory.

use crate::bench::scenario::{Place, Scenario};
use crate::settings::grouped::Grouped;

/// A kind of adjustment.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Kind {
    /// A screw or lever, nothing taken apart.
    Turn,
    /// A spring or a small part under a cover.
    Spring,
    /// A jet, a nozzle or rods, with the bowl or the lid off.
    Jet,
    /// Metal drilled, filed or added.
    Metal,
}

impl Kind {
    /// Every kind, the easiest first.
    pub const ALL: [Self; 4] = [Self::Turn, Self::Spring, Self::Jet, Self::Metal];

    /// As it stands in a sentence: "by …".
    pub const fn phrase(self) -> &'static str {
        match self {
            Self::Turn => "turning a screw or a lever",
            Self::Spring => "changing a spring or a small part under a cover",
            Self::Jet => "changing jets or rods with the lid off",
            Self::Metal => "adding or taking away metal, or drilling a hole",
        }
    }

    /// Time until it is right, with its trials, s.
    pub const fn work_s(self) -> f64 {
        const MINUTE: f64 = 60.0;
        match self {
            Self::Turn => 15.0 * MINUTE,
            Self::Spring => 30.0 * MINUTE,
            Self::Jet => 60.0 * MINUTE,
            Self::Metal => 90.0 * MINUTE,
        }
    }

    /// What to be careful of at this step.
    pub const fn caution(self) -> &'static str {
        match self {
            Self::Turn => "Hands, hair and sleeves away from belts and fan while the engine turns.",
            Self::Spring => "Engine off. Check that the throttle shuts by itself before the next start.",
            Self::Jet => {
                "Engine cold, battery off, no flame or lamp near: fuel runs out when the lid comes off. Catch it, and wipe it up before the next start."
            }
            Self::Metal => {
                "On the bench, not over the engine: a chip or a dropped nut in the manifold ruins the engine. Take away less than you think; it does not go back on."
            }
        }
    }
}

/// Time to take one carburettor off and fit another, with its link and lines, s.
pub const FIT_S: f64 = 3.0 * 3600.0;

/// Every setting that a recommendation may touch, by its key in files. Keys, not families: alike settings are alike work.
const KINDS: &[(&str, &str, Kind)] = &[
    ("linkage", "starts", Kind::Turn),
    ("family", "wind_up", Kind::Turn),
    ("family", "spring_preload", Kind::Spring),
    ("family", "spring_rate", Kind::Spring),
    ("family", "restriction", Kind::Metal),
    ("family", "brake_orifice", Kind::Metal),
    ("family", "mass", Kind::Metal),
    ("family", "rods_shut_share", Kind::Jet),
    ("family", "area_factor", Kind::Jet),
    ("family", "shot", Kind::Spring),
    ("family", "shooter", Kind::Jet),
    ("pump", "shot", Kind::Spring),
    ("pump", "shooter", Kind::Jet),
    ("secondary", "main_jet", Kind::Jet),
];

/// The work that a setting is; the hardest for one that the table does not know.
pub fn kind(scenario: &Scenario, place: Place) -> Kind {
    let group = scenario.groups().get(place.group).map_or("", |group| group.id);
    let key = scenario.setting(place).map_or("", |setting| setting.key());
    KINDS.iter().find(|(g, k, _)| *g == group && *k == key).map_or(Kind::Metal, |(_, _, kind)| *kind)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::advice::free::{COMMON, named};
    use crate::families::FAMILIES;

    #[test]
    fn every_setting_that_tunes_a_family_is_in_the_table() {
        for entry in FAMILIES {
            let scenario = Scenario::fresh(entry);
            for key in entry.tuning.iter().chain(COMMON) {
                assert!(named(&scenario, key).is_some());
                let listed = KINDS.iter().any(|(group, name, _)| format!("{group}.{name}") == **key);
                assert!(listed, "{}: {key}", entry.id);
            }
        }
    }
}
