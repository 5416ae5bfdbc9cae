//! Asks to which specimen a frame belongs.

use egui::{Align2, Id, Key, Modifiers, Rect, Ui, pos2, vec2};
use record::FrameId;

use super::panel;
use crate::window::action::Action;
use crate::window::look::{FIELD_PX, Type, tokens};
use crate::window::open_day::OpenDay;
use crate::window::widgets::control::{Button, Weight, field};
use crate::window::widgets::text;

/// Draws the question; `typed` is the number so far.
pub(crate) fn ui(
    ui: &mut Ui,
    open: Option<&OpenDay>,
    frame: FrameId,
    typed: &mut String,
    refused: Option<&str>,
    actions: &mut Vec<Action>,
) {
    let Some(open) = open else { return };
    panel(ui, "move", vec2(420.0, 170.0), Some(Action::Float(None)), actions, |ui, actions| {
        let t = tokens(ui);
        let rect = ui.max_rect();
        let left = rect.left() + 24.0;
        let head = format!("Move frame {} to which specimen?", open.sheet.number(frame));
        text::line(ui, pos2(left, rect.top() + 28.0), Align2::LEFT_CENTER, Type::Section, t.ink, &head);
        let id = Id::unique("move to");
        let place = Rect::from_min_size(pos2(left, rect.top() + 50.0), vec2(120.0, FIELD_PX));
        field(ui, place, id, typed, "Number", "Number of the specimen");
        ui.memory_mut(|m| m.request_focus(id));
        let last = open.day.session.sets.iter().map(|s| s.number).max().unwrap_or(0);
        let (note, ink) = match refused {
            Some(refused) => (refused.to_owned(), t.gone),
            None => (format!("1 to {last}; its label goes along."), t.soft),
        };
        text::line(ui, pos2(left + 132.0, place.center().y), Align2::LEFT_CENTER, Type::Small, ink, &note);
        let bottom = rect.bottom() - 24.0;
        let go = Button::new("Move", Weight::Main).key("Enter");
        let go_clicked =
            go.show(ui, Id::unique("move now"), pos2(left, bottom), Align2::LEFT_BOTTOM).clicked();
        if go_clicked || ui.input_mut(|i| i.consume_key(Modifiers::NONE, Key::Enter)) {
            actions.push(Action::MoveTo { frame, number: typed.clone() });
        }
        let close = Button::new("Leave it", Weight::Plain).key("Esc");
        let at = pos2(left + go.size(ui).x + 10.0, bottom - 2.0);
        if close.show(ui, Id::unique("move not"), at, Align2::LEFT_BOTTOM).clicked() {
            actions.push(Action::Float(None));
        }
    });
}
