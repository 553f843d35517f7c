//! Kinds in which settings are turned: by the learner towards a goal, or by a hidden fault.

use crate::content::claim_text::figure_named;
use crate::content::problem::quoted;
use crate::content::quiz::keys::ItemReader;
use crate::content::table::Lined;
use crate::content::table::instead_of_many;
use crate::learning::figure::{Figure, Measure};
use crate::learning::live::{Bench, Free};
use crate::learning::quiz::fault::{Candidate, Fault, Measured};
use crate::learning::quiz::tune::{Solution, Tune};
use crate::units::Unit;

/// Settings that may be turned.
const FREE: std::ops::RangeInclusive<usize> = 1..=4;
/// Verdicts differ when their places in the table do.
const VERDICTS_APART: f64 = 0.5;

impl ItemReader<'_, '_, '_> {
    pub(super) fn tune(&mut self, benches: &[Bench]) -> Option<Tune> {
        if !self.table.contains_key("free") {
            self.note(self.line, "free", "nothing may be turned", "write free = [\"pump.shot\"]");
            return None;
        }
        let free = self.reader.free(self.table, benches, FREE);
        let changes = self.reader.notes.whole(self.table, "changes", 1..=*FREE.end() as i64).unwrap_or(1) as usize;
        let goal = self.reader.notes.texts(self.table, "item", "goal");
        if goal.is_empty() {
            self.note(self.line, "goal", "there is no goal", "write goal = [\"1.verdict == clean\"]");
        }
        let goal = goal.into_iter().filter_map(|claim| self.claim(claim, "goal", benches)).collect();
        let tables = self.tables("solutions", "solutions = [{ pump.shot = \"1.2 cm³\" }]");
        if tables.is_empty() {
            let mend = "write solutions = [{ pump.shot = \"1.2 cm³\" }]: a way that leads to the goal";
            self.note(self.line, "solutions", "there is no solution", mend);
        }
        let solutions = tables.into_iter().map(|table| self.solution(table, &free, benches)).collect();
        let mut mistakes = Vec::new();
        for (table, line) in self.tables("mistakes", "mistakes = [{ claim = \"…\", misconception = \"…\", … }]") {
            const PREFIX: &str = "mistakes";
            self.reader.notes.refuse_unknown(table, PREFIX, &["claim", "misconception", "answer"]);
            let claim = self.reader.notes.needed(table, (PREFIX, "claim"), line, "claim = \"1.rich_s > 0.1\"");
            let claim = if claim.text.is_empty() { None } else { self.claim(claim, PREFIX, benches) };
            let word = self.word((table, line), PREFIX, benches);
            mistakes.extend(claim.map(|claim| (claim, word)));
        }
        Some(Tune { free, changes, goal, solutions, mistakes })
    }

    fn solution(&mut self, (table, line): Lined<'_>, free: &[Free], benches: &[Bench]) -> Solution {
        let mut values = vec![None; free.len()];
        for (bench, place, value) in self.reader.changes(table, &mut Vec::new(), benches) {
            match free.iter().position(|free| free.benches.contains(&(bench, place))) {
                Some(index) => values[index] = Some(value),
                None => self.note(line, "solutions", "it turns a setting that is not free", "free it, or leave it"),
            }
        }
        Solution { values, line }
    }

    pub(super) fn fault(&mut self, benches: &[Bench]) -> Option<Fault> {
        let tables = self.tables("measure", "measure = [{ figure = \"1.lost_s\", apart = \"20 ms\" }]");
        if tables.is_empty() {
            let mend = "write measure = [{ figure = \"1.lost_s\", apart = \"20 ms\" }]";
            self.note(self.line, "measure", "nothing may be measured", mend);
        }
        let measures: Vec<Measured> = tables.into_iter().filter_map(|table| self.measured(table, benches)).collect();
        let built_in = self.reader.notes.needed(self.table, ("item", "fault"), self.line, "fault = \"small_jets\"");
        let tables = self.tables("candidates", "candidates = [{ id = \"…\", label = \"…\", set.pump.shot = \"…\" }]");
        if !(2..=8).contains(&tables.len()) {
            let line = self.line_of("candidates");
            self.note(line, "candidates", format!("there are {} candidates", tables.len()), "give two to eight");
            return None;
        }
        let candidate = |table| self.candidate(table, &built_in.text, benches);
        let candidates: Vec<Candidate> = tables.into_iter().map(candidate).collect();
        for (place, candidate) in candidates.iter().enumerate() {
            if candidates[..place].iter().any(|before| before.id == candidate.id) {
                let message = format!("\"{}\" is there twice", quoted(&candidate.id));
                self.note(candidate.line, "candidates", message, "give each a name of its own");
            }
        }
        let Some(fault) = candidates.iter().position(|candidate| candidate.id == built_in.text) else {
            let known = candidates.iter().map(|candidate| candidate.id.as_str());
            let mend = instead_of_many(&built_in.text, known, "name one of the candidates");
            self.note(built_in.line, "fault", format!("\"{}\" is no candidate", quoted(&built_in.text)), mend);
            return None;
        };
        Some(Fault { candidates, fault, measures })
    }

    fn measured(&mut self, (table, line): Lined<'_>, benches: &[Bench]) -> Option<Measured> {
        const PREFIX: &str = "measure";
        self.reader.notes.refuse_unknown(table, PREFIX, &["figure", "apart"]);
        let text = self.reader.notes.needed(table, (PREFIX, "figure"), line, "figure = \"1.lost_s\"").text;
        if text.is_empty() {
            return None;
        }
        let (bench, figure) = match figure_named(&text, benches) {
            Ok((_, Figure::Setting(..))) => {
                let mend = "measure what the run shows, not what is set";
                self.note(line, PREFIX, "a setting would give the fault away", mend);
                return None;
            }
            Ok(found) => found,
            Err(wrong) => {
                self.note(line, PREFIX, wrong.message, wrong.mend);
                return None;
            }
        };
        let apart = match figure.measure() {
            Measure::Verdict => Some(VERDICTS_APART),
            Measure::Quantity(quantity) => {
                if !table.contains_key("apart") {
                    self.note(line, PREFIX, "apart is missing", "write the least difference that can be told");
                }
                // SI, as everywhere in claims
                self.amount((table, line), PREFIX, "apart", (quantity, Unit::SI))
            }
        };
        let apart = apart.filter(|apart| *apart > 0.0)?;
        Some(Measured { text, bench, figure, apart })
    }

    fn candidate(&mut self, (table, line): Lined<'_>, built_in: &str, benches: &[Bench]) -> Candidate {
        const PREFIX: &str = "candidates";
        let notes = &mut *self.reader.notes;
        notes.refuse_unknown(table, PREFIX, &["id", "label", "set", "misconception", "answer"]);
        let id = notes.needed(table, (PREFIX, "id"), line, "id = \"small_jets\"").text;
        let label = notes.needed(table, (PREFIX, "label"), line, "label = \"Main jets too small\"").text;
        let misconception = match id == built_in {
            true => None,
            false => {
                let example = "misconception = \"the belief behind it\"";
                Some(notes.needed(table, (PREFIX, "misconception"), line, example).text)
            }
        };
        let set = notes.table(table, "set");
        let changes = set.map_or_else(Vec::new, |(set, _)| self.reader.changes(set, &mut Vec::new(), benches));
        if changes.is_empty() {
            self.note(line, PREFIX, "it changes nothing", "write what it does, such as set.pump.shot = \"0.3 cm³\"");
        }
        let answer = self.text(table, (PREFIX, "answer"), line, benches);
        Candidate { id, label, changes, misconception, answer, line }
    }
}
