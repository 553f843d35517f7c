//! Kinds whose answer is seen in a run: events in order, a part of the drawing, a curve.

use crate::bench::events::EventKind;
use crate::content::problem::quoted;
use crate::content::quiz::keys::{ItemReader, plain};
use crate::content::table::{Text as Written, instead_of_many};
use crate::heat::events::EventKind as SoakEventKind;
use crate::learning::claim::Claim;
use crate::learning::figure::Figure;
use crate::learning::live::{Bench, Subject};
use crate::learning::quiz::order::{Mistake, Moment, Order};
use crate::learning::quiz::point::Point;
use crate::learning::quiz::sketch::Drawn;
use crate::scene::parts::{PARTS, part};

/// Least time between two events that are put in order, if the item does not say, s.
const APART_S: f64 = 0.02;
/// Score of a sketch from which on it counts as right, if the item does not say.
const ENOUGH: f64 = 0.5;

impl ItemReader<'_, '_, '_> {
    /// A claim about the item's run, or a note of why it is none.
    pub(super) fn claim(&mut self, text: Written, key: &str, benches: &[Bench]) -> Option<Claim> {
        if benches.is_empty() {
            self.note(text.line, key, "there is no run that this could be of", "add scenario = \"01_bare_link\"");
            return None;
        }
        self.reader.claim(text, key, benches)
    }

    pub(super) fn order(&mut self, benches: &[Bench]) -> Option<Order> {
        let ids = self.reader.notes.texts(self.table, "item", "events");
        let line = self.line_of("events");
        let events: Vec<Moment> = ids.iter().filter_map(|id| self.moment(id, &benches[0])).collect();
        if !(3..=6).contains(&ids.len()) {
            let message = format!("there are {} events", ids.len());
            self.note(line, "events", message, "give three to six: events = [\"secondary_air\", …]");
            return None;
        }
        if events.len() < ids.len() {
            return None;
        }
        if (1..events.len()).any(|place| events[..place].iter().any(|before| before.id == events[place].id)) {
            self.note(line, "events", "an event is there twice", "keep one of the two");
            return None;
        }
        let apart_s = self.time("apart").unwrap_or(APART_S);
        let mut mistakes = Vec::new();
        for (table, line) in self.tables("mistakes", "mistakes = [{ first = \"…\", then = \"…\", … }]") {
            const PREFIX: &str = "mistakes";
            self.reader.notes.refuse_unknown(table, PREFIX, &["first", "then", "misconception", "answer"]);
            let mut place = |name: &str| {
                let id = self.reader.notes.needed(table, (PREFIX, name), line, "one of the item's events");
                let place = events.iter().position(|event| event.id == id.text);
                if place.is_none() && !id.text.is_empty() {
                    let known = events.iter().map(|event| event.id);
                    let mend = instead_of_many(&id.text, known, "name one of the item's events");
                    self.note(id.line, "mistakes", format!("\"{}\" is not among the events", quoted(&id.text)), mend);
                }
                place
            };
            let places = (place("first"), place("then"));
            let word = self.word((table, line), PREFIX, benches);
            if let (Some(first), Some(then)) = places {
                mistakes.push(Mistake { first, then, word, line });
            }
        }
        Some(Order { events, apart_s, mistakes })
    }

    fn moment(&mut self, id: &Written, bench: &Bench) -> Option<Moment> {
        let of_stab = |kind: &&EventKind| kind.id() == id.text;
        let of_soak = |kind: &&SoakEventKind| kind.id() == id.text;
        let (found, known): (Option<Moment>, Vec<&str>) = match bench.subject {
            Subject::Stab(_) => (
                EventKind::ALL.iter().find(of_stab).map(|kind| Moment {
                    id: kind.id(),
                    label: kind.label(),
                    figure: Figure::Event(*kind),
                }),
                EventKind::ALL.iter().map(|kind| kind.id()).collect(),
            ),
            Subject::Soak(_) => (
                SoakEventKind::ALL.iter().find(of_soak).map(|kind| Moment {
                    id: kind.id(),
                    label: kind.label(),
                    figure: Figure::SoakEvent(*kind),
                }),
                SoakEventKind::ALL.iter().map(|kind| kind.id()).collect(),
            ),
        };
        if found.is_none() {
            let message = format!("a run has no event \"{}\"", quoted(&id.text));
            self.note(id.line, "events", message, instead_of_many(&id.text, known, "name an event"));
        }
        found
    }

    pub(super) fn point(&mut self, benches: &[Bench]) -> Option<Point> {
        if !matches!(benches[0].subject, Subject::Stab(_)) {
            self.note(self.line, "soak", "a soak has no drawing to point at", "take a scenario");
            return None;
        }
        if !self.table.contains_key("at") {
            self.note(
                self.line,
                "at",
                "this is missing",
                "write at = \"0.2 s\": the time at which the section is shown",
            );
        }
        let parts = self.reader.notes.texts(self.table, "item", "parts");
        if parts.is_empty() {
            self.note(self.line, "parts", "no part is right", "write parts = [\"secondary_well\"]");
        }
        for named in &parts {
            self.known_part(named);
        }
        let mut mistakes = Vec::new();
        for (table, line) in self.tables("mistakes", "mistakes = [{ part = \"…\", misconception = \"…\", … }]") {
            const PREFIX: &str = "mistakes";
            self.reader.notes.refuse_unknown(table, PREFIX, &["part", "misconception", "answer"]);
            let named = self.reader.notes.needed(table, (PREFIX, "part"), line, "part = \"secondary_bowl\"");
            self.known_part(&named);
            if parts.iter().any(|right| right.text == named.text) {
                self.note(line, "mistakes", "this part is also right", "take it out here or there");
            }
            mistakes.push((named.text, self.word((table, line), PREFIX, benches)));
        }
        Some(Point { parts: parts.into_iter().map(|part| part.text).collect(), mistakes })
    }

    fn known_part(&mut self, named: &Written) {
        if named.text.is_empty() || part(&named.text).is_some() {
            return;
        }
        let message = format!("a drawing has no part \"{}\"", quoted(&named.text));
        let mend = instead_of_many(&named.text, PARTS.iter().map(|part| part.id), "see the list in writing_quizzes.md");
        self.note(named.line, "parts", message, mend);
    }

    pub(super) fn sketch(&mut self, benches: &[Bench]) -> Option<Drawn> {
        if !self.table.contains_key("sketch") {
            self.note(self.line, "sketch", "this is missing", "write sketch = \"1.lambda\", from, to, least and most");
            return None;
        }
        let sketch = self.reader.sketch(self.table, "item", String::new(), benches)?;
        let enough = match self.table.get("enough") {
            None => ENOUGH,
            Some(item) => plain(item).filter(|enough| (0.1..=0.95).contains(enough)).unwrap_or_else(|| {
                let line = self.line_of("enough");
                self.note(line, "enough", "this is not accepted", "write a number from 0.1 to 0.95");
                ENOUGH
            }),
        };
        Some(Drawn { sketch, enough })
    }
}
