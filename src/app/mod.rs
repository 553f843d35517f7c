//! The window: the only room that knows egui.
//!
//! What the reader does becomes an [`actions::Action`] and is applied before the next drawing; runs happen on the
//! [`worker`]; the screens paint a finished trace at the cursor's time.

pub mod actions;
mod bench_view;
pub mod files;
mod findings_panel;
mod flow;
mod hatch;
mod keys;
mod paint;
pub mod preferences;
mod section;
mod settings_panel;
pub mod state;
pub mod theme;
mod timeline;
mod toolbar;
mod traces;
pub mod worker;

use actions::{Action, Purpose};
use eframe::egui::{self, CentralPanel, Frame, Margin, Panel, RichText, TextStyle, ThemePreference, Ui};
use preferences::{Look, Preferences};
use state::State;
use std::path::{Path, PathBuf};
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
    help_open: bool,
    applied: Option<Preferences>,
    still_since: f64,
}

const STORAGE_KEY: &str = "preferences";

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
        let app = App::new(&creation.egui_ctx, stored.unwrap_or_default(), &files);
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

impl App {
    /// A window's content; `files` go onto benches of their own.
    pub fn new(ctx: &egui::Context, preferences: Preferences, files: &[PathBuf]) -> Self {
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
            help_open: false,
            applied: None,
            still_since: 0.0,
        };
        app.state.playing = !app.preferences.reduced_motion;
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
        true
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
        match action {
            Action::ChooseFamily(index, entry) => state.choose_family(index, entry),
            Action::Set(place, value) => state.set(place, value, units),
            Action::Refuse(place, text) => state.refuse(place, text),
            Action::Rename(title) => state.rename(title),
            Action::EndOfGesture => state.end_of_gesture(),
            Action::AddBench => state.add(None),
            Action::CopyBench(index) => state.add(Some(index)),
            Action::RemoveBench(index) => state.remove(index),
            Action::Select(index) => state.selected = index.min(state.benches.len() - 1),
            Action::TogglePlay => state.playing = !state.playing,
            Action::Speed(index) => state.speed = index.min(state::SPEEDS.len() - 1),
            Action::Seek(time) => {
                state.playing = false;
                state.seek(time);
            }
            Action::Step(by) => {
                state.playing = false;
                state.seek(state.cursor_s + by);
            }
            Action::ToEvent { forward } => state.step_to_event(forward),
            Action::Zoom(about, factor) => state.zoom(about, factor),
            Action::Pan(by) => state.show(state.view_s.0 + by, state.view_s.1 + by),
            Action::Show(from, to) => state.show(from, to),
            Action::Filter(text) => state.filter = text,
            Action::Undo => state.undo(),
            Action::Redo => state.redo(),
            Action::Opening => {
                let opening = State::opening();
                state.load_all(opening.benches.into_iter().map(|bench| (bench.scenario, None)).collect());
            }
            Action::Prefer(preferences) => self.preferences = preferences.mended(),
            Action::ToggleHelp => self.help_open = !self.help_open,
            Action::Dismiss => self.notice = None,
            other => self.apply_file(other, ctx),
        }
    }

    fn apply_file(&mut self, action: Action, ctx: &egui::Context) {
        let wake = ctx.clone();
        let wake = move || wake.request_repaint();
        let title = self.state.bench().scenario.title.clone();
        match action {
            Action::Open => self.dialogs.ask(Purpose::Open, String::new(), wake),
            Action::SaveAs => self.dialogs.ask(Purpose::Save, files::file_name(&title, "toml"), wake),
            Action::ExportTrace => self.dialogs.ask(Purpose::Export, files::file_name(&title, "csv"), wake),
            Action::AskPath(purpose) => self.asking = Some((purpose, String::new())),
            Action::Save => match self.state.bench().path.clone() {
                Some(path) => self.save(&path),
                None => self.dialogs.ask(Purpose::Save, files::file_name(&title, "toml"), wake),
            },
            Action::SaveTo(path) => self.save(&path),
            Action::OpenPath(path) => match files::read(&path) {
                Ok(scenario) => self.state.load(scenario, Some(path)),
                Err(error) => self.fail(error),
            },
            Action::ExportTraceTo(path) => self.export(&path),
            Action::Example(index) => match self.examples.get(index).map(|example| example.scenario.clone()) {
                Some(Ok(scenario)) => self.state.load(scenario, None),
                Some(Err(error)) => self.fail(error),
                None => {}
            },
            _ => {}
        }
    }

    fn save(&mut self, path: &Path) {
        match files::write(path, &self.state.bench().scenario) {
            Ok(()) => {
                let selected = self.state.selected;
                self.state.benches[selected].path = Some(path.to_owned());
                self.say(format!("Saved to {}.", path.display()));
            }
            Err(error) => self.fail(error),
        }
    }

    fn export(&mut self, path: &Path) {
        let Some(outcome) = self.state.bench().outcome.clone() else {
            self.fail("there is no run of the selected bench yet; mend its settings or wait for it".to_owned());
            return;
        };
        match files::write_trace(path, &outcome.run.trace) {
            Ok(()) => self.say(format!("The trace of {} was written to {}.", outcome.scenario.title, path.display())),
            Err(error) => self.fail(error),
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
        let dropped = ctx.input(|input| input.raw.dropped_files.clone());
        self.actions.extend(dropped.into_iter().map(|file| Action::OpenPath(file.path().to_owned())));
        keys::read(ctx, &self.preferences, &mut self.actions);
        for action in std::mem::take(&mut self.actions) {
            self.apply(action, ctx);
        }
        self.style(ctx);
        self.ask_runs();
        self.pass_time(ctx);
    }

    fn pass_time(&mut self, ctx: &egui::Context) {
        if !self.state.playing {
            return;
        }
        if self.preferences.reduced_motion {
            // stills: an event stays for a while, then the next one is shown
            const STILL_S: f64 = 2.5;
            let now = ctx.input(|input| input.time);
            if now - self.still_since >= STILL_S {
                self.still_since = now;
                if self.state.cursor_s >= self.state.end_s() {
                    self.state.seek(0.0);
                }
                self.state.step_to_event(true);
                self.state.playing = true;
            }
            ctx.request_repaint_after(std::time::Duration::from_secs_f64(0.1));
        } else {
            self.state.tick(f64::from(ctx.input(|input| input.stable_dt)).min(0.1));
            ctx.request_repaint();
        }
    }

    fn messages(&mut self, ui: &mut Ui) {
        let palette = theme::Palette::of(ui.visuals());
        if let Some(notice) = &self.notice {
            ui.horizontal_wrapped(|ui| {
                let colour = if notice.is_error { palette.error } else { palette.ink };
                ui.label(RichText::new(&notice.text).color(colour));
                if paint::named(ui.small_button("Dismiss"), "Dismiss the message").clicked() {
                    self.actions.push(Action::Dismiss);
                }
            });
        }
        let Some((purpose, path)) = &mut self.asking else { return };
        let purpose = *purpose;
        let mut done = false;
        ui.horizontal_wrapped(|ui| {
            ui.label(purpose.title());
            let field = egui::TextEdit::singleline(path).hint_text("Path of the file").desired_width(320.0);
            let field = paint::named(ui.add(field), "Path of the file");
            let entered = field.lost_focus() && ui.input(|input| input.key_pressed(egui::Key::Enter));
            if (ui.button("Do it").clicked() || entered) && !path.trim().is_empty() {
                self.actions.push(purpose.act(PathBuf::from(path.trim())));
                done = true;
            }
            done |= ui.button("Leave it").clicked();
        });
        if done {
            self.asking = None;
        }
    }

    /// What there is to find out on the benches as they stand.
    fn question(&self) -> &'static str {
        let ids: Vec<_> = self.state.benches.iter().map(|bench| bench.scenario.entry().id).collect();
        match ids[..] {
            ["bare_link", "twin_pump"] => {
                "Same car, same stab of the pedal: why does one of them lose its breath, and what does the other do about it?"
            }
            [_] => "The pedal goes down: when does the second breath come, and what does the engine lose until then?",
            _ => "The same stab of the pedal for each: whose second breath comes late, and what does that cost?",
        }
    }

    fn top(&mut self, ui: &mut Ui) {
        let examples: Vec<String> = self.examples.iter().map(|example| example.title.clone()).collect();
        toolbar::show(ui, &self.state, &self.preferences, &examples, &mut self.actions);
        self.messages(ui);
        // at large text sizes the drawing needs the room more than the question does
        let style = if self.preferences.text_size > 1.4 { TextStyle::Body } else { TextStyle::Heading };
        ui.label(RichText::new(self.question()).family(theme::bold()).size(style.resolve(ui.style()).size));
    }

    fn side(&mut self, ui: &mut Ui) {
        let margin = Frame::new().inner_margin(Margin { left: 8, right: 6, top: 6, bottom: 4 });
        let height = ui.available_height();
        Panel::bottom("findings")
            .resizable(true)
            .default_size(height * 0.4)
            .size_range(60.0..=(height * 0.75).max(61.0))
            .frame(margin)
            .show(ui, |ui| findings_panel::show(ui, &self.state, self.preferences.units));
        CentralPanel::no_frame().frame(margin).show(ui, |ui| {
            settings_panel::show(ui, &self.state, self.preferences.units, &mut self.actions);
        });
    }
}

impl App {
    /// One frame: first what has happened, then the drawing.
    pub fn show(&mut self, ui: &mut Ui) {
        let ctx = ui.ctx().clone();
        self.advance(&ctx);
        let fill = ui.visuals().panel_fill;
        let frame = Frame::new().fill(fill).inner_margin(Margin::symmetric(10, 5));
        let (width, height) = (ui.available_width(), ui.available_height());
        Panel::top("top").frame(frame).show(ui, |ui| self.top(ui));
        let mut open = self.preferences.settings_open;
        let side = (300.0 * self.preferences.text_size.sqrt()).min(width * 0.34);
        Panel::right("side")
            .frame(Frame::new().fill(fill))
            .resizable(true)
            .default_size(side)
            .size_range(180.0..=(width * 0.5).max(181.0))
            .show_collapsible(ui, &mut open, |ui| self.side(ui));
        self.preferences.settings_open = open;
        Panel::bottom("time")
            .frame(frame)
            .resizable(true)
            .default_size(height * 0.31)
            .size_range(90.0..=(height * 0.6).max(91.0))
            .show(ui, |ui| timeline::show(ui, &self.state, &self.preferences, &mut self.actions));
        CentralPanel::no_frame().frame(frame).show(ui, |ui| {
            bench_view::show(ui, &self.state, &self.preferences, &mut self.actions);
        });
        if self.help_open {
            self.help_open = toolbar::help(&ctx);
        }
        if !self.actions.is_empty() {
            ctx.request_repaint();
        }
    }
}

impl eframe::App for App {
    fn ui(&mut self, ui: &mut Ui, _frame: &mut eframe::Frame) {
        self.show(ui);
    }

    fn save(&mut self, storage: &mut dyn eframe::Storage) {
        eframe::set_value(storage, STORAGE_KEY, &self.preferences);
    }
}
