//! The customer's screen as it is met at the counter: by name, by key, with half a card and with bad answers.
#![cfg(feature = "window")]

mod support;

use eframe::egui::{Event, Key, Modifiers};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable as _;
use second_breath::advice::intake::Customer;
use second_breath::app::preferences::Preferences;
use second_breath::app::screen::Screen;
use second_breath::content::customers;
use second_breath::settings::grouped::Grouped;
use second_breath::units::UnitSystem;
use std::path::{Path, PathBuf};
use support::window::{Window, app, click, settle, shows, tab_to, window_with};

fn counter() -> Harness<'static, Window> {
    let mut harness = window_with(Preferences::default(), [1280.0, 800.0]);
    click(&mut harness, "Customer");
    assert_eq!(app(&harness).state.screen, Screen::Customer);
    harness
}

#[test]
fn an_empty_card_has_every_question_open() {
    let harness = counter();
    let customer = &app(&harness).customer.customer;
    assert!(customer.places().into_iter().all(|place| !customer.is_known(place)));
    assert!(shows(&harness, "What does the car weigh?"));
}

#[test]
fn a_question_is_answered_by_keys_and_taken_back() {
    let mut harness = counter();
    tab_to(&mut harness, "How big is the engine?");
    harness.event(Event::Text("5.2 L".to_owned()));
    harness.run_steps(2);
    harness.key_press(Key::Tab);
    settle(&mut harness);
    let told = app(&harness).customer.customer.told("engine", "displacement").expect("an answer");
    assert!((told - 5.2e-3).abs() < 1e-12, "{told}");
    harness.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    settle(&mut harness);
    assert_eq!(app(&harness).customer.customer.told("engine", "displacement"), None);
}

#[test]
fn a_bad_answer_stays_in_its_field_with_what_would_be_taken() {
    let mut harness = counter();
    tab_to(&mut harness, "How big is the engine?");
    harness.event(Event::Text("99 L".to_owned()));
    harness.run_steps(2);
    harness.key_press(Key::Tab);
    settle(&mut harness);
    assert!(shows(&harness, "99 L is not accepted"));
    assert_eq!(app(&harness).customer.customer.told("engine", "displacement"), None);
}

#[test]
fn a_shipped_customer_is_opened_from_the_menu() {
    let mut harness = counter();
    let shipped = customers::shipped()[0].customer().expect("is read");
    click(&mut harness, "Invented customers");
    click(&mut harness, &shipped.name);
    settle(&mut harness);
    assert_eq!(app(&harness).customer.customer, shipped);
}

/// A file of the tests, which is not there yet.
fn in_folder(name: &str) -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("customer_screen");
    std::fs::create_dir_all(&folder).expect("a folder");
    let path = folder.join(name);
    if path.exists() {
        std::fs::remove_file(&path).expect("is removed");
    }
    path
}

/// Type a path into the field that asks for one, and take it.
fn give_path(harness: &mut Harness<'static, Window>, path: &Path) {
    tab_to(harness, "Path of the file");
    harness.event(Event::Text(path.to_str().expect("a path in Unicode").to_owned()));
    harness.run_steps(2);
    harness.key_press(Key::Enter);
    settle(harness);
}

fn answer(harness: &mut Harness<'static, Window>, question: &str, text: &str) {
    tab_to(harness, question);
    harness.event(Event::Text(text.to_owned()));
    harness.run_steps(2);
    harness.key_press(Key::Tab);
    settle(harness);
}

#[test]
fn half_a_card_is_saved_and_opens_again_as_it_was() {
    let path = in_folder("half.toml");
    let mut harness = counter();
    answer(&mut harness, "Name on the card", "Half told");
    answer(&mut harness, "How big is the engine?", "5.2");
    answer(&mut harness, "What does the car weigh?", "1800 kg");
    let half = app(&harness).customer.customer.clone();
    let questions = half.places().len();
    assert!(shows(&harness, &format!("{} of {questions} questions are open", questions - 2)));
    click(&mut harness, "Save the card by path …");
    give_path(&mut harness, &path);
    assert!(shows(&harness, "Saved to"));
    click(&mut harness, "New card");
    assert_eq!(app(&harness).customer.customer, Customer::default());
    click(&mut harness, "Open a card by path …");
    give_path(&mut harness, &path);
    assert_eq!(app(&harness).customer.customer, half);
    assert!(shows(&harness, &format!("{} of {questions} questions are open", questions - 2)));
    assert!(shows(&harness, "Engine · 1 of 6 told") && shows(&harness, "not told: 8.50 is taken"));
}

#[test]
fn a_bad_answer_is_not_saved_in_silence_and_nothing_is_asked_with_it() {
    let path = in_folder("bad.toml");
    let mut harness = counter();
    answer(&mut harness, "How big is the engine?", "5.2");
    answer(&mut harness, "What does the car weigh?", "heavy");
    assert!(shows(&harness, "heavy") && shows(&harness, "Mend the marked answers first"));
    let weight = Customer::default().place("car", "mass").expect("a question");
    let accepted = Customer::default().setting(weight).expect("a question").accepted(UnitSystem::Si);
    assert!(shows(&harness, &accepted), "{accepted}");
    click(&mut harness, "What suits this car?");
    assert!(app(&harness).customer.titles().is_empty());
    click(&mut harness, "Save the card by path …");
    give_path(&mut harness, &path);
    assert!(shows(&harness, "The marked answers are not in it"));
    let kept = customers::load(&path).expect("is read");
    assert_eq!((kept.told("engine", "displacement").is_some(), kept.told("car", "mass")), (true, None));
}

#[test]
fn a_file_that_is_no_card_says_what_is_wrong() {
    let path = in_folder("other.toml");
    std::fs::write(&path, "format_version = 1\n[car]\nmass = \"much\"\n").expect("is written");
    let mut harness = counter();
    click(&mut harness, "Open a card by path …");
    give_path(&mut harness, &path);
    assert!(shows(&harness, "other.toml:3: car.mass"));
    assert_eq!(app(&harness).customer.customer, Customer::default());
}

/// In large letters there is room for the card or for the answer; the button stays above both.
#[test]
fn in_large_letters_asking_is_in_reach_and_leads_to_the_answer() {
    let preferences = Preferences { text_size: 2.0, ..Preferences::default() };
    let mut harness = window_with(preferences, [1280.0, 800.0]);
    click(&mut harness, "Customer");
    let shipped = customers::shipped()[5].customer().expect("is read");
    click(&mut harness, "Invented customers");
    click(&mut harness, &shipped.name);
    let place = harness.get_by_label("What suits this car?").rect();
    assert!(place.bottom() < 400.0, "{place}");
    click(&mut harness, "What suits this car?");
    assert!(shows(&harness, "The ranking was made again") && !shows(&harness, "Name on the card"));
    click(&mut harness, "The card");
    assert!(shows(&harness, "Name on the card") && !shows(&harness, "The ranking was made again"));
}

#[test]
fn the_page_is_printed_to_a_path() {
    let path = in_folder("page.pdf");
    let mut harness = counter();
    // half of its card is empty, and the least is tried for it
    let shipped = customers::shipped()[5].customer().expect("is read");
    click(&mut harness, "Invented customers");
    click(&mut harness, &shipped.name);
    click(&mut harness, "What suits this car?");
    click(&mut harness, "By path …");
    click(&mut harness, "Print the page by path …");
    give_path(&mut harness, &path);
    assert!(shows(&harness, "Written to"));
    let bytes = std::fs::read(&path).expect("a file");
    assert!(bytes.starts_with(b"%PDF-") && bytes.len() > 20_000, "{}", bytes.len());
}

/// The first invented customer, from the card to the ranking and to the view that is shown over the counter.
#[test]
fn a_car_is_asked_about_and_what_suits_it_is_shown() {
    let mut harness = counter();
    let shipped = customers::shipped()[0].customer().expect("is read");
    click(&mut harness, "Invented customers");
    click(&mut harness, &shipped.name);
    click(&mut harness, "What suits this car?");
    assert!(shows(&harness, "Ranked by the runs"));
    assert!(shows(&harness, "Keep what you have, as it is"));
    click(&mut harness, "Show them");
    assert!(shows(&harness, "Today: bare link") && shows(&harness, "Back to the counter"));
    harness.key_press(Key::Escape);
    settle(&mut harness);
    assert!(shows(&harness, "Ranked by the runs"));
}
