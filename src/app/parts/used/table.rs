//! The table with the carburettor: what can be opened, what one sees there, what one believes.

use super::{Deed, View, report};
use crate::app::paint::{Fit, canvas, focus_ring, named, tall_menu};
use crate::app::preferences::Preferences;
use crate::app::section::{Brush, fit, is_empty, room};
use crate::app::theme::{Palette, bold};
use crate::bench::faults::{Opened, Part};
use crate::scene::{self, Scene, opened};
use eframe::egui::accesskit::Role;
use eframe::egui::{
    self, Button, CentralPanel, ComboBox, DragValue, Frame, Label, Margin, Panel, RichText, ScrollArea, Sense,
    TextStyle, Ui, vec2,
};

/// How far beside a named point a click still means it, share of the drawing's height.
const NEAR: f64 = 0.12;

/// Everything.
pub fn show(ui: &mut Ui, view: &View, preferences: &Preferences, deeds: &mut Vec<Deed>) {
    let palette = Palette::of(ui.visuals());
    let style = if preferences.text_size > 1.4 { TextStyle::Body } else { TextStyle::Heading };
    let question = "It lies on a market table, washed and shining. What is wrong inside, and would you feel it?";
    let size = style.resolve(ui.style()).size;
    ui.add(Label::new(RichText::new(question).family(bold()).size(size)).wrap());
    choose(ui, view, deeds);
    if let Some(broken) = &view.broken {
        ui.label(RichText::new(broken).color(palette.error));
        return;
    }
    let text = ui.text_style_height(&TextStyle::Body);
    let roomy = ui.available_width() > text * 60.0;
    let margin = Frame::new().inner_margin(Margin { left: 0, right: 10, top: 4, bottom: 0 });
    if roomy {
        Panel::left("parts to open").frame(margin).resizable(false).exact_size(text * 16.0).show(ui, |ui| {
            ScrollArea::vertical()
                .id_salt("parts to open")
                .auto_shrink([false, false])
                .show(ui, |ui| walk(ui, view, deeds));
        });
    } else {
        ui.menu_button("Open a part", |ui| tall_menu(ui, 0.8, |ui| walk(ui, view, deeds)));
    }
    let answers = view.has_run || view.told;
    if roomy && answers {
        let margin = Frame::new().inner_margin(Margin { left: 10, right: 0, top: 4, bottom: 0 });
        let width = ui.available_width() * 0.44;
        Panel::right("what it does").frame(margin).resizable(true).default_size(width).show(ui, |ui| {
            ScrollArea::vertical().id_salt("what it does").auto_shrink([false, false]).show(ui, |ui| {
                report::show(ui, view, preferences);
            });
        });
    }
    let margin = Frame::new().inner_margin(Margin { left: if roomy { 12 } else { 0 }, right: 0, top: 4, bottom: 0 });
    CentralPanel::no_frame().frame(margin).show(ui, |ui| {
        ScrollArea::vertical().id_salt("looked at").auto_shrink([false, false]).show(ui, |ui| {
            looked_at(ui, view, preferences, deeds);
            if !roomy && answers {
                ui.add_space(8.0);
                report::show(ui, view, preferences);
            }
        });
    });
}

/// Which carburettor, and what to do with the whole of it.
fn choose(ui: &mut Ui, view: &View, deeds: &mut Vec<Deed>) {
    ui.horizontal_wrapped(|ui| {
        let kind = view.scenario().entry().name;
        let chosen = ComboBox::from_id_salt("kind of carburettor").selected_text(kind).show_ui(ui, |ui| {
            for (index, scenario) in view.kinds.iter().enumerate() {
                let entry = scenario.entry();
                if ui.selectable_label(index == view.kind, entry.name).on_hover_text(entry.summary).clicked() {
                    deeds.push(Deed::Kind(index));
                }
            }
        });
        named(chosen.response, "Kind of carburettor");
        let mut number = view.number;
        let field = ui.add(DragValue::new(&mut number).prefix("Number ").range(1..=9999).speed(0.1));
        let field = named(field, "Number of the carburettor");
        if field.on_hover_text("The same number is the same carburettor: a class can open one").changed() {
            deeds.push(Deed::Number(number));
        }
        if ui.button("Another one").on_hover_text("The next number").clicked() {
            deeds.push(Deed::Number(view.number % 9999 + 1));
        }
        ui.separator();
        let run = ui.add_enabled(!view.has_run, Button::new("Run it"));
        if run.on_hover_text("A stab of the pedal and an idle, beside the sound one").clicked() {
            deeds.push(Deed::Run);
        }
        let tell = ui.add_enabled(!view.told, Button::new("Tell me"));
        if tell.on_hover_text("What was planted, and what each fault does").clicked() {
            deeds.push(Deed::Tell);
        }
        ui.label(RichText::new("One to three faults, planted and invented.").small().weak());
    });
}

/// What can be opened, in order.
fn walk(ui: &mut Ui, view: &View, deeds: &mut Vec<Deed>) {
    let outside = ui.add(Button::selectable(view.shown.is_none(), "From outside"));
    if outside.clicked() {
        deeds.push(Deed::Look(None));
        ui.close();
    }
    for (index, opened) in view.walk().into_iter().enumerate() {
        let state = match (view.marked.contains(&opened.part), view.opened.contains(&opened.part)) {
            (true, _) => "faulty, you believe",
            (false, true) => "looked at",
            (false, false) => "not opened",
        };
        let button = ui.add(
            Button::selectable(view.shown == Some(opened.part), format!("{}. {}", index + 1, opened.title)).wrap(),
        );
        if named(button, &format!("Open {}: {}, {state}", index + 1, opened.title)).clicked() {
            deeds.push(Deed::Look(Some(opened.part)));
            ui.close();
        }
        ui.label(RichText::new(format!("     {state}")).small().weak());
    }
}

fn looked_at(ui: &mut Ui, view: &View, preferences: &Preferences, deeds: &mut Vec<Deed>) {
    let Some(part) = view.shown else { return outside(ui, view, preferences, deeds) };
    let walk = view.walk();
    let Some(opened) = walk.into_iter().find(|opened| opened.part == part) else { return };
    let palette = Palette::of(ui.visuals());
    ui.label(RichText::new(&opened.title).family(bold()));
    if !opened.caution.is_empty() {
        ui.add(Label::new(RichText::new(format!("Caution: {}", opened.caution)).color(palette.error)).wrap());
    }
    ui.add(Label::new(&opened.look).wrap());
    let fault = view.fault_of(part);
    let scene = opened::draw(view.scenario(), part, fault, preferences.units);
    let seen = fault.map_or(opened.sound.as_str(), |fault| fault.eye.as_str());
    picture(ui, &scene, &format!("{} by itself. {seen}", opened.title), 6.0, preferences);
    ui.add(Label::new(RichText::new(format!("You see: {seen}"))).wrap());
    belief(ui, view, opened, deeds);
}

fn belief(ui: &mut Ui, view: &View, opened: &Opened, deeds: &mut Vec<Deed>) {
    ui.scope(|ui| {
        crate::app::paint::frame_boxes(ui);
        let mut faulty = view.marked.contains(&opened.part);
        if ui.add_enabled(!view.told, egui::Checkbox::new(&mut faulty, "I believe that it is faulty")).changed() {
            deeds.push(Deed::Mark(opened.part, faulty));
        }
    });
}

/// The whole carburettor, sound as it looks: a click on a part opens it.
fn outside(ui: &mut Ui, view: &View, preferences: &Preferences, deeds: &mut Vec<Deed>) {
    ui.label(RichText::new("From outside").family(bold()));
    ui.label("It looks as new. Open a part from the list, or click on it in the drawing, which shows how it was made and filled.");
    let Some(Ok(ran)) = &view.ran else {
        ui.label(RichText::new("It is being laid on the table.").weak());
        return;
    };
    let scene = scene::draw(view.scenario(), &ran.still);
    let spoken = "Section of the carburettor as it was made; the list opens its parts";
    let Some((response, fit)) = picture(ui, &scene, spoken, 1.0, preferences) else { return };
    let Some(at) = response.interact_pointer_pos().filter(|_| response.clicked()) else { return };
    let near = NEAR * (scene.bounds.1.y - scene.bounds.0.y);
    let named = scene.part_near(fit.back(at)).filter(|(_, far)| *far < near);
    let part = named.and_then(|(part, _)| opened::opens(part.id));
    if let Some(part) = part.filter(|part: &Part| view.walk().iter().any(|opened| opened.part == *part)) {
        deeds.push(Deed::Look(Some(part)));
    }
}

/// A drawing with the names that fit, over room for so many lines of text; `None` where there is nothing to draw.
fn picture(
    ui: &mut Ui,
    scene: &Scene,
    spoken: &str,
    lines_below: f32,
    preferences: &Preferences,
) -> Option<(egui::Response, Fit)> {
    let palette = Palette::of(ui.visuals());
    let text = ui.text_style_height(&TextStyle::Body);
    let below = text * lines_below;
    let size = vec2(ui.available_width(), (ui.available_height() - below).max(text * 12.0));
    let (rect, response) = ui.allocate_exact_size(size, Sense::click());
    canvas(ui, &response, Role::Image, spoken);
    let painter = ui.painter_at(rect);
    if is_empty(scene) {
        return None;
    }
    let font = TextStyle::Small.resolve(ui.style());
    let brush = Brush { painter: &painter, palette, font, labels: preferences.labels, looked: &[] };
    let fit = fit(scene, scene.bounds, room(&brush, &[scene], scene.bounds, rect));
    brush.items(scene, &fit);
    brush.names(scene, &fit, rect);
    focus_ring(&painter, &response, palette);
    Some((response, fit))
}
