//! A page while it is painted: what it is painted with, what its reader does and wishes meanwhile, and how it moves.

use super::block::Deed;
use crate::app::actions::Purpose;
use crate::app::preferences::Preferences;
use crate::app::theme::Palette;
use crate::learning::course::PartBench;
use eframe::egui::{self, Id, Key, Modifiers, Rect, TextStyle, Ui};

/// What a page is painted with, and what its reader does meanwhile.
pub(in crate::app) struct Page<'a> {
    pub(in crate::app) preferences: &'a Preferences,
    pub(in crate::app) palette: &'static Palette,
    /// Deeds with the block's name within the lesson.
    pub(in crate::app) deeds: Vec<(String, Deed)>,
    pub(super) wishes: Vec<Wish>,
    /// The block that the keys of time move from now on.
    pub(super) active: Option<String>,
    /// The block whose new step takes the keyboard.
    pub(super) arrived: Option<String>,
    /// Whether the lesson has just been chosen: the keyboard goes to its title.
    pub(super) entered: bool,
    /// The block whose step took the keyboard in the last frame: it is shown from its top.
    pub(super) leapt: Option<String>,
    /// The same for the next frame.
    pub(super) leap: Option<String>,
    /// What has just been given the keyboard: it is brought into sight.
    pub(super) moved: Option<Id>,
}

impl<'a> Page<'a> {
    /// A page on which nothing has been done yet.
    pub(in crate::app) fn new(preferences: &'a Preferences, palette: &'static Palette) -> Self {
        Self {
            preferences,
            palette,
            deeds: Vec::new(),
            wishes: Vec::new(),
            active: None,
            arrived: None,
            entered: false,
            leapt: None,
            leap: None,
            moved: None,
        }
    }

    /// Give the keyboard to what a block's new step begins with; once.
    pub(super) fn arrive(&mut self, id: &str, response: &egui::Response) {
        if self.arrived.as_deref() == Some(id) {
            self.leap = self.arrived.take();
            response.request_focus();
        }
    }
}

/// Where the reader wants to go.
pub(super) enum Wish {
    /// The lesson with this stem.
    Lesson(String),
    /// The shipped scenario with this stem, on the bench.
    Scenario(String),
    /// Questions on the lesson with this stem.
    Questions(String),
    /// The bench of a part.
    Bench(PartBench),
    /// A handout, in a dialog or by path.
    Handout(Purpose, bool),
    /// The mark of a lesson that is done, set or taken away.
    Done(String, bool),
    /// One step at a time in large letters, or the whole page.
    Projector(bool),
    /// Another step of the projector.
    Step(usize),
    /// Another size of the projector's letters.
    Size(f32),
}

/// Page up and down move the text: between two controls there may be more than a window shows.
pub(in crate::app) fn turn_pages(ui: &Ui, height: f32) {
    if ui.ctx().text_edit_focused() {
        return;
    }
    for (key, sign) in [(Key::PageDown, -1.0), (Key::PageUp, 1.0)] {
        if ui.input_mut(|input| input.consume_key(Modifiers::NONE, key)) {
            ui.scroll_with_delta(egui::vec2(0.0, sign * 0.85 * height));
        }
    }
}

/// Bring what has the keyboard into sight.
pub(in crate::app) fn follow(ui: &Ui, focused: Option<Id>, clip: Rect) {
    let Some(response) = focused.and_then(|id| ui.ctx().read_response(id)) else { return };
    // menus above the page and lessons beside it have places of their own
    let within = ui.min_rect().expand(4.0).contains_rect(response.rect);
    let outside = response.interact_rect.is_positive() && !response.interact_rect.intersects(clip);
    if within && !outside {
        ui.scroll_to_rect(response.rect.expand2(egui::vec2(0.0, 24.0)), None);
    }
}

/// Width of a line that reads well.
pub(in crate::app) fn measure(ui: &Ui) -> f32 {
    (ui.text_style_height(&TextStyle::Body) * 42.0).min(ui.available_width())
}
