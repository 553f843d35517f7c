//! A live block as it is put to a pupil: what is compared, what may be turned, the question, room to write.

use crate::content::library;
use crate::learning::live::{Bench, Free, Live, Subject};
use crate::learning::prediction::{Prediction, Sketch};
use crate::report::document::{Axis, Block, Chart, Column, Figure, Marks, Picture, Room, Style, Table, Text};
use crate::settings::grouped::{Grouped, Place};
use crate::settings::{Kind, Setting};
use crate::units::{Quantity, UnitSystem};

/// Units of print.
pub const UNITS: UnitSystem = UnitSystem::Si;
/// Most settings that are listed; the rest is counted.
const MOST_ROWS: usize = 14;
/// Room to write, points.
const ROOM_PT: f64 = 70.0;
/// Frame to sketch in, points.
const SKETCH_PT: f64 = 150.0;
/// What stands for a setting that a bench has not.
const NONE: &str = "–";

/// What is compared, with the settings that were changed, and what may be turned.
pub fn setup(live: &Live) -> Vec<Block> {
    let mut blocks = stands(&live.benches);
    if !live.free.is_empty() {
        let free: Vec<String> = live.free.iter().filter_map(|free| may_turn(live, free)).collect();
        let text =
            Text::default().and("May be turned: ", Style::Strong).and(format!("{}.", free.join("; ")), Style::Plain);
        blocks.push(Block::Note(text));
    }
    blocks
}

/// What stands on benches, with the settings that were changed.
pub fn stands(benches: &[Bench]) -> Vec<Block> {
    let mut blocks = Vec::new();
    let (rows, left_out) = rows(benches);
    if benches.iter().any(|bench| matches!(bench.subject, Subject::Stab(_))) {
        blocks.push(Block::Paragraph(compared(benches, rows.is_empty())));
    }
    if !rows.is_empty() {
        let count = benches.len() as f64;
        let head = |text: &str, share| Column { head: Text::plain(text), share, numbers: false };
        let mut columns = vec![head("Setting", 1.4)];
        columns.extend(benches.iter().map(|bench| head(&bench.name, (2.4 / count).clamp(0.62, 1.2))));
        blocks.push(Block::Table(Table { columns, rows }));
    }
    if left_out > 0 {
        blocks.push(Block::Note(Text::plain(format!("{left_out} more settings differ."))));
    }
    blocks
}

/// The question, and room for the answer and for what was seen.
pub fn question(live: &Live) -> Vec<Block> {
    let mut asked = vec![Block::Paragraph(Text::strong(live.prediction.ask()))];
    match &live.prediction {
        Prediction::Choice { options, .. } => {
            asked.push(Block::List(Marks::Boxes, options.iter().map(|option| Text::plain(&option.text)).collect()));
        }
        Prediction::Sketch(sketch) => {
            let label = sketch.column.label();
            let spoken = format!("An empty frame in which to draw: {label}.");
            let picture = Picture::Chart(sheet(sketch));
            asked.push(Block::Figure(Figure { picture, caption: Text::default(), spoken }));
        }
    }
    let room = |caption: &str, grows| {
        Block::Room(Room { caption: caption.to_owned(), height_pt: ROOM_PT, ruled: true, grows })
    };
    vec![Block::Together(asked), room("What I saw", false), room("Why", true)]
}

/// The frame on which a sketch is drawn.
pub fn sheet(sketch: &Sketch) -> Chart {
    let quantity = sketch.column.quantity();
    let shown = |value| quantity.unit(UNITS).from_si(value);
    let (one, other) = (shown(sketch.least), shown(sketch.most));
    let is_soak = matches!(sketch.column, crate::learning::figure::Column::Soak(_));
    Chart {
        across: time_axis(is_soak, sketch.from_s, sketch.to_s),
        up: Axis { label: with_unit(sketch.column.label(), quantity), least: one.min(other), most: one.max(other) },
        series: Vec::new(),
        levels: Vec::new(),
        height_pt: SKETCH_PT,
    }
}

/// Seconds in a unit of a time axis: minutes where the engine stands.
pub fn time_unit_s(is_soak: bool) -> f64 {
    if is_soak { 60.0 } else { 1.0 }
}

/// The axis of time.
pub fn time_axis(is_soak: bool, from_s: f64, to_s: f64) -> Axis {
    let label = if is_soak { "min after the engine has stopped" } else { "s after the pedal begins to move" };
    let unit = time_unit_s(is_soak);
    Axis { label: label.to_owned(), least: from_s / unit, most: to_s / unit }
}

/// A label with the unit in which it is shown.
pub fn with_unit(label: &str, quantity: Quantity) -> String {
    match quantity.unit(UNITS).symbol {
        "" => label.to_owned(),
        symbol => format!("{label}, {symbol}"),
    }
}

/// Rows of the table of settings, and how many were left out.
fn rows(benches: &[Bench]) -> (Vec<Vec<Text>>, usize) {
    let bases = bases(benches);
    let mut rows = Vec::new();
    let mut changed: Vec<Place> = Vec::new();
    for (bench, base) in benches.iter().zip(&bases) {
        let settings = bench.subject.settings();
        let base = base.as_ref().map(|base| base.settings());
        for place in settings.places() {
            let differs = base.is_some_and(|base| differ(settings, base, place));
            if differs && !changed.contains(&place) {
                changed.push(place);
            }
        }
    }
    changed.sort_by_key(|place| (place.group, place.index));
    let left_out = changed.len().saturating_sub(MOST_ROWS);
    for place in changed.into_iter().take(MOST_ROWS) {
        // the family's places mean other things on benches of other families
        let of = benches.iter().find_map(|bench| bench.subject.settings().setting(place));
        let Some(setting) = of else { continue };
        let label = label(benches, place, setting);
        let value = |bench: &Bench| {
            let settings = bench.subject.settings();
            let own = settings.setting(place).filter(|own| own.id == setting.id)?;
            Some(own.shown(settings.value(place)?, UNITS))
        };
        rows.push(row(&label, benches.iter().map(|bench| value(bench).unwrap_or_else(|| NONE.to_owned()))));
    }
    (rows, left_out)
}

fn row(label: &str, values: impl Iterator<Item = String>) -> Vec<Text> {
    std::iter::once(label.to_owned()).chain(values).map(Text::plain).collect()
}

fn label(benches: &[Bench], place: Place, setting: &Setting) -> String {
    let group = benches.first().and_then(|bench| bench.subject.settings().groups().get(place.group));
    match group {
        Some(group) if group.id != "family" => format!("{}: {}", group.label, setting.label),
        _ => setting.label.to_owned(),
    }
}

/// What stands on the benches, with the scenarios from which they start.
fn compared(benches: &[Bench], names_needed: bool) -> Text {
    let first = benches.first().map_or("", title);
    if !names_needed && benches.iter().all(|bench| title(bench) == first) {
        return Text::strong("Starting from: ").and(format!("{first}."), Style::Plain);
    }
    let named = |bench: &Bench| {
        let (name, title) = (&bench.name, title(bench));
        if name == title { name.clone() } else { format!("{name} (from “{title}”)") }
    };
    let what = if benches.len() == 1 { "On the bench: " } else { "Compared: " };
    let names: Vec<String> = benches.iter().map(named).collect();
    Text::strong(what).and(format!("{}.", names.join("; ")), Style::Plain)
}

fn title(bench: &Bench) -> &str {
    match &bench.subject {
        Subject::Stab(scenario) => &scenario.title,
        Subject::Soak(_) => NONE,
    }
}

/// What each bench starts from: the scenario of its name that comes with the program, else the first bench like it.
fn bases(benches: &[Bench]) -> Vec<Option<Subject>> {
    let shipped: Vec<_> = library::shipped().iter().filter_map(|shipped| shipped.scenario().ok()).collect();
    let base = |bench: &Bench| match &bench.subject {
        Subject::Soak(_) => Some(Subject::Soak(Box::default())),
        Subject::Stab(own) => match shipped.iter().find(|shipped| shipped.title == own.title) {
            Some(shipped) => Some(Subject::Stab(Box::new(shipped.clone()))),
            None => benches.iter().find(|other| title(other) == own.title).map(|other| other.subject.clone()),
        },
    };
    benches.iter().map(base).collect()
}

fn differ(own: &dyn Grouped, base: &dyn Grouped, place: Place) -> bool {
    let same = own.setting(place).map(|own| own.id) == base.setting(place).map(|base| base.id);
    same && own.value(place) != base.value(place)
}

fn may_turn(live: &Live, free: &Free) -> Option<String> {
    let names: Vec<&str> =
        free.benches.iter().filter_map(|(bench, _)| Some(live.benches.get(*bench)?.name.as_str())).collect();
    let of = if names.len() < live.benches.len() { format!(" ({})", names.join(", ")) } else { String::new() };
    let (first, place) = free.benches.first()?;
    let label = label(&live.benches[*first..=*first], *place, &free.setting);
    let range = match free.setting.kind {
        Kind::Number { .. } => {
            format!(", {} to {}", free.setting.shown(free.least, UNITS), free.setting.shown(free.most, UNITS))
        }
        Kind::Choice(_) => String::new(),
    };
    Some(format!("{label}{of}{range}"))
}
