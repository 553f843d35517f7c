//! Small means of painting that several screens share.

use super::strips::Strips;
use super::theme::Palette;
use eframe::egui::accesskit::Role;
use eframe::egui::{
    Align2, Color32, Context, EventFilter, FontId, Id, Painter, Pos2, Rect, Response, ScrollArea, Shape, Stroke, Ui,
    Vec2, WidgetInfo, vec2,
};

/// The line of a bench: colour, dash and marker, so that nothing is told by colour alone.
#[derive(Debug, Clone, Copy)]
pub struct Series {
    /// Colour.
    pub colour: Color32,
    /// Place among the benches.
    pub index: usize,
}

/// Markers of the benches in words, for those who listen.
pub const MARKER_NAMES: [&str; 4] = ["circle", "square", "triangle", "diamond"];

impl Series {
    /// The line of bench `index`.
    pub fn of(palette: &Palette, index: usize) -> Self {
        Self { colour: palette.series[index % 4], index: index % 4 }
    }

    /// A line through points, on a screen of so many pixels a point.
    pub fn line(self, points: Vec<Pos2>, width: f32, pixels_per_point: f32) -> Shape {
        let stroke = Stroke::new(width, self.colour);
        let (dash, gap) = match self.index {
            1 => (9.0, 4.0),
            2 => (2.5, 3.0),
            3 => (14.0, 3.0),
            _ => return Shape::line(points, stroke),
        };
        let mut dashes = Strips::new(pixels_per_point);
        dashes.dashed(&points, stroke, dash, gap);
        dashes.mesh().into()
    }

    /// Its marker.
    pub fn marker(self, painter: &Painter, at: Pos2, radius: f32, outline: Color32) {
        let stroke = Stroke::new(1.0, outline);
        let corners: &[(f32, f32)] = match self.index {
            1 => &[(-0.9, -0.9), (0.9, -0.9), (0.9, 0.9), (-0.9, 0.9)],
            2 => &[(0.0, -1.2), (1.1, 0.8), (-1.1, 0.8)],
            3 => &[(0.0, -1.3), (1.2, 0.0), (0.0, 1.3), (-1.2, 0.0)],
            _ => {
                painter.circle(at, radius, self.colour, stroke);
                return;
            }
        };
        let points = corners.iter().map(|(x, y)| at + vec2(*x, *y) * radius).collect();
        painter.add(Shape::convex_polygon(points, self.colour, stroke));
    }
}

/// Text on one line, cut with an ellipsis where it does not fit; gives the width used.
pub fn fitted_text(painter: &Painter, rect: Rect, anchor: Align2, text: &str, font: FontId, colour: Color32) -> f32 {
    let mut job = eframe::egui::text::LayoutJob::simple_singleline(text.to_owned(), font, colour);
    job.wrap.max_width = rect.width().max(0.0);
    job.wrap.max_rows = 1;
    job.wrap.break_anywhere = true;
    let galley = painter.layout_job(job);
    let place = anchor.align_size_within_rect(galley.size(), rect);
    let width = galley.size().x;
    painter.galley(place.min, galley, colour);
    width
}

/// Where it is noted that a widget is a drawing, which leaves space and arrows to the time axis.
pub fn canvas_key(id: Id) -> Id {
    id.with("is a canvas")
}

/// Make a painted thing known: what is said of it, and that space and arrows are the time axis's.
pub fn canvas(ui: &Ui, response: &Response, role: Role, spoken: &str) {
    response.widget_info(|| WidgetInfo::labeled(role, true, spoken));
    ui.memory_mut(|memory| {
        let arrows = EventFilter { horizontal_arrows: true, ..Default::default() };
        memory.set_focus_lock_filter(response.id, arrows);
    });
    ui.data_mut(|data| data.insert_temp(canvas_key(response.id), true));
}

/// A frame around a painted thing that has the keyboard.
pub fn focus_ring(painter: &Painter, response: &Response, palette: &Palette) {
    if response.has_focus() {
        let stroke = Stroke::new(2.0, palette.accent);
        painter.rect_stroke(response.rect.shrink(1.0), 2.0, stroke, eframe::egui::StrokeKind::Inside);
        response.ctx.data_mut(|data| data.insert_temp(own_ring_key(), response.id));
    }
}

/// A ring round the control that has the keyboard, over everything else of its layer: a slider, or a button that is
/// chosen, would not show it by its own look.
pub fn focus_outline(ctx: &Context, palette: &Palette) {
    let Some(response) = ctx.memory(|memory| memory.focused()).and_then(|id| ctx.read_response(id)) else { return };
    if ctx.data(|data| data.get_temp::<Id>(own_ring_key())) == Some(response.id) {
        return;
    }
    const GAP: f32 = 2.0;
    // what is scrolled out of sight has no ring there
    let painter = ctx.layer_painter(response.layer_id).with_clip_rect(response.interact_rect.expand(GAP + 2.5));
    let stroke = Stroke::new(2.0, palette.accent);
    painter.rect_stroke(response.rect.expand(GAP), 4.0, stroke, eframe::egui::StrokeKind::Outside);
}

/// Where it is noted which painted thing has framed itself.
fn own_ring_key() -> Id {
    Id::unique("has a frame of its own")
}

/// Let a field for a number keep the keyboard when Enter has taken what was typed: the next Tab goes on from there.
pub fn keep_keyboard(field: &Response) {
    if field.lost_focus() && field.ctx.input(|input| input.key_pressed(eframe::egui::Key::Enter)) {
        field.request_focus();
    }
}

/// A menu that scrolls where it would be higher than a share of the window.
pub fn tall_menu(ui: &mut Ui, share: f32, content: impl FnOnce(&mut Ui)) {
    let highest = ui.ctx().content_rect().height() * share;
    // a menu is offered little height at first, and does not ask for more by itself
    ScrollArea::vertical().max_height(highest).min_scrolled_height(highest).show(ui, content);
}

/// Frames round what can be ticked: a menu has none, and without one an empty box is hardly seen.
pub fn frame_boxes(ui: &mut Ui) {
    let weak = Palette::of(ui.visuals()).weak;
    ui.visuals_mut().widgets.inactive.bg_stroke = Stroke::new(1.0, weak);
}

/// Give a widget a spoken name where what it shows is too short to be understood alone.
pub fn named(response: Response, name: &str) -> Response {
    response.ctx.accesskit_node_builder(response.id, |node| node.set_label(name.to_owned()));
    response
}

/// Metres of the drawing → points of the screen, at one scale for both directions, y upwards.
#[derive(Debug, Clone, Copy)]
pub struct Fit {
    centre_m: glam::DVec2,
    centre: Pos2,
    /// Points per metre.
    pub scale: f64,
}

impl Fit {
    /// Room for `least`..`most` inside `rect`.
    pub fn new(least: glam::DVec2, most: glam::DVec2, rect: Rect) -> Self {
        let size = (most - least).max(glam::DVec2::splat(1e-4));
        let scale = (f64::from(rect.width()) / size.x).min(f64::from(rect.height()) / size.y).max(1.0);
        Self { centre_m: 0.5 * (least + most), centre: rect.center(), scale }
    }

    /// A place on the screen.
    pub fn at(&self, place: glam::DVec2) -> Pos2 {
        self.centre + self.by(place - self.centre_m)
    }

    /// The place of the drawing that stands there on the screen.
    pub fn back(&self, at: Pos2) -> glam::DVec2 {
        let way = at - self.centre;
        self.centre_m + glam::dvec2(f64::from(way.x), -f64::from(way.y)) / self.scale
    }

    /// A distance on the screen.
    pub fn by(&self, way: glam::DVec2) -> Vec2 {
        vec2((way.x * self.scale) as f32, (-way.y * self.scale) as f32)
    }

    /// A length on the screen.
    pub fn length(&self, metres: f64) -> f32 {
        (metres * self.scale) as f32
    }
}
