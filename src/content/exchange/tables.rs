//! Answers and statistics as comma-separated values (RFC 4180): commas, quotes where needed, lines that end in CR LF.
//!
//! A spreadsheet takes a cell that begins with `=`, `+`, `-`, `@`, a tab or a carriage return for a formula, and a
//! learner may have typed one. Such a text gets an apostrophe in front. Numbers are ours and stay as they are.

use crate::learning::date::utc;
use crate::learning::record::{Answer, LearnerCode};
use crate::learning::statistics::Figure;
use crate::learning::statistics::items::FormStatistics;
use crate::learning::statistics::mastery::Mastery;
use std::collections::BTreeSet;

/// A text that no spreadsheet takes for a formula.
pub fn harmless(text: &str) -> String {
    let formula = text.starts_with(['=', '+', '-', '@', '\t', '\r']);
    if formula { format!("'{text}") } else { text.to_owned() }
}

/// Answers, one a row, with the time as ISO 8601 and as seconds since 1970.
pub fn answers(answers: &[Answer]) -> String {
    let heading = [
        "time_utc",
        "time_unix_s",
        "learner",
        "item",
        "seed",
        "mode",
        "form",
        "chosen",
        "right",
        "score",
        "seconds",
        "misconception",
    ];
    let row = |answer: &Answer| {
        vec![
            utc(answer.at_unix_s),
            answer.at_unix_s.to_string(),
            answer.learner.to_string(),
            harmless(&answer.item),
            answer.seed.to_string(),
            answer.mode.id().to_owned(),
            harmless(answer.mode.form().unwrap_or_default()),
            harmless(&answer.chosen),
            answer.right.to_string(),
            answer.score.to_string(),
            answer.seconds.to_string(),
            harmless(answer.misconception.as_deref().unwrap_or_default()),
        ]
    };
    table(&heading.map(str::to_owned), answers.iter().map(row))
}

/// Items with p and corrected r, each with its n or the reason why it is not there, and what was chosen.
pub fn items(form: &FormStatistics) -> String {
    let heading = ["item", "n", "p", "r_n", "r", "note", "chosen"].map(str::to_owned);
    let rows = form.items.iter().map(|item| {
        let chosen: Vec<String> = item.options.iter().map(|(option, count)| format!("{option}: {count}")).collect();
        let note = [item.difficulty, item.discrimination].iter().find_map(|figure| figure.value.err());
        vec![
            harmless(&item.item),
            item.difficulty.n.to_string(),
            value(item.difficulty),
            item.discrimination.n.to_string(),
            value(item.discrimination),
            note.map_or_else(String::new, |note| note.to_string()),
            harmless(&chosen.join("; ")),
        ]
    });
    table(&heading, rows)
}

/// Outcomes × learners: share of right answers and n, a pair of columns for the class and for each learner.
pub fn mastery(map: &Mastery) -> String {
    let learners: BTreeSet<&LearnerCode> = map.cells.keys().map(|(_, learner)| learner).collect();
    let pair = |name: &str| [name.to_owned(), format!("{name}_n")];
    let mut heading = vec!["outcome".to_owned()];
    heading.extend(pair("class").into_iter().chain(learners.iter().flat_map(|learner| pair(learner.as_str()))));
    let rows = map.class.iter().map(|(outcome, class)| {
        let of_learner = |learner: &&LearnerCode| map.cells.get(&(*outcome, (*learner).clone())).copied();
        let shares = std::iter::once(*class).chain(learners.iter().map(|one| of_learner(one).unwrap_or_default()));
        let cells = shares
            .flat_map(|share| [share.value().map_or_else(String::new, |value| value.to_string()), share.n.to_string()]);
        std::iter::once(outcome.to_string()).chain(cells).collect()
    });
    table(&heading, rows)
}

fn value(figure: Figure) -> String {
    figure.value.map_or_else(|_| String::new(), |value| value.to_string())
}

fn table(heading: &[String], rows: impl Iterator<Item = Vec<String>>) -> String {
    let line = |cells: &[String]| cells.iter().map(|text| cell(text)).collect::<Vec<_>>().join(",") + "\r\n";
    std::iter::once(line(heading)).chain(rows.map(|row| line(&row))).collect()
}

/// A cell, in quotes where a comma, a quote or a line's end in it asks for them.
fn cell(text: &str) -> String {
    let plain = !text.contains([',', '"', '\r', '\n']);
    if plain { text.to_owned() } else { format!("\"{}\"", text.replace('"', "\"\"")) }
}
