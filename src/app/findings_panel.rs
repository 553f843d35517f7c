//! What the runs come down to, bench beside bench.

use super::actions::Action;
use super::kept::kept;
use super::paint::{MARKER_NAMES, Series, fitted_text};
use super::state::{Bench, State};
use super::theme::{self, Palette};
use super::worker::Capacity;
use crate::bench::findings::FINDINGS;
use crate::units::{Quantity, UnitSystem};
use eframe::egui::accesskit::Role;
use eframe::egui::{self, FontId, RichText, Sense, TextStyle, Ui, WidgetInfo, pos2, vec2};

/// One row: label, a value for each bench.
pub struct Row {
    label: String,
    values: Vec<String>,
    /// The second less the first, where that says something.
    difference: Option<String>,
    /// As it is read out.
    spoken: String,
}

/// What did not happen, or is still being computed.
const NOTHING: &str = "–";

/// Where the values of each bench stand.
struct Columns {
    /// Left edge of the first; 0 when they stand under their label because there is no room beside it.
    first: f32,
    /// Distance from one to the next.
    pitch: f32,
}

impl Columns {
    fn new(ui: &Ui, count: usize) -> Self {
        // the scroll bar lies over the right edge
        let width = ui.available_width() - 8.0;
        let pitch = ui.text_style_height(&TextStyle::Small) * 5.4;
        let first = width - pitch * count as f32;
        if first >= pitch * 1.5 { Self { first, pitch } } else { Self { first: 0.0, pitch: width / count as f32 } }
    }

    fn left(&self, index: usize) -> f32 {
        self.first + index as f32 * self.pitch
    }
}

/// The table of findings, top end and rating.
pub fn show(ui: &mut Ui, state: &State, units: UnitSystem, actions: &mut Vec<Action>) {
    ui.set_min_height(ui.available_height());
    ui.horizontal_wrapped(|ui| {
        ui.label(RichText::new("Findings").strong());
        let sure = ui.add(egui::Button::new("How sure is this?").small());
        let help = "Runs the selected bench again over the range of what is not known well";
        if sure.on_hover_text(help).clicked() {
            actions.push(Action::HowSure);
        }
    });
    if state.benches.iter().all(|bench| bench.outcome.is_none()) {
        ui.label(RichText::new("They follow when the first run is finished.").weak());
        return;
    }
    let answers: Vec<_> = state.benches.iter().map(|b| (b.id, b.answered, b.capacity.is_some())).collect();
    let rows = kept(ui.ctx(), "findings", (answers, units as u8), || rows(&state.benches, units));
    table(ui, &rows, state.benches.len());
}

/// Rows with a column for each of `count` benches, and one for the difference where a row has one.
pub fn table(ui: &mut Ui, rows: &[Row], count: usize) {
    let differ = rows.iter().any(|row| row.difference.is_some());
    let columns = Columns::new(ui, count + usize::from(differ));
    head(ui, &columns, count, differ);
    egui::ScrollArea::vertical().id_salt("findings").auto_shrink([false, false]).show(ui, |ui| {
        // a label must be nearer to its own values than to those above it
        ui.spacing_mut().item_spacing.y = if columns.first > 0.0 { 4.0 } else { 8.0 };
        for row in rows {
            row.show(ui, &columns);
        }
        ui.add_space(4.0);
        ui.label(
            RichText::new("Bold: the benches differ. –: did not happen, or is still being computed.").small().weak(),
        );
    });
}

/// The same where something else scrolls.
pub fn plain_table(ui: &mut Ui, rows: &[Row], count: usize) {
    let differ = rows.iter().any(|row| row.difference.is_some());
    let columns = Columns::new(ui, count + usize::from(differ));
    head(ui, &columns, count, differ);
    for row in rows {
        row.show(ui, &columns);
    }
}

/// The markers of the benches over their columns, which stay in sight.
fn head(ui: &mut Ui, columns: &Columns, count: usize, differ: bool) {
    let palette = Palette::of(ui.visuals());
    let size = ui.text_style_height(&TextStyle::Body);
    let (rect, _) = ui.allocate_exact_size(vec2(ui.available_width(), size), Sense::hover());
    for index in 0..count {
        let place = egui::Rect::from_min_size(rect.min + vec2(columns.left(index), 0.0), vec2(size, size));
        let response = ui.interact(place, ui.scope_id().with(("bench", index)), Sense::hover());
        Series::of(palette, index).marker(ui.painter(), place.center(), size * 0.32, palette.ink);
        let spoken = format!("Bench {}, {}", index + 1, MARKER_NAMES[index % 4]);
        response.widget_info(|| WidgetInfo::labeled(Role::ColumnHeader, true, &spoken));
    }
    if differ {
        let place = rect.with_min_x(rect.left() + columns.left(count));
        let font = TextStyle::Small.resolve(ui.style());
        fitted_text(ui.painter(), place, egui::Align2::LEFT_CENTER, "Change", font, palette.weak);
    }
}

impl Row {
    /// A row of values, each as it is shown; `None` for what did not happen.
    pub fn new(label: &str, values: Vec<Option<String>>) -> Self {
        let values: Vec<String> = values.into_iter().map(|v| v.unwrap_or_else(|| NOTHING.to_owned())).collect();
        let named: Vec<String> =
            (0..).zip(&values).map(|(i, v): (usize, _)| format!("{}: {v}", MARKER_NAMES[i % 4])).collect();
        Self { label: label.to_owned(), spoken: format!("{label}; {}", named.join("; ")), values, difference: None }
    }

    /// A row of figures, SI; of two benches with what the second has more than the first.
    pub fn of_figures(label: &str, quantity: Quantity, values: &[Option<f64>], units: UnitSystem) -> Self {
        let shown = values.iter().map(|value| value.map(|value| quantity.show(value, units))).collect();
        let mut row = Self::new(label, shown);
        if let [Some(first), Some(second)] = values
            && row.values.first() != row.values.last()
        {
            let text = change(quantity, second - first, units);
            row.spoken.push_str(&format!("; change: {text}"));
            row.difference = Some(text);
        }
        row
    }

    /// Painted as one thing, so that it is read out as one phrase.
    fn show(&self, ui: &mut Ui, columns: &Columns) {
        let palette = Palette::of(ui.visuals());
        let beside = columns.first > 0.0;
        let differs = self.values.windows(2).any(|pair| pair[0] != pair[1]);
        let small = TextStyle::Small.resolve(ui.style());
        let face = if differs { FontId::new(small.size, theme::bold()) } else { small.clone() };
        let lay = |text: &str, font: &FontId, width: f32| {
            ui.painter().layout(text.to_owned(), font.clone(), egui::Color32::PLACEHOLDER, width)
        };
        let label = lay(&self.label, &small, if beside { columns.first - 8.0 } else { ui.available_width() });
        let values = self.values.iter().chain(&self.difference);
        let values: Vec<_> = values.map(|value| lay(value, &face, columns.pitch - 6.0)).collect();
        let highest = values.iter().map(|value| value.size().y).fold(0.0, f32::max);
        let (down, height) =
            if beside { (0.0, label.size().y.max(highest)) } else { (label.size().y, label.size().y + highest) };
        let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width(), height), Sense::hover());
        response.widget_info(|| WidgetInfo::labeled(Role::ListItem, true, &self.spoken));
        if !ui.is_rect_visible(rect) {
            return;
        }
        ui.painter().galley(rect.min, label, if beside { palette.ink } else { palette.weak });
        for (index, value) in values.into_iter().enumerate() {
            ui.painter().galley(pos2(rect.left() + columns.left(index), rect.top() + down), value, palette.ink);
        }
    }
}

/// A difference with its sign; of two temperatures it is counted from no zero.
fn change(quantity: Quantity, by: f64, units: UnitSystem) -> String {
    let quantity = if quantity == Quantity::Temperature { Quantity::TemperatureDifference } else { quantity };
    let sign = if by > 0.0 { "+" } else { "" };
    format!("{sign}{}", quantity.show(by, units)).replace('-', "−")
}

fn rows(benches: &[Bench], units: UnitSystem) -> Vec<Row> {
    let of = |label: &str, get: &dyn Fn(&Bench) -> Option<String>| Row::new(label, benches.iter().map(get).collect());
    let mut rows = vec![of("The engine …", &|bench| {
        bench.outcome.as_ref().map(|outcome| outcome.findings.verdict.phrase().to_owned())
    })];
    rows.extend(FINDINGS.iter().map(|finding| {
        of(finding.label, &|bench| {
            let value = (finding.get)(&bench.outcome.as_ref()?.findings)?;
            Some(finding.quantity.show(value, units))
        })
    }));
    type Figure = (&'static str, Quantity, fn(&Capacity) -> Option<f64>);
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
