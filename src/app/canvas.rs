//! The canvases of benches: one scale for all of them, the drawing with its names, and what is said of it.

use super::actions::Action;
use super::around::{Names, best_room};
use super::paint::{self, Fit, focus_ring};
use super::preferences::LabelDetail;
use super::section::{Brush, common_bounds, fit, is_empty};
use super::theme::Palette;
use crate::scene::Scene;
use eframe::egui::accesskit::Role;
use eframe::egui::{self, Align2, Rect, Sense, TextStyle, Ui, Vec2, pos2, vec2};
use glam::DVec2;

/// What all drawings share, so that they have one scale: corners, and the smallest canvas of the last frame.
pub struct Stage {
    of: &'static str,
    bounds: (DVec2, DVec2),
    /// Room for a drawing on a canvas of that size whose corner lies at the origin.
    room: Rect,
    names: Names,
    size: Vec2,
    count: usize,
}

impl Stage {
    fn key(of: &'static str) -> egui::Id {
        egui::Id::unique(("smallest canvas", of))
    }

    /// The smallest canvas of the last frame, where there were `count` of them.
    pub fn smallest(ui: &Ui, of: &'static str, count: usize) -> Vec2 {
        let kept = ui.data(|data| data.get_temp::<(usize, Vec2)>(Self::key(of)));
        match kept {
            Some((known, size)) if known == count => size,
            _ => {
                ui.ctx().request_repaint();
                vec2(300.0, 300.0)
            }
        }
    }

    /// For the drawings of the screen `of` on `count` canvases.
    pub fn new<'a>(
        ui: &Ui,
        (of, count): (&'static str, usize),
        scenes: impl Iterator<Item = &'a Scene>,
        labels: LabelDetail,
    ) -> Self {
        let shown: Vec<&Scene> = scenes.filter(|scene| !is_empty(scene)).collect();
        let bounds = common_bounds(shown.iter().copied()).unwrap_or((DVec2::ZERO, DVec2::ONE));
        let size = Self::smallest(ui, of, count);
        let font = TextStyle::Small.resolve(ui.style());
        let brush = Brush { painter: ui.painter(), palette: Palette::of(ui.visuals()), font, labels, looked: &[] };
        let (room, names) = best_room(&brush, &shown, bounds, Rect::from_min_size(pos2(0.0, 0.0), size));
        Self { of, bounds, room, names, size, count }
    }

    /// The first canvas of a frame replaces what the last frame left, the others may make it smaller.
    fn report(&self, ui: &Ui, index: usize, size: Vec2) {
        ui.data_mut(|data| {
            let kept = data.get_temp::<(usize, Vec2)>(Self::key(self.of)).filter(|_| index > 0);
            let least = kept.map_or(size, |(_, least)| size.min(least));
            data.insert_temp(Self::key(self.of), (self.count, least));
        });
    }

    /// Where a drawing stands on a canvas.
    pub fn fit(&self, scene: &Scene, canvas: Rect) -> Fit {
        let corner = canvas.center() - 0.5 * self.size;
        fit(scene, self.bounds, self.room.translate(corner.to_vec2()))
    }

    fn names(&self, brush: &Brush<'_>, scene: &Scene, fit: &Fit, canvas: Rect) {
        match self.names {
            Names::Beside => brush.names(scene, fit, canvas),
            Names::Around => brush.names_around(scene, fit, canvas, self.bounds),
        }
    }
}

/// What stands on a bench's canvas.
pub struct Canvas<'a> {
    /// Which bench.
    pub index: usize,
    /// The drawing in words.
    pub spoken: &'a str,
    /// The drawing of a finished run; `None` before the first one.
    pub scene: Option<&'a Scene>,
    /// Whether a newer run is under way.
    pub waiting: bool,
    /// Which names.
    pub labels: LabelDetail,
}

impl Canvas<'_> {
    /// All that room is left for; `paint` paints the drawing without its names. A click selects the bench.
    pub fn show(
        &self,
        ui: &mut Ui,
        stage: &Stage,
        actions: &mut Vec<Action>,
        paint: impl FnOnce(&Brush<'_>, &Scene, &Fit),
    ) {
        let palette = Palette::of(ui.visuals());
        let size = ui.available_size().max(vec2(40.0, 40.0));
        let (rect, response) = ui.allocate_exact_size(size, Sense::click());
        let painter = ui.painter_at(rect);
        paint::canvas(ui, &response, Role::Image, self.spoken);
        if response.clicked() {
            actions.push(Action::Select(self.index));
        }
        let font = TextStyle::Small.resolve(ui.style());
        stage.report(ui, self.index, rect.size());
        match self.scene {
            Some(scene) if is_empty(scene) => {
                let text = "There is no drawing of this run.";
                painter.text(rect.center(), Align2::CENTER_CENTER, text, font, palette.weak);
            }
            Some(scene) => {
                let brush = Brush { painter: &painter, palette, font, labels: self.labels, looked: &[] };
                let fit = stage.fit(scene, rect);
                paint(&brush, scene, &fit);
                stage.names(&brush, scene, &fit, rect);
                if self.waiting {
                    painter.rect_filled(rect, 0.0, palette.paper.gamma_multiply(0.35));
                }
            }
            None => {}
        }
        focus_ring(&painter, &response, palette);
    }
}

/// A drawing of what stands still, with the fuel that runs through it.
pub fn paint_part(brush: &Brush<'_>, scene: &Scene, fit: &Fit, time_s: f64) {
    brush.tints(scene, fit);
    brush.warmths(scene, fit);
    brush.still_air(scene, fit);
    brush.items(scene, fit);
    brush.fuel(scene, fit, time_s);
}
