//! Idle circuit: where the engine settles on its two screws, and what the plate's edge uncovers.

use super::chart::{Chart, Column, Curve, Mark, range};
use super::{Part, Preset, Sentence, Timing};
use crate::app::legend::Line;
use crate::app::theme::Palette;
use crate::app::track::{Flag, TracePanel};
use crate::bench::idling::{
    CHANNELS, IdleTest, Idling, MIXTURE_SCREW, NoIdle, STOP_SCREW, ScrewPoint, against, at_speed, idling, sweep,
};
use crate::engine::torque::{LEAN_LIMIT, RICH_LIMIT};
use crate::scene::{self, Scene};
use crate::settings::grouped::Grouped;
use crate::units::{Quantity, RPM, UnitSystem};
use eframe::egui::{Rect, Ui};

/// The idle circuit on its bench.
pub struct IdleOnScrews;

/// What a run of this bench is.
pub struct IdleRun {
    /// Idle, or why there is none.
    idling: Result<Idling, NoIdle>,
    /// What is drawn: idle, or the engine held at a speed where it will not idle by itself.
    drawn: Option<Idling>,
    /// Idle against the stop screw, then against the mixture screw.
    screws: [Vec<ScrewPoint>; 2],
    /// The plates swept at a held speed.
    swept: Vec<Idling>,
}

/// How far each screw is followed, SI: the stop screw to where every engine of the ranges runs away, the mixture screw
/// over its whole range.
const FOLLOWED: [(f64, f64); 2] = [(0.0, 0.16), (0.0, 3e-3)];
/// Places at which each screw is tried.
const TRIED: usize = 40;

impl Part for IdleOnScrews {
    type Settings = IdleTest;
    type Run = IdleRun;

    const ID: &'static str = "idle_circuit";
    const DRAWING: &'static str = "Idle circuit";
    const OPEN: &'static [&'static str] = &["idle"];
    const TIMING: Option<Timing> = None;
    const HAS_CHARTS: bool = true;

    fn fresh() -> IdleTest {
        IdleTest::default()
    }

    fn opening() -> Vec<(String, IdleTest)> {
        let mut open = IdleTest::default();
        open.idle.curb_rad = RAISED_RAD;
        vec![("As it comes".to_owned(), IdleTest::default()), ("Stop screw in".to_owned(), open)]
    }

    fn presets() -> &'static [Preset] {
        PRESETS
    }

    fn question(benches: &[&IdleTest]) -> String {
        match benches {
            [_] => "The foot is off the pedal: who feeds the engine, and which screw does what?",
            [one, other] if one.idle.curb_rad != other.idle.curb_rad => {
                "On one of two engines of our own invention somebody turned the stop screw: what did it do to the mixture, \
                 and which screw puts that right?"
            }
            [one, other] if one.leak != other.leak => {
                "The same screws, and air that comes in behind their back: what does it do to the mixture?"
            }
            _ => "Two idle circuits: which one answers to its mixture screw?",
        }
        .to_owned()
    }

    fn run(test: &IdleTest) -> Result<IdleRun, String> {
        let problems = test.problems();
        if let Some(problem) = problems.first() {
            return Err(problem.to_string());
        }
        let idling = idling(test);
        let drawn = idling.ok().or_else(|| at_speed(test, test.hold.speed_rad_per_s));
        let followed = |(group, key): (&str, &str), ends| {
            test.place(group, key).map_or_else(Vec::new, |place| against(test, place, ends, TRIED))
        };
        let screws = [followed(STOP_SCREW, FOLLOWED[0]), followed(MIXTURE_SCREW, FOLLOWED[1])];
        Ok(IdleRun { idling, drawn, screws, swept: sweep(test, TRIED) })
    }

    fn sentence(run: &IdleRun, units: UnitSystem) -> Sentence {
        match &run.idling {
            Err(why) => Sentence { text: why.explain().to_owned(), warns: true },
            Ok(at) => Sentence { text: sentence(at, units), warns: !(RICH_LIMIT..=LEAN_LIMIT).contains(&at.lambda) },
        }
    }

    fn comparison([(one, first), (other, second)]: [(&IdleTest, &IdleRun); 2], units: UnitSystem) -> Option<String> {
        let (a, b) = (first.idling.as_ref().ok()?, second.idling.as_ref().ok()?);
        let by = |quantity: Quantity, a: f64, b: f64| {
            let sign = if b < a { "−" } else { "+" };
            format!("{sign}{}", quantity.show((b - a).abs(), units))
        };
        let [speed, lambda, slot] = [
            by(Quantity::RotationalSpeed, a.speed_rad_per_s, b.speed_rad_per_s),
            by(Quantity::Number, a.lambda, b.lambda),
            by(Quantity::FuelMassFlow, a.slot_kg_per_s, b.slot_kg_per_s),
        ];
        (one != other)
            .then(|| format!("The second against the first: speed {speed}, λ {lambda}, fuel of the slots {slot}."))
    }

    fn caution(_: &IdleRun, _: f64) -> Option<&'static str> {
        Some(
            "on a real car screws are set with the engine running: outdoors, for the exhaust kills; keep off belts and fan.",
        )
    }

    fn findings(run: &IdleRun) -> Vec<(&'static str, Quantity, Option<f64>)> {
        // at idle nothing is left over: that is what idle means
        let told = CHANNELS.iter().filter(|channel| channel.id != "torque_nm");
        told.map(|channel| (channel.label, channel.quantity, run.idling.as_ref().ok().map(channel.get))).collect()
    }

    fn end_s(_: &IdleTest) -> f64 {
        0.0
    }

    fn flags(_: &IdleRun) -> Vec<Flag> {
        Vec::new()
    }

    fn traces(_: &[Option<&IdleRun>]) -> Vec<TracePanel> {
        Vec::new()
    }

    fn charts(benches: &[(&IdleTest, Option<&IdleRun>)]) -> Vec<Column> {
        vec![screw(benches, 0), screw(benches, 1), held(benches)]
    }

    fn draw(test: &IdleTest, run: &IdleRun, _: f64, units: UnitSystem) -> Scene {
        run.drawn.as_ref().map_or_else(Scene::default, |at| scene::idle_bench::draw(test, at, units))
    }

    fn describe(run: &IdleRun, _: f64, units: UnitSystem) -> String {
        let show = |quantity: Quantity, value: f64| quantity.show(value, units);
        let Some(at) = &run.drawn else { return "no air that balances at this speed".to_owned() };
        let how = if run.idling.is_ok() { "at idle" } else { "held by hand, for it will not idle," };
        format!(
            "{how} at {}: plate's edge at {}, {} of the slot uncovered, fuel of the holes {}, of the slots {}, λ {}",
            show(Quantity::RotationalSpeed, at.speed_rad_per_s),
            show(Quantity::Angle, at.plate_rad),
            show(Quantity::Fraction, at.slot_share),
            show(Quantity::FuelMassFlow, at.hole_kg_per_s),
            show(Quantity::FuelMassFlow, at.slot_kg_per_s),
            show(Quantity::Number, at.lambda),
        )
    }

    fn legend(ui: &mut Ui, rect: Rect, scale: f64, _: UnitSystem) {
        let palette = Palette::of(ui.visuals());
        let mut line = Line::new(ui, rect, scale);
        line.text("violet: under vacuum", palette.vacuum);
        line.text("heavy bar on the wall: slot uncovered", palette.accent);
        line.text("a click in a chart turns that screw", palette.ink);
        line.text("passage and well: not to scale", palette.weak);
        line.speak(ui, "how to read it:");
    }
}

/// A stop screw that holds the plates further open than a healthy engine needs, rad.
const RAISED_RAD: f64 = 0.0785;

fn sentence(at: &Idling, units: UnitSystem) -> String {
    let show = |quantity: Quantity, value: f64| quantity.show(value, units);
    let fuel = at.hole_kg_per_s + at.slot_kg_per_s;
    let share = if fuel > 0.0 { at.slot_kg_per_s / fuel } else { 0.0 };
    let mixture = match at.lambda {
        lambda if lambda < RICH_LIMIT => ", too rich to be clean",
        lambda if lambda > LEAN_LIMIT => ", so lean that it will miss",
        _ => "",
    };
    let mains = if at.main_kg_per_s > 0.0 { "; the main nozzles feed as well" } else { "" };
    format!(
        "It idles at {} at λ {}{mixture}; {} of the slot is uncovered and gives {} of the idle fuel, the screw's hole the \
         rest{mains}.",
        show(Quantity::RotationalSpeed, at.speed_rad_per_s),
        show(Quantity::Number, at.lambda),
        show(Quantity::Fraction, at.slot_share),
        show(Quantity::Fraction, share),
    )
}

type Bench<'a> = (&'a IdleTest, Option<&'a IdleRun>);

/// Lines of several benches against the values of one axis.
fn curves<T>(
    benches: &[Bench<'_>],
    points: impl Fn(&IdleRun) -> &[T],
    label: &'static str,
    rank: usize,
    point: impl Fn(&T) -> (f64, Option<f64>),
) -> Vec<Curve> {
    let runs = benches.iter().enumerate().filter_map(|(bench, (_, run))| Some((bench, (*run)?)));
    runs.map(|(bench, run)| Curve { bench, rank, label, points: points(run).iter().map(&point).collect() }).collect()
}

fn lambdas(curves: Vec<Curve>) -> Chart {
    // what is far off is told by its going out of the picture
    let (least, most) = range(&curves, (0.8, 1.2));
    Chart {
        title: "λ",
        quantity: Quantity::Number,
        range: (least.max(0.5), most.min(1.7)),
        limits: Some([(RICH_LIMIT, "too rich"), (LEAN_LIMIT, "too lean")]),
        curves,
    }
}

/// Idle against one of the screws.
fn screw(benches: &[Bench<'_>], which: usize) -> Column {
    let (group, key) = [STOP_SCREW, MIXTURE_SCREW][which];
    let place = benches.first().and_then(|(test, _)| test.place(group, key));
    let present: Vec<_> = benches.iter().map(|(test, _)| place.and_then(|place| test.value(place))).collect();
    let of = |get: fn(&Idling) -> f64| {
        curves(
            benches,
            |run| &run.screws[which],
            "",
            0,
            move |at: &ScrewPoint| (at.value, at.idling.as_ref().ok().map(get)),
        )
    };
    let speeds = of(|at| at.speed_rad_per_s);
    let lambda = of(|at| at.lambda);
    let marks = if which == 0 { slot_leads(benches) } else { Vec::new() };
    let most = RPM.to_si(2000.0);
    let (low, high) = range(&speeds, (RPM.to_si(400.0), RPM.to_si(1000.0)));
    Column {
        label: ["Stop screw", "Mixture screw: bore left open"][which],
        quantity: [Quantity::Angle, Quantity::FineLength][which],
        view: FOLLOWED[which],
        place,
        present,
        marks,
        charts: vec![
            Chart {
                title: "Idle speed",
                quantity: Quantity::RotationalSpeed,
                range: (low, high.min(most)),
                limits: None,
                curves: speeds,
            },
            lambdas(lambda),
        ],
    }
}

/// From which place of the stop screw on the slot gives more than the screw's hole: there the mixture screw has lost its
/// say.
fn slot_leads(benches: &[Bench<'_>]) -> Vec<Mark> {
    let leads = |(bench, (_, run)): (usize, &Bench<'_>)| {
        let found = run.as_ref()?.screws[0]
            .iter()
            .find(|point| point.idling.as_ref().is_ok_and(|at| at.slot_kg_per_s > at.hole_kg_per_s))?;
        Some(Mark { bench, at: found.value, word: "slot gives more than the hole" })
    };
    benches.iter().enumerate().filter_map(leads).collect()
}

/// Plates swept at a held speed: how the hole hands over to the slot.
fn held(benches: &[Bench<'_>]) -> Column {
    let ends = benches.iter().flat_map(|(test, _)| [test.stop_rad(), test.hold.plate_rad]);
    let (from, to) = ends.fold((f64::INFINITY, 0.0_f64), |(from, to), angle| (from.min(angle), to.max(angle)));
    let swept = |label, rank, get: fn(&Idling) -> f64| {
        curves(benches, |run| &run.swept, label, rank, move |at: &Idling| (at.plate_rad, Some(get(at))))
    };
    let mut fuel = swept("slots", 0, |at| at.slot_kg_per_s);
    fuel.extend(swept("holes", 1, |at| at.hole_kg_per_s));
    let whole = |(bench, (test, _)): (usize, &Bench<'_>)| {
        Some(Mark { bench, at: test.slot_rad().1?, word: "slot all uncovered" })
    };
    Column {
        label: "Plate angle, speed held",
        quantity: Quantity::Angle,
        view: (from, to.max(from + 0.01)),
        place: None,
        present: benches.iter().map(|(test, _)| Some(test.stop_rad())).collect(),
        marks: benches.iter().enumerate().filter_map(whole).collect(),
        charts: vec![
            Chart {
                title: "Fuel: slots (heavy), holes (fine)",
                quantity: Quantity::FuelMassFlow,
                range: range(&fuel, (0.0, 0.0)),
                limits: None,
                curves: fuel,
            },
            lambdas(swept("", 0, |at| at.lambda)),
        ],
    }
}

/// Settings worth a look: values of the trade and of the lesson; common practice, no source.
const PRESETS: &[Preset] = &[
    Preset {
        label: "Stop screw in",
        help: "4.5° open: faster, and the slot is uncovered",
        values: &[("idle", "curb", RAISED_RAD)],
    },
    Preset { label: "Stop screw backed off", help: "2.3° open", values: &[("idle", "curb", 0.040)] },
    Preset { label: "Mixture screw in", help: "0.9 mm left open: leaner", values: &[("idle", "screw", 0.9e-3)] },
    Preset { label: "Mixture screw out", help: "1.6 mm left open: richer", values: &[("idle", "screw", 1.6e-3)] },
    Preset { label: "Mixture screw shut", help: "Nothing left open", values: &[("idle", "screw", 0.0)] },
    Preset { label: "Wide slot", help: "0.6 mm instead of 0.3 mm", values: &[("idle", "slot_width", 0.6e-3)] },
    Preset { label: "Bleed varnished up", help: "1.4 mm of 2.2 mm left", values: &[("idle", "bleed", 1.4e-3)] },
    Preset { label: "Idle jet larger", help: "0.42 mm instead of 0.36 mm", values: &[("idle", "feed", 0.42e-3)] },
    Preset { label: "Leak at the flange", help: "3 mm² of gap below the plates", values: &[("leak", "area", 3e-6)] },
    Preset { label: "At 1600 m", help: "Thin air", values: &[("ambient", "altitude", 1600.0)] },
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_preset_sets_all_that_it_names_within_the_ranges() {
        super::super::presets::test_all::<IdleOnScrews>();
    }

    #[test]
    fn the_opening_contrast_shows_what_it_asks() {
        let opening = IdleOnScrews::opening();
        let runs: Vec<_> = opening.iter().map(|(_, test)| IdleOnScrews::run(test).expect("runs")).collect();
        let sound = runs[0].idling.expect("idles");
        assert_eq!(runs[1].idling, Err(NoIdle::TooLean), "more air, and hardly more fuel");
        let mut trimmed = opening[1].1;
        trimmed.idle.screw_m = 1.6e-3;
        let trimmed = idling(&trimmed).expect("the mixture screw brings it back");
        assert!(trimmed.speed_rad_per_s > 1.2 * sound.speed_rad_per_s, "{trimmed:?}");
    }

    #[test]
    fn what_will_not_idle_says_what_to_turn_and_is_drawn_held() {
        let mut test = IdleTest::default();
        test.idle.curb_rad = 0.005;
        let run = IdleOnScrews::run(&test).expect("runs");
        let sentence = IdleOnScrews::sentence(&run, UnitSystem::Si);
        assert!(sentence.warns && sentence.text.contains("Turn the stop screw in"), "{}", sentence.text);
        assert!(IdleOnScrews::findings(&run).iter().all(|(_, _, value)| value.is_none()));
        assert!(run.drawn.is_some());
    }
}
