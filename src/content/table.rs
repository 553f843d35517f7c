//! Tables of a file, with a note for everything in them that is wrong.

use crate::content::problem::{Problem, instead, list, quoted};
use crate::content::toml::Lines;
use toml_edit::{Item, Key, TableLike, Value};

/// Notes what is wrong with a file.
pub struct Notes<'a> {
    /// The file, as the reader knows it.
    pub file: &'a str,
    /// Its lines.
    pub lines: Lines,
    /// What was noted.
    pub problems: Vec<Problem>,
}

/// A table of a list with its line.
pub type Lined<'t> = (&'t dyn TableLike, usize);

/// A text of a file with its line.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Text {
    /// The text.
    pub text: String,
    /// Line at which it stands.
    pub line: usize,
}

impl<'a> Notes<'a> {
    /// None yet, for a file with this text.
    pub fn new(file: &'a str, text: &str) -> Self {
        Self { file, lines: Lines::of(text), problems: Vec::new() }
    }

    /// Note a problem.
    pub fn note(&mut self, line: usize, key: impl Into<String>, message: impl Into<String>, mend: impl Into<String>) {
        let (file, key) = (self.file.to_owned(), key.into());
        self.problems.push(Problem { file, line, key, message: message.into(), mend: mend.into() });
    }

    /// Line of a key or, where it has none, of its value.
    pub fn line(&self, key: &Key, item: &Item) -> usize {
        self.lines.line_of(key.span().or_else(|| item.span()))
    }

    fn line_of_value(&self, value: &Value) -> usize {
        self.lines.line_of(value.span())
    }

    /// Note a version other than the one that is read here.
    pub fn version(&mut self, root: &dyn TableLike, read_here: i64) {
        const KEY: &str = "format_version";
        let Some((key, item)) = root.get_key_value(KEY) else {
            self.note(1, KEY, "the file does not say its version", format!("begin it with {KEY} = {read_here}"));
            return;
        };
        if item.as_integer() != Some(read_here) {
            let line = self.line(key, item);
            let given = item.as_integer().map_or_else(|| item.type_name().to_owned(), |version| version.to_string());
            let mend = format!("write {KEY} = {read_here}, or open the file with the program that wrote it");
            self.note(line, KEY, format!("version {given} is not read here"), mend);
        }
    }

    /// Note every key that is not among the known ones.
    pub fn refuse_unknown(&mut self, table: &dyn TableLike, prefix: &str, known: &[&str]) {
        for (name, _) in table.iter().filter(|(name, _)| !known.contains(name)) {
            let line = table.get_key_value(name).map_or(1, |(key, item)| self.line(key, item));
            let key = joined(prefix, name);
            self.note(line, key, "there is no such key here", instead(name, known.iter().copied()));
        }
    }

    /// A text without the blanks around it, if the key is there.
    pub fn text(&mut self, table: &dyn TableLike, prefix: &str, name: &str) -> Option<Text> {
        let text = self.verbatim(table, prefix, name)?;
        Some(Text { text: text.text.trim().to_owned(), ..text })
    }

    /// A text letter for letter, if the key is there.
    pub fn verbatim(&mut self, table: &dyn TableLike, prefix: &str, name: &str) -> Option<Text> {
        let (key, item) = table.get_key_value(name)?;
        let line = self.line(key, item);
        match item.as_str() {
            Some(text) => Some(Text { text: text.to_owned(), line }),
            None => {
                let message = format!("this is text, not of type {}", item.type_name());
                self.note(line, joined(prefix, name), message, "write it in quotes");
                None
            }
        }
    }

    /// A text that must be there and say something.
    pub fn needed(&mut self, table: &dyn TableLike, (prefix, name): (&str, &str), at: usize, example: &str) -> Text {
        let there = table.contains_key(name);
        let found = self.text(table, prefix, name);
        match found {
            Some(text) if !text.text.is_empty() => text,
            found => {
                let line = found.map_or(at, |text| text.line);
                let misses = table.get(name).is_none_or(|item| item.is_str());
                if !there || misses {
                    self.note(line, joined(prefix, name), "this is missing", format!("write {example}"));
                }
                Text { text: String::new(), line }
            }
        }
    }

    /// A list of texts; an absent one is empty.
    pub fn texts(&mut self, table: &dyn TableLike, prefix: &str, name: &str) -> Vec<Text> {
        let Some((key, item)) = table.get_key_value(name) else { return Vec::new() };
        let line = self.line(key, item);
        let Some(array) = item.as_array() else {
            let message = format!("this is a list, not of type {}", item.type_name());
            self.note(line, joined(prefix, name), message, format!("write {name} = [\"…\", \"…\"]"));
            return Vec::new();
        };
        let mut texts = Vec::new();
        for value in array.iter() {
            let line = self.line_of_value(value);
            match value.as_str() {
                Some(text) => texts.push(Text { text: text.trim().to_owned(), line }),
                None => {
                    let message = format!("the list holds texts, not a value of type {}", value.type_name());
                    self.note(line, joined(prefix, name), message, "write each in quotes");
                }
            }
        }
        texts
    }

    /// A whole number within a range; an absent one is `None`.
    pub fn whole(&mut self, table: &dyn TableLike, name: &str, range: std::ops::RangeInclusive<i64>) -> Option<i64> {
        let (key, item) = table.get_key_value(name)?;
        match item.as_integer().filter(|number| range.contains(number)) {
            Some(number) => Some(number),
            None => {
                let line = self.line(key, item);
                let mend = format!("write a whole number from {} to {}", range.start(), range.end());
                self.note(line, name, "this is not accepted", mend);
                None
            }
        }
    }

    /// The tables of a list: inline in brackets, or each under a heading of its own.
    pub fn tables<'t>(
        &mut self,
        table: &'t dyn TableLike,
        (prefix, name): (&str, &str),
        example: &str,
    ) -> Vec<Lined<'t>> {
        let Some((key, item)) = table.get_key_value(name) else { return Vec::new() };
        let line = self.line(key, item);
        let mut tables: Vec<Lined<'t>> = Vec::new();
        let refuse = |notes: &mut Self, line: usize| {
            notes.note(line, joined(prefix, name), "this is a list of tables", format!("write such as {example}"));
        };
        match item {
            Item::ArrayOfTables(array) => {
                tables.extend(array.iter().map(|table| (table as &dyn TableLike, self.lines.line_of(table.span()))));
            }
            Item::Value(Value::Array(array)) => {
                for value in array.iter() {
                    let line = self.line_of_value(value);
                    match value.as_inline_table() {
                        Some(table) => tables.push((table, line)),
                        None => refuse(self, line),
                    }
                }
            }
            _ => refuse(self, line),
        }
        tables
    }

    /// A table under a key, with its line.
    pub fn table<'t>(&mut self, table: &'t dyn TableLike, name: &str) -> Option<(&'t dyn TableLike, usize)> {
        let (key, item) = table.get_key_value(name)?;
        let line = self.line(key, item);
        let found = item.as_table_like();
        if found.is_none() {
            let message = format!("this is a table, not of type {}", item.type_name());
            self.note(line, name, message, format!("write [{name}] on a line of its own and its keys below"));
        }
        found.map(|table| (table, line))
    }
}

/// A key with the table that it stands in.
pub fn joined(prefix: &str, name: &str) -> String {
    if prefix.is_empty() { quoted(name) } else { format!("{prefix}.{}", quoted(name)) }
}

/// How to mend a word: the nearest, and where there are not too many, all.
pub fn instead_of_many<'k>(word: &str, known: impl IntoIterator<Item = &'k str> + Clone, what: &str) -> String {
    const FEW: usize = 40;
    match crate::content::problem::nearest(word, known.clone()) {
        Some(near) => format!("did you mean {near}?"),
        None if known.clone().into_iter().count() <= FEW => format!("known: {}", list(known)),
        None => what.to_owned(),
    }
}
