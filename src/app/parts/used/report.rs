//! What the faults do, beside the sound one, and what was planted.

use super::{Ran, View};
use crate::app::findings_panel::{Row, plain_table};
use crate::app::paint::MARKER_NAMES;
use crate::app::preferences::Preferences;
use crate::app::theme::{Palette, bold};
use crate::bench::faults::{Behaviour, Fault, Severity};
use crate::bench::findings::FINDINGS;
use crate::bench::sentence::sentence;
use crate::units::{Quantity, UnitSystem};
use eframe::egui::{Label, RichText, Ui};

/// Whatever has been asked for.
pub fn show(ui: &mut Ui, view: &View, preferences: &Preferences) {
    let palette = Palette::of(ui.visuals());
    let ran = match &view.ran {
        Some(Ok(ran)) => ran,
        Some(Err(error)) => {
            ui.label(RichText::new(error).color(palette.error));
            return;
        }
        None => {
            ui.label(RichText::new("The runs are being computed.").weak());
            return;
        }
    };
    if view.told {
        told(ui, view, ran, preferences.units);
    }
    if view.has_run {
        behaviour(ui, ran, preferences.units);
    }
}

fn words(ui: &mut Ui, text: &str) {
    ui.add(Label::new(text).wrap());
}

fn heading(ui: &mut Ui, text: &str) {
    ui.add_space(4.0);
    ui.add(Label::new(RichText::new(text).family(bold())).wrap());
}

/// The idle of one in a few words.
fn idle(of: &Behaviour, units: UnitSystem) -> String {
    match &of.idle {
        Ok(at) => format!(
            "It idles at {}, λ {}.",
            Quantity::RotationalSpeed.show(at.speed_rad_per_s, units),
            Quantity::Number.show(at.lambda, units)
        ),
        Err(why) => why.explain().to_owned(),
    }
}

fn behaviour(ui: &mut Ui, ran: &Ran, units: UnitSystem) {
    for (index, (name, of)) in ["Sound", "This one"].into_iter().zip(&ran.both).enumerate() {
        heading(ui, &format!("{name} ({})", MARKER_NAMES[index]));
        words(ui, &sentence(&of.findings));
        words(ui, &idle(of, units));
    }
    ui.add_space(6.0);
    plain_table(ui, &rows(&ran.both, units), 2);
}

fn rows(both: &[Behaviour; 2], units: UnitSystem) -> Vec<Row> {
    let idle = |get: fn(&crate::bench::idling::Idling) -> f64| -> Vec<_> {
        both.iter().map(|of| of.idle.as_ref().ok().map(get)).collect()
    };
    let mut rows = vec![
        Row::new("The engine …", both.iter().map(|of| Some(of.findings.verdict.phrase().to_owned())).collect()),
        Row::of_figures("Idle speed", Quantity::RotationalSpeed, &idle(|at| at.speed_rad_per_s), units),
        Row::of_figures("λ at idle", Quantity::Number, &idle(|at| at.lambda), units),
    ];
    rows.extend(FINDINGS.iter().map(|finding| {
        let values: Vec<_> = both.iter().map(|of| (finding.get)(&of.findings)).collect();
        Row::of_figures(finding.label, finding.quantity, &values, units)
    }));
    rows
}

fn told(ui: &mut Ui, view: &View, ran: &Ran, units: UnitSystem) {
    let palette = Palette::of(ui.visuals());
    let planted = view.planted();
    let found = planted.iter().filter(|fault| view.marked.contains(&fault.part)).count();
    let faults = if planted.len() == 1 {
        "1 fault was planted".to_owned()
    } else {
        format!("{} faults were planted", planted.len())
    };
    heading(ui, &format!("{faults}; you found {found}."));
    for (fault, alone) in planted.iter().zip(&ran.alone) {
        heading(ui, &fault.name);
        let severity = Severity::WORDS.get(fault.severity as usize).map_or("", |word| word.label);
        let verdict = if view.marked.contains(&fault.part) { "You found it." } else { "You did not mark it." };
        let colour = if fault.severity == Severity::Unsafe { palette.error } else { palette.weak };
        ui.add(
            Label::new(RichText::new(format!("{}. {severity}. {verdict}", place(view, fault))).color(colour)).wrap(),
        );
        words(ui, &fault.eye);
        words(ui, &fault.why);
        words(ui, &format!("Alone: {} {}", sentence(&alone.findings), idle(alone, units)));
    }
    let sound = |part: &&crate::bench::faults::Part| !planted.iter().any(|fault| fault.part == **part);
    for part in view.marked.iter().filter(sound) {
        if let Some(opened) = view.walk().into_iter().find(|opened| opened.part == *part) {
            heading(ui, &format!("{}: sound, though you marked it", opened.title));
            words(ui, &format!("A faulty one: {}", opened.faulty));
        }
    }
}

fn place(view: &View, fault: &Fault) -> String {
    view.walk()
        .into_iter()
        .find(|opened| opened.part == fault.part)
        .map_or(String::new(), |opened| opened.title.clone())
}
