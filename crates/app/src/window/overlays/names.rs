//! The choice of names: the fields of folders and files in their order, what joins them, and a live example.

use egui::accesskit::Role;
use egui::{Align2, Id, Key, Modifiers, Rect, Sense, Ui, WidgetInfo, pos2, vec2};

use super::{answered, panel};
use crate::window::action::Action;
use crate::window::look::{CONTROL_CORNER, Type, tokens};
use crate::window::names_draft::{JOINERS, NamesDraft, Part, field_words, joiner_words};
use crate::window::open_day::OpenDay;
use crate::window::widgets::control::{Button, Weight};
use crate::window::widgets::text;
use crate::window::words::tell;

/// Size of the panel; height of a line, px.
const SIZE_PX: egui::Vec2 = vec2(860.0, 508.0);
const LINE_PX: f32 = 32.0;

/// What is asked of the draft.
#[derive(Debug, Clone, Copy)]
enum Ask {
    Go(Part, usize),
    GoTo(Part),
    PutOrTake(Part, usize),
    Shift(Part, usize, bool),
}

/// Draws the choice.
pub(crate) fn ui(ui: &mut Ui, open: Option<&OpenDay>, draft: &mut NamesDraft, actions: &mut Vec<Action>) {
    let Some(open) = open else { return };
    panel(ui, "names", SIZE_PX, Some(Action::Float(None)), actions, |ui, actions| {
        let t = tokens(ui);
        let rect = ui.max_rect();
        let left = rect.left() + 24.0;
        let head = pos2(left, rect.top() + 28.0);
        text::line(ui, head, Align2::LEFT_CENTER, Type::Section, t.ink, &tell!("names-head"));
        let keys = tell!("names-keys");
        let at = pos2(rect.right() - 24.0, rect.top() + 28.0);
        text::line(ui, at, Align2::RIGHT_CENTER, Type::Small, t.soft, &keys);
        let mut asked = keys_pressed(ui, draft);
        let top = rect.top() + 56.0;
        for (part, x, width) in
            [(Part::Folder, 0.0, 300.0), (Part::File, 316.0, 300.0), (Part::Joiner, 632.0, 180.0)]
        {
            let place = Rect::from_min_size(pos2(left + x, top), vec2(width, 9.0 * LINE_PX));
            asked = column(ui, place, draft, part).or(asked);
        }
        if let Some(asked) = asked {
            match asked {
                Ask::Go(part, at) => draft.go(part, at),
                Ask::GoTo(part) => draft.go_to(part),
                Ask::PutOrTake(part, at) => draft.put_in_or_take_out(part, at),
                Ask::Shift(part, at, down) => draft.shift(part, at, down),
            }
            draft.look(open);
        }
        example(ui, rect, draft);
        let bottom = rect.bottom() - 20.0;
        let (go, leave) = (tell!("names-go"), tell!("leave"));
        if answered(ui, "names", pos2(left, bottom), [&go, &leave], draft.preview.is_ok(), actions) {
            actions.push(Action::TakeNames(Box::new(draft.naming.clone())));
        }
    });
}

fn keys_pressed(ui: &Ui, draft: &NamesDraft) -> Option<Ask> {
    let (part, at) = (draft.part, draft.at);
    let next = [Part::Folder, Part::File, Part::Joiner];
    // A button that has the keyboard takes Space for itself.
    let of_a_button = ui.memory(|m| m.focused().is_some());
    let nth = next.iter().position(|p| *p == part).unwrap_or(0);
    ui.input_mut(|i| {
        let mut pressed = |modifiers, key| i.consume_key(modifiers, key);
        if pressed(Modifiers::COMMAND, Key::ArrowUp) {
            Some(Ask::Shift(part, at, false))
        } else if pressed(Modifiers::COMMAND, Key::ArrowDown) {
            Some(Ask::Shift(part, at, true))
        } else if pressed(Modifiers::NONE, Key::ArrowUp) {
            Some(Ask::Go(part, at.saturating_sub(1)))
        } else if pressed(Modifiers::NONE, Key::ArrowDown) {
            Some(Ask::Go(part, at + 1))
        } else if pressed(Modifiers::NONE, Key::ArrowLeft) {
            Some(Ask::GoTo(next[nth.saturating_sub(1)]))
        } else if pressed(Modifiers::NONE, Key::ArrowRight) {
            Some(Ask::GoTo(next[(nth + 1).min(2)]))
        } else if !of_a_button && pressed(Modifiers::NONE, Key::Space) {
            Some(Ask::PutOrTake(part, at))
        } else {
            None
        }
    })
}

fn column(ui: &mut Ui, place: Rect, draft: &NamesDraft, part: Part) -> Option<Ask> {
    let t = tokens(ui);
    let head = match part {
        Part::Folder => tell!("names-folder"),
        Part::File => tell!("names-file"),
        Part::Joiner => tell!("names-joiner"),
    };
    let ink = if draft.part == part { t.ink } else { t.soft };
    let at = place.min + vec2(10.0, 14.0);
    text::line(ui, at, Align2::LEFT_CENTER, Type::Strong, ink, &head);
    ui.painter().hline(place.x_range(), place.top() + 29.5, t.rule_stroke());
    let row = |n: usize| {
        let top = place.top() + 32.0 + n as f32 * LINE_PX;
        Rect::from_min_size(pos2(place.left(), top), vec2(place.width(), LINE_PX))
    };
    if part == Part::Joiner {
        let joiners = JOINERS.iter().enumerate();
        let asked = joiners.filter_map(|(n, joiner)| {
            let is_it = *joiner == draft.naming.file.joiner;
            let words = joiner_words(joiner);
            let name = tell!("names-join-by", joiner = &words);
            let here = draft.part == part && draft.at == n;
            let response = row_of(ui, row(n), ("joiner", n), Role::RadioButton, (is_it, here), &name);
            let words = if is_it { format!("● {words}") } else { format!("○ {words}") };
            label(ui, row(n), if is_it { t.ink } else { t.soft }, &words);
            response.then_some(Ask::Go(part, n))
        });
        return asked.last();
    }
    let (fields, of_name) = draft.fields(part);
    let mut asked = None;
    for (n, field) in fields.iter().enumerate() {
        let (is_in, words) = (n < of_name, field_words(*field));
        let here = draft.part == part && draft.at == n;
        let name = match (part, is_in) {
            (Part::Folder, true) => tell!("names-in-folder", field = &words, nth = n + 1),
            (Part::Folder, false) => tell!("names-not-in-folder", field = &words),
            (_, true) => tell!("names-in-file", field = &words, nth = n + 1),
            (_, false) => tell!("names-not-in-file", field = &words),
        };
        let rect = row(n);
        if row_of(ui, rect, ("field", part as usize * 16 + n), Role::CheckBox, (is_in, here), &name) {
            asked = Some(Ask::Go(part, n));
        }
        let shown = if is_in { format!("{}. {words}", n + 1) } else { words.clone() };
        label(ui, rect, if is_in { t.ink } else { t.soft }, &shown);
        asked = buttons(ui, rect, (part, n), (is_in, of_name), &name).or(asked);
    }
    asked
}

/// The buttons of a field: up, down, out; or in.
fn buttons(
    ui: &mut Ui,
    rect: Rect,
    (part, n): (Part, usize),
    (is_in, of_name): (bool, usize),
    field: &str,
) -> Option<Ask> {
    let all = [
        (is_in, "−", tell!("names-take-out", field = field), Ask::PutOrTake(part, n)),
        (is_in && n + 1 < of_name, "↓", tell!("names-down", field = field), Ask::Shift(part, n, true)),
        (is_in && n > 0, "↑", tell!("names-up", field = field), Ask::Shift(part, n, false)),
        (!is_in, "+", tell!("names-put-in", field = field), Ask::PutOrTake(part, n)),
    ];
    let mut right = rect.right() - 4.0;
    let mut asked = None;
    for (at, (shows, sign, name, ask)) in all.into_iter().enumerate() {
        let button = Button::new(sign, Weight::Plain).name(&name);
        let width = button.size(ui).x;
        // The sign that takes out and the one that puts in share a place; so each stands in a column of its own.
        if at < 3 || shows {
            if shows {
                let place = pos2(if at == 3 { rect.right() - 4.0 } else { right }, rect.center().y);
                let id = Id::unique(("names button", part as usize, n, at));
                if button.show(ui, id, place, Align2::RIGHT_CENTER).clicked() {
                    asked = Some(ask);
                }
            }
            right -= width + 4.0;
        }
    }
    asked
}

fn label(ui: &Ui, rect: Rect, ink: egui::Color32, words: &str) {
    let galley = text::laid(ui, Type::Body, ink, words, rect.width() - 120.0, 1);
    let at = Align2::LEFT_CENTER.anchor_size(pos2(rect.left() + 10.0, rect.center().y), galley.size());
    ui.painter().galley(at.min.round(), galley, ink);
}

/// A line to choose; whether it was clicked.
fn row_of(
    ui: &mut Ui,
    rect: Rect,
    id: (&str, usize),
    role: Role,
    (is_in, here): (bool, bool),
    name: &str,
) -> bool {
    let t = tokens(ui);
    let response = ui.interact(rect, Id::unique(id), Sense::CLICK);
    response.widget_info(|| WidgetInfo::selected(role, true, is_in, name));
    if here {
        ui.painter().rect_filled(rect, CONTROL_CORNER, t.accent_ground);
    }
    response.clicked()
}

/// What the choice gives, or why it cannot be.
fn example(ui: &mut Ui, rect: Rect, draft: &NamesDraft) {
    let t = tokens(ui);
    let (left, width) = (rect.left() + 24.0, rect.width() - 48.0);
    let top = rect.top() + 56.0 + 32.0 + 8.0 * LINE_PX + 12.0;
    let place = Rect::from_min_size(pos2(left, top), vec2(width, 76.0));
    let ground = if draft.preview.is_ok() { t.well } else { t.gone_ground };
    ui.painter().rect_filled(place, CONTROL_CORNER, ground);
    let inner = place.shrink2(vec2(14.0, 10.0));
    let (words, note) = match &draft.preview {
        Err(why) => {
            text::para(ui, inner.min, inner.width(), Type::Body, t.gone, &tell!("names-refused", why = why));
            return;
        }
        Ok(None) => (tell!("names-no-example"), String::new()),
        Ok(Some(preview)) => {
            let note = match (preview.folders_alike, preview.frames_alike) {
                (0, 0) => tell!("names-distinct"),
                (0, frames) => tell!("names-frames-alike", n = frames),
                (folders, 0) => tell!("names-folders-alike", n = folders),
                (folders, frames) => tell!("names-both-alike", folders = folders, frames = frames),
            };
            (tell!("names-example", path = &preview.path), note)
        }
    };
    let at = pos2(inner.left(), inner.top() + 8.0);
    text::cut(ui, at, Align2::LEFT_CENTER, Type::Medium, t.ink, inner.width(), &words);
    text::para(ui, inner.min + vec2(0.0, 22.0), inner.width(), Type::Small, t.soft, &note);
}
