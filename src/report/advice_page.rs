//! The page that a customer takes home: what is proposed, how to set it, why, and what nobody knows.

use crate::advice::recommend::contrast::{Contrast, Side};
use crate::advice::recommend::design::{Action, Change};
use crate::advice::recommend::phrase::{lower, noun, of_draws, shown, work};
use crate::advice::recommend::proposal::{FirstSetting, Proposal, Recommendation, Step};
use crate::advice::recommend::{effort, weigh};
use crate::bench::sentence::sentence;
use crate::bench::trace::{LARGEST_LAMBDA, Sample};
use crate::engine::torque::{LEAN_LIMIT, RICH_LIMIT};
use crate::report::date::Date;
use crate::report::document::{
    Axis, Block, Chart, Column, Document, Figure, Level, Marks, Picture, Series, Style, Table, Text,
};
use crate::report::experiment::UNITS;
use crate::report::face::Faces;
use crate::report::handout::heading_of;
use crate::report::layout::lay_out;
use crate::report::page::Paper;
use crate::report::print;
use crate::scene;
use crate::settings::grouped::{Grouped, Place};

/// Heights of a section and of a trace, points.
const SECTION_PT: f64 = 128.0;
const TRACE_PT: f64 = 66.0;
/// Time that a trace shows, before the pedal moves and after, s; places at which it is read.
const SPAN_S: (f64, f64) = (-0.1, 1.2);
const READ: usize = 360;
/// λ that a trace shows.
const LAMBDA: (f64, f64) = (0.5, 1.7);
/// Most pages, where the least that is told fits on them.
const MOST_PAGES: usize = 2;

/// How much is told; what is left away is counted and stands in the program.
#[derive(Debug, Clone, Copy)]
struct Detail {
    /// Other proposals in the table.
    others: usize,
    /// Steps of tuning.
    steps: usize,
    /// Gaps of the model that are named.
    gaps: usize,
    /// Settings of which is told how far they may be off.
    rooms: usize,
    /// Whether every stroke is told of, not the shown one alone.
    strokes: bool,
}

/// From the most to the least.
const DETAILS: [Detail; 6] = [
    Detail { others: 6, steps: 6, gaps: 30, rooms: 4, strokes: true },
    Detail { others: 5, steps: 5, gaps: 12, rooms: 3, strokes: true },
    Detail { others: 4, steps: 4, gaps: 8, rooms: 2, strokes: true },
    Detail { others: 4, steps: 3, gaps: 6, rooms: 1, strokes: false },
    Detail { others: 3, steps: 3, gaps: 3, rooms: 0, strokes: false },
    Detail { others: 2, steps: 2, gaps: 2, rooms: 0, strokes: false },
];

/// The page as a file.
///
/// # Errors
/// In words, when the two carburettors do not run again or the file cannot be made.
pub fn pdf(recommendation: &Recommendation, paper: Paper, date: Date) -> Result<Vec<u8>, String> {
    print(&document(recommendation, paper, date)?, paper)
}

/// The page, with as much as two sheets of this paper hold. A pure function of its input.
///
/// # Errors
/// In words, when the two carburettors do not run again.
pub fn document(recommendation: &Recommendation, paper: Paper, date: Date) -> Result<Document, String> {
    let Some(first) = recommendation.proposals.first() else {
        return Err("there is no proposal to print; ask for a recommendation first".to_owned());
    };
    let contrast = Contrast::of(recommendation).map_err(|error| error.to_string())?;
    let faces = Faces::embedded().ok_or("a font of the program cannot be read")?;
    let [most, fewer @ ..] = DETAILS.map(|detail| told(recommendation, first, &contrast, detail, date));
    let fits = |document: &Document| lay_out(document, &faces, paper).pages.len() <= MOST_PAGES;
    let [.., least] = &fewer;
    let least = least.clone();
    Ok(std::iter::once(most).chain(fewer).find(fits).unwrap_or(least))
}

fn told(found: &Recommendation, first: &Proposal, contrast: &Contrast, detail: Detail, date: Date) -> Document {
    let name = found.customer.name.trim();
    let title = if name.is_empty() { "A carburettor for your car" } else { name };
    let mut blocks = head(found);
    blocks.extend(change(first));
    blocks.extend(pictures(contrast));
    blocks.extend(to_do(found, first, detail));
    blocks.extend(reasons(found, first, contrast, detail));
    blocks.extend(others(found, detail));
    blocks.extend(car(found));
    blocks.extend(foot(found, detail));
    let blocks = vec![Block::Small(blocks)];
    Document { title: title.to_owned(), kind: "Recommendation".to_owned(), date, blocks }
}

fn note(text: impl Into<String>) -> Block {
    Block::Note(Text::plain(text))
}

fn paragraph(text: impl Into<String>) -> Block {
    Block::Paragraph(Text::plain(text))
}

/// The answer, before anything else.
fn head(found: &Recommendation) -> Vec<Block> {
    let mut blocks = Vec::new();
    if !found.customer.note.trim().is_empty() {
        blocks.push(note(found.customer.note.trim()));
    }
    blocks.push(Block::Paragraph(Text::strong(&found.headline)));
    blocks.extend(found.complaint.as_ref().map(paragraph));
    blocks.push(note(&found.sure));
    blocks
}

/// What it gains and what it costs.
fn change(first: &Proposal) -> Vec<Block> {
    let list = |head: &str, lines: &[String], none: &str| {
        let lines = if lines.is_empty() { vec![none.to_owned()] } else { lines.to_vec() };
        vec![
            heading_of(3, &format!("{head} {}", first.against)),
            Block::List(Marks::Dots, lines.into_iter().map(|line| Text::plain(sentenced(&line))).collect()),
        ]
    };
    if first.against.is_empty() {
        return Vec::new();
    }
    vec![Block::Columns(vec![
        list("Better", &first.gains, "nothing that can be felt"),
        list("Worse", &first.costs, "nothing that can be felt"),
    ])]
}

/// With a capital.
fn capital(text: &str) -> String {
    let mut signs = text.chars();
    let head: String = signs.next().into_iter().flat_map(char::to_uppercase).collect();
    head + signs.as_str()
}

/// With a capital and a stop.
fn sentenced(text: &str) -> String {
    capital(text).trim_end_matches('.').to_owned() + "."
}

/// Both carburettors in section and what the engine makes of them.
fn pictures(contrast: &Contrast) -> Vec<Block> {
    let after_s = contrast.telling_s();
    let milliseconds = format!("{:.0} ms", 1e3 * after_s);
    let columns = contrast.sides.iter().map(|side| section(side, after_s, &milliseconds)).collect();
    let about = format!(
        "What happens when the pedal is floored {}, {milliseconds} after it began to move. This kind of carburettor has \
         four throats: two for gentle driving (left in the drawing) and a second pair (right) that opens for full power. \
         When the second pair lets in air before its fuel comes, the engine gets too little fuel and stumbles.",
        contrast.phrase()
    );
    let lambda =
        chart(contrast, "λ, air against fuel: 1 is exact, more is lean, less is rich", LAMBDA, true, |sample| {
            sample.lambda.min(LARGEST_LAMBDA)
        });
    let torque: fn(&Sample) -> f64 = |sample| sample.torque_nm;
    let most = contrast.sides.iter().flat_map(|side| side.run.trace.samples.iter().map(torque)).fold(1.0, f64::max);
    let least = contrast.sides.iter().flat_map(|side| side.run.trace.samples.iter().map(torque)).fold(0.0, f64::min);
    let torque = chart(contrast, "Torque, the engine's pull, N·m", (1.06 * least, 1.06 * most), false, torque);
    let pictures = vec![
        heading_of(2, "What you would see"),
        note(about),
        Block::Columns(columns),
        Block::Columns(vec![vec![torque], vec![lambda]]),
    ];
    vec![Block::Together(pictures)]
}

fn section(side: &Side, after_s: f64, milliseconds: &str) -> Vec<Block> {
    let scene = scene::draw(&side.scenario, &side.run.trace.at(side.scenario.pedal.begin_s + after_s));
    let parts: Vec<&str> = scene.labels.iter().map(|label| label.text.as_str()).collect();
    let name = side.scenario.entry().name.to_lowercase();
    let spoken = format!(
        "Section through one front and one rear throat: {}, {name}, {milliseconds} after the pedal began to move. Named \
         parts: {}.",
        side.name,
        parts.join(", ")
    );
    let caption = Text::strong(format!("{}: {name}. ", side.name)).and(sentence(&side.findings), Style::Plain);
    vec![Block::Figure(Figure { picture: Picture::Section(Box::new(scene), SECTION_PT), caption, spoken })]
}

fn chart(
    contrast: &Contrast,
    label: &str,
    (least, most): (f64, f64),
    has_limits: bool,
    get: impl Fn(&Sample) -> f64,
) -> Block {
    let series: Vec<Series> = contrast
        .sides
        .iter()
        .enumerate()
        .map(|(place, side)| {
            let times = (0..=READ).map(|step| SPAN_S.0 + (SPAN_S.1 - SPAN_S.0) * step as f64 / READ as f64);
            let value = |time: f64| (time, get(&side.run.trace.at(side.scenario.pedal.begin_s + time)));
            let points = times.map(value).filter(|(_, value)| value.is_finite()).collect();
            Series { name: side.name.to_owned(), place, points }
        })
        .collect();
    let level = |name: &str, value| Level { name: name.to_owned(), value };
    let levels = if has_limits {
        vec![level("too lean above", LEAN_LIMIT), level("too rich below", RICH_LIMIT)]
    } else {
        Vec::new()
    };
    let names: Vec<&str> = contrast.sides.iter().map(|side| side.name).collect();
    let spoken = format!("Trace over time of {label}: {}.", names.join(", "));
    let across = Axis { label: "s after the pedal begins to move".to_owned(), least: SPAN_S.0, most: SPAN_S.1 };
    let up = Axis { label: label.to_owned(), least, most };
    let chart = Chart { across, up, series, levels, height_pt: TRACE_PT };
    Block::Figure(Figure { picture: Picture::Chart(chart), caption: Text::default(), spoken })
}

/// What the workshop does, and in which order.
fn to_do(found: &Recommendation, first: &Proposal, detail: Detail) -> Vec<Block> {
    let mut blocks = vec![heading_of(2, "What to do"), paragraph(job(first))];
    blocks.push(Block::Caution(vec![Text::plain(found.cautions.join(" "))]));
    blocks.push(settings(&first.settings));
    blocks.push(heading_of(3, "Then tune it in this order, and stop when it pulls without a stumble"));
    blocks.push(steps(&first.steps, detail.steps));
    let more = first.steps.len().saturating_sub(detail.steps);
    if more > 0 {
        blocks.push(note(format!("The program lists {more} more, which move less for their work.")));
    }
    let rooms = &first.room[..first.room.len().min(detail.rooms)];
    if !rooms.is_empty() {
        let text = Text::strong("How far a setting may be off. ").and(rooms.join(" "), Style::Plain);
        blocks.push(Block::Note(text));
    }
    blocks
}

fn job(first: &Proposal) -> String {
    let scenario = &first.scenario;
    match first.action {
        Action::Keep => "Leave the carburettor as it is. The table says how the model has it set: check yours against \
                         it before anything is bought."
            .to_owned(),
        Action::Change => {
            let change = |change: &Change| {
                let value = |value| shown(scenario, change.place, value, UNITS);
                format!(
                    "set {} from {} to {}, by {}",
                    noun(scenario, change.place),
                    value(change.from),
                    value(change.to),
                    effort::kind(scenario, change.place).phrase()
                )
            };
            let changes: Vec<String> = first.changes.iter().map(change).collect();
            format!("Keep the carburettor and {}. Reckon with {}.", changes.join("; "), work(first.work_s))
        }
        Action::Fit => format!(
            "{}. How this kind works: {} Fit it, set it as the table says, and reckon with {} in all.",
            first.title,
            lower(first.family.summary),
            work(first.work_s)
        ),
    }
}

/// Two settings a row, so that the table is short.
fn settings(settings: &[FirstSetting]) -> Block {
    let head = |text: &str, share, numbers| Column { head: Text::plain(text), share, numbers };
    let columns = vec![
        head("Set first", 1.7, false),
        head("to", 1.3, true),
        head("Set first", 1.7, false),
        head("to", 1.3, true),
    ];
    let cells = |setting: &FirstSetting| {
        let was = setting.before.as_ref().map_or_else(String::new, |before| format!(" (was {before})"));
        let value = Text::strong(&setting.value).and(was, Style::Plain);
        [Text::plain(capital(&setting.label)), value]
    };
    let rows = settings.chunks(2).map(|pair| pair.iter().flat_map(cells).collect()).collect();
    Block::Table(Table { columns, rows })
}

/// The steps, each with its care: in full where it is needed first, then by the number of that step.
fn steps(steps: &[Step], most: usize) -> Block {
    let item = |(index, step): (usize, &Step)| {
        let earlier = steps[..index].iter().position(|other| other.caution == step.caution);
        let care = match earlier {
            Some(place) => format!("as at step {}.", place + 1),
            None => step.caution.to_owned(),
        };
        Text::plain(format!("{} ", step.text)).and("Care: ", Style::Strong).and(care, Style::Emphasis)
    };
    Block::List(Marks::Numbers(1), steps.iter().enumerate().take(most).map(item).collect())
}

/// Why; the stroke that the pictures show has its words there.
fn reasons(found: &Recommendation, first: &Proposal, contrast: &Contrast, detail: Detail) -> Vec<Block> {
    let stabs = first.figures.stabs.iter().map(|stab| detail.strokes && stab.stroke != contrast.stroke);
    let shown = stabs.chain(std::iter::repeat(true));
    let lines = first.why.iter().zip(shown).filter(|(_, shown)| *shown).map(|(line, _)| Text::plain(line));
    let hot = Text::strong("Starting hot. ").and(&found.hot.text, Style::Plain);
    vec![heading_of(2, "Why"), Block::List(Marks::Dots, lines.collect()), Block::Note(hot)]
}

/// The others in a small table.
fn others(found: &Recommendation, detail: Detail) -> Vec<Block> {
    if found.proposals.len() < 2 {
        return Vec::new();
    }
    let head = |text: &str, share, numbers| Column { head: Text::plain(text), share, numbers };
    let columns = vec![
        head("Proposal", 4.6, false),
        head("Points", 0.6, true),
        head("Best in", 1.1, true),
        head("Lost when floored", 1.1, true),
        head("Top torque", 0.9, true),
        head("Fuel, g/km", 0.8, true),
        head("Work", 0.8, true),
    ];
    // what is fitted now is always among them
    let kept = found.proposals.iter().position(|proposal| proposal.action == Action::Keep);
    let mut shown: Vec<usize> = (0..found.proposals.len().min(detail.others + 1)).collect();
    if let Some(kept) = kept.filter(|kept| !shown.contains(kept)) {
        shown.pop();
        shown.push(kept);
    }
    let row = |place: usize| {
        let proposal = &found.proposals[place];
        let alike = if proposal.alike && place > 0 { " (as good)" } else { "" };
        [
            format!("{}. {}{alike}", place + 1, short(proposal)),
            format!("{:.1}", proposal.cost),
            of_draws(proposal.first_share, found.draws).replace(" draws", ""),
            format!("{:.0} ms", 1e3 * proposal.figures.lost_s(&found.weights)),
            format!("{:.0} N·m", proposal.figures.top_nm),
            format!("{:.1}", 1e6 * proposal.footing.cruise.fuel_kg_per_m),
            format!("{:.2} h", proposal.work_s / 3600.0),
        ]
        .map(Text::plain)
        .to_vec()
    };
    let rows = shown.into_iter().map(row).collect();
    let left = found.proposals.len().saturating_sub(detail.others + 1);
    let more = if left > 0 { format!(" {left} more were weighed and rank lower.") } else { String::new() };
    let counts = if detail.strokes { found.counts.as_str() } else { "" };
    let reading = format!(
        "Fewer points are better; “as good” means that nobody can tell it from the first. {}{more} {counts}",
        found.reading.first().map_or("", String::as_str),
    );
    vec![heading_of(2, "What else was weighed"), Block::Table(Table { columns, rows }), note(reading)]
}

/// A proposal in few words.
fn short(proposal: &Proposal) -> String {
    let changed = |change: &Change| noun(&proposal.scenario, change.place);
    match proposal.action {
        Action::Keep => "What you have, as it is".to_owned(),
        Action::Change => {
            format!(
                "What you have, with another {}",
                proposal.changes.iter().map(changed).collect::<Vec<_>>().join(", ")
            )
        }
        // the title counts the flow in both units; here is room for one
        Action::Fit => capital(proposal.title.trim_start_matches("Fit: ").split(" (").next().unwrap_or_default()),
    }
}

/// The answers, and what nobody knew.
fn car(found: &Recommendation) -> Vec<Block> {
    let customer = &found.customer;
    let mut blocks = vec![heading_of(2, "Your car, as it was told")];
    let groups = customer.groups().iter().enumerate().filter_map(|(group, named)| {
        let answer = |index: usize| {
            let place = Place { group, index };
            let setting = customer.setting(place)?;
            let shown = setting.shown(customer.answer(place)?, UNITS);
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
        let lines: Vec<String> = found
            .assumed
            .iter()
            .map(|line| format!("{} {}", line.label, line.text.replacen("not told; ", "", 1)))
            .collect();
        blocks.push(Block::Note(Text::strong("Not told. ").and(format!("{}.", lines.join("; ")), Style::Plain)));
    }
    blocks
}

/// Law, what the model leaves out, where it comes from.
fn foot(found: &Recommendation, detail: Detail) -> Vec<Block> {
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
            "{} computed runs of a model of engine and carburettor, seed {}; anybody with the program and this customer's \
             file gets the same. Laws and sources: “What this rests on” in the program, or second-breath grounds. Words \
             for what can be felt, and {} weights, are common practice and from memory, no source.",
            found.runs,
            found.seed,
            weigh::CRITERIA
        ),
    ));
    blocks
}
