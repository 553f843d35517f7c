//! The instructor's desk: what a class answered, what its items are worth, what to teach again; learners, exchange, tests
//! on paper.
//!
//! What the reader does becomes a wish that is applied before the next drawing; files are read and written on a thread.
//! The records are open only while a task runs, because the questions need the same folder.

mod ask;
mod class;
mod exchange_view;
mod items_view;
mod learners_view;
mod outcomes_view;
mod paper_view;
mod table;
mod work;

use super::actions::{Action, Purpose};
use super::job::Job;
use super::preferences::Preferences;
use super::theme::{Palette, heavy};
use crate::learning::record::LearnerCode;
pub use ask::Ask;
use class::{Class, Source};
use eframe::egui::{Context, Frame, Margin, Panel, RichText, ScrollArea, Ui};
use std::path::PathBuf;
use std::sync::Arc;
use std::time::Duration;
use table::Sort;
use work::{Done, Place, Task};

/// A part of the desk.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
enum Tab {
    #[default]
    Learners,
    Items,
    Outcomes,
    Paper,
    Exchange,
}

impl Tab {
    const ALL: [(Self, &'static str); 5] = [
        (Self::Learners, "Learners"),
        (Self::Items, "Items"),
        (Self::Outcomes, "Outcomes"),
        (Self::Paper, "Test on paper"),
        (Self::Exchange, "Exchange"),
    ];

    /// Whether it needs a class.
    fn needs_class(self) -> bool {
        matches!(self, Self::Learners | Self::Items | Self::Outcomes)
    }
}

/// What the reader wants.
enum Wish {
    Tab(Tab),
    Do(Task),
    Show(Source),
    Close,
    Learner(Option<LearnerCode>),
    Item(String),
    /// Ask whether to delete this learner, or everybody.
    Sure(Option<Removal>),
    Cancel,
    Dismiss,
    App(Action),
}

/// What is to go.
#[derive(Debug, Clone, PartialEq, Eq)]
enum Removal {
    One(LearnerCode),
    All,
}

struct Running {
    label: &'static str,
    job: Job<(), Done>,
}

struct Told {
    text: String,
    problems: Vec<String>,
    is_error: bool,
}

/// What this screen remembers.
pub struct View {
    class: Option<Arc<Class>>,
    source: Option<Source>,
    /// The folder of the preferences as it was last taken up.
    folder: String,
    course: Option<PathBuf>,
    revision: u64,
    running: Option<Running>,
    /// A result that a wait has fetched.
    arrived: Option<Result<Done, String>>,
    waiting: Vec<Task>,
    told: Option<Told>,
    tab: Tab,
    learner_sort: Sort,
    item_sort: Sort,
    form: usize,
    learner: Option<LearnerCode>,
    item: Option<String>,
    show_names: bool,
    new_name: String,
    other_name: String,
    sure: Option<Removal>,
    /// Outcome and learner that the map's cursor stands at.
    cell: (usize, usize),
    paper: paper_view::Choice,
    seed: u64,
    fallback: usize,
    last_frame: u64,
}

impl Default for View {
    fn default() -> Self {
        Self {
            class: None,
            source: None,
            folder: String::new(),
            course: None,
            revision: 0,
            running: None,
            arrived: None,
            waiting: Vec::new(),
            told: None,
            tab: Tab::default(),
            learner_sort: Sort { column: 0, falling: false },
            item_sort: Sort { column: 0, falling: false },
            form: 0,
            learner: None,
            item: None,
            show_names: false,
            new_name: String::new(),
            other_name: String::new(),
            sure: None,
            cell: (0, 0),
            paper: paper_view::Choice::default(),
            seed: 1,
            fallback: 0,
            last_frame: 0,
        }
    }
}

impl View {
    /// The screen.
    pub fn show(&mut self, ui: &mut Ui, preferences: &Preferences, actions: &mut Vec<Action>) {
        self.advance(ui.ctx(), preferences);
        let mut wishes = Vec::new();
        self.top(ui, &mut wishes);
        self.messages(ui, &mut wishes);
        let class = self.class.clone();
        match (self.tab, &class) {
            (tab, None) if tab.needs_class() => self.empty(ui, &mut wishes),
            (Tab::Learners, Some(class)) => self.learners(ui, class, &mut wishes),
            (Tab::Items, Some(class)) => self.items(ui, class, &mut wishes),
            (Tab::Outcomes, Some(class)) => self.outcomes(ui, class, &mut wishes),
            (Tab::Paper, _) => self.paper(ui, &mut wishes),
            _ => self.exchange(ui, &mut wishes),
        }
        for wish in wishes {
            self.grant(wish, preferences, actions);
            ui.ctx().request_repaint();
        }
    }

    /// What is done with a path that was asked for.
    pub fn take(&mut self, ask: Ask, path: PathBuf) {
        let task = match ask {
            Ask::Answers | Ask::Items | Ask::Mastery | Ask::Statements => Task::Write(ask, self.form, path),
            Ask::Package => Task::Package(self.seed, path),
            Ask::Import => Task::Import(Some(self.fallback).filter(|number| *number > 0).into_iter().collect(), path),
            Ask::One => match &self.learner {
                Some(code) => Task::Export(Some(code.clone()), path),
                None => return,
            },
            Ask::All => Task::Export(None, path),
            Ask::Test => Task::Test(self.paper.wanted.clone(), self.paper.paper, path),
        };
        self.waiting.push(task);
    }

    /// Wait until what was begun is done; `false` if `limit` passes first.
    pub fn wait(&mut self, limit: Duration) -> bool {
        if self.arrived.is_none()
            && let Some(running) = &mut self.running
        {
            self.arrived = running.job.wait(limit);
            return self.arrived.is_some();
        }
        true
    }

    fn advance(&mut self, ctx: &Context, preferences: &Preferences) {
        self.course = (!preferences.course_folder.is_empty()).then(|| PathBuf::from(&preferences.course_folder));
        let frame = ctx.cumulative_frame_nr();
        // questions may have been answered while another screen was shown
        let returned = frame > self.last_frame + 1;
        self.last_frame = frame;
        if self.folder != preferences.records_folder {
            self.folder.clone_from(&preferences.records_folder);
            let chosen = (!self.folder.is_empty()).then(|| Source::Folder(PathBuf::from(&self.folder)));
            self.open(chosen);
        } else if returned && matches!(self.source, Some(Source::Folder(_))) {
            self.waiting.push(Task::Read);
        }
        let polled = self.running.as_mut().and_then(|running| running.job.poll());
        if let Some(result) = self.arrived.take().or(polled) {
            self.running = None;
            self.receive(result);
        }
        if self.running.is_none() && !self.waiting.is_empty() {
            let task = self.waiting.remove(0);
            let place = Place { source: self.source.clone(), class: self.class.clone(), course: self.course.clone() };
            let label = task.label();
            let job = Job::begin(ctx, move |watch, _: &mut dyn FnMut(())| task.run(&place, watch));
            self.running = Some(Running { label, job });
        }
    }

    fn open(&mut self, source: Option<Source>) {
        self.class = None;
        self.told = None;
        self.sure = None;
        self.learner = None;
        self.item = None;
        self.source = source;
        self.waiting.clear();
        if self.source.is_some() {
            self.waiting.push(Task::Read);
        }
    }

    fn receive(&mut self, result: Result<Done, String>) {
        match result {
            Ok(done) => {
                let is_said = !done.told.is_empty() || !done.problems.is_empty();
                if is_said {
                    self.told = Some(Told { text: done.told, problems: done.problems, is_error: false });
                }
                if let Some(class) = done.class {
                    self.revision += 1;
                    self.form = self.form.min(class.forms.len().saturating_sub(1));
                    self.learner = done.chosen.or(self.learner.take()).filter(|code| class.learner(code).is_some());
                    self.class = Some(Arc::new(class));
                    self.sure = None;
                    self.follow_name();
                }
            }
            Err(text) => self.told = Some(Told { text, problems: Vec::new(), is_error: true }),
        }
    }

    /// The field for another name begins with the one that stands.
    fn follow_name(&mut self) {
        let learner = self.learner.as_ref().and_then(|code| self.class.as_ref()?.learner(code));
        self.other_name = learner.and_then(|learner| learner.name.clone()).unwrap_or_default();
    }

    fn grant(&mut self, wish: Wish, preferences: &Preferences, actions: &mut Vec<Action>) {
        match wish {
            Wish::Tab(tab) => self.tab = tab,
            Wish::Do(task) => {
                if matches!(task, Task::Add(_)) {
                    self.new_name.clear();
                }
                self.told = None;
                self.waiting.push(task);
            }
            Wish::Show(source) => self.open(Some(source)),
            Wish::Close => {
                self.open(None);
                let mut changed = preferences.clone();
                changed.records_folder.clear();
                self.folder.clear();
                actions.push(Action::Prefer(Box::new(changed)));
            }
            Wish::Learner(code) => {
                self.learner = code;
                self.sure = None;
                self.follow_name();
            }
            Wish::Item(id) => self.item = Some(id),
            Wish::Sure(removal) => self.sure = removal,
            Wish::Cancel => {
                self.running = None;
                self.told = Some(Told { text: "It was cancelled.".to_owned(), problems: Vec::new(), is_error: false });
            }
            Wish::Dismiss => self.told = None,
            Wish::App(action) => actions.push(action),
        }
    }

    /// What the class is, and the parts of the desk.
    fn top(&self, ui: &mut Ui, wishes: &mut Vec<Wish>) {
        ui.horizontal_wrapped(|ui| {
            for (tab, name) in Tab::ALL {
                if ui.selectable_label(self.tab == tab, name).clicked() {
                    wishes.push(Wish::Tab(tab));
                }
            }
            ui.separator();
            folder_buttons(ui, "Records folder", wishes);
            if self.class.is_some() && ui.button("Read again").clicked() {
                wishes.push(Wish::Do(Task::Read));
            }
            if self.source != Some(Source::Invented) && ui.button("Show an invented class").clicked() {
                wishes.push(Wish::Show(Source::Invented));
            }
            if self.source.is_some() && ui.button("Close the class").clicked() {
                wishes.push(Wish::Close);
            }
        });
        if let Some(class) = &self.class {
            let (learners, answers) =
                (counted(class.learners.len(), "learner"), counted(class.answers.len(), "answer"));
            ui.label(heavy(format!("{}. {learners}, {answers}.", class.title)));
        }
        ui.separator();
    }

    fn messages(&self, ui: &mut Ui, wishes: &mut Vec<Wish>) {
        if let Some(running) = &self.running {
            ui.horizontal(|ui| {
                ui.label(format!("{} …", running.label));
                if ui.button("Cancel").clicked() {
                    wishes.push(Wish::Cancel);
                }
            });
        }
        let Some(told) = &self.told else { return };
        let palette = Palette::of(ui.visuals());
        let highest = ui.available_height() * 0.3;
        ScrollArea::vertical().id_salt("desk message").max_height(highest).show(ui, |ui| {
            ui.horizontal_wrapped(|ui| {
                if ui.button("Dismiss").clicked() {
                    wishes.push(Wish::Dismiss);
                }
                let colour = if told.is_error { palette.error } else { palette.ink };
                ui.label(RichText::new(&told.text).color(colour));
            });
            for problem in &told.problems {
                ui.label(RichText::new(problem).color(palette.weak));
            }
        });
    }

    fn empty(&self, ui: &mut Ui, wishes: &mut Vec<Wish>) {
        if self.source.is_some() {
            return;
        }
        ui.heading("No class is open");
        ui.label("Choose the folder in which the answers of your class are kept. An empty folder begins a new class.");
        ui.label(
            "Or look at an invented class first: thirty learners who do not exist, 2,000 answers, nothing on the disk.",
        );
        ui.add_space(6.0);
        ui.horizontal_wrapped(|ui| {
            folder_buttons(ui, "Choose a records folder", wishes);
        });
    }
}

/// Buttons that ask for the folder with the records, which the questions have too.
fn folder_buttons(ui: &mut Ui, label: &str, wishes: &mut Vec<Wish>) {
    two_ways(ui, label, [Action::OpenRecords, Action::AskPath(Purpose::Records)], wishes);
}

fn path_buttons(ui: &mut Ui, ask: Ask, label: &str, wishes: &mut Vec<Wish>) {
    two_ways(ui, label, [Action::AskDesk(ask), Action::AskPath(Purpose::Desk(ask))], wishes);
}

/// A button that asks for a path by a dialog, and one that asks for it here.
fn two_ways(ui: &mut Ui, label: &str, [by_dialog, by_path]: [Action; 2], wishes: &mut Vec<Wish>) {
    if ui.button(format!("{label} …")).clicked() {
        wishes.push(Wish::App(by_dialog));
    }
    if super::paint::named(ui.button("by path"), &format!("{label} by path")).clicked() {
        wishes.push(Wish::App(by_path));
    }
}

/// A panel at the right, a share of the screen wide. What it stands beside keeps its width as far as there is room for
/// both: a panel remembers its own when the window or the text changes its size.
fn beside(ui: &Ui, name: &'static str, share: f32, wide: f32) -> Panel {
    let all = ui.available_width();
    let most = (all - wide).clamp(0.34 * all, 0.6 * all);
    let margin = Frame::new().inner_margin(Margin { left: 14, right: 0, top: 0, bottom: 0 });
    Panel::right(name).frame(margin).resizable(true).default_size(most.min(share * all)).max_size(most)
}

/// How many there are of what a word names.
fn counted(count: usize, one: &str) -> String {
    if count == 1 { format!("1 {one}") } else { format!("{count} {one}s") }
}

/// A share in percent.
fn percent(share: f64) -> String {
    format!("{:.0} %", 100.0 * share)
}
