//! Files: scenarios, traces, and file dialogs on a thread of their own.

use super::actions::{Action, Purpose};
use super::desk::Ask;
use crate::bench::scenario::Scenario;
use crate::bench::trace::Trace;
use crate::content::{export, library, save, scenario_file};
use std::path::Path;
use std::sync::mpsc::{Receiver, Sender, channel};

/// A shipped example.
pub struct Example {
    /// As shown in the menu.
    pub title: String,
    /// Its scenario, or why there is none.
    pub scenario: Result<Scenario, String>,
}

/// The shipped examples.
pub fn examples() -> Vec<Example> {
    library::shipped()
        .into_iter()
        .map(|shipped| {
            let scenario = shipped.scenario().map_err(|problems| problems.to_string());
            let title = scenario.as_ref().map_or(shipped.stem.to_owned(), |scenario| scenario.title.clone());
            Example { title, scenario }
        })
        .collect()
}

/// Read a scenario file.
///
/// # Errors
/// What is wrong, where, and how to mend it.
pub fn read(path: &Path) -> Result<Scenario, String> {
    library::load(path).map_err(|problems| problems.to_string())
}

/// Scenarios as texts, to be kept until the next session.
pub fn keep(scenarios: &[&Scenario]) -> Vec<String> {
    scenarios.iter().map(|scenario| scenario_file::serialize(scenario)).collect()
}

/// Scenarios from kept texts; those that this version cannot read are named.
pub fn kept(texts: &[String]) -> (Vec<Scenario>, Vec<String>) {
    let mut scenarios = Vec::new();
    let mut errors = Vec::new();
    for (index, text) in texts.iter().enumerate() {
        match scenario_file::parse(text, &format!("bench {} of the last session", index + 1)) {
            Ok(scenario) => scenarios.push(scenario),
            Err(problems) => errors.push(problems.to_string()),
        }
    }
    (scenarios, errors)
}

/// Write a scenario file: either the old content or the new is there, never half of it.
///
/// # Errors
/// What is wrong, where, and how to mend it.
pub fn write(path: &Path, scenario: &Scenario) -> Result<(), String> {
    save::save_atomically(path, &scenario_file::serialize(scenario)).map_err(|error| error.to_string())
}

/// Write a trace as a table in SI units.
///
/// # Errors
/// What is wrong, where, and how to mend it.
pub fn write_trace(path: &Path, trace: &Trace) -> Result<(), String> {
    let table = export::trace_csv(trace).map_err(|error| error.to_string())?;
    save::save_atomically(path, &table).map_err(|error| error.to_string())
}

/// Write a text that another program reads.
///
/// # Errors
/// What is wrong, where, and how to mend it.
pub fn write_text(path: &Path, text: &str) -> Result<(), String> {
    save::save_atomically(path, text).map_err(|error| error.to_string())
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
                Purpose::Open => dialog.add_filter("Settings", &["toml"]).pick_file(),
                Purpose::Save => dialog.add_filter("Settings", &["toml"]).set_file_name(suggested).save_file(),
                Purpose::Export | Purpose::MapTable => {
                    dialog.add_filter("Table", &["csv"]).set_file_name(suggested).save_file()
                }
                Purpose::MapPicture => dialog.add_filter("Picture", &["svg"]).set_file_name(suggested).save_file(),
                Purpose::Course | Purpose::Records => dialog.pick_folder(),
                Purpose::Desk(ask) => {
                    let (kind, ending) = ask.kind();
                    let dialog = dialog.add_filter(kind, &[ending]);
                    if ask == Ask::Import { dialog.pick_file() } else { dialog.set_file_name(suggested).save_file() }
                }
                Purpose::Handout(..) => dialog.add_filter("PDF", &["pdf"]).set_file_name(suggested).save_file(),
                Purpose::OpenCustomer => dialog.add_filter("Customer", &["toml"]).pick_file(),
                Purpose::SaveCustomer => dialog.add_filter("Customer", &["toml"]).set_file_name(suggested).save_file(),
                Purpose::CustomerPage | Purpose::CustomerTable | Purpose::CustomerData => {
                    let filter = dialog.add_filter("File", &[purpose.ending()]);
                    filter.set_file_name(suggested).save_file()
                }
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
        assert!(error.contains("wagon.toml"));
    }

    #[test]
    fn what_is_kept_comes_back() {
        let mut scenario = Scenario::default();
        scenario.pedal.stab_s = 0.34;
        let (scenarios, errors) = kept(&[keep(&[&scenario]), vec!["no scenario".to_owned()]].concat());
        assert!((scenarios[0].pedal.stab_s - 0.34).abs() < 1e-12);
        assert!(errors.len() == 1 && errors[0].contains("bench 2"));
    }

    #[test]
    fn every_example_can_be_opened() {
        assert!(examples().iter().all(|example| example.scenario.is_ok()));
    }

    #[test]
    fn file_names_hold_no_surprises() {
        assert_eq!(file_name("Wagon / twin pump", "toml"), "wagon___twin_pump.toml");
        assert_eq!(file_name("…", "csv"), "scenario.csv");
    }
}
