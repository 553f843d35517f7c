//! Clean, hesitates, bogs or dies: one number against one table.
//!
//! The number is the torque–time area lost to a wrong mixture, as seconds of the torque that the engine makes at the
//! end of the run: 0.1 s means that the car lost as much as if nothing had come for a tenth of a second.

/// How a driver would call it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Verdict {
    /// Nothing to feel.
    Clean,
    /// A short flat spot.
    Hesitates,
    /// A hole.
    Bogs,
    /// The engine stops pulling, or stops.
    Dies,
}

/// Lost time at which each verdict begins, s. Common practice puts no numbers to these words; these are from memory
/// of what can be felt, and the same for every family.
pub const BEGINS_S: [(Verdict, f64); 4] =
    [(Verdict::Clean, 0.0), (Verdict::Hesitates, 0.06), (Verdict::Bogs, 0.13), (Verdict::Dies, 0.60)];

impl Verdict {
    /// Stable key in files.
    pub const fn id(self) -> &'static str {
        match self {
            Self::Clean => "clean",
            Self::Hesitates => "hesitates",
            Self::Bogs => "bogs",
            Self::Dies => "dies",
        }
    }

    /// As it stands in a sentence: "The engine …".
    pub const fn phrase(self) -> &'static str {
        match self {
            Self::Clean => "pulls cleanly",
            Self::Hesitates => "hesitates",
            Self::Bogs => "bogs",
            Self::Dies => "dies",
        }
    }

    /// As a thing: "The verdict is …".
    pub const fn name(self) -> &'static str {
        match self {
            Self::Clean => "a clean pull",
            Self::Hesitates => "a hesitation",
            Self::Bogs => "a bog",
            Self::Dies => "a dying engine",
        }
    }

    /// The verdict on a lost time; an engine that has stalled has died.
    pub fn of(lost_s: f64, stalled: bool) -> Self {
        if stalled {
            return Self::Dies;
        }
        BEGINS_S.iter().rev().find(|(_, begins)| lost_s >= *begins).map_or(Self::Clean, |(verdict, _)| *verdict)
    }

    /// Lost time that is missing to the next worse verdict, s; `None` for the worst.
    pub fn distance_to_worse(self, lost_s: f64) -> Option<f64> {
        BEGINS_S.iter().find(|(verdict, _)| *verdict > self).map(|(_, begins)| begins - lost_s)
    }

    /// Lost time by which the next better verdict is missed, s; `None` for the best, and for an engine that has died
    /// by stalling.
    pub fn distance_to_better(self, lost_s: f64) -> Option<f64> {
        let begins = BEGINS_S.iter().find(|(verdict, _)| *verdict == self && self != Self::Clean)?.1;
        (lost_s >= begins).then_some(lost_s - begins)
    }
}
