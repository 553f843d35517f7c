//! Time ↔ place on the screen, for flags, traces and ticks alike.

use super::actions::Action;
use super::playback::Playback;
use super::theme::Palette;
use super::track::Clock;
use eframe::egui::{self, Align2, Painter, Rect, Response, Sense, Stroke, TextStyle, Ui, pos2, vec2};

/// Time ↔ place on the screen.
pub struct Axis {
    /// Left end of the axis.
    pub left: f32,
    /// Right end of the axis.
    pub right: f32,
    /// Times at the ends, s.
    pub view: (f64, f64),
    /// Time of the cursor, s.
    pub cursor: f64,
}

impl Axis {
    /// The axis between its gutter, which grows with the benches, and room for the ends of the traces' scales.
    pub fn new(ui: &Ui, benches: usize, time: &Playback) -> Self {
        let area = ui.available_rect_before_wrap();
        let font = ui.text_style_height(&TextStyle::Small);
        let columns = benches.max(2) as f32;
        let gutter = (font * (9.0 + 5.0 * columns)).min(area.width() * 0.44);
        Self {
            left: area.left() + gutter,
            right: area.right() - scale_width(font),
            view: time.view_s,
            cursor: time.cursor_s,
        }
    }

    /// Place of a time.
    pub fn x(&self, time: f64) -> f32 {
        let share = (time - self.view.0) / (self.view.1 - self.view.0);
        self.left + share as f32 * (self.right - self.left)
    }

    /// Time of a place.
    pub fn time(&self, x: f32) -> f64 {
        let share = f64::from((x - self.left) / (self.right - self.left).max(1.0));
        self.view.0 + share * (self.view.1 - self.view.0)
    }

    /// Whether a time is on the axis.
    pub fn shows(&self, time: f64) -> bool {
        (self.view.0..=self.view.1).contains(&time)
    }

    /// The cursor over one trace or row of flags.
    pub fn cursor_line(&self, painter: &Painter, rect: Rect, palette: &Palette) {
        if self.shows(self.cursor) {
            painter.vline(self.x(self.cursor), rect.y_range(), Stroke::new(1.5, palette.accent));
        }
    }

    /// Scrub by click and drag, zoom by wheel and pinch, move by keys.
    pub fn interact(&self, ui: &Ui, response: &Response, actions: &mut Vec<Action>) {
        if let Some(at) = response.interact_pointer_pos()
            && (response.clicked() || response.dragged())
        {
            actions.push(Action::Seek(self.time(at.x.clamp(self.left, self.right))));
        }
        if let Some(at) = response.hover_pos().filter(|at| at.x >= self.left) {
            let (wheel, pinch) = ui.input(|input| (input.smooth_scroll_delta, input.zoom_delta()));
            let factor = f64::from(pinch) * f64::from(wheel.y * 0.004).exp();
            if (factor - 1.0).abs() > 1e-4 {
                actions.push(Action::Zoom(self.time(at.x), factor));
                ui.input_mut(|input| input.smooth_scroll_delta.y = 0.0);
            }
            if wheel.x.abs() > 0.1 {
                actions.push(Action::Pan(self.time(at.x - wheel.x) - self.time(at.x)));
            }
        }
    }
}

/// Room for figures at the right of the traces, by the height of their text.
pub fn scale_width(text_height: f32) -> f32 {
    text_height * 4.2
}

/// Times under the traces.
pub fn ticks(ui: &mut Ui, axis: &Axis, clock: Clock) {
    let palette = Palette::of(ui.visuals());
    let font = TextStyle::Small.resolve(ui.style());
    let (rect, _) = ui.allocate_exact_size(vec2(ui.available_width(), font.size * 1.3), Sense::hover());
    let painter = ui.painter_at(rect);
    let width = axis.view.1 - axis.view.0;
    let room = f64::from((axis.right - axis.left) / (font.size * 6.0)).max(1.0);
    let steps = clock.steps();
    let step = steps.iter().copied().find(|step| width / step <= room).unwrap_or(steps[steps.len() - 1]);
    let first = (axis.view.0 / step).ceil() as i64;
    let last = (axis.view.1 / step).floor() as i64;
    for tick in first..=last.min(first + 100) {
        let time = tick as f64 * step;
        let x = axis.x(time);
        painter.vline(x, egui::Rangef::new(rect.top(), rect.top() + 3.0), Stroke::new(1.0, palette.weak));
        painter.text(pos2(x, rect.top() + 3.0), Align2::CENTER_TOP, clock.tick(time, step), font.clone(), palette.weak);
    }
}
