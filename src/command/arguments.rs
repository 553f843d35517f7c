//! Words of the command line → one command.

use super::advise;
use super::find::Task;
use super::handout::Task as Handout;
use super::options::{Given, unknown};
use super::{paper_test, quizzes};
use lexopt::{Arg, Parser};
use second_breath::content::problem::{list, nearest};
use second_breath::content::{customers, library};
use second_breath::learning::outcomes::OUTCOMES;
use second_breath::report::handout::Reader;
use second_breath::report::page::Paper;
use second_breath::report::paper_test::Wanted;
use std::ffi::OsString;
use std::path::{Path, PathBuf};

/// The text of `--help`.
pub const HELP: &str = "\
second-breath: how a four-barrel carburettor delays or feeds its secondary barrels when the pedal is floored

  second-breath [open] [SCENARIO...]     open the window
  second-breath run SCENARIO... [--trace CSV] [--findings JSON] [--sure]
                                         run without a window and print the findings; --sure: how the verdict
                                         moves over the range of what is not known well
  second-breath map SCENARIO --across SETTING --up SETTING [--finding ID] [--steps N] [--csv CSV] [--svg SVG]
                                         run every crossing of two settings; a table of all findings, a picture of one
  second-breath find SCENARIO [--free KEYS] [--json FILE] [--out TOML]
                                         find the setting that pulls fastest without a hole
  second-breath handout LESSON [--key] [--letter] [--course FOLDER] --out PDF
                                         print a lesson; --key: with the answers, for the instructor
  second-breath paper-test [--outcomes N,N] [--items N] [--seed N] [--letter] [--course FOLDER] --out PDF --answers PDF
                                         a test on paper and its key; the same seed gives the same test
  second-breath quizzes --qti ZIP [--seed N] [--course FOLDER]
                                         write the choice and number items as a QTI 2.2 package
  second-breath quizzes --import ZIP --into FOLDER [--outcomes N,N]
                                         take such a package into a course folder; the outcomes are for items without
  second-breath advise CUSTOMER [--json FILE] [--csv FILE] [--out PDF] [--letter] [--seed N]
                                         recommend what suits a customer, ranked by runs, with settings and reasons;
                                         --out: the page that the customer takes home
  second-breath advise --blank           print a customer's card to be filled in
  second-breath soak SOAK... [--trace CSV] [--findings JSON]
                                         let a warm engine stand and start it again; print what heat did to the fuel
  second-breath list                     list the scenarios and soaks that come with the program
  second-breath check [FOLDER]           check a course: read it, run its live blocks, ask every claim
  second-breath grounds                  print what the program rests on: laws, sources, checks, what is left out
  second-breath --help | --version

SCENARIO is a TOML file, or the name of a scenario from the list. CUSTOMER is a TOML file, or a name that comes along
such as 01_heavy_wagon; the same N gives the same recommendation.
SOAK is a TOML file, or the name of a heat soak from the list.
SETTING is group.key as in scenario files, or group.key=from..to such as pedal.stab=50..400ms; without a range it is
taken about the scenario's own value. ID is a finding as in the findings file, N the values along each axis: 2 to 64.
KEYS are settings to be turned, such as family.wind_up,pump.shot=1cm3..3cm3; without them what tunes the family.
LESSON is the name of a lesson's file or its number in the course. Paper is A4, with --letter 8.5 x 11 inches.
FOLDER holds course.toml and lessons; it adds to the course that comes with the program. Without it that one is checked.
With several scenarios or soaks, CSV and JSON are a folder, or a path in which {} stands for its name.

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
    /// Print what the program rests on.
    Grounds,
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
    /// Let warm engines stand.
    Soak {
        /// Paths or names of shipped soaks; at least one.
        soaks: Vec<PathBuf>,
        /// Where traces go.
        trace: Option<PathBuf>,
        /// Where findings go.
        findings: Option<PathBuf>,
    },
    /// A map of two settings.
    Map(MapWords),
    /// Search the best setting.
    Find(Task),
    /// Print a lesson.
    Handout(Handout),
    /// Print a test and its key.
    PaperTest(paper_test::Task),
    /// Exchange quiz items.
    Quizzes(quizzes::Task),
    /// Recommend what suits a customer.
    Advise(advise::Task),
    /// Print a customer's card without answers.
    BlankCard,
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

const COMMANDS: [&str; 12] =
    ["run", "soak", "map", "find", "advise", "handout", "paper-test", "quizzes", "list", "check", "grounds", "open"];

/// The command that the arguments ask for, or what is wrong with them.
pub fn read(mut parser: Parser) -> Result<Command, String> {
    let mut words: Vec<OsString> = Vec::new();
    let mut given = Given::default();
    while let Some(argument) = parser.next().map_err(|error| error.to_string())? {
        match argument {
            Arg::Short('h') | Arg::Long("help") => return Ok(Command::Help),
            Arg::Short('V') | Arg::Long("version") => return Ok(Command::Version),
            Arg::Long(word) => {
                let word = word.to_owned();
                given.add(&word, &mut parser)?;
            }
            Arg::Value(word) => words.push(word),
            Arg::Short(letter) => return Err(unknown(&format!("-{}", letter.escape_debug()))),
        }
    }
    command(&words, given)
}

fn command(words: &[OsString], given: Given) -> Result<Command, String> {
    let rest = |from: usize| words.iter().skip(from).map(PathBuf::from).collect::<Vec<_>>();
    let first = words.first().and_then(|word| word.to_str());
    match first {
        Some("run") => return run(rest(1), given),
        Some("soak") => return soak(rest(1), given),
        Some("map") => return map(rest(1), given),
        Some("find") => return find(rest(1), given),
        Some("handout") => return handout(&rest(1), given),
        Some("advise") => return advise(rest(1), given),
        Some("paper-test") => return paper_test(words.len() == 1, given),
        Some("quizzes") => return quizzes(words.len() == 1, given),
        _ => given.none_left()?,
    }
    match first {
        Some("list") if words.len() > 1 => Err("list takes nothing more".to_owned()),
        Some("list") => Ok(Command::List),
        Some("check") if words.len() > 2 => Err("check takes one folder".to_owned()),
        Some("check") => Ok(Command::Check(rest(1).pop())),
        Some("grounds") if words.len() > 1 => Err("grounds takes nothing more".to_owned()),
        Some("grounds") => Ok(Command::Grounds),
        Some("open") => Ok(Command::Open(rest(1))),
        Some(word) if !is_scenario(Path::new(word)) => Err(unknown_command(word)),
        _ => Ok(Command::Open(rest(0))),
    }
}

fn run(scenarios: Vec<PathBuf>, mut given: Given) -> Result<Command, String> {
    let (trace, findings) = (given.path("--trace"), given.path("--findings"));
    let sure = given.take("--sure").is_some();
    given.none_left()?;
    if scenarios.is_empty() {
        return Err("run needs a scenario: a file, or a name from the list".to_owned());
    }
    Ok(Command::Run { scenarios, trace, findings, sure })
}

fn soak(soaks: Vec<PathBuf>, mut given: Given) -> Result<Command, String> {
    let (trace, findings) = (given.path("--trace"), given.path("--findings"));
    given.none_left()?;
    if soaks.is_empty() {
        return Err("soak needs a heat soak: a file, or a name from the list".to_owned());
    }
    Ok(Command::Soak { soaks, trace, findings })
}

fn map(mut scenarios: Vec<PathBuf>, mut given: Given) -> Result<Command, String> {
    if scenarios.len() > 1 {
        return Err("map takes one scenario; call it once for each".to_owned());
    }
    let Some(scenario) = scenarios.pop() else {
        return Err("map needs a scenario: a file, or a name from the list".to_owned());
    };
    let need = |name: &str| {
        format!("map needs {name} with a setting, such as {name} pedal.stab or {name} pedal.stab=50..400ms")
    };
    let across = given.text("--across")?.ok_or_else(|| need("--across"))?;
    let up = given.text("--up")?.ok_or_else(|| need("--up"))?;
    let (finding, steps) = (given.text("--finding")?, given.text("--steps")?);
    let (csv, svg) = (given.path("--csv"), given.path("--svg"));
    given.none_left()?;
    if csv.is_none() && svg.is_none() {
        return Err("map needs a file to write: --csv for a table, --svg for a picture, or both".to_owned());
    }
    Ok(Command::Map(MapWords { scenario, across, up, finding, steps, csv, svg }))
}

fn find(mut scenarios: Vec<PathBuf>, mut given: Given) -> Result<Command, String> {
    let free = given.text("--free")?;
    let (json, out) = (given.path("--json"), given.path("--out"));
    given.none_left()?;
    match (scenarios.pop(), scenarios.is_empty()) {
        (Some(scenario), true) => Ok(Command::Find(Task { scenario, free, json, out })),
        _ => Err("find needs one scenario: a file, or a name from the list".to_owned()),
    }
}

fn handout(lessons: &[PathBuf], mut given: Given) -> Result<Command, String> {
    let reader = if given.take("--key").is_some() { Reader::Instructor } else { Reader::Pupil };
    let paper = if given.take("--letter").is_some() { Paper::Letter } else { Paper::A4 };
    let (course, out) = (given.folder("--course")?, given.path("--out"));
    given.none_left()?;
    let [lesson] = lessons else {
        return Err("handout needs one lesson: the name of its file, or its number".to_owned());
    };
    let Some(out) = out else {
        return Err("handout needs --out with a file to write, such as --out lesson.pdf".to_owned());
    };
    let lesson = lesson.to_string_lossy().into_owned();
    Ok(Command::Handout(Handout { lesson, reader, paper, course, out }))
}

fn paper_test(alone: bool, mut given: Given) -> Result<Command, String> {
    let outcomes = outcomes(&mut given)?;
    let (items, seed) = (given.whole("--items", 10)?, given.whole("--seed", 1)?);
    let paper = if given.take("--letter").is_some() { Paper::Letter } else { Paper::A4 };
    let (course, out, answers) = (given.folder("--course")?, given.path("--out"), given.path("--answers"));
    given.none_left()?;
    let (true, Some(out), Some(answers)) = (alone, out, answers) else {
        return Err("paper-test needs --out and --answers with a file each, such as --out test.pdf --answers key.pdf"
            .to_owned());
    };
    if items == 0 {
        return Err("--items 0: give at least 1".to_owned());
    }
    if is_same_file(&out, &answers) {
        return Err("the test and its key need a file each; give --answers another one".to_owned());
    }
    let wanted = Wanted { outcomes, items, seed, without: std::collections::BTreeSet::new() };
    Ok(Command::PaperTest(paper_test::Task { wanted, paper, course, out, answers }))
}

fn quizzes(alone: bool, mut given: Given) -> Result<Command, String> {
    let (qti, import, into) = (given.path("--qti"), given.path("--import"), given.path("--into"));
    let task = match (alone, qti, import, into) {
        (true, Some(qti), None, None) => {
            quizzes::Task::Export { qti, seed: given.whole("--seed", 1)?, course: given.folder("--course")? }
        }
        (true, None, Some(package), Some(into)) => {
            quizzes::Task::Import { package, into, outcomes: outcomes(&mut given)? }
        }
        _ => return Err("quizzes needs --qti with a file to write, or --import with a package and --into".to_owned()),
    };
    given.none_left()?;
    Ok(Command::Quizzes(task))
}

fn outcomes(given: &mut Given) -> Result<Vec<usize>, String> {
    let Some(text) = given.text("--outcomes")? else { return Ok(Vec::new()) };
    let most = OUTCOMES.len();
    let number = |word: &str| word.trim().parse().ok().filter(|number| (1..=most).contains(number));
    let numbers: Option<Vec<usize>> = text.split(',').map(number).collect();
    numbers.ok_or_else(|| format!("--outcomes {}: give numbers from 1 to {most}, such as 1,2", text.escape_debug()))
}

fn advise(mut customers: Vec<PathBuf>, mut given: Given) -> Result<Command, String> {
    if given.take("--blank").is_some() {
        given.none_left()?;
        return if customers.is_empty() { Ok(Command::BlankCard) } else { Err("--blank takes no customer".to_owned()) };
    }
    let (json, csv, out) = (given.path("--json"), given.path("--csv"), given.path("--out"));
    let letter = given.take("--letter").is_some();
    if letter && out.is_none() {
        return Err("--letter is the paper of --out; give that too".to_owned());
    }
    let paper = if letter { Paper::Letter } else { Paper::A4 };
    let seed = given.whole("--seed", 1)?;
    given.none_left()?;
    match (customers.pop(), customers.is_empty()) {
        (Some(customer), true) => Ok(Command::Advise(advise::Task { customer, json, csv, out, paper, seed })),
        _ => {
            let stems: Vec<_> = customers::shipped().iter().map(|shipped| shipped.stem).collect();
            Err(format!("advise needs one customer: a file, or one of {}", list(stems)))
        }
    }
}

/// Whether two paths name one file, which need not be there yet.
fn is_same_file(one: &Path, other: &Path) -> bool {
    let whole = |path: &Path| {
        let folder = path.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."));
        let folder = folder.canonicalize().unwrap_or_else(|_| folder.to_owned());
        path.file_name().map(|name| folder.join(name))
    };
    one == other || (whole(one).is_some() && whole(one) == whole(other))
}

fn is_scenario(path: &Path) -> bool {
    path.exists() || path.to_str().and_then(library::shipped_named).is_some()
}

fn unknown_command(word: &str) -> String {
    let stems: Vec<_> = library::shipped().iter().map(|shipped| shipped.stem).collect();
    let near = nearest(word, COMMANDS.into_iter().chain(stems));
    let near = near.map_or(String::new(), |near| format!("; did you mean {near}?"));
    format!("{} is neither a command nor a scenario{near}", word.escape_debug())
}
