//! A map as files for other programs: a table of every finding, and a picture of one.

pub mod cividis;
pub mod svg;

use crate::bench::findings::{FINDINGS, Finding};
use crate::bench::sweep::{Found, Map, key, quantity};
use crate::settings::Kind;
use crate::settings::grouped::Grouped;
use crate::units::{Quantity, UnitSystem, rounded};

/// The points that have been run as comma-separated values after RFC 4180: a heading, then a row a point with the two
/// settings, every finding, the verdict, whether the engine stalled, and why a run failed. Units stand in the heading;
/// a cell is empty where something did not happen.
pub fn csv(map: &Map) -> String {
    let mut table = line(heading(map));
    for row in 0..map.axes[1].steps {
        for column in 0..map.axes[0].steps {
            if let Some(point) = map.point(column, row) {
                table += &line(record(map, (column, row), point));
            }
        }
    }
    table
}

/// One row with the line end that RFC 4180 asks for, which the usual writer does not give by itself.
fn line(cells: Vec<String>) -> String {
    let cell = |text: String| {
        let plain = !text.contains(['"', ',', '\r', '\n']);
        if plain { text } else { format!("\"{}\"", text.replace('"', "\"\"")) }
    };
    cells.into_iter().map(cell).collect::<Vec<_>>().join(",") + "\r\n"
}

fn heading(map: &Map) -> Vec<String> {
    let axes = map.axes.iter().map(|axis| {
        let symbol = quantity(&map.scenario, axis.place).map_or("", |quantity| quantity.unit(UnitSystem::Si).symbol);
        with_unit(&key(&map.scenario, axis.place), symbol)
    });
    let findings = FINDINGS.iter().map(|finding| with_unit(plain_id(finding), unit(finding)));
    let rest = ["verdict", "stalled", "failure"].map(str::to_owned);
    axes.chain(findings).chain(rest).collect()
}

fn with_unit(name: &str, symbol: &str) -> String {
    if symbol.is_empty() { name.to_owned() } else { format!("{name} ({symbol})") }
}

/// The id without the SI second that it ends in where the value is a time: that is written in another unit.
fn plain_id(finding: &Finding) -> &'static str {
    let is_time = finding.quantity == Quantity::ShortTime;
    finding.id.strip_suffix("_s").filter(|_| is_time).unwrap_or(finding.id)
}

/// The unit in which a finding is written; a bare number may carry it in its label only.
fn unit(finding: &Finding) -> &'static str {
    let symbol = finding.quantity.unit(UnitSystem::Si).symbol;
    let bracketed = || finding.label.strip_suffix(')').and_then(|label| label.rsplit_once('(')).map(|(_, unit)| unit);
    if symbol.is_empty() { bracketed().unwrap_or("") } else { symbol }
}

fn record(map: &Map, at: (usize, usize), point: &Result<Found, String>) -> Vec<String> {
    // ten figures: more than the run is accurate to, fewer than rounding noise shows
    let text = |quantity: Quantity, si: f64| rounded(quantity.unit(UnitSystem::Si).from_si(si), 9).to_string();
    let axes = map.axes.iter().zip([at.0, at.1]).map(|(axis, step)| {
        let quantity = match map.scenario.setting(axis.place).map(|setting| setting.kind) {
            Some(Kind::Number { quantity, .. }) => quantity,
            _ => Quantity::Number,
        };
        text(quantity, axis.value(step))
    });
    let found = point.as_ref().ok();
    let findings = FINDINGS.iter().map(|finding| {
        let value = found.and_then(|found| (finding.get)(&found.findings));
        value.map_or(String::new(), |si| text(finding.quantity, si))
    });
    let rest = match point {
        Ok(found) => [found.findings.verdict.id().to_owned(), found.stalled.to_string(), String::new()],
        Err(reason) => [String::new(), String::new(), reason.clone()],
    };
    axes.chain(findings).chain(rest).collect()
}
