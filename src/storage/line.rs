//! The text of a log of answers: pure, without files.
//!
//! A line is eight hexadecimal figures, a space, JSON and a line feed; the figures are the CRC-32 of the JSON (ITU-T
//! V.42). The first line is the heading with `format_version` and the learner's code, every other one an answer.

use crate::learning::record::{Answer, LearnerCode};
use serde::{Deserialize, Serialize};
use serde_json::{Map, Value};

/// Version that is written.
pub const FORMAT_VERSION: u32 = 1;

/// Longest line, in bytes: above what the longest answer comes to when every character of it is escaped.
const LONGEST_LINE: usize = 64 * 1024;

/// Bad lines that are told of.
pub const MOST_TOLD: usize = 10;

/// How an answer of a version becomes one of the next; place 0 is the step from version 0.
const STEPS: [fn(&mut Map<String, Value>); FORMAT_VERSION as usize] = [from_version_0];

#[derive(Serialize, Deserialize)]
struct Heading {
    format_version: u32,
    learner: LearnerCode,
}

/// What stands in a log.
#[derive(Debug, Clone, PartialEq)]
pub struct Parsed {
    /// Version of the heading; the current one where the heading is damaged or missing.
    pub version: u32,
    /// Every answer that can be read, in order.
    pub answers: Vec<Answer>,
    /// Numbers of the lines that cannot be read, from 1; the first [`MOST_TOLD`] and one more if there are more.
    pub bad_lines: Vec<usize>,
    /// Bytes up to the end of the last good line.
    pub good_bytes: usize,
    /// What is wrong.
    pub state: State,
}

/// What is wrong with a log, from nothing to much.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum State {
    /// Nothing; a log without a line is whole too.
    Whole,
    /// Only the line feed at the end is missing: the last answer is there.
    Unended,
    /// Only the last line is cut short: writing it was interrupted.
    Torn,
    /// Something else.
    Damaged,
}

/// Why a log is left as it is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Refusal {
    /// It was written by a newer program.
    Newer(u32),
    /// It belongs to another learner.
    Other(LearnerCode),
}

/// The heading of a learner's log.
pub fn heading(learner: &LearnerCode) -> String {
    let heading = Heading { format_version: FORMAT_VERSION, learner: learner.clone() };
    framed(&serde_json::to_value(heading).unwrap_or_default())
}

/// The line of an answer.
///
/// # Errors
/// What [`Answer::check`] says.
pub fn answer(answer: &Answer) -> Result<String, String> {
    answer.check()?;
    let value = serde_json::to_value(answer).map_err(|error| error.to_string())?;
    Ok(framed(&value))
}

/// A whole log.
///
/// # Errors
/// What [`Answer::check`] says of the first answer that cannot be kept.
pub fn log(learner: &LearnerCode, answers: &[Answer]) -> Result<String, String> {
    let mut text = heading(learner);
    for one in answers {
        text.push_str(&answer(one)?);
    }
    Ok(text)
}

fn framed(value: &Value) -> String {
    let json = value.to_string();
    format!("{:08x} {json}\n", crc32fast::hash(json.as_bytes()))
}

/// The JSON of a line, if its check sum holds.
fn unframed(line: &[u8]) -> Option<Value> {
    let (sum, json) = (line.get(..8)?, line.get(9..)?);
    let sum = u32::from_str_radix(std::str::from_utf8(sum).ok()?, 16).ok()?;
    let sound = line.len() <= LONGEST_LINE && line.get(8) == Some(&b' ') && crc32fast::hash(json) == sum;
    // serde_json gives up on deep nesting by itself
    if sound { serde_json::from_slice(json).ok() } else { None }
}

/// Read the log of a learner.
///
/// # Errors
/// A log that must not be touched; damage is no error but part of the result.
pub fn parse(bytes: &[u8], learner: &LearnerCode) -> Result<Parsed, Refusal> {
    let mut found = Parsed {
        version: FORMAT_VERSION,
        answers: Vec::new(),
        bad_lines: Vec::new(),
        good_bytes: 0,
        state: State::Whole,
    };
    let mut heading = None;
    let mut end = 0;
    for (index, piece) in bytes.split_inclusive(|byte| *byte == b'\n').enumerate() {
        end += piece.len();
        let line = piece.strip_suffix(b"\n").unwrap_or(piece);
        // some editors end lines in two characters
        let value = unframed(line.strip_suffix(b"\r").unwrap_or(line));
        if index == 0 {
            heading = value.clone().and_then(|value| serde_json::from_value::<Heading>(value).ok());
        }
        let good = match (&heading, value) {
            (Some(heading), _) if index == 0 => {
                found.version = allowed(heading, learner)?;
                true
            }
            (heading, Some(value)) => match answer_of(value, heading.as_ref()) {
                Some(answer) if answer.learner == *learner => {
                    found.answers.push(answer);
                    // an answer where the heading should be is kept, but the file is not whole
                    index > 0
                }
                _ => false,
            },
            (_, None) => false,
        };
        if good {
            found.good_bytes = end;
        } else if found.bad_lines.len() <= MOST_TOLD {
            found.bad_lines.push(index + 1);
        }
    }
    found.state = state(&found, bytes);
    Ok(found)
}

fn allowed(heading: &Heading, learner: &LearnerCode) -> Result<u32, Refusal> {
    if heading.format_version > FORMAT_VERSION {
        return Err(Refusal::Newer(heading.format_version));
    }
    if heading.learner != *learner {
        return Err(Refusal::Other(heading.learner.clone()));
    }
    Ok(heading.format_version)
}

fn state(found: &Parsed, bytes: &[u8]) -> State {
    let ended = bytes.is_empty() || bytes.ends_with(b"\n");
    let last = bytes.split_inclusive(|byte| *byte == b'\n').count();
    match found.bad_lines.as_slice() {
        [] if ended => State::Whole,
        [] => State::Unended,
        [bad] if *bad == last && !ended => State::Torn,
        _ => State::Damaged,
    }
}

/// An answer of the heading's version or, where the heading is lost, of whichever version fits.
fn answer_of(value: Value, heading: Option<&Heading>) -> Option<Answer> {
    let of_version = |version: u32| {
        let Value::Object(mut map) = value.clone() else { return None };
        for step in STEPS.get(version as usize..)? {
            step(&mut map);
        }
        let answer: Answer = serde_json::from_value(Value::Object(map)).ok()?;
        answer.check().is_ok().then_some(answer)
    };
    match heading {
        Some(heading) => of_version(heading.format_version),
        None => (0..=FORMAT_VERSION).rev().find_map(of_version),
    }
}

/// Version 0 never left the house: it said `correct` for `right`, and knew neither a score between nor the time taken.
fn from_version_0(answer: &mut Map<String, Value>) {
    if let Some(correct) = answer.remove("correct") {
        let score = if correct == Value::Bool(true) { 1.0 } else { 0.0 };
        answer.insert("right".to_owned(), correct);
        answer.insert("score".to_owned(), score.into());
        answer.insert("seconds".to_owned(), 0.0.into());
    }
}
