//! The items that come with the program, and those of a user's folder.

use crate::content::course_file::SourceFile;
use crate::content::course_folder;
use crate::content::problem::{Problem, quoted};
use crate::content::quiz::file;
use crate::learning::quiz::bank::Bank;
use crate::learning::quiz::item::Item;
use include_dir::{Dir, include_dir};
use std::path::Path;

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

fn twice(item: &Item, other: &Item) -> Problem {
    Problem {
        file: item.file.clone(),
        line: item.line,
        key: quoted(&item.id),
        message: format!("this id is used twice, also in {}:{}", other.file, other.line),
        mend: "give each item a name of its own".to_owned(),
    }
}
