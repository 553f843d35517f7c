//! A test on paper, and its key: the same items with the same drawn values for one seed.
//!
//! On paper go a choice, a number, an order of events, a part to be pointed at and a curve. A car to be tuned and a fault
//! to be found need the bench.

use crate::learning::quiz::asked::Asked;
use crate::learning::quiz::bank::Bank;
use crate::learning::quiz::choice::Choice;
use crate::learning::quiz::item::{Item, Kind, Word};
use crate::learning::quiz::number;
use crate::learning::quiz::numeric::Numeric;
use crate::learning::quiz::order::Order;
use crate::learning::quiz::point::Point;
use crate::learning::quiz::select::form;
use crate::learning::quiz::sketch::Drawn;
use crate::learning::seen::{Seen, see};
use crate::report::date::Date;
use crate::report::document::{Block, Column, Document, Figure, Marks, Picture, Room, Style, Table, Text};
use crate::report::handout::heading_of;
use crate::report::page::Paper;
use crate::report::{experiment, key, print};
use crate::scene::parts::Part;
use crate::scene::{self, Scene};
use std::collections::BTreeSet;

/// A letter and the part that it stands for.
type Lettered = (String, &'static Part);

/// Height of a section, points.
const SECTION_PT: f64 = 210.0;
/// Room to work a number out, points.
const WORKING_PT: f64 = 70.0;
/// Labels up to this level get a letter; the rest would crowd the drawing.
const LETTERED_LEVEL: u8 = 1;

/// Which test.
#[derive(Debug, Clone, PartialEq)]
pub struct Wanted {
    /// Numbers of outcomes; none stands for all of them.
    pub outcomes: Vec<usize>,
    /// How many items.
    pub items: usize,
    /// From which items are chosen, values drawn and options shuffled.
    pub seed: u64,
    /// Ids of items that are not to be asked.
    pub without: BTreeSet<String>,
}

impl Wanted {
    /// The items, fewer where the bank has no more.
    pub fn chosen<'a>(&self, bank: &'a Bank) -> Vec<&'a Item> {
        let fitting = |item: &&Item| on_paper(item) && !self.without.contains(&item.id);
        let pool = Bank { items: bank.items.iter().filter(fitting).cloned().collect() };
        let all: Vec<usize>;
        let outcomes = if self.outcomes.is_empty() {
            let numbers: BTreeSet<usize> = pool.items.iter().flat_map(|item| item.outcomes.iter().copied()).collect();
            all = numbers.into_iter().collect();
            &all
        } else {
            &self.outcomes
        };
        let ids: Vec<String> =
            form(&pool, outcomes, self.items, self.seed).into_iter().map(|item| item.id.clone()).collect();
        ids.iter().filter_map(|id| bank.item(id)).collect()
    }
}

/// Whether an item can be answered on paper.
pub fn on_paper(item: &Item) -> bool {
    !matches!(item.kind, Kind::Tune(_) | Kind::Fault(_))
}

/// A test and its key as files.
///
/// # Errors
/// In words, when an item cannot be put on paper or a file cannot be made.
pub fn pdfs(items: &[&Item], seed: u64, paper: Paper, date: Date) -> Result<[Vec<u8>; 2], String> {
    let [test, key] = documents(items, seed, date)?;
    Ok([print(&test, paper)?, print(&key, paper)?])
}

/// A test and its key. Makes the runs of its items.
///
/// # Errors
/// In words, when there is no item, or one cannot be put on paper.
pub fn documents(items: &[&Item], seed: u64, date: Date) -> Result<[Document; 2], String> {
    if items.is_empty() {
        return Err("there is no item for this test; choose other outcomes, or take items back".to_owned());
    }
    let sheets: Vec<Sheet> = items.iter().map(|item| Sheet::of(item, seed)).collect::<Result<_, _>>()?;
    let document = |kind: &str, mut blocks: Vec<Block>, of: fn(&Sheet) -> Result<Vec<Block>, String>| {
        for (place, sheet) in sheets.iter().enumerate() {
            let mut asked = vec![heading_of(3, &format!("Question {}", place + 1))];
            asked.extend(of(sheet).map_err(|why| format!("{}: {why}", sheet.asked.item.id))?);
            blocks.push(Block::Together(asked));
        }
        blocks.push(Block::Note(Text::plain(
            "Cars and carburettors that come with the program are invented, for the invented workshop Kestrel Yard.",
        )));
        Ok::<_, String>(Document { title: format!("Test, form {seed}"), kind: kind.to_owned(), date, blocks })
    };
    let count = match sheets.len() {
        1 => "One question".to_owned(),
        many => format!("{many} questions"),
    };
    let head = vec![
        Block::Fields(vec!["Name".to_owned(), "Date".to_owned()]),
        Block::Note(Text::plain(format!("{count}. Tick one box unless a question says otherwise."))),
    ];
    let how =
        format!("{count}. Form {seed}: the same number gives the same test. Numbers come from the program's runs.");
    let test = document("Test", head, Sheet::question)?;
    let key = document("Instructor's key", vec![Block::Note(Text::plain(how))], Sheet::answer)?;
    Ok([test, key])
}

/// An item as it is put, with its runs.
struct Sheet {
    asked: Asked,
    seen: Vec<Seen>,
}

impl Sheet {
    fn of(item: &Item, seed: u64) -> Result<Self, String> {
        let asked = item.ask(seed);
        let runs = item.needs_run() || !item.look.is_empty() || item.at_s.is_some();
        let seen = if runs { see(&asked.benches, item.needs_steady()) } else { Ok(Vec::new()) };
        let seen = seen.map_err(|why| format!("{}: {why}", item.id))?;
        Ok(Self { asked, seen })
    }

    fn question(&self) -> Result<Vec<Block>, String> {
        let mut blocks = vec![Block::Paragraph(Text::strong(&self.asked.stem))];
        blocks.extend(self.seen_before()?);
        match &self.asked.item.kind {
            Kind::Choice(_) => {
                let options = self.asked.choices().into_iter().map(|(_, text)| Text::plain(text)).collect();
                blocks.push(Block::List(Marks::Boxes, options));
            }
            Kind::Numeric(numeric) => {
                let unit = numeric.unit.symbol;
                let field = if unit.is_empty() { "Answer".to_owned() } else { format!("Answer, {unit}") };
                blocks.push(Block::Note(Text::plain(&self.asked.how)));
                let caption = "Working".to_owned();
                blocks.push(Block::Room(Room { caption, height_pt: WORKING_PT, ruled: false, grows: false }));
                blocks.push(Block::Fields(vec![field]));
            }
            Kind::Order(order) => {
                let last = order.events.len();
                let how = format!("Write the numbers from 1 to {last}: 1 beside what comes first.");
                blocks.push(Block::Note(Text::plain(how)));
                let rows = self.asked.choices().into_iter().map(|(_, text)| vec![Text::plain(""), Text::plain(text)]);
                blocks.push(Block::Table(order_table(rows.collect())));
            }
            Kind::Point(point) => {
                let (scene, _) = self.lettered(point)?;
                blocks.push(self.section(scene, "Section with a letter at each part."));
                blocks.push(Block::Fields(vec!["Letter".to_owned()]));
            }
            Kind::Sketch(drawn) => {
                let label = drawn.sketch.column.label();
                let picture = Picture::Chart(experiment::sheet(&drawn.sketch));
                let spoken = format!("An empty frame in which to draw: {label}.");
                blocks.push(Block::Figure(Figure { picture, caption: Text::default(), spoken }));
            }
            Kind::Tune(_) | Kind::Fault(_) => return Err("it needs the bench, and has no form on paper".to_owned()),
        }
        Ok(blocks)
    }

    fn answer(&self) -> Result<Vec<Block>, String> {
        let mut blocks = vec![Block::Paragraph(Text::plain(&self.asked.stem))];
        blocks.extend(match &self.asked.item.kind {
            Kind::Choice(choice) => vec![self.ticked(choice)],
            Kind::Numeric(numeric) => self.number(numeric)?,
            Kind::Order(order) => self.ordered(order)?,
            Kind::Point(point) => self.pointed(point)?,
            Kind::Sketch(drawn) => vec![self.drawn(drawn)],
            Kind::Tune(_) | Kind::Fault(_) => Vec::new(),
        });
        let explain = self.asked.text(&self.asked.item.explain, &self.seen);
        if !explain.is_empty() {
            blocks.push(Block::Paragraph(Text::plain(explain)));
        }
        let numbers: Vec<String> = self.asked.item.outcomes.iter().map(usize::to_string).collect();
        let item = &self.asked.item;
        let tail = format!("Outcome {}; item {}; {}.", numbers.join(", "), item.id, item.source);
        blocks.push(Block::Note(Text::plain(tail)));
        Ok(blocks)
    }

    /// What is seen before the answer: the benches, curves, a section.
    fn seen_before(&self) -> Result<Vec<Block>, String> {
        let item = &self.asked.item;
        let mut blocks = Vec::new();
        let speaks_of_run = matches!(item.kind, Kind::Order(_) | Kind::Sketch(_));
        if speaks_of_run || !item.look.is_empty() {
            blocks.extend(experiment::stands(&self.asked.benches));
        }
        blocks.extend(key::curves(&self.asked.benches, &self.seen, &item.look));
        if item.at_s.is_some() && !matches!(item.kind, Kind::Point(_)) {
            blocks.push(self.section(self.scene()?, "Section at the moment in question."));
        }
        Ok(blocks)
    }

    /// The drawing of the first bench at the item's time.
    fn scene(&self) -> Result<Scene, String> {
        let at_s = self.asked.item.at_s.unwrap_or(0.0);
        match self.seen.first() {
            Some(Seen::Stab(stab)) => {
                let sample = stab.run.trace.at(stab.scenario.pedal.begin_s + at_s);
                Ok(scene::draw(&stab.scenario, &sample))
            }
            Some(Seen::Soak(_)) | None => Err("there is no section of its run".to_owned()),
        }
    }

    fn section(&self, scene: Scene, spoken: &str) -> Block {
        let picture = Picture::Section(Box::new(scene), SECTION_PT);
        Block::Figure(Figure { picture, caption: Text::plain("Front at the left."), spoken: spoken.to_owned() })
    }

    /// The section with letters for names, and what each stands for.
    fn lettered(&self, point: &Point) -> Result<(Scene, Vec<Lettered>), String> {
        let mut scene = self.scene()?;
        let needed = |part: &Part| {
            let told = point.mistakes.iter().map(|(id, _)| id);
            point.parts.iter().chain(told).any(|id| id == part.id)
        };
        let mut parts = Vec::new();
        scene.labels.retain_mut(|label| match label.part_named() {
            Some(part) if label.level <= LETTERED_LEVEL || needed(part) => {
                let letter = letter(parts.len());
                (label.text, label.level) = (letter.clone(), 0);
                parts.push((letter, part));
                true
            }
            _ => false,
        });
        if !parts.iter().any(|(_, part)| point.parts.iter().any(|id| id == part.id)) {
            return Err("the section does not name the part that is asked for".to_owned());
        }
        Ok((scene, parts))
    }

    fn ticked(&self, choice: &Choice) -> Block {
        let shown = self.asked.choices();
        let options = shown.iter().filter_map(|(place, text)| Some((choice.options.get(*place)?, *text)));
        let item = |(option, text): (&crate::learning::quiz::choice::Alternative, &str)| {
            let believed = option.misconception.as_ref().filter(|_| !option.right);
            let believed = believed.map_or_else(String::new, |belief| format!("Often believed: {belief}. "));
            Text::strong(format!("{text}. "))
                .and(believed, Style::Emphasis)
                .and(self.asked.text(&option.answer, &self.seen), Style::Plain)
        };
        let right = shown.iter().position(|(place, _)| choice.options.get(*place).is_some_and(|option| option.right));
        Block::List(Marks::Ticked(right.unwrap_or(usize::MAX)), options.map(item).collect())
    }

    fn number(&self, numeric: &Numeric) -> Result<Vec<Block>, String> {
        let value = |formula: &crate::learning::quiz::formula::Formula| formula.value(&self.asked.drawn, &self.seen);
        let key = value(&numeric.key).ok_or("its right answer does not happen in the run")?;
        let shown = |value| number::shown(value, Some(numeric.to), numeric.unit);
        let around = numeric.tolerance.around(key);
        let exact = |value| number::shown(value, None, numeric.unit);
        let counts = format!(" ({} to {} counts as right)", exact(key - around), exact(key + around));
        let mut blocks = vec![Block::Paragraph(Text::strong(shown(key)).and(counts, Style::Plain))];
        let slip = |slip: &crate::learning::quiz::numeric::Slip| {
            let Word { misconception, answer } = &slip.word;
            Some(said(&shown(value(&slip.key)?), misconception, &self.asked.text(answer, &self.seen)))
        };
        let slips: Vec<Text> = numeric.slips.iter().filter_map(slip).collect();
        if !slips.is_empty() {
            blocks.push(Block::List(Marks::Dots, slips));
        }
        Ok(blocks)
    }

    fn ordered(&self, order: &Order) -> Result<Vec<Block>, String> {
        let right = order.key(&self.seen).ok_or("an event does not happen in its run")?;
        let times = order.times(&self.seen);
        let rows = self.asked.choices().into_iter().map(|(event, text)| {
            let place = right.iter().position(|other| *other == event).map_or(0, |place| place + 1);
            let time = times.get(event).copied().flatten();
            let when = time.map_or_else(String::new, |time| {
                format!(", at {}", crate::units::Quantity::ShortTime.show(time, experiment::UNITS))
            });
            vec![Text::strong(place.to_string()), Text::plain(format!("{text}{when}"))]
        });
        let mut blocks = vec![Block::Table(order_table(rows.collect()))];
        let label = |event: usize| order.events.get(event).map_or("", |event| event.label);
        let mistake = |mistake: &crate::learning::quiz::order::Mistake| {
            let what = format!("{} before {}", label(mistake.first), label(mistake.then).to_lowercase());
            let Word { misconception, answer } = &mistake.word;
            said(&what, misconception, &self.asked.text(answer, &self.seen))
        };
        if !order.mistakes.is_empty() {
            blocks.push(Block::List(Marks::Dots, order.mistakes.iter().map(mistake).collect()));
        }
        Ok(blocks)
    }

    fn pointed(&self, point: &Point) -> Result<Vec<Block>, String> {
        let (_, parts) = self.lettered(point)?;
        let right = parts.iter().filter(|(_, part)| point.parts.iter().any(|id| id == part.id));
        let named: Vec<String> = right.map(|(letter, part)| format!("{letter} ({})", part.text)).collect();
        let mut blocks = vec![Block::Paragraph(Text::strong(named.join(" or ")))];
        let mistake = |(id, word): &(String, Word)| {
            let (letter, part) = parts.iter().find(|(_, part)| part.id == id)?;
            let what = format!("{letter} ({})", part.text);
            Some(said(&what, &word.misconception, &self.asked.text(&word.answer, &self.seen)))
        };
        let mistakes: Vec<Text> = point.mistakes.iter().filter_map(mistake).collect();
        if !mistakes.is_empty() {
            blocks.push(Block::List(Marks::Dots, mistakes));
        }
        Ok(blocks)
    }

    fn drawn(&self, drawn: &Drawn) -> Block {
        let sketch = &drawn.sketch;
        let columns: Vec<_> =
            (0..self.asked.benches.len()).map(|bench| (bench == sketch.bench).then_some(sketch.column)).collect();
        let mut chart = experiment::sheet(sketch);
        chart.series = key::series(&self.asked.benches, &self.seen, &columns, (sketch.from_s, sketch.to_s));
        let spoken = format!("{} as the run shows it.", sketch.column.label());
        Block::Figure(Figure { picture: Picture::Chart(chart), caption: Text::default(), spoken })
    }
}

/// A wrong answer with the belief behind it and what is so.
fn said(what: &str, belief: &str, answer: &str) -> Text {
    Text::strong(format!("{what}: ")).and(format!("{belief}. "), Style::Emphasis).and(answer, Style::Plain)
}

fn order_table(rows: Vec<Vec<Text>>) -> Table {
    let head = |text: &str, share| Column { head: Text::plain(text), share, numbers: false };
    Table { columns: vec![head("Place", 0.15), head("What happens", 0.85)], rows }
}

/// A, B, … Z, AA, AB, …
fn letter(place: usize) -> String {
    let sign = char::from(b'A' + (place % 26) as u8);
    if place < 26 { sign.to_string() } else { format!("{}{sign}", letter(place / 26 - 1)) }
}
