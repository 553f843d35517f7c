//! A customer at the counter: the card, what suits the car, and how it is shown.

mod answer;
mod counter;
mod form;
mod front;
mod result;
mod trace;
mod wall;

use super::actions::{Action, Purpose};
use super::files::{file_name, write_text};
use super::history::History;
use super::job::Job;
use super::preferences::Preferences;
use crate::advice::intake::Customer;
use crate::advice::recommend::{Partial, recommend};
use crate::content::recommended::{proposals_csv, recommendation_json};
use crate::content::save::save_atomically;
use crate::content::{customer_file, customers};
use crate::report::advice_page;
use crate::report::date::Date;
use crate::report::page::Paper;
use crate::settings::grouped::Place;
use answer::Answer;
use eframe::egui::Ui;
use std::collections::HashMap;
use std::path::{Path, PathBuf};
use std::time::Duration;

/// How time is moved.
#[derive(Debug, Clone, Copy)]
pub enum Move {
    /// Play or pause.
    Toggle,
    /// By so many steps.
    By(f64),
    /// To a time of the axis, s.
    To(f64),
}

/// What the reader did here; applied before the next drawing.
enum Wish {
    /// A card: empty, or a shipped one.
    Load(Box<Customer>),
    /// Load what was asked for although answers are not saved, or stay.
    GoOn(bool),
    /// An answer, SI or place in the list.
    Tell(Place, f64),
    /// Take an answer back.
    Forget(Place),
    /// What was typed cannot be taken, with the reason.
    Refuse(Place, String, String),
    /// Name and note.
    Rename(String, String),
    /// Text of the field that is being typed into.
    Typing(Place, String),
    /// Ask for a recommendation.
    Ask,
    /// Ask no further.
    Stop,
    /// Look at this proposal.
    Select(usize),
    /// An axis of the picture: which, and the place of its criterion.
    Axis(usize, usize),
    /// Paper of the page.
    Paper(Paper),
    /// Read the answer, or the card, where there is room for one of them.
    Read(bool),
    /// Show it large, or leave.
    Wall(bool),
    /// What the wall's trace shows.
    Torque(bool),
    /// Play or pause the wall, or move it by so many steps.
    Move(Move),
}

/// The customer's screen.
pub struct View {
    /// The card.
    pub customer: Customer,
    /// Where it is kept.
    pub path: Option<PathBuf>,
    saved: Customer,
    history: History<Customer>,
    typing: Option<(Place, String)>,
    refused: HashMap<Place, (String, String)>,
    pending: Option<(Customer, Option<PathBuf>)>,
    notice: Option<(String, bool)>,
    job: Option<Job<Partial, Answer>>,
    printing: Option<Job<(), String>>,
    /// What was found.
    answer: Option<Result<Answer, String>>,
    selected: usize,
    axes: [usize; 2],
    paper: Paper,
    /// Where the window holds one of both only: whether it is the answer, not the card.
    reads_answer: bool,
    wall: Option<wall::Wall>,
    wishes: Vec<Wish>,
}

impl Default for View {
    fn default() -> Self {
        Self {
            customer: Customer::default(),
            path: None,
            saved: Customer::default(),
            history: History::default(),
            typing: None,
            refused: HashMap::new(),
            pending: None,
            notice: None,
            job: None,
            printing: None,
            answer: None,
            selected: 0,
            axes: [0, 4],
            paper: Paper::A4,
            reads_answer: false,
            wall: None,
            wishes: Vec::new(),
        }
    }
}

impl View {
    /// Whether it is shown large and has the window to itself.
    pub fn is_on_the_wall(&self) -> bool {
        self.wall.is_some()
    }

    /// Whether there is something to undo, and to redo.
    pub fn history(&self) -> (bool, bool) {
        self.history.has()
    }

    /// Titles of the proposals, the best first; empty until there is an answer.
    pub fn titles(&self) -> Vec<&str> {
        let found = self.answer.as_ref().and_then(|answer| answer.as_ref().ok());
        found.map_or_else(Vec::new, |answer| answer.found.proposals.iter().map(|one| one.title.as_str()).collect())
    }

    /// Wait for what was asked or `limit` between two reports; `true` if nothing is open any more.
    pub fn wait(&mut self, limit: Duration) -> bool {
        if let Some(job) = &mut self.job {
            let Some(result) = job.wait(limit) else { return false };
            self.finish(result);
        }
        if let Some(job) = &mut self.printing {
            let Some(result) = job.wait(limit) else { return false };
            self.printed(result);
        }
        true
    }

    fn finish(&mut self, result: Result<Answer, String>) {
        (self.answer, self.job, self.selected) = (Some(result), None, 0);
    }

    fn printed(&mut self, result: Result<String, String>) {
        self.printing = None;
        self.notice = Some(match result {
            Ok(text) => (text, false),
            Err(text) => (text, true),
        });
    }

    /// What the reader did with menus, files and keys; what is not for this screen comes back.
    pub fn take(&mut self, action: Action, ctx: &eframe::egui::Context) -> Option<Action> {
        match action {
            Action::Undo => self.step_back(false),
            Action::Redo => self.step_back(true),
            Action::Open => return Some(self.ask_path(Purpose::OpenCustomer)),
            Action::SaveAs => return Some(self.ask_path(Purpose::SaveCustomer)),
            Action::AskPath(Purpose::Open) => return Some(Action::AskPath(Purpose::OpenCustomer)),
            Action::AskPath(Purpose::Save) => return Some(Action::AskPath(Purpose::SaveCustomer)),
            Action::Save => match self.path.clone() {
                Some(path) => self.save(&path),
                None => return Some(self.ask_path(Purpose::SaveCustomer)),
            },
            Action::OpenPath(path) | Action::CustomerFile(Purpose::OpenCustomer, path) => self.open(&path),
            Action::CustomerFile(Purpose::SaveCustomer, path) => self.save(&path),
            Action::CustomerFile(purpose, path) => self.write(purpose, path, ctx),
            Action::TogglePlay if self.wall.is_some() => self.wishes.push(Wish::Move(Move::Toggle)),
            Action::Seek(time) if self.wall.is_some() => self.wishes.push(Wish::Move(Move::To(time))),
            Action::Step(by) if self.wall.is_some() => self.wishes.push(Wish::Move(Move::By(by))),
            Action::Step(by) => {
                let last = self.titles().len().saturating_sub(1);
                let next = if by > 0.0 { self.selected + 1 } else { self.selected.saturating_sub(1) };
                self.selected = next.min(last);
            }
            Action::TogglePlay | Action::Seek(_) => {}
            other => return Some(other),
        }
        None
    }

    fn ask_path(&self, purpose: Purpose) -> Action {
        Action::AskCustomerFile(purpose, file_name(&self.customer.name, purpose.ending()))
    }

    fn step_back(&mut self, forward: bool) {
        let present = || self.customer.clone();
        let other = if forward { self.history.redo(present) } else { self.history.undo(present) };
        if let Some(other) = other {
            self.customer = other;
            self.typing = None;
            self.refused.clear();
        }
    }

    /// Answers that are in no file.
    fn is_unsaved(&self) -> bool {
        self.customer != self.saved || !self.refused.is_empty()
    }

    fn load(&mut self, customer: Customer, path: Option<PathBuf>) {
        if self.is_unsaved() {
            self.pending = Some((customer, path));
            return;
        }
        let before = std::mem::replace(&mut self.customer, customer);
        self.history.remember(None, || before);
        self.saved = self.customer.clone();
        self.path = path;
        self.typing = None;
        self.refused.clear();
        self.notice = None;
        (self.job, self.answer, self.reads_answer) = (None, None, false);
    }

    fn open(&mut self, path: &Path) {
        match customers::load(path) {
            Ok(customer) => self.load(customer, Some(path.to_owned())),
            Err(problems) => self.notice = Some((problems.to_string(), true)),
        }
    }

    fn save(&mut self, path: &Path) {
        self.notice = Some(match write_text(path, &customer_file::serialize(&self.customer)) {
            Ok(()) => {
                self.saved = self.customer.clone();
                self.path = Some(path.to_owned());
                let lacks =
                    if self.refused.is_empty() { "" } else { " The marked answers are not in it: mend them first." };
                (format!("Saved to {}.{lacks}", path.display()), !self.refused.is_empty())
            }
            Err(error) => (error, true),
        });
    }

    /// The page, the table or all of it, away from the screen.
    fn write(&mut self, purpose: Purpose, path: PathBuf, ctx: &eframe::egui::Context) {
        let Some(Ok(answer)) = &self.answer else {
            self.notice = Some(("There is nothing to print yet; ask what suits this car first.".to_owned(), true));
            return;
        };
        let (found, paper) = (answer.found.clone(), self.paper);
        self.printing = Some(Job::begin(ctx, move |_, _| {
            let bytes = match purpose {
                Purpose::CustomerTable => proposals_csv(&found).map_err(|error| error.to_string())?.into_bytes(),
                Purpose::CustomerData => recommendation_json(&found).map_err(|error| error.to_string())?.into_bytes(),
                _ => advice_page::pdf(&found, paper, Date::today())?,
            };
            save_atomically(&path, &bytes).map_err(|error| error.to_string())?;
            Ok(format!("Written to {}.", path.display()))
        }));
    }

    fn change(&mut self, edit: Option<Place>, change: impl FnOnce(&mut Customer)) {
        let before = self.customer.clone();
        change(&mut self.customer);
        if self.customer != before {
            self.history.remember(edit.map(|place| (0, place)), || before);
        }
    }

    fn grant(&mut self, wish: Wish, ctx: &eframe::egui::Context) {
        match wish {
            Wish::Load(customer) => self.load(*customer, None),
            Wish::GoOn(goes_on) => {
                if let Some((customer, path)) = self.pending.take().filter(|_| goes_on) {
                    self.saved = self.customer.clone();
                    self.refused.clear();
                    self.load(customer, path);
                }
            }
            Wish::Tell(place, value) => {
                self.refused.remove(&place);
                self.typing = None;
                let mut refusal = None;
                self.change(None, |customer| refusal = customer.tell(place, value).err());
                if let Some(refusal) = refusal {
                    let typed = refusal.shown.clone();
                    self.refused
                        .insert(place, (typed, format!("{} is not accepted; {}.", refusal.shown, refusal.accepted)));
                }
            }
            Wish::Forget(place) => {
                self.refused.remove(&place);
                self.typing = None;
                self.change(None, |customer| customer.forget(place));
            }
            Wish::Refuse(place, typed, reason) => {
                self.typing = None;
                self.refused.insert(place, (typed, reason));
            }
            Wish::Rename(name, note) => {
                let place = Place { group: usize::MAX, index: 0 };
                self.change(Some(place), |customer| (customer.name, customer.note) = (name, note));
            }
            Wish::Typing(place, text) => self.typing = Some((place, text)),
            Wish::Ask => self.ask(ctx),
            Wish::Stop => self.job = None,
            Wish::Select(index) => self.selected = index,
            Wish::Axis(axis, criterion) => self.axes[axis.min(1)] = criterion,
            Wish::Paper(paper) => self.paper = paper,
            Wish::Read(answer) => self.reads_answer = answer,
            Wish::Wall(true) => self.wall = Some(wall::Wall::default()),
            Wish::Wall(false) => self.wall = None,
            Wish::Torque(torque) => {
                if let Some(wall) = &mut self.wall {
                    wall.torque = torque;
                }
            }
            Wish::Move(by) => {
                if let (Some(wall), Some(Ok(answer))) = (&mut self.wall, &self.answer) {
                    wall.go(by, answer);
                }
            }
        }
    }

    /// A newer request replaces an older one, which is cancelled.
    fn ask(&mut self, ctx: &eframe::egui::Context) {
        let customer = self.customer.clone();
        (self.answer, self.reads_answer) = (None, true);
        self.job = Some(Job::begin(ctx, move |watch, tell| {
            let mut report = |partial: &Partial| tell(partial.clone());
            let found =
                recommend(&customer, Default::default(), watch, &mut report).map_err(|error| error.to_string())?;
            Answer::of(found)
        }));
    }

    /// The screen.
    pub fn show(&mut self, ui: &mut Ui, preferences: &Preferences, actions: &mut Vec<Action>) {
        if let Some(result) = self.job.as_mut().and_then(Job::poll) {
            self.finish(result);
        }
        if let Some(result) = self.printing.as_mut().and_then(Job::poll) {
            self.printed(result);
        }
        let ctx = ui.ctx().clone();
        for wish in std::mem::take(&mut self.wishes) {
            self.grant(wish, &ctx);
        }
        if let (Some(wall), Some(Ok(answer))) = (&mut self.wall, &self.answer) {
            wall.pass(&ctx, preferences.reduced_motion, answer);
            wall.show(ui, answer, preferences, &mut self.wishes);
        } else {
            self.counter(ui, preferences, actions);
        }
        if !self.wishes.is_empty() {
            ctx.request_repaint();
        }
    }
}
