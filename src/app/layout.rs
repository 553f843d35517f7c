//! Where everything stands in the window.

use super::actions::Action;
use super::preferences::Preferences;
use super::screen::Screen;
use super::state::{MOST_BENCHES, State};
use super::{App, bench_view, findings_panel, paint, settings_panel, theme, timeline, toolbar};
use eframe::egui::containers::panel::PanelState;
use eframe::egui::{self, CentralPanel, Frame, IdSalt, Margin, Panel, RichText, TextStyle, Ui, Vec2};
use std::path::PathBuf;

/// Salt of the panel with the time axis.
const TIME: &str = "time";
/// Salt of the panel with settings and findings.
const SIDE: &str = "side";

/// Sizes of a frame, points.
#[derive(Clone, Copy)]
pub struct Sizes {
    window: Vec2,
    /// Share of the normal text size.
    text: f32,
    time_height: f32,
    side_width: f32,
}

/// Height of the time axis until the reader pulls at it: a low window leaves the drawings more than half, a high one
/// has room for taller traces.
fn time_height(window: f32) -> f32 {
    let share = 0.31 + 0.03 * ((window - 800.0) / 200.0).clamp(0.0, 1.0);
    window * share
}

/// Width of settings and findings until the reader pulls at it.
fn side_width(window: f32, text: f32) -> f32 {
    (300.0 * text.sqrt()).min(window * 0.34)
}

/// What a screen of benches puts where.
pub trait Panels {
    /// What can be set.
    fn settings(&mut self, ui: &mut Ui);
    /// What the runs come down to.
    fn findings(&mut self, ui: &mut Ui);
    /// Whether something stands below the drawings.
    fn has_below(&self) -> bool;
    /// The axis of time, or charts where no time passes.
    fn below(&mut self, ui: &mut Ui);
    /// The drawings.
    fn drawings(&mut self, ui: &mut Ui);
}

struct Benches<'a> {
    state: &'a State,
    preferences: &'a Preferences,
    actions: &'a mut Vec<Action>,
}

impl Panels for Benches<'_> {
    fn settings(&mut self, ui: &mut Ui) {
        settings_panel::show(ui, self.state, self.preferences.units, self.actions);
    }

    fn findings(&mut self, ui: &mut Ui) {
        findings_panel::show(ui, self.state, self.preferences.units, self.actions);
    }

    fn has_below(&self) -> bool {
        true
    }

    fn below(&mut self, ui: &mut Ui) {
        timeline::show(ui, self.state, self.preferences, self.actions);
    }

    fn drawings(&mut self, ui: &mut Ui) {
        bench_view::show(ui, self.state, self.preferences, self.actions);
    }
}

/// Settings and findings to the right, time below, drawings in the rest. All screens of benches share the sizes that the
/// reader has pulled at.
fn arrange(ui: &mut Ui, (window, text): (Vec2, f32), open: &mut bool, panels: &mut dyn Panels) -> Sizes {
    let fill = ui.visuals().panel_fill;
    let frame = Frame::new().fill(fill).inner_margin(Margin::symmetric(10, 5));
    let side = Panel::right(SIDE)
        .frame(Frame::new().fill(fill))
        .resizable(true)
        .default_size(side_width(window.x, text))
        .size_range(180.0..=(window.x * 0.5).max(181.0))
        .show_collapsible(ui, open, |ui| beside(ui, panels));
    let mut time = 0.0;
    if panels.has_below() {
        let panel = Panel::bottom(TIME)
            .frame(frame)
            .resizable(true)
            .default_size(time_height(window.y))
            .size_range(90.0..=(window.y * 0.6).max(91.0));
        time = panel.show(ui, |ui| panels.below(ui)).response.rect.height();
    }
    // settings that are hidden or sliding in come back as they will be
    let side = side.map_or(0.0, |side| side.response.rect.width());
    let side_width = if side < 180.0 { side_width(window.x, text) } else { side };
    CentralPanel::no_frame().frame(frame).show(ui, |ui| panels.drawings(ui));
    Sizes { window, text, time_height: time, side_width }
}

fn beside(ui: &mut Ui, panels: &mut dyn Panels) {
    let margin = Frame::new().inner_margin(Margin { left: 8, right: 6, top: 6, bottom: 4 });
    let height = ui.available_height();
    Panel::bottom("findings")
        .resizable(true)
        .default_size(height * 0.4)
        .size_range(60.0..=(height * 0.75).max(61.0))
        .frame(margin)
        .show(ui, |ui| panels.findings(ui));
    CentralPanel::no_frame().frame(margin).show(ui, |ui| panels.settings(ui));
}

impl App {
    /// One frame: first what has happened, then the drawing.
    pub fn show(&mut self, ui: &mut Ui) {
        let ctx = ui.ctx().clone();
        self.advance(&ctx);
        let fill = ui.visuals().panel_fill;
        let frame = Frame::new().fill(fill).inner_margin(Margin::symmetric(10, 5));
        let window = ui.available_size();
        let text = self.preferences.text_size;
        self.keep_shares(ui, window, text);
        // a lesson on the wall has the window to itself
        let projected = match self.state.screen {
            Screen::Lessons => self.lessons.is_projected(),
            Screen::Customer => self.customer.is_on_the_wall(),
            _ => false,
        };
        if !projected {
            let top = Panel::top("top").frame(frame).show(ui, |ui| self.top(ui)).response.rect.height();
            // menus that wrap into another row show as they are in the next frame; a still screen would wait for it
            let id = egui::Id::unique("height of the top");
            if ctx.data(|data| data.get_temp::<f32>(id)) != Some(top) {
                ctx.data_mut(|data| data.insert_temp(id, top));
                ctx.request_repaint();
            }
        }
        match self.state.screen {
            screen if screen.has_benches() => self.benches(ui, window, text),
            screen => {
                let (state, preferences, actions) = (&self.state, &self.preferences, &mut self.actions);
                CentralPanel::no_frame().frame(frame).show(ui, |ui| match screen {
                    Screen::Lessons => self.lessons.show(ui, preferences, actions),
                    Screen::Questions => self.questions.show(ui, preferences, actions),
                    Screen::Desk => self.desk.show(ui, preferences, actions),
                    Screen::Customer => self.customer.show(ui, preferences, actions),
                    Screen::Map => self.map.show(ui, state, preferences, actions),
                    Screen::UsedCarburettor => self.parts.used.show(ui, preferences),
                    Screen::BestSetting => self.finder.show(ui, state, preferences, actions),
                    _ => self.grounds.show(ui, state, preferences, actions),
                });
            }
        }
        self.announce_drop(&ctx);
        self.sure.show(&ctx, self.preferences.units);
        if self.help_open {
            self.help_open = toolbar::help(&ctx);
        }
        if !self.actions.is_empty() {
            ctx.request_repaint();
        }
        paint::focus_outline(&ctx, theme::Palette::of(ui.visuals()));
    }

    /// A screen of benches: drawings, time axis, settings and findings.
    fn benches(&mut self, ui: &mut Ui, window: Vec2, text: f32) {
        let mut open = self.preferences.settings_open;
        let time_height = self.sizes.map_or(0.0, |sizes| sizes.time_height);
        let (state, preferences, actions) = (&self.state, &self.preferences, &mut self.actions);
        let sizes = match self.parts.of(state.screen) {
            Some(part) => arrange(ui, (window, text), &mut open, &mut *part.panels(preferences, actions)),
            None => arrange(ui, (window, text), &mut open, &mut Benches { state, preferences, actions }),
        };
        let time_height = if sizes.time_height > 0.0 { sizes.time_height } else { time_height };
        self.sizes = Some(Sizes { time_height, ..sizes });
        self.preferences.settings_open = open;
    }

    /// In a window or with a text that changes its size, the time axis keeps its share of the window, be it the reader's
    /// or our own, and settings that the reader has not pulled at keep theirs.
    fn keep_shares(&self, ui: &Ui, window: Vec2, text: f32) {
        let Some(before) = self.sizes.filter(|before| before.window != window || before.text != text) else { return };
        let resize = |salt, size: &dyn Fn(&mut PanelState)| {
            let id = ui.scope_id().with_salt(IdSalt::new(salt));
            if let Some(mut kept) = PanelState::load(ui.ctx(), id) {
                size(&mut kept);
                ui.data_mut(|data| data.insert_persisted(id, kept));
            }
        };
        let untouched = (before.time_height - time_height(before.window.y)).abs() < 1.5;
        let time = if untouched { time_height(window.y) } else { before.time_height * window.y / before.window.y };
        resize(TIME, &|kept| kept.outer_rect.min.y = kept.outer_rect.max.y - time);
        if (before.side_width - side_width(before.window.x, before.text)).abs() < 1.5 {
            let side = side_width(window.x, text);
            resize(SIDE, &|kept| kept.outer_rect.min.x = kept.outer_rect.max.x - side);
        }
    }

    /// While files are held over the window: where they will go.
    fn announce_drop(&self, ctx: &egui::Context) {
        let text = match ctx.input(|input| input.raw.hovered_files.len()) {
            0 => return,
            1 if self.state.screen == Screen::Customer => "Let go: the card is opened".to_owned(),
            1 => format!(
                "Let go: the file goes onto bench {} ({})",
                self.state.selected + 1,
                paint::MARKER_NAMES[self.state.selected % 4]
            ),
            _ => "Let go: each file goes onto a bench of its own".to_owned(),
        };
        egui::Area::new(egui::Id::unique("drop"))
            .order(egui::Order::Foreground)
            .anchor(egui::Align2::CENTER_CENTER, egui::Vec2::ZERO)
            .show(ctx, |ui| Frame::window(ui.style()).show(ui, |ui| ui.heading(text)));
    }

    fn messages(&mut self, ui: &mut Ui) {
        let palette = theme::Palette::of(ui.visuals());
        if let Some(notice) = &self.notice {
            // a file may have many faults: the list must not push the drawings out of the window
            let highest = ui.ctx().content_rect().height() * 0.2;
            egui::ScrollArea::vertical().id_salt("message").max_height(highest).show(ui, |ui| {
                ui.horizontal_wrapped(|ui| {
                    let colour = if notice.is_error { palette.error } else { palette.ink };
                    if paint::named(ui.small_button("Dismiss"), "Dismiss the message").clicked() {
                        self.actions.push(Action::Dismiss);
                    }
                    ui.label(RichText::new(&notice.text).color(colour));
                });
            });
        }
        if self.printing.is_busy() {
            ui.horizontal_wrapped(|ui| {
                ui.spinner();
                ui.label("The handout is being made.");
                if paint::named(ui.small_button("Cancel"), "Cancel the handout").clicked() {
                    self.actions.push(Action::CancelHandout);
                }
            });
        }
        // where the path is asked for, it can be typed at once
        let asked = egui::Id::unique("a path is asked for");
        let Some((purpose, path)) = &mut self.asking else {
            ui.data_mut(|data| data.remove::<bool>(asked));
            return;
        };
        let purpose = *purpose;
        let mut done = false;
        ui.horizontal_wrapped(|ui| {
            ui.label(purpose.title());
            let field = egui::TextEdit::singleline(path).hint_text("Path of the file").desired_width(320.0);
            let field = paint::named(ui.add(field), "Path of the file");
            if !ui.data_mut(|data| std::mem::replace(data.get_temp_mut_or_default(asked), true)) {
                field.request_focus();
            }
            let entered = field.lost_focus() && ui.input(|input| input.key_pressed(egui::Key::Enter));
            if (ui.button("Do it").clicked() || entered) && !path.trim().is_empty() {
                self.actions.push(purpose.act(PathBuf::from(path.trim())));
                done = true;
            }
            done |= ui.button("Leave it").clicked();
        });
        if done {
            self.asking = None;
        }
    }

    /// What there is to find out on the benches as they stand.
    fn question(&self) -> &'static str {
        let ids: Vec<_> = self.state.benches.iter().map(|bench| bench.scenario.entry().id).collect();
        match ids[..] {
            [first, second] if [first, second] == super::state::OPENING_CONTRAST => {
                "Same car, same stab of the pedal: why does one of them lose its breath, and what does the other do about it?"
            }
            [_] => "The pedal goes down: when does the second breath come, and what does the engine lose until then?",
            _ => "The same stab of the pedal for each: whose second breath comes late, and what does that cost?",
        }
    }

    fn top(&mut self, ui: &mut Ui) {
        let screen = self.state.screen;
        let mut part = self.parts.of(screen);
        let of_part = part
            .as_ref()
            .map(|part| super::kept::kept(ui.ctx(), "examples of a part", screen as u8, || part.examples()));
        let part = part.as_mut().map(|part| (part.history(), part.has_room(), part.question()));
        let can_resume = !self.last_session.is_empty() && part.is_none();
        // nothing there is a bench, and nothing is undone
        let alone = screen == Screen::UsedCarburettor;
        let own_history = || if alone { (false, false) } else { self.state.history() };
        let bar = toolbar::Bar {
            screen,
            has_room: part.as_ref().map_or(!alone && self.state.benches.len() < MOST_BENCHES, |part| part.1),
            history: match &part {
                Some(part) => part.0,
                None if screen == Screen::Customer => self.customer.history(),
                None => own_history(),
            },
            can_resume,
            has_files: of_part.as_ref().map_or(!alone, |titles| titles.is_some()),
            examples: &|| match &of_part {
                Some(titles) => titles.as_ref().clone().unwrap_or_default(),
                None => self.examples.iter().map(|example| example.title.clone()).collect(),
            },
            opening: (!alone).then(|| if part.is_some() { Action::PartOpening } else { Action::Opening }),
        };
        toolbar::show(ui, &bar, &self.preferences, &mut self.actions);
        self.messages(ui);
        let question = match part {
            Some((_, _, question)) => question,
            None if screen == Screen::Benches => self.question().to_owned(),
            None => return,
        };
        // at large text sizes the drawing needs the room more than the question does
        let style = if self.preferences.text_size > 1.4 { TextStyle::Body } else { TextStyle::Heading };
        ui.label(RichText::new(question).family(theme::bold()).size(style.resolve(ui.style()).size));
    }
}
