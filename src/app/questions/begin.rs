//! How a row of questions begins: on a lesson, with what is due, as a test, with chosen ones.

use super::View;
use super::page::Arrive;
use super::plan::MOST_DUE;
use super::question::Question;
use super::session::{Kept, Limit, Row, Session};
use crate::learning::quiz::item::Item;
use crate::learning::record::Mode;

/// Names of questions towards the runner begin here: blocks of lessons, whose pictures are kept by such names too, count
/// from 1.
const FIRST_KEY: u64 = 1 << 32;

impl View {
    pub(super) fn begin_lesson(&mut self) {
        let seed = self.fresh_seed();
        let Some(read) = self.stock.read().cloned() else { return };
        let items = self.plan.lesson_items(&read, seed);
        let title = read.course.lesson(&self.plan.lesson).map_or_else(String::new, |lesson| lesson.title.clone());
        if items.is_empty() {
            let why = "there is no question on this lesson yet; choose another one".to_owned();
            self.plan_error = Some((Arrive::Lesson, why));
            return;
        }
        self.begin(Mode::Lesson, title, &items, seed, None);
    }

    pub(super) fn begin_review(&mut self) {
        let seed = self.fresh_seed();
        let Some(read) = self.stock.read().cloned() else { return };
        let items: Vec<&Item> = self.due.iter().take(MOST_DUE).filter_map(|id| read.bank.item(id)).collect();
        self.begin(Mode::Review, "Due today".to_owned(), &items, seed, None);
    }

    pub(super) fn begin_test(&mut self) {
        let seed = match self.plan.seed() {
            Ok(seed) => seed,
            Err(why) => {
                self.plan_error = Some((Arrive::Stem, why));
                return;
            }
        };
        let Some(read) = self.stock.read().cloned() else { return };
        let items = self.plan.test(&read.bank, seed);
        let form = self.plan.form(seed);
        let begun_s = self.clock.now_s();
        let limit = self.plan.minutes.map(|minutes| Limit { set_s: 60.0 * f64::from(minutes), added_s: 0.0, begun_s });
        self.begin(Mode::Test { form }, format!("Test, seed {seed}"), &items, seed, limit);
    }

    pub(super) fn begin_wanted(&mut self) {
        let Some(read) = self.stock.read().cloned() else { return };
        let Some((ids, mode)) = self.wanted.take() else { return };
        let seed = self.fresh_seed();
        let items: Vec<&Item> = ids.iter().filter_map(|id| read.bank.item(id)).collect();
        self.begin(mode, "Chosen questions".to_owned(), &items, seed, None);
    }

    /// A seed that nobody needs to know.
    fn fresh_seed(&mut self) -> u64 {
        self.names += 1;
        (self.clock.now_s() * 1e3) as u64 ^ self.names
    }

    fn begin(&mut self, mode: Mode, title: String, items: &[&Item], seed: u64, limit: Option<Limit>) {
        if items.is_empty() {
            return;
        }
        let mut row = |item: &&Item| {
            self.names += 1;
            let question = Question::new(FIRST_KEY + self.names, item.ask(seed));
            Row { question, record: None, kept: Kept::Nowhere, is_told: false }
        };
        let rows = items.iter().map(&mut row).collect();
        let learner = self.learner.clone();
        let (is_over, is_finished, looked_at) = (false, false, None);
        self.put_off();
        self.session = Some(Session { mode, title, learner, rows, at: 0, limit, is_over, is_finished, looked_at });
        self.is_open = true;
        self.is_new = false;
        self.arrive = Some(Arrive::Stem);
        self.to_top = true;
    }
}
