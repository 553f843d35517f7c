//! When an item is due again: each right answer on its day makes the next wait longer (Latimier, Peyre and Ramus,
//! *Educational Psychology Review* 33 (2021) 959, title and pages from memory). Pure functions of the answers so far.

/// Waits after the first, second, third right answer and all later ones, days; common practice, no source for the numbers.
pub const WAITS_DAYS: [i64; 4] = [1, 3, 7, 21];

/// One answer to one item by one learner.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Past {
    /// Day on which it was given, by any count of days.
    pub day: i64,
    /// Whether it counted as right.
    pub right: bool,
}

/// How far a learner is with an item.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Standing {
    /// Right answers in a row, each on or after its day.
    pub run: usize,
    /// Day on which it is due.
    pub due: i64,
}

/// How far answers in the order of time have brought; `None` without any.
///
/// A wrong answer puts the item back to the next day. A right one that came before its day was no test of memory and
/// changes nothing.
pub fn standing(past: &[Past]) -> Option<Standing> {
    let mut standing: Option<Standing> = None;
    for answer in past {
        let wait = |run: usize| WAITS_DAYS[run.clamp(1, WAITS_DAYS.len()) - 1];
        let run = match (answer.right, standing) {
            (false, _) => 0,
            (true, None) => 1,
            (true, Some(before)) if answer.day < before.due => continue,
            (true, Some(before)) => before.run + 1,
        };
        standing = Some(Standing { run, due: answer.day.saturating_add(wait(run)) });
    }
    standing
}

/// Items that are due on a day, the longest overdue first; of those due on one day, by their ids.
pub fn due<'a>(answered: impl IntoIterator<Item = (&'a str, &'a [Past])>, today: i64) -> Vec<&'a str> {
    let standing = |(id, past): (&'a str, &[Past])| standing(past).map(|standing| (standing.due, id));
    let mut due: Vec<(i64, &str)> =
        answered.into_iter().filter_map(standing).filter(|(day, _)| *day <= today).collect();
    due.sort_unstable();
    due.into_iter().map(|(_, id)| id).collect()
}
