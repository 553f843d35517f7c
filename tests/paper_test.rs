//! Tests on paper: every item that fits on paper has a question and a key; the question gives nothing away; the same seed
//! gives the same bytes.

use second_breath::content::quiz::bank::bank;
use second_breath::learning::quiz::bank::Bank;
use second_breath::learning::quiz::item::{Item, Kind};
use second_breath::report::date::Date;
use second_breath::report::document::{Block, Document, Marks, Picture};
use second_breath::report::page::Paper;
use second_breath::report::paper_test::{Wanted, documents, on_paper, pdfs};
use std::collections::BTreeSet;
use std::sync::LazyLock;

static BANK: LazyLock<Bank> = LazyLock::new(|| bank(None).0);
const DAY: Date = Date { year: 2026, month: 3, day: 9 };

fn wanted(outcomes: &[usize], items: usize, seed: u64) -> Wanted {
    Wanted { outcomes: outcomes.to_vec(), items, seed, without: BTreeSet::new() }
}

fn of_kind(id: &str) -> Vec<&'static Item> {
    let all: Vec<&Item> = BANK.items.iter().filter(|item| item.kind.id() == id).collect();
    assert!(!all.is_empty(), "no {id} in the bank");
    all
}

/// Every block, those inside others too.
fn flat(blocks: &[Block]) -> Vec<&Block> {
    fn walk<'a>(blocks: &'a [Block], out: &mut Vec<&'a Block>) {
        for block in blocks {
            match block {
                Block::Together(blocks) => walk(blocks, out),
                Block::Columns(columns) => columns.iter().for_each(|column| walk(column, out)),
                other => out.push(other),
            }
        }
    }
    let mut out = Vec::new();
    walk(blocks, &mut out);
    out
}

fn words(document: &Document) -> String {
    let one = |block: &&Block| match block {
        Block::Heading(_, text) | Block::Paragraph(text) | Block::Note(text) => text.words(),
        Block::List(_, items) => items.iter().map(|text| text.words() + "\n").collect(),
        Block::Table(table) => table.rows.iter().flatten().map(|text| text.words() + "\n").collect(),
        _ => String::new(),
    };
    flat(&document.blocks).iter().map(|block| one(block) + "\n").collect()
}

#[test]
fn every_item_that_fits_on_paper_has_a_question_and_a_key() {
    for item in &BANK.items {
        let made = documents(&[item], 3, DAY);
        assert_eq!(made.is_ok(), on_paper(item), "{}: {:?}", item.id, made.err());
    }
}

#[test]
fn the_question_ticks_nothing_and_tells_no_explanation() {
    let items: Vec<&Item> = BANK.items.iter().filter(|item| on_paper(item)).collect();
    let [test, key] = documents(&items, 3, DAY).expect("a test");
    let ticked = |document: &Document| {
        flat(&document.blocks).iter().filter(|block| matches!(block, Block::List(Marks::Ticked(_), _))).count()
    };
    assert_eq!(ticked(&test), 0);
    assert_eq!(ticked(&key), of_kind("choice").len(), "each choice of the key has its tick");
    let (asked, told) = (words(&test), words(&key));
    for item in &items {
        let Kind::Choice(choice) = &item.kind else { continue };
        let answer = choice.right().expect("one is right").answer.with_stand_in("\u{0}");
        // up to the first number of the run
        let begin = answer.split('\u{0}').next().unwrap_or_default().trim();
        if begin.len() > 20 {
            assert!(!asked.contains(begin), "{}: {begin}", item.id);
            assert!(told.contains(begin), "{}: {begin}", item.id);
        }
    }
}

#[test]
fn a_number_is_asked_and_keyed_with_the_same_drawn_values() {
    let item = BANK.item("size_air_of_an_engine").expect("an item of the bank");
    let [test, key] = documents(&[item], 5, DAY).expect("a test");
    let asked = item.ask(5);
    assert!(words(&test).contains(&asked.stem) && words(&key).contains(&asked.stem));
    let solution = asked.solution(&[]);
    let value = solution.trim_start_matches("The answer: ").trim_end_matches('.');
    assert!(words(&key).contains(value), "{value}");
    assert!(!words(&test).contains(value), "{value}");
    assert!(words(&key).contains("forgot the ÷ 2"), "slips are told to the instructor");
}

#[test]
fn a_section_is_lettered_and_its_key_names_the_part() {
    for item in of_kind("point") {
        let [test, key] = documents(&[item], 1, DAY).expect("a test");
        let sections: Vec<_> = flat(&test.blocks)
            .into_iter()
            .filter_map(|block| match block {
                Block::Figure(figure) => match &figure.picture {
                    Picture::Section(scene, _) => Some(scene),
                    Picture::Chart(_) => None,
                },
                _ => None,
            })
            .collect();
        let [scene] = sections.as_slice() else { panic!("{}: one section", item.id) };
        let letters: BTreeSet<&str> = scene.labels.iter().map(|label| label.text.as_str()).collect();
        assert_eq!(letters.len(), scene.labels.len(), "{}: a letter stands twice", item.id);
        assert!(letters.iter().all(|text| text.len() <= 2), "{}: a name is given away: {letters:?}", item.id);
        let Kind::Point(point) = &item.kind else { continue };
        let told = words(&key);
        let part = second_breath::scene::parts::part(&point.parts[0]).expect("a known part");
        assert!(told.contains(&format!("({})", part.text)), "{}: {told}", item.id);
    }
}

#[test]
fn the_key_of_an_order_numbers_every_event() {
    for item in of_kind("order") {
        let Kind::Order(order) = &item.kind else { continue };
        let [test, key] = documents(&[item], 1, DAY).expect("a test");
        let places = |document: &Document| -> Vec<String> {
            let rows = flat(&document.blocks).into_iter().filter_map(|block| match block {
                Block::Table(table) if table.columns[0].head.words() == "Place" => Some(&table.rows),
                _ => None,
            });
            let mut places: Vec<String> = rows.flatten().map(|row| row[0].words()).collect();
            places.sort();
            places
        };
        let all: Vec<String> = (1..=order.events.len()).map(|place| place.to_string()).collect();
        assert_eq!(places(&key), all, "{}", item.id);
        assert!(places(&test).iter().all(String::is_empty), "{}", item.id);
    }
}

#[test]
fn a_sketch_has_an_empty_frame_and_the_key_has_the_curve() {
    for item in of_kind("sketch") {
        let [test, key] = documents(&[item], 1, DAY).expect("a test");
        let lines = |document: &Document| -> usize {
            let charts = flat(&document.blocks).into_iter().filter_map(|block| match block {
                Block::Figure(figure) => match &figure.picture {
                    Picture::Chart(chart) => Some(chart.series.len()),
                    Picture::Section(..) => None,
                },
                _ => None,
            });
            charts.sum()
        };
        assert_eq!((lines(&test), lines(&key)), (0, 1), "{}", item.id);
    }
}

#[test]
fn the_same_seed_gives_the_same_bytes_and_another_seed_another_test() {
    let make = |seed: u64| {
        let items = wanted(&[20, 21], 4, seed).chosen(&BANK);
        pdfs(&items, seed, Paper::A4, DAY).expect("files")
    };
    let (first, again, other) = (make(1), make(1), make(2));
    assert!(first.iter().all(|file| file.starts_with(b"%PDF")));
    assert_eq!(first, again);
    assert_ne!(first, other);
}

#[test]
fn a_form_has_what_was_asked_for_and_says_when_there_is_nothing() {
    let some = wanted(&[3], 4, 1);
    let chosen = some.chosen(&BANK);
    assert!(!chosen.is_empty() && chosen.iter().all(|item| item.outcomes.contains(&3) && on_paper(item)));
    let without = Wanted { without: chosen.iter().map(|item| item.id.clone()).collect(), ..some };
    assert!(without.chosen(&BANK).iter().all(|item| !chosen.iter().any(|other| other.id == item.id)));
    assert_eq!(wanted(&[], 24, 1).chosen(&BANK).len(), 24);
    assert!(documents(&[], 1, DAY).is_err_and(|why| why.contains("no item")));
}
