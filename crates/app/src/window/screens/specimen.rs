//! The specimen step: the opened row on top, the picture large beneath it, all frames of the specimen in shot
//! order below, the record beside.

use egui::accesskit::Role;
use egui::{Align2, Color32, CursorIcon, Id, Rect, Sense, StrokeKind, Ui, WidgetInfo, pos2, vec2};
use record::{Frame, FrameId, View};

use super::row::{self, BELOW_PX, Columns};
use super::{Tools, carry, frame_line, record_panel, strip, viewer};
use crate::window::action::Action;
use crate::window::key_map::KeyMap;
use crate::window::look::{CONTROL_CORNER, MARGIN_PX, Type, side_px, tokens};
use crate::window::open_day::OpenDay;
use crate::window::state::UiState;
use crate::window::widgets::control::keycap;
use crate::window::widgets::text;
use crate::window::words::tell;

/// Height of the views' names above the slots, px.
const NAMES_PX: f32 = 28.0;
/// Height of the line about the frame, px.
const FRAME_LINE_PX: f32 = 36.0;

/// Draws the step.
pub(crate) fn ui(ui: &mut Ui, room: Rect, open: &OpenDay, state: &mut UiState, tools: &mut Tools<'_>) {
    let side_left = room.right() - side_px(room.width());
    let main = Rect::from_min_max(
        pos2(room.left() + MARGIN_PX, room.top()),
        pos2(side_left - 10.0, room.bottom() - 4.0),
    );
    want_pictures(ui, open, state, tools);
    // As large as leaves the picture the greater part of the height.
    let scale = if room.height() < 760.0 { 0.95 } else { 1.0 };
    let columns = Columns::of(main.left(), main.right(), open.sheet.columns.len(), scale);
    let opened_px = NAMES_PX + columns.picture.y + BELOW_PX + 6.0;
    let opened = Rect::from_min_size(main.min, vec2(main.width(), opened_px));
    opened_row(ui, opened, &columns, open, state, tools);
    let line = Rect::from_min_max(pos2(main.left(), main.bottom() - FRAME_LINE_PX), main.max);
    let strip_rect =
        Rect::from_min_max(pos2(main.left(), line.top() - strip::HEIGHT_PX), pos2(main.right(), line.top()));
    let picture =
        Rect::from_min_max(pos2(main.left(), opened.bottom()), pos2(main.right(), strip_rect.top()));
    let frame = state.frame.and_then(|id| open.sheet.frame(&open.day, id));
    let beside = state.specimen.beside.and_then(|id| open.sheet.frame(&open.day, id));
    ui.painter().rect_filled(picture, 0.0, tokens(ui).well);
    strip::ui(ui, strip_rect, open, state, tools);
    if let Some(frame) = frame {
        let shown = viewer::ui(ui, picture, open, (frame, beside), &mut state.specimen, tools);
        frame_line::ui(ui, line, open, frame, state, shown, tools);
    }
    if carry::any(ui) {
        neighbours(ui, picture, open, state.set, tools);
    }
    let side = Rect::from_min_max(pos2(side_left, room.top()), room.max);
    record_panel::ui(ui, side, open, state, tools);
}

/// Wants the full picture of the chosen frame, of the one beside it and of its neighbours, so that going on is at once;
/// and what is to be shown over those that are seen.
fn want_pictures(ui: &Ui, open: &OpenDay, state: &UiState, tools: &mut Tools<'_>) {
    let Some(row) = open.sheet.rows.get(state.set) else { return };
    let at = row.frames.iter().position(|f| Some(*f) == state.frame);
    let around = at.map(|at| [Some(at), at.checked_add(1), at.checked_sub(1)]);
    let around = around.into_iter().flatten().flatten().filter_map(|at| row.frames.get(at).copied());
    let mut wanted: Vec<FrameId> = around.collect();
    if let Some(beside) = state.specimen.beside {
        wanted.insert(wanted.len().min(1), beside);
    }
    let frames: Vec<&Frame> = wanted.iter().filter_map(|id| open.sheet.frame(&open.day, *id)).collect();
    tools.pictures.keep(ui.ctx(), &frames);
    let shown = usize::from(at.is_some()) + usize::from(state.specimen.beside.is_some());
    tools.overs.keep(ui.ctx(), state.specimen.over, &frames[..shown.min(frames.len())]);
}

/// While a frame is carried: the specimens before and after this one, to let it go over.
fn neighbours(ui: &mut Ui, picture: Rect, open: &OpenDay, set: usize, tools: &mut Tools<'_>) {
    let t = tokens(ui);
    let size = vec2((picture.width() * 0.28).min(220.0), picture.height() - 24.0);
    let left = Rect::from_min_size(picture.min + vec2(12.0, 12.0), size);
    let right = Rect::from_min_max(picture.max - size - vec2(12.0, 12.0), picture.max - vec2(12.0, 12.0));
    for (to, place) in [(set.checked_sub(1), left), (Some(set + 1), right)] {
        let Some(to) = to.filter(|to| *to < open.sheet.rows.len()) else { continue };
        let response = ui.interact(place, Id::unique(("let go over", to)), Sense::hover());
        ui.painter().rect(place, CONTROL_CORNER, t.sheet, t.edge_stroke(), StrokeKind::Inside);
        let words = tell!("carry-to", number = open.set_number(to));
        text::line(ui, place.center(), Align2::CENTER_CENTER, Type::Section, t.ink, &words);
        if let Some(frame) = carry::onto(ui, &response, |_| true) {
            tools.actions.push(Action::MoveFrame { frame, set: to });
        }
    }
}

/// The name of a view behind its letter; a click labels the chosen frame as the letter does.
fn view_head(ui: &mut Ui, place: Rect, view: &View, labels: bool, actions: &mut Vec<Action>) {
    let t = tokens(ui);
    let sense = if labels { Sense::click() } else { Sense::hover() };
    let response = ui.interact(place, Id::unique(("view head", &view.key)), sense);
    let name = tell!("specimen-label", view = view.name.to_lowercase());
    response.widget_info(|| WidgetInfo::labeled(Role::Button, labels, &name));
    if labels && (response.hovered() || response.has_focus()) {
        ui.painter().rect_filled(place.expand2(vec2(4.0, 0.0)), CONTROL_CORNER, t.sheet);
    }
    let mut at = place.left_center();
    if !KeyMap::of(ui.ctx()).letters_off {
        let letter = view.letter.to_ascii_uppercase().to_string();
        at.x += keycap(ui, at, t.ink, Color32::TRANSPARENT, &letter) + 5.0;
    }
    let room = place.right() - at.x;
    text::cut(ui, at, Align2::LEFT_CENTER, Type::SmallMedium, t.ink, room, &view.name);
    if response.on_hover_cursor(CursorIcon::PointingHand).clicked() {
        actions.push(Action::LabelByLetter(view.letter));
    }
}

fn opened_row(
    ui: &mut Ui,
    rect: Rect,
    columns: &Columns,
    open: &OpenDay,
    state: &UiState,
    tools: &mut Tools<'_>,
) {
    let t = tokens(ui);
    ui.painter().rect_filled(rect, 0.0, t.accent_ground);
    ui.painter().rect_filled(Rect::from_min_size(rect.min, vec2(4.0, rect.height())), 0.0, t.accent);
    for (column, at) in open.sheet.columns.iter().enumerate() {
        let view = &open.day.session.plan.views[*at];
        let head =
            Rect::from_min_size(pos2(columns.x(column), rect.top() + 2.0), columns.head(NAMES_PX - 4.0));
        view_head(ui, head, view, state.frame.is_some(), tools.actions);
    }
    let top = rect.top() + NAMES_PX;
    row::number(ui, columns, top, open, state.set, true);
    row::slots(ui, columns, top, open, state.set, state.frame, tools);
    if let Some(row) = open.sheet.rows.get(state.set) {
        row::words(ui, columns, top + columns.picture.y / 2.0, row, false);
    }
}
