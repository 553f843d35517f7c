//! Running text: headings, paragraphs, lists, cautions, sources.

use super::page::{Page, Wish, measure};
use crate::app::actions::Purpose;
use crate::app::paint::named;
use crate::app::theme::bold;
use crate::learning::course::{Lesson, PartBench};
use crate::learning::outcomes::OUTCOMES;
use crate::learning::prose::{Block, Span, Style};
use crate::report::handout::Reader;
use crate::report::page::Paper;
use eframe::egui::accesskit::Role;
use eframe::egui::{Frame, Label, Margin, Response, RichText, Sense, Stroke, TextStyle, Ui};

/// Height of a line over the size of its letters.
const LEADING: f32 = 1.42;

/// Title, time and marks.
pub fn head(ui: &mut Ui, page: &mut Page<'_>, lesson: &Lesson) {
    title(ui, page, &lesson.title);
    ui.horizontal_wrapped(|ui| {
        ui.label(RichText::new(format!("About {} minutes", lesson.minutes)).color(page.palette.weak));
        if ui.button("Projector").on_hover_text("One step at a time in large letters").clicked() {
            page.wishes.push(Wish::Projector(true));
        }
        ui.menu_button("Print a handout …", |ui| handouts(ui, page));
    });
    for text in &lesson.cautions {
        caution(ui, page, text);
    }
}

/// For whom, on which paper, and how the file is chosen.
fn handouts(ui: &mut Ui, page: &mut Page<'_>) {
    for (name, reader) in [("For the class", Reader::Pupil), ("Instructor's key", Reader::Instructor)] {
        for (size, paper) in [("A4", Paper::A4), ("Letter", Paper::Letter)] {
            for (how, by_path) in [("", false), (", by path", true)] {
                if ui.button(format!("{name}, {size}{how} …")).clicked() {
                    page.wishes.push(Wish::Handout(Purpose::Handout(reader, paper), by_path));
                    ui.close();
                }
            }
        }
    }
    ui.label(RichText::new("The handout gives no answers away; the key has what the runs say.").small().weak());
}

/// What to take along, once everything is `told`, where it comes from, and the mark.
pub fn foot(ui: &mut Ui, page: &mut Page<'_>, lesson: &Lesson, told: bool) {
    // before that it would give answers away
    if told {
        outcomes(ui, page, lesson);
    }
    if !lesson.sources.is_empty() {
        heading(ui, page, 3, "Sources");
        for source in &lesson.sources {
            ui.scope(|ui| {
                ui.set_max_width(measure(ui));
                ui.label(RichText::new(source).small().color(page.palette.weak));
            });
        }
    }
    if let Some(bench) = lesson.bench {
        ui.add_space(8.0);
        let words = match bench {
            PartBench::UsedCarburettor => "Open one on the bench".to_owned(),
            bench => format!("Go on at the bench: {}", bench.label()),
        };
        if ui.button(words).clicked() {
            page.wishes.push(Wish::Bench(bench));
        }
    }
    ui.add_space(8.0);
    let hint = "A few questions in another setting, each explained when you have answered";
    if ui.button("Questions on this lesson").on_hover_text(hint).clicked() {
        page.wishes.push(Wish::Questions(lesson.stem.clone()));
    }
    ui.add_space(8.0);
    let mut done = page.preferences.lessons_done.contains(&lesson.stem);
    if ui.checkbox(&mut done, "This lesson is done").changed() {
        page.wishes.push(Wish::Done(lesson.stem.clone(), done));
    }
    ui.add_space(40.0);
}

fn outcomes(ui: &mut Ui, page: &mut Page<'_>, lesson: &Lesson) {
    let known = lesson.outcomes.iter().filter_map(|number| OUTCOMES.iter().find(|outcome| outcome.number == *number));
    heading(ui, page, 2, "What you can say now");
    for outcome in known {
        item(ui, page, "•", &[plain(outcome.text)]);
    }
}

fn plain(text: &str) -> Span {
    Span { text: text.to_owned(), style: Style::Plain }
}

/// A heading; 1 is the largest.
pub fn heading(ui: &mut Ui, page: &Page<'_>, level: u8, text: &str) {
    let size = |style: TextStyle| style.resolve(ui.style()).size;
    let (size, above) = match level {
        1 => (size(TextStyle::Heading) * 1.25, 4.0),
        2 => (size(TextStyle::Heading), 12.0),
        _ => (size(TextStyle::Body), 8.0),
    };
    ui.add_space(above);
    let label = ui.add(Label::new(RichText::new(text).family(bold()).size(size).color(page.palette.ink)).wrap());
    as_heading(&label, text);
    ui.add_space(2.0);
}

/// The lesson's title; the keyboard comes here from the list, so that the next key goes on from here.
fn title(ui: &mut Ui, page: &mut Page<'_>, words: &str) {
    let size = TextStyle::Heading.resolve(ui.style()).size * 1.25;
    ui.add_space(4.0);
    let text = RichText::new(words).family(bold()).size(size).color(page.palette.ink);
    let label = ui.add(Label::new(text).wrap().sense(Sense::focusable_noninteractive()));
    as_heading(&label, words);
    if std::mem::take(&mut page.entered) {
        label.request_focus();
    }
    ui.add_space(2.0);
}

/// Screen readers leap from heading to heading.
fn as_heading(label: &Response, text: &str) {
    label.ctx.accesskit_node_builder(label.id, |node| {
        node.set_role(Role::Heading);
        node.set_label(text.to_owned());
        node.clear_value();
    });
}

/// Blocks of text one under the other.
pub fn blocks(ui: &mut Ui, page: &mut Page<'_>, blocks: &[Block]) {
    for block in blocks {
        match block {
            Block::Heading(level, _) => heading(ui, page, (*level).max(2), &block.text()),
            Block::Paragraph(spans) => {
                ui.scope(|ui| {
                    ui.set_max_width(measure(ui));
                    line(ui, page, spans);
                });
                ui.add_space(5.0);
            }
            Block::Item(number, spans) => {
                let mark = number.map_or("•".to_owned(), |number| format!("{number}."));
                item(ui, page, &mark, spans);
            }
        }
    }
}

fn item(ui: &mut Ui, page: &mut Page<'_>, mark: &str, spans: &[Span]) {
    let width = measure(ui);
    ui.horizontal_top(|ui| {
        let indent = ui.text_style_height(&TextStyle::Body);
        ui.add_space(indent * 0.4);
        let text = words(ui, mark);
        ui.label(text);
        ui.vertical(|ui| {
            ui.set_max_width((width - indent * 2.0).min(ui.available_width()));
            line(ui, page, spans);
        });
    });
}

fn words(ui: &Ui, text: &str) -> RichText {
    RichText::new(text).line_height(Some(TextStyle::Body.resolve(ui.style()).size * LEADING))
}

fn line(ui: &mut Ui, page: &mut Page<'_>, spans: &[Span]) {
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = 0.0;
        for span in spans {
            let text = words(ui, &span.text);
            match &span.style {
                Style::Plain => ui.label(text),
                Style::Strong => ui.label(text.family(bold())),
                Style::Emphasis => ui.label(text.italics()),
                Style::Lesson(stem) => link(ui, page, text, &span.text, || Wish::Lesson(stem.clone())),
                Style::Scenario(stem) => link(ui, page, text, &span.text, || Wish::Scenario(stem.clone())),
            };
        }
    });
}

fn link(ui: &mut Ui, page: &mut Page<'_>, text: RichText, words: &str, wish: impl FnOnce() -> Wish) -> Response {
    let wish = wish();
    let name = match &wish {
        Wish::Scenario(_) => format!("{words}: opens on the bench"),
        _ => format!("{words}: leads to a lesson"),
    };
    let link = named(ui.link(text), &name);
    if link.clicked() {
        page.wishes.push(wish);
    }
    link
}

/// Care that the next step needs: a frame, a bar and the word, so that it is not told by colour alone.
pub fn caution(ui: &mut Ui, page: &mut Page<'_>, text: &str) {
    let palette = page.palette;
    ui.add_space(4.0);
    let frame = Frame::new()
        .stroke(Stroke::new(1.5, palette.heat))
        .fill(palette.heat.gamma_multiply(0.08))
        .inner_margin(Margin { left: 14, right: 10, top: 6, bottom: 6 });
    let drawn = frame.show(ui, |ui| {
        ui.set_max_width(measure(ui) - 24.0);
        ui.label(RichText::new("Caution").family(bold()).color(palette.heat));
        let text = words(ui, text);
        ui.add(Label::new(text).wrap());
    });
    let bar = drawn.response.rect.with_max_x(drawn.response.rect.left() + 5.0);
    ui.painter().rect_filled(bar, 0.0, palette.heat);
    ui.add_space(6.0);
}

/// A paragraph of plain words.
pub fn paragraph(ui: &mut Ui, text: &str) {
    for part in text.split("\n\n").map(|part| part.split_whitespace().collect::<Vec<_>>().join(" ")) {
        let text = words(ui, &part);
        ui.add(Label::new(text).wrap());
    }
}
