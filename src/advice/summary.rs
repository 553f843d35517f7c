//! What a search found, in words.

use crate::advice::finder::Found;
use crate::advice::flatness::Stretch;
use crate::advice::merit::{HORIZON_S, Pull};
use crate::bench::sentence::milliseconds;
use crate::bench::verdict::Verdict;
use crate::settings::Setting;
use crate::settings::grouped::Grouped;
use crate::units::UnitSystem;

/// What a search found, in two or three sentences.
pub fn summary(found: &Found, units: UnitSystem) -> String {
    let (first, last) = (&found.first().merit, &found.last().merit);
    let does = last.findings.verdict.phrase();
    let stopped = if found.stopped { "The search was stopped early; this is the best so far. " } else { "" };
    if !found.improved() {
        let kept = if found.is_clean() {
            "Nothing better was found: the start is as good as it gets within these ranges."
        } else {
            "Nothing clean was found within these ranges, and nothing that loses less than the start."
        };
        return format!("{stopped}{kept} It {does}.");
    }
    let changes = format!("{}.", changes(found, units).join("; "));
    let lost = format!("lost time {} instead of {}", milliseconds(last.lost_s), milliseconds(first.lost_s));
    let pull = pulled(found, units);
    if found.is_clean() {
        format!("{stopped}{changes} With that it {does}: {lost}, {pull}.")
    } else {
        let close = if last.findings.verdict == Verdict::Clean {
            "Nothing was found that is clean with something to spare"
        } else {
            "Nothing clean was found within these ranges"
        };
        format!("{stopped}{close}. What loses least: {changes} With that it {does}: {lost}, {pull}.")
    }
}

/// "Spring wind-up from 120° to 573°", for each free setting that changed.
pub fn changes(found: &Found, units: UnitSystem) -> Vec<String> {
    let values = found.first().values.iter().zip(&found.last().values);
    found
        .free
        .iter()
        .zip(values)
        .filter(|(_, (before, after))| before != after)
        .filter_map(|(free, (before, after))| {
            let setting = found.start.setting(free.place)?;
            Some(format!(
                "{} from {} to {}",
                setting.label,
                setting.shown(*before, units),
                setting.shown(*after, units)
            ))
        })
        .collect()
}

/// "0.42 m farther after 2 s".
fn pulled(found: &Found, units: UnitSystem) -> String {
    let gain = found.last().merit.pull - found.first().merit.pull;
    let amount = found.pull.quantity().show(gain.abs(), units);
    let until = (found.start.pedal.end_s() - found.start.pedal.begin_s).min(HORIZON_S);
    let more = if gain >= 0.0 { "more" } else { "less" };
    match found.pull {
        Pull::Distance if gain >= 0.0 => format!("{amount} farther after {until:.1} s"),
        Pull::Distance => format!("{amount} less far after {until:.1} s"),
        Pull::EngineSpeed => format!("{amount} {more} engine speed after {until:.1} s"),
        Pull::MeanTorque => format!("{amount} {more} torque on average over {until:.1} s"),
    }
}

/// How far each setting may be off: "Spring wind-up: it pulls cleanly from 300° to 560°".
pub fn rooms(found: &Found, units: UnitSystem) -> Vec<String> {
    let verdict = found.last().merit.findings.verdict;
    let values = found.last().values.iter();
    let of = |(stretch, value): (&Stretch, &f64)| {
        Some(room(stretch, *value, found.start.setting(stretch.free.place)?, verdict, units))
    };
    found.stretches.iter().zip(values).filter_map(of).collect()
}

/// How far one setting at a value may be off before the verdict is another.
pub fn room(stretch: &Stretch, value: f64, setting: &Setting, verdict: Verdict, units: UnitSystem) -> String {
    let (from, to) = (setting.shown(stretch.from, units), setting.shown(stretch.to, units));
    let which = match stretch.open {
        [true, true] => "over the whole range searched".to_owned(),
        [true, false] => format!("up to {to}"),
        [false, true] => format!("from {from} on"),
        [false, false] => format!("from {from} to {to}"),
    };
    let edge = if stretch.is_at_edge(value) { "; it stands at the edge of that, so little may be off" } else { "" };
    format!("{}: it {} {which}{edge}", setting.label, verdict.phrase())
}
