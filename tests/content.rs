//! Files: what is shipped can be read and run, what is wrong is named with its line and a remedy, nothing panics.

use proptest::prelude::*;
use second_breath::bench::run::run;
use second_breath::bench::scenario::{GROUPS, Place, Scenario};
use second_breath::content::problem::Problem;
use second_breath::content::save::save_atomically;
use second_breath::content::scenario_file::{LARGEST_BYTES, keys, parse, serialize, serialize_full};
use second_breath::content::{library, value};
use second_breath::content::{soak_export, soak_file};
use second_breath::families::FAMILIES;
use second_breath::settings::grouped::Grouped;
use second_breath::settings::{Kind, Setting};
use std::collections::HashSet;

const HEAD: &str = "format_version = 1\n[family]\nkind = \"bare_link\"\n";

fn problems(text: &str) -> Vec<Problem> {
    parse(text, "car.toml").expect_err("the text is refused").0
}

/// Reading a number back through a unit rounds at most twice.
fn assert_same(a: &Scenario, b: &Scenario) {
    assert_eq!((&a.title, &a.note, a.entry().id), (&b.title, &b.note, b.entry().id));
    for place in a.places() {
        let (a_value, b_value) = (a.value(place).unwrap(), b.value(place).unwrap());
        let id = a.setting(place).unwrap().id;
        assert!(
            (a_value - b_value).abs() <= 1e-12 * a_value.abs(),
            "{}.{id}: {a_value} {b_value}",
            GROUPS[place.group].id
        );
    }
}

#[test]
fn every_shipped_scenario_is_read_and_runs_and_comes_back_from_its_own_text() {
    let shipped = library::shipped();
    assert!(shipped.len() >= 12);
    for file in &shipped {
        let scenario = file.scenario().unwrap_or_else(|problems| panic!("{problems}"));
        run(&scenario).unwrap_or_else(|error| panic!("{}: {error}", file.stem));
        for text in [serialize(&scenario), serialize_full(&scenario)] {
            assert_same(&scenario, &parse(&text, "again.toml").unwrap_or_else(|problems| panic!("{problems}\n{text}")));
        }
    }
}

#[test]
fn shipped_scenarios_are_sorted_and_cover_every_family() {
    let shipped = library::shipped();
    assert!(shipped.is_sorted_by_key(|file| file.stem));
    let families: HashSet<_> = shipped.iter().map(|file| file.scenario().unwrap().entry().id).collect();
    assert_eq!(families.len(), FAMILIES.len());
}

#[test]
fn shipped_scenarios_say_that_their_data_is_invented_and_have_titles_of_their_own() {
    let scenarios: Vec<_> = library::shipped().iter().map(|file| file.scenario().unwrap()).collect();
    let titles: HashSet<_> = scenarios.iter().map(|scenario| &scenario.title).collect();
    assert_eq!(titles.len(), scenarios.len());
    for scenario in &scenarios {
        assert!(scenario.note.contains("nvented"), "{}", scenario.title);
    }
}

#[test]
fn keys_name_one_setting_each() {
    for entry in FAMILIES {
        let scenario = Scenario::fresh(entry);
        for (group, name) in GROUPS.iter().map(|group| group.id).enumerate() {
            let keys = keys(&scenario, group);
            let different: HashSet<_> = keys.iter().collect();
            assert_eq!(different.len(), keys.len(), "{} {name}: {keys:?}", entry.id);
            assert_eq!(keys.len(), scenario.settings(group).len());
        }
    }
}

#[test]
fn what_is_left_out_is_as_in_a_fresh_scenario() {
    let scenario = parse(HEAD, "car.toml").unwrap();
    assert_same(&scenario, &Scenario::fresh(scenario.entry()));
}

#[test]
fn a_fresh_scenario_is_written_in_a_few_lines() {
    let text = serialize(&Scenario::default());
    assert_eq!(text.lines().filter(|line| line.contains('=')).count(), 4, "{text}");
}

#[test]
fn any_unit_of_the_quantity_is_read() {
    let text = format!(
        "{HEAD}[engine]\ndisplacement = \"281 cid\"\nwall = \"170°F\"\ntop_speed = \"4800 r/min\"\n\
         [enrichment]\nopens_below = \"6.5inHg\"\n[load]\nkind = \"free\"\ngear = 3\n"
    );
    let scenario = parse(&text, "car.toml").unwrap_or_else(|problems| panic!("{problems}"));
    assert!((scenario.engine.displacement_m3 - 281.0 * 0.0254_f64.powi(3)).abs() < 1e-12);
    assert!((scenario.engine.wall_k - 349.816_666_666).abs() < 1e-6);
    assert!((scenario.enrichment.opens_below_pa - 6.5 * 3386.389).abs() < 1e-6);
    assert_eq!(scenario.load.gear, 3.0);
}

/// Lines below [`HEAD`], the line and key of the problem, and words from its message and remedy.
const BAD: &[(&str, usize, &str, &str, &str)] = &[
    ("[pedall]", 4, "pedall", "no such table", "did you mean pedal?"),
    ("[pedal]\nflor = \"9 %\"", 5, "pedal.flor", "no such key", "did you mean floor?"),
    ("[pedal]\ndisplacement = \"4 L\"", 5, "pedal.displacement", "no such key", "write it in [engine]"),
    ("[pedal]\nrest = 0.1", 5, "pedal.rest", "has no unit", "accepted units: %"),
    ("[pedal]\nrest = \"8\"", 5, "pedal.rest", "has no unit", "\"8 %\""),
    ("[pedal]\nstab = \"90 mm\"", 5, "pedal.stab", "\"mm\" is not a unit", "accepted units: ms, s"),
    ("[pedal]\nstab = true", 5, "pedal.stab", "boolean", "accepted units: ms, s"),
    ("[pedal]\nstab = []", 5, "pedal.stab", "array", "accepted units: ms, s"),
    ("[pedal]\nstab = \"5 s\"", 5, "pedal.stab", "5 s is outside", "give 0.02 s to 2 s"),
    ("[pedal]\nstab = \"ms\"", 5, "pedal.stab", "does not begin with a number", "accepted units: ms, s"),
    ("[pedal]\nstab = \"nan ms\"", 5, "pedal.stab", "not finite", "ordinary number"),
    ("[pedal]\nstab = inf", 5, "pedal.stab", "not finite", "ordinary number"),
    ("[pedal]\nstab = \"1e999 ms\"", 5, "pedal.stab", "not finite", "ordinary number"),
    ("[load]\nmass = \"1,640 kg\"", 5, "load.mass", "does not begin with a number", "without commas"),
    ("[load]\nmass = \"9000 lb\"\nmass = \"9 t\"", 6, "load.mass", "set twice", "keep one"),
    ("[load]\nmass = \"20000 lb\"", 5, "load.mass", "20000 lb is outside", "give 881.85 lb to 13227.7 lb"),
    ("[engine]\ndisplacement = \"9 cid\"", 5, "engine.displacement", "9 cid is outside", "cid to"),
    ("[load]\ngear = 60", 5, "load.gear", "60 is outside", "give 0.5 to 6"),
    ("[load]\ngear = \"6 km\"", 5, "load.gear", "\"km\" is not a unit", "bare number"),
    ("[load]\nkind = \"vehicel\"", 5, "load.kind", "not one of its words", "did you mean vehicle?"),
    ("[load]\nkind = 1", 5, "load.kind", "not one of its words", "dynamometer, vehicle, free"),
    ("[pump]\n[idle]\n[pump]", 6, "pump", "set twice", "keep one"),
    ("[[pump]]", 4, "pump", "this is a table", "write [pump]"),
    ("[pump]\nshot", 5, "", "not TOML", "a line reads"),
    ("[pump\nshot = \"2 cc\"", 4, "", "not TOML", "a line reads"),
    ("[family]", 4, "family", "set twice", "keep one"),
];

#[test]
fn each_mistake_is_told_with_file_line_key_and_remedy() {
    for (lines, line, key, message, mend) in BAD {
        let text = format!("{HEAD}{lines}\n");
        let all = problems(&text);
        let told = all.iter().any(|problem| {
            (problem.file.as_str(), problem.line, problem.key.as_str()) == ("car.toml", *line, *key)
                && problem.message.contains(message)
                && problem.mend.contains(mend)
        });
        assert!(told, "{lines}\n{all:#?}");
    }
}

/// Whole files, with the line, key and remedy of their only problem.
const BAD_HEADS: &[(&str, usize, &str, &str)] = &[
    ("[family]\nkind = \"bare_link\"", 1, "format_version", "begin it with format_version = 1"),
    ("format_version = 2\n[family]\nkind = \"bare_link\"", 1, "format_version", "write format_version = 1"),
    ("format_version = \"1\"\n[family]\nkind = \"bare_link\"", 1, "format_version", "write format_version = 1"),
    ("format_version = 1", 1, "family.kind", "vacuum_diaphragm"),
    ("format_version = 1\n\n[family]", 3, "family.kind", "vacuum_diaphragm"),
    ("format_version = 1\n[family]\nkind = \"vacum\"", 3, "family.kind", "did you mean vacuum_diaphragm?"),
    ("format_version = 1\n[family]\nkind = 3", 3, "family.kind", "twin_pump"),
    ("format_version = 1\ntitle = 3\n[family]\nkind = \"bare_link\"", 2, "title", "in quotes"),
    ("format_version = 1\nfamlly = 3\n[family]\nkind = \"bare_link\"", 2, "famlly", "did you mean family?"),
];

#[test]
fn a_bad_heading_is_told_with_line_key_and_remedy() {
    for (text, line, key, mend) in BAD_HEADS {
        let all = problems(text);
        assert_eq!(all.len(), 1, "{text}\n{all:#?}");
        assert_eq!((all[0].line, all[0].key.as_str()), (*line, *key), "{text}");
        assert!(all[0].mend.contains(mend), "{text}\n{all:#?}");
    }
}

#[test]
fn all_problems_are_told_at_once_in_the_order_of_their_lines() {
    let text =
        format!("{HEAD}[pedal]\nrest = 1\nrest = \"2 %\"\nfoo\nstab = \"9 s\"\n[pump]\nshoot = 3\n[pump]\nx = 1\n");
    let lines: Vec<_> = problems(&text).iter().map(|problem| problem.line).collect();
    assert_eq!(lines, [5, 6, 7, 8, 10, 11]);
}

#[test]
fn a_problem_is_shown_as_file_line_key_message_and_remedy() {
    let all = parse(&format!("{HEAD}[load]\ngear = 60\n"), "car.toml").unwrap_err();
    assert_eq!(all.to_string(), "car.toml:5: load.gear: 60 is outside its range; give 0.5 to 6");
}

#[test]
fn every_bound_that_a_message_states_is_accepted() {
    let scenarios: Vec<_> = FAMILIES.iter().map(Scenario::fresh).collect();
    for setting in scenarios
        .iter()
        .flat_map(|scenario| scenario.places().into_iter().map(|place| scenario.setting(place).unwrap()))
    {
        let Kind::Number { quantity, .. } = setting.kind else { continue };
        for unit in quantity.units() {
            for stated in setting.range(*unit, unit.symbol).split(" to ") {
                let read = value::read(setting, value::Raw::Text(stated));
                assert!(read.is_ok(), "{} {stated}: {read:?}", setting.id);
            }
        }
    }
}

#[test]
fn hostile_files_are_refused_and_nothing_panics() {
    let deep_array = format!("{HEAD}x = {}", "[".repeat(100_000));
    let deep_table = format!("{HEAD}x = {}", "{a=".repeat(100_000));
    let deep_key = format!("{HEAD}{} = 1", vec!["a"; 100_000].join("."));
    let long_key = format!("{HEAD}{} = 1", "a".repeat(500_000));
    let many_keys = format!("{HEAD}[pedal]\n{}", (0..20_000).map(|n| format!("k{n} = 1\n")).collect::<String>());
    let huge = "#".repeat(LARGEST_BYTES + 1);
    let escapes = format!("{HEAD}\"\\u001b[2J\" = 1\n");
    let texts: [&str; 12] =
        ["", "\0\0\0", "[", "[]", "[[", "= 1", "\"", "'''", &deep_array, &deep_table, &deep_key, &huge];
    for text in texts.into_iter().chain([long_key.as_str(), &many_keys, &escapes]) {
        let all = problems(text);
        for problem in &all {
            assert!(!problem.to_string().contains('\u{1b}'));
            assert!(problem.key.chars().count() < 200 && problem.message.chars().count() < 200);
        }
        assert!(!all.is_empty());
    }
}

#[test]
fn a_file_that_is_not_text_is_told_with_the_line_where_text_ends() {
    let path = scratch("not_text.toml");
    std::fs::write(&path, b"format_version = 1\n\xff\xfe").unwrap();
    let all = library::load(&path).unwrap_err().0;
    assert_eq!((all.len(), all[0].line), (1, 2));
    assert!(all[0].message.contains("UTF-8"));
}

#[test]
fn a_stem_stands_for_a_shipped_file_and_a_slip_in_it_is_pointed_out() {
    let stem = library::shipped()[0].stem;
    assert!(library::load(stem.as_ref()).is_ok());
    let all = library::load(format!("{stem}s").as_ref()).unwrap_err();
    assert!(all.to_string().contains(stem), "{all}");
}

#[test]
fn saving_replaces_the_whole_file_and_leaves_nothing_beside_it() {
    let folder = scratch("saving");
    let _ = std::fs::remove_dir_all(&folder);
    std::fs::create_dir(&folder).unwrap();
    let path = folder.join("car.toml");
    save_atomically(&path, "a long first text").unwrap();
    save_atomically(&path, "short").unwrap();
    assert_eq!(std::fs::read_to_string(&path).unwrap(), "short");
    assert_eq!(std::fs::read_dir(&folder).unwrap().count(), 1);
}

#[test]
fn saving_where_nothing_can_be_saved_says_what_and_how_to_mend_it() {
    let error = save_atomically(&scratch("no_such_folder").join("car.toml"), "x").unwrap_err().to_string();
    assert!(error.contains("car.toml") && error.contains("check that its folder exists"), "{error}");
}

fn scratch(name: &str) -> std::path::PathBuf {
    std::path::Path::new(env!("CARGO_TARGET_TMPDIR")).join(name)
}

/// A value of a setting: `share` of the way through its range or its words.
fn value_at(setting: &Setting, share: f64) -> f64 {
    match setting.kind {
        Kind::Number { least, most, .. } => (least + share * (most - least)).clamp(least, most),
        Kind::Choice(words) => (share * (words.len() - 1) as f64).round(),
    }
}

fn share() -> impl Strategy<Value = f64> {
    prop_oneof![Just(0.0), Just(1.0), 0.0..=1.0]
}

prop_compose! {
    fn any_scenario()(
        family in 0..FAMILIES.len(),
        title in any::<String>(),
        note in any::<String>(),
        shares in proptest::collection::vec(proptest::option::of(share()), 150),
    ) -> Scenario {
        let mut scenario = Scenario::fresh(&FAMILIES[family]);
        scenario.title = title;
        scenario.note = note;
        let places: Vec<Place> = scenario.places();
        assert!(places.len() <= shares.len());
        for (place, share) in places.into_iter().zip(shares) {
            let Some(share) = share else { continue };
            let value = value_at(scenario.setting(place).unwrap(), share);
            scenario.set(place, value).unwrap();
        }
        scenario
    }
}

/// Text that looks like TOML more often than chance would have it.
fn nearly_toml() -> impl Strategy<Value = String> {
    prop_oneof![
        any::<String>(),
        "[\\[\\]={}\"'\\\\ \nab1.,#_-]{0,80}",
        (0..20_usize, any::<prop::sample::Index>(), "[\\[\\]={}\"'\\\\ \n]{0,3}").prop_map(|(file, place, put)| {
            let shipped = library::shipped();
            let mut text: Vec<char> = shipped[file % shipped.len()].text.chars().collect();
            let place = place.index(text.len());
            text.splice(place..=place, put.chars());
            text.into_iter().collect()
        }),
    ]
}

proptest! {
    #[test]
    fn any_scenario_comes_back_from_its_own_text(scenario in any_scenario()) {
        for text in [serialize(&scenario), serialize_full(&scenario)] {
            match parse(&text, "again.toml") {
                Ok(again) => assert_same(&scenario, &again),
                Err(problems) => panic!("{problems}\n{text}"),
            }
        }
    }

    #[test]
    fn damaged_text_never_panics(text in nearly_toml()) {
        if let Err(problems) = parse(&text, "car.toml") {
            let lines = text.split('\n').count();
            prop_assert!(!problems.0.is_empty());
            prop_assert!(problems.0.iter().all(|problem| (1..=lines).contains(&problem.line)));
        }
    }
}

#[test]
fn every_shipped_soak_is_read_written_and_read_again() {
    let all = library::shipped_soaks();
    assert!(all.len() >= 5);
    for shipped in all {
        let titled = shipped.soak().unwrap_or_else(|problems| panic!("{problems}"));
        assert!(titled.note.contains("Invented data of Kestrel Yard"), "{}", shipped.stem);
        for text in [soak_file::serialize(&titled), soak_file::serialize_full(&titled)] {
            let again = soak_file::parse(&text, "again").unwrap_or_else(|problems| panic!("{problems}"));
            assert_eq!((&again.title, &again.note), (&titled.title, &titled.note));
            for place in titled.soak.places() {
                let (a, b) = (titled.soak.value(place).expect("a place"), again.soak.value(place).expect("the same"));
                // reading a number back through a unit rounds at most twice
                assert!((a - b).abs() <= 4.0 * f64::EPSILON * a.abs(), "{place:?}: {a} {b}");
            }
        }
    }
}

#[test]
fn a_bad_soak_tells_every_problem_at_once() {
    let text =
        "format_version = 1\n[ambient]\ntemprature = \"35 °C\"\n[volatility]\nreid = \"5 mm\"\n[engine]\nx = 1\n";
    let problems = soak_file::parse(text, "own.toml").expect_err("bad");
    let told: Vec<_> = problems.0.iter().map(|problem| (problem.line, problem.key.as_str())).collect();
    assert_eq!(told, [(3, "ambient.temprature"), (5, "volatility.reid"), (6, "engine")], "{problems}");
    assert!(problems.0[0].mend.contains("did you mean temperature"), "{problems}");
}

/// A table has a column a channel and a row a sample, and its figures are the run's.
#[test]
fn a_soak_is_told_as_a_table_and_as_findings() {
    let shipped = library::shipped_soaks();
    let titled = shipped[0].soak().expect("good");
    let run = second_breath::heat::run::run(&titled.soak).expect("runs");
    let table = soak_export::trace_csv(&run).expect("written");
    assert_eq!(table.lines().count(), run.trace.samples.len() + 1);
    assert!(table.starts_with("time_s,block_k,"), "{}", &table[..40]);
    let json = soak_export::findings_json(&titled.title, &run).expect("written");
    let value: serde_json::Value = serde_json::from_str(&json).expect("JSON");
    assert_eq!(value["findings"]["hottest_bowl_k"].as_f64(), run.findings.hottest_bowl_k);
    assert_eq!(value["events"].as_array().map(Vec::len), Some(run.events.len()));
}
