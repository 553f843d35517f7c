//! A quiz file, and what every item of it has.

use crate::content::course_file::SourceFile;
use crate::content::lesson_file::LARGEST_BYTES;
use crate::content::live_block::{About, Reader, Source};
use crate::content::problem::{Problem, instead, quoted};
use crate::content::quiz::keys::{self, ItemReader};
use crate::content::table::{Notes, instead_of_many};
use crate::content::toml;
use crate::learning::live::Bench;
use crate::learning::outcomes::OUTCOMES;
use crate::learning::quiz::item::{Item, Kind};
use crate::learning::quiz::text::Text;
use toml_edit::TableLike;

/// The version that is read.
pub const FORMAT_VERSION: i64 = 1;
/// Most items of a file; more is no topic.
pub const MOST_ITEMS: usize = 200;
/// Longest id, characters.
const LONGEST_ID: usize = 60;

/// Keys that every item may have.
const KEYS: [&str; 7] = ["id", "kind", "outcomes", "lesson", "source", "stem", "explain"];
/// Keys of its run.
const RUN_KEYS: [&str; 7] = ["scenario", "against", "names", "soak", "set", "look", "at"];

/// The items of a file, as far as they can be read, and everything that is wrong with it in the order of its lines.
pub fn read(file: &SourceFile, course: &[SourceFile]) -> (Vec<Item>, Vec<Problem>) {
    let mut notes = Notes::new(&file.name, &file.text);
    if file.text.len() > LARGEST_BYTES {
        let message = format!("the file has {} bytes, more than the {LARGEST_BYTES} that are read", file.text.len());
        notes.note(1, "", message, "check that this is a quiz, or make two of it");
        return (Vec::new(), notes.problems);
    }
    let (document, problems) = toml::read(&file.text, &file.name, &notes.lines);
    notes.problems.extend(problems);
    let items = document.map_or_else(Vec::new, |document| items(document.as_table(), course, &mut notes));
    let mut problems = notes.problems;
    problems.sort_by(|a, b| (&a.file, a.line).cmp(&(&b.file, b.line)));
    (items, problems)
}

fn items(root: &dyn TableLike, course: &[SourceFile], notes: &mut Notes<'_>) -> Vec<Item> {
    notes.refuse_unknown(root, "", &["format_version", "topic", "item"]);
    notes.version(root, FORMAT_VERSION);
    let topic = notes.needed(root, ("", "topic"), 1, "topic = \"What the items are about\"").text;
    let tables = notes.tables(root, ("", "item"), "[[item]]");
    if tables.is_empty() {
        notes.note(1, "item", "there are no items", "begin each with [[item]]");
    }
    if tables.len() > MOST_ITEMS {
        notes.note(1, "item", "there are too many items", format!("leave at most {MOST_ITEMS} in a file"));
    }
    tables.into_iter().take(MOST_ITEMS).filter_map(|table| item(table, &topic, course, notes)).collect()
}

fn item(
    (table, line): (&dyn TableLike, usize),
    topic: &str,
    course: &[SourceFile],
    notes: &mut Notes<'_>,
) -> Option<Item> {
    let kind = notes.needed(table, ("item", "kind"), line, "kind = \"choice\"");
    let Some(own_keys) = own_keys(&kind.text) else {
        if !kind.text.is_empty() {
            let message = format!("there is no kind \"{}\"", quoted(&kind.text));
            notes.note(kind.line, "item.kind", message, instead(&kind.text, Kind::IDS));
        }
        return None;
    };
    let known: Vec<&str> = KEYS.iter().chain(&RUN_KEYS).chain(own_keys).copied().collect();
    notes.refuse_unknown(table, "item", &known);
    let about = if table.contains_key("soak") { About::Soak } else { About::Stab };
    let source = Source { text: "", line, about, files: course };
    let file = notes.file.to_owned();
    let mut reader = ItemReader { table, line, draws: Vec::new(), reader: Reader { source: &source, notes } };
    let mut item = Item {
        id: reader.id(),
        file,
        line,
        topic: topic.to_owned(),
        outcomes: reader.outcomes(),
        lesson: reader.lesson(),
        source: reader.needed("source", "source = \"common practice, no source\""),
        stem: Text::default(),
        benches: reader.benches()?,
        look: Vec::new(),
        at_s: reader.time("at"),
        explain: Text::default(),
        kind: Kind::Choice(crate::learning::quiz::choice::Choice { options: Vec::new() }),
    };
    if reader.table.contains_key("look") && !item.benches.is_empty() {
        item.look = reader.reader.look(table, &item.benches);
    }
    // drawn values are read first: texts name them
    let benches = std::mem::take(&mut item.benches);
    let read = reader.kind(&kind.text, &benches);
    item.stem = reader.stem();
    if table.contains_key("explain") || kind.text != "choice" {
        item.explain = reader.text(table, ("item", "explain"), line, &benches);
    }
    item.benches = benches;
    item.kind = read?;
    Some(item)
}

/// Keys that a kind has beside those of every item.
fn own_keys(kind: &str) -> Option<&'static [&'static str]> {
    Some(match kind {
        "choice" => &["options"],
        "numeric" => &["draw", "key", "unit", "quantity", "tolerance", "to", "slips"],
        "order" => &["events", "apart", "mistakes"],
        "point" => &["parts", "mistakes"],
        "sketch" => &["sketch", "from", "to", "least", "most", "enough"],
        "tune" => &["free", "changes", "goal", "solutions", "mistakes"],
        "fault" => &["measure", "fault", "candidates"],
        _ => return None,
    })
}

impl ItemReader<'_, '_, '_> {
    fn id(&mut self) -> String {
        let id = self.reader.notes.needed(self.table, ("item", "id"), self.line, "id = \"a_name_of_its_own\"");
        let is_snake = id.text.starts_with(|c: char| c.is_ascii_lowercase())
            && id.text.chars().all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '_')
            && id.text.len() <= LONGEST_ID;
        if !id.text.is_empty() && !is_snake {
            let message = format!("\"{}\" is no id", quoted(&id.text));
            self.note(
                id.line,
                "id",
                message,
                "write small letters, digits and _ only, a letter first, such as air_first",
            );
        }
        id.text
    }

    fn outcomes(&mut self) -> Vec<usize> {
        let most = OUTCOMES.len();
        let how = format!("write outcomes = [1, 2] with numbers from 1 to {most}");
        let Some((key, item)) = self.table.get_key_value("outcomes") else {
            self.note(self.line, "outcomes", "this is missing", how);
            return Vec::new();
        };
        let line = self.reader.notes.line(key, item);
        let number = |value: &toml_edit::Value| value.as_integer().and_then(|n| usize::try_from(n).ok());
        let numbers: Option<Vec<usize>> = item
            .as_array()
            .and_then(|array| array.iter().map(|v| number(v).filter(|n| (1..=most).contains(n))).collect());
        match numbers {
            Some(numbers) if !numbers.is_empty() => numbers,
            _ => {
                self.note(line, "outcomes", "these are not outcomes", how);
                Vec::new()
            }
        }
    }

    fn lesson(&mut self) -> Option<String> {
        let lesson = self.reader.notes.text(self.table, "item", "lesson")?;
        let stems: Vec<&str> =
            self.reader.source.files.iter().filter_map(|file| file.name.strip_suffix(".md")).collect();
        if !stems.contains(&lesson.text.as_str()) {
            let message = format!("there is no lesson \"{}\"", quoted(&lesson.text));
            let mend = instead_of_many(&lesson.text, stems, "name a lesson's file without .md, or leave this out");
            self.note(lesson.line, "lesson", message, mend);
        }
        Some(lesson.text)
    }

    /// The benches of its run; empty without one, `None` if they could not be read.
    fn benches(&mut self) -> Option<Vec<Bench>> {
        let (table, line) = (self.table, self.line);
        let is_soak = match table.get("soak").map(|item| (item.as_bool(), item)) {
            None => false,
            Some((Some(true), _)) => true,
            Some(_) => {
                self.note(line, "soak", "this is yes or nothing", "write soak = true or leave it out");
                return None;
            }
        };
        if is_soak && (table.contains_key("scenario") || table.contains_key("against")) {
            self.note(line, "soak", "a soak has no scenario", "take scenario and against out, or soak");
            return None;
        }
        if !is_soak && !table.contains_key("scenario") {
            for key in ["against", "names", "set", "look", "at"] {
                if let Some((name, item)) = table.get_key_value(key) {
                    let line = self.reader.notes.line(name, item);
                    self.note(line, key, "there is no run that this could be of", "add scenario = \"01_bare_link\"");
                }
            }
            return Some(Vec::new());
        }
        let mut benches = if is_soak { self.reader.soaks(table) } else { self.reader.stabs(table) };
        if let Some((set, _)) = self.reader.notes.table(table, "set") {
            self.reader.set(set, &mut benches);
        }
        (!benches.is_empty()).then_some(benches)
    }

    fn stem(&mut self) -> Text {
        let stem = self.reader.notes.needed(self.table, ("item", "stem"), self.line, "stem = \"What comes first?\"");
        match keys::parsed(&stem.text, &self.draws, None) {
            Ok(text) => text,
            Err(wrong) => {
                self.note(stem.line, "stem", wrong.message, wrong.mend);
                Text::default()
            }
        }
    }

    fn kind(&mut self, kind: &str, benches: &[Bench]) -> Option<Kind> {
        let needs_run = matches!(kind, "order" | "point" | "sketch" | "tune" | "fault");
        if needs_run && benches.is_empty() {
            let message = format!("an item of the kind {kind} needs a run");
            self.note(self.line, "scenario", message, "add scenario = \"01_bare_link\"");
            return None;
        }
        match kind {
            "choice" => self.choice(benches).map(Kind::Choice),
            "numeric" => self.numeric(benches).map(|numeric| Kind::Numeric(Box::new(numeric))),
            "order" => self.order(benches).map(Kind::Order),
            "point" => self.point(benches).map(Kind::Point),
            "sketch" => self.sketch(benches).map(Kind::Sketch),
            "tune" => self.tune(benches).map(Kind::Tune),
            _ => self.fault(benches).map(Kind::Fault),
        }
    }
}
