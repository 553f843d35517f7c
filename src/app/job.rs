//! A long piece of work away from the screen, with progress and cancel.

use super::worker::guarded;
use crate::bench::watch::Watch;
use eframe::egui::Context;
use std::sync::Arc;
use std::sync::mpsc::{Receiver, RecvTimeoutError, TryRecvError, channel};

const BROKEN_OFF: &str = "the work broke off; begin it again";

enum Message<S, T> {
    Step(S),
    Done(Result<T, String>),
}

/// Work that has begun; it is cancelled when this is dropped.
pub struct Job<S, T> {
    watch: Arc<Watch>,
    messages: Receiver<Message<S, T>>,
    /// What it has told on its way.
    pub steps: Vec<S>,
}

impl<S: Send + 'static, T: Send + 'static> Job<S, T> {
    /// Begin; each step and the end wake the window.
    pub fn begin(
        ctx: &Context,
        work: impl FnOnce(&Watch, &mut dyn FnMut(S)) -> Result<T, String> + Send + 'static,
    ) -> Self {
        let watch = Arc::new(Watch::default());
        let (sender, messages) = channel();
        let (shared, ctx) = (Arc::clone(&watch), ctx.clone());
        std::thread::spawn(move || {
            let mut tell = |step| {
                // nobody listens any more: the watch has been told as well
                drop(sender.send(Message::Step(step)));
                ctx.request_repaint();
            };
            let result = guarded(|| work(&shared, &mut tell)).and_then(|result| result);
            drop(sender.send(Message::Done(result)));
            ctx.request_repaint();
        });
        Self { watch, messages, steps: Vec::new() }
    }

    /// Take in what has come; the result once it is there.
    pub fn poll(&mut self) -> Option<Result<T, String>> {
        loop {
            match self.messages.try_recv() {
                Ok(Message::Step(step)) => self.steps.push(step),
                Ok(Message::Done(result)) => return Some(result),
                Err(TryRecvError::Empty) => return None,
                Err(TryRecvError::Disconnected) => return Some(Err(BROKEN_OFF.to_owned())),
            }
        }
    }

    /// Wait for the result; `None` if nothing is heard for `limit`.
    pub fn wait(&mut self, limit: std::time::Duration) -> Option<Result<T, String>> {
        loop {
            match self.messages.recv_timeout(limit) {
                Ok(Message::Step(step)) => self.steps.push(step),
                Ok(Message::Done(result)) => return Some(result),
                Err(RecvTimeoutError::Timeout) => return None,
                Err(RecvTimeoutError::Disconnected) => return Some(Err(BROKEN_OFF.to_owned())),
            }
        }
    }

    /// Runs that are finished.
    pub fn done(&self) -> usize {
        self.watch.done()
    }

    /// Ask it to end soon.
    pub fn cancel(&self) {
        self.watch.cancel();
    }

    /// Whether it has been asked.
    pub fn cancelled(&self) -> bool {
        self.watch.cancelled()
    }
}

impl<S, T> Drop for Job<S, T> {
    fn drop(&mut self) {
        self.watch.cancel();
    }
}
