//! Which scenario is written to which files; everything that could overwrite something is refused before any run.

use std::collections::HashMap;
use std::ffi::OsString;
use std::path::{Path, PathBuf};

/// Stands for the scenario's name in a path.
const NAME: &str = "{}";

/// One scenario to run.
#[derive(Debug, PartialEq)]
pub struct Job {
    /// Its path, or the name of a shipped one.
    pub scenario: PathBuf,
    /// Where its trace goes.
    pub trace: Option<PathBuf>,
    /// Where its findings go.
    pub findings: Option<PathBuf>,
}

/// The jobs for these scenarios, or why the paths are refused.
pub fn plan(scenarios: &[PathBuf], trace: &Option<PathBuf>, findings: &Option<PathBuf>) -> Result<Vec<Job>, String> {
    let several = scenarios.len() > 1;
    let jobs = scenarios
        .iter()
        .map(|scenario| {
            Ok(Job {
                scenario: scenario.clone(),
                trace: place("--trace", trace, scenario, "csv", several)?,
                findings: place("--findings", findings, scenario, "json", several)?,
            })
        })
        .collect::<Result<Vec<_>, String>>()?;
    refuse_overwriting(&jobs)?;
    Ok(jobs)
}

fn place(
    option: &str,
    given: &Option<PathBuf>,
    scenario: &Path,
    ending: &str,
    several: bool,
) -> Result<Option<PathBuf>, String> {
    let Some(given) = given else { return Ok(None) };
    let Some(stem) = scenario.file_stem() else {
        return Err(format!("{}: this names no file", scenario.display()));
    };
    let text = given.to_string_lossy();
    if text.contains(NAME) {
        return Ok(Some(PathBuf::from(text.replace(NAME, &stem.to_string_lossy()))));
    }
    if given.is_dir() {
        let mut name = OsString::from(stem);
        name.push(".");
        name.push(ending);
        return Ok(Some(given.join(name)));
    }
    if text.ends_with(std::path::is_separator) {
        return Err(format!("{option}: there is no folder {text}; create it first"));
    }
    if several {
        return Err(format!(
            "{option} {text}: several scenarios would be written to one file; give a folder, or put {NAME} into the path"
        ));
    }
    Ok(Some(given.clone()))
}

fn refuse_overwriting(jobs: &[Job]) -> Result<(), String> {
    let mut written: HashMap<PathBuf, &Path> = HashMap::new();
    for job in jobs {
        for path in [&job.trace, &job.findings].into_iter().flatten() {
            if let Some(other) = written.insert(resolved(path), &job.scenario) {
                let (path, other, this) = (path.display(), other.display(), job.scenario.display());
                return Err(format!("{path} would be written twice, for {other} and for {this}; name them apart"));
            }
        }
    }
    match jobs.iter().find(|job| job.scenario.exists() && written.contains_key(&resolved(&job.scenario))) {
        Some(job) => Err(format!("{} would be overwritten; write to another file", job.scenario.display())),
        None => Ok(()),
    }
}

/// Refuses two outputs in one file, and an output in place of the scenario.
pub fn refuse_same(scenario: &Path, first: &Option<PathBuf>, second: &Option<PathBuf>) -> Result<(), String> {
    let [one, two] = [first, second].map(|path| path.as_deref().map(resolved));
    if let Some(path) = first.as_deref().filter(|_| one.is_some() && one == two) {
        return Err(format!("{} would be written twice; name them apart", path.display()));
    }
    let own = Some(resolved(scenario)).filter(|_| scenario.exists());
    if own.is_some() && (own == one || own == two) {
        return Err(format!("{} would be overwritten; write to another file", scenario.display()));
    }
    Ok(())
}

/// One name for one file, however it is written and whether it is there yet or not.
pub fn resolved(path: &Path) -> PathBuf {
    if let Ok(known) = path.canonicalize() {
        return known;
    }
    let folder = path.parent().filter(|parent| !parent.as_os_str().is_empty()).unwrap_or(Path::new("."));
    match (folder.canonicalize(), path.file_name()) {
        (Ok(folder), Some(name)) => folder.join(name),
        _ => path.to_owned(),
    }
}
