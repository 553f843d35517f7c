//! Recommends without a window.

use super::exports::resolved;
use super::{SOME_BAD, complain, print, table};
use second_breath::advice::recommend::phrase::work;
use second_breath::advice::recommend::proposal::{Proposal, Recommendation};
use second_breath::advice::recommend::weigh::Criterion;
use second_breath::advice::recommend::{Options, Partial, recommend};
use second_breath::bench::watch::Watch;
use second_breath::content::customers;
use second_breath::content::problem::quoted;
use second_breath::content::recommended::{proposals_csv, recommendation_json, with_what_is_left_out};
use second_breath::content::save::save_atomically;
use second_breath::report::advice_page;
use second_breath::report::date::Date;
use second_breath::report::page::Paper;
use std::path::PathBuf;

/// What is asked for.
#[derive(Debug, PartialEq)]
pub struct Task {
    /// Path or name of a shipped customer.
    pub customer: PathBuf,
    /// Where all of it goes as JSON.
    pub json: Option<PathBuf>,
    /// Where the proposals go as a table.
    pub csv: Option<PathBuf>,
    /// Where the page for the customer goes.
    pub out: Option<PathBuf>,
    /// Its paper.
    pub paper: Paper,
    /// Seed of what is drawn.
    pub seed: u64,
}

impl Task {
    /// Why the paths are refused, if they are.
    pub fn problem(&self) -> Option<String> {
        let named = [("--json", &self.json), ("--csv", &self.csv), ("--out", &self.out)];
        let named: Vec<(&str, PathBuf)> =
            named.into_iter().filter_map(|(name, path)| Some((name, resolved(path.as_ref()?)))).collect();
        for (index, (name, path)) in named.iter().enumerate() {
            if let Some((other, _)) = named[..index].iter().find(|(_, earlier)| earlier == path) {
                return Some(format!("{other} and {name} name the same file; name them apart"));
            }
        }
        let written: Vec<PathBuf> = named.into_iter().map(|(_, path)| path).collect();
        let own = self.customer.exists() && written.contains(&resolved(&self.customer));
        own.then(|| format!("{} would be overwritten; write to another file", self.customer.display()))
    }
}

/// Recommends, prints and writes. Returns the exit status.
pub fn one(task: &Task) -> u8 {
    match report(task) {
        Ok(text) => print(&text),
        Err(message) => {
            complain(&message);
            SOME_BAD
        }
    }
}

fn report(task: &Task) -> Result<String, String> {
    let name = task.customer.display();
    let customer = customers::load(&task.customer).map_err(|problems| problems.to_string())?;
    let options = Options { seed: task.seed, ..Options::default() };
    let mut tell = |partial: &Partial| {
        let Some(best) = partial.ranking.first() else { return };
        complain(&format!(
            "{} of about {} runs: {}; best until now: {best}",
            partial.done, partial.of_about, partial.stage
        ));
    };
    let found =
        recommend(&customer, options, &Watch::default(), &mut tell).map_err(|error| format!("{name}: {error}"))?;
    let found = with_what_is_left_out(found).map_err(|problems| problems.to_string())?;
    if let Some(path) = &task.json {
        let text = recommendation_json(&found).map_err(|error| format!("{name}: {error}"))?;
        save_atomically(path, &text).map_err(|error| error.to_string())?;
    }
    if let Some(path) = &task.csv {
        let text = proposals_csv(&found).map_err(|error| format!("{name}: {error}"))?;
        save_atomically(path, &text).map_err(|error| error.to_string())?;
    }
    if let Some(path) = &task.out {
        let page = advice_page::pdf(&found, task.paper, Date::today()).map_err(|error| format!("{name}: {error}"))?;
        save_atomically(path, &page).map_err(|error| error.to_string())?;
    }
    Ok(text(&found))
}

/// All of a text from a file, without characters that a terminal would obey.
fn plain(text: &str) -> String {
    text.chars().map(|character| if character.is_control() { ' ' } else { character }).collect()
}

/// How many proposals are told at length.
const AT_LENGTH: usize = 3;

fn text(found: &Recommendation) -> String {
    let mut text = format!(
        "{}\n{}\n\n{}\n{}\n",
        quoted(&found.customer.name),
        plain(&found.customer.note),
        found.headline,
        found.sure
    );
    if let Some(complaint) = &found.complaint {
        text += &format!("{complaint}\n");
    }
    text += &format!("\n{}\n", ranking(found));
    for (index, proposal) in found.proposals.iter().take(AT_LENGTH).enumerate() {
        text += &at_length(index, proposal);
    }
    text += &format!("Starting hot\n  {}\n\n", found.hot.text);
    text += &list("Not told", &found.assumed.iter().map(|l| format!("{}: {}", l.label, l.text)).collect::<Vec<_>>());
    let mut reading = vec![found.counts.clone()];
    reading.extend(found.reading.iter().cloned());
    text += &list("How to read this", &reading);
    text += &list("Cautions", &found.cautions);
    text += &format!("Law\n  {}\n\n", found.law);
    text += &list("What the model leaves out", &found.left_out);
    text + &format!("Runs: {}, seed {}\n", found.runs, found.seed)
}

fn ranking(found: &Recommendation) -> String {
    let heading = ["", "points", "best in", "clean", "pull", "top", "fuel", "effort", "narrow", "", "proposal"];
    let mut rows = vec![heading.map(str::to_owned).to_vec()];
    for (index, proposal) in found.proposals.iter().enumerate() {
        let mut row = vec![
            format!("{}.", index + 1),
            format!("{:.2}", proposal.cost),
            format!("{:.0} %", 100.0 * proposal.first_share),
        ];
        row.extend(Criterion::ALL.iter().map(|criterion| format!("{:.2}", proposal.burdens[*criterion as usize])));
        let mark = match (proposal.alike, proposal.on_front) {
            (true, true) => "alike, front",
            (true, false) => "alike",
            (false, true) => "front",
            (false, false) => "",
        };
        row.extend([mark.to_owned(), proposal.title.clone()]);
        rows.push(row);
    }
    table::aligned(&rows)
}

fn at_length(index: usize, proposal: &Proposal) -> String {
    let mut text = format!("{}. {} ({})\n", index + 1, proposal.title, work(proposal.work_s));
    let mut part = |label: &str, lines: &[String]| {
        if !lines.is_empty() {
            text += &format!("  {label}\n");
            lines.iter().for_each(|line| text += &format!("    {line}\n"));
        }
    };
    part(&format!("Better {}", proposal.against), &proposal.gains);
    part(&format!("Worse {}", proposal.against), &proposal.costs);
    part("Why", &proposal.why);
    let setting = |s: &second_breath::advice::recommend::proposal::FirstSetting| match &s.before {
        Some(before) => format!("{}: {} (was {before})", s.label, s.value),
        None => format!("{}: {}", s.label, s.value),
    };
    part("Set it first to", &proposal.settings.iter().map(setting).collect::<Vec<_>>());
    part("How far each may be off", &proposal.room);
    part("Then tune", &proposal.steps.iter().map(|s| format!("{} {}", s.text, s.caution)).collect::<Vec<_>>());
    text + "\n"
}

fn list(label: &str, lines: &[String]) -> String {
    if lines.is_empty() {
        return String::new();
    }
    let lines: String = lines.iter().map(|line| format!("  {line}\n")).collect();
    format!("{label}\n{lines}\n")
}
