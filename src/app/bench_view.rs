//! The benches: family, sentence, drawing.

use super::actions::Action;
use super::canvas::{Canvas, Stage};
use super::kept::kept;
use super::legend;
use super::paint::{Fit, MARKER_NAMES, Series, named};
use super::preferences::Preferences;
use super::section::{Brush, WIDEST_NAME, is_empty};
use super::state::{Bench, MOST_BENCHES, State, differences};
use super::theme::Palette;
use super::worker::Outcome;
use crate::bench::sentence::sentence;
use crate::bench::trace::Sample;
use crate::bench::verdict::Verdict;
use crate::families::FAMILIES;
use crate::scene::{self, Scene};
use crate::units::{Quantity, UnitSystem};
use eframe::egui::{self, Align, Layout, Rect, RichText, Sense, Stroke, TextStyle, Ui, UiBuilder, Vec2, vec2};

/// What a drawing keeps of its bench whatever the size of the text.
const DRAWING_SHARE: f32 = 0.55;

/// All benches, side by side or two by two.
pub fn show(ui: &mut Ui, state: &State, preferences: &Preferences, actions: &mut Vec<Action>) {
    difference_line(ui, state, preferences);
    let scenes: Vec<Option<Scene>> = state.benches.iter().map(|bench| drawing(bench, state.time.cursor_s)).collect();
    let stage = Stage::new(ui, ("benches", scenes.len()), scenes.iter().flatten(), preferences.labels);
    let whole = ui.available_rect_before_wrap();
    let (area, legend) = whole.split_top_bottom_at_y(whole.bottom() - legend::height(ui));
    let count = state.benches.len();
    let columns = columns(count, area.size(), ui.text_style_height(&TextStyle::Body));
    let rows = count.div_ceil(columns);
    let gap = 10.0;
    let size = vec2(
        (area.width() - gap * (columns as f32 - 1.0)) / columns as f32,
        (area.height() - gap * (rows as f32 - 1.0)) / rows as f32,
    );
    for (index, scene) in scenes.iter().enumerate() {
        let at = vec2((index % columns) as f32 * (size.x + gap), (index / columns) as f32 * (size.y + gap));
        let cell = Rect::from_min_size(area.min + at, size);
        let builder = UiBuilder::new().max_rect(cell).layout(Layout::top_down(Align::Min)).id_salt(("bench", index));
        let mut cell_ui = ui.new_child(builder);
        cell_ui.set_clip_rect(cell.expand(2.0).intersect(ui.clip_rect()));
        bench(&mut cell_ui, state, index, scene.as_ref(), &stage, preferences, actions);
    }
    if let Some(scene) = scenes.iter().flatten().find(|scene| !is_empty(scene)) {
        legend::show(ui, legend, stage.fit(scene, area).scale, preferences.units);
    }
    ui.advance_cursor_after_rect(whole);
}

/// In how many columns the drawings become largest. A drawing is a little wider than high; beside it stand its names,
/// above it the bench's name and its sentence, which leave it half of the bench whatever the size of the text.
fn columns(count: usize, area: Vec2, text: f32) -> usize {
    let cell = |columns: usize| vec2(area.x / columns as f32, area.y / count.div_ceil(columns) as f32);
    let room = |columns: usize| {
        let cell = cell(columns);
        let names = (text * 10.0).min(cell.x * WIDEST_NAME);
        let lines = (text * 75.0 / cell.x).ceil();
        let above = text * (2.0 + 1.2 * lines);
        ((cell.x - names) / 1.3).min((cell.y - above).max(cell.y * DRAWING_SHARE))
    };
    // narrower, a bench's own name could not be read
    let legible = |columns: &usize| *columns == 1 || cell(*columns).x >= text * 9.0;
    (1..=count).filter(legible).max_by(|a, b| room(*a).total_cmp(&room(*b))).unwrap_or(1)
}

fn difference_line(ui: &mut Ui, state: &State, preferences: &Preferences) {
    if state.benches.len() < 2 {
        return;
    }
    let settings: Vec<_> = state.benches.iter().map(|bench| (bench.id, bench.revision)).collect();
    let text = kept(ui.ctx(), "differences", (settings, preferences.units as u8), || {
        difference_text(&state.benches, preferences.units)
    });
    let label = egui::Label::new(RichText::new(text.as_str()).small().weak()).truncate();
    ui.add(label);
}

fn difference_text(benches: &[Bench], units: UnitSystem) -> String {
    let differences = differences(benches, units);
    let families = benches.windows(2).any(|pair| pair[0].scenario.entry().id != pair[1].scenario.entry().id);
    match (differences.len(), families) {
        (0, true) => "They differ in the family alone; car, pedal, barrels and jets are the same.".to_owned(),
        (0, false) => "The benches are set alike.".to_owned(),
        (_, true) => format!("Besides the family they differ in {}.", differences.join("; ")),
        (_, false) => format!("They differ in {}.", differences.join("; ")),
    }
}

fn drawing(bench: &Bench, cursor_s: f64) -> Option<Scene> {
    let outcome = bench.outcome.as_ref()?;
    Some(scene::draw(&outcome.scenario, &outcome.run.trace.at(cursor_s)))
}

fn bench(
    ui: &mut Ui,
    state: &State,
    index: usize,
    scene: Option<&Scene>,
    stage: &Stage,
    preferences: &Preferences,
    actions: &mut Vec<Action>,
) {
    let palette = Palette::of(ui.visuals());
    let bench = &state.benches[index];
    let selected = index == state.selected;
    let cell = ui.max_rect();
    let line = if selected { Stroke::new(3.0, palette.accent) } else { Stroke::new(1.0, palette.hair) };
    ui.painter().hline(cell.x_range(), cell.top() + 1.5, line);
    ui.add_space(5.0);
    header(ui, state, index, actions);
    above_drawing(ui, |ui| verdict_line(ui, bench));
    canvas(ui, state, index, scene, stage, preferences, actions);
}

/// What stands above a drawing; that keeps half of its bench whatever the size of the text.
pub(super) fn above_drawing(ui: &mut Ui, content: impl FnOnce(&mut Ui)) {
    let cell = ui.max_rect();
    let room =
        (cell.bottom() - ui.cursor().top() - cell.height() * DRAWING_SHARE).max(ui.text_style_height(&TextStyle::Body));
    let scroll = egui::ScrollArea::vertical().id_salt("sentence").max_height(room).min_scrolled_height(room);
    scroll.auto_shrink([false, true]).show(ui, content);
}

fn header(ui: &mut Ui, state: &State, index: usize, actions: &mut Vec<Action>) {
    let palette = Palette::of(ui.visuals());
    let bench = &state.benches[index];
    let entry = bench.scenario.entry();
    ui.horizontal_wrapped(|ui| {
        let menu = name_menu(ui, index, entry.name, |ui| {
            for other in FAMILIES {
                let pick = ui.selectable_label(other.id == entry.id, other.name).on_hover_text(other.summary);
                if pick.clicked() {
                    actions.push(Action::ChooseFamily(index, other));
                    ui.close();
                }
            }
        });
        let right = menu.rect.right();
        named(menu, &format!("Family of bench {}: {}", index + 1, entry.name)).on_hover_text(entry.summary);
        let slots = Slots { count: state.benches.len(), most: MOST_BENCHES, selected: state.selected };
        slots.show(ui, index, ui.max_rect().right() - right, actions);
        if bench.waiting() {
            ui.label(RichText::new("running …").color(palette.accent));
        }
    });
}

/// A name on one line, cut where it must be, with room for the arrow behind it.
fn short_name(ui: &Ui, name: &str, font: egui::FontId, widest: f32) -> std::sync::Arc<egui::Galley> {
    const ROOM: &str = "      ";
    let lay = |text: String| ui.painter().layout_no_wrap(text, font.clone(), Palette::of(ui.visuals()).ink);
    let ends = name.char_indices().map(|(end, _)| end).rev().filter(|end| *end > 0);
    std::iter::once(lay(format!("{name}{ROOM}")))
        .chain(ends.map(|end| lay(format!("{}…{ROOM}", name[..end].trim_end()))))
        .find(|galley| galley.size().x <= widest)
        .unwrap_or_else(|| lay(ROOM.to_owned()))
}

/// A bench's marker, and its name in large letters over a menu. A name that is too long is cut.
pub(super) fn name_menu(ui: &mut Ui, index: usize, name: &str, content: impl FnOnce(&mut Ui)) -> egui::Response {
    let palette = Palette::of(ui.visuals());
    let size = ui.text_style_height(&TextStyle::Body);
    let (rect, _) = ui.allocate_exact_size(vec2(size, size), Sense::hover());
    Series::of(palette, index).marker(ui.painter(), rect.center(), size * 0.34, palette.ink);
    // at large text sizes the drawing needs the room more than the name does
    let large = size > 27.0;
    let style = if large { TextStyle::Body } else { TextStyle::Heading };
    let font = egui::FontId::new(style.resolve(ui.style()).size, super::theme::bold());
    let widest = (ui.max_rect().width() - size * 4.8).max(size * 4.0);
    let name = short_name(ui, name, font, widest);
    let menu = ui.menu_button(name, content);
    let tip = menu.response.rect.right_center() - vec2(13.0, -3.0);
    let arrow = [tip + vec2(-5.0, -6.0), tip + vec2(5.0, -6.0), tip];
    ui.painter().add(egui::Shape::convex_polygon(arrow.to_vec(), palette.ink, Stroke::NONE));
    menu.response
}

/// How many benches there are.
pub(super) struct Slots {
    /// So many.
    pub count: usize,
    /// There may be so many.
    pub most: usize,
    /// The one that the settings edit.
    pub selected: usize,
}

impl Slots {
    /// Buttons of bench `index`, behind one where there is less than `room` for them.
    pub fn show(&self, ui: &mut Ui, index: usize, room: f32, actions: &mut Vec<Action>) {
        if room < self.width(ui.text_style_height(&TextStyle::Body)) {
            let more = ui.menu_button("…", |ui| self.buttons(ui, index, actions));
            named(more.response, &format!("Edit, copy or remove bench {}", index + 1));
        } else {
            self.buttons(ui, index, actions);
        }
    }

    /// Room that the buttons need, with the gaps before them.
    fn width(&self, text: f32) -> f32 {
        let (edit, copy, remove) = (2.9, 3.4, 4.4);
        let several = if self.count > 1 { edit + remove } else { 0.0 };
        text * (several + if self.count < self.most { copy } else { 0.0 })
    }

    fn buttons(&self, ui: &mut Ui, index: usize, actions: &mut Vec<Action>) {
        if self.count > 1 {
            let chosen = ui.selectable_label(index == self.selected, "Edit");
            let name = format!("Edit bench {}", index + 1);
            if named(chosen, &name).on_hover_text("The settings edit this bench").clicked() {
                actions.push(Action::Select(index));
            }
        }
        if self.count < self.most {
            let copy = named(ui.button("Copy"), &format!("Copy bench {}", index + 1));
            if copy.on_hover_text("Another bench with the same settings").clicked() {
                actions.push(Action::CopyBench(index));
            }
        }
        if self.count > 1 {
            let remove = named(ui.button("Remove"), &format!("Remove bench {}", index + 1));
            if remove.on_hover_text("Take this bench away; undo brings it back").clicked() {
                actions.push(Action::RemoveBench(index));
            }
        }
    }
}

fn verdict_line(ui: &mut Ui, bench: &Bench) {
    let palette = Palette::of(ui.visuals());
    if let Some(error) = &bench.error {
        ui.label(RichText::new(error).color(palette.error));
        return;
    }
    let Some(outcome) = &bench.outcome else {
        ui.label(RichText::new("The first run is being computed.").weak());
        return;
    };
    let text = kept(ui.ctx(), ("sentence", ui.scope_id()), (bench.id, bench.answered), || sentence(&outcome.findings));
    let colour = match outcome.findings.verdict {
        Verdict::Clean => palette.ink,
        Verdict::Hesitates | Verdict::Bogs | Verdict::Dies => palette.heat,
    };
    sentence_line(ui, &text, colour);
}

/// A sentence whose lead stands out by weight as well as by colour.
pub(super) fn sentence_line(ui: &mut Ui, text: &str, colour: egui::Color32) {
    let palette = Palette::of(ui.visuals());
    let split = text.find(';').unwrap_or(text.len());
    let (lead, rest) = text.split_at(split);
    let mut job = egui::text::LayoutJob::default();
    let size = TextStyle::Body.resolve(ui.style()).size;
    let format = |family, colour| egui::TextFormat::simple(egui::FontId::new(size, family), colour);
    job.append(lead, 0.0, format(super::theme::bold(), colour));
    job.append(rest, 0.0, format(egui::FontFamily::Proportional, palette.ink));
    ui.label(job);
}

fn canvas(
    ui: &mut Ui,
    state: &State,
    index: usize,
    scene: Option<&Scene>,
    stage: &Stage,
    preferences: &Preferences,
    actions: &mut Vec<Action>,
) {
    let (bench, time_s) = (&state.benches[index], state.time.cursor_s);
    let spoken = describe(bench, index, time_s, preferences);
    let canvas = Canvas { index, spoken: &spoken, scene, waiting: bench.waiting(), labels: preferences.labels };
    canvas.show(ui, stage, actions, |brush, scene, fit| {
        if let Some(outcome) = &bench.outcome {
            paint_parts(brush, scene, fit, outcome, time_s);
        }
    });
}

/// A section with its moving air and fuel at a time of the run, and the names of its parts.
pub(super) fn paint(brush: &Brush<'_>, scene: &Scene, fit: &Fit, rect: Rect, outcome: &Outcome, cursor_s: f64) {
    paint_parts(brush, scene, fit, outcome, cursor_s);
    brush.names(scene, fit, rect);
}

/// The same without names.
pub(super) fn paint_parts(brush: &Brush<'_>, scene: &Scene, fit: &Fit, outcome: &Outcome, cursor_s: f64) {
    let sample = outcome.run.trace.at(cursor_s);
    let sides = [
        (outcome.air_way(0, cursor_s), sample.primary_throat_m_per_s),
        (outcome.air_way(1, cursor_s), sample.secondary_throat_m_per_s),
    ];
    brush.tints(scene, fit);
    brush.air(scene, fit, sides, outcome.scenario.primary.bore_m * 0.75);
    brush.items(scene, fit);
    brush.fuel(scene, fit, cursor_s);
}

/// The drawing in words.
fn describe(bench: &Bench, index: usize, cursor_s: f64, preferences: &Preferences) -> String {
    let name = bench.scenario.entry().name;
    let which = format!("Section of bench {} ({}), {name}", index + 1, MARKER_NAMES[index % 4]);
    let Some(outcome) = &bench.outcome else { return format!("{which}: no run yet") };
    let Sample { primary_plate_rad, secondary_plate_rad, device_opening, lambda, torque_nm, .. } =
        outcome.run.trace.at(cursor_s);
    let show = |quantity: Quantity, value| quantity.show(value, preferences.units);
    let device = if outcome.scenario.family().moving_part().is_some() {
        format!(", door or diaphragm {} open", show(Quantity::Fraction, device_opening))
    } else {
        String::new()
    };
    format!(
        "{which}, at {cursor_s:.3} s: primary plates {}, secondary plates {}{device}, λ {}, torque {}",
        show(Quantity::Angle, primary_plate_rad),
        show(Quantity::Angle, secondary_plate_rad),
        show(Quantity::Number, lambda),
        show(Quantity::Torque, torque_nm),
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn drawings_stand_where_they_become_largest() {
        let text = 16.0;
        assert_eq!([1, 2, 3, 4].map(|count| columns(count, vec2(1600.0, 620.0), text)), [1, 2, 3, 2]);
        assert_eq!(columns(2, vec2(600.0, 1400.0), text), 1);
        // text of twice the size in a small window
        assert_eq!([2, 4].map(|count| columns(count, vec2(836.0, 350.0), 2.0 * text)), [2, 2]);
    }
}
