//! Offers to go on with a filing that was stopped or cut short.

use egui::{Ui, pos2, vec2};

use super::{answered, panel};
use crate::window::action::Action;
use crate::window::look::{Type, tokens};
use crate::window::state::UiState;
use crate::window::widgets::flow::Flow;
use crate::window::words::tell;

/// Size of the panel, px.
const SIZE_PX: egui::Vec2 = vec2(600.0, 236.0);

/// Draws the offer.
pub(crate) fn ui(ui: &mut Ui, state: &UiState, actions: &mut Vec<Action>) {
    let Some(found) = &state.filing.unfinished else { return };
    panel(ui, "go on", SIZE_PX, Some(Action::Float(None)), actions, |ui, actions| {
        let t = tokens(ui);
        let rect = ui.max_rect();
        let mut flow = Flow::new(rect.min + vec2(24.0, 16.0), rect.width() - 48.0);
        flow.head(ui, &tell!("go-on-head"), "");
        flow.gap(10.0);
        let words = if found.undoing {
            tell!("go-on-undoing", folder = &found.folder)
        } else {
            tell!("go-on-filed", folder = &found.folder, filed = found.filed, of = found.of)
        };
        flow.para(ui, Type::Body, t.ink, &words);
        flow.gap(6.0);
        let card = found.card.display().to_string();
        flow.para(ui, Type::Small, t.soft, &tell!("go-on-card", card = card));
        let (left, bottom) = (flow.left, rect.bottom() - 20.0);
        let (go, leave) = (tell!("go-on-go"), tell!("go-on-later"));
        if answered(ui, "go-on", pos2(left, bottom), [&go, &leave], true, actions) {
            actions.push(Action::GoOn);
        }
    });
}
