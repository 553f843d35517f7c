//! Twin pump: its second pump stands in the secondary bowl, where every pump is drawn.

use super::{Drawing, Fittings};

/// See the file's heading.
pub const DRAWING: Drawing =
    Drawing { fittings: |_| Fittings::default(), obstacle: |_, _, _| None, parts: |_, _, _, _| {} };
