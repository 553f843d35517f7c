//! For the customer: today against the proposal, large, in few words, on one stroke of the pedal in slow motion.

use super::Wish;
use super::answer::Answer;
use crate::app::bench_view;
use crate::app::paint::{Series, canvas, fitted_text, focus_ring, named};
use crate::app::playback::Playback;
use crate::app::preferences::{LabelDetail, Preferences};
use crate::app::section::{Brush, common_bounds, fit, is_empty, room};
use crate::app::theme::{Palette, bold, heavy};
use crate::app::worker::Outcome;
use crate::scene::{self, Scene};
use crate::units::Quantity;
use eframe::egui::accesskit::Role;
use eframe::egui::{Align2, Context, FontId, Key, Modifiers, Rect, RichText, Sense, Stroke, TextStyle, Ui, pos2, vec2};

/// Letters against the usual ones.
const LARGE: f32 = 1.7;
/// Seconds of the run in a second of the clock.
const PACE: f64 = 1.0 / 12.0;
/// A step of the keys, s.
const STEP_S: f64 = 0.01;
/// What is shown: shortly before the pedal moves and after, s.
const SPAN_S: (f64, f64) = (-0.08, 1.2);
const READ: usize = 320;

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
        self.controls(ui, time, wishes);
        let whole = ui.available_rect_before_wrap();
        let (above, below) = whole.split_top_bottom_at_y(whole.top() + 0.68 * whole.height());
        sections(ui, above, answer, time.cursor_s, preferences);
        self.trace(ui, below.with_min_y(below.top() + 6.0), answer, time.cursor_s, wishes);
        ui.advance_cursor_after_rect(whole);
    }

    fn controls(&self, ui: &mut Ui, time: &Playback, wishes: &mut Vec<Wish>) {
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
        });
    }

    /// One line a side: λ or torque.
    fn trace(&self, ui: &mut Ui, rect: Rect, answer: &Answer, cursor_s: f64, wishes: &mut Vec<Wish>) {
        let palette = Palette::of(ui.visuals());
        let font = TextStyle::Small.resolve(ui.style());
        let response = ui.allocate_rect(rect, Sense::click_and_drag());
        let painter = ui.painter_at(rect);
        let (from, to) = view_s(answer);
        let value = |outcome: &Outcome, at: f64| {
            let sample = outcome.run.trace.at(at);
            if self.torque { sample.torque_nm } else { sample.lambda }
        };
        let most = answer.sides.iter().flat_map(|(_, one)| one.run.trace.samples.iter().map(|sample| sample.torque_nm));
        let range = if self.torque { (0.0, 1.06 * most.fold(1.0, f64::max)) } else { (0.5, 1.7) };
        let plot = Rect::from_min_max(rect.min + vec2(4.0, font.size * 1.5), rect.max - vec2(font.size * 9.0, 2.0));
        let x = |at: f64| plot.left() + ((at - from) / (to - from)) as f32 * plot.width();
        let y = |value: f64| {
            let share = ((value - range.0) / (range.1 - range.0)).clamp(0.0, 1.0) as f32;
            plot.bottom() - share * plot.height()
        };
        painter.rect_stroke(plot, 0.0, Stroke::new(1.0, palette.hair), eframe::egui::StrokeKind::Inside);
        let name = if self.torque {
            "The engine's pull (torque)"
        } else {
            "Air against fuel (λ): above 1 too little fuel, below 1 more than enough"
        };
        let line = Rect::from_min_max(rect.min, pos2(rect.right(), plot.top()));
        fitted_text(&painter, line, Align2::LEFT_CENTER, name, FontId::new(font.size, bold()), palette.ink);
        if !self.torque {
            painter.hline(plot.x_range(), y(1.0), Stroke::new(1.0, palette.weak));
        }
        let mut heights: Vec<f32> = Vec::new();
        for (index, (side, outcome)) in answer.sides.iter().enumerate() {
            let series = Series::of(palette, index);
            let times = (0..=READ).map(|step| from + (to - from) * step as f64 / READ as f64);
            let points = times.map(|at| (at, value(outcome, at))).filter(|(_, v)| v.is_finite());
            let points = points.map(|(at, v)| pos2(x(at), y(v))).collect();
            painter.add(series.line(points, 2.6, ui.ctx().pixels_per_point()));
            let now = value(outcome, cursor_s);
            if now.is_finite() {
                series.marker(&painter, pos2(x(cursor_s), y(now)), 6.0, palette.ink);
            }
            let end = value(outcome, to);
            let wish = if end.is_finite() { y(end) } else { plot.top() };
            let taken = heights.iter().any(|other| (other - wish).abs() < font.size * 1.2);
            let place = if taken { (wish + font.size * 1.3).min(plot.bottom()) } else { wish };
            heights.push(place);
            let beside =
                Rect::from_min_max(pos2(plot.right() + 6.0, place - font.size), pos2(rect.right(), place + font.size));
            fitted_text(&painter, beside, Align2::LEFT_CENTER, side, font.clone(), series.colour);
        }
        painter.vline(x(cursor_s), plot.y_range(), Stroke::new(1.5, palette.accent));
        if let Some(place) = response.interact_pointer_pos() {
            let share = f64::from((place.x - plot.left()) / plot.width()).clamp(0.0, 1.0);
            wishes.push(Wish::Move(Move::To(from + share * (to - from))));
        }
        let quantity = if self.torque { Quantity::Torque } else { Quantity::Number };
        let at = answer
            .sides
            .iter()
            .map(|(side, one)| format!("{side} {}", quantity.show(value(one, cursor_s), crate::units::UnitSystem::Si)));
        let spoken = format!(
            "{name}, {:.2} s after the pedal began to move: {}",
            cursor_s - begin_s(answer),
            at.collect::<Vec<_>>().join(", ")
        );
        focus_ring(&painter, &response, palette);
        canvas(ui, &response, Role::Image, &spoken);
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
    for (index, ((side, outcome), scene)) in answer.sides.iter().zip(&drawn).enumerate() {
        let cell = Rect::from_min_size(area.min + vec2(index as f32 * width, 0.0), vec2(width - 12.0, area.height()));
        let mut child = ui.new_child(eframe::egui::UiBuilder::new().max_rect(cell).id_salt(("wall", index)));
        let series = Series::of(palette, index);
        child.horizontal(|ui| {
            let (mark, _) = ui.allocate_exact_size(vec2(font.size, font.size), Sense::hover());
            series.marker(ui.painter(), mark.center(), 6.0, palette.ink);
            ui.label(heavy(format!("{side}: {}", outcome.scenario.entry().name.to_lowercase())));
        });
        child.label(RichText::new(plain(outcome)).color(palette.ink));
        let below = cell.with_min_y(child.min_rect().bottom() + 4.0);
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
    format!("It {verdict}: it loses as much as {:.0} ms without any pull.", 1e3 * lost)
}
