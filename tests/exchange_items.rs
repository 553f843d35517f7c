//! Items of the bank go out and come back: every choice and number of the bank that a package can hold is the same item
//! after the way out, into a package, in again, into a quiz file and out once more; and what is not taken is told.

use second_breath::content::course_file::SourceFile;
use second_breath::content::exchange::{ExchangeItem, ExchangeKind, ExchangeOption, Tolerance, qti};
use second_breath::content::quiz::bank::{bank, import, read};
use second_breath::content::quiz::exchanged::{About, export, take};
use second_breath::learning::quiz::bank::Bank;
use second_breath::learning::quiz::item::{Item, Kind};
use second_breath::learning::quiz::response::Response;
use std::path::PathBuf;
use std::sync::LazyLock;

static BANK: LazyLock<Bank> = LazyLock::new(|| bank(None).0);
const SEED: u64 = 7;
const ABOUT: About<'_> = About { topic: "Imported", from: "package.zip", outcomes: &[] };

fn has_words_alone(item: &Item) -> bool {
    matches!(item.kind, Kind::Choice(_) | Kind::Numeric(_)) && item.look.is_empty() && item.at_s.is_none()
}

fn bank_of(text: &str) -> Bank {
    let (bank, problems) = read(&[SourceFile { name: "q.toml".to_owned(), text: text.to_owned() }], &[]);
    assert!(problems.is_empty(), "{problems:#?}");
    bank
}

fn choice(options: usize, outcomes: &[usize]) -> ExchangeItem {
    let option = |place: usize| ExchangeOption {
        id: format!("o{place}"),
        text: format!("Answer {place}"),
        feedback: String::new(),
        right: place == 0,
    };
    ExchangeItem {
        id: "Item-1".to_owned(),
        title: "An item".to_owned(),
        stem: "What is so?".to_owned(),
        kind: ExchangeKind::Choice { options: (0..options).map(option).collect() },
        outcomes: outcomes.to_vec(),
    }
}

fn number(unit: &str, tolerance: Tolerance) -> ExchangeItem {
    let kind = ExchangeKind::Numeric {
        key: -12.5,
        tolerance,
        unit: unit.to_owned(),
        right: String::new(),
        wrong: String::new(),
    };
    ExchangeItem { kind, ..choice(2, &[1]) }
}

fn not_taken(item: ExchangeItem) -> String {
    let taken = take(&[item], ABOUT);
    assert!(taken.text.is_empty() && taken.ids.is_empty(), "{}", taken.text);
    taken.not_taken.first().expect("it is told").message.clone()
}

#[test]
fn every_choice_and_number_of_the_bank_comes_back_the_same() {
    let out = export(&BANK, SEED);
    let expected: Vec<&str> =
        BANK.items.iter().filter(|item| has_words_alone(item)).map(|item| item.id.as_str()).collect();
    let ids: Vec<&str> = out.items.iter().map(|item| item.id.as_str()).collect();
    assert_eq!(ids, expected, "not every choice and number goes out");
    assert!(ids.len() > 100, "the bank has more of them");
    let package = qti::export(&out.items).expect("a package");
    let back = qti::import(&package, "package.zip").expect("it is read");
    assert!(back.not_taken.is_empty(), "{:?}", back.not_taken);
    let taken = take(&back.items, ABOUT);
    assert!(taken.not_taken.is_empty(), "{:#?}", taken.not_taken);
    let again = export(&bank_of(&taken.text), SEED + 1);
    assert!(again.left_out.is_empty(), "{:?}", again.left_out);
    assert_eq!(again.items.len(), out.items.len());
    for (before, after) in out.items.iter().zip(&again.items) {
        // a title is the topic of its file, and the imported file has one of its own
        assert_eq!(ExchangeItem { title: after.title.clone(), ..before.clone() }, *after);
    }
}

#[test]
fn what_stays_is_told_with_its_reason() {
    let out = export(&BANK, SEED);
    let stay: Vec<&Item> = BANK.items.iter().filter(|item| !has_words_alone(item)).collect();
    assert_eq!(out.left_out.len(), stay.len());
    for (item, problem) in stay.into_iter().zip(&out.left_out) {
        assert_eq!((&problem.file, problem.line, &problem.key), (&item.file, item.line, &item.id));
        assert!(problem.message.contains(item.kind.id()) || problem.message.contains("curve"), "{problem}");
    }
}

#[test]
fn an_imported_choice_keeps_its_beliefs_and_is_graded() {
    let out = export(&BANK, SEED);
    let taken = take(&out.items, ABOUT);
    let back = bank_of(&taken.text);
    for item in &back.items {
        let (Kind::Choice(new), Some(Kind::Choice(old))) = (&item.kind, BANK.item(&item.id).map(|item| &item.kind))
        else {
            continue;
        };
        for (place, (new, old)) in new.options.iter().zip(&old.options).enumerate() {
            assert_eq!((&new.misconception, new.right), (&old.misconception, old.right), "{}", item.id);
            let graded = item.ask(1).grade(&Response::Choice(place), &[]).expect("it needs no run any more");
            assert_eq!(graded.right, old.right);
        }
    }
}

#[test]
fn an_imported_number_counts_what_the_exported_one_counted() {
    let item = BANK.item("size_air_of_an_engine").expect("an item of the bank");
    let out = export(&Bank { items: vec![item.clone()] }, SEED);
    let ExchangeKind::Numeric { key, .. } = out.items[0].kind else { panic!("a number") };
    let back = bank_of(&take(&out.items, ABOUT).text);
    let right = |typed: f64| {
        let typed = Response::Numeric(format!("{typed}"));
        let old = item.ask(SEED).grade(&typed, &[]).expect("a number").right;
        let new = back.items[0].ask(99).grade(&typed, &[]).expect("a number").right;
        assert_eq!(old, new, "{typed:?}");
        new
    };
    // its tolerance is 3 %
    assert!(right(key) && right(1.029 * key) && !right(1.031 * key) && !right(key / 2.0));
}

#[test]
fn items_of_elsewhere_are_taken_with_what_is_missing_put_in() {
    let taken = take(&[choice(3, &[])], About { outcomes: &[5], ..ABOUT });
    assert_eq!(taken.ids, ["item_1"]);
    let item = &bank_of(&taken.text).items[0];
    assert_eq!(item.outcomes, [5]);
    assert_eq!(item.source, "imported from package.zip");
    let wrong = item.ask(1).grade(&Response::Choice(1), &[]).expect("an option");
    assert_eq!((wrong.right, wrong.misconception.as_deref()), (false, Some("Answer 1")));
    assert!(wrong.told.contains("not right"), "{}", wrong.told);
    let taken = take(&[number("cfm", Tolerance::Absolute(0.5))], ABOUT);
    let item = &bank_of(&taken.text).items[0];
    assert!(item.ask(1).grade(&Response::Numeric("-12.1".to_owned()), &[]).expect("a number").right);
}

#[test]
fn every_item_that_is_not_taken_says_why() {
    assert!(not_taken(choice(3, &[])).contains("no outcome"));
    assert!(not_taken(choice(5, &[1])).contains("5 options"));
    assert!(not_taken(choice(3, &[99])).contains("not outcomes"));
    assert!(not_taken(ExchangeItem { stem: "Fill {this} in".to_owned(), ..choice(3, &[1]) }).contains("this"));
    assert!(not_taken(number("furlongs", Tolerance::Absolute(1.0))).contains("furlongs"));
    assert!(not_taken(number("cfm", Tolerance::Absolute(0.0))).contains("exact"));
    assert!(not_taken(number("cfm", Tolerance::Percent(f64::NAN))).contains("exact"));
    let twice = take(&[choice(3, &[1]), ExchangeItem { id: "item_1".to_owned(), ..choice(3, &[1]) }], ABOUT);
    assert_eq!((twice.ids.len(), twice.not_taken.len(), twice.not_taken[0].line), (1, 1, 2));
    let many: Vec<_> = (0..201).map(|place| ExchangeItem { id: format!("i{place}"), ..choice(2, &[1]) }).collect();
    let taken = take(&many, ABOUT);
    assert_eq!((taken.ids.len(), taken.not_taken.len()), (200, 1));
}

#[test]
fn a_package_becomes_a_file_of_the_course_folder_and_overwrites_none() {
    let folder = std::env::temp_dir().join(format!("second_breath_import_{}", std::process::id()));
    let _ = std::fs::remove_dir_all(&folder);
    std::fs::create_dir_all(&folder).expect("a folder");
    let package: PathBuf = folder.join("My package.zip");
    std::fs::write(&package, qti::export(&[choice(3, &[4])]).expect("a package")).expect("written");
    let first = import(&package, &folder, &[]).expect("it is taken");
    let second = import(&package, &folder, &[]).expect("it is taken");
    assert_ne!(first.file, second.file);
    assert!(first.file.as_ref().is_some_and(|file| file.starts_with(folder.join("quizzes")) && file.exists()));
    assert_eq!((first.ids.len(), first.replacing), (1, 0));
    let (bank, problems) = bank(Some(&folder));
    assert!(bank.item("item_1").is_some());
    assert!(problems.iter().any(|problem| problem.message.contains("twice")), "the second file repeats the first");
    let missing = import(&folder.join("none.zip"), &folder, &[]).expect_err("there is none");
    assert!(missing.to_string().contains("none.zip"));
    std::fs::remove_dir_all(&folder).expect("removed");
}
