//! Keys that work everywhere, and those that work unless a control has the keyboard.

use super::actions::Action;
use super::paint::canvas_key;
use super::preferences::Preferences;
use super::toolbar::step_size;
use eframe::egui::{Context, Key, KeyboardShortcut, Modifiers};

const CTRL_SHIFT: Modifiers = Modifiers::COMMAND.plus(Modifiers::SHIFT);

/// What the keys of this frame ask for.
pub fn read(ctx: &Context, preferences: &Preferences, actions: &mut Vec<Action>) {
    let pressed =
        |modifiers, key| ctx.input_mut(|input| input.consume_shortcut(&KeyboardShortcut::new(modifiers, key)));
    for (modifiers, key, action) in [
        (CTRL_SHIFT, Key::S, Action::SaveAs),
        (Modifiers::COMMAND, Key::S, Action::Save),
        (Modifiers::COMMAND, Key::O, Action::Open),
        (Modifiers::NONE, Key::F1, Action::ToggleHelp),
    ] {
        if pressed(modifiers, key) {
            actions.push(action);
        }
    }
    for (key, step) in [(Key::Plus, 0.1), (Key::Equals, 0.1), (Key::Minus, -0.1)] {
        if pressed(Modifiers::COMMAND, key) {
            let mut changed = preferences.clone();
            changed.text_size = step_size(changed.text_size, step);
            actions.push(Action::Prefer(Box::new(changed)));
        }
    }
    if ctx.text_edit_focused() {
        return;
    }
    if pressed(CTRL_SHIFT, Key::Z) || pressed(Modifiers::COMMAND, Key::Y) {
        actions.push(Action::Redo);
    }
    if pressed(Modifiers::COMMAND, Key::Z) {
        actions.push(Action::Undo);
    }
    if !control_has_keyboard(ctx) {
        time_keys(ctx, actions);
    }
}

/// Whether a button, slider or menu uses space and arrows itself; a drawing or trace does not.
fn control_has_keyboard(ctx: &Context) -> bool {
    let focused = ctx.memory(|memory| memory.focused());
    focused.is_some_and(|id| !ctx.data(|data| data.get_temp::<bool>(canvas_key(id)).unwrap_or(false)))
}

fn time_keys(ctx: &Context, actions: &mut Vec<Action>) {
    let pressed = |modifiers, key| ctx.input_mut(|input| input.consume_key(modifiers, key));
    for (modifiers, key, action) in [
        (Modifiers::SHIFT, Key::ArrowLeft, Action::Step(-10.0)),
        (Modifiers::SHIFT, Key::ArrowRight, Action::Step(10.0)),
        (Modifiers::NONE, Key::ArrowLeft, Action::Step(-1.0)),
        (Modifiers::NONE, Key::ArrowRight, Action::Step(1.0)),
        (Modifiers::NONE, Key::Space, Action::TogglePlay),
        (Modifiers::NONE, Key::OpenBracket, Action::ToEvent { forward: false }),
        (Modifiers::NONE, Key::CloseBracket, Action::ToEvent { forward: true }),
        (Modifiers::NONE, Key::Home, Action::Seek(0.0)),
        (Modifiers::NONE, Key::End, Action::Seek(f64::INFINITY)),
        (Modifiers::NONE, Key::Num1, Action::Speed(0)),
        (Modifiers::NONE, Key::Num2, Action::Speed(1)),
        (Modifiers::NONE, Key::Num3, Action::Speed(2)),
    ] {
        if pressed(modifiers, key) {
            actions.push(action);
        }
    }
}
