//! The time of day, which a test may replace.

use std::sync::Arc;
use std::time::{SystemTime, UNIX_EPOCH};

/// Seconds since 1970 began, UTC.
#[derive(Clone)]
pub struct Clock(Arc<dyn Fn() -> f64 + Send + Sync>);

impl Default for Clock {
    fn default() -> Self {
        // a clock that is set before 1970 is wrong; its records say 1970 then
        Self::new(|| SystemTime::now().duration_since(UNIX_EPOCH).map_or(0.0, |since| since.as_secs_f64()))
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
