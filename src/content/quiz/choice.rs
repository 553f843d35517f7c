//! Options to choose from.

use crate::content::quiz::keys::ItemReader;
use crate::content::table::Lined;
use crate::learning::live::Bench;
use crate::learning::quiz::choice::{Alternative, Choice};

const EXAMPLE: &str = "options = [{ text = \"…\", right = true, answer = \"…\" }, …]";

impl ItemReader<'_, '_, '_> {
    pub(super) fn choice(&mut self, benches: &[Bench]) -> Option<Choice> {
        let tables = self.tables("options", EXAMPLE);
        let line = self.line_of("options");
        if !(2..=4).contains(&tables.len()) {
            let message = format!("there are {} options", tables.len());
            self.note(line, "options", message, format!("give two to four: {EXAMPLE}"));
            return None;
        }
        let options: Vec<Alternative> = tables.into_iter().map(|table| self.option(table, benches)).collect();
        let right = options.iter().filter(|option| option.right).count();
        if right != 1 {
            self.note(line, "options", format!("{right} options are right"), "write right = true in exactly one");
            return None;
        }
        Some(Choice { options })
    }

    fn option(&mut self, (table, line): Lined<'_>, benches: &[Bench]) -> Alternative {
        const PREFIX: &str = "options";
        let notes = &mut *self.reader.notes;
        notes.refuse_unknown(table, PREFIX, &["text", "right", "misconception", "answer", "claim"]);
        let text = notes.needed(table, (PREFIX, "text"), line, "text = \"what may be chosen\"").text;
        let right = table.get("right").map(|right| right.as_bool());
        if right == Some(None) {
            notes.note(line, "options.right", "this is yes or no", "write right = true or leave it out");
        }
        let right = right.flatten().unwrap_or(false);
        let misconception = match right {
            true => None,
            false => {
                let example = "misconception = \"the belief behind it\"";
                Some(notes.needed(table, (PREFIX, "misconception"), line, example).text)
            }
        };
        let claim = notes.text(table, PREFIX, "claim");
        let claim = claim.and_then(|claim| self.claim(claim, PREFIX, benches));
        Alternative { text, right, misconception, answer: self.text(table, (PREFIX, "answer"), line, benches), claim }
    }
}
