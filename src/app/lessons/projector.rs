//! One step of a lesson at a time in large letters, for a class that looks at the wall.

use super::block::{Block, Deed, Phase};
use super::{Page, Wish, explain_view, follow, free_view, live_view, observe_view, predict_view, prose_view};
use crate::learning::course::{Lesson, Piece};
use crate::learning::live::Live;
use crate::learning::prose;
use eframe::egui::{Align, Button, Id, Key, Layout, Modifiers, RichText, ScrollArea, Ui, UiBuilder, Vec2, vec2};
use std::collections::HashMap;

/// Window on which [`SIZES`] are what they say; on a larger one the letters grow with it, for a wall is seen from afar.
const WINDOW: Vec2 = vec2(1280.0, 800.0);
/// Sizes of the letters, share of normal.
const SIZES: [f32; 3] = [1.5, 1.75, 2.0];
/// Words of prose that a step holds.
const MOST_WORDS: usize = 75;

/// The step that is shown, and how large.
pub struct Projector {
    /// Place of the step.
    pub step: usize,
    /// Size of the letters, share of normal.
    pub size: f32,
}

impl Default for Projector {
    fn default() -> Self {
        Self { step: 0, size: SIZES[0] }
    }
}

/// What one step shows.
enum Part<'a> {
    Head,
    Prose(&'a [prose::Block]),
    Caution(&'a str),
    Live(&'a Live, Phase),
    Foot,
}

/// The steps of a lesson. A caution stands with the step that needs it.
fn steps(lesson: &Lesson) -> Vec<Vec<Part<'_>>> {
    let mut steps: Vec<Vec<Part<'_>>> = Vec::new();
    let mut open = vec![Part::Head];
    for piece in &lesson.pieces {
        match piece {
            Piece::Caution(text) => open.push(Part::Caution(text)),
            Piece::Prose(blocks) => {
                for part in parts(blocks) {
                    open.push(Part::Prose(part));
                    steps.push(std::mem::take(&mut open));
                }
            }
            Piece::Live(live) => {
                for (phase, _) in live_view::STEPS {
                    open.push(Part::Live(live, phase));
                    steps.push(std::mem::take(&mut open));
                }
            }
        }
    }
    open.push(Part::Foot);
    steps.push(open);
    steps
}

/// Prose in parts that can be read from the last row: each begins at a heading or where there are words enough.
fn parts(blocks: &[prose::Block]) -> Vec<&[prose::Block]> {
    let mut parts = Vec::new();
    let (mut from, mut words) = (0, 0);
    for (place, block) in blocks.iter().enumerate() {
        let is_heading = matches!(block, prose::Block::Heading(..));
        let count = block.text().split_whitespace().count();
        if place > from && (is_heading || words + count > MOST_WORDS) {
            parts.push(&blocks[from..place]);
            (from, words) = (place, 0);
        }
        words += count;
    }
    parts.push(&blocks[from..]);
    parts.retain(|part| !part.is_empty());
    parts
}

impl Projector {
    /// The step, and the way to the next one.
    pub fn show(&self, ui: &mut Ui, page: &mut Page<'_>, lesson: &Lesson, blocks: &HashMap<(String, String), Block>) {
        self.enlarge(ui, page);
        let steps = steps(lesson);
        let step = self.step.min(steps.len().saturating_sub(1));
        let Some(parts) = steps.get(step) else { return };
        let block = |live: &Live| blocks.get(&(lesson.stem.clone(), live.id.clone()));
        let needs = parts.iter().find_map(|part| match part {
            Part::Live(live, phase) => Some((*live, *phase, block(live)?)),
            _ => None,
        });
        // the step comes before the way to the next one, as it is read
        let key = Id::unique("height of the projector's foot");
        let height = ui.data(|data| data.get_temp::<f32>(key)).unwrap_or(ui.spacing().interact_size.y);
        let whole = ui.available_rect_before_wrap();
        let (above, below) = whole.split_top_bottom_at_y(whole.bottom() - height - 8.0);
        let mut content = ui.new_child(UiBuilder::new().max_rect(above).id_salt("step"));
        ScrollArea::vertical().id_salt(("projector", step)).auto_shrink([false, false]).show(&mut content, |ui| {
            let clip = ui.clip_rect();
            for part in parts {
                match part {
                    Part::Head => prose_view::heading(ui, page, 1, &lesson.title),
                    Part::Prose(blocks) => prose_view::blocks(ui, page, blocks),
                    Part::Caution(text) => prose_view::caution(ui, page, text),
                    Part::Live(live, phase) => {
                        if let Some(block) = block(live) {
                            live_step(ui, page, live, block, *phase);
                        }
                    }
                    Part::Foot => {
                        let told = |live: &Live| block(live).is_some_and(|block| block.phase == Phase::Explain);
                        prose_view::foot(ui, page, lesson, lesson.live().all(told));
                    }
                }
            }
            follow(ui, page.moved, clip);
        });
        let mut foot = ui.new_child(UiBuilder::new().max_rect(below.with_min_y(below.top() + 8.0)).id_salt("foot"));
        self.foot(&mut foot, page, (step, steps.len()), needs);
        let needed = foot.min_rect().height();
        if (needed - height).abs() > 0.5 {
            ui.data_mut(|data| data.insert_temp(key, needed));
            ui.ctx().request_repaint();
        }
        ui.advance_cursor_after_rect(whole);
    }

    /// How much larger the window is than the one that the sizes are made for.
    fn growth(ui: &Ui) -> f32 {
        let window = ui.ctx().content_rect().size() / WINDOW;
        window.x.min(window.y).max(1.0)
    }

    /// Larger letters on this page alone.
    fn enlarge(&self, ui: &mut Ui, page: &Page<'_>) {
        let factor = (self.size * Self::growth(ui) / page.preferences.text_size).max(1.0);
        let style = ui.style_mut();
        for font in style.text_styles.values_mut() {
            font.size *= factor;
        }
        style.spacing.interact_size *= factor;
        style.spacing.icon_width *= factor;
        style.spacing.icon_width_inner *= factor;
    }

    fn foot(
        &self,
        ui: &mut Ui,
        page: &mut Page<'_>,
        (step, count): (usize, usize),
        needs: Option<(&Live, Phase, &Block)>,
    ) {
        let pressed = |key| ui.input_mut(|input| input.consume_key(Modifiers::NONE, key));
        let (down, up, escape) = (pressed(Key::PageDown), pressed(Key::PageUp), pressed(Key::Escape));
        // a class predicts before it sees
        let locked = matches!(needs, Some((_, Phase::Predict, block)) if !block.can_commit());
        ui.horizontal_wrapped(|ui| {
            let back = ui.add_enabled(step > 0, Button::new("Back")).on_hover_text("Page up");
            if (back.clicked() || up) && step > 0 {
                page.wishes.push(Wish::Step(step - 1));
            }
            let next = ui.add_enabled(step + 1 < count && !locked, Button::new("Next")).on_hover_text("Page down");
            if (next.clicked() || down) && step + 1 < count && !locked {
                match needs {
                    Some((live, Phase::Predict, block)) if block.phase == Phase::Predict => {
                        page.deeds.push((live.id.clone(), Deed::Commit));
                    }
                    Some((live, Phase::Observe, block)) if block.phase == Phase::Observe => {
                        page.deeds.push((live.id.clone(), Deed::Explain));
                    }
                    _ => {}
                }
                page.wishes.push(Wish::Step(step + 1));
            }
            ui.label(RichText::new(format!("Step {} of {count}", step + 1)).color(page.palette.weak));
            ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                if ui.button("Whole page").on_hover_text("Escape").clicked() || escape {
                    page.wishes.push(Wish::Projector(false));
                }
                let growth = Self::growth(ui);
                for size in SIZES.into_iter().rev() {
                    let percent = format!("{:.0} %", 100.0 * size * growth);
                    if ui.selectable_label(self.size == size, percent).clicked() {
                        page.wishes.push(Wish::Size(size));
                    }
                }
            });
        });
    }
}

fn live_step(ui: &mut Ui, page: &mut Page<'_>, live: &Live, block: &Block, phase: Phase) {
    live_view::steps(ui, page, phase);
    match phase {
        Phase::Predict => predict_view::show(ui, page, live, block),
        // whoever pages back and predicts anew has nothing to see yet
        _ if block.phase == Phase::Predict => {
            ui.label("Predict first: go back one step.");
        }
        Phase::Observe => {
            let width = ui.available_width();
            let side = (width * 0.26).max(220.0);
            ui.horizontal_top(|ui| {
                let column = Layout::top_down(Align::Min);
                let wide = if live.free.is_empty() { width } else { width - side - 16.0 };
                ui.allocate_ui_with_layout(vec2(wide, 0.0), column, |ui| observe_view::show(ui, page, live, block));
                if !live.free.is_empty() {
                    ui.allocate_ui_with_layout(vec2(side, 0.0), column, |ui| {
                        ui.set_max_width(side);
                        free_view::show(ui, page, live, block);
                    });
                }
            });
        }
        // the run may have come after the page was turned
        Phase::Explain if block.phase < Phase::Explain => {
            ui.label("The run is being computed.");
            if block.shown.is_some() {
                page.deeds.push((live.id.clone(), Deed::Explain));
            }
        }
        Phase::Explain => {
            ui.scope(|ui| {
                ui.set_max_width(super::measure(ui));
                explain_view::show(ui, page, live, block);
            });
        }
    }
}
