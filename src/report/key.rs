//! What the runs of a live block say, for the instructor: answers, traces, findings, the explanation with its numbers.

use crate::bench::findings::FINDINGS;
use crate::bench::sentence::sentence;
use crate::bench::trace::LARGEST_LAMBDA;
use crate::content::claim_text::column;
use crate::engine::torque::{LEAN_LIMIT, RICH_LIMIT};
use crate::heat::findings::FINDINGS as SOAK_FINDINGS;
use crate::learning::explain::told;
use crate::learning::figure::Column as Channel;
use crate::learning::live::{Bench, Live, Subject};
use crate::learning::prediction::{Answer, Prediction, Sketch};
use crate::learning::seen::{Seen, see};
use crate::report::document::{Axis, Block, Chart, Column, Figure, Level, Marks, Picture, Series, Style, Table, Text};
use crate::report::experiment::{UNITS, sheet, time_axis, time_unit_s, with_unit};
use crate::report::handout::heading_of;
use crate::units::Quantity;

/// Most traces of a block.
const MOST: usize = 3;
/// Height of a trace, points.
const TRACE_PT: f64 = 84.0;
/// Places at which a trace is read: more than a printer shows on this width.
const READ: usize = 360;
/// Time before the pedal moves that is shown, s.
const BEFORE_S: f64 = 0.1;
/// The window shows λ on this paper too.
const LAMBDA: (f64, f64) = (0.5, 1.7);
/// Findings of a stab and of a soak that are printed.
const STAB: [&str; 10] = [
    "lost_s",
    "peak_lambda",
    "lean_s",
    "rich_s",
    "deepest_share",
    "to_90_percent_s",
    "speed_gain_2_s",
    "secondary_air_s",
    "air_to_fuel_s",
    "device_starts_s",
];
const SOAK: [&str; 6] = [
    "hottest_bowl_k",
    "boiling_begins_s",
    "percolation_begins_s",
    "percolated_kg",
    "worst_cranking_s",
    "cranking_at_restart_s",
];

/// The question with its answer, and what the runs say.
///
/// # Errors
/// In words, when the block does not run.
pub fn result(live: &Live) -> Result<Vec<Block>, String> {
    let seen = see(&live.benches, live.needs_steady()).map_err(|why| format!("{}: {why}", live.id))?;
    let answer = match &live.prediction {
        Prediction::Choice { options, .. } => answers(options, &seen),
        Prediction::Sketch(sketch) => drawn(live, sketch, &seen),
    };
    let mut blocks = vec![Block::Together(vec![Block::Paragraph(Text::strong(live.prediction.ask())), answer])];
    blocks.push(heading_of(3, "What happened"));
    blocks.extend(told(&live.explain, &seen).split("\n\n").map(|text| Block::Paragraph(Text::plain(text))));
    blocks.extend(traces(live, &seen));
    blocks.push(Block::Table(findings(live, &seen)));
    blocks.extend(live.benches.iter().zip(&seen).filter_map(|(bench, seen)| match seen {
        Seen::Stab(stab) => {
            let text = Text::strong(format!("{}. ", bench.name)).and(sentence(&stab.findings), Style::Plain);
            Some(Block::Note(text))
        }
        Seen::Soak(_) => None,
    }));
    Ok(blocks)
}

fn answers(options: &[Answer], seen: &[Seen]) -> Block {
    let item = |option: &Answer| {
        let because = option.claim.as_ref().map(|claim| claim.check(seen).because);
        let because = because.map_or_else(String::new, |because| format!(" The run says: {because}."));
        let ends = option.text.ends_with(['.', '?', '!']);
        Text::strong(format!("{}{} ", option.text, if ends { "" } else { "." }))
            .and(&option.why, Style::Plain)
            .and(because, Style::Emphasis)
    };
    let right = options.iter().position(|option| option.right).unwrap_or(usize::MAX);
    Block::List(Marks::Ticked(right), options.iter().map(item).collect())
}

/// The sheet with the run in it.
fn drawn(live: &Live, sketch: &Sketch, seen: &[Seen]) -> Block {
    let name = live.benches.get(sketch.bench).map_or("", |bench| bench.name.as_str());
    let columns: Vec<Option<Channel>> =
        (0..live.benches.len()).map(|bench| (bench == sketch.bench).then_some(sketch.column)).collect();
    let mut chart = sheet(sketch);
    chart.series = series(&live.benches, seen, &columns, (sketch.from_s, sketch.to_s));
    let spoken = format!("{} as the run of {name} shows it.", sketch.column.label());
    figure(chart, spoken)
}

fn figure(chart: Chart, spoken: String) -> Block {
    Block::Figure(Figure { picture: Picture::Chart(chart), caption: Text::default(), spoken })
}

fn is_soak(benches: &[Bench]) -> bool {
    benches.iter().any(|bench| matches!(bench.subject, Subject::Soak(_)))
}

/// Curves of channels over a whole run, bench over bench; an id that is no channel has none.
pub fn curves(benches: &[Bench], seen: &[Seen], ids: &[String]) -> Vec<Block> {
    let channels = |id: &String| benches.iter().map(|bench| column(&bench.subject, id)).collect::<Vec<_>>();
    let span = whole_s(benches, seen);
    ids.iter().filter_map(|id| trace(benches, seen, &channels(id), span)).collect()
}

/// What the lesson wants looked at, bench over bench.
fn traces(live: &Live, seen: &[Seen]) -> Vec<Block> {
    let sketched = match &live.prediction {
        Prediction::Sketch(sketch) => Some(sketch.column.id()),
        Prediction::Choice { .. } => None,
    };
    let usual: &[&str] = if is_soak(&live.benches) { &["bowl_k"] } else { &["lambda", "torque_nm"] };
    let wanted = live.look.iter().map(String::as_str);
    let mut ids: Vec<&str> = Vec::new();
    let channels = |id: &str| live.benches.iter().map(|bench| column(&bench.subject, id)).collect::<Vec<_>>();
    let has = |id: &str| channels(id).iter().any(Option::is_some);
    for id in wanted.filter(|id| has(id) && Some(*id) != sketched) {
        if !ids.contains(&id) {
            ids.push(id);
        }
    }
    if ids.is_empty() && sketched.is_none() {
        ids.extend(usual.iter().filter(|id| has(id)));
    }
    let span = span_s(live, seen);
    ids.into_iter().take(MOST).filter_map(|id| trace(&live.benches, seen, &channels(id), span)).collect()
}

fn trace(benches: &[Bench], seen: &[Seen], channels: &[Option<Channel>], span: (f64, f64)) -> Option<Block> {
    let first = channels.iter().flatten().next()?;
    let quantity = first.quantity();
    let series = series(benches, seen, channels, span);
    let (least, most) = range(first.id(), quantity, &series);
    let level = |name: &str, value| Level { name: name.to_owned(), value };
    let levels = match first.id() {
        "lambda" => vec![level("too lean above", LEAN_LIMIT), level("too rich below", RICH_LIMIT)],
        _ => Vec::new(),
    };
    let names: Vec<&str> = series.iter().map(|series| series.name.as_str()).collect();
    let spoken = format!("Trace of {} over time: {}.", first.label(), names.join(", "));
    let up = Axis { label: with_unit(first.label(), quantity), least, most };
    let across = time_axis(is_soak(benches), span.0, span.1);
    Some(figure(Chart { across, up, series, levels, height_pt: TRACE_PT }, spoken))
}

/// The whole run, or as much of it as the sheet shows, where one was drawn on.
fn span_s(live: &Live, seen: &[Seen]) -> (f64, f64) {
    let (from, to) = whole_s(&live.benches, seen);
    match &live.prediction {
        Prediction::Sketch(sketch) if sketch.to_s > from => (from, to.min(sketch.to_s)),
        _ => (from, to),
    }
}

/// From shortly before the pedal moves, or from where the engine stops, to the end.
fn whole_s(benches: &[Bench], seen: &[Seen]) -> (f64, f64) {
    let end = |seen: &Seen| match seen {
        Seen::Stab(stab) => stab.run.trace.end_s() - stab.scenario.pedal.begin_s,
        Seen::Soak(soak) => soak.run.trace.samples.last().map_or(1.0, |sample| sample.time_s),
    };
    let from = if is_soak(benches) { 0.0 } else { -BEFORE_S };
    (from, seen.iter().map(end).fold(BEFORE_S, f64::max))
}

/// Lines of a channel between two times, a line a bench.
pub fn series(benches: &[Bench], seen: &[Seen], channels: &[Option<Channel>], (from, to): (f64, f64)) -> Vec<Series> {
    let mut out = Vec::new();
    for (place, ((bench, seen), channel)) in benches.iter().zip(seen).zip(channels).enumerate() {
        let Some(channel) = channel else { continue };
        let unit = channel.quantity().unit(UNITS);
        let points = (0..=READ).map(|step| from + (to - from) * step as f64 / READ as f64);
        let points = points.map(|time| (time / time_unit_s(is_soak(benches)), unit.from_si(channel.at(seen, time))));
        let points = points.filter(|(_, value)| value.is_finite()).collect();
        out.push(Series { name: bench.name.clone(), place, points });
    }
    out
}

/// Ends of the axis: zero is on it, but where nothing begins at zero.
fn range(id: &str, quantity: Quantity, series: &[Series]) -> (f64, f64) {
    if id == "lambda" {
        return LAMBDA;
    }
    let floats = matches!(quantity, Quantity::Temperature | Quantity::Pressure | Quantity::RotationalSpeed);
    let start = if floats { (f64::INFINITY, f64::NEG_INFINITY) } else { (0.0, 0.0) };
    let values = series.iter().flat_map(|series| &series.points).map(|point| point.1);
    let (least, most) = values.fold(start, |(least, most), value| (least.min(value), most.max(value)));
    if !(least.is_finite() && most.is_finite()) || most - least < 1e-12 {
        return if least.is_finite() { (least, least + 1.0) } else { (0.0, 1.0) };
    }
    let room = 0.06 * (most - least);
    (if floats || least < 0.0 { least - room } else { least }, most + room)
}

/// Findings that happened on any bench.
fn findings(live: &Live, seen: &[Seen]) -> Table {
    let head = |text: &str, share, numbers| Column { head: Text::plain(text), share, numbers };
    let count = live.benches.len() as f64;
    let mut columns = vec![head("Finding", 1.5, false)];
    columns.extend(live.benches.iter().map(|bench| head(&bench.name, (2.0 / count).clamp(0.6, 1.0), true)));
    let mut rows = Vec::new();
    let mut add = |label: &str, values: Vec<Option<String>>| {
        if values.iter().any(Option::is_some) {
            let cells = values.into_iter().map(|value| value.unwrap_or_else(|| "–".to_owned()));
            rows.push(std::iter::once(label.to_owned()).chain(cells).map(Text::plain).collect());
        }
    };
    let verdict = |seen: &Seen| match seen {
        Seen::Stab(stab) => Some(stab.findings.verdict.phrase().to_owned()),
        Seen::Soak(_) => None,
    };
    add("The engine", seen.iter().map(verdict).collect());
    let show = |quantity: Quantity, value: Option<f64>| value.map(|value| quantity.show(value, UNITS));
    for finding in FINDINGS.iter().filter(|finding| STAB.contains(&finding.id)) {
        let value = |seen: &Seen| match seen {
            Seen::Stab(stab) => show(finding.quantity, (finding.get)(&stab.findings).filter(|v| sound(finding.id, *v))),
            Seen::Soak(_) => None,
        };
        add(finding.label, seen.iter().map(value).collect());
    }
    for finding in SOAK_FINDINGS.iter().filter(|finding| SOAK.contains(&finding.id)) {
        let value = |seen: &Seen| match seen {
            Seen::Soak(soak) => show(finding.quantity, (finding.get)(&soak.run.findings)),
            Seen::Stab(_) => None,
        };
        add(finding.label, seen.iter().map(value).collect());
    }
    Table { columns, rows }
}

/// λ at the end of its scale is no figure.
fn sound(id: &str, value: f64) -> bool {
    id != "peak_lambda" || value < LARGEST_LAMBDA
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_printed_finding_is_one() {
        assert!(STAB.iter().all(|id| FINDINGS.iter().any(|finding| finding.id == *id)));
        assert!(SOAK.iter().all(|id| SOAK_FINDINGS.iter().any(|finding| finding.id == *id)));
    }
}
