//! All items.

use crate::learning::outcomes::OUTCOMES;
use crate::learning::quiz::item::Item;

/// All items, in the order of their files.
#[derive(Debug, Clone, Default)]
pub struct Bank {
    /// The items; ids are distinct.
    pub items: Vec<Item>,
}

/// Items that an outcome should have, so that it can be asked again in another way.
pub const LEAST_ITEMS: usize = 3;

impl Bank {
    /// The item with this id.
    pub fn item(&self, id: &str) -> Option<&Item> {
        self.items.iter().find(|item| item.id == id)
    }

    /// Outcomes with fewer than [`LEAST_ITEMS`] items: number, how many there are.
    pub fn short_outcomes(&self) -> Vec<(usize, usize)> {
        let count = |number: usize| self.items.iter().filter(|item| item.outcomes.contains(&number)).count();
        let counted = OUTCOMES.iter().map(|outcome| (outcome.number, count(outcome.number)));
        counted.filter(|(_, count)| *count < LEAST_ITEMS).collect()
    }
}
