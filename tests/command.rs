//! The built program, called as a reader calls it: exit status, messages and files.

use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

const GOOD: &str =
    "format_version = 1\ntitle = \"Short run\"\n[family]\nkind = \"spring_door\"\n[pedal]\nlength = \"0.5 s\"\n";
const BAD: &str = "format_version = 1\n[family]\nkind = \"spring_door\"\n[pedal]\nlenght = \"0.5 s\"\nstab = \"9 s\"\n";

fn call(folder: &Path, arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_second-breath")).args(arguments).current_dir(folder).output().unwrap()
}

fn status(output: &Output) -> i32 {
    output.status.code().expect("the program ends by itself")
}

fn out(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).unwrap()
}

fn err(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).unwrap()
}

/// An empty folder with a good and a bad scenario in it.
fn folder(name: &str) -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("command").join(name);
    let _ = std::fs::remove_dir_all(&folder);
    std::fs::create_dir_all(&folder).unwrap();
    std::fs::write(folder.join("good.toml"), GOOD).unwrap();
    std::fs::write(folder.join("other.toml"), GOOD).unwrap();
    std::fs::write(folder.join("bad.toml"), BAD).unwrap();
    folder
}

#[test]
fn help_version_and_list_are_printed() {
    let folder = folder("help");
    for (argument, expected) in
        [("--help", "run SCENARIO"), ("--version", env!("CARGO_PKG_VERSION")), ("list", "01_bare_link")]
    {
        let output = call(&folder, &[argument]);
        assert_eq!(status(&output), 0);
        assert!(out(&output).contains(expected), "{argument}");
    }
}

#[test]
fn grounds_prints_laws_checks_and_what_is_left_out() {
    let folder = folder("grounds");
    let output = call(&folder, &["grounds"]);
    assert_eq!((status(&output), err(&output)), (0, String::new()));
    let text = out(&output);
    for part in [" laws, ", "Air through an opening (air::mass_flow)", "C1.21 (library)", "LEAVES OUT", "BELIEF DIFFER"]
    {
        assert!(text.contains(part), "{part} is missing");
    }
    let output = call(&folder, &["grounds", "more"]);
    assert_eq!(status(&output), 2);
    assert!(err(&output).contains("grounds takes nothing more"));
}

#[test]
fn a_run_prints_title_sentence_verdict_and_findings() {
    let output = call(&folder("prints"), &["run", "good.toml"]);
    assert_eq!((status(&output), err(&output)), (0, String::new()));
    let text = out(&output);
    let lines: Vec<_> = text.lines().collect();
    assert_eq!(lines[0], "Short run");
    assert!(lines[1].starts_with("The engine "));
    assert!(lines[2].starts_with("  Verdict  "));
    assert!(text.contains("Rated flow") && text.contains("cfm"));
}

#[test]
fn a_shipped_name_stands_for_a_path() {
    let output = call(&folder("shipped"), &["run", "01_bare_link"]);
    assert_eq!(status(&output), 0);
    assert!(out(&output).starts_with("Bare link\n"));
}

#[test]
fn the_trace_has_a_heading_of_channel_ids_and_a_row_a_sample() {
    let folder = folder("trace");
    let output = call(&folder, &["run", "good.toml", "--trace", "t.csv"]);
    assert_eq!(status(&output), 0, "{}", err(&output));
    let text = std::fs::read_to_string(folder.join("t.csv")).unwrap();
    let header = text.lines().next().unwrap();
    assert!(header.starts_with("time_s,pedal,primary_plate_rad,"), "{header}");
    assert!(header.contains(",lambda,") && header.contains(",torque_nm,"), "{header}");
    let mut table = csv::Reader::from_reader(text.as_bytes());
    let columns = table.headers().unwrap().len();
    let rows: Vec<_> = table.records().map(Result::unwrap).collect();
    // 0.5 s at 2 ms, both ends
    assert_eq!(rows.len(), 251);
    for row in &rows {
        assert_eq!(row.len(), columns);
        assert!(row.iter().all(|cell| cell.parse::<f64>().is_ok_and(f64::is_finite)));
    }
}

#[test]
fn the_findings_file_has_every_part_and_null_for_what_did_not_happen() {
    let folder = folder("findings");
    let output = call(&folder, &["run", "good.toml", "--findings", "f.json"]);
    assert_eq!(status(&output), 0, "{}", err(&output));
    let text = std::fs::read_to_string(folder.join("f.json")).unwrap();
    let file: serde_json::Value = serde_json::from_str(&text).unwrap();
    assert_eq!(
        (&file["format_version"], &file["title"], &file["family"]),
        (&1.into(), &"Short run".into(), &"spring_door".into())
    );
    for key in ["verdict", "sentence"] {
        assert!(file[key].is_string(), "{key}");
    }
    for path in [
        "/findings/lost_s",
        "/top_end/torque_nm",
        "/rating/flow_m3_per_s",
        "/rating/flow_cfm",
        "/closure/air",
        "/events/0/time_s",
    ] {
        assert!(file.pointer(path).is_some_and(serde_json::Value::is_number), "{path}");
    }
    for path in ["/distance_to_worse_s", "/distance_to_better_s", "/findings/secondary_fuel_s"] {
        assert!(file.pointer(path).is_some(), "{path}");
    }
    // the run ends before a second has passed
    assert!(file["findings"]["speed_gain_1_s"].is_null());
}

#[test]
fn a_run_stands_even_where_its_top_end_cannot_be_computed() {
    let folder = folder("fast");
    std::fs::write(folder.join("fast.toml"), format!("{GOOD}[engine]\ntop_speed = \"7500 rpm\"\n")).unwrap();
    let output = call(&folder, &["run", "fast.toml", "--findings", "f.json"]);
    assert_eq!(status(&output), 0, "{}", err(&output));
    assert!(out(&output).contains("Top end"));
    let file: serde_json::Value =
        serde_json::from_str(&std::fs::read_to_string(folder.join("f.json")).unwrap()).unwrap();
    assert!(file["findings"]["lost_s"].is_number() && file.get("top_end").is_some());
}

#[test]
fn a_bad_scenario_is_told_line_by_line_and_the_others_still_run() {
    let folder = folder("bad");
    let output = call(&folder, &["run", "bad.toml", "good.toml", "none.toml"]);
    assert_eq!(status(&output), 1);
    assert!(out(&output).starts_with("Short run\n"));
    let text = err(&output);
    assert!(text.contains("bad.toml:5: pedal.lenght: ") && text.contains("did you mean length?"), "{text}");
    assert!(text.contains("bad.toml:6: pedal.stab: 9 s is outside its range; give 0.02 s to 2 s"), "{text}");
    assert!(text.contains("none.toml:1: the file cannot be read"), "{text}");
}

#[test]
fn several_scenarios_are_written_to_a_folder_or_by_name() {
    let folder = folder("several");
    std::fs::create_dir(folder.join("to")).unwrap();
    let output = call(&folder, &["run", "good.toml", "other.toml", "--trace", "to", "--findings", "to/{}-f.json"]);
    assert_eq!(status(&output), 0, "{}", err(&output));
    for name in ["good.csv", "other.csv", "good-f.json", "other-f.json"] {
        assert!(folder.join("to").join(name).is_file(), "{name}");
    }
}

#[test]
fn a_file_that_cannot_be_written_is_told() {
    let output = call(&folder("unwritable"), &["run", "good.toml", "--trace", "none/t.csv"]);
    assert_eq!(status(&output), 1);
    assert!(err(&output).contains("not saved"), "{}", err(&output));
}

#[test]
fn a_map_is_written_as_table_and_picture_and_summed_up() {
    let folder = folder("map");
    let arguments = "map good.toml --across pedal.stab=50..400ms --up secondary.main_jet=1.4mm..80thou \
                     --finding peak_lambda --steps 5 --csv m.csv --svg m.svg";
    let output = call(&folder, &arguments.split_whitespace().collect::<Vec<_>>());
    assert_eq!((status(&output), err(&output)), (0, String::new()));
    let text = out(&output);
    for part in ["Short run\n", "pedal.stab, 50.0 ms to 400 ms, 5 values", "25, of which 0 failed", "Leanest λ"] {
        assert!(text.contains(part), "{part}: {text}");
    }
    let table = std::fs::read_to_string(folder.join("m.csv")).unwrap();
    let mut table = csv::Reader::from_reader(table.as_bytes());
    assert_eq!(
        table.headers().unwrap().iter().take(3).collect::<Vec<_>>(),
        ["pedal.stab (ms)", "secondary.main_jet (mm)", "lost (ms)"]
    );
    let rows: Vec<_> = table.records().map(Result::unwrap).collect();
    assert_eq!((rows.len(), &rows[4][0], &rows[24][1]), (25, "400", "2.032"));
    let picture = std::fs::read_to_string(folder.join("m.svg")).unwrap();
    assert!(picture.starts_with("<svg ") && picture.contains("Leanest λ"));
}

#[test]
fn a_map_that_cannot_be_written_or_read_is_told() {
    let folder = folder("map_bad");
    let call = |scenario, file| {
        let axes = ["--across", "pedal.stab", "--up", "pedal.rest", "--steps", "2"];
        call(&folder, &[&["map", scenario], &axes[..], &["--csv", file]].concat())
    };
    let output = call("good.toml", "none/m.csv");
    assert_eq!(status(&output), 1);
    assert!(err(&output).contains("not saved"), "{}", err(&output));
    let output = call("bad.toml", "m.csv");
    assert_eq!(status(&output), 1);
    assert!(err(&output).contains("bad.toml:6: pedal.stab"), "{}", err(&output));
}

#[test]
fn a_run_tells_how_sure_its_verdict_is_when_asked() {
    let output = call(&folder("sure"), &["run", "good.toml", "--sure"]);
    assert_eq!((status(&output), err(&output)), (0, String::new()));
    let text = out(&output);
    assert!(text.contains("  How sure: It ") || text.contains("  How sure: None "), "{text}");
    assert!(text.contains("Lean limit (λ)") && text.contains("All of them together"), "{text}");
}

#[test]
fn a_setting_is_found_and_written_and_runs_as_it_was_found() {
    let folder = folder("find");
    let loose = "format_version = 1\n[family]\nkind = \"spring_door\"\nwind_up = \"20 deg\"\n";
    std::fs::write(folder.join("loose.toml"), loose).unwrap();
    let arguments =
        ["find", "loose.toml", "--free", "family.wind_up=10deg..900deg", "--json", "f.json", "--out", "b.toml"];
    let output = call(&folder, &arguments);
    assert_eq!((status(&output), err(&output)), (0, String::new()));
    assert!(out(&output).contains("Spring wind-up from 20.0° to"), "{}", out(&output));
    let file: serde_json::Value =
        serde_json::from_str(&std::fs::read_to_string(folder.join("f.json")).unwrap()).unwrap();
    assert_eq!((&file["clean"], &file["free"][0]["key"]), (&true.into(), &"family.wind_up".into()));
    assert!(file["way"].as_array().is_some_and(|way| way.len() > 1));
    let best = call(&folder, &["run", "b.toml"]);
    assert!(out(&best).contains("Verdict") && out(&best).contains("clean"), "{}", out(&best));
}

#[test]
fn a_setting_that_cannot_be_searched_is_told_with_what_can() {
    let folder = folder("unsearchable");
    for (free, words) in [
        ("family.windup", "did you mean family.wind_up?"),
        ("pump.profile", "cannot be searched"),
        ("family.wind_up=5deg", "LEAST..MOST"),
        ("family.wind_up=1kg..2kg", "family.wind_up: "),
        ("family.wind_up=90deg..20deg", "least before most"),
        ("family.wind_up,family.wind_up", "twice"),
        (",", "free at least one"),
    ] {
        let output = call(&folder, &["find", "good.toml", "--free", free]);
        assert_eq!(status(&output), 1, "{free}");
        assert!(err(&output).contains(words), "{free}: {}", err(&output));
    }
}

/// Arguments, and words of the message.
const WRONG: &[(&[&str], &str)] = &[
    (&["run"], "run needs a scenario"),
    (&["run", "good.toml", "--trce", "x"], "did you mean --trace?"),
    (&["run", "good.toml", "--trace"], "--trace"),
    (&["run", "good.toml", "--trace", "a", "--trace", "b"], "given twice"),
    (&["run", "good.toml", "other.toml", "--trace", "t.csv"], "give a folder"),
    (&["run", "good.toml", "good.toml", "--trace", "{}.csv"], "written twice"),
    (&["run", "good.toml", "--trace", "x", "--findings", "./x"], "written twice"),
    (&["run", "good.toml", "--trace", "./good.toml"], "would be overwritten"),
    (&["run", "good.toml", "other.toml", "--trace", "{}.toml"], "would be overwritten"),
    (&["run", "good.toml", "--findings", "nowhere/"], "create it first"),
    (&["list", "more"], "nothing more"),
    (&["rnu"], "did you mean run?"),
    (&["good.toml", "--trace", "x"], "goes with run"),
    (&["run", "good.toml", "--across", "pedal.stab"], "goes with map"),
    (
        &["map", "good.toml", "--trace", "x", "--across", "pedal.stab", "--up", "pump.shot", "--csv", "m"],
        "goes with run",
    ),
    (&["handout", "--out", "x.pdf"], "handout needs one lesson"),
    (&["handout", "1"], "handout needs --out"),
    (&["handout", "01_singal", "--out", "x.pdf"], "did you mean 01_signal?"),
    (&["handout", "0", "--out", "x.pdf"], "give 1 to 22"),
    (&["run", "good.toml", "--key"], "goes with handout LESSON"),
    (&["map"], "map needs a scenario"),
    (&["map", "good.toml", "other.toml"], "one scenario"),
    (&["map", "good.toml", "--up", "pedal.stab", "--csv", "m.csv"], "map needs --across"),
    (&["map", "good.toml", "--across", "pedal.stab", "--csv", "m.csv"], "map needs --up"),
    (&["map", "good.toml", "--across", "pedal.stab", "--up", "load.mass"], "map needs a file to write"),
    (&["map", "good.toml", "--acros", "pedal.stab"], "did you mean --across?"),
    (&["map", "good.toml", "--across", ""], "--across needs a value"),
    (&["map", "good.toml", "--across", "stab", "--up", "pedal.rest", "--csv", "m"], "write it as group.key"),
    (&["map", "good.toml", "--across", "pedl.stab", "--up", "pedal.rest", "--csv", "m"], "did you mean pedal?"),
    (&["map", "good.toml", "--across", "pedal.stap", "--up", "pedal.rest", "--csv", "m"], "did you mean stab?"),
    (&["map", "good.toml", "--across", "pedal.stab", "--up", "pedal.stab", "--csv", "m"], "choose two settings"),
    (&["map", "good.toml", "--across", "pedal.stab=9", "--up", "pedal.rest", "--csv", "m"], "from..to, such as"),
    (&["map", "good.toml", "--across", "pedal.stab=50..400", "--up", "pedal.rest", "--csv", "m"], "has no unit"),
    (
        &["map", "good.toml", "--across", "pedal.stab=50..400kg", "--up", "pedal.rest", "--csv", "m"],
        "is not a unit for this",
    ),
    (
        &["map", "good.toml", "--across", "pedal.stab=50ms..9s", "--up", "pedal.rest", "--csv", "m"],
        "give 0.02 s to 2 s",
    ),
    (
        &["map", "good.toml", "--across", "pedal.stab=400..50ms", "--up", "pedal.rest", "--csv", "m"],
        "smaller value first",
    ),
    (&["map", "good.toml", "--across", "pedal.stab", "--up", "load.kind", "--csv", "m"], "takes words"),
    (
        &["map", "good.toml", "--across", "pedal.stab", "--up", "pedal.rest", "--csv", "m", "--steps", "65"],
        "from 2 to 64",
    ),
    (
        &["map", "good.toml", "--across", "pedal.stab", "--up", "pedal.rest", "--csv", "m", "--finding", "lost"],
        "did you mean lost_s?",
    ),
    (
        &["map", "good.toml", "--across", "pedal.stab", "--up", "pedal.rest", "--csv", "m", "--svg", "./m"],
        "written twice",
    ),
    (
        &["map", "good.toml", "--across", "pedal.stab", "--up", "pedal.rest", "--svg", "./good.toml"],
        "would be overwritten",
    ),
    (&["good.toml", "--sure"], "goes with run"),
    (&["paper-test", "--out", "t.pdf"], "needs --out and --answers"),
    (&["paper-test", "more", "--out", "t.pdf", "--answers", "k.pdf"], "needs --out and --answers"),
    (&["paper-test", "--out", "t.pdf", "--answers", "t.pdf"], "give --answers another one"),
    (&["paper-test", "--out", "t.pdf", "--answers", "./t.pdf"], "give --answers another one"),
    (&["paper-test", "--out", "t.pdf", "--answers", "k.pdf", "--items", "0"], "give at least 1"),
    (
        &["paper-test", "--out", "t.pdf", "--answers", "k.pdf", "--course", "away"],
        "--course away: there is no such folder",
    ),
    (&["handout", "1", "--out", "l.pdf", "--course", "away"], "--course away: there is no such folder"),
    (&["paper-test", "--out", "t.pdf", "--answers", "k.pdf", "--items", "many"], "--items many: give a whole number"),
    (&["paper-test", "--out", "t.pdf", "--answers", "k.pdf", "--seed", "-1"], "--seed"),
    (&["paper-test", "--out", "t.pdf", "--answers", "k.pdf", "--outcomes", "25"], "give numbers from 1 to 24"),
    (&["paper-test", "--out", "t.pdf", "--answers", "k.pdf", "--qti", "z.zip"], "goes with quizzes"),
    (&["quizzes"], "needs --qti with a file to write, or --import"),
    (&["quizzes", "--import", "z.zip"], "and --into"),
    (&["quizzes", "--qti", "z.zip", "--import", "z.zip", "--into", "own"], "needs --qti with a file to write, or"),
    (&["quizzes", "--qti", "z.zip", "--seed", "one"], "--seed one: give a whole number"),
    (&["quizzes", "--import", "z.zip", "--into", "own", "--outcomes", "0"], "give numbers from 1 to 24"),
    (&["soak"], "soak needs a heat soak"),
    (&["soak", "soak_03_spacer", "--sure"], "goes with run"),
    (&["soak", "soak_03_spacer", "soak_02_hot_day", "--trace", "t.csv"], "give a folder"),
    (&["soak", "soak_03_spacer", "--trace", "x", "--findings", "./x"], "written twice"),
    (&["find"], "find needs one scenario"),
    (&["find", "good.toml", "other.toml"], "find needs one scenario"),
    (&["find", "good.toml", "--out", "good.toml"], "would be overwritten"),
    (&["find", "good.toml", "--out", "x", "--json", "./x"], "same file"),
    (&["find", "good.toml", "--trace", "x"], "goes with run"),
    (&["run", "good.toml", "--free", "family.wind_up"], "goes with find"),
];

#[test]
fn a_wrong_call_ends_with_status_2_before_anything_runs() {
    let folder = folder("wrong");
    for (arguments, words) in WRONG {
        let output = call(&folder, arguments);
        assert_eq!(status(&output), 2, "{arguments:?}");
        assert!(err(&output).contains(words), "{arguments:?}: {}", err(&output));
        assert_eq!(out(&output), "", "{arguments:?}");
    }
    assert_eq!(std::fs::read_to_string(folder.join("good.toml")).unwrap(), GOOD);
    assert_eq!(std::fs::read_dir(&folder).unwrap().count(), 3);
}

#[test]
fn a_recommendation_is_printed_and_written() {
    let folder = folder("advise");
    let output = call(&folder, &["advise", "06_hot_start", "--json", "all.json", "--csv", "table.csv", "--seed", "3"]);
    assert_eq!(status(&output), 0, "{}", err(&output));
    let text = out(&output);
    for part in ["Invented customer", "Keep what you have", "Starting hot", "Cautions", "check local rules", "seed 3"] {
        assert!(text.contains(part), "{part} in {text}");
    }
    let json: serde_json::Value =
        serde_json::from_str(&std::fs::read_to_string(folder.join("all.json")).unwrap()).unwrap();
    assert_eq!(json["seed"], 3);
    assert!(text.contains(json["headline"].as_str().unwrap()));
    assert!(std::fs::read_to_string(folder.join("table.csv")).unwrap().starts_with("rank,action,family"));
}

#[test]
fn a_customer_that_cannot_be_read_is_told_line_by_line() {
    let folder = folder("advise_bad");
    std::fs::write(folder.join("card.toml"), "format_version = 1\n[car]\nmass = \"9 kg\"\ngearbox = \"manuel\"\n")
        .unwrap();
    let output = call(&folder, &["advise", "card.toml"]);
    assert_eq!(status(&output), 1);
    assert!(err(&output).contains("card.toml:3: car.mass") && err(&output).contains("did you mean manual?"));
    let blank = call(&folder, &["advise", "--blank"]);
    assert_eq!((status(&blank), out(&blank).contains("What does the car weigh?")), (0, true));
    for (wrong, told) in [
        (&["advise"][..], "01_heavy_wagon"),
        (&["advise", "a", "b"], "one customer"),
        (&["advise", "06_hot_start", "--seed", "x"], "whole number"),
        (&["advise", "06_hot_start", "--json", "f", "--csv", "f"], "same file"),
        (&["advise", "card.toml", "--json", "card.toml"], "overwritten"),
    ] {
        let output = call(&folder, wrong);
        assert_eq!(status(&output), 2, "{wrong:?}");
        assert!(err(&output).contains(told), "{told} in {}", err(&output));
    }
}

#[cfg(not(feature = "window"))]
#[test]
fn a_build_without_its_window_says_so() {
    let folder = folder("no_window");
    for arguments in [&[][..], &["good.toml"], &["open", "good.toml"]] {
        let output = call(&folder, arguments);
        assert_eq!(status(&output), 2);
        assert!(err(&output).contains("without its window"), "{}", err(&output));
    }
}

#[test]
fn a_reader_that_goes_away_is_no_error() {
    let mut child = Command::new(env!("CARGO_BIN_EXE_second-breath"))
        .args(["run", "good.toml"])
        .current_dir(folder("gone"))
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    drop(child.stdout.take());
    let output = child.wait_with_output().unwrap();
    assert_eq!((status(&output), err(&output)), (0, String::new()));
}

const LESSON: &str = "+++\ntitle = \"Ours\"\nminutes = 10\noutcomes = [1]\nsources = [\"common practice, no source\"]\n+++\nWhat?\n\n\
```experiment\nid = \"one\"\nscenario = \"01_bare_link\"\nclaims = [\"1.verdict == bogs\"]\nexplain = \"It lost {1.lost_s}.\"\n\
[predict]\nask = \"Which?\"\noptions = [{ text = \"a\", why = \"b\", right = true }, { text = \"c\", why = \"d\" }]\n```\n\n\
## Take home\n\nOne thing.\n";

#[test]
fn the_course_that_comes_with_the_program_checks_out() {
    let output = call(&folder("course"), &["check"]);
    assert_eq!((status(&output), err(&output)), (0, String::new()));
    assert!(out(&output).contains("07_accelerator_pump") && out(&output).contains("grade"));
}

#[test]
fn a_folder_of_lessons_is_checked_by_itself_and_each_problem_has_its_place() {
    let folder = folder("own_course");
    let own = folder.join("own");
    std::fs::create_dir_all(&own).unwrap();
    std::fs::write(own.join("90_ours.md"), LESSON).unwrap();
    let output = call(&folder, &["check", "own"]);
    assert_eq!((status(&output), err(&output)), (0, String::new()));
    assert!(out(&output).contains("It lost 1") && !out(&output).contains("07_accelerator_pump"));

    std::fs::write(own.join("90_ours.md"), LESSON.replace("== bogs", "== clean")).unwrap();
    let output = call(&folder, &["check", "own"]);
    assert_eq!(status(&output), 1);
    assert!(err(&output).contains("90_ours.md:12: one: \"1.verdict == clean\" does not hold"), "{}", err(&output));

    std::fs::write(own.join("90_ours.md"), LESSON.replace("minutes", "minuets")).unwrap();
    let output = call(&folder, &["check", "own"]);
    assert_eq!(status(&output), 1);
    assert!(err(&output).contains("90_ours.md:3: minuets") && err(&output).contains("did you mean minutes?"));
}

const QUIZ: &str = "format_version = 1\ntopic = \"Ours\"\n\n[[item]]\nid = \"ours\"\nkind = \"choice\"\noutcomes = [11]\nsource = \"our own\"\n\
scenario = \"01_bare_link\"\nstem = \"What does the bare link do?\"\noptions = [\n  { text = \"It bogs\", right = true, answer = \"Yes.\", claim = \"1.verdict == bogs\" },\n  \
{ text = \"It pulls\", misconception = \"all is well\", answer = \"No.\" },\n]\n";

#[test]
fn the_quizzes_of_a_folder_are_proved_with_its_lessons_or_without() {
    let folder = folder("own_quizzes");
    let own = folder.join("own/quizzes");
    std::fs::create_dir_all(&own).unwrap();
    std::fs::write(own.join("ours.toml"), QUIZ).unwrap();
    let output = call(&folder, &["check", "own"]);
    assert_eq!((status(&output), err(&output)), (0, String::new()));
    assert!(out(&output).contains("quiz items: 1 (1 choice"), "{}", out(&output));

    std::fs::write(own.join("ours.toml"), QUIZ.replace("== bogs", "== clean")).unwrap();
    let output = call(&folder, &["check", "own"]);
    assert_eq!(status(&output), 1);
    let place = Path::new("own").join("quizzes").join("ours.toml").display().to_string();
    assert!(
        err(&output).contains(&format!("{place}:12: ours: \"1.verdict == clean\" does not hold")),
        "{}",
        err(&output)
    );
}

#[test]
fn a_folder_without_lessons_and_one_that_is_not_there_are_told() {
    let folder = folder("no_course");
    std::fs::create_dir_all(folder.join("empty")).unwrap();
    for (name, expected) in [("empty", "no lessons in this folder"), ("gone", "the folder cannot be read")] {
        let output = call(&folder, &["check", name]);
        assert_eq!(status(&output), 1);
        assert!(err(&output).contains(expected), "{}", err(&output));
    }
    assert_eq!(status(&call(&folder, &["check", "empty", "gone"])), 2);
}

#[test]
fn a_lesson_is_printed_by_its_number_and_by_its_name() {
    let folder = folder("handout");
    for (lesson, file) in [("1", "number.pdf"), ("01_signal", "name.pdf")] {
        let printed = call(&folder, &["handout", lesson, "--out", file]);
        assert_eq!(status(&printed), 0, "{}", err(&printed));
    }
    let read = |file| std::fs::read(folder.join(file)).expect("a file");
    assert!(read("number.pdf").starts_with(b"%PDF-1.7"));
    // but for midnight between the two, they are the same
    assert_eq!(read("number.pdf").len(), read("name.pdf").len());
}

#[test]
fn a_test_on_paper_is_written_with_its_key_and_the_same_seed_gives_it_again() {
    let folder = folder("paper_test");
    let make = |test: &str, key: &str, more: &[&str]| {
        let arguments = [&["paper-test", "--items", "3", "--out", test, "--answers", key], more].concat();
        let output = call(&folder, &arguments);
        assert_eq!((status(&output), err(&output)), (0, String::new()));
        out(&output)
    };
    let read = |file: &str| std::fs::read(folder.join(file)).expect("a file");
    assert_eq!(make("t.pdf", "k.pdf", &["--seed", "7"]), "3 items, form 7\n");
    make("again.pdf", "again_key.pdf", &["--seed", "7"]);
    make("other.pdf", "other_key.pdf", &["--seed", "8"]);
    assert!(read("t.pdf").starts_with(b"%PDF-1.7") && read("k.pdf").starts_with(b"%PDF-1.7"));
    assert_ne!(read("t.pdf"), read("k.pdf"), "the key is the test");
    // but for midnight between the two, they are the same
    assert_eq!(read("t.pdf").len(), read("again.pdf").len());
    assert_ne!(read("t.pdf"), read("other.pdf"), "another seed gives the same test");
    // an outcome has fewer items than a long test wants, and that is said
    let few =
        call(&folder, &["paper-test", "--items", "60", "--outcomes", "15", "--out", "f.pdf", "--answers", "g.pdf"]);
    assert_eq!(status(&few), 0, "{}", err(&few));
    assert!(out(&few).contains("items, form 1; there are no more on these outcomes"), "{}", out(&few));
}

#[test]
fn a_test_on_paper_that_cannot_be_written_or_has_a_bad_quiz_is_told() {
    let folder = folder("paper_test_bad");
    for (test, key, named) in [("none/t.pdf", "k.pdf", "none/t.pdf"), ("t.pdf", "none/k.pdf", "none/k.pdf")] {
        let output = call(&folder, &["paper-test", "--items", "1", "--out", test, "--answers", key]);
        assert_eq!(status(&output), 1);
        let told = err(&output);
        assert!(
            told.starts_with(named) && told.contains("not saved") && told.contains("check that its folder"),
            "{told}"
        );
    }
    std::fs::create_dir_all(folder.join("own/quizzes")).unwrap();
    std::fs::write(folder.join("own/quizzes/ours.toml"), QUIZ.replace("kind = \"choice\"", "kind = \"choise\""))
        .unwrap();
    let output =
        call(&folder, &["paper-test", "--items", "1", "--course", "own", "--out", "t.pdf", "--answers", "k.pdf"]);
    assert_eq!(status(&output), 1);
    let told = err(&output);
    assert!(told.contains("ours.toml:6: ") && told.contains("did you mean choice?"), "{told}");
    assert!(folder.join("k.pdf").is_file(), "one bad item spoils the test on the others");
}

#[test]
fn quiz_items_go_out_as_a_package_and_come_back_into_a_course_folder() {
    let folder = folder("quizzes");
    let output = call(&folder, &["quizzes", "--qti", "items.zip", "--seed", "3"]);
    assert_eq!((status(&output), err(&output)), (0, String::new()));
    let told = out(&output);
    let count: usize = told.split_once(" items\n").and_then(|(count, _)| count.parse().ok()).expect("a count");
    assert!(count > 50, "{told}");
    assert!(told.contains("an item of the kind order has no form in a package"), "what stays here is not named");
    assert!(std::fs::read(folder.join("items.zip")).unwrap().starts_with(b"PK"));
    let output = call(&folder, &["quizzes", "--import", "items.zip", "--into", "own"]);
    assert_eq!((status(&output), err(&output)), (0, String::new()));
    assert!(out(&output).starts_with(&format!("{count} items were taken into ")), "{}", out(&output));
    let files: Vec<_> = std::fs::read_dir(folder.join("own/quizzes")).unwrap().collect();
    assert_eq!(files.len(), 1, "{files:?}");
}

#[test]
fn a_package_that_cannot_be_read_or_written_is_told() {
    let folder = folder("quizzes_bad");
    let output = call(&folder, &["quizzes", "--qti", "none/items.zip"]);
    assert_eq!(status(&output), 1);
    assert!(err(&output).contains("none/items.zip: not saved"), "{}", err(&output));
    for (package, what) in [("gone.zip", "the file cannot be read"), ("good.toml", "this is not a zip file")] {
        let output = call(&folder, &["quizzes", "--import", package, "--into", "own"]);
        assert_eq!(status(&output), 1);
        let told = err(&output);
        assert!(told.starts_with(package) && told.contains(what) && told.contains("give the zip file"), "{told}");
    }
    assert!(!folder.join("own").exists(), "a folder is left behind for nothing");
}

#[test]
fn a_soak_prints_its_findings_and_writes_trace_and_findings() {
    let folder = folder("soak");
    let output = call(&folder, &["soak", "soak_03_spacer", "--trace", "t.csv", "--findings", "f.json"]);
    assert_eq!((status(&output), err(&output)), (0, String::new()));
    let text = out(&output);
    assert!(text.starts_with("Hot day, winter fuel, spacer fitted\n"), "{text}");
    assert!(text.contains("Hottest fuel in the bowls") && text.contains("after stopping"), "{text}");
    let trace = std::fs::read_to_string(folder.join("t.csv")).unwrap();
    let mut table = csv::Reader::from_reader(trace.as_bytes());
    assert_eq!(table.headers().unwrap().iter().next(), Some("time_s"));
    let rows: Vec<_> = table.records().map(Result::unwrap).collect();
    assert!(rows.len() > 100 && rows.iter().flatten().all(|cell| cell.parse::<f64>().is_ok_and(f64::is_finite)));
    let file: serde_json::Value =
        serde_json::from_str(&std::fs::read_to_string(folder.join("f.json")).unwrap()).unwrap();
    assert!(file.pointer("/findings/hottest_bowl_k").is_some_and(|value| value.as_f64() > Some(300.0)), "{file}");
}

#[test]
fn a_soak_that_is_bad_or_cannot_be_written_is_told_and_the_others_are_printed() {
    let folder = folder("soak_bad");
    std::fs::write(
        folder.join("hot.toml"),
        "format_version = 1\n[ambient]\ntemprature = \"20 degC\"\n[mounting]\nspacer_thickness = \"9 m\"\n",
    )
    .unwrap();
    let output = call(&folder, &["soak", "hot.toml", "soak_03_spacer", "soak_3"]);
    assert_eq!(status(&output), 1);
    assert!(out(&output).starts_with("Hot day, winter fuel, spacer fitted\n"), "{}", out(&output));
    let told = err(&output);
    for part in [
        "hot.toml:3: ambient.temprature: ",
        "did you mean temperature?",
        "hot.toml:5: mounting.spacer_thickness: 9 m is outside its range; give ",
        "soak_3:1: the file cannot be read",
        "such as soak_03_spacer",
    ] {
        assert!(told.contains(part), "{part} in {told}");
    }
    let output = call(&folder, &["soak", "soak_03_spacer", "--trace", "none/t.csv"]);
    assert_eq!(status(&output), 1);
    assert!(err(&output).contains("none/t.csv: not saved"), "{}", err(&output));
}
