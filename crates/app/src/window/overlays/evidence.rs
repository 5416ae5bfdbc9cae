//! What speaks for how the frame in view was taken, beside its picture; the arrows go from frame to frame.

use egui::{Align2, Id, Key, Modifiers, Rect, ScrollArea, Ui, UiBuilder, pos2, vec2};
use record::FrameId;

use super::{moving, panel};
use crate::window::action::Action;
use crate::window::command::Command;
use crate::window::evidence;
use crate::window::look::{Type, tokens};
use crate::window::open_day::OpenDay;
use crate::window::thumbs::Thumbs;
use crate::window::widgets::control::{Button, Weight};
use crate::window::widgets::flow::Flow;
use crate::window::widgets::{picture, text};
use crate::window::words::tell;

/// Width of the panel; its height at least and at most; size of the picture, px.
const WIDTH_PX: f32 = 900.0;
const HEIGHT_PX: (f32, f32) = (396.0, 660.0);
const PICTURE_PX: egui::Vec2 = vec2(390.0, 260.0);
/// What lies around the words: above and below, and beside.
const AROUND_PX: egui::Vec2 = vec2(24.0 + PICTURE_PX.x + 20.0 + 26.0, 56.0 + 16.0);

/// Draws the panel for a frame.
pub(crate) fn ui(
    ui: &mut Ui,
    open: Option<&OpenDay>,
    frame: Option<FrameId>,
    thumbs: Option<&mut Thumbs>,
    actions: &mut Vec<Action>,
) {
    let (Some(open), Some(thumbs)) = (open, thumbs) else { return };
    let Some(frame) = frame.and_then(|id| open.sheet.frame(&open.day, id)) else { return };
    let words_px = evidence::height(ui, open, frame.id, WIDTH_PX - AROUND_PX.x) + AROUND_PX.y;
    let size = vec2(WIDTH_PX, words_px.clamp(HEIGHT_PX.0, HEIGHT_PX.1));
    panel(ui, "evidence", size, Some(Action::Float(None)), actions, |ui, actions| {
        let t = tokens(ui);
        let rect = ui.max_rect();
        let (left, middle) = (rect.left() + 24.0, rect.top() + 28.0);
        let number = open.sheet.number(frame.id);
        let head = tell!("evidence-head", number = number);
        text::line(ui, pos2(left, middle), Align2::LEFT_CENTER, Type::Section, t.ink, &head);
        let (close, name) = (tell!("close"), tell!("evidence-close"));
        let back_key = Command::Back.key_words(ui);
        let close = Button::new(&close, Weight::Quiet).key(&back_key).name(&name);
        let at = pos2(rect.right() - 24.0, middle);
        if close.show(ui, Id::unique("close evidence"), at, Align2::RIGHT_CENTER).clicked() {
            actions.push(Action::Float(None));
        }
        let place = Rect::from_min_size(pos2(left, rect.top() + 56.0), PICTURE_PX);
        picture::whole_of(ui, place, thumbs, frame);
        let below = place.left_bottom() + vec2(0.0, 8.0);
        text::cut(ui, below, Align2::LEFT_TOP, Type::Small, t.soft, PICTURE_PX.x, frame.path());
        arrows(ui, below + vec2(0.0, 28.0), actions);
        let words = Rect::from_min_max(pos2(place.right() + 20.0, place.top()), rect.max - vec2(12.0, 16.0));
        let mut child = ui.new_child(UiBuilder::new().max_rect(words));
        ScrollArea::vertical().id_salt("evidence").auto_shrink(false).show(&mut child, |ui| {
            moving::scroll(ui);
            let mut flow = Flow::new(ui.cursor().min, WIDTH_PX - AROUND_PX.x);
            evidence::write(ui, &mut flow, open, frame.id);
            flow.end(ui);
        });
    });
}

/// The ways to the frames before and after.
fn arrows(ui: &mut Ui, at: egui::Pos2, actions: &mut Vec<Action>) {
    let ways = [
        (Key::ArrowLeft, tell!("previous-frame"), Command::PreviousFrame),
        (Key::ArrowRight, tell!("next-frame"), Command::NextFrame),
    ];
    let mut left = at.x;
    for (key, words, command) in ways {
        let keycap = command.key_words(ui);
        let button = Button::new(&words, Weight::Quiet).key(&keycap);
        let clicked =
            button.show(ui, Id::unique(("evidence", command)), pos2(left, at.y), Align2::LEFT_TOP).clicked();
        left += button.size(ui).x + 18.0;
        if clicked || ui.input_mut(|i| i.consume_key(Modifiers::NONE, key)) {
            actions.push(Action::Run(command));
        }
    }
}
