//! The screens of single parts as a reader meets them: by name, by key, and at every size of text.
#![cfg(feature = "window")]

mod support;

use eframe::egui::{Key, Modifiers, accesskit::Role};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable as _;
use second_breath::app::preferences::{Look, Preferences};
use second_breath::app::screen::Screen;
use second_breath::bench::faults::Severity;
use second_breath::heat::materials::Body;
use second_breath::units::{RPM, UnitSystem};
use support::window::{Window, app, app_mut, click, settle, shows, tab_to, tab_to_part, window_with};

/// A part's screen in the usual window.
fn part(name: &str) -> Harness<'static, Window> {
    let mut harness = window_with(Preferences::default(), [1280.0, 800.0]);
    click(&mut harness, "Parts");
    click(&mut harness, name);
    harness
}

/// The heat soak in a window.
fn soak_with(preferences: Preferences, size: [f32; 2]) -> Harness<'static, Window> {
    let mut harness = window_with(preferences, size);
    click(&mut harness, "Parts");
    click(&mut harness, "Heat soak");
    assert_eq!(app(&harness).state.screen, Screen::HeatSoak);
    harness
}

fn soak() -> Harness<'static, Window> {
    soak_with(Preferences::default(), [1280.0, 800.0])
}

/// Hottest fuel of a bench, K.
fn hottest(harness: &Harness<'_, Window>, bench: usize) -> f64 {
    let ran = app(harness).parts.soak.benches[bench].ran.as_ref().expect("a run");
    ran.run.findings.hottest_bowl_k.expect("always")
}

#[test]
fn it_opens_on_a_contrast_that_asks_one_question_and_has_run() {
    let mut harness = soak();
    assert!(shows(&harness, "what does it change to stand between iron and fuel?"));
    assert!(shows(&harness, "invented"), "invented data does not say so");
    assert!(shows(&harness, "Section of bench 1 (circle), Gasket only"));
    assert!(shows(&harness, "Section of bench 2 (square), 25 mm spacer"));
    assert!(shows(&harness, "Hot and hard to start"));
    assert!(shows(&harness, "They differ in Mounting – Spacer: 0 mm against 25.0 mm."));
    assert!(shows(&harness, "hottest fuel −"), "the difference is not told");
    assert!(hottest(&harness, 0) > hottest(&harness, 1));
    let before = app(&harness).parts.soak.time.cursor_s;
    harness.run_steps(5);
    assert!(app(&harness).parts.soak.time.cursor_s > before, "time does not pass");
}

#[test]
fn a_caution_that_holds_for_both_benches_stands_once() {
    for name in ["Idle", "Pump"] {
        let harness = part(name);
        assert_eq!(harness.query_all_by_label_contains("Caution: ").count(), 1, "{name}");
    }
}

#[test]
fn a_caution_for_one_bench_alone_says_which_and_moves_no_drawing() {
    let mut harness = soak();
    harness.key_press(Key::Space);
    let canvas = |harness: &Harness<'_, Window>| {
        let found = harness.query_all_by_label_contains("Section of bench 1").next();
        found.expect("a drawing").rect()
    };
    let (mut told, mut places) = (false, Vec::new());
    for minutes in [0.0, 8.0, 20.0, 70.0] {
        app_mut(&mut harness).parts.soak.time.cursor_s = 60.0 * minutes;
        settle(&mut harness);
        told |= shows(&harness, "Caution (Gasket only): ");
        places.push(canvas(&harness));
    }
    assert!(told, "nothing tells whose caution it is");
    assert!(places.iter().all(|place| *place == places[0]), "the drawing jumps: {places:?}");
}

#[test]
fn findings_stand_beside_each_other_with_what_the_second_changes() {
    let harness = soak();
    let change = hottest(&harness, 1) - hottest(&harness, 0);
    let row = format!("change: −{:.1} K", -change);
    assert!(shows(&harness, &row), "{row} is not shown");
}

#[test]
fn a_setting_is_changed_by_keys_alone_and_the_finding_with_it() {
    // bowls that stand for less time keep more
    let left = |harness: &Harness<'_, Window>| {
        let ran = app(harness).parts.soak.benches[0].ran.as_ref().expect("a run");
        ran.run.findings.bowl_share_left.expect("always")
    };
    let mut harness = soak();
    harness.key_press(Key::Space);
    tab_to(&mut harness, "Standing");
    let (before, cursor) = (left(&harness), app(&harness).parts.soak.time.cursor_s);
    for _ in 0..20 {
        harness.key_press(Key::ArrowLeft);
        harness.run_steps(1);
    }
    settle(&mut harness);
    let soak = &app(&harness).parts.soak;
    assert!(soak.benches[0].settings.times.soak_s < 3600.0);
    assert!(left(&harness) > before, "the finding is the old one");
    assert_eq!(soak.time.cursor_s, cursor, "the slider's arrow moves time as well");
}

#[test]
fn a_change_is_undone_and_made_again_and_the_other_screens_keep_theirs() {
    let mut harness = soak();
    let other = app(&harness).state.history();
    harness.get_by_role_and_label(Role::Slider, "Standing").set_value_accesskit(20.0);
    settle(&mut harness);
    let standing = |harness: &Harness<'_, Window>| app(harness).parts.soak.benches[0].settings.times.soak_s;
    assert!((standing(&harness) - 1200.0).abs() < 1e-6);
    assert!(shows(&harness, "Times · 1 changed"));
    for (modifiers, key, expected) in [
        (Modifiers::COMMAND, Key::Z, 3600.0),
        (Modifiers::COMMAND, Key::Y, 1200.0),
        (Modifiers::COMMAND, Key::Z, 3600.0),
    ] {
        harness.key_press_modifiers(modifiers, key);
        settle(&mut harness);
        assert!((standing(&harness) - expected).abs() < 1e-6, "{key:?}: {}", standing(&harness));
    }
    assert_eq!(app(&harness).state.history(), other);
}

#[test]
fn keys_step_from_event_to_event_and_by_a_quarter_of_a_minute() {
    let mut harness = soak();
    harness.key_press(Key::Space);
    harness.key_press(Key::Home);
    harness.run_steps(2);
    let cursor = |harness: &Harness<'_, Window>| app(harness).parts.soak.time.cursor_s;
    assert_eq!(cursor(&harness), 0.0);
    harness.key_press(Key::CloseBracket);
    harness.run_steps(2);
    let at = cursor(&harness);
    let is_event = |flag: &second_breath::app::track::Flag| flag.time_s == at;
    assert!(at > 0.0 && app(&harness).parts.soak.tracks().iter().any(|track| track.flags.iter().any(is_event)));
    harness.key_press(Key::ArrowRight);
    harness.run_steps(2);
    assert!((cursor(&harness) - at - 15.0).abs() < 1e-9);
    harness.key_press(Key::End);
    harness.run_steps(2);
    assert_eq!(cursor(&harness), 4500.0);
}

#[test]
fn the_restart_is_on_the_axis_and_cautions_stand_at_their_step() {
    let mut harness = soak();
    assert!(shows(&harness, "Caution: iron, exhaust and coolant burn skin"));
    click(&mut harness, "Events");
    assert!(shows(&harness, "60:00 min   Gasket only: Engine starts again"));
    harness.key_press(Key::Escape);
    app_mut(&mut harness).parts.soak.time.seek(3500.0, 4500.0);
    app_mut(&mut harness).parts.soak.time.playing = false;
    harness.run_steps(2);
    assert!(shows(&harness, "If you smell it, do not crank"));
    app_mut(&mut harness).parts.soak.time.seek(4400.0, 4500.0);
    harness.run_steps(2);
    assert!(shows(&harness, "belts and fan turn"));
}

#[test]
fn presets_set_settings_only_and_add_up() {
    let mut harness = soak();
    click(&mut harness, "Presets of bench 1: Gasket only");
    click(&mut harness, "Aluminium bowls");
    let bench = |harness: &Harness<'_, Window>| {
        let bench = &app(harness).parts.soak.benches[0];
        (bench.title.clone(), bench.settings)
    };
    let (title, settings) = bench(&harness);
    assert_eq!((title.as_str(), settings.casting.body), ("Aluminium bowls", Body::Aluminium));
    click(&mut harness, "Presets of bench 1: Aluminium bowls");
    click(&mut harness, "Vents of 4 mm");
    let (title, settings) = bench(&harness);
    assert_eq!((settings.casting.body, settings.casting.vent_m), (Body::Aluminium, 4e-3), "{title}");
    harness.get_by_label("Undo").click();
    settle(&mut harness);
    assert_eq!(bench(&harness).1.casting.vent_m, 8e-3);
}

#[test]
fn two_metals_are_asked_what_the_metal_alone_changes() {
    let mut harness = soak();
    click(&mut harness, "Presets of bench 2: 25 mm spacer");
    click(&mut harness, "All settings as they come");
    click(&mut harness, "Presets of bench 2: As it comes");
    click(&mut harness, "Aluminium bowls");
    assert!(shows(&harness, "what does the material alone change?"));
    let change = (hottest(&harness, 1) - hottest(&harness, 0)).abs();
    assert!(change < 1.0, "{change}");
}

#[test]
fn a_refused_value_changes_nothing_and_says_so_beside_the_field() {
    let mut harness = soak();
    let label = "Standing, value";
    harness.get_by_label(label).click();
    harness.run_steps(2);
    harness.get_by_label(label).type_text("1 furlong");
    harness.key_press(Key::Enter);
    settle(&mut harness);
    assert!(shows(&harness, "furlong"), "the refusal is not shown");
    assert_eq!(app(&harness).parts.soak.benches[0].settings.times.soak_s, 3600.0);
}

#[test]
fn one_bench_may_be_taken_away_and_comes_back() {
    let mut harness = soak();
    click(&mut harness, "Remove bench 2");
    assert_eq!(app(&harness).parts.soak.benches.len(), 1);
    assert!(!shows(&harness, "hottest fuel −"), "one bench is compared with nothing");
    harness.get_by_label("Undo").click();
    settle(&mut harness);
    let benches = &app(&harness).parts.soak.benches;
    assert!(benches.len() == 2 && benches[1].ran.is_some(), "{} benches", benches.len());
}

#[test]
fn every_look_size_and_unit_is_shown() {
    for (look, text_size, size, units) in [
        (Look::Paper, 2.0, [1280.0, 800.0], UnitSystem::Workshop),
        (Look::Slate, 2.0, [640.0, 480.0], UnitSystem::Si),
        (Look::Paper, 1.0, [1920.0, 1080.0], UnitSystem::Si),
    ] {
        let preferences = Preferences { look, text_size, units, ..Preferences::default() };
        let mut harness = soak_with(preferences, size);
        harness.run_steps(10);
        assert!(shows(&harness, "Section of bench 2"), "{size:?} at {text_size}");
    }
}

#[test]
fn reduced_motion_stands_still_until_it_is_played() {
    let mut harness = soak_with(Preferences { reduced_motion: true, ..Preferences::default() }, [1280.0, 800.0]);
    let before = app(&harness).parts.soak.time.cursor_s;
    harness.run_steps(30);
    assert_eq!(app(&harness).parts.soak.time.cursor_s, before);
}

#[test]
fn a_soak_is_saved_opened_and_refused_by_the_file_menu_of_its_screen() {
    let folder = std::env::temp_dir().join(format!("second-breath-soak-{}", std::process::id()));
    std::fs::create_dir_all(&folder).expect("a folder");
    let path = folder.join("lunch.toml");
    let by_path = |harness: &mut Harness<'_, Window>, entry: &str, path: &std::path::Path| {
        // the menu stays open for those who do not click with a pointer
        if !shows(harness, entry) {
            click(harness, "File");
        }
        click(harness, entry);
        harness.get_by_label("Path of the file").focus();
        harness.run_steps(2);
        harness.get_by_label("Path of the file").type_text(&path.to_string_lossy());
        harness.run_steps(2);
        click(harness, "Do it");
    };
    let mut harness = soak();
    harness.get_by_role_and_label(Role::Slider, "Standing").set_value_accesskit(20.0);
    settle(&mut harness);
    by_path(&mut harness, "Save by path …", &path);
    assert!(shows(&harness, "Saved to"));
    let text = std::fs::read_to_string(&path).expect("a file");
    assert!(text.contains("Gasket only") && text.contains("Kestrel Yard"), "{text}");
    click(&mut harness, "Presets of bench 1: Gasket only");
    click(&mut harness, "All settings as they come");
    let standing = |harness: &Harness<'_, Window>| app(harness).parts.soak.benches[0].settings.times.soak_s;
    assert_eq!(standing(&harness), 3600.0);
    let scenario = app(&harness).state.bench().scenario.title.clone();
    by_path(&mut harness, "Open by path …", &path);
    assert!((standing(&harness) - 1200.0).abs() < 1e-6);
    assert_eq!(app(&harness).state.bench().scenario.title, scenario, "a bench that is not shown was changed");
    by_path(&mut harness, "Open by path …", &folder.join("none.toml"));
    assert!(shows(&harness, "none.toml"), "the refusal is not shown");
    assert!((standing(&harness) - 1200.0).abs() < 1e-6);
    std::fs::remove_dir_all(&folder).expect("the folder goes");
}

#[test]
fn a_soak_that_comes_along_is_put_on_the_selected_bench() {
    let mut harness = soak();
    let shipped = second_breath::content::library::shipped_soaks()[1].soak().expect("a soak");
    click(&mut harness, "Examples");
    click(&mut harness, &shipped.title);
    let bench = &app(&harness).parts.soak.benches[0];
    assert_eq!((&bench.title, &bench.note, bench.settings), (&shipped.title, &shipped.note, shipped.soak));
}

#[test]
fn the_pump_runs_its_shot_and_says_what_the_second_stab_finds() {
    let mut harness = part("Pump");
    assert!(shows(&harness, "why does the second stab of one find less?"));
    assert!(shows(&harness, "Pump of bench 1 (circle), Wide inlet check"));
    assert!(shows(&harness, "The second stab found only"));
    assert!(shows(&harness, "Second shot over the first"));
    let before = app(&harness).parts.pump.time.cursor_s;
    harness.run_steps(5);
    assert!(app(&harness).parts.pump.time.cursor_s > before, "time does not pass");
    let share = |harness: &Harness<'_, Window>, bench: usize| {
        let ran = app(harness).parts.pump.benches[bench].ran.as_ref().expect("a run");
        ran.run.findings.second_share.expect("a second stab")
    };
    assert!(share(&harness, 1) < share(&harness, 0));
}

#[test]
fn the_pump_is_changed_and_stepped_through_by_keys_alone() {
    let mut harness = part("Pump");
    harness.key_press(Key::Space);
    harness.key_press(Key::Home);
    harness.key_press(Key::CloseBracket);
    harness.run_steps(2);
    let at = app(&harness).parts.pump.time.cursor_s;
    assert!(at > 0.0, "no event is stepped to");
    harness.key_press(Key::ArrowRight);
    harness.run_steps(2);
    assert!((app(&harness).parts.pump.time.cursor_s - at - 0.002).abs() < 1e-9);
    tab_to(&mut harness, "Full shot");
    let shot = |harness: &Harness<'_, Window>| {
        let ran = app(harness).parts.pump.benches[0].ran.as_ref().expect("a run");
        ran.run.findings.volume_m3.expect("a shot")
    };
    let before = shot(&harness);
    for _ in 0..10 {
        harness.key_press(Key::ArrowRight);
        harness.run_steps(1);
    }
    settle(&mut harness);
    assert!(shot(&harness) > before, "the finding is the old one");
}

#[test]
fn the_idle_bench_draws_its_charts_and_says_what_to_turn() {
    let mut harness = part("Idle");
    assert!(shows(&harness, "what did it do to the mixture, and which screw puts that right?"));
    assert!(shows(&harness, "Idle circuit of bench 1 (circle), As it comes"));
    assert!(shows(&harness, "Idle speed against stop screw; circle: "));
    assert!(shows(&harness, "λ against mixture screw: bore left open; circle: "));
    assert!(shows(&harness, "It idles at"));
    click(&mut harness, "Presets of bench 1: As it comes");
    click(&mut harness, "Mixture screw shut");
    assert!(shows(&harness, "It will not idle: the mixture is too lean. Turn the mixture screw out."));
    assert!(shows(&harness, "held by hand, for it will not idle"));
    assert!(shows(&harness, "Idle speed against mixture screw: bore left open; circle: none at 0 mm"));
}

#[test]
fn the_idle_charts_mark_where_each_bench_stands() {
    let harness = part("Idle");
    let first = &app(&harness).parts.idle.benches[0];
    let idling = second_breath::bench::idling::idling(&first.settings).expect("idles");
    // the curve is read between its points, a fortieth of the axis apart: a few rpm beside the idle itself
    let speeds: Vec<String> = (-4..=4)
        .map(|by| format!("circle: {:.0} rpm at 3", RPM.from_si(idling.speed_rad_per_s) + f64::from(by)))
        .collect();
    assert!(speeds.iter().any(|speed| shows(&harness, speed)), "{speeds:?}");
    assert!(shows(&harness, "square: none at 4.5"), "no idle is told as one");
}

#[test]
fn where_nothing_is_kept_in_files_a_key_of_files_says_so() {
    let mut harness = part("Idle");
    harness.key_press_modifiers(Modifiers::COMMAND, Key::S);
    settle(&mut harness);
    assert!(shows(&harness, "is not kept in files"));
}

#[test]
fn a_used_carburettor_is_opened_judged_and_told_by_keys_alone() {
    let mut harness = part("Used carburettor");
    assert!(shows(&harness, "What is wrong inside, and would you feel it?"));
    let fault = app(&harness).parts.used.planted()[0].clone();
    assert!(!shows(&harness, &fault.name), "it is told before it is looked for");
    assert!(!shows(&harness, "Leanest λ"), "it has run before it was asked to");
    let walk: Vec<_> =
        app(&harness).parts.used.walk().into_iter().map(|opened| (opened.part, opened.title.clone())).collect();
    let place = walk.iter().position(|(part, _)| *part == fault.part).expect("it can be opened");
    tab_to_part(&mut harness, &format!("Open {}: {}", place + 1, walk[place].1));
    harness.key_press(Key::Enter);
    settle(&mut harness);
    assert!(shows(&harness, &format!("You see: {}", fault.eye)));
    tab_to(&mut harness, "I believe that it is faulty");
    harness.key_press(Key::Space);
    settle(&mut harness);
    assert_eq!(app(&harness).parts.used.marked(), [fault.part]);
    tab_to(&mut harness, "Run it");
    harness.key_press(Key::Enter);
    settle(&mut harness);
    assert!(shows(&harness, "Sound (circle)") && shows(&harness, "This one (square)") && shows(&harness, "λ at idle"));
    assert!(!shows(&harness, &fault.name), "running it tells the fault");
    tab_to(&mut harness, "Tell me");
    harness.key_press(Key::Enter);
    settle(&mut harness);
    assert!(shows(&harness, &fault.name) && shows(&harness, "You found it.") && shows(&harness, "Alone: "));
}

#[test]
fn a_sound_part_shows_what_is_sound_and_marking_it_is_told_as_wrong() {
    let mut harness = part("Used carburettor");
    let faulty: Vec<_> = app(&harness).parts.used.planted().iter().map(|fault| fault.part).collect();
    let opened = app(&harness).parts.used.walk().into_iter().find(|opened| !faulty.contains(&opened.part)).cloned();
    let opened = opened.expect("three faults leave a sound part");
    harness.get_by_label_contains(&opened.title).click_accesskit();
    settle(&mut harness);
    assert!(shows(&harness, &format!("You see: {}", opened.sound)));
    click(&mut harness, "I believe that it is faulty");
    click(&mut harness, "Tell me");
    assert!(shows(&harness, &format!("{}: sound, though you marked it", opened.title)));
    assert!(shows(&harness, "you found 0."));
}

#[test]
fn another_one_is_closed_again_and_has_other_faults_sooner_or_later() {
    let mut harness = part("Used carburettor");
    let planted = |harness: &Harness<'_, Window>| -> Vec<String> {
        app(harness).parts.used.planted().iter().map(|fault| fault.id.clone()).collect()
    };
    let first = planted(&harness);
    let mut unsafe_ones = 0;
    let mut others = 0;
    click(&mut harness, "Tell me");
    for _ in 0..12 {
        click(&mut harness, "Another one");
        assert!(!shows(&harness, "you found"), "the one before is told again");
        let now = app(&harness).parts.used.planted();
        assert!((1..=3).contains(&now.len()), "{} faults", now.len());
        unsafe_ones += usize::from(now.iter().any(|fault| fault.severity == Severity::Unsafe));
        others += usize::from(planted(&harness) != first);
    }
    assert!(others > 6 && unsafe_ones > 0, "{others} {unsafe_ones}");
}

#[test]
fn the_parts_are_shown_at_twice_the_text_in_a_small_window() {
    for (look, text_size, size) in [(Look::Paper, 2.0, [1280.0, 800.0]), (Look::Slate, 2.0, [640.0, 480.0])] {
        let preferences = Preferences { look, text_size, units: UnitSystem::Workshop, ..Preferences::default() };
        let mut harness = window_with(preferences, size);
        click(&mut harness, "Parts");
        for (name, shown) in [
            ("Idle", "Idle circuit of bench 2"),
            ("Pump", "Pump of bench 2"),
            ("Used carburettor", "Section of the carburettor"),
        ] {
            click(&mut harness, name);
            harness.run_steps(5);
            assert!(shows(&harness, shown), "{name} at {size:?}");
        }
    }
}
