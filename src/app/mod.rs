//! The window: the only room that knows egui.
//!
//! What the reader does becomes an [`actions::Action`] and is applied before the next drawing; runs happen on the
//! [`worker`]; the screens paint a finished trace at the cursor's time.

pub mod actions;
mod adopt;
mod areas;
mod around;
mod bench_view;
mod canvas;
pub mod customer;
pub mod desk;
pub mod files;
mod filing;
mod finder_chart;
mod finder_choice;
mod finder_result;
mod finder_view;
mod findings_panel;
mod flags;
mod flow;
mod grounds_view;
mod hatch;
mod history;
mod job;
mod kept;
mod keys;
mod latest;
mod layout;
mod legend;
pub mod lessons;
mod map_view;
mod paint;
pub mod parts;
pub mod playback;
mod polyline;
pub mod preferences;
mod printing;
pub mod questions;
pub mod screen;
mod section;
mod settings_panel;
pub mod state;
mod strips;
mod sure_view;
pub mod theme;
mod time_axis;
mod timeline;
mod toolbar;
mod trace_view;
mod traces;
pub mod track;
mod waiting;
pub mod worker;

use actions::{Action, Purpose};
use eframe::egui::{self, ThemePreference, Ui};
use preferences::{Look, Preferences};
use state::State;
use std::path::PathBuf;
use worker::Worker;

/// A message under the menus.
struct Notice {
    text: String,
    is_error: bool,
}

/// The program's window.
pub struct App {
    /// What is shown.
    pub state: State,
    /// What the reader prefers.
    pub preferences: Preferences,
    worker: Worker,
    actions: Vec<Action>,
    examples: Vec<files::Example>,
    dialogs: files::Dialogs,
    asking: Option<(Purpose, String)>,
    notice: Option<Notice>,
    /// The lessons.
    pub lessons: lessons::View,
    /// The questions.
    pub questions: questions::View,
    /// Screens of single parts.
    pub parts: parts::Parts,
    /// The instructor's desk.
    pub desk: desk::View,
    /// The customer at the counter.
    pub customer: customer::View,
    map: map_view::View,
    finder: finder_view::View,
    grounds: grounds_view::View,
    printing: printing::Printing,
    sure: sure_view::View,
    help_open: bool,
    applied: Option<Preferences>,
    last_session: Vec<String>,
    /// Sizes of the last frame.
    sizes: Option<layout::Sizes>,
}

const STORAGE_KEY: &str = "preferences";
const BENCHES_KEY: &str = "benches";

/// Open the window with these scenario files, or with the opening contrast.
///
/// # Errors
/// When the desktop gives no window.
pub fn open(files: Vec<PathBuf>) -> Result<(), String> {
    let viewport = egui::ViewportBuilder::default()
        .with_title("Second Breath")
        .with_app_id("second-breath")
        .with_inner_size([1280.0, 800.0])
        .with_min_inner_size([640.0, 480.0])
        .with_drag_and_drop(true);
    let options = eframe::NativeOptions { viewport, system_font_fallback: false, ..Default::default() };
    let create = move |creation: &eframe::CreationContext<'_>| {
        let stored = creation.storage.and_then(|storage| eframe::get_value(storage, STORAGE_KEY));
        let mut app = App::new(&creation.egui_ctx, stored.unwrap_or_default(), &files);
        let benches = creation.storage.and_then(|storage| eframe::get_value(storage, BENCHES_KEY));
        app.last_session = benches.unwrap_or_default();
        Ok(Box::new(app) as Box<dyn eframe::App>)
    };
    eframe::run_native("Second Breath", options, Box::new(create)).map_err(|error| {
        // places in the sources of the window library help nobody here; the cause stands last
        let full = error.to_string();
        let cause =
            full.rsplit(".rs:").next().unwrap_or(&full).trim_start_matches(|c: char| c.is_ascii_digit() || c == ':');
        format!("no window could be opened: {}; check that a desktop is running and can draw with OpenGL", cause.trim())
    })
}

/// Let the memory of a frame serve the next one. A frame's triangles are a few megabytes that are freed when they have
/// been shown; the usual allocator of Linux would hand them back to the system each time and fetch them anew, which is
/// a third of a frame. Once it has freed one large block, it holds back up to twice as much. Elsewhere this does nothing; the block is
/// never written to and takes no room.
fn keep_memory_between_frames() {
    const HELD_BACK: usize = 24 << 20;
    drop(std::hint::black_box(Vec::<u8>::with_capacity(HELD_BACK)));
}

impl App {
    /// A window's content; `files` go onto benches of their own.
    pub fn new(ctx: &egui::Context, preferences: Preferences, files: &[PathBuf]) -> Self {
        keep_memory_between_frames();
        theme::install_fonts(ctx);
        ctx.options_mut(|options| options.zoom_with_keyboard = false);
        let threads = std::thread::available_parallelism().map_or(2, |count| count.get().clamp(1, 4));
        let wake = ctx.clone();
        let mut app = Self {
            state: State::opening(),
            preferences: preferences.mended(),
            worker: Worker::new(threads, move || wake.request_repaint()),
            actions: Vec::new(),
            examples: files::examples(),
            dialogs: files::Dialogs::default(),
            asking: None,
            notice: None,
            lessons: lessons::View::default(),
            questions: questions::View::default(),
            parts: parts::Parts::default(),
            desk: desk::View::default(),
            customer: customer::View::default(),
            map: map_view::View::default(),
            finder: finder_view::View::default(),
            grounds: grounds_view::View::default(),
            printing: printing::Printing::default(),
            sure: sure_view::View::default(),
            help_open: false,
            applied: None,
            last_session: Vec::new(),
            sizes: None,
        };
        app.state.time.playing = !app.preferences.reduced_motion;
        app.open_all(files);
        app.style(ctx);
        app.ask_runs();
        app
    }

    fn open_all(&mut self, files: &[PathBuf]) {
        let mut scenarios = Vec::new();
        let mut errors = Vec::new();
        for path in files {
            match files::read(path) {
                Ok(scenario) => scenarios.push((scenario, path.exists().then(|| path.clone()))),
                Err(error) => errors.push(error),
            }
        }
        if scenarios.len() > state::MOST_BENCHES {
            errors.push(format!("{} files were given; the first {} are shown", scenarios.len(), state::MOST_BENCHES));
        }
        self.state.load_all(scenarios);
        if !errors.is_empty() {
            self.fail(errors.join("\n"));
        }
    }

    fn style(&mut self, ctx: &egui::Context) {
        if self.applied.as_ref() == Some(&self.preferences) {
            return;
        }
        theme::install_styles(ctx, self.preferences.text_size, self.preferences.reduced_motion);
        ctx.set_theme(match self.preferences.look {
            Look::System => ThemePreference::System,
            Look::Paper => ThemePreference::Light,
            Look::Slate => ThemePreference::Dark,
        });
        self.applied = Some(self.preferences.clone());
    }

    fn ask_runs(&mut self) {
        for id in std::mem::take(&mut self.state.stale) {
            match self.state.benches.iter().find(|bench| bench.id == id) {
                Some(bench) => self.worker.ask(id, bench.revision, bench.scenario.clone()),
                None => self.worker.forget(id),
            }
        }
    }

    /// Wait until every bench has been answered or `limit` has passed for one of them; `true` if all were.
    pub fn wait_for_runs(&mut self, limit: std::time::Duration) -> bool {
        self.ask_runs();
        while self.state.benches.iter().any(state::Bench::waiting) {
            match self.worker.wait(limit) {
                Some(reply) => self.state.receive(reply),
                None => return false,
            }
        }
        self.lessons.wait_for_runs(limit)
            && self.parts.wait_for_runs(limit)
            && self.questions.wait(limit)
            && self.desk.wait(limit)
            && self.customer.wait(limit)
    }

    fn say(&mut self, text: String) {
        self.notice = Some(Notice { text, is_error: false });
    }

    fn fail(&mut self, text: String) {
        self.notice = Some(Notice { text, is_error: true });
    }

    fn apply(&mut self, action: Action, ctx: &egui::Context) {
        let units = self.preferences.units;
        let state = &mut self.state;
        // the keys of time move what is shown
        let action = match state.screen {
            screen::Screen::Lessons => match self.lessons.take(action) {
                Some(action) => action,
                None => return,
            },
            screen::Screen::Questions => match self.questions.take(action) {
                Some(action) => action,
                None => return,
            },
            screen::Screen::UsedCarburettor => match self.parts.used.take(action) {
                Some(action) => action,
                None => return,
            },
            screen::Screen::Customer => match self.customer.take(action, ctx) {
                Some(action) => action,
                None => return,
            },
            screen => match self.parts.of(screen) {
                Some(part) => match part.take(action, units) {
                    Some(action) => action,
                    None => return,
                },
                None => action,
            },
        };
        match action {
            Action::ChooseFamily(index, entry) => state.choose_family(index, entry),
            Action::Set(place, value) => state.set(place, value, units),
            Action::SetBoth(values) => self.set_both(values),
            Action::Refuse(place, text) => state.refuse(place, text),
            Action::Rename(title) => state.rename(title),
            Action::EndOfGesture => state.end_of_gesture(),
            Action::AddBench => state.add(None),
            Action::CopyBench(index) => state.add(Some(index)),
            Action::RemoveBench(index) => state.remove(index),
            Action::Select(index) => state.selected = index.min(state.benches.len() - 1),
            // time that nobody sees does not pass
            Action::TogglePlay => state.time.playing = !state.time.playing && state.screen == screen::Screen::Benches,
            Action::Speed(index) => state.time.speed = index.min(state::SPEEDS.len() - 1),
            Action::Seek(time) => {
                state.time.playing = false;
                state.seek(time);
            }
            Action::Step(by) => {
                state.time.playing = false;
                state.seek(state.time.cursor_s + by * state::STEP_S);
            }
            Action::ToEvent { forward } => state.step_to_event(forward),
            Action::Zoom(about, factor) => state.time.zoom(about, factor, state.end_s()),
            Action::Pan(by) => {
                let (from, to) = state.time.view_s;
                state.time.show(from + by, to + by, state.end_s());
            }
            Action::Show(from, to) => state.time.show(from, to, state.end_s()),
            Action::Filter(text) => state.filter = text,
            Action::Undo => state.undo(),
            Action::Redo => state.redo(),
            Action::Opening => {
                let opening = State::opening();
                state.load_all(opening.benches.into_iter().map(|bench| (bench.scenario, None)).collect());
            }
            Action::LastSession => {
                let (scenarios, errors) = files::kept(&self.last_session);
                state.load_all(scenarios.into_iter().map(|scenario| (scenario, None)).collect());
                if !errors.is_empty() {
                    self.fail(errors.join("\n"));
                }
            }
            Action::Prefer(preferences) => self.preferences = preferences.mended(),
            Action::Adopt(bench, values) => state.adopt(bench, &values),
            Action::AddScenario(scenario) => state.add_scenario(*scenario),
            Action::LoadScenarios(scenarios) => {
                state.load_all(scenarios.into_iter().map(|scenario| (scenario, None)).collect());
            }
            Action::HowSure => self.sure.open(state, ctx),
            Action::GoTo(screen) => {
                state.screen = screen;
                self.questions.shown(screen == screen::Screen::Questions);
                state.time.playing &= screen == screen::Screen::Benches;
            }
            Action::ToggleHelp => self.help_open = !self.help_open,
            Action::Dismiss => self.notice = None,
            other => self.apply_file(other, ctx),
        }
    }

    /// Let everything come in that has happened since the last frame.
    fn advance(&mut self, ctx: &egui::Context) {
        while let Some(reply) = self.worker.reply() {
            self.state.receive(reply);
        }
        if let Some(action) = self.dialogs.chosen() {
            self.actions.push(action);
        }
        let mut dropped: Vec<PathBuf> =
            ctx.input(|input| input.raw.dropped_files.iter().map(|file| file.path().to_owned()).collect());
        match dropped.len() {
            0 => {}
            1 => self.actions.extend(dropped.pop().map(Action::OpenPath)),
            _ => self.actions.push(Action::OpenPaths(dropped)),
        }
        match self.printing.poll() {
            Some(Ok(path)) => self.say(format!("Printed to {}.", path.display())),
            Some(Err(error)) => self.fail(error),
            None => {}
        }
        keys::read(ctx, &self.preferences, &mut self.actions);
        for action in std::mem::take(&mut self.actions) {
            self.apply(action, ctx);
        }
        self.style(ctx);
        self.ask_runs();
        self.pass_time(ctx);
        if let Some(part) = self.parts.of(self.state.screen) {
            part.advance(ctx, self.preferences.reduced_motion);
        }
        if self.state.screen == screen::Screen::UsedCarburettor {
            self.parts.used.advance(ctx);
        }
    }

    fn pass_time(&mut self, ctx: &egui::Context) {
        let (pace, end_s) = (self.state.pace(), self.state.end_s());
        let times = self.state.event_times();
        self.state.time.pass(ctx, self.preferences.reduced_motion, pace, || times.clone(), end_s);
    }
}

impl eframe::App for App {
    fn ui(&mut self, ui: &mut Ui, _frame: &mut eframe::Frame) {
        self.show(ui);
    }

    fn save(&mut self, storage: &mut dyn eframe::Storage) {
        eframe::set_value(storage, STORAGE_KEY, &self.preferences);
        // an untouched opening contrast is no reason to forget what was worked on before
        if self.state.history().0 {
            let scenarios: Vec<_> = self.state.benches.iter().map(|bench| &bench.scenario).collect();
            eframe::set_value(storage, BENCHES_KEY, &files::keep(&scenarios));
        }
    }
}
