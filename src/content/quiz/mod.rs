//! Quizzes as text files: a file for each topic with several items, described in `content/writing_quizzes.md`.

pub mod bank;
pub mod exchanged;
pub mod file;

mod choice;
mod formula;
mod keys;
mod numeric;
mod seen_in_run;
mod turned;
