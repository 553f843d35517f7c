//! What the runs come down to, bench beside bench.

use super::paint::{MARKER_NAMES, Series};
use super::state::{Bench, State};
use super::theme::Palette;
use crate::bench::findings::FINDINGS;
use crate::units::{Quantity, UnitSystem};
use eframe::egui::{self, Grid, RichText, Sense, TextStyle, Ui, vec2};

/// One row: label, a value for each bench.
struct Row {
    label: String,
    values: Vec<Option<String>>,
}

/// The table of findings, top end and rating.
pub fn show(ui: &mut Ui, state: &State, units: UnitSystem) {
    ui.set_min_height(ui.available_height());
    ui.label(RichText::new("Findings").strong());
    if state.benches.iter().all(|bench| bench.outcome.is_none()) {
        ui.label(RichText::new("They follow when the first run is finished.").weak());
        return;
    }
    egui::ScrollArea::both().id_salt("findings").auto_shrink([false, false]).show(ui, |ui| {
        let palette = Palette::of(ui.visuals());
        let column = ui.text_style_height(&TextStyle::Small) * 5.4;
        let labels = (ui.available_width() - column * state.benches.len() as f32).max(column * 1.5);
        let table = Grid::new("findings table").num_columns(1 + state.benches.len()).spacing(vec2(8.0, 3.0));
        table.min_col_width(0.0).max_col_width(labels).show(ui, |ui| {
            ui.label("");
            for index in 0..state.benches.len() {
                let size = ui.text_style_height(&TextStyle::Body);
                let (rect, response) = ui.allocate_exact_size(vec2(size, size), Sense::hover());
                Series::of(palette, index).marker(ui.painter(), rect.center(), size * 0.32, palette.ink);
                let spoken = format!("Bench {}, {}", index + 1, MARKER_NAMES[index % 4]);
                response.widget_info(|| egui::WidgetInfo::labeled(egui::accesskit::Role::ColumnHeader, true, &spoken));
            }
            ui.end_row();
            for row in rows(&state.benches, units) {
                let differs = row.values.windows(2).any(|pair| pair[0] != pair[1]);
                ui.label(RichText::new(row.label).small());
                for value in row.values {
                    let text = RichText::new(value.unwrap_or_else(|| "–".to_owned())).small();
                    let text = if differs { text.family(super::theme::bold()) } else { text };
                    ui.add(egui::Label::new(text).extend());
                }
                ui.end_row();
            }
        });
        ui.add_space(4.0);
        ui.label(
            RichText::new("Bold: the benches differ. –: did not happen, or is still being computed.").small().weak(),
        );
    });
}

fn rows(benches: &[Bench], units: UnitSystem) -> Vec<Row> {
    let of = |label: &str, get: &dyn Fn(&Bench) -> Option<String>| Row {
        label: label.to_owned(),
        values: benches.iter().map(get).collect(),
    };
    let mut rows = vec![of("The engine …", &|bench| {
        bench.outcome.as_ref().map(|outcome| outcome.findings.verdict.phrase().to_owned())
    })];
    rows.extend(FINDINGS.iter().map(|finding| {
        of(finding.label, &|bench| {
            let value = (finding.get)(&bench.outcome.as_ref()?.findings)?;
            Some(finding.quantity.show(value, units))
        })
    }));
    type Figure = (&'static str, Quantity, fn(&super::worker::Capacity) -> Option<f64>);
    let figures: [Figure; 7] = [
        ("Rated flow", Quantity::VolumeFlow, |c| Some(c.rating.flow_m3_per_s)),
        ("Rated flow without door or valve", Quantity::VolumeFlow, |c| Some(c.rating.without_device_m3_per_s)),
        ("Door or valve open in that flow", Quantity::Fraction, |c| Some(c.rating.opening)),
        ("Top end: air", Quantity::AirFlow, |c| c.top_end.as_ref().ok().map(|end| end.air_kg_per_s)),
        ("Top end: torque", Quantity::Torque, |c| c.top_end.as_ref().ok().map(|end| end.torque_nm)),
        ("Top end: λ", Quantity::Number, |c| c.top_end.as_ref().ok().map(|end| end.lambda)),
        ("Top end: air that the device costs", Quantity::Fraction, |c| {
            c.top_end.as_ref().ok().map(|end| end.device_cost)
        }),
    ];
    rows.extend(
        figures.into_iter().map(|(label, quantity, get)| {
            of(label, &|bench| Some(quantity.show(get(bench.capacity.as_ref()?)?, units)))
        }),
    );
    rows
}
