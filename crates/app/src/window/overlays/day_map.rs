//! The map of the day, large.

use egui::{Align2, Id, Rect, Ui, pos2, vec2};

use super::panel;
use crate::window::action::Action;
use crate::window::command::Command;
use crate::window::look::{Type, tokens};
use crate::window::open_day::OpenDay;
use crate::window::places::spots;
use crate::window::widgets::control::{Button, Weight};
use crate::window::widgets::{map, text};
use crate::window::words::tell;

/// Draws the map.
pub(in crate::window) fn ui(ui: &mut Ui, open: Option<&OpenDay>, chosen: usize, actions: &mut Vec<Action>) {
    let Some(session) = open.map(|open| &open.day.session) else { return };
    let size = (ui.max_rect().size() - vec2(80.0, 80.0)).min(vec2(1200.0, 900.0));
    panel(ui, "day map", size, Some(Action::Float(None)), actions, |ui, actions| {
        let t = tokens(ui);
        let rect = ui.max_rect();
        let middle = rect.top() + 28.0;
        let head = tell!("map-head", name = &session.name);
        text::line(ui, pos2(rect.left() + 24.0, middle), Align2::LEFT_CENTER, Type::Section, t.ink, &head);
        let close = tell!("close");
        let back_key = Command::Back.key_words(ui);
        let close = Button::new(&close, Weight::Quiet).key(&back_key);
        let at = pos2(rect.right() - 24.0, middle);
        if close.show(ui, Id::unique("close map"), at, Align2::RIGHT_CENTER).clicked() {
            actions.push(Action::Float(None));
        }
        let place = Rect::from_min_max(rect.min + vec2(24.0, 52.0), rect.max - vec2(24.0, 44.0));
        let stretches = session.track.as_ref().map_or(&[][..], |track| &track.stretches);
        map::map(ui, place, stretches, &spots(session, Some(chosen)));
        let at = pos2(place.left(), rect.bottom() - 22.0);
        text::line(ui, at, Align2::LEFT_CENTER, Type::Small, t.soft, &tell!("map-what"));
    });
}
