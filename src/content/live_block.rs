//! Live blocks of a lesson: TOML between ```` ```experiment ```` or ```` ```soak ```` and ```` ``` ````.
//!
//! ```toml
//! id = "two_pumps"
//! scenario = "01_bare_link"            # shipped, or a .toml file of the course folder; not in a soak
//! against = ["02_twin_pump"]           # up to three more benches; not in a soak
//! names = ["Bare link", "Twin pump"]   # as shown; in a soak they say how many benches there are
//! set.pump.shot = "1.2 cm³"            # on every bench that has it
//! set.2.family.shot = "2.4 cm³"        # on bench 2
//! free = ["pump.shot", { key = "2.family.shot", from = "0.5 cm³", to = "4 cm³" }]
//! look = ["lambda", "pump"]            # channels, and groups of settings whose part is meant
//! claims = ["1.verdict == bogs", "2.lost_s < 0.5 * 1.lost_s"]
//! explain = "The bare link lost {1.lost_s}, the twin pump {2.lost_s}."
//! [predict]
//! ask = "Which one loses more?"
//! options = [
//!   { text = "The bare link", why = "Nothing feeds its hole.", right = true, claim = "1.lost_s > 2.lost_s" },
//!   { text = "The twin pump", why = "Two shots are not too many here.", claim = "2.lost_s > 1.lost_s" },
//! ]
//! # or: sketch = "1.lambda", from = "0 s", to = "1 s", least = 0.6, most = 2
//! ```

use crate::bench::scenario::{GROUPS, Scenario};
use crate::content::claim_text::{self, columns};
use crate::content::course_file::SourceFile;
use crate::content::library;
use crate::content::problem::{instead, quoted};
use crate::content::scenario_file;
use crate::content::settings_file::raw;
use crate::content::table::{Notes, Text, instead_of_many};
use crate::content::toml::{self, Lines};
use crate::content::value;
use crate::heat::soak::GROUPS as SOAK_GROUPS;
use crate::learning::claim::Claim;
use crate::learning::live::{Bench, FREE, Free, Live, MOST_BENCHES, Subject};
use crate::settings::grouped::Place;
use crate::settings::{Kind, Setting};
use toml_edit::{InlineTable, Item, TableLike, Value};

/// What a block is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum About {
    /// ```` ```experiment ````
    Stab,
    /// ```` ```soak ````
    Soak,
}

/// A block of a lesson: its text and the line of its first.
pub struct Source<'a> {
    /// Between the fences.
    pub text: &'a str,
    /// Line of the opening fence.
    pub line: usize,
    /// What its fence says.
    pub about: About,
    /// Files of the course, for scenarios of its own.
    pub files: &'a [SourceFile],
}

/// The block, as far as it can be read; whatever is wrong is noted.
pub fn read(source: &Source<'_>, notes: &mut Notes<'_>) -> Option<Live> {
    // empty lines before it keep the lines of the file
    let padded = "\n".repeat(source.line) + source.text;
    let of_file = std::mem::replace(&mut notes.lines, Lines::of(&padded));
    let (document, problems) = toml::read(&padded, notes.file, &notes.lines);
    notes.problems.extend(problems);
    let live = document.and_then(|document| Reader { source, notes }.live(document.as_table()));
    notes.lines = of_file;
    live
}

/// Reads what TOML has understood, and notes what is wrong with it.
pub(super) struct Reader<'a, 'n> {
    pub(super) source: &'a Source<'a>,
    pub(super) notes: &'a mut Notes<'n>,
}

const KEYS: &[&str] = &["id", "scenario", "against", "names", "set", "free", "look", "claims", "explain", "predict"];
const SOAK_KEYS: &[&str] = &["id", "names", "set", "free", "look", "claims", "explain", "predict"];

impl Reader<'_, '_> {
    fn live(&mut self, table: &dyn TableLike) -> Option<Live> {
        let line = self.source.line;
        self.notes.refuse_unknown(table, "", if self.source.about == About::Stab { KEYS } else { SOAK_KEYS });
        let id = self.notes.needed(table, ("", "id"), line, "id = \"a_name_of_its_own\"").text;
        let mut benches = match self.source.about {
            About::Stab => self.stabs(table),
            About::Soak => self.soaks(table),
        };
        if benches.is_empty() {
            return None;
        }
        if let Some((set, _)) = self.notes.table(table, "set") {
            self.set(set, &mut benches);
        }
        let free = self.free(table, &benches, FREE);
        let look = self.look(table, &benches);
        let prediction = self.prediction(table, &benches);
        let claims = self.notes.texts(table, "", "claims");
        if claims.is_empty() {
            self.notes.note(
                line,
                "claims",
                "nothing is claimed",
                "write claims = [\"1.lost_s > 0.1\"]: say what the run shows",
            );
        }
        let claims = claims.into_iter().filter_map(|claim| self.claim(claim, "claims", &benches)).collect();
        let told = self.notes.needed(table, ("", "explain"), line, "explain = \"The engine lost {1.lost_s}.\"");
        let explain = match claim_text::explanation(&told.text, &benches) {
            Ok(parts) => parts,
            Err(wrong) => {
                self.notes.note(told.line, "explain", wrong.message, wrong.mend);
                Vec::new()
            }
        };
        Some(Live { id, line, benches, free, prediction: prediction?, look, claims, explain })
    }

    pub(super) fn stabs(&mut self, table: &dyn TableLike) -> Vec<Bench> {
        let example = "scenario = \"01_bare_link\"";
        let mut wanted = vec![self.notes.needed(table, ("", "scenario"), self.source.line, example)];
        wanted.extend(self.notes.texts(table, "", "against"));
        if let Some(extra) = wanted.get(MOST_BENCHES) {
            let line = extra.line;
            self.notes.note(line, "against", "too many stand side by side", "leave at most three against the first");
            wanted.truncate(MOST_BENCHES);
        }
        let names = self.names(table, Some(wanted.len()));
        let scenarios: Vec<_> = wanted.iter().filter_map(|wanted| self.scenario(wanted)).collect();
        if scenarios.len() < wanted.len() {
            // claims would speak of other benches than they mean
            return Vec::new();
        }
        let named = |(place, scenario): (usize, Scenario)| Bench {
            name: names.get(place).cloned().unwrap_or_else(|| scenario.title.clone()),
            subject: Subject::Stab(Box::new(scenario)),
        };
        scenarios.into_iter().enumerate().map(named).collect()
    }

    fn names(&mut self, table: &dyn TableLike, expected: Option<usize>) -> Vec<String> {
        let names = self.notes.texts(table, "", "names");
        let line = names.first().map_or(self.source.line, |name| name.line);
        match expected {
            Some(count) if !names.is_empty() && names.len() != count => {
                let message = format!("there are {} names for {count} benches", names.len());
                self.notes.note(line, "names", message, "give one name for each bench, in their order");
            }
            None if names.len() > MOST_BENCHES => {
                self.notes.note(line, "names", "too many stand side by side", "leave at most four");
            }
            _ => {}
        }
        names.into_iter().take(MOST_BENCHES).map(|name| name.text).collect()
    }

    fn scenario(&mut self, wanted: &Text) -> Option<Scenario> {
        if wanted.text.is_empty() {
            return None;
        }
        let local = self.source.files.iter().find(|file| file.name == wanted.text);
        let read = match (local, library::shipped_named(&wanted.text)) {
            (Some(file), _) => scenario_file::parse(&file.text, &file.name),
            (None, Some(shipped)) => shipped.scenario(),
            (None, None) => {
                let shipped = library::shipped();
                let local = self.source.files.iter().map(|file| file.name.as_str());
                let known = shipped.iter().map(|shipped| shipped.stem);
                let known: Vec<_> = known.chain(local.filter(|name| name.ends_with(".toml"))).collect();
                let message = format!("there is no scenario \"{}\"", quoted(&wanted.text));
                self.notes.note(wanted.line, "scenario", message, instead(&wanted.text, known));
                return None;
            }
        };
        match read {
            Ok(scenario) => Some(scenario),
            Err(problems) => {
                self.notes.problems.extend(problems.0);
                None
            }
        }
    }

    pub(super) fn soaks(&mut self, table: &dyn TableLike) -> Vec<Bench> {
        let mut names = self.names(table, None);
        if names.is_empty() {
            names.push("Heat soak".to_owned());
        }
        names.into_iter().map(|name| Bench { name, subject: Subject::Soak(Box::default()) }).collect()
    }

    /// Whatever stands below `set`, on the benches.
    pub(super) fn set(&mut self, table: &dyn TableLike, benches: &mut [Bench]) {
        for (bench, place, value) in self.changes(table, &mut Vec::new(), benches) {
            // a value out of its range has been noted and is not among these
            let _ = benches[bench].subject.settings_mut().set(place, value);
        }
    }

    /// Settings with values, as `set` has them: bench, place, SI value. Dotted, quoted or in tables of its own is all the
    /// same.
    pub(super) fn changes(
        &mut self,
        table: &dyn TableLike,
        path: &mut Vec<String>,
        benches: &[Bench],
    ) -> Vec<(usize, Place, f64)> {
        let mut changes = Vec::new();
        for (name, item) in table.iter() {
            let line = table.get_key_value(name).map_or(1, |(key, item)| self.notes.line(key, item));
            let depth = path.len();
            path.extend(name.split('.').map(str::to_owned));
            changes.extend(match item.as_table_like() {
                Some(inner) if path.len() < 3 => self.changes(inner, path, benches),
                _ => self.change(&path.join("."), (line, item), benches),
            });
            path.truncate(depth);
        }
        changes
    }

    fn change(&mut self, key: &str, (line, item): (usize, &Item), benches: &[Bench]) -> Vec<(usize, Place, f64)> {
        let mut changes = Vec::new();
        for (bench, place) in self.places(key, (line, "set"), benches).unwrap_or_default() {
            let Some(setting) = benches[bench].subject.settings().setting(place) else { continue };
            match value::read(setting, raw(item)) {
                Ok(value) => changes.push((bench, place, value)),
                Err(refusal) => {
                    self.notes.note(line, format!("set.{}", quoted(key)), refusal.message, refusal.mend);
                    break;
                }
            }
        }
        changes
    }

    /// Benches and places that `group.key` or `BENCH.group.key` means.
    pub(super) fn places(
        &mut self,
        key: &str,
        (line, of): (usize, &str),
        benches: &[Bench],
    ) -> Option<Vec<(usize, Place)>> {
        let mut parts: Vec<&str> = key.split('.').collect();
        let only = match parts.first().and_then(|first| first.parse::<usize>().ok()) {
            Some(bench) if (1..=benches.len()).contains(&bench) => {
                parts.remove(0);
                Some(bench - 1)
            }
            Some(bench) => {
                let mend = format!("this block has benches 1 to {}", benches.len());
                self.notes.note(line, of, format!("there is no bench {bench}"), mend);
                return None;
            }
            None => None,
        };
        let meant = |bench: &usize| only.is_none_or(|only| only == *bench);
        let found: Vec<_> = match parts.as_slice() {
            [group, key] => (0..benches.len())
                .filter(meant)
                .filter_map(|bench| Some((bench, benches[bench].subject.settings().place(group, key)?)))
                .collect(),
            _ => Vec::new(),
        };
        if found.is_empty() {
            let all: Vec<String> =
                benches.iter().enumerate().filter(|(i, _)| meant(i)).flat_map(|(_, b)| b.subject.keys()).collect();
            let wanted = parts.join(".");
            let mend = instead_of_many(&wanted, all.iter().map(String::as_str), "write group.key as scenario files do");
            self.notes.note(line, of, format!("no bench has a setting \"{}\"", quoted(&wanted)), mend);
            return None;
        }
        Some(found)
    }

    pub(super) fn free(
        &mut self,
        table: &dyn TableLike,
        benches: &[Bench],
        allowed: std::ops::RangeInclusive<usize>,
    ) -> Vec<Free> {
        let Some((key, item)) = table.get_key_value("free") else { return Vec::new() };
        let line = self.notes.line(key, item);
        let Some(array) = item.as_array() else {
            self.notes.note(line, "free", "this is a list", "write free = [\"pump.shot\"]");
            return Vec::new();
        };
        if !allowed.contains(&array.len()) {
            let mend = format!("leave {} to {} settings, or leave free out", allowed.start(), allowed.end());
            self.notes.note(line, "free", format!("{} settings are too many or too few", array.len()), mend);
        }
        array.iter().filter_map(|value| self.one_free(value, benches)).collect()
    }

    fn one_free(&mut self, value: &Value, benches: &[Bench]) -> Option<Free> {
        let line = self.notes.lines.line_of(value.span());
        let empty = InlineTable::new();
        let table = value.as_inline_table().unwrap_or(&empty);
        self.notes.refuse_unknown(table, "free", &["key", "from", "to"]);
        let Some(key) = value.as_str().or_else(|| table.get("key").and_then(Value::as_str)) else {
            self.notes.note(
                line,
                "free",
                "this names no setting",
                "write \"pump.shot\" or { key = \"pump.shot\", to = \"4 cm³\" }",
            );
            return None;
        };
        let places = self.places(key, (line, "free"), benches)?;
        let (bench, place) = *places.first()?;
        let setting = *benches[bench].subject.settings().setting(place)?;
        let (least, most) = match setting.kind {
            Kind::Number { least, most, .. } => (least, most),
            Kind::Choice(words) => (0.0, (words.len() - 1) as f64),
        };
        let from = self.bound(table, "from", &setting, line).unwrap_or(least);
        let to = self.bound(table, "to", &setting, line).unwrap_or(most);
        if from >= to {
            self.notes.note(line, "free", "from is not below to", "exchange them");
        }
        Some(Free { key: key.to_owned(), benches: places, setting, least: from, most: to })
    }

    fn bound(&mut self, table: &InlineTable, name: &str, setting: &Setting, line: usize) -> Option<f64> {
        let item = Item::Value(table.get(name)?.clone());
        match value::read(setting, raw(&item)) {
            Ok(value) => Some(value),
            Err(refusal) => {
                self.notes.note(line, format!("free.{name}"), refusal.message, refusal.mend);
                None
            }
        }
    }

    pub(super) fn look(&mut self, table: &dyn TableLike, benches: &[Bench]) -> Vec<String> {
        let groups: Vec<&str> = match self.source.about {
            About::Stab => GROUPS.iter().map(|group| group.id).collect(),
            About::Soak => SOAK_GROUPS.iter().map(|group| group.id).collect(),
        };
        let known: Vec<&str> =
            benches.iter().flat_map(|bench| columns(&bench.subject)).chain(groups.iter().copied()).collect();
        let looked = self.notes.texts(table, "", "look");
        for text in looked.iter().filter(|text| !known.contains(&text.text.as_str())) {
            let mend = instead_of_many(&text.text, known.iter().copied(), "name a channel or a group of settings");
            let message = format!("there is neither a channel nor a part \"{}\"", quoted(&text.text));
            self.notes.note(text.line, "look", message, mend);
        }
        looked.into_iter().map(|text| text.text).collect()
    }

    /// A claim, or a note of why it is none.
    pub(super) fn claim(&mut self, text: Text, key: &str, benches: &[Bench]) -> Option<Claim> {
        match claim_text::claim(&text.text, benches) {
            Ok(statement) => Some(Claim { text: text.text, line: text.line, statement }),
            Err(wrong) => {
                self.notes.note(text.line, key, format!("\"{}\": {}", quoted(&text.text), wrong.message), wrong.mend);
                None
            }
        }
    }
}
