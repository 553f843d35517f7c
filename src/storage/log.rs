//! The log of one learner: mended when it is opened, appended to line by line.

use crate::content::problem::{Problem, quoted};
use crate::content::save::save_atomically;
use crate::learning::record::{Answer, LearnerCode};
use crate::storage::line::{self, FORMAT_VERSION, MOST_TOLD, Parsed, Refusal, State};
use crate::storage::place::{self, failed, problem};
use std::fs::OpenOptions;
use std::io::{self, Write};
use std::path::Path;

/// Largest log that is read or written, in bytes: some 50,000 answers.
pub const LARGEST_BYTES: u64 = 16 * 1024 * 1024;

/// A log as it stands after mending.
#[derive(Debug, Clone, PartialEq)]
pub struct Opened {
    /// Its answers.
    pub answers: Vec<Answer>,
    /// Its length, in bytes; none: there is no file yet.
    pub length: Option<u64>,
    /// What was mended.
    pub notices: Vec<Problem>,
}

/// Read a log, and mend it if its writing was interrupted or something damaged it. What cannot be read is set aside
/// first, so that nothing is lost.
pub fn open(path: &Path, learner: &LearnerCode) -> Result<Opened, Problem> {
    let Some(bytes) = place::read(path, LARGEST_BYTES)? else {
        return Ok(Opened { answers: Vec::new(), length: None, notices: Vec::new() });
    };
    let parsed = line::parse(&bytes, learner).map_err(|refusal| refused(path, &refusal))?;
    let (length, notice) = mend(path, learner, &bytes, &parsed)?;
    Ok(Opened { answers: parsed.answers, length: Some(length), notices: notice.into_iter().collect() })
}

fn refused(path: &Path, refusal: &Refusal) -> Problem {
    match refusal {
        Refusal::Newer(version) => problem(
            path,
            format!("it has format_version {version}, this program knows up to {FORMAT_VERSION}"),
            "open the folder with a newer program",
        ),
        Refusal::Other(code) => problem(
            path,
            format!("it holds the answers of learner {code}"),
            format!("give it back its name, {code}.answers"),
        ),
    }
}

fn mend(path: &Path, learner: &LearnerCode, bytes: &[u8], parsed: &Parsed) -> Result<(u64, Option<Problem>), Problem> {
    if parsed.version < FORMAT_VERSION || parsed.state == State::Damaged {
        return rewrite(path, learner, bytes, parsed);
    }
    match parsed.state {
        State::Whole | State::Damaged => Ok((bytes.len() as u64, None)),
        State::Unended => {
            append_bytes(path, b"\n")?;
            Ok((bytes.len() as u64 + 1, None))
        }
        State::Torn => {
            let tail = bytes.get(parsed.good_bytes..).unwrap_or_default();
            let aside = place::set_aside(path, "damaged", tail)?;
            let length = parsed.good_bytes as u64;
            OpenOptions::new()
                .write(true)
                .open(path)
                .and_then(|file| file.set_len(length).and_then(|()| file.sync_all()))
                .map_err(|error| failed(path, "the interrupted line cannot be taken off", &error))?;
            let message = format!("writing the last answer was interrupted; {} are there", count(parsed));
            Ok((length, Some(told(path, parsed, message, &aside))))
        }
    }
}

/// Put the readable answers in place of a file that is old or damaged, after a copy of it has been set aside.
fn rewrite(
    path: &Path,
    learner: &LearnerCode,
    bytes: &[u8],
    parsed: &Parsed,
) -> Result<(u64, Option<Problem>), Problem> {
    let damaged = parsed.state != State::Whole && parsed.state != State::Unended;
    let why = if damaged { "damaged".to_owned() } else { format!("version-{}", parsed.version) };
    let text = line::log(learner, &parsed.answers).map_err(|what| problem(path, what, "report this"))?;
    let aside = place::set_aside(path, &why, bytes)?;
    save_atomically(path, &text).map_err(|error| failed(path, "it cannot be written anew", &error.cause))?;
    place::sync_folder_of(path);
    let message = if damaged {
        let bad: Vec<String> = parsed.bad_lines.iter().take(MOST_TOLD).map(usize::to_string).collect();
        let more = if parsed.bad_lines.len() > bad.len() { " …" } else { "" };
        format!("it is damaged in line {}{more}; {} were rescued", bad.join(", "), count(parsed))
    } else {
        format!(
            "it was of format_version {} and is now of {FORMAT_VERSION}; {} are there",
            parsed.version,
            count(parsed)
        )
    };
    Ok((text.len() as u64, Some(told(path, parsed, message, &aside))))
}

fn count(parsed: &Parsed) -> String {
    match parsed.answers.len() {
        1 => "1 answer".to_owned(),
        count => format!("{count} answers"),
    }
}

fn told(path: &Path, parsed: &Parsed, message: String, aside: &Path) -> Problem {
    let name = aside.file_name().map_or_else(String::new, |name| quoted(&name.to_string_lossy()));
    let mut told = problem(path, message, format!("the old text is kept in {name}; nothing needs to be done"));
    told.line = parsed.bad_lines.first().copied().unwrap_or(1);
    told
}

/// Begin the log of a learner who has none, or of whom the heading's writing was interrupted.
pub fn begin(path: &Path, learner: &LearnerCode) -> Result<u64, Problem> {
    let heading = line::heading(learner);
    OpenOptions::new()
        .append(true)
        .create(true)
        .open(path)
        .and_then(|mut file| file.write_all(heading.as_bytes()).and_then(|()| file.sync_all()))
        .map_err(|error| failed(path, "it cannot be begun", &error))?;
    place::sync_folder_of(path);
    Ok(heading.len() as u64)
}

/// Append one line to a log of this length and write it through to the disk.
pub fn append(path: &Path, length: u64, answer: &Answer) -> Result<u64, Problem> {
    let text = line::answer(answer).map_err(|what| problem(path, what, "this answer is not kept"))?;
    let new_length = length + text.len() as u64;
    if new_length > LARGEST_BYTES {
        let message = format!("it would have more than {LARGEST_BYTES} bytes");
        return Err(problem(path, message, "export this learner's records, delete them, and begin again"));
    }
    append_bytes(path, text.as_bytes())?;
    Ok(new_length)
}

/// One write, so that another reader sees all of it or nothing in all but the rarest case.
fn append_bytes(path: &Path, bytes: &[u8]) -> Result<(), Problem> {
    let appended = || -> io::Result<()> {
        // never created here: a file that has gone is told of, not begun anew without its past
        let mut file = OpenOptions::new().append(true).open(path)?;
        file.write_all(bytes)?;
        file.sync_data()
    };
    appended().map_err(|error| failed(path, "the answer is not kept", &error))
}
