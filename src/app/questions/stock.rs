//! The items that may be asked and the lessons that they belong to, read on a thread of their own.

use crate::app::latest::Latest;
use crate::content::course_folder;
use crate::content::quiz::bank;
use crate::learning::course::Course;
use crate::learning::quiz::bank::Bank;
use std::path::Path;
use std::sync::Arc;
use std::time::Duration;

/// What was read.
#[derive(Default)]
pub struct Read {
    /// Items.
    pub bank: Bank,
    /// Lessons.
    pub course: Course,
    /// What is wrong with the quizzes of a user's folder.
    pub problems: Vec<String>,
}

/// The stock, for one course folder.
#[derive(Default)]
pub struct Stock {
    reader: Option<Latest<String, Read>>,
    folder: Option<String>,
    revision: u64,
    answered: u64,
    read: Option<Arc<Read>>,
    error: Option<String>,
}

impl Stock {
    /// Read the items again if the folder is another one than before.
    pub fn refresh(&mut self, wake: impl Fn() + Send + 'static, folder: &str) {
        if self.folder.as_deref() != Some(folder) {
            self.folder = Some(folder.to_owned());
            self.revision += 1;
            let reader = self.reader.get_or_insert_with(|| Latest::new(wake, |folder: &String| Ok(read(folder))));
            reader.ask(0, self.revision, folder.to_owned());
        }
        while let Some(reply) = self.reader.as_ref().and_then(Latest::reply) {
            self.receive(reply);
        }
    }

    fn receive(&mut self, reply: crate::app::latest::Reply<Read>) {
        self.answered = reply.revision;
        match reply.answer {
            Ok(read) => self.read = Some(Arc::new(read)),
            Err(why) => self.error = Some(why),
        }
    }

    /// What was read; `None` before the first reading is over.
    pub fn read(&self) -> Option<&Arc<Read>> {
        self.read.as_ref()
    }

    /// Why nothing was read.
    pub fn error(&self) -> Option<&str> {
        self.error.as_deref()
    }

    /// Wait for a reading that is under way; `true` if none is.
    pub fn wait(&mut self, limit: Duration) -> bool {
        while self.answered < self.revision {
            match self.reader.as_ref().and_then(|reader| reader.wait(limit)) {
                Some(reply) => self.receive(reply),
                None => return false,
            }
        }
        true
    }
}

fn read(folder: &str) -> Read {
    let own = (!folder.is_empty()).then(|| Path::new(folder));
    let (bank, problems) = bank::bank(own);
    // what is wrong with the lessons is told where the lessons are shown
    let (course, _) = course_folder::course(own);
    Read { bank, course, problems: problems.iter().map(ToString::to_string).collect() }
}
