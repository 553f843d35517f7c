//! Exchange by open standards: tables that no spreadsheet runs, statements that name nobody, packages that come back the
//! same and take nothing hostile in.

mod package;
mod package_form;
mod statements;
mod tables;

use second_breath::learning::record::{Answer, LearnerCode, Mode};

/// An answer with texts that a table, a statement or an address could stumble over.
fn answer() -> Answer {
    Answer {
        at_unix_s: 1_709_251_199,
        learner: LearnerCode::parse("k7m2qd").expect("a code"),
        item: "../pump/\u{fc}?".to_owned(),
        seed: u64::MAX,
        mode: Mode::Test { form: "@A".to_owned() },
        chosen: "=1+1,\"x\"\r\ny".to_owned(),
        right: false,
        score: 0.25,
        seconds: 61.239,
        misconception: Some("-bigger is safer".to_owned()),
    }
}
