//! The day sheet: one row a specimen, one column a view; the retake list and queries beside it. Only the rows
//! on screen are drawn.

use egui::accesskit::{self, Role};
use egui::{Align2, Id, Key, Rect, ScrollArea, Sense, Ui, UiBuilder, WidgetInfo, pos2, vec2};

use super::row::{self, BELOW_PX, Columns};
use super::{Tools, carry, side};
use crate::window::action::Action;
use crate::window::command::Command;
use crate::window::look::{MARGIN_PX, Type, side_px, tokens};
use crate::window::open_day::OpenDay;
use crate::window::sheet_order;
use crate::window::state::{SheetState, UiState};
use crate::window::widgets::control::field;
use crate::window::widgets::text;
use crate::window::words::tell;

/// Height of the heads of the columns, px.
const HEAD_PX: f32 = 24.0;
/// Space above and below the pictures of a row, px.
const PAD_PX: f32 = 9.0;

/// Draws the sheet.
pub(crate) fn ui(ui: &mut Ui, room: Rect, open: &OpenDay, state: &mut UiState, tools: &mut Tools<'_>) {
    let side_left = room.right() - side_px(room.width());
    let main =
        Rect::from_min_max(pos2(room.left() + MARGIN_PX, room.top()), pos2(side_left - 10.0, room.bottom()));
    let scale = SheetState::SCALES[state.sheet.scale];
    let columns = Columns::of(main.left(), main.right(), open.sheet.columns.len(), scale);
    heads(ui, main, &columns, open);
    let body = Rect::from_min_max(pos2(main.left(), main.top() + HEAD_PX), main.max);
    rows(ui, body, &columns, open, state, tools);
    let side = Rect::from_min_max(pos2(side_left, room.top()), room.max);
    side::retakes(ui, side, open, state.query, tools.actions);
}

fn heads(ui: &mut Ui, main: Rect, columns: &Columns, open: &OpenDay) {
    let t = tokens(ui);
    for (column, at) in open.sheet.columns.iter().enumerate() {
        let view = &open.day.session.plan.views[*at];
        let (kind, color) = if view.required { (Type::SmallMedium, t.ink) } else { (Type::Small, t.soft) };
        let at = pos2(columns.x(column), main.top() + 9.0);
        let room = columns.x(column + 1) - columns.x(column) - 10.0;
        text::cut(ui, at, Align2::LEFT_CENTER, kind, color, room, &view.name);
    }
    let y = main.top() + HEAD_PX - 0.5;
    ui.painter().hline(main.x_range(), y, t.rule_stroke());
}

fn rows(
    ui: &mut Ui,
    body: Rect,
    columns: &Columns,
    open: &OpenDay,
    state: &mut UiState,
    tools: &mut Tools<'_>,
) {
    let height = columns.picture.y + BELOW_PX + 2.0 * PAD_PX;
    let shown = sheet_order::shown(open, &state.sheet);
    let chosen = sheet_order::chosen(open, state);
    let count = shown.len();
    if shown.is_empty() && !open.sheet.rows.is_empty() {
        let t = tokens(ui);
        let words = tell!("sheet-none-shown", key = Command::FilterRows.key_words(ui));
        text::para(ui, body.min + vec2(12.0, 24.0), body.width() - 24.0, Type::Body, t.soft, &words);
        return;
    }
    state.sheet.rows_shown = ((body.height() / height) as usize).max(1);
    let mut child = ui.new_child(UiBuilder::new().max_rect(body).id_salt("rows"));
    ScrollArea::vertical().id_salt("rows").auto_shrink(false).show_viewport(&mut child, |ui, seen| {
        ui.set_height(height * count as f32);
        let top = ui.max_rect().top();
        let at = |n: usize| {
            Rect::from_min_size(pos2(body.left(), top + height * n as f32), vec2(body.width(), height))
        };
        if std::mem::take(&mut state.sheet.reveal) {
            let place = shown.iter().position(|set| *set == state.set).unwrap_or(0);
            ui.scroll_to_rect(at(place), None);
        }
        let rows = UiBuilder::new().max_rect(ui.max_rect()).id_salt("list");
        let rows = rows.accessibility_role(Role::ListBox).accessibility_label(tell!("sheet-list-name"));
        let mut rows = ui.new_child(rows);
        ui.ctx().accesskit_node_builder(rows.unique_id(), accesskit::Node::set_multiselectable);
        let first = (seen.top() / height).floor().max(0.0) as usize;
        let last = ((seen.bottom() / height).ceil() as usize).min(count);
        for (n, set) in shown.iter().enumerate().take(last).skip(first) {
            let place = Place { n, of: count, set: *set, chosen: chosen.contains(set) };
            one(&mut rows, at(n), columns, open, place, state, tools);
        }
        // A jar label whose row was scrolled away is written as it is.
        if state.sheet.jar.as_ref().is_some_and(|j| !shown[first..last].contains(&j.set)) {
            tools.actions.push(Action::CommitTyping);
        }
    });
    tell_chosen(ui, body, open, state);
}

/// Tells those who hear the window which row is chosen, while something else has the keyboard: as long as nothing has, the
/// row itself is what they are at.
fn tell_chosen(ui: &Ui, body: Rect, open: &OpenDay, state: &mut UiState) {
    let (set, heard) = (state.set, &mut state.sheet.heard);
    if ui.memory(|m| m.focused().is_none()) {
        *heard = Some(set);
    } else if *heard != Some(set)
        && let Some(row) = open.sheet.rows.get(set)
    {
        // From here on every row is told, also the one that was heard before.
        *heard = None;
        text::tell_at_once(ui, body, Id::unique("chosen row"), &row::name(open, set, row));
    }
}

/// Which row is drawn.
#[derive(Debug, Clone, Copy)]
struct Place {
    /// Its place among those shown.
    n: usize,
    /// How many are shown.
    of: usize,
    /// The place of its set.
    set: usize,
    /// Whether it is chosen, alone or besides others.
    chosen: bool,
}

fn one(
    ui: &mut Ui,
    rect: Rect,
    columns: &Columns,
    open: &OpenDay,
    place: Place,
    state: &mut UiState,
    tools: &mut Tools<'_>,
) {
    let t = tokens(ui);
    let n = place.set;
    let row = &open.sheet.rows[n];
    let response = ui.interact(rect, Id::unique(("row", n)), Sense::CLICK);
    response.widget_info(|| WidgetInfo::labeled(Role::ListBoxOption, true, row::name(open, n, row)));
    // Rows that are not drawn are not in the tree: each says which of how many it is.
    ui.ctx().accesskit_node_builder(response.id, |node| {
        node.set_position_in_set(place.n + 1);
        node.set_size_of_set(place.of);
        node.set_selected(place.chosen);
        node.add_action(accesskit::Action::Focus);
    });
    if state.set == n && state.overlay.is_none() {
        // Arrows move the chosen row without taking the keyboard from the commands. To those who hear the window it is
        // what they are at, as long as nothing has the keyboard.
        ui.ctx().accesskit_node_builder(egui::accesskit_root_id(), |node| {
            node.set_active_descendant(response.id.accesskit_id());
        });
    }
    if ui.input(|i| i.has_accesskit_action_request(response.id, accesskit::Action::Focus)) {
        ui.memory_mut(|m| m.focused().into_iter().for_each(|id| m.surrender_focus(id)));
        tools.actions.push(Action::ChooseSet(n));
    }
    if place.chosen {
        ui.painter().rect_filled(rect, 0.0, t.accent_ground);
    }
    if state.set == n {
        let bar = Rect::from_min_size(rect.min, vec2(4.0, rect.height()));
        ui.painter().rect_filled(bar, 0.0, t.accent);
    }
    ui.painter().hline(rect.x_range(), rect.bottom() - 0.5, t.rule_stroke());
    // What the row shows belongs to it.
    let inside = UiBuilder::new().max_rect(rect).id_salt(("row", n)).accessibility_parent(response.id);
    let ui = &mut ui.new_child(inside);
    let top = rect.top() + PAD_PX;
    let typing = state.sheet.jar.as_ref().is_some_and(|j| j.set == n);
    row::number(ui, columns, top, open, n, !typing);
    row::slots(ui, columns, top, open, n, None, tools);
    row::words(ui, columns, top + columns.picture.y / 2.0, row, true);
    if typing {
        jar(ui, columns.jar(top), open, state, tools);
    }
    if state.set == n {
        state.chosen_at = columns.place(0, top).center();
    }
    tools.menu(&response, Action::ChooseSet(n));
    if let Some(frame) = carry::onto(ui, &response, |frame| open.sheet.home(frame) != Some(n)) {
        tools.actions.push(Action::MoveFrame { frame, set: n });
    }
    if response.double_clicked() {
        tools.actions.push(Action::OpenSet(n));
    } else if response.clicked() {
        tools.actions.push(match ui.input(|i| i.modifiers) {
            held if held.shift => Action::ChooseSetsTo(n),
            held if held.command => Action::ChooseSetBesides(n),
            _ => Action::ChooseSet(n),
        });
    }
}

/// The field in which a jar label is typed: Enter goes on to the next row, Esc leaves it as it was.
fn jar(ui: &mut Ui, place: Rect, open: &OpenDay, state: &mut UiState, tools: &mut Tools<'_>) {
    let Some(typing) = &mut state.sheet.jar else { return };
    let id = Id::unique(("jar of row", typing.set));
    let session = &open.day.session;
    let read = session.sets.get(typing.set).filter(|s| open.jar_is_read(s)).map(|s| session.jar_of(s));
    let hint = tell!("sheet-jar-hint");
    let response = field(ui, place, id, &mut typing.text, read.unwrap_or(&hint), &tell!("sheet-jar-name"));
    if response.lost_focus() {
        let key = |key| ui.input(|i| i.key_pressed(key));
        if key(Key::Escape) {
            state.sheet.jar = None;
        } else {
            tools.actions.push(Action::CommitTyping);
            if key(Key::Enter) {
                tools.actions.push(Action::Run(Command::RowDown));
                tools.actions.push(Action::Run(Command::EditJar));
            }
        }
    } else if !response.has_focus() {
        response.request_focus();
    }
}
