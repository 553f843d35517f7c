//! Runs every live block of a course and asks every claim.

use crate::content::problem::{Problem, quoted};
use crate::learning::claim::Claim;
use crate::learning::course::{Course, Lesson};
use crate::learning::explain::told;
use crate::learning::live::Live;
use crate::learning::prediction::Prediction;
use crate::learning::reading::counts;
use crate::learning::seen::{Seen, see};
use rayon::prelude::*;

/// What a lesson came to.
#[derive(Debug, Clone, PartialEq)]
pub struct LessonReport {
    /// Its stem.
    pub stem: String,
    /// Its title.
    pub title: String,
    /// Live blocks that ran.
    pub blocks: usize,
    /// Claims that were asked, those of answers too.
    pub claims: usize,
    /// Flesch–Kincaid grade.
    pub grade: f64,
    /// Words.
    pub words: usize,
    /// The explanations with their numbers, block by block: its id first.
    pub told: Vec<(String, String)>,
    /// Whatever does not hold.
    pub problems: Vec<Problem>,
}

/// Every lesson's report, in their order.
pub fn check(course: &Course) -> Vec<LessonReport> {
    course.lessons.par_iter().map(check_lesson).collect()
}

/// Runs a lesson's live blocks and asks its claims.
pub fn check_lesson(lesson: &Lesson) -> LessonReport {
    let counted = counts(lesson);
    let mut report = LessonReport {
        stem: lesson.stem.clone(),
        title: lesson.title.clone(),
        blocks: 0,
        claims: 0,
        grade: counted.grade(),
        words: counted.words,
        told: Vec::new(),
        problems: Vec::new(),
    };
    let live: Vec<&Live> = lesson.live().collect();
    let seen: Vec<Result<Vec<Seen>, String>> =
        live.par_iter().map(|live| see(&live.benches, live.needs_steady())).collect();
    for (live, seen) in live.into_iter().zip(seen) {
        match seen {
            Ok(seen) => report.ask(live, &seen),
            Err(why) => report.note(live, live.line, format!("the block does not run: {why}"), "change its settings"),
        }
    }
    report
}

impl LessonReport {
    fn note(&mut self, live: &Live, line: usize, message: String, mend: &str) {
        let (file, key, mend) = (format!("{}.md", self.stem), live.id.clone(), mend.to_owned());
        self.problems.push(Problem { file, line, key, message, mend });
    }

    /// Asks every claim of a block that ran.
    fn ask(&mut self, live: &Live, seen: &[Seen]) {
        self.blocks += 1;
        self.told.push((live.id.clone(), told(&live.explain, seen)));
        for (claim, expected) in claims(live) {
            self.claims += 1;
            let checked = claim.check(seen);
            if checked.holds != expected {
                let what = if expected { "does not hold" } else { "holds, and its answer is called wrong" };
                let message = format!("\"{}\" {what}: {}", quoted(&claim.text), checked.because);
                self.note(live, claim.line, message, "change the claim and the text, or the settings");
            }
        }
    }
}

/// Every claim of a block, and whether it must hold.
fn claims(live: &Live) -> Vec<(&Claim, bool)> {
    let mut all: Vec<_> = live.claims.iter().map(|claim| (claim, true)).collect();
    if let Prediction::Choice { options, .. } = &live.prediction {
        all.extend(options.iter().filter_map(|option| Some((option.claim.as_ref()?, option.right))));
    }
    all
}
