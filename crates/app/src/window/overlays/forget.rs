//! Asks whether to forget what was learned of a plan's views.

use egui::{Align2, Ui, pos2, vec2};

use super::{answered, panel};
use crate::window::action::Action;
use crate::window::learned::Learned;
use crate::window::look::{Type, tokens};
use crate::window::open_day::OpenDay;
use crate::window::widgets::text;
use crate::window::words::tell;

/// Size of the panel, px.
const SIZE_PX: egui::Vec2 = vec2(560.0, 212.0);

/// Draws the question.
pub(crate) fn ui(ui: &mut Ui, open: Option<&OpenDay>, learned: &Learned, actions: &mut Vec<Action>) {
    let Some(open) = open else { return };
    let plan = &open.day.session.plan;
    panel(ui, "forget", SIZE_PX, Some(Action::Float(None)), actions, |ui, actions| {
        let t = tokens(ui);
        let rect = ui.max_rect();
        let (left, room) = (rect.left() + 24.0, rect.width() - 48.0);
        let head = tell!("forget-head", plan = plan.name.to_lowercase());
        let at = pos2(left, rect.top() + 28.0);
        text::cut(ui, at, Align2::LEFT_CENTER, Type::Section, t.ink, room, &head);
        let known = learned.words(plan);
        let words = known.as_ref().map(|known| tell!("forget-learned", learned = known));
        let words = words.unwrap_or_else(|| tell!("forget-nothing"));
        let at = pos2(left, rect.top() + 52.0);
        let below = text::para(ui, at, room, Type::Small, t.ink, &words).bottom() + 8.0;
        text::para(ui, pos2(left, below), room, Type::Small, t.soft, &tell!("forget-stays"));
        let bottom = rect.bottom() - 20.0;
        let (go, leave) = (tell!("forget-go"), tell!("leave"));
        if answered(ui, "forget", pos2(left, bottom), [&go, &leave], known.is_some(), actions) {
            actions.push(Action::ForgetViews);
        }
    });
}
