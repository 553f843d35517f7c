//! Moments of a soak that have a name.

use crate::heat::trace::Sample;

/// Cranking that is felt as a hard start, s: a warm engine fires within a turn or two. Common practice, from memory.
pub const HARD_START_S: f64 = 2.0;
/// Flow from which fuel is said to percolate, kg/s: a drop or so in a minute.
const DRIPS: f64 = 0.5e-6;

macro_rules! spells {
    ($($begin:ident = $begin_id:literal, $begin_label:literal, $end:ident = $end_id:literal, $end_label:literal,
        $band:expr, $value:expr;)*) => {
        /// A kind of event: each begins or ends a spell.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
        pub enum EventKind { $(#[doc = $begin_label] $begin, #[doc = $end_label] $end,)* }

        impl EventKind {
            /// Every kind.
            pub const ALL: &'static [Self] = &[$(Self::$begin, Self::$end,)*];

            /// Stable key in files.
            pub const fn id(self) -> &'static str {
                match self { $(Self::$begin => $begin_id, Self::$end => $end_id,)* }
            }

            /// As shown.
            pub const fn label(self) -> &'static str {
                match self { $(Self::$begin => $begin_label, Self::$end => $end_label,)* }
            }
        }

        const SPELLS: &[Spell] =
            &[$(Spell { kinds: [EventKind::$begin, EventKind::$end], band: $band, value: $value },)*];
    };
}

/// Something that lasts from an event to its opposite.
struct Spell {
    kinds: [EventKind; 2],
    /// How far the value must fall below zero before the spell is over: boiling holds its own margin at nothing.
    band: f64,
    /// Above zero while it lasts.
    value: fn(&Sample) -> f64,
}

spells! {
    BoilingBegins = "boiling_begins", "Bowls begin to boil",
        BoilingEnds = "boiling_ends", "Bowls stop boiling", 0.4, |s| 0.1 - s.bowl_margin_k;
    WellsBoil = "wells_boil", "Wells begin to boil",
        WellsCalm = "wells_calm", "Wells stop boiling", 0.4, |s| -s.well_margin_k;
    PercolationBegins = "percolation_begins", "Fuel begins to percolate",
        PercolationEnds = "percolation_ends", "Percolation ends", 0.5 * DRIPS, |s| s.percolating_kg_per_s - DRIPS;
    Flooded = "flooded", "Flooded: hard to start",
        Restartable = "restartable", "Starts readily again", 0.2, |s| s.cranking_s - HARD_START_S;
    JetsUncovered = "jets_uncovered", "Jets uncovered",
        JetsCovered = "jets_covered", "Jets covered again", 1e-3, |s| -s.over_jets_m;
    PumpBoils = "pump_boils", "Fuel begins to boil at the pump",
        PumpCalm = "pump_calm", "Fuel no longer boils at the pump", 0.4, |s| -s.pump_margin_k;
    VapourLock = "vapour_lock", "Pump past V/L 20: vapour lock",
        VapourLockOver = "vapour_lock_over", "Pump below V/L 20 again", 0.4, |s| -s.lock_margin_k;
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
/// begins at that moment.
pub fn events(samples: &[Sample]) -> Vec<Event> {
    let mut found = Vec::new();
    for spell in SPELLS {
        let [begin, end] = spell.kinds;
        let Some(first) = samples.first() else { break };
        let mut lasts = (spell.value)(first) > 0.0;
        if lasts {
            found.push(Event { time_s: first.time_s, kind: begin });
        }
        for pair in samples.windows(2) {
            let goal = if lasts { -spell.band } else { 0.0 };
            let (before, after) = ((spell.value)(&pair[0]) - goal, (spell.value)(&pair[1]) - goal);
            if if lasts { after < 0.0 } else { after > 0.0 } {
                let share = if before == after { 1.0 } else { (before / (before - after)).clamp(0.0, 1.0) };
                let time_s = pair[0].time_s + share * (pair[1].time_s - pair[0].time_s);
                found.push(Event { time_s, kind: if lasts { end } else { begin } });
                lasts = !lasts;
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
