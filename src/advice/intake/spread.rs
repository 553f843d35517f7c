//! Where the answer to a question lies that nobody answered.

use crate::advice::intake::{Customer, GROUPS};
use crate::settings::grouped::{Grouped, Place};
use crate::settings::{Kind, Setting};

/// A plausible range, narrower than what a question takes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spread {
    group: &'static str,
    key: &'static str,
    /// SI; of words all are as likely.
    range: Option<(f64, f64)>,
}

const fn number(group: &'static str, key: &'static str, least: f64, most: f64) -> Spread {
    Spread { group, key, range: Some((least, most)) }
}

const fn words(group: &'static str, key: &'static str) -> Spread {
    Spread { group, key, range: None }
}

/// What an unanswered question may be on a four-barrel car, from memory. Idle vacuum and manifold volume are not here:
/// unanswered they follow from camshaft and displacement. Nor is what the owner wants: nobody can guess that.
const SPREADS: &[Spread] = &[
    number("engine", "displacement", 3.8e-3, 5.8e-3),
    words("engine", "cam"),
    number("engine", "compression", 7.5, 10.0),
    words("engine", "manifold"),
    number("car", "mass", 1150.0, 1900.0),
    words("car", "gearbox"),
    number("car", "first", 2.3, 3.3),
    number("car", "top", 0.75, 1.0),
    number("car", "axle", 2.7, 4.1),
    number("car", "tyre", 0.30, 0.36),
    number("use", "daily", 0.5, 1.0),
    number("use", "towing", 0.0, 0.3),
    number("use", "strip", 0.0, 0.2),
    number("use", "cruise", 0.2, 0.8),
    number("place", "altitude", 0.0, 600.0),
    number("place", "hot_day", 297.15, 311.15),
    words("place", "grade"),
    number("place", "ethanol", 0.0, 0.10),
];

/// The spread of a question; `None` where none is drawn.
pub fn of(customer: &Customer, place: Place) -> Option<Spread> {
    let group = GROUPS.get(place.group)?.id;
    let key = customer.setting(place)?.key();
    SPREADS.iter().copied().find(|spread| spread.group == group && spread.key == key)
}

impl Spread {
    /// The answer at a share of the range, 0 up to 1.
    pub fn at(&self, setting: &Setting, share: f64) -> f64 {
        match (self.range, setting.kind) {
            (Some((least, most)), _) => least + share * (most - least),
            (None, Kind::Choice(words)) => (share * words.len() as f64).floor().min(words.len() as f64 - 1.0),
            (None, Kind::Number { .. }) => setting.default,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_spread_belongs_to_a_question_that_takes_it() {
        let customer = Customer::default();
        for spread in SPREADS {
            let place = customer.place(spread.group, spread.key).expect(spread.key);
            let setting = customer.setting(place).expect(spread.key);
            assert_eq!(spread.range.is_none(), matches!(setting.kind, Kind::Choice(_)), "{}", spread.key);
            for share in [0.0, 0.999_999] {
                assert!(setting.accepts(spread.at(setting, share)), "{}", spread.key);
            }
            let reaches = spread.range.is_none_or(|(least, most)| (least..=most).contains(&setting.default));
            assert!(reaches, "{}: the default lies in its spread", spread.key);
        }
    }
}
