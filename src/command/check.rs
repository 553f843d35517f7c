//! Checks a course: every problem of its files, and every claim of its live blocks against their runs.

use super::{SOME_BAD, complain, print, table};
use second_breath::content::course_check::{LessonReport, check};
use second_breath::content::course_file::{self, COURSE_FILE, SourceFile};
use second_breath::content::course_folder;
use second_breath::content::problem::{Problem, Problems, quoted};
use second_breath::learning::course::Course;
use std::path::Path;

/// Checks the course in a folder together with the one that comes with the program, or that one alone. Tells of the
/// folder's own files only. Returns the exit status.
pub fn course(folder: Option<&Path>) -> u8 {
    match read(folder) {
        Ok((course, problems)) => tell(&course, problems),
        Err(problems) => {
            complain(&problems.to_string());
            SOME_BAD
        }
    }
}

fn read(folder: Option<&Path>) -> Result<(Course, Vec<Problem>), Problems> {
    let embedded = course_folder::embedded();
    let Some(folder) = folder else { return Ok(course_file::read(&embedded)) };
    let own = course_folder::read(folder)?;
    let is_own = |name: &str| own.iter().any(|file| file.name == name);
    let (mut course, mut problems) = course_file::read_merged(course_file::merged(&embedded, &own));
    problems.retain(|problem| is_own(&problem.file) || problem.file == COURSE_FILE);
    problems.extend(misnamed(&own));
    course.lessons.retain(|lesson| is_own(&format!("{}.md", lesson.stem)));
    for problem in &mut problems {
        problem.file = folder.join(&problem.file).display().to_string();
    }
    Ok((course, problems))
}

/// A folder with nothing of a course in it is more likely a slip than a course.
fn misnamed(own: &[SourceFile]) -> Vec<Problem> {
    if own.iter().any(|file| file.name == COURSE_FILE || file.name.ends_with(".md")) {
        return Vec::new();
    }
    let mend = "give the folder that holds course.toml and the lessons";
    Problems::of_file(COURSE_FILE, 1, "there are no lessons in this folder", mend).0
}

fn tell(course: &Course, mut problems: Vec<Problem>) -> u8 {
    let reports = check(course);
    problems.extend(reports.iter().flat_map(|report| report.problems.iter().cloned()));
    let written = print(&summary(&reports));
    if problems.is_empty() {
        return written;
    }
    complain(&Problems(problems).to_string());
    SOME_BAD.max(written)
}

fn summary(reports: &[LessonReport]) -> String {
    let heading = ["lesson", "blocks", "claims", "words", "grade", "title"].map(str::to_owned).to_vec();
    let row = |report: &LessonReport| {
        vec![
            quoted(&report.stem),
            report.blocks.to_string(),
            report.claims.to_string(),
            report.words.to_string(),
            format!("{:.1}", report.grade),
            quoted(&report.title),
        ]
    };
    let mut text = table::aligned(&std::iter::once(heading).chain(reports.iter().map(row)).collect::<Vec<_>>());
    for report in reports {
        text += &format!("\n{}\n", quoted(&report.stem));
        for (id, told) in &report.told {
            text += &format!("  {}: {}\n", quoted(id), told.split_whitespace().collect::<Vec<_>>().join(" "));
        }
    }
    text
}
