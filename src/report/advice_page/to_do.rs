//! What is done, in which order: in short, then settings and tuning with their cautions.

use super::{Detail, note};
use crate::advice::intake::answers::Complaint;
use crate::advice::recommend::design::{Action, Change};
use crate::advice::recommend::effort;
use crate::advice::recommend::phrase::{capital, lower, noun, shown, work};
use crate::advice::recommend::proposal::{FirstSetting, Proposal, Recommendation, Step};
use crate::report::document::{Block, Column, Marks, Style, Table, Text};
use crate::report::experiment::UNITS;
use crate::report::handout::heading_of;

/// First this, then that.
pub fn in_short(found: &Recommendation, first: &Proposal) -> Vec<Block> {
    let mut steps: Vec<String> = hot_start(found).into_iter().collect();
    steps.extend(easier(found, first));
    steps.push(job(found, first));
    steps.push(match first.action {
        Action::Keep => "Tune only if it stumbles, in the order under “Settings and tuning”.".to_owned(),
        _ => "Drive it. If it still stumbles, tune it in the order under “Settings and tuning”.".to_owned(),
    });
    vec![heading_of(2, "What to do"), Block::List(Marks::Numbers(1), steps.into_iter().map(Text::plain).collect())]
}

/// What an owner who complains of hot starts does before anything else: no carburettor cures them.
fn hot_start(found: &Recommendation) -> Option<String> {
    let rows = &found.hot.rows;
    let asked = found.customer.told("now", "complaint").is_some()
        && found.customer.now.complaint == Complaint::HotStart
        && rows.first().is_some_and(|now| now.is_hard());
    let best = rows.iter().min_by(|a, b| a.cranking_s.total_cmp(&b.cranking_s)).filter(|_| asked)?;
    let fuel = if best.is_hard() { " Fuel that boils later (summer fuel) helps too." } else { "" };
    Some(format!(
        "Against the bad hot start, keep the fuel cool with a spacer under the carburettor that insulates: {} it takes \
         {:.1} s of cranking.{fuel} Care: engine cold, battery off, no flame or lamp near; count nuts and washers, for one \
         that drops into the manifold ruins the engine.",
        best.label, best.cranking_s
    ))
}

/// A way that takes half the work or less and is as good.
fn easier(found: &Recommendation, first: &Proposal) -> Option<String> {
    if first.action != Action::Fit {
        return None;
    }
    let other = easier_place(found).and_then(|place| found.proposals.get(place))?;
    Some(match other.action {
        Action::Keep => {
            "Before you spend anything: what is fitted now, as it is, is as good within what can be known. If \
                         you are content with it, leave it."
                .to_owned()
        }
        _ => format!(
            "Before you buy, try the cheaper way named above, by {}. Reckon with {}.",
            kinds_of_work(other),
            work(other.work_s)
        ),
    })
}

/// "turning a screw or a lever", for each kind of work that the changes are.
fn kinds_of_work(proposal: &Proposal) -> String {
    let mut kinds: Vec<&str> = Vec::new();
    for change in &proposal.changes {
        let kind = effort::kind(&proposal.scenario, change.place).phrase();
        if !kinds.contains(&kind) {
            kinds.push(kind);
        }
    }
    kinds.join(" and ")
}

/// The place of the best proposal that is as good as the first for half its work or less.
pub fn easier_place(found: &Recommendation) -> Option<usize> {
    let first = found.proposals.first()?;
    found.proposals.iter().position(|other| other.alike && 2.0 * other.work_s <= first.work_s)
}

fn job(found: &Recommendation, first: &Proposal) -> String {
    let scenario = &first.scenario;
    let kept_is_alike = found.proposals.iter().any(|other| other.action == Action::Keep && other.alike);
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
            let free = if kept_is_alike {
                "You may leave everything as it is. If you want the last bit: keep"
            } else {
                "Keep"
            };
            format!("{free} the carburettor and {}. Reckon with {}.", changes.join("; "), work(first.work_s))
        }
        Action::Fit => {
            let fit = match easier_place(found) {
                Some(_) => {
                    format!("If it still stumbles, or you want the best, {}", first.title.replacen("Fit:", "fit a", 1))
                }
                None => first.title.clone(),
            };
            format!("{fit}. How it works: {} Reckon with {}.", lower(first.family.summary), work(first.work_s))
        }
    }
}

/// What the workshop sets, and in which order it tunes.
pub fn settings_and_tuning(found: &Recommendation, first: &Proposal, detail: Detail) -> Vec<Block> {
    let mut blocks =
        vec![heading_of(2, "Settings and tuning"), Block::Caution(vec![Text::plain(found.cautions.join(" "))])];
    let more = match first.steps.len().saturating_sub(detail.steps) {
        0 => String::new(),
        more => format!("; the program lists {more} more"),
    };
    // a carburettor that is fitted anew is set as the table's own head says
    match first.action {
        Action::Fit => {}
        Action::Change => blocks.push(note(
            "Only what says “was” is changed. The rest is how the model has yours: compare it with what is fitted.",
        )),
        Action::Keep => blocks.push(note("How the model has yours: compare it with what is fitted.")),
    }
    blocks.extend([
        settings(&first.settings, if first.action == Action::Fit { "delivered" } else { "was" }),
        heading_of(3, &format!("Tune in this order, and stop when it pulls without a stumble{more}")),
        steps(&first.steps, detail.steps),
    ]);
    let rooms = &first.room[..first.room.len().min(detail.rooms)];
    if !rooms.is_empty() {
        let text = Text::strong("How far a setting may be off. ").and(rooms.join(" "), Style::Plain);
        blocks.push(Block::Note(text));
    }
    blocks
}

/// Two settings a row, so that the table is short; `otherwise` names what a setting is before it is set.
fn settings(settings: &[FirstSetting], otherwise: &str) -> Block {
    let head = |text: &str, share, numbers| Column { head: Text::plain(text), share, numbers };
    let columns = vec![
        head("Set first", 1.7, false),
        head("to", 1.3, true),
        head("Set first", 1.7, false),
        head("to", 1.3, true),
    ];
    let cells = |setting: &FirstSetting| {
        let was = setting.before.as_ref().map_or_else(String::new, |before| format!(" ({otherwise} {before})"));
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
            // the number stays with its word
            Some(place) => format!("as at step\u{a0}{}.", place + 1),
            None => step.caution.to_owned(),
        };
        Text::plain(format!("{} ", step.text)).and("Care: ", Style::Strong).and(care, Style::Emphasis)
    };
    Block::List(Marks::Numbers(1), steps.iter().enumerate().take(most).map(item).collect())
}
