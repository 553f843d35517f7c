//! A bench of a part, and how it was before.

use super::{Part, Titled};
use crate::app::worker::BenchId;
use std::path::PathBuf;
use std::sync::Arc;

/// A finished run with its settings.
pub struct Ran<P: Part> {
    /// What was run.
    pub settings: P::Settings,
    /// What came of it.
    pub run: P::Run,
}

/// One subject.
pub struct Bench<P: Part> {
    /// Its name towards the runner.
    pub id: BenchId,
    /// As shown.
    pub title: String,
    /// What its file says of it.
    pub note: String,
    /// Where it came from or was saved to.
    pub path: Option<PathBuf>,
    /// What is set.
    pub settings: P::Settings,
    /// The newest run that has come.
    pub ran: Option<Arc<Ran<P>>>,
    /// Why the newest request brought no run.
    pub error: Option<String>,
    /// Number of the newest request.
    pub revision: u64,
    /// Number of the newest request that was answered.
    pub answered: u64,
    /// Number of the newest request that was sent off.
    pub(super) asked: u64,
}

impl<P: Part> Bench<P> {
    /// Whether the shown run is older than the settings.
    pub fn waiting(&self) -> bool {
        self.answered < self.revision
    }
}

/// A bench as it was.
pub struct Before<P: Part> {
    /// Its name towards the runner.
    pub id: BenchId,
    /// Where it came from or was saved to.
    pub path: Option<PathBuf>,
    /// The rest.
    pub titled: Titled<P::Settings>,
}

/// What can be undone: every bench, and which was selected.
pub type Snapshot<P> = (Vec<Before<P>>, usize);

/// The benches as they are.
pub fn snapshot<P: Part>(benches: &[Bench<P>], selected: usize) -> Snapshot<P> {
    let before = |bench: &Bench<P>| Before {
        id: bench.id,
        path: bench.path.clone(),
        titled: Titled { title: bench.title.clone(), note: bench.note.clone(), settings: bench.settings.clone() },
    };
    (benches.iter().map(before).collect(), selected)
}
