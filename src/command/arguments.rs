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
  second-breath map SCENARIO --across SETTING --up SETTING [--finding ID] [--steps N] [--csv CSV] [--svg SVG]
                                         run every crossing of two settings; a table of all findings, a picture of one
  second-breath list                     list the scenarios that come with the program
  second-breath --help | --version

SCENARIO is a TOML file, or the name of a scenario from the list.
SETTING is group.key as in scenario files, or group.key=from..to such as pedal.stab=50..400ms; without a range it is
taken about the scenario's own value. ID is a finding as in the findings file, N the values along each axis: 2 to 64.
With several scenarios, CSV and JSON are a folder, or a path in which {} stands for the scenario's name.

Exit status: 0 all ran; 1 a scenario was bad or a file could not be written; 2 wrong usage.
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
    /// A map of two settings.
    Map(MapWords),
}

/// What a map is asked for with; the words are read when the scenario is known.
#[derive(Debug, PartialEq)]
pub struct MapWords {
    /// Path or name of a shipped scenario.
    pub scenario: PathBuf,
    /// Setting to the right, with or without its range.
    pub across: String,
    /// Setting upwards.
    pub up: String,
    /// Id of the finding.
    pub finding: Option<String>,
    /// Values along each axis.
    pub steps: Option<String>,
    /// Where the table goes.
    pub csv: Option<PathBuf>,
    /// Where the picture goes.
    pub svg: Option<PathBuf>,
}

/// Every option with a value, by what it goes with.
const RUN_OPTIONS: [&str; 2] = ["--trace", "--findings"];
const MAP_OPTIONS: [&str; 6] = ["--across", "--up", "--finding", "--steps", "--csv", "--svg"];

/// Options with their values.
type Given = Vec<(&'static str, OsString)>;

/// The command that the arguments ask for, or what is wrong with them.
pub fn read(mut parser: Parser) -> Result<Command, String> {
    let mut words: Vec<OsString> = Vec::new();
    let mut given: Given = Vec::new();
    while let Some(argument) = parser.next().map_err(|error| error.to_string())? {
        match argument {
            Arg::Short('h') | Arg::Long("help") => return Ok(Command::Help),
            Arg::Short('V') | Arg::Long("version") => return Ok(Command::Version),
            Arg::Long(word) => match option(word) {
                Some(name) => once(&mut given, name, &mut parser)?,
                None => return Err(unknown_option(Arg::Long(word))),
            },
            Arg::Value(word) => words.push(word),
            unknown => return Err(unknown_option(unknown)),
        }
    }
    command(words, given)
}

fn option(word: &str) -> Option<&'static str> {
    RUN_OPTIONS.into_iter().chain(MAP_OPTIONS).find(|name| name.strip_prefix("--") == Some(word))
}

fn once(given: &mut Given, name: &'static str, parser: &mut Parser) -> Result<(), String> {
    let value = parser.value().map_err(|error| error.to_string())?;
    if value.is_empty() {
        let what = if ["--trace", "--findings", "--csv", "--svg"].contains(&name) { "a path" } else { "a value" };
        return Err(format!("{name} needs {what}"));
    }
    if given.iter().any(|(other, _)| *other == name) {
        return Err(format!("{name} is given twice; give it once"));
    }
    given.push((name, value));
    Ok(())
}

fn unknown_option(argument: Arg<'_>) -> String {
    let name = match argument {
        Arg::Short(letter) => format!("-{}", letter.escape_debug()),
        Arg::Long(word) => format!("--{}", word.escape_debug()),
        Arg::Value(word) => word.to_string_lossy().into_owned(),
    };
    let known = RUN_OPTIONS.into_iter().chain(MAP_OPTIONS).chain(["--help", "--version"]);
    match nearest(&name, known) {
        Some(near) => format!("there is no option {name}; did you mean {near}?"),
        None => format!("there is no option {name}"),
    }
}

fn take(given: &mut Given, name: &str) -> Option<OsString> {
    let place = given.iter().position(|(other, _)| *other == name)?;
    Some(given.swap_remove(place).1)
}

fn path(given: &mut Given, name: &str) -> Option<PathBuf> {
    take(given, name).map(PathBuf::from)
}

/// Refuses options that do not go with what is asked for.
fn none_left(given: &Given) -> Result<(), String> {
    match given.first() {
        None => Ok(()),
        Some((name, _)) if MAP_OPTIONS.contains(name) => Err(format!("{name} goes with map SCENARIO")),
        Some(_) => Err("--trace and --findings go with run SCENARIO".to_owned()),
    }
}

fn command(words: Vec<OsString>, mut given: Given) -> Result<Command, String> {
    let rest = |from: usize| words.iter().skip(from).map(PathBuf::from).collect::<Vec<_>>();
    let first = words.first().and_then(|word| word.to_str());
    match first {
        Some("run") => {
            let (trace, findings) = (path(&mut given, "--trace"), path(&mut given, "--findings"));
            none_left(&given)?;
            match rest(1) {
                scenarios if scenarios.is_empty() => {
                    Err("run needs a scenario: a file, or a name from the list".to_owned())
                }
                scenarios => Ok(Command::Run { scenarios, trace, findings }),
            }
        }
        Some("map") => map(rest(1), given),
        _ => {
            none_left(&given)?;
            match first {
                Some("list") if words.len() > 1 => Err("list takes nothing more".to_owned()),
                Some("list") => Ok(Command::List),
                Some("open") => Ok(Command::Open(rest(1))),
                Some(word) if !is_scenario(Path::new(word)) => Err(unknown_command(word)),
                _ => Ok(Command::Open(rest(0))),
            }
        }
    }
}

fn map(mut scenarios: Vec<PathBuf>, mut given: Given) -> Result<Command, String> {
    if scenarios.len() > 1 {
        return Err("map takes one scenario; call it once for each".to_owned());
    }
    let Some(scenario) = scenarios.pop() else {
        return Err("map needs a scenario: a file, or a name from the list".to_owned());
    };
    let mut text = |name| {
        let text = take(&mut given, name).map(OsString::into_string).transpose();
        text.map_err(|bad| format!("{name} {}: this is no readable text", bad.to_string_lossy().escape_debug()))
    };
    let need = |name: &str| {
        format!("map needs {name} with a setting, such as {name} pedal.stab or {name} pedal.stab=50..400ms")
    };
    let across = text("--across")?.ok_or_else(|| need("--across"))?;
    let up = text("--up")?.ok_or_else(|| need("--up"))?;
    let (finding, steps) = (text("--finding")?, text("--steps")?);
    let (csv, svg) = (path(&mut given, "--csv"), path(&mut given, "--svg"));
    none_left(&given)?;
    if csv.is_none() && svg.is_none() {
        return Err("map needs a file to write: --csv for a table, --svg for a picture, or both".to_owned());
    }
    Ok(Command::Map(MapWords { scenario, across, up, finding, steps, csv, svg }))
}

fn is_scenario(path: &Path) -> bool {
    path.exists() || path.to_str().and_then(library::shipped_named).is_some()
}

fn unknown_command(word: &str) -> String {
    let stems: Vec<_> = library::shipped().iter().map(|shipped| shipped.stem).collect();
    let near = nearest(word, ["run", "map", "list", "open"].into_iter().chain(stems));
    let near = near.map_or(String::new(), |near| format!("; did you mean {near}?"));
    format!("{} is neither a command nor a scenario{near}", word.escape_debug())
}
