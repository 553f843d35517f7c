//! Moments of a run that have a name.

use crate::bench::model::STALL_SPEED;
use crate::bench::trace::Sample;
use crate::engine::torque::RICH_LIMIT;

/// Share of the engine's air from which on the secondary side is said to breathe: more than a shut door leaks.
const SECONDARY_SHARE: f64 = 0.10;

/// Value of a sample, with the lean limit in λ, that rises through zero when an event happens.
pub(crate) type Monitor = fn(&Sample, f64) -> f64;

macro_rules! events {
    ($($variant:ident = $id:literal, $label:literal, $value:expr;)*) => {
        /// A kind of event.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
        pub enum EventKind { $(#[doc = $label] $variant,)* }

        impl EventKind {
            /// Every kind.
            pub const ALL: &'static [Self] = &[$(Self::$variant,)*];

            /// Stable key in files.
            pub const fn id(self) -> &'static str {
                match self { $(Self::$variant => $id,)* }
            }

            /// As shown.
            pub const fn label(self) -> &'static str {
                match self { $(Self::$variant => $label,)* }
            }

            /// Of the mixture in the cylinders: nothing that a stalled engine could have.
            pub(crate) fn of_mixture(self) -> bool {
                matches!(self, Self::LeanLimit | Self::LeanOver | Self::RichLimit | Self::RichOver)
            }

            /// What every monitor says of a sample, in the order of [`Self::ALL`], with a lean limit in λ.
            pub(crate) fn monitors(sample: &Sample, lean_limit: f64) -> [f64; Self::ALL.len()] {
                [$({ let monitor: Monitor = $value; monitor(sample, lean_limit) },)*]
            }

            /// Rises through zero when the event happens.
            pub(crate) fn monitor(self) -> Monitor {
                match self { $(Self::$variant => $value,)* }
            }
        }
    };
}

events! {
    PrimaryWideOpen = "primary_wide_open", "Primary plates wide open", |s, _| s.pedal - 0.999;
    SecondaryAir = "secondary_air", "Secondary air flows",
        |s, _| s.secondary_air_kg_per_s - SECONDARY_SHARE * s.engine_air_kg_per_s - 1e-5;
    SecondaryFuel = "secondary_fuel", "Secondary fuel spills over", |s, _| s.secondary_main_kg_per_s - 1e-7;
    SecondaryFuelFails = "secondary_fuel_fails", "Secondary fuel runs back", |s, _| 1e-7 - s.secondary_main_kg_per_s;
    PrimaryFuel = "primary_fuel", "Primary main fuel spills over", |s, _| s.primary_main_kg_per_s - 1e-7;
    PrimaryFuelFails = "primary_fuel_fails", "Primary main fuel runs back", |s, _| 1e-7 - s.primary_main_kg_per_s;
    DeviceStarts = "device_starts", "Door or diaphragm starts", |s, _| s.device_opening - 0.02;
    DeviceOpen = "device_open", "Door or diaphragm open", |s, _| s.device_opening - 0.98;
    EnrichmentOpens = "enrichment_opens", "Enrichment opens", |s, _| s.enrichment_lift - 0.5;
    LeanLimit = "lean_limit", "Lean limit passed", |s, lean| s.lambda - lean;
    LeanOver = "lean_over", "Back inside the lean limit", |s, lean| lean - s.lambda;
    RichLimit = "rich_limit", "Rich limit passed", |s, _| RICH_LIMIT - s.lambda;
    RichOver = "rich_over", "Back inside the rich limit", |s, _| s.lambda - RICH_LIMIT;
    PumpEmpty = "pump_empty", "Accelerator pump empty", |s, _| s.pump_plunger - 0.98;
    SecondPumpEmpty = "second_pump_empty", "Second pump empty", |s, _| s.second_pump_plunger - 0.98;
    Stalls = "stalls", "Engine stalls", |s, _| STALL_SPEED - s.engine_rad_per_s;
}

/// An event of a run.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Event {
    /// When, s.
    pub time_s: f64,
    /// What.
    pub kind: EventKind,
}

/// Time of the first event of a kind at or after `from_s`.
pub fn first(events: &[Event], kind: EventKind, from_s: f64) -> Option<f64> {
    events.iter().find(|event| event.kind == kind && event.time_s >= from_s).map(|event| event.time_s)
}
