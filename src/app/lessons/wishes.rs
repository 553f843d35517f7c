//! Where the reader of a page wants to go, and the mark of a lesson that is done.

use super::View;
use super::block::{Deed, Phase};
use super::page::{Page, Wish};
use super::projector;
use crate::app::actions::Action;
use crate::app::preferences::Preferences;
use crate::app::screen::Screen;
use crate::content::library;
use crate::learning::course::PartBench;
use eframe::egui::Context;

impl View {
    /// What the reader did while the page was painted.
    pub(super) fn take_in(
        &mut self,
        page: Page<'_>,
        preferences: &Preferences,
        actions: &mut Vec<Action>,
        ctx: &Context,
    ) {
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
            if matches!(wish, Wish::Scenario(_) | Wish::Questions(_) | Wish::Bench(_)) {
                self.left_by = ctx.memory(|memory| memory.focused());
            }
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
