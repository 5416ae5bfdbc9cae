//! Frames carried by the pointer: taken up where they are drawn, let go over a specimen or a view.
//!
//! Goes in: responses of what is drawn. Comes out: which frame was let go here. What that changes is an action.

use egui::{CursorIcon, DragAndDrop, Id, LayerId, Order, Rect, Response, Stroke, StrokeKind, Ui, vec2};
use record::FrameId;

use super::Tools;
use crate::window::look::{PICTURE_CORNER, Type, shadow, tokens};
use crate::window::open_day::OpenDay;
use crate::window::widgets::{picture, text};

/// A frame that is carried.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Carried(FrameId);

/// The size of what is carried, px.
const SIZE: egui::Vec2 = vec2(96.0, 64.0);

/// Lets a frame be taken up from where it is drawn.
pub(crate) fn from(response: &Response, frame: FrameId) {
    response.dnd_set_drag_payload(Carried(frame));
}

/// Whether a frame is carried just now.
pub(crate) fn any(ui: &Ui) -> bool {
    DragAndDrop::has_payload_of_type::<Carried>(ui.ctx())
}

/// The frame that was let go over this; `takes` says which frames may be. While one is held over it, it is outlined.
pub(crate) fn onto(ui: &Ui, response: &Response, takes: impl Fn(FrameId) -> bool) -> Option<FrameId> {
    let Carried(over) = *response.dnd_hover_payload::<Carried>()?;
    if !takes(over) {
        return None;
    }
    let stroke = Stroke::new(2.5, tokens(ui).accent);
    ui.painter().rect_stroke(response.rect, PICTURE_CORNER, stroke, StrokeKind::Inside);
    response.dnd_release_payload::<Carried>().map(|carried| carried.0)
}

/// Draws what is carried beside the pointer. Call after the screen is drawn: what was let go over nothing is carried no
/// more.
pub(crate) fn draw(ui: &mut Ui, open: &OpenDay, tools: &mut Tools<'_>) {
    let carried = DragAndDrop::payload::<Carried>(ui.ctx());
    let at = ui.input(|i| i.pointer.interact_pos());
    let (Some(carried), Some(at)) = (carried, at) else { return };
    let Some(frame) = open.sheet.frame(&open.day, carried.0) else { return };
    ui.ctx().set_cursor_icon(CursorIcon::Grabbing);
    let layer = LayerId::new(Order::Tooltip, Id::unique("carried"));
    ui.scope_builder(egui::UiBuilder::new().layer_id(layer), |ui| {
        let place = Rect::from_min_size(at + vec2(12.0, 12.0), SIZE);
        ui.set_clip_rect(ui.ctx().content_rect());
        ui.painter().add(shadow(ui.visuals().dark_mode).as_shape(place, 3.0));
        picture::small(ui, place, tools.thumbs, frame, 1.0);
        let t = tokens(ui);
        ui.painter().rect_stroke(place, PICTURE_CORNER, t.edge_stroke(), StrokeKind::Outside);
        let number = open.sheet.number(frame.id).to_string();
        let size = text::size(ui, Type::SmallMedium, &number) + vec2(10.0, 4.0);
        let tag = Rect::from_min_size(place.min, size);
        ui.painter().rect_filled(tag, PICTURE_CORNER, t.sheet);
        text::line(ui, tag.center(), egui::Align2::CENTER_CENTER, Type::SmallMedium, t.ink, &number);
    });
}
