//! The way of a search as small charts: a dot a run, and the line of the best so far.

use super::paint::fitted_text;
use super::theme::{Palette, bold};
use eframe::egui::accesskit::Role;
use eframe::egui::{Align2, FontId, Painter, Rect, Sense, Shape, Stroke, TextStyle, Ui, WidgetInfo, pos2, vec2};

/// A line across a chart with a word on it.
pub struct Mark {
    /// Where.
    pub at: f64,
    /// What it means.
    pub word: &'static str,
}

/// One chart: something against the number of the run.
pub struct Chart {
    /// What is drawn.
    pub title: String,
    /// A value a run; `None` leaves a gap.
    pub dots: Vec<Option<f64>>,
    /// The best so far: run, counted from 1, and its value.
    pub best: Vec<(usize, f64)>,
    /// Lower and upper end of the scale.
    pub range: (f64, f64),
    /// Line across.
    pub mark: Option<Mark>,
    /// A value as text.
    pub shown: Box<dyn Fn(f64) -> String>,
}

impl Chart {
    /// Paint it in a place of this size, and tell what it shows to those who listen.
    pub fn show(&self, ui: &mut Ui, size: eframe::egui::Vec2) {
        let (rect, response) = ui.allocate_exact_size(size, Sense::hover());
        response.widget_info(|| WidgetInfo::labeled(Role::Image, true, self.spoken()));
        if ui.is_rect_visible(rect) {
            self.paint(ui, rect);
        }
    }

    fn spoken(&self) -> String {
        let (Some(first), Some(last)) = (self.best.first(), self.best.last()) else { return self.title.clone() };
        let (from, to) = ((self.shown)(first.1), (self.shown)(last.1));
        format!(
            "{}: {} runs, best so far from {from} at the start to {to} at run {}",
            self.title,
            self.dots.len(),
            last.0
        )
    }

    fn paint(&self, ui: &Ui, rect: Rect) {
        let palette = Palette::of(ui.visuals());
        let painter = ui.painter_at(rect);
        let small = TextStyle::Small.resolve(ui.style());
        let line = ui.text_style_height(&TextStyle::Small);
        let end = self.best.last().map_or(String::new(), |last| (self.shown)(last.1));
        let head = Rect::from_min_size(rect.min, vec2(rect.width(), line));
        let strong = FontId::new(small.size, bold());
        let used = fitted_text(&painter, head, Align2::RIGHT_TOP, &end, strong, palette.accent);
        let title = Rect::from_min_max(head.min, pos2(head.max.x - used - 6.0, head.max.y));
        fitted_text(&painter, title, Align2::LEFT_TOP, &self.title, small.clone(), palette.ink);
        let plot = Rect::from_min_max(rect.min + vec2(1.0, line + 4.0), rect.max - vec2(1.0, line + 2.0));
        painter.rect_stroke(plot, 0.0, Stroke::new(1.0, palette.hair), eframe::egui::StrokeKind::Inside);
        self.curves(&painter, plot, palette, &small);
        let feet = Rect::from_min_max(pos2(rect.min.x, plot.max.y + 2.0), rect.max);
        let count = format!("run {}", self.dots.len().max(1));
        fitted_text(&painter, feet, Align2::LEFT_TOP, "run 1", small.clone(), palette.weak);
        fitted_text(&painter, feet, Align2::RIGHT_TOP, &count, small, palette.weak);
    }

    fn curves(&self, painter: &Painter, plot: Rect, palette: &Palette, small: &FontId) {
        let last = self.dots.len().max(2) as f32 - 1.0;
        let x = |run: usize| plot.left() + 3.0 + (run as f32 - 1.0) / last * (plot.width() - 6.0);
        let span = (self.range.1 - self.range.0).max(1e-12);
        let y = |value: f64| {
            let share = ((value - self.range.0) / span).clamp(0.0, 1.0) as f32;
            plot.bottom() - 3.0 - share * (plot.height() - 6.0)
        };
        if let Some(mark) = &self.mark {
            let at = y(mark.at);
            let stroke = Stroke::new(1.0, palette.weak);
            painter.add(Shape::dashed_line(&[pos2(plot.left(), at), pos2(plot.right(), at)], stroke, 5.0, 4.0));
            painter.text(
                pos2(plot.right() - 4.0, at - 1.0),
                Align2::RIGHT_BOTTOM,
                mark.word,
                small.clone(),
                palette.weak,
            );
        }
        for (index, value) in self.dots.iter().enumerate() {
            // a run off the scale is left out: at the edge it would look like one that belongs there
            if let Some(value) = value.filter(|value| (self.range.0..=self.range.1).contains(value)) {
                painter.circle_filled(pos2(x(index + 1), y(value)), 1.4, palette.weak);
            }
        }
        // a step for each improvement, then level to the end
        let mut points = Vec::new();
        for (run, value) in &self.best {
            if let Some(before) = points.last().copied() {
                let before: eframe::egui::Pos2 = before;
                points.push(pos2(x(*run), before.y));
            }
            points.push(pos2(x(*run), y(*value)));
        }
        if let Some(before) = points.last().copied() {
            painter.circle_filled(before, 3.2, palette.accent);
            points.push(pos2(plot.right() - 3.0, before.y));
        }
        painter.add(Shape::line(points, Stroke::new(2.0, palette.accent)));
        if let Some(mark) = &self.mark {
            let word = painter.layout_no_wrap(mark.word.to_owned(), small.clone(), palette.ink);
            let place = Align2::RIGHT_BOTTOM.anchor_size(pos2(plot.right() - 4.0, y(mark.at) - 2.0), word.size());
            painter.rect_filled(place.expand2(vec2(3.0, 0.0)), 2.0, palette.paper.gamma_multiply(0.9));
            painter.galley(place.min, word, palette.ink);
        }
    }
}
