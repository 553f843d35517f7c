//! How far a row of runs has come, seen from another thread, and how to stop it.

use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};

/// Progress and cancel of a row of runs; shared between the one who runs and the one who waits.
#[derive(Debug, Default)]
pub struct Watch {
    done: AtomicUsize,
    cancelled: AtomicBool,
}

impl Watch {
    /// Runs that are finished.
    pub fn done(&self) -> usize {
        self.done.load(Ordering::Relaxed)
    }

    /// Ask that no further run begins.
    pub fn cancel(&self) {
        self.cancelled.store(true, Ordering::Relaxed);
    }

    /// Whether that has been asked.
    pub fn cancelled(&self) -> bool {
        self.cancelled.load(Ordering::Relaxed)
    }

    /// One more run is finished.
    pub(crate) fn count(&self) {
        self.done.fetch_add(1, Ordering::Relaxed);
    }
}
