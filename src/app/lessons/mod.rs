//! Lessons: prose with live blocks that are predicted, observed and explained.
//!
//! What the learner does becomes a deed of a block and is applied before the next drawing; runs happen on the runner; the
//! screen paints finished runs at a cursor time.

pub(super) mod block;
mod explain_view;
pub(super) mod free_view;
mod list;
mod live_view;
pub(super) mod observe_view;
pub(super) mod plot;
pub(super) mod predict_view;
mod projector;
pub(super) mod prose_view;
pub(super) mod runner;
pub(super) mod sections;
pub(super) mod sheet;
mod shelf;

use super::actions::{Action, Purpose};
use super::preferences::Preferences;
use super::screen::Screen;
use super::theme::Palette;
use crate::content::library;
use crate::learning::course::{Lesson, PartBench, Piece};
use crate::learning::prose;
use block::{Block, Deed, Phase};
use eframe::egui::{self, Context, Id, Key, Modifiers, Rect, ScrollArea, TextStyle, Ui};
use runner::Runner;
use shelf::Shelf;
use std::collections::HashMap;
use std::sync::Arc;
use std::time::Duration;

/// What a page is painted with, and what its reader does meanwhile.
pub(super) struct Page<'a> {
    pub(super) preferences: &'a Preferences,
    pub(super) palette: &'static Palette,
    /// Deeds with the block's name within the lesson.
    pub(super) deeds: Vec<(String, Deed)>,
    wishes: Vec<Wish>,
    /// The block that the keys of time move from now on.
    active: Option<String>,
    /// The block whose new step takes the keyboard.
    arrived: Option<String>,
    /// Whether the lesson has just been chosen: the keyboard goes to its title.
    entered: bool,
    /// The block whose step took the keyboard in the last frame: it is shown from its top.
    leapt: Option<String>,
    /// The same for the next frame.
    leap: Option<String>,
}

impl<'a> Page<'a> {
    /// A page on which nothing has been done yet.
    pub(super) fn new(preferences: &'a Preferences, palette: &'static Palette) -> Self {
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
        }
    }

    /// Give the keyboard to what a block's new step begins with; once.
    fn arrive(&mut self, id: &str, response: &egui::Response) {
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

/// What this screen remembers.
#[derive(Default)]
pub struct View {
    shelf: Shelf,
    stem: String,
    blocks: HashMap<(String, String), Block>,
    runner: Option<Runner>,
    deeds: Vec<(String, Deed)>,
    /// The block that the keys of time move.
    active: String,
    /// The block that has just come to another step: the keyboard goes there, for the button that led there is gone.
    arrived: String,
    /// Step and size of the letters while the projector is on.
    projector: Option<projector::Projector>,
    to_top: bool,
    entered: bool,
    leap: Option<String>,
    focused: Option<Id>,
    still_since: f64,
}

impl View {
    /// Whether the lesson has the window to itself.
    pub fn is_projected(&self) -> bool {
        self.projector.is_some()
    }

    /// Stem of the lesson that is shown.
    pub fn stem(&self) -> &str {
        &self.stem
    }

    /// The lesson that is shown.
    pub fn shown_lesson(&self) -> Option<Lesson> {
        self.shelf.course().lesson(&self.stem).cloned()
    }

    /// Show a lesson.
    pub fn go_to(&mut self, stem: &str) {
        if self.stem != stem {
            stem.clone_into(&mut self.stem);
            self.to_top = true;
            self.active.clear();
            if let Some(projector) = &mut self.projector {
                projector.step = 0;
            }
        }
    }

    /// Show a lesson that is asked for elsewhere; the keyboard goes to its title.
    pub fn read(&mut self, stem: &str) {
        self.go_to(stem);
        self.entered = true;
    }

    /// What a key of time does to the block that was touched last; every other action comes back.
    pub fn take(&mut self, action: Action) -> Option<Action> {
        let deed = match action {
            Action::TogglePlay => Deed::TogglePlay,
            Action::Speed(index) => Deed::Speed(index),
            Action::Seek(time) => Deed::Seek(if time == 0.0 { f64::NEG_INFINITY } else { time }),
            Action::Step(by) => Deed::Step(by),
            Action::ToEvent { forward } => Deed::ToEvent(forward),
            other => return Some(other),
        };
        if !self.active.is_empty() {
            self.deeds.push((self.active.clone(), deed));
        }
        None
    }

    /// Wait until every block has been answered or `limit` has passed for one of them; `true` if all were.
    pub fn wait_for_runs(&mut self, limit: Duration) -> bool {
        while self.blocks.values().any(|block| block.waiting() && !block.stale) {
            match self.runner.as_ref().and_then(|runner| runner.wait(limit)) {
                Some(reply) => self.receive(reply),
                None => return false,
            }
        }
        true
    }

    /// The screen.
    pub fn show(&mut self, ui: &mut Ui, preferences: &Preferences, actions: &mut Vec<Action>) {
        self.advance(ui.ctx(), preferences);
        let course = Arc::clone(self.shelf.course());
        let palette = Palette::of(ui.visuals());
        let mut page = Page::new(preferences, palette);
        page.leapt = self.leap.take();
        page.entered = std::mem::take(&mut self.entered);
        page.arrived = Some(std::mem::take(&mut self.arrived)).filter(|id| !id.is_empty());
        let lesson = course.lesson(&self.stem);
        if let (Some(projector), Some(lesson)) = (&self.projector, lesson) {
            projector.show(ui, &mut page, lesson, &self.blocks);
        } else {
            list::show(ui, &mut page, &self.shelf, &self.stem);
            match lesson {
                Some(lesson) => self.lesson(ui, &mut page, lesson),
                None => {
                    ui.label("There is no lesson here yet: mend what is listed, or choose another course folder.");
                }
            }
        }
        self.take_in(page, preferences, actions, ui.ctx());
    }

    /// A lesson from top to bottom.
    fn lesson(&mut self, ui: &mut Ui, page: &mut Page<'_>, lesson: &Lesson) {
        let mut area = ScrollArea::vertical().id_salt("lesson").auto_shrink([false, false]);
        if std::mem::take(&mut self.to_top) {
            area = area.vertical_scroll_offset(0.0);
        }
        let focused = ui.ctx().memory(|memory| memory.focused());
        let moved = focused != self.focused;
        self.focused = focused;
        // the line beside the list keeps its distance from the text
        let margin = egui::Margin { left: 12, ..egui::Margin::ZERO };
        area.content_margin(margin).show(ui, |ui| {
            let clip = ui.clip_rect();
            ui.set_max_width(ui.available_width() - 12.0);
            prose_view::head(ui, page, lesson);
            let (mut told, mut all_told) = (true, true);
            let last = lesson.pieces.iter().rposition(|piece| matches!(piece, Piece::Live(_))).unwrap_or(0);
            for (place, piece) in lesson.pieces.iter().enumerate() {
                match piece {
                    // what there is to take home would give every answer away
                    Piece::Prose(_) if place > last && !all_told => {
                        ui.weak("What there is to take home follows when every experiment has been explained.");
                    }
                    // and what follows a block up to the next heading that block's
                    Piece::Prose(blocks) => prose_view::blocks(ui, page, &blocks[withheld(blocks, told)..]),
                    Piece::Caution(text) => prose_view::caution(ui, page, text),
                    Piece::Live(live) => {
                        let block = self.blocks.get(&(lesson.stem.clone(), live.id.clone()));
                        if let Some(block) = block {
                            told = block.phase == Phase::Explain;
                            all_told &= told;
                            live_view::show(ui, page, live, block);
                        }
                    }
                }
            }
            prose_view::foot(ui, page, lesson);
            turn_pages(ui, clip.height());
            if moved && page.leapt.is_none() {
                follow(ui, focused, clip);
            }
        });
    }

    /// Let everything come in that has happened since the last frame.
    fn advance(&mut self, ctx: &Context, preferences: &Preferences) {
        let changed = self.shelf.refresh(ctx, &preferences.course_folder);
        self.blocks.retain(|(stem, _), _| !changed.contains(stem));
        if self.shelf.course().lesson(&self.stem).is_none() {
            let first = self.shelf.course().lessons.first().map(|lesson| lesson.stem.clone());
            self.go_to(&first.unwrap_or_default());
        }
        while let Some(reply) = self.runner.as_ref().and_then(Runner::reply) {
            self.receive(reply);
        }
        let course = Arc::clone(self.shelf.course());
        let Some(lesson) = course.lesson(&self.stem) else { return };
        for live in lesson.live() {
            let block = self.blocks.entry((lesson.stem.clone(), live.id.clone()));
            block.or_insert_with(|| Block::new(self.shelf.next_key(), live));
        }
        for (id, deed) in std::mem::take(&mut self.deeds) {
            let live = lesson.live().find(|live| live.id == id);
            let block = self.blocks.get_mut(&(lesson.stem.clone(), id.clone()));
            if let Some((live, block)) = live.zip(block) {
                let before = block.phase;
                block.apply(deed, live);
                if block.phase != before {
                    self.arrived = id.clone();
                }
                self.active = id;
            }
        }
        self.ask_runs(lesson, ctx);
        self.pass_time(ctx, preferences);
    }

    fn ask_runs(&mut self, lesson: &Lesson, ctx: &Context) {
        for live in lesson.live() {
            let Some(block) = self.blocks.get_mut(&(lesson.stem.clone(), live.id.clone())) else { continue };
            if !std::mem::take(&mut block.stale) {
                continue;
            }
            let runner = self.runner.get_or_insert_with(|| {
                let wake = ctx.clone();
                Runner::new(move || wake.request_repaint())
            });
            match live.turned(&block.values) {
                Ok(benches) => runner.ask(block.key, block.revision, benches, live.needs_steady()),
                Err(refused) => {
                    block.answered = block.revision;
                    block.error = Some(refused);
                }
            }
        }
    }

    fn receive(&mut self, reply: runner::Reply) {
        if let Some(block) = self.blocks.values_mut().find(|block| block.key == reply.key) {
            block.receive(reply);
        }
    }

    fn pass_time(&mut self, ctx: &Context, preferences: &Preferences) {
        let stem = &self.stem;
        let playing = self.blocks.iter_mut().filter(|((of, _), block)| of == stem && block.playing);
        for (_, block) in playing {
            if preferences.reduced_motion {
                // stills: an event stays for a while, then the next one is shown
                const STILL_S: f64 = 2.5;
                let now = ctx.input(|input| input.time);
                if now - self.still_since >= STILL_S {
                    self.still_since = now;
                    block.step_to_event(true);
                    block.playing = block.cursor_s < block.span_s().1;
                }
                ctx.request_repaint_after(Duration::from_millis(100));
            } else {
                block.tick(f64::from(ctx.input(|input| input.stable_dt)).min(0.1));
                ctx.request_repaint();
            }
        }
    }

    /// What the reader did while the page was painted.
    fn take_in(&mut self, page: Page<'_>, preferences: &Preferences, actions: &mut Vec<Action>, ctx: &Context) {
        let Page { deeds, wishes, active, arrived, leap, .. } = page;
        self.leap = leap;
        // a run may come a few frames later than the step
        self.arrived = arrived.unwrap_or_default();
        if let Some(active) = active {
            self.active = active;
        }
        if !deeds.is_empty() || !wishes.is_empty() {
            ctx.request_repaint();
        }
        self.deeds.extend(deeds);
        for wish in wishes {
            match wish {
                Wish::Lesson(stem) => self.read(&stem),
                Wish::Scenario(stem) => {
                    let place = library::shipped().iter().position(|shipped| shipped.stem == stem);
                    actions.extend(place.map(Action::Example));
                    actions.push(Action::GoTo(Screen::Benches));
                }
                Wish::Questions(stem) => actions.push(Action::QuestionsOn(stem)),
                Wish::Bench(bench) => actions.push(Action::GoTo(screen_of(bench))),
                Wish::Handout(purpose, by_path) => actions.push(Action::Handout { purpose, by_path }),
                Wish::Done(stem, done) => actions.extend(marked(preferences, stem, done)),
                Wish::Projector(on) => self.projector = on.then(projector::Projector::default),
                Wish::Step(step) => {
                    if let Some(projector) = &mut self.projector {
                        projector.step = step;
                    }
                }
                Wish::Size(size) => {
                    if let Some(projector) = &mut self.projector {
                        projector.size = size;
                    }
                }
            }
        }
        if self.all_explained() {
            actions.extend(marked(preferences, self.stem.clone(), true));
        }
    }

    /// Whether the last block of the lesson has just been explained: only then is the mark set by itself, so that the
    /// reader can take it away again.
    fn all_explained(&self) -> bool {
        let Some(lesson) = self.shelf.course().lesson(&self.stem) else { return false };
        let explains = self.deeds.iter().any(|(_, deed)| matches!(deed, Deed::Explain));
        let is_told = |id: &String| {
            let block = self.blocks.get(&(self.stem.clone(), id.clone()));
            block.is_some_and(|block| block.phase == Phase::Explain)
                || self.deeds.iter().any(|(of, deed)| of == id && matches!(deed, Deed::Explain))
        };
        explains && lesson.live().all(|live| is_told(&live.id))
    }
}

/// The screen on which a bench stands.
fn screen_of(bench: PartBench) -> Screen {
    match bench {
        PartBench::IdleCircuit => Screen::IdleCircuit,
        PartBench::AcceleratorPump => Screen::AcceleratorPump,
        PartBench::HeatSoak => Screen::HeatSoak,
        PartBench::UsedCarburettor => Screen::UsedCarburettor,
    }
}

fn marked(preferences: &Preferences, stem: String, done: bool) -> Option<Action> {
    if preferences.lessons_done.contains(&stem) == done {
        return None;
    }
    let mut changed = preferences.clone();
    changed.lessons_done.retain(|other| *other != stem);
    if done {
        changed.lessons_done.push(stem);
    }
    Some(Action::Prefer(Box::new(changed)))
}

/// How many blocks of prose wait until the experiment before them is explained.
fn withheld(blocks: &[prose::Block], told: bool) -> usize {
    let heading = || blocks.iter().position(|block| matches!(block, prose::Block::Heading(..)));
    if told { 0 } else { heading().unwrap_or(blocks.len()) }
}

/// Page up and down move the text: between two controls there may be more than a window shows.
pub(super) fn turn_pages(ui: &Ui, height: f32) {
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
pub(super) fn follow(ui: &Ui, focused: Option<Id>, clip: Rect) {
    let Some(response) = focused.and_then(|id| ui.ctx().read_response(id)) else { return };
    // menus above the page and lessons beside it have places of their own
    let within = ui.min_rect().expand(4.0).contains_rect(response.rect);
    let outside = response.interact_rect.is_positive() && !response.interact_rect.intersects(clip);
    if within && !outside {
        ui.scroll_to_rect(response.rect.expand2(egui::vec2(0.0, 24.0)), None);
    }
}

/// Width of a line that reads well.
pub(super) fn measure(ui: &Ui) -> f32 {
    (ui.text_style_height(&TextStyle::Body) * 42.0).min(ui.available_width())
}
