//! Runs away from the screen: the newest request of a bench wins, older ones that have not begun are dropped.

use super::waiting::Waiting;
use crate::bench::findings::{Findings, findings};
use crate::bench::rating::{Rating, TopEnd, rating, top_end};
use crate::bench::run::{Run, run};
use crate::bench::scenario::Scenario;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::Arc;
use std::sync::mpsc::{Receiver, Sender, channel};

/// A bench's name towards the worker.
pub type BenchId = u64;

/// A finished run with what it comes down to.
#[derive(Debug, Clone)]
pub struct Outcome {
    /// What was run.
    pub scenario: Scenario,
    /// What it did.
    pub run: Run,
    /// What it comes down to.
    pub findings: Findings,
    /// Way of the air in the throats since the start, m, at each sample: primary, secondary.
    pub air_way_m: [Vec<f64>; 2],
}

/// What takes longer than the run itself and is therefore computed after it.
#[derive(Debug, Clone)]
pub struct Capacity {
    /// Rated flow.
    pub rating: Rating,
    /// Steady full pedal at the engine's top speed, or why there is none.
    pub top_end: Result<TopEnd, String>,
}

/// What comes back.
#[derive(Debug)]
pub enum Answer {
    /// The run, or why there is none.
    Run(Box<Result<Outcome, String>>),
    /// Rating and top end.
    Capacity(Box<Capacity>),
}

/// An answer with its address.
#[derive(Debug)]
pub struct Reply {
    /// Which bench asked.
    pub bench: BenchId,
    /// Which of its requests this answers.
    pub revision: u64,
    /// The answer.
    pub answer: Answer,
}

/// What is asked of which bench; every run goes before any rating, the longest-standing bench first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Job {
    Run(BenchId),
    Capacity(BenchId),
}

/// Scenarios with the revision of their bench.
type Requests = Waiting<Job, (u64, Scenario)>;

/// Threads that run scenarios.
pub struct Worker {
    requests: Arc<Requests>,
    replies: Receiver<Reply>,
}

impl Worker {
    /// Start `threads` threads; `wake` is called after each reply.
    pub fn new(threads: usize, wake: impl Fn() + Send + Sync + 'static) -> Self {
        let requests = Arc::new(Requests::default());
        let wake: Arc<dyn Fn() + Send + Sync> = Arc::new(wake);
        let (sender, replies) = channel();
        for _ in 0..threads.max(1) {
            let (requests, wake, sender) = (Arc::clone(&requests), Arc::clone(&wake), sender.clone());
            std::thread::spawn(move || work(&requests, &sender, &*wake));
        }
        Self { requests, replies }
    }

    /// Ask for a run; a request of the same bench that has not begun is dropped.
    pub fn ask(&self, bench: BenchId, revision: u64, scenario: Scenario) {
        self.requests.remove(&Job::Capacity(bench));
        self.requests.put(Job::Run(bench), (revision, scenario));
    }

    /// Forget what a bench has asked for.
    pub fn forget(&self, bench: BenchId) {
        self.requests.remove(&Job::Run(bench));
        self.requests.remove(&Job::Capacity(bench));
    }

    /// A reply that has come, if any.
    pub fn reply(&self) -> Option<Reply> {
        self.replies.try_recv().ok()
    }

    /// Wait for a reply; `None` after `limit`.
    pub fn wait(&self, limit: std::time::Duration) -> Option<Reply> {
        self.replies.recv_timeout(limit).ok()
    }
}

impl Drop for Worker {
    fn drop(&mut self) {
        self.requests.close();
    }
}

fn work(requests: &Requests, sender: &Sender<Reply>, wake: &(dyn Fn() + Send + Sync)) {
    while let Some((job, (revision, scenario))) = requests.next() {
        let reply = match job {
            Job::Run(bench) => {
                let outcome = guarded(|| outcome(&scenario)).and_then(|outcome| outcome);
                if outcome.is_ok() {
                    requests.put_unless(&job, Job::Capacity(bench), (revision, scenario));
                }
                Reply { bench, revision, answer: Answer::Run(Box::new(outcome)) }
            }
            Job::Capacity(bench) => {
                let Ok(capacity) = guarded(|| capacity(&scenario)) else { continue };
                Reply { bench, revision, answer: Answer::Capacity(Box::new(capacity)) }
            }
        };
        if sender.send(reply).is_err() {
            return;
        }
        wake();
    }
}

/// A defect of the core must not take the threads down with it.
pub(super) fn guarded<T>(work: impl FnOnce() -> T) -> Result<T, String> {
    catch_unwind(AssertUnwindSafe(work)).map_err(|_| {
        "the run broke off through a defect of the program; undo the last change, and report what it was".to_owned()
    })
}

fn outcome(scenario: &Scenario) -> Result<Outcome, String> {
    let run = run(scenario).map_err(|error| error.to_string())?;
    let findings = findings(scenario, &run);
    Ok(Outcome::new(scenario.clone(), run, findings))
}

fn capacity(scenario: &Scenario) -> Capacity {
    Capacity { rating: rating(scenario), top_end: top_end(scenario).map_err(|error| error.to_string()) }
}

impl Outcome {
    /// A finished run with the way that its air has come.
    pub fn new(scenario: Scenario, run: Run, findings: Findings) -> Self {
        let way = |speed: fn(&crate::bench::trace::Sample) -> f64| {
            let mut sum = 0.0;
            let steps = run.trace.samples.windows(2).map(|pair| 0.5 * (speed(&pair[0]) + speed(&pair[1])));
            std::iter::once(0.0)
                .chain(steps.map(|mean| {
                    sum += mean * run.trace.interval_s;
                    sum
                }))
                .collect()
        };
        let air_way_m = [way(|s| s.primary_throat_m_per_s), way(|s| s.secondary_throat_m_per_s)];
        Self { scenario, run, findings, air_way_m }
    }

    /// Way of the air in a throat at a time, m; `side` 0 primary, 1 secondary.
    pub fn air_way(&self, side: usize, time_s: f64) -> f64 {
        let way = &self.air_way_m[side.min(1)];
        let last = way.len().saturating_sub(1);
        let place = (time_s / self.run.trace.interval_s).clamp(0.0, last as f64);
        let before = place.floor() as usize;
        let after = (before + 1).min(last);
        way[before] + (way[after] - way[before]) * (place - before as f64)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::families::FAMILIES;
    use std::time::Duration;

    const LIMIT: Duration = Duration::from_secs(60);

    #[test]
    fn a_run_is_followed_by_its_capacity() {
        let worker = Worker::new(1, || {});
        worker.ask(7, 1, Scenario::fresh(&FAMILIES[0]));
        let first = worker.wait(LIMIT).expect("a reply");
        assert!(matches!(first.answer, Answer::Run(ref run) if run.is_ok()));
        let second = worker.wait(LIMIT).expect("a second reply");
        assert_eq!((second.bench, second.revision), (7, 1));
        assert!(matches!(second.answer, Answer::Capacity(_)));
    }

    #[test]
    fn refused_values_come_back_as_words() {
        let worker = Worker::new(1, || {});
        let mut scenario = Scenario::default();
        scenario.primary.bore_m = 5.0;
        worker.ask(1, 1, scenario);
        let reply = worker.wait(LIMIT).expect("a reply");
        let Answer::Run(result) = reply.answer else { panic!("a run was asked for") };
        assert!(result.is_err_and(|text| text.contains("primary.bore")));
    }
}
