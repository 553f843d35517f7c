//! The customer's screen as it is met at the counter: by name, by key, with half a card and with bad answers.
#![cfg(feature = "window")]

mod support;

use eframe::egui::{Key, Modifiers};
use egui_kittest::Harness;
use second_breath::app::preferences::Preferences;
use second_breath::app::screen::Screen;
use second_breath::content::customers;
use second_breath::settings::grouped::Grouped;
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
    harness.event(eframe::egui::Event::Text("5.2 L".to_owned()));
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
    harness.event(eframe::egui::Event::Text("99 L".to_owned()));
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
