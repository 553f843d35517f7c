//! The questions as a learner meets them: each kind by click and by key, with and without a record, in a test, against the
//! clock, and with a folder that cannot be used.
#![cfg(feature = "window")]

mod support;

use eframe::egui::{Key, Modifiers, PointerButton, Pos2, accesskit::Role};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use second_breath::app::preferences::{Look, Preferences};
use second_breath::app::questions::clock::Clock;
use second_breath::app::screen::Screen;
use second_breath::learning::record::{Answer, LearnerCode, Mode};
use second_breath::storage::records::Records;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::atomic::{AtomicU64, Ordering};
use support::window::{Window, app, app_mut, click, settle, shows, tab_to, tab_to_part, window_with};

/// A moment in the year 2025, s since 1970.
const NOW_S: u64 = 1_750_000_000;

/// The first page, with a clock that stands still.
fn questions_with(preferences: Preferences, size: [f32; 2]) -> (Harness<'static, Window>, Arc<AtomicU64>) {
    let mut harness = window_with(preferences, size);
    let now = Arc::new(AtomicU64::new(NOW_S));
    let shown = Arc::clone(&now);
    app_mut(&mut harness).questions.set_clock(Clock::new(move || shown.load(Ordering::Relaxed) as f64));
    click(&mut harness, "Questions");
    settle(&mut harness);
    assert_eq!(app(&harness).state.screen, Screen::Questions);
    (harness, now)
}

fn questions() -> Harness<'static, Window> {
    questions_with(Preferences::default(), [1280.0, 800.0]).0
}

/// Ask items, one after the other.
fn ask(harness: &mut Harness<'_, Window>, ids: &[&str], mode: Mode) {
    app_mut(harness).questions.ask_items(ids, mode);
    settle(harness);
    settle(harness);
    assert_eq!(app(harness).questions.item(), Some(ids[0]));
}

fn asked(ids: &[&str]) -> Harness<'static, Window> {
    let mut harness = questions();
    ask(&mut harness, ids, Mode::Lesson);
    harness
}

fn click_part(harness: &mut Harness<'_, Window>, part: &str) {
    harness.query_all_by_label_contains(part).next().unwrap_or_else(|| panic!("no {part}")).click_accesskit();
    settle(harness);
}

/// Press the mouse button, or let it go.
fn button(harness: &Harness<'_, Window>, pos: Pos2, pressed: bool) {
    let (button, modifiers) = (PointerButton::Primary, Modifiers::NONE);
    harness.event(eframe::egui::Event::PointerButton { pos, button, pressed, modifiers });
}

fn press(harness: &mut Harness<'_, Window>, key: Key) {
    harness.key_press(key);
    settle(harness);
}

/// What is read out of the thing that has the keyboard.
fn spoken(harness: &Harness<'_, Window>) -> String {
    let mut focused = harness.query_all_by_label_contains("").filter(|node| node.is_focused());
    focused.next().and_then(|node| node.accesskit_node().label().or(node.value())).unwrap_or_default()
}

/// What is shown that contains a part.
fn text(harness: &Harness<'_, Window>, part: &str) -> String {
    let mut found = harness.query_all_by_label_contains(part);
    found
        .next()
        .and_then(|node| node.value().or(node.accesskit_node().label()))
        .unwrap_or_else(|| panic!("{part} is not shown"))
}

/// Answer, or go on to the next question, by keys.
fn go_on(harness: &mut Harness<'_, Window>) {
    harness.key_press_modifiers(Modifiers::COMMAND, Key::Enter);
    settle(harness);
}

/// A folder that is gone when the test is over.
struct Folder(PathBuf);

impl Folder {
    fn new(name: &str) -> Self {
        let path = std::env::temp_dir().join(format!("second_breath_questions_{name}_{}", std::process::id()));
        std::fs::create_dir_all(&path).expect("a folder");
        Self(path)
    }

    fn preferences(&self) -> Preferences {
        Preferences { records_folder: self.0.to_string_lossy().into_owned(), ..Preferences::default() }
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        // a folder that stays behind spoils nothing
        let _ = std::fs::remove_dir_all(&self.0);
    }
}

/// The answers in a folder, once the window has let it go.
fn answers(folder: &Path, learner: &LearnerCode) -> Vec<Answer> {
    Records::open(folder).and_then(|mut records| records.answers(learner)).expect("records")
}

/// Become a learner.
fn be_new(harness: &mut Harness<'_, Window>) -> LearnerCode {
    click(harness, "I am new here");
    settle(harness);
    app(harness).questions.learner().expect("a learner").clone()
}

#[test]
fn a_choice_is_answered_by_click_and_explained_with_its_misconception_and_the_run() {
    let mut harness = asked(&["first_air_then_fuel", "first_bleed_size"]);
    assert!(shows(&harness, "1 of 2"));
    assert!(!shows(&harness, "Section of"), "the run is shown before the answer");
    click(&mut harness, "Answer");
    assert!(shows(&harness, "Choose an answer first."));
    click_part(&mut harness, "The bowls run low when the plates open");
    click(&mut harness, "Answer");
    assert!(shows(&harness, "Wrong."));
    assert!(shows(&harness, "A common belief behind it: the bowls run dry."));
    assert!(shows(&harness, "You chose: The bowls run low when the plates open."));
    assert!(shows(&harness, "Section of") && shows(&harness, "Trace at"), "the run is not shown after the answer");
    click(&mut harness, "Next question");
    assert_eq!(app(&harness).questions.item(), Some("first_bleed_size"));
}

#[test]
fn a_choice_goes_by_keyboard_alone_from_the_question_to_the_next() {
    let mut harness = asked(&["first_air_then_fuel", "first_bleed_size"]);
    assert!(spoken(&harness).contains("Why does the mixture turn lean"), "the keyboard is not at the question");
    press(&mut harness, Key::Num2);
    press(&mut harness, Key::Num1);
    tab_to(&mut harness, "Answer");
    press(&mut harness, Key::Enter);
    let verdict = spoken(&harness);
    assert!(verdict == "Right." || verdict == "Wrong.", "the keyboard is not at the verdict: {verdict}");
    let first = harness.query_all_by_role(Role::RadioButton).count();
    assert_eq!(first, 0, "it can still be changed");
    press(&mut harness, Key::Tab);
    assert_eq!(spoken(&harness), "Next question");
    press(&mut harness, Key::Enter);
    assert!(spoken(&harness).contains("drills the main air bleed"), "the keyboard is not at the next question");
    tab_to_part(&mut harness, "A leaner mixture");
    press(&mut harness, Key::Space);
    tab_to(&mut harness, "Answer");
    press(&mut harness, Key::Enter);
    assert_eq!(spoken(&harness), "Right.");
    press(&mut harness, Key::Tab);
    press(&mut harness, Key::Enter);
    assert!(spoken(&harness).contains("of 2 right"));
}

fn type_number(harness: &mut Harness<'_, Window>, number: &str) {
    let field = harness.get_by_label("Your answer, a number with its unit");
    field.focus();
    harness.run_steps(1);
    harness.key_press_modifiers(Modifiers::COMMAND, Key::A);
    harness.run_steps(1);
    harness.get_by_label("Your answer, a number with its unit").type_text(number);
    settle(harness);
}

#[test]
fn a_number_that_is_not_understood_is_told_beside_it_and_can_be_mended() {
    let mut harness = asked(&["first_air_demand"]);
    assert!(shows(&harness, "in³ turns at"), "drawn values are not in the question");
    assert!(shows(&harness, "Answer in cfm"));
    type_number(&mut harness, "much");
    press(&mut harness, Key::Enter);
    assert!(shows(&harness, "This is not a number"));
    assert!(!shows(&harness, "Wrong"), "what is not understood counts as wrong");
    type_number(&mut harness, "1 cfm");
    click(&mut harness, "Answer");
    assert!(shows(&harness, "Wrong.") && shows(&harness, "You wrote:"), "it is not graded");
}

#[test]
fn events_are_put_in_order_by_buttons_and_by_alt_with_an_arrow() {
    for by_keys in [false, true] {
        let mut harness = asked(&["first_order_bare_link"]);
        let place = |harness: &Harness<'_, Window>, name: &str| {
            (1..=3).find(|row| shows(harness, &format!("Place {row}: {name}"))).expect("a row")
        };
        let names = ["Secondary air", "λ above the lean limit", "Secondary main fuel"];
        let labels: Vec<String> = (1..=3).map(|row| text(&harness, &format!("Place {row}:"))).collect();
        assert_eq!(labels.len(), names.len());
        let last = labels[2].split_once(": ").expect("a name").1.to_owned();
        for _ in 0..2 {
            if by_keys {
                tab_to(&mut harness, &format!("{last}: up"));
                harness.key_press_modifiers(Modifiers::ALT, Key::ArrowUp);
                settle(&mut harness);
            } else {
                click(&mut harness, &format!("{last}: up"));
            }
        }
        assert_eq!(place(&harness, &last), 1, "it did not come to the top");
        click(&mut harness, "Answer");
        assert!(shows(&harness, "Your order:"));
        assert!(shows(&harness, "Air came after"), "it is not explained");
    }
}

#[test]
fn a_row_of_events_keeps_the_keyboard_wherever_it_is_moved() {
    let mut harness = asked(&["first_order_bare_link"]);
    let last = text(&harness, "Place 3:").split_once(": ").expect("a name").1.to_owned();
    tab_to(&mut harness, &format!("{last}: up"));
    press(&mut harness, Key::Enter);
    assert_eq!(spoken(&harness), format!("{last}: up"), "the keyboard stays behind");
    // at the top its own button rests
    press(&mut harness, Key::Enter);
    assert!(shows(&harness, &format!("Place 1: {last}")), "it did not come to the top");
    assert_eq!(spoken(&harness), format!("{last}: down"), "the keyboard is lost at the top");
    for row in [2, 3] {
        harness.key_press_modifiers(Modifiers::ALT, Key::ArrowDown);
        settle(&mut harness);
        assert!(shows(&harness, &format!("Place {row}: {last}")), "it did not go down to {row}");
    }
    assert_eq!(spoken(&harness), format!("{last}: up"), "the keyboard is lost at the bottom");
    go_on(&mut harness);
    assert!(shows(&harness, "Your order:"));
}

#[test]
fn a_part_is_pointed_at_in_the_drawing() {
    let mut harness = asked(&["first_point_idle"]);
    let canvas = harness.get_by_label_contains("Section to point at").rect();
    // somewhere on the drawing there is a part within reach; which one does not matter here
    let mut found = false;
    'search: for row in 1..12 {
        for column in 1..12 {
            let share = |place: i32| place as f32 / 12.0;
            let at =
                Pos2::new(canvas.left() + share(column) * canvas.width(), canvas.top() + share(row) * canvas.height());
            harness.hover_at(at);
            harness.run_steps(2);
            button(&harness, at, true);
            button(&harness, at, false);
            settle(&mut harness);
            found = !shows(&harness, "Chosen: none yet");
            if found {
                break 'search;
            }
        }
    }
    assert!(found, "no click chooses a part");
    click(&mut harness, "Answer");
    assert!(shows(&harness, "You pointed at:"));
}

#[test]
fn a_part_is_pointed_at_by_keys_and_in_the_list() {
    let mut harness = asked(&["first_point_idle", "first_point_well"]);
    tab_to_part(&mut harness, "Section to point at");
    for _ in 0..60 {
        if spoken(&harness).contains("Held: Mixture screw") {
            break;
        }
        press(&mut harness, Key::ArrowRight);
    }
    press(&mut harness, Key::Enter);
    assert!(spoken(&harness).contains("Chosen: Mixture screw"), "{}", spoken(&harness));
    click(&mut harness, "Answer");
    assert!(shows(&harness, "Right."));
    click(&mut harness, "Next question");
    // the drawing is near without the long way through the list
    tab_to(&mut harness, "Point with the arrow keys");
    press(&mut harness, Key::Enter);
    assert!(
        spoken(&harness).contains("Section to point at"),
        "the keyboard is not at the drawing: {}",
        spoken(&harness)
    );
    tab_to_part(&mut harness, "Secondary bowl");
    press(&mut harness, Key::Space);
    click(&mut harness, "Answer");
    assert!(shows(&harness, "the bowl must fill first"));
}

#[test]
fn a_curve_is_drawn_by_keys_and_by_mouse() {
    for by_keys in [true, false] {
        let mut harness = asked(&["first_sketch_lambda"]);
        click(&mut harness, "Answer");
        assert!(shows(&harness, "Draw a curve"), "an empty sheet is graded");
        if by_keys {
            tab_to_part(&mut harness, "Sheet to draw");
            for key in [Key::ArrowUp, Key::ArrowRight, Key::ArrowRight, Key::ArrowUp] {
                press(&mut harness, key);
            }
        } else {
            let sheet = harness.get_by_label_contains("Sheet to draw").rect();
            let from = sheet.center() - eframe::egui::vec2(60.0, 0.0);
            let at = |step: u8| from + eframe::egui::vec2(20.0, 4.0) * f32::from(step);
            harness.hover_at(from);
            harness.run_steps(2);
            button(&harness, from, true);
            harness.run_steps(1);
            for step in 1..=6 {
                harness.hover_at(at(step));
                harness.run_steps(1);
            }
            button(&harness, at(6), false);
            settle(&mut harness);
        }
        click(&mut harness, "Answer");
        settle(&mut harness);
        assert!(!shows(&harness, "Draw a curve"), "nothing was drawn; by keys: {by_keys}");
        assert!(shows(&harness, "Your curve scores") && shows(&harness, "Your curve lies over the run"));
    }
}

#[test]
fn settings_are_tried_as_often_as_wanted_before_the_answer_stands() {
    let mut harness = asked(&["first_tune_door"]);
    assert!(shows(&harness, "Changed: 0 of 1") && shows(&harness, "The run before you change anything"));
    assert!(shows(&harness, "λ"), "its mixture is not shown");
    let before = text(&harness, "ms after the pedal");
    let slider = |harness: &mut Harness<'_, Window>, name: &str, value: f64| {
        harness.get_by_role_and_label(Role::Slider, name).set_value_accesskit(value);
        settle(harness);
    };
    let names: Vec<String> =
        harness.query_all_by_role(Role::Slider).filter_map(|node| node.accesskit_node().label()).collect();
    assert_eq!(names.len(), 2);
    let (first, second) = (names[0].clone(), names[1].clone());
    slider(&mut harness, &first, 100.0);
    assert!(shows(&harness, "Changed: 1 of 1"));
    click(&mut harness, "Try it");
    assert!(shows(&harness, "The run as you set it"));
    slider(&mut harness, &first, 540.0);
    click(&mut harness, "Try it");
    assert_ne!(text(&harness, "ms after the pedal"), before, "another setting gives the same run");
    slider(&mut harness, &second, 1.5);
    assert!(shows(&harness, "Changed: 2 of 1"));
    click(&mut harness, "This is my answer");
    assert!(shows(&harness, "2 settings are changed"), "too much may be changed");
    tab_to(&mut harness, "Back to the start");
    press(&mut harness, Key::Enter);
    assert!(shows(&harness, "Changed: 0 of 1"));
    assert_eq!(spoken(&harness), "Try it", "the keyboard is lost with the button that rests");
    // what is being typed counts, though the field has not been left
    harness.get_by_role_and_label(Role::Slider, &first).focus();
    press(&mut harness, Key::Tab);
    harness.event(eframe::egui::Event::Text("540".to_owned()));
    settle(&mut harness);
    go_on(&mut harness);
    settle(&mut harness);
    assert!(text(&harness, "You set: ").contains("540"), "{}", text(&harness, "You set: "));
    assert!(shows(&harness, "Right."));
}

#[test]
fn a_fault_is_measured_figure_by_figure_and_named() {
    let mut harness = asked(&["first_fault_rear_jets"]);
    assert!(!shows(&harness, "this car: "), "figures are shown before they are measured");
    click_part(&mut harness, "Measure: Torque lost");
    assert!(shows(&harness, "Torque lost, as time at full torque, sound car:"));
    assert!(shows(&harness, "Torque lost, as time at full torque, this car:"));
    assert!(!shows(&harness, "at the end, this car:"), "one button measures all");
    tab_to_part(&mut harness, "First pump gives a small shot");
    press(&mut harness, Key::Space);
    tab_to(&mut harness, "Answer");
    press(&mut harness, Key::Enter);
    assert!(shows(&harness, "every bog is the pump") && shows(&harness, "The answer: Rear main jets too small."));
    assert!(shows(&harness, "Section of Sound car") && shows(&harness, "Section of This car"));
}

#[test]
fn a_fault_is_measured_and_named_by_keys_without_losing_the_keyboard() {
    let mut harness = asked(&["first_fault_rear_jets"]);
    tab_to_part(&mut harness, "Measure: ");
    let first = spoken(&harness);
    press(&mut harness, Key::Enter);
    assert!(spoken(&harness).contains("sound car: "), "the keyboard is not at what was measured: {}", spoken(&harness));
    press(&mut harness, Key::Tab);
    assert!(spoken(&harness).starts_with("Measure: ") && spoken(&harness) != first, "{}", spoken(&harness));
    // the figure that stands before a candidate chooses it
    let candidate = text(&harness, "First pump gives a small shot");
    press(&mut harness, Key::from_name(&candidate[..1]).expect("a figure"));
    go_on(&mut harness);
    settle(&mut harness);
    assert!(shows(&harness, "You chose: First pump gives a small shot."), "{candidate}");
    assert!(shows(&harness, "A common belief behind it: every bog is the pump."));
}

#[test]
fn ctrl_and_enter_answers_from_anywhere_and_goes_on() {
    let mut harness = asked(&["first_bleed_size", "first_air_demand"]);
    go_on(&mut harness);
    assert!(shows(&harness, "Choose an answer first."));
    tab_to_part(&mut harness, "A leaner mixture");
    press(&mut harness, Key::Space);
    tab_to(&mut harness, "I do not know");
    go_on(&mut harness);
    assert!(shows(&harness, "You chose: A leaner mixture."), "a button took its Enter");
    go_on(&mut harness);
    assert_eq!(app(&harness).questions.item(), Some("first_air_demand"));
    type_number(&mut harness, "1 cfm");
    go_on(&mut harness);
    assert!(shows(&harness, "You wrote: 1 cfm."));
}

#[test]
fn whoever_does_not_know_is_told_the_answer() {
    let mut harness = asked(&["first_bleed_size"]);
    click(&mut harness, "I do not know");
    assert!(shows(&harness, "Not answered.") && shows(&harness, "The answer: A leaner mixture."));
}

#[test]
fn an_answer_is_on_the_disk_once_before_the_next_question_and_comes_back_when_it_is_due() {
    let folder = Folder::new("kept");
    let (mut harness, now) = questions_with(folder.preferences(), [1280.0, 800.0]);
    let learner = be_new(&mut harness);
    assert!(shows(&harness, "Write it down"));
    assert!(shows(&harness, "Nothing is due"));
    ask(&mut harness, &["first_bleed_size", "first_air_demand"], Mode::Lesson);
    now.fetch_add(12, Ordering::Relaxed);
    click_part(&mut harness, "A richer mixture");
    click(&mut harness, "Answer");
    settle(&mut harness);
    harness.run_steps(30);
    click(&mut harness, "Next question");
    click(&mut harness, "Leave for now");
    settle(&mut harness);
    // in other places the folder is free for others
    click(&mut harness, "Benches");
    settle(&mut harness);
    let kept = answers(&folder.0, &learner);
    assert_eq!(kept.len(), 1, "{kept:?}");
    let answer = &kept[0];
    assert_eq!((answer.item.as_str(), answer.right, answer.mode.clone()), ("first_bleed_size", false, Mode::Lesson));
    assert_eq!(answer.misconception.as_deref(), Some("a bigger bleed is richer"));
    assert!((answer.seconds - 12.0).abs() < 1e-9, "the clock stood but for 12 s: {}", answer.seconds);
    // a day later it is due
    now.fetch_add(86_400, Ordering::Relaxed);
    click(&mut harness, "Questions");
    settle(&mut harness);
    assert_eq!(app(&harness).questions.learner(), Some(&learner));
    click(&mut harness, "Go on");
    assert_eq!(app(&harness).questions.item(), Some("first_air_demand"), "it does not go on where it was");
    click(&mut harness, "Leave for now");
    settle(&mut harness);
    assert!(shows(&harness, "1 question is due."));
    click(&mut harness, "Begin what is due");
    assert_eq!(app(&harness).questions.item(), Some("first_bleed_size"));
}

/// A window that is opened some days after the first, in which the same learner answers.
fn days_later(folder: &Folder, learner: &LearnerCode, days: u64) -> Harness<'static, Window> {
    let (mut harness, now) = questions_with(folder.preferences(), [1280.0, 800.0]);
    now.fetch_add(days * 86_400, Ordering::Relaxed);
    let field = |harness: &Harness<'_, Window>, act: fn(&egui_kittest::Node<'_>, &str), text: &str| {
        act(&harness.query_all_by_role_and_label(Role::TextInput, "Your code").next().expect("a field"), text);
    };
    field(&harness, |node, _| node.focus(), "");
    harness.run_steps(1);
    field(&harness, |node, text| node.type_text(text), learner.as_str());
    settle(&mut harness);
    press(&mut harness, Key::Enter);
    settle(&mut harness);
    assert!(spoken(&harness).contains(learner.as_str()), "the keyboard is not at who answers");
    harness
}

#[test]
fn a_window_that_is_opened_later_knows_what_was_answered_and_what_is_due() {
    let folder = Folder::new("later");
    let (mut harness, _) = questions_with(folder.preferences(), [1280.0, 800.0]);
    let learner = be_new(&mut harness);
    assert!(spoken(&harness).starts_with("Your code. Write it down"), "the keyboard is lost: {}", spoken(&harness));
    ask(&mut harness, &["first_bleed_size", "first_air_demand"], Mode::Lesson);
    click_part(&mut harness, "A leaner mixture");
    go_on(&mut harness);
    settle(&mut harness);
    go_on(&mut harness);
    click(&mut harness, "I do not know");
    settle(&mut harness);
    drop(harness);
    assert!(shows(&days_later(&folder, &learner, 0), "Nothing is due."));
    let mut harness = days_later(&folder, &learner, 1);
    assert!(shows(&harness, "2 questions are due."));
    click(&mut harness, "Begin what is due");
    assert_eq!(app(&harness).questions.item(), Some("first_air_demand"));
    click(&mut harness, "I do not know");
    settle(&mut harness);
    go_on(&mut harness);
    click_part(&mut harness, "A leaner mixture");
    go_on(&mut harness);
    settle(&mut harness);
    drop(harness);
    // what was not known is due on the next day again, what was known twice three days later
    assert!(shows(&days_later(&folder, &learner, 2), "1 question is due."));
    assert!(shows(&days_later(&folder, &learner, 4), "2 questions are due."));
}

#[test]
fn a_lesson_is_chosen_by_keys_and_the_keyboard_comes_back() {
    let mut harness = questions();
    tab_to_part(&mut harness, "Lesson: ");
    press(&mut harness, Key::Enter);
    tab_to_part(&mut harness, "5. ");
    press(&mut harness, Key::Enter);
    assert!(spoken(&harness).starts_with("Lesson: The main circuit"), "{}", spoken(&harness));
}

#[test]
fn a_code_that_the_folder_does_not_know_is_refused_and_one_that_it_knows_is_taken() {
    let folder = Folder::new("codes");
    let learner = Records::open(&folder.0).and_then(|mut records| records.add("")).expect("a learner");
    let (mut harness, _) = questions_with(folder.preferences(), [1280.0, 800.0]);
    let enter = |harness: &mut Harness<'_, Window>, code: &str| {
        harness.query_all_by_role_and_label(Role::TextInput, "Your code").next().expect("a field").focus();
        harness.run_steps(1);
        harness.key_press_modifiers(Modifiers::COMMAND, Key::A);
        harness.query_all_by_role_and_label(Role::TextInput, "Your code").next().expect("a field").type_text(code);
        settle(harness);
        press(harness, Key::Enter);
        settle(harness);
    };
    enter(&mut harness, "me");
    assert!(shows(&harness, "A code has six letters and figures"));
    enter(&mut harness, "222222");
    assert!(shows(&harness, "knows no learner 222222"));
    enter(&mut harness, learner.as_str());
    assert_eq!(app(&harness).questions.learner(), Some(&learner));
}

#[test]
fn a_folder_that_cannot_be_used_is_told_once_and_practice_goes_on() {
    let file = std::env::temp_dir().join(format!("second_breath_no_folder_{}", std::process::id()));
    std::fs::write(&file, "no folder").expect("a file");
    let preferences = Preferences { records_folder: file.to_string_lossy().into_owned(), ..Preferences::default() };
    let (mut harness, _) = questions_with(preferences, [1280.0, 800.0]);
    let told = text(&harness, "The records folder cannot be used.");
    assert!(told.contains("no_folder") && told.contains("choose a folder"), "{told}");
    std::fs::remove_file(&file).expect("the file");
    std::fs::create_dir(&file).expect("a folder in its place");
    harness.run_steps(30);
    assert!(shows(&harness, "cannot be used"), "it is asked again by itself");
    ask(&mut harness, &["first_bleed_size"], Mode::Lesson);
    click_part(&mut harness, "A leaner mixture");
    click(&mut harness, "Answer");
    assert!(shows(&harness, "Right.") && shows(&harness, "See what came of it"));
    click(&mut harness, "Leave for now");
    click(&mut harness, "Try this folder again");
    settle(&mut harness);
    assert!(shows(&harness, "I am new here"));
    drop(harness);
    // what stays behind spoils nothing
    let _ = std::fs::remove_dir_all(&file);
}

#[test]
fn an_answer_that_cannot_be_written_is_told_and_kept_to_be_tried_again() {
    let folder = Folder::new("full");
    let (mut harness, _) = questions_with(folder.preferences(), [1280.0, 800.0]);
    let learner = be_new(&mut harness);
    ask(&mut harness, &["first_bleed_size", "first_air_then_fuel"], Mode::Lesson);
    let log = folder.0.join("answers").join(format!("{learner}.answers"));
    let aside = folder.0.join("aside");
    std::fs::rename(&log, &aside).expect("the log goes");
    std::fs::create_dir(&log).expect("a folder in its way");
    click_part(&mut harness, "A leaner mixture");
    click(&mut harness, "Answer");
    settle(&mut harness);
    assert!(shows(&harness, "Your answer is not kept yet."));
    assert!(!shows(&harness, "Next question"), "it goes on without a word");
    click(&mut harness, "Go on, keep it later");
    click(&mut harness, "Next question");
    click(&mut harness, "Leave for now");
    assert!(shows(&harness, "1 answer is not kept yet"));
    std::fs::remove_dir(&log).expect("the way is free");
    std::fs::rename(&aside, &log).expect("the log comes back");
    for _ in 0..2 {
        if shows(&harness, "Try to keep them again") {
            click(&mut harness, "Try to keep them again");
            settle(&mut harness);
        }
    }
    assert!(!shows(&harness, "not kept yet"));
    click(&mut harness, "Benches");
    settle(&mut harness);
    assert_eq!(answers(&folder.0, &learner).len(), 1, "it is kept twice, or not at all");
}

#[test]
fn in_a_test_nothing_is_told_before_the_end_and_everything_after_it() {
    let mut harness = questions();
    let mode = Mode::Test { form: "chosen".to_owned() };
    ask(&mut harness, &["first_bleed_size", "first_point_idle"], mode);
    click_part(&mut harness, "A richer mixture");
    click(&mut harness, "Answer");
    settle(&mut harness);
    assert_eq!(app(&harness).questions.item(), Some("first_point_idle"), "it does not go on by itself");
    assert!(!shows(&harness, "Wrong") && !shows(&harness, "bigger bleed"), "the test tells an answer");
    click_part(&mut harness, "Mixture screw");
    click(&mut harness, "Answer");
    settle(&mut harness);
    assert!(shows(&harness, "1 of 2 right"));
    assert!(shows(&harness, "To read again") && shows(&harness, "leads to a lesson"));
    assert!(!shows(&harness, "lets you trim how much: leads"), "what was right is to be read again");
    click(&mut harness, "Look at question 1");
    assert!(shows(&harness, "A common belief behind it: a bigger bleed is richer."));
    click(&mut harness, "Back to all answers");
    click_part(&mut harness, "leads to a lesson");
    assert_eq!(app(&harness).state.screen, Screen::Lessons);
}

#[test]
fn a_test_with_a_limit_ends_when_its_time_is_over_and_can_be_extended() {
    let (mut harness, now) = questions_with(Preferences::default(), [1280.0, 800.0]);
    click(&mut harness, "Time limit");
    click(&mut harness, "Begin the test");
    settle(&mut harness);
    assert!(shows(&harness, "15:00 left"));
    let first = app(&harness).questions.item().expect("a question").to_owned();
    now.fetch_add(15 * 60 - 1, Ordering::Relaxed);
    settle(&mut harness);
    assert!(shows(&harness, "0:01 left"));
    now.fetch_add(1, Ordering::Relaxed);
    settle(&mut harness);
    assert!(shows(&harness, "Time is over.") && !shows(&harness, "I do not know"));
    // whoever takes a while to decide loses nothing by it
    now.fetch_add(40, Ordering::Relaxed);
    click(&mut harness, "5 more minutes");
    assert!(shows(&harness, "5:00 left"));
    assert_eq!(app(&harness).questions.item(), Some(first.as_str()));
    now.fetch_add(301, Ordering::Relaxed);
    settle(&mut harness);
    click(&mut harness, "See what came of it");
    assert!(shows(&harness, "0 of 10 right") && shows(&harness, "10 not answered."));
    assert!(shows(&harness, "Time limit 15 min, extended by 6 min."));
    click(&mut harness, "Look at question 1");
    settle(&mut harness);
    assert!(shows(&harness, "You gave no answer."), "what was left open is not explained");
    click(&mut harness, "Back to all answers");
    assert!(shows(&harness, "10 not answered."), "looking counts as answering");
}

#[test]
fn the_same_seed_asks_the_same_test_again() {
    let first_of = |seed: &str| {
        let mut harness = questions();
        harness.get_by_label("Seed of the test").focus();
        harness.run_steps(1);
        harness.key_press_modifiers(Modifiers::COMMAND, Key::A);
        harness.get_by_label("Seed of the test").type_text(seed);
        settle(&mut harness);
        click(&mut harness, "Begin the test");
        settle(&mut harness);
        app(&harness).questions.item().map(str::to_owned)
    };
    assert!(first_of("4711").is_some());
    assert_eq!(first_of("4711"), first_of("4711"));
    assert_eq!(first_of("seed"), None, "a seed that is none begins a test");
}

#[test]
fn a_lesson_leads_to_questions_on_it() {
    let mut harness = window_with(Preferences::default(), [1280.0, 800.0]);
    click(&mut harness, "Lessons");
    app_mut(&mut harness).lessons.go_to("13_spring_door");
    settle(&mut harness);
    click(&mut harness, "Questions on this lesson");
    settle(&mut harness);
    assert_eq!(app(&harness).state.screen, Screen::Questions);
    assert_eq!(spoken(&harness), "Begin the questions", "the keyboard does not arrive");
    press(&mut harness, Key::Enter);
    settle(&mut harness);
    assert!(shows(&harness, "1 of 4"));
}

/// Missing glyphs and unnamed widgets stop the harness by themselves.
#[test]
fn every_kind_is_laid_out_in_both_looks_and_all_sizes() {
    const KINDS: [&str; 8] = [
        "first_air_then_fuel",
        "first_air_demand",
        "first_delay",
        "first_order_bare_link",
        "first_point_well",
        "first_sketch_lambda",
        "first_tune_shot",
        "first_fault_door",
    ];
    let cases =
        [(Look::Paper, 1.0, [1920.0, 1080.0]), (Look::Slate, 2.0, [1280.0, 800.0]), (Look::Paper, 2.0, [640.0, 480.0])];
    for (look, text_size, size) in cases {
        let preferences = Preferences { look, text_size, reduced_motion: true, ..Preferences::default() };
        let (mut harness, _) = questions_with(preferences, size);
        harness.check_accessibility();
        for id in KINDS {
            ask(&mut harness, &[id], Mode::Lesson);
            harness.check_accessibility();
            assert_eq!(harness.unnamed_widgets(), Vec::<String>::new());
            click(&mut harness, "I do not know");
            settle(&mut harness);
            assert!(shows(&harness, "Not answered."), "{id}");
            harness.check_accessibility();
            assert_eq!(harness.unnamed_widgets(), Vec::<String>::new());
        }
    }
}
