//! Screens of single parts: a bench of one or two subjects side by side, with settings, findings and an axis of time.
//!
//! A part says what it is by [`Part`]: settings, run, findings, traces, drawing, presets. [`view::View`] makes a screen
//! of it: settings from their own declarations, undo, runs on a thread, time, keys. The widgets are those of the
//! benches in motion. To add a part: a file with an `impl Part`, a [`Screen`] with a line in its `Place`, a field in
//! [`Parts`] with its line in [`Parts::of`].

mod bench;
mod chart;
mod filing;
mod idle;
mod page;
mod presets;
mod pump;
pub(super) mod soak;
mod stage;
mod used;
mod view;

use super::actions::Action;
use super::layout::Panels;
use super::preferences::Preferences;
use super::screen::Screen;
use super::track::{Clock, Flag, TracePanel};
use crate::scene::Scene;
use crate::settings::grouped::Grouped;
use crate::units::{Quantity, UnitSystem};
use eframe::egui::{Context, Rect, Ui};
pub use filing::{Filed, Files, NO_FILES, Titled, is_of_benches};
pub use presets::Preset;
use std::time::Duration;
pub use view::View;

/// Most subjects side by side.
pub const MOST: usize = 2;

/// A part that is looked at by itself.
pub trait Part: Sized + 'static {
    /// What can be set.
    type Settings: Grouped + Clone + PartialEq + Send + Sync + 'static;
    /// A finished run.
    type Run: Send + Sync + 'static;

    /// Key of its screen.
    const ID: &'static str;
    /// What a drawing of it is called.
    const DRAWING: &'static str;
    /// Groups of settings that stand open at first.
    const OPEN: &'static [&'static str];
    /// How time passes on its bench; `None` where it does not.
    const TIMING: Option<Timing>;
    /// Whether there are charts where other benches have their axis of time.
    const HAS_CHARTS: bool = false;

    /// How its settings are kept in files; `None` where they are not.
    const FILES: Option<Files<Self>> = None;

    /// The settings before anybody changes them.
    fn fresh() -> Self::Settings;
    /// The benches as the screen opens: name and settings.
    fn opening() -> Vec<(String, Self::Settings)>;
    /// Settings worth a look.
    fn presets() -> &'static [Preset];
    /// What there is to find out on these benches.
    fn question(benches: &[&Self::Settings]) -> String;
    /// Run it; a pure function of its settings, away from the screen.
    ///
    /// # Errors
    /// In words for the reader: what, where, how to mend.
    fn run(settings: &Self::Settings) -> Result<Self::Run, String>;
    /// What happened, in one plain sentence.
    fn sentence(run: &Self::Run, units: UnitSystem) -> Sentence;
    /// What two runs say together that neither says alone.
    fn comparison(_runs: [(&Self::Settings, &Self::Run); 2], _units: UnitSystem) -> Option<String> {
        None
    }
    /// What to beware of at this moment.
    fn caution(_run: &Self::Run, _time_s: f64) -> Option<&'static str> {
        None
    }
    /// What the run comes down to: label, quantity, SI value or `None` for what did not happen.
    fn findings(run: &Self::Run) -> Vec<(&'static str, Quantity, Option<f64>)>;
    /// End of a run with these settings, s.
    fn end_s(settings: &Self::Settings) -> f64;
    /// Named moments.
    fn flags(run: &Self::Run) -> Vec<Flag>;
    /// Traces of runs side by side; `None` for a bench that has not run.
    fn traces(runs: &[Option<&Self::Run>]) -> Vec<TracePanel>;
    /// Curves against settings, of benches with their newest runs.
    fn charts(_benches: &[(&Self::Settings, Option<&Self::Run>)]) -> Vec<chart::Column> {
        Vec::new()
    }
    /// The drawing at a time.
    fn draw(settings: &Self::Settings, run: &Self::Run, time_s: f64, units: UnitSystem) -> Scene;
    /// The drawing in words.
    fn describe(run: &Self::Run, time_s: f64, units: UnitSystem) -> String;
    /// What tints, arrows and sizes of the drawings mean, on one line; `scale` are points a metre.
    fn legend(ui: &mut Ui, rect: Rect, scale: f64, units: UnitSystem);
}

/// How time passes.
#[derive(Debug, Clone, Copy)]
pub struct Timing {
    /// How times are written.
    pub clock: Clock,
    /// Seconds of the run in a second of the clock, with their names; quickest first.
    pub speeds: [(f64, &'static str); 3],
    /// Time by which a key moves the cursor, s.
    pub step_s: f64,
    /// Shortest part of the axis that can be shown, s.
    pub shortest_s: f64,
}

/// Traces of which those with these keys call their first curve by their title: it finds room beside the figures.
fn called_by_title(mut panels: Vec<TracePanel>, keys: &[&str]) -> Vec<TracePanel> {
    for panel in panels.iter_mut().filter(|panel| keys.contains(&panel.key.as_str())) {
        if let Some(first) = panel.curves.first_mut() {
            first.label = panel.title;
        }
    }
    panels
}

/// A sentence from findings: up to the first semicolon it stands out.
#[derive(Debug, Clone, PartialEq)]
pub struct Sentence {
    /// The sentence.
    pub text: String,
    /// Whether it tells of something gone wrong.
    pub warns: bool,
}

/// A part's screen, whatever the part.
pub trait PartScreen {
    /// Its panels, for one frame.
    fn panels<'a>(&'a mut self, preferences: &'a Preferences, actions: &'a mut Vec<Action>) -> Box<dyn Panels + 'a>;
    /// What the reader did here; what is not for this screen comes back.
    fn take(&mut self, action: Action, units: UnitSystem) -> Option<Action>;
    /// Let runs come in and time pass.
    fn advance(&mut self, ctx: &Context, reduced_motion: bool);
    /// Wait until every bench has been answered or `limit` has passed for one of them; `true` if all were.
    fn wait_for_runs(&mut self, limit: Duration) -> bool;
    /// Whether there is something to undo, and to redo.
    fn history(&self) -> (bool, bool);
    /// Whether there is room for another bench.
    fn has_room(&self) -> bool;
    /// What there is to find out on the benches as they stand.
    fn question(&self) -> String;
    /// Do something with files; what has nothing to do with them comes back.
    ///
    /// # Errors
    /// The action, untouched.
    fn file(&mut self, action: Action) -> Result<Filed, Action>;
    /// Titles of the settings that come along; `None` where nothing is kept in files.
    fn examples(&self) -> Option<Vec<String>>;
}

/// Every part's screen.
pub struct Parts {
    /// Heat soak.
    pub soak: View<soak::HeatSoak>,
    /// Idle circuit.
    pub idle: View<idle::IdleOnScrews>,
    /// Accelerator pump.
    pub pump: View<pump::ShotOfPump>,
    /// A used carburettor.
    pub used: used::View,
}

impl Default for Parts {
    fn default() -> Self {
        Self { soak: View::new(1), idle: View::new(2), pump: View::new(3), used: used::View::default() }
    }
}

impl Parts {
    /// The part that a screen shows; `None` for the other screens.
    pub fn of(&mut self, screen: Screen) -> Option<&mut dyn PartScreen> {
        match screen {
            Screen::HeatSoak => Some(&mut self.soak),
            Screen::IdleCircuit => Some(&mut self.idle),
            Screen::AcceleratorPump => Some(&mut self.pump),
            _ => None,
        }
    }

    /// Wait for the runs of every part; `true` if all were answered.
    pub fn wait_for_runs(&mut self, limit: Duration) -> bool {
        let screens: [&mut dyn PartScreen; 3] = [&mut self.soak, &mut self.idle, &mut self.pump];
        screens.into_iter().all(|screen| screen.wait_for_runs(limit)) && self.used.wait_for_runs(limit)
    }
}
