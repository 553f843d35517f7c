//! Options of the command line: which there are, what follows them, and what was given.

use lexopt::Parser;
use second_breath::content::problem::nearest;
use std::ffi::OsString;
use std::path::PathBuf;

/// What follows an option.
#[derive(Clone, Copy, PartialEq)]
enum Follows {
    Nothing,
    Path,
    Value,
}

/// Every option: its name, the command that it goes with (of several the first), what follows it.
const OPTIONS: [(&str, &str, Follows); 23] = [
    ("--trace", "run", Follows::Path),
    ("--findings", "run", Follows::Path),
    ("--sure", "run", Follows::Nothing),
    ("--across", "map", Follows::Value),
    ("--up", "map", Follows::Value),
    ("--finding", "map", Follows::Value),
    ("--steps", "map", Follows::Value),
    ("--csv", "map", Follows::Path),
    ("--svg", "map", Follows::Path),
    ("--free", "find", Follows::Value),
    ("--json", "find", Follows::Path),
    ("--out", "find SCENARIO, advise CUSTOMER or handout", Follows::Path),
    ("--key", "handout", Follows::Nothing),
    ("--letter", "advise CUSTOMER or handout", Follows::Nothing),
    ("--course", "handout", Follows::Path),
    ("--seed", "advise", Follows::Value),
    ("--blank", "advise", Follows::Nothing),
    ("--outcomes", "paper-test or quizzes --import", Follows::Value),
    ("--items", "paper-test", Follows::Value),
    ("--answers", "paper-test", Follows::Path),
    ("--qti", "quizzes", Follows::Path),
    ("--import", "quizzes", Follows::Path),
    ("--into", "quizzes", Follows::Path),
];

/// That there is no option of this name.
pub fn unknown(name: &str) -> String {
    match nearest(name, OPTIONS.iter().map(|(name, ..)| *name).chain(["--help", "--version"])) {
        Some(near) => format!("there is no option {name}; did you mean {near}?"),
        None => format!("there is no option {name}"),
    }
}

/// Options with their values, until a command takes them.
#[derive(Default)]
pub struct Given(Vec<(&'static str, OsString)>);

impl Given {
    /// Take an option, named without its dashes, and what follows it.
    pub fn add(&mut self, word: &str, parser: &mut Parser) -> Result<(), String> {
        let Some((name, _, follows)) = OPTIONS.iter().find(|(name, ..)| name.strip_prefix("--") == Some(word)) else {
            return Err(unknown(&format!("--{}", word.escape_debug())));
        };
        let value = match follows {
            Follows::Nothing => OsString::new(),
            Follows::Path | Follows::Value => parser.value().map_err(|error| error.to_string())?,
        };
        match follows {
            Follows::Path if value.is_empty() => return Err(format!("{name} needs a path")),
            Follows::Value if value.is_empty() => return Err(format!("{name} needs a value")),
            _ => {}
        }
        if self.0.iter().any(|(other, _)| other == name) {
            return Err(format!("{name} is given twice; give it once"));
        }
        self.0.push((name, value));
        Ok(())
    }

    /// What was given with an option.
    pub fn take(&mut self, name: &str) -> Option<OsString> {
        let place = self.0.iter().position(|(other, _)| *other == name)?;
        Some(self.0.swap_remove(place).1)
    }

    /// A path.
    pub fn path(&mut self, name: &str) -> Option<PathBuf> {
        self.take(name).map(PathBuf::from)
    }

    /// A folder that is there.
    pub fn folder(&mut self, name: &str) -> Result<Option<PathBuf>, String> {
        match self.path(name) {
            Some(path) if !path.is_dir() => {
                Err(format!("{name} {}: there is no such folder", path.display().to_string().escape_debug()))
            }
            path => Ok(path),
        }
    }

    /// A text.
    pub fn text(&mut self, name: &str) -> Result<Option<String>, String> {
        let text = self.take(name).map(OsString::into_string).transpose();
        text.map_err(|bad| format!("{name} {}: this is no readable text", bad.to_string_lossy().escape_debug()))
    }

    /// A whole number, or what stands for it.
    pub fn whole<N: std::str::FromStr>(&mut self, name: &str, usual: N) -> Result<N, String> {
        let Some(text) = self.text(name)? else { return Ok(usual) };
        text.parse().map_err(|_| format!("{name} {}: give a whole number such as 1", text.escape_debug()))
    }

    /// Refuses options that do not go with what is asked for.
    pub fn none_left(&self) -> Result<(), String> {
        let Some((left, _)) = self.0.first() else { return Ok(()) };
        let command = OPTIONS.iter().find(|(name, ..)| name == left).map_or("", |(_, command, _)| command);
        let what = match command {
            "quizzes" => "",
            _ if command.starts_with("paper-test") => "",
            _ if command.ends_with("handout") => " LESSON",
            _ => " SCENARIO",
        };
        Err(format!("{left} goes with {command}{what}"))
    }
}
