//! Why, what else was weighed, the car as it was told, and what the page rests on.

use super::to_do::easier_place;
use super::{Detail, note};
use crate::advice::intake::answers::Complaint;
use crate::advice::recommend::contrast::{Contrast, Side};
use crate::advice::recommend::design::Action;
use crate::advice::recommend::phrase::{brief, flow, lower};
use crate::advice::recommend::proposal::{Proposal, Recommendation};
use crate::bench::sentence::milliseconds;
use crate::report::document::{Block, Column, Marks, Style, Table, Text};
use crate::report::experiment::UNITS;
use crate::report::handout::heading_of;
use crate::settings::Setting;
use crate::settings::grouped::{Grouped, Place};

/// Why; the stroke that the pictures show has its words there.
pub fn reasons(found: &Recommendation, first: &Proposal, contrast: &Contrast, detail: Detail) -> Vec<Block> {
    let stabs = first.figures.stabs.iter().map(|stab| detail.strokes && stab.stroke != contrast.stroke);
    let shown = stabs.chain(std::iter::repeat(true));
    let lines = first.why.iter().zip(shown).filter(|(_, shown)| *shown).map(|(line, _)| Text::plain(line));
    let lines = std::iter::once(Text::plain(as_drawn(contrast))).chain(lines).collect();
    let mut blocks = vec![heading_of(2, "Why"), Block::List(Marks::Dots, lines)];
    blocks.push(Block::Note(Text::strong("How sure that is. ").and(&found.sure, Style::Plain)));
    // a complaint of hot starts has had its words at the head
    if found.customer.now.complaint != Complaint::HotStart {
        blocks.push(Block::Note(Text::strong("Starting hot. ").and(&found.hot.text, Style::Plain)));
    }
    blocks
}

/// What the pictures show, in a sentence.
fn as_drawn(contrast: &Contrast) -> String {
    let of = |side: &Side| {
        let lost = milliseconds(side.findings.lost_s.unwrap_or(0.0));
        format!("{}, it {} and loses {lost}", lower(side.name), side.findings.verdict.phrase())
    };
    let sides: Vec<String> = contrast.sides.iter().map(of).collect();
    format!("Floored {}, as drawn: {}.", contrast.phrase(), sides.join("; "))
}

/// The others in a small table.
pub fn others(found: &Recommendation, detail: Detail) -> Vec<Block> {
    if found.proposals.len() < 2 {
        return Vec::new();
    }
    let head = |text: &str, share, numbers| Column { head: Text::plain(text), share, numbers };
    let columns = vec![
        head("Proposal", 4.7, false),
        head("Points", 0.7, true),
        head("Best in", 0.9, true),
        head("Time lost", 1.0, true),
        head("Top torque", 1.1, true),
        head("Fuel, g/km", 1.15, true),
        head("Work", 0.7, true),
    ];
    let shown = listed(found, detail.others);
    let left = found.proposals.len() - shown.len();
    let rows = shown.into_iter().map(|place| row(found, place)).collect();
    let more = match left {
        0 => String::new(),
        1 => " One more was weighed.".to_owned(),
        _ => format!(" {left} more were weighed."),
    };
    let counts = if detail.weights { found.counts.as_str() } else { "" };
    let reading =
        format!("* As good as the first. {}{more} {counts}", found.reading.first().map_or("", String::as_str),);
    vec![heading_of(2, "What else was weighed"), Block::Table(Table { columns, rows }), note(reading)]
}

/// Places of those that are shown: the best, what is as good for less work, and what is fitted now.
fn listed(found: &Recommendation, others: usize) -> Vec<usize> {
    let kept = found.proposals.iter().position(|proposal| proposal.action == Action::Keep);
    let mut shown: Vec<usize> = (0..found.proposals.len().min(others + 1)).collect();
    let wanted: Vec<usize> =
        [easier_place(found), kept].into_iter().flatten().filter(|place| !shown.contains(place)).collect();
    for place in wanted {
        if !shown.contains(&place) {
            shown.push(place);
        }
    }
    shown.sort_unstable();
    shown
}

fn row(found: &Recommendation, place: usize) -> Vec<Text> {
    let proposal = &found.proposals[place];
    let alike = if proposal.alike && place > 0 { " *" } else { "" };
    [
        format!("{}. {}{alike}", place + 1, brief(proposal)),
        format!("{:.1}", proposal.cost),
        format!("{:.0} of {}", proposal.first_share * found.draws as f64, found.draws),
        milliseconds(proposal.figures.lost_s(&found.weights)),
        format!("{:.0} N·m", proposal.figures.top_nm),
        format!("{:.1}", 1e6 * proposal.footing.cruise.fuel_kg_per_m),
        format!("{} h", proposal.work_s / 3600.0),
    ]
    .map(Text::plain)
    .to_vec()
}

/// The answers, and what nobody knew.
pub fn car(found: &Recommendation) -> Vec<Block> {
    let customer = &found.customer;
    let mut blocks = vec![heading_of(2, "Your car, as it was told")];
    let groups = customer.groups().iter().enumerate().filter_map(|(group, named)| {
        let answer = |index: usize| {
            let place = Place { group, index };
            let setting = customer.setting(place)?;
            let shown = answered(setting, customer.answer(place)?);
            let asks = setting.label.ends_with('?');
            Some(format!("{}{} {shown}", setting.label, if asks { "" } else { ":" }))
        };
        let told: Vec<String> = (0..customer.settings(group).len()).filter_map(answer).collect();
        (!told.is_empty())
            .then(|| Text::strong(format!("{}. ", named.label)).and(format!("{}. ", told.join("; ")), Style::Plain))
    });
    let told = groups.fold(Text::default(), |mut all, text| {
        all.0.extend(text.0);
        all
    });
    if !told.0.is_empty() {
        blocks.push(Block::Note(told));
    }
    if !found.assumed.is_empty() {
        let tried = ", and tried over its likely range";
        let line = |line: &crate::advice::recommend::proposal::Line| {
            format!("{} {}", line.label, line.text.replacen("not told; ", "", 1).replace(tried, "*"))
        };
        let lines: Vec<String> = found.assumed.iter().map(line).collect();
        let star = if found.assumed.iter().any(|line| line.text.contains(tried)) {
            " What has a star was also tried over its likely range."
        } else {
            ""
        };
        let text = format!("{}.{star}", lines.join("; "));
        blocks.push(Block::Note(Text::strong("Not told. ").and(text, Style::Plain)));
    }
    blocks
}

/// An answer as it is shown; a flow in both units that the trade uses.
fn answered(setting: &Setting, value: f64) -> String {
    if setting.key() == "rating" { flow(value) } else { setting.shown(value, UNITS) }
}

/// Law, what the model leaves out, where it comes from.
pub fn foot(found: &Recommendation, detail: Detail) -> Vec<Block> {
    let strong = |head: &str, text: String| Block::Note(Text::strong(format!("{head} ")).and(text, Style::Plain));
    let left_out: Vec<String> =
        found.left_out.iter().map(|line| lower(line.split_once(':').map_or(line.as_str(), |(what, _)| what))).collect();
    let mut blocks = vec![heading_of(2, "What this is, and what it is not"), strong("Law.", found.law.clone())];
    if !left_out.is_empty() {
        let more = left_out.len().saturating_sub(detail.gaps);
        let more = if more > 0 {
            format!("; and {more} more, which the program lists with their effect")
        } else {
            String::new()
        };
        let named = left_out[..left_out.len().min(detail.gaps)].join("; ");
        blocks.push(strong("The model leaves out:", format!("{named}{more}.")));
    }
    blocks.push(strong(
        "Where it comes from.",
        format!(
            "{} computed runs of a model, seed {}; no measurement of your car. Laws and sources: “What this rests on” in \
             the program. Words for what can be felt: common practice and from memory, no source.",
            found.runs, found.seed,
        ),
    ));
    blocks
}
