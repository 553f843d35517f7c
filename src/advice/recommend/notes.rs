//! What stands around the proposals: starting hot, how to read them, cautions, law.

use crate::advice::intake::Customer;
use crate::advice::intake::answers::{Complaint, RoadUse};
use crate::advice::recommend::design::Action;
use crate::advice::recommend::effort::Kind;
use crate::advice::recommend::hot::HotRow;
use crate::advice::recommend::proposal::{Hot, Proposal};
use crate::advice::recommend::weigh::UNITS;
use crate::bench::sentence::milliseconds;
use crate::units::{Quantity, UnitSystem};

/// Starting hot, in words.
pub fn hot(rows: Vec<HotRow>, customer: &Customer, units: UnitSystem) -> Hot {
    let day = Quantity::Temperature.show(customer.place.hot_day_k, units);
    let Some(now) = rows.first() else {
        return Hot { rows, text: "The hot soak could not be run.".to_owned() };
    };
    let minutes = |row: &HotRow| format!("{:.0} minutes after it was stopped", row.at_s / 60.0);
    let head = format!(
        "On a day of {day} it takes up to {:.1} s of cranking, worst {}, with the fuel at {}.",
        now.cranking_s,
        minutes(now),
        Quantity::Temperature.show(now.hottest_k, units)
    );
    let cure = rows.iter().skip(1).find(|row| !row.is_hard());
    let best = rows.iter().min_by(|a, b| a.cranking_s.total_cmp(&b.cranking_s));
    let rest = match (now.is_hard(), cure, best) {
        (false, ..) => "That is an ordinary start.".to_owned(),
        (true, Some(row), _) => format!("That is a bad start; {} it takes {:.1} s.", row.label, row.cranking_s),
        (true, None, Some(row)) => {
            format!(
                "That is a bad start; {} it still takes {:.1} s. Fuel that boils later helps.",
                row.label, row.cranking_s
            )
        }
        (true, None, None) => String::new(),
    };
    let cooler = match customer.told("now", "complaint") {
        Some(_) if now.is_hard() && customer.now.complaint != Complaint::HotStart => {
            " If yours starts well, it is cooler under its bonnet than the model's car."
        }
        _ => "",
    };
    Hot { text: format!("{head} {rest}{cooler} Whatever the kind of secondary, this holds for all of them."), rows }
}

/// How to read the points, and what stands behind them.
pub fn reading() -> Vec<String> {
    vec![
        format!(
            "A point is {} without torque, a twentieth of the pull, of the top-end torque or of the fuel, or an hour of work; less is better. Weights by use, complaint and patience are common practice and from memory, no source.",
            milliseconds(UNITS.lost_s)
        ),
        "Times of work are common practice, no source. Sizes come from the runs; the formula only says which are tried.".to_owned(),
        "A carburettor that would be fitted is a sound one of its kind, scaled to its size, not a certain product.".to_owned(),
    ]
}

/// Cautions that hold for all of it; those of a step stand beside the step.
pub fn cautions(proposals: &[Proposal]) -> Vec<String> {
    let mut cautions = vec![
        "Petrol vapour burns at once and runs along the floor: no flame, no lamp that can break, air moving, an extinguisher at hand.".to_owned(),
        "Exhaust kills without a smell: run an engine outside or with an extractor.".to_owned(),
        "Before the first start: the throttle shuts by itself, no line touches hot metal, nothing leaks, no nut is missing above the barrels.".to_owned(),
        "Judge the result on private ground or on rollers, with a second person who reads the gauges.".to_owned(),
    ];
    if proposals.first().is_some_and(|first| first.action == Action::Keep) {
        cautions.push(Kind::Turn.caution().to_owned());
    }
    cautions
}

/// What to know where the law is concerned.
pub fn law(customer: &Customer) -> String {
    let road = match customer.owner.road {
        RoadUse::Yes => "On public roads a carburettor may be part of the emission equipment. ",
        RoadUse::No => "",
    };
    format!("{road}General information; check local rules; licensed practice decides.")
}
