//! Files that mean harm are told of, and nothing panics.

use super::{COURSE, EXAMPLES, file, lines};
use second_breath::content::quiz::bank::read;
use second_breath::content::quiz_check::check;

fn problems(text: &str) -> Vec<second_breath::content::problem::Problem> {
    read(&[file("q.toml", text)], &COURSE).1
}

#[test]
fn a_file_that_is_far_too_large_is_refused_at_once() {
    let text = format!("{}# {}", *EXAMPLES, "x".repeat(300_000));
    assert!(lines(&problems(&text)).contains("more than the"));
}

#[test]
fn very_many_items_and_very_long_lists_are_cut_short() {
    let many = format!("format_version = 1\ntopic = \"T\"\n{}", "[[item]]\n".repeat(10_000));
    assert!(lines(&problems(&many)).contains("too many items"));
    let solutions = "{ family.wind_up = \"540°\" }, ".repeat(2000);
    let long = EXAMPLES.replacen("{ family.wind_up = \"540°\" }", &solutions, 1);
    assert!(lines(&problems(&long)).contains("the list is too long"));
}

#[test]
fn deep_nesting_is_told() {
    for (open, close) in [("[", "]"), ("{a=", "}")] {
        let deep = format!("{}x = {}1{}\n", *EXAMPLES, open.repeat(5000), close.repeat(5000));
        assert!(!problems(&deep).is_empty());
    }
    for deep in ["(".repeat(200), "-".repeat(250), "2 ^ ".repeat(60), "sqrt ( ".repeat(35)] {
        let text = EXAMPLES.replacen("key = \"displacement", &format!("key = \"{deep}displacement"), 1);
        assert!(lines(&problems(&text)).contains("nested too deeply"), "{deep}: {}", lines(&problems(&text)));
    }
}

/// Values of every type that TOML has.
const OTHER: [&str; 10] = ["true", "1", "-1", "1e308", "nan", "\"\"", "\"\\u0000{\"", "[]", "{}", "1979-05-27"];

#[test]
fn a_value_of_any_other_type_is_told_or_read_and_never_panics() {
    for (place, line) in EXAMPLES.lines().enumerate() {
        let Some((key, value)) = line.split_once(" = ") else { continue };
        // a list over several lines would leave its rest behind
        if value.ends_with('[') {
            continue;
        }
        for other in OTHER {
            let replaced = format!("{key} = {other}");
            let text: String = EXAMPLES
                .lines()
                .enumerate()
                .map(|(at, line)| if at == place { &replaced } else { line }.to_owned() + "\n")
                .collect();
            let (bank, problems) = read(&[file("q.toml", &text)], &COURSE);
            // a list may be empty, and a mark may be missing; whatever is read in full is also checked
            if problems.is_empty() {
                check(&bank);
            }
        }
    }
}

#[test]
fn noise_in_a_file_never_panics() {
    let mut random = fastrand::Rng::with_seed(20);
    let signs: Vec<char> = "{}[]\"=.\n\\°³²λ\u{0}\u{feff}9e-".chars().collect();
    let characters: Vec<char> = EXAMPLES.chars().collect();
    for _ in 0..400 {
        let mut noisy = characters.clone();
        for _ in 0..random.usize(1..6) {
            let at = random.usize(0..noisy.len());
            match random.u8(0..4) {
                0 => noisy[at] = random.choice(signs.iter()).copied().expect("a sign"),
                1 => drop(noisy.drain(at..(at + random.usize(1..40)).min(noisy.len()))),
                2 => noisy.truncate(at.max(1)),
                _ => noisy.insert(at, random.char(..)),
            }
        }
        let (bank, _) = read(&[file("q.toml", &noisy.into_iter().collect::<String>())], &COURSE);
        for item in &bank.items {
            let asked = item.ask(random.u64(..));
            assert!(asked.choices().len() <= 20);
        }
    }
}
