//! Bare link: nothing but the castings and the rod between the shafts.

use super::{Drawing, Fittings};

/// See the file's heading.
pub const DRAWING: Drawing =
    Drawing { fittings: |_| Fittings::default(), obstacle: |_, _, _| None, parts: |_, _, _, _| {} };
