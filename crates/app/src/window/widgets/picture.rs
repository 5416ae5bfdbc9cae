//! A frame's picture in a rectangle.

use egui::{Align2, Color32, Rect, Ui, Vec2, pos2};
use record::Frame;

use super::text;
use crate::window::look::{PICTURE_CORNER, Type, tokens};
use crate::window::thumbs::{Shown, Thumb, Thumbs};
use crate::window::words::tell;

/// A picture is cut at its edges to fill its place as long as no more than this share is lost.
const CUT_MOST: f32 = 0.2;

/// Draws the small picture of a frame. `opacity` below 1 lets the ground through.
pub(crate) fn small(ui: &mut Ui, rect: Rect, thumbs: &mut Thumbs, frame: &Frame, opacity: f32) {
    if !ui.is_rect_visible(rect) {
        return;
    }
    let t = tokens(ui);
    let long_px = rect.width().max(rect.height()) * ui.ctx().pixels_per_point();
    ui.painter().rect_filled(rect, PICTURE_CORNER, t.well);
    match thumbs.get(frame, long_px) {
        Thumb::Shown(shown) => fill(ui, rect, &shown, opacity),
        Thumb::Waiting => {}
        Thumb::Broken(_) => {
            let words = if rect.width() > 90.0 { tell!("picture-broken") } else { "–".to_owned() };
            text::cut(
                ui,
                rect.center(),
                Align2::CENTER_CENTER,
                Type::Small,
                t.soft,
                rect.width() - 8.0,
                &words,
            );
        }
    }
}

/// Draws the picture of a frame whole in its place, as sharp as a small picture gets.
pub(crate) fn whole_of(ui: &mut Ui, rect: Rect, thumbs: &mut Thumbs, frame: &Frame) {
    let t = tokens(ui);
    ui.painter().rect_filled(rect, PICTURE_CORNER, t.well);
    let long_px = rect.width().max(rect.height()) * ui.ctx().pixels_per_point();
    match thumbs.get(frame, long_px.max(401.0)) {
        Thumb::Shown(shown) => {
            let place = Rect::from_center_size(rect.center(), whole(shown.size_px, rect.size()));
            let part = Rect::from_min_max(pos2(0.0, 0.0), pos2(1.0, 1.0));
            ui.painter().image(shown.texture, place, part, Color32::WHITE);
        }
        Thumb::Waiting => {}
        Thumb::Broken(why) => {
            let room = rect.width() - 24.0;
            text::cut(ui, rect.center(), Align2::CENTER_CENTER, Type::Small, t.soft, room, &why);
        }
    }
}

/// Draws a texture so that it fills the place, or lies whole in it where filling would lose much.
fn fill(ui: &Ui, rect: Rect, shown: &Shown, opacity: f32) {
    let (have, want) = (shown.size_px.x / shown.size_px.y, rect.aspect_ratio());
    let lost = 1.0 - (have / want).min(want / have);
    let (place, part) = if lost <= CUT_MOST {
        let (x, y) =
            if have > want { ((1.0 - want / have) / 2.0, 0.0) } else { (0.0, (1.0 - have / want) / 2.0) };
        (rect, Rect::from_min_max(pos2(x, y), pos2(1.0 - x, 1.0 - y)))
    } else {
        let size = whole(shown.size_px, rect.size());
        (Rect::from_center_size(rect.center(), size), Rect::from_min_max(pos2(0.0, 0.0), pos2(1.0, 1.0)))
    };
    let tint = Color32::WHITE.gamma_multiply(opacity);
    let image = egui::epaint::RectShape::filled(place, PICTURE_CORNER, tint);
    ui.painter().add(image.with_texture(shown.texture, part));
}

/// The size of a picture laid whole into a room.
pub(crate) fn whole(size: Vec2, room: Vec2) -> Vec2 {
    size * (room.x / size.x).min(room.y / size.y)
}
