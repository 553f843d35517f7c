//! Words of the command line → one command.

use lexopt::{Arg, Parser};
use second_breath::content::library;
use second_breath::content::problem::nearest;
use std::ffi::OsString;
use std::path::{Path, PathBuf};

/// The text of `--help`.
pub const HELP: &str = "\
second-breath: how a four-barrel carburettor delays or feeds its secondary barrels when the pedal is floored

  second-breath [open] [SCENARIO...]     open the window
  second-breath run SCENARIO... [--trace CSV] [--findings JSON]
                                         run without a window and print the findings
  second-breath list                     list the scenarios that come with the program
  second-breath check [FOLDER]           check a course: read it, run its live blocks, ask every claim
  second-breath --help | --version

SCENARIO is a TOML file, or the name of a scenario from the list.
FOLDER holds course.toml and lessons; it adds to the course that comes with the program. Without it that one is checked.
With several scenarios, CSV and JSON are a folder, or a path in which {} stands for the scenario's name.

Exit status: 0 all ran; 1 a scenario or a course was bad or a file could not be written; 2 wrong usage.
";

/// What is asked for.
#[derive(Debug, PartialEq)]
pub enum Command {
    /// Print the help.
    Help,
    /// Print the version.
    Version,
    /// List the shipped scenarios.
    List,
    /// Check the course in a folder, or the one that comes with the program.
    Check(Option<PathBuf>),
    /// Open the window with these files.
    Open(Vec<PathBuf>),
    /// Run without a window.
    Run {
        /// Paths or names of shipped scenarios; at least one.
        scenarios: Vec<PathBuf>,
        /// Where traces go.
        trace: Option<PathBuf>,
        /// Where findings go.
        findings: Option<PathBuf>,
    },
}

/// The command that the arguments ask for, or what is wrong with them.
pub fn read(mut parser: Parser) -> Result<Command, String> {
    let mut words: Vec<OsString> = Vec::new();
    let (mut trace, mut findings) = (None, None);
    while let Some(argument) = parser.next().map_err(|error| error.to_string())? {
        match argument {
            Arg::Short('h') | Arg::Long("help") => return Ok(Command::Help),
            Arg::Short('V') | Arg::Long("version") => return Ok(Command::Version),
            Arg::Long("trace") => once(&mut trace, "--trace", &mut parser)?,
            Arg::Long("findings") => once(&mut findings, "--findings", &mut parser)?,
            Arg::Value(word) => words.push(word),
            unknown => return Err(unknown_option(unknown)),
        }
    }
    command(words, trace, findings)
}

fn once(place: &mut Option<PathBuf>, name: &str, parser: &mut Parser) -> Result<(), String> {
    let value = parser.value().map_err(|error| error.to_string())?;
    if value.is_empty() {
        return Err(format!("{name} needs a path"));
    }
    match place.replace(PathBuf::from(value)) {
        None => Ok(()),
        Some(_) => Err(format!("{name} is given twice; give it once")),
    }
}

fn unknown_option(argument: Arg<'_>) -> String {
    let name = match argument {
        Arg::Short(letter) => format!("-{}", letter.escape_debug()),
        Arg::Long(word) => format!("--{}", word.escape_debug()),
        Arg::Value(word) => word.to_string_lossy().into_owned(),
    };
    match nearest(&name, ["--trace", "--findings", "--help", "--version"]) {
        Some(near) => format!("there is no option {name}; did you mean {near}?"),
        None => format!("there is no option {name}"),
    }
}

fn command(words: Vec<OsString>, trace: Option<PathBuf>, findings: Option<PathBuf>) -> Result<Command, String> {
    let rest = |from: usize| words.iter().skip(from).map(PathBuf::from).collect::<Vec<_>>();
    let first = words.first().and_then(|word| word.to_str());
    if first == Some("run") {
        return match rest(1) {
            scenarios if scenarios.is_empty() => {
                Err("run needs a scenario: a file, or a name from the list".to_owned())
            }
            scenarios => Ok(Command::Run { scenarios, trace, findings }),
        };
    }
    if trace.is_some() || findings.is_some() {
        return Err("--trace and --findings go with run SCENARIO".to_owned());
    }
    match first {
        Some("list") if words.len() > 1 => Err("list takes nothing more".to_owned()),
        Some("list") => Ok(Command::List),
        Some("check") if words.len() > 2 => Err("check takes one folder".to_owned()),
        Some("check") => Ok(Command::Check(rest(1).pop())),
        Some("open") => Ok(Command::Open(rest(1))),
        Some(word) if !is_scenario(Path::new(word)) => Err(unknown_command(word)),
        _ => Ok(Command::Open(rest(0))),
    }
}

fn is_scenario(path: &Path) -> bool {
    path.exists() || path.to_str().and_then(library::shipped_named).is_some()
}

fn unknown_command(word: &str) -> String {
    let stems: Vec<_> = library::shipped().iter().map(|shipped| shipped.stem).collect();
    let near = nearest(word, ["run", "list", "check", "open"].into_iter().chain(stems));
    let near = near.map_or(String::new(), |near| format!("; did you mean {near}?"));
    format!("{} is neither a command nor a scenario{near}", word.escape_debug())
}
