//! The time of day, which a test may replace.

use crate::storage::clock;
use std::sync::Arc;

/// Seconds since 1970 began, UTC.
#[derive(Clone)]
pub struct Clock(Arc<dyn Fn() -> f64 + Send + Sync>);

impl Default for Clock {
    fn default() -> Self {
        Self::new(clock::now_s)
    }
}

impl Clock {
    /// A clock that shows what `now` gives.
    pub fn new(now: impl Fn() -> f64 + Send + Sync + 'static) -> Self {
        Self(Arc::new(now))
    }

    /// What it shows.
    pub fn now_s(&self) -> f64 {
        (self.0)()
    }
}
