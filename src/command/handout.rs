//! A lesson's handout as a file.

use super::{ALL_WELL, SOME_BAD, complain, wrong_usage};
use second_breath::content::course_folder;
use second_breath::content::problem::{Problems, nearest, quoted};
use second_breath::content::save::save_atomically;
use second_breath::learning::course::{Course, Lesson};
use second_breath::report::date::Date;
use second_breath::report::handout::{Reader, pdf};
use second_breath::report::page::Paper;
use std::path::PathBuf;

/// What is asked for.
#[derive(Debug, PartialEq)]
pub struct Task {
    /// The lesson's stem, or its number in the course.
    pub lesson: String,
    /// For whom.
    pub reader: Reader,
    /// Paper.
    pub paper: Paper,
    /// A folder over the course that comes with the program.
    pub course: Option<PathBuf>,
    /// Where it goes.
    pub out: PathBuf,
}

/// Makes the handout and writes it. Returns the exit status.
pub fn one(task: &Task) -> u8 {
    let (course, problems) = course_folder::course(task.course.as_deref());
    let has_problems = !problems.is_empty();
    if has_problems {
        complain(&Problems(problems).to_string());
    }
    let lesson = match lesson(&course, &task.lesson) {
        Ok(lesson) => lesson,
        Err(message) => return wrong_usage(&message),
    };
    let made = pdf(lesson, task.reader, task.paper, Date::today())
        .map_err(|why| format!("{}.md: {why}", quoted(&lesson.stem)));
    match made.and_then(|file| save_atomically(&task.out, &file).map_err(|error| error.to_string())) {
        Ok(()) if has_problems => SOME_BAD,
        Ok(()) => ALL_WELL,
        Err(message) => {
            complain(&message);
            SOME_BAD
        }
    }
}

/// The lesson with this stem, or with this number in the course's order.
fn lesson<'a>(course: &'a Course, name: &str) -> Result<&'a Lesson, String> {
    let stem = name.strip_suffix(".md").unwrap_or(name);
    let numbered = || stem.parse::<usize>().ok().and_then(|number| course.lessons.get(number.checked_sub(1)?));
    if let Some(lesson) = course.lesson(stem).or_else(numbered) {
        return Ok(lesson);
    }
    let stems = course.lessons.iter().map(|lesson| lesson.stem.as_str());
    // the number before a name is easily left out
    let bare = |stem: &'a str| stem.trim_start_matches(|sign: char| sign.is_ascii_digit() || sign == '_');
    let near = nearest(stem, stems.clone()).or_else(|| {
        let near = nearest(stem, stems.clone().map(bare))?;
        stems.clone().find(|stem| bare(stem) == near)
    });
    let count = course.lessons.len();
    let hint = near.map_or_else(
        || format!("give 1 to {count}, or a name such as {}", first(course)),
        |near| format!("did you mean {near}?"),
    );
    Err(format!("there is no lesson {}; {hint}", quoted(name)))
}

fn first(course: &Course) -> &str {
    course.lessons.first().map_or("01_signal", |lesson| lesson.stem.as_str())
}
