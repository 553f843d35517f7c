//! Words of the command line → one command.

use super::find::Task;
use lexopt::{Arg, Parser};
use second_breath::content::library;
use second_breath::content::problem::nearest;
use std::ffi::OsString;
use std::path::{Path, PathBuf};

/// The text of `--help`.
pub const HELP: &str = "\
second-breath: how a four-barrel carburettor delays or feeds its secondary barrels when the pedal is floored

  second-breath [open] [SCENARIO...]     open the window
  second-breath run SCENARIO... [--trace CSV] [--findings JSON] [--sure]
                                         run without a window and print the findings; --sure: how the verdict
                                         moves over the range of what is not known well
  second-breath find SCENARIO [--free KEYS] [--json FILE] [--out TOML]
                                         find the setting that pulls fastest without a hole
  second-breath list                     list the scenarios that come with the program
  second-breath --help | --version

SCENARIO is a TOML file, or the name of a scenario from the list.
KEYS are settings to be turned, such as family.wind_up,pump.shot=1cm3..3cm3; without them what tunes the family.
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
        /// Whether to study how sure each verdict is.
        sure: bool,
    },
    /// Search the best setting.
    Find(Task),
}

/// Options as they were given.
#[derive(Default)]
struct Options {
    trace: Option<PathBuf>,
    findings: Option<PathBuf>,
    sure: bool,
    free: Option<PathBuf>,
    json: Option<PathBuf>,
    out: Option<PathBuf>,
}

impl Options {
    /// The first option that belongs to another command than the given one.
    fn stray(&self, command: Option<&str>) -> Option<&'static str> {
        let of_run = self.trace.is_some() || self.findings.is_some() || self.sure;
        let of_find = self.free.is_some() || self.json.is_some() || self.out.is_some();
        if of_run && command != Some("run") {
            return Some("--trace, --findings and --sure go with run SCENARIO");
        }
        (of_find && command != Some("find")).then_some("--free, --json and --out go with find SCENARIO")
    }
}

/// The command that the arguments ask for, or what is wrong with them.
pub fn read(mut parser: Parser) -> Result<Command, String> {
    let mut words: Vec<OsString> = Vec::new();
    let mut options = Options::default();
    while let Some(argument) = parser.next().map_err(|error| error.to_string())? {
        match argument {
            Arg::Short('h') | Arg::Long("help") => return Ok(Command::Help),
            Arg::Short('V') | Arg::Long("version") => return Ok(Command::Version),
            Arg::Long("trace") => once(&mut options.trace, "--trace", &mut parser)?,
            Arg::Long("findings") => once(&mut options.findings, "--findings", &mut parser)?,
            Arg::Long("sure") => options.sure = true,
            Arg::Long("free") => once(&mut options.free, "--free", &mut parser)?,
            Arg::Long("json") => once(&mut options.json, "--json", &mut parser)?,
            Arg::Long("out") => once(&mut options.out, "--out", &mut parser)?,
            Arg::Value(word) => words.push(word),
            unknown => return Err(unknown_option(unknown)),
        }
    }
    command(words, options)
}

fn once(place: &mut Option<PathBuf>, name: &str, parser: &mut Parser) -> Result<(), String> {
    let value = parser.value().map_err(|error| error.to_string())?;
    if value.is_empty() {
        return Err(format!("{name} needs something after it"));
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
    match nearest(&name, ["--trace", "--findings", "--sure", "--free", "--json", "--out", "--help", "--version"]) {
        Some(near) => format!("there is no option {name}; did you mean {near}?"),
        None => format!("there is no option {name}"),
    }
}

fn command(words: Vec<OsString>, options: Options) -> Result<Command, String> {
    let rest = |from: usize| words.iter().skip(from).map(PathBuf::from).collect::<Vec<_>>();
    let first = words.first().and_then(|word| word.to_str());
    if let Some(message) = options.stray(first) {
        return Err(message.to_owned());
    }
    if first == Some("run") {
        let Options { trace, findings, sure, .. } = options;
        return match rest(1) {
            scenarios if scenarios.is_empty() => {
                Err("run needs a scenario: a file, or a name from the list".to_owned())
            }
            scenarios => Ok(Command::Run { scenarios, trace, findings, sure }),
        };
    }
    if first == Some("find") {
        let [scenario] = &rest(1)[..] else {
            return Err("find needs one scenario: a file, or a name from the list".to_owned());
        };
        let free = options.free.map(|free| free.to_string_lossy().into_owned());
        return Ok(Command::Find(Task { scenario: scenario.clone(), free, json: options.json, out: options.out }));
    }
    match first {
        Some("list") if words.len() > 1 => Err("list takes nothing more".to_owned()),
        Some("list") => Ok(Command::List),
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
    let near = nearest(word, ["run", "find", "list", "open"].into_iter().chain(stems));
    let near = near.map_or(String::new(), |near| format!("; did you mean {near}?"));
    format!("{} is neither a command nor a scenario{near}", word.escape_debug())
}
