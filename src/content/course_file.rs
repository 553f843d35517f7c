//! A course as files: `course.toml` with the order of the lessons, a file `NN_name.md` for each lesson, and scenarios of
//! the lessons' own.
//!
//! ```toml
//! format_version = 1
//! title = "The second breath"
//! lessons = ["01_signal", "02_bowl_level"]
//! ```
//!
//! A folder of a user's adds to the course that is there, or replaces files of it: [`merged`].

use crate::content::lesson_file;
use crate::content::library;
use crate::content::problem::{Problem, Problems, instead, quoted};
use crate::content::table::{Notes, Text, instead_of_many};
use crate::content::toml;
use crate::learning::course::{Course, Lesson, Piece};
use crate::learning::prose::{Block, Style};
use std::collections::HashSet;
use toml_edit::TableLike;

/// The version that is read.
pub const FORMAT_VERSION: i64 = 1;
/// The file that holds the order.
pub const COURSE_FILE: &str = "course.toml";
/// Most lessons of a course.
pub const MOST_LESSONS: usize = 200;

/// A file of a course, by its name within the folder.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SourceFile {
    /// Name within the folder.
    pub name: String,
    /// Its text.
    pub text: String,
}

/// What `course.toml` says.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Order {
    /// Title of the course.
    pub title: String,
    /// Stems of the lessons with the lines at which they are named.
    pub lessons: Vec<(String, usize)>,
}

/// The order in a `course.toml`, as far as it can be read, and what is wrong with it.
pub fn order(text: &str) -> (Order, Vec<Problem>) {
    let mut notes = Notes::new(COURSE_FILE, text);
    if text.len() > lesson_file::LARGEST_BYTES {
        notes.note(1, "", "the file is too long to be read", "check that this is the course's list of lessons");
        return (Order::default(), notes.problems);
    }
    let (document, problems) = toml::read(text, COURSE_FILE, &notes.lines);
    notes.problems.extend(problems);
    let order = document.map_or_else(Order::default, |document| order_of(document.as_table(), &mut notes));
    notes.problems.sort_by_key(|problem| problem.line);
    (order, notes.problems)
}

fn order_of(table: &dyn TableLike, notes: &mut Notes<'_>) -> Order {
    notes.refuse_unknown(table, "", &["format_version", "title", "lessons"]);
    notes.version(table, FORMAT_VERSION);
    let title = notes.text(table, "", "title").map_or_else(String::new, |title| title.text);
    let mut seen = HashSet::new();
    let mut lessons = Vec::new();
    for Text { text, line } in notes.texts(table, "", "lessons") {
        let stem = text.strip_suffix(".md").unwrap_or(&text).to_owned();
        if seen.insert(stem.clone()) {
            lessons.push((stem, line));
        } else {
            notes.note(line, "lessons", format!("\"{}\" is listed twice", quoted(&stem)), "keep one of the two");
        }
    }
    if lessons.len() > MOST_LESSONS {
        notes.note(1, "lessons", "there are too many lessons", format!("list at most {MOST_LESSONS}"));
        lessons.truncate(MOST_LESSONS);
    }
    Order { title, lessons }
}

/// Files of a course and their order, and what is wrong with that.
#[derive(Debug, Clone, Default)]
pub struct Merged {
    /// Lessons and scenarios.
    pub files: Vec<SourceFile>,
    /// The order.
    pub order: Order,
    /// Problems of `course.toml`.
    pub problems: Vec<Problem>,
}

/// A user's files put over those of a course: a file of the same name replaces, a new one adds. The order is the
/// course's; a lesson that only the user's `course.toml` lists comes after the one that is listed before it there, or
/// first of all; one that nobody lists comes last. The user's title, if there is one, is the title.
pub fn merged(course: &[SourceFile], own: &[SourceFile]) -> Merged {
    let is_own = |name: &str| own.iter().any(|file| file.name == name);
    let mut files: Vec<SourceFile> = course.iter().filter(|file| !is_own(&file.name)).cloned().collect();
    files.extend(own.iter().cloned());
    files.retain(|file| file.name != COURSE_FILE);
    let of = |files: &[SourceFile]| {
        let list = files.iter().find(|file| file.name == COURSE_FILE);
        list.map_or_else(Default::default, |file| order(&file.text))
    };
    let ((first, mut problems), (second, of_own)) = (of(course), of(own));
    problems.extend(of_own);
    Merged { files, order: merged_order(first, second), problems }
}

fn merged_order(course: Order, own: Order) -> Order {
    let mut lessons = course.lessons;
    let mut after = 0;
    for (stem, line) in own.lessons {
        match lessons.iter().position(|(known, _)| *known == stem) {
            Some(place) => after = place + 1,
            None => {
                lessons.insert(after, (stem, line));
                after += 1;
            }
        }
    }
    Order { title: if own.title.is_empty() { course.title } else { own.title }, lessons }
}

/// The course that these files make.
///
/// # Errors
/// Every problem of every file, file by file in the order of the lines.
pub fn parse(files: &[SourceFile]) -> Result<Course, Problems> {
    let (course, problems) = read(files);
    if problems.is_empty() { Ok(course) } else { Err(Problems(problems)) }
}

/// The course as far as it can be read, and every problem of every file.
pub fn read(files: &[SourceFile]) -> (Course, Vec<Problem>) {
    if files.iter().any(|file| file.name == COURSE_FILE) {
        return read_merged(merged(files, &[]));
    }
    let mend = "write a course.toml with format_version = 1, title and lessons = [\"01_name\"]";
    (Course::default(), Problems::of_file(COURSE_FILE, 1, "there is no such file", mend).0)
}

/// The same for files whose order is known.
pub fn read_merged(merged: Merged) -> (Course, Vec<Problem>) {
    let Merged { files, order, mut problems } = merged;
    let lessons_of = |file: &&SourceFile| file.name.ends_with(".md");
    let stems: Vec<&str> = files.iter().filter(lessons_of).filter_map(|file| file.name.strip_suffix(".md")).collect();
    let mut wanted: Vec<&str> = Vec::new();
    for (stem, line) in &order.lessons {
        if stems.contains(&stem.as_str()) {
            wanted.push(stem);
            continue;
        }
        let mend = instead_of_many(stem, stems.iter().copied(), "add the file, or take the line out");
        let mend = if stems.is_empty() { "add the file, or take the line out".to_owned() } else { mend };
        let message = format!("there is no file {}.md", quoted(stem));
        problems.push(Problem { file: COURSE_FILE.into(), line: *line, key: "lessons".into(), message, mend });
    }
    let unlisted = stems.iter().copied().filter(|stem| order.lessons.iter().all(|(listed, _)| listed != stem));
    let mut unlisted: Vec<&str> = unlisted.collect();
    unlisted.sort_unstable();
    wanted.extend(unlisted);
    let mut lessons = Vec::new();
    for stem in wanted.into_iter().take(MOST_LESSONS) {
        let Some(file) = files.iter().find(|file| file.name.strip_suffix(".md") == Some(stem)) else { continue };
        let (lesson, of_lesson) = lesson_file::read(file, &files);
        problems.extend(of_lesson);
        lessons.extend(lesson);
    }
    let broken: Vec<_> = lessons.iter().flat_map(|lesson| broken_links(lesson, &files, &stems)).collect();
    problems.extend(broken);
    (Course { title: order.title, lessons }, problems)
}

fn broken_links(lesson: &Lesson, files: &[SourceFile], stems: &[&str]) -> Vec<Problem> {
    let name = format!("{}.md", lesson.stem);
    let text = files.iter().find(|file| file.name == name).map_or("", |file| file.text.as_str());
    let line_of = |target: &str| text.lines().position(|line| line.contains(target)).map_or(1, |place| place + 1);
    let shipped = library::shipped();
    let scenarios: Vec<&str> = shipped.iter().map(|shipped| shipped.stem).collect();
    let blocks = lesson.pieces.iter().filter_map(|piece| match piece {
        Piece::Prose(blocks) => Some(blocks),
        _ => None,
    });
    let spans = blocks.flatten().flat_map(Block::spans);
    let broken = spans.filter_map(|span| match &span.style {
        Style::Lesson(stem) if !stems.contains(&stem.as_str()) => Some(("lesson", stem, stems)),
        Style::Scenario(stem) if !scenarios.contains(&stem.as_str()) => Some(("scenario", stem, &scenarios[..])),
        _ => None,
    });
    broken
        .map(|(kind, stem, known)| Problem {
            file: name.clone(),
            line: line_of(&format!("({kind}:{stem})")),
            key: String::new(),
            message: format!("a link leads to the {kind} \"{}\", which is not there", quoted(stem)),
            mend: instead(stem, known.iter().copied()),
        })
        .collect()
}
