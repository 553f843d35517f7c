//! The clock of the machine. It is read here alone; who must not depend on it is given a time.

use std::time::{SystemTime, UNIX_EPOCH};

const DAY_S: f64 = 86_400.0;

/// Seconds since 1970 began, universal time. A clock that is set before 1970 is wrong and says 1970.
pub fn now_s() -> f64 {
    SystemTime::now().duration_since(UNIX_EPOCH).map_or(0.0, |since| since.as_secs_f64())
}

/// Days since 1970 began, universal time.
pub fn today() -> i64 {
    (now_s() / DAY_S) as i64
}
