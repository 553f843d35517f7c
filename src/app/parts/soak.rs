//! Heat soak: a warm engine is parked, and started again.

use super::{Files, Part, Preset, Sentence, Timing, Titled, called_by_title};
use crate::app::legend::Line;
use crate::app::theme::Palette;
use crate::app::track::{self, Clock, Flag, TracePanel};
use crate::content::soak_file::TitledSoak;
use crate::content::{library, soak_export, soak_file};
use crate::heat::events::EventKind;
use crate::heat::findings::FINDINGS;
use crate::heat::materials::Body;
use crate::heat::parts::Casting;
use crate::heat::run::{SoakRun, run};
use crate::heat::sentence::{difference, is_hard_to_start, sentence};
use crate::heat::soak::Soak;
use crate::heat::trace::CHANNELS;
use crate::scene::soak::{FLOW_PER_DROP, FLOW_PER_RING, WIDTH_PER_WATT};
use crate::scene::{self, Scene};
use crate::units::{Quantity, UnitSystem};
use eframe::egui::{Rect, Ui};

/// A heat soak.
pub struct HeatSoak;

impl Part for HeatSoak {
    type Settings = Soak;
    type Run = SoakRun;

    const ID: &'static str = "heat_soak";
    const DRAWING: &'static str = "Section";
    const OPEN: &'static [&'static str] = &["times", "mounting"];
    const TIMING: Option<Timing> = Some(Timing {
        clock: Clock::Minutes,
        speeds: [(270.0, "×270"), (90.0, "×90"), (30.0, "×30")],
        step_s: 15.0,
        shortest_s: 60.0,
    });

    const FILES: Option<Files<Self>> = Some(Files {
        read: |path| library::load_soak(path).map(titled).map_err(|problems| problems.to_string()),
        write: |Titled { title, note, settings }| {
            let (title, note, soak) = (title.clone(), note.clone(), *settings);
            soak_file::serialize(&TitledSoak { title, note, soak })
        },
        shipped: || library::shipped_soaks().iter().filter_map(|shipped| shipped.soak().ok()).map(titled).collect(),
        trace: |run| soak_export::trace_csv(run).map_err(|error| error.to_string()),
    });

    fn fresh() -> Soak {
        Soak::default()
    }

    fn opening() -> Vec<(String, Soak)> {
        let mut spaced = Soak::default();
        spaced.mounting.spacer_thickness_m = 0.025;
        vec![("Gasket only".to_owned(), Soak::default()), ("25 mm spacer".to_owned(), spaced)]
    }

    fn presets() -> &'static [Preset] {
        PRESETS
    }

    fn question(benches: &[&Soak]) -> String {
        let metals = |soak: &Soak| Soak { casting: Casting { body: Body::Zinc, ..soak.casting }, ..*soak };
        match benches {
            [one] if one.mounting.spacer_thickness_m == 0.0 => {
                "A car of our own invention is parked hot on a summer afternoon. What happens to the fuel while nobody looks?"
            }
            [one, other] if one != other && metals(one) == metals(other) => {
                "The same car parked hot, its bowls of another material: what does the material alone change?"
            }
            [one, other] if one.mounting != other.mounting => {
                "The same invented car, parked hot on the same summer afternoon: what does it change to stand between \
                 iron and fuel?"
            }
            _ => "Parked hot, and started again: which one floods, and what comes between the iron's heat and the fuel?",
        }
        .to_owned()
    }

    fn run(soak: &Soak) -> Result<SoakRun, String> {
        run(soak).map_err(|error| error.to_string())
    }

    fn sentence(run: &SoakRun, units: UnitSystem) -> Sentence {
        Sentence { text: sentence(&run.findings, units), warns: is_hard_to_start(&run.findings) }
    }

    fn comparison([(one, first), (other, second)]: [(&Soak, &SoakRun); 2], units: UnitSystem) -> Option<String> {
        (one != other).then(|| difference(&first.findings, &second.findings, units))
    }

    fn caution(run: &SoakRun, time_s: f64) -> Option<&'static str> {
        const BURNS_K: f64 = 333.15;
        let now = run.trace.at(time_s);
        if time_s > run.trace.restart_s {
            Some("belts and fan turn; keep hands and sleeves away.")
        } else if now.richness > 1.0 {
            Some(
                "petrol stands in the manifold; no spark, no flame, an extinguisher at hand. If you smell it, do not crank.",
            )
        } else if now.bowl_margin_k < 0.1 {
            Some("vapour leaves the vents; keep sparks and flames away.")
        } else if now.block_k > BURNS_K {
            Some("iron, exhaust and coolant burn skin; leave the radiator shut.")
        } else {
            None
        }
    }

    fn findings(run: &SoakRun) -> Vec<(&'static str, Quantity, Option<f64>)> {
        FINDINGS.iter().map(|finding| (finding.label, finding.quantity, (finding.get)(&run.findings))).collect()
    }

    fn end_s(soak: &Soak) -> f64 {
        soak.times.soak_s + soak.times.cool_s
    }

    fn flags(run: &SoakRun) -> Vec<Flag> {
        const FIRST: [EventKind; 3] = [EventKind::PercolationBegins, EventKind::BoilingBegins, EventKind::Flooded];
        let rank = |kind| 1 + FIRST.iter().position(|first| *first == kind).unwrap_or(FIRST.len());
        let restart = Flag { time_s: run.trace.restart_s, label: "Engine starts again", rank: 0 };
        let events = run.events.iter();
        let mut flags: Vec<_> =
            events.map(|e| Flag { time_s: e.time_s, label: e.kind.label(), rank: rank(e.kind) }).collect();
        flags.push(restart);
        flags.sort_by(|a, b| a.time_s.total_cmp(&b.time_s));
        flags
    }

    fn traces(runs: &[Option<&SoakRun>]) -> Vec<TracePanel> {
        let runs: Vec<_> =
            runs.iter().map(|run| run.map(|run| (run.trace.interval_s, run.trace.samples.as_slice()))).collect();
        let panels = PANELS.iter().map(|panel| track::panel(&runs, CHANNELS, *panel)).collect();
        called_by_title(panels, &["joint", "percolated", "cranking"])
    }

    fn draw(soak: &Soak, run: &SoakRun, time_s: f64, units: UnitSystem) -> Scene {
        scene::soak::draw(soak, &run.trace.at(time_s), units)
    }

    fn describe(run: &SoakRun, time_s: f64, units: UnitSystem) -> String {
        let now = run.trace.at(time_s);
        let warm = |kelvin: f64| Quantity::Temperature.show(kelvin, units);
        let state = if now.bowl_margin_k < 0.1 { "boils" } else { "does not boil" };
        format!(
            "at {}: fuel in the bowls {} and {state}, base {}, manifold {}, heat through the joint {}, puddle in the \
             manifold {}",
            Clock::Minutes.at(time_s),
            warm(now.bowl_k),
            warm(now.base_k),
            warm(now.manifold_k),
            Quantity::Power.show(now.joint_w, units),
            Quantity::SmallMass.show(now.puddle_kg, units),
        )
    }

    fn legend(ui: &mut Ui, rect: Rect, scale: f64, units: UnitSystem) {
        const SHOWN_K: [f64; 4] = [293.15, 323.15, 353.15, 383.15];
        let palette = Palette::of(ui.visuals());
        let mut line = Line::new(ui, rect, scale);
        for kelvin in SHOWN_K {
            line.swatch(palette.warmth(kelvin), &Quantity::Temperature.show(kelvin, units), palette.heat);
        }
        let wide = Quantity::Power.show(1e-3 / WIDTH_PER_WATT, units);
        line.text(&format!("arrow: {wide} a mm"), palette.heat);
        let milligrams = |flow: f64| format!("{:.0} mg/s", flow * 1e6);
        line.text(&format!("drop: {} of fuel", milligrams(FLOW_PER_DROP)), palette.fuel);
        line.text(&format!("ring: {} of vapour", milligrams(FLOW_PER_RING)), palette.air);
        line.text("block, exhaust, barrels, bonnet: not to scale", palette.weak);
        line.speak(ui, "the redder and closer hatched, the hotter:");
    }
}

fn titled(TitledSoak { title, note, soak }: TitledSoak) -> Titled<Soak> {
    Titled { title, note, settings: soak }
}

/// Settings worth a look: values of the trade and of the lesson; common practice, no source.
const PRESETS: &[Preset] = &[
    Preset {
        label: "Spacer of 25 mm",
        help: "Phenolic, with a gasket on either side",
        values: &[("mounting", "spacer_thickness", 0.025), ("mounting", "spacer", 0.0)],
    },
    Preset {
        label: "Metal spacer of 25 mm",
        help: "Aluminium: it lifts the bowls, and conducts",
        values: &[("mounting", "spacer_thickness", 0.025), ("mounting", "spacer", 3.0)],
    },
    Preset {
        label: "Stainless studs",
        help: "They carry less than a third of the heat of steel",
        values: &[("mounting", "stud", 1.0)],
    },
    Preset { label: "Bright sheet", help: "In the gap under the bowls", values: &[("mounting", "shield", 1.0)] },
    Preset { label: "Zinc bowls", help: "Die-cast, as it comes", values: &[("casting", "body", 0.0)] },
    Preset { label: "Aluminium bowls", help: "Die-cast, of the same shape", values: &[("casting", "body", 1.0)] },
    Preset { label: "Moulded bowls", help: "Phenolic, of the same shape", values: &[("casting", "body", 2.0)] },
    Preset {
        label: "Vents of 4 mm",
        help: "Half the bore: do they hold the vapour back?",
        values: &[("casting", "vent", 4e-3)],
    },
    Preset {
        label: "Winter fuel in summer",
        help: "Reid vapour pressure 90 kPa, as it is sold in the cold",
        values: &[("volatility", "reid", 90e3)],
    },
    Preset { label: "Ethanol 10 %", help: "Blended into the same petrol", values: &[("fuel", "ethanol", 0.1)] },
    Preset { label: "At 1600 m", help: "Thin air: fuel boils sooner", values: &[("ambient", "altitude", 1600.0)] },
    Preset {
        label: "Tight bay",
        help: "With the fan off no air leaves from under the bonnet",
        values: &[("bay", "opening", 0.0)],
    },
    Preset {
        label: "Bonnet raised",
        help: "Warm air leaves as it likes. Mind the hot parts",
        values: &[("bay", "opening", 0.6)],
    },
    Preset {
        label: "Crossover blocked",
        help: "No exhaust heat under the carburettor",
        values: &[("bay", "crossover", 0.0)],
    },
];

/// Traces: key, title, columns.
const PANELS: &[(&str, &str, &[&str])] = &[
    ("temperatures", "Temperatures", &["bowl_k", "manifold_k", "bay_k"]),
    ("joint", "Through the joint", &["joint_w"]),
    ("percolated", "Percolated", &["percolated_kg", "vented_kg"]),
    ("cranking", "Cranking to fire", &["cranking_s"]),
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_preset_sets_all_that_it_names_within_the_ranges() {
        super::super::presets::test_all::<HeatSoak>();
    }
}
