//! What floats over a screen: help, the searchable list of commands, the plans, questions answered by typing, by a word or
//! by two pictures, the evidence for a frame, what can be done where the pointer is, the large retake list, and the progress of work.

pub(crate) mod ask;
pub(crate) mod commands;
pub(crate) mod evidence;
pub(crate) mod forget;
pub(crate) mod go_on;
pub(crate) mod help;
pub(crate) mod line_up;
pub(crate) mod menu;
pub(crate) mod names;
pub(crate) mod plans;
pub(crate) mod progress;
pub(crate) mod retakes;
pub(crate) mod take_back;

use egui::{Align2, Frame, Id, Key, Margin, Modal, Modifiers, Ui, Vec2, vec2};

use super::action::Action;
use super::look::{CONTROL_CORNER, shadow, tokens};

/// Whether Enter was pressed for the panel as a whole: a button that has the keyboard takes it for itself.
fn entered(ui: &Ui) -> bool {
    let of_a_button = ui.memory(|m| m.focused().is_some()) && !ui.ctx().text_edit_focused();
    !of_a_button && ui.input_mut(|i| i.consume_key(Modifiers::NONE, Key::Enter))
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
    let t = tokens(ui);
    let frame = Frame::new()
        .fill(t.sheet)
        .stroke(t.edge_stroke())
        .corner_radius(CONTROL_CORNER)
        .shadow(shadow(ui.visuals().dark_mode))
        .inner_margin(Margin::same(0));
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
