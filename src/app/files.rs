//! Files: reading and writing scenarios, file dialogs on a thread of their own.

use super::actions::{Action, Purpose};
use crate::bench::scenario::Scenario;
use crate::bench::trace::{CHANNELS, Trace};
use crate::families::FAMILIES;
use std::path::{Path, PathBuf};
use std::sync::mpsc::{Receiver, Sender, channel};

/// A scenario from the text of a file.
///
/// # Errors
/// Every problem with file, line, key and how to mend it.
pub fn parse(_text: &str, name: &str) -> Result<Scenario, String> {
    Err(format!("{name}: scenario files cannot be read by this build; choose a family and set its values by hand"))
}

/// A scenario as the text of a file.
///
/// # Errors
/// When it cannot be written.
pub fn serialize(_scenario: &Scenario) -> Result<String, String> {
    Err("scenario files cannot be written by this build; the bench stays as it is".to_owned())
}

/// A shipped example.
pub struct Example {
    /// As shown in the menu.
    pub title: String,
    /// Its scenario, or why there is none.
    pub scenario: Result<Scenario, String>,
}

/// The shipped examples.
pub fn examples() -> Vec<Example> {
    FAMILIES
        .iter()
        .map(|entry| Example { title: entry.name.to_owned(), scenario: Ok(Scenario::fresh(entry)) })
        .collect()
}

/// Largest file that is read, bytes: a scenario is a few kilobytes.
const MOST_BYTES: u64 = 1 << 20;

/// Read a scenario file.
///
/// # Errors
/// What is wrong, where, and how to mend it.
pub fn read(path: &Path) -> Result<Scenario, String> {
    let shown = path.display();
    let fault = |error: std::io::Error| format!("{shown}: {error}; check the path and whether you may read it");
    let size = std::fs::metadata(path).map_err(fault)?.len();
    if size > MOST_BYTES {
        return Err(format!("{shown}: {size} bytes is too large for a scenario; choose a scenario file"));
    }
    let text = std::fs::read_to_string(path).map_err(fault)?;
    parse(&text, &shown.to_string())
}

/// Write a file in one piece: either the old content or the new is there, never half of it.
///
/// # Errors
/// What is wrong, where, and how to mend it.
pub fn write(path: &Path, text: &str) -> Result<(), String> {
    let fault = |error: std::io::Error| {
        format!("{}: {error}; nothing was changed there: choose another folder or name", path.display())
    };
    let mut beside = path.as_os_str().to_owned();
    beside.push(".part");
    let beside = PathBuf::from(beside);
    std::fs::write(&beside, text).map_err(fault)?;
    std::fs::rename(&beside, path).map_err(|error| {
        // the old file is whole; what was written beside it is of no use
        let _ = std::fs::remove_file(&beside);
        fault(error)
    })
}

/// A trace as a table in SI units.
///
/// # Errors
/// When it cannot be written as one.
pub fn trace_table(trace: &Trace) -> Result<String, String> {
    let own = trace.own.iter().map(|channel| channel.id);
    let mut text: String = CHANNELS.iter().map(|channel| channel.id).chain(own).collect::<Vec<_>>().join(",");
    text.push('\n');
    for sample in &trace.samples {
        let own = sample.own.iter().take(trace.own.len()).copied();
        let row: Vec<_> =
            CHANNELS.iter().map(|channel| (channel.get)(sample)).chain(own).map(|value| value.to_string()).collect();
        text.push_str(&row.join(","));
        text.push('\n');
    }
    Ok(text)
}

/// File dialogs that do not hold up the window.
pub struct Dialogs {
    sender: Sender<Option<Action>>,
    chosen: Receiver<Option<Action>>,
    /// Whether a dialog is open.
    pub open: bool,
}

impl Default for Dialogs {
    fn default() -> Self {
        let (sender, chosen) = channel();
        Self { sender, chosen, open: false }
    }
}

impl Dialogs {
    /// Ask for a file; `wake` is called when there is an answer.
    pub fn ask(&mut self, purpose: Purpose, suggested: String, wake: impl FnOnce() + Send + 'static) {
        if self.open {
            return;
        }
        self.open = true;
        let sender = self.sender.clone();
        std::thread::spawn(move || {
            let dialog = rfd::FileDialog::new().set_title(purpose.title());
            let path = match purpose {
                Purpose::Open => dialog.add_filter("Scenario", &["toml"]).pick_file(),
                Purpose::Save => dialog.add_filter("Scenario", &["toml"]).set_file_name(suggested).save_file(),
                Purpose::Export => dialog.add_filter("Table", &["csv"]).set_file_name(suggested).save_file(),
            };
            // the window may have gone meanwhile
            let _ = sender.send(path.map(|path| purpose.act(path)));
            wake();
        });
    }

    /// What was chosen, if a dialog has closed.
    pub fn chosen(&mut self) -> Option<Action> {
        let chosen = self.chosen.try_recv().ok()?;
        self.open = false;
        chosen
    }
}

/// A file name from a title.
pub fn file_name(title: &str, ending: &str) -> String {
    let mut name: String =
        title.to_lowercase().chars().map(|c| if c.is_alphanumeric() { c } else { '_' }).take(60).collect();
    if name.trim_matches('_').is_empty() {
        "scenario".clone_into(&mut name);
    }
    format!("{name}.{ending}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_missing_file_is_named_in_its_error() {
        let error = read(Path::new("/no/such/place/wagon.toml")).expect_err("there is no such file");
        assert!(error.contains("wagon.toml") && error.contains("check the path"));
    }

    #[test]
    fn file_names_hold_no_surprises() {
        assert_eq!(file_name("Wagon / twin pump", "toml"), "wagon___twin_pump.toml");
        assert_eq!(file_name("…", "csv"), "scenario.csv");
    }
}
