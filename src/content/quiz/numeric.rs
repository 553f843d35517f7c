//! Numbers to be worked out from drawn values.

use crate::content::problem::{instead, quoted};
use crate::content::quiz::formula::{self, TAKEN};
use crate::content::quiz::keys::ItemReader;
use crate::content::table::Lined;
use crate::content::table::Text as Written;
use crate::learning::live::Bench;
use crate::learning::quiz::formula::Formula;
use crate::learning::quiz::number;
use crate::learning::quiz::numeric::{Draw, Numeric, Slip, Tolerance};
use crate::settings::Kind;
use crate::settings::grouped::Place;
use crate::units::{Quantity, Unit};
use toml_edit::TableLike;

/// Most values of one drawing; the check tries every set of them.
const MOST_VALUES: usize = 1000;
/// A last step that is so near to a whole one is whole: share of a step.
const WHOLE: f64 = 1e-6;

impl ItemReader<'_, '_, '_> {
    pub(super) fn numeric(&mut self, benches: &[Bench]) -> Option<Numeric> {
        self.draws = self.draws(benches);
        // without the key the numbers stand in the question
        if self.draws.is_empty() && self.table.contains_key("draw") {
            let mend = "write draw.speed = { from = \"4000 rpm\", to = \"6000 rpm\", step = \"250 rpm\" }";
            self.note(self.line, "draw", "no value is drawn", mend);
        }
        let unit = self.reader.notes.text(self.table, "item", "unit");
        let unit = unit.unwrap_or(Written { text: String::new(), line: self.line });
        let named = self.quantity(self.table);
        let measured = self.by_unit(&unit, "unit", named)?;
        let (quantity, unit) = measured;
        let line = self.line;
        let tolerance = self.tolerance(measured);
        let to = self.amount((self.table, line), "to", "to", measured).filter(|to| *to > 0.0);
        if to.is_none() {
            let mend = "write the precision that is asked for, such as \"5 cfm\"";
            self.note(line, "to", "this is missing, or not above zero", mend);
        }
        let key = self.reader.notes.needed(self.table, ("item", "key"), line, "key = \"displacement * speed / 3456\"");
        let key = self.formula(&key, "key", benches);
        let mut slips = Vec::new();
        for (table, line) in self.tables("slips", "slips = [{ key = \"…\", misconception = \"…\", answer = \"…\" }]")
        {
            self.reader.notes.refuse_unknown(table, "slips", &["key", "misconception", "answer"]);
            let written = self.reader.notes.needed(table, ("slips", "key"), line, "key = \"the wrong way\"");
            let key = self.formula(&written, "slips", benches);
            let word = self.word((table, line), "slips", benches);
            slips.extend(key.map(|key| Slip { key, word, line }));
        }
        Some(Numeric { draws: self.draws.clone(), key: key?, quantity, unit, tolerance: tolerance?, to: to?, slips })
    }

    fn formula(&mut self, written: &Written, key: &str, benches: &[Bench]) -> Option<Formula> {
        if written.text.is_empty() {
            return None;
        }
        match formula::parse(&written.text, &self.draws, benches) {
            Ok(formula) => Some(formula),
            Err(wrong) => {
                self.note(written.line, key, wrong.message, wrong.mend);
                None
            }
        }
    }

    /// `2 %` is a share of the answer, but where the answer is itself in %; all else is an amount.
    fn tolerance(&mut self, measured: (Quantity, Unit)) -> Option<Tolerance> {
        let written = self.table.get("tolerance").and_then(|item| item.as_str()).and_then(number::split);
        let tolerance = match written {
            Some((share, "%")) if measured.0 != Quantity::Fraction => Some(Tolerance::Share(share / 100.0)),
            _ => {
                let line = self.line_of("tolerance");
                self.amount((self.table, line), "tolerance", "tolerance", measured).map(Tolerance::Amount)
            }
        };
        let accepted = tolerance.filter(|tolerance| match tolerance {
            Tolerance::Share(share) => *share > 0.0 && *share <= 0.5,
            Tolerance::Amount(amount) => *amount > 0.0,
        });
        if accepted.is_none() {
            let line = self.line_of("tolerance");
            let mend = "write a share up to 50 %, such as \"2 %\", or an amount, such as \"5 cfm\"";
            self.note(line, "tolerance", "this is missing or not accepted", mend);
        }
        accepted
    }

    fn draws(&mut self, benches: &[Bench]) -> Vec<Draw> {
        let Some((table, _)) = self.reader.notes.table(self.table, "draw") else { return Vec::new() };
        let mut draws = Vec::new();
        for (name, item) in table.iter() {
            let line = table.get_key_value(name).map_or(self.line, |(key, item)| self.reader.notes.line(key, item));
            let is_name = name.starts_with(|c: char| c.is_ascii_lowercase())
                && name.chars().all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '_');
            if !is_name || TAKEN.contains(&name) {
                let message = format!("\"{}\" cannot name a drawn value", quoted(name));
                self.note(line, "draw", message, "write small letters and _ only, but not pi, sqrt or key");
                continue;
            }
            match item.as_table_like() {
                Some(table) => draws.extend(self.draw(name, (table, line), benches)),
                None => {
                    let mend = "write { from = \"4000 rpm\", to = \"6000 rpm\", step = \"250 rpm\" }";
                    self.note(line, "draw", "a drawn value is a table", mend);
                }
            }
        }
        draws
    }

    fn draw(&mut self, name: &str, (table, line): Lined<'_>, benches: &[Bench]) -> Option<Draw> {
        self.reader.notes.refuse_unknown(table, "draw", &["from", "to", "step", "sets", "quantity"]);
        let mut written = |key: &str| {
            let item = table.get(key);
            let text = item.and_then(|item| item.as_str()).and_then(number::split);
            let bare = item.and_then(super::keys::plain).map(|number| (number, ""));
            let found = text.or(bare);
            if found.is_none() {
                let mend = "write such as \"4000 rpm\", all three in one unit";
                self.note(line, "draw", format!("{key} is missing, or not a number"), mend);
            }
            found
        };
        let ((from, unit), (to, of_to), (step, of_step)) = (written("from")?, written("to")?, written("step")?);
        if unit != of_to || unit != of_step {
            self.note(line, "draw", "from, to and step are in different units", "write all three in one");
            return None;
        }
        let sets = self.sets((table, line), benches);
        let of_setting = sets.first().and_then(|(bench, place)| {
            match benches.get(*bench)?.subject.settings().setting(*place)?.kind {
                Kind::Number { quantity, .. } => Some(quantity),
                Kind::Choice(_) => None,
            }
        });
        let named = self.quantity(table).or(of_setting);
        let (quantity, unit) = self.by_unit(&Written { text: unit.to_owned(), line }, "draw", named)?;
        let steps = (to - from) / step;
        let whole = (steps - steps.round()).abs() <= WHOLE;
        if !steps.is_finite() || steps < 0.0 || step <= 0.0 || !whole || steps >= MOST_VALUES as f64 {
            let mend = format!("let whole steps lead from from to to, at most {MOST_VALUES}");
            self.note(line, "draw", "these steps do not lead there", mend);
            return None;
        }
        let draw = Draw { name: name.to_owned(), quantity, unit, from, step, count: steps.round() as usize + 1, sets };
        self.accepted(&draw, line, benches);
        Some(draw)
    }

    fn sets(&mut self, (table, line): Lined<'_>, benches: &[Bench]) -> Vec<(usize, Place)> {
        let Some(key) = self.reader.notes.text(table, "draw", "sets") else { return Vec::new() };
        if benches.is_empty() {
            self.note(line, "draw", "there is no run that it could set", "add scenario = \"01_bare_link\"");
            return Vec::new();
        }
        self.reader.places(&key.text, (line, "item.draw"), benches).unwrap_or_default()
    }

    /// Every value of a drawing must be accepted where it is set.
    fn accepted(&mut self, draw: &Draw, line: usize, benches: &[Bench]) {
        for (bench, place) in &draw.sets {
            let Some(setting) = benches[*bench].subject.settings().setting(*place) else { continue };
            let refused = [0, draw.count - 1]
                .into_iter()
                .find(|value| !setting.accepts(setting.at_bound(draw.unit.to_si(draw.value(*value)))));
            if refused.is_some() || matches!(setting.kind, Kind::Choice(_)) {
                let mend = setting.accepted(crate::units::UnitSystem::Si);
                self.note(line, "draw", "a value that can be drawn is not accepted by the setting", mend);
            }
        }
    }

    /// A quantity by its name, if there is one.
    fn quantity(&mut self, table: &dyn TableLike) -> Option<Quantity> {
        let named = self.reader.notes.text(table, "item", "quantity")?;
        let found = Quantity::ALL.iter().copied().find(|quantity| name(*quantity) == named.text);
        if found.is_none() {
            let all: Vec<String> = Quantity::ALL.iter().map(|quantity| name(*quantity)).collect();
            let message = format!("there is no quantity \"{}\"", quoted(&named.text));
            self.note(named.line, "quantity", message, instead(&named.text, all.iter().map(String::as_str)));
        }
        found
    }

    /// The quantity that a unit measures, and the unit.
    fn by_unit(&mut self, unit: &Written, key: &str, named: Option<Quantity>) -> Option<(Quantity, Unit)> {
        let all = Quantity::ALL.iter().copied().filter(|quantity| named.is_none_or(|named| named == *quantity));
        let found: Vec<(Quantity, Unit)> =
            all.filter_map(|quantity| Some((quantity, quantity.unit_named(&unit.text)?))).collect();
        let Some(first) = found.first().copied() else {
            let message = format!("\"{}\" is not a unit for this", quoted(&unit.text));
            self.note(unit.line, key, message, "write one that the program shows, such as cfm, rpm, in³, L, ms");
            return None;
        };
        // °F is a temperature or a difference, g a mass or an acceleration
        let same = |other: &Unit| other.to_si(0.0) == first.1.to_si(0.0) && other.to_si(1.0) == first.1.to_si(1.0);
        if found.iter().any(|(_, other)| !same(other)) {
            let names: Vec<String> = found.iter().map(|(quantity, _)| name(*quantity)).collect();
            let mend = format!("say which: quantity = one of {}", names.join(", "));
            self.note(unit.line, key, format!("\"{}\" can mean two things", quoted(&unit.text)), mend);
            return None;
        }
        Some(first)
    }
}

/// A quantity as files name it: snake case.
fn name(quantity: Quantity) -> String {
    let mut name = String::new();
    for character in format!("{quantity:?}").chars() {
        if character.is_ascii_uppercase() && !name.is_empty() {
            name.push('_');
        }
        name.push(character.to_ascii_lowercase());
    }
    name
}
