//! The list of queries: each a question with its evidence and its answers.

use egui::accesskit::Role;
use egui::{Align2, Id, Rect, Sense, Stroke, Ui, WidgetInfo, pos2, vec2};

use super::control::{Button, Weight};
use super::flow::Flow;
use super::text;
use crate::window::action::Action;
use crate::window::command::Command;
use crate::window::look::{BUTTON_PX, CONTROL_CORNER, Type, tokens};
use crate::window::open_day::OpenDay;
use crate::window::words::tell;

/// Draws all queries below each other. Only the focused one shows the keys of its answers.
pub(crate) fn list(ui: &mut Ui, flow: &mut Flow, open: &OpenDay, focused: usize, actions: &mut Vec<Action>) {
    let t = tokens(ui);
    let queries = &open.day.grouping.queries;
    let count = if queries.is_empty() { String::new() } else { queries.len().to_string() };
    flow.head(ui, &tell!("queries-head"), &count);
    if queries.is_empty() {
        flow.gap(10.0);
        flow.para(ui, Type::Small, t.soft, &tell!("queries-none"));
        return;
    }
    for at in 0..queries.len() {
        let top = flow.y;
        one(ui, flow, open, at, at == focused, actions);
        let rect = Rect::from_min_max(pos2(flow.left - 14.0, top), pos2(flow.left - 10.0, flow.y));
        if at == focused {
            ui.painter().rect_filled(rect, 0.0, t.accent);
        }
        if at + 1 < queries.len() {
            flow.rule(ui);
        }
    }
    if queries.len() > 1 {
        flow.gap(8.0);
        let key = Command::NextQuery.key_words(ui);
        let next = tell!("queries-next");
        let next = Button::new(&next, Weight::Quiet).key(&key);
        if next.show(ui, Id::unique("next query"), flow.at(), Align2::LEFT_TOP).clicked() {
            actions.push(Action::Run(Command::NextQuery));
        }
        flow.gap(BUTTON_PX);
    }
}

fn one(ui: &mut Ui, flow: &mut Flow, open: &OpenDay, at: usize, focused: bool, actions: &mut Vec<Action>) {
    let t = tokens(ui);
    let query = &open.day.grouping.queries[at];
    flow.gap(10.0);
    let top = flow.y;
    flow.para(ui, Type::Strong, t.ink, &query.question);
    flow.gap(2.0);
    flow.para(ui, Type::Small, t.soft, &query.evidence);
    // The words choose the query; its answers stand below.
    let words = Rect::from_min_max(pos2(flow.left, top), pos2(flow.right(), flow.y));
    let id = Id::unique(("query", at));
    let response = ui.interact(words, id, Sense::click());
    response.widget_info(|| {
        WidgetInfo::labeled(Role::Button, true, tell!("queries-name", question = &query.question))
    });
    if response.has_focus() {
        ui.painter().rect_stroke(
            words.expand(3.0),
            4.0,
            Stroke::new(2.0, t.accent),
            egui::StrokeKind::Outside,
        );
    }
    if response.clicked() {
        actions.push(Action::FocusQuery(at));
    }
    flow.gap(8.0);
    answers(ui, flow, query, (at, focused), actions);
}

/// The answers side by side, as many as fit in a line.
fn answers(
    ui: &mut Ui,
    flow: &mut Flow,
    query: &record::Query,
    (at, focused): (usize, bool),
    actions: &mut Vec<Action>,
) {
    const KEYS: [Command; 4] =
        [Command::AnswerFirst, Command::AnswerSecond, Command::AnswerThird, Command::AnswerFourth];
    let (mut left, mut height) = (flow.left, 0.0_f32);
    for (nth, answer) in query.answers.iter().enumerate() {
        let key = KEYS.get(nth).filter(|_| focused).map(|c| c.key_words(ui)).unwrap_or_default();
        let name = tell!("queries-answer-name", question = &query.question, answer = &answer.words);
        let button = Button::new(&answer.words, Weight::Plain).key(&key).name(&name).within(flow.width);
        let size = button.size(ui);
        if left > flow.left && left + size.x > flow.right() {
            flow.gap(height + 6.0);
            (left, height) = (flow.left, 0.0);
        }
        height = height.max(size.y);
        let id = Id::unique(("answer", at, nth));
        if button.show(ui, id, pos2(left, flow.y), Align2::LEFT_TOP).clicked() {
            actions.push(Action::Answer { query: at, answer: nth });
        }
        left += size.x + 8.0;
    }
    flow.gap(if query.answers.is_empty() { 2.0 } else { height + 10.0 });
}

/// Words on the ground of a warning, and smaller what they rest on.
pub(crate) fn warning(ui: &mut Ui, flow: &mut Flow, words: &str, source: &str) {
    let t = tokens(ui);
    let width = flow.width - 20.0;
    let high = |ui: &Ui, words: &str| {
        if words.is_empty() {
            0.0
        } else {
            text::laid(ui, Type::Small, t.warn, words, width, usize::MAX).size().y
        }
    };
    let (first, second) = (high(ui, words), high(ui, source));
    let rect = Rect::from_min_size(flow.at(), vec2(flow.width, first + second + 14.0));
    ui.painter().rect_filled(rect, CONTROL_CORNER, t.warn_ground);
    let at = rect.min + vec2(10.0, 7.0);
    text::para(ui, at, width, Type::Small, t.warn, words);
    if !source.is_empty() {
        text::para(ui, at + vec2(0.0, first), width, Type::Small, t.warn, source);
    }
    flow.y = rect.bottom();
}

/// Draws a caution on a quiet ground across the column, its lower edge at `bottom` or below what is there.
pub(crate) fn caution(ui: &mut Ui, flow: &mut Flow, bottom: f32, words: &str) {
    let t = tokens(ui);
    let width = flow.width - 22.0;
    let height = text::laid(ui, Type::Small, t.soft, words, width, usize::MAX).size().y + 18.0;
    flow.y = (flow.y + 16.0).max(bottom - height);
    let rect = Rect::from_min_size(flow.at(), vec2(flow.width, height));
    ui.painter().rect_filled(rect, 6.0, t.well);
    text::para(ui, rect.min + vec2(11.0, 9.0), width, Type::Small, t.soft, words);
    flow.y = rect.bottom();
}
