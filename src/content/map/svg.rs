//! A map as a picture of lines and areas (SVG 1.1), for print on white.

use super::cividis;
use crate::bench::findings::Finding;
use crate::bench::sweep::chart::{Chart, Shade, axis_ticks};
use crate::bench::sweep::contour::Line;
use crate::bench::sweep::{Map, quantity};
use crate::bench::verdict::Verdict;
use crate::settings::grouped::Grouped;
use crate::units::{Quantity, UnitSystem};
use std::fmt::Write;

const LEFT: f64 = 96.0;
const TOP: f64 = 84.0;
const SIDE: f64 = 600.0;
const WIDTH: f64 = 900.0;
const HEIGHT: f64 = 790.0;
const INK: &str = "#1c2430";
const CHALK: &str = "#ffffff";

/// The picture of one finding over a map, with contour lines, lines between verdicts, and the scenario's own point.
pub fn svg(map: &Map, finding: &Finding, units: UnitSystem) -> String {
    let picture = Picture { map, chart: Chart::of(map, finding, units), units };
    let mut out = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {WIDTH} {HEIGHT}\" font-family=\"sans-serif\" \
         font-size=\"13\" fill=\"{INK}\">\n"
    );
    picture.head(&mut out, finding);
    picture.cells(&mut out);
    picture.contours(&mut out);
    picture.boundaries(&mut out);
    picture.own_point(&mut out);
    picture.axes(&mut out);
    picture.scale(&mut out, finding);
    out.push_str("</svg>\n");
    out
}

struct Picture<'a> {
    map: &'a Map,
    chart: Chart,
    units: UnitSystem,
}

/// Writing to a text cannot fail.
macro_rules! put {
    ($out:expr, $($words:tt)*) => { let _ = writeln!($out, $($words)*); };
}

impl Picture<'_> {
    fn head(&self, out: &mut String, finding: &Finding) {
        let title = safe(&self.map.scenario.title);
        let family = safe(self.map.scenario.entry().name);
        let label = safe(finding.label);
        put!(out, "<title>{title}: {label}</title>");
        put!(out, "<rect width=\"{WIDTH}\" height=\"{HEIGHT}\" fill=\"#ffffff\"/>");
        put!(
            out,
            "<defs><pattern id=\"hole\" width=\"8\" height=\"8\" patternUnits=\"userSpaceOnUse\"><path d=\"M0 8L8 0\" stroke=\"{INK}\" stroke-width=\"0.8\"/></pattern>"
        );
        put!(
            out,
            "<clipPath id=\"plot\"><rect x=\"{LEFT}\" y=\"{TOP}\" width=\"{SIDE}\" height=\"{SIDE}\"/></clipPath></defs>"
        );
        put!(out, "<text x=\"{LEFT}\" y=\"28\" font-size=\"18\" font-weight=\"bold\">{title}</text>");
        let (run, all) = self.map.progress();
        let part = if run < all { format!("; {run} of {all} runs so far") } else { format!("; {all} runs") };
        put!(out, "<text x=\"{LEFT}\" y=\"48\">{family}: {label}{part}</text>");
    }

    /// Place of a column, in its middle.
    fn x(&self, column: f64) -> f64 {
        LEFT + (column + 0.5) * SIDE / self.map.axes[0].steps as f64
    }

    /// Place of a row, in its middle; rows rise.
    fn y(&self, row: f64) -> f64 {
        TOP + SIDE - (row + 0.5) * SIDE / self.map.axes[1].steps as f64
    }

    fn cells(&self, out: &mut String) {
        let [across, up] = [self.map.axes[0].steps, self.map.axes[1].steps];
        let (width, height) = (SIDE / across as f64, SIDE / up as f64);
        put!(out, "<g shape-rendering=\"crispEdges\">");
        for (place, shade) in self.chart.shades.iter().enumerate() {
            let (x, y) =
                (self.x((place % across) as f64) - 0.5 * width, self.y((place / across) as f64) - 0.5 * height);
            let fill = match shade {
                Shade::Share(share) => hex(cividis::colour(*share)),
                Shade::Hole | Shade::Absent => "url(#hole)".to_owned(),
                Shade::Waiting => continue,
            };
            put!(out, "<rect x=\"{x:.2}\" y=\"{y:.2}\" width=\"{width:.2}\" height=\"{height:.2}\" fill=\"{fill}\"/>");
        }
        put!(out, "</g>");
    }

    fn path(&self, line: &Line) -> String {
        let mut path = String::new();
        for (i, [column, row]) in line.iter().enumerate() {
            let letter = if i == 0 { 'M' } else { 'L' };
            let _ = write!(path, "{letter}{:.1} {:.1}", self.x(*column), self.y(*row));
        }
        path
    }

    fn contours(&self, out: &mut String) {
        for contour in &self.chart.contours {
            let colour = if cividis::is_dark(contour.share) { CHALK } else { INK };
            for line in &contour.lines {
                let path = self.path(line);
                put!(out, "<path d=\"{path}\" fill=\"none\" stroke=\"{colour}\" stroke-width=\"0.9\"/>");
            }
            if let Some([column, row]) =
                contour.lines.iter().max_by_key(|line| line.len()).map(|line| line[line.len() / 3])
            {
                self.word(out, (self.x(column), self.y(row)), "middle", &contour.text);
            }
        }
    }

    fn boundaries(&self, out: &mut String) {
        for boundary in &self.chart.boundaries {
            let dash = match boundary.begins {
                Verdict::Hesitates => "2 5",
                Verdict::Bogs => "11 6",
                _ => "none",
            };
            for line in &boundary.lines {
                let path = self.path(line);
                put!(out, "<path d=\"{path}\" fill=\"none\" stroke=\"{CHALK}\" stroke-width=\"5\"/>");
                put!(
                    out,
                    "<path d=\"{path}\" fill=\"none\" stroke=\"{INK}\" stroke-width=\"2.6\" stroke-dasharray=\"{dash}\"/>"
                );
            }
            let Some(line) = boundary.lines.iter().max_by_key(|line| line.len()) else { continue };
            let corner = line.len() / 2;
            let Some(sides) = self.chart.sides(self.map, boundary.begins, line, corner) else { continue };
            let corner = line[corner];
            let (x, y) = (self.x(corner[0]), self.y(corner[1]));
            for (verdict, way) in [(sides.worse, 1.0), (sides.better, -1.0)] {
                let (dx, dy) = (way * sides.towards[0], -way * sides.towards[1]);
                let anchor = if dx > 0.0 {
                    "start"
                } else if dx < 0.0 {
                    "end"
                } else {
                    "middle"
                };
                self.word(out, (x + 10.0 * dx, y + 17.0 * dy), anchor, verdict.id());
            }
        }
    }

    /// A word over the map, with a light edge so that it stands out from any shade.
    fn word(&self, out: &mut String, (x, y): (f64, f64), anchor: &str, text: &str) {
        // kept inside the plot, wherever the line ends
        let (x, y) = (x.clamp(LEFT + 14.0, LEFT + SIDE - 14.0), (y + 4.5).clamp(TOP + 14.0, TOP + SIDE - 6.0));
        let (text, place) = (safe(text), format!("x=\"{x:.1}\" y=\"{y:.1}\" text-anchor=\"{anchor}\""));
        put!(out, "<text {place} stroke=\"{CHALK}\" stroke-width=\"4\" stroke-linejoin=\"round\">{text}</text>");
        put!(out, "<text {place}>{text}</text>");
    }

    fn own_point(&self, out: &mut String) {
        let steps = self.map.axes.map(|axis| self.map.scenario.value(axis.place).map(|value| axis.step_of(value)));
        let [Some(column), Some(row)] = steps else { return };
        let (x, y) = (self.x(column), self.y(row));
        put!(out, "<g clip-path=\"url(#plot)\">");
        put!(out, "<circle cx=\"{x:.1}\" cy=\"{y:.1}\" r=\"8\" fill=\"none\" stroke=\"{CHALK}\" stroke-width=\"5\"/>");
        put!(out, "<circle cx=\"{x:.1}\" cy=\"{y:.1}\" r=\"8\" fill=\"none\" stroke=\"{INK}\" stroke-width=\"2\"/>");
        put!(out, "<circle cx=\"{x:.1}\" cy=\"{y:.1}\" r=\"2.5\"/></g>");
    }

    fn axes(&self, out: &mut String) {
        let bottom = TOP + SIDE;
        put!(out, "<rect x=\"{LEFT}\" y=\"{TOP}\" width=\"{SIDE}\" height=\"{SIDE}\" fill=\"none\" stroke=\"{INK}\"/>");
        for (index, axis) in self.map.axes.iter().enumerate() {
            let Some(quantity) = quantity(&self.map.scenario, axis.place) else { continue };
            for (step, text) in axis_ticks(axis, quantity, self.units, 6) {
                if index == 0 {
                    let x = self.x(step);
                    put!(out, "<path d=\"M{x:.1} {bottom}v5\" stroke=\"{INK}\"/>");
                    put!(out, "<text x=\"{x:.1}\" y=\"{}\" text-anchor=\"middle\">{text}</text>", bottom + 20.0);
                } else {
                    let y = self.y(step);
                    put!(out, "<path d=\"M{LEFT} {y:.1}h-5\" stroke=\"{INK}\"/>");
                    put!(out, "<text x=\"{}\" y=\"{:.1}\" text-anchor=\"end\">{text}</text>", LEFT - 9.0, y + 4.5);
                }
            }
        }
        let [across, up] = [0, 1].map(|axis| safe(&axis_title(self.map, axis, self.units)));
        put!(out, "<text x=\"{LEFT}\" y=\"{}\" font-weight=\"bold\">{up}</text>", TOP - 10.0);
        let right = LEFT + SIDE;
        let below = bottom + 44.0;
        put!(out, "<text x=\"{right}\" y=\"{below}\" text-anchor=\"end\" font-weight=\"bold\">{across}</text>");
        let note = "Circle: the scenario as it is. Heavy lines part verdicts: dotted where it begins to hesitate, dashed to bog, \
                    whole to die. Hatched: no value.";
        put!(out, "<text x=\"{LEFT}\" y=\"{}\" font-size=\"11\">{note}</text>", bottom + 70.0);
        let scenario_note = safe(&self.map.scenario.note);
        put!(out, "<text x=\"{LEFT}\" y=\"{}\" font-size=\"11\">{scenario_note}</text>", bottom + 88.0);
    }

    fn scale(&self, out: &mut String, finding: &Finding) {
        const STRIPES: usize = 60;
        let x = LEFT + SIDE + 40.0;
        let height = SIDE / STRIPES as f64;
        put!(out, "<g shape-rendering=\"crispEdges\">");
        for stripe in 0..STRIPES {
            let fill = hex(cividis::colour((stripe as f64 + 0.5) / STRIPES as f64));
            let y = TOP + SIDE - (stripe + 1) as f64 * height;
            put!(out, "<rect x=\"{x}\" y=\"{y}\" width=\"22\" height=\"{height}\" fill=\"{fill}\"/>");
        }
        put!(out, "</g>");
        for (value, text) in self.chart.ticks() {
            let y = TOP + SIDE * (1.0 - self.chart.share(value));
            put!(out, "<path d=\"M{} {y:.1}h5\" stroke=\"{INK}\"/>", x + 22.0);
            put!(out, "<text x=\"{}\" y=\"{:.1}\">{text}</text>", x + 31.0, y + 4.5);
        }
        let unit = if finding.quantity == Quantity::Number { "" } else { self.chart.unit.symbol };
        put!(out, "<text x=\"{x}\" y=\"{}\" font-weight=\"bold\">{}</text>", TOP - 10.0, safe(unit));
    }
}

/// What an axis shows: group, setting and unit.
pub fn axis_title(map: &Map, axis: usize, units: UnitSystem) -> String {
    let place = map.axes[axis].place;
    let group = crate::bench::scenario::GROUPS[place.group].label;
    let label = map.scenario.setting(place).map_or("", |setting| setting.label);
    match quantity(&map.scenario, place).map(|quantity| quantity.unit(units).symbol) {
        Some(symbol) if !symbol.is_empty() => format!("{group}: {label} ({symbol})"),
        _ => format!("{group}: {label}"),
    }
}

fn hex([red, green, blue]: [u8; 3]) -> String {
    format!("#{red:02x}{green:02x}{blue:02x}")
}

/// Text as it may stand in the file: a title may hold anything.
fn safe(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for character in text.chars() {
        match character {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            // the format has no way to write these
            '\u{fffe}' | '\u{ffff}' => {}
            character if character.is_control() => out.push(' '),
            character => out.push(character),
        }
    }
    out
}
