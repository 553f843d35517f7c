//! What the search found: the answer, what it gains and costs, and the way to it.

use super::actions::Action;
use super::finder_chart::{Chart, Mark};
use super::screen::Screen;
use super::state::{MOST_BENCHES, State};
use super::theme;
use super::worker::BenchId;
use crate::advice::exchange::Exchange;
use crate::advice::finder::{Found, Step};
use crate::advice::merit::Merit;
use crate::advice::summary::{rooms, summary};
use crate::bench::scenario::{Place, Scenario};
use crate::bench::verdict::BEGINS_S;
use crate::settings::Setting;
use crate::settings::grouped::Grouped;
use crate::units::{Quantity, UnitSystem};
use eframe::egui::{Button, Grid, RichText, ScrollArea, TextStyle, Ui, vec2};

/// A finished search.
pub struct Answer {
    /// The bench it was begun from.
    pub bench: BenchId,
    /// What was found.
    pub found: Found,
    /// What that gains and costs.
    pub exchange: Vec<Exchange>,
}

impl Answer {
    /// Everything about it.
    pub fn show(&self, ui: &mut Ui, state: &State, units: UnitSystem, actions: &mut Vec<Action>) {
        ui.label(theme::heavy(summary(&self.found, units)));
        self.buttons(ui, state, actions);
        ui.add_space(6.0);
        self.room(ui, units);
        ui.label(
            RichText::new("A model's answer: go there in small steps, and try it where nobody is at risk.")
                .small()
                .weak(),
        );
        ui.add_space(6.0);
        self.charts(ui, units);
        ui.add_space(6.0);
        self.gains(ui, units);
        ui.add_space(6.0);
        self.way(ui, units);
    }

    fn values(&self) -> Vec<(Place, f64)> {
        let last = &self.found.last().values;
        self.found.free.iter().map(|free| free.place).zip(last.iter().copied()).collect()
    }

    fn buttons(&self, ui: &mut Ui, state: &State, actions: &mut Vec<Action>) {
        let bench = state.benches.iter().find(|bench| bench.id == self.bench);
        let same_family = bench.is_some_and(|b| b.scenario.entry().id == self.found.start.entry().id);
        let has =
            |scenario: &Scenario, values: &[(Place, f64)]| values.iter().all(|(p, v)| scenario.value(*p) == Some(*v));
        let values = self.values();
        let there = bench.is_some_and(|bench| same_family && has(&bench.scenario, &values));
        ui.horizontal_wrapped(|ui| {
            let put = ui.add_enabled(same_family && !there, Button::new("Put it on the bench"));
            let put = put.on_hover_text("One step, which Undo takes back");
            if put
                .on_disabled_hover_text("It stands there already, or that bench is gone or has another family")
                .clicked()
            {
                actions.push(Action::Adopt(self.bench, values));
            }
            let room = state.benches.len() < MOST_BENCHES;
            let compare = ui.add_enabled(room && self.found.improved(), Button::new("Compare with the start"));
            let compare = compare.on_hover_text("Another bench, so that both can be seen side by side");
            if compare.on_disabled_hover_text("There is no room for a fifth bench, or nothing to compare").clicked() {
                let (mut scenario, word) = if there {
                    (self.found.start.clone(), "before")
                } else {
                    (self.found.best.clone(), "best setting")
                };
                scenario.title = format!("{}, {word}", scenario.title);
                actions.push(Action::AddScenario(Box::new(scenario)));
                actions.push(Action::GoTo(Screen::Benches));
            }
            if there {
                ui.label(RichText::new("It is on the bench.").weak());
            }
        });
    }

    /// How far each setting may be off.
    fn room(&self, ui: &mut Ui, units: UnitSystem) {
        if self.found.stretches.is_empty() {
            return;
        }
        ui.label(theme::heavy("How exact it must be"));
        for room in rooms(&self.found, units) {
            ui.label(room);
        }
        ui.label(RichText::new("Each alone, with the others as found.").small().weak());
    }

    fn charts(&self, ui: &mut Ui, units: UnitSystem) {
        ui.label(theme::heavy("The way there"));
        ui.label(
            RichText::new("A dot is one run; the line is the best so far. Runs off the scale are left out.")
                .small()
                .weak(),
        );
        let line = ui.text_style_height(&TextStyle::Small);
        let gap = 10.0;
        let available = ui.available_width() - 10.0;
        let columns = (available / (line * 15.0)).floor().clamp(1.0, 3.0);
        let size = vec2((available - gap * (columns - 1.0)) / columns, (line * 9.0).max(available / columns * 0.36));
        ui.horizontal_wrapped(|ui| {
            ui.spacing_mut().item_spacing = vec2(gap, 10.0);
            for chart in charts(&self.found, units) {
                chart.show(ui, size);
            }
        });
    }

    fn gains(&self, ui: &mut Ui, units: UnitSystem) {
        ui.label(theme::heavy("What it gains and costs"));
        let text = |value: Option<f64>, quantity: Quantity| value.map_or("–".to_owned(), |v| quantity.show(v, units));
        ScrollArea::horizontal().id_salt("gains").show(ui, |ui| {
            Grid::new("gains").num_columns(3).striped(true).spacing(vec2(16.0, 4.0)).show(ui, |ui| {
                for heading in ["", "Start", "Found"] {
                    ui.label(theme::heavy(heading));
                }
                ui.end_row();
                ui.label("The engine …");
                ui.label(self.found.first().merit.findings.verdict.phrase());
                ui.label(self.found.last().merit.findings.verdict.phrase());
                ui.end_row();
                for row in &self.exchange {
                    let (before, after) = (text(row.before, row.quantity), text(row.after, row.quantity));
                    let differs = before != after;
                    ui.label(row.label);
                    ui.label(before);
                    ui.label(if differs { theme::heavy(after) } else { RichText::new(after) });
                    ui.end_row();
                }
            });
        });
        let none = "–: did not happen after the pedal moved, be it that it was so before.";
        ui.label(RichText::new(none).small().weak());
    }

    /// Every improvement, the last first to be read.
    fn way(&self, ui: &mut Ui, units: UnitSystem) {
        ui.label(theme::heavy("Step by step"));
        let settings: Vec<Option<&'static Setting>> =
            self.found.free.iter().map(|free| self.found.start.setting(free.place)).collect();
        ScrollArea::horizontal().id_salt("way").show(ui, |ui| {
            Grid::new("way").striped(true).spacing(vec2(14.0, 4.0)).show(ui, |ui| {
                ui.label(theme::heavy("Run"));
                for setting in settings.iter().flatten() {
                    ui.label(theme::heavy(setting.label));
                }
                for heading in ["The engine …", "Time lost", self.found.pull.label()] {
                    ui.label(theme::heavy(heading));
                }
                ui.end_row();
                for step in self.found.way.iter().rev() {
                    self.step(ui, step, &settings, units);
                }
            });
        });
    }

    fn step(&self, ui: &mut Ui, step: &Step, settings: &[Option<&'static Setting>], units: UnitSystem) {
        ui.label(if step.run == 1 { "start".to_owned() } else { step.run.to_string() });
        for (setting, value) in settings.iter().zip(&step.values) {
            if let Some(setting) = setting {
                ui.label(setting.shown(*value, units));
            }
        }
        ui.label(step.merit.findings.verdict.phrase());
        ui.label(Quantity::ShortTime.show(step.merit.lost_s, units));
        ui.label(self.found.pull.quantity().show(step.merit.pull, units));
        ui.end_row();
    }
}

/// Lost time, pull, and each free setting against the run.
fn charts(found: &Found, units: UnitSystem) -> Vec<Chart> {
    let of = |title: &str, quantity: Quantity, get: fn(&Merit) -> f64| {
        let dots: Vec<Option<f64>> = found.trials.iter().map(|trial| trial.merit.as_ref().map(get)).collect();
        let best: Vec<(usize, f64)> = found.way.iter().map(|step| (step.run, get(&step.merit))).collect();
        (title.to_owned(), quantity, dots, best)
    };
    let (title, quantity, dots, best) = of("Time lost to a wrong mixture", Quantity::ShortTime, |merit| merit.lost_s);
    // settings far off lose so much that nothing else could be told apart: the scale ends a little above the start
    let top = best.iter().map(|(_, lost)| 1.3 * lost).fold(2.5 * BEGINS_S[1].1, f64::max);
    let mark = Some(Mark { at: BEGINS_S[1].1, word: "hesitates above" });
    let shown = |quantity: Quantity| Box::new(move |value| quantity.show(value, units)) as Box<dyn Fn(f64) -> String>;
    let mut charts = vec![Chart { title, dots, best, range: (0.0, top), mark, shown: shown(quantity) }];
    let (title, quantity, dots, best) = of(found.pull.label(), found.pull.quantity(), |merit| merit.pull);
    let range = about(&best);
    charts.push(Chart { title, dots, best, range, mark: None, shown: shown(quantity) });
    for (index, free) in found.free.iter().enumerate() {
        let Some(setting) = found.start.setting(free.place) else { continue };
        let value = |values: &[f64]| values.get(index).copied();
        let dots = found.trials.iter().map(|trial| value(&trial.values)).collect();
        let best = found.way.iter().filter_map(|step| Some((step.run, value(&step.values)?))).collect();
        let shown = Box::new(move |value| setting.shown(value, units));
        let range = (free.least, free.most);
        charts.push(Chart { title: setting.label.to_owned(), dots, best, range, mark: None, shown });
    }
    charts
}

/// A scale on which the steps from start to best can be told apart.
fn about(best: &[(usize, f64)]) -> (f64, f64) {
    let fold = |pick: fn(f64, f64) -> f64, from| best.iter().map(|(_, value)| *value).fold(from, pick);
    let (least, most) = (fold(f64::min, f64::INFINITY), fold(f64::max, f64::NEG_INFINITY));
    let way = (most - least).max(0.01 * most.abs()).max(1e-9);
    (least - 0.6 * way, most + 0.3 * way)
}
