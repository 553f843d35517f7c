//! The items that come with the program, and those of a user's folder.

use crate::content::course_file::SourceFile;
use crate::content::course_folder;
use crate::content::exchange::qti;
use crate::content::problem::{Problem, quoted};
use crate::content::quiz::exchanged::{self, About};
use crate::content::quiz::file;
use crate::content::save::save_atomically;
use crate::learning::quiz::bank::Bank;
use crate::learning::quiz::item::Item;
use include_dir::{Dir, include_dir};
use std::path::{Path, PathBuf};

static QUIZZES: Dir<'_> = include_dir!("$CARGO_MANIFEST_DIR/content/quizzes");

/// The folder within a course folder that holds quizzes.
pub const FOLDER: &str = "quizzes";

/// The files that come with the program, by name.
pub fn embedded() -> Vec<SourceFile> {
    let file = |file: &include_dir::File<'_>| {
        let name = file.path().file_name()?.to_str()?.to_owned();
        Some(SourceFile { name, text: file.contents_utf8()?.to_owned() })
    };
    let mut files: Vec<SourceFile> = QUIZZES.files().filter_map(file).collect();
    files.sort_by(|a, b| a.name.cmp(&b.name));
    files
}

/// The quizzes in a course folder; none if it has no folder for them.
///
/// # Errors
/// As [`course_folder::read`].
pub fn own(folder: &Path) -> Result<Vec<SourceFile>, Vec<Problem>> {
    let quizzes = folder.join(FOLDER);
    if !quizzes.is_dir() {
        return Ok(Vec::new());
    }
    let files = course_folder::read(&quizzes).map_err(|problems| problems.0)?;
    Ok(files.into_iter().filter(|file| file.name.ends_with(".toml")).collect())
}

/// All items that come with the program, with those of a user's course folder over them, as far as they can be read; and
/// every problem of the folder. A screen shows the one and tells of the other.
pub fn bank(folder: Option<&Path>) -> (Bank, Vec<Problem>) {
    let mut course = course_folder::embedded();
    let (mut bank, mut problems) = read(&embedded(), &course);
    let Some(folder) = folder else { return (bank, problems) };
    // problems of the course's own files are told with the course
    course.extend(course_folder::read(folder).unwrap_or_default());
    match own(folder) {
        Ok(files) => {
            let (own, of_own) = read(&files, &course);
            bank = over(bank, own);
            problems.extend(of_own);
        }
        Err(of_folder) => problems.extend(of_folder),
    }
    (bank, problems)
}

/// The items of quiz files, as far as they can be read, and every problem. `course` holds lessons and scenarios that items
/// may name.
pub fn read(files: &[SourceFile], course: &[SourceFile]) -> (Bank, Vec<Problem>) {
    let mut bank = Bank::default();
    let mut problems = Vec::new();
    for file in files {
        let (items, of_file) = file::read(file, course);
        problems.extend(of_file);
        for item in items {
            match bank.item(&item.id) {
                Some(other) => problems.push(twice(&item, other)),
                None => bank.items.push(item),
            }
        }
    }
    (bank, problems)
}

/// A bank with another's items over it: one of the same id replaces, a new one adds.
pub fn over(mut bank: Bank, own: Bank) -> Bank {
    for item in own.items {
        match bank.items.iter_mut().find(|known| known.id == item.id) {
            Some(known) => *known = item,
            None => bank.items.push(item),
        }
    }
    bank
}

/// What came of an import.
#[derive(Debug, Clone, PartialEq)]
pub struct Imported {
    /// The new file; none when nothing was taken.
    pub file: Option<PathBuf>,
    /// Ids of the items that were taken.
    pub ids: Vec<String>,
    /// How many of these stand in place of items that come with the program.
    pub replacing: usize,
    /// Every item that was not taken, and why.
    pub not_taken: Vec<Problem>,
}

impl Imported {
    /// What came of it, in words.
    pub fn sentence(&self) -> String {
        let Some(file) = &self.file else { return "No item was taken.".to_owned() };
        let items =
            if self.ids.len() == 1 { "1 item was".to_owned() } else { format!("{} items were", self.ids.len()) };
        let replacing = match self.replacing {
            0 => String::new(),
            count => format!(" {count} of them stand in place of items that come with the program."),
        };
        format!("{items} taken into {}.{replacing}", file.display())
    }
}

/// Take a package into a course folder, as a quiz file of its own beside those that are there.
///
/// # Errors
/// A package that cannot be read, a folder that cannot be written to.
pub fn import(package: &Path, folder: &Path, outcomes: &[usize]) -> Result<Imported, Problem> {
    let shown = package.display().to_string();
    let name = package.file_name().map_or_else(String::new, |name| quoted(&name.to_string_lossy()));
    let found = qti::import(&qti::read(package)?, &shown)?;
    let taken = exchanged::take(&found.items, About { topic: &format!("Imported from {name}"), from: &name, outcomes });
    let shipped = read(&embedded(), &course_folder::embedded()).0;
    let replacing = taken.ids.iter().filter(|id| shipped.item(id).is_some()).count();
    let not_taken = found.not_taken.into_iter().chain(taken.not_taken).collect();
    let file = if taken.text.is_empty() { None } else { Some(put(folder, package, &taken.text)?) };
    Ok(Imported { file, ids: taken.ids, replacing, not_taken })
}

/// Write a quiz file under a name that no file has yet.
fn put(folder: &Path, package: &Path, text: &str) -> Result<PathBuf, Problem> {
    const MOST: usize = 999;
    let failed = |path: &Path, message: String| Problem {
        file: path.display().to_string(),
        line: 1,
        key: String::new(),
        message,
        mend: "choose a course folder that may be written to".to_owned(),
    };
    let quizzes = folder.join(FOLDER);
    std::fs::create_dir_all(&quizzes)
        .map_err(|error| failed(&quizzes, format!("the folder cannot be made: {error}")))?;
    let stem = package.file_stem().map_or_else(String::new, |stem| stem.to_string_lossy().to_lowercase());
    let stem: String = stem.chars().map(|c| if c.is_ascii_alphanumeric() { c } else { '_' }).take(40).collect();
    let path = |number: usize| quizzes.join(format!("imported_{stem}_{number}.toml"));
    let free = (1..=MOST).map(path).find(|path| !path.exists());
    let path = free.ok_or_else(|| failed(&quizzes, format!("there are {MOST} imported files of this name")))?;
    save_atomically(&path, text).map_err(|error| failed(&error.path, format!("not saved: {}", error.cause)))?;
    Ok(path)
}

fn twice(item: &Item, other: &Item) -> Problem {
    Problem {
        file: item.file.clone(),
        line: item.line,
        key: quoted(&item.id),
        message: format!("this id is used twice, also in {}:{}", other.file, other.line),
        mend: "give each item a name of its own".to_owned(),
    }
}
