//! Asks whether to forget what was learned of a plan's views.

use egui::{Align2, Id, Ui, pos2, vec2};

use super::{entered, panel};
use crate::window::action::Action;
use crate::window::learned::Learned;
use crate::window::look::{Type, tokens};
use crate::window::open_day::OpenDay;
use crate::window::widgets::control::{Button, Weight};
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
        let go = Button::new(&go, Weight::Main).key("Enter").enabled(known.is_some());
        let clicked = go.show(ui, Id::unique("forget"), pos2(left, bottom), Align2::LEFT_BOTTOM).clicked();
        let pressed = entered(ui);
        if clicked || pressed && known.is_some() {
            actions.push(Action::ForgetViews);
        }
        let close = Button::new(&leave, Weight::Plain).key("Esc");
        let at = pos2(left + go.size(ui).x + 10.0, bottom - 2.0);
        if close.show(ui, Id::unique("forget not"), at, Align2::LEFT_BOTTOM).clicked() {
            actions.push(Action::Float(None));
        }
    });
}
