//! Pieces of sentences.

use crate::advice::recommend::design::{Action, Change, Design};
use crate::advice::recommend::effort;
use crate::advice::recommend::proposal::Proposal;
use crate::bench::rating::rating;
use crate::bench::scenario::{Place, Scenario};
use crate::settings::grouped::Grouped;
use crate::units::{CFM, Quantity, UnitSystem};

/// "Fit: spring air door, rated 480 cfm".
pub fn title(design: &Design, units: UnitSystem) -> String {
    let name = design.scenario.entry().name.to_lowercase();
    let rated = flow(rating(&design.scenario).flow_m3_per_s);
    match design.action {
        Action::Keep => "Keep what you have, as it is".to_owned(),
        Action::Change => format!("Keep what you have and change {}", changes(design, units).join(", ")),
        Action::Fit => format!("Fit: {name}, about {rated}"),
    }
}

/// "spring preload from 3 N to 1.8 N", for each.
pub fn changes(design: &Design, units: UnitSystem) -> Vec<String> {
    let of = |change: Change| {
        let show = |value| shown(&design.scenario, change.place, value, units);
        format!("{} from {} to {}", noun(&design.scenario, change.place), show(change.from), show(change.to))
    };
    design.changes().into_iter().map(of).collect()
}

/// A setting as it stands in a sentence, with the part that it belongs to; a family's own goes without where no other
/// part has one of that label.
pub fn noun(scenario: &Scenario, place: Place) -> String {
    let label = |place| scenario.setting(place).map_or("", |setting| setting.label);
    let alone = scenario.places().into_iter().filter(|other| label(*other) == label(place)).count() == 1;
    match scenario.groups().get(place.group) {
        Some(group) if group.id == "family" && !alone => {
            format!("{} ({})", lower(label(place)), lower(scenario.entry().name))
        }
        Some(group) if group.id != "family" => format!("{} ({})", lower(label(place)), group.label.to_lowercase()),
        _ => lower(label(place)),
    }
}

/// With a capital at the beginning.
pub fn capital(text: &str) -> String {
    let mut characters = text.chars();
    characters.next().into_iter().flat_map(char::to_uppercase).chain(characters).collect()
}

/// With a small letter at the beginning.
pub fn lower(text: &str) -> String {
    let mut characters = text.chars();
    characters.next().into_iter().flat_map(char::to_lowercase).chain(characters).collect()
}

/// A value of a setting with its unit.
pub fn shown(scenario: &Scenario, place: Place, value: f64, units: UnitSystem) -> String {
    scenario.setting(place).map_or_else(|| value.to_string(), |setting| setting.shown(value, units))
}

/// A rated flow in both units that the trade uses.
pub fn flow(m3_per_s: f64) -> String {
    let litres = Quantity::VolumeFlow.show(m3_per_s, UnitSystem::Si);
    // the trade counts in tens
    format!("{:.0} cfm ({litres})", (CFM.from_si(m3_per_s) / 10.0).round() * 10.0)
}

/// A time of work, to the quarter of an hour.
pub fn work(seconds: f64) -> String {
    let quarters = (seconds / 900.0).round();
    match quarters as i64 {
        ..=0 => "no work".to_owned(),
        1..4 => format!("{:.0} minutes of work", quarters * 15.0),
        4 => "1 hour of work".to_owned(),
        _ => format!("{} hours of work", quarters / 4.0),
    }
}

/// "by turning a screw or a lever".
pub fn how(scenario: &Scenario, place: Place) -> String {
    format!("by {}", effort::kind(scenario, place).phrase())
}

/// A proposal in few words, for a row of a table.
pub fn brief(proposal: &Proposal) -> String {
    let changed = |change: &Change| noun(&proposal.scenario, change.place);
    match proposal.action {
        Action::Keep => "What you have, as it is".to_owned(),
        Action::Change => {
            let changed: Vec<String> = proposal.changes.iter().map(changed).collect();
            format!("What you have, changed: {}", changed.join(", "))
        }
        // the title counts the flow in both units; here is room for one
        Action::Fit => capital(proposal.title.trim_start_matches("Fit: ").split(" (").next().unwrap_or_default()),
    }
}
