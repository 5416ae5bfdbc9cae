//! The measures on the frame in view: the ways to mark something, the marks there are, and of the chosen one what is typed of
//! it. Its value and all about that is `mark_panel`'s.

use egui::accesskit::Role;
use egui::{Align2, CursorIcon, Id, Key, Rect, Sense, Ui, WidgetInfo, pos2, vec2};
use record::{Mark, MarkKind, ScaleUsed};

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
        let usual = open.characters.as_ref().map_or(&[][..], |characters| &characters.measures);
        what(ui, flow, state, mark, usual, actions);
        value(ui, flow, open, mark);
        scale(ui, flow, open, mark, actions);
        plane(ui, flow, state, mark, actions);
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

/// What became of two numbers that are typed.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Typing {
    /// They are still typed, or nobody does.
    Open,
    /// The keyboard went elsewhere.
    Left,
    /// Enter was pressed.
    Entered,
}

/// Of a number to be typed: its name, what stands there while it is empty, and its unit.
type Row<'a> = (&'a str, &'a str, &'a str);

/// Two numbers to be typed, one under the other; Esc brings back what is kept.
fn numbers(
    ui: &mut Ui,
    flow: &mut Flow,
    (id, rows): (&str, [Row<'_>; 2]),
    kept: &[String; 2],
    texts: &mut Option<[String; 2]>,
    takes_keyboard: bool,
) -> Typing {
    let t = tokens(ui);
    let mut typed = texts.clone().unwrap_or_else(|| kept.clone());
    let mut typing = Typing::Open;
    for (n, (text, (name, hint, unit))) in typed.iter_mut().zip(rows).enumerate() {
        let middle = pos2(flow.left, flow.y + FIELD_PX / 2.0);
        text::cut(ui, middle, Align2::LEFT_CENTER, Type::Small, t.soft, NAME_PX - 8.0, name);
        let corner = pos2(flow.left + NAME_PX, flow.y);
        let place = Rect::from_min_size(corner, vec2(96.0, FIELD_PX));
        let response = field(ui, place, Id::unique((id, n)), text, hint, name);
        let beside = pos2(place.right() + 8.0, middle.y);
        text::line(ui, beside, Align2::LEFT_CENTER, Type::Small, t.soft, unit);
        if n == 0 && takes_keyboard {
            response.request_focus();
            ui.scroll_to_rect(place, None);
        }
        if response.lost_focus() {
            if ui.input(|i| i.key_pressed(Key::Escape)) {
                *texts = None;
                return Typing::Open;
            }
            typing = if ui.input(|i| i.key_pressed(Key::Enter)) { Typing::Entered } else { Typing::Left };
        }
        flow.y = place.bottom() + 6.0;
    }
    if typed != *kept || texts.is_some() {
        *texts = Some(typed);
    }
    typing
}

/// The known length and its uncertainty, to be typed.
fn known(ui: &mut Ui, flow: &mut Flow, state: &mut UiState, mark: &Mark, actions: &mut Vec<Action>) {
    let t = tokens(ui);
    let marking = &mut state.specimen.marking;
    let kept = mark.known.map_or_else(
        || [String::new(), KNOWN_STANDARD_MM.to_owned()],
        |known| [known.mm.to_string(), known.standard_mm.to_string()],
    );
    let (name, hint, unit) = (tell!("measure-known-mm"), tell!("measure-known-hint"), tell!("measure-unit"));
    let standard = tell!("measure-known-standard");
    let rows = [(name.as_str(), hint.as_str(), unit.as_str()), (&standard, KNOWN_STANDARD_MM, &unit)];
    let takes_keyboard = marking.focus.take_if(|f| *f == MarkField::Known).is_some();
    let typing = numbers(ui, flow, ("known", rows), &kept, &mut marking.known, takes_keyboard);
    refused(ui, flow, marking.refused.as_deref());
    let is_empty = marking.known.as_ref().is_none_or(|typed| typed[0].trim().is_empty());
    if typing == Typing::Entered || typing == Typing::Left && !is_empty {
        actions.push(Action::Mark(MarkAsk::Known));
    }
    flow.para(ui, Type::Small, t.soft, &tell!("measure-known-what"));
    if let Some(px) = px_of(mark) {
        placing(ui, flow, mark, px);
    }
    flow.gap(8.0);
}

/// How the mark may lie out of the plane of its scale, to be typed.
fn plane(ui: &mut Ui, flow: &mut Flow, state: &mut UiState, mark: &Mark, actions: &mut Vec<Action>) {
    let t = tokens(ui);
    flow.para(ui, Type::SmallMedium, t.ink, &tell!("measure-plane"));
    flow.gap(4.0);
    let marking = &mut state.specimen.marking;
    let kept = [mark.tilt_deg, mark.depth_share * 100.0].map(|value| {
        if value > 0.0 {
            format!("{value:.4}").trim_end_matches('0').trim_end_matches('.').to_owned()
        } else {
            String::new()
        }
    });
    let names = [tell!("measure-tilt"), tell!("measure-depth")];
    let units = [tell!("measure-tilt-unit"), tell!("measure-depth-unit")];
    let rows = [0, 1].map(|n| (names[n].as_str(), "0", units[n].as_str()));
    if numbers(ui, flow, ("plane", rows), &kept, &mut marking.plane, false) != Typing::Open {
        actions.push(Action::Mark(MarkAsk::Plane));
    }
    refused(ui, flow, marking.refused.as_deref());
    flow.para(ui, Type::Small, t.soft, &tell!("measure-what"));
    flow.gap(10.0);
}

/// Why what was typed is not written.
fn refused(ui: &mut Ui, flow: &mut Flow, why: Option<&str>) {
    if let Some(why) = why {
        flow.para(ui, Type::Small, tokens(ui).warn, why);
        flow.gap(4.0);
    }
}

/// What the mark measures: one of the usual measures of its plan, or a name of one's own.
fn what(
    ui: &mut Ui,
    flow: &mut Flow,
    state: &mut UiState,
    mark: &Mark,
    usual: &[String],
    actions: &mut Vec<Action>,
) {
    let all: Vec<Chip<'_>> =
        usual.iter().map(|measure| Chip::choice(measure, measure, mark.what == *measure)).collect();
    let clicked = chips(ui, flow, Id::unique("what is measured"), &all);
    if let Some(nth) = clicked.iter().position(egui::Response::clicked) {
        actions.push(Action::Mark(MarkAsk::What(usual[nth].clone())));
    }
    flow.gap(6.0);
    let marking = &mut state.specimen.marking;
    let is_own = !usual.contains(&mark.what);
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
