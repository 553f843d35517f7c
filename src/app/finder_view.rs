//! The settings that pull fastest without a bog, and the search for them.

use super::actions::Action;
use super::finder_choice::{self, Choice};
use super::finder_result::Answer;
use super::job::Job;
use super::paint::{MARKER_NAMES, named};
use super::preferences::Preferences;
use super::state::{Bench, State};
use super::theme::{self, Palette};
use super::worker::BenchId;
use crate::advice::exchange::exchange;
use crate::advice::finder::{Step, find, most_runs};
use crate::advice::free::{Free, MOST_FREE};
use crate::units::{Quantity, UnitSystem};
use eframe::egui::{Align, Button, ProgressBar, RichText, ScrollArea, TextStyle, Ui, UiBuilder, vec2};

/// What this screen remembers.
#[derive(Default)]
pub struct View {
    /// What is offered, for which bench and which of its families.
    offered: Option<((BenchId, &'static str), Vec<Choice>)>,
    job: Option<Job<Step, Answer>>,
    /// How many runs the job makes at most, without those that come after the search.
    most: usize,
    answer: Option<Result<Answer, String>>,
    /// Whether the answer has just come.
    arrived: bool,
}

impl View {
    /// The screen.
    pub fn show(&mut self, ui: &mut Ui, state: &State, preferences: &Preferences, actions: &mut Vec<Action>) {
        if let Some(result) = self.job.as_mut().and_then(Job::poll) {
            self.answer = Some(result);
            self.job = None;
            self.arrived = true;
        }
        let arrived = std::mem::take(&mut self.arrived);
        let bench = state.bench();
        let key = (bench.id, bench.scenario.entry().id);
        if self.offered.as_ref().is_none_or(|(known, _)| *known != key) {
            self.offered = Some((key, finder_choice::choices(&bench.scenario)));
        }
        let units = preferences.units;
        let text = ui.text_style_height(&TextStyle::Body);
        let beside = ui.available_width() > text * 58.0;
        ScrollArea::vertical().id_salt("best setting").auto_shrink([false, false]).show(ui, |ui| {
            if !beside {
                self.left(ui, state, units, actions);
                ui.add_space(10.0);
                // below the question it would not be seen
                if arrived {
                    ui.scroll_to_cursor(Some(Align::TOP));
                }
                self.right(ui, state, units, actions);
                return;
            }
            // two columns that each take the height they need
            let room = ui.available_rect_before_wrap();
            let width = (text * 25.0).min(room.width() * 0.4);
            let mut column = |from: f32, to: f32, show: &mut dyn FnMut(&mut Ui)| {
                let rect = eframe::egui::Rect::from_x_y_ranges(from..=to, room.y_range());
                let mut child = ui.new_child(UiBuilder::new().max_rect(rect));
                show(&mut child);
                child.min_rect().height()
            };
            let left = column(room.left(), room.left() + width, &mut |ui| self.left(ui, state, units, actions));
            let start = room.left() + width + 24.0;
            let right = column(start, room.right() - 12.0, &mut |ui| self.right(ui, state, units, actions));
            ui.allocate_space(vec2(room.width(), left.max(right)));
        });
    }

    /// The question: which bench, what is free, begin.
    fn left(&mut self, ui: &mut Ui, state: &State, units: UnitSystem, actions: &mut Vec<Action>) {
        ui.heading("Find me the setting");
        ui.label(
            "Which setting pulls fastest without a hole? The same stab of the pedal is run again and again while the \
             settings that you free are turned.",
        );
        ui.add_space(6.0);
        which(ui, state, actions);
        ui.add_space(6.0);
        let bench = state.bench();
        let busy = self.job.is_some();
        if let Some((_, choices)) = &mut self.offered {
            ui.label(theme::heavy("What may be turned"));
            ui.add_enabled_ui(!busy, |ui| finder_choice::show(ui, &bench.scenario, choices, units));
        }
        ui.add_space(8.0);
        self.start(ui, bench);
        ui.add_space(4.0);
        ui.label(
            RichText::new(
                "Sought is the greatest distance after 2 s (out of gear: engine speed; at held speed: torque) among \
                 settings that pull cleanly with 5 ms to spare; where nothing is clean, the least time lost. The search \
                 looks at this one stab only, not at the top end, at wear or at consumption.",
            )
            .small()
            .weak(),
        );
    }

    fn start(&mut self, ui: &mut Ui, bench: &Bench) {
        if let Some(job) = &self.job {
            progress(ui, job, self.most);
            return;
        }
        let free: Vec<Free> = self.offered.iter().flat_map(|(_, all)| all).filter(|c| c.on).map(|c| c.free).collect();
        let fits = !free.is_empty() && free.len() <= MOST_FREE;
        if ui.add_enabled(fits, Button::new(theme::heavy("Find the best setting"))).clicked() {
            self.begin(ui, bench, free);
        } else if !fits {
            ui.label(RichText::new("Free at least one setting.").color(Palette::of(ui.visuals()).error));
        }
    }

    fn begin(&mut self, ui: &Ui, bench: &Bench, free: Vec<Free>) {
        self.most = most_runs(free.len());
        self.answer = None;
        let (id, scenario) = (bench.id, bench.scenario.clone());
        self.job = Some(Job::begin(ui.ctx(), move |watch, tell| {
            let found = find(&scenario, &free, watch, &mut |step| tell(step.clone())).map_err(|e| e.to_string())?;
            let exchange = exchange(&found);
            Ok(Answer { bench: id, found, exchange })
        }));
    }

    /// The answer.
    fn right(&self, ui: &mut Ui, state: &State, units: UnitSystem, actions: &mut Vec<Action>) {
        match (&self.answer, &self.job) {
            (_, Some(job)) => so_far(ui, job, units),
            (Some(Ok(answer)), _) => {
                heading(ui, state, answer);
                answer.show(ui, state, units, actions);
            }
            (Some(Err(error)), _) => {
                ui.label(RichText::new(error).color(Palette::of(ui.visuals()).error));
            }
            (None, None) => {
                ui.label(RichText::new("The answer appears here, with the way to it and what it costs.").weak());
            }
        }
    }
}

/// Whose answer it is: another bench may be selected by now.
fn heading(ui: &mut Ui, state: &State, answer: &Answer) {
    let place = state.benches.iter().position(|bench| bench.id == answer.bench);
    let whose = place.map_or("a bench that is gone".to_owned(), |index| format!("bench {}", index + 1));
    ui.heading(format!("Found for {whose}, {}", answer.found.start.title));
}

/// The benches, to choose one.
fn which(ui: &mut Ui, state: &State, actions: &mut Vec<Action>) {
    ui.horizontal_wrapped(|ui| {
        for (index, bench) in state.benches.iter().enumerate() {
            let text = format!("{}: {}", index + 1, bench.scenario.title);
            let chosen = ui.selectable_label(index == state.selected, text);
            if named(chosen, &format!("Search on bench {}, {}", index + 1, MARKER_NAMES[index % 4])).clicked() {
                actions.push(Action::Select(index));
            }
        }
    });
    let bench = state.bench();
    let lost = bench.outcome.as_ref().map(|outcome| &outcome.findings);
    if let Some(findings) = lost {
        let phrase = findings.verdict.phrase();
        ui.label(RichText::new(format!("{}. As it stands it {phrase}.", bench.scenario.entry().name)).weak());
    }
}

fn progress(ui: &mut Ui, job: &Job<Step, Answer>, most: usize) {
    let done = job.done();
    let text = if done <= most { format!("{done} of at most {most} runs") } else { "how exact must it be?".to_owned() };
    ui.add(ProgressBar::new((done as f32 / most.max(1) as f32).min(1.0)).text(text));
    if ui.add_enabled(!job.cancelled(), Button::new("Stop here")).on_hover_text("Keeps the best so far").clicked() {
        job.cancel();
    }
    ui.ctx().request_repaint_after(std::time::Duration::from_millis(50));
}

/// While it searches: the best so far.
fn so_far(ui: &mut Ui, job: &Job<Step, Answer>, units: UnitSystem) {
    ui.heading("Searching …");
    let Some(step) = job.steps.last() else { return };
    let (verdict, lost) = (step.merit.findings.verdict.phrase(), Quantity::ShortTime.show(step.merit.lost_s, units));
    ui.label(format!("Best so far, at run {}: it {verdict}, {lost} lost.", step.run));
}
