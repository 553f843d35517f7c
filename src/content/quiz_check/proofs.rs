//! Proofs by runs: what an item calls right is so, and what it calls wrong is not.

use super::{Sheet, values};
use crate::content::problem::quoted;
use crate::learning::claim::Claim;
use crate::learning::live::Bench;
use crate::learning::quiz::choice::Choice;
use crate::learning::quiz::fault::Fault;
use crate::learning::quiz::item::Kind;
use crate::learning::quiz::order::Order;
use crate::learning::quiz::point::Point;
use crate::learning::quiz::response::Response;
use crate::learning::quiz::sketch::Drawn;
use crate::learning::quiz::tune::Tune;
use crate::learning::seen::Seen;
use crate::scene;

/// Proves an item by its kind.
pub(super) fn prove(sheet: &mut Sheet<'_>) {
    let item = sheet.item;
    let asked = item.ask(0);
    let seen = if item.benches.is_empty() { Some(Vec::new()) } else { sheet.see(&asked.benches) };
    let Some(seen) = seen else { return };
    sheet.texts_are_filled(&asked, &seen);
    times_are_within(sheet, &seen);
    match &item.kind {
        Kind::Choice(choice) => of_choice(sheet, choice, &seen),
        Kind::Numeric(numeric) => values::numeric(sheet, numeric),
        Kind::Order(order) => of_order(sheet, order, &seen),
        Kind::Point(point) => of_point(sheet, point, &seen),
        Kind::Sketch(drawn) => of_sketch(sheet, drawn, &seen),
        Kind::Tune(tune) => of_tune(sheet, tune, &seen),
        Kind::Fault(fault) => of_fault(sheet, fault, &seen),
    }
}

/// The end of a run, s after the pedal begins to move or the engine stops.
fn end_s(seen: &Seen) -> f64 {
    match seen {
        Seen::Stab(stab) => stab.run.trace.end_s() - stab.scenario.pedal.begin_s,
        Seen::Soak(soak) => soak.run.trace.restart_s,
    }
}

fn times_are_within(sheet: &mut Sheet<'_>, seen: &[Seen]) {
    let end = seen.iter().map(end_s).fold(f64::INFINITY, f64::min);
    if sheet.item.at_s.is_some_and(|at| at > end) {
        sheet.note(sheet.item.line, format!("the run is over after {end:.2} s"), "let at be earlier");
    }
}

fn of_choice(sheet: &mut Sheet<'_>, choice: &Choice, seen: &[Seen]) {
    for option in &choice.options {
        let Some(claim) = &option.claim else { continue };
        let checked = claim.check(seen);
        if checked.holds != option.right {
            let what = if option.right { "does not hold" } else { "holds, and its option is called wrong" };
            let message = format!("\"{}\" {what}: {}", quoted(&claim.text), checked.because);
            sheet.note(claim.line, message, "change the claim and the option, or the settings");
        }
    }
}

fn of_order(sheet: &mut Sheet<'_>, order: &Order, seen: &[Seen]) {
    let line = sheet.item.line;
    let times = order.times(seen);
    for (event, _) in order.events.iter().zip(&times).filter(|(_, time)| time.is_none()) {
        sheet.note(line, format!("{} does not happen in the run", event.id), "take it out, or change the settings");
    }
    let Some(key) = order.key(seen) else { return };
    let time = |place: usize| times.get(place).copied().flatten().unwrap_or(f64::NAN);
    for pair in key.windows(2) {
        let gap = time(pair[1]) - time(pair[0]);
        if gap < order.apart_s {
            let (first, then) = (order.events[pair[0]].id, order.events[pair[1]].id);
            let least = 1e3 * order.apart_s;
            let message = format!("{first} and {then} are {:.1} ms apart, less than {least} ms", 1e3 * gap);
            sheet.note(line, message, "take one of the two out: nobody can know which is first");
        }
    }
    for mistake in &order.mistakes {
        if time(mistake.first) <= time(mistake.then) {
            let (first, then) = (order.events[mistake.first].id, order.events[mistake.then].id);
            let message = format!("{first} does come before {then}, so that is no mistake");
            sheet.note(mistake.line, message, "exchange first and then, or take the mistake out");
        }
    }
}

fn of_point(sheet: &mut Sheet<'_>, point: &Point, seen: &[Seen]) {
    let (Some(Seen::Stab(stab)), Some(at_s)) = (seen.first(), sheet.item.at_s) else { return };
    let drawn = scene::draw(&stab.scenario, &stab.run.trace.at(stab.scenario.pedal.begin_s + at_s));
    let there: Vec<&str> = drawn.parts().into_iter().map(|(part, _)| part.id).collect();
    for part in point.parts.iter().chain(point.mistakes.iter().map(|(part, _)| part)) {
        if !there.contains(&part.as_str()) {
            let mend = format!("name one of {}", there.join(", "));
            sheet.note(sheet.item.line, format!("the drawing does not show \"{}\"", quoted(part)), mend);
        }
    }
}

fn of_sketch(sheet: &mut Sheet<'_>, drawn: &Drawn, seen: &[Seen]) {
    /// Places at which the run is looked at.
    const PLACES: usize = 201;
    let line = sheet.item.line;
    let sketch = &drawn.sketch;
    let Some(bench) = seen.get(sketch.bench) else { return };
    if sketch.to_s > end_s(bench) + 1e-9 {
        sheet.note(line, format!("the run is over after {:.2} s", end_s(bench)), "let the paper end earlier");
    }
    let time = |place: usize| sketch.from_s + (sketch.to_s - sketch.from_s) * place as f64 / (PLACES - 1) as f64;
    let run: Vec<f64> = (0..PLACES).map(|place| sketch.column.at(bench, time(place))).collect();
    let (least, most) = run.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(l, m), v| (l.min(*v), m.max(*v)));
    if least < sketch.least || most > sketch.most {
        let message = format!("the run leaves the paper: it goes from {least:.4} to {most:.4}");
        sheet.note(line, message, "widen least and most");
    }
    let mean = run.iter().sum::<f64>() / PLACES as f64;
    let level = [(sketch.from_s, mean), (sketch.to_s, mean)];
    if sketch.score(&level, seen).is_none_or(|level| level.score >= drawn.enough) {
        sheet.note(line, "a level line would be right", "lower the paper, or draw another channel");
    }
}

/// What is wrong with a goal after a run, if anything is.
fn missed(tune: &Tune, seen: &[Seen]) -> Option<String> {
    let one = |claim: &Claim| format!("\"{}\": {}", quoted(&claim.text), claim.check(seen).because);
    let missed: Vec<String> = tune.missed(seen).map(one).collect();
    (!missed.is_empty()).then(|| missed.join("; "))
}

fn of_tune(sheet: &mut Sheet<'_>, tune: &Tune, seen: &[Seen]) {
    let item = sheet.item;
    if missed(tune, seen).is_none() {
        sheet.note(item.line, "the goal is reached before anything is turned", "start further away from it");
    }
    if tune.changes > tune.free.len() {
        sheet.note(item.line, "more may be changed than is free", "lower changes");
    }
    for solution in &tune.solutions {
        let asked = item.ask(0);
        let needed = match asked.needed(&Response::Tune(solution.values.clone())) {
            Ok(needed) => needed,
            Err(why) => {
                sheet.note(solution.line, format!("the solution is not allowed: {why}"), "change it, or what is free");
                continue;
            }
        };
        let Some(seen) = sheet.see(&needed.benches) else { continue };
        if let Some(missed) = missed(tune, &seen) {
            let mend = "change the solution or the goal";
            sheet.note(solution.line, format!("the solution does not reach the goal: {missed}"), mend);
        }
        sheet.texts_are_filled(&asked, &seen);
    }
}

fn of_fault(sheet: &mut Sheet<'_>, fault: &Fault, faulty: &[Seen]) {
    let item = sheet.item;
    let tells = |other: &[Seen]| fault.measures.iter().any(|measure| measure.tells(faulty, other));
    let shown = |seen: &[Seen]| {
        let one =
            |measure: &crate::learning::quiz::fault::Measured| format!("{} {}", measure.text, measure.shown(seen));
        fault.measures.iter().map(one).collect::<Vec<_>>().join(", ")
    };
    let others = (0..fault.candidates.len()).filter(|place| *place != fault.fault);
    for place in others {
        let benches: Vec<Bench> = fault.built_in(&item.benches, place);
        let Some(other) = sheet.see(&benches) else { continue };
        if !tells(&other) {
            let candidate = &fault.candidates[place];
            let message = format!(
                "no measurement tells the fault from \"{}\": {} against {}",
                quoted(&candidate.id),
                shown(faulty),
                shown(&other)
            );
            sheet.note(candidate.line, message, "let more be measured, or make the candidate more unlike it");
        }
    }
    let Some(sound) = sheet.see(&item.benches) else { return };
    if !tells(&sound) {
        let message = format!("no measurement tells the faulty car from a sound one: {}", shown(&sound));
        sheet.note(item.line, message, "make the fault worse, or let more be measured");
    }
}
