//! How sure a verdict is: a page over the benches, computed when it is asked for.

use super::job::Job;
use super::state::State;
use super::theme::{self, Palette};
use super::worker::BenchId;
use crate::bench::sensitivity::{Ends, Row, Sensitivity, runs, sensitivity};
use crate::units::{Quantity, UnitSystem};
use eframe::egui::{self, Grid, ProgressBar, RichText, ScrollArea, TextStyle, Ui};

/// What this page remembers.
#[derive(Default)]
pub struct View {
    open: bool,
    /// Which run of which bench the study is of.
    of: Option<(BenchId, u64)>,
    title: String,
    most: usize,
    job: Option<Job<(), Sensitivity>>,
    result: Option<Result<Sensitivity, String>>,
}

impl View {
    /// Open the page for the selected bench.
    pub fn open(&mut self, state: &State, ctx: &egui::Context) {
        self.open = true;
        let bench = state.bench();
        let of = Some((bench.id, bench.revision));
        if self.of == of {
            return;
        }
        self.of = of;
        self.title.clone_from(&bench.scenario.title);
        self.most = runs(&bench.scenario);
        self.result = None;
        let scenario = bench.scenario.clone();
        self.job =
            Some(Job::begin(ctx, move |watch, _| sensitivity(&scenario, watch).map_err(|error| error.to_string())));
    }

    /// The page, if it is open.
    pub fn show(&mut self, ctx: &egui::Context, units: UnitSystem) {
        if let Some(result) = self.job.as_mut().and_then(Job::poll) {
            self.result = Some(result);
            self.job = None;
        }
        if !self.open {
            return;
        }
        let answer = egui::Modal::new(egui::Id::unique("how sure")).show(ctx, |ui| {
            let room = ctx.content_rect().size();
            ui.set_width((ui.text_style_height(&TextStyle::Body) * 46.0).min(room.x - 60.0));
            ui.heading(format!("How sure is this? {}", self.title));
            // a page over others is offered little height at first, and does not ask for more by itself
            let highest = (room.y - 4.0 * ui.text_style_height(&TextStyle::Heading) - 80.0).max(80.0);
            let scroll = ScrollArea::vertical().max_height(highest).min_scrolled_height(highest);
            scroll.show(ui, |ui| self.content(ui, units));
            ui.add_space(6.0);
            let word = if self.job.is_some() { "Stop and close" } else { "Close" };
            ui.button(word).clicked()
        });
        if answer.inner || answer.should_close() {
            self.open = false;
            if self.job.take().is_some() {
                self.of = None;
            }
        }
    }

    fn content(&self, ui: &mut Ui, units: UnitSystem) {
        ui.label(
            "Some figures in the model nobody has measured for an engine like this one. Here the same stab is run again \
             over the range in which each of them may lie.",
        );
        ui.add_space(6.0);
        match (&self.result, &self.job) {
            (Some(Ok(study)), _) => answer(ui, study, units),
            (Some(Err(error)), _) => {
                let colour = Palette::of(ui.visuals()).error;
                ui.label(RichText::new(error).color(colour));
            }
            (None, Some(job)) => {
                let share = job.done() as f32 / self.most.max(1) as f32;
                ui.add(ProgressBar::new(share).text(format!("{} of {} runs", job.done(), self.most)));
                ui.ctx().request_repaint_after(std::time::Duration::from_millis(50));
            }
            (None, None) => {}
        }
    }
}

fn answer(ui: &mut Ui, study: &Sensitivity, units: UnitSystem) {
    ui.label(theme::heavy(study.sentence()));
    let (least, most) = study.lost_range_s();
    ui.label(format!(
        "As it stands it loses {}; over everything tried {} to {}.",
        lost(study.base.lost_s, units),
        lost(least, units),
        lost(most, units)
    ));
    ui.add_space(6.0);
    let narrow = ui.available_width() < ui.text_style_height(&TextStyle::Body) * 32.0;
    if narrow {
        study.rows.iter().for_each(|row| stacked(ui, row, units));
    } else {
        table(ui, study, units);
    }
    ui.add_space(6.0);
    ui.label(
        RichText::new(
            "Each line: one figure alone at the ends of its range, with the time lost to a wrong mixture. All ranges are \
             from memory; so are the times at which a hesitation, a bog or a dying engine is said to begin.",
        )
        .small()
        .weak(),
    );
}

fn lost(seconds: f64, units: UnitSystem) -> String {
    Quantity::ShortTime.show(seconds, units)
}

fn table(ui: &mut Ui, study: &Sensitivity, units: UnitSystem) {
    Grid::new("how sure").num_columns(4).striped(true).spacing(egui::vec2(14.0, 5.0)).show(ui, |ui| {
        for heading in ["What is not known well", "Here", "At its least", "At its most"] {
            ui.label(theme::heavy(heading));
        }
        ui.end_row();
        for row in &study.rows {
            ui.label(row.coefficient.label).on_hover_text(row.coefficient.why);
            ui.label(row.quantity.show(row.base, units));
            if row.ends == [study.base; 2] {
                ui.label(RichText::new("makes no difference here").weak());
                ui.label("");
            } else {
                ui.label(end(row, 0, study, units));
                ui.label(end(row, 1, study, units));
            }
            ui.end_row();
        }
        ui.label("All of them together");
        ui.label("");
        ui.label(ends(&study.together[0], study, units));
        ui.label(ends(&study.together[1], study, units));
        ui.end_row();
    });
}

fn ends(ends: &Ends, study: &Sensitivity, units: UnitSystem) -> RichText {
    let text = RichText::new(format!("{}, {}", ends.verdict.phrase(), lost(ends.lost_s, units)));
    if ends.verdict == study.base.verdict { text } else { text.family(theme::bold()) }
}

fn end(row: &Row, index: usize, study: &Sensitivity, units: UnitSystem) -> RichText {
    let tried = if index == 0 { row.tried.0 } else { row.tried.1 };
    let ends = &row.ends[index];
    let text = format!("{}: {}, {}", row.quantity.show(tried, units), ends.verdict.phrase(), lost(ends.lost_s, units));
    if ends.verdict == study.base.verdict { RichText::new(text) } else { theme::heavy(text) }
}

/// A line for each end where there is no room for columns.
fn stacked(ui: &mut Ui, row: &Row, units: UnitSystem) {
    ui.label(theme::heavy(format!("{}: {} here", row.coefficient.label, row.quantity.show(row.base, units))));
    for (tried, ends) in [row.tried.0, row.tried.1].into_iter().zip(&row.ends) {
        let value = row.quantity.show(tried, units);
        ui.label(format!("at {value} it {}, {} lost", ends.verdict.phrase(), lost(ends.lost_s, units)));
    }
}
