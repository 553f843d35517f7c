//! What stands around a part's drawings: settings, findings, axis of time.

use super::bench::Bench;
use super::view::View;
use super::{Part, chart, stage};
use crate::app::actions::Action;
use crate::app::findings_panel::{self, Row};
use crate::app::kept::kept;
use crate::app::layout::Panels;
use crate::app::paint::named;
use crate::app::preferences::Preferences;
use crate::app::settings_panel::Subject;
use crate::app::timeline::Timeline;
use crate::units::UnitSystem;
use eframe::egui::{self, RichText, TextEdit, Ui};

/// The panels of a part's screen, for one frame.
pub fn panels<'a, P: Part>(
    view: &'a View<P>,
    preferences: &'a Preferences,
    actions: &'a mut Vec<Action>,
) -> Box<dyn Panels + 'a> {
    Box::new(Page { view, preferences, actions })
}

struct Page<'a, P: Part> {
    view: &'a View<P>,
    preferences: &'a Preferences,
    actions: &'a mut Vec<Action>,
}

impl<P: Part> Panels for Page<'_, P> {
    fn settings(&mut self, ui: &mut Ui) {
        let view = self.view;
        let bench = view.bench();
        let refusal = view.refusal.as_ref().filter(|(id, ..)| *id == bench.id);
        let subject = Subject {
            index: view.selected,
            of: (bench.id, bench.revision),
            settings: &bench.settings,
            fresh: &|| Box::new(P::fresh()),
            open: P::OPEN,
            summary: None,
            none: "There is nothing to set.",
            filter: &view.filter,
            refusal: refusal.map(|(_, place, text)| (*place, text.as_str())),
        };
        ui.push_id(P::ID, |ui| {
            subject.show(ui, self.preferences.units, self.actions, |ui, actions| {
                let mut title = bench.title.clone();
                let field = TextEdit::singleline(&mut title)
                    .hint_text("Name of this bench")
                    .align(egui::Align2::LEFT_CENTER)
                    .desired_width(f32::INFINITY);
                if named(ui.add(field), "Name of this bench").changed() {
                    actions.push(Action::Rename(title));
                }
            });
        });
    }

    fn findings(&mut self, ui: &mut Ui) {
        ui.set_min_height(ui.available_height());
        ui.label(RichText::new("Findings").strong());
        let view = self.view;
        if view.benches.iter().all(|bench| bench.ran.is_none()) {
            ui.label(RichText::new("They follow when the first run is finished.").weak());
            return;
        }
        let units = self.preferences.units;
        let rows = kept(ui.ctx(), ("findings", P::ID), (view.key(), units as u8), || rows(&view.benches, units));
        findings_panel::table(ui, &rows, view.benches.len());
    }

    fn has_below(&self) -> bool {
        P::TIMING.is_some() || P::HAS_CHARTS
    }

    fn below(&mut self, ui: &mut Ui) {
        let (view, Some(timing)) = (self.view, P::TIMING) else { return self.charts(ui) };
        let tracks = view.tracks();
        let timeline = Timeline {
            tracks: &tracks,
            selected: view.selected,
            time: &view.time,
            speeds: &timing.speeds.map(|(_, name)| name),
            clock: timing.clock,
            end_s: view.end_s(),
            relative: String::new(),
            units: self.preferences.units,
        };
        let panels = kept(ui.ctx(), ("traces", P::ID), view.key(), || {
            let runs: Vec<_> = view.benches.iter().map(|bench| Some(&bench.ran.as_ref()?.run)).collect();
            P::traces(&runs)
        });
        timeline.show(ui, &panels, self.actions, |_, _| {});
    }

    fn drawings(&mut self, ui: &mut Ui) {
        stage::show(ui, self.view, self.preferences, self.actions);
    }
}

impl<P: Part> Page<'_, P> {
    fn charts(&mut self, ui: &mut Ui) {
        let benches = &self.view.benches;
        let revisions: Vec<_> = benches.iter().map(|bench| (bench.id, bench.revision, bench.answered)).collect();
        let columns = kept(ui.ctx(), ("charts", P::ID), revisions, || {
            let runs = benches.iter().map(|bench| bench.ran.as_ref().map(|ran| &ran.run));
            P::charts(&benches.iter().map(|bench| &bench.settings).zip(runs).collect::<Vec<_>>())
        });
        chart::show(ui, &columns, self.preferences.units, self.actions);
    }
}

fn rows<P: Part>(benches: &[Bench<P>], units: UnitSystem) -> Vec<Row> {
    let findings: Vec<_> = benches.iter().map(|bench| Some(P::findings(&bench.ran.as_ref()?.run))).collect();
    let Some(first) = findings.iter().flatten().next() else { return Vec::new() };
    let row = |(place, (label, quantity, _)): (usize, &(&'static str, _, _))| {
        let values: Vec<Option<f64>> = findings.iter().map(|found| found.as_ref()?.get(place)?.2).collect();
        Row::of_figures(label, *quantity, &values, units)
    };
    first.iter().enumerate().map(row).collect()
}
