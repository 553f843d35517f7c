//! Outcomes × learners as a map, and what to teach again.

use super::class::Class;
use super::{View, Wish, beside, percent};
use crate::app::actions::Action;
use crate::app::paint::{fitted_text, focus_ring};
use crate::app::theme::{Palette, heavy};
use crate::content::map::cividis;
use crate::learning::outcomes::OUTCOMES;
use crate::learning::statistics::mastery::{Reteach, Share, WEAK};
use eframe::egui::accesskit::Role;
use eframe::egui::{
    Align2, CentralPanel, Color32, EventFilter, FontId, Key, Modifiers, Painter, Pos2, Rect, Response, RichText,
    ScrollArea, Sense, Stroke, StrokeKind, TextStyle, Ui, WidgetInfo, epaint::TextShape, pos2, vec2,
};

/// Beliefs that are named with an outcome.
const MOST_BELIEFS: usize = 3;

impl View {
    pub(super) fn outcomes(&mut self, ui: &mut Ui, class: &Class, wishes: &mut Vec<Wish>) {
        let map = ui.available_width() * 0.6;
        beside(ui, "desk reteach", 0.34, map).show(ui, |ui| {
            ScrollArea::vertical().id_salt("desk reteach").auto_shrink([false, false]).show(ui, |ui| {
                reteach(ui, class, wishes);
            });
        });
        CentralPanel::no_frame().show(ui, |ui| self.map(ui, class));
    }

    fn map(&mut self, ui: &mut Ui, class: &Class) {
        let numbers: Vec<usize> = class.mastery.class.keys().copied().collect();
        if numbers.is_empty() {
            ui.label("There is no answer yet to an item of an outcome.");
            return;
        }
        legend(ui);
        let text = ui.text_style_height(&TextStyle::Body);
        let small = TextStyle::Small.resolve(ui.style());
        // three lines below it for the words of a cell
        let height = (ui.available_height() - 3.4 * text).max(120.0);
        let left = (16.0 * text).min(ui.available_width() * 0.34);
        let top = 3.6 * text;
        let columns = class.learners.len() + 1;
        let cell = vec2(
            ((ui.available_width() - left - 6.0) / columns as f32).clamp(1.2 * small.size, 3.2 * text),
            ((height - top) / numbers.len() as f32).clamp(0.9 * text, 1.7 * text),
        );
        let size = vec2(left + cell.x * columns as f32 + 4.0, top + cell.y * numbers.len() as f32 + 4.0);
        let area = ScrollArea::both().id_salt("desk map").max_height(height).auto_shrink([false, true]);
        let looked_at = area
            .show(ui, |ui| {
                let (rect, response) = ui.allocate_exact_size(size, Sense::click());
                let grid = Grid { origin: rect.min + vec2(left, top), cell, columns, rows: numbers.len() };
                let before = self.cell;
                let at = self.point(ui, &response, &grid);
                if self.cell != before {
                    ui.scroll_to_rect(grid.rect(self.cell), None);
                }
                paint(ui, rect, &grid, class, &numbers, &small);
                if let Some(at) = at {
                    let palette = Palette::of(ui.visuals());
                    let cell = grid.rect(at);
                    ui.painter().rect_stroke(cell, 0.0, Stroke::new(4.0, palette.paper), StrokeKind::Middle);
                    ui.painter().rect_stroke(cell, 0.0, Stroke::new(2.0, palette.ink), StrokeKind::Middle);
                }
                focus_ring(ui.painter(), &response, Palette::of(ui.visuals()));
                let reading = at.map_or_else(|| HOW.to_owned(), |at| reading(class, &numbers, at, self.show_names));
                let spoken = format!("Outcomes and learners. {reading}");
                // no canvas of the time axis: all arrows are the map's own
                response.widget_info(|| WidgetInfo::labeled(Role::Image, true, spoken.clone()));
                let all = EventFilter { horizontal_arrows: true, vertical_arrows: true, ..EventFilter::default() };
                ui.memory_mut(|memory| memory.set_focus_lock_filter(response.id, all));
                reading
            })
            .inner;
        ui.label(looked_at);
    }

    /// The cell that is looked at: where the pointer is, else where the keys stand.
    fn point(&mut self, ui: &Ui, response: &Response, grid: &Grid) -> Option<(usize, usize)> {
        let hovered = response.hover_pos().and_then(|at| grid.at(at));
        if response.clicked() {
            response.request_focus();
            self.cell = hovered.unwrap_or(self.cell);
        }
        if !response.has_focus() {
            return hovered;
        }
        let pressed = |key| ui.input_mut(|input| input.consume_key(Modifiers::NONE, key));
        let (row, column) = &mut self.cell;
        *row = (*row + usize::from(pressed(Key::ArrowDown))).saturating_sub(usize::from(pressed(Key::ArrowUp)));
        *column =
            (*column + usize::from(pressed(Key::ArrowRight))).saturating_sub(usize::from(pressed(Key::ArrowLeft)));
        *row = (*row).min(grid.rows.saturating_sub(1));
        *column = (*column).min(grid.columns.saturating_sub(1));
        let moved = ui.input(|input| input.pointer.delta() != eframe::egui::Vec2::ZERO);
        if moved { hovered.or(Some(self.cell)) } else { Some(self.cell) }
    }
}

const HOW: &str =
    "Point at a field, or go to the map with Tab and move with the arrows. The first column is the class.";

struct Grid {
    origin: Pos2,
    cell: eframe::egui::Vec2,
    columns: usize,
    rows: usize,
}

impl Grid {
    fn rect(&self, (row, column): (usize, usize)) -> Rect {
        let corner = self.origin + vec2(column as f32 * self.cell.x, row as f32 * self.cell.y);
        Rect::from_min_size(corner, self.cell)
    }

    fn at(&self, place: Pos2) -> Option<(usize, usize)> {
        let way = place - self.origin;
        if way.x < 0.0 || way.y < 0.0 {
            return None;
        }
        let (row, column) = ((way.y / self.cell.y) as usize, (way.x / self.cell.x) as usize);
        (row < self.rows && column < self.columns).then_some((row, column))
    }
}

/// The share of a field; the first column is the class.
fn share(class: &Class, number: usize, column: usize) -> Option<Share> {
    match column.checked_sub(1) {
        None => class.mastery.class.get(&number).copied(),
        Some(place) => class.mastery.cells.get(&(number, class.learners.get(place)?.code.clone())).copied(),
    }
}

fn outcome_text(number: usize) -> &'static str {
    OUTCOMES.iter().find(|outcome| outcome.number == number).map_or("", |outcome| outcome.text)
}

fn reading(class: &Class, numbers: &[usize], (row, column): (usize, usize), names: bool) -> String {
    let Some(number) = numbers.get(row) else { return String::new() };
    let who = match column.checked_sub(1).and_then(|place| class.learners.get(place)) {
        None => "The class".to_owned(),
        Some(learner) => {
            let name = learner.name.as_ref().filter(|_| names);
            name.map_or_else(|| learner.code.to_string(), |name| format!("{} {name}", learner.code))
        }
    };
    let told = match share(class, *number, column) {
        Some(share) => {
            let value = share.value().map_or_else(String::new, percent);
            format!("{value} right, {} of {} items", share.right, share.n)
        }
        None => "not asked yet".to_owned(),
    };
    let items = if column == 0 { told.replace(" items", " last answers") } else { told };
    format!("{who}: {items}. Outcome {number}: {}.", outcome_text(*number))
}

fn colour(value: f64) -> Color32 {
    let [red, green, blue] = cividis::colour(value);
    Color32::from_rgb(red, green, blue)
}

/// Figures on the dark half of the scale are light.
fn over(value: f64) -> Color32 {
    if value < 0.55 { Color32::WHITE } else { Color32::BLACK }
}

fn paint(ui: &Ui, rect: Rect, grid: &Grid, class: &Class, numbers: &[usize], font: &FontId) {
    let palette = Palette::of(ui.visuals());
    let painter = ui.painter();
    let wide_enough = grid.cell.x >= 2.0 * font.size && grid.cell.y >= font.size;
    for (row, number) in numbers.iter().enumerate() {
        let y = grid.rect((row, 0));
        let label = Rect::from_min_max(pos2(rect.left(), y.top()), pos2(grid.origin.x - 6.0, y.bottom()));
        let text = format!("{number}. {}", outcome_text(*number));
        fitted_text(painter, label, Align2::LEFT_CENTER, &text, font.clone(), palette.ink);
        for column in 0..grid.columns {
            let field = grid.rect((row, column)).shrink(0.5);
            match share(class, *number, column).and_then(Share::value) {
                Some(value) => {
                    painter.rect_filled(field, 0.0, colour(value));
                    if wide_enough {
                        let figure = format!("{:.0}", 100.0 * value);
                        painter.text(field.center(), Align2::CENTER_CENTER, figure, font.clone(), over(value));
                    }
                }
                None => unasked(painter, field, palette),
            }
        }
    }
    for column in 0..grid.columns {
        let at = grid.rect((0, column));
        let name = column.checked_sub(1).and_then(|place| class.learners.get(place));
        let name = name.map_or_else(|| "class".to_owned(), |learner| learner.code.to_string());
        let galley = painter.layout_no_wrap(name, font.clone(), palette.ink);
        let place = pos2(at.center().x - galley.size().y / 2.0, at.top() - 4.0);
        painter.add(TextShape::new(place, galley, palette.ink).with_angle(-std::f32::consts::FRAC_PI_2));
    }
    let edge = grid.rect((0, 1)).left();
    let below = grid.rect((numbers.len().saturating_sub(1), 0)).bottom();
    painter.vline(edge, grid.origin.y..=below, Stroke::new(2.0, palette.ink));
}

/// A slanted line where nobody was asked.
fn unasked(painter: &Painter, field: Rect, palette: &Palette) {
    painter.line_segment([field.left_bottom(), field.right_top()], Stroke::new(1.0, palette.weak));
}

fn legend(ui: &mut Ui) {
    let palette = Palette::of(ui.visuals());
    ui.horizontal_wrapped(|ui| {
        ui.label("Share of items whose last answer is right:");
        let text = ui.text_style_height(&TextStyle::Body);
        let font = TextStyle::Small.resolve(ui.style());
        for step in 0..=4 {
            let value = f64::from(step) / 4.0;
            let (rect, _) = ui.allocate_exact_size(vec2(3.2 * text, 1.2 * text), Sense::hover());
            ui.painter().rect_filled(rect, 0.0, colour(value));
            ui.painter().text(rect.center(), Align2::CENTER_CENTER, percent(value), font.clone(), over(value));
        }
        // the sign stays with its word where the row breaks
        ui.horizontal(|ui| {
            let (rect, _) = ui.allocate_exact_size(vec2(1.6 * text, 1.2 * text), Sense::hover());
            unasked(ui.painter(), rect, palette);
            ui.label("not asked");
        });
    });
}

fn reteach(ui: &mut Ui, class: &Class, wishes: &mut Vec<Wish>) {
    ui.label(RichText::new("What to teach again").heading());
    ui.weak(format!(
        "Outcomes that may stand below {}, judged by the last answer to each item; the range is where the true share lies \
         with 95 % confidence.",
        percent(WEAK)
    ));
    if class.reteach.is_empty() {
        ui.label("Nothing stands out.");
    }
    for weak in &class.reteach {
        ui.add_space(8.0);
        ui.label(heavy(format!("{}. {}", weak.outcome, outcome_text(weak.outcome))));
        ui.label(in_words(weak));
        if let Some((stem, title)) = class.lessons.get(&weak.outcome)
            && ui.link(format!("Lesson: {title}")).clicked()
        {
            wishes.push(Wish::App(Action::ReadLesson(stem.clone())));
        }
    }
    let unknown = class.mastery.unknown_items.len();
    if unknown > 0 {
        ui.add_space(8.0);
        ui.weak(format!("{unknown} answered items belong to no outcome of this course and count nowhere here."));
    }
}

fn in_words(weak: &Reteach) -> String {
    let value = weak.share.value().unwrap_or(0.0);
    let (low, high) = weak.interval;
    let sure = if weak.sure { "It is weak." } else { "It may be weak; more answers would tell." };
    let share = format!(
        "{} of {} right, {} ({} to {}). {sure}",
        weak.share.right,
        weak.share.n,
        percent(value),
        percent(low),
        percent(high)
    );
    let beliefs: Vec<String> =
        weak.misconceptions.iter().take(MOST_BELIEFS).map(|(belief, count)| format!("“{belief}” ({count})")).collect();
    if beliefs.is_empty() { share } else { format!("{share} Believed: {}.", beliefs.join(", ")) }
}
