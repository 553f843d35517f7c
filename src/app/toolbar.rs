//! The row of menus at the top, the keys, and the messages under it.

use super::actions::{Action, Purpose};
use super::paint::{frame_boxes, named, tall_menu};
use super::parts::is_of_benches;
use super::preferences::{LabelDetail, Look, Preferences, TEXT_SIZES};
use super::screen::{Place, Screen};
use crate::units::UnitSystem;
use eframe::egui::{self, Button, RichText, Slider, Ui};
use std::path::PathBuf;

/// Highest menu under the row, share of the window.
const MENU_HEIGHT: f32 = 0.9;

/// What the menus need to know.
pub struct Bar<'a> {
    /// The screen that is shown.
    pub screen: Screen,
    /// Whether there is something to undo there, and to redo.
    pub history: (bool, bool),
    /// Whether there is room for another bench.
    pub has_room: bool,
    /// Whether there are benches of the last session.
    pub can_resume: bool,
    /// Whether what is shown is kept in files.
    pub has_files: bool,
    /// Titles of the settings that come along.
    pub examples: &'a dyn Fn() -> Vec<String>,
    /// What puts the benches as they open, where there are benches.
    pub opening: Option<Action>,
}

/// The menus.
pub fn show(ui: &mut Ui, bar: &Bar<'_>, preferences: &Preferences, actions: &mut Vec<Action>) {
    ui.horizontal_wrapped(|ui| {
        // in one row of the smallest usual window
        ui.spacing_mut().item_spacing.x = 5.0;
        ui.menu_button("File", |ui| tall_menu(ui, MENU_HEIGHT, |ui| file_menu(ui, bar, actions)));
        ui.menu_button("Examples", |ui| tall_menu(ui, MENU_HEIGHT, |ui| example_menu(ui, bar, actions)));
        ui.menu_button("View", |ui| tall_menu(ui, MENU_HEIGHT, |ui| view_menu(ui, preferences, actions)));
        ui.separator();
        for place in Place::ALL {
            places(ui, place, bar.screen, actions);
        }
        ui.separator();
        let (undo, redo) = bar.history;
        if ui.add_enabled(undo, Button::new("Undo")).on_hover_text("Take back the last change (Ctrl+Z)").clicked() {
            actions.push(Action::Undo);
        }
        if ui.add_enabled(redo, Button::new("Redo")).on_hover_text("Make it again (Ctrl+Shift+Z)").clicked() {
            actions.push(Action::Redo);
        }
        let another =
            if bar.screen.has_family() { "The same car with another family" } else { "A copy of the selected one" };
        if ui.add_enabled(bar.has_room, Button::new("Add a bench")).on_hover_text(another).clicked() {
            actions.push(Action::AddBench);
        }
        let units = match preferences.units {
            UnitSystem::Si => "Units: SI",
            UnitSystem::Workshop => "Units: workshop",
        };
        if ui.button(units).on_hover_text("Switch between SI and workshop units").clicked() {
            let other = match preferences.units {
                UnitSystem::Si => UnitSystem::Workshop,
                UnitSystem::Workshop => UnitSystem::Si,
            };
            prefer(preferences, actions, |p| p.units = other);
        }
        let settings = if preferences.settings_open { "Hide settings" } else { "Show settings" };
        if ui.button(settings).clicked() {
            prefer(preferences, actions, |p| p.settings_open = !p.settings_open);
        }
        if ui.button("Help").on_hover_text("Keys and about (F1)").clicked() {
            actions.push(Action::ToggleHelp);
        }
    });
}

/// The open place shows its screens, any other one its name.
fn places(ui: &mut Ui, place: &Place, open: Screen, actions: &mut Vec<Action>) {
    // the open place has more buttons: what was chosen by key keeps the keyboard, not what comes to stand there
    let chosen = egui::Id::unique("screen that was chosen by key");
    let shown = if place.has(open) { place.screens } else { &place.screens[..1] };
    for (screen, name) in shown {
        let name = if place.has(open) { name } else { place.name };
        let button = ui.selectable_label(*screen == open, name);
        if button.clicked() {
            actions.push(Action::GoTo(*screen));
            if button.has_focus() {
                ui.data_mut(|data| data.insert_temp(chosen, *screen));
            }
        } else if *screen == open && ui.data_mut(|data| data.remove_temp::<Screen>(chosen)) == Some(open) {
            button.request_focus();
        }
    }
}

fn prefer(preferences: &Preferences, actions: &mut Vec<Action>, change: impl FnOnce(&mut Preferences)) {
    let mut changed = preferences.clone();
    change(&mut changed);
    actions.push(Action::Prefer(Box::new(changed)));
}

fn file_menu(ui: &mut Ui, bar: &Bar<'_>, actions: &mut Vec<Action>) {
    if ui.add_enabled(bar.can_resume, Button::new("Benches of the last session")).clicked() {
        actions.push(Action::LastSession);
    }
    for (label, action) in [
        ("Open …  Ctrl+O", Action::Open),
        ("Open by path …", Action::AskPath(Purpose::Open)),
        ("Save  Ctrl+S", Action::Save),
        ("Save as …  Ctrl+Shift+S", Action::SaveAs),
        ("Save by path …", Action::AskPath(Purpose::Save)),
        ("Export the trace as CSV …", Action::ExportTrace),
        ("Export the trace by path …", Action::AskPath(Purpose::Export)),
        ("Course folder …", Action::OpenCourse),
        ("Course folder by path …", Action::AskPath(Purpose::Course)),
        ("Only the course that comes with the program", Action::CourseFolder(PathBuf::new())),
        ("Records folder …", Action::OpenRecords),
        ("Records folder by path …", Action::AskPath(Purpose::Records)),
        ("No records folder", Action::RecordsFolder(PathBuf::new())),
    ] {
        let enabled = bar.has_files || !is_of_benches(&action);
        if ui.add_enabled(enabled, Button::new(label)).clicked() {
            actions.push(action);
        }
    }
    ui.label(RichText::new("Files can also be dropped on the window.").small().weak());
}

fn example_menu(ui: &mut Ui, bar: &Bar<'_>, actions: &mut Vec<Action>) {
    if ui.add_enabled(bar.opening.is_some(), Button::new("The opening contrast")).clicked() {
        actions.extend(bar.opening.clone());
    }
    if !bar.has_files {
        return;
    }
    ui.label(RichText::new("On the selected bench:").small().weak());
    for (index, title) in (bar.examples)().iter().enumerate() {
        if ui.button(title).clicked() {
            actions.push(Action::Example(index));
        }
    }
}

fn view_menu(ui: &mut Ui, preferences: &Preferences, actions: &mut Vec<Action>) {
    frame_boxes(ui);
    ui.label(RichText::new("Colours").strong());
    for (look, name) in Look::ALL {
        if ui.radio(preferences.look == look, name).clicked() {
            prefer(preferences, actions, |p| p.look = look);
        }
    }
    ui.label(RichText::new("Text size").strong());
    let mut percent = preferences.text_size * 100.0;
    let range = TEXT_SIZES.0 * 100.0..=TEXT_SIZES.1 * 100.0;
    ui.horizontal(|ui| {
        let slider = Slider::new(&mut percent, range).step_by(10.0).suffix(" %").show_value(false);
        let slider = named(ui.add(slider), "Text size, percent");
        // the window would move away under a pointer that is still pulling
        if slider.drag_stopped() || (slider.changed() && !slider.dragged()) {
            prefer(preferences, actions, |p| p.text_size = percent / 100.0);
        }
        for (text, name, step) in [("−", "Smaller text", -0.1), ("+", "Larger text", 0.1)] {
            if named(ui.button(text), name).clicked() {
                prefer(preferences, actions, |p| p.text_size = step_size(p.text_size, step));
            }
        }
        ui.label(format!("{:.0} %", preferences.text_size * 100.0));
    });
    ui.label(RichText::new("Names in the drawings").strong());
    for (detail, name) in LabelDetail::ALL {
        if ui.radio(preferences.labels == detail, name).clicked() {
            prefer(preferences, actions, |p| p.labels = detail);
        }
    }
    ui.separator();
    let mut reduced = preferences.reduced_motion;
    let motion = ui.checkbox(&mut reduced, "Reduced motion");
    if motion.on_hover_text("Nothing moves by itself: playing steps from event to event").changed() {
        prefer(preferences, actions, |p| p.reduced_motion = reduced);
    }
}

/// The next text size, in whole tenths.
pub fn step_size(size: f32, step: f32) -> f32 {
    (((size + step) * 10.0).round() / 10.0).clamp(TEXT_SIZES.0, TEXT_SIZES.1)
}

const KEYS: &[(&str, &str)] = &[
    ("Space", "play or pause"),
    ("← →", "a step back or forward: 2 ms, of a soak 15 s; with Shift ten steps"),
    ("[ ]", "event before, next event"),
    ("Home End", "begin or end of the run"),
    ("1 2 3", "play quickly, slower, slowest"),
    ("Wheel, pinch", "zoom the time axis about the pointer; sideways moves it"),
    ("Ctrl+O  Ctrl+S  Ctrl+Shift+S", "open, save, save as"),
    ("Ctrl+Z  Ctrl+Shift+Z", "undo, redo"),
    ("Ctrl+plus  Ctrl+minus", "larger or smaller text"),
    ("Tab  Shift+Tab", "next or previous control; Escape leaves it, so that the keys above work again"),
    ("Enter, Space", "work the control that has the ring; on a slider ← → turn it"),
    ("Page up  Page down", "lessons: move the text; on the projector the step before, the next step"),
    ("1 2 3 4", "questions: choose an answer; with Alt, arrows move a row that is to be put in order"),
    ("F1", "this page"),
];

/// Keys and what this is; `true` while it stays open.
pub fn help(ctx: &egui::Context) -> bool {
    let answer = egui::Modal::new(egui::Id::unique("help")).show(ctx, |ui| {
        let text = ui.text_style_height(&egui::TextStyle::Body);
        ui.set_max_width((text * 36.0).min(ctx.content_rect().width() - 60.0));
        ui.heading("Second Breath");
        ui.label("How a four-barrel carburettor delays its second pair of barrels, or feeds them, when the pedal is floored.");
        ui.label(RichText::new("Every figure comes from a computed run; every car in it is invented.").weak());
        ui.add_space(8.0);
        let keys = egui::Grid::new("keys").num_columns(2).spacing(egui::vec2(16.0, 4.0));
        keys.max_col_width(ui.available_width() - text * 13.0).show(ui, |ui| {
            for (key, what) in KEYS {
                ui.label(RichText::new(*key).strong());
                ui.label(*what);
                ui.end_row();
            }
        });
        ui.add_space(8.0);
        ui.button("Close").clicked()
    });
    !(answer.inner || answer.should_close())
}
