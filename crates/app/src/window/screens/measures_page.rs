//! The measures on the frame in view: the ways to mark something, the marks there are, and of the chosen one what is typed of
//! it. Its value and all about that is `mark_panel`'s.

use egui::accesskit::Role;
use egui::{Align2, CursorIcon, Id, Key, Rect, Sense, Ui, WidgetInfo, pos2, vec2};
use record::{KNOWN_MEASURES, Mark, MarkKind, ScaleUsed};

use super::mark_panel::{divide, mass, placing, scale, value};
use super::side;
use crate::window::action::Action;
use crate::window::command::Command;
use crate::window::look::{BUTTON_PX, CONTROL_CORNER, FIELD_PX, Type, tokens};
use crate::window::mark_values::{known_on, label, name, px_of};
use crate::window::marking::{MarkAsk, MarkField, marks_of};
use crate::window::open_day::OpenDay;
use crate::window::run_measures::KNOWN_STANDARD_MM;
use crate::window::state::UiState;
use crate::window::widgets::chip::{Chip, chips};
use crate::window::widgets::control::{Button, Weight, field};
use crate::window::widgets::flow::Flow;
use crate::window::widgets::text;
use crate::window::words::tell;

/// Height of a row, px.
const ROW_PX: f32 = 28.0;
/// Room for a field's name, px.
const NAME_PX: f32 = 84.0;

/// Draws the page.
pub(crate) fn ui(ui: &mut Ui, rect: Rect, open: &OpenDay, state: &mut UiState, actions: &mut Vec<Action>) {
    let Some(frame) = state.frame else { return };
    let session = &open.day.session;
    let marks: Vec<&Mark> = marks_of(session, frame).collect();
    side::panel(ui, rect, "measures", |ui, flow| {
        let t = tokens(ui);
        flow.head(ui, &tell!("measure-head"), &tell!("viewer-frame", number = open.sheet.number(frame)));
        flow.gap(8.0);
        if known_on(session, frame).is_none() && marks.iter().all(|m| m.scale == ScaleUsed::Unscaled) {
            flow.para(ui, Type::Small, t.soft, &tell!("measure-no-scale"));
            flow.gap(8.0);
        }
        begin(ui, flow, known_on(session, frame).is_some(), actions);
        for mark in &marks {
            row(ui, flow, open, state, mark, actions);
        }
        if !marks.is_empty() {
            flow.gap(12.0);
        }
        match marks.iter().find(|mark| Some(mark.id) == state.specimen.marking.chosen) {
            Some(mark) => chosen(ui, flow, open, state, (mark, &marks), actions),
            None if marks.is_empty() => {}
            None => {
                let keys = [Command::NextMark, Command::PreviousMark].map(|c| c.key_words(ui));
                let words = tell!("measure-choose", next = &keys[0], previous = &keys[1]);
                flow.para(ui, Type::Small, t.soft, &words);
            }
        }
        flow.gap(12.0);
        flow.para(ui, Type::Small, t.soft, &tell!("measure-what"));
    });
}

/// The ways to begin a mark. Without a scale the known length comes first.
fn begin(ui: &mut Ui, flow: &mut Flow, scaled: bool, actions: &mut Vec<Action>) {
    let ways = [
        (Command::MarkKnown, tell!("measure-begin-known")),
        (Command::MarkLine, tell!("measure-begin-line")),
        (Command::MarkPolyline, tell!("measure-begin-polyline")),
    ];
    for (command, words) in ways {
        let key = command.key_words(ui);
        let next = (command == Command::MarkLine) == scaled && command != Command::MarkPolyline;
        let weight = if next { Weight::Main } else { Weight::Plain };
        let button = Button::new(&words, weight).key(&key);
        if button.show(ui, Id::unique(("begin", command)), flow.at(), Align2::LEFT_TOP).clicked() {
            actions.push(Action::Run(command));
        }
        flow.gap(button.size(ui).y + 6.0);
    }
    flow.gap(8.0);
}

/// A mark: what it is called and its value.
fn row(
    ui: &mut Ui,
    flow: &mut Flow,
    open: &OpenDay,
    state: &UiState,
    mark: &Mark,
    actions: &mut Vec<Action>,
) {
    let t = tokens(ui);
    let is_chosen = state.specimen.marking.chosen == Some(mark.id);
    let moving = state.specimen.marking.moving.as_ref().filter(|m| m.id == mark.id);
    let now = moving.and_then(|m| m.mark(mark));
    let value = label(&open.day.session, now.as_ref().unwrap_or(mark));
    let place = Rect::from_min_size(flow.at(), vec2(flow.width, ROW_PX));
    let id = Id::unique(("row of mark", mark.id.0));
    let response = ui.interact(place.expand2(vec2(6.0, 0.0)), id, Sense::click());
    let spoken = tell!("measure-mark-name", mark = name(mark), value = &value);
    response.widget_info(|| WidgetInfo::selected(Role::ListItem, true, is_chosen, &spoken));
    if is_chosen || response.hovered() || response.has_focus() {
        ui.painter().rect_filled(response.rect, CONTROL_CORNER, t.accent_ground);
    }
    if is_chosen {
        let bar = Rect::from_min_size(response.rect.min + vec2(-6.0, 3.0), vec2(4.0, ROW_PX - 6.0));
        ui.painter().rect_filled(bar, 2.0, t.accent);
    }
    let middle = place.center().y;
    let kind = if is_chosen { Type::SmallMedium } else { Type::Small };
    let right = text::line(ui, pos2(flow.right(), middle), Align2::RIGHT_CENTER, kind, t.ink, &value);
    let room = right.left() - 8.0 - flow.left;
    text::cut(ui, pos2(flow.left, middle), Align2::LEFT_CENTER, kind, t.ink, room, &name(mark));
    if response.on_hover_cursor(CursorIcon::PointingHand).clicked() {
        actions.push(Action::Mark(MarkAsk::Choose(mark.id, 0)));
    }
    flow.y = place.bottom();
}

/// All about the chosen mark.
fn chosen(
    ui: &mut Ui,
    flow: &mut Flow,
    open: &OpenDay,
    state: &mut UiState,
    (mark, marks): (&Mark, &[&Mark]),
    actions: &mut Vec<Action>,
) {
    let shape = match mark.kind {
        MarkKind::Line => tell!("measure-line"),
        MarkKind::Polyline => tell!("measure-polyline"),
    };
    flow.head(ui, &tell!("measure-chosen"), &shape);
    flow.gap(8.0);
    let moving = state.specimen.marking.moving.as_ref().filter(|m| m.id == mark.id);
    let now = moving.and_then(|m| m.mark(mark));
    let mark = now.as_ref().unwrap_or(mark);
    let asks = state.specimen.marking.asks == Some(mark.id);
    if mark.known.is_some() || asks {
        known(ui, flow, state, mark, actions);
    } else {
        what(ui, flow, state, mark, actions);
        value(ui, flow, open, mark);
        scale(ui, flow, open, mark, actions);
        divide(ui, flow, open, (mark, marks), actions);
        mass(ui, flow, open, mark);
    }
    let (words, key) = (tell!("measure-delete"), Command::DeleteMark.key_words(ui));
    let delete = Button::new(&words, Weight::Quiet).key(&key);
    if delete.show(ui, Id::unique("delete mark"), flow.at(), Align2::LEFT_TOP).clicked() {
        actions.push(Action::Run(Command::DeleteMark));
    }
    flow.gap(BUTTON_PX);
}

/// The known length and its uncertainty, to be typed.
fn known(ui: &mut Ui, flow: &mut Flow, state: &mut UiState, mark: &Mark, actions: &mut Vec<Action>) {
    let t = tokens(ui);
    let marking = &mut state.specimen.marking;
    let kept = mark.known.map_or_else(
        || [String::new(), KNOWN_STANDARD_MM.to_owned()],
        |known| [known.mm.to_string(), known.standard_mm.to_string()],
    );
    let mut typed = marking.known.clone().unwrap_or_else(|| kept.clone());
    let names = [tell!("measure-known-mm"), tell!("measure-known-standard")];
    let hints = [tell!("measure-known-hint"), KNOWN_STANDARD_MM.to_owned()];
    let (mut entered, mut left) = (false, false);
    for (n, (text, name)) in typed.iter_mut().zip(&names).enumerate() {
        let middle = pos2(flow.left, flow.y + FIELD_PX / 2.0);
        text::cut(ui, middle, Align2::LEFT_CENTER, Type::Small, t.soft, NAME_PX - 8.0, name);
        let corner = pos2(flow.left + NAME_PX, flow.y);
        let place = Rect::from_min_size(corner, vec2(96.0, FIELD_PX));
        let response = field(ui, place, Id::unique(("known", n)), text, &hints[n], name);
        text::line(
            ui,
            pos2(place.right() + 8.0, middle.y),
            Align2::LEFT_CENTER,
            Type::Small,
            t.soft,
            &tell!("measure-unit"),
        );
        if n == 0 && marking.focus.take_if(|f| *f == MarkField::Known).is_some() {
            response.request_focus();
            ui.scroll_to_rect(place, None);
        }
        if response.lost_focus() {
            let escaped = ui.input(|i| i.key_pressed(Key::Escape));
            entered |= ui.input(|i| i.key_pressed(Key::Enter));
            left |= !escaped;
            if escaped {
                marking.known = None;
                return;
            }
        }
        flow.y = place.bottom() + 6.0;
    }
    if typed != kept || marking.known.is_some() {
        marking.known = Some(typed);
    }
    if let Some(refused) = &marking.refused {
        flow.para(ui, Type::Small, t.warn, refused);
        flow.gap(4.0);
    }
    if entered || left && marking.known.as_ref().is_some_and(|typed| !typed[0].trim().is_empty()) {
        actions.push(Action::Mark(MarkAsk::Known));
    }
    flow.para(ui, Type::Small, t.soft, &tell!("measure-known-what"));
    if let Some(px) = px_of(mark) {
        placing(ui, flow, mark, px);
    }
    flow.gap(8.0);
}

/// What the mark measures: one of the known measures, or a name of one's own.
fn what(ui: &mut Ui, flow: &mut Flow, state: &mut UiState, mark: &Mark, actions: &mut Vec<Action>) {
    let all: Vec<Chip<'_>> = KNOWN_MEASURES
        .iter()
        .map(|measure| Chip {
            words: measure,
            name: measure,
            key: "",
            chosen: mark.what == *measure,
            ring: false,
            colour: None,
            stops: true,
        })
        .collect();
    let clicked = chips(ui, flow, Id::unique("what is measured"), &all);
    if let Some(nth) = clicked.iter().position(egui::Response::clicked) {
        actions.push(Action::Mark(MarkAsk::What(KNOWN_MEASURES[nth].to_owned())));
    }
    flow.gap(6.0);
    let marking = &mut state.specimen.marking;
    let is_own = !KNOWN_MEASURES.contains(&mark.what.as_str());
    let kept = if is_own { mark.what.as_str() } else { "" };
    let mut typed = marking.what.clone().unwrap_or_else(|| kept.to_owned());
    let place = Rect::from_min_size(flow.at(), vec2(flow.width, FIELD_PX));
    let (hint, name) = (tell!("measure-what-hint"), tell!("measure-what-name"));
    let response = field(ui, place, Id::unique("measure"), &mut typed, &hint, &name);
    if marking.focus.take_if(|f| *f == MarkField::What).is_some() {
        response.request_focus();
        ui.scroll_to_rect(place, None);
    }
    if response.changed() {
        marking.what = Some(typed);
    }
    // As it is typed the measures that fit are offered; the first is taken by Enter where it is begun.
    if response.lost_focus() {
        if ui.input(|i| i.key_pressed(Key::Escape)) {
            marking.what = None;
        } else if let Some(typed) = marking.what.clone() {
            actions.push(Action::Mark(MarkAsk::What(typed)));
        }
    }
    flow.y = place.bottom() + 10.0;
}
