//! The course that is shown: the one that comes with the program, with a user's folder over it.

use super::runner::BlockKey;
use crate::content::course_folder;
use crate::content::problem::Problem;
use crate::learning::course::Course;
use eframe::egui::Context;
use std::path::Path;
use std::sync::Arc;
use std::time::{Duration, SystemTime};

/// How often a folder is looked at, s.
const LOOK_AGAIN_S: f64 = 1.0;

/// A file's name, size and time of its last change.
type Stamp = (std::ffi::OsString, u64, Option<SystemTime>);

/// The course with what is wrong with it.
#[derive(Default)]
pub struct Shelf {
    course: Arc<Course>,
    problems: Vec<Problem>,
    read: bool,
    folder: String,
    stamps: Vec<Stamp>,
    looked_at: f64,
    keys: BlockKey,
}

impl Shelf {
    /// The course as far as it can be read.
    pub fn course(&self) -> &Arc<Course> {
        &self.course
    }

    /// What is wrong with the user's folder.
    pub fn problems(&self) -> &[Problem] {
        &self.problems
    }

    /// A name towards the runner that no block has had.
    pub fn next_key(&mut self) -> BlockKey {
        self.keys += 1;
        self.keys
    }

    /// Read again what has changed; the stems of lessons that are not as they were.
    pub fn refresh(&mut self, ctx: &Context, folder: &str) -> Vec<String> {
        let now = ctx.input(|input| input.time);
        let another = !self.read || self.folder != folder;
        if !folder.is_empty() {
            ctx.request_repaint_after(Duration::from_secs_f64(LOOK_AGAIN_S));
        }
        if !another && (folder.is_empty() || now - self.looked_at < LOOK_AGAIN_S) {
            return Vec::new();
        }
        self.looked_at = now;
        let stamps = if folder.is_empty() { Vec::new() } else { stamps(Path::new(folder)) };
        if !another && stamps == self.stamps {
            return Vec::new();
        }
        self.read = true;
        folder.clone_into(&mut self.folder);
        self.stamps = stamps;
        self.load()
    }

    fn load(&mut self) -> Vec<String> {
        let own = (!self.folder.is_empty()).then(|| Path::new(&self.folder));
        let (course, problems) = course_folder::course(own);
        let before = std::mem::replace(&mut self.course, Arc::new(course));
        self.problems = problems;
        let is_changed = |stem: &str| {
            let text = |course: &Course| course.lesson(stem).map(|lesson| format!("{lesson:?}"));
            text(&before) != text(&self.course)
        };
        before.lessons.iter().map(|lesson| lesson.stem.clone()).filter(|stem| is_changed(stem)).collect()
    }
}

/// What tells that something in a folder has changed; nothing for one that cannot be read.
fn stamps(folder: &Path) -> Vec<Stamp> {
    const MOST: usize = 1000;
    let Ok(entries) = std::fs::read_dir(folder) else { return Vec::new() };
    let stamp = |entry: std::fs::DirEntry| {
        let about = entry.metadata().ok()?;
        Some((entry.file_name(), about.len(), about.modified().ok()))
    };
    let mut stamps: Vec<Stamp> = entries.take(MOST).filter_map(|entry| stamp(entry.ok()?)).collect();
    stamps.sort();
    stamps
}
