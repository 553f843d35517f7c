//! What the reader can do; applied before the next drawing, so that nothing changes while it is painted.

use super::desk::Ask;
use super::preferences::Preferences;
use super::screen::Screen;
use super::worker::BenchId;
use crate::bench::scenario::{Place, Scenario};
use crate::families::Entry;
use crate::report::handout::Reader;
use crate::report::page::Paper;
use std::path::PathBuf;

/// Something that the reader did.
#[derive(Debug, Clone)]
pub enum Action {
    /// Another family on a bench.
    ChooseFamily(usize, &'static Entry),
    /// Another value on the selected bench, SI or place in the list.
    Set(Place, f64),
    /// Another value for each of two settings of the selected bench, as one step.
    SetBoth([(Place, f64); 2]),
    /// An entry that could not be understood, with the reason.
    Refuse(Place, String),
    /// Another title for the selected bench.
    Rename(String),
    /// The mouse button or key was let go: the next change is a step of its own.
    EndOfGesture,
    /// Another bench.
    AddBench,
    /// A copy of a bench.
    CopyBench(usize),
    /// A bench less.
    RemoveBench(usize),
    /// Edit this bench.
    Select(usize),
    /// A preset of a part on a bench.
    Preset {
        /// Which bench.
        bench: usize,
        /// Place among the part's presets.
        preset: usize,
    },
    /// All settings of a bench of a part as they come.
    Fresh(usize),
    /// The benches of a part as its screen opens.
    PartOpening,
    /// Play or pause.
    TogglePlay,
    /// Index of the speed.
    Speed(usize),
    /// Cursor to a time, s.
    Seek(f64),
    /// Cursor by so many of the screen's steps.
    Step(f64),
    /// Cursor to the next event, or the one before.
    ToEvent {
        /// Next, not before.
        forward: bool,
    },
    /// Zoom the time axis about a time by a factor.
    Zoom(f64, f64),
    /// Move the shown part of the time axis, s.
    Pan(f64),
    /// Show this part of the time axis, s.
    Show(f64, f64),
    /// Text that settings must contain.
    Filter(String),
    /// Take back.
    Undo,
    /// Make again.
    Redo,
    /// Ask for a file to read.
    Open,
    /// Ask for a path in the window.
    AskPath(Purpose),
    /// Read this file onto the selected bench.
    OpenPath(PathBuf),
    /// Read these files, each onto a bench of its own, in place of all benches.
    OpenPaths(Vec<PathBuf>),
    /// Save where it came from, or ask.
    Save,
    /// Ask where to save.
    SaveAs,
    /// Write this file.
    SaveTo(PathBuf),
    /// Ask where to write the trace.
    ExportTrace,
    /// Write the trace there.
    ExportTraceTo(PathBuf),
    /// Ask where to write the map: as a table or as a picture.
    ExportMap(Purpose),
    /// Write the map there.
    ExportMapTo(Purpose, PathBuf),
    /// A shipped example onto the selected bench.
    Example(usize),
    /// The opening contrast again.
    Opening,
    /// The benches as they stood when the window was last closed.
    LastSession,
    /// Other preferences.
    Prefer(Box<Preferences>),
    /// Ask for a folder with lessons.
    OpenCourse,
    /// Put the lessons of this folder over those of the course; empty: the course as it comes.
    CourseFolder(PathBuf),
    /// Ask for a folder with learner records.
    OpenRecords,
    /// Keep answers in the records of this folder; empty: in none.
    RecordsFolder(PathBuf),
    /// The lesson with this stem.
    ReadLesson(String),
    /// Questions on the lesson with this stem.
    QuestionsOn(String),
    /// Ask for a file or folder of the desk.
    AskDesk(Ask),
    /// What the desk asked a path for.
    Desk(Ask, PathBuf),
    /// These values on this bench, in one step: what a search has found.
    Adopt(BenchId, Vec<(Place, f64)>),
    /// A bench with this scenario.
    AddScenario(Box<Scenario>),
    /// Scenarios in place of all benches.
    LoadScenarios(Vec<Scenario>),
    /// Ask for a file of the customer's screen, with a name to begin with.
    AskCustomerFile(Purpose, String),
    /// Read or write this file of the customer's screen.
    CustomerFile(Purpose, PathBuf),
    /// How sure the verdict on the selected bench is.
    HowSure,
    /// Ask where to print a handout of the lesson that is shown: in a dialog, or by path.
    Handout {
        /// For whom, on what.
        purpose: Purpose,
        /// Whether the path is typed in the window.
        by_path: bool,
    },
    /// Print it there.
    HandoutTo((Reader, Paper), PathBuf),
    /// Leave the handout that is being made.
    CancelHandout,
    /// Another screen.
    GoTo(Screen),
    /// Show or hide the keys.
    ToggleHelp,
    /// Away with the message.
    Dismiss,
}

/// What a path is asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Purpose {
    /// To read a scenario.
    Open,
    /// To write a scenario.
    Save,
    /// To write a trace.
    Export,
    /// To read lessons.
    Course,
    /// To keep learner records.
    Records,
    /// To write a map as a table.
    MapTable,
    /// To write a map as a picture.
    MapPicture,
    /// What the desk asks for.
    Desk(Ask),
    /// To print a lesson.
    Handout(Reader, Paper),
    /// To read a customer's card.
    OpenCustomer,
    /// To write a customer's card.
    SaveCustomer,
    /// To write the page that a customer takes home.
    CustomerPage,
    /// To write the proposals as a table.
    CustomerTable,
    /// To write a recommendation for other programs.
    CustomerData,
}

impl Purpose {
    /// What is done with the path.
    pub fn act(self, path: PathBuf) -> Action {
        match self {
            Self::Open => Action::OpenPath(path),
            Self::Save => Action::SaveTo(path),
            Self::Export => Action::ExportTraceTo(path),
            Self::Course => Action::CourseFolder(path),
            Self::Records => Action::RecordsFolder(path),
            Self::Handout(reader, paper) => Action::HandoutTo((reader, paper), path),
            Self::MapTable | Self::MapPicture => Action::ExportMapTo(self, path),
            Self::Desk(ask) => Action::Desk(ask, path),
            Self::OpenCustomer | Self::SaveCustomer | Self::CustomerPage | Self::CustomerTable | Self::CustomerData => {
                Action::CustomerFile(self, path)
            }
        }
    }

    /// Ending of the file.
    pub fn ending(self) -> &'static str {
        match self {
            Self::Open | Self::Save | Self::OpenCustomer | Self::SaveCustomer => "toml",
            Self::Export | Self::MapTable | Self::CustomerTable => "csv",
            Self::MapPicture => "svg",
            Self::CustomerPage => "pdf",
            Self::CustomerData => "json",
            Self::Handout(..) => "pdf",
            Self::Desk(ask) => ask.kind().1,
            Self::Course | Self::Records => "",
        }
    }

    /// As a heading.
    pub fn title(self) -> &'static str {
        match self {
            Self::Open => "Open a file onto the selected bench",
            Self::Save => "Save the selected bench as a file",
            Self::Export => "Export the trace of the selected bench as CSV",
            Self::Course => "Read lessons from a folder",
            Self::Records => "Keep learner records in a folder",
            Self::MapTable => "Export every finding of the map as CSV",
            Self::MapPicture => "Export the map as a picture (SVG)",
            Self::Desk(ask) => ask.title(),
            Self::Handout(Reader::Pupil, Paper::A4) => "Print the handout for the class as PDF, A4",
            Self::Handout(Reader::Pupil, Paper::Letter) => "Print the handout for the class as PDF, Letter",
            Self::Handout(Reader::Instructor, Paper::A4) => "Print the instructor's key as PDF, A4",
            Self::Handout(Reader::Instructor, Paper::Letter) => "Print the instructor's key as PDF, Letter",
            Self::OpenCustomer => "Open a customer's card",
            Self::SaveCustomer => "Save the customer's card",
            Self::CustomerPage => "Print the page for the customer (PDF)",
            Self::CustomerTable => "Export the proposals as CSV",
            Self::CustomerData => "Export the recommendation as JSON",
        }
    }
}
