//! The fields of the day, or of several specimens at once.

use egui::{Align2, Id, Rect, ScrollArea, Ui, UiBuilder, pos2, vec2};

use super::{moving, panel};
use crate::window::action::Action;
use crate::window::command::Command;
use crate::window::look::{Type, tokens};
use crate::window::open_day::OpenDay;
use crate::window::screens::form::{self, Form};
use crate::window::settings::Settings;
use crate::window::typed::{Owner, Typed};
use crate::window::widgets::control::{Button, Weight};
use crate::window::widgets::flow::Flow;
use crate::window::widgets::text;
use crate::window::words::tell;

/// Size of the panel, px.
const WIDTH_PX: f32 = 560.0;
const HEIGHT_PX: f32 = 560.0;

/// Draws the panel.
pub(in crate::window) fn ui(
    ui: &mut Ui,
    open: Option<&OpenDay>,
    owner: &Owner,
    typed: &mut Typed,
    known: &Settings,
    actions: &mut Vec<Action>,
) {
    let Some(open) = open else { return };
    panel(ui, "fields", vec2(WIDTH_PX, HEIGHT_PX), Some(Action::Float(None)), actions, |ui, actions| {
        let t = tokens(ui);
        let rect = ui.max_rect();
        let left = rect.left() + 24.0;
        let head = match owner {
            Owner::Day => tell!("fields-day", name = &open.day.session.name),
            Owner::Sets(frames) => tell!("fields-chosen", n = frames.len()),
        };
        let room = rect.width() - 48.0;
        let at = pos2(left, rect.top() + 28.0);
        text::cut(ui, at, Align2::LEFT_CENTER, Type::Section, t.ink, room, &head);
        let note = match owner {
            Owner::Day => tell!("fields-day-note"),
            Owner::Sets(_) => tell!("fields-chosen-note"),
        };
        let note = text::para(ui, pos2(left, rect.top() + 46.0), room, Type::Small, t.soft, &note);
        let foot = rect.bottom() - 20.0;
        let inner =
            Rect::from_min_max(pos2(left, note.bottom() + 12.0), pos2(rect.right() - 12.0, foot - 44.0));
        let mut child = ui.new_child(UiBuilder::new().max_rect(inner).id_salt("fields-of"));
        child.shrink_clip_rect(inner.expand(4.0));
        ScrollArea::vertical().id_salt("fields-of").auto_shrink(false).show(&mut child, |ui| {
            moving::scroll(ui);
            let mut flow = Flow::new(ui.cursor().min, inner.width() - 16.0);
            let session = &open.day.session;
            form::fields(ui, &mut flow, &mut Form { session, owner, typed, known, actions });
            flow.end(ui);
        });
        let done = tell!("fields-done");
        let back_key = Command::Back.key_words(ui);
        let done = Button::new(&done, Weight::Main).key(&back_key);
        if done.show(ui, Id::unique("fields done"), pos2(left, foot), Align2::LEFT_BOTTOM).clicked() {
            actions.push(Action::CommitTyping);
            actions.push(Action::Float(None));
        }
    });
}
