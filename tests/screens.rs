//! The window as a reader meets it: by name, by key, and in every look.
#![cfg(feature = "window")]

mod support;

use eframe::egui::{Key, Modifiers, accesskit::Role};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable as _;
use second_breath::app::preferences::{LabelDetail, Look, Preferences};
use second_breath::families::FAMILIES;
use second_breath::settings::grouped::Grouped;
use second_breath::units::UnitSystem;
use support::window::{LIMIT, Window, app, app_mut, settle, shows, tab_to, tab_to_part, window, window_with};

#[test]
fn it_opens_on_a_running_contrast() {
    let mut harness = window();
    let ids: Vec<_> = app(&harness).state.benches.iter().map(|bench| bench.scenario.entry().id).collect();
    assert_eq!(ids, ["bare_link", "twin_pump"]);
    assert!(shows(&harness, "lose its breath"));
    assert!(shows(&harness, "The engine"));
    let before = app(&harness).state.time.cursor_s;
    harness.run_steps(5);
    assert!(app(&harness).state.time.cursor_s > before, "time does not pass");
}

#[test]
fn another_family_from_the_menu_says_another_sentence() {
    let mut harness = window();
    let before = app(&harness).state.benches[0].outcome.as_ref().expect("a run").findings;
    harness.get_by_label("Family of bench 1: Bare link").click();
    harness.run_steps(3);
    let name = FAMILIES[2].name;
    harness.get_by_role_and_label(Role::Button, name).click();
    settle(&mut harness);
    let bench = &app(&harness).state.benches[0];
    assert_eq!(bench.scenario.entry().id, FAMILIES[2].id);
    assert_ne!(bench.outcome.as_ref().expect("a run").findings, before);
    assert!(shows(&harness, &format!("Family of bench 1: {name}")));
}

#[test]
fn a_slider_leads_to_a_new_run_and_can_be_undone() {
    let mut harness = window();
    let revision = app(&harness).state.benches[0].revision;
    harness.get_by_role_and_label(Role::Slider, "Stab takes").set_value_accesskit(400.0);
    settle(&mut harness);
    let state = &app(&harness).state;
    assert!(state.benches[0].revision > revision);
    assert!((state.benches[0].scenario.pedal.stab_s - 0.4).abs() < 1e-9);
    let outcome = state.benches[0].outcome.as_ref().expect("a run");
    assert!((outcome.scenario.pedal.stab_s - 0.4).abs() < 1e-9, "the shown run is the old one");
    assert!(shows(&harness, "Stab takes: 400 ms against 120 ms"), "the difference is not listed");
    harness.get_by_label("Undo").click();
    settle(&mut harness);
    assert!((app(&harness).state.benches[0].scenario.pedal.stab_s - 0.12).abs() < 1e-9);
}

#[test]
fn a_refused_value_changes_nothing_and_says_so_beside_the_field() {
    let mut harness = window();
    let place = app(&harness).state.bench().scenario.place("pedal", "stab").expect("a place");
    app_mut(&mut harness).state.set(place, 99.0, UnitSystem::Si);
    harness.run_steps(2);
    assert!((app(&harness).state.bench().scenario.pedal.stab_s - 0.12).abs() < 1e-9);
    assert!(shows(&harness, "is not accepted; give 20 ms to 2000 ms"));
}

#[test]
fn space_and_arrows_move_time() {
    let mut harness = window();
    assert!(app(&harness).state.time.playing);
    harness.key_press(Key::Space);
    harness.run_steps(2);
    assert!(!app(&harness).state.time.playing);
    app_mut(&mut harness).state.seek(0.5);
    harness.key_press(Key::ArrowRight);
    harness.run_steps(2);
    assert!((app(&harness).state.time.cursor_s - 0.502).abs() < 1e-9);
    harness.key_press_modifiers(Modifiers::SHIFT, Key::ArrowLeft);
    harness.run_steps(2);
    assert!((app(&harness).state.time.cursor_s - 0.482).abs() < 1e-9);
    harness.key_press(Key::CloseBracket);
    harness.run_steps(2);
    let at = app(&harness).state.time.cursor_s;
    assert!(app(&harness).state.events().iter().any(|event| event.0 == at), "{at} is no event");
    harness.key_press(Key::Home);
    harness.run_steps(2);
    assert_eq!(app(&harness).state.time.cursor_s, 0.0);
}

#[test]
fn a_family_is_chosen_and_a_slider_moved_by_keys_alone() {
    let mut harness = window();
    harness.key_press(Key::Space);
    tab_to(&mut harness, "Family of bench 1: Bare link");
    harness.key_press(Key::Enter);
    harness.run_steps(3);
    tab_to(&mut harness, FAMILIES[2].name);
    harness.key_press(Key::Enter);
    settle(&mut harness);
    assert_eq!(app(&harness).state.benches[0].scenario.entry().id, FAMILIES[2].id);
    let before = app(&harness).state.benches[0].scenario.pedal.stab_s;
    tab_to(&mut harness, "Stab takes");
    let cursor = app(&harness).state.time.cursor_s;
    harness.key_press(Key::ArrowRight);
    settle(&mut harness);
    let state = &app(&harness).state;
    assert!(state.benches[0].scenario.pedal.stab_s > before);
    assert_eq!(state.time.cursor_s, cursor, "the slider's arrow moves time as well");
}

#[test]
fn every_menu_bench_and_trace_is_reached_by_tab() {
    let mut harness = window();
    for label in ["File", "Examples", "View", "Add a bench", "Hide settings", "Edit bench 2", "Find a setting", "Pause"]
    {
        tab_to(&mut harness, label);
    }
    let mut seen = [false; 2];
    for _ in 0..200 {
        harness.key_press(Key::Tab);
        harness.run_steps(1);
        for (seen, part) in seen.iter_mut().zip(["Section of bench 2", "λ in the cylinders, square"]) {
            *seen |= harness.query_all_by_label_contains(part).any(|node| node.is_focused());
        }
    }
    assert_eq!(seen, [true; 2]);
}

#[test]
fn a_broken_file_is_explained_and_nothing_else_is_lost() {
    let mut harness = window();
    let path = std::env::temp_dir().join(format!("second_breath_broken_{}.toml", std::process::id()));
    let text = "format_version = 1\ntitle = \"Wagon\"\n\n[family]\nkind = \"bare_link\"\n\n[pedal]\nstab = \"99 s\"\n";
    std::fs::write(&path, text).expect("a file to read");
    let before: Vec<_> = app(&harness).state.benches.iter().map(|bench| bench.scenario.title.clone()).collect();
    harness.get_by_label("File").click();
    harness.run_steps(3);
    harness.get_by_label("Open by path …").click();
    harness.run_steps(3);
    harness.get_by_label("Path of the file").click();
    harness.run_steps(2);
    harness.get_by_label("Path of the file").type_text(&path.to_string_lossy());
    harness.run_steps(2);
    harness.get_by_label("Do it").click();
    settle(&mut harness);
    let removed = std::fs::remove_file(&path);
    assert!(shows(&harness, ".toml:8: pedal.stab: 99 s is outside its range; give 0.02 s to 2 s"));
    let after: Vec<_> = app(&harness).state.benches.iter().map(|bench| bench.scenario.title.clone()).collect();
    assert_eq!(before, after);
    assert!(app(&harness).state.benches.iter().all(|bench| bench.outcome.is_some()));
    harness.get_by_label("Dismiss the message").click();
    harness.run_steps(3);
    assert!(!shows(&harness, "outside its range"));
    removed.expect("the file is gone");
}

#[test]
fn the_time_axis_keeps_its_share_of_the_window() {
    let mut harness = window();
    let height = |harness: &Harness<'_, Window>| {
        let axis = harness.get_by_label("Events of bench 1, Bare link").rect().top();
        harness.ctx.content_rect().height() - axis
    };
    let low = height(&harness);
    harness.set_size(eframe::egui::vec2(1920.0, 1080.0));
    harness.run_steps(4);
    let high = height(&harness);
    assert!(high > low * 1080.0 / 800.0, "{low} at 800, {high} at 1080");
}

#[test]
fn units_can_be_switched() {
    let mut harness = window();
    app_mut(&mut harness).state.filter = "throttle bore".to_owned();
    harness.run_steps(30);
    let value = |harness: &Harness<'_, Window>| {
        let mut fields = harness.query_all_by_role_and_label(Role::SpinButton, "Throttle bore, value");
        fields.next().and_then(|field| field.value()).expect("a field")
    };
    let metric = value(&harness);
    harness.get_by_label("Units: SI").click();
    harness.run_steps(3);
    assert_ne!(value(&harness), metric);
    assert!(shows(&harness, "Units: workshop"));
}

#[test]
fn benches_come_and_go() {
    let mut harness = window();
    harness.get_by_label("Add a bench").click();
    settle(&mut harness);
    harness.get_by_label("Copy bench 1").click();
    settle(&mut harness);
    assert_eq!(app(&harness).state.benches.len(), 4);
    assert!(harness.query_by_label("Copy bench 1").is_none(), "there is no room for a fifth");
    harness.get_by_label("Remove bench 2").click();
    settle(&mut harness);
    assert_eq!(app(&harness).state.benches.len(), 3);
}

#[test]
fn every_drawing_and_trace_can_be_read_out() {
    let harness = window();
    assert!(shows(&harness, "Section of bench 1 (circle), Bare link, at"));
    assert!(shows(&harness, "λ in the cylinders, square"));
    assert_eq!(harness.unnamed_widgets(), Vec::<String>::new());
}

#[test]
fn reduced_motion_starts_still() {
    let preferences = Preferences { reduced_motion: true, ..Preferences::default() };
    let mut harness = window_with(preferences, [1280.0, 800.0]);
    let before = app(&harness).state.time.cursor_s;
    harness.run_steps(10);
    assert_eq!(app(&harness).state.time.cursor_s, before);
}

/// Missing glyphs and unnamed widgets stop the harness by themselves.
#[test]
fn every_family_is_drawn_in_both_looks_and_all_sizes() {
    let cases =
        [(Look::Paper, 1.0, [1280.0, 800.0]), (Look::Slate, 2.0, [1280.0, 800.0]), (Look::Slate, 0.8, [640.0, 480.0])];
    for (look, text_size, size) in cases {
        let labels = LabelDetail::All;
        let preferences = Preferences { look, text_size, labels, reduced_motion: true, ..Preferences::default() };
        let mut harness = window_with(preferences, size);
        for entry in FAMILIES {
            app_mut(&mut harness).state.choose_family(0, entry);
            settle(&mut harness);
            for time in [0.0, 0.3, 0.5, 2.5] {
                app_mut(&mut harness).state.seek(time);
                harness.run_steps(2);
            }
            assert!(app(&harness).state.benches[0].error.is_none());
            harness.check_accessibility();
        }
    }
}

#[test]
fn every_setting_of_every_group_is_named() {
    let mut harness = window();
    // searching opens every group that has a match
    app_mut(&mut harness).state.filter = "e".to_owned();
    harness.run_steps(30);
    harness.check_accessibility();
}

#[derive(Debug)]
struct Dropped(std::path::PathBuf);

impl eframe::egui::DroppedFile for Dropped {
    fn path(&self) -> &std::path::Path {
        &self.0
    }

    fn bytes(&self) -> Result<Vec<u8>, String> {
        std::fs::read(&self.0).map_err(|error| error.to_string())
    }
}

fn drop_files(harness: &mut Harness<'_, Window>, names: &[&str]) {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("content/scenarios");
    for name in names {
        harness.input_mut().dropped_files.push(std::sync::Arc::new(Dropped(folder.join(name))));
    }
    settle(harness);
}

fn families(harness: &Harness<'_, Window>) -> Vec<&'static str> {
    app(harness).state.benches.iter().map(|bench| bench.scenario.entry().id).collect()
}

#[test]
fn a_dropped_file_goes_onto_the_selected_bench_and_several_onto_their_own() {
    let mut harness = window();
    app_mut(&mut harness).state.selected = 1;
    drop_files(&mut harness, &["05_spring_door.toml"]);
    assert_eq!(families(&harness), ["bare_link", "spring_door"]);
    drop_files(&mut harness, &["03_vacuum_diaphragm.toml", "08_weighted_valve.toml", "02_twin_pump.toml"]);
    assert_eq!(families(&harness), ["vacuum_diaphragm", "weighted_valve", "twin_pump"]);
}

#[test]
fn a_file_with_many_faults_leaves_the_drawings_their_room() {
    let mut harness = window();
    drop_files(&mut harness, &["../../Cargo.toml"]);
    assert_eq!(families(&harness), ["bare_link", "twin_pump"]);
    assert!(shows(&harness, "does not say its version"));
    let drawing = harness.get_by_label_contains("Section of bench 1").rect();
    assert!(drawing.height() > 150.0, "{drawing:?}");
}

/// The map of bench 1 with few values, whole.
fn small_map() -> Harness<'static, Window> {
    let mut harness = window();
    harness.get_by_label("Map").click();
    harness.run_steps(3);
    harness.get_by_label("8 values a side").click();
    harness.run_steps(3);
    map_settles(&mut harness);
    harness
}

fn map_settles(harness: &mut Harness<'_, Window>) {
    assert!(app(harness).wait_for_map(LIMIT), "the map does not come to an end");
    harness.run_steps(3);
}

/// The two settings that a bare link's map begins with.
fn jet_and_stab(harness: &Harness<'_, Window>) -> (f64, f64) {
    let scenario = &app(harness).state.benches[0].scenario;
    (scenario.secondary.main_jet_m, scenario.pedal.stab_s)
}

fn map_value(harness: &Harness<'_, Window>) -> String {
    harness.get_by_label_contains("Map of bench 1 (circle): ").value().expect("a reading")
}

#[test]
fn the_map_is_reached_by_name_and_a_click_on_it_sets_both_settings_in_one_step() {
    let mut harness = small_map();
    assert_eq!(app(&harness).map_progress(), Some((64, 64, false)));
    assert!(map_value(&harness).starts_with("The bench stands at Main jet 1.71 mm, Stab takes 120 ms"));
    let before = jet_and_stab(&harness);
    harness.get_by_label_contains("Map of bench 1 (circle): ").click();
    settle(&mut harness);
    let after = jet_and_stab(&harness);
    assert!(after.0 != before.0 && after.1 != before.1, "{before:?} {after:?}");
    assert!(shows(&harness, "Undo takes both back."));
    assert!(!shows(&harness, "Out of date"), "going there leaves the map what it is");
    let said = map_value(&harness);
    let outcome = app(&harness).state.benches[0].outcome.as_ref().expect("a run");
    assert!(said.contains(outcome.findings.verdict.phrase()), "{said} against {:?}", outcome.findings.verdict);
    harness.get_by_label("Undo").click();
    settle(&mut harness);
    assert_eq!(jet_and_stab(&harness), before);
    harness.check_accessibility();
}

#[test]
fn the_map_is_walked_and_entered_by_keys_alone() {
    let mut harness = small_map();
    tab_to_part(&mut harness, "Map of bench 1 (circle): ");
    let start = map_value(&harness);
    harness.key_press(Key::ArrowRight);
    harness.key_press(Key::ArrowUp);
    harness.run_steps(2);
    let there = map_value(&harness);
    assert!(there.starts_with("At Main jet ") && there != start, "{start}, then {there}");
    let before = jet_and_stab(&harness);
    harness.key_press(Key::Enter);
    settle(&mut harness);
    let after = jet_and_stab(&harness);
    assert!(after.0 > before.0 && after.1 > before.1, "{before:?} {after:?}");
    let stab = format!("Stab takes {}", second_breath::units::Quantity::ShortTime.show(after.1, UnitSystem::Si));
    assert!(there.contains(&stab), "{there}: {stab}");
}

#[test]
fn a_map_can_be_cancelled_and_computed_again() {
    let mut harness = window();
    harness.get_by_label("Map").click();
    harness.run_steps(2);
    harness.get_by_label("64 values a side").click();
    harness.run_steps(3);
    harness.get_by_label("Cancel the map").click();
    harness.run_steps(2);
    map_settles(&mut harness);
    let (run, all, cancelled) = app(&harness).map_progress().expect("a map");
    assert!(cancelled && run < all, "{run} of {all}");
    assert!(shows(&harness, "Cancelled after"));
    harness.get_by_label("Compute the map again").click();
    harness.run_steps(3);
    assert!(!app(&harness).map_progress().expect("a map").2);
    harness.get_by_label("Cancel the map").click();
    map_settles(&mut harness);
}

#[test]
fn a_map_of_changed_settings_says_that_it_is_out_of_date() {
    let mut harness = small_map();
    let place = app(&harness).state.bench().scenario.place("load", "mass").expect("a place");
    app_mut(&mut harness).state.set(place, 1200.0, UnitSystem::Si);
    settle(&mut harness);
    assert!(shows(&harness, "Out of date"));
    harness.get_by_label("Compute the map again").click();
    harness.run_steps(3);
    map_settles(&mut harness);
    assert!(!shows(&harness, "Out of date"));
}

#[test]
fn an_axis_is_found_by_its_name_with_keys_alone_and_a_refused_range_is_explained() {
    let mut harness = small_map();
    tab_to(&mut harness, "Across: Secondary barrels: Main jet");
    harness.key_press(Key::Enter);
    harness.run_steps(3);
    tab_to(&mut harness, "Find a setting for the map");
    harness.get_by_label("Find a setting for the map").type_text("car with");
    harness.run_steps(3);
    let name = "Load: Car with load";
    tab_to(&mut harness, name);
    harness.key_press(Key::Enter);
    harness.run_steps(3);
    map_settles(&mut harness);
    assert!(shows(&harness, &format!("Across: {name}")));
    harness.get_by_role_and_label(Role::SpinButton, "Across, from").set_value_accesskit(1e9);
    harness.run_steps(3);
    assert!(shows(&harness, "is not accepted; give "));
    assert_eq!(app(&harness).map_progress(), Some((64, 64, false)), "the map before stays");
}

#[test]
fn the_map_is_written_by_path() {
    let mut harness = small_map();
    for (choice, ending, part) in
        [("All findings by path …", "csv", "pedal.stab (ms)"), ("Picture by path …", "svg", "<svg ")]
    {
        let path = std::env::temp_dir().join(format!("second_breath_map_{}.{ending}", std::process::id()));
        harness.get_by_label("Export the map").click();
        harness.run_steps(3);
        harness.get_by_label(choice).click();
        harness.run_steps(3);
        harness.get_by_label("Path of the file").click();
        harness.run_steps(2);
        harness.get_by_label("Path of the file").type_text(&path.to_string_lossy());
        harness.run_steps(2);
        harness.get_by_label("Do it").click();
        harness.run_steps(3);
        let text = std::fs::read_to_string(&path).expect("a file");
        std::fs::remove_file(&path).expect("the file is gone");
        assert!(text.contains(part), "{choice}");
        assert!(shows(&harness, "The map was written to"));
    }
}

#[test]
fn the_map_is_named_in_both_looks_and_all_sizes() {
    let cases =
        [(Look::Paper, 1.0, [1280.0, 800.0]), (Look::Slate, 2.0, [1280.0, 800.0]), (Look::Paper, 0.8, [640.0, 480.0])];
    for (look, text_size, size) in cases {
        for units in [UnitSystem::Si, UnitSystem::Workshop] {
            let preferences = Preferences { look, text_size, units, reduced_motion: true, ..Preferences::default() };
            let mut harness = window_with(preferences, size);
            harness.get_by_label("Map").click();
            harness.run_steps(5);
            let map = harness.get_by_label_contains("Map of bench 1 (circle): ").rect();
            assert!(map.width() > 0.4 * size[0] && map.height() > 0.3 * size[1], "{map:?}");
            assert_eq!(harness.unnamed_widgets(), Vec::<String>::new());
            harness.check_accessibility();
        }
    }
}

/// Draw until this is shown.
fn wait_for(harness: &mut Harness<'_, Window>, part: &str) {
    let begun = std::time::Instant::now();
    while !shows(harness, part) {
        assert!(begun.elapsed() < LIMIT, "{part} is never shown");
        harness.run_steps(1);
    }
    harness.run_steps(2);
}

/// A window with a spring door that is far too loose on its first bench, on the screen for the best setting.
fn window_with_a_loose_spring(preferences: Preferences, size: [f32; 2]) -> Harness<'static, Window> {
    let mut harness = window_with(preferences, size);
    let mut scenario = second_breath::bench::scenario::Scenario::fresh(
        second_breath::families::entry("spring_door").expect("a listed family"),
    );
    let wind_up = scenario.place("family", "wind_up").expect("a setting");
    scenario.set(wind_up, 0.5).expect("inside its range");
    app_mut(&mut harness).state.load(scenario, None);
    settle(&mut harness);
    harness.get_by_label("Best setting").click();
    harness.run_steps(3);
    harness
}

fn wind_up(harness: &Harness<'_, Window>) -> f64 {
    let scenario = &app(harness).state.benches[0].scenario;
    scenario.place("family", "wind_up").and_then(|place| scenario.value(place)).expect("a spring")
}

#[test]
fn the_best_setting_is_found_put_on_the_bench_and_taken_back() {
    let mut harness = window_with_a_loose_spring(Preferences::default(), [1280.0, 800.0]);
    assert!(shows(&harness, "As it stands it bogs"));
    harness.get_by_label("Find the best setting").click();
    wait_for(&mut harness, "Found for bench 1");
    assert!(shows(&harness, "Spring wind-up from 28.6° to"));
    assert!(shows(&harness, "Time lost to a wrong mixture: "), "the chart is read out");
    assert_eq!(wind_up(&harness), 0.5, "nothing is changed unasked");
    harness.get_by_label("Put it on the bench").click();
    settle(&mut harness);
    assert!(wind_up(&harness) > 4.0 && shows(&harness, "It is on the bench."));
    harness.get_by_label("Undo").click();
    settle(&mut harness);
    assert_eq!(wind_up(&harness), 0.5);
    harness.get_by_label("Compare with the start").click();
    settle(&mut harness);
    assert_eq!(families(&harness), ["spring_door", "twin_pump", "spring_door"]);
    assert!(app(&harness).state.benches[2].scenario.title.ends_with("best setting"));
    assert!(shows(&harness, "Section of bench 3"), "the benches are shown");
}

#[test]
fn a_search_needs_something_free_and_can_be_stopped_and_begun_by_keys_alone() {
    let mut harness = window_with_a_loose_spring(Preferences::default(), [1280.0, 800.0]);
    harness.get_by_label("Spring wind-up").click();
    harness.run_steps(3);
    assert!(shows(&harness, "Free at least one setting"));
    tab_to(&mut harness, "Accelerator pump: Full shot");
    harness.key_press(Key::Space);
    harness.run_steps(3);
    tab_to(&mut harness, "Find the best setting");
    harness.key_press(Key::Enter);
    harness.run_steps(2);
    // a quick machine may be done by now
    if harness.query_by_label("Stop here").is_some() {
        tab_to_if_there(&mut harness, "Stop here");
        harness.key_press(Key::Enter);
    }
    wait_for(&mut harness, "Found for bench 1");
}

/// As `tab_to`, for what may be gone before it is reached.
fn tab_to_if_there(harness: &mut Harness<'_, Window>, label: &str) {
    for _ in 0..60 {
        if harness.query_all_by_label(label).any(|node| node.is_focused()) {
            return;
        }
        harness.key_press(Key::Tab);
        harness.run_steps(1);
    }
}

/// Missing glyphs and unnamed widgets stop the harness by themselves.
#[test]
fn a_found_setting_and_how_sure_it_is_are_shown_in_both_looks_and_all_sizes() {
    let cases = [
        (Look::Paper, 1.0, [1280.0, 800.0], UnitSystem::Si),
        (Look::Slate, 2.0, [1280.0, 800.0], UnitSystem::Workshop),
        (Look::Paper, 0.8, [640.0, 480.0], UnitSystem::Workshop),
    ];
    for (look, text_size, size, units) in cases {
        let preferences = Preferences { look, text_size, units, reduced_motion: true, ..Preferences::default() };
        let mut harness = window_with_a_loose_spring(preferences, size);
        harness.get_by_label("Find the best setting").click();
        wait_for(&mut harness, "Found for bench 1");
        assert_eq!(harness.unnamed_widgets(), Vec::<String>::new());
        harness.check_accessibility();
        harness.get_by_label("Benches").click();
        harness.run_steps(3);
        harness.get_by_label("How sure is this?").click();
        wait_for(&mut harness, "Lean limit (λ)");
        assert_eq!(harness.unnamed_widgets(), Vec::<String>::new());
        harness.check_accessibility();
        harness.key_press(Key::Escape);
        harness.run_steps(3);
        assert!(!shows(&harness, "Lean limit (λ)"));
    }
}
