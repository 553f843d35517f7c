//! Lines and words over the map: contours, and the edges between verdicts with what holds on both sides.

use super::super::strips::Strips;
use super::super::theme::{PAPER, Palette, SLATE};
use crate::bench::sweep::Map;
use crate::bench::sweep::chart::{Chart, Sides};
use crate::bench::sweep::contour::Line;
use crate::bench::verdict::Verdict;
use crate::content::map::cividis;
use eframe::egui::{Align2, Color32, FontId, Painter, Pos2, Rect, Shape, Stroke, Vec2, pos2, vec2};

/// Columns and rows of a map → places of the screen; every point has a cell of its own.
#[derive(Clone, Copy)]
pub struct Grid {
    /// Where the map is.
    pub rect: Rect,
    /// Columns and rows.
    pub steps: [usize; 2],
}

impl Grid {
    /// Size of a cell.
    pub fn cell(&self) -> Vec2 {
        vec2(self.rect.width() / self.steps[0] as f32, self.rect.height() / self.steps[1] as f32)
    }

    /// Place of a column and row, which may lie between two.
    pub fn at(&self, [column, row]: [f64; 2]) -> Pos2 {
        let cell = self.cell();
        pos2(self.rect.left() + (column as f32 + 0.5) * cell.x, self.rect.bottom() - (row as f32 + 0.5) * cell.y)
    }

    /// The point whose cell this is; `None` outside the map.
    pub fn point(&self, at: Pos2) -> Option<(usize, usize)> {
        if !self.rect.contains(at) {
            return None;
        }
        let cell = self.cell();
        let column = ((at.x - self.rect.left()) / cell.x) as usize;
        let row = ((self.rect.bottom() - at.y) / cell.y) as usize;
        Some((column.min(self.steps[0] - 1), row.min(self.steps[1] - 1)))
    }

    fn path(&self, line: &Line) -> Vec<Pos2> {
        line.iter().map(|place| self.at(*place)).collect()
    }
}

/// Ink or chalk, whichever stands out from a share of the colour scale.
pub fn over(share: f64) -> Color32 {
    if cividis::is_dark(share) { SLATE.ink } else { PAPER.ink }
}

/// Lines and words, with the places that words have taken.
pub struct Lines<'a> {
    /// Where to paint; clipped to the map.
    pub painter: &'a Painter,
    /// Where the points are.
    pub grid: Grid,
    /// Colours.
    pub palette: &'a Palette,
    /// Type of the words.
    pub font: FontId,
    /// Rectangles that hold a word already.
    pub taken: Vec<Rect>,
}

impl Lines<'_> {
    /// Thin lines of one value each.
    pub fn contours(&mut self, chart: &Chart) {
        for contour in &chart.contours {
            let stroke = Stroke::new(1.0, over(contour.share));
            for line in &contour.lines {
                self.painter.add(Shape::line(self.grid.path(line), stroke));
            }
        }
    }

    /// Their figures, where there is room beside the other words.
    pub fn figures(&mut self, chart: &Chart) {
        for contour in &chart.contours {
            let Some(line) = contour.lines.iter().max_by_key(|line| line.len()) else { continue };
            let places = [3, 5, 2, 6, 1, 7].map(|eighth| self.grid.at(line[line.len() * eighth / 8]));
            for place in places {
                if self.word(place, Align2::CENTER_CENTER, &contour.text) {
                    break;
                }
            }
        }
    }

    /// Heavy lines between verdicts: dotted, dashed or whole, with a light or dark edge so that they show on any shade.
    pub fn boundaries(&mut self, map: &Map, chart: &Chart) {
        let (line_colour, edge_colour) = (self.palette.ink, self.palette.paper);
        let pixels = self.painter.ctx().pixels_per_point();
        for boundary in &chart.boundaries {
            let stroke = Stroke::new(3.0, line_colour);
            for line in &boundary.lines {
                let path = self.grid.path(line);
                self.painter.add(Shape::line(path.clone(), Stroke::new(6.0, edge_colour)));
                let (dash, gap) = match boundary.begins {
                    Verdict::Hesitates => (3.0, 5.0),
                    Verdict::Bogs => (11.0, 6.0),
                    _ => {
                        self.painter.add(Shape::line(path, stroke));
                        continue;
                    }
                };
                let mut dashes = Strips::new(pixels);
                dashes.dashed(&path, stroke, dash, gap);
                dashes.paint(self.painter);
            }
        }
        for boundary in &chart.boundaries {
            for line in &boundary.lines {
                self.sides(map, chart, boundary.begins, line);
            }
        }
    }

    /// Words on both sides of a boundary, at the first place along it where both have room; none along a short one.
    fn sides(&mut self, map: &Map, chart: &Chart, begins: Verdict, line: &Line) {
        let path = self.grid.path(line);
        let length: f32 = path.windows(2).map(|pair| pair[0].distance(pair[1])).sum();
        if length < 6.0 * self.font.size {
            return;
        }
        for sixteenth in [8, 5, 11, 3, 13, 6, 10, 2, 14, 1, 15] {
            let corner = line.len() * sixteenth / 16;
            let Some(sides) = chart.sides(map, begins, line, corner) else { continue };
            if self.pair(self.grid.at(line[corner]), sides) {
                return;
            }
        }
    }

    fn pair(&mut self, at: Pos2, sides: Sides) -> bool {
        let towards = vec2(sides.towards[0] as f32, -sides.towards[1] as f32);
        let words = [(sides.worse, towards), (sides.better, -towards)].map(|(verdict, way)| {
            let anchor = match (way.x, way.y) {
                (x, _) if x > 0.0 => Align2::LEFT_CENTER,
                (x, _) if x < 0.0 => Align2::RIGHT_CENTER,
                (_, y) if y > 0.0 => Align2::CENTER_TOP,
                _ => Align2::CENTER_BOTTOM,
            };
            (at + way * 9.0, anchor, verdict.id())
        });
        if !words.iter().all(|(place, anchor, text)| self.room(*place, *anchor, text).is_some()) {
            return false;
        }
        words.iter().all(|(place, anchor, text)| self.word(*place, *anchor, text))
    }

    /// Where a word would stand; `None` if that is outside the map or taken.
    fn room(&self, at: Pos2, anchor: Align2, text: &str) -> Option<Rect> {
        let size = self.painter.layout_no_wrap(text.to_owned(), self.font.clone(), self.palette.ink).size();
        let rect = anchor.anchor_size(at, size + vec2(8.0, 2.0));
        let free = self.taken.iter().all(|taken| !taken.intersects(rect));
        (free && self.grid.rect.contains_rect(rect)).then_some(rect)
    }

    /// A word on a patch of its own; `false` if there is no room.
    pub fn word(&mut self, at: Pos2, anchor: Align2, text: &str) -> bool {
        let Some(rect) = self.room(at, anchor, text) else { return false };
        self.painter.rect_filled(rect, 3.0, self.palette.sheet.gamma_multiply(0.88));
        self.painter.text(rect.center(), Align2::CENTER_CENTER, text, self.font.clone(), self.palette.ink);
        self.taken.push(rect);
        true
    }
}
