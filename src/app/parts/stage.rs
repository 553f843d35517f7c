//! The benches of a part side by side: name, sentence, drawing, and below them what the drawings mean.

use super::bench::Bench;
use super::view::View;
use super::{MOST, Part};
use crate::app::actions::Action;
use crate::app::bench_view::{Slots, above_drawing, name_menu, sentence_line};
use crate::app::canvas::{Canvas, Stage, paint_part};
use crate::app::kept::kept;
use crate::app::legend;
use crate::app::paint::{self, MARKER_NAMES, named};
use crate::app::preferences::Preferences;
use crate::app::section::is_empty;
use crate::app::state::differing;
use crate::app::theme::Palette;
use crate::scene::Scene;
use crate::settings::grouped::Grouped;
use crate::units::UnitSystem;
use eframe::egui::{Align, Label, Layout, Rect, RichText, Stroke, TextStyle, Ui, UiBuilder, vec2};
use std::sync::Arc;

/// Space between two benches, points.
const GAP: f32 = 10.0;

/// All benches.
pub fn show<P: Part>(ui: &mut Ui, view: &View<P>, preferences: &Preferences, actions: &mut Vec<Action>) {
    beware(ui, view);
    comparison(ui, view, preferences);
    let time_s = view.time.cursor_s;
    let draw = |bench: &Bench<P>| {
        let ran = bench.ran.as_ref()?;
        Some(P::draw(&ran.settings, &ran.run, time_s, preferences.units))
    };
    let scenes: Vec<Option<Scene>> = view.benches.iter().map(draw).collect();
    let stage = whole_run(ui, view, preferences);
    let whole = ui.available_rect_before_wrap();
    let (area, legend) = whole.split_top_bottom_at_y(whole.bottom() - legend::height(ui));
    let count = view.benches.len() as f32;
    let size = vec2((area.width() - GAP * (count - 1.0)) / count, area.height());
    for (index, scene) in scenes.iter().enumerate() {
        let cell = Rect::from_min_size(area.min + vec2(index as f32 * (size.x + GAP), 0.0), size);
        let layout = Layout::top_down(Align::Min);
        let mut cell_ui = ui.new_child(UiBuilder::new().max_rect(cell).layout(layout).id_salt((P::ID, index)));
        cell_ui.set_clip_rect(cell.expand(2.0).intersect(ui.clip_rect()));
        one(&mut cell_ui, view, index, scene.as_ref(), &stage, preferences, actions);
    }
    if let Some(scene) = scenes.iter().flatten().find(|scene| !is_empty(scene)) {
        P::legend(ui, legend, stage.fit(scene, area).scale, preferences.units);
    }
    ui.advance_cursor_after_rect(whole);
}

/// One scale for both drawings and for the whole run: names come and go and change their figures, and the drawing must
/// not jump with them.
fn whole_run<P: Part>(ui: &Ui, view: &View<P>, preferences: &Preferences) -> Arc<Stage> {
    let (count, units) = (view.benches.len(), preferences.units);
    let size = Stage::smallest(ui, P::ID, count);
    let text = ui.text_style_height(&TextStyle::Small);
    let look = ([size.x, size.y, text].map(f32::to_bits), preferences.labels as u8, units as u8);
    kept(ui.ctx(), ("stage", P::ID), (view.key(), look), || {
        let scenes: Vec<Scene> = view
            .benches
            .iter()
            .filter_map(|bench| bench.ran.as_ref())
            .flat_map(|ran| {
                let moments = P::flags(&ran.run).into_iter().map(|flag| flag.time_s);
                let ends = [0.0, P::end_s(&ran.settings)];
                moments.chain(ends).map(|time_s| P::draw(&ran.settings, &ran.run, time_s, units))
            })
            .collect();
        Stage::new(ui, (P::ID, count), scenes.iter(), preferences.labels)
    })
}

/// In what the benches differ, and what they say together.
fn comparison<P: Part>(ui: &mut Ui, view: &View<P>, preferences: &Preferences) {
    let units = preferences.units;
    let [first, second] = &view.benches[..] else { return };
    let revisions = (first.id, first.revision, first.answered, second.id, second.revision, second.answered);
    let text = kept(ui.ctx(), ("comparison", P::ID), (revisions, units as u8), || {
        let settings: [&dyn Grouped; 2] = [&first.settings, &second.settings];
        let differences = differing(&settings, units, |_| true);
        let mut text = match differences.is_empty() {
            true => "The benches are set alike.".to_owned(),
            false => format!("They differ in {}.", differences.join("; ")),
        };
        let (one, other) = (first.ran.as_ref(), second.ran.as_ref());
        let together =
            one.zip(other).and_then(|(a, b)| P::comparison([(&a.settings, &a.run), (&b.settings, &b.run)], units));
        text.extend(together.map(|together| format!(" {together}")));
        text
    });
    let label = Label::new(RichText::new(text.as_str()).small().weak());
    // at large text sizes the drawing needs the room more; all of it is told to a pointer
    ui.add(if preferences.text_size > 1.4 { label.truncate() } else { label.wrap() });
}

fn one<P: Part>(
    ui: &mut Ui,
    view: &View<P>,
    index: usize,
    scene: Option<&Scene>,
    stage: &Stage,
    preferences: &Preferences,
    actions: &mut Vec<Action>,
) {
    let palette = Palette::of(ui.visuals());
    let cell = ui.max_rect();
    let selected = index == view.selected;
    let line = if selected { Stroke::new(3.0, palette.accent) } else { Stroke::new(1.0, palette.hair) };
    ui.painter().hline(cell.x_range(), cell.top() + 1.5, line);
    ui.add_space(5.0);
    header(ui, view, index, actions);
    let bench = &view.benches[index];
    above_drawing(ui, |ui| said(ui, bench, preferences.units));
    canvas(ui, view, index, scene, stage, preferences, actions);
}

fn header<P: Part>(ui: &mut Ui, view: &View<P>, index: usize, actions: &mut Vec<Action>) {
    let palette = Palette::of(ui.visuals());
    let bench = &view.benches[index];
    ui.horizontal_wrapped(|ui| {
        let menu = name_menu(ui, index, &bench.title, |ui| {
            paint::tall_menu(ui, 0.7, |ui| preset_menu::<P>(ui, index, actions));
        });
        let right = menu.rect.right();
        named(menu, &format!("Presets of bench {}: {}", index + 1, bench.title))
            .on_hover_text("Settings worth a look; each adds to what is set");
        let slots = Slots { count: view.benches.len(), most: MOST, selected: view.selected };
        slots.show(ui, index, ui.max_rect().right() - right, actions);
        if bench.waiting() {
            ui.label(RichText::new("running …").color(palette.accent));
        }
    });
}

fn preset_menu<P: Part>(ui: &mut Ui, bench: usize, actions: &mut Vec<Action>) {
    for (preset, shown) in P::presets().iter().enumerate() {
        if ui.button(shown.label).on_hover_text(shown.help).clicked() {
            actions.push(Action::Preset { bench, preset });
            ui.close();
        }
    }
    ui.separator();
    if ui.button("All settings as they come").clicked() {
        actions.push(Action::Fresh(bench));
        ui.close();
    }
    if ui.button("Both benches as they open").clicked() {
        actions.push(Action::PartOpening);
        ui.close();
    }
}

/// The sentence, or why there is none.
fn said<P: Part>(ui: &mut Ui, bench: &Bench<P>, units: UnitSystem) {
    let palette = Palette::of(ui.visuals());
    if let Some(error) = &bench.error {
        ui.label(RichText::new(error).color(palette.error));
        return;
    }
    let Some(ran) = &bench.ran else {
        ui.label(RichText::new("The first run is being computed.").weak());
        return;
    };
    let key = (bench.id, bench.answered, units as u8);
    let sentence = kept(ui.ctx(), ("sentence", P::ID, bench.id), key, || P::sentence(&ran.run, units));
    sentence_line(ui, &sentence.text, if sentence.warns { palette.heat } else { palette.ink });
}

fn canvas<P: Part>(
    ui: &mut Ui,
    view: &View<P>,
    index: usize,
    scene: Option<&Scene>,
    stage: &Stage,
    preferences: &Preferences,
    actions: &mut Vec<Action>,
) {
    let (bench, time_s) = (&view.benches[index], view.time.cursor_s);
    let which = format!("{} of bench {} ({}), {}", P::DRAWING, index + 1, MARKER_NAMES[index % 4], bench.title);
    let spoken = match &bench.ran {
        Some(ran) => format!("{which}, {}", P::describe(&ran.run, time_s, preferences.units)),
        None => format!("{which}: no run yet"),
    };
    let canvas = Canvas { index, spoken: &spoken, scene, waiting: bench.waiting(), labels: preferences.labels };
    canvas.show(ui, stage, actions, |brush, scene, fit| paint_part(brush, scene, fit, time_s));
}

/// What to beware of at a time, with the benches where that is not all of them; each only once.
fn cautions<P: Part>(benches: &[Bench<P>], time_s: f64) -> Vec<String> {
    let now = |bench: &Bench<P>| P::caution(&bench.ran.as_ref()?.run, time_s);
    let told: Vec<Option<&str>> = benches.iter().map(now).collect();
    let mut lines = Vec::new();
    for (index, caution) in told.iter().enumerate() {
        let Some(caution) = caution.filter(|caution| !told[..index].contains(&Some(*caution))) else { continue };
        let whose = told.iter().zip(benches).filter(|(said, _)| **said == Some(caution));
        let whose: Vec<&str> = whose.map(|(_, bench)| bench.title.as_str()).collect();
        let of = if whose.len() < told.len() { format!(" ({})", whose.join(", ")) } else { String::new() };
        lines.push(format!("Caution{of}: {caution}"));
    }
    lines
}

/// The cautions of this moment, once for all drawings so that their sentences keep their room. They have as many lines
/// as at any time of the run, for the drawings must not jump when one comes or goes.
fn beware<P: Part>(ui: &mut Ui, view: &View<P>) {
    const LOOKS: u32 = 100;
    let most = kept(ui.ctx(), ("most cautions", P::ID), view.key(), || {
        let times = (0..=LOOKS).map(|look| view.end_s() * f64::from(look) / f64::from(LOOKS));
        times.map(|time_s| cautions(&view.benches, time_s).len()).max().unwrap_or(0)
    });
    let lines = cautions(&view.benches, view.time.cursor_s);
    let colour = Palette::of(ui.visuals()).error;
    for line in &lines {
        ui.label(RichText::new(line).small().color(colour));
    }
    for _ in lines.len()..*most {
        ui.label(RichText::new(" ").small());
    }
}
