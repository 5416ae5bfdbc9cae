//! Notes of the field before they are taken: which file, what a notebook's columns mean and which row is about which
//! specimen, where a track puts the specimens.

use egui::accesskit::Role;
use egui::{Align2, Id, Key, Modifiers, Rect, ScrollArea, Sense, Ui, UiBuilder, WidgetInfo, pos2, vec2};
use notes::Column;
use record::{Session, Term};

use super::{answered, panel};
use crate::plans_of_notes::{NotebookPlan, PlannedRow, TrackPlan};
use crate::window::action::Action;
use crate::window::look::{CONTROL_CORNER, FIELD_PX, Type, tokens};
use crate::window::notes_draft::{NotebookDraft, TrackDraft};
use crate::window::open_day::OpenDay;
use crate::window::places::spots;
use crate::window::term_words;
use crate::window::widgets::control::{field, tick};
use crate::window::widgets::flow::Flow;
use crate::window::widgets::{map, text};
use crate::window::words::tell;

/// Size of the panels, px.
pub(super) const SIZE_PX: egui::Vec2 = vec2(940.0, 600.0);
/// Height of a line, px.
const LINE_PX: f32 = 26.0;
/// Width of the list of columns, px.
const COLUMNS_PX: f32 = 330.0;

/// Asks for the file.
pub(in crate::window) fn ask(
    ui: &mut Ui,
    path: &mut String,
    refused: &mut Option<String>,
    actions: &mut Vec<Action>,
) {
    panel(ui, "read notes", vec2(560.0, 214.0), Some(Action::Float(None)), actions, |ui, actions| {
        let t = tokens(ui);
        let rect = ui.max_rect();
        let (left, room) = (rect.left() + 24.0, rect.width() - 48.0);
        let at = pos2(left, rect.top() + 28.0);
        text::line(ui, at, Align2::LEFT_CENTER, Type::Section, t.ink, &tell!("notes-head"));
        let place = Rect::from_min_size(pos2(left, rect.top() + 52.0), vec2(room, FIELD_PX));
        let id = Id::unique("notes path");
        let (hint, name) = (tell!("notes-path-hint"), tell!("notes-path"));
        if field(ui, place, id, path, &hint, &name).changed() {
            *refused = None;
        }
        ui.memory_mut(|m| m.request_focus(id));
        let (words, ink) = match refused {
            Some(refused) => (refused.clone(), t.warn),
            None => (tell!("notes-what"), t.soft),
        };
        text::para(ui, pos2(left, place.bottom() + 8.0), room, Type::Small, ink, &words);
        let (go, leave) = (tell!("notes-read"), tell!("leave"));
        let foot = pos2(left, rect.bottom() - 20.0);
        if answered(ui, "notes", foot, [&go, &leave], !path.trim().is_empty(), actions) {
            actions.push(Action::ReadNotes(path.trim().into()));
        }
    });
}

/// What a column means, in words.
fn meaning_words(column: &Column) -> String {
    match column {
        Column::Jar => tell!("notes-column-jar"),
        Column::Number => tell!("notes-column-number"),
        Column::Time => term_words::name(Term::EventTime),
        Column::Date => term_words::name(Term::EventDate),
        Column::LeaveOut => tell!("notes-column-out"),
        Column::Field(name) => match (name.as_str(), Term::named(name)) {
            (_, Some(term)) => term_words::name(term),
            ("notes", _) => tell!("notes-column-notes"),
            ("name", _) => tell!("notes-column-name"),
            ("decimalLatitude", _) => tell!("notes-column-latitude"),
            ("decimalLongitude", _) => tell!("notes-column-longitude"),
            (other, _) => other.to_owned(),
        },
    }
}

/// Draws a notebook as it would be taken.
pub(in crate::window) fn notebook(
    ui: &mut Ui,
    open: Option<&OpenDay>,
    draft: &mut NotebookDraft,
    actions: &mut Vec<Action>,
) {
    let Some(session) = open.map(|open| &open.day.session) else { return };
    panel(ui, "notebook", SIZE_PX, Some(Action::Float(None)), actions, |ui, actions| {
        let t = tokens(ui);
        let rect = ui.max_rect();
        let left = rect.left() + 24.0;
        let room = rect.width() - 48.0;
        keys(ui, draft, session);
        let dialect = &draft.notebook.dialect;
        let head = tell!("notes-notebook", name = &draft.name);
        text::cut(ui, pos2(left, rect.top() + 28.0), Align2::LEFT_CENTER, Type::Section, t.ink, room, &head);
        let parted =
            if dialect.delimiter == '\t' { tell!("notes-tab") } else { dialect.delimiter.to_string() };
        let told = draft.plan.as_ref().map_or(&[][..], |plan| &plan.told);
        let mut note = tell!("notes-dialect", encoding = dialect.encoding, parted = parted);
        for told in told {
            note.push_str(". ");
            note.push_str(told);
        }
        let note = text::para(ui, pos2(left, rect.top() + 46.0), room, Type::Small, t.soft, &note);
        let foot = rect.bottom() - 20.0;
        let top = note.bottom() + 12.0;
        let columns = Rect::from_min_max(pos2(left, top), pos2(left + COLUMNS_PX, foot - 74.0));
        let rows =
            Rect::from_min_max(pos2(columns.right() + 20.0, top), pos2(rect.right() - 24.0, foot - 74.0));
        column_list(ui, columns, draft, session);
        let first_row = draft.mapping.columns.len();
        match &draft.plan {
            Ok(plan) => {
                let clicked = row_list(ui, rows, (draft.at, first_row), plan, session);
                summary(ui, pos2(left, foot - 64.0), room, plan);
                if let Some(row) = clicked {
                    choose(draft, first_row + row, session);
                }
            }
            Err(why) => {
                text::para(ui, rows.min, rows.width(), Type::Small, t.warn, why);
            }
        }
        let can_go = draft.plan.as_ref().is_ok_and(|plan| plan.edit.is_some());
        if replaces_changed(ui, rect, draft.replaces) {
            draft.replaces = !draft.replaces;
            draft.work_out(session);
        }
        taken(ui, rect, "notebook", can_go, actions);
    });
}

/// Chooses a line by the pointer; one that was chosen already is changed.
fn choose(draft: &mut NotebookDraft, line: usize, session: &Session) {
    if draft.at == line {
        draft.change(true, session);
    }
    draft.at = line;
}

/// The box at the foot of a panel that says whether what stands is written over; whether that is to be changed.
fn replaces_changed(ui: &mut Ui, rect: Rect, ticked: bool) -> bool {
    let words = tell!("notes-replace");
    let left = rect.right() - 24.0 - text::size(ui, Type::Body, &words).x - 70.0;
    let at = pos2(left, rect.bottom() - 34.0);
    let clicked = tick(ui, Id::unique("replace by notes"), at, ticked, &words, "Ctrl R").clicked();
    clicked || ui.input_mut(|i| i.consume_key(Modifiers::COMMAND, Key::R))
}

/// The answers at the foot of a panel.
fn taken(ui: &mut Ui, rect: Rect, name: &str, can_go: bool, actions: &mut Vec<Action>) {
    let (go, leave) = (tell!("notes-take"), tell!("leave"));
    let foot = pos2(rect.left() + 24.0, rect.bottom() - 20.0);
    if answered(ui, name, foot, [&go, &leave], can_go, actions) {
        actions.push(Action::TakeNotes);
    }
}

/// Up and down go through columns and rows, left and right change what is chosen.
fn keys(ui: &Ui, draft: &mut NotebookDraft, session: &Session) {
    let pressed = |key| ui.input_mut(|i| i.consume_key(Modifiers::NONE, key));
    let last = draft.lines().saturating_sub(1);
    if pressed(Key::ArrowDown) {
        draft.at = (draft.at + 1).min(last);
    }
    if pressed(Key::ArrowUp) {
        draft.at = draft.at.saturating_sub(1);
    }
    if pressed(Key::Home) {
        draft.at = 0;
    }
    if pressed(Key::End) {
        draft.at = last;
    }
    for (key, forward) in [(Key::ArrowRight, true), (Key::ArrowLeft, false)] {
        if pressed(key) {
            draft.change(forward, session);
        }
    }
}

fn column_list(ui: &mut Ui, rect: Rect, draft: &mut NotebookDraft, session: &Session) {
    let mut flow = Flow::new(rect.min, rect.width());
    flow.head(ui, &tell!("notes-columns"), &tell!("notes-change"));
    let inner = Rect::from_min_max(pos2(rect.left(), flow.y + 4.0), rect.max);
    let count = draft.mapping.columns.len();
    list(ui, inner, "notes-columns", count, |ui, at, place| {
        let t = tokens(ui);
        let (header, column) = (&draft.notebook.headers[at], &draft.mapping.columns[at]);
        let words = meaning_words(column);
        let name = tell!("notes-column", header = header, meaning = &words);
        let ink = if *column == Column::LeaveOut { t.soft } else { t.ink };
        let clicked = line(ui, place, ("column", at), draft.at == at, &name);
        let room = place.width() / 2.0 - 12.0;
        let left = place.left_center() + vec2(8.0, 0.0);
        text::cut(ui, left, Align2::LEFT_CENTER, Type::Small, t.soft, room, header);
        text::cut(ui, place.center(), Align2::LEFT_CENTER, Type::SmallMedium, ink, room, &words);
        if clicked {
            choose(draft, at, session);
        }
    });
}

/// Draws the rows, the first of them this line of the panel's; the one that was clicked.
fn row_list(
    ui: &mut Ui,
    rect: Rect,
    (chosen, first): (usize, usize),
    plan: &NotebookPlan,
    session: &Session,
) -> Option<usize> {
    let mut flow = Flow::new(rect.min, rect.width());
    let open = plan.questions().count();
    let right = if open > 0 { tell!("notes-open", n = open) } else { String::new() };
    flow.head(ui, &tell!("notes-rows", n = plan.rows.len()), &right);
    let inner = Rect::from_min_max(pos2(rect.left(), flow.y + 4.0), rect.max);
    let mut clicked = None;
    list(ui, inner, "notes-rows", plan.rows.len(), |ui, at, place| {
        let t = tokens(ui);
        let row = &plan.rows[at];
        let (words, ink) = match (row.set, row.is_open) {
            (Some(_), true) => (about_words(row, session), t.warn),
            (Some(_), false) => (about_words(row, session), t.ink),
            (None, _) => (tell!("notes-row-none"), t.soft),
        };
        let fault = row.faults.first().map_or(String::new(), |fault| format!(" {fault}"));
        let name = tell!("notes-row", line = row.line as usize, text = &row.text, about = &words);
        if line(ui, place, ("row", at), chosen == first + at, &name) {
            clicked = Some(at);
        }
        let middle = place.left_center() + vec2(8.0, 0.0);
        let left = text::cut(ui, middle, Align2::LEFT_CENTER, Type::Small, t.soft, 232.0, &row.text).right();
        let at = pos2((middle.x + 244.0).max(left + 12.0), middle.y);
        let room = place.right() - at.x - 8.0;
        text::cut(ui, at, Align2::LEFT_CENTER, Type::SmallMedium, ink, room, &format!("{words}{fault}"));
    });
    clicked
}

fn about_words(row: &PlannedRow, session: &Session) -> String {
    let number = row.set.and_then(|set| session.sets.get(set)).map_or(0, |set| set.number);
    if row.is_open {
        tell!("notes-row-perhaps", number = number, why = &row.why)
    } else {
        tell!("notes-row-about", number = number, why = &row.why)
    }
}

/// What taking it would leave as it is.
fn summary(ui: &mut Ui, at: egui::Pos2, room: f32, plan: &NotebookPlan) {
    let t = tokens(ui);
    let (open, kept, sets) = (plan.questions().count(), plan.conflicts.len(), plan.open_sets.len());
    let mut words = Vec::new();
    if open > 0 {
        words.push(tell!("notes-leaves-open", n = open));
    }
    if kept > 0 {
        words.push(tell!("notes-leaves-kept", n = kept));
    }
    if sets > 0 {
        words.push(tell!("notes-leaves-sets", n = sets));
    }
    if plan.edit.is_none() {
        words.push(tell!("notes-nothing-new"));
    }
    let ink = if open > 0 { t.warn } else { t.soft };
    text::cut(ui, at, Align2::LEFT_TOP, Type::Small, ink, room, &words.join(" "));
}

/// Lines of one height; only those that are seen are drawn.
pub(super) fn list(
    ui: &mut Ui,
    rect: Rect,
    name: &str,
    count: usize,
    mut one: impl FnMut(&mut Ui, usize, Rect),
) {
    let mut child = ui.new_child(UiBuilder::new().max_rect(rect).id_salt(name));
    child.shrink_clip_rect(rect);
    child.spacing_mut().item_spacing.y = 0.0;
    let scroll = ScrollArea::vertical().id_salt(name).auto_shrink(false);
    scroll.show_rows(&mut child, LINE_PX, count, |ui, seen| {
        for at in seen {
            let (place, _) = ui.allocate_exact_size(vec2(ui.available_width(), LINE_PX), Sense::hover());
            one(ui, at, place);
        }
    });
}

/// The ground of a line; whether it was clicked.
fn line(ui: &mut Ui, place: Rect, id: (&str, usize), chosen: bool, name: &str) -> bool {
    let response = ui.interact(place, Id::unique(("note line", id)), Sense::CLICK);
    response.widget_info(|| WidgetInfo::selected(Role::Row, true, chosen, name));
    if chosen {
        ui.painter().rect_filled(place, CONTROL_CORNER, tokens(ui).accent_ground);
    }
    response.clicked()
}

/// Draws a track as it would be taken.
pub(in crate::window) fn track(
    ui: &mut Ui,
    open: Option<&OpenDay>,
    draft: &mut TrackDraft,
    actions: &mut Vec<Action>,
) {
    let Some(session) = open.map(|open| &open.day.session) else { return };
    panel(ui, "track", SIZE_PX, Some(Action::Float(None)), actions, |ui, actions| {
        let t = tokens(ui);
        let rect = ui.max_rect();
        let (left, room) = (rect.left() + 24.0, rect.width() - 48.0);
        let head = tell!("notes-track", name = &draft.name);
        text::cut(ui, pos2(left, rect.top() + 28.0), Align2::LEFT_CENTER, Type::Section, t.ink, room, &head);
        let mut note = tell!("notes-track-what");
        for told in &draft.plan.told {
            note.push(' ');
            note.push_str(told);
            note.push('.');
        }
        let note = text::para(ui, pos2(left, rect.top() + 46.0), room, Type::Small, t.soft, &note);
        let foot = rect.bottom() - 20.0;
        let top = note.bottom() + 12.0;
        let listed = Rect::from_min_max(pos2(left, top), pos2(left + 420.0, foot - 74.0));
        let plan = &draft.plan;
        list(ui, listed, "places", plan.places.len(), |ui, at, place| {
            let t = tokens(ui);
            let (set, found) = &plan.places[at];
            let number = session.sets.get(*set).map_or(0, |set| set.number);
            let (words, ink) = match found {
                Ok(placed) => {
                    let (lat, lon) = placed.decimal_text();
                    let metres = format!("{:.0}", placed.uncertainty.total_m().ceil());
                    (tell!("notes-placed", number = number, lat = lat, lon = lon, metres = metres), t.ink)
                }
                Err(why) => (tell!("notes-not-placed", number = number, why = why), t.warn),
            };
            let at = place.left_center();
            text::cut(ui, at, Align2::LEFT_CENTER, Type::Small, ink, place.width(), &words);
        });
        let map_place =
            Rect::from_min_max(pos2(listed.right() + 20.0, top), pos2(rect.right() - 24.0, foot - 74.0));
        map::map(ui, map_place, &draft.plan.track.stretches, &placed_spots(session, &draft.plan));
        let kept = draft.plan.kept.len();
        let mut below = Vec::new();
        if TrackDraft::lacks_zone(session) {
            let said = draft.zone_min.map(|zone| tell!("notes-zone", zone = zone_words(zone)));
            below.push(said.unwrap_or_else(|| tell!("notes-zone-open")));
            for (key, by) in [(Key::ArrowRight, 30), (Key::ArrowLeft, -30)] {
                if ui.input_mut(|i| i.consume_key(Modifiers::NONE, key)) {
                    // The first press says that it is UTC; offsets go from -12:00 to +14:00.
                    draft.zone_min = Some(draft.zone_min.map_or(0, |zone| (zone + by).clamp(-720, 840)));
                    draft.work_out(session);
                }
            }
        }
        if kept > 0 {
            below.push(tell!("notes-kept-places", n = kept));
        }
        let at = pos2(left, foot - 64.0);
        text::cut(ui, at, Align2::LEFT_TOP, Type::Small, t.soft, room, &below.join(" "));
        let can_go = draft.plan.edit.is_some();
        if replaces_changed(ui, rect, draft.replaces) {
            draft.replaces = !draft.replaces;
            draft.work_out(session);
        }
        taken(ui, rect, "track", can_go, actions);
    });
}

/// The specimens where the track puts them, beside those that have a place.
fn placed_spots(session: &Session, plan: &TrackPlan) -> Vec<map::Spot> {
    let found = plan.places.iter().filter_map(|(set, place)| Some((set, place.as_ref().ok()?)));
    let spot = |(set, place): (&usize, &notes::Placed)| map::Spot {
        at: (place.latitude, place.longitude),
        words: session.sets.get(*set).map_or(String::new(), |set| set.number.to_string()),
        is_specimen: true,
        chosen: false,
    };
    let newly: Vec<map::Spot> = found.map(spot).collect();
    let stays = |spot: &map::Spot| !newly.iter().any(|new| new.words == spot.words);
    let mut all = spots(session, None);
    all.retain(stays);
    all.extend(newly);
    all
}

/// `+01:00`.
fn zone_words(minutes: i16) -> String {
    let sign = if minutes < 0 { '−' } else { '+' };
    format!("{sign}{:02}:{:02}", minutes.abs() / 60, minutes.abs() % 60)
}
