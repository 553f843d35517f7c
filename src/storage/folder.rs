//! What stands in the folder of the records: the lock, and which file is whose.

use crate::content::problem::Problem;
use crate::learning::record::LearnerCode;
use crate::storage::place::{self, failed, problem};
use std::fs::{self, File, OpenOptions, TryLockError};
use std::path::Path;

const LOCK: &str = "in_use.lock";

/// Ending of a log of answers.
pub const ENDING: &str = "answers";

/// The learner whose log, or a variant of it, has this name.
pub fn owner(name: &str) -> Option<LearnerCode> {
    let (code, rest) = name.split_once('.')?;
    let is_log = rest == ENDING || is_variant(rest, ENDING);
    LearnerCode::parse(code).filter(|parsed| is_log && parsed.as_str() == code)
}

/// Whether a name is that of a file with something added, such as `names.toml.damaged-1`.
pub fn is_variant(name: &str, file: &str) -> bool {
    name.strip_prefix(file).is_some_and(|rest| rest.len() > 1 && rest.starts_with('.'))
}

/// Whether a name is one that [`crate::content::save::save_atomically`] writes under before it moves the file to its place.
pub fn is_part(name: &str) -> bool {
    let number = name.strip_suffix(".part").and_then(|name| name.rsplit_once('.'));
    number.is_some_and(|(_, number)| !number.is_empty() && number.bytes().all(|byte| byte.is_ascii_digit()))
}

/// The lock file of a folder, locked; nobody else can open the records until it is unlocked or closed.
pub fn locked(folder: &Path) -> Result<File, Problem> {
    let path = folder.join(LOCK);
    place::is_file(&path)?;
    let file = OpenOptions::new()
        .write(true)
        .create(true)
        .truncate(false)
        .open(&path)
        .map_err(|error| failed(&path, "the folder cannot be written to", &error))?;
    match file.try_lock() {
        Ok(()) => Ok(file),
        Err(TryLockError::WouldBlock) => {
            Err(problem(folder, "another program is using these records", "close it, or choose another folder"))
        }
        Err(TryLockError::Error(error)) => {
            let mend = "choose a folder on a disk of this computer";
            Err(problem(&path, format!("the records cannot be locked against other programs: {error}"), mend))
        }
    }
}

/// Make sure of a folder within the folder.
pub fn make_folder(path: &Path) -> Result<(), Problem> {
    match fs::symlink_metadata(path) {
        Ok(found) if found.is_dir() => Ok(()),
        Ok(_) => Err(problem(path, "this is not a folder", "move it away")),
        Err(_) => {
            fs::create_dir(path).map_err(|error| failed(path, "the folder cannot be made", &error))?;
            place::sync_folder_of(path);
            Ok(())
        }
    }
}
