//! A section on paper: parts with hatches, air as threads, fuel as drops, names with leader lines.

use crate::report::document::Text;
use crate::report::ink::{self, AIR, FUEL, INK, Pen, WEAK};
use crate::report::lines::{Compositor, Line, Type};
use crate::report::page::Mark;
use crate::report::spread::apart;
use crate::scene::{Item, Label, Scene, Shape, Spray, Stream};
use glam::{DVec2, dvec2};

const NAME: Type = Type { size_pt: 7.0, leading_pt: 8.2, colour: INK, strong: false };
/// From a name to the drawing, points.
const GAP_PT: f64 = 9.0;
/// Widest name, share of the width.
const NAME_SHARE: f64 = 0.24;
/// From this width on there is room for names of the second level, points.
const LARGE_PT: f64 = 330.0;
/// Mass flow of one thread of air, and most threads in a stream; kg/s.
const FLOW_PER_THREAD: f64 = 0.004;
const MOST_THREADS: f64 = 9.0;
/// Less air than this is not drawn, kg/s.
const LEAST_FLOW: f64 = 2e-4;
/// Mass flow of one drop, kg/s.
const FLOW_PER_DROP: f64 = 0.000_15;

/// The section in a width and at most so high, from its upper left corner, and its height. Nothing for a scene without
/// an extent.
pub fn marks(compositor: &mut Compositor<'_>, scene: &Scene, width_pt: f64, most_pt: f64) -> (Vec<Mark>, f64) {
    let (least, most) = scene.bounds;
    let size = most - least;
    if !(least.is_finite() && most.is_finite() && size.min_element() > 0.0) {
        return (Vec::new(), 0.0);
    }
    let middle = 0.5 * (least.x + most.x);
    let level = if width_pt >= LARGE_PT { 1 } else { 0 };
    let mut sides: [Vec<Name<'_>>; 2] = [Vec::new(), Vec::new()];
    for label in scene.labels.iter().filter(|label| label.level <= level && label.part.is_finite()) {
        let lines = compositor.lines(&Text::plain(&label.text), &NAME, NAME_SHARE * width_pt);
        sides[usize::from(label.place.x > middle)].push(Name { label, lines });
    }
    let room = |names: &[Name<'_>]| {
        let widest = names.iter().flat_map(|name| &name.lines).map(|line| line.width_pt).fold(0.0, f64::max);
        if widest > 0.0 { widest + GAP_PT } else { 0.0 }
    };
    let (left, right) = (room(&sides[0]), room(&sides[1]));
    let scale = ((width_pt - left - right).max(30.0) / size.x).min(most_pt / size.y);
    let height = scale * size.y;
    let drawn = scale * size.x;
    let corner = dvec2(left + 0.5 * (width_pt - left - right - drawn).max(0.0), 0.0);
    let fit = Fit { least, most, scale, corner };
    let mut marks = Vec::new();
    tints(&mut marks, scene, &fit);
    scene.streams.iter().for_each(|stream| threads(&mut marks, stream, &fit));
    scene.items.iter().for_each(|item| part(&mut marks, item, &fit));
    scene.sprays.iter().enumerate().for_each(|(seed, spray)| drops(&mut marks, spray, seed as f64 * 0.271, &fit));
    let edges = [corner.x - GAP_PT, corner.x + drawn + GAP_PT];
    for (side, (names, edge)) in sides.into_iter().zip(edges).enumerate() {
        place(&mut marks, names, (edge, side == 0), &fit, height);
    }
    (marks, height)
}

struct Name<'a> {
    label: &'a Label,
    lines: Vec<Line>,
}

/// Metres of the scene → points of the page, y turned over.
struct Fit {
    least: DVec2,
    most: DVec2,
    scale: f64,
    corner: DVec2,
}

impl Fit {
    fn at(&self, place: DVec2) -> DVec2 {
        self.corner + self.scale * dvec2(place.x - self.least.x, self.most.y - place.y)
    }

    fn all(&self, points: &[DVec2]) -> Vec<DVec2> {
        points.iter().map(|point| self.at(*point)).collect()
    }
}

fn tints(marks: &mut Vec<Mark>, scene: &Scene, fit: &Fit) {
    for space in &scene.tints {
        if let Some((fill, hatch)) = ink::tint(space.depression_pa) {
            let outline = fit.all(&space.outline);
            marks.push(Mark::Area { outline, fill: Some(fill), hatch: Some(hatch), line: None });
        }
    }
}

fn part(marks: &mut Vec<Mark>, item: &Item, fit: &Fit) {
    let finish = ink::finish(item.role);
    match &item.shape {
        Shape::Area(outline) => marks.push(Mark::Area {
            outline: fit.all(outline),
            fill: finish.fill,
            hatch: finish.hatch,
            line: Some(finish.line),
        }),
        Shape::Stroke { points, width } => {
            let (points, line) = (fit.all(points), finish.line);
            let width_pt = (width * fit.scale).max(line.width_pt);
            marks.push(Mark::Line(points.clone(), Pen::of(line.colour, width_pt)));
            // wide enough, it is seen to be a part or a pipe with something in it
            let inside = width_pt - 2.0 * line.width_pt.min(0.5);
            if let Some(fill) = finish.fill.filter(|_| inside > 0.4) {
                marks.push(Mark::Line(points, Pen::of(fill, inside)));
            }
        }
        Shape::Disc { centre, radius } => marks.push(Mark::Disc {
            centre: fit.at(*centre),
            radius_pt: (radius * fit.scale).max(0.5),
            fill: finish.fill.unwrap_or(ink::WHITE),
            line: Some(finish.line),
        }),
    }
}

/// Air: the more threads the more of it, with an arrow at the end of each.
fn threads(marks: &mut Vec<Mark>, stream: &Stream, fit: &Fit) {
    let sound = stream.path.iter().all(|(place, half)| place.is_finite() && half.is_finite());
    if stream.path.len() < 2 || !sound || stream.flow_kg_per_s.is_nan() || stream.flow_kg_per_s < LEAST_FLOW {
        return;
    }
    let count = (stream.flow_kg_per_s / FLOW_PER_THREAD).ceil().clamp(1.0, MOST_THREADS);
    for thread in 0..count as usize {
        let lateral = 0.8 * (2.0 * (thread as f64 + 0.5) / count - 1.0);
        let line: Vec<DVec2> = (0..stream.path.len())
            .map(|place| {
                let (middle, half) = stream.path[place];
                let before = stream.path[place.saturating_sub(1)].0;
                let after = stream.path[(place + 1).min(stream.path.len() - 1)].0;
                fit.at(middle + (after - before).normalize_or_zero().perp() * half * lateral)
            })
            .collect();
        if let [.., before, end] = line[..] {
            let way = (end - before).normalize_or_zero() * 3.2;
            let barb = |turn: f64| end - way + way.perp() * turn;
            let arrow = vec![end, barb(0.38), barb(-0.38)];
            marks.push(Mark::Area { outline: arrow, fill: Some(AIR), hatch: None, line: None });
        }
        marks.push(Mark::Line(line, Pen { dash: &[5.0, 2.0], ..Pen::of(AIR, 0.55) }));
    }
}

/// The fractional part of multiples of the golden ratio: evenly spread whatever their number.
fn spread(index: usize, seed: f64) -> f64 {
    (index as f64 * 0.618_033_988_749_895 + seed).fract()
}

fn drops(marks: &mut Vec<Mark>, spray: &Spray, seed: f64, fit: &Fit) {
    let count = (spray.flow_kg_per_s.max(0.0) / FLOW_PER_DROP).ceil().min(24.0) as usize;
    for drop in 0..count {
        let share = spread(drop, seed);
        let lateral = (2.0 * spread(drop * 5 + 1, seed) - 1.0) * 0.28 * share;
        let centre = fit.at(spray.from + spray.reach * share + spray.reach.perp() * lateral);
        if centre.is_finite() {
            marks.push(Mark::Disc { centre, radius_pt: 0.75, fill: FUEL, line: None });
        }
    }
}

/// The names of one side, right up to its edge.
fn place(marks: &mut Vec<Mark>, mut names: Vec<Name<'_>>, (edge, leftward): (f64, bool), fit: &Fit, height: f64) {
    let rows = names.iter().map(|name| name.lines.len()).max().unwrap_or(1).max(1) as f64;
    let pitch = rows * NAME.leading_pt;
    // names for which there is no room are left out, the less important first
    names.sort_by_key(|name| name.label.level);
    names.truncate((height / pitch) as usize);
    let wishes: Vec<f64> = names.iter().map(|name| fit.at(name.label.part).y).collect();
    let places = apart(&wishes, pitch, (0.5 * NAME.leading_pt, height - 0.5 * NAME.leading_pt));
    for (name, y) in names.into_iter().zip(places) {
        let part = fit.at(name.label.part);
        let near = dvec2(if leftward { edge + 2.0 } else { edge - 2.0 }, y);
        marks.push(Mark::Line(vec![near, part], Pen::of(WEAK, 0.4)));
        marks.push(Mark::Disc { centre: part, radius_pt: 0.9, fill: INK, line: None });
        let first = y - 0.5 * (name.lines.len() as f64 - 1.0) * NAME.leading_pt + 0.35 * NAME.size_pt;
        for (row, line) in name.lines.into_iter().enumerate() {
            let x = if leftward { edge - line.width_pt } else { edge };
            super::chart::put(marks, line, dvec2(x, first + row as f64 * NAME.leading_pt));
        }
    }
}
