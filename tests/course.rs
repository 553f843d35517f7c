//! The course: it is taught in full, every live block runs, every claim holds, it can be read, and what is wrong with a
//! lesson is told with its line and a remedy.

use rayon::prelude::*;
use second_breath::content::course_check::check;
use second_breath::content::course_file::{self, COURSE_FILE, SourceFile};
use second_breath::content::lesson_file::LARGEST_BYTES;
use second_breath::content::problem::Problem;
use second_breath::content::{course_folder, library};
use second_breath::learning::course::{Course, PartBench, Piece};
use second_breath::learning::explain::{NOT_IN_RUN, told};
use second_breath::learning::live::Live;
use second_breath::learning::outcomes::OUTCOMES;
use second_breath::learning::prediction::{Prediction, Sketch};
use second_breath::learning::reading::counts;
use second_breath::learning::seen::see;
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::sync::LazyLock;

static COURSE: LazyLock<Course> = LazyLock::new(|| {
    let (course, problems) = course_folder::course(None);
    assert!(problems.is_empty(), "{}", lines(&problems));
    course
});

fn lines(problems: &[Problem]) -> String {
    problems.iter().map(|problem| format!("{problem}\n")).collect()
}

fn file(name: &str, text: impl Into<String>) -> SourceFile {
    SourceFile { name: name.to_owned(), text: text.into() }
}

const ORDER: &str = "format_version = 1\ntitle = \"A course\"\nlessons = [\"01_first\"]\n";
const FRONT: &str = "+++\ntitle = \"A lesson\"\nminutes = 10\noutcomes = [1]\nsources = [\"common practice, no source\"]\n+++\nWhat?\n\n";
const FRONT_LINES: usize = 8;
const HOME: &str = "\n## Take home\n\nOne thing.\n";
const BLOCK: &str = r#"```experiment
id = "one"
scenario = "01_bare_link"
claims = ["1.lost_s > 0"]
explain = "It lost {1.lost_s}."
[predict]
ask = "Which?"
options = [{ text = "This", why = "So.", right = true }, { text = "That", why = "Not so." }]
```
"#;

fn lesson(block: &str) -> String {
    format!("{FRONT}{block}{HOME}")
}

fn course_of(lesson: &str) -> (Course, Vec<Problem>) {
    course_file::read(&[file(COURSE_FILE, ORDER), file("01_first.md", lesson)])
}

/// The only live block of a sound lesson.
fn live_of(block: &str) -> Live {
    let (course, problems) = course_of(&lesson(block));
    assert!(problems.is_empty(), "{}", lines(&problems));
    course.lessons[0].live().next().expect("a live block").clone()
}

#[test]
fn every_outcome_is_taught() {
    let taught: BTreeSet<usize> = COURSE.lessons.iter().flat_map(|lesson| lesson.outcomes.clone()).collect();
    let missing: Vec<_> = OUTCOMES.iter().filter(|outcome| !taught.contains(&outcome.number)).collect();
    assert!(missing.is_empty(), "{missing:?}");
    assert_eq!(OUTCOMES.iter().map(|outcome| outcome.number).collect::<Vec<_>>(), (1..=24).collect::<Vec<_>>());
}

#[test]
fn every_live_block_runs_and_every_claim_holds() {
    let reports = check(&COURSE);
    let problems: Vec<Problem> = reports.iter().flat_map(|report| report.problems.clone()).collect();
    assert!(problems.is_empty(), "{}", lines(&problems));
    for report in &reports {
        assert!(report.blocks >= 1 && report.claims >= 3 * report.blocks, "{}: too few claims", report.stem);
        for (id, told) in &report.told {
            let numbers = told.chars().any(|c| c.is_ascii_digit());
            assert!(numbers && !told.contains(NOT_IN_RUN), "{}, {id}: {told}", report.stem);
        }
    }
}

#[test]
fn whatever_a_learner_may_turn_runs_at_both_ends_and_every_block_can_be_turned_or_drawn() {
    let ends = COURSE.lessons.par_iter().flat_map(|lesson| lesson.live().collect::<Vec<_>>());
    ends.for_each(|live| {
        let drawn = matches!(live.prediction, Prediction::Sketch(_));
        assert!(drawn || !live.free.is_empty() || live.benches.len() > 1, "{}: nothing to do", live.id);
        for (place, free) in live.free.iter().enumerate() {
            for end in [free.least, free.most] {
                let mut values = vec![None; live.free.len()];
                values[place] = Some(end);
                let benches = live.turned(&values).unwrap_or_else(|why| panic!("{}: {why}", live.id));
                let seen = see(&benches, false).unwrap_or_else(|why| panic!("{} {}: {why}", live.id, free.key));
                assert_eq!(seen.len(), benches.len());
            }
        }
    });
}

#[test]
fn every_lesson_reads_at_grade_eight_or_below_and_fills_its_time() {
    assert!(COURSE.lessons.len() >= 16);
    for lesson in &COURSE.lessons {
        let counts = counts(lesson);
        assert!(counts.grade() <= 8.0, "{}: grade {:.1}", lesson.stem, counts.grade());
        assert!(counts.words > 300, "{}: {} words", lesson.stem, counts.words);
        assert!((10..=15).contains(&lesson.minutes), "{}: {} minutes", lesson.stem, lesson.minutes);
    }
}

#[test]
fn every_wrong_answer_is_explained_and_the_right_one_is_what_the_run_shows() {
    for lesson in &COURSE.lessons {
        for live in lesson.live() {
            let Prediction::Choice { options, .. } = &live.prediction else { continue };
            let place = format!("{}, {}", lesson.stem, live.id);
            assert!(options.iter().all(|option| option.claim.is_some()), "{place}: an answer that no run can judge");
            assert!(!live.look.is_empty(), "{place}: nothing to look at");
        }
    }
}

#[test]
fn every_lesson_has_its_cautions_where_the_step_is() {
    let has_caution = |piece: &Piece| matches!(piece, Piece::Caution(_));
    let without = COURSE.lessons.iter().filter(|lesson| !lesson.pieces.iter().any(has_caution));
    let without: Vec<_> = without.map(|lesson| lesson.stem.as_str()).collect();
    // nothing is touched there: the first is a drawing, the others are runs
    assert_eq!(without, ["01_signal", "05_main_circuit", "08_the_hole"]);
}

#[test]
fn lessons_about_a_part_lead_to_its_bench() {
    let leading: Vec<_> =
        COURSE.lessons.iter().filter_map(|lesson| Some((lesson.stem.as_str(), lesson.bench?))).collect();
    let expected = [
        ("03_idle", PartBench::IdleCircuit),
        ("04_transfer_slot", PartBench::IdleCircuit),
        ("07_accelerator_pump", PartBench::AcceleratorPump),
        ("18_heat_soak", PartBench::HeatSoak),
        ("21_used_carburettor", PartBench::UsedCarburettor),
    ];
    assert_eq!(leading, expected);
}

#[test]
fn every_shipped_family_is_somewhere_on_a_bench() {
    let text: String = course_folder::embedded().into_iter().map(|file| file.text).collect();
    for shipped in library::shipped().into_iter().take(8) {
        assert!(text.contains(&format!("\"{}\"", shipped.stem)), "{}", shipped.stem);
    }
}

#[test]
fn a_sound_lesson_has_no_problems_and_holds() {
    let (course, problems) = course_of(&lesson(BLOCK));
    assert!(problems.is_empty(), "{}", lines(&problems));
    let report = &check(&course)[0];
    assert_eq!((report.blocks, report.claims, report.problems.len()), (1, 1, 0));
    assert!(report.told[0].1.starts_with("It lost 1"), "{:?}", report.told);
}

#[test]
fn a_claim_that_does_not_hold_is_told_with_its_line_and_what_the_run_says() {
    let (course, _) = course_of(&lesson(&BLOCK.replace("1.lost_s > 0", "1.verdict == clean")));
    let problems = check(&course).remove(0).problems;
    assert_eq!(problems.len(), 1);
    assert_eq!((problems[0].file.as_str(), problems[0].line), ("01_first.md", FRONT_LINES + 4));
    assert!(problems[0].message.contains("bogs against pulls cleanly"), "{}", problems[0]);
}

#[test]
fn an_answer_called_right_that_the_run_denies_is_told() {
    let block = BLOCK.replace("right = true", "right = true, claim = \"1.rich_s > 1\"");
    let (course, problems) = course_of(&lesson(&block));
    assert!(problems.is_empty(), "{}", lines(&problems));
    assert!(check(&course)[0].problems[0].message.contains("does not hold"));
    let block = BLOCK.replace("why = \"Not so.\"", "why = \"Not so.\", claim = \"1.lost_s > 0\"");
    let problems = check(&course_of(&lesson(&block)).0).remove(0).problems;
    assert!(problems[0].message.contains("its answer is called wrong"), "{}", problems[0]);
}

/// What to replace in the sound block, by what, and line in the block, message and remedy of a problem.
const BAD_BLOCKS: &[(&str, &str, usize, &str, &str)] = &[
    ("id = \"one\"", "idd = \"one\"", 2, "no such key", "did you mean id?"),
    ("id = \"one\"", "", 1, "missing", "write id ="),
    ("\"01_bare_link\"", "\"01_bare_lnk\"", 3, "no scenario", "did you mean 01_bare_link?"),
    ("\"01_bare_link\"", "1", 3, "this is text", "in quotes"),
    ("1.lost_s > 0", "1.lostt_s > 0", 4, "no figure", "did you mean lost_s?"),
    ("1.lost_s > 0", "2.lost_s > 0", 4, "no bench 2", "benches 1 to 1"),
    ("1.lost_s > 0", "1.lost_s", 4, "can be checked", "a claim reads"),
    ("1.lost_s > 0", "1 < 2", 4, "no figure of a run", "a claim reads"),
    ("1.lost_s > 0", "1.lost_s between 1 or 2", 4, "no and", "a claim reads"),
    ("1.lost_s > 0", "1.lost_s > 3 apples", 4, "does not belong", "a claim reads"),
    ("1.lost_s > 0", "1.lamda.max > 0", 4, "no figure", "did you mean lambda.max?"),
    ("1.lost_s > 0", "1.lamda rises", 4, "no channel", "did you mean lambda?"),
    ("claims = [\"1.lost_s > 0\"]", "", 1, "nothing is claimed", "say what the run shows"),
    ("{1.lost_s}", "{1.lost_s", 5, "not closed", "close it"),
    ("{1.lost_s}", "{1.lost_s in mm}", 5, "not a unit", "ms"),
    ("{1.lost_s}", "{3.lost_s}", 5, "no bench 3", "benches 1 to 1"),
    ("claims =", "look = [\"lambada\"]\nclaims =", 4, "neither a channel", "did you mean lambda?"),
    ("claims =", "set.pump.shoot = \"1 cm³\"\nclaims =", 4, "no bench has a setting", "did you mean pump.shot?"),
    ("claims =", "set.pump.shot = \"1 km\"\nclaims =", 4, "not a unit", "cm³"),
    ("claims =", "set.pump.shot = \"99 cm³\"\nclaims =", 4, "outside its range", "give 0 cm³ to 8 cm³"),
    ("claims =", "set.4.pump.shot = \"1 cm³\"\nclaims =", 4, "no bench 4", "benches 1 to 1"),
    (
        "claims =",
        "free = [\"pump.shooot\", \"pump.shooter\"]\nclaims =",
        4,
        "no bench has a setting",
        "did you mean pump.shot?",
    ),
    ("claims =", "free = [\"pump.shot\"]\nclaims =", 4, "too few", "leave 2 to 4"),
    ("claims =", "free = [{ key = \"pump.shot\", form = 1 }]\nclaims =", 4, "no such key", "did you mean from?"),
    ("claims =", "names = [\"a\", \"b\"]\nclaims =", 4, "2 names for 1", "one name for each"),
    (
        "claims =",
        "against = [\"01_bare_link\", \"01_bare_link\", \"01_bare_link\", \"01_bare_link\"]\nclaims =",
        4,
        "too many",
        "at most three",
    ),
    ("[predict]", "[predicct]", 6, "no such key", "did you mean predict?"),
    ("right = true", "right = false", 8, "0 options are right", "exactly one"),
    ("right = true", "right = \"yes\"", 8, "yes or no", "right = true"),
    ("why = \"So.\", ", "", 8, "missing", "write why"),
    ("options = [", "optoins = [", 8, "no such key", "did you mean options?"),
    ("options = ", "sketch = \"1.lambada\"\n# ", 8, "no channel", "did you mean lambda?"),
    ("options = ", "sketch = \"1.lambda\"\n# ", 8, "no height", "least and most"),
    ("ask = \"Which?\"", "ask = ", 7, "not TOML", "a line reads"),
    ("```experiment", "```experimnt", 1, "no block", "did you mean experiment?"),
    ("```experiment", "```soak", 3, "no such key", "known"),
];

#[test]
fn each_mistake_in_a_block_is_told_with_file_line_and_remedy() {
    for (good, bad, line, message, mend) in BAD_BLOCKS {
        assert!(BLOCK.contains(good), "{good}");
        let (_, problems) = course_of(&lesson(&BLOCK.replacen(good, bad, 1)));
        let told = problems.iter().any(|problem| {
            (problem.file.as_str(), problem.line) == ("01_first.md", FRONT_LINES + line)
                && problem.message.contains(message)
                && problem.mend.contains(mend)
        });
        assert!(told, "{bad}: expected line {}\n{}", FRONT_LINES + line, lines(&problems));
    }
}

/// Whole lessons with line, message and remedy of a problem.
fn bad_lessons() -> Vec<(String, usize, &'static str, &'static str)> {
    let sound = lesson(BLOCK);
    vec![
        ("What?".to_owned(), 1, "no front matter", "begin with a line +++"),
        (sound.replacen("title =", "titel =", 1), 2, "no such key", "did you mean title?"),
        (sound.replacen("minutes = 10", "minutes = \"10\"", 1), 3, "not accepted", "whole number"),
        (
            sound.replacen("minutes = 10", "bench = \"idle_circiut\"\nminutes = 10", 1),
            3,
            "there is no bench",
            "idle_circuit",
        ),
        (sound.replacen("minutes = 10\n", "", 1), 1, "missing", "minutes = 12"),
        (sound.replacen("[1]", "[25]", 1), 4, "not outcomes", "1 to 24"),
        (sound.replacen("[\"common practice, no source\"]", "[]", 1), 1, "no source", "common practice"),
        (format!("{FRONT}{HOME}"), 1, "no live block", "```experiment"),
        (format!("{FRONT}{BLOCK}"), FRONT_LINES + 9, "take home", "## Take home"),
        (sound.replacen("What?", "So.", 1), 1, "asks nothing", "begin with a question"),
        (lesson(&format!("{BLOCK}{BLOCK}")), FRONT_LINES + 10, "used twice", "name of its own"),
        (lesson(BLOCK.trim_end_matches("```\n")), FRONT_LINES + 1, "not closed", "close it"),
        (lesson(&format!("{BLOCK}See [that](lesson:02_second).\n")), FRONT_LINES + 10, "not there", "known: 01_first"),
        (
            lesson(&format!("{BLOCK}See [that](scenario:01_bear_link).\n")),
            FRONT_LINES + 10,
            "not there",
            "01_bare_link?",
        ),
        (lesson(&format!("{BLOCK}See [that](http:x).\n")), FRONT_LINES + 10, "leads neither", "lesson:NAME"),
        (lesson(&format!("{BLOCK}```caution\n```\n")), FRONT_LINES + 10, "empty or too long", "320 characters"),
    ]
}

#[test]
fn each_mistake_in_a_lesson_is_told_with_file_line_and_remedy() {
    for (text, line, message, mend) in bad_lessons() {
        let (_, problems) = course_of(&text);
        let told = problems.iter().any(|problem| {
            (problem.file.as_str(), problem.line) == ("01_first.md", line)
                && problem.message.contains(message)
                && problem.mend.contains(mend)
        });
        assert!(told, "expected {line}: {message}; {mend}\n{text}\n{}", lines(&problems));
    }
}

#[test]
fn all_problems_of_all_files_are_told_at_once() {
    let order = "format_version = 2\nlesons = []\nlessons = [\n\"01_first\",\n\"01_first\",\n\"02_frist\"]\n";
    let block = BLOCK.replace("1.lost_s > 0", "1.x > 0").replace("Which?", "");
    let (_, problems) = course_file::read(&[file(COURSE_FILE, order), file("01_first.md", lesson(&block))]);
    let told: Vec<_> = problems.iter().map(|problem| (problem.file.as_str(), problem.line)).collect();
    let first = "01_first.md";
    let expected = [
        (COURSE_FILE, 1),
        (COURSE_FILE, 2),
        (COURSE_FILE, 5),
        (COURSE_FILE, 6),
        (first, FRONT_LINES + 4),
        (first, FRONT_LINES + 7),
    ];
    assert_eq!(told, expected, "{}", lines(&problems));
    assert!(course_file::parse(&[]).is_err());
}

#[test]
fn a_lesson_may_bring_a_scenario_of_its_own_and_its_problems_are_told_of_that_file() {
    let block = BLOCK.replace("01_bare_link", "car.toml");
    let with = |car: &str| {
        course_file::read(&[file(COURSE_FILE, ORDER), file("01_first.md", lesson(&block)), file("car.toml", car)])
    };
    let (course, problems) = with("format_version = 1\ntitle = \"Ours\"\n[family]\nkind = \"twin_pump\"\n");
    assert!(problems.is_empty(), "{}", lines(&problems));
    assert_eq!(course.lessons[0].live().next().unwrap().benches[0].name, "Ours");
    let (_, problems) = with("format_version = 1\n[family]\nkind = \"twin_pmup\"\n");
    assert!(problems.iter().any(|problem| problem.file == "car.toml" && problem.line == 3), "{}", lines(&problems));
}

#[test]
fn a_users_folder_replaces_by_name_and_adds_in_its_place() {
    let order = |lessons: &str| format!("format_version = 1\ntitle = \"Theirs\"\nlessons = [{lessons}]\n");
    let named = |title: &str| lesson(BLOCK).replacen("A lesson", title, 1);
    let theirs =
        [file(COURSE_FILE, order("\"01_a\", \"02_b\"")), file("01_a.md", named("a")), file("02_b.md", named("b"))];
    let own = [
        file(COURSE_FILE, "format_version = 1\nlessons = [\"00_zero\", \"01_a\", \"015_between\"]\n"),
        file("00_zero.md", named("zero")),
        file("015_between.md", named("between")),
        file("02_b.md", named("our b")),
        file("99_unlisted.md", named("unlisted")),
    ];
    let (course, problems) = course_file::read_merged(course_file::merged(&theirs, &own));
    assert!(problems.is_empty(), "{}", lines(&problems));
    let titles: Vec<_> = course.lessons.iter().map(|lesson| lesson.title.as_str()).collect();
    assert_eq!(titles, ["zero", "a", "between", "our b", "unlisted"]);
    assert_eq!(course.title, "Theirs");
    let (alone, _) = course_file::read_merged(course_file::merged(&theirs, &[]));
    assert_eq!(alone.lessons.len(), 2);
}

#[test]
fn problems_of_a_users_order_keep_their_lines() {
    let own = [file(COURSE_FILE, "format_version = 1\n\nlessons = [\n\"07_accelerator_pump\",\n\"gone\"]\n")];
    let (course, problems) = course_file::read_merged(course_file::merged(&course_folder::embedded(), &own));
    assert_eq!((problems.len(), problems[0].line), (1, 5), "{}", lines(&problems));
    assert_eq!(course.lessons.len(), COURSE.lessons.len());
}

fn scratch(name: &str) -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("course").join(name);
    let _ = std::fs::remove_dir_all(&folder);
    std::fs::create_dir_all(&folder).unwrap();
    folder
}

#[test]
fn files_that_are_too_large_or_not_text_are_refused_and_the_course_is_still_there() {
    let folder = scratch("hostile");
    std::fs::write(folder.join("01_big.md"), vec![b'a'; LARGEST_BYTES + 1]).unwrap();
    std::fs::write(folder.join("02_not_text.md"), b"+++\n\xff\xfe").unwrap();
    std::fs::create_dir(folder.join("03_folder.md")).unwrap();
    std::fs::write(folder.join("notes.txt"), "left alone").unwrap();
    std::fs::write(folder.join("04_marked.md"), format!("\u{feff}{}", lesson(BLOCK).replace('\n', "\r\n"))).unwrap();
    let problems = course_folder::read(&folder).unwrap_err().0;
    let told: Vec<_> = problems.iter().map(|problem| (problem.file.as_str(), problem.line)).collect();
    assert_eq!(told, [("01_big.md", 1), ("02_not_text.md", 2)]);
    let (course, problems) = course_folder::course(Some(&folder));
    assert_eq!((course.lessons.len(), problems.len()), (COURSE.lessons.len(), 2));
    assert!(course_folder::read(&folder.join("gone")).is_err());
    for bad in ["01_big.md", "02_not_text.md"] {
        std::fs::remove_file(folder.join(bad)).unwrap();
    }
    let (course, problems) = course_folder::course(Some(&folder));
    assert!(problems.is_empty(), "a byte order mark and other line ends are no mistake: {}", lines(&problems));
    assert_eq!(course.lessons.len(), COURSE.lessons.len() + 1);
}

#[test]
fn hostile_lessons_are_refused_and_nothing_panics() {
    let fences = "```".repeat(20_000);
    let texts = [
        "[".repeat(200_000),
        "*".repeat(200_000),
        "+++\n".repeat(50_000),
        format!("{FRONT}{}", "[a](".repeat(50_000)),
        format!("{FRONT}{}", "```experiment\n".repeat(10_000)),
        format!("{FRONT}{}", "```experiment\n```\n".repeat(10_000)),
        format!("{FRONT}{}", fences),
        format!("{FRONT}{}", "λ*".repeat(60_000)),
        lesson(&BLOCK.replace("1.lost_s > 0", &"1.lost_s + ".repeat(10_000))),
        lesson(&BLOCK.replace("{1.lost_s}", &"{".repeat(100_000))),
        lesson(&BLOCK.replace("id =", &format!("{} = 1\nid =", vec!["a"; 20_000].join(".")))),
        lesson(&BLOCK.replace("id =", &format!("x = {}\nid =", "[".repeat(100_000)))),
        lesson(&BLOCK.replace("id =", &format!("set{} = 1\nid =", ".pump".repeat(2_000)))),
        "+++\n\u{1b}[2J = 1\n+++\n".to_owned(),
        "#".repeat(LARGEST_BYTES + 1),
    ];
    for text in texts {
        let (_, problems) = course_of(&text);
        assert!(!problems.is_empty(), "{}", text.chars().take(80).collect::<String>());
        for problem in &problems {
            assert!(!problem.to_string().contains('\u{1b}') && problem.message.chars().count() < 400, "{problem}");
        }
    }
}

#[test]
fn what_the_learner_turns_is_run_and_told() {
    let live = live_of(
        &BLOCK.replace("claims =", "free = [{ key = \"pump.shot\", from = \"0 cm³\" }, \"load.start\"]\nclaims ="),
    );
    assert_eq!((live.free.len(), live.free[0].least, live.free[0].most), (2, 0.0, 8e-6));
    let before = see(&live.benches, live.needs_steady()).unwrap();
    let turned = live.turned(&[Some(3e-6)]).unwrap();
    let after = see(&turned, live.needs_steady()).unwrap();
    assert_ne!(told(&live.explain, &before), told(&live.explain, &after));
    assert!(live.turned(&[Some(1.0)]).unwrap_err().contains("give 0 cm³ to 8 cm³"));
    assert_eq!(told(&live.explain, &see(&live.turned(&[None]).unwrap(), false).unwrap()), told(&live.explain, &before));
}

fn sketch_of(live: &Live) -> &Sketch {
    match &live.prediction {
        Prediction::Sketch(sketch) => sketch,
        Prediction::Choice { .. } => panic!("a sketch"),
    }
}

#[test]
fn a_sketch_is_scored_by_its_distance_from_the_run_against_the_best_level_line() {
    let options = BLOCK.lines().find(|line| line.starts_with("options")).unwrap();
    let sketch = "sketch = \"1.lambda\"\nfrom = \"0 s\"\nto = \"1 s\"\nleast = 0.5\nmost = 2";
    let live = live_of(&BLOCK.replace(options, sketch));
    let sketch = sketch_of(&live);
    let seen = see(&live.benches, false).unwrap();
    let run: Vec<_> = (0..=500).map(|i| f64::from(i) * 0.002).map(|t| (t, sketch.column.at(&seen[0], t))).collect();
    let mean = run.iter().map(|point| point.1).sum::<f64>() / run.len() as f64;
    // the run itself is drawn with 2 ms between points
    assert!(sketch.score(&run, &seen).unwrap().score > 0.999);
    assert!(sketch.score(&[(0.0, mean), (1.0, mean)], &seen).unwrap().score < 0.01);
    let half: Vec<_> = run.iter().map(|(time, value)| (*time, 0.5 * (value + mean))).collect();
    assert!((sketch.score(&half, &seen).unwrap().score - 0.5).abs() < 0.01, "half way there is half the score");
    assert_eq!(sketch.score(&[(0.0, 50.0), (1.0, 50.0)], &seen).unwrap().score, 0.0);
    assert!(sketch.score(&[(0.0, 1.0)], &seen).is_none());
    assert!(sketch.score(&[(0.0, 1.0), (f64::NAN, 1.0)], &seen).is_none());
}

#[test]
fn claims_say_what_they_say() {
    let with = |claims: &str| {
        let live = live_of(
            &BLOCK
                .replace("\"1.lost_s > 0\"", claims)
                .replace("claims =", "against = [\"03_vacuum_diaphragm\"]\nclaims ="),
        );
        let seen = see(&live.benches, live.needs_steady()).unwrap();
        live.claims.iter().map(|claim| claim.check(&seen).holds).collect::<Vec<_>>()
    };
    let hold = r#"
        "1.verdict == bogs", "1.verdict > hesitates", "1.verdict != clean", "2.stalls never", "1.secondary_fuel happens",
        "1.lost_s between 100 ms and 0.3 s", "1.lost_s - 2.lost_s > 50 ms", "1.lost_s / 2.lost_s > 2",
        "2.lost_s < 0.5 * 1.lost_s", "1.distance_m rises", "1.lambda.max > 1.lambda@0", "1.pump_kg_per_s.total > 0.5 g",
        "1.pump.shot == 1.6 cm³", "1.rated_m3_per_s > 400 cfm", "2.chamber_depression.max > 100",
        "1.secondary_air_s + 1.air_to_fuel_s between 0.999 * 1.secondary_fuel_s and 1.001 * 1.secondary_fuel_s"
    "#;
    assert!(with(hold).iter().all(|holds| *holds), "{:?}", with(hold));
    let fail = r#"
        "1.verdict == dies", "1.stalls happens", "1.lost_s < 100 ms", "1.distance_m falls", "1.lambda rises",
        "2.secondary_fuel_s > 0", "2.secondary_fuel_s < 1000", "1.lost_s between 0 and 10 ms"
    "#;
    assert!(with(fail).iter().all(|holds| !*holds), "{:?}", with(fail));
}
