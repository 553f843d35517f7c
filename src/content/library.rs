//! The scenarios and soaks that come with the program, and those on disk.

use crate::bench::scenario::Scenario;
use crate::content::problem::{Problems, nearest};
use crate::content::scenario_file::{self, LARGEST_BYTES};
use crate::content::soak_file::{self, TitledSoak};
use include_dir::{Dir, include_dir};
use std::io::Read;
use std::path::Path;

static SCENARIOS: Dir<'_> = include_dir!("$CARGO_MANIFEST_DIR/content/scenarios");
static SOAKS: Dir<'_> = include_dir!("$CARGO_MANIFEST_DIR/content/soaks");

/// A scenario or a soak that comes with the program.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Shipped {
    /// File name without its ending; it can be written in place of a path.
    pub stem: &'static str,
    /// The file.
    pub text: &'static str,
}

impl Shipped {
    /// The soak itself.
    ///
    /// # Errors
    /// As [`soak_file::parse`]; a test reads every shipped file.
    pub fn soak(&self) -> Result<TitledSoak, Problems> {
        soak_file::parse(self.text, &format!("{}.toml", self.stem))
    }

    /// The scenario itself.
    ///
    /// # Errors
    /// As [`scenario_file::parse`]; a test reads every shipped file.
    pub fn scenario(&self) -> Result<Scenario, Problems> {
        scenario_file::parse(self.text, &format!("{}.toml", self.stem))
    }
}

/// Every shipped scenario, in the order of the file names.
pub fn shipped() -> Vec<Shipped> {
    files(&SCENARIOS)
}

/// Every shipped soak, in the order of the file names.
pub fn shipped_soaks() -> Vec<Shipped> {
    files(&SOAKS)
}

/// Every file of settings in an embedded folder, in the order of the names.
pub(super) fn files(folder: &'static Dir<'static>) -> Vec<Shipped> {
    let mut all: Vec<_> = folder
        .files()
        .filter(|file| file.path().extension().is_some_and(|ending| ending == "toml"))
        .filter_map(|file| Some(Shipped { stem: file.path().file_stem()?.to_str()?, text: file.contents_utf8()? }))
        .collect();
    all.sort_by_key(|shipped| shipped.stem);
    all
}

/// The shipped scenario with this stem.
pub fn shipped_named(stem: &str) -> Option<Shipped> {
    shipped().into_iter().find(|shipped| shipped.stem == stem)
}

/// The scenario in a file, or the shipped one whose stem is written in place of a path.
///
/// # Errors
/// Every problem of the file, or that it cannot be read.
pub fn load(path: &Path) -> Result<Scenario, Problems> {
    if let Some(shipped) = path.to_str().filter(|_| !path.exists()).and_then(shipped_named) {
        return shipped.scenario();
    }
    let name = path.display().to_string();
    scenario_file::parse(&text_of(path, &name, "scenario", &shipped())?, &name)
}

/// The soak in a file, or the shipped one whose stem is written in place of a path.
///
/// # Errors
/// Every problem of the file, or that it cannot be read.
pub fn load_soak(path: &Path) -> Result<TitledSoak, Problems> {
    let all = shipped_soaks();
    let named = path.to_str().filter(|_| !path.exists());
    if let Some(shipped) = all.iter().find(|shipped| Some(shipped.stem) == named) {
        return shipped.soak();
    }
    let name = path.display().to_string();
    soak_file::parse(&text_of(path, &name, "soak", &all)?, &name)
}

/// Text of a file of some kind, of which some come with the program.
///
/// # Errors
/// That it cannot be read, is too large or is no text.
pub(super) fn text_of(path: &Path, name: &str, kind: &str, shipped: &[Shipped]) -> Result<String, Problems> {
    let mut bytes = Vec::new();
    let read = std::fs::File::open(path).and_then(|file| file.take(LARGEST_BYTES as u64 + 1).read_to_end(&mut bytes));
    if let Err(error) = read {
        let mend = match nearest(name, shipped.iter().map(|shipped| shipped.stem)) {
            Some(near) => format!("give the path of a {kind} file, or the name of a shipped one such as {near}"),
            None => format!("give the path of a {kind} file, or the name of a shipped one"),
        };
        return Err(Problems::of_file(name, 1, format!("the file cannot be read: {error}"), mend));
    }
    if bytes.len() > LARGEST_BYTES {
        let message = format!("the file has more than the {LARGEST_BYTES} bytes that are read");
        return Err(Problems::of_file(name, 1, message, format!("check that this is a {kind} file")));
    }
    String::from_utf8(bytes).map_err(|error| {
        let good = &error.as_bytes()[..error.utf8_error().valid_up_to()];
        let line = good.iter().filter(|byte| **byte == b'\n').count() + 1;
        Problems::of_file(name, line, "the file is not text in UTF-8", "save it as UTF-8 text")
    })
}
