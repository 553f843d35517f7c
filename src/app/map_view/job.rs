//! Maps away from the screen, on a thread and a pool of their own: a newer map cancels the older one at once.

use crate::bench::sweep::{Map, sweep};
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::sync::{Arc, Condvar, Mutex, MutexGuard, PoisonError};
use std::time::Duration;

/// A map that is being run, or has been.
pub struct Job {
    map: Mutex<Map>,
    done: AtomicUsize,
    cancelled: AtomicBool,
    over: Mutex<bool>,
    ended: Condvar,
}

impl Job {
    fn new(map: Map) -> Self {
        Self {
            map: Mutex::new(map),
            done: AtomicUsize::new(0),
            cancelled: AtomicBool::new(false),
            over: Mutex::new(false),
            ended: Condvar::new(),
        }
    }

    /// The map as far as it has been run.
    pub fn map(&self) -> MutexGuard<'_, Map> {
        // a point is put whole or not at all
        self.map.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// How many points have been run.
    pub fn done(&self) -> usize {
        self.done.load(Ordering::Acquire)
    }

    /// Begin no further run.
    pub fn cancel(&self) {
        self.cancelled.store(true, Ordering::Relaxed);
    }

    /// Whether it was told to stop.
    pub fn is_cancelled(&self) -> bool {
        self.cancelled.load(Ordering::Relaxed)
    }

    /// Whether no further point will come.
    pub fn is_over(&self) -> bool {
        *self.over.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Wait for its end; `false` if `limit` passes first.
    pub fn wait(&self, limit: Duration) -> bool {
        let over = self.over.lock().unwrap_or_else(PoisonError::into_inner);
        let waited = self.ended.wait_timeout_while(over, limit, |over| !*over);
        *waited.unwrap_or_else(PoisonError::into_inner).0
    }

    fn run(&self, wake: &(dyn Fn() + Send + Sync)) {
        let map = self.map().clone();
        sweep(&map, &self.cancelled, |at, point| {
            self.map().put(at, point);
            self.done.fetch_add(1, Ordering::Release);
            wake();
        });
        *self.over.lock().unwrap_or_else(PoisonError::into_inner) = true;
        self.ended.notify_all();
        wake();
    }
}

#[derive(Default)]
struct Queue {
    next: Option<Arc<Job>>,
    current: Option<Arc<Job>>,
    closed: bool,
}

#[derive(Default)]
struct Shared {
    queue: Mutex<Queue>,
    work: Condvar,
}

impl Shared {
    fn queue(&self) -> MutexGuard<'_, Queue> {
        // nothing is left half done under this lock
        self.queue.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

/// The thread that runs maps.
pub struct Runner {
    shared: Arc<Shared>,
}

impl Runner {
    /// Start it; `wake` is called, on any thread, after each point.
    pub fn new(wake: impl Fn() + Send + Sync + 'static) -> Self {
        let shared = Arc::new(Shared::default());
        let theirs = Arc::clone(&shared);
        std::thread::spawn(move || work(&theirs, &wake));
        Self { shared }
    }

    /// Run this map in place of any other.
    pub fn ask(&self, map: Map) -> Arc<Job> {
        let job = Arc::new(Job::new(map));
        let mut queue = self.shared.queue();
        for older in [queue.current.take(), queue.next.replace(Arc::clone(&job))].into_iter().flatten() {
            older.cancel();
        }
        drop(queue);
        self.shared.work.notify_one();
        job
    }
}

impl Drop for Runner {
    fn drop(&mut self) {
        let mut queue = self.shared.queue();
        queue.closed = true;
        for job in [queue.current.take(), queue.next.take()].into_iter().flatten() {
            job.cancel();
        }
        drop(queue);
        self.shared.work.notify_one();
    }
}

fn work(shared: &Shared, wake: &(dyn Fn() + Send + Sync)) {
    // without threads of its own a map is run on those that everything else uses
    let pool = rayon::ThreadPoolBuilder::new().thread_name(|index| format!("map {index}")).build();
    loop {
        let mut queue = shared.queue();
        let job = loop {
            if queue.closed {
                return;
            }
            if let Some(job) = queue.next.take() {
                break job;
            }
            queue = shared.work.wait(queue).unwrap_or_else(PoisonError::into_inner);
        };
        queue.current = Some(Arc::clone(&job));
        drop(queue);
        match &pool {
            Ok(pool) => pool.install(|| job.run(wake)),
            Err(_) => job.run(wake),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::scenario::Scenario;
    use crate::bench::sweep::Axis;
    use crate::settings::grouped::Grouped;

    fn map(steps: usize) -> Map {
        let scenario = Scenario::default();
        let axis = |group, key| {
            let place = scenario.place(group, key).expect("a place");
            Axis::around(&scenario, place, steps).expect("a number")
        };
        let axes = [axis("pedal", "stab"), axis("secondary", "main_jet")];
        Map::new(scenario, axes).expect("a map")
    }

    #[test]
    fn a_newer_map_ends_the_older_one_before_it_is_whole() {
        let runner = Runner::new(|| {});
        let older = runner.ask(map(64));
        let newer = runner.ask(map(2));
        let limit = Duration::from_secs(120);
        assert!(newer.wait(limit));
        assert_eq!(newer.map().progress(), (4, 4));
        assert!(older.is_cancelled() && older.map().progress().0 < 64 * 64);
    }
}
