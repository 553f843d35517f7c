//! What the desk does away from the screen: read, keep, write files.

use super::Ask;
use super::class::{Class, Source};
use crate::bench::watch::Watch;
use crate::content::exchange::{qti, statements, tables};
use crate::content::quiz::bank;
use crate::content::quiz::exchanged;
use crate::content::save::save_atomically;
use crate::learning::record::LearnerCode;
use crate::report::date::Date;
use crate::report::page::Paper;
use crate::report::paper_test::{Wanted, pdfs};
use crate::storage::records::Records;
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// Something to do.
#[derive(Debug, Clone)]
pub enum Task {
    /// Read the class.
    Read,
    /// A learner with this name.
    Add(String),
    /// Another name.
    Rename(LearnerCode, String),
    /// Everything about a learner away.
    Delete(LearnerCode),
    /// Everything about everybody away.
    DeleteAll,
    /// What is stored about a learner, or about everybody, as a file.
    Export(Option<LearnerCode>, PathBuf),
    /// A table or statements of the class as a file: which, the form among the class's.
    Write(Ask, usize, PathBuf),
    /// The items as a package.
    Package(u64, PathBuf),
    /// A package into the course folder: outcomes of items that name none.
    Import(Vec<usize>, PathBuf),
    /// A test with its key.
    Test(Wanted, Paper, PathBuf),
}

/// What a task works on.
#[derive(Debug, Clone)]
pub struct Place {
    /// Where the class comes from.
    pub source: Option<Source>,
    /// The class as it was read.
    pub class: Option<Arc<Class>>,
    /// The course folder, if there is one.
    pub course: Option<PathBuf>,
}

/// What came of a task.
#[derive(Debug, Default)]
pub struct Done {
    /// The class, where it was read anew.
    pub class: Option<Class>,
    /// What is told.
    pub told: String,
    /// What is wrong but did not stop it, one a line.
    pub problems: Vec<String>,
    /// The learner that is looked at from now on.
    pub chosen: Option<LearnerCode>,
}

impl Task {
    /// What is being done, while it lasts.
    pub fn label(&self) -> &'static str {
        match self {
            Self::Read => "Reading the answers",
            Self::Add(_) | Self::Rename(..) => "Keeping the name",
            Self::Delete(_) | Self::DeleteAll => "Deleting",
            Self::Export(..) | Self::Write(..) => "Writing the file",
            Self::Package(..) => "Running the items for the package",
            Self::Import(..) => "Taking the package in",
            Self::Test(..) => "Making the test and its key",
        }
    }

    /// Do it.
    ///
    /// # Errors
    /// In words: what, where, how to mend.
    pub fn run(self, place: &Place, watch: &Watch) -> Result<Done, String> {
        let course = place.course.as_deref();
        let told = |told: String| Done { told, ..Done::default() };
        match self {
            Self::Read => place.read(Done::default()),
            Self::Add(name) => {
                let code = place.records()?.add(&name).map_err(|problem| problem.to_string())?;
                let told =
                    format!("The new learner has the code {code}. Write it down: it is all that a learner needs.");
                place.read(Done { told, chosen: Some(code), ..Done::default() })
            }
            Self::Rename(code, name) => {
                place.records()?.rename(&code, &name).map_err(|problem| problem.to_string())?;
                place.read(Done { chosen: Some(code), ..Done::default() })
            }
            Self::Delete(code) => {
                place.records()?.delete(&code).map_err(|problem| problem.to_string())?;
                place.read(told(format!("{code} is gone: answers, name, and copies set aside in this folder.")))
            }
            Self::DeleteAll => {
                place.records()?.delete_all().map_err(|problem| problem.to_string())?;
                place.read(told("Every learner of this folder is gone.".to_owned()))
            }
            Self::Export(code, path) => {
                let mut records = place.records()?;
                let text = match &code {
                    Some(code) => records.export(code),
                    None => records.export_all(),
                };
                written(&path, text.map_err(|problem| problem.to_string())?.as_bytes()).map(told)
            }
            Self::Write(ask, form, path) => {
                let class = place.class.as_ref().ok_or("there is no class yet; choose a folder first")?;
                let text = match ask {
                    Ask::Items => class.forms.get(form).map(|(_, form)| tables::items(form)).unwrap_or_default(),
                    Ask::Mastery => tables::mastery(&class.mastery),
                    Ask::Statements => statements::statements(&class.answers),
                    _ => tables::answers(&class.answers),
                };
                written(&path, text.as_bytes()).map(told)
            }
            Self::Package(seed, path) => {
                let (bank, _) = bank::bank(course);
                let exported = exchanged::export(&bank, seed);
                let package = qti::export(&exported.items).map_err(|problems| problems.to_string())?;
                if watch.cancelled() {
                    return Err("It was cancelled; nothing was written.".to_owned());
                }
                written(&path, &package)?;
                let told = format!("{} items were written to {}.", exported.items.len(), path.display());
                let problems = exported.left_out.iter().map(|problem| problem.to_string()).collect();
                Ok(Done { told, problems, ..Done::default() })
            }
            Self::Import(outcomes, package) => {
                let folder =
                    course.ok_or("choose a course folder first (File, Course folder): imported items go there")?;
                let imported = bank::import(&package, folder, &outcomes).map_err(|problem| problem.to_string())?;
                let problems = imported.not_taken.iter().map(|problem| problem.to_string()).collect();
                place.read(Done { told: imported.sentence(), problems, ..Done::default() })
            }
            Self::Test(wanted, paper, path) => test(&wanted, paper, &path, course, watch).map(told),
        }
    }
}

fn test(wanted: &Wanted, paper: Paper, path: &Path, course: Option<&Path>, watch: &Watch) -> Result<String, String> {
    let (bank, _) = bank::bank(course);
    let items = wanted.chosen(&bank);
    let today = Date::today();
    let [test, key] = pdfs(&items, wanted.seed, paper, today)?;
    if watch.cancelled() {
        return Err("It was cancelled; nothing was written.".to_owned());
    }
    let beside = key_path(path);
    written(path, &test)?;
    written(&beside, &key)?;
    Ok(format!("The test is {}, its key {}.", path.display(), beside.display()))
}

/// The key stands beside its test.
pub fn key_path(path: &Path) -> PathBuf {
    let stem = path.file_stem().unwrap_or_default().to_string_lossy();
    path.with_file_name(format!("{stem}_key.pdf"))
}

fn written(path: &Path, bytes: &[u8]) -> Result<String, String> {
    save_atomically(path, bytes).map_err(|error| error.to_string())?;
    Ok(format!("Written to {}.", path.display()))
}

impl Place {
    /// The records, which are given back as soon as this is done: the questions need them too.
    fn records(&self) -> Result<Records, String> {
        match &self.source {
            Some(Source::Folder(folder)) => Records::open(folder).map_err(|problem| problem.to_string()),
            Some(Source::Invented) => Err("the invented class is in memory only; choose a records folder".to_owned()),
            None => Err("choose a records folder first".to_owned()),
        }
    }

    fn read(&self, done: Done) -> Result<Done, String> {
        let Some(source) = &self.source else { return Ok(done) };
        let (class, problems) = Class::read(source, self.course.as_deref())?;
        let mut told = done.problems;
        told.extend(problems.iter().map(|problem| problem.to_string()));
        Ok(Done { class: Some(class), problems: told, ..done })
    }
}
