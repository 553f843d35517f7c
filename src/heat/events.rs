//! Moments of a soak that have a name.

use crate::heat::trace::Sample;

/// Cranking that is felt as a hard start, s: a warm engine fires within a turn or two. Common practice, from memory.
pub const HARD_START_S: f64 = 2.0;
/// Flow from which fuel is said to percolate, kg/s: a drop or so in a minute.
const DRIPS: f64 = 0.5e-6;

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

            /// Rises through zero when the event happens.
            fn monitor(self) -> fn(&Sample) -> f64 {
                match self { $(Self::$variant => $value,)* }
            }
        }
    };
}

events! {
    BoilingBegins = "boiling_begins", "Bowls begin to boil", |s| -s.bowl_margin_k;
    BoilingEnds = "boiling_ends", "Bowls stop boiling", |s| s.bowl_margin_k;
    WellsBoil = "wells_boil", "Wells begin to boil", |s| -s.well_margin_k;
    WellsCalm = "wells_calm", "Wells stop boiling", |s| s.well_margin_k;
    PercolationBegins = "percolation_begins", "Fuel begins to percolate", |s| s.percolating_kg_per_s - DRIPS;
    PercolationEnds = "percolation_ends", "Percolation ends", |s| DRIPS - s.percolating_kg_per_s;
    Flooded = "flooded", "Flooded: hard to start", |s| s.cranking_s - HARD_START_S;
    Restartable = "restartable", "Starts readily again", |s| HARD_START_S - s.cranking_s;
    JetsUncovered = "jets_uncovered", "Jets uncovered", |s| -s.over_jets_m;
    JetsCovered = "jets_covered", "Jets covered again", |s| s.over_jets_m;
    PumpBoils = "pump_boils", "Fuel begins to boil at the pump", |s| -s.pump_margin_k;
    PumpCalm = "pump_calm", "Fuel no longer boils at the pump", |s| s.pump_margin_k;
    VapourLock = "vapour_lock", "Pump past V/L 20: vapour lock", |s| -s.lock_margin_k;
    VapourLockOver = "vapour_lock_over", "Pump below V/L 20 again", |s| s.lock_margin_k;
}

/// An event of a soak.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Event {
    /// When, s after the engine stopped.
    pub time_s: f64,
    /// What.
    pub kind: EventKind,
}

/// Every event of these samples in order of time, straight between samples. What is already so when the engine stops
/// is an event at that moment, if it is a beginning.
pub fn events(samples: &[Sample]) -> Vec<Event> {
    use EventKind::{BoilingBegins, Flooded, JetsUncovered, PercolationBegins, PumpBoils, VapourLock, WellsBoil};
    let begins = [BoilingBegins, WellsBoil, PercolationBegins, Flooded, JetsUncovered, PumpBoils, VapourLock];
    let mut found = Vec::new();
    for &kind in EventKind::ALL {
        let monitor = kind.monitor();
        if let Some(first) = samples.first()
            && begins.contains(&kind)
            && monitor(first) > 0.0
        {
            found.push(Event { time_s: first.time_s, kind });
        }
        for pair in samples.windows(2) {
            let (before, after) = (monitor(&pair[0]), monitor(&pair[1]));
            if before <= 0.0 && after > 0.0 {
                let share = before / (before - after);
                let time_s = pair[0].time_s + share * (pair[1].time_s - pair[0].time_s);
                found.push(Event { time_s, kind });
            }
        }
    }
    found.sort_by(|a, b| a.time_s.total_cmp(&b.time_s));
    found
}

/// Time of the first event of a kind at or after `from_s`.
pub fn first(events: &[Event], kind: EventKind, from_s: f64) -> Option<f64> {
    events.iter().find(|event| event.kind == kind && event.time_s >= from_s).map(|event| event.time_s)
}
