//! Quiz items to other programs and from them.

use super::{ALL_WELL, SOME_BAD, complain, print};
use second_breath::content::exchange::qti;
use second_breath::content::problem::Problems;
use second_breath::content::quiz::bank::{bank, import};
use second_breath::content::quiz::exchanged::export;
use second_breath::content::save::save_atomically;
use std::path::{Path, PathBuf};

/// What is asked for.
#[derive(Debug, PartialEq)]
pub enum Task {
    /// Write the items as a package.
    Export {
        /// The package.
        qti: PathBuf,
        /// From which values are drawn.
        seed: u64,
        /// A course folder over the one that comes with the program.
        course: Option<PathBuf>,
    },
    /// Take a package into a course folder.
    Import {
        /// The package.
        package: PathBuf,
        /// The course folder.
        into: PathBuf,
        /// Outcomes of items that name none.
        outcomes: Vec<usize>,
    },
}

/// Does it. Returns the exit status: an item that stays here is no error, one that is not taken is.
pub fn one(task: &Task) -> u8 {
    let done = match task {
        Task::Export { qti, seed, course } => out(qti, *seed, course.as_deref()),
        Task::Import { package, into, outcomes } => taken(package, into, outcomes),
    };
    done.unwrap_or_else(|message| {
        complain(&message);
        SOME_BAD
    })
}

fn out(path: &Path, seed: u64, course: Option<&Path>) -> Result<u8, String> {
    let (bank, problems) = bank(course);
    let mut status = ALL_WELL;
    if !problems.is_empty() {
        complain(&Problems(problems).to_string());
        status = SOME_BAD;
    }
    let exported = export(&bank, seed);
    let package = qti::export(&exported.items).map_err(|problems| problems.to_string())?;
    save_atomically(path, &package).map_err(|error| error.to_string())?;
    let mut told = format!("{} items\n", exported.items.len());
    told.extend(exported.left_out.iter().map(|problem| format!("{problem}\n")));
    Ok(status.max(print(&told)))
}

fn taken(package: &Path, into: &Path, outcomes: &[usize]) -> Result<u8, String> {
    let taken = import(package, into, outcomes).map_err(|problem| problem.to_string())?;
    let all_taken = taken.not_taken.is_empty();
    if !all_taken {
        complain(&Problems(taken.not_taken.clone()).to_string());
    }
    let status = if all_taken { ALL_WELL } else { SOME_BAD };
    Ok(status.max(print(&format!("{}\n", taken.sentence()))))
}
