//! The specimen step: the opened row on top, the picture large beneath it, all frames of the specimen in shot
//! order below, the record beside.

use egui::{Align2, Color32, Rect, Ui, pos2, vec2};
use record::Frame;

use super::row::{self, BELOW_PX, Columns};
use super::{Tools, record_panel, strip, viewer};
use crate::window::look::{MARGIN_PX, Type, side_px, tokens};
use crate::window::open_day::OpenDay;
use crate::window::state::UiState;
use crate::window::widgets::control::keycap;
use crate::window::widgets::text;

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
    let frame_line = Rect::from_min_max(pos2(main.left(), main.bottom() - FRAME_LINE_PX), main.max);
    let strip_rect = Rect::from_min_max(
        pos2(main.left(), frame_line.top() - strip::HEIGHT_PX),
        pos2(main.right(), frame_line.top()),
    );
    let picture =
        Rect::from_min_max(pos2(main.left(), opened.bottom()), pos2(main.right(), strip_rect.top()));
    let frame = state.frame.and_then(|id| open.sheet.frame(&open.day, id));
    let shown = viewer::ui(ui, picture, frame, &mut state.specimen, tools);
    strip::ui(ui, strip_rect, open, state, tools);
    if let Some(frame) = frame {
        viewer::frame_line(ui, frame_line, open, frame, state, shown, tools.actions);
    }
    let side = Rect::from_min_max(pos2(side_left, room.top()), room.max);
    record_panel::ui(ui, side, open, state, tools.actions);
}

/// Wants the full picture of the chosen frame, and of its neighbours, so that going on is at once.
fn want_pictures(ui: &Ui, open: &OpenDay, state: &UiState, tools: &mut Tools<'_>) {
    let Some(row) = open.sheet.rows.get(state.set) else { return };
    let at = row.frames.iter().position(|f| Some(*f) == state.frame);
    let around = at.map(|at| [Some(at), at.checked_add(1), at.checked_sub(1)]);
    let frames: Vec<&Frame> = around
        .into_iter()
        .flatten()
        .flatten()
        .filter_map(|at| open.sheet.frame(&open.day, *row.frames.get(at)?))
        .collect();
    tools.pictures.keep(ui.ctx(), &frames);
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
        let middle = rect.top() + 15.0;
        let letter = view.letter.to_ascii_uppercase().to_string();
        let key_x = columns.key_x(column, text::size(ui, Type::SmallMedium, &view.name).x);
        let at = pos2(columns.x(column), middle);
        let room = key_x - at.x - 6.0;
        text::cut(ui, at, Align2::LEFT_CENTER, Type::SmallMedium, t.ink, room, &view.name);
        keycap(ui, pos2(key_x, middle), t.ink, Color32::TRANSPARENT, &letter);
    }
    let top = rect.top() + NAMES_PX;
    row::number(ui, columns, top, open, state.set, true);
    row::slots(ui, columns, top, open, state.set, state.frame, tools);
    if let Some(row) = open.sheet.rows.get(state.set) {
        row::words(ui, columns, top + columns.picture.y / 2.0, row, false);
    }
}
