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
mod page;
pub mod passing;
pub(super) mod plot;
pub(super) mod predict_view;
mod projector;
pub(super) mod prose_view;
pub(super) mod runner;
pub(super) mod sections;
pub(super) mod sheet;
mod shelf;
mod wishes;

use super::actions::Action;
use super::preferences::Preferences;
use super::theme::Palette;
use crate::learning::course::{Lesson, Piece};
use crate::learning::prose;
use block::{Block, Deed, Phase};
use eframe::egui::{self, Context, Id, ScrollArea, Ui};
use page::Wish;
pub(super) use page::{Page, follow, measure, turn_pages};
use runner::Runner;
use shelf::Shelf;
use std::collections::HashMap;
use std::sync::Arc;
use std::time::Duration;

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
    /// The button by which the reader left for another screen: the keyboard comes back to it.
    left_by: Option<Id>,
    /// Number of the pass in which it was shown last.
    shown_in: u64,
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
        self.come_back(ui.ctx());
        let course = Arc::clone(self.shelf.course());
        let palette = Palette::of(ui.visuals());
        let mut page = Page::new(preferences, palette);
        page.leapt = self.leap.take();
        page.entered = std::mem::take(&mut self.entered);
        page.arrived = Some(std::mem::take(&mut self.arrived)).filter(|id| !id.is_empty());
        let focused = ui.ctx().memory(|memory| memory.focused());
        page.moved = focused.filter(|_| focused != self.focused);
        self.focused = focused;
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

    /// Give the keyboard back to the button by which the reader left.
    fn come_back(&mut self, ctx: &Context) {
        let now = ctx.cumulative_pass_nr();
        let before = std::mem::replace(&mut self.shown_in, now);
        if now > before + 1
            && let Some(button) = self.left_by.take()
        {
            ctx.memory_mut(|memory| memory.request_focus(button));
        }
    }

    /// A lesson from top to bottom.
    fn lesson(&mut self, ui: &mut Ui, page: &mut Page<'_>, lesson: &Lesson) {
        let mut area = ScrollArea::vertical().id_salt("lesson").auto_shrink([false, false]);
        if std::mem::take(&mut self.to_top) {
            area = area.vertical_scroll_offset(0.0);
        }
        // the line beside the list keeps its distance from the text
        let margin = egui::Margin { left: 12, ..egui::Margin::ZERO };
        area.content_margin(margin).show(ui, |ui| {
            let clip = ui.clip_rect();
            ui.set_max_width(ui.available_width() - 12.0);
            prose_view::head(ui, page, lesson);
            let (mut told, mut all_told, mut withheld_end) = (true, true, false);
            let last = lesson.pieces.iter().rposition(|piece| matches!(piece, Piece::Live(_))).unwrap_or(0);
            for (place, piece) in lesson.pieces.iter().enumerate() {
                match piece {
                    // what there is to take home would give every answer away
                    Piece::Prose(_) if place > last && !all_told => {
                        if !std::mem::replace(&mut withheld_end, true) {
                            ui.weak("What there is to take home follows when every experiment has been explained.");
                        }
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
            prose_view::foot(ui, page, lesson, all_told);
            turn_pages(ui, clip.height());
            if page.leapt.is_none() {
                follow(ui, page.moved, clip);
            }
        });
    }
}

/// How many blocks of prose wait until the experiment before them is explained.
fn withheld(blocks: &[prose::Block], told: bool) -> usize {
    let heading = || blocks.iter().position(|block| matches!(block, prose::Block::Heading(..)));
    if told { 0 } else { heading().unwrap_or(blocks.len()) }
}
