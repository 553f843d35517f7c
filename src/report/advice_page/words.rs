//! The page's words for somebody who has never heard them: those of the settings that stand on it, and those of any page.

use crate::advice::recommend::proposal::Proposal;
use crate::report::document::{Block, Style, Text};

/// Words of every page, with which one begins.
const FIRST: &[(&str, &str)] = &[(
    "hesitates, bogs, dies",
    "a stumble, from slight to stalling; time lost is counted as if there were no pull at all for so long, in tables as the \
     mean of all strokes of the pedal that count for this car",
)];

/// Words of every page that can wait.
const LAST: &[(&str, &str)] = &[("cfm, L/s", "how much air a carburettor lets through: its size")];

/// Words of settings, by their key in files.
const OF_SETTINGS: &[(&str, &str, &str)] = &[
    ("pump.shot", "full shot", "fuel that a pump squirts in as the pedal goes down"),
    ("pump.shooter", "shooter holes", "the bores for it; smaller: for longer"),
    ("family.shot", "twin pump", "here the second pump, for the secondary barrels"),
    ("secondary.main_jet", "main jet", "the bore for a barrel's fuel; larger: richer"),
    ("enrichment.opens_below", "opens below", "vacuum below which a valve adds fuel"),
    ("linkage.starts", "secondary starts at", "how far the primary plates turn before the others follow"),
    ("family.wind_up", "spring wind-up", "turns of the door's spring; more: air comes later"),
    ("family.brake_orifice", "brake orifice", "bore of the vacuum brake; smaller: the door is later"),
    ("family.rods_shut_share", "jet area, door shut", "what the metering rods leave free of the jet"),
    ("family.spring_preload", "spring preload", "the diaphragm spring's force at rest; more: later"),
    ("family.spring_rate", "spring rate", "how its force grows; stiffer: later"),
    ("family.restriction", "restriction", "bore for the diaphragm's vacuum; smaller: slower"),
    ("family.mass", "counterweight", "what holds the door or valve shut; more: air comes later"),
    ("family.area_factor", "jet area ÷ main jet", "area of its jets against the barrels' main jets; more: richer"),
];

/// So many words of this page.
pub fn explained(first: &Proposal, most: usize) -> Block {
    let stands = |key: &str| first.settings.iter().any(|setting| setting.key == key);
    let of_settings = OF_SETTINGS.iter().filter(|(key, ..)| stands(key)).map(|(_, word, meaning)| (*word, *meaning));
    let words = FIRST.iter().copied().chain(of_settings).chain(LAST.iter().copied());
    let mut text = Text::strong("Words of this page. ");
    for (place, (word, meaning)) in words.take(most).enumerate() {
        let before = if place == 0 { "" } else { "; " };
        text = text.and(before, Style::Plain).and(word, Style::Strong).and(format!(": {meaning}"), Style::Plain);
    }
    Block::Note(text.and(".", Style::Plain))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::advice::free::COMMON;
    use crate::families::FAMILIES;

    #[test]
    fn every_setting_that_a_page_can_name_has_its_word() {
        // the same word serves both pumps and both main jets
        let with_another = ["family.shooter", "primary.main_jet"];
        let tuned = FAMILIES.iter().flat_map(|entry| entry.tuning).chain(COMMON).copied();
        for key in tuned.chain(["primary.main_jet", "enrichment.opens_below"]) {
            let has_word = OF_SETTINGS.iter().any(|(known, ..)| *known == key) || with_another.contains(&key);
            assert!(has_word, "{key}");
        }
    }
}
