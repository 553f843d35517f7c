//! The proof beside the core: our laws against published figures, libraries and hand arithmetic.
//!
//! See it as a table with `cargo test --test reference -- --nocapture table_of_checks`.

mod absent;
mod air;
mod discharge;
mod elementary;
mod engine;
mod grounds;
mod heat;
mod parts;
mod plate;
mod probes;
mod ratings;
mod table;

use std::collections::BTreeSet;
use table::{Check, Comparison, Row, checks};

fn rows() -> impl Iterator<Item = &'static Row> {
    [air::ROWS, discharge::ROWS, elementary::ROWS, plate::ROWS, ratings::ROWS, engine::ROWS, parts::ROWS, heat::ROWS]
        .into_iter()
        .flatten()
}

/// Every row with its line, published figures first, then libraries, numerics, arithmetic.
pub fn comparisons() -> Vec<Comparison> {
    let checks = checks();
    let find = |id: &str| checks.iter().find(|check| check.id == id).cloned();
    let mut all: Vec<Comparison> = rows()
        .map(|row| {
            let check = find(row.id).unwrap_or_else(|| panic!("{} is not in checks.csv", row.id));
            Comparison { row: *row, check, ours: (row.ours)() }
        })
        .collect();
    all.sort_by_key(|comparison| comparison.check.origin());
    all
}

/// Why a line has no row.
fn absence(check: &Check) -> Option<&'static str> {
    let covers = |id: &&str| *id == check.id || id.ends_with('.') && check.id.starts_with(*id);
    absent::ABSENT.iter().find(|(ids, _)| ids.iter().any(covers)).map(|(_, reason)| *reason)
}

#[test]
fn reference_every_row_agrees_within_its_tolerance() {
    let failures: Vec<String> = comparisons()
        .iter()
        .filter(|comparison| !comparison.agrees())
        .map(|c| {
            let (id, reference, tolerance) = (c.row.id, c.check.value, c.row.tolerance);
            format!(
                "{id} {}: {} against {reference}, {:+.2e}, allowed {tolerance:.0e} ({})",
                c.check.quantity,
                c.ours,
                c.difference(),
                c.row.reason
            )
        })
        .collect();
    assert!(failures.is_empty(), "{} rows fail:\n{}", failures.len(), failures.join("\n"));
}

#[test]
fn every_line_of_the_checks_has_a_row_or_a_reason() {
    let tested: BTreeSet<&str> = rows().map(|row| row.id).collect();
    assert_eq!(tested.len(), rows().count(), "an id has two rows");
    let checks = checks();
    for check in &checks {
        let (has_row, reason) = (tested.contains(check.id.as_str()), absence(check));
        assert!(has_row != reason.is_some(), "{}: row {has_row}, absent {reason:?}", check.id);
    }
    for id in absent::ABSENT.iter().flat_map(|(ids, _)| *ids).filter(|id| !id.ends_with('.')) {
        assert!(checks.iter().any(|check| check.id == *id), "{id} is excused and not in checks.csv");
    }
}

/// Would the rows notice? An input of a law that is 1 % too large must make its row fail, though it hardly moves the
/// result of some.
#[test]
fn an_input_that_is_off_by_one_percent_is_noticed() {
    let checks = checks();
    for (id, input, ours) in probes::PROBES {
        let row = rows().find(|row| row.id == *id).expect("a row");
        let check = checks.iter().find(|check| check.id == *id).expect("a line").clone();
        assert!(check.origin().independent(), "{id} is independent of our arithmetic");
        let at = |factor: f64| Comparison { row: *row, check: check.clone(), ours: ours(factor) };
        assert!(at(1.0).agrees(), "{id} agrees with {input} as it is");
        assert!(!at(1.01).agrees(), "{id} does not see 1 % of {input}: {}", at(1.01).ours);
    }
    assert!(probes::PROBES.len() >= 10);
}

/// And of what the laws give: a law that gives 1.01 or 0.99 of what it gives must make its rows fail. Rows with a
/// tolerance of 1 % and more cannot see it; the table marks them.
#[test]
fn a_law_that_is_off_by_one_percent_is_noticed() {
    let all = comparisons();
    for comparison in all.iter().filter(|comparison| comparison.row.tolerance < 0.004) {
        assert!(comparison.sees_one_percent(), "{} does not see 1 %", comparison.row.id);
    }
    let laws = |independent: bool| -> BTreeSet<&str> {
        all.iter()
            .filter(|c| c.sees_one_percent() && (c.check.origin().independent() || !independent))
            .map(|c| c.row.law)
            .collect()
    };
    let rows = all.iter().filter(|c| c.sees_one_percent() && c.check.origin().independent()).count();
    assert!(rows >= 10, "{rows} independent rows see 1 %");
    assert!(laws(true).len() >= 10, "laws that an independent row watches to 1 %: {:?}", laws(true));
    assert!(laws(false).len() >= 20, "laws that any row watches to 1 %: {:?}", laws(false));
}

#[test]
fn table_of_checks() {
    println!(
        "id      ours           reference      difference  allowed  1 %    law | quantity | source | why this tolerance"
    );
    let mut origin = None;
    let mut blind = Vec::new();
    for c in comparisons() {
        let now = c.check.origin();
        if origin.replace(now) != Some(now) {
            let kind = if now.independent() { "independent" } else { "catches slips only" };
            println!("--- {now:?}: {kind}");
        }
        let sees = if c.sees_one_percent() { "seen" } else { "blind" };
        if !c.sees_one_percent() {
            blind.push(c.row.id);
        }
        let unit = if c.check.unit == "-" { "" } else { &c.check.unit };
        println!(
            "{:7} {:<14.8} {:<14} {:+10.2e}  {:7.0e}  {sees:5}  {} | {} {unit} | {} | {}",
            c.row.id,
            c.ours,
            c.check.value,
            c.difference(),
            c.row.tolerance,
            c.row.law,
            c.check.quantity,
            c.check.how,
            c.row.reason
        );
    }
    println!("--- rows that cannot see 1 %: {}", blind.join(" "));
    for check in checks() {
        if let Some(reason) = absence(&check) {
            println!("{:7} not in the model yet: {} ({reason})", check.id, check.quantity);
        }
    }
}
