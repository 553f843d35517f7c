//! Pointing at a part of the section: with the mouse, with the arrows, or in a list.

use super::page::{Arrive, Page};
use super::question::{Deed, Question, Work};
use crate::app::bench_view;
use crate::app::paint::{Fit, focus_ring};
use crate::app::preferences::LabelDetail;
use crate::app::section::{Brush, is_empty};
use crate::app::worker::Outcome;
use crate::learning::quiz::item::Kind;
use crate::learning::quiz::response::Response;
use crate::scene::parts::Part;
use crate::scene::{self, Scene};
use eframe::egui::accesskit::Role;
use eframe::egui::{
    Align2, Color32, EventFilter, Key, Label, Modifiers, Painter, Pos2, Rect, RichText, Sense, Stroke, TextStyle, Ui,
    WidgetInfo, pos2, vec2,
};

/// How near a pointer must come to a part, in heights of the text.
const REACH: f32 = 2.5;

/// The section at the time that the item says.
fn section(question: &Question) -> Option<(&Outcome, f64, Scene)> {
    let outcome = question.shown()?.outcomes.first()?.as_ref()?;
    let time_s = outcome.scenario.pedal.begin_s + question.asked.item.at_s.unwrap_or(0.0);
    let scene = scene::draw(&outcome.scenario, &outcome.run.trace.at(time_s));
    (!is_empty(&scene)).then_some((outcome, time_s, scene))
}

/// Every part by its name.
pub fn list(ui: &mut Ui, page: &mut Page<'_>, question: &Question, chosen: Option<&'static str>) {
    let Some((_, _, scene)) = section(question) else {
        match &question.block.error {
            Some(error) => ui.colored_label(page.palette().error, error),
            None => ui.weak("The section is being drawn."),
        };
        return;
    };
    let how = "Point at the part in the drawing, or choose it here. In the drawing, arrows go from part to part and \
               Enter chooses.";
    ui.add(Label::new(RichText::new(how).small().color(page.palette().weak)).wrap());
    if ui.button("Point with the arrow keys").clicked() {
        page.arrive = Some(Arrive::Drawing);
        // in the drawing this key would choose a part at once
        ui.input_mut(|input| {
            input.consume_key(Modifiers::NONE, Key::Enter) || input.consume_key(Modifiers::NONE, Key::Space)
        });
    }
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing = vec2(10.0, 4.0);
        for (place, (part, _)) in scene.parts().into_iter().enumerate() {
            let radio = ui.radio(chosen == Some(part.id), part.text);
            if radio.hovered() || (radio.has_focus() && page.listed.is_none()) {
                page.listed = Some(place);
            }
            if radio.clicked() {
                page.deeds.push(Deed::Point(part.id));
            }
        }
    });
}

/// The section without names; what is pointed at tells its own.
pub fn drawing(ui: &mut Ui, page: &mut Page<'_>, question: &Question, is_told: bool) {
    let Some((outcome, time_s, scene)) = section(question) else { return };
    let palette = page.palette();
    let text = ui.text_style_height(&TextStyle::Body);
    let (least, most) = scene.bounds;
    let shape = ((most.y - least.y) / (most.x - least.x)).clamp(0.2, 2.0) as f32;
    let highest = (ui.ctx().content_rect().height() * 0.66).max(text * 10.0);
    let width = ui.available_width();
    let size = vec2(width, (width * shape).min(highest));
    let (rect, response) = ui.allocate_exact_size(size, Sense::click());
    page.arrives(Arrive::Drawing, &response);
    let painter = ui.painter_at(rect);
    let font = TextStyle::Small.resolve(ui.style());
    let brush = Brush { painter: &painter, palette, font, labels: LabelDetail::Few, looked: &[] };
    let fit = Fit::new(least, most, rect.shrink(text));
    bench_view::paint_parts(&brush, &scene, &fit, outcome, time_s);
    let parts: Vec<(&'static Part, Pos2)> = scene.parts().into_iter().map(|(part, at)| (part, fit.at(at))).collect();
    for (_, at) in &parts {
        painter.circle(*at, 3.0, palette.paper, Stroke::new(1.2, palette.ink));
    }
    let names = Names { painter: &painter, ui, rect };
    if let (true, Some((response, _))) = (is_told, question.graded()) {
        told(&names, page, question, response, &parts);
    }
    let mut spoken = "Section".to_owned();
    if let (true, Work::Point(held, chosen)) = (question.is_open(), &question.work) {
        let hovered = response.hover_pos().and_then(|at| nearest(&parts, at, text * REACH));
        let held = (*held).min(parts.len().saturating_sub(1));
        for (part, at) in parts.iter().filter(|(part, _)| *chosen == Some(part.id)) {
            names.write(*at, &format!("Your choice: {}", part.text), palette.accent);
        }
        let shown = hovered.or_else(|| response.has_focus().then_some(held)).or(page.listed);
        let shown = shown.and_then(|place| parts.get(place));
        if let Some((part, at)) = shown.filter(|(part, _)| *chosen != Some(part.id)) {
            names.write(*at, part.text, palette.ink);
        }
        if let Some(place) = hovered.filter(|_| response.clicked()) {
            page.deeds.extend([Deed::Hold(place), Deed::Point(parts[place].0.id)]);
        }
        if response.has_focus() {
            keys(ui, page, held, &parts);
        }
        let name = parts.get(held).map_or("none", |(part, _)| part.text);
        let choice = parts.iter().find(|(part, _)| *chosen == Some(part.id)).map_or("none yet", |(part, _)| part.text);
        spoken = format!(
            "Section to point at, {} parts: arrows go from part to part, Enter chooses. Held: {name}. Chosen: {choice}",
            parts.len()
        );
        ui.memory_mut(|memory| {
            let arrows = EventFilter { horizontal_arrows: true, vertical_arrows: true, ..Default::default() };
            memory.set_focus_lock_filter(response.id, arrows);
        });
    }
    focus_ring(&painter, &response, palette);
    response.widget_info(|| WidgetInfo::labeled(Role::Canvas, true, &spoken));
}

/// The part whose point is nearest, if it is near enough.
fn nearest(parts: &[(&'static Part, Pos2)], at: Pos2, reach: f32) -> Option<usize> {
    let far = parts.iter().enumerate().map(|(place, (_, part))| (part.distance(at), place));
    far.filter(|(far, _)| *far <= reach).min_by(|a, b| a.0.total_cmp(&b.0)).map(|(_, place)| place)
}

fn keys(ui: &Ui, page: &mut Page<'_>, held: usize, parts: &[(&'static Part, Pos2)]) {
    let pressed = |key| ui.input_mut(|input| input.consume_key(Modifiers::NONE, key));
    let count = parts.len().max(1);
    if pressed(Key::ArrowRight) || pressed(Key::ArrowDown) {
        page.deeds.push(Deed::Hold((held + 1) % count));
    }
    if pressed(Key::ArrowLeft) || pressed(Key::ArrowUp) {
        page.deeds.push(Deed::Hold((held + count - 1) % count));
    }
    if pressed(Key::Enter) || pressed(Key::Space) {
        page.deeds.extend(parts.get(held).map(|(part, _)| Deed::Point(part.id)));
    }
}

/// What was right, and what was pointed at.
fn told(names: &Names<'_>, page: &Page<'_>, question: &Question, response: &Response, parts: &[(&'static Part, Pos2)]) {
    let Kind::Point(point) = &question.asked.item.kind else { return };
    for (part, at) in parts {
        let is_right = point.parts.iter().any(|id| id == part.id);
        let is_mine = matches!(response, Response::Point(id) if id == part.id);
        match (is_right, is_mine) {
            (true, true) => names.write(*at, &format!("{}: right", part.text), page.palette().accent),
            (true, false) => names.write(*at, &format!("Right: {}", part.text), page.palette().accent),
            (false, true) => names.write(*at, &format!("Your answer: {}", part.text), page.palette().heat),
            (false, false) => {}
        }
    }
}

/// Where names of parts are written.
struct Names<'a> {
    painter: &'a Painter,
    ui: &'a Ui,
    rect: Rect,
}

impl Names<'_> {
    /// A ring round a part, and its name beside it.
    fn write(&self, at: Pos2, text: &str, colour: Color32) {
        let palette = crate::app::theme::Palette::of(self.ui.visuals());
        self.painter.circle_stroke(at, 9.0, Stroke::new(2.5, colour));
        let font = TextStyle::Body.resolve(self.ui.style());
        let galley = self.painter.layout_no_wrap(text.to_owned(), font, colour);
        let beside = if at.x > self.rect.center().x { Align2::RIGHT_CENTER } else { Align2::LEFT_CENTER };
        let shift = if at.x > self.rect.center().x { -14.0 } else { 14.0 };
        let mut place = beside.anchor_size(pos2(at.x + shift, at.y), galley.size());
        let inside = self.rect.shrink(3.0);
        let x = place.left().min(inside.right() - place.width()).max(inside.left());
        place = Rect::from_min_size(pos2(x, place.top()), place.size());
        self.painter.rect_filled(place.expand2(vec2(4.0, 1.0)), 2.0, palette.paper);
        self.painter.galley(place.min, galley, colour);
    }
}
