//! Which items come, and when they come again.

use super::{EXAMPLES, bank_of, file};
use second_breath::content::course_folder;
use second_breath::content::quiz::bank::{bank, over, read};
use second_breath::learning::quiz::bank::Bank;
use second_breath::learning::quiz::item::Item;
use second_breath::learning::quiz::review::{Past, Standing, due, standing};
use second_breath::learning::quiz::select::{for_lesson, form};
use std::collections::BTreeSet;
use std::sync::LazyLock;

/// A bank of many items on outcomes 1 to 3, without runs.
static MANY: LazyLock<Bank> = LazyLock::new(|| bank_of(&many(1..=30)));

fn many(numbers: std::ops::RangeInclusive<usize>) -> String {
    let mut text = "format_version = 1\ntopic = \"Many\"\n".to_owned();
    for number in numbers {
        text += &format!(
            "[[item]]\nid = \"item_{number}\"\nkind = \"choice\"\noutcomes = [{}]\nlesson = \"{}\"\nsource = \"s\"\nstem = \"Which?\"\n\
             options = [{{ text = \"A\", right = true, answer = \"Yes.\" }}, {{ text = \"B\", misconception = \"m\", answer = \"No.\" }}]\n",
            number % 3 + 1,
            if number <= 3 { "01_signal" } else { "02_bowl_level" },
        );
    }
    text
}

fn ids(items: &[&Item]) -> Vec<String> {
    items.iter().map(|item| item.id.clone()).collect()
}

#[test]
fn a_form_is_the_same_for_the_same_seed_and_another_for_another() {
    let of = |seed| ids(&form(&MANY, &[1, 2, 3], 9, seed));
    assert_eq!(of(4), of(4));
    let forms: BTreeSet<Vec<String>> = (0..20).map(of).collect();
    assert!(forms.len() > 15, "seeds differ: {}", forms.len());
}

#[test]
fn a_form_is_spread_over_its_outcomes_and_asks_nothing_twice() {
    for seed in 0..20 {
        let items = form(&MANY, &[1, 2, 3], 9, seed);
        for number in 1..=3 {
            assert_eq!(items.iter().filter(|item| item.outcomes == [number]).count(), 3);
        }
        assert_eq!(ids(&items).into_iter().collect::<BTreeSet<_>>().len(), 9);
    }
    assert_eq!(form(&MANY, &[1, 2, 3], 100, 0).len(), 30, "all there are");
    assert!(form(&MANY, &[24], 5, 0).is_empty() && form(&MANY, &[], 5, 0).is_empty());
}

#[test]
fn an_item_that_is_added_leaves_the_others_in_their_order() {
    let more = bank_of(&many(1..=31));
    for seed in 0..10 {
        let before = ids(&form(&MANY, &[1], 30, seed));
        let after: Vec<String> = ids(&form(&more, &[1], 30, seed)).into_iter().filter(|id| id != "item_31").collect();
        let known: Vec<String> = after.into_iter().filter(|id| before.contains(id)).collect();
        assert_eq!(before, known);
    }
}

#[test]
fn a_lesson_asks_its_own_items_first_and_then_others_on_its_outcomes() {
    let (course, _) = course_folder::course(None);
    let lesson = course.lesson("01_signal").expect("a lesson of the course");
    assert_eq!(lesson.outcomes, [1], "what the next lines build on");
    let items = for_lesson(&MANY, lesson, 6, 9);
    let own: BTreeSet<String> = ids(&items[..3]).into_iter().collect();
    assert_eq!(own, ["item_1", "item_2", "item_3"].map(str::to_owned).into());
    assert!(items[3..].iter().all(|item| item.outcomes == [1]) && items.len() == 6);
    assert_eq!(ids(&for_lesson(&MANY, lesson, 6, 9)), ids(&items));
}

fn past(answers: &[(i64, bool)]) -> Vec<Past> {
    answers.iter().map(|&(day, right)| Past { day, right }).collect()
}

#[test]
fn right_answers_on_their_day_wait_1_3_7_21_days() {
    let mut answers = Vec::new();
    let mut day = 100;
    for wait in [1, 3, 7, 21, 21, 21] {
        answers.push((day, true));
        day += wait;
        assert_eq!(standing(&past(&answers)).map(|standing| standing.due), Some(day));
    }
}

#[test]
fn a_wrong_answer_comes_back_the_next_day_and_starts_anew() {
    let answers = [(0, true), (1, true), (4, false)];
    assert_eq!(standing(&past(&answers)), Some(Standing { run: 0, due: 5 }));
    let again = [(0, true), (1, true), (4, false), (5, true)];
    assert_eq!(standing(&past(&again)), Some(Standing { run: 1, due: 6 }));
}

#[test]
fn a_right_answer_before_its_day_changes_nothing_and_a_late_one_counts_from_its_own_day() {
    assert_eq!(standing(&past(&[(0, true), (0, true), (0, true)])), Some(Standing { run: 1, due: 1 }));
    assert_eq!(standing(&past(&[(0, true), (10, true)])), Some(Standing { run: 2, due: 13 }));
    assert_eq!(standing(&past(&[(0, true), (0, false)])), Some(Standing { run: 0, due: 1 }));
    assert_eq!(standing(&[]), None);
}

#[test]
fn what_is_longest_overdue_comes_first_and_what_is_not_due_does_not_come() {
    let (a, b, c) = (past(&[(0, true)]), past(&[(3, true)]), past(&[(9, true)]));
    let answered = [("b", &b[..]), ("c", &c[..]), ("a", &a[..]), ("never", &[][..])];
    assert_eq!(due(answered, 9), ["a", "b"]);
    assert_eq!(due(answered, 10), ["a", "b", "c"]);
}

#[test]
fn a_folder_replaces_items_by_id_and_adds_its_own() {
    let folder = std::path::PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join("quiz_folder");
    std::fs::create_dir_all(folder.join("quizzes")).expect("a folder");
    let (shipped, problems) = bank(None);
    assert!(problems.is_empty());
    let replaced = &shipped.items[0].id;
    let own = many(1..=2).replace("item_1", replaced);
    std::fs::write(folder.join("quizzes/own.toml"), own).expect("a file");
    let (merged, problems) = bank(Some(&folder));
    assert!(problems.is_empty(), "{}", super::lines(&problems));
    assert_eq!(merged.items.len(), shipped.items.len() + 1);
    assert_eq!(merged.item(replaced).expect("the item").topic, "Many");
    assert_eq!(merged.items[0].id, *replaced, "it keeps its place");
}

#[test]
fn an_id_that_is_used_twice_is_told_with_both_places() {
    let files = [file("a.toml", &EXAMPLES), file("b.toml", &EXAMPLES)];
    let (bank, problems) = read(&files, &super::COURSE);
    assert_eq!((bank.items.len(), problems.len()), (7, 7));
    assert!(
        problems[0].to_string().contains("b.toml:4: example_two_pumps: this id is used twice, also in a.toml:4"),
        "{}",
        problems[0]
    );
    assert_eq!(over(bank.clone(), bank).items.len(), 7);
}
