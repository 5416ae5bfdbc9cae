//! What is offered below a text field: a list gone through by the arrow keys while the field has the keyboard.

use egui::accesskit::Role;
use egui::{Align2, Id, Key, Modifiers, Rect, Sense, Ui, WidgetInfo, pos2, vec2};

use super::flow::Flow;
use super::text;
use crate::window::look::{CONTROL_CORNER, Type, tokens};

/// Height of a line, px.
const LINE_PX: f32 = 24.0;

/// Arrow keys go through what is offered. Call it before the field is drawn, while that has the keyboard.
pub(crate) fn choose(ui: &Ui, at: &mut Option<usize>, count: usize) {
    let pressed = |key| ui.input_mut(|i| i.consume_key(Modifiers::NONE, key));
    if pressed(Key::ArrowDown) && count > 0 {
        *at = Some(at.map_or(0, |at| (at + 1).min(count - 1)));
    }
    if pressed(Key::ArrowUp) {
        *at = at.and_then(|at| at.checked_sub(1));
    }
}

/// Draws what is offered, so far from the left; the place of the one that was clicked.
pub(crate) fn list(
    ui: &mut Ui,
    flow: &mut Flow,
    indent: f32,
    of: impl std::hash::Hash + std::fmt::Debug + Copy,
    offered: &[String],
    chosen: Option<usize>,
) -> Option<usize> {
    let t = tokens(ui);
    let mut taken = None;
    for (at, offer) in offered.iter().enumerate() {
        let place = Rect::from_min_size(pos2(flow.left + indent, flow.y), vec2(flow.width - indent, LINE_PX));
        let response = ui.interact(place, Id::unique(("offer", of, at)), Sense::click());
        response.widget_info(|| WidgetInfo::labeled(Role::ListBoxOption, true, offer));
        let fill = if chosen == Some(at) || response.hovered() { t.accent_ground } else { t.well };
        ui.painter().rect_filled(place, CONTROL_CORNER, fill);
        let words = place.left_center() + vec2(9.0, 0.0);
        text::cut(ui, words, Align2::LEFT_CENTER, Type::Small, t.ink, place.width() - 18.0, offer);
        flow.y = place.bottom();
        // The field loses the keyboard as the pointer goes down, before the click is one.
        if response.clicked() || response.is_pointer_button_down_on() {
            taken = Some(at);
        }
    }
    taken
}
