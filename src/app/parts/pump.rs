//! Accelerator pump: one stab of the pedal, and a second one, without an engine.

use super::{Part, Preset, Sentence, Timing, called_by_title};
use crate::app::legend::Line;
use crate::app::theme::Palette;
use crate::app::track::{self, Clock, Flag, TracePanel};
use crate::bench::pump_test::{FINDINGS, PumpRun, PumpTest, ShotFindings};
use crate::bench::shot::{CHANNELS, INTERVAL_S, ShotEventKind};
use crate::scene::pump_bench::WAY_M;
use crate::scene::{self, Scene};
use crate::units::{Quantity, UnitSystem};
use eframe::egui::{Rect, Ui};

/// The pump on its bench.
pub struct ShotOfPump;

impl Part for ShotOfPump {
    type Settings = PumpTest;
    type Run = PumpRun;

    const ID: &'static str = "accelerator_pump";
    const DRAWING: &'static str = "Pump";
    const OPEN: &'static [&'static str] = &["pump"];
    const TIMING: Option<Timing> = Some(Timing {
        clock: Clock::Seconds,
        speeds: [(1.0, "1/1"), (0.25, "1/4"), (0.05, "1/20")],
        step_s: 0.002,
        shortest_s: 0.02,
    });

    fn fresh() -> PumpTest {
        PumpTest::default()
    }

    fn opening() -> Vec<(String, PumpTest)> {
        let with = |inlet_m: f64| {
            let mut test = PumpTest::default();
            test.pump.inlet_m = inlet_m;
            test
        };
        vec![("Wide inlet check".to_owned(), with(2.4e-3)), ("Narrow inlet check".to_owned(), with(0.8e-3))]
    }

    fn presets() -> &'static [Preset] {
        PRESETS
    }

    fn question(benches: &[&PumpTest]) -> String {
        let same_cam = |a: &PumpTest, b: &PumpTest| a.pump.shot_m3 == b.pump.shot_m3;
        match benches {
            [_] => "The pedal goes down: how much fuel comes, how fast, and what is left for a second stab?",
            [one, other] if one.pump.inlet_m != other.pump.inlet_m && same_cam(one, other) => {
                "Two pumps of our own invention give the same first shot: why does the second stab of one find less?"
            }
            [one, other] if one != other && same_cam(one, other) => {
                "The same volume from both: what makes it come sooner, or last longer?"
            }
            _ => "The same foot on both: which pump gives more, and which gives it sooner?",
        }
        .to_owned()
    }

    fn run(test: &PumpTest) -> Result<PumpRun, String> {
        test.run().map_err(|error| error.to_string())
    }

    fn sentence(run: &PumpRun, units: UnitSystem) -> Sentence {
        let (text, warns) = sentence(&run.findings, units);
        Sentence { text, warns }
    }

    fn comparison([(one, first), (other, second)]: [(&PumpTest, &PumpRun); 2], units: UnitSystem) -> Option<String> {
        let (a, b) = (&first.findings, &second.findings);
        let change = |label: &str, quantity: Quantity, a: Option<f64>, b: Option<f64>| {
            let by = b? - a?;
            let text = quantity.show(by.abs(), units);
            let more = if by < 0.0 { "−" } else { "+" };
            (text != quantity.show(0.0, units)).then(|| format!("{label} {more}{text}"))
        };
        let changes: Vec<String> = [
            change("first shot", Quantity::SmallVolume, a.volume_m3, b.volume_m3),
            change("nine tenths of it after", Quantity::ShortTime, a.to_90_percent_s, b.to_90_percent_s),
            change("greatest flow", Quantity::FuelFlow, a.peak_m3_per_s, b.peak_m3_per_s),
            change("second shot", Quantity::SmallVolume, a.second_m3, b.second_m3),
        ]
        .into_iter()
        .flatten()
        .collect();
        (one != other && !changes.is_empty()).then(|| format!("The second against the first: {}.", changes.join(", ")))
    }

    fn caution(_: &PumpRun, _: f64) -> Option<&'static str> {
        Some("a real pump throws petrol; work it over a glass, outdoors, glasses on, no flame near.")
    }

    fn findings(run: &PumpRun) -> Vec<(&'static str, Quantity, Option<f64>)> {
        FINDINGS.iter().map(|finding| (finding.label, finding.quantity, (finding.get)(&run.findings))).collect()
    }

    fn end_s(test: &PumpTest) -> f64 {
        test.pedal.end_s()
    }

    fn flags(run: &PumpRun) -> Vec<Flag> {
        let rank = |kind| match kind {
            ShotEventKind::ShotBegins => 0,
            ShotEventKind::SpringTakesOver => 1,
            ShotEventKind::ShotEnds => 2,
            ShotEventKind::RefillEnds => 3,
            ShotEventKind::RefillBegins => 4,
        };
        let flag = |event: &crate::bench::shot::ShotEvent| Flag {
            time_s: event.time_s,
            label: event.kind.label(),
            rank: rank(event.kind),
        };
        run.shot.events.iter().map(flag).collect()
    }

    fn traces(runs: &[Option<&PumpRun>]) -> Vec<TracePanel> {
        let runs: Vec<_> = runs.iter().map(|run| run.map(|run| (INTERVAL_S, run.shot.samples.as_slice()))).collect();
        let panels = PANELS.iter().map(|panel| track::panel(&runs, CHANNELS, *panel)).collect();
        called_by_title(panels, &["flow", "pressure"])
    }

    fn draw(test: &PumpTest, run: &PumpRun, time_s: f64, units: UnitSystem) -> Scene {
        scene::pump_bench::draw(test, &run.shot, time_s, units)
    }

    fn describe(run: &PumpRun, time_s: f64, units: UnitSystem) -> String {
        let now = run.shot.at(time_s);
        let show = |quantity: Quantity, value: f64| quantity.show(value, units);
        format!(
            "at {}: lever {} down, plunger {} down, duration spring {}, fuel out of the shooters {}, delivered so far {}",
            Clock::Seconds.at(time_s),
            show(Quantity::Fraction, now.lever),
            show(Quantity::Fraction, now.plunger),
            show(Quantity::Force, now.spring_n),
            show(Quantity::FuelFlow, now.flow_m3_per_s),
            show(Quantity::SmallVolume, now.delivered_m3),
        )
    }

    fn legend(ui: &mut Ui, rect: Rect, scale: f64, units: UnitSystem) {
        let palette = Palette::of(ui.visuals());
        let mut line = Line::new(ui, rect, scale);
        line.text("jets fly as computed, without the air's drag", palette.fuel);
        line.text(&format!("their fall: over {}", Quantity::Length.show(WAY_M, units)), palette.fuel);
        line.text("glass: a mark each cm³", palette.weak);
        line.text("walls, lever: not to scale", palette.weak);
        line.speak(ui, "how to read it:");
    }
}

/// What a shot came to, and whether the second stab goes short.
fn sentence(found: &ShotFindings, units: UnitSystem) -> (String, bool) {
    let show = |quantity: Quantity, value: f64| quantity.show(value, units);
    let Some((volume, time)) = found.volume_m3.zip(found.to_90_percent_s) else {
        return ("There is no shot; set the full shot above nothing.".to_owned(), true);
    };
    let mut parts = vec![format!(
        "{} came, nine tenths of it in {}",
        show(Quantity::SmallVolume, volume),
        show(Quantity::ShortTime, time)
    )];
    if let Some(share) = found.spring_share {
        parts.push(match share {
            share if share > 0.995 => "the spring drove all of it".to_owned(),
            share if share > 0.005 => format!("the spring drove {} of it", show(Quantity::Fraction, share)),
            _ => "the lever drove all of it".to_owned(),
        });
    }
    let short = found.second_share.is_some_and(|share| share < SHORT);
    if let Some((second, share)) = found.second_m3.zip(found.second_share) {
        let (second, share) = (show(Quantity::SmallVolume, second), show(Quantity::Fraction, share));
        if short {
            // what went wrong leads
            parts.insert(0, format!("The second stab found only {second}, {share} of the first"));
        } else {
            parts.push(format!("the second stab found {second}, {share} of the first"));
        }
    }
    (parts.join("; ") + ".", short)
}

/// Share of the first shot below which the second is told as short: a tenth less is hardly felt. Common practice, no source.
const SHORT: f64 = 0.9;

/// Settings worth a look: values of the trade and of the lesson; common practice, no source.
const PRESETS: &[Preset] = &[
    Preset {
        label: "Small shooter holes",
        help: "0.45 mm: the shot lasts longer",
        values: &[("pump", "shooter", 0.45e-3)],
    },
    Preset { label: "Large shooter holes", help: "0.9 mm: it is over sooner", values: &[("pump", "shooter", 0.9e-3)] },
    Preset {
        label: "Stiff duration spring",
        help: "Three times as stiff: the spring empties the pump sooner",
        values: &[("pump", "spring_rate", 2400.0)],
    },
    Preset { label: "Cam A: early", help: "Most of the lift first", values: &[("pump", "profile", 0.0)] },
    Preset { label: "Cam C: late", help: "Most of the lift last", values: &[("pump", "profile", 2.0)] },
    Preset { label: "Half the shot", help: "0.8 cm³ a stroke", values: &[("pump", "shot", 0.8e-6)] },
    Preset { label: "Narrow inlet check", help: "0.8 mm: the pump fills slowly", values: &[("pump", "inlet", 0.8e-3)] },
    Preset { label: "Slow foot", help: "The pedal takes a second", values: &[("pedal", "stab", 1.0)] },
    Preset { label: "One stab alone", help: "The foot stays down", values: &[("pedal", "hold", 0.0)] },
    Preset {
        label: "A longer pause",
        help: "1.2 s between the stabs: time to fill",
        values: &[("pedal", "off", 1.2), ("pedal", "length", 3.5)],
    },
];

/// Traces: key, title, columns.
const PANELS: &[(&str, &str, &[&str])] = &[
    ("travel", "Lever and plunger", &["plunger", "lever"]),
    ("flow", "Out of the shooters", &["flow_m3_per_s"]),
    ("delivered", "Delivered so far", &["delivered_m3"]),
    ("pressure", "Under the plunger", &["pressure_pa"]),
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_preset_sets_all_that_it_names_within_the_ranges() {
        super::super::presets::test_all::<ShotOfPump>();
    }

    #[test]
    fn every_trace_has_its_columns() {
        let run = PumpTest::default().run().expect("runs");
        let panels = ShotOfPump::traces(&[Some(&run)]);
        for (panel, (_, _, ids)) in panels.iter().zip(PANELS) {
            assert_eq!(panel.curves.len(), ids.len(), "{}", panel.key);
        }
    }

    #[test]
    fn the_sentence_tells_a_short_second_stab() {
        let told = |inlet_m: f64| {
            let mut test = PumpTest::default();
            test.pump.inlet_m = inlet_m;
            sentence(&test.run().expect("runs").findings, UnitSystem::Si)
        };
        assert!(told(0.8e-3).1 && !told(4e-3).1);
        assert!(told(0.8e-3).0.starts_with("The second stab found only"));
        let none = ShotFindings { volume_m3: Some(0.0), ..PumpTest::default().run().expect("runs").findings };
        assert!(sentence(&ShotFindings { to_90_percent_s: None, ..none }, UnitSystem::Si).1);
    }
}
