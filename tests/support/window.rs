//! A window as a reader meets it: by name and by key.

use eframe::egui::Key;
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable as _;
use second_breath::app::App;
use second_breath::app::preferences::Preferences;
use std::time::Duration;

/// Longest wait for a run: a hundred times what a slow machine takes.
pub const LIMIT: Duration = Duration::from_secs(120);

/// `None` until the first frame.
pub type Window = Option<App>;

/// What stands in the window.
pub fn app<'a>(harness: &'a Harness<'_, Window>) -> &'a App {
    harness.state().as_ref().expect("a window")
}

/// The same, to be changed.
pub fn app_mut<'a>(harness: &'a mut Harness<'_, Window>) -> &'a mut App {
    harness.state_mut().as_mut().expect("a window")
}

/// A window whose first runs are finished.
pub fn window_with(preferences: Preferences, size: [f32; 2]) -> Harness<'static, Window> {
    let mut harness = Harness::builder().with_size(size).with_step_dt(1.0 / 60.0).build_ui_state(
        move |ui, window: &mut Window| match window {
            // fonts that are set in one frame can be used in the next
            None => *window = Some(App::new(ui.ctx(), preferences.clone(), &[])),
            Some(app) => app.show(ui),
        },
        None,
    );
    settle(&mut harness);
    harness
}

/// The usual window of the default preferences.
pub fn window() -> Harness<'static, Window> {
    window_with(Preferences::default(), [1280.0, 800.0])
}

/// Let runs finish and a few frames pass: to act, to ask, to lay out, to rest.
pub fn settle(harness: &mut Harness<'_, Window>) {
    harness.run_steps(4);
    assert!(app_mut(harness).wait_for_runs(LIMIT), "a run did not finish");
    harness.run_steps(3);
}

/// Whether something is shown whose name contains a part.
pub fn shows(harness: &Harness<'_, Window>, part: &str) -> bool {
    harness.query_all_by_label_contains(part).next().is_some()
}

/// Click what has this name.
pub fn click(harness: &mut Harness<'_, Window>, label: &str) {
    harness.query_all_by_label(label).next().unwrap_or_else(|| panic!("no {label}")).click_accesskit();
    settle(harness);
}

/// Press Tab until this has the keyboard.
pub fn tab_to(harness: &mut Harness<'_, Window>, label: &str) {
    for _ in 0..200 {
        harness.key_press(Key::Tab);
        harness.run_steps(1);
        if harness.query_all_by_label(label).any(|node| node.is_focused()) {
            return;
        }
    }
    panic!("Tab does not reach {label}");
}

/// The same for something whose name contains a part.
pub fn tab_to_part(harness: &mut Harness<'_, Window>, part: &str) {
    for _ in 0..200 {
        harness.key_press(Key::Tab);
        harness.run_steps(1);
        if harness.query_all_by_label_contains(part).any(|node| node.is_focused()) {
            return;
        }
    }
    panic!("Tab does not reach {part}");
}
