//! The page of laws, sources and checks as a reader meets it: by name, by key, and at every size.
#![cfg(feature = "window")]

mod support;

use eframe::egui::Key;
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable as _;
use second_breath::app::preferences::Preferences;
use support::window::{Window, shows, window_with};

/// The page of laws at a window size and text size.
fn grounds_page(size: [f32; 2], text_size: f32) -> Harness<'static, Window> {
    let preferences = Preferences { text_size, ..Preferences::default() };
    let mut harness = window_with(preferences, size);
    harness.get_by_label("What this rests on").click();
    harness.run_steps(3);
    harness
}

#[test]
fn what_this_rests_on_shows_laws_that_open_by_key_to_their_checks() {
    let mut harness = grounds_page([1280.0, 800.0], 1.0);
    assert!(shows(&harness, " laws, ") && shows(&harness, "laws have no independent check"));
    assert!(shows(&harness, "What the model leaves out") && shows(&harness, "Where the model and belief differ"));
    assert!(!shows(&harness, "C1.21"), "checks are shown unasked");
    harness.get_by_label_contains("Air through an opening: ").focus();
    harness.run_steps(2);
    harness.key_press(Key::Space);
    harness.run_steps(2);
    assert!(shows(&harness, "C1.21"), "the checks of a law do not open");
    harness.key_press(Key::Space);
    harness.run_steps(2);
    assert!(!shows(&harness, "C1.21"), "they do not close");
}

#[test]
fn laws_can_be_sought_and_the_unwatched_shown_alone() {
    let mut harness = grounds_page([1280.0, 800.0], 1.0);
    harness.get_by_label("Show laws with these words").focus();
    harness.run_steps(2);
    harness.get_by_label("Show laws with these words").type_text("stefan vapour nothing such");
    harness.run_steps(2);
    assert!(shows(&harness, "No law matches"));
    harness.get_by_label("Show all").click();
    harness.run_steps(2);
    harness.get_by_label_contains("only those that no independent check").click();
    harness.run_steps(2);
    assert!(shows(&harness, "Idle and transfer: ") && !shows(&harness, "Air through an opening: "));
}

#[test]
fn what_this_rests_on_fits_at_every_size() {
    for (size, text_size) in [([1280.0, 800.0], 2.0), ([1920.0, 1080.0], 2.0), ([640.0, 480.0], 1.0)] {
        let mut harness = grounds_page(size, text_size);
        let row = harness.get_by_label_contains("Where an opening chokes: ").rect();
        assert!(row.left() >= 0.0 && row.right() <= size[0], "{size:?} at {text_size}: {row:?}");
        harness.get_by_label_contains("Where an opening chokes: ").click();
        harness.run_steps(2);
        if let Some(button) = harness.query_by_label("To what the model leaves out, below the laws") {
            button.click();
            harness.run_steps(40);
            let heading = harness.get_by_label("What the model leaves out").rect();
            assert!(heading.top() >= 0.0 && heading.bottom() <= size[1], "{size:?} at {text_size}: {heading:?}");
        }
        let check = harness.get_by_label_contains("C1.02, ").rect();
        assert!(check.right() <= size[0], "{size:?} at {text_size}: {check:?}");
    }
}
