//! The picture large: fitted, pixel for pixel or in between; beside it, on request, a second one at the same place and
//! scale; over it, on request, where it is sharp or where it is lost.

use egui::accesskit::Role;
use egui::{
    Align2, Color32, CursorIcon, Id, Painter, Rect, Response, Sense, Ui, Vec2, WidgetInfo, pos2, vec2,
};
use record::Frame;

use super::{Tools, marks_over, strip};
use crate::window::look::{CONTROL_CORNER, Type, tokens};
use crate::window::open_day::OpenDay;
use crate::window::over::Over;
use crate::window::state::{Lies, SpecimenState};
use crate::window::thumbs::{Shown, Thumb};
use crate::window::widgets::{picture, text};
use crate::window::words::tell;

/// Zoom goes this far beyond pixel for pixel.
pub(crate) const ZOOM_MOST: f32 = 8.0;
/// Between two pictures, px.
const BETWEEN_PX: f32 = 6.0;

/// Draws the picture of a frame, and that of the frame held beside it. Gives whether the first is there.
pub(crate) fn ui(
    ui: &mut Ui,
    rect: Rect,
    open: &OpenDay,
    frames: (&Frame, Option<&Frame>),
    state: &mut SpecimenState,
    tools: &mut Tools<'_>,
) -> bool {
    let (frame, beside) = frames;
    let Some(beside) = beside else { return pane(ui, rect, open, (frame, true), state, tools) };
    let half = (rect.width() - BETWEEN_PX) / 2.0;
    let left = Rect::from_min_size(rect.min, vec2(half, rect.height()));
    let right = Rect::from_min_max(pos2(rect.right() - half, rect.top()), rect.max);
    let shown = pane(ui, left, open, (frame, true), state, tools);
    pane(ui, right, open, (beside, false), state, tools);
    caption(ui, left, open, frame);
    caption(ui, right, open, beside);
    shown
}

/// Draws one picture; `leads` is whether the state says how this one lies. Gives whether it is there.
fn pane(
    ui: &mut Ui,
    rect: Rect,
    open: &OpenDay,
    (frame, leads): (&Frame, bool),
    state: &mut SpecimenState,
    tools: &mut Tools<'_>,
) -> bool {
    let t = tokens(ui);
    ui.painter().rect_filled(rect, 0.0, t.well);
    let large = tools.pictures.get(frame.id);
    // Until it is there, the one that the strip shows; where it will not be, the best that can be made.
    let long_side_px = if large.refused.is_some() { 1200.0 } else { 160.0 };
    let shown = match (large.shown, tools.thumbs.get(frame, long_side_px)) {
        (Some(shown), _) | (None, Thumb::Shown(shown)) => shown,
        (None, Thumb::Broken(why)) => return broken(ui, rect, &why),
        (None, Thumb::Waiting) => return false,
    };
    let size_px = real_size(frame, &shown, large.is_full);
    let per_point = ui.ctx().pixels_per_point();
    let fitted = picture::whole(size_px, rect.size()).x * per_point / size_px.x;
    let zoom = match state.zoom {
        // The one beside is as large as the one that leads.
        _ if !leads && state.lies.zoom > 0.0 => state.lies.zoom,
        Some(zoom) => zoom,
        None if state.pixels => 1.0,
        None => fitted,
    };
    let lies = Lies { zoom, fitted, ..Lies::default() };
    let (zoom, response) = pan_and_zoom(ui, rect, leads, size_px / per_point, lies, state);
    let size = size_px / per_point * zoom;
    if leads {
        // A preview alone does not tell how large the picture is.
        let picture_px = (large.is_full || frame.size_px.is_some()).then_some(size_px);
        state.lies = Lies { zoom, fitted, seen: (rect.size() / size).min(Vec2::splat(1.0)), picture_px };
    }
    let place = Rect::from_min_size(rect.center() - state.middle * size, size);
    let painter = ui.painter().with_clip_rect(rect);
    let whole = Rect::from_min_max(pos2(0.0, 0.0), pos2(1.0, 1.0));
    painter.image(shown.texture, place, whole, Color32::WHITE);
    if let Some(over) = state.over {
        draw_over(&painter, place, whole, frame, over, tools);
    }
    if leads {
        marks_over::ui(
            ui,
            &marks_over::Lain { rect, place, size_px },
            open,
            frame,
            (state, &response),
            tools,
        );
    }
    if let Some(why) = &large.refused {
        only_preview(ui, rect, why);
    }
    true
}

/// The places are squares, so the last of a row reaches over the edge by less than one.
fn draw_over(painter: &Painter, place: Rect, whole: Rect, frame: &Frame, over: Over, tools: &Tools<'_>) {
    if let Some(texture) = tools.overs.get(frame.id, over) {
        painter.image(texture, place, whole, Color32::WHITE);
    }
}

/// Says over the foot of the picture why no more than a preview of it is shown.
fn only_preview(ui: &mut Ui, rect: Rect, why: &str) {
    let t = tokens(ui);
    let words = tell!("viewer-only-preview", why = why);
    let width = (rect.width() - 48.0).min(560.0);
    let size = vec2(width, text::laid(ui, Type::Small, t.warn, &words, width, usize::MAX).size().y);
    let at = pos2(rect.left() + 24.0, rect.bottom() - 20.0 - size.y);
    let ground = Rect::from_min_size(at, size).expand2(vec2(12.0, 8.0));
    ui.painter().rect(ground, 6.0, t.warn_ground, t.edge_stroke(), egui::StrokeKind::Inside);
    text::para(ui, at, width, Type::Small, t.warn, &words);
}

/// The picture's own size: while only a preview is there, or where a texture holds no more than a part of its pixels,
/// that of the frame, turned as it is shown.
fn real_size(frame: &Frame, shown: &Shown, is_full: bool) -> Vec2 {
    let held = shown.size_px.max_elem();
    let Some((w, h)) = frame.size_px.filter(|(w, h)| !is_full || (*w).max(*h) as f32 > 1.5 * held) else {
        return shown.size_px;
    };
    let stored = vec2(w as f32, h as f32);
    if (shown.size_px.x > shown.size_px.y) == (stored.x > stored.y) {
        stored
    } else {
        vec2(stored.y, stored.x)
    }
}

/// Takes drags and the wheel; keeps the picture over the place it is shown in.
fn pan_and_zoom(
    ui: &Ui,
    rect: Rect,
    leads: bool,
    size: Vec2,
    lies: Lies,
    state: &mut SpecimenState,
) -> (f32, Response) {
    let response = ui.interact(rect, Id::unique(("picture", leads)), Sense::CLICK | Sense::DRAG);
    let name = if leads { tell!("viewer-name") } else { tell!("viewer-name-beside") };
    response.widget_info(|| WidgetInfo::labeled(Role::Image, true, &name));
    let Lies { mut zoom, fitted, .. } = lies;
    if let Some(pointer) = response.hover_pos() {
        let wheel = ui.input(|i| i.smooth_scroll_delta().y + 400.0 * (i.zoom_delta() - 1.0));
        if wheel != 0.0 {
            let wanted = (zoom * (wheel / 300.0).exp()).clamp(fitted, ZOOM_MOST.max(fitted));
            // The point under the pointer stays there.
            let off = pointer - rect.center();
            state.middle += off / (size * zoom) - off / (size * wanted);
            zoom = wanted;
            state.zoom = (wanted > fitted).then_some(wanted);
            state.pixels = false;
        }
    }
    if response.dragged() {
        state.middle -= response.drag_delta() / (size * zoom);
        ui.ctx().set_cursor_icon(CursorIcon::Grabbing);
    }
    // Half the share of the picture that is seen; no further than its edges.
    let half = rect.size() / (size * zoom) / 2.0;
    let held = |at: f32, half: f32| if half >= 0.5 { 0.5 } else { at.clamp(half, 1.0 - half) };
    // The one that leads says where both are looked at.
    if leads {
        state.middle = vec2(held(state.middle.x, half.x), held(state.middle.y, half.y));
    }
    (zoom, response)
}

/// Says over a corner of a picture which frame it is.
fn caption(ui: &mut Ui, rect: Rect, open: &OpenDay, frame: &Frame) {
    let t = tokens(ui);
    let view = strip::known(open, frame.id).words.to_lowercase();
    let words = tell!("viewer-beside", number = open.sheet.number(frame.id), view = view);
    let size = text::size(ui, Type::SmallMedium, &words) + vec2(16.0, 8.0);
    let place = Rect::from_min_size(rect.min + vec2(8.0, 8.0), size);
    ui.painter().rect_filled(place, CONTROL_CORNER, t.sheet);
    let at = pos2(place.left() + 8.0, place.center().y);
    text::line(ui, at, Align2::LEFT_CENTER, Type::SmallMedium, t.ink, &words);
}

fn broken(ui: &mut Ui, rect: Rect, why: &str) -> bool {
    let t = tokens(ui);
    let width = (rect.width() - 80.0).min(520.0);
    let height = text::laid(ui, Type::Body, t.soft, why, width, 8).size().y;
    let at = pos2(rect.center().x - width / 2.0, rect.center().y - height / 2.0);
    text::para(ui, at, width, Type::Body, t.soft, why);
    false
}
