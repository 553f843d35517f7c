//! Which items to ask: for a lesson, for a test. The same seed gives the same items on any machine, and an item that is
//! added later moves no other.

use crate::learning::course::Lesson;
use crate::learning::quiz::bank::Bank;
use crate::learning::quiz::item::Item;
use crate::solver::sampling::Random;

/// Items for the end of a lesson: first its own, then others on its outcomes; at most `count`.
pub fn for_lesson<'a>(bank: &'a Bank, lesson: &Lesson, count: usize, seed: u64) -> Vec<&'a Item> {
    let own = |item: &Item| item.lesson.as_deref() == Some(&lesson.stem);
    let near = |item: &Item| !own(item) && item.outcomes.iter().any(|number| lesson.outcomes.contains(number));
    let mut items = shuffled(bank, own, seed);
    items.extend(shuffled(bank, near, seed));
    items.truncate(count);
    items
}

/// A form of a test: `count` items on these outcomes, spread over them as evenly as the bank allows, none twice. Everyone
/// with the same seed gets the same form.
pub fn form<'a>(bank: &'a Bank, outcomes: &[usize], count: usize, seed: u64) -> Vec<&'a Item> {
    let mut columns: Vec<_> =
        outcomes.iter().map(|number| shuffled(bank, |item| item.outcomes.contains(number), seed).into_iter()).collect();
    let mut form: Vec<&Item> = Vec::new();
    loop {
        let before = form.len();
        for column in &mut columns {
            if form.len() == count {
                return form;
            }
            let taken = |item: &&Item| form.iter().any(|taken| taken.id == item.id);
            let next = column.find(|item| !taken(item));
            form.extend(next);
        }
        if form.len() == before {
            return form;
        }
    }
}

/// Matching items in an order that depends on the seed and their ids alone.
fn shuffled(bank: &Bank, matching: impl Fn(&Item) -> bool, seed: u64) -> Vec<&Item> {
    let mut items: Vec<&Item> = bank.items.iter().filter(|item| matching(item)).collect();
    items.sort_by_cached_key(|item| (Random::new(mixed(&item.id, seed)).bits(), item.id.clone()));
    items
}

/// A seed of an item's own: FNV-1a of its id (Fowler, Noll and Vo, constants from memory) over the seed.
pub(super) fn mixed(id: &str, seed: u64) -> u64 {
    id.bytes().fold(seed ^ 0xcbf2_9ce4_8422_2325, |hash, byte| (hash ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3))
}
