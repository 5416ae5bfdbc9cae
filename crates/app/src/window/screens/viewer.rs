//! The picture large: fitted, pixel for pixel or in between; and the line below that says what frame it is.

use egui::accesskit::Role;
use egui::{Align2, Color32, CursorIcon, Id, Rect, Sense, Ui, Vec2, WidgetInfo, pos2, vec2};
use grouping::SlotState;
use record::{Frame, TimeSource};

use super::{Tools, strip};
use crate::window::action::Action;
use crate::window::command::Command;
use crate::window::look::{Type, tokens};
use crate::window::open_day::OpenDay;
use crate::window::state::{SpecimenState, UiState};
use crate::window::thumbs::{Shown, Thumb};
use crate::window::widgets::control::{Button, Weight};
use crate::window::widgets::mark::Stand;
use crate::window::widgets::{picture, text};
use crate::window::words::tell;

/// Zoom by the wheel goes this far beyond pixel for pixel.
const ZOOM_MOST: f32 = 8.0;

/// Draws the picture and gives how many screen pixels one of its pixels takes, when known.
pub(crate) fn ui(
    ui: &mut Ui,
    rect: Rect,
    frame: Option<&Frame>,
    state: &mut SpecimenState,
    tools: &mut Tools<'_>,
) -> Option<f32> {
    let t = tokens(ui);
    ui.painter().rect_filled(rect, 0.0, t.well);
    let frame = frame?;
    let large = tools.pictures.get(frame.id);
    // Until it is there, the one that the strip shows; where it will not be, the best that can be made.
    let long_side_px = if large.refused.is_some() { 1200.0 } else { 160.0 };
    let shown = match (large.shown, tools.thumbs.get(frame, long_side_px)) {
        (Some(shown), _) | (None, Thumb::Shown(shown)) => shown,
        (None, Thumb::Broken(why)) => return broken(ui, rect, &why),
        (None, Thumb::Waiting) => return None,
    };
    let size_px = real_size(frame, &shown, large.is_full);
    let per_point = ui.ctx().pixels_per_point();
    let fitted = picture::whole(size_px, rect.size());
    let fitted_zoom = fitted.x * per_point / size_px.x;
    let zoom = state.zoom.unwrap_or(if state.pixels { 1.0 } else { fitted_zoom });
    let zoom = pan_and_zoom(ui, rect, size_px / per_point, zoom, fitted_zoom, state);
    let size = size_px / per_point * zoom;
    let place = Rect::from_min_size(rect.center() - state.middle * size, size);
    let painter = ui.painter().with_clip_rect(rect);
    let whole = Rect::from_min_max(pos2(0.0, 0.0), pos2(1.0, 1.0));
    painter.image(shown.texture, place, whole, Color32::WHITE);
    if let Some(why) = &large.refused {
        only_preview(ui, rect, why);
    }
    Some(zoom)
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

/// The picture's own size: while only a preview is there, that of the frame, turned as it is shown.
fn real_size(frame: &Frame, shown: &Shown, is_full: bool) -> Vec2 {
    let Some((w, h)) = frame.size_px.filter(|_| !is_full) else { return shown.size_px };
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
    size: Vec2,
    zoom: f32,
    fitted_zoom: f32,
    state: &mut SpecimenState,
) -> f32 {
    let response = ui.interact(rect, Id::unique("picture"), Sense::CLICK | Sense::DRAG);
    response.widget_info(|| WidgetInfo::labeled(Role::Image, true, tell!("viewer-name")));
    let mut zoom = zoom;
    if let Some(pointer) = response.hover_pos() {
        let wheel = ui.input(|i| i.smooth_scroll_delta().y + 400.0 * (i.zoom_delta() - 1.0));
        if wheel != 0.0 {
            let wanted = (zoom * (wheel / 300.0).exp()).clamp(fitted_zoom, ZOOM_MOST.max(fitted_zoom));
            // The point under the pointer stays there.
            let off = pointer - rect.center();
            state.middle += off / (size * zoom) - off / (size * wanted);
            zoom = wanted;
            state.zoom = (wanted > fitted_zoom).then_some(wanted);
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
    state.middle = vec2(held(state.middle.x, half.x), held(state.middle.y, half.y));
    zoom
}

fn broken(ui: &mut Ui, rect: Rect, why: &str) -> Option<f32> {
    let t = tokens(ui);
    let width = (rect.width() - 80.0).min(520.0);
    let height = text::laid(ui, Type::Body, t.soft, why, width, 8).size().y;
    let at = pos2(rect.center().x - width / 2.0, rect.center().y - height / 2.0);
    text::para(ui, at, width, Type::Body, t.soft, why);
    None
}

/// Draws the line about the frame: its number, view, time and faults; its place and how it is shown.
pub(crate) fn frame_line(
    ui: &mut Ui,
    rect: Rect,
    open: &OpenDay,
    frame: &Frame,
    state: &UiState,
    zoom: Option<f32>,
    actions: &mut Vec<Action>,
) {
    let t = tokens(ui);
    let y = rect.center().y;
    let mut right = rect.right();
    let row = open.sheet.rows.get(state.set);
    if let Some(zoom) = zoom {
        let how = match (state.specimen.zoom, state.specimen.pixels) {
            (None, false) => tell!("viewer-fitted", percent = format!("{:.0}", zoom * 100.0)),
            (None, true) => tell!("viewer-pixels"),
            (Some(_), _) => tell!("viewer-zoomed", percent = format!("{:.0}", zoom * 100.0)),
        };
        let key = Command::ZoomPixels.key_words(ui);
        let name = tell!("viewer-zoom-name");
        let button = Button::new(&how, Weight::Quiet).key(&key).name(&name);
        if button.show(ui, Id::unique("zoom"), pos2(right, y), Align2::RIGHT_CENTER).clicked() {
            actions.push(Action::Run(Command::ZoomPixels));
        }
        right -= button.size(ui).x + 18.0;
    }
    if let Some(at) = row.and_then(|r| r.frames.iter().position(|f| *f == frame.id)) {
        let (next, previous) = (tell!("next-frame"), tell!("previous-frame"));
        let next = Button::new("", Weight::Quiet).key("→").name(&next);
        let previous = Button::new("", Weight::Quiet).key("←").name(&previous);
        if next.show(ui, Id::unique("next frame"), pos2(right, y), Align2::RIGHT_CENTER).clicked() {
            actions.push(Action::Run(Command::NextFrame));
        }
        right -= next.size(ui).x;
        if previous.show(ui, Id::unique("previous frame"), pos2(right, y), Align2::RIGHT_CENTER).clicked() {
            actions.push(Action::Run(Command::PreviousFrame));
        }
        right -= previous.size(ui).x + 2.0;
        let words = tell!("viewer-nth", nth = at + 1, of = row.map_or(0, |r| r.frames.len()));
        right =
            text::line(ui, pos2(right, y), Align2::RIGHT_CENTER, Type::Small, t.soft, &words).left() - 18.0;
    }
    about(ui, pos2(rect.left() + 2.0, y), right, open, frame);
}

fn about(ui: &mut Ui, at: egui::Pos2, right: f32, open: &OpenDay, frame: &Frame) {
    let t = tokens(ui);
    let known = strip::known(open, frame.id);
    let words = tell!("viewer-frame", number = open.sheet.number(frame.id));
    let mut x = text::line(ui, at, Align2::LEFT_CENTER, Type::SmallMedium, t.ink, &words).right() + 16.0;
    let stand = known.state.map(|state| open.stand(Some(frame.id), state));
    let nth = open.slot_of(frame.id).and_then(|slot| open.nth_words(slot, frame.id));
    let view = match stand {
        Some(stand) if stand.state != SlotState::Open => {
            let (view, word) = (known.words.to_lowercase(), stand.word());
            if let Some(nth) = nth {
                tell!("viewer-view-nth", view = view, stand = word, nth = nth)
            } else {
                tell!("viewer-view", view = view, stand = word)
            }
        }
        _ => known.words.clone(),
    };
    let flaw = stand.and_then(Stand::flaw).map(str::to_owned);
    let taken = frame.when().map(|t| t.time_of_day());
    let doubt = (frame.time_source != TimeSource::Original).then(|| frame.time_source.words().to_owned());
    let faults = (!frame.faults.is_empty()).then(|| frame.faults.join("; "));
    let parts = [
        (Some(view), t.soft),
        (flaw, t.warn),
        (taken, t.soft),
        (doubt, t.warn),
        (faults, t.warn),
        (Some(frame.file_name().to_owned()), t.soft),
    ];
    for (words, color) in parts {
        let Some(words) = words else { continue };
        if right - x < 40.0 {
            return;
        }
        let end = text::cut(ui, pos2(x, at.y), Align2::LEFT_CENTER, Type::Small, color, right - x, &words);
        x = end.right() + 16.0;
    }
}
