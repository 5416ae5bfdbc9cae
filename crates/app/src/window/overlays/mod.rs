//! What floats over a screen: help, the searchable list of commands, the plans, questions answered by typing, by a word or
//! by two pictures, the fields of the day or of several specimens, the evidence for a frame, what can be done where the pointer is, the large retake list, and the progress of work.

pub(crate) mod answers;
pub(crate) mod ask;
pub(crate) mod commands;
pub(crate) mod day_map;
pub(crate) mod evidence;
pub(crate) mod fields;
pub(crate) mod forget;
pub(crate) mod go_on;
pub(crate) mod help;
pub(crate) mod line_up;
pub(crate) mod menu;
mod moving;
pub(crate) mod names;
pub(crate) mod notes_in;
pub(crate) mod plans;
pub(crate) mod progress;
pub(crate) mod retakes;
pub(crate) mod sent;
pub(crate) mod take_back;

use egui::{Align2, Frame, Id, Key, Modal, Modifiers, Pos2, Ui, Vec2, vec2};

use super::action::Action;
use super::command::Command;
use super::look::{CONTROL_CORNER, shadow, tokens};
use super::widgets::control::{Button, Weight};

/// Whether Enter was pressed for the panel as a whole: a button that has the keyboard takes it for itself.
fn entered(ui: &Ui) -> bool {
    let of_a_button = ui.memory(|m| m.focused().is_some()) && !ui.ctx().text_edit_focused();
    !of_a_button && ui.input_mut(|i| i.consume_key(Modifiers::NONE, Key::Enter))
}

/// Draws the two answers at the foot of a panel: the one it asks for, which Enter gives too, and the one that leaves all as it is
/// and closes it. Says whether the first was given; `can_go` is whether it can be.
fn answered(
    ui: &mut Ui,
    name: &str,
    foot: Pos2,
    [go, leave]: [&str; 2],
    can_go: bool,
    actions: &mut Vec<Action>,
) -> bool {
    let go = Button::new(go, Weight::Main).key("Enter").enabled(can_go);
    let clicked = go.show(ui, Id::unique(("go", name)), foot, Align2::LEFT_BOTTOM).clicked();
    let pressed = entered(ui);
    let back_key = Command::Back.key_words(ui);
    let leave = Button::new(leave, Weight::Plain).key(&back_key);
    let at = foot + vec2(go.size(ui).x + 10.0, -2.0);
    if leave.show(ui, Id::unique(("leave", name)), at, Align2::LEFT_BOTTOM).clicked() {
        actions.push(Action::Float(None));
    }
    can_go && (clicked || pressed)
}

/// The ground and outline of what floats.
fn floating(ui: &Ui) -> Frame {
    let t = tokens(ui);
    let frame = Frame::new().fill(t.sheet).stroke(t.edge_stroke()).corner_radius(CONTROL_CORNER);
    frame.shadow(shadow(ui.visuals().dark_mode))
}

/// Draws a floating panel of this size in the middle of the window; a click beside it closes it.
fn panel(
    ui: &mut Ui,
    name: &str,
    size: Vec2,
    closes: Option<Action>,
    actions: &mut Vec<Action>,
    draw: impl FnOnce(&mut Ui, &mut Vec<Action>),
) {
    let (t, frame) = (tokens(ui), floating(ui));
    let id = Id::unique(("panel", name));
    let area = Modal::default_area(id).anchor(Align2::CENTER_CENTER, vec2(0.0, 0.0)).fade_in(false);
    let modal = Modal::new(id).area(area).frame(frame).backdrop_color(t.veil());
    let shown = modal.show(ui.ctx(), |ui| {
        ui.set_min_size(size);
        ui.set_max_size(size);
        draw(ui, actions);
    });
    if let (true, Some(closes)) = (shown.backdrop_response.clicked(), closes) {
        actions.push(closes);
    }
}
