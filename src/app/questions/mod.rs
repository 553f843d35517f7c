//! Questions: who answers, what is asked, one question after the other, and what came of it.
//!
//! What the learner does becomes a `question::Deed` or a `page::Wish` and is applied before the next drawing. Runs and
//! records have threads of their own (`crate::app::lessons::runner`, `keeper`); an answer is on the disk before the next
//! question is shown. Drawings, traces, sheets and sliders are those of the lessons.

mod answer_view;
mod begin;
pub mod clock;
mod flow;
mod item_view;
mod keeper;
mod page;
mod plan;
mod point_view;
mod question;
mod records;
mod result_view;
mod run_view;
mod session;
mod start_view;
mod stock;
mod test_view;
mod who_view;
mod wishes;

use super::actions::Action;
use super::lessons::block::Deed as RunDeed;
use super::lessons::runner::Runner;
use super::lessons::{follow, turn_pages};
use super::preferences::Preferences;
use super::theme::Palette;
use crate::learning::record::{Answer, LearnerCode, Mode};
use clock::Clock;
use eframe::egui::{Id, Margin, Popup, ScrollArea, Ui};
use keeper::{Keeper, Token};
use page::{Arrive, GO_ON, Page, Wish};
use plan::Plan;
use question::{Deed, Work};
use session::Session;
use std::time::Duration;
use stock::Stock;

/// The records folder.
#[derive(Debug, Clone, PartialEq, Default)]
enum Folder {
    /// None is chosen, or it has been let go.
    #[default]
    None,
    /// It is being opened.
    Opening,
    /// Its learners, and what was mended in it.
    Open(Vec<LearnerCode>, Vec<String>),
    /// It cannot be used, and why. It is not asked again until the reader wants it.
    Refused(String),
}

/// An answer that is not on the disk yet.
struct Unkept {
    answer: Answer,
    /// Its name while it is being tried.
    token: Option<Token>,
    why: String,
}

/// What this screen remembers.
#[derive(Default)]
pub struct View {
    clock: Clock,
    stock: Stock,
    runner: Option<Runner>,
    keeper: Option<Keeper>,
    folder: Folder,
    /// The folder that was asked for last; `None`: ask again.
    asked_folder: Option<String>,
    learner: Option<LearnerCode>,
    /// Whether the learner has just been taken in: the code is shown large.
    is_new: bool,
    /// Answers of the learner, from the disk.
    answers: Vec<Answer>,
    due: Vec<String>,
    plan: Plan,
    /// What cannot be done as it is chosen, beside what it is about.
    plan_error: Option<(page::Arrive, String)>,
    who_error: Option<String>,
    /// Items that are to be asked as soon as they have been read.
    wanted: Option<(Vec<String>, Mode)>,
    session: Option<Session>,
    /// Whether the row of questions is shown, and not the first page.
    is_open: bool,
    is_shown: bool,
    unkept: Vec<Unkept>,
    deeds: Vec<Deed>,
    wishes: Vec<Wish>,
    arrive: Option<Arrive>,
    to_top: bool,
    focused: Option<Id>,
    /// The field that was typed in when the keys to go on were pressed.
    field_left: Option<Id>,
    /// Names given so far: to questions and to answers.
    names: u64,
}

impl View {
    /// Take the time from another clock.
    pub fn set_clock(&mut self, clock: Clock) {
        self.clock = clock;
    }

    /// Choose a lesson to be asked about.
    pub fn choose_lesson(&mut self, stem: &str) {
        stem.clone_into(&mut self.plan.lesson);
        self.is_open = false;
        self.arrive = Some(Arrive::Lesson);
    }

    /// Ask these items, as soon as they have been read.
    pub fn ask_items(&mut self, ids: &[&str], mode: Mode) {
        self.wanted = Some((ids.iter().map(|id| (*id).to_owned()).collect(), mode));
    }

    /// Id of the item that is shown.
    pub fn item(&self) -> Option<&str> {
        let row = self.session.as_ref().filter(|_| self.is_open).and_then(Session::row)?;
        Some(&row.question.asked.item.id)
    }

    /// Who answers.
    pub fn learner(&self) -> Option<&LearnerCode> {
        self.learner.as_ref()
    }

    /// Ask for the records folder again.
    pub fn ask_folder_again(&mut self) {
        self.asked_folder = None;
    }

    /// Whether the window shows this screen; else the records folder is left to others.
    pub fn shown(&mut self, is_shown: bool) {
        self.is_shown = is_shown;
        if is_shown {
            return;
        }
        if let (Some(keeper), Folder::Open(..) | Folder::Opening) = (&mut self.keeper, &self.folder) {
            keeper.ask(keeper::Ask::Close);
            self.folder = Folder::None;
            self.asked_folder = None;
        }
    }

    /// What a key of time does to the run of the question, or which option a figure chooses; every other action comes back.
    pub fn take(&mut self, action: Action) -> Option<Action> {
        let deed = match action {
            Action::Speed(index) if self.has_options() => Deed::ChooseShown(index),
            Action::TogglePlay => Deed::Run(RunDeed::TogglePlay),
            Action::Speed(index) => Deed::Run(RunDeed::Speed(index)),
            Action::Seek(time) => Deed::Run(RunDeed::Seek(if time == 0.0 { f64::NEG_INFINITY } else { time })),
            Action::Step(by) => Deed::Run(RunDeed::Step(by)),
            Action::ToEvent { forward } => Deed::Run(RunDeed::ToEvent(forward)),
            other => return Some(other),
        };
        self.deeds.push(deed);
        None
    }

    /// Whether figures choose an option now.
    fn has_options(&self) -> bool {
        let row = self.session.as_ref().filter(|_| self.is_open).and_then(Session::row);
        row.is_some_and(|row| row.question.is_open() && matches!(row.question.work, Work::Choice(_) | Work::Fault(..)))
    }

    /// Wait until items, records and runs that were asked for have come, or `limit` has passed for one; `true` if all have.
    pub fn wait(&mut self, limit: Duration) -> bool {
        if !self.stock.wait(limit) {
            return false;
        }
        while self.keeper.as_ref().is_some_and(Keeper::is_busy) {
            match self.keeper.as_mut().and_then(|keeper| keeper.wait(limit)) {
                Some(told) => self.hear(told),
                None => return false,
            }
        }
        while self.runs_wait() {
            match self.runner.as_ref().and_then(|runner| runner.wait(limit)) {
                Some(reply) => self.receive(reply),
                None => return false,
            }
        }
        true
    }

    /// The screen.
    pub fn show(&mut self, ui: &mut Ui, preferences: &Preferences, actions: &mut Vec<Action>) {
        self.is_shown = true;
        self.advance(ui.ctx(), preferences, actions);
        let palette = Palette::of(ui.visuals());
        let mut page = Page::new(preferences, palette, self.arrive.take());
        page.goes_on = self.goes_on(ui);
        let mut area = ScrollArea::vertical().id_salt("questions").auto_shrink([false, false]);
        if std::mem::take(&mut self.to_top) {
            area = area.vertical_scroll_offset(0.0);
        }
        let focused = ui.ctx().memory(|memory| memory.focused());
        let moved = focused != self.focused;
        self.focused = focused;
        area.content_margin(Margin { left: 4, ..Margin::ZERO }).show(ui, |ui| {
            let clip = ui.clip_rect();
            ui.set_max_width(ui.available_width() - 12.0);
            match self.session.as_ref().filter(|_| self.is_open) {
                Some(session) => self.row(ui, &mut page, session),
                None => start_view::show(ui, &mut page, self),
            }
            turn_pages(ui, clip.height());
            if moved {
                follow(ui, focused, clip);
            }
        });
        let Page { run, deeds, wishes, arrive, .. } = page;
        self.arrive = self.arrive.or(arrive);
        self.deeds.extend(deeds);
        self.deeds.extend(run.deeds.into_iter().map(|(_, deed)| Deed::Run(deed)));
        self.wishes.extend(wishes);
        if !self.deeds.is_empty() || !self.wishes.is_empty() {
            ui.ctx().request_repaint();
        }
    }

    /// Whether the keys that answer or go on were pressed. They are taken before any button, which would take their Enter,
    /// and let a field go first, so that what is typed in it counts; it gets the keyboard back.
    fn goes_on(&mut self, ui: &Ui) -> bool {
        if let Some(field) = self.field_left.take() {
            ui.memory_mut(|memory| memory.request_focus(field));
            return true;
        }
        let is_pressed = !Popup::is_any_open(ui.ctx()) && ui.input_mut(|input| input.consume_shortcut(&GO_ON));
        if is_pressed && ui.ctx().text_edit_focused() {
            self.field_left = ui.memory(|memory| memory.focused());
        }
        let Some(field) = self.field_left else { return is_pressed };
        ui.memory_mut(|memory| memory.surrender_focus(field));
        ui.ctx().request_repaint();
        false
    }

    fn row(&self, ui: &mut Ui, page: &mut Page<'_>, session: &Session) {
        let now_s = self.clock.now_s();
        match session.row() {
            Some(_) if session.is_over && !session.is_finished => item_view::over(ui, page),
            Some(row) => item_view::show(ui, page, session, row, now_s),
            None => result_view::show(ui, page, session, self),
        }
    }
}
