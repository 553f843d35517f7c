//! What a live block asks before it may run.

use crate::content::claim_text::{column, columns};
use crate::content::live_block::Reader;
use crate::content::problem::quoted;
use crate::content::table::{instead_of_many, joined};
use crate::learning::live::Bench;
use crate::learning::prediction::{Answer, Prediction, Sketch};
use toml_edit::{Item, TableLike, Value};

impl Reader<'_, '_> {
    /// The prediction; a block without one is refused.
    pub(super) fn prediction(&mut self, table: &dyn TableLike, benches: &[Bench]) -> Option<Prediction> {
        if !table.contains_key("predict") {
            let mend = "write [predict] with ask and options, or with ask and sketch: predict first, then look";
            self.notes.note(self.source.line, "predict", "nothing is predicted", mend);
            return None;
        }
        let (predict, line) = self.notes.table(table, "predict")?;
        self.notes.refuse_unknown(predict, "predict", &["ask", "options", "sketch", "from", "to", "least", "most"]);
        let ask = self.notes.needed(predict, ("predict", "ask"), line, "ask = \"What will happen?\"").text;
        if predict.contains_key("sketch") {
            self.sketch(predict, "predict", ask, benches).map(Prediction::Sketch)
        } else {
            self.choice(predict, ask, line, benches)
        }
    }

    fn choice(&mut self, predict: &dyn TableLike, ask: String, line: usize, benches: &[Bench]) -> Option<Prediction> {
        let Some(array) = predict.get("options").and_then(Item::as_array) else {
            let mend = "write options = [{ text = \"…\", why = \"…\", right = true }, …], or sketch = \"1.lambda\"";
            self.notes.note(line, "predict.options", "there is nothing to choose or to draw", mend);
            return None;
        };
        let line = predict.get_key_value("options").map_or(line, |(key, item)| self.notes.line(key, item));
        let options: Vec<Answer> = array.iter().filter_map(|value| self.answer(value, benches)).collect();
        let right = options.iter().filter(|option| option.right).count();
        if !(2..=4).contains(&array.len()) {
            self.notes.note(line, "predict.options", format!("there are {} options", array.len()), "give two to four");
        } else if right != 1 && options.len() == array.len() {
            let message = format!("{right} options are right");
            self.notes.note(line, "predict.options", message, "write right = true in exactly one");
        }
        Some(Prediction::Choice { ask, options })
    }

    fn answer(&mut self, value: &Value, benches: &[Bench]) -> Option<Answer> {
        let line = self.notes.lines.line_of(value.span());
        let Some(table) = value.as_inline_table() else {
            self.notes.note(line, "predict.options", "an option is a table", "write { text = \"…\", why = \"…\" }");
            return None;
        };
        let prefix = "predict.options";
        self.notes.refuse_unknown(table, prefix, &["text", "why", "right", "claim"]);
        let text = self.notes.needed(table, (prefix, "text"), line, "text = \"the answer\"").text;
        let why = self
            .notes
            .needed(table, (prefix, "why"), line, "why = \"what is so, and why one may think otherwise\"")
            .text;
        let claim = self.notes.text(table, prefix, "claim").and_then(|claim| self.claim(claim, prefix, benches));
        let right = table.get("right").and_then(Value::as_bool).unwrap_or(false);
        if table.get("right").is_some_and(|right| right.as_bool().is_none()) {
            self.notes.note(line, "predict.options.right", "this is yes or no", "write right = true or leave it out");
        }
        Some(Answer { text, why, right, claim })
    }

    /// The paper on which a curve is drawn.
    pub(super) fn sketch(
        &mut self,
        predict: &dyn TableLike,
        prefix: &str,
        ask: String,
        benches: &[Bench],
    ) -> Option<Sketch> {
        let wanted = self.notes.text(predict, prefix, "sketch")?;
        let (number, id) = wanted.text.split_once('.').unwrap_or(("1", &wanted.text));
        let bench = number.parse::<usize>().ok().filter(|bench| (1..=benches.len()).contains(bench)).map(|b| b - 1);
        let Some((bench, column)) = bench.and_then(|bench| Some((bench, column(&benches[bench].subject, id)?))) else {
            let mend = instead_of_many(id, columns(&benches[0].subject), "name bench and channel, such as 1.lambda");
            let message = format!("there is no channel \"{}\"", quoted(&wanted.text));
            self.notes.note(wanted.line, joined(prefix, "sketch"), message, mend);
            return None;
        };
        let number = |name: &str, reader: &mut Self| {
            let item = predict.get(name)?;
            let number = item.as_float().or_else(|| item.as_integer().map(|whole| whole as f64));
            let seconds = item.as_str().and_then(|text| text.trim().strip_suffix('s')?.trim().parse::<f64>().ok());
            let found = number.or(seconds).filter(|number| number.is_finite());
            if found.is_none() {
                let key = joined(prefix, name);
                reader.notes.note(
                    wanted.line,
                    key,
                    "this is not a number",
                    "write a number in SI, or a time such as \"1.2 s\"",
                );
            }
            found
        };
        let (from_s, to_s) = (number("from", self).unwrap_or(0.0), number("to", self).unwrap_or(1.0));
        let (least, most) = (number("least", self), number("most", self));
        let (Some(least), Some(most)) = (least, most) else {
            self.notes.note(
                wanted.line,
                joined(prefix, "sketch"),
                "the paper has no height",
                "write least and most, in SI",
            );
            return None;
        };
        if from_s >= to_s || least >= most {
            self.notes.note(
                wanted.line,
                joined(prefix, "sketch"),
                "the paper has no size",
                "from below to, least below most",
            );
        }
        Some(Sketch { ask, bench, column, from_s, to_s, least, most })
    }
}
