//! The course that comes with the program, and a user's folder.

use crate::content::course_file::{self, MOST_LESSONS, SourceFile};
use crate::content::lesson_file::LARGEST_BYTES;
use crate::content::problem::{Problem, Problems, quoted};
use crate::learning::course::Course;
use include_dir::{Dir, include_dir};
use std::io::Read;
use std::path::Path;

static COURSE: Dir<'_> = include_dir!("$CARGO_MANIFEST_DIR/content/course");

/// Most files of a folder that are looked at.
const MOST_FILES: usize = 2 * MOST_LESSONS;

/// The files of the course that comes with the program, by name.
pub fn embedded() -> Vec<SourceFile> {
    let file = |file: &include_dir::File<'_>| {
        let name = file.path().file_name()?.to_str()?.to_owned();
        Some(SourceFile { name, text: file.contents_utf8()?.to_owned() })
    };
    let mut files: Vec<SourceFile> = COURSE.files().filter_map(file).collect();
    files.sort_by(|a, b| a.name.cmp(&b.name));
    files
}

/// The course that comes with the program, with a user's folder over it, as far as both can be read; and every problem
/// of the folder. A screen shows the one and tells of the other.
pub fn course(own: Option<&Path>) -> (Course, Vec<Problem>) {
    let (own, mut problems) = match own.map(read) {
        None => (Vec::new(), Vec::new()),
        Some(Ok(files)) => (files, Vec::new()),
        Some(Err(problems)) => (Vec::new(), problems.0),
    };
    let (course, of_course) = course_file::read_merged(course_file::merged(&embedded(), &own));
    problems.extend(of_course);
    (course, problems)
}

/// The lessons and scenarios in a folder, by name; folders within it and other files are left alone.
///
/// # Errors
/// A folder that cannot be read, and every file that is too large or not text.
pub fn read(folder: &Path) -> Result<Vec<SourceFile>, Problems> {
    let shown = folder.display().to_string();
    let unreadable = |error: std::io::Error| {
        let mend = "give the folder that holds course.toml and the lessons";
        Problems::of_file(&shown, 1, format!("the folder cannot be read: {error}"), mend)
    };
    let mut names = Vec::new();
    for entry in std::fs::read_dir(folder).map_err(unreadable)? {
        let path = entry.map_err(unreadable)?.path();
        let is_ours = path.extension().is_some_and(|ending| ending == "md" || ending == "toml");
        if is_ours && path.is_file() {
            names.push(path);
        }
        if names.len() > MOST_FILES {
            let message = format!("the folder has more than {MOST_FILES} lessons and scenarios");
            return Err(Problems::of_file(&shown, 1, message, "check that this is the folder of a course"));
        }
    }
    names.sort();
    let (mut files, mut problems) = (Vec::new(), Vec::new());
    for path in names {
        match text_of(&path) {
            Ok(file) => files.push(file),
            Err(problem) => problems.push(problem),
        }
    }
    if problems.is_empty() { Ok(files) } else { Err(Problems(problems)) }
}

fn text_of(path: &Path) -> Result<SourceFile, Problem> {
    let name = path.file_name().map_or_else(String::new, |name| quoted(&name.to_string_lossy()));
    let problem = |line: usize, message: String, mend: &str| Problem {
        file: name.clone(),
        line,
        key: String::new(),
        message,
        mend: mend.to_owned(),
    };
    let mut bytes = Vec::new();
    let read = std::fs::File::open(path).and_then(|file| file.take(LARGEST_BYTES as u64 + 1).read_to_end(&mut bytes));
    if let Err(error) = read {
        return Err(problem(1, format!("the file cannot be read: {error}"), "check that it may be read"));
    }
    if bytes.len() > LARGEST_BYTES {
        let message = format!("the file has more than the {LARGEST_BYTES} bytes that are read");
        return Err(problem(1, message, "check that this is a lesson, or make two of it"));
    }
    match String::from_utf8(bytes) {
        // some editors begin a file with a byte order mark
        Ok(text) => Ok(SourceFile { name, text: text.trim_start_matches('\u{feff}').to_owned() }),
        Err(error) => {
            let good = &error.as_bytes()[..error.utf8_error().valid_up_to()];
            let line = good.iter().filter(|byte| **byte == b'\n').count() + 1;
            Err(problem(line, "the file is not text in UTF-8".to_owned(), "save it as UTF-8 text"))
        }
    }
}
