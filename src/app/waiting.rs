//! Requests that wait for a thread: of two with one key the newer stands, and the least key goes first.

use std::collections::BTreeMap;
use std::sync::{Condvar, Mutex, MutexGuard, PoisonError};

/// Requests by their keys.
pub struct Waiting<K, T> {
    queue: Mutex<Queue<K, T>>,
    work: Condvar,
}

struct Queue<K, T> {
    requests: BTreeMap<K, T>,
    closed: bool,
}

impl<K, T> Default for Waiting<K, T> {
    fn default() -> Self {
        Self { queue: Mutex::new(Queue { requests: BTreeMap::new(), closed: false }), work: Condvar::new() }
    }
}

impl<K, T> Waiting<K, T> {
    fn queue(&self) -> MutexGuard<'_, Queue<K, T>> {
        // nothing is left half done under this lock
        self.queue.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Send every thread that waits home.
    pub fn close(&self) {
        self.queue().closed = true;
        self.work.notify_all();
    }
}

impl<K: Ord, T> Waiting<K, T> {
    /// Let a request wait, in place of one with its key.
    pub fn put(&self, key: K, request: T) {
        self.queue().requests.insert(key, request);
        self.work.notify_one();
    }

    /// Let a request wait unless one with `newer` does: then what asked for it has moved on.
    pub fn put_unless(&self, newer: &K, key: K, request: T) {
        let mut queue = self.queue();
        if !queue.requests.contains_key(newer) {
            queue.requests.insert(key, request);
            drop(queue);
            self.work.notify_one();
        }
    }

    /// Forget a request that has not begun.
    pub fn remove(&self, key: &K) {
        self.queue().requests.remove(key);
    }

    /// The next request, waited for; `None` once it is closed.
    pub fn next(&self) -> Option<(K, T)> {
        let mut queue = self.queue();
        loop {
            if queue.closed {
                return None;
            }
            if let Some(next) = queue.requests.pop_first() {
                return Some(next);
            }
            queue = self.work.wait(queue).unwrap_or_else(PoisonError::into_inner);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_newest_of_a_key_stands_and_the_least_key_goes_first() {
        let waiting = Waiting::default();
        waiting.put(4, "late");
        for text in ["old", "older", "newest"] {
            waiting.put(3, text);
        }
        waiting.put_unless(&4, 5, "moved on");
        waiting.put_unless(&9, 1, "first");
        assert_eq!([waiting.next(), waiting.next()], [Some((1, "first")), Some((3, "newest"))]);
        waiting.remove(&4);
        waiting.close();
        assert_eq!(waiting.next(), None);
    }
}
