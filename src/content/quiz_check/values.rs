//! Numeric items are proved for every set of values that can be drawn.

use super::Sheet;
use crate::learning::quiz::numeric::{Numeric, Tolerance};
use crate::learning::seen::Seen;
use rayon::prelude::*;

/// Most sets of values of an item that needs no run.
const MOST: usize = 20_000;
/// Most sets of values of an item with a run, each of which is run.
const MOST_RUNS: usize = 60;

/// What is wrong for one set of values: line, message, remedy.
type Wrong = (usize, String, &'static str);

/// Proves a numeric item.
pub(super) fn numeric(sheet: &mut Sheet<'_>, numeric: &Numeric) {
    let item = sheet.item;
    let count = numeric.combinations();
    let runs = item.needs_run();
    let most = if runs { MOST_RUNS } else { MOST };
    if count > most {
        let message = format!("{count} sets of values can be drawn, more than the {most} that can be proved");
        sheet.note(item.line, message, "draw in wider steps");
        return;
    }
    let mut problems: Vec<Wrong> = Vec::new();
    if runs {
        let sets = numeric.draws.iter().any(|draw| !draw.sets.is_empty());
        // without a setting that is drawn every run is the same
        let shared = if sets { None } else { sheet.see(&item.benches) };
        if !sets && shared.is_none() {
            return;
        }
        let steady = item.needs_steady();
        let made: Vec<Result<Vec<Wrong>, String>> = (0..count)
            .into_par_iter()
            .map(|combination| {
                let drawn = numeric.values(combination);
                let own = match &shared {
                    None => crate::learning::seen::see(&numeric.set(&item.benches, &drawn), steady)?,
                    Some(_) => Vec::new(),
                };
                Ok(wrong(numeric, &drawn, shared.as_ref().unwrap_or(&own), item.line))
            })
            .collect();
        sheet.runs += if sets { count * item.benches.len() } else { 0 };
        for made in made {
            match made {
                Ok(wrong) => problems.extend(wrong),
                Err(why) => problems.push((item.line, format!("a run fails: {why}"), "draw other values")),
            }
        }
    } else {
        problems
            .extend((0..count).flat_map(|combination| wrong(numeric, &numeric.values(combination), &[], item.line)));
    }
    // one example of each kind is enough
    let mut told: Vec<(usize, &'static str)> = Vec::new();
    for (line, message, mend) in problems {
        if !told.contains(&(line, mend)) {
            told.push((line, mend));
            sheet.note(line, message, mend);
        }
    }
}

fn wrong(numeric: &Numeric, drawn: &[f64], seen: &[Seen], line: usize) -> Vec<Wrong> {
    let values = || {
        let one = |(draw, value): (&crate::learning::quiz::numeric::Draw, &f64)| {
            format!("{} = {value} {}", draw.name, draw.unit.symbol).trim_end().to_owned()
        };
        numeric.draws.iter().zip(drawn).map(one).collect::<Vec<_>>().join(", ")
    };
    let Some(key) = numeric.key.value(drawn, seen) else {
        return vec![(
            line,
            format!("there is no right answer for {}", values()),
            "draw other values, or change the key",
        )];
    };
    let mut problems = Vec::new();
    let around = numeric.tolerance.around(key);
    if matches!(numeric.tolerance, Tolerance::Share(_)) && key == 0.0 {
        let message = format!("the answer is 0 for {}, and a share of nothing is nothing", values());
        problems.push((line, message, "give the tolerance as an amount"));
    } else if numeric.to / 2.0 > around * (1.0 + 1e-9) {
        let (to, unit) = (numeric.to, numeric.unit.symbol);
        let message = format!("rounding to {to} {unit} leaves the tolerance of {around:.4} {unit} for {}", values());
        problems.push((line, message, "ask for a finer precision, or widen the tolerance"));
    }
    for slip in &numeric.slips {
        match slip.key.value(drawn, seen) {
            Some(value) if numeric.accepts(value, key) => {
                let message =
                    format!("the slip comes out as {value:.4}, as good as the right {key:.4}, for {}", values());
                problems.push((slip.line, message, "draw values for which the two differ, or take the slip out"));
            }
            Some(_) => {}
            None => {
                let message = format!("the slip has no value for {}", values());
                problems.push((slip.line, message, "change its formula"));
            }
        }
    }
    problems
}
