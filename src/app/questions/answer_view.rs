//! How each kind of question is answered, and an answer as it was given.

use super::page::{Arrive, Page, paragraph, spoken};
use super::point_view;
use super::question::{Deed, Question, Work};
use crate::app::lessons::block::Deed as RunDeed;
use crate::app::lessons::{free_view, predict_view};
use crate::app::paint::{frame_boxes, named};
use crate::app::theme::bold;
use crate::learning::prediction::Prediction;
use crate::learning::quiz::fault::{Fault, Measured};
use crate::learning::quiz::item::Kind;
use crate::learning::quiz::response::Response;
use crate::scene::parts::part;
use eframe::egui::{Button, Grid, Key, Label, Modifiers, RichText, Sense, TextEdit, TextStyle, Ui, UiBuilder};

/// What ends an answer of this kind.
pub fn button(work: &Work) -> &'static str {
    if matches!(work, Work::Tune) { "This is my answer" } else { "Answer" }
}

/// The answer in the making.
pub fn open(ui: &mut Ui, page: &mut Page<'_>, question: &Question) {
    frame_boxes(ui);
    match (&question.work, &question.asked.item.kind) {
        (Work::Choice(chosen), _) => options(ui, page, question, *chosen),
        (Work::Numeric(typed), _) => numeric(ui, page, typed),
        (Work::Order(places), _) => order(ui, page, question, places),
        (Work::Point(_, chosen), _) => point_view::list(ui, page, question, *chosen),
        (Work::Sketch, _) => {
            if let (Prediction::Sketch(sketch), Some(sheet)) = (&question.live.prediction, &question.block.sheet) {
                predict_view::sheet(ui, &mut page.run, &question.live, sketch, sheet);
            }
        }
        (Work::Tune, _) => tune(ui, page, question),
        (Work::Fault(measured, chosen), Kind::Fault(fault)) => {
            measures(ui, page, question, fault, Some(measured));
            ui.add_space(6.0);
            options(ui, page, question, *chosen);
        }
        (Work::Fault(..), _) => {}
    }
}

/// What is to choose from, an option or a candidate, with the figure that chooses it too.
fn options(ui: &mut Ui, page: &mut Page<'_>, question: &Question, chosen: Option<usize>) {
    const KEYS: [Key; 8] = [Key::Num1, Key::Num2, Key::Num3, Key::Num4, Key::Num5, Key::Num6, Key::Num7, Key::Num8];
    for (row, (place, text)) in question.asked.choices().into_iter().enumerate() {
        let radio = ui.radio(chosen == Some(place), format!("{}  {text}", row + 1));
        let by_key = KEYS.get(row).is_some_and(|key| {
            !ui.ctx().text_edit_focused() && ui.input_mut(|input| input.consume_key(Modifiers::NONE, *key))
        });
        if radio.clicked() || by_key {
            page.deeds.push(Deed::Choose(place));
        }
        ui.add_space(2.0);
    }
    let count = question.asked.order.len();
    ui.label(RichText::new(format!("The keys 1 to {count} choose too.")).small().color(page.palette().weak));
}

fn numeric(ui: &mut Ui, page: &mut Page<'_>, typed: &str) {
    let mut text = typed.to_owned();
    let width = ui.text_style_height(&TextStyle::Body) * 12.0;
    let edit = TextEdit::singleline(&mut text).hint_text("Number and unit").desired_width(width).char_limit(60);
    let field = named(ui.add(edit), "Your answer, a number with its unit");
    if field.changed() {
        page.deeds.push(Deed::Type(text));
    }
    if field.lost_focus() && ui.input(|input| input.key_pressed(Key::Enter)) {
        page.deeds.push(Deed::Answer);
        // what is not understood is mended here; else the verdict takes the keyboard
        field.request_focus();
    }
}

/// Rows that go up and down by buttons, or by Alt and an arrow while one of them has the keyboard.
fn order(ui: &mut Ui, page: &mut Page<'_>, question: &Question, places: &[usize]) {
    let choices = question.asked.choices();
    let label = |place: usize| choices.iter().find(|(of, _)| *of == place).map_or("", |(_, text)| *text);
    ui.label(
        RichText::new("The first on top. Alt with an arrow key moves the row whose button is framed.")
            .small()
            .color(page.palette().weak),
    );
    for (row, place) in places.iter().enumerate() {
        let name = label(*place);
        // a row keeps its buttons, and with them the keyboard, wherever it goes
        let id = ui.scope_id().with(("event", place));
        ui.scope_builder(UiBuilder::new().scope_id(id), |ui| {
            ui.horizontal(|ui| {
                let up = ui.add_enabled(row > 0, Button::new("Up"));
                let up = named(up, &format!("{name}: up"));
                let down = ui.add_enabled(row + 1 < places.len(), Button::new("Down"));
                let down = named(down, &format!("{name}: down"));
                let has_keyboard = up.has_focus() || down.has_focus();
                let pressed =
                    |ui: &mut Ui, key| has_keyboard && ui.input_mut(|input| input.consume_key(Modifiers::ALT, key));
                if up.clicked() || pressed(ui, Key::ArrowUp) {
                    page.deeds.push(Deed::Move(row, false));
                    // at the top its own button rests: the other one takes the keyboard
                    if row == 1 {
                        down.request_focus();
                    }
                }
                if down.clicked() || pressed(ui, Key::ArrowDown) {
                    page.deeds.push(Deed::Move(row, true));
                    if row + 2 == places.len() {
                        up.request_focus();
                    }
                }
                spoken(ui.label(format!("{}.  {name}", row + 1)), &format!("Place {}: {name}", row + 1));
            });
        });
    }
}

fn tune(ui: &mut Ui, page: &mut Page<'_>, question: &Question) {
    let Kind::Tune(tune) = &question.asked.item.kind else { return };
    free_view::settings(ui, &mut page.run, &question.live, &question.block);
    let changed = tune.changed(&question.asked.benches, &question.block.values);
    let text = RichText::new(format!("Changed: {changed} of {}", tune.changes)).family(bold());
    let colour = if changed > tune.changes { page.palette().error } else { page.palette().ink };
    ui.label(text.color(colour));
    ui.horizontal_wrapped(|ui| {
        let attempt = ui.button("Try it").on_hover_text("Run it as it stands, as often as you like");
        if attempt.clicked() {
            page.deeds.push(Deed::Try);
        }
        if ui.add_enabled(changed > 0, Button::new("Back to the start")).clicked() {
            page.deeds.push(Deed::Run(RunDeed::Back));
            // this button rests now: its neighbour takes the keyboard
            attempt.request_focus();
        }
        if question.waiting() {
            ui.weak("It is being run.");
        }
    });
}

/// Figures of the sound car and of this one; those that are not measured yet wait behind a button.
fn measures(ui: &mut Ui, page: &mut Page<'_>, question: &Question, fault: &Fault, measured: Option<&[bool]>) {
    let Some(shown) = question.shown() else {
        match &question.block.error {
            Some(error) => ui.label(RichText::new(error).color(page.palette().error)),
            None => ui.weak("Both cars are being run."),
        };
        return;
    };
    let sound = question.live.benches.len() - question.asked.benches.len();
    let narrow = ui.available_width() * 0.4;
    Grid::new("measures").num_columns(3).striped(true).spacing([14.0, 4.0]).show(ui, |ui| {
        for name in ["Figure", "Sound car", "This car"] {
            ui.label(RichText::new(name).family(bold()));
        }
        ui.end_row();
        for (place, measure) in fault.measures.iter().enumerate() {
            let name = figure_name(measure, question);
            ui.scope(|ui| {
                ui.set_max_width(narrow);
                ui.add(Label::new(&name).wrap());
            });
            if measured.is_none_or(|measured| measured.get(place) == Some(&true)) {
                let values = [measure.shown(&shown.seen[..sound]), measure.shown(question.seen(shown))];
                for (car, value) in ["sound car", "this car"].into_iter().zip(values) {
                    // the keyboard goes on from what has taken the place of the button
                    let is_stop = measured.is_some() && car == "sound car";
                    let sense = if is_stop { Sense::focusable_noninteractive() } else { Sense::hover() };
                    let label = ui.add(Label::new(&value).sense(sense));
                    if is_stop {
                        page.arrives(Arrive::Figure(place), &label);
                    }
                    spoken(label, &format!("{name}, {car}: {value}"));
                }
            } else if named(ui.button("Measure"), &format!("Measure: {name}")).clicked() {
                page.deeds.push(Deed::Measure(place));
                page.arrive = Some(Arrive::Figure(place));
            }
            ui.end_row();
        }
    });
}

/// The figure in words; with the bench where there are several.
fn figure_name(measure: &Measured, question: &Question) -> String {
    let name = measure.figure.label();
    match question.asked.benches.len() {
        1 => name,
        _ => format!("{name}, {}", question.asked.item.benches.get(measure.bench).map_or("", |bench| &bench.name)),
    }
}

/// The answer as it was given.
pub fn given(ui: &mut Ui, page: &mut Page<'_>, question: &Question, response: &Response) {
    let asked = &question.asked;
    let palette = page.palette();
    let label = |place: usize| asked.choices().into_iter().find(|(of, _)| *of == place).map_or("", |(_, text)| text);
    let text = match response {
        Response::Skipped => "You gave no answer.".to_owned(),
        Response::Choice(place) | Response::Fault(place) => format!("You chose: {}.", label(*place)),
        Response::Numeric(typed) => format!("You wrote: {}.", typed.trim()),
        Response::Order(places) => {
            let names: Vec<String> = places.iter().map(|place| label(*place).to_lowercase()).collect();
            format!("Your order: {}.", names.join(", then "))
        }
        Response::Point(id) => format!("You pointed at: {}.", part(id).map_or(id.as_str(), |part| part.text)),
        Response::Sketch(_) => "Your curve lies over the run, dotted.".to_owned(),
        Response::Tune(values) => format!("You set: {}.", settings(page, question, values)),
    };
    paragraph(ui, &text, palette.accent);
    match &asked.item.kind {
        Kind::Choice(choice) => {
            for (place, text) in asked.choices() {
                let is_right = choice.options.get(place).is_some_and(|option| option.right);
                let is_chosen = *response == Response::Choice(place);
                let note = match (is_right, is_chosen) {
                    (true, true) => " — right, your answer",
                    (true, false) => " — right",
                    (false, true) => " — your answer",
                    (false, false) => "",
                };
                paragraph(ui, &format!("•  {text}{note}"), if is_right { palette.ink } else { palette.weak });
            }
        }
        Kind::Fault(fault) => measures(ui, page, question, fault, None),
        Kind::Sketch(sketch) => {
            let enough = format!("A curve counts as right from {:.0} of 100.", 100.0 * sketch.enough);
            paragraph(ui, &enough, palette.weak);
        }
        _ => {}
    }
}

/// What was set, in words.
fn settings(page: &Page<'_>, question: &Question, values: &[Option<f64>]) -> String {
    let units = page.run.preferences.units;
    let set = question.live.free.iter().zip(values).filter_map(|(free, value)| {
        Some(format!("{} {}", free.setting.label.to_lowercase(), free.setting.shown((*value)?, units)))
    });
    let set: Vec<String> = set.collect();
    if set.is_empty() { "nothing".to_owned() } else { set.join(", ") }
}
