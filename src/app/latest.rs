//! Work on a thread of its own: the newest request of a name wins, older ones that have not begun are dropped.

use super::waiting::Waiting;
use super::worker::guarded;
use std::sync::Arc;
use std::sync::mpsc::{Receiver, Sender, channel};
use std::time::Duration;

/// An answer with its address.
#[derive(Debug)]
pub struct Reply<T> {
    /// Who asked.
    pub key: u64,
    /// Which of its requests this answers.
    pub revision: u64,
    /// The answer, or why there is none.
    pub answer: Result<T, String>,
}

/// A thread that turns requests `Q` into answers `T`.
pub struct Latest<Q, T> {
    requests: Arc<Waiting<u64, (u64, Q)>>,
    replies: Receiver<Reply<T>>,
}

impl<Q: Send + 'static, T: Send + 'static> Latest<Q, T> {
    /// Start it; `wake` is called after each reply.
    pub fn new(wake: impl Fn() + Send + 'static, run: impl Fn(&Q) -> Result<T, String> + Send + 'static) -> Self {
        let requests = Arc::new(Waiting::default());
        let (sender, replies) = channel();
        let at_work = Arc::clone(&requests);
        std::thread::spawn(move || work(&at_work, &sender, &wake, &run));
        Self { requests, replies }
    }

    /// Ask; a request of the same name that has not begun is dropped.
    pub fn ask(&self, key: u64, revision: u64, request: Q) {
        self.requests.put(key, (revision, request));
    }

    /// A reply that has come, if any.
    pub fn reply(&self) -> Option<Reply<T>> {
        self.replies.try_recv().ok()
    }

    /// Wait for a reply; `None` after `limit`.
    pub fn wait(&self, limit: Duration) -> Option<Reply<T>> {
        self.replies.recv_timeout(limit).ok()
    }
}

impl<Q, T> Drop for Latest<Q, T> {
    fn drop(&mut self) {
        self.requests.close();
    }
}

fn work<Q, T>(
    requests: &Waiting<u64, (u64, Q)>,
    sender: &Sender<Reply<T>>,
    wake: &impl Fn(),
    run: &impl Fn(&Q) -> Result<T, String>,
) {
    while let Some((key, (revision, request))) = requests.next() {
        let answer = guarded(|| run(&request)).and_then(|answer| answer);
        if sender.send(Reply { key, revision, answer }).is_err() {
            return;
        }
        wake();
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const LIMIT: Duration = Duration::from_secs(60);

    /// The first request keeps the thread busy until the test lets go, so that the others wait together.
    #[test]
    fn only_the_newest_of_waiting_requests_is_run() {
        let (begun, has_begun) = channel::<()>();
        let (go, wait) = channel::<()>();
        let latest = Latest::new(
            || {},
            move |number: &u32| {
                if *number == 0 {
                    begun.send(()).map_err(|error| error.to_string())?;
                    wait.recv().map_err(|error| error.to_string())?;
                }
                Ok(*number)
            },
        );
        latest.ask(1, 1, 0);
        has_begun.recv_timeout(LIMIT).expect("it begins");
        for number in 1..5 {
            latest.ask(2, u64::from(number), number);
        }
        go.send(()).expect("the thread waits");
        let answers: Vec<_> =
            (0..2).map(|_| latest.wait(LIMIT).expect("a reply")).map(|r| (r.key, r.revision, r.answer)).collect();
        assert_eq!(answers, [(1, 1, Ok(0)), (2, 4, Ok(4))]);
        assert!(latest.reply().is_none());
    }

    #[test]
    fn a_defect_is_told_and_the_thread_goes_on() {
        let latest = Latest::new(|| {}, |number: &u32| if *number == 1 { panic!("a defect") } else { Ok(*number) });
        latest.ask(1, 1, 1);
        assert!(latest.wait(LIMIT).expect("a reply").answer.is_err());
        latest.ask(1, 2, 7);
        assert_eq!(latest.wait(LIMIT).expect("a reply").answer, Ok(7));
    }
}
