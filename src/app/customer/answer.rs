//! A recommendation with the two runs that are shown side by side.

use crate::advice::recommend::contrast::Contrast;
use crate::advice::recommend::proposal::Recommendation;
use crate::app::worker::Outcome;
use crate::content::recommended::with_what_is_left_out;

/// What was found.
pub struct Answer {
    /// The recommendation.
    pub found: Recommendation,
    /// How the pedal is floored in what is shown.
    pub phrase: &'static str,
    /// What is fitted now and what is proposed, by their names, run on one stroke.
    pub sides: Vec<(&'static str, Outcome)>,
}

impl Answer {
    /// Run what is shown.
    ///
    /// # Errors
    /// In words.
    pub fn of(found: Recommendation) -> Result<Self, String> {
        let found = with_what_is_left_out(found).map_err(|problems| problems.to_string())?;
        let contrast = Contrast::of(&found).map_err(|error| error.to_string())?;
        let phrase = contrast.phrase();
        let of = |side: crate::advice::recommend::contrast::Side| {
            let mut scenario = side.scenario;
            scenario.title = format!("{}: {}", found.customer.name, side.name);
            (side.name, Outcome::new(scenario, side.run, side.findings))
        };
        let sides = contrast.sides.into_iter().map(of).collect();
        Ok(Self { phrase, sides, found })
    }
}
