//! Traces of a live block: every bench on one axis of time, the prediction over the run.

use super::Page;
use super::block::{Block, Deed};
use super::runner::Shown;
use crate::app::kept::kept;
use crate::app::paint::{MARKER_NAMES, Series, canvas, fitted_text, focus_ring};
use crate::app::polyline;
use crate::app::strips::Strips;
use crate::app::theme::bold;
use crate::app::time_axis::Axis;
use crate::content::claim_text::column;
use crate::engine::torque::{LEAN_LIMIT, RICH_LIMIT};
use crate::learning::figure::Column;
use crate::learning::live::{Live, Subject};
use crate::learning::prediction::{Prediction, Sketch};
use crate::units::Quantity;
use eframe::egui::accesskit::Role;
use eframe::egui::{Align2, FontId, Painter, Pos2, Rect, Response, Sense, Shape, Stroke, TextStyle, Ui, pos2, vec2};

/// Most traces of a block.
const MOST: usize = 3;
/// Temperatures that every soak shows on one trace.
const SOAK: [&str; 3] = ["bowl_k", "base_k", "manifold_k"];
/// What is shown where the lesson names nothing.
const USUAL: [&str; 2] = ["lambda", "torque_nm"];
/// Places at which a curve is read.
const READ: usize = 400;

/// One curve of a trace; a bench of another family may not have it.
struct Curve {
    id: String,
    label: &'static str,
    quantity: Quantity,
    columns: Vec<Option<Column>>,
}

/// One trace.
pub struct Panel {
    id: String,
    curves: Vec<Curve>,
}

/// A time as it is read: seconds, or minutes where a run takes long.
pub fn clock(time_s: f64, span_s: f64) -> String {
    if span_s > 300.0 { format!("{:.0} min", time_s / 60.0) } else { format!("{time_s:.2} s") }
}

/// Height of a value in a plot.
pub fn height_of(plot: Rect, range: (f64, f64), value: f64) -> f32 {
    polyline::height(plot, range, value)
}

fn curve(live: &Live, id: &str) -> Option<Curve> {
    let columns: Vec<Option<Column>> = live.benches.iter().map(|bench| column(&bench.subject, id)).collect();
    let first = columns.iter().flatten().next()?;
    Some(Curve { id: id.to_owned(), label: first.label(), quantity: first.quantity(), columns })
}

/// The traces of a block: what was drawn, then what the lesson wants looked at.
pub fn panels(live: &Live) -> Vec<Panel> {
    let mut panels = Vec::new();
    if live.benches.iter().any(|bench| matches!(bench.subject, Subject::Soak(_))) {
        // the fuel's own where many stand side by side: twelve lines on one trace tell nothing apart
        let count = if live.benches.len() > 2 { 1 } else { SOAK.len() };
        let curves = SOAK[..count].iter().filter_map(|id| curve(live, id)).collect();
        panels.push(Panel { id: "temperatures".to_owned(), curves });
    }
    let drawn = match &live.prediction {
        Prediction::Sketch(sketch) => Some(sketch.column.id()),
        Prediction::Choice { .. } => None,
    };
    let mut ids: Vec<&str> = drawn.into_iter().chain(live.look.iter().map(String::as_str)).collect();
    if panels.is_empty() && !ids.iter().any(|id| curve(live, id).is_some()) {
        ids.extend(USUAL);
    }
    for id in ids {
        let is_there = panels.iter().any(|panel: &Panel| panel.id == id || panel.curves.iter().any(|c| c.id == id));
        if panels.len() < MOST && !is_there {
            panels.extend(curve(live, id).map(|curve| Panel { id: id.to_owned(), curves: vec![curve] }));
        }
    }
    panels
}

/// Values at the ends of a trace's axis.
fn range(panel: &Panel, shown: &Shown, sketch: Option<&Sketch>) -> (f64, f64) {
    let quantity = panel.curves.first().map(|curve| curve.quantity);
    let floats = matches!(quantity, Some(Quantity::Temperature | Quantity::Pressure | Quantity::RotationalSpeed));
    let (mut least, mut most) = if floats { (f64::INFINITY, f64::NEG_INFINITY) } else { (0.0, 0.0) };
    if panel.id == "lambda" {
        (least, most) = (0.5, 1.7);
    } else {
        for curve in &panel.curves {
            for (column, seen) in curve.columns.iter().zip(&shown.seen) {
                let values = column.map_or_else(Vec::new, |column| column.values(seen).0);
                for value in values.into_iter().filter(|value| value.is_finite()) {
                    (least, most) = (least.min(value), most.max(value));
                }
            }
        }
    }
    if let Some(sketch) = sketch {
        (least, most) = (least.min(sketch.least), most.max(sketch.most));
    }
    if !(least.is_finite() && most.is_finite()) {
        return (0.0, 1.0);
    }
    let room = if floats { 0.06 * (most - least) } else { 0.0 };
    if most - least < 1e-12 { (least, least + 1.0) } else { (least - room, most + room) }
}

/// The prediction that was drawn on this trace.
fn drawn<'a>(live: &'a Live, panel: &Panel) -> Option<&'a Sketch> {
    match &live.prediction {
        Prediction::Sketch(sketch) if sketch.column.id() == panel.id => Some(sketch),
        _ => None,
    }
}

/// One trace.
pub fn show(
    ui: &mut Ui,
    page: &mut Page<'_>,
    live: &Live,
    block: &Block,
    shown: &Shown,
    (panel, view): (&Panel, (f64, f64)),
) {
    let palette = page.palette;
    let font = TextStyle::Small.resolve(ui.style());
    let names = font.size * 1.35 * panel.curves.len() as f32;
    let size = vec2(ui.available_width(), names + font.size * 6.2);
    let (rect, response) = ui.allocate_exact_size(size, Sense::click_and_drag());
    let axis = axis(rect, &font, view, block.cursor_s);
    let plot = Rect::from_min_max(pos2(axis.left, rect.top() + names), pos2(axis.right, rect.bottom()));
    let sketch = drawn(live, panel);
    let key = (block.key, block.answered);
    let range = *kept(ui.ctx(), ("lesson range", block.key, &panel.id), key, || range(panel, shown, sketch));
    let painter = ui.painter_at(rect);
    painter.rect_filled(plot, 0.0, palette.paper);
    if panel.id == "lambda" {
        limits(&painter, page, plot, range, &font);
    }
    let clipped = ui.painter_at(plot.intersect(ui.clip_rect()));
    for (rank, curve) in panel.curves.iter().enumerate().rev() {
        for (bench, column) in curve.columns.iter().enumerate() {
            let (Some(column), Some(seen)) = (column, shown.seen.get(bench)) else { continue };
            let name = ("lesson curve", block.key, &panel.id, rank, bench);
            let place = [plot.min.x, plot.min.y, plot.max.x, plot.max.y].map(f32::to_bits);
            let frame = [view.0, view.1, range.0, range.1].map(f64::to_bits);
            let points =
                kept(ui.ctx(), name, (key, place, frame), || points(&axis, plot, range, |time| column.at(seen, time)));
            let series = Series::of(palette, bench);
            let width = [2.0, 1.2, 0.8][rank.min(2)];
            clipped.add(series.line(points.to_vec(), width, ui.pixels_per_point()));
            if rank == 0 {
                let value = column.at(seen, block.cursor_s);
                series.marker(
                    &clipped,
                    pos2(axis.x(block.cursor_s), height_of(plot, range, value)),
                    3.6,
                    palette.paper,
                );
            }
        }
    }
    if sketch.is_some() {
        prediction(&clipped, page, block, &axis, (plot, range), &font);
    }
    axis.cursor_line(&painter, plot, palette);
    ends(&painter, page, panel, plot, range, &font);
    let spoken = heading(&painter, page, live, block, shown, panel, rect, &font);
    focus_ring(&painter, &response, palette);
    canvas(ui, &response, Role::Canvas, &spoken);
    interact(page, live, &axis, &response);
}

fn axis(rect: Rect, font: &FontId, view: (f64, f64), cursor: f64) -> Axis {
    let left = rect.left() + 2.0;
    Axis { left, right: (rect.right() - font.size * 5.6).max(left + 10.0), view, cursor }
}

fn points(axis: &Axis, plot: Rect, range: (f64, f64), value: impl Fn(f64) -> f64) -> Vec<Pos2> {
    let (from, to) = axis.view;
    (0..=READ)
        .map(|place| from + (to - from) * place as f64 / READ as f64)
        .map(|time| (time, value(time)))
        .filter(|(_, value)| value.is_finite())
        .map(|(time, value)| pos2(axis.x(time), height_of(plot, range, value)))
        .collect()
}

fn interact(page: &mut Page<'_>, live: &Live, axis: &Axis, response: &Response) {
    if let Some(at) = response.interact_pointer_pos().filter(|_| response.clicked() || response.dragged()) {
        response.request_focus();
        page.deeds.push((live.id.clone(), Deed::Seek(axis.time(at.x.clamp(axis.left, axis.right)))));
    }
    // the keys of time move the block whose trace has the keyboard
    if response.gained_focus() {
        page.active = Some(live.id.clone());
    }
}

fn limits(painter: &Painter, page: &Page<'_>, plot: Rect, range: (f64, f64), font: &FontId) {
    let palette = page.palette;
    let y = |value| height_of(plot, range, value).clamp(plot.top(), plot.bottom());
    let bands = [
        (plot.with_max_y(y(LEAN_LIMIT)), "too lean", Align2::RIGHT_TOP, palette.heat),
        (plot.with_min_y(y(RICH_LIMIT)), "too rich", Align2::RIGHT_BOTTOM, palette.fuel),
    ];
    for (band, word, anchor, colour) in bands {
        painter.rect_filled(band, 0.0, colour.gamma_multiply(0.12));
        fitted_text(painter, band.shrink2(vec2(4.0, 1.0)), anchor, word, font.clone(), colour);
    }
}

/// The drawn curve, dotted, with its name.
fn prediction(
    painter: &Painter,
    page: &Page<'_>,
    block: &Block,
    axis: &Axis,
    (plot, range): (Rect, (f64, f64)),
    font: &FontId,
) {
    let Some(sheet) = &block.sheet else { return };
    let place = |(time, value): (f64, f64)| pos2(axis.x(time), height_of(plot, range, value));
    let line: Vec<Pos2> = sheet.points().into_iter().map(place).collect();
    let mut dots = Strips::new(painter.ctx().pixels_per_point());
    dots.dashed(&line, Stroke::new(2.2, page.palette.accent), 2.5, 4.0);
    dots.paint(painter);
    if let Some(last) = line.last() {
        let y = if last.y < plot.top() + font.size * 1.6 { last.y + font.size * 1.3 } else { last.y - 3.0 };
        let at = pos2(last.x.min(plot.right()) - 4.0, y);
        painter.text(at, Align2::RIGHT_BOTTOM, "your curve", font.clone(), page.palette.accent);
    }
}

fn ends(painter: &Painter, page: &Page<'_>, panel: &Panel, plot: Rect, range: (f64, f64), font: &FontId) {
    let Some(curve) = panel.curves.first() else { return };
    let room = Rect::from_min_max(plot.right_top() + vec2(4.0, 0.0), pos2(painter.clip_rect().right(), plot.bottom()));
    for (anchor, value) in [(Align2::LEFT_TOP, range.1), (Align2::LEFT_BOTTOM, range.0)] {
        let text = curve.quantity.show(value, page.preferences.units);
        fitted_text(painter, room, anchor, &text, font.clone(), page.palette.weak);
    }
}

/// Names and values at the cursor above the plot; what stands there is also what is read out.
#[expect(clippy::too_many_arguments, reason = "one place paints and speaks, so that both say the same")]
fn heading(
    painter: &Painter,
    page: &Page<'_>,
    live: &Live,
    block: &Block,
    shown: &Shown,
    panel: &Panel,
    rect: Rect,
    font: &FontId,
) -> String {
    let palette = page.palette;
    let (from, to) = block.span_s();
    let mut spoken = format!("Trace at {}", clock(block.cursor_s, to - from));
    for (rank, curve) in panel.curves.iter().enumerate() {
        let row = font.size * 1.35;
        let line =
            Rect::from_min_size(pos2(rect.left() + 2.0, rect.top() + rank as f32 * row), vec2(rect.width(), row));
        let face = if rank == 0 { FontId::new(font.size, bold()) } else { font.clone() };
        let mut left = line.left() + fitted_text(painter, line, Align2::LEFT_CENTER, curve.label, face, palette.ink);
        spoken.push_str(&format!("; {}", curve.label));
        for (bench, column) in curve.columns.iter().enumerate() {
            let (Some(column), Some(seen)) = (column, shown.seen.get(bench)) else { continue };
            let value = curve.quantity.show(column.at(seen, block.cursor_s), page.preferences.units);
            let name = live.benches.get(bench).map_or("", |bench| bench.name.as_str());
            spoken.push_str(&format!(", {name} ({}): {value}", MARKER_NAMES[bench % 4]));
            left += font.size * 1.6;
            Series::of(palette, bench).marker(painter, pos2(left, line.center().y), 3.2, palette.ink);
            left += font.size * 0.6;
            let room = line.with_min_x(left.min(line.right()));
            left += fitted_text(painter, room, Align2::LEFT_CENTER, &value, font.clone(), palette.ink);
        }
    }
    spoken
}

/// Times under the traces, and the events above them.
pub fn ticks(ui: &mut Ui, page: &Page<'_>, block: &Block, view: (f64, f64)) {
    let font = TextStyle::Small.resolve(ui.style());
    let (rect, _) = ui.allocate_exact_size(vec2(ui.available_width(), font.size * 1.5), Sense::hover());
    let axis = axis(rect, &font, view, block.cursor_s);
    let painter = ui.painter_at(rect);
    let width = view.1 - view.0;
    let room = f64::from((axis.right - axis.left) / (font.size * 6.0)).max(1.0);
    let steps = [0.02, 0.05, 0.1, 0.2, 0.5, 1.0, 2.0, 60.0, 300.0, 600.0, 900.0, 1800.0, 3600.0];
    let step = steps.into_iter().find(|step| width / step <= room).unwrap_or(7200.0);
    let (first, last) = ((view.0 / step).ceil() as i64, (view.1 / step).floor() as i64);
    for tick in first..=last.min(first.saturating_add(60)) {
        let time = tick as f64 * step;
        let x = axis.x(time);
        painter.vline(x, rect.top()..=rect.top() + 3.0, Stroke::new(1.0, page.palette.weak));
        let anchor = if tick == first { Align2::LEFT_TOP } else { Align2::CENTER_TOP };
        painter.text(pos2(x, rect.top() + 3.0), anchor, clock(time, width), font.clone(), page.palette.weak);
    }
}

/// A row of flags: when something with a name happened on a bench.
pub fn flags(ui: &mut Ui, page: &mut Page<'_>, live: &Live, block: &Block, view: (f64, f64)) {
    let palette = page.palette;
    let font = TextStyle::Small.resolve(ui.style());
    let events = block.events();
    for (index, bench) in live.benches.iter().enumerate() {
        let size = vec2(ui.available_width(), font.size * 1.5);
        let (rect, response) = ui.allocate_exact_size(size, Sense::click());
        let axis = axis(rect, &font, view, block.cursor_s);
        let painter = ui.painter_at(rect);
        let series = Series::of(palette, index);
        let mut free = rect.left();
        let mine: Vec<_> = events.iter().filter(|event| event.1 == index && axis.shows(event.0)).collect();
        for (time, _, label) in &mine {
            let x = axis.x(*time);
            painter.vline(x, rect.y_range(), Stroke::new(1.2, series.colour));
            let flag = vec![pos2(x, rect.top() + 1.0), pos2(x + 6.0, rect.top() + 4.0), pos2(x, rect.top() + 7.0)];
            painter.add(Shape::convex_polygon(flag, series.colour, Stroke::NONE));
            let text = painter.layout_no_wrap((*label).to_owned(), font.clone(), palette.ink);
            let after = x + 9.0 + text.size().x;
            let next = mine.iter().map(|event| axis.x(event.0)).find(|other| *other > x + 0.5).unwrap_or(rect.right());
            // a name is left out where a flag or another name would cross it
            if x >= free && after < next && after < rect.right() {
                painter.galley(pos2(x + 9.0, rect.top()), text, palette.ink);
                free = after + 4.0;
            }
        }
        axis.cursor_line(&painter, rect, palette);
        let list = mine.iter().map(|event| format!("{} {}", clock(event.0, view.1 - view.0), event.2));
        let list = list.collect::<Vec<_>>().join("; ");
        focus_ring(&painter, &response, palette);
        canvas(ui, &response, Role::Canvas, &format!("Events, {}: {list}", bench.name));
        interact(page, live, &axis, &response);
        if !list.is_empty() {
            response.on_hover_text(list.replace("; ", "\n"));
        }
    }
}
