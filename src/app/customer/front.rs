//! Proposals by two burdens: what nothing beats in everything stands out, what is beaten is faint.

use super::Wish;
use crate::advice::recommend::proposal::Recommendation;
use crate::advice::recommend::weigh::Criterion;
use crate::app::paint::{canvas, fitted_text, focus_ring, named};
use crate::app::theme::Palette;
use eframe::egui::accesskit::Role;
use eframe::egui::{
    Align2, Color32, ComboBox, FontId, Galley, Painter, Pos2, Rect, Sense, Stroke, TextStyle, Ui, Vec2, pos2, vec2,
};
use std::sync::Arc;

/// The picture with its two choices of axis.
pub fn show(ui: &mut Ui, found: &Recommendation, selected: usize, axes: [usize; 2], wishes: &mut Vec<Wish>) {
    ui.horizontal_wrapped(|ui| {
        for (axis, name) in ["Across", "Up"].into_iter().enumerate() {
            ui.label(name);
            let shown = Criterion::ALL.get(axes[axis]).map_or("", |criterion| criterion.label());
            let answer = ComboBox::from_id_salt(("axis", axis)).selected_text(shown).show_ui(ui, |ui| {
                for (index, criterion) in Criterion::ALL.iter().enumerate() {
                    if ui.selectable_label(index == axes[axis], criterion.label()).clicked() {
                        wishes.push(Wish::Axis(axis, index));
                    }
                }
            });
            named(answer.response, &format!("{name}: points of"));
        }
    });
    picture(ui, found, selected, axes, wishes);
}

/// The number beside each dot, where it lies on no dot and on no other number if there is such a place.
fn numbers(painter: &Painter, font: &FontId, dots: &[Pos2], gap: f32, plot: Rect) -> Vec<(Pos2, Arc<Galley>)> {
    let mut taken: Vec<Rect> = dots.iter().map(|dot| Rect::from_center_size(*dot, Vec2::splat(2.0 * gap))).collect();
    let mut placed = Vec::new();
    for (index, dot) in dots.iter().enumerate() {
        let galley = painter.layout_no_wrap((index + 1).to_string(), font.clone(), Color32::PLACEHOLDER);
        let half = 0.5 * galley.size();
        let (across, up) = (gap + half.x, gap + half.y);
        let ways = [
            (across, 0.0),
            (-across, 0.0),
            (0.0, -up),
            (0.0, up),
            (across, -up),
            (across, up),
            (-across, -up),
            (-across, up),
        ];
        let rects = ways.map(|(x, y)| Rect::from_center_size(*dot + vec2(x, y), galley.size()));
        let is_free = |rect: &&Rect| {
            plot.contains_rect(**rect) && !taken.iter().any(|other| other.shrink(1.0).intersects(rect.shrink(1.0)))
        };
        let rect = rects.iter().find(is_free).copied().unwrap_or(rects[0]);
        taken.push(rect);
        placed.push((rect.min, galley));
    }
    placed
}

fn picture(ui: &mut Ui, found: &Recommendation, selected: usize, axes: [usize; 2], wishes: &mut Vec<Wish>) {
    let palette = Palette::of(ui.visuals());
    let font = TextStyle::Small.resolve(ui.style());
    let line = font.size * 1.4;
    let width = ui.available_width().min(line * 36.0);
    let (rect, response) = ui.allocate_exact_size(vec2(width, (width * 0.5).max(line * 9.0)), Sense::click());
    let painter = ui.painter_at(rect);
    let plot = Rect::from_min_max(rect.min + vec2(line * 2.6, line * 1.4), rect.max - vec2(line, line * 2.4));
    painter.rect_stroke(plot, 0.0, Stroke::new(1.0, palette.hair), eframe::egui::StrokeKind::Inside);
    let ends = axes.map(|axis| {
        let values = found.proposals.iter().filter_map(|one| one.burdens.get(axis).copied());
        let (least, most) = values.fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), v| (a.min(v), b.max(v)));
        let room = (0.08 * (most - least)).max(0.05);
        // no burden is less than none
        let least = if least >= 0.0 { (least - room).max(0.0) } else { least - room };
        (least, most + room)
    });
    let share = |axis: usize, value: f64| ((value - ends[axis].0) / (ends[axis].1 - ends[axis].0)) as f32;
    let at = |index: usize| {
        let burdens = &found.proposals[index].burdens;
        let (x, y) = (share(0, burdens[axes[0]]), share(1, burdens[axes[1]]));
        pos2(plot.left() + x * plot.width(), plot.bottom() - y * plot.height())
    };
    let radius = 0.36 * line;
    for (index, proposal) in found.proposals.iter().enumerate() {
        let centre = at(index);
        if proposal.on_front {
            painter.circle_filled(centre, radius, palette.accent);
        } else {
            painter.circle_stroke(centre, radius, Stroke::new(1.0, palette.weak));
        }
        if index == selected {
            painter.circle_stroke(centre, radius + 3.0, Stroke::new(2.0, palette.ink));
        }
    }
    let dots: Vec<Pos2> = (0..found.proposals.len()).map(at).collect();
    for ((place, galley), proposal) in
        numbers(&painter, &font, &dots, radius + 5.0, plot).into_iter().zip(&found.proposals)
    {
        painter.galley(place, galley, if proposal.on_front { palette.ink } else { palette.weak });
    }
    let label = |axis: usize| Criterion::ALL.get(axes[axis]).map_or("", |criterion| criterion.label());
    let top = Rect::from_min_max(rect.min, pos2(rect.right(), plot.top()));
    fitted_text(
        &painter,
        top,
        Align2::LEFT_CENTER,
        &format!("{}, points: less is better", label(1)),
        font.clone(),
        palette.ink,
    );
    for (value, y) in [(ends[1].1, plot.top() + 0.5 * line), (ends[1].0, plot.bottom() - 0.5 * line)] {
        painter.text(
            pos2(plot.left() - 4.0, y),
            Align2::RIGHT_CENTER,
            format!("{value:.1}"),
            font.clone(),
            palette.weak,
        );
    }
    for (value, x, anchor) in [(ends[0].0, plot.left(), Align2::LEFT_TOP), (ends[0].1, plot.right(), Align2::RIGHT_TOP)]
    {
        painter.text(pos2(x, plot.bottom() + 2.0), anchor, format!("{value:.1}"), font.clone(), palette.weak);
    }
    let foot = Rect::from_min_max(pos2(plot.left(), plot.bottom() + line), rect.max);
    fitted_text(&painter, foot, Align2::RIGHT_CENTER, &format!("{}, points", label(0)), font, palette.ink);
    let one = found.proposals.get(selected);
    let spoken = one.map_or_else(String::new, |one| {
        let front = if one.on_front { "on the front: nothing beats it in everything" } else { "beaten by another" };
        format!(
            "Proposals by {} and {}. Number {}, {}: {:.1} and {:.1} points, {front}. Arrows choose another.",
            label(0),
            label(1),
            selected + 1,
            one.title,
            one.burdens[axes[0]],
            one.burdens[axes[1]]
        )
    });
    if let Some(place) = response.interact_pointer_pos().filter(|_| response.clicked()) {
        let near = (0..found.proposals.len()).min_by(|a, b| at(*a).distance(place).total_cmp(&at(*b).distance(place)));
        wishes.extend(near.map(Wish::Select));
    }
    focus_ring(&painter, &response, palette);
    canvas(ui, &response, Role::Image, &spoken);
}
