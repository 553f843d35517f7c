//! The list of names: a file of its own that people may read and write.

use crate::content::problem::{Problem, quoted};
use crate::content::save::save_atomically;
use crate::content::toml::{self, Lines};
use crate::learning::record::LearnerCode;
use crate::storage::place::{self, failed, problem};
use std::collections::BTreeMap;
use std::path::Path;
use toml_edit::{DocumentMut, Item, Table, value};

/// File name.
pub const FILE: &str = "names.toml";

const FORMAT_VERSION: i64 = 1;

/// Largest list that is read, in bytes.
pub const LARGEST_BYTES: u64 = 1024 * 1024;

/// Longest name, in characters.
pub const LONGEST_NAME: usize = 100;

/// Names by code.
pub type Names = BTreeMap<LearnerCode, String>;

/// Read the list. What cannot be understood is told of, after a copy of the file has been set aside.
pub fn open(path: &Path) -> Result<(Names, Vec<Problem>), Problem> {
    let Some(bytes) = place::read(path, LARGEST_BYTES)? else { return Ok((Names::new(), Vec::new())) };
    let text = String::from_utf8_lossy(&bytes);
    let (names, mut problems) = parse(&text, &path.display().to_string())?;
    if let Some(first) = problems.first_mut() {
        let aside = place::set_aside(path, "damaged", &bytes)?;
        let aside = aside.file_name().map_or_else(String::new, |name| quoted(&name.to_string_lossy()));
        first.mend = format!("{}; the file as it was is kept in {aside}, {} names were read", first.mend, names.len());
        save(path, &names)?;
    }
    Ok((names, problems))
}

/// Names of a text, and what is wrong with it.
///
/// # Errors
/// A newer version, which must not be touched.
fn parse(text: &str, file: &str) -> Result<(Names, Vec<Problem>), Problem> {
    let lines = Lines::of(text);
    let (document, mut problems) = toml::read(text, file, &lines);
    let mut note = |line: usize, key: &str, message: String, mend: &str| {
        problems.push(Problem { file: file.to_owned(), line, key: quoted(key), message, mend: mend.to_owned() });
    };
    let mut names = Names::new();
    let Some(document) = document else { return Ok((names, problems)) };
    for (key, item) in document.iter() {
        let line = lines.line_of(item.span());
        match (key, item.as_integer(), item.as_table_like()) {
            ("format_version", Some(FORMAT_VERSION), _) => {}
            ("format_version", Some(version), _) if version > FORMAT_VERSION => {
                let message = format!("format_version is {version}, this program knows {FORMAT_VERSION}");
                let mut newer = problem(Path::new(file), message, "open the folder with a newer program");
                newer.line = line;
                return Err(newer);
            }
            ("format_version", ..) => note(line, key, "this is no version".to_owned(), "write format_version = 1"),
            ("names", _, Some(table)) => {
                for (code, name) in table.iter() {
                    let line = lines.line_of(name.span());
                    match (LearnerCode::parse(code), name.as_str()) {
                        (Some(code), Some(name)) if name.chars().nth(LONGEST_NAME).is_none() => {
                            names.insert(code, name.to_owned());
                        }
                        (None, _) => {
                            note(line, code, "this is no learner's code".to_owned(), "a line reads k7m2qd = \"Name\"")
                        }
                        _ => note(
                            line,
                            code,
                            format!("this is no name of up to {LONGEST_NAME} characters"),
                            "a line reads k7m2qd = \"Name\"",
                        ),
                    }
                }
            }
            _ => note(line, key, "this is not known here".to_owned(), "names stand under [names]"),
        }
    }
    Ok((names, problems))
}

/// Write the list.
pub fn save(path: &Path, names: &Names) -> Result<(), Problem> {
    // a link or a folder in its place is refused, not followed
    place::is_file(path)?;
    let mut document = DocumentMut::new();
    document.insert("format_version", value(FORMAT_VERSION));
    let mut table = Table::new();
    for (code, name) in names {
        table.insert(code.as_str(), value(name.as_str()));
    }
    document.insert("names", Item::Table(table));
    let heading = "# Names of learners by code. Keep this file apart: the answers can be shared without it.\n";
    save_atomically(path, &format!("{heading}{document}"))
        .map_err(|error| failed(path, "the names cannot be written", &error.cause))?;
    place::sync_folder_of(path);
    Ok(())
}

/// Lines of a set-aside list that are about a learner, and the list without them.
pub fn parted(text: &str, code: &LearnerCode, name: Option<&str>) -> (String, String) {
    let quoted_name = name.filter(|name| !name.is_empty()).map(|name| value(name).to_string());
    let about = |line: &str| {
        let lower = line.to_ascii_lowercase();
        lower.contains(code.as_str()) || quoted_name.as_ref().is_some_and(|name| line.contains(name.trim()))
    };
    text.split_inclusive('\n').partition(|line| about(line))
}
