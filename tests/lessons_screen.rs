//! The lessons as a learner meets them: by name, by key, and on the wall.
#![cfg(feature = "window")]

mod support;

use eframe::egui::{Key, accesskit::Role};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use second_breath::app::preferences::{Look, Preferences};
use second_breath::app::screen::Screen;
use std::path::{Path, PathBuf};
use support::window::{Window, app, click, settle, shows, tab_to_part as tab_to, window_with};

/// The lessons, still: nothing plays by itself.
fn lessons_with(preferences: Preferences, size: [f32; 2]) -> Harness<'static, Window> {
    let mut harness = window_with(preferences, size);
    harness.get_by_label("Lessons").click();
    settle(&mut harness);
    assert_eq!(app(&harness).state.screen, Screen::Lessons);
    harness
}

fn lessons() -> Harness<'static, Window> {
    lessons_with(Preferences::default(), [1280.0, 800.0])
}

/// What is shown that contains a part.
fn text(harness: &Harness<'_, Window>, part: &str) -> String {
    let mut found = harness.query_all_by_label_contains(part);
    found
        .next()
        .and_then(|node| node.value().or(node.accesskit_node().label()))
        .unwrap_or_else(|| panic!("{part} is not shown"))
}

/// Choose an answer of the first block and stand by it.
fn predict(harness: &mut Harness<'_, Window>, answer: &str) {
    click(harness, answer);
    click(harness, "Stand by this prediction");
}

#[test]
fn a_lesson_is_reached_by_name() {
    let mut harness = lessons();
    harness.get_by_label_contains("Lesson 3: Two screws at idle").click();
    settle(&mut harness);
    assert_eq!(app(&harness).lessons.stem(), "03_idle");
    assert!(shows(&harness, "Who feeds it?"));
    assert!(shows(&harness, "Carbon monoxide"));
    assert!(shows(&harness, "Caution"), "a caution is told by its colour alone");
    assert!(shows(&harness, "recalled"), "sources are not shown");
}

#[test]
fn a_run_cannot_be_seen_or_played_before_it_is_predicted() {
    let mut harness = lessons();
    assert!(!shows(&harness, "Play"));
    assert!(!shows(&harness, "Section of 1500 rpm"));
    assert!(!shows(&harness, "The air went from"));
    click(&mut harness, "Stand by this prediction");
    assert!(!shows(&harness, "Play"), "nothing was chosen, yet it plays");
    predict(&mut harness, "It doubles too");
    assert!(shows(&harness, "Play"));
    assert!(shows(&harness, "Section of 1500 rpm"));
    assert!(!shows(&harness, "The air went from"), "it is explained before it is looked at");
}

#[test]
fn a_wrong_prediction_is_met_with_the_numbers_of_the_run() {
    let mut harness = lessons();
    predict(&mut harness, "It doubles too");
    click(&mut harness, "Explain it");
    assert!(shows(&harness, "Your prediction does not fit."));
    assert!(shows(&harness, "The signal itself goes with the square of the speed"));
    assert!(shows(&harness, "What fits: It grows about four times"));
    let told = text(&harness, "The air went from");
    assert!(told.contains("g/s") && !told.contains('{') && !told.contains("not in this run"), "{told}");
}

#[test]
fn a_freed_slider_changes_the_numbers_and_the_way_back_brings_them_again() {
    let mut harness = lessons();
    predict(&mut harness, "It grows about four times");
    click(&mut harness, "Explain it");
    assert!(shows(&harness, "Your prediction fits."));
    let first = text(&harness, "The air went from");
    let slider = harness.get_by_role_and_label(Role::Slider, "Engine speed before (3000 rpm)");
    slider.set_value_accesskit(4000.0);
    settle(&mut harness);
    let turned = text(&harness, "The air went from");
    assert_ne!(first, turned);
    assert!(shows(&harness, "The run as you set it"));
    click(&mut harness, "Back to the start");
    assert_eq!(text(&harness, "The air went from"), first);
}

#[test]
fn a_value_is_typed_and_taken_with_enter_and_the_field_keeps_the_keyboard() {
    let mut harness = lessons();
    predict(&mut harness, "It grows about four times");
    click(&mut harness, "Explain it");
    let first = text(&harness, "The air went from");
    let field = "Engine speed before (3000 rpm), value";
    harness.get_by_label(field).focus();
    settle(&mut harness);
    harness.event(eframe::egui::Event::Text("4000".to_owned()));
    settle(&mut harness);
    harness.key_press(Key::Enter);
    settle(&mut harness);
    assert_ne!(text(&harness, "The air went from"), first, "the typed value is taken");
    assert!(harness.get_by_label(field).is_focused(), "the next Tab goes on from the field");
    click(&mut harness, "Back to the start");
    harness.get_by_role_and_label(Role::Slider, "Engine speed before (3000 rpm)").focus();
    settle(&mut harness);
    press(&mut harness, Key::ArrowRight);
    assert!(shows(&harness, "The run as you set it"));
    let slider = harness.get_by_role_and_label(Role::Slider, "Engine speed before (3000 rpm)");
    assert!(slider.is_focused(), "a turn does not take the keyboard away");
}

#[test]
fn a_played_run_passes_and_stops_at_its_end() {
    let mut harness = lessons();
    predict(&mut harness, "It doubles too");
    click(&mut harness, "Speed 1/1");
    let at = |harness: &Harness<'_, Window>| text(harness, "the pedal moves");
    let before = at(&harness);
    harness.get_by_label("Play").click();
    harness.run_steps(10);
    assert_ne!(at(&harness), before, "time does not pass");
    assert!(shows(&harness, "Pause"));
    harness.run_steps(400);
    assert!(shows(&harness, "Play"), "it does not stop at the end");
    click(&mut harness, "To the start");
    assert_eq!(at(&harness), before);
}

/// What is read out of the thing that has the keyboard.
fn spoken(harness: &Harness<'_, Window>) -> String {
    let mut focused = harness.query_all_by_label_contains("").filter(|node| node.is_focused());
    focused.next().and_then(|node| node.accesskit_node().label().or(node.value())).unwrap_or_default()
}

fn press(harness: &mut Harness<'_, Window>, key: Key) {
    harness.key_press(key);
    settle(harness);
}

#[test]
fn a_whole_lesson_goes_by_keyboard_alone() {
    let mut harness = window_with(Preferences::default(), [1280.0, 800.0]);
    tab_to(&mut harness, "Lessons");
    press(&mut harness, Key::Enter);
    for answer in ["It grows about four times", "Same air, more signal"] {
        tab_to(&mut harness, answer);
        press(&mut harness, Key::Space);
        tab_to(&mut harness, "Stand by this prediction");
        press(&mut harness, Key::Enter);
        tab_to(&mut harness, "Trace at");
        let at = spoken(&harness);
        press(&mut harness, Key::CloseBracket);
        press(&mut harness, Key::ArrowRight);
        assert_ne!(spoken(&harness), at, "the keys do not move time");
        tab_to(&mut harness, "Explain it");
        press(&mut harness, Key::Enter);
        assert_eq!(spoken(&harness), "Your prediction fits.");
    }
    assert_eq!(app(&harness).preferences.lessons_done, ["01_signal"]);
    tab_to(&mut harness, "leads to a lesson");
    let link = harness.query_all_by_label_contains("leads to a lesson").next().expect("a link").rect();
    assert!(link.top() > 0.0 && link.bottom() < 800.0, "what has the keyboard is out of sight: {link:?}");
    press(&mut harness, Key::Enter);
    assert_eq!(app(&harness).lessons.stem(), "02_bowl_level");
}

#[test]
fn a_curve_is_drawn_by_keys_and_held_against_the_run() {
    let mut harness = lessons();
    harness.get_by_label_contains("Lesson 8").click();
    settle(&mut harness);
    tab_to(&mut harness, "Sheet to draw");
    for _ in 0..3 {
        press(&mut harness, Key::ArrowUp);
    }
    for _ in 0..6 {
        press(&mut harness, Key::ArrowRight);
    }
    press(&mut harness, Key::ArrowDown);
    tab_to(&mut harness, "Stand by this prediction");
    press(&mut harness, Key::Enter);
    assert!(shows(&harness, "it lies over the run"));
    click(&mut harness, "Explain it");
    assert!(shows(&harness, "Your curve"));
    assert!(shows(&harness, "the run's is"));
    assert!(shows(&harness, "λ rose to"));
}

#[test]
fn a_place_that_is_chosen_by_key_keeps_the_keyboard() {
    // the open place before it has more buttons, so that another one comes to stand there
    let mut harness = window_with(Preferences::default(), [1280.0, 800.0]);
    tab_to(&mut harness, "Lessons");
    press(&mut harness, Key::Enter);
    assert_eq!(spoken(&harness), "Lessons");
}

#[test]
fn the_keyboard_comes_back_to_where_the_lesson_was_left_for_the_bench() {
    let mut harness = lessons();
    harness.get_by_label_contains("Lesson 3: Two screws at idle").click();
    settle(&mut harness);
    tab_to(&mut harness, "Go on at the bench");
    press(&mut harness, Key::Enter);
    assert_eq!(app(&harness).state.screen, Screen::IdleCircuit);
    tab_to(&mut harness, "Lessons");
    press(&mut harness, Key::Enter);
    assert_eq!(app(&harness).lessons.stem(), "03_idle");
    assert_eq!(spoken(&harness), "Go on at the bench: Idle circuit");
}

#[test]
fn a_lesson_that_has_the_keyboard_in_the_list_is_in_sight() {
    let mut harness = lessons();
    tab_to(&mut harness, "Lesson 20");
    harness.run_steps(30);
    let row = harness.query_all_by_label_contains("Lesson 20").next().expect("a lesson").rect();
    assert!(row.top() > 0.0 && row.bottom() < 800.0, "what has the keyboard is out of sight: {row:?}");
}

#[test]
fn what_is_learned_is_not_told_before_it_is_found_out() {
    let mut harness = lessons();
    assert!(!shows(&harness, "What you can say now"), "an answer is given away");
    for answer in ["It grows about four times", "Same air, more signal"] {
        predict(&mut harness, answer);
        click(&mut harness, "Explain it");
    }
    assert!(shows(&harness, "What you can say now"));
}

#[test]
fn a_soak_is_drawn_with_the_names_of_its_benches() {
    let mut harness = lessons();
    harness.get_by_label_contains("Lesson 18").click_accesskit();
    settle(&mut harness);
    predict(&mut harness, "The moulding, it hardly conducts");
    for name in ["Section of Cast zinc (circle)", "Section of Moulded phenolic (triangle)"] {
        assert!(shows(&harness, name), "{name} is not drawn");
    }
    let at = text(&harness, "Section of Cast zinc");
    click(&mut harness, "To the end");
    assert_ne!(text(&harness, "Section of Cast zinc"), at, "the drawing stands still");
}

#[test]
fn a_path_can_be_typed_as_soon_as_it_is_asked_for() {
    let mut harness = lessons();
    click(&mut harness, "Print a handout …");
    click(&mut harness, "For the class, A4, by path …");
    assert_eq!(spoken(&harness), "Path of the file");
}

#[test]
fn on_the_wall_a_lesson_goes_step_by_step() {
    let mut harness = lessons();
    click(&mut harness, "Projector");
    assert!(!shows(&harness, "Benches") && !shows(&harness, "Lesson 2:"), "more than the lesson is shown");
    assert!(shows(&harness, "Step 1 of"));
    for _ in 0..30 {
        if shows(&harness, "Stand by this prediction") {
            break;
        }
        press(&mut harness, Key::PageDown);
    }
    assert!(shows(&harness, "The air doubles."));
    press(&mut harness, Key::Tab);
    assert_eq!(spoken(&harness), "It doubles too", "the foot of the page comes before the step");
    press(&mut harness, Key::PageDown);
    assert!(shows(&harness, "Stand by this prediction"), "it goes on without a prediction");
    click(&mut harness, "It stays as it is");
    press(&mut harness, Key::PageDown);
    assert!(shows(&harness, "Section of 1500 rpm") && !shows(&harness, "The air went from"));
    press(&mut harness, Key::PageDown);
    assert!(shows(&harness, "The air went from") && shows(&harness, "Your prediction does not fit."));
    press(&mut harness, Key::PageUp);
    assert!(shows(&harness, "Section of 1500 rpm"));
    press(&mut harness, Key::Escape);
    assert!(shows(&harness, "Benches"));
}

/// A folder that is gone when the test is over.
struct Folder(PathBuf);

impl Folder {
    fn new(name: &str) -> Self {
        let path = std::env::temp_dir().join(format!("second_breath_{name}_{}", std::process::id()));
        std::fs::create_dir_all(&path).expect("a folder");
        Self(path)
    }

    fn write(&self, name: &str, text: &str) {
        std::fs::write(self.0.join(name), text).expect("a file");
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        // a folder that stays behind spoils nothing
        let _ = std::fs::remove_dir_all(&self.0);
    }
}

#[test]
fn lessons_of_a_folder_replace_ours_and_are_read_again_when_they_change() {
    let folder = Folder::new("course");
    let own = Path::new(env!("CARGO_MANIFEST_DIR")).join("content/course/01_signal.md");
    let own = std::fs::read_to_string(own).expect("a lesson");
    folder.write("01_signal.md", &own.replace("What lifts the fuel", "Our own first lesson"));
    let course_folder = folder.0.to_string_lossy().into_owned();
    let mut harness = lessons_with(Preferences { course_folder, ..Preferences::default() }, [1280.0, 800.0]);
    assert!(shows(&harness, "Lesson 1: Our own first lesson") && shows(&harness, "Lesson 2:"));
    folder.write("01_signal.md", &own.replace("minutes = 12", "minutes = \"long\""));
    harness.run_steps(90);
    assert!(shows(&harness, "to mend in the course"));
    assert!(shows(&harness, "01_signal.md:3"), "file and line are not named");
    folder.write("01_signal.md", &own.replace("What lifts the fuel", "Mended"));
    harness.run_steps(90);
    assert!(shows(&harness, "Lesson 1: Mended") && !shows(&harness, "01_signal.md:3"));
}

#[test]
fn what_a_block_shows_is_not_given_away_below_it() {
    let mut harness = lessons();
    harness.get_by_label_contains("Lesson 18").click_accesskit();
    settle(&mut harness);
    assert!(!shows(&harness, "Zinc and aluminium behave alike"));
    predict(&mut harness, "Zinc, it is heavy and slow to warm");
    assert!(shows(&harness, "after the engine stopped"));
    click(&mut harness, "Explain it");
    assert!(shows(&harness, "Zinc and aluminium behave alike"));
    assert!(shows(&harness, "The fuel reached"));
}

/// Missing glyphs and unnamed widgets stop the harness by themselves.
#[test]
fn every_lesson_is_laid_out_in_both_looks_and_all_sizes() {
    let cases =
        [(Look::Paper, 1.0, [1920.0, 1080.0]), (Look::Slate, 2.0, [1280.0, 800.0]), (Look::Slate, 0.8, [640.0, 480.0])];
    for (look, text_size, size) in cases {
        let preferences = Preferences { look, text_size, reduced_motion: true, ..Preferences::default() };
        let mut harness = lessons_with(preferences, size);
        let stems = ["01_signal", "03_idle", "08_the_hole"];
        for stem in stems {
            harness.state_mut().as_mut().expect("a window").lessons.go_to(stem);
            settle(&mut harness);
            let answer = harness.query_all_by_role(Role::RadioButton).next();
            if let Some(answer) = answer {
                answer.click();
                settle(&mut harness);
                click(&mut harness, "Stand by this prediction");
            }
            harness.check_accessibility();
            assert_eq!(harness.unnamed_widgets(), Vec::<String>::new());
        }
    }
}

#[test]
fn a_lesson_leads_to_the_bench_of_its_part() {
    for (lesson, button, screen) in [
        ("Lesson 7: ", "Go on at the bench: Accelerator pump", Screen::AcceleratorPump),
        ("Lesson 4: ", "Go on at the bench: Idle circuit", Screen::IdleCircuit),
        ("Lesson 21: ", "Open one on the bench", Screen::UsedCarburettor),
    ] {
        let mut harness = lessons();
        harness.get_by_label_contains(lesson).click_accesskit();
        settle(&mut harness);
        click(&mut harness, button);
        assert_eq!(app(&harness).state.screen, screen);
    }
}

#[test]
fn what_a_lesson_wants_looked_at_is_named_at_the_section() {
    let mut harness = lessons();
    predict(&mut harness, "It doubles too");
    let section = text(&harness, "Section of 1500 rpm");
    assert!(section.contains("look at: ") && section.contains("Primary booster"), "{section}");
    assert!(!section.contains("Transfer slot"), "{section}");
}

#[test]
fn a_handout_and_a_key_are_printed_where_they_are_told_to_be() {
    let folder = std::env::temp_dir().join(format!("second-breath-handout-{}", std::process::id()));
    std::fs::create_dir_all(&folder).expect("a folder");
    let mut harness = lessons();
    for (entry, name) in
        [("For the class, A4, by path …", "class.pdf"), ("Instructor's key, Letter, by path …", "key.pdf")]
    {
        let path = folder.join(name);
        click(&mut harness, "Print a handout …");
        click(&mut harness, entry);
        harness.get_by_label("Path of the file").focus();
        harness.run_steps(2);
        harness.get_by_label("Path of the file").type_text(&path.to_string_lossy());
        harness.run_steps(2);
        click(&mut harness, "Do it");
        // it is made on a thread: frames pass until it is told
        for _ in 0..20_000 {
            if shows(&harness, "Printed to") {
                break;
            }
            harness.run_steps(1);
        }
        assert!(shows(&harness, "Printed to"), "{name} is not told");
        assert!(std::fs::read(&path).expect("a file").starts_with(b"%PDF"));
        click(&mut harness, "Dismiss the message");
    }
    let size = |name: &str| std::fs::metadata(folder.join(name)).expect("a file").len();
    assert_ne!(size("class.pdf"), size("key.pdf"));
    std::fs::remove_dir_all(&folder).expect("the folder goes");
}

#[test]
fn a_handout_that_cannot_be_written_says_why() {
    let mut harness = lessons();
    click(&mut harness, "Print a handout …");
    click(&mut harness, "For the class, Letter, by path …");
    harness.get_by_label("Path of the file").focus();
    harness.run_steps(2);
    harness.get_by_label("Path of the file").type_text("/no/such/folder/class.pdf");
    harness.run_steps(2);
    click(&mut harness, "Do it");
    for _ in 0..20_000 {
        if shows(&harness, "not saved") {
            break;
        }
        harness.run_steps(1);
    }
    assert!(shows(&harness, "not saved"), "the refusal is not shown");
}
