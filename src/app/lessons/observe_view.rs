//! What happened: sections at the cursor, controls of time, events, traces.

use super::block::{Block, Deed, Phase, SPEEDS};
use super::{Page, plot, sections};
use crate::app::kept::kept;
use crate::app::paint::{named, tall_menu};
use crate::learning::live::Live;
use eframe::egui::{Button, Label, RichText, TextStyle, Ui, vec2};
use std::hash::{DefaultHasher, Hash, Hasher};

/// The run, once there is one.
pub fn show(ui: &mut Ui, page: &mut Page<'_>, live: &Live, block: &Block) {
    let Some(shown) = &block.shown else {
        match &block.error {
            Some(error) => ui.label(RichText::new(error).color(page.palette.error)),
            None => ui.label(RichText::new("The run is being computed.").color(page.palette.weak)),
        };
        return;
    };
    ui.spacing_mut().item_spacing.y = 3.0;
    sections::show(ui, page, live, block, shown);
    controls(ui, page, live, block);
    let view = block.span_s();
    plot::flags(ui, page, live, block, view);
    let mut about = DefaultHasher::new();
    format!("{:?}", live.look).hash(&mut about);
    let panels = kept(ui.ctx(), ("lesson panels", block.key), about.finish(), || plot::panels(live));
    for panel in panels.iter() {
        plot::show(ui, page, live, block, shown, (panel, view));
    }
    plot::ticks(ui, page, block, view);
}

fn controls(ui: &mut Ui, page: &mut Page<'_>, live: &Live, block: &Block) {
    let mut deed = None;
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.y = 5.0;
        let name = if block.playing { "Pause" } else { "Play" };
        // as wide for either word, so that nothing after it moves to another line
        let font = TextStyle::Button.resolve(ui.style());
        let word = ui.painter().layout_no_wrap("Pause".to_owned(), font, page.palette.ink).size().x;
        let wide = word + 2.0 * ui.spacing().button_padding.x;
        let play = ui
            .add(Button::new(name).min_size(vec2(wide, 0.0)))
            .on_hover_text("Space, while a drawing or a trace has the keyboard");
        if block.phase == Phase::Observe {
            page.arrive(&live.id, &play);
        }
        if play.clicked() {
            deed = Some(Deed::TogglePlay);
        }
        for index in 0..SPEEDS {
            let (_, name) = block.pace(index);
            let button = ui.selectable_label(block.speed == index, &name);
            if named(button, &format!("Speed {name}")).clicked() {
                deed = Some(Deed::Speed(index));
            }
        }
        let steps = [
            ("To the start", Deed::Seek(f64::NEG_INFINITY)),
            ("Event before", Deed::ToEvent(false)),
            ("Next event", Deed::ToEvent(true)),
            ("To the end", Deed::Seek(f64::INFINITY)),
        ];
        for (name, step) in steps {
            if ui.button(name).clicked() {
                deed = Some(step);
            }
        }
        ui.menu_button("Events", |ui| {
            tall_menu(ui, 0.5, |ui| {
                let (from, to) = block.span_s();
                for (time, bench, label) in block.events() {
                    let name = live.benches.get(bench).map_or("", |bench| bench.name.as_str());
                    if ui.button(format!("{}   {name}: {label}", plot::clock(time, to - from))).clicked() {
                        deed = Some(Deed::Seek(time));
                    }
                }
            });
        });
        ui.add(Label::new(RichText::new(when(block)).strong()).extend());
    });
    page.deeds.extend(deed.map(|deed| (live.id.clone(), deed)));
}

/// The time at the cursor in words.
fn when(block: &Block) -> String {
    let time = block.cursor_s;
    if block.is_soak() {
        return format!("{:.1} min after the engine stopped", time / 60.0);
    }
    let (number, side) = if time < 0.0 { (-time, "before") } else { (time, "after") };
    format!("{:.0} ms {side} the pedal moves", 1e3 * number)
}
