//! What the program does when it is called: the window, or the same runs and findings without one.

mod advise;
mod arguments;
mod check;
mod exports;
mod find;
mod handout;
mod map;
mod options;
mod paper_test;
mod quizzes;
mod run;
mod soak;
mod table;

use arguments::{Command, HELP};
use second_breath::bench::scenario::Scenario;
use second_breath::content::grounds::Grounds;
use second_breath::content::{customer_file, grounds_text, library};
use std::io::Write;
use std::path::PathBuf;
use std::process::ExitCode;

/// Everything ran.
const ALL_WELL: u8 = 0;
/// Some scenario was bad, or a file could not be written.
const SOME_BAD: u8 = 1;
/// The call itself was wrong.
const WRONG_USAGE: u8 = 2;

/// Does what the arguments say.
pub fn main() -> ExitCode {
    let status = match arguments::read(lexopt::Parser::from_env()) {
        Ok(Command::Help) => print(HELP),
        Ok(Command::Version) => print(&format!("second-breath {}\n", env!("CARGO_PKG_VERSION"))),
        Ok(Command::List) => print(&listing()),
        Ok(Command::Check(folder)) => check::course(folder.as_deref()),
        Ok(Command::Grounds) => grounds(),
        Ok(Command::Find(task)) => match task.problem() {
            None => find::one(&task),
            Some(message) => wrong_usage(&message),
        },
        Ok(Command::BlankCard) => print(&customer_file::blank()),
        Ok(Command::Advise(task)) => match task.problem() {
            None => advise::one(&task),
            Some(message) => wrong_usage(&message),
        },
        Ok(Command::Run { scenarios, trace, findings, sure }) => match exports::plan(&scenarios, &trace, &findings) {
            Ok(jobs) => run::all(&jobs, sure),
            Err(message) => wrong_usage(&message),
        },
        Ok(Command::Soak { soaks, trace, findings }) => match exports::plan(&soaks, &trace, &findings) {
            Ok(jobs) => soak::all(&jobs),
            Err(message) => wrong_usage(&message),
        },
        Ok(Command::Map(words)) => map::all(&words),
        Ok(Command::Handout(task)) => handout::one(&task),
        Ok(Command::PaperTest(task)) => paper_test::one(&task),
        Ok(Command::Quizzes(task)) => quizzes::one(&task),
        Ok(Command::Open(files)) => open(files),
        Err(message) => wrong_usage(&message),
    };
    ExitCode::from(status)
}

fn wrong_usage(message: &str) -> u8 {
    complain(&format!("{message}\nsecond-breath --help tells how to call it"));
    WRONG_USAGE
}

/// Writes to standard output. A reader that has gone away, such as `head`, is no error.
fn print(text: &str) -> u8 {
    let mut out = std::io::stdout().lock();
    match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
        Err(error) if error.kind() != std::io::ErrorKind::BrokenPipe => {
            complain(&format!("the output cannot be written: {error}"));
            SOME_BAD
        }
        _ => ALL_WELL,
    }
}

/// Writes a message to standard error; if that is closed nobody is there to be told.
fn complain(message: &str) {
    let _ = writeln!(std::io::stderr().lock(), "{message}");
}

fn grounds() -> u8 {
    match Grounds::shipped() {
        Ok(grounds) => print(&grounds_text::whole(&grounds)),
        Err(problems) => {
            complain(&problems.to_string());
            SOME_BAD
        }
    }
}

fn listing() -> String {
    let row = |shipped: library::Shipped| {
        let of = |scenario: Scenario| (scenario.entry().id.to_owned(), scenario.title);
        let (family, title) = shipped.scenario().map_or_else(|bad| (String::new(), bad.to_string()), of);
        vec![shipped.stem.to_owned(), family, title]
    };
    let soak = |shipped: library::Shipped| {
        let title = shipped.soak().map_or_else(|bad| bad.to_string(), |titled| titled.title);
        vec![shipped.stem.to_owned(), "heat soak".to_owned(), title]
    };
    let scenarios = library::shipped().into_iter().map(row);
    table::aligned(&scenarios.chain(library::shipped_soaks().into_iter().map(soak)).collect::<Vec<_>>())
}

#[cfg(feature = "window")]
fn open(files: Vec<PathBuf>) -> u8 {
    match second_breath::app::open(files) {
        Ok(()) => ALL_WELL,
        Err(message) => {
            complain(&message);
            SOME_BAD
        }
    }
}

#[cfg(not(feature = "window"))]
fn open(files: Vec<PathBuf>) -> u8 {
    let _ = files;
    wrong_usage("this program was built without its window; use a command that needs none; --help lists them")
}
