//! The checks as a file that the program carries, and the section of the README that sums them up: both are written
//! here, from what the rows found.

use crate::comparisons;
use crate::table::Origin;
use second_breath::content::grounds::Grounds;
use second_breath::content::grounds_text::markdown;
use second_breath::units::rounded;
use std::path::{Path, PathBuf};

/// Set, the files are written instead of compared.
const WRITE: &str = "WRITE_GROUNDS";
const BEGIN: &str = "<!-- grounds: written by tests/reference/grounds.rs -->\n";
const END: &str = "<!-- grounds: end -->\n";

fn place(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(name)
}

fn text(name: &str) -> String {
    std::fs::read_to_string(place(name)).unwrap_or_else(|error| panic!("{name}: {error}"))
}

/// Figures are rounded so that another machine's last digits do not show.
fn checks_csv() -> String {
    let mut table = csv::WriterBuilder::new().from_writer(Vec::new());
    let head = "id,law,quantity,ours,reference,unit,difference,tolerance,origin,source,reason,agrees";
    table.write_record(head.split(',')).expect("a vector takes all");
    for c in comparisons() {
        let origin = match c.check.origin() {
            Origin::Published => "published",
            Origin::Library => "library",
            Origin::Numeric => "numeric",
            Origin::Arithmetic => "arithmetic",
        };
        let difference = if c.difference().abs() < 1e-7 { 0.0 } else { rounded(c.difference(), 1) };
        let unit = if c.check.unit == "-" { "" } else { &c.check.unit };
        let figures = [rounded(c.ours, 7), c.check.value].map(|value| value.to_string());
        let row = [
            c.row.id,
            c.row.law,
            &c.check.quantity,
            &figures[0],
            &figures[1],
            unit,
            &format!("{difference:e}"),
            &format!("{:e}", c.row.tolerance),
            origin,
            &source(&c.check.how),
            c.row.reason,
            if c.agrees() { "true" } else { "false" },
        ];
        table.write_record(row).expect("a vector takes all");
    }
    String::from_utf8(table.into_inner().expect("a vector takes all")).expect("text")
}

/// The table's shorthand in words; the origin stands in a column of its own.
fn source(how: &str) -> String {
    let rest = |mark: &str| how.strip_prefix(mark).map(str::trim);
    if let Some(source) = rest("published:").or(rest("lib ")) {
        return source.to_owned();
    }
    match (rest("num"), rest("arith")) {
        (Some(""), _) => "the same equation by another's numerics".to_owned(),
        (Some(how), _) => format!("the same equation by another's numerics: {how}"),
        (_, Some("")) => "the stated equation, evaluated once".to_owned(),
        (_, Some(how)) => format!("the stated equation, evaluated once {how}"),
        (None, None) => how.to_owned(),
    }
}

fn grounds(checks: &str) -> Grounds {
    let [laws, left_out, beliefs] =
        ["laws", "left_out", "beliefs"].map(|name| text(&format!("content/grounds/{name}.csv")));
    Grounds::parse(&laws, checks, &left_out, &beliefs).unwrap_or_else(|problems| panic!("{problems}"))
}

fn readme(section: &str) -> String {
    let old = text("README.md");
    let begin = old.find(BEGIN).expect("a mark where the section begins") + BEGIN.len();
    let end = old.find(END).expect("a mark where it ends");
    format!("{}\n{section}\n{}", &old[..begin], &old[end..])
}

#[test]
fn grounds_are_up_to_date() {
    let checks = checks_csv();
    let readme = readme(&markdown(&grounds(&checks)));
    for (name, now) in [("content/grounds/checks.csv", checks), ("README.md", readme)] {
        if std::env::var_os(WRITE).is_some() {
            std::fs::write(place(name), now).unwrap_or_else(|error| panic!("{name}: {error}"));
        } else {
            let same = text(name) == now;
            assert!(same, "{name} is out of date: {WRITE}=1 cargo test --test reference grounds_are_up_to_date");
        }
    }
}

/// Each law says in few words what it is and where it comes from; each that no independent check watches to 1 % says
/// why.
#[test]
fn every_law_has_a_check_or_says_why_not() {
    let grounds = grounds(&checks_csv());
    for law in &grounds.laws {
        let words = law.words.split_whitespace().count();
        assert!((1..=25).contains(&words), "{}: {words} words", law.id);
        assert!(!law.title.is_empty() && !law.source.is_empty() && !law.equation.is_empty(), "{}", law.id);
        let beginning = match (law.independent(), law.sees_one_percent()) {
            (_, true) => {
                assert!(law.unseen.is_empty(), "{} is watched to 1 %: {}", law.id, law.unseen);
                continue;
            }
            (true, false) => "no row sees 1 %: ",
            (false, _) => "no independent check: ",
        };
        assert!(law.unseen.starts_with(beginning), "{} must say {beginning}why: {:?}", law.id, law.unseen);
    }
}

#[test]
fn what_the_program_carries_can_be_read() {
    let grounds = Grounds::shipped().unwrap_or_else(|problems| panic!("{problems}"));
    assert!(grounds.laws.len() > 50 && grounds.left_out.len() > 10 && !grounds.beliefs.is_empty());
    assert_eq!(grounds.summary().failing, 0);
}

#[test]
fn every_problem_of_the_files_is_reported() {
    let head = "law,room,title,words,equation,source,confidence,leaves_out,unseen\n";
    let laws = format!("{head}a,air,t,w,e,s,published,,\na,air,t,w,e,s,published,,\nb,cellar,t,w,e,s,published,,\n");
    let checks = "id,law,quantity,ours,reference,unit,difference,tolerance,origin,source,reason,agrees\n\
                  C1,z,q,1,1,,0,1e-5,library,s,r,true\nC2,a,q,one,1,,0,1e-5,library,s,r,true\n";
    let problems = Grounds::parse(&laws, checks, "room,what,effect\n", "belief,model\n").expect_err("four problems");
    let places: Vec<_> = problems.0.iter().map(|problem| (problem.file.as_str(), problem.line)).collect();
    assert_eq!(places, [("laws.csv", 4), ("checks.csv", 3), ("laws.csv", 3), ("checks.csv", 2)], "{problems}");
}
