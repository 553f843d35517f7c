//! Rules of item writing (Haladyna, Downing and Rodriguez, *Applied Measurement in Education* 15 (2002) 309; Rodriguez,
//! *Educational Measurement: Issues and Practice* 24 (2005) 3: three options), as far as a program can watch them.

use super::Sheet;
use crate::content::problem::{Problem, quoted};
use crate::learning::outcomes::OUTCOMES;
use crate::learning::quiz::bank::Bank;
use crate::learning::quiz::choice::Choice;
use crate::learning::quiz::item::{Item, Kind};
use crate::learning::reading::{Counts, STAND_IN};

/// Hardest reading grade of an item.
const HARDEST: f64 = 8.0;
/// The longest option may be so many times the shortest, and
const LONGER: f64 = 1.6;
/// so many characters more.
const MORE: f64 = 8.0;
/// Items of a file from which on it is asked whether the right option stands out by its length.
const ENOUGH: usize = 6;
/// Longest text, characters.
const LONGEST: usize = 600;
/// Negative words that a reader overlooks.
const NEGATIVE: [&str; 3] = ["not", "except", "never"];

/// Watches the rules on one item.
pub(super) fn watch(sheet: &mut Sheet<'_>) {
    let item = sheet.item;
    let stem = item.stem.with_stand_in(STAND_IN);
    stem_is_whole(sheet, &stem);
    if let Kind::Choice(choice) = &item.kind {
        options(sheet, choice);
    }
    if item.outcomes.iter().any(|number| !OUTCOMES.iter().any(|outcome| outcome.number == *number)) {
        sheet.note(item.line, "it names an outcome that there is not", "see the list of outcomes");
    }
    let texts = item.told().into_iter().chain([&item.stem]);
    if texts.map(|text| text.with_stand_in(STAND_IN)).any(|text| text.chars().count() > LONGEST) {
        sheet.note(item.line, "a text is too long", format!("say it in at most {LONGEST} characters"));
    }
    let grade = grade(item);
    if grade > HARDEST {
        let message = format!("its reading grade is {grade:.1}, above {HARDEST}");
        sheet.note(item.line, message, "write shorter sentences and plainer words");
    }
}

/// Flesch–Kincaid grade of all that a learner may read of an item.
pub(super) fn grade(item: &Item) -> f64 {
    let mut counts = Counts::of(&item.stem.with_stand_in(STAND_IN));
    for text in item.told() {
        counts = counts.and(Counts::of(&text.with_stand_in(STAND_IN)));
    }
    if let Kind::Choice(choice) = &item.kind {
        counts = choice.options.iter().fold(counts, |counts, option| counts.and(Counts::of(&option.text)));
    }
    counts.grade()
}

fn stem_is_whole(sheet: &mut Sheet<'_>, stem: &str) {
    let line = sheet.item.line;
    let ends = stem.trim_end().trim_end_matches(['*', '"', '”', ')']);
    let asks = ends.ends_with(['?', ':']);
    let says = ends.ends_with('.') && !matches!(sheet.item.kind, Kind::Choice(_) | Kind::Numeric(_));
    if !asks && !says {
        sheet.note(line, "the stem is not whole", "end it with ? or :, so that it can be answered without the options");
    }
    for word in stem.split_whitespace() {
        let bare = word.trim_matches(|c: char| !c.is_alphanumeric() && c != '\'' && c != '’');
        let lower = bare.to_lowercase();
        let negative = NEGATIVE.contains(&lower.as_str()) || lower.ends_with("n't") || lower.ends_with("n’t");
        let emphasised = word.contains('*') || bare.chars().all(|c| !c.is_lowercase());
        if negative && !emphasised {
            let message = format!("\"{}\" in the stem is easily overlooked", quoted(bare));
            sheet.note(line, message, format!("ask for what is so, or emphasise it: **{lower}**"));
        }
    }
}

fn options(sheet: &mut Sheet<'_>, choice: &Choice) {
    let line = sheet.item.line;
    let lengths: Vec<f64> = choice.options.iter().map(|option| option.text.chars().count() as f64).collect();
    let (shortest, longest) = lengths.iter().fold((f64::INFINITY, 0.0_f64), |(s, l), n| (s.min(*n), l.max(*n)));
    if longest > LONGER * shortest + MORE {
        let message = format!("the options have {shortest} to {longest} characters");
        sheet.note(line, message, "make them about equally long: a long one looks right");
    }
    for (place, option) in choice.options.iter().enumerate() {
        let text = plain(&option.text);
        if ["all of the above", "none of the above", "all of these", "none of these"]
            .iter()
            .any(|all| text.contains(all))
        {
            let message = format!("\"{}\" speaks of the other options", quoted(&option.text));
            sheet.note(line, message, "options are shuffled; write one of its own");
        }
        if choice.options[..place].iter().any(|before| plain(&before.text) == text) {
            sheet.note(line, format!("\"{}\" is there twice", quoted(&option.text)), "let each option differ");
        }
    }
}

fn plain(text: &str) -> String {
    let letters = text.chars().filter(|c| c.is_alphanumeric() || c.is_whitespace()).collect::<String>();
    letters.split_whitespace().collect::<Vec<_>>().join(" ").to_lowercase()
}

/// In a file with enough choices the right one is the longest in at most half of them.
pub(super) fn files(bank: &Bank) -> Vec<Problem> {
    let mut files: Vec<&str> = bank.items.iter().map(|item| item.file.as_str()).collect();
    files.sort_unstable();
    files.dedup();
    let of = |file: &str| {
        let choices = bank.items.iter().filter(|item| item.file == file).filter_map(|item| match &item.kind {
            Kind::Choice(choice) => Some(choice),
            _ => None,
        });
        let longest: Vec<bool> = choices.map(right_is_longest).collect();
        let count = longest.iter().filter(|longest| **longest).count();
        (longest.len() >= ENOUGH && 2 * count > longest.len()).then(|| Problem {
            file: file.to_owned(),
            line: 1,
            key: "options".to_owned(),
            message: format!("the right option is the longest in {count} of {} choices", longest.len()),
            mend: "shorten right ones or say more in wrong ones: length must not tell".to_owned(),
        })
    };
    files.into_iter().filter_map(of).collect()
}

fn right_is_longest(choice: &Choice) -> bool {
    let length = |text: &str| text.chars().count();
    choice.right().is_some_and(|right| {
        choice.options.iter().filter(|option| !option.right).all(|option| length(&option.text) < length(&right.text))
    })
}
