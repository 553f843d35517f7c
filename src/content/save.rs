//! Files that are whole or not there.

use std::fs::{self, File, OpenOptions};
use std::io::{self, Write};
use std::path::{Path, PathBuf};

/// Why a file was not saved; what stood there before still does.
#[derive(Debug)]
pub struct SaveError {
    /// The file that was to be written.
    pub path: PathBuf,
    /// What the system said.
    pub cause: io::Error,
}

impl std::fmt::Display for SaveError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let path = self.path.display();
        write!(f, "{path}: not saved: {}; check that its folder exists and may be written", self.cause)
    }
}

impl std::error::Error for SaveError {}

/// Write a file beside its place, then put it there in one move: a crash leaves the old file or the new one.
///
/// # Errors
/// [`SaveError`] when the file cannot be written or moved.
pub fn save_atomically(path: &Path, text: &str) -> Result<(), SaveError> {
    save_bytes_atomically(path, text.as_bytes())
}

/// The same for a file that is no text.
///
/// # Errors
/// As [`save_atomically`].
pub fn save_bytes_atomically(path: &Path, content: &[u8]) -> Result<(), SaveError> {
    replace(path, content).map_err(|cause| SaveError { path: path.to_owned(), cause })
}

fn replace(path: &Path, content: &[u8]) -> io::Result<()> {
    // a link keeps pointing to its file
    let target = fs::canonicalize(path).unwrap_or_else(|_| path.to_owned());
    let Some(name) = target.file_name() else {
        return Err(io::Error::new(io::ErrorKind::InvalidInput, "the path names no file"));
    };
    let mut beside = name.to_owned();
    beside.push(format!(".{}.part", std::process::id()));
    let part = target.with_file_name(beside);
    let written = write_through(&part, content)
        .and_then(|()| keep_permissions(&target, &part))
        .and_then(|()| fs::rename(&part, &target));
    if written.is_err() {
        // nothing can be done about a part file that cannot be removed either
        let _ = fs::remove_file(&part);
    }
    written
}

fn write_through(path: &Path, content: &[u8]) -> io::Result<()> {
    let mut file: File = OpenOptions::new().write(true).create(true).truncate(true).open(path)?;
    file.write_all(content)?;
    file.sync_all()
}

fn keep_permissions(from: &Path, to: &Path) -> io::Result<()> {
    match fs::metadata(from) {
        Ok(known) if known.is_file() => fs::set_permissions(to, known.permissions()),
        _ => Ok(()),
    }
}
