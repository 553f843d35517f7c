//! The desk as an instructor meets it: by name and by key, with the invented class and with a folder of records.
#![cfg(feature = "window")]

mod support;

use eframe::egui::Key;
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use second_breath::app::desk::Ask;
use second_breath::app::preferences::Preferences;
use second_breath::app::screen::Screen;
use second_breath::learning::record::{Answer, LearnerCode, Mode};
use second_breath::storage::records::Records;
use std::path::{Path, PathBuf};
use support::window::{LIMIT, Window, app, app_mut, click, settle, shows, tab_to, tab_to_part, window_with};

/// Tasks follow each other, each begun in a frame.
fn rest(harness: &mut Harness<'_, Window>) {
    for _ in 0..4 {
        harness.run_steps(2);
        assert!(app_mut(harness).desk.wait(LIMIT), "a task of the desk did not finish");
    }
    settle(harness);
}

fn press(harness: &mut Harness<'_, Window>, label: &str) {
    click(harness, label);
    rest(harness);
}

fn desk_with(preferences: Preferences) -> Harness<'static, Window> {
    let mut harness = window_with(preferences, [1280.0, 800.0]);
    app_mut(&mut harness).state.screen = Screen::Desk;
    rest(&mut harness);
    harness
}

fn invented() -> Harness<'static, Window> {
    let mut harness = desk_with(Preferences::default());
    press(&mut harness, "Show an invented class");
    harness
}

struct Folder(PathBuf);

impl Folder {
    fn new(name: &str) -> Self {
        let path = std::env::temp_dir().join(format!("second_breath_desk_{name}_{}", std::process::id()));
        let _ = std::fs::remove_dir_all(&path);
        std::fs::create_dir_all(&path).expect("a folder");
        Self(path)
    }

    fn preferences(&self) -> Preferences {
        Preferences { records_folder: self.0.display().to_string(), ..Preferences::default() }
    }

    fn learners(&self) -> Vec<LearnerCode> {
        Records::open(&self.0).and_then(|records| records.learners()).expect("the desk has given the records back")
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        let _ = std::fs::remove_dir_all(&self.0);
    }
}

/// A class of two with an answer each to an item of the bank.
fn two(folder: &Path) -> [LearnerCode; 2] {
    let mut records = Records::open(folder).expect("records");
    [("Ada Kestrel", true), ("Bo Kestrel", false)].map(|(name, right)| {
        let learner = records.add(name).expect("a learner");
        let answer = Answer {
            at_unix_s: 1_788_800_400,
            learner: learner.clone(),
            item: "size_air_of_an_engine".to_owned(),
            seed: 1,
            mode: Mode::Lesson,
            chosen: "400 cfm".to_owned(),
            right,
            score: f64::from(u8::from(right)),
            seconds: 30.0,
            misconception: (!right).then(|| "forgot the ÷ 2".to_owned()),
        };
        records.append(&answer).expect("kept");
        learner
    })
}

#[test]
fn the_desk_is_reached_by_name_and_says_what_to_do_first() {
    let mut harness = window_with(Preferences::default(), [1280.0, 800.0]);
    click(&mut harness, "Questions");
    if app(&harness).state.screen != Screen::Desk {
        click(&mut harness, "Desk");
    }
    assert_eq!(app(&harness).state.screen, Screen::Desk);
    assert!(shows(&harness, "No class is open"));
    assert!(shows(&harness, "An empty folder begins a new class"));
}

#[test]
fn the_invented_class_says_that_it_is_and_cannot_be_changed() {
    let harness = invented();
    assert!(shows(&harness, "invented: these learners do not exist"));
    assert!(shows(&harness, "30 learners, 2000 answers"));
    for label in ["Add a learner", "Delete all …", "Delete …"] {
        assert!(harness.query_by_label(label).is_none(), "{label}");
    }
}

#[test]
fn names_are_shown_only_when_they_are_asked_for() {
    let mut harness = invented();
    assert!(!shows(&harness, "Invented learner"));
    click(&mut harness, "Show names");
    assert!(shows(&harness, "Invented learner 01"));
    click(&mut harness, "Show names");
    assert!(!shows(&harness, "Invented learner"));
}

#[test]
fn a_table_is_sorted_by_its_heads_and_its_rows_are_chosen() {
    let mut harness = invented();
    let first = |harness: &Harness<'_, Window>| {
        let mut rows: Vec<(f32, String)> = harness
            .query_all_by_label_contains("Code: ")
            .map(|row| (row.rect().top(), row.accesskit_node().label().unwrap_or_default()))
            .collect();
        rows.sort_by(|a, b| a.0.total_cmp(&b.0));
        rows.first().expect("a row").1.clone()
    };
    let share = |row: &str| -> f64 {
        let figure = row.split("Right: ").nth(1).and_then(|rest| rest.split(" %").next()).expect("a share");
        figure.parse().expect("a number")
    };
    click(&mut harness, "Sort by Right");
    let best = share(&first(&harness));
    click(&mut harness, "Sort by Right, greatest first");
    let worst = share(&first(&harness));
    assert!(best > worst, "{best} {worst}");
    let row = first(&harness);
    click(&mut harness, &row);
    assert!(shows(&harness, "Outcomes, by the last answer to each item"));
    assert!(shows(&harness, "the newest first"));
}

#[test]
fn a_learner_is_chosen_by_keys_alone() {
    let mut harness = invented();
    tab_to_part(&mut harness, "Code: ");
    harness.key_press(Key::Enter);
    settle(&mut harness);
    assert!(shows(&harness, "Outcomes, by the last answer to each item"));
}

#[test]
fn items_tell_their_figures_with_n_and_why_there_is_none() {
    let mut harness = invented();
    click(&mut harness, "Items");
    assert!(shows(&harness, "learners answered every item") || shows(&harness, "who answered every item"));
    let row = harness.query_all_by_label_contains("Item: invented_").next().expect("a row");
    row.click_accesskit();
    settle(&mut harness);
    assert!(shows(&harness, "(n = "));
    assert!(shows(&harness, "What was believed"));
    let folder = Folder::new("why");
    two(&folder.0);
    let mut harness = desk_with(folder.preferences());
    click(&mut harness, "Items");
    let row = harness.query_all_by_label_contains("Item: size_air_of").next().expect("a row");
    row.click_accesskit();
    settle(&mut harness);
    assert!(shows(&harness, "Corrected r is not defined: it needs 3 learners or more (n = 0)"));
    assert!(shows(&harness, "How much air does it draw?"), "the question is shown");
    assert!(shows(&harness, "1 × forgot the ÷ 2"));
}

#[test]
fn the_map_is_read_by_keys_and_tells_who_and_what() {
    let mut harness = invented();
    click(&mut harness, "Outcomes");
    tab_to_part(&mut harness, "Outcomes and learners.");
    harness.run_steps(2);
    assert!(shows(&harness, "The class: "));
    harness.key_press(Key::ArrowRight);
    harness.key_press(Key::ArrowDown);
    harness.run_steps(3);
    let code = second_breath::learning::invented_class::invented_class(1).learners;
    let least = code.iter().map(|(code, _)| code).min().expect("a learner");
    assert!(shows(&harness, &format!("{least}: ")));
    assert!(shows(&harness, "Outcome 2: "));
}

#[test]
fn what_to_teach_again_leads_to_its_lesson() {
    let mut harness = invented();
    click(&mut harness, "Outcomes");
    assert!(shows(&harness, "What to teach again"));
    let link = harness.query_all_by_label_contains("Lesson: ").next().expect("a lesson");
    let title = link.accesskit_node().label().unwrap_or_default().trim_start_matches("Lesson: ").to_owned();
    link.click_accesskit();
    settle(&mut harness);
    assert_eq!(app(&harness).state.screen, Screen::Lessons);
    assert!(shows(&harness, &title));
}

#[test]
fn learners_are_added_named_and_deleted_after_a_question() {
    let folder = Folder::new("keep");
    let [ada, bo] = two(&folder.0);
    let mut harness = desk_with(folder.preferences());
    assert!(shows(&harness, "2 learners, 2 answers"));
    assert!(!shows(&harness, "Kestrel"), "a name is shown unasked");
    press(&mut harness, "Add a learner");
    assert!(shows(&harness, "The new learner has the code"));
    assert_eq!(folder.learners().len(), 3);
    let row = format!("Code: {bo}");
    let found = harness.query_all_by_label_contains(&row).next().expect("a row");
    found.click_accesskit();
    settle(&mut harness);
    click(&mut harness, "Delete …");
    assert!(shows(&harness, &format!("Delete {bo} with 1 answers, the name")));
    assert_eq!(folder.learners().len(), 3, "it was only asked");
    press(&mut harness, "Keep them");
    assert!(!shows(&harness, "Delete this learner"));
    click(&mut harness, "Delete …");
    press(&mut harness, "Delete this learner");
    let left = folder.learners();
    assert!(!left.contains(&bo) && left.contains(&ada));
    click(&mut harness, "Delete all …");
    press(&mut harness, "Delete everybody");
    assert!(folder.learners().is_empty());
}

#[test]
fn files_are_written_where_they_were_asked_for_and_hold_no_name() {
    let folder = Folder::new("files");
    let [ada, _] = two(&folder.0);
    let mut harness = desk_with(folder.preferences());
    for (ask, name, has) in [
        (Ask::Answers, "answers.csv", "forgot the ÷ 2"),
        (Ask::Items, "items.csv", "size_air_of_an_engine"),
        (Ask::Mastery, "outcomes.csv", "class_n"),
        (Ask::Statements, "statements.jsonl", "actor"),
    ] {
        let path = folder.0.join(name);
        app_mut(&mut harness).desk.take(ask, path.clone());
        rest(&mut harness);
        let text = std::fs::read_to_string(&path).unwrap_or_else(|error| panic!("{name}: {error}"));
        assert!(text.contains(has), "{name}: {text}");
        assert!(!text.contains("Kestrel"), "{name} holds a name");
        assert!(shows(&harness, name), "what was written is told");
    }
    let path = folder.0.join("all.json");
    app_mut(&mut harness).desk.take(Ask::All, path.clone());
    rest(&mut harness);
    let text = std::fs::read_to_string(&path).expect("written");
    assert!(text.contains(ada.as_str()) && text.contains("Ada Kestrel"), "everything that is stored");
}

#[test]
fn a_path_that_cannot_be_written_is_told_and_nothing_is_lost() {
    let mut harness = invented();
    app_mut(&mut harness).desk.take(Ask::Answers, PathBuf::from("/no/such/place/answers.csv"));
    rest(&mut harness);
    assert!(shows(&harness, "/no/such/place/answers.csv"));
    assert!(shows(&harness, "30 learners, 2000 answers"));
    let missing = Preferences { records_folder: "/no/such/folder".to_owned(), ..Preferences::default() };
    let harness = desk_with(missing);
    assert!(shows(&harness, "the folder cannot be opened"));
}

#[test]
fn a_test_and_its_key_are_written_side_by_side() {
    let folder = Folder::new("paper");
    let mut harness = desk_with(Preferences::default());
    click(&mut harness, "Test on paper");
    assert!(shows(&harness, "10 items in this form"));
    click(&mut harness, "20. Air demand is displacement × speed × filling ÷ 3456, and what that leaves out");
    let other = harness.query_all_by_label_contains("Another item in place of 1, ").next().expect("an item");
    let name = other.accesskit_node().label().unwrap_or_default();
    click(&mut harness, &name);
    assert!(harness.query_by_label(&name).is_none(), "the item is still there");
    app_mut(&mut harness).desk.take(Ask::Test, folder.0.join("form.pdf"));
    rest(&mut harness);
    for name in ["form.pdf", "form_key.pdf"] {
        assert!(std::fs::read(folder.0.join(name)).is_ok_and(|bytes| bytes.starts_with(b"%PDF")), "{name}");
    }
}

#[test]
fn a_package_goes_out_and_comes_into_the_course_folder() {
    let folder = Folder::new("course");
    let course = Preferences { course_folder: folder.0.display().to_string(), ..Preferences::default() };
    let mut harness = desk_with(course);
    click(&mut harness, "Exchange");
    let package = folder.0.join("items.zip");
    app_mut(&mut harness).desk.take(Ask::Package, package.clone());
    rest(&mut harness);
    assert!(shows(&harness, "items were written to"));
    assert!(shows(&harness, "has no form in a package"), "what stays is named");
    app_mut(&mut harness).desk.take(Ask::Import, package);
    rest(&mut harness);
    assert!(shows(&harness, "items were taken into"));
    assert!(shows(&harness, "in place of items that come with the program"));
    assert!(std::fs::read_dir(folder.0.join("quizzes")).is_ok_and(|files| files.count() == 1));
}

#[test]
fn a_path_is_asked_for_by_keys_alone() {
    let folder = Folder::new("path");
    two(&folder.0);
    let mut harness = desk_with(Preferences::default());
    tab_to(&mut harness, "Records folder by path");
    harness.key_press(Key::Enter);
    settle(&mut harness);
    tab_to(&mut harness, "Path of the file");
    harness.get_by_label("Path of the file").type_text(&folder.0.display().to_string());
    harness.run_steps(2);
    harness.key_press(Key::Enter);
    rest(&mut harness);
    assert!(shows(&harness, "2 learners, 2 answers"));
    assert_eq!(app(&harness).preferences.records_folder, folder.0.display().to_string());
}
