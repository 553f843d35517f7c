//! What a lesson wants looked at → the parts of the section that it is about.

/// Ids of [`super::parts::PARTS`] for a channel of a trace or a group of settings; none for what no part shows. Parts that
/// a drawing does not have are simply not there.
pub fn parts(look: &str) -> &'static [&'static str] {
    LOOKED.iter().find(|(id, _)| *id == look).map_or(&[], |(_, parts)| parts)
}

/// Channels first, then groups of settings.
const LOOKED: &[(&str, &[&str])] = &[
    ("plenum_pa", &["plenum"]),
    ("film_kg", &["plenum"]),
    ("primary_plate_rad", &["primary_plate"]),
    ("secondary_plate_rad", &["secondary_plate"]),
    ("device_opening", &["air_door", "air_valve", "diaphragm"]),
    ("primary_air_kg_per_s", &["primary_plate"]),
    ("secondary_air_kg_per_s", &["secondary_plate"]),
    ("primary_throat_pa", &["primary_booster"]),
    ("secondary_throat_pa", &["secondary_booster"]),
    ("primary_throat_m_per_s", &["primary_booster"]),
    ("secondary_throat_m_per_s", &["secondary_booster"]),
    ("primary_signal_pa", &["primary_nozzle"]),
    ("secondary_signal_pa", &["secondary_nozzle"]),
    ("primary_signal", &["primary_booster"]),
    ("primary_well", &["primary_well"]),
    ("secondary_well", &["secondary_well"]),
    ("primary_main_kg_per_s", &["primary_nozzle", "primary_jet"]),
    ("secondary_main_kg_per_s", &["secondary_nozzle", "secondary_jet"]),
    ("idle_kg_per_s", &["idle_passage"]),
    ("slot_share", &["transfer_slot"]),
    ("pump_kg_per_s", &["shooter"]),
    ("pump_plunger", &["accelerator_pump"]),
    ("second_pump_kg_per_s", &["second_shooter"]),
    ("second_pump_plunger", &["second_pump"]),
    ("enrichment_lift", &["enrichment_valve"]),
    ("door_angle", &["air_door", "air_valve"]),
    ("door_drop", &["air_door", "air_valve"]),
    ("diaphragm_travel", &["diaphragm"]),
    ("chamber_depression", &["vacuum_passage", "restriction"]),
    ("primary", &["primary_jet", "primary_air_bleed", "primary_booster", "primary_nozzle"]),
    ("secondary", &["secondary_jet", "secondary_air_bleed", "secondary_booster", "secondary_nozzle"]),
    ("bowl", &["primary_bowl", "secondary_bowl", "primary_float", "secondary_float"]),
    ("idle", &["idle_passage", "mixture_screw", "transfer_slot"]),
    ("pump", &["accelerator_pump", "duration_spring", "shooter"]),
    ("enrichment", &["enrichment_valve"]),
    ("linkage", &["link_rod"]),
    (
        "family",
        &[
            "second_pump",
            "second_duration_spring",
            "second_shooter",
            "diaphragm",
            "diaphragm_spring",
            "air_door",
            "air_valve",
            "weight",
            "door_spring",
            "brake",
            "metering_rod",
        ],
    ),
];

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::scenario::Scenario;
    use crate::bench::trace::CHANNELS;
    use crate::families::FAMILIES;
    use crate::scene::parts::part;
    use crate::settings::grouped::Grouped;

    #[test]
    fn every_part_and_everything_that_is_looked_at_exists() {
        for (look, parts) in LOOKED {
            assert!(parts.iter().all(|id| part(id).is_some()), "{look}: {parts:?}");
            let known = FAMILIES.iter().any(|entry| {
                let scenario = Scenario::fresh(entry);
                let group = scenario.groups().iter().any(|group| group.id == *look);
                group || scenario.family().channels().iter().any(|channel| channel.id == *look)
            });
            assert!(known || CHANNELS.iter().any(|channel| channel.id == *look), "{look} is nothing");
        }
        assert!(parts("lambda").is_empty(), "no part shows the mixture");
    }
}
