//! What happens to a lesson between two frames: deeds are applied, runs are asked for and come in, time passes.

use super::View;
use super::block::Block;
use super::runner::{Reply, Runner};
use crate::app::preferences::Preferences;
use crate::learning::course::Lesson;
use eframe::egui::Context;
use std::sync::Arc;
use std::time::Duration;

impl View {
    /// Let everything come in that has happened since the last frame.
    pub(super) fn advance(&mut self, ctx: &Context, preferences: &Preferences) {
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

    pub(super) fn receive(&mut self, reply: Reply) {
        if let Some(block) = self.blocks.values_mut().find(|block| block.key == reply.key) {
            block.receive(reply);
        }
    }

    fn pass_time(&mut self, ctx: &Context, preferences: &Preferences) {
        let stem = &self.stem;
        let playing = self.blocks.iter_mut().filter(|((of, _), block)| of == stem && block.playing);
        for (_, block) in playing {
            play(ctx, block, preferences, &mut self.still_since);
        }
    }
}

/// A run that plays goes on; with reduced motion it steps from event to event, each for a while since `still_since_s`.
pub fn play(ctx: &Context, block: &mut Block, preferences: &Preferences, still_since_s: &mut f64) {
    const STILL_S: f64 = 2.5;
    if !preferences.reduced_motion {
        block.tick(f64::from(ctx.input(|input| input.stable_dt)).min(0.1));
        ctx.request_repaint();
        return;
    }
    let now = ctx.input(|input| input.time);
    if now - *still_since_s >= STILL_S {
        *still_since_s = now;
        block.step_to_event(true);
        block.playing = block.cursor_s < block.span_s().1;
    }
    ctx.request_repaint_after(Duration::from_millis(100));
}
