//! Files of a folder that anybody may have changed: looked at before they are opened, read no further than is sensible.

use crate::content::problem::Problem;
use std::fs::{self, File, OpenOptions};
use std::io::{self, Read, Write};
use std::path::{Path, PathBuf};

/// Copies of one file that are set aside; after so many something else is wrong.
const MOST_ASIDE: usize = 999;

/// A problem with a file or folder as a whole.
pub fn problem(path: &Path, message: impl Into<String>, mend: impl Into<String>) -> Problem {
    Problem {
        file: path.display().to_string(),
        line: 1,
        key: String::new(),
        message: message.into(),
        mend: mend.into(),
    }
}

/// A problem that the system reported.
pub fn failed(path: &Path, what: &str, error: &io::Error) -> Problem {
    let mend = match error.kind() {
        io::ErrorKind::NotFound => "it was moved or removed, or a disk was unplugged: put it back and open it again",
        io::ErrorKind::PermissionDenied | io::ErrorKind::ReadOnlyFilesystem => {
            "allow reading and writing there, or choose another folder"
        }
        io::ErrorKind::StorageFull | io::ErrorKind::QuotaExceeded => "make room on the disk and try again",
        _ => "check the disk, or choose another folder",
    };
    problem(path, format!("{what}: {error}"), mend)
}

/// What stands at a path: nothing, a file, or something that is neither and is refused.
pub fn is_file(path: &Path) -> Result<bool, Problem> {
    match fs::symlink_metadata(path) {
        Ok(found) if found.is_file() => Ok(true),
        Ok(found) if found.is_symlink() => {
            Err(problem(path, "this is a link to another place", "put the file itself here"))
        }
        Ok(_) => Err(problem(path, "this is not a file", "move it away")),
        Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(false),
        Err(error) => Err(failed(path, "it cannot be looked at", &error)),
    }
}

/// The bytes of a file; none if there is no file.
pub fn read(path: &Path, most: u64) -> Result<Option<Vec<u8>>, Problem> {
    if !is_file(path)? {
        return Ok(None);
    }
    let mut bytes = Vec::new();
    File::open(path)
        .and_then(|file| file.take(most + 1).read_to_end(&mut bytes))
        .map_err(|error| failed(path, "it cannot be read", &error))?;
    if bytes.len() as u64 > most {
        let message = format!("it has more than the {most} bytes that are read");
        return Err(problem(path, message, "check that it belongs here; move it away if not"));
    }
    Ok(Some(bytes))
}

/// Keep a copy of bytes beside their file under the first free number; the file itself stays.
pub fn set_aside(path: &Path, why: &str, bytes: &[u8]) -> Result<PathBuf, Problem> {
    for number in 1..=MOST_ASIDE {
        let mut name = path.file_name().unwrap_or_default().to_owned();
        name.push(format!(".{why}-{number}"));
        let aside = path.with_file_name(name);
        match OpenOptions::new().write(true).create_new(true).open(&aside) {
            Ok(mut file) => {
                let written = file.write_all(bytes).and_then(|()| file.sync_all());
                written.map_err(|error| failed(&aside, "a copy cannot be set aside", &error))?;
                sync_folder_of(&aside);
                return Ok(aside);
            }
            Err(error) if error.kind() == io::ErrorKind::AlreadyExists => {}
            Err(error) => return Err(failed(&aside, "a copy cannot be set aside", &error)),
        }
    }
    let message = format!("{MOST_ASIDE} copies of it are set aside already");
    Err(problem(path, message, "move them away and find out what damages this file"))
}

/// Make a new name in a folder last through a loss of power. Not every system opens folders; there it is left to the
/// system, as is an error: the file itself has been written through.
pub fn sync_folder(folder: &Path) {
    let _ = File::open(folder).and_then(|folder| folder.sync_all());
}

/// [`sync_folder`] of the folder that a file stands in.
pub fn sync_folder_of(path: &Path) {
    if let Some(folder) = path.parent() {
        sync_folder(folder);
    }
}

/// Names of the files in a folder, in order; what is no text is nothing of ours.
pub fn names_in(folder: &Path, most: usize) -> Result<Vec<String>, Problem> {
    let unreadable = |error: io::Error| failed(folder, "the folder cannot be read", &error);
    let mut names = Vec::new();
    for entry in fs::read_dir(folder).map_err(unreadable)? {
        if names.len() == most {
            let message = format!("the folder holds more than {most} files");
            return Err(problem(folder, message, "check that this is the folder of the records"));
        }
        names.extend(entry.map_err(unreadable)?.file_name().into_string().ok());
    }
    names.sort();
    Ok(names)
}

/// Remove a file; one that is gone already is as good.
pub fn remove(path: &Path) -> Result<(), Problem> {
    match fs::remove_file(path) {
        Err(error) if error.kind() != io::ErrorKind::NotFound => Err(failed(path, "it cannot be removed", &error)),
        _ => Ok(()),
    }
}
