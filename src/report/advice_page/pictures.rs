//! Both carburettors in section, to one scale, and what the engine makes of them.

use super::note;
use crate::advice::recommend::contrast::{Contrast, Side};
use crate::bench::sentence::sentence;
use crate::bench::trace::{LARGEST_LAMBDA, Sample};
use crate::engine::torque::{LEAN_LIMIT, RICH_LIMIT};
use crate::report::document::{Axis, Block, Chart, Figure, Level, Picture, Series, Style, Text};
use crate::report::handout::heading_of;
use crate::scene::{self, Scene};

/// Most height of a section and the width that its names leave to it on the narrower paper, points.
const SECTION_PT: (f64, f64) = (166.0, 108.0);
/// Height of a trace, points.
const TRACE_PT: f64 = 54.0;
/// Time that a trace shows, before the pedal moves and after, s; the least that it shows beyond the instant that is
/// drawn, s; places at which it is read.
const SPAN_S: (f64, f64) = (-0.1, 1.2);
const BEYOND_S: f64 = 0.1;
const READ: usize = 360;
/// λ that a trace shows.
const LAMBDA: (f64, f64) = (0.5, 1.7);

/// The pictures with their words.
pub fn pictures(contrast: &Contrast) -> Vec<Block> {
    let after_s = contrast.telling_s();
    let milliseconds = format!("{:.0} ms", 1e3 * after_s);
    let about = format!(
        "The pedal is floored {}; drawn is what happens {milliseconds} after it began to move. This kind of carburettor \
         has four throats, called barrels: two for gentle driving, the primary ones (left), and a second pair, the \
         secondary ones (right), that opens for full power. Threads with arrows are air, dots are fuel. When the second \
         pair lets in air before its fuel comes, the engine gets too little fuel and stumbles.",
        contrast.phrase()
    );
    let lambda = "λ (lambda), air against fuel: 1 is exact, more is lean, less is rich";
    let lambda = chart(contrast, lambda, LAMBDA, true, |sample| sample.lambda.min(LARGEST_LAMBDA));
    let torque: fn(&Sample) -> f64 = |sample| sample.torque_nm;
    let most = contrast.sides.iter().flat_map(|side| side.run.trace.samples.iter().map(torque)).fold(1.0, f64::max);
    let least = contrast.sides.iter().flat_map(|side| side.run.trace.samples.iter().map(torque)).fold(0.0, f64::min);
    let torque = chart(contrast, "Torque, the engine's pull, N·m", (1.06 * least, 1.06 * most), false, torque);
    let pictures = vec![
        heading_of(2, "What you would see"),
        note(about),
        Block::Columns(sections(contrast, after_s, &milliseconds)),
        Block::Columns(vec![vec![torque], vec![lambda]]),
    ];
    vec![Block::Together(pictures)]
}

/// One beside the other, to the same scale.
fn sections(contrast: &Contrast, after_s: f64, milliseconds: &str) -> Vec<Vec<Block>> {
    let drawn = |side: &Side| scene::draw(&side.scenario, &side.run.trace.at(side.scenario.pedal.begin_s + after_s));
    let scenes: Vec<Scene> = contrast.sides.iter().map(drawn).collect();
    let scale = |scene: &Scene| {
        let size = scene.bounds.1 - scene.bounds.0;
        (SECTION_PT.0 / size.x).min(SECTION_PT.1 / size.y)
    };
    let least = scenes.iter().map(scale).filter(|scale| *scale > 0.0).fold(f64::INFINITY, f64::min);
    let with_words = |(side, scene): (&Side, Scene)| section(side, scene, least, milliseconds);
    contrast.sides.iter().zip(scenes).map(with_words).collect()
}

fn section(side: &Side, scene: Scene, scale: f64, milliseconds: &str) -> Vec<Block> {
    let parts: Vec<&str> = scene.labels.iter().map(|label| label.text.as_str()).collect();
    let name = side.scenario.entry().name.to_lowercase();
    let spoken = format!(
        "Section through one front and one rear throat: {}, {name}, {milliseconds} after the pedal began to move. Named \
         parts: {}.",
        side.name,
        parts.join(", ")
    );
    let caption = Text::strong(format!("{}: {name}. ", side.name)).and(sentence(&side.findings), Style::Plain);
    let height_pt = scale * (scene.bounds.1.y - scene.bounds.0.y);
    vec![Block::Figure(Figure { picture: Picture::Section(Box::new(scene), height_pt), caption, spoken })]
}

fn chart(
    contrast: &Contrast,
    label: &str,
    (least, most): (f64, f64),
    has_limits: bool,
    get: impl Fn(&Sample) -> f64,
) -> Block {
    let drawn_s = contrast.telling_s();
    let (from, to) = (SPAN_S.0, SPAN_S.1.max(drawn_s + BEYOND_S));
    let series: Vec<Series> = contrast
        .sides
        .iter()
        .enumerate()
        .map(|(place, side)| {
            let times = (0..=READ).map(|step| from + (to - from) * step as f64 / READ as f64);
            let value = |time: f64| (time, get(&side.run.trace.at(side.scenario.pedal.begin_s + time)));
            let points = times.map(value).filter(|(_, value)| value.is_finite()).collect();
            Series { name: side.name.to_owned(), place, points }
        })
        .collect();
    let level = |name: &str, value| Level { name: name.to_owned(), value };
    let levels = if has_limits {
        vec![level("too lean above", LEAN_LIMIT), level("too rich below", RICH_LIMIT)]
    } else {
        Vec::new()
    };
    let names: Vec<&str> = contrast.sides.iter().map(|side| side.name).collect();
    let spoken = format!("Trace over time of {label}: {}.", names.join(", "));
    let across = format!("s after the pedal begins to move; drawn above at {drawn_s:.3}");
    let chart = Chart {
        across: Axis { label: across, least: from, most: to },
        up: Axis { label: label.to_owned(), least, most },
        series,
        levels,
        height_pt: TRACE_PT,
    };
    Block::Figure(Figure { picture: Picture::Chart(chart), caption: Text::default(), spoken })
}
