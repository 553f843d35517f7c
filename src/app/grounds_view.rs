//! What this rests on: laws, sources, checks and their results, and what is left out.

use super::actions::Action;
use super::preferences::Preferences;
use super::state::State;
use eframe::egui::Ui;

/// What this screen remembers.
#[derive(Default)]
pub struct View {}

impl View {
    /// The screen.
    pub fn show(&mut self, ui: &mut Ui, state: &State, preferences: &Preferences, actions: &mut Vec<Action>) {
        let _ = (ui, state, preferences, actions);
    }
}
