//! Checks a course and its quizzes: every problem of the files, every claim of live blocks against their runs, and a proof
//! of each item.

use super::{SOME_BAD, complain, print, table};
use second_breath::content::course_check::{LessonReport, check};
use second_breath::content::course_file::{self, COURSE_FILE, SourceFile};
use second_breath::content::course_folder;
use second_breath::content::problem::{Problem, Problems, quoted};
use second_breath::content::quiz::bank as quizzes;
use second_breath::content::quiz_check;
use second_breath::learning::course::Course;
use second_breath::learning::quiz::bank::{Bank, LEAST_ITEMS};
use second_breath::learning::quiz::item::Kind;
use std::path::Path;

/// Checks the course in a folder together with the one that comes with the program, or that one alone. Tells of the
/// folder's own files only. Returns the exit status.
pub fn course(folder: Option<&Path>) -> u8 {
    match read(folder) {
        Ok((course, bank, problems)) => tell(&course, &bank, problems),
        Err(problems) => {
            complain(&problems.to_string());
            SOME_BAD
        }
    }
}

fn read(folder: Option<&Path>) -> Result<(Course, Bank, Vec<Problem>), Problems> {
    let embedded = course_folder::embedded();
    let Some(folder) = folder else {
        let (course, mut problems) = course_file::read(&embedded);
        let (bank, of_bank) = quizzes::read(&quizzes::embedded(), &embedded);
        problems.extend(of_bank);
        return Ok((course, bank, problems));
    };
    let own = course_folder::read(folder)?;
    let items = quizzes::own(folder).map_err(Problems)?;
    let is_own = |name: &str| own.iter().any(|file| file.name == name);
    let (mut course, mut problems) = course_file::read_merged(course_file::merged(&embedded, &own));
    problems.retain(|problem| is_own(&problem.file) || problem.file == COURSE_FILE);
    if items.is_empty() {
        problems.extend(misnamed(&own));
    }
    let all: Vec<SourceFile> = embedded.iter().chain(&own).cloned().collect();
    let (mut bank, mut of_bank) = quizzes::read(&items, &all);
    let at_home = |name: &str| folder.join(quizzes::FOLDER).join(name).display().to_string();
    of_bank.iter_mut().for_each(|problem| problem.file = at_home(&problem.file));
    bank.items.iter_mut().for_each(|item| item.file = at_home(&item.file));
    course.lessons.retain(|lesson| is_own(&format!("{}.md", lesson.stem)));
    for problem in &mut problems {
        problem.file = folder.join(&problem.file).display().to_string();
    }
    problems.extend(of_bank);
    Ok((course, bank, problems))
}

/// A folder with nothing of a course in it is more likely a slip than a course.
fn misnamed(own: &[SourceFile]) -> Vec<Problem> {
    if own.iter().any(|file| file.name == COURSE_FILE || file.name.ends_with(".md")) {
        return Vec::new();
    }
    let mend = "give the folder that holds course.toml and the lessons";
    Problems::of_file(COURSE_FILE, 1, "there are no lessons in this folder", mend).0
}

fn tell(course: &Course, bank: &Bank, mut problems: Vec<Problem>) -> u8 {
    let reports = check(course);
    problems.extend(reports.iter().flat_map(|report| report.problems.iter().cloned()));
    let items = quiz_check::check(bank);
    problems.extend(items.iter().flat_map(|report| report.problems.iter().cloned()));
    problems.extend(quiz_check::check_files(bank));
    let runs = items.iter().map(|report| report.runs).sum();
    let written = print(&(summary(&reports) + &of_items(bank, runs)));
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

/// How many items there are of each kind, and where the bank is thin with those that come with the program.
fn of_items(bank: &Bank, runs: usize) -> String {
    if bank.items.is_empty() {
        return String::new();
    }
    let count = |kind: &str| bank.items.iter().filter(|item| item.kind.id() == kind).count();
    let kinds: Vec<String> = Kind::IDS.iter().map(|kind| format!("{} {kind}", count(kind))).collect();
    let mut text = format!("\nquiz items: {} ({}); runs: {runs}\n", bank.items.len(), kinds.join(", "));
    let shipped = quizzes::read(&quizzes::embedded(), &course_folder::embedded()).0;
    let short = quizzes::over(shipped, bank.clone()).short_outcomes();
    let thin: Vec<String> = short.iter().map(|(number, count)| format!("{number} ({count})")).collect();
    if !thin.is_empty() {
        text += &format!("outcomes with fewer than {LEAST_ITEMS} items: {}\n", thin.join(", "));
    }
    text
}
