//! Runs of live blocks on a thread of their own: the newest request of a block wins.

use crate::app::waiting::Waiting;
use crate::app::worker::{Outcome, guarded};
use crate::learning::live::Bench;
use crate::learning::seen::{Seen, see};
use rayon::prelude::*;
use std::sync::Arc;
use std::sync::mpsc::{Receiver, Sender, channel};

/// A block's name towards the runner.
pub type BlockKey = u64;

/// What a block's benches did, ready to be painted.
#[derive(Debug)]
pub struct Shown {
    /// What each bench did.
    pub seen: Vec<Seen>,
    /// The same as the drawings take it; `None` for a soak, which has no section.
    pub outcomes: Vec<Option<Outcome>>,
}

/// What comes back.
pub struct Reply {
    /// Which block asked.
    pub key: BlockKey,
    /// Which of its requests this answers.
    pub revision: u64,
    /// What was seen, or why nothing was.
    pub answer: Result<Arc<Shown>, String>,
}

struct Request {
    revision: u64,
    benches: Vec<Bench>,
    with_steady: bool,
}

/// The thread that runs live blocks.
pub struct Runner {
    requests: Arc<Waiting<BlockKey, Request>>,
    replies: Receiver<Reply>,
}

impl Runner {
    /// Start it; `wake` is called after each reply.
    pub fn new(wake: impl Fn() + Send + 'static) -> Self {
        let requests = Arc::new(Waiting::default());
        let (sender, replies) = channel();
        let at_work = Arc::clone(&requests);
        std::thread::spawn(move || work(&at_work, &sender, &wake));
        Self { requests, replies }
    }

    /// Ask for a run; a request of the same block that has not begun is dropped.
    pub fn ask(&self, key: BlockKey, revision: u64, benches: Vec<Bench>, with_steady: bool) {
        self.requests.put(key, Request { revision, benches, with_steady });
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

impl Drop for Runner {
    fn drop(&mut self) {
        self.requests.close();
    }
}

fn work(requests: &Waiting<BlockKey, Request>, sender: &Sender<Reply>, wake: &dyn Fn()) {
    while let Some((key, request)) = requests.next() {
        let answer = guarded(|| run(&request)).and_then(|shown| shown);
        if sender.send(Reply { key, revision: request.revision, answer: answer.map(Arc::new) }).is_err() {
            return;
        }
        wake();
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
