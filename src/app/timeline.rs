//! The time axis: flags of the events, small stacked traces, one cursor for all.

use super::actions::Action;
use super::paint::{MARKER_NAMES, Series, canvas, fitted_text, focus_ring, named};
use super::preferences::Preferences;
use super::state::{SPEEDS, State};
use super::theme::Palette;
use super::traces::{self, TracePanel};
use crate::bench::events::{Event, EventKind};
use crate::units::{Quantity, UnitSystem};
use eframe::egui::accesskit::Role;
use eframe::egui::{
    self, Align2, FontId, Painter, Pos2, Rect, Response, RichText, Sense, Shape, Stroke, TextStyle, Ui, pos2, vec2,
};

/// Everything under the drawings.
pub fn show(ui: &mut Ui, state: &State, preferences: &Preferences, actions: &mut Vec<Action>) {
    // the panel keeps its height whatever stands in it
    ui.set_min_height(ui.available_height());
    controls(ui, state, preferences, actions);
    let axis = Axis::new(ui, state);
    flags(ui, state, &axis, actions);
    let panels = traces::chosen(&state.benches, &preferences.traces);
    if panels.is_empty() {
        ui.label(RichText::new("No trace is chosen: tick some under “Traces”.").weak());
        return;
    }
    let small = ui.text_style_height(&TextStyle::Small);
    let room = ui.available_height() - small - 8.0;
    let wanted: f32 = panels.iter().map(|panel| weight(panel) + 0.14).sum();
    let row = (room / wanted).clamp(small * 0.8, small * 2.6);
    egui::ScrollArea::vertical().id_salt("traces").max_height(room).auto_shrink([false, true]).show(ui, |ui| {
        ui.spacing_mut().item_spacing.y = 2.0;
        for panel in &panels {
            trace(ui, state, panel, &axis, row * weight(panel), preferences.units, actions);
        }
    });
    ticks(ui, &axis);
}

/// Height of a trace in rows of text: its curves, and more where limits must be told apart.
fn weight(panel: &TracePanel) -> f32 {
    let curves = panel.curves.len().clamp(1, 2) as f32;
    if panel.limits.is_some() { 2.4 } else { 0.4 + 0.95 * curves }
}

fn controls(ui: &mut Ui, state: &State, preferences: &Preferences, actions: &mut Vec<Action>) {
    ui.horizontal_wrapped(|ui| {
        let (name, key) = if state.playing { ("Pause", "space") } else { ("Play", "space") };
        if ui.button(name).on_hover_text(format!("{name} ({key})")).clicked() {
            actions.push(Action::TogglePlay);
        }
        ui.label(RichText::new("at").weak());
        for (index, (_, name)) in SPEEDS.iter().enumerate() {
            let button = ui.selectable_label(state.speed == index, *name);
            if named(button, &format!("Speed {name}")).clicked() {
                actions.push(Action::Speed(index));
            }
        }
        for (text, name, forward) in
            [("Event before", "Event before ([)", false), ("Next event", "Next event (])", true)]
        {
            if named(ui.button(text), name).on_hover_text(name).clicked() {
                actions.push(Action::ToEvent { forward });
            }
        }
        ui.menu_button("Events", |ui| event_menu(ui, state, actions));
        ui.menu_button("Traces", |ui| trace_menu(ui, state, preferences, actions));
        if ui.button("Whole run").on_hover_text("Show the whole run; the wheel zooms about the pointer").clicked() {
            actions.push(Action::Show(0.0, state.end_s()));
        }
        let begin = state.bench().scenario.pedal.begin_s;
        if ui.button("The stab").on_hover_text("Show the stab and the second after it").clicked() {
            actions.push(Action::Show(begin - 0.1, begin + 1.0));
        }
        let after = 1e3 * (state.cursor_s - begin);
        let relative = if after >= 0.0 {
            format!("{after:.0} ms after the stab begins")
        } else {
            format!("{:.0} ms before the stab", -after)
        };
        ui.label(RichText::new(format!("{:.3} s", state.cursor_s)).strong());
        ui.label(RichText::new(relative).weak());
        if let Some((_, index, kind)) =
            state.events().into_iter().rfind(|event| (event.0 - state.cursor_s).abs() < 1.5e-3)
        {
            ui.label(
                RichText::new(format!("{}: {}", state.benches[index].scenario.entry().name, kind.label())).strong(),
            );
        }
    });
}

fn event_menu(ui: &mut Ui, state: &State, actions: &mut Vec<Action>) {
    egui::ScrollArea::vertical().max_height(360.0).show(ui, |ui| {
        for (time, index, kind) in state.events() {
            let name = state.benches[index].scenario.entry().name;
            if ui.button(format!("{time:.3} s   {name}: {}", kind.label())).clicked() {
                actions.push(Action::Seek(time));
            }
        }
    });
}

fn trace_menu(ui: &mut Ui, state: &State, preferences: &Preferences, actions: &mut Vec<Action>) {
    egui::ScrollArea::vertical().max_height(420.0).show(ui, |ui| {
        for panel in traces::all(&state.benches) {
            let mut on = preferences.traces.contains(&panel.key);
            if ui.checkbox(&mut on, panel.title).changed() {
                let mut changed = preferences.clone();
                changed.traces.retain(|key| *key != panel.key);
                if on {
                    changed.traces.push(panel.key.clone());
                }
                actions.push(Action::Prefer(Box::new(changed)));
            }
        }
    });
}

/// Time ↔ place on the screen.
struct Axis {
    left: f32,
    right: f32,
    view: (f64, f64),
    cursor: f64,
}

impl Axis {
    fn new(ui: &Ui, state: &State) -> Self {
        let area = ui.available_rect_before_wrap();
        let gutter = (ui.text_style_height(&TextStyle::Small) * 19.0).min(area.width() * 0.42);
        Self { left: area.left() + gutter, right: area.right() - 14.0, view: state.view_s, cursor: state.cursor_s }
    }

    fn x(&self, time: f64) -> f32 {
        let share = (time - self.view.0) / (self.view.1 - self.view.0);
        self.left + share as f32 * (self.right - self.left)
    }

    fn time(&self, x: f32) -> f64 {
        let share = f64::from((x - self.left) / (self.right - self.left).max(1.0));
        self.view.0 + share * (self.view.1 - self.view.0)
    }

    fn shows(&self, time: f64) -> bool {
        (self.view.0..=self.view.1).contains(&time)
    }

    fn cursor_line(&self, painter: &Painter, rect: Rect, palette: &Palette) {
        if self.shows(self.cursor) {
            painter.vline(self.x(self.cursor), rect.y_range(), Stroke::new(1.5, palette.accent));
        }
    }

    /// Scrub by click and drag, zoom by wheel and pinch, move by keys.
    fn interact(&self, ui: &Ui, response: &Response, actions: &mut Vec<Action>) {
        if let Some(at) = response.interact_pointer_pos()
            && (response.clicked() || response.dragged())
        {
            actions.push(Action::Seek(self.time(at.x.clamp(self.left, self.right))));
        }
        if let Some(at) = response.hover_pos().filter(|at| at.x >= self.left) {
            let (wheel, pinch) = ui.input(|input| (input.smooth_scroll_delta, input.zoom_delta()));
            let factor = f64::from(pinch) * f64::from(wheel.y * 0.004).exp();
            if (factor - 1.0).abs() > 1e-4 {
                actions.push(Action::Zoom(self.time(at.x), factor));
                ui.input_mut(|input| input.smooth_scroll_delta.y = 0.0);
            }
            if wheel.x.abs() > 0.1 {
                actions.push(Action::Pan(self.time(at.x - wheel.x) - self.time(at.x)));
            }
        }
    }
}

/// One row of named flags for each bench; a name that finds no room waits under the pointer.
fn flags(ui: &mut Ui, state: &State, axis: &Axis, actions: &mut Vec<Action>) {
    let palette = Palette::of(ui.visuals());
    let font = TextStyle::Small.resolve(ui.style());
    let row = ui.text_style_height(&TextStyle::Small) + 3.0;
    for (index, bench) in state.benches.iter().enumerate() {
        let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width(), row), Sense::click_and_drag());
        let painter = ui.painter_at(rect);
        let series = Series::of(palette, index);
        series.marker(&painter, pos2(rect.left() + 7.0, rect.center().y), 4.0, palette.ink);
        let name = Rect::from_min_max(pos2(rect.left() + 16.0, rect.top()), pos2(axis.left - 6.0, rect.bottom()));
        fitted_text(&painter, name, Align2::LEFT_CENTER, bench.scenario.entry().name, font.clone(), palette.ink);
        let events = bench.outcome.as_ref().map_or(&[][..], |outcome| &outcome.run.events);
        let shown: Vec<_> = events.iter().filter(|event| axis.shows(event.time_s)).collect();
        for event in &shown {
            let x = axis.x(event.time_s);
            painter.vline(x, rect.y_range(), Stroke::new(1.2, series.colour));
            let flag = [pos2(x, rect.top() + 1.0), pos2(x + 6.0, rect.top() + 4.0), pos2(x, rect.top() + 7.0)];
            painter.add(Shape::convex_polygon(flag.to_vec(), series.colour, Stroke::NONE));
        }
        flag_names(&painter, axis, &shown, rect, &font, palette);
        axis.cursor_line(&painter, rect, palette);
        focus_ring(&painter, &response, palette);
        let near = response.hover_pos().and_then(|at| {
            let mut close: Vec<_> = shown.iter().filter(|event| (axis.x(event.time_s) - at.x).abs() < 7.0).collect();
            close.sort_by(|a, b| a.time_s.total_cmp(&b.time_s));
            (!close.is_empty()).then_some(close)
        });
        let snapped = near.as_ref().and_then(|close| close.first()).map(|event| event.time_s);
        let spoken = format!("Events of bench {}, {}", index + 1, bench.scenario.entry().name);
        canvas(ui, &response, Role::Canvas, &spoken);
        let response = match &near {
            Some(close) => response.on_hover_text(
                close.iter().map(|e| format!("{:.3} s  {}", e.time_s, e.kind.label())).collect::<Vec<_>>().join("\n"),
            ),
            None => response,
        };
        match snapped.filter(|_| response.clicked()) {
            Some(time) => actions.push(Action::Seek(time)),
            None => axis.interact(ui, &response, actions),
        }
    }
}

/// The names that fit, those that matter most first; the others wait under the pointer and in the menu.
fn flag_names(painter: &Painter, axis: &Axis, shown: &[&Event], rect: Rect, font: &FontId, palette: &Palette) {
    const FIRST: [EventKind; 6] = [
        EventKind::SecondaryAir,
        EventKind::SecondaryFuel,
        EventKind::LeanLimit,
        EventKind::RichLimit,
        EventKind::Stalls,
        EventKind::DeviceOpen,
    ];
    let rank = |kind| FIRST.iter().position(|first| *first == kind).unwrap_or(FIRST.len());
    let mut order = shown.to_vec();
    order.sort_by_key(|event| rank(event.kind));
    let mut taken: Vec<egui::Rangef> = Vec::new();
    for event in order {
        let text = painter.layout_no_wrap(event.kind.label().to_owned(), font.clone(), palette.ink);
        let left = axis.x(event.time_s) + 8.0;
        let room = egui::Rangef::new(left - 8.0, left + text.size().x + 4.0);
        if room.max > axis.right + 12.0 || taken.iter().any(|other| other.min < room.max && room.min < other.max) {
            continue;
        }
        taken.push(room);
        let place = Rect::from_min_size(pos2(left, rect.center().y - 0.5 * text.size().y), text.size());
        painter.rect_filled(place, 0.0, palette.paper);
        painter.galley(place.min, text, palette.ink);
    }
}

fn trace(
    ui: &mut Ui,
    state: &State,
    panel: &TracePanel,
    axis: &Axis,
    height: f32,
    units: UnitSystem,
    actions: &mut Vec<Action>,
) {
    let palette = Palette::of(ui.visuals());
    let font = TextStyle::Small.resolve(ui.style());
    let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width(), height), Sense::click_and_drag());
    if !ui.is_rect_visible(rect) {
        return;
    }
    let plot = Rect::from_min_max(pos2(axis.left, rect.top()), pos2(axis.right, rect.bottom()));
    let (least, most) = traces::range(panel, &state.benches);
    let y = |value: f64| {
        let share = ((value - least) / (most - least)).clamp(-0.02, 1.02) as f32;
        plot.bottom() - 2.0 - share * (plot.height() - 4.0)
    };
    let painter = ui.painter_at(rect);
    painter.rect_filled(plot, 0.0, palette.sheet);
    limits(&painter, panel, plot, &y, palette, &font);
    if least < 0.0 && most > 0.0 {
        painter.hline(plot.x_range(), y(0.0), Stroke::new(0.7, palette.hair));
    }
    let clipped = ui.painter_at(plot.intersect(ui.clip_rect()));
    for (index, bench) in state.benches.iter().enumerate() {
        let Some(outcome) = &bench.outcome else { continue };
        let series = Series::of(palette, index);
        let shade = if bench.waiting() { 0.55 } else { 1.0 };
        for (rank, curve) in panel.curves.iter().enumerate().rev() {
            let points: Vec<Pos2> = outcome
                .run
                .trace
                .samples
                .iter()
                .filter(|s| s.time_s >= axis.view.0 - 0.01 && s.time_s <= axis.view.1 + 0.01)
                .filter_map(|s| Some(pos2(axis.x(s.time_s), y(curve.value(bench, s)?))))
                .collect();
            let faded = Series { colour: series.colour.gamma_multiply(shade * [1.0, 0.7, 0.5][rank.min(2)]), ..series };
            faded.line(&clipped, points, [1.9, 1.1, 0.9][rank.min(2)]);
        }
        if axis.shows(state.cursor_s)
            && let Some(value) = panel.curves[0].value(bench, &outcome.run.trace.at(state.cursor_s))
        {
            series.marker(&clipped, pos2(axis.x(state.cursor_s), y(value)), 3.6, palette.paper);
        }
    }
    axis.cursor_line(&painter, plot, palette);
    let spoken = gutter(&painter, state, panel, rect, axis, units, &font, palette);
    scale_ends(&painter, panel, plot, (least, most), units, &font, palette);
    focus_ring(&painter, &response, palette);
    canvas(ui, &response, Role::Canvas, &spoken);
    axis.interact(ui, &response, actions);
}

fn limits(painter: &Painter, panel: &TracePanel, plot: Rect, y: &dyn Fn(f64) -> f32, palette: &Palette, font: &FontId) {
    let Some([(low, low_word), (high, high_word)]) = panel.limits else { return };
    let bands = [
        (Rect::from_min_max(pos2(plot.left(), y(low)), plot.max), low_word, Align2::RIGHT_BOTTOM, palette.fuel),
        (Rect::from_min_max(plot.min, pos2(plot.right(), y(high))), high_word, Align2::RIGHT_TOP, palette.heat),
    ];
    for (band, word, align, colour) in bands {
        painter.rect_filled(band, 0.0, colour.gamma_multiply(0.12));
        let edge = if align == Align2::RIGHT_TOP { band.bottom() } else { band.top() };
        painter.extend(Shape::dashed_line(
            &[pos2(band.left(), edge), pos2(band.right(), edge)],
            Stroke::new(0.8, colour),
            3.0,
            3.0,
        ));
        if band.height() > font.size * 0.8 {
            fitted_text(painter, band.shrink2(vec2(4.0, 1.0)), align, word, font.clone(), colour);
        }
    }
}

/// Name and values at the cursor; what stands there is also what is read out.
#[expect(clippy::too_many_arguments)]
fn gutter(
    painter: &Painter,
    state: &State,
    panel: &TracePanel,
    rect: Rect,
    axis: &Axis,
    units: UnitSystem,
    font: &FontId,
    palette: &Palette,
) -> String {
    let mut spoken = format!("{} at {:.3} s", panel.title, state.cursor_s);
    let row = font.size * 1.22;
    let place = |line: usize| {
        let top = rect.top() + line as f32 * row;
        Rect::from_min_max(pos2(rect.left() + 2.0, top), pos2(axis.left - 6.0, top + row))
    };
    for (rank, curve) in panel.curves.iter().enumerate() {
        let line = place(rank);
        let fits = line.bottom() <= rect.bottom() + 2.0;
        let mut right = line.right();
        for (index, bench) in state.benches.iter().enumerate().rev() {
            let Some(outcome) = &bench.outcome else { continue };
            let value = curve.value(bench, &outcome.run.trace.at(state.cursor_s));
            let text = value.map_or("–".to_owned(), |value| curve.quantity.show(value, units));
            spoken.push_str(&format!("; {}, {}: {text}", curve.label, MARKER_NAMES[index % 4]));
            if fits {
                let slot = Rect::from_min_max(pos2(line.left(), line.top()), pos2(right, line.bottom()));
                let width = fitted_text(painter, slot, Align2::RIGHT_CENTER, &text, font.clone(), palette.ink);
                let column = (font.size * 5.1).max(width + 17.0);
                Series::of(palette, index).marker(
                    painter,
                    pos2(right - column + 8.0, line.center().y),
                    3.0,
                    palette.ink,
                );
                right -= column;
            }
        }
        if fits {
            let name = Rect::from_min_max(line.min, pos2(right - 2.0, line.bottom()));
            let (face, colour) = if rank == 0 {
                (FontId::new(font.size, super::theme::bold()), palette.ink)
            } else {
                (font.clone(), palette.weak)
            };
            fitted_text(painter, name, Align2::LEFT_CENTER, curve.label, face, colour);
        }
    }
    spoken
}

fn scale_ends(
    painter: &Painter,
    panel: &TracePanel,
    plot: Rect,
    (least, most): (f64, f64),
    units: UnitSystem,
    font: &FontId,
    palette: &Palette,
) {
    if plot.height() < font.size * 2.9 {
        return;
    }
    let quantity: Quantity = panel.curves[0].quantity;
    let small = FontId::new(font.size * 0.92, font.family.clone());
    let room = plot.shrink2(vec2(3.0, 0.0));
    fitted_text(painter, room, Align2::LEFT_TOP, &quantity.show(most, units), small.clone(), palette.weak);
    fitted_text(painter, room, Align2::LEFT_BOTTOM, &quantity.show(least, units), small, palette.weak);
}

fn ticks(ui: &mut Ui, axis: &Axis) {
    let palette = Palette::of(ui.visuals());
    let font = TextStyle::Small.resolve(ui.style());
    let (rect, _) = ui.allocate_exact_size(vec2(ui.available_width(), font.size * 1.3), Sense::hover());
    let painter = ui.painter_at(rect);
    let width = axis.view.1 - axis.view.0;
    let room = f64::from((axis.right - axis.left) / (font.size * 6.0)).max(1.0);
    let step = [0.001, 0.002, 0.005, 0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1.0, 2.0]
        .into_iter()
        .find(|step| width / step <= room)
        .unwrap_or(5.0);
    let first = (axis.view.0 / step).ceil() as i64;
    let last = (axis.view.1 / step).floor() as i64;
    for tick in first..=last.min(first + 100) {
        let time = tick as f64 * step;
        let x = axis.x(time);
        painter.vline(x, egui::Rangef::new(rect.top(), rect.top() + 3.0), Stroke::new(1.0, palette.weak));
        let decimals = if step < 0.01 { 3 } else { usize::from(step < 1.0) + usize::from(step < 0.1) };
        painter.text(
            pos2(x, rect.top() + 3.0),
            Align2::CENTER_TOP,
            format!("{time:.decimals$} s"),
            font.clone(),
            palette.weak,
        );
    }
}
