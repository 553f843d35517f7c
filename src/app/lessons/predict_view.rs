//! What is asked before the run may be seen: an answer to choose, or a curve to draw.

use super::block::{Block, Deed, Phase};
use super::plot::height_of;
use super::prose_view::paragraph;
use super::sheet::{PLACES, Sheet};
use super::{Page, measure};
use crate::app::paint::focus_ring;
use crate::app::theme::bold;
use crate::learning::live::Live;
use crate::learning::prediction::{Answer, Prediction, Sketch};
use eframe::egui::accesskit::Role;
use eframe::egui::{
    Align2, Button, EventFilter, Key, Modifiers, Rect, Response, RichText, Sense, Shape, Stroke, TextStyle, Ui,
    WidgetInfo, pos2, vec2,
};

/// The question with its answers, or what was answered.
pub fn show(ui: &mut Ui, page: &mut Page<'_>, live: &Live, block: &Block) {
    ui.scope(|ui| {
        ui.set_max_width(measure(ui));
        let question = RichText::new(live.prediction.ask()).family(bold());
        ui.label(question);
    });
    ui.add_space(2.0);
    if block.phase > Phase::Predict {
        answered(ui, page, live, block);
        return;
    }
    match &live.prediction {
        Prediction::Choice { options, .. } => choice(ui, page, live, block, options),
        Prediction::Sketch(sketch) => {
            if let Some(drawn) = &block.sheet {
                sheet(ui, page, live, sketch, drawn);
            }
        }
    }
    commit(ui, page, live, block);
}

fn choice(ui: &mut Ui, page: &mut Page<'_>, live: &Live, block: &Block, options: &[Answer]) {
    for (index, option) in options.iter().enumerate() {
        let radio = ui.radio(block.chosen == Some(index), &option.text);
        if index == 0 {
            page.arrive(&live.id, &radio);
        }
        if radio.clicked() {
            page.deeds.push((live.id.clone(), Deed::Choose(index)));
        }
    }
}

fn commit(ui: &mut Ui, page: &mut Page<'_>, live: &Live, block: &Block) {
    ui.add_space(4.0);
    ui.horizontal_wrapped(|ui| {
        let ready = block.can_commit();
        let button = Button::new(RichText::new("Stand by this prediction").family(bold()));
        if ui.add_enabled(ready, button).clicked() {
            page.deeds.push((live.id.clone(), Deed::Commit));
        }
        let hint = match (&live.prediction, ready) {
            (_, true) => "Then you see the run.",
            (Prediction::Choice { .. }, false) => "Choose an answer first; the run is shown after that.",
            (Prediction::Sketch(_), false) => "Draw a curve first; the run is shown after that.",
        };
        ui.label(RichText::new(hint).color(page.palette.weak));
    });
}

fn answered(ui: &mut Ui, page: &Page<'_>, live: &Live, block: &Block) {
    let text = match (&live.prediction, block.chosen) {
        (Prediction::Choice { options, .. }, Some(chosen)) => {
            let answer = options.get(chosen).map_or("", |option| option.text.as_str());
            format!("You predicted: {answer}.")
        }
        _ => "You drew a curve; it lies over the run, dotted.".to_owned(),
    };
    ui.label(RichText::new(text).color(page.palette.accent));
    ui.add_space(4.0);
}

/// The paper to draw on.
pub fn sheet(ui: &mut Ui, page: &mut Page<'_>, live: &Live, sketch: &Sketch, sheet: &Sheet) {
    let hint = "Draw with the mouse. With the keys: left and right choose a point, up and down move it (with Shift \
                further), Delete takes it away.";
    ui.scope(|ui| {
        ui.set_max_width(measure(ui));
        paragraph(ui, hint);
    });
    let text = ui.text_style_height(&TextStyle::Body);
    let size = vec2((text * 42.0).min(ui.available_width()), text * 14.0);
    let (rect, response) = ui.allocate_exact_size(size, Sense::click_and_drag());
    page.arrive(&live.id, &response);
    let font = TextStyle::Small.resolve(ui.style());
    let mut inner = rect.shrink2(vec2(font.size * 3.6, font.size * 1.8));
    let widest =
        values(page, sketch).map(|value| ui.painter().layout_no_wrap(value, font.clone(), page.palette.weak).size().x);
    inner.min.x = inner.min.x.max(rect.left() + widest.into_iter().fold(0.0, f32::max) + 8.0);
    let paper = Paper { plot: inner, sheet };
    draw(ui, page, live, &paper, &response);
    keys(ui, page, live, sheet, &response);
    paper.paint(ui, page, sketch, rect, &response);
    let spoken = spoken(page, sketch, sheet);
    response.widget_info(|| WidgetInfo::labeled(Role::Canvas, true, &spoken));
    ui.memory_mut(|memory| {
        let arrows = EventFilter { horizontal_arrows: true, vertical_arrows: true, ..Default::default() };
        memory.set_focus_lock_filter(response.id, arrows);
    });
    if ui.add_enabled(!sheet.is_empty(), Button::new("Empty the sheet")).clicked() {
        page.deeds.push((live.id.clone(), Deed::Wipe));
    }
}

/// The values at the top, in the middle and at the bottom of the paper.
fn values(page: &Page<'_>, sketch: &Sketch) -> [String; 3] {
    let show = |value| sketch.column.quantity().show(value, page.preferences.units);
    [sketch.most, 0.5 * (sketch.least + sketch.most), sketch.least].map(show)
}

fn spoken(page: &Page<'_>, sketch: &Sketch, sheet: &Sheet) -> String {
    let show = |value| sketch.column.quantity().show(value, page.preferences.units);
    let held = sheet.held();
    let state = if sheet.is_set(held) { "drawn" } else { "not drawn yet" };
    format!(
        "Sheet to draw {} on, from {} to {}; point {} of {PLACES}, at {:.2} s: {}, {state}",
        sketch.column.label(),
        show(sketch.least),
        show(sketch.most),
        held + 1,
        sheet.time(held),
        show(sheet.value(held)),
    )
}

/// Mouse: every place between the last position and this one is drawn.
fn draw(ui: &Ui, page: &mut Page<'_>, live: &Live, paper: &Paper<'_>, response: &Response) {
    let Some(at) = response.interact_pointer_pos().filter(|_| response.dragged() || response.clicked()) else { return };
    response.request_focus();
    let from = if response.drag_started() { at } else { at - ui.input(|input| input.pointer.delta()) };
    let (first, last) = (paper.sheet.place(paper.time(from.x)), paper.sheet.place(paper.time(at.x)));
    for place in first.min(last)..=first.max(last) {
        let x = paper.x(place);
        let share = if (at.x - from.x).abs() > 0.5 { ((x - from.x) / (at.x - from.x)).clamp(0.0, 1.0) } else { 1.0 };
        let value = paper.value(from.y + (at.y - from.y) * share);
        page.deeds.push((live.id.clone(), Deed::Draw(place, value)));
    }
}

fn keys(ui: &Ui, page: &mut Page<'_>, live: &Live, sheet: &Sheet, response: &Response) {
    if !response.has_focus() {
        return;
    }
    let held = sheet.held();
    let (least, most) = sheet.range();
    let pressed = |modifiers, key| ui.input_mut(|input| input.consume_key(modifiers, key));
    let mut push = |deed| page.deeds.push((live.id.clone(), deed));
    for (modifiers, part) in [(Modifiers::SHIFT, 10.0), (Modifiers::NONE, 40.0)] {
        let step = (most - least) / part;
        if pressed(modifiers, Key::ArrowUp) {
            push(Deed::Draw(held, sheet.value(held) + step));
        }
        if pressed(modifiers, Key::ArrowDown) {
            push(Deed::Draw(held, sheet.value(held) - step));
        }
    }
    if pressed(Modifiers::NONE, Key::ArrowLeft) {
        push(Deed::Hold(held.saturating_sub(1)));
    }
    if pressed(Modifiers::NONE, Key::ArrowRight) {
        push(Deed::Hold(held + 1));
    }
    if pressed(Modifiers::NONE, Key::Delete) || pressed(Modifiers::NONE, Key::Backspace) {
        push(Deed::Rub(held));
    }
}

struct Paper<'a> {
    plot: Rect,
    sheet: &'a Sheet,
}

impl Paper<'_> {
    fn x(&self, place: usize) -> f32 {
        self.plot.left() + self.plot.width() * place as f32 / (PLACES - 1) as f32
    }

    fn time(&self, x: f32) -> f64 {
        let (from, to) = self.sheet.span_s();
        from + (to - from) * f64::from((x - self.plot.left()) / self.plot.width().max(1.0))
    }

    fn value(&self, y: f32) -> f64 {
        let (least, most) = self.sheet.range();
        let share = (self.plot.bottom() - y) / self.plot.height().max(1.0);
        least + (most - least) * f64::from(share.clamp(0.0, 1.0))
    }

    fn paint(&self, ui: &Ui, page: &Page<'_>, sketch: &Sketch, rect: Rect, response: &Response) {
        let palette = page.palette;
        let painter = ui.painter_at(rect);
        let font = TextStyle::Small.resolve(ui.style());
        painter.rect(self.plot, 0.0, palette.paper, Stroke::new(1.0, palette.weak), eframe::egui::StrokeKind::Outside);
        for share in [0.25, 0.5, 0.75_f32] {
            let y = self.plot.top() + share * self.plot.height();
            painter.hline(self.plot.x_range(), y, Stroke::new(0.6, palette.hair));
        }
        let text = |at, anchor, text: String| painter.text(at, anchor, text, font.clone(), palette.weak);
        let beside = self.plot.left() - 5.0;
        let [most, middle, least] = values(page, sketch);
        text(pos2(beside, self.plot.top()), Align2::RIGHT_TOP, most);
        text(pos2(beside, self.plot.center().y), Align2::RIGHT_CENTER, middle);
        text(pos2(beside, self.plot.bottom()), Align2::RIGHT_BOTTOM, least);
        for (share, anchor) in [(0.0, Align2::LEFT_TOP), (0.5, Align2::CENTER_TOP), (1.0, Align2::RIGHT_TOP)] {
            let time = sketch.from_s + (sketch.to_s - sketch.from_s) * share;
            let x = self.plot.left() + self.plot.width() * share as f32;
            text(pos2(x, self.plot.bottom() + 3.0), anchor, super::plot::clock(time, sketch.to_s - sketch.from_s));
        }
        painter.text(
            self.plot.left_top() - vec2(0.0, 2.0),
            Align2::LEFT_BOTTOM,
            sketch.column.label(),
            font.clone(),
            palette.ink,
        );
        let y = |value| height_of(self.plot, self.sheet.range(), value);
        if !self.sheet.is_empty() {
            let points = (0..PLACES).map(|place| pos2(self.x(place), y(self.sheet.value(place)))).collect();
            painter.add(Shape::line(points, Stroke::new(2.5, palette.accent)));
        }
        for place in (0..PLACES).filter(|place| self.sheet.is_set(*place)) {
            painter.circle_filled(pos2(self.x(place), y(self.sheet.value(place))), 3.0, palette.accent);
        }
        if response.has_focus() {
            let held = self.sheet.held();
            let at = pos2(self.x(held), y(self.sheet.value(held)));
            painter.vline(at.x, self.plot.y_range(), Stroke::new(1.0, palette.accent));
            painter.circle(at, 6.0, palette.paper, Stroke::new(2.0, palette.ink));
        }
        focus_ring(&painter, response, palette);
    }
}
