//! A customer at the counter: the card, what suits the car, and how it is shown.

mod answer;
mod form;
mod front;
mod result;
mod wall;

use super::actions::{Action, Purpose};
use super::files::{file_name, write_text};
use super::history::History;
use super::job::Job;
use super::paint::named;
use super::preferences::Preferences;
use super::printing;
use super::theme::{self, Palette};
use crate::advice::intake::Customer;
use crate::advice::recommend::{Partial, recommend};
use crate::content::recommended::{proposals_csv, recommendation_json};
use crate::content::save::save_atomically;
use crate::content::{customer_file, customers};
use crate::report::advice_page;
use crate::report::page::Paper;
use crate::settings::grouped::{Grouped, Place};
use crate::units::UnitSystem;
use answer::Answer;
use eframe::egui::{Button, ProgressBar, RichText, ScrollArea, TextStyle, Ui, UiBuilder, vec2};
use std::collections::HashMap;
use std::path::{Path, PathBuf};
use std::time::Duration;

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
    /// Show it large, or leave.
    Wall(bool),
    /// What the wall's trace shows.
    Torque(bool),
    /// Play or pause the wall, or move it by so many steps.
    Move(wall::Move),
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
            Action::TogglePlay if self.wall.is_some() => self.wishes.push(Wish::Move(wall::Move::Toggle)),
            Action::Seek(time) if self.wall.is_some() => self.wishes.push(Wish::Move(wall::Move::To(time))),
            Action::Step(by) if self.wall.is_some() => self.wishes.push(Wish::Move(wall::Move::By(by))),
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
        (self.job, self.answer) = (None, None);
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
                (format!("Saved to {}.", path.display()), false)
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
                _ => advice_page::pdf(&found, paper, printing::today())?,
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
        self.answer = None;
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

    /// The card beside what was found.
    fn counter(&mut self, ui: &mut Ui, preferences: &Preferences, actions: &mut Vec<Action>) {
        let units = preferences.units;
        self.head(ui, actions);
        let text = ui.text_style_height(&TextStyle::Body);
        let room = ui.available_rect_before_wrap();
        let width = if room.width() > text * 58.0 { (text * 27.0).min(room.width() * 0.42) } else { room.width() };
        if width >= room.width() {
            ScrollArea::vertical().id_salt("customer").auto_shrink([false, false]).show(ui, |ui| {
                self.left(ui, units);
                ui.separator();
                self.right(ui, preferences, actions);
            });
            return;
        }
        let (left, right) = room.split_left_right_at_x(room.left() + width);
        let mut child = ui.new_child(UiBuilder::new().max_rect(left));
        ScrollArea::vertical().id_salt("card").auto_shrink([false, false]).show(&mut child, |ui| self.left(ui, units));
        let mut child = ui.new_child(UiBuilder::new().max_rect(right.with_min_x(right.left() + 22.0)));
        ScrollArea::vertical().id_salt("answer").auto_shrink([false, false]).show(&mut child, |ui| {
            self.right(ui, preferences, actions);
        });
        ui.advance_cursor_after_rect(room);
    }

    fn head(&mut self, ui: &mut Ui, actions: &mut Vec<Action>) {
        let palette = Palette::of(ui.visuals());
        ui.horizontal_wrapped(|ui| {
            if ui.button("New card").clicked() {
                self.wishes.push(Wish::Load(Box::default()));
            }
            ui.menu_button("Invented customers", |ui| {
                ui.label(RichText::new("Of the invented workshop Kestrel Yard").small().weak());
                for shipped in customers::shipped() {
                    let Ok(customer) = shipped.customer() else { continue };
                    if ui.button(&customer.name).clicked() {
                        self.wishes.push(Wish::Load(Box::new(customer)));
                        ui.close();
                    }
                }
            });
            for (label, action) in [
                ("Open a card …", Action::Open),
                ("Open a card by path …", Action::AskPath(Purpose::OpenCustomer)),
                ("Save the card …", Action::Save),
                ("Save the card by path …", Action::AskPath(Purpose::SaveCustomer)),
            ] {
                if ui.button(label).clicked() {
                    actions.push(action);
                }
            }
            let state = match (&self.path, self.is_unsaved()) {
                (_, true) => "not saved".to_owned(),
                (Some(path), false) => path.display().to_string(),
                (None, false) => String::new(),
            };
            ui.label(RichText::new(state).small().weak());
        });
        if let Some((customer, _)) = &self.pending {
            let name = if customer.name.is_empty() { "an empty card" } else { customer.name.as_str() };
            ui.horizontal_wrapped(|ui| {
                let text = format!("These answers are not saved. Open {name} in their place?");
                ui.label(RichText::new(text).color(palette.error));
                if ui.button("Leave them and go on").clicked() {
                    self.wishes.push(Wish::GoOn(true));
                }
                if ui.button("Stay here").clicked() {
                    self.wishes.push(Wish::GoOn(false));
                }
            });
        }
        if let Some((text, is_error)) = &self.notice {
            let colour = if *is_error { palette.error } else { palette.ink };
            ui.label(RichText::new(text).color(colour));
        }
    }

    fn left(&mut self, ui: &mut Ui, units: UnitSystem) {
        form::show(ui, self, units);
    }

    fn right(&mut self, ui: &mut Ui, preferences: &Preferences, actions: &mut Vec<Action>) {
        let palette = Palette::of(ui.visuals());
        let can_ask = self.refused.is_empty() && self.customer.problems().is_empty();
        ui.horizontal_wrapped(|ui| {
            let ask = ui.add_enabled(can_ask, Button::new(theme::heavy("What suits this car?")));
            if ask.on_disabled_hover_text("Mend the marked answers first").clicked() {
                self.wishes.push(Wish::Ask);
            }
            if self.job.is_some() && ui.button("Stop").clicked() {
                self.wishes.push(Wish::Stop);
            }
        });
        if let Some(job) = &self.job {
            so_far(ui, job);
            return;
        }
        match &self.answer {
            None => {
                let text =
                    "Fill in what is known. Every question may stay open: the answer then says how much hangs on it.";
                ui.label(RichText::new(text).weak());
            }
            Some(Err(error)) => {
                ui.label(RichText::new(error).color(palette.error));
            }
            Some(Ok(answer)) => {
                if answer.found.customer != self.customer {
                    ui.label(RichText::new("Answers have changed since: ask again.").color(palette.error));
                }
                let look = result::Look { selected: self.selected, axes: self.axes, paper: self.paper };
                result::show(ui, answer, look, preferences, actions, &mut self.wishes);
            }
        }
    }
}

/// Progress, and how it ranks until now.
fn so_far(ui: &mut Ui, job: &Job<Partial, Answer>) {
    let last = job.steps.last();
    let about = last.map_or(1, |step| step.of_about).max(job.done()).max(1);
    let stage = last.map_or("begun", |step| step.stage);
    let bar = ProgressBar::new(job.done() as f32 / about as f32).text(format!("{} of about {about} runs", job.done()));
    named(ui.add(bar), "Progress");
    ui.label(RichText::new(format!("Finished: {stage}.")).weak());
    if let Some(step) = last.filter(|step| !step.ranking.is_empty()) {
        ui.label(theme::heavy("The order until now"));
        for (place, title) in step.ranking.iter().take(8).enumerate() {
            ui.label(format!("{}. {title}", place + 1));
        }
    }
    ui.allocate_space(vec2(1.0, 4.0));
    ui.ctx().request_repaint_after(Duration::from_millis(100));
}
