//! Files of a part's settings: what the File menu and its keys do while the part is shown.

use super::{Part, View};
use crate::app::actions::{Action, Purpose};
use crate::app::files;
use std::path::Path;

/// Settings as a file holds them.
#[derive(Debug, Clone, PartialEq)]
pub struct Titled<S> {
    /// A short name.
    pub title: String,
    /// What it shows, and that its data is invented.
    pub note: String,
    /// The settings.
    pub settings: S,
}

/// How a part's settings are kept in files.
pub struct Files<P: Part> {
    /// Read one.
    pub read: fn(&Path) -> Result<Titled<P::Settings>, String>,
    /// As text.
    pub write: fn(&Titled<P::Settings>) -> String,
    /// Those that come along.
    pub shipped: fn() -> Vec<Titled<P::Settings>>,
    /// A run as a table.
    pub trace: fn(&P::Run) -> Result<String, String>,
}

/// What came of something that was done with files.
#[derive(Debug, Clone, PartialEq)]
pub enum Filed {
    /// It is done, and this is worth a word.
    Said(String),
    /// It was not.
    Failed(String),
    /// A path must be asked for, with a name to suggest.
    Ask(Purpose, String),
    /// It is done.
    Done,
}

/// Whether an action reads or writes what stands on benches.
pub fn is_of_benches(action: &Action) -> bool {
    matches!(
        action,
        Action::Open
            | Action::OpenPath(_)
            | Action::OpenPaths(_)
            | Action::Save
            | Action::SaveAs
            | Action::SaveTo(_)
            | Action::ExportTrace
            | Action::ExportTraceTo(_)
            | Action::Example(_)
            | Action::AskPath(Purpose::Open | Purpose::Save | Purpose::Export)
    )
}

/// What is said where nothing is kept in files.
pub const NO_FILES: &str = "what is set here is not kept in files; go to the benches or to the heat soak for theirs";

impl<P: Part> View<P> {
    /// Do it, or give the action back.
    pub(super) fn filed(&mut self, action: Action) -> Result<Filed, Action> {
        if !is_of_benches(&action) {
            return Err(action);
        }
        let Some(kept) = P::FILES else { return Ok(Filed::Failed(NO_FILES.to_owned())) };
        let name = |ending| files::file_name(&self.bench().title, ending);
        Ok(match action {
            Action::Open => Filed::Ask(Purpose::Open, String::new()),
            Action::SaveAs => Filed::Ask(Purpose::Save, name("toml")),
            Action::ExportTrace => Filed::Ask(Purpose::Export, name("csv")),
            Action::Save => match self.bench().path.clone() {
                Some(path) => self.write(&kept, &path),
                None => Filed::Ask(Purpose::Save, name("toml")),
            },
            Action::SaveTo(path) => self.write(&kept, &path),
            Action::ExportTraceTo(path) => self.export(&kept, &path),
            Action::OpenPath(path) => self.read(&kept, self.selected, &path),
            Action::OpenPaths(paths) => {
                let more = paths.len() > self.benches.len();
                let each = paths.iter().take(self.benches.len()).enumerate();
                let failed: Vec<String> = each
                    .filter_map(|(index, path)| match self.read(&kept, index, path) {
                        Filed::Failed(error) => Some(error),
                        _ => None,
                    })
                    .collect();
                match (failed.is_empty(), more) {
                    (false, _) => Filed::Failed(failed.join("\n")),
                    (true, true) => Filed::Said(format!("{} files were given; the first are shown.", paths.len())),
                    (true, false) => Filed::Done,
                }
            }
            Action::Example(index) => {
                if let Some(titled) = (kept.shipped)().into_iter().nth(index) {
                    self.take_in(self.selected, titled);
                }
                Filed::Done
            }
            other => return Err(other),
        })
    }

    fn take_in(&mut self, index: usize, titled: Titled<P::Settings>) {
        self.load(index, titled.title, titled.settings);
        if let Some(bench) = self.benches.get_mut(index) {
            (bench.note, bench.path) = (titled.note, None);
        }
    }

    fn read(&mut self, kept: &Files<P>, index: usize, path: &Path) -> Filed {
        match (kept.read)(path) {
            Ok(titled) => {
                self.take_in(index, titled);
                self.benches[index].path = path.exists().then(|| path.to_owned());
                Filed::Done
            }
            Err(error) => Filed::Failed(error),
        }
    }

    fn write(&mut self, kept: &Files<P>, path: &Path) -> Filed {
        let bench = self.bench();
        let titled = Titled { title: bench.title.clone(), note: bench.note.clone(), settings: bench.settings.clone() };
        if let Err(error) = files::write_text(path, &(kept.write)(&titled)) {
            return Filed::Failed(error);
        }
        let selected = self.selected;
        self.benches[selected].path = Some(path.to_owned());
        Filed::Said(format!("Saved to {}.", path.display()))
    }

    fn export(&self, kept: &Files<P>, path: &Path) -> Filed {
        let bench = self.bench();
        let Some(ran) = bench.ran.as_ref().filter(|_| !bench.waiting()) else {
            return Filed::Failed(
                "there is no run of the selected bench yet; mend its settings or wait for it".to_owned(),
            );
        };
        match (kept.trace)(&ran.run).and_then(|table| files::write_text(path, &table)) {
            Ok(()) => Filed::Said(format!("The trace of {} was written to {}.", bench.title, path.display())),
            Err(error) => Filed::Failed(error),
        }
    }
}
