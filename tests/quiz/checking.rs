//! The bank is sound, and every planted mistake is found with its place.

use super::{EXAMPLES, lines, problems_of};
use second_breath::content::quiz::bank::bank;
use second_breath::content::quiz_check::{check, check_files, check_outcomes};
use second_breath::learning::quiz::item::Kind;

#[test]
fn the_whole_bank_is_read_and_proved() {
    let (bank, mut problems) = bank(None);
    let reports = check(&bank);
    problems.extend(reports.iter().flat_map(|report| report.problems.clone()));
    problems.extend(check_files(&bank));
    assert!(problems.is_empty(), "{}", lines(&problems));
    for kind in Kind::IDS {
        assert!(reports.iter().filter(|report| report.kind == kind).count() >= 2, "items of the kind {kind}");
    }
    assert!(reports.iter().all(|report| report.runs > 0 || matches!(report.kind, "choice" | "numeric")));
}

#[test]
fn every_outcome_has_at_least_three_items() {
    let short = check_outcomes(&bank(None).0);
    assert!(short.is_empty(), "{}", lines(&short));
}

#[test]
fn outcomes_without_enough_items_are_told() {
    let short = check_outcomes(&super::BANK);
    assert!(short.iter().any(|problem| problem.key == "outcome 24" && problem.message.contains("0 of at least 3")));
}

#[test]
fn the_examples_of_the_format_are_read_and_proved() {
    assert_eq!(super::BANK.items.len(), Kind::IDS.len());
    let problems = problems_of(&EXAMPLES);
    assert!(problems.is_empty(), "{}", lines(&problems));
}

/// What is planted in the examples: what stands there, what is written instead, and what must be said of it.
const PLANTED: &[(&str, &str, &str)] = &[
    // every item
    ("kind = \"choice\"", "kind = \"chioce\"", "did you mean choice?"),
    ("outcomes = [9]\n", "outcomes = [25]\n", "these are not outcomes"),
    ("outcomes = [9]\n", "", "item.outcomes: this is missing"),
    ("lesson = \"10_twin_pump\"", "lesson = \"10_twin_pumps\"", "did you mean 10_twin_pump?"),
    (
        "source = \"the model's own run\"",
        "sauce = \"x\"",
        "item.sauce: there is no such key here; did you mean source?",
    ),
    ("id = \"example_two_pumps\"", "id = \"Two pumps\"", "is no id"),
    ("scenario = \"01_bare_link\"\nagainst", "scenario = \"01_bear_link\"\nagainst", "did you mean 01_bare_link?"),
    ("What does the second pump change?", "What does it change, {1.lost_s}?", "the question tells no value of the run"),
    ("topic = \"Examples\"", "", "topic: this is missing"),
    ("format_version = 1", "format_version = 2", "version 2 is not read here"),
    // choice
    ("right = true, answer = \"Its shot", "answer = \"Its shot", "0 options are right"),
    ("misconception = \"the pump delays the air\", ", "", "options.misconception: this is missing"),
    ("claim = \"2.lost_s < 0.5 * 1.lost_s\"", "claim = \"2.lost_s > 1.lost_s\"", "does not hold"),
    (
        "claim = \"2.secondary_air_s > 1.5 * 1.secondary_air_s\"",
        "claim = \"2.lost_s < 1.lost_s\"",
        "its option is called wrong",
    ),
    ("2.secondary_air_s > 1.5", "2.secondery_air_s > 1.5", "did you mean secondary_air_s?"),
    ("{1.lost_s}.\"", "{1.secondary_fuel_fails}.\"", "a value that is not in the run"),
    ("The air comes much later", "None of the above", "speaks of the other options"),
    ("The air comes much later", "The hole gets much smaller.", "is there twice"),
    (
        "The air comes much later",
        "The air comes much later than it would have come with the one pump that all such cars have",
        "make them about equally long",
    ),
    ("What does the second pump change?", "What changes with the second pump", "the stem is not whole"),
    ("What does the second pump change?", "What does it not change?", "\"not\" in the stem"),
    ("What does the second pump change?", "What doesn't it change?", "\"doesn't\" in the stem"),
    (
        "Two cars are alike, but one has a second pump.",
        "Comparable automobiles incorporating supplementary accelerator configurations experience considerable \
         transient enrichment immediately following actuation of secondary apertures irrespective of atmospheric considerations.",
        "its reading grade is",
    ),
    // numeric
    ("step = \"250 rpm\"", "step = \"300 rpm\"", "do not lead there"),
    ("step = \"250 rpm\"", "step = \"250 km/h\"", "different units"),
    ("unit = \"cfm\"", "unit = \"cmf\"", "is not a unit"),
    ("unit = \"cfm\"", "unit = \"g\"", "can mean two things; say which: quantity = one of small_mass, acceleration"),
    ("tolerance = \"3 %\"", "tolerance = \"80 %\"", "tolerance"),
    ("to = \"5 cfm\"", "to = \"60 cfm\"", "leaves the tolerance"),
    ("filling / 100 / 3456\"", "fillling / 100 / 3456\"", "did you mean filling?"),
    ("filling / 100 / 3456\"", "filling / (100 / 3456\"", "a ( is not closed"),
    ("filling / 100 / 3456\"", "filling / (100 - 100)\"", "there is no right answer"),
    ("filling / 100 / 1728\"", "filling / 100 / 3450\"", "as good as the right"),
    // 95 % filled is within 6 % of all filled
    ("tolerance = \"3 %\"", "tolerance = \"6 %\"", "filling = 95 %"),
    ("{key}.", "{kye}.", "nothing fills"),
    // order
    ("\"secondary_air\", \"lean_limit\", ", "", "there are 1 events"),
    ("\"lean_limit\", \"secondary_fuel\"]", "\"lean_limits\", \"secondary_fuel\"]", "did you mean lean_limit?"),
    ("\"lean_limit\", \"secondary_fuel\"]", "\"lean_limit\", \"stalls\"]", "stalls does not happen in the run"),
    ("apart = \"20 ms\"\nmistakes", "apart = \"900 ms\"\nmistakes", "ms apart, less than 900 ms"),
    (
        "first = \"secondary_fuel\", then = \"secondary_air\"",
        "first = \"secondary_air\", then = \"secondary_fuel\"",
        "so that is no mistake",
    ),
    // point
    ("parts = [\"secondary_well\"]", "parts = [\"secondary_wall\"]", "did you mean secondary_well?"),
    ("parts = [\"secondary_well\"]", "parts = [\"metering_rod\"]", "the drawing does not show \"metering_rod\""),
    ("part = \"secondary_bowl\"", "part = \"secondary_well\"", "this part is also right"),
    ("at = \"0.2 s\"", "at = \"90 s\"", "the run is over"),
    ("at = \"0.2 s\"", "at = \"soon\"", "this is not a time"),
    // sketch
    ("sketch = \"1.lambda\"", "sketch = \"1.lamda\"", "did you mean lambda?"),
    ("most = 2\n", "most = 1.1\n", "the run leaves the paper"),
    ("most = 2\n", "most = 60\n", "a level line would be right"),
    ("to = \"1.2 s\"", "to = \"60 s\"", "the run is over"),
    // tune
    ("goal = [\"1.verdict == clean\"]", "goal = [\"1.lost_s < 1\"]", "reached before anything is turned"),
    ("family.wind_up = \"540°\"", "family.wind_up = \"60°\"", "does not reach the goal"),
    ("family.wind_up = \"540°\"", "pump.shot = \"2 cm³\"", "a setting that is not free"),
    (
        "{ family.wind_up = \"540°\" }",
        "{ family.wind_up = \"540°\", secondary.main_jet = \"1.5 mm\" }",
        "2 settings are changed",
    ),
    ("changes = 1\n", "changes = 4\n", "more may be changed than is free"),
    ("solutions = [{ family.wind_up = \"540°\" }]\n", "", "there is no solution"),
    // fault
    ("fault = \"small_rear_jets\"", "fault = \"small_rear_jet\"", "did you mean small_rear_jets?"),
    (
        "set.pump.shot = \"0.3 cm³\"",
        "set.secondary.main_jet = \"1.4 mm\"",
        "no measurement tells the fault from \"small_shot\"",
    ),
    ("set.secondary.main_jet = \"1.4 mm\"", "set.secondary.main_jet = \"1.71 mm\"", "from a sound one"),
    ("figure = \"1.lambda.max\"", "figure = \"1.pump.shot\"", "give the fault away"),
    ("apart = \"20 ms\" },", "apart = \"20 mm\" },", "this is not an amount"),
    ("set.pump.shot = \"0.3 cm³\", ", "", "it changes nothing"),
];

#[test]
fn every_planted_mistake_is_found_and_told_with_its_place() {
    let last = EXAMPLES.lines().count();
    let mut missed = String::new();
    for (there, instead, expected) in PLANTED {
        assert!(EXAMPLES.contains(there), "the examples have {there}");
        let problems = problems_of(&EXAMPLES.replacen(there, instead, 1));
        let found = problems.iter().find(|problem| problem.to_string().contains(expected));
        let Some(found) = found else {
            missed += &format!("{there:?} as {instead:?} is not told as {expected:?} but: {}\n", lines(&problems));
            continue;
        };
        assert!(found.line >= 1 && found.line <= last && !found.mend.is_empty() && found.file == "q.toml", "{found}");
    }
    assert!(missed.is_empty(), "{missed}");
}

#[test]
fn a_problem_names_the_line_at_which_it_stands() {
    for (there, instead, expected) in [
        ("apart = \"20 ms\" },", "apart = \"20 mm\" },", "not an amount"),
        ("goal = [", "gaol = [", "did you mean goal?"),
    ] {
        let line = EXAMPLES.lines().position(|line| line.contains(there)).expect("it is there") + 1;
        let problems = problems_of(&EXAMPLES.replacen(there, instead, 1));
        let found =
            problems.iter().find(|problem| problem.message.contains(expected) || problem.mend.contains(expected));
        assert_eq!(found.map(|problem| problem.line), Some(line), "{}", lines(&problems));
    }
}

#[test]
fn all_problems_of_a_file_are_told_at_once() {
    let text = EXAMPLES
        .replacen("kind = \"order\"", "kind = \"odrer\"", 1)
        .replacen("unit = \"cfm\"", "unit = \"cmf\"", 1)
        .replacen("goal = [", "gaol = [", 1);
    let told = lines(&problems_of(&text));
    for expected in ["did you mean order?", "\"cmf\" is not a unit", "did you mean goal?"] {
        assert!(told.contains(expected), "{told}");
    }
}

#[test]
fn a_right_option_that_is_nearly_always_the_longest_is_told() {
    let item = |number: usize| {
        format!(
            "[[item]]\nid = \"item_{number}\"\nkind = \"choice\"\noutcomes = [1]\nsource = \"s\"\nstem = \"Which?\"\n\
             options = [{{ text = \"It is long\", right = true, answer = \"Yes.\" }}, {{ text = \"It is\", misconception = \"m\", answer = \"No.\" }}]\n"
        )
    };
    let text: String =
        std::iter::once("format_version = 1\ntopic = \"T\"\n".to_owned()).chain((0..6).map(item)).collect();
    assert!(lines(&problems_of(&text)).contains("the right option is the longest in 6 of 6"));
    let half = text.replacen("\"It is\"", "\"It is short\"", 3);
    assert!(problems_of(&half).is_empty(), "{}", lines(&problems_of(&half)));
}

#[test]
fn a_number_of_the_run_is_proved_for_every_value_that_sets_it() {
    let item = |step: &str, slip: &str| {
        format!(
            "format_version = 1\ntopic = \"T\"\n[[item]]\nid = \"shot\"\nkind = \"numeric\"\noutcomes = [9]\nsource = \"s\"\n\
             scenario = \"01_bare_link\"\nstem = \"The shot is {{shot}}. How much is lost?\"\n\
             draw.shot = {{ from = \"0.4 cm³\", to = \"1.6 cm³\", step = \"{step}\", sets = \"pump.shot\" }}\n\
             key = \"1.lost_s[ms]\"\nunit = \"ms\"\ntolerance = \"10 ms\"\nto = \"10 ms\"\n\
             slips = [{{ key = \"{slip}\", misconception = \"m\", answer = \"No.\" }}]\nexplain = \"It is {{key}}.\"\n"
        )
    };
    assert!(
        problems_of(&item("0.4 cm³", "1.lost_s[ms] + 50")).is_empty(),
        "{}",
        lines(&problems_of(&item("0.4 cm³", "1.lost_s[ms] + 50")))
    );
    let coincides = problems_of(&item("0.4 cm³", "1.lost_s[ms] + 5 * (shot - 1.6)"));
    assert!(lines(&coincides).contains("as good as the right"), "{}", lines(&coincides));
    let many = problems_of(&item("0.01 cm³", "1.lost_s[ms] + 50"));
    assert!(lines(&many).contains("121 sets of values"), "{}", lines(&many));
    let outside = problems_of(&item("0.4 cm³", "1.lost_s[ms] + 50").replace("1.6 cm³", "9.6 cm³"));
    assert!(lines(&outside).contains("is not accepted by the setting"), "{}", lines(&outside));
    let unitless = problems_of(&item("0.4 cm³", "1.lost_s + 50"));
    assert!(lines(&unitless).contains("does not say its unit"), "{}", lines(&unitless));
}
