//! Everything that a heat soak depends on.

use crate::carburettor::bowl::Bowl;
use crate::engine::{ambient::Ambient, fuel::Fuel};
use crate::grouped;
use crate::heat::parts::{Bay, Casting, Line, Mounting, Start, Times, Volatility, Wells};
use crate::physics::vapour::Blend;

/// A heat soak: the sole input of [`crate::heat::run::run`]. Air, fuel and bowls are declared where a tip-in declares
/// them, so that one car can be asked both questions.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Soak {
    /// Times.
    pub times: Times,
    /// Carburettor.
    pub casting: Casting,
    /// Gasket, spacer, studs, gap.
    pub mounting: Mounting,
    /// Float bowls, two of them and alike.
    pub bowl: Bowl,
    /// From bowls to nozzles.
    pub wells: Wells,
    /// Composition of the fuel.
    pub fuel: Fuel,
    /// How readily it boils.
    pub volatility: Volatility,
    /// Air of the day.
    pub ambient: Ambient,
    /// Engine and what is under the bonnet.
    pub bay: Bay,
    /// Pump and line.
    pub line: Line,
    /// Manifold and starting.
    pub start: Start,
}

/// Bowls of a carburettor.
pub const BOWLS: f64 = 2.0;

grouped! {
    Soak;
    times: "Times";
    casting: "Carburettor body";
    mounting: "Mounting";
    volatility: "Volatility";
    fuel: "Fuel";
    ambient: "Air";
    bowl: "Float bowls";
    wells: "Wells";
    bay: "Under the bonnet";
    line: "Fuel line";
    start: "Starting";
}

impl Soak {
    /// The fuel as its vapour is concerned.
    pub fn blend(&self) -> Blend {
        self.volatility.blend(self.fuel.ethanol_mass_share())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::settings::grouped::Grouped;
    use std::collections::BTreeSet;

    #[test]
    fn keys_are_unique_in_their_group_and_found_again() {
        let soak = Soak::default();
        for (index, group) in GROUPS.iter().enumerate() {
            let settings = soak.settings(index);
            let keys: BTreeSet<_> = settings.iter().map(|setting| setting.key()).collect();
            assert_eq!(keys.len(), settings.len(), "{}: {keys:?}", group.id);
        }
        for place in soak.places() {
            let key = soak.setting(place).expect("listed").key();
            assert_eq!(soak.place(GROUPS[place.group].id, key), Some(place), "{key}");
        }
    }

    #[test]
    fn defaults_are_accepted() {
        assert!(Soak::default().problems().is_empty());
    }
}
