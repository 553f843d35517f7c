//! A live block: predict, observe, explain.

use super::block::{Block, Deed, Phase};
use super::{Page, explain_view, free_view, observe_view, predict_view};
use crate::app::theme::bold;
use crate::learning::live::Live;
use eframe::egui::{Align, Frame, Layout, Margin, RichText, Stroke, TextStyle, Ui, vec2};

/// The names of the steps.
pub const STEPS: [(Phase, &str); 3] =
    [(Phase::Predict, "Predict"), (Phase::Observe, "Observe"), (Phase::Explain, "Explain")];

/// The block in the midst of its lesson.
pub fn show(ui: &mut Ui, page: &mut Page<'_>, live: &Live, block: &Block) {
    let palette = page.palette;
    let frame = Frame::new().fill(palette.sheet).stroke(Stroke::new(1.0, palette.hair)).inner_margin(Margin::same(12));
    ui.add_space(4.0);
    ui.push_id(("block", &live.id), |ui| {
        let shown = frame.show(ui, |ui| {
            ui.set_min_width(ui.available_width());
            steps(ui, page, block.phase);
            predict_view::show(ui, page, live, block);
            if block.phase >= Phase::Observe {
                result(ui, page, live, block);
            }
        });
        if page.leapt.as_deref() == Some(live.id.as_str()) {
            ui.scroll_to_rect(shown.response.rect, Some(Align::TOP));
        }
    });
    ui.add_space(8.0);
}

/// Which of the three steps this is: by a line under its word, and by weight.
pub fn steps(ui: &mut Ui, page: &Page<'_>, phase: Phase) {
    ui.horizontal(|ui| {
        for (index, (step, name)) in STEPS.into_iter().enumerate() {
            let text = RichText::new(format!("{} {name}", index + 1));
            if step == phase {
                let label = ui.label(text.family(bold()).color(page.palette.accent));
                let line = Stroke::new(2.0, page.palette.accent);
                ui.painter().hline(label.rect.x_range(), label.rect.bottom() + 1.0, line);
            } else {
                ui.label(text.color(page.palette.weak));
            }
            ui.add_space(8.0);
        }
    });
    ui.add_space(4.0);
}

/// What happened beside what may be turned and what it means; under each other where there is no room.
fn result(ui: &mut Ui, page: &mut Page<'_>, live: &Live, block: &Block) {
    let (width, text) = (ui.available_width(), ui.text_style_height(&TextStyle::Body));
    let side = (width * 0.33).clamp(text * 17.0, text * 26.0);
    if width - side < text * 28.0 {
        observe_view::show(ui, page, live, block);
        beside(ui, page, live, block);
        return;
    }
    let gap = 16.0;
    ui.horizontal_top(|ui| {
        ui.spacing_mut().item_spacing.x = gap;
        let column = Layout::top_down(Align::Min);
        ui.allocate_ui_with_layout(vec2(width - side - gap, 0.0), column, |ui| {
            ui.spacing_mut().item_spacing.x = 7.0;
            observe_view::show(ui, page, live, block);
        });
        ui.allocate_ui_with_layout(vec2(side, 0.0), column, |ui| {
            ui.spacing_mut().item_spacing.x = 7.0;
            ui.set_max_width(side);
            beside(ui, page, live, block);
        });
    });
}

/// What it means first, for that is read first; then what may be turned.
fn beside(ui: &mut Ui, page: &mut Page<'_>, live: &Live, block: &Block) {
    if block.phase == Phase::Explain {
        explain_view::show(ui, page, live, block);
    } else if block.shown.is_some() {
        ui.label("Play the run or step through it. What did you see?");
        explain_button(ui, page, live);
    }
    ui.add_space(8.0);
    free_view::show(ui, page, live, block);
}

fn explain_button(ui: &mut Ui, page: &mut Page<'_>, live: &Live) {
    if ui.button(RichText::new("Explain it").family(bold())).clicked() {
        page.deeds.push((live.id.clone(), Deed::Explain));
    }
}
