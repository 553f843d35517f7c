//! The records of a folder: learners, their answers and names; export and deletion.

use crate::content::problem::{Problem, quoted};
use crate::content::save::save_atomically;
use crate::learning::record::{Answer, LearnerCode};
use crate::storage::folder::{ENDING, is_part, is_variant, locked, make_folder, owner};
use crate::storage::log::{self, Opened};
use crate::storage::names::{self, LONGEST_NAME, Names};
use crate::storage::place::{self, failed, problem};
use serde::Serialize;
use std::collections::{BTreeMap, BTreeSet};
use std::fs::{self, File};
use std::path::{Path, PathBuf};

/// Most files of a folder that are looked at.
const MOST_FILES: usize = 20_000;

/// Most bytes of answers that are read at once.
const LARGEST_CLASS_BYTES: u64 = 256 * 1024 * 1024;

const ANSWERS: &str = "answers";

/// The records of a folder, which belong to this value until it is dropped.
#[derive(Debug)]
pub struct Records {
    folder: PathBuf,
    names: Names,
    /// Lengths of the logs that were looked at.
    lengths: BTreeMap<LearnerCode, u64>,
    notices: Vec<Problem>,
    /// Held for its lock, which the system gives back even when the program is killed.
    lock: File,
}

/// Everything that is stored about a learner.
#[derive(Debug, Serialize)]
struct Export {
    format_version: u32,
    learner: LearnerCode,
    name: Option<String>,
    answers: Vec<Answer>,
    set_aside: Vec<SetAside>,
}

#[derive(Debug, Serialize)]
struct SetAside {
    file: String,
    text: String,
}

impl Records {
    /// Open the records of a folder, which must exist; an empty one is as good.
    ///
    /// # Errors
    /// A folder that is missing, no folder, not writable, or in use by another program.
    pub fn open(folder: &Path) -> Result<Self, Problem> {
        let folder = fs::canonicalize(folder).map_err(|error| failed(folder, "the folder cannot be opened", &error))?;
        if !folder.is_dir() {
            return Err(problem(&folder, "this is not a folder", "choose a folder"));
        }
        let lock = locked(&folder)?;
        make_folder(&folder.join(ANSWERS))?;
        let mut records = Self { folder, names: Names::new(), lengths: BTreeMap::new(), notices: Vec::new(), lock };
        records.sweep()?;
        let (names, notices) = names::open(&records.names_path())?;
        records.names = names;
        records.notices = notices;
        Ok(records)
    }

    /// What was mended since the last call, to be told to the user.
    pub fn take_notices(&mut self) -> Vec<Problem> {
        std::mem::take(&mut self.notices)
    }

    /// Every learner with a name or with answers, by code.
    ///
    /// # Errors
    /// A folder that cannot be read.
    pub fn learners(&self) -> Result<Vec<LearnerCode>, Problem> {
        let files = place::names_in(&self.folder.join(ANSWERS), MOST_FILES)?;
        let with_answers = files.iter().filter_map(|name| owner(name));
        let all: BTreeSet<LearnerCode> = self.names.keys().cloned().chain(with_answers).collect();
        Ok(all.into_iter().collect())
    }

    /// The name of a learner, where one is known.
    pub fn name(&self, learner: &LearnerCode) -> Option<&str> {
        self.names.get(learner).map(String::as_str)
    }

    /// Take in a learner under a new code, with a name or, if it is empty, without.
    ///
    /// # Errors
    /// No random numbers, a name that is too long, a file that cannot be written.
    pub fn add(&mut self, name: &str) -> Result<LearnerCode, Problem> {
        let taken = self.learners()?;
        let learner = loop {
            let drawn = LearnerCode::drawn(random_byte);
            let code = drawn.map_err(|error| {
                problem(&self.folder, format!("the system gives no random numbers: {error}"), "try again")
            })?;
            if !taken.contains(&code) {
                break code;
            }
        };
        let length = log::begin(&self.log_path(&learner), &learner)?;
        self.lengths.insert(learner.clone(), length);
        if !name.trim().is_empty() {
            self.rename(&learner, name)?;
        }
        Ok(learner)
    }

    /// Give a learner another name; an empty one takes the name off the list.
    ///
    /// # Errors
    /// A name that is too long or has control characters, a file that cannot be written.
    pub fn rename(&mut self, learner: &LearnerCode, name: &str) -> Result<(), Problem> {
        let name = name.trim();
        if name.chars().nth(LONGEST_NAME).is_some() || name.chars().any(char::is_control) {
            let message = format!("{} is no name of up to {LONGEST_NAME} characters on one line", quoted(name));
            return Err(problem(&self.names_path(), message, "write a shorter name"));
        }
        let mut names = self.names.clone();
        if name.is_empty() {
            names.remove(learner);
        } else {
            names.insert(learner.clone(), name.to_owned());
        }
        names::save(&self.names_path(), &names)?;
        self.names = names;
        Ok(())
    }

    /// Keep an answer. When this returns it is on the disk; after an error it may or may not be.
    ///
    /// # Errors
    /// An answer that cannot be kept, a file that cannot be written or has gone.
    pub fn append(&mut self, answer: &Answer) -> Result<(), Problem> {
        let learner = &answer.learner;
        let path = self.log_path(learner);
        let length = match self.lengths.get(learner) {
            Some(length) if *length > 0 && file_length(&path)? == *length => *length,
            // not looked at yet, or changed by somebody else meanwhile
            _ => {
                let length = self.look(learner)?.length.filter(|length| *length > 0);
                length.map_or_else(|| log::begin(&path, learner), Ok)?
            }
        };
        // until it is known to be whole again, whatever happens now
        self.lengths.remove(learner);
        let length = log::append(&path, length, answer)?;
        self.lengths.insert(learner.clone(), length);
        Ok(())
    }

    /// The answers of a learner in the order in which they were given.
    ///
    /// # Errors
    /// A log that cannot be read, or must not be touched by this version.
    pub fn answers(&mut self, learner: &LearnerCode) -> Result<Vec<Answer>, Problem> {
        Ok(self.look(learner)?.answers)
    }

    /// The answers of all learners whose log can be read, learner by learner; a log that cannot be is among the notices.
    ///
    /// # Errors
    /// A folder that cannot be read, or more answers than are read at once.
    pub fn all_answers(&mut self) -> Result<Vec<Answer>, Problem> {
        let (mut all, mut bytes) = (Vec::new(), 0);
        for learner in self.learners()? {
            match self.look(&learner) {
                Ok(opened) => {
                    all.extend(opened.answers);
                    bytes += opened.length.unwrap_or(0);
                }
                Err(problem) => self.notices.push(problem),
            }
            if bytes > LARGEST_CLASS_BYTES {
                let message =
                    format!("the answers have more than the {LARGEST_CLASS_BYTES} bytes that are read at once");
                return Err(problem(&self.folder, message, "keep each class in a folder of its own"));
            }
        }
        Ok(all)
    }

    /// Everything that is stored about a learner, as JSON.
    ///
    /// # Errors
    /// A learner who is not there, a file that cannot be read.
    pub fn export(&mut self, learner: &LearnerCode) -> Result<String, Problem> {
        let export = self.exported(learner)?;
        self.json(&export)
    }

    /// Everything that is stored about everybody, as JSON.
    ///
    /// # Errors
    /// A file that cannot be read.
    pub fn export_all(&mut self) -> Result<String, Problem> {
        let learners = self.learners()?;
        let exports: Result<Vec<Export>, Problem> = learners.iter().map(|learner| self.exported(learner)).collect();
        self.json(&exports?)
    }

    /// Remove a learner from every file: answers, copies set aside, names. A copy that was saved elsewhere is not
    /// reached, nor what a disk keeps of removed files.
    ///
    /// # Errors
    /// A learner who is not there, a file that cannot be written or removed.
    pub fn delete(&mut self, learner: &LearnerCode) -> Result<(), Problem> {
        let files = self.files_of(learner)?;
        self.known(learner, &files)?;
        let name = self.names.get(learner).cloned();
        self.lengths.remove(learner);
        for (path, text) in self.old_name_lists()? {
            let (about, rest) = names::parted(&text, learner, name.as_deref());
            if !about.is_empty() {
                save_atomically(&path, &rest).map_err(|error| failed(&path, "it cannot be written", &error.cause))?;
            }
        }
        for path in &files {
            place::remove(path)?;
            place::sync_folder_of(path);
        }
        // the name goes last, so that a deletion that was interrupted can be found and done again
        if name.is_some() { self.rename(learner, "") } else { Ok(()) }
    }

    /// Remove everybody. Files that are not of the records stay.
    ///
    /// # Errors
    /// A file that cannot be removed.
    pub fn delete_all(&mut self) -> Result<(), Problem> {
        self.lengths.clear();
        let answers = self.folder.join(ANSWERS);
        for name in place::names_in(&answers, MOST_FILES)? {
            if owner(&name).is_some() {
                place::remove(&answers.join(name))?;
            }
        }
        for name in place::names_in(&self.folder, MOST_FILES)? {
            if name == names::FILE || is_variant(&name, names::FILE) {
                place::remove(&self.folder.join(name))?;
            }
        }
        self.names.clear();
        place::sync_folder(&answers);
        place::sync_folder(&self.folder);
        Ok(())
    }

    fn exported(&mut self, learner: &LearnerCode) -> Result<Export, Problem> {
        let answers = self.look(learner)?.answers;
        let files = self.files_of(learner)?;
        self.known(learner, &files)?;
        let name = self.names.get(learner).cloned();
        let mut set_aside = Vec::new();
        let shown = |path: &Path| path.file_name().unwrap_or_default().to_string_lossy().into_owned();
        for path in files.iter().filter(|path| **path != self.log_path(learner)) {
            let bytes = place::read(path, log::LARGEST_BYTES)?.unwrap_or_default();
            set_aside.push(SetAside { file: shown(path), text: String::from_utf8_lossy(&bytes).into_owned() });
        }
        for (path, text) in self.old_name_lists()? {
            let (about, _) = names::parted(&text, learner, name.as_deref());
            if !about.is_empty() {
                set_aside.push(SetAside { file: shown(&path), text: about });
            }
        }
        let format_version = crate::storage::line::FORMAT_VERSION;
        Ok(Export { format_version, learner: learner.clone(), name, answers, set_aside })
    }

    fn json(&self, value: &impl Serialize) -> Result<String, Problem> {
        let written = serde_json::to_string_pretty(value);
        written.map_err(|error| problem(&self.folder, format!("the records cannot be written: {error}"), "report this"))
    }

    fn known(&self, learner: &LearnerCode, files: &[PathBuf]) -> Result<(), Problem> {
        if files.is_empty() && !self.names.contains_key(learner) {
            let message = format!("there is no learner {learner}");
            return Err(problem(&self.folder, message, "choose one of the learners of this folder"));
        }
        Ok(())
    }

    /// Open a log, mend it, and remember its length and what was mended.
    fn look(&mut self, learner: &LearnerCode) -> Result<Opened, Problem> {
        let mut opened = log::open(&self.log_path(learner), learner)?;
        self.notices.append(&mut opened.notices);
        match opened.length {
            Some(length) => self.lengths.insert(learner.clone(), length),
            None => self.lengths.remove(learner),
        };
        Ok(opened)
    }

    fn files_of(&self, learner: &LearnerCode) -> Result<Vec<PathBuf>, Problem> {
        let answers = self.folder.join(ANSWERS);
        let names = place::names_in(&answers, MOST_FILES)?;
        Ok(names.iter().filter(|name| owner(name).as_ref() == Some(learner)).map(|name| answers.join(name)).collect())
    }

    /// Lists of names that were set aside, with their text.
    fn old_name_lists(&self) -> Result<Vec<(PathBuf, String)>, Problem> {
        let mut lists = Vec::new();
        for name in place::names_in(&self.folder, MOST_FILES)? {
            if is_variant(&name, names::FILE) {
                let path = self.folder.join(name);
                let bytes = place::read(&path, names::LARGEST_BYTES)?.unwrap_or_default();
                lists.push((path, String::from_utf8_lossy(&bytes).into_owned()));
            }
        }
        Ok(lists)
    }

    /// Remove what an interrupted replacement left beside a file: the file itself is whole, and nobody else is here.
    fn sweep(&self) -> Result<(), Problem> {
        let answers = self.folder.join(ANSWERS);
        for (folder, ours) in [(&self.folder, false), (&answers, true)] {
            for name in place::names_in(folder, MOST_FILES)? {
                let is_ours = if ours { owner(&name).is_some() } else { is_variant(&name, names::FILE) };
                if is_ours && is_part(&name) {
                    place::remove(&folder.join(name))?;
                }
            }
        }
        Ok(())
    }

    fn names_path(&self) -> PathBuf {
        self.folder.join(names::FILE)
    }

    /// A code has no character that could lead out of the folder.
    fn log_path(&self, learner: &LearnerCode) -> PathBuf {
        self.folder.join(ANSWERS).join(format!("{learner}.{ENDING}"))
    }
}

impl Drop for Records {
    /// Closing the file would do, but for a process that is being started just now and still shares it. Nothing is lost
    /// if it fails: then the lock lasts until that process has started.
    fn drop(&mut self) {
        let _ = self.lock.unlock();
    }
}

fn random_byte() -> Result<u8, getrandom::Error> {
    let mut byte = [0];
    getrandom::fill(&mut byte).map(|()| byte[0])
}

fn file_length(path: &Path) -> Result<u64, Problem> {
    fs::symlink_metadata(path).map(|found| found.len()).map_err(|error| failed(path, "the answer is not kept", &error))
}
