//! What the screen is painted with, what its reader does meanwhile, and small means that its parts share.

use super::plan::Plan;
use super::question::Deed;
use crate::advice::recommend::phrase::capital;
use crate::app::lessons;
use crate::app::preferences::Preferences;
use crate::app::theme::{Palette, bold};
use eframe::egui::accesskit::Role;
use eframe::egui::text::{LayoutJob, TextFormat};
use eframe::egui::{
    Color32, FontFamily, FontId, Key, KeyboardShortcut, Label, Modifiers, Response, RichText, Sense, Shape, Stroke,
    TextStyle, Ui, pos2, vec2,
};

/// Keys that answer, or go on to the next question, from anywhere on the page.
pub const GO_ON: KeyboardShortcut = KeyboardShortcut::new(Modifiers::COMMAND, Key::Enter);

/// Height of a line over the size of its letters.
const LEADING: f32 = 1.42;

/// A frame of the screen.
pub struct Page<'a> {
    /// What drawings, traces, sheets and sliders of lessons are painted with.
    pub run: lessons::Page<'a>,
    /// What the learner did with the question.
    pub deeds: Vec<Deed>,
    /// Where the learner wants to go.
    pub wishes: Vec<Wish>,
    /// Where the keyboard goes, once.
    pub arrive: Option<Arrive>,
    /// Whether the keys that answer or go on were pressed.
    pub goes_on: bool,
    /// The part of the section that stands under the pointer or the keyboard in the list of parts, by its place.
    pub listed: Option<usize>,
}

/// Where the keyboard goes when something new is shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Arrive {
    /// The title of the first page.
    Start,
    /// Who answers.
    Who,
    /// The button that begins questions on a lesson.
    Lesson,
    /// The question.
    Stem,
    /// The drawing to point at.
    Drawing,
    /// A figure that has just been measured, by its place.
    Figure(usize),
    /// What is said to the answer.
    Verdict,
    /// What came of all answers.
    Result,
}

/// Where the learner wants to go.
#[derive(Debug, Clone)]
pub enum Wish {
    /// Another plan.
    Plan(Box<Plan>),
    /// Practise without a record.
    Nobody,
    /// Answer under the code that is typed.
    Code,
    /// A code of one's own.
    NewLearner,
    /// Try the records folder again.
    Folder,
    /// Choose a records folder in a dialog.
    ChooseFolder,
    /// Write the path of a records folder.
    WriteFolder,
    /// Questions on the chosen lesson.
    BeginLesson,
    /// What is due.
    BeginReview,
    /// A test.
    BeginTest,
    /// To the first page; the row stays.
    Leave,
    /// Back to the row.
    Resume,
    /// The next question.
    Next,
    /// Keep the shown answer again.
    KeepAgain,
    /// Go on; it is kept again later.
    KeepLater,
    /// Keep all that is left again.
    KeepRest,
    /// End the test before its last question.
    End,
    /// More time.
    Extend,
    /// Look at a question of a finished row.
    Look(usize),
    /// Back to what came of it.
    Result,
    /// Away with a finished row.
    Done,
    /// Read a lesson.
    Read(String),
}

impl<'a> Page<'a> {
    /// A page on which nothing has been done yet.
    pub fn new(preferences: &'a Preferences, palette: &'static Palette, arrive: Option<Arrive>) -> Self {
        let run = lessons::Page::new(preferences, palette);
        Self { run, deeds: Vec::new(), wishes: Vec::new(), arrive, goes_on: false, listed: None }
    }

    /// Colours.
    pub fn palette(&self) -> &'static Palette {
        self.run.palette
    }

    /// Give the keyboard to what has just arrived; once.
    pub fn arrives(&mut self, at: Arrive, response: &Response) {
        if self.arrive == Some(at) {
            self.arrive = None;
            response.request_focus();
            response.scroll_to_me(None);
        }
    }

    /// A text that the keyboard can come to, so that it is read out and the next key goes on from there.
    pub fn stop(&mut self, ui: &mut Ui, at: Arrive, job: LayoutJob, role: Option<Role>) {
        let words = job.text.clone();
        let label = ui.add(Label::new(job).wrap().sense(Sense::focusable_noninteractive()));
        if let Some(role) = role {
            label.ctx.accesskit_node_builder(label.id, |node| {
                node.set_role(role);
                node.set_label(words);
                node.clear_value();
            });
        }
        self.arrives(at, &label);
        // room for the ring round it
        ui.add_space(4.0);
    }
}

/// Size of running text, times `factor`.
pub fn size(ui: &Ui, factor: f32) -> f32 {
    TextStyle::Body.resolve(ui.style()).size * factor
}

/// A text with its `*emphasis*` and `**strong words**`.
pub fn job(text: &str, size: f32, family: FontFamily, colour: Color32) -> LayoutJob {
    let mut job = LayoutJob::default();
    let mut format = TextFormat::simple(FontId::new(size, family.clone()), colour);
    format.line_height = Some(size * LEADING);
    for (place, strong) in text.split("**").enumerate() {
        for (inner, words) in strong.split('*').enumerate() {
            let mut format = format.clone();
            format.italics = inner % 2 == 1;
            if place % 2 == 1 {
                format.font_id.family = bold();
            }
            if !words.is_empty() {
                job.append(words, 0.0, format);
            }
        }
    }
    job
}

/// A paragraph of plain words, with emphasis.
pub fn paragraph(ui: &mut Ui, text: &str, colour: Color32) {
    let text = job(text, size(ui, 1.0), FontFamily::Proportional, colour);
    ui.add(Label::new(text).wrap());
}

/// The bold button that ends an answer or goes on, with its keys beside it; whether either was used.
pub fn go_on(ui: &mut Ui, page: &Page<'_>, name: &str) -> bool {
    let is_clicked = ui.button(RichText::new(name).family(bold())).clicked();
    ui.label(RichText::new(ui.ctx().format_shortcut(&GO_ON)).small().color(page.palette().weak));
    is_clicked || page.goes_on
}

/// What is wrong, as a sentence.
pub fn complaint(ui: &mut Ui, page: &Page<'_>, why: &str) {
    let sentence = capital(why.trim_end_matches('.')) + ".";
    ui.add(Label::new(RichText::new(sentence).color(page.palette().error)).wrap());
}

/// A short text with what is read out in its place, where it is too short to be understood alone.
pub fn spoken(text: Response, words: &str) {
    // a text is read out by its value
    text.ctx.accesskit_node_builder(text.id, |node| node.set_value(words.to_owned()));
}

/// A heading of a part of the page.
pub fn heading(ui: &mut Ui, text: &str) {
    ui.add_space(10.0);
    let size = TextStyle::Heading.resolve(ui.style()).size;
    let label = ui.add(Label::new(RichText::new(text).family(bold()).size(size)).wrap());
    label.ctx.accesskit_node_builder(label.id, |node| {
        node.set_role(Role::Heading);
        node.set_label(text.to_owned());
        node.clear_value();
    });
    ui.add_space(2.0);
}

/// How good an answer was.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Mark {
    /// Right.
    Right,
    /// Right in part.
    Partly,
    /// Wrong, or not given.
    Wrong,
}

impl Mark {
    /// Of a grade.
    pub fn of(right: bool, score: f64) -> Self {
        match (right, score > 0.0) {
            (true, _) => Self::Right,
            (false, true) => Self::Partly,
            (false, false) => Self::Wrong,
        }
    }

    /// In words.
    pub fn word(self) -> &'static str {
        match self {
            Self::Right => "Right",
            Self::Partly => "Right in part",
            Self::Wrong => "Wrong",
        }
    }

    /// Its colour; its form and the word beside it say the same.
    pub fn colour(self, palette: &Palette) -> Color32 {
        match self {
            Self::Right => palette.accent,
            Self::Partly => palette.fuel,
            Self::Wrong => palette.heat,
        }
    }

    /// A tick, a wave or a cross in line with the text.
    pub fn paint(self, ui: &mut Ui, palette: &Palette) {
        let side = size(ui, 1.0);
        let (rect, _) = ui.allocate_exact_size(vec2(side, side * LEADING), Sense::hover());
        let (centre, half) = (rect.center(), side * 0.38);
        let stroke = Stroke::new((side * 0.15).max(1.5), self.colour(palette));
        let at = |x: f32, y: f32| pos2(centre.x + x * half, centre.y + y * half);
        let lines: &[&[(f32, f32)]] = match self {
            Self::Right => &[&[(-1.0, 0.0), (-0.3, 0.8), (1.0, -0.9)]],
            Self::Partly => &[&[(-1.0, 0.3), (-0.4, -0.4), (0.4, 0.4), (1.0, -0.3)]],
            Self::Wrong => &[&[(-0.8, -0.8), (0.8, 0.8)], &[(-0.8, 0.8), (0.8, -0.8)]],
        };
        for line in lines {
            ui.painter().add(Shape::line(line.iter().map(|(x, y)| at(*x, *y)).collect(), stroke));
        }
    }
}
