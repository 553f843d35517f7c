//! Quizzes: each kind is graded as it says, what is wrong with an item is found and told with its place, the whole bank
//! is proved, and what is asked next follows from the seed and the past answers alone.

mod checking;
mod choosing;
mod grading;
mod hostile;
mod parts;

use second_breath::content::course_file::SourceFile;
use second_breath::content::course_folder;
use second_breath::content::problem::Problem;
use second_breath::content::quiz::bank::read;
use second_breath::content::quiz_check::{check, check_files};
use second_breath::learning::quiz::asked::Asked;
use second_breath::learning::quiz::bank::Bank;
use second_breath::learning::quiz::item::Item;
use second_breath::learning::quiz::response::{Graded, Response};
use second_breath::learning::seen::Seen;
use std::sync::LazyLock;

/// The format as instructors read it.
const FORMAT: &str = include_str!("../../content/writing_quizzes.md");

/// Lessons and scenarios that items may name.
static COURSE: LazyLock<Vec<SourceFile>> = LazyLock::new(course_folder::embedded);

/// A quiz of the examples in the description of the format: one of each kind.
static EXAMPLES: LazyLock<String> = LazyLock::new(|| {
    let blocks = FORMAT.split("```toml\n").skip(1).filter_map(|after| after.split("```").next());
    std::iter::once("format_version = 1\ntopic = \"Examples\"\n\n").chain(blocks).collect()
});

static BANK: LazyLock<Bank> = LazyLock::new(|| bank_of(&EXAMPLES));

fn file(name: &str, text: &str) -> SourceFile {
    SourceFile { name: name.to_owned(), text: text.to_owned() }
}

fn lines(problems: &[Problem]) -> String {
    problems.iter().map(|problem| format!("{problem}\n")).collect()
}

/// The bank of one sound file.
fn bank_of(text: &str) -> Bank {
    let (bank, problems) = read(&[file("q.toml", text)], &COURSE);
    assert!(problems.is_empty(), "{}", lines(&problems));
    bank
}

/// Everything that reading and checking say to a file.
fn problems_of(text: &str) -> Vec<Problem> {
    let (bank, mut problems) = read(&[file("q.toml", text)], &COURSE);
    problems.extend(check(&bank).into_iter().flat_map(|report| report.problems));
    problems.extend(check_files(&bank));
    problems
}

/// One of the examples.
fn example(id: &str) -> &'static Item {
    BANK.item(id).expect("an example of this id")
}

/// An answer with what it needs.
fn seen(asked: &Asked, response: &Response) -> Vec<Seen> {
    asked.needed(response).expect("an answer that can be graded").see().expect("a run")
}

fn graded(asked: &Asked, response: &Response) -> Graded {
    asked.grade(response, &seen(asked, response)).expect("a grade")
}
