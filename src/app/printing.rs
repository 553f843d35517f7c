//! A handout of the lesson that is shown, made and written away from the screen.

use super::job::Job;
use crate::content::save::save_atomically;
use crate::learning::course::Lesson;
use crate::report::date::Date;
use crate::report::handout::{self, Reader};
use crate::report::page::Paper;
use eframe::egui::Context;
use std::path::PathBuf;

/// What is printed, and what is being made.
#[derive(Default)]
pub struct Printing {
    /// The lesson for which a file is being chosen.
    lesson: Option<Lesson>,
    job: Option<(Job<(), ()>, PathBuf)>,
}

impl Printing {
    /// Which lesson the next file is for.
    pub fn of(&mut self, lesson: Option<Lesson>) {
        self.lesson = lesson;
    }

    /// Whether a file is being made.
    pub fn is_busy(&self) -> bool {
        self.job.is_some()
    }

    /// Make it and write it there. Without a lesson nothing happens.
    pub fn begin(&mut self, ctx: &Context, (reader, paper): (Reader, Paper), path: PathBuf) {
        let Some(lesson) = self.lesson.take() else { return };
        let target = path.clone();
        let job = Job::begin(ctx, move |watch, _| {
            let file = handout::pdf(&lesson, reader, paper, Date::today())?;
            if watch.cancelled() {
                return Err("not printed".to_owned());
            }
            save_atomically(&target, &file).map_err(|error| error.to_string())
        });
        self.job = Some((job, path));
    }

    /// Leave it; what has not been written will not be.
    pub fn cancel(&mut self) {
        self.job = None;
    }

    /// Where the file is, or why there is none, once that is known.
    pub fn poll(&mut self) -> Option<Result<PathBuf, String>> {
        let (job, _) = self.job.as_mut()?;
        let result = job.poll()?;
        let (_, path) = self.job.take()?;
        Some(result.map(|()| path))
    }
}
