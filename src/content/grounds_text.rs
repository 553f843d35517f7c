//! What the model rests on as text: for a terminal, and as a section of the README.

use crate::content::grounds::{Check, Grounds, Law, Room, Summary};
use crate::units::{rounded, significant};
use std::fmt::Write as _;

/// A share as percent, to two figures; what is next to nothing loses its sign.
pub fn percent(share: f64) -> String {
    let value = 100.0 * share;
    if value.abs() < 0.000_95 {
        return "less than 0.001 %".to_owned();
    }
    format!("{} %", rounded(value, 1)).replace('-', "−")
}

/// The numbers in sentences.
pub fn summary(grounds: &Grounds) -> Vec<String> {
    let numbers = grounds.summary();
    let Summary { laws, checks: [published, library, numeric, arithmetic], failing, watched, coarse, unchecked } =
        numbers;
    let mut lines = vec![
        format!(
            "{laws} laws, {} checks: {published} against published figures, {library} against libraries that others \
             keep, {numeric} against another's numerics, {arithmetic} that can see slips of the pen only.",
            numbers.all_checks()
        ),
        match failing {
            0 => "Every check agrees within its tolerance.".to_owned(),
            1 => "One check does not agree.".to_owned(),
            _ => format!("{failing} checks do not agree."),
        },
        format!(
            "An independent check would notice an error of 1 % in {watched} laws; in {coarse} the independent checks \
             are coarser; {unchecked} laws have no independent check."
        ),
    ];
    if let Some(worst) = grounds.worst() {
        lines[1] += &format!(
            " Nearest to its limit is {}, {}: it differs by {} where {} is allowed.",
            worst.id,
            worst.quantity,
            percent(worst.difference),
            percent(worst.tolerance)
        );
    }
    lines
}

/// How a law stands, in a few words.
pub fn standing(law: &Law) -> String {
    let checks = match law.checks.len() {
        0 => return format!("{}; no check", law.confidence.label()),
        1 => "1 check".to_owned(),
        count => format!("{count} checks"),
    };
    let independent = law.checks.iter().filter(|check| check.origin.independent()).count();
    let independent = match independent {
        0 => "none independent".to_owned(),
        count if law.sees_one_percent() => format!("{count} independent, an error of 1 % is seen"),
        count => format!("{count} independent, an error of 1 % is not seen"),
    };
    format!("{}; {checks}, {independent}", law.confidence.label())
}

/// A check in one sentence.
pub fn result(check: &Check) -> String {
    let unit = if check.unit.is_empty() { String::new() } else { format!(" {}", check.unit) };
    format!(
        "ours {}{unit} against {}{unit}; differs by {}, allowed {}: {}",
        significant(check.ours, 6),
        significant(check.reference, 6),
        percent(check.difference),
        percent(check.tolerance),
        if check.agrees { "agrees" } else { "does not agree" }
    )
}

/// Everything, for a terminal.
pub fn whole(grounds: &Grounds) -> String {
    let mut text = String::from("What this rests on\n\n");
    for line in summary(grounds) {
        let _ = writeln!(text, "{line}");
    }
    for room in Room::ALL {
        let _ = writeln!(text, "\n{}", room.label().to_uppercase());
        for law in grounds.laws.iter().filter(|law| law.room == room) {
            let _ = writeln!(text, "\n{} ({})", law.title, law.id);
            let mut line = |name: &str, words: &str| {
                if !words.is_empty() {
                    let _ = writeln!(text, "  {name}{words}");
                }
            };
            line("", &law.words);
            line("Equation: ", &law.equation);
            line("Source: ", &law.source);
            line("Standing: ", &standing(law));
            line("Not seen to 1 %: ", &law.unseen);
            line("Leaves out: ", &law.leaves_out);
            for check in &law.checks {
                let origin = check.origin.label();
                let _ = writeln!(text, "    {} ({origin}): {}", check.id, check.quantity);
                let _ = writeln!(text, "      {}", result(check));
            }
        }
    }
    text += "\nWHAT THE MODEL LEAVES OUT\n\n";
    for left in &grounds.left_out {
        let _ = writeln!(text, "  {}: {}. {}", left.room.label(), left.what, left.effect);
    }
    text += "\nWHERE THE MODEL AND BELIEF DIFFER\n\n";
    for belief in &grounds.beliefs {
        let _ = writeln!(text, "  “{}” {}", belief.belief, belief.model);
    }
    text
}

/// The section of the README.
pub fn markdown(grounds: &Grounds) -> String {
    let mut text = summary(grounds).join(" ");
    text += "\n\nThe window's page *What this rests on* shows every law with its checks; `second-breath grounds` prints \
             the same.\n\n<details><summary>The laws</summary>\n\n\
             | law | source | confidence | checks (independent) | largest difference, allowed |\n|---|---|---|---|---|\n";
    for law in &grounds.laws {
        let independent = law.checks.iter().filter(|check| check.origin.independent()).count();
        let largest = law
            .worst()
            .map_or("–".to_owned(), |check| format!("{}, {}", percent(check.difference), percent(check.tolerance)));
        let cells = [&law.title, &law.source].map(|cell| cell.replace('|', "\\|"));
        let _ = writeln!(
            text,
            "| {} | {} | {} | {} ({independent}) | {largest} |",
            cells[0],
            cells[1],
            law.confidence.label(),
            law.checks.len()
        );
    }
    text += "\n</details>\n\nLeft out:\n\n";
    for room in Room::ALL {
        let whats: Vec<&str> =
            grounds.left_out.iter().filter(|left| left.room == room).map(|left| left.what.as_str()).collect();
        if !whats.is_empty() {
            let _ = writeln!(text, "* {}: {}.", room.label(), whats.join("; "));
        }
    }
    text
}
