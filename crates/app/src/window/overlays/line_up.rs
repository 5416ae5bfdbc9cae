//! Asks whether two frames of two cameras show one moment, both pictures side by side.

use egui::{Align2, Rect, Ui, pos2, vec2};
use record::{FrameId, shift_from_pair};

use super::{answered, panel};
use crate::window::action::Action;
use crate::window::clocks::{body_words, off_words, signed};
use crate::window::look::{Type, tokens};
use crate::window::open_day::OpenDay;
use crate::window::thumbs::Thumbs;
use crate::window::widgets::{picture, text};
use crate::window::words::tell;

/// Size of the panel and of a picture, px.
const SIZE_PX: egui::Vec2 = vec2(880.0, 452.0);
const PICTURE_PX: egui::Vec2 = vec2(408.0, 272.0);

/// Draws the question. The camera of the first frame stands, that of the second is corrected.
pub(crate) fn ui(
    ui: &mut Ui,
    open: Option<&OpenDay>,
    frames: [FrameId; 2],
    thumbs: Option<&mut Thumbs>,
    actions: &mut Vec<Action>,
) {
    let (Some(open), Some(thumbs)) = (open, thumbs) else { return };
    let [Some(stays), Some(moves)] = frames.map(|id| open.sheet.frame(&open.day, id)) else { return };
    panel(ui, "line up", SIZE_PX, Some(Action::Float(None)), actions, |ui, actions| {
        let t = tokens(ui);
        let rect = ui.max_rect();
        let left = rect.left() + 24.0;
        let at = pos2(left, rect.top() + 28.0);
        text::line(ui, at, Align2::LEFT_CENTER, Type::Section, t.ink, &tell!("line-up-head"));
        for (n, frame) in [stays, moves].into_iter().enumerate() {
            let at = pos2(left + n as f32 * (PICTURE_PX.x + 16.0), rect.top() + 52.0);
            picture::whole_of(ui, Rect::from_min_size(at, PICTURE_PX), thumbs, frame);
            let number = open.sheet.number(frame.id);
            let words = if let Some(when) = frame.when() {
                tell!("line-up-frame-at", number = number, time = when.time_of_day())
            } else {
                tell!("line-up-frame", number = number)
            };
            let below = at + vec2(0.0, PICTURE_PX.y + 8.0);
            text::line(ui, below, Align2::LEFT_TOP, Type::SmallMedium, t.ink, &words);
            let body = body_words(&frame.body);
            let words = if n == 0 {
                tell!("line-up-stays", body = body)
            } else {
                tell!("line-up-moves", body = body)
            };
            let below = below + vec2(0.0, 18.0);
            text::cut(ui, below, Align2::LEFT_TOP, Type::Small, t.soft, PICTURE_PX.x, &words);
        }
        let note = shift_from_pair(stays, moves)
            .map_or(String::new(), |secs| tell!("line-up-then", off = off_words(secs), by = signed(secs)));
        let bottom = rect.bottom() - 20.0;
        text::line(ui, pos2(left, bottom - 42.0), Align2::LEFT_BOTTOM, Type::Small, t.soft, &note);
        let (go, leave) = (tell!("line-up-go"), tell!("leave"));
        if answered(ui, "line-up", pos2(left, bottom), [&go, &leave], true, actions) {
            actions.push(Action::LineUp { stays: stays.id, moves: moves.id });
        }
    });
}
