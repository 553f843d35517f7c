//! Parts that drawings name, with ids that files and records may refer to.

use super::{Label, Scene};
use glam::DVec2;

/// A part.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Part {
    /// Stable key in files and records.
    pub id: &'static str,
    /// As its label says it.
    pub text: &'static str,
}

/// Every part that a drawing may name. A test draws every family and finds each of its labels here.
pub const PARTS: &[Part] = &[
    Part { id: "plenum", text: "Plenum" },
    Part { id: "primary_plate", text: "Primary plate" },
    Part { id: "secondary_plate", text: "Secondary plate" },
    Part { id: "link_rod", text: "Link rod" },
    Part { id: "primary_bowl", text: "Primary bowl" },
    Part { id: "secondary_bowl", text: "Secondary bowl" },
    Part { id: "primary_float", text: "Primary float" },
    Part { id: "secondary_float", text: "Secondary float" },
    Part { id: "primary_jet", text: "Primary jet" },
    Part { id: "secondary_jet", text: "Secondary jet" },
    Part { id: "primary_well", text: "Primary well" },
    Part { id: "secondary_well", text: "Secondary well" },
    Part { id: "primary_air_bleed", text: "Primary air bleed" },
    Part { id: "secondary_air_bleed", text: "Secondary air bleed" },
    Part { id: "primary_nozzle", text: "Primary nozzle" },
    Part { id: "secondary_nozzle", text: "Secondary nozzle" },
    Part { id: "primary_booster", text: "Primary booster" },
    Part { id: "secondary_booster", text: "Secondary booster" },
    Part { id: "enrichment_valve", text: "Enrichment valve" },
    Part { id: "idle_passage", text: "Idle passage" },
    Part { id: "mixture_screw", text: "Mixture screw" },
    Part { id: "transfer_slot", text: "Transfer slot" },
    Part { id: "accelerator_pump", text: "Accelerator pump" },
    Part { id: "second_pump", text: "Second pump" },
    Part { id: "duration_spring", text: "Duration spring" },
    Part { id: "second_duration_spring", text: "Second duration spring" },
    Part { id: "shooter", text: "Shooter" },
    Part { id: "second_shooter", text: "Second shooter" },
    Part { id: "diaphragm", text: "Diaphragm" },
    Part { id: "diaphragm_spring", text: "Diaphragm spring" },
    Part { id: "diaphragm_rod", text: "Diaphragm rod" },
    Part { id: "restriction", text: "Restriction" },
    Part { id: "vacuum_passage", text: "Vacuum passage" },
    Part { id: "air_door", text: "Air door" },
    Part { id: "air_valve", text: "Air valve" },
    Part { id: "weight", text: "Weight" },
    Part { id: "door_spring", text: "Door spring" },
    Part { id: "brake", text: "Brake" },
    Part { id: "brake_diaphragm", text: "Brake diaphragm" },
    Part { id: "brake_hose", text: "Brake hose" },
    Part { id: "metering_rod", text: "Metering rod" },
];

/// The part with this id.
pub fn part(id: &str) -> Option<&'static Part> {
    PARTS.iter().find(|part| part.id == id)
}

impl Label {
    /// The part that it names.
    pub fn part_named(&self) -> Option<&'static Part> {
        PARTS.iter().find(|part| part.text == self.text)
    }
}

impl Scene {
    /// The parts that it names with the points at which their labels touch them, in reading order: what a keyboard steps
    /// through.
    pub fn parts(&self) -> Vec<(&'static Part, DVec2)> {
        self.labels.iter().filter_map(|label| Some((label.part_named()?, label.part))).collect()
    }

    /// The part whose labelled point is nearest to a point of the drawing, and how far it is, m.
    pub fn part_near(&self, point: DVec2) -> Option<(&'static Part, f64)> {
        let far = self.parts().into_iter().map(|(part, at)| (part, at.distance(point)));
        far.min_by(|a, b| a.1.total_cmp(&b.1))
    }
}
