//! What the run means, with its own numbers, and how the prediction stood up.

use super::block::{Block, Deed};
use super::prose_view::paragraph;
use super::runner::Shown;
use super::{Page, plot};
use crate::app::theme::bold;
use crate::learning::explain::told;
use crate::learning::live::Live;
use crate::learning::prediction::{Answer, Nearness, Prediction, Sketch};
use eframe::egui::{Label, RichText, Sense, Ui};

/// From which score on a sketch is said to fit, and to fit in part.
const FITS: (f64, f64) = (0.6, 0.25);

/// The explanation and the verdict on the prediction.
pub fn show(ui: &mut Ui, page: &mut Page<'_>, live: &Live, block: &Block) {
    let (Some(shown), Some(first)) = (&block.shown, &block.first) else { return };
    match (&live.prediction, block.chosen) {
        (Prediction::Choice { options, .. }, Some(chosen)) => {
            if let Some(answer) = options.get(chosen) {
                on_answer(ui, page, live, (answer, options), first);
                if block.is_turned() {
                    on_turned(ui, page, answer, shown);
                }
            }
        }
        (Prediction::Sketch(sketch), _) => on_sketch(ui, page, live, (sketch, block), first),
        _ => {}
    }
    ui.add_space(6.0);
    let heading = if block.is_turned() { "The run as you set it" } else { "What happened" };
    ui.label(RichText::new(heading).family(bold()));
    paragraph(ui, &told(&live.explain, &shown.seen));
    ui.add_space(2.0);
    if ui.button("Predict anew").on_hover_text("This block from its beginning").clicked() {
        page.deeds.push((live.id.clone(), Deed::Anew));
    }
}

/// The verdict; the keyboard comes here, so that it is read out and the next key goes on from here.
fn verdict(ui: &mut Ui, page: &mut Page<'_>, live: &Live, text: &str, fits: bool) {
    let colour = if fits { page.palette.accent } else { page.palette.heat };
    let text = RichText::new(text).family(bold()).color(colour);
    let label = ui.add(Label::new(text).sense(Sense::focusable_noninteractive()));
    page.arrive(&live.id, &label);
    // room for the ring round it
    ui.add_space(3.0);
}

fn on_answer(ui: &mut Ui, page: &mut Page<'_>, live: &Live, (answer, options): (&Answer, &[Answer]), first: &Shown) {
    let text = if answer.right { "Your prediction fits." } else { "Your prediction does not fit." };
    verdict(ui, page, live, text, answer.right);
    paragraph(ui, &answer.why);
    if let Some(claim) = &answer.claim {
        let numbers = format!("The run says: {}.", claim.check(&first.seen).because);
        ui.label(RichText::new(numbers).small().color(page.palette.weak));
    }
    if let Some(right) = options.iter().find(|option| option.right && !answer.right) {
        ui.add_space(3.0);
        paragraph(ui, &format!("What fits: {}. {}", right.text.trim_end_matches('.'), without_praise(&right.why)));
    }
}

/// The reason of the right answer, as it is told to whoever chose another one.
fn without_praise(why: &str) -> String {
    let rest = why.strip_prefix("Right: ").unwrap_or(why);
    let mut letters = rest.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// Settings that were turned may make another answer true: that is said too.
fn on_turned(ui: &mut Ui, page: &Page<'_>, answer: &Answer, shown: &Shown) {
    let Some(checked) = answer.claim.as_ref().map(|claim| claim.check(&shown.seen)) else { return };
    let fits = if checked.holds { "would fit" } else { "would not fit" };
    let text = format!("In the run as you set it, your prediction {fits}: {}.", checked.because);
    ui.label(RichText::new(text).color(page.palette.weak));
}

fn on_sketch(ui: &mut Ui, page: &mut Page<'_>, live: &Live, (sketch, block): (&Sketch, &Block), first: &Shown) {
    let Some(sheet) = &block.sheet else { return };
    let Some(Nearness { distance, score }) = sketch.score(&sheet.points(), &first.seen) else { return };
    let text = match score {
        score if score >= FITS.0 => "Your curve fits.",
        score if score >= FITS.1 => "Your curve fits in part.",
        _ => "Your curve does not fit.",
    };
    verdict(ui, page, live, text, score >= FITS.0);
    let show = |value| sketch.column.quantity().show(value, page.preferences.units);
    let near = format!(
        "It lies {} from the run on average and scores {:.0} %: 100 % is the run itself, 0 % is no nearer than the \
         best level line.",
        show(distance),
        100.0 * score
    );
    paragraph(ui, &near);
    let Some(seen) = first.seen.get(sketch.bench) else { return };
    let span = sketch.to_s - sketch.from_s;
    let run = (0..=200).map(|i| sketch.from_s + span * f64::from(i) / 200.0);
    let run = run.map(|time| (time, sketch.column.at(seen, time)));
    let highest = |points: Vec<(f64, f64)>| points.into_iter().max_by(|a, b| a.1.total_cmp(&b.1));
    if let (Some(drawn), Some(ran)) = (highest(sheet.points()), highest(run.collect())) {
        let at = |(time, value): (f64, f64)| format!("{} at {}", show(value), plot::clock(time, span));
        paragraph(ui, &format!("Your highest point is {}; the run's is {}.", at(drawn), at(ran)));
    }
}
