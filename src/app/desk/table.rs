//! A table that is sorted by its heads, with rows to choose: by pointer, and by Tab, arrows and Enter.

use crate::app::paint::{fitted_text, focus_ring, named};
use crate::app::theme::{Palette, bold};
use eframe::egui::accesskit::Role;
use eframe::egui::{
    Align, Align2, Button, Layout, Rect, RichText, ScrollArea, Sense, Stroke, TextStyle, Ui, UiBuilder, Vec2,
    WidgetInfo, pos2, vec2,
};

/// Room for a scroll bar beside the rows.
const BAR: f32 = 14.0;

/// A column.
#[derive(Debug, Clone, Copy)]
pub struct Column {
    /// Its head.
    pub head: &'static str,
    /// What it tells.
    pub help: &'static str,
    /// Its width, in heights of the text.
    pub width: f32,
    /// Whether figures stand in it, at the right.
    pub figures: bool,
}

/// By which column, and whether the greatest comes first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Sort {
    /// Column.
    pub column: usize,
    /// Greatest first.
    pub falling: bool,
}

/// What a cell is sorted by.
#[derive(Debug, Clone, PartialEq, PartialOrd)]
pub enum Key {
    /// A figure; what is not there comes last.
    Figure(Option<f64>),
    /// A text.
    Text(String),
}

/// A cell.
#[derive(Debug, Clone)]
pub struct Cell {
    /// As shown.
    pub text: String,
    /// As sorted.
    pub key: Key,
}

impl Cell {
    /// A text.
    pub fn text(text: impl Into<String>) -> Self {
        let text = text.into();
        Self { key: Key::Text(text.to_lowercase()), text }
    }

    /// A figure as shown.
    pub fn figure(text: impl Into<String>, value: Option<f64>) -> Self {
        Self { text: text.into(), key: Key::Figure(value) }
    }
}

/// Rows, each with a cell a column, in the order of a sort; those without a value stay at the end.
pub fn sorted<T>(mut rows: Vec<(T, Vec<Cell>)>, sort: Sort) -> Vec<(T, Vec<Cell>)> {
    let missing =
        |cells: &[Cell]| matches!(cells.get(sort.column).map(|cell| &cell.key), Some(Key::Figure(None)) | None);
    rows.sort_by(|(_, a), (_, b)| {
        let order = match (a.get(sort.column), b.get(sort.column)) {
            (Some(a), Some(b)) => a.key.partial_cmp(&b.key).unwrap_or(std::cmp::Ordering::Equal),
            _ => std::cmp::Ordering::Equal,
        };
        missing(a).cmp(&missing(b)).then(if sort.falling { order.reverse() } else { order })
    });
    rows
}

/// Width of a table with these columns.
pub fn width(ui: &Ui, columns: &[Column]) -> f32 {
    let text = ui.text_style_height(&TextStyle::Body);
    columns.iter().map(|column| column.width * text).sum::<f32>() + BAR
}

/// The table; gives the row that was chosen.
pub fn show<T>(
    ui: &mut Ui,
    name: &str,
    columns: &[Column],
    rows: &[(T, Vec<Cell>)],
    (sort, chosen): (&mut Sort, Option<usize>),
) -> Option<usize> {
    let text = ui.text_style_height(&TextStyle::Body);
    // the last column takes what is left
    let spare = (ui.available_width() - width(ui, columns)).max(0.0);
    let last = columns.len().saturating_sub(1);
    let widths: Vec<f32> = columns
        .iter()
        .enumerate()
        .map(|(place, column)| column.width * text + if place == last { spare } else { 0.0 })
        .collect();
    let total: f32 = widths.iter().sum();
    let mut found = None;
    ScrollArea::horizontal().id_salt((name, "across")).auto_shrink([false, false]).show(ui, |ui| {
        heads(ui, columns, &widths, sort);
        ScrollArea::vertical().id_salt((name, "rows")).auto_shrink([false, false]).show(ui, |ui| {
            ui.spacing_mut().item_spacing = Vec2::ZERO;
            for (place, (_, cells)) in rows.iter().enumerate() {
                let (rect, response) = ui.allocate_exact_size(vec2(total, 1.55 * text), Sense::click());
                let is_chosen = chosen == Some(place);
                let spoken = spoken(columns, cells);
                response.widget_info(|| WidgetInfo::selected(Role::Button, true, is_chosen, &spoken));
                if response.gained_focus() {
                    response.scroll_to_me(None);
                }
                if response.clicked() {
                    found = Some(place);
                }
                if ui.is_rect_visible(rect) {
                    paint(ui, rect, columns, &widths, cells, is_chosen);
                    if response.hovered() {
                        let weak = Palette::of(ui.visuals()).weak;
                        ui.painter().hline(rect.x_range(), rect.bottom() - 1.0, Stroke::new(1.0, weak));
                    }
                    focus_ring(ui.painter(), &response, Palette::of(ui.visuals()));
                }
            }
        });
    });
    found
}

fn heads(ui: &mut Ui, columns: &[Column], widths: &[f32], sort: &mut Sort) {
    let text = ui.text_style_height(&TextStyle::Body);
    let (row, _) = ui.allocate_exact_size(vec2(widths.iter().sum(), 1.7 * text), Sense::hover());
    let mut left = row.left();
    for (place, (column, width)) in columns.iter().zip(widths).enumerate() {
        let rect = Rect::from_min_size(pos2(left, row.top()), vec2(*width - 4.0, row.height()));
        left += width;
        let sign = match (sort.column == place, sort.falling) {
            (false, _) => "",
            (true, true) => " ↓",
            (true, false) => " ↑",
        };
        let label = RichText::new(format!("{}{sign}", column.head)).family(bold());
        let layout = match column.figures {
            true => Layout::right_to_left(Align::Center),
            false => Layout::left_to_right(Align::Center),
        };
        let place_of_head = UiBuilder::new().max_rect(rect.shrink2(vec2(4.0, 0.0))).layout(layout);
        let button = Button::new(label).frame(false).truncate();
        let head = ui.scope_builder(place_of_head, |ui| ui.add(button)).inner.on_hover_text(column.help);
        let state = match (sort.column == place, sort.falling) {
            (false, _) => "",
            (true, true) => ", greatest first",
            (true, false) => ", least first",
        };
        if named(head, &format!("Sort by {}{state}", column.head)).clicked() {
            let falling = if sort.column == place { !sort.falling } else { column.figures };
            *sort = Sort { column: place, falling };
        }
    }
    let hair = Palette::of(ui.visuals()).weak;
    ui.painter().hline(row.x_range(), row.bottom(), Stroke::new(1.0, hair));
}

fn spoken(columns: &[Column], cells: &[Cell]) -> String {
    let one = |(column, cell): (&Column, &Cell)| format!("{}: {}", column.head, cell.text);
    columns.iter().zip(cells).filter(|(_, cell)| !cell.text.is_empty()).map(one).collect::<Vec<_>>().join("; ")
}

fn paint(ui: &Ui, row: Rect, columns: &[Column], widths: &[f32], cells: &[Cell], chosen: bool) {
    let palette = Palette::of(ui.visuals());
    let font = TextStyle::Body.resolve(ui.style());
    if chosen {
        ui.painter().rect_filled(row, 2.0, palette.accent);
    }
    let colour = if chosen { palette.paper } else { palette.ink };
    let mut left = row.left();
    for ((column, width), cell) in columns.iter().zip(widths).zip(cells) {
        let rect = Rect::from_min_size(pos2(left + 4.0, row.top()), vec2(*width - 12.0, row.height()));
        left += width;
        let anchor = if column.figures { Align2::RIGHT_CENTER } else { Align2::LEFT_CENTER };
        fitted_text(ui.painter(), rect, anchor, &cell.text, font.clone(), colour);
    }
}
