//! Runs of live blocks on a thread of their own: the newest request of a block wins.

use crate::app::latest::{self, Latest};
use crate::app::worker::Outcome;
use crate::learning::live::Bench;
use crate::learning::seen::{Seen, see};
use rayon::prelude::*;
use std::sync::Arc;

/// A block's name towards the runner.
pub type BlockKey = u64;

/// What a block's benches did, ready to be painted.
#[derive(Debug)]
pub struct Shown {
    /// What each bench did.
    pub seen: Vec<Seen>,
    /// The same as the sections in motion take it; `None` for a soak, which is drawn from what was seen.
    pub outcomes: Vec<Option<Outcome>>,
}

/// What comes back: what was seen, or why nothing was.
pub type Reply = latest::Reply<Arc<Shown>>;

struct Request {
    benches: Vec<Bench>,
    with_steady: bool,
}

/// The thread that runs live blocks.
pub struct Runner(Latest<Request, Arc<Shown>>);

impl Runner {
    /// Start it; `wake` is called after each reply.
    pub fn new(wake: impl Fn() + Send + 'static) -> Self {
        Self(Latest::new(wake, |request| run(request).map(Arc::new)))
    }

    /// Ask for a run; a request of the same block that has not begun is dropped.
    pub fn ask(&self, key: BlockKey, revision: u64, benches: Vec<Bench>, with_steady: bool) {
        self.0.ask(key, revision, Request { benches, with_steady });
    }

    /// A reply that has come, if any.
    pub fn reply(&self) -> Option<Reply> {
        self.0.reply()
    }

    /// Wait for a reply; `None` after `limit`.
    pub fn wait(&self, limit: std::time::Duration) -> Option<Reply> {
        self.0.wait(limit)
    }
}

fn run(request: &Request) -> Result<Shown, String> {
    let each: Result<Vec<Vec<Seen>>, String> =
        request.benches.par_iter().map(|bench| see(std::slice::from_ref(bench), request.with_steady)).collect();
    let seen: Vec<Seen> = each?.into_iter().flatten().collect();
    let outcomes = seen
        .iter()
        .map(|seen| match seen {
            Seen::Stab(stab) => Some(Outcome::new(stab.scenario.clone(), stab.run.clone(), stab.findings)),
            Seen::Soak(_) => None,
        })
        .collect();
    Ok(Shown { seen, outcomes })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::scenario::Scenario;
    use crate::learning::live::Subject;
    use std::time::Duration;

    const LIMIT: Duration = Duration::from_secs(60);

    fn bench(scenario: Scenario) -> Bench {
        Bench { name: "Wagon".to_owned(), subject: Subject::Stab(Box::new(scenario)) }
    }

    #[test]
    fn benches_come_back_in_their_order() {
        let runner = Runner::new(|| {});
        let mut slow = Scenario::default();
        slow.pedal.stab_s = 0.5;
        runner.ask(4, 9, vec![bench(Scenario::default()), bench(slow)], false);
        let reply = runner.wait(LIMIT).expect("a reply");
        assert_eq!((reply.key, reply.revision), (4, 9));
        let shown = reply.answer.expect("a run");
        let stabs: Vec<f64> = shown.outcomes.iter().flatten().map(|o| o.scenario.pedal.stab_s).collect();
        assert_eq!(stabs, [Scenario::default().pedal.stab_s, 0.5]);
    }

    #[test]
    fn refused_values_come_back_as_words() {
        let runner = Runner::new(|| {});
        let mut scenario = Scenario::default();
        scenario.primary.bore_m = 5.0;
        runner.ask(1, 1, vec![bench(scenario)], false);
        let answer = runner.wait(LIMIT).expect("a reply").answer;
        assert!(answer.is_err_and(|text| text.contains("primary.bore")));
    }
}
