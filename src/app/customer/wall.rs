//! For the customer: today against the proposal, large, in few words, on one stroke of the pedal in slow motion.

use super::answer::Answer;
use super::{Move, Wish, trace};
use crate::app::bench_view;
use crate::app::paint::{Series, canvas, focus_ring, named};
use crate::app::playback::Playback;
use crate::app::preferences::{LabelDetail, Preferences};
use crate::app::section::{Brush, common_bounds, fit, is_empty, room};
use crate::app::theme::{Palette, heavy};
use crate::app::worker::Outcome;
use crate::scene::{self, Scene};
use crate::units::{Quantity, UnitSystem};
use eframe::egui::accesskit::Role;
use eframe::egui::{Context, Key, Modifiers, Rect, RichText, Sense, TextStyle, Ui, vec2};

/// Letters against the usual ones.
const LARGE: f32 = 1.7;
/// Seconds of the run in a second of the clock.
const PACE: f64 = 1.0 / 12.0;
/// A step of the keys, s.
const STEP_S: f64 = 0.01;
/// What is shown: shortly before the pedal moves and after, s.
const SPAN_S: (f64, f64) = (-0.08, 1.2);

/// What is shown large.
#[derive(Debug, Default)]
pub struct Wall {
    time: Option<Playback>,
    /// Whether the trace shows torque, not λ.
    pub torque: bool,
}

fn begin_s(answer: &Answer) -> f64 {
    answer.sides.first().map_or(0.0, |(_, outcome)| outcome.scenario.pedal.begin_s)
}

fn view_s(answer: &Answer) -> (f64, f64) {
    let begin = begin_s(answer);
    ((begin + SPAN_S.0).max(0.0), begin + SPAN_S.1)
}

impl Wall {
    fn time(&mut self, answer: &Answer) -> &mut Playback {
        self.time.get_or_insert_with(|| Playback::new(view_s(answer), 0.05, 0))
    }

    /// Move time.
    pub fn go(&mut self, by: Move, answer: &Answer) {
        let (from, to) = view_s(answer);
        let time = self.time(answer);
        match by {
            Move::Toggle => time.playing = !time.playing,
            Move::By(steps) => {
                time.playing = false;
                time.cursor_s = (time.cursor_s + steps * STEP_S).clamp(from, to);
            }
            Move::To(at) => {
                time.playing = false;
                time.cursor_s = at.clamp(from, to);
            }
        }
    }

    /// Let time pass.
    pub fn pass(&mut self, ctx: &Context, reduced_motion: bool, answer: &Answer) {
        let end = view_s(answer).1;
        // stills where motion is reduced: as the pedal moves, and where something has happened
        let begin = begin_s(answer);
        let stills = [0.0, 0.1, 0.25, 0.5, 1.0].map(|after| begin + after).to_vec();
        self.time(answer).pass(ctx, reduced_motion, PACE, || stills.clone(), end);
    }

    /// The drawing.
    pub fn show(&self, ui: &mut Ui, answer: &Answer, preferences: &Preferences, wishes: &mut Vec<Wish>) {
        let factor = (LARGE / preferences.text_size).max(1.0);
        for font in ui.style_mut().text_styles.values_mut() {
            font.size *= factor;
        }
        if ui.input_mut(|input| input.consume_key(Modifiers::NONE, Key::Escape)) {
            wishes.push(Wish::Wall(false));
        }
        let Some(time) = &self.time else { return };
        ui.label(
            heavy(format!("The pedal goes to the floor, {}.", answer.phrase))
                .size(ui.text_style_height(&TextStyle::Heading)),
        );
        self.controls(ui, (time, begin_s(answer)), preferences.units, wishes);
        let whole = ui.available_rect_before_wrap();
        let (above, below) = whole.split_top_bottom_at_y(whole.top() + 0.68 * whole.height());
        sections(ui, above, answer, time.cursor_s, preferences);
        let shown = trace::Shown {
            torque: self.torque,
            cursor_s: time.cursor_s,
            begin_s: begin_s(answer),
            span_s: view_s(answer),
        };
        trace::show(ui, below.with_min_y(below.top() + 6.0), answer, shown, preferences, wishes);
        ui.advance_cursor_after_rect(whole);
    }

    fn controls(&self, ui: &mut Ui, (time, begin_s): (&Playback, f64), units: UnitSystem, wishes: &mut Vec<Wish>) {
        ui.horizontal_wrapped(|ui| {
            let label = if time.playing { "Pause" } else { "Play" };
            if ui.button(label).on_hover_text("Space").clicked() {
                wishes.push(Wish::Move(Move::Toggle));
            }
            for (label, spoken, by) in [("Step back", "A step back", -1.0), ("Step on", "A step on", 1.0)] {
                if named(ui.button(label), spoken).on_hover_text("Arrow keys").clicked() {
                    wishes.push(Wish::Move(Move::By(by)));
                }
            }
            for (torque, label) in [(false, "Mixture"), (true, "Pull")] {
                if ui.selectable_label(self.torque == torque, label).clicked() {
                    wishes.push(Wish::Torque(torque));
                }
            }
            if ui.button("Back to the counter").on_hover_text("Escape").clicked() {
                wishes.push(Wish::Wall(false));
            }
            let after = Quantity::ShortTime.show(time.cursor_s - begin_s, units);
            ui.label(format!("{:.0} times slower; {after} after the pedal", 1.0 / PACE));
        });
    }
}

/// Both sections at one scale, each with one sentence.
fn sections(ui: &mut Ui, area: Rect, answer: &Answer, cursor_s: f64, preferences: &Preferences) {
    let drawn: Vec<Scene> =
        answer.sides.iter().map(|(_, one)| scene::draw(&one.scenario, &one.run.trace.at(cursor_s))).collect();
    let scenes: Vec<&Scene> = drawn.iter().filter(|scene| !is_empty(scene)).collect();
    let Some(bounds) = common_bounds(scenes.iter().copied()) else { return };
    let palette = Palette::of(ui.visuals());
    let font = TextStyle::Small.resolve(ui.style());
    let width = area.width() / answer.sides.len().max(1) as f32;
    let mut cells = Vec::new();
    for (index, (side, outcome)) in answer.sides.iter().enumerate() {
        let cell = Rect::from_min_size(area.min + vec2(index as f32 * width, 0.0), vec2(width - 12.0, area.height()));
        let mut child = ui.new_child(eframe::egui::UiBuilder::new().max_rect(cell).id_salt(("wall", index)));
        let series = Series::of(palette, index);
        child.horizontal(|ui| {
            let (mark, _) = ui.allocate_exact_size(vec2(font.size, font.size), Sense::hover());
            series.marker(ui.painter(), mark.center(), 6.0, palette.ink);
            ui.label(heavy(format!("{side}: {}", outcome.scenario.entry().name.to_lowercase())));
        });
        child.label(RichText::new(plain(outcome)).color(palette.ink));
        cells.push((cell, child));
    }
    // the drawings begin at one height, however many lines stand above each
    let top = cells.iter().map(|(_, child)| child.min_rect().bottom()).fold(area.top(), f32::max) + 4.0;
    for (((cell, mut child), (side, outcome)), scene) in cells.into_iter().zip(&answer.sides).zip(&drawn) {
        let below = cell.with_min_y(top);
        let response = child.allocate_rect(below, Sense::click());
        let painter = child.painter_at(below);
        if !is_empty(scene) {
            let brush = Brush { painter: &painter, palette, font: font.clone(), labels: LabelDetail::Few, looked: &[] };
            let place = room(&brush, &scenes, bounds, below);
            bench_view::paint(&brush, scene, &fit(scene, bounds, place), below, outcome, cursor_s);
        }
        let sample = outcome.run.trace.at(cursor_s);
        let show = |quantity: Quantity, value| quantity.show(value, preferences.units);
        let spoken = format!(
            "Section, {side}, {}: secondary plates {}, λ {}, torque {}",
            outcome.scenario.entry().name,
            show(Quantity::Angle, sample.secondary_plate_rad),
            show(Quantity::Number, sample.lambda),
            show(Quantity::Torque, sample.torque_nm),
        );
        focus_ring(&painter, &response, palette);
        canvas(&child, &response, Role::Image, &spoken);
    }
}

/// One sentence without a word of the trade.
fn plain(outcome: &Outcome) -> String {
    let findings = &outcome.findings;
    let lost = findings.lost_s.unwrap_or(0.0);
    let verdict = findings.verdict.phrase();
    if lost < 0.001 {
        return format!("It {verdict}: nothing is lost to a wrong mixture.");
    }
    let lost = if lost < 1.0 { format!("{:.0} ms", 1e3 * lost) } else { format!("{lost:.1} s") };
    format!("It {verdict}: it loses as much as {lost} without any pull.")
}
