//! The cameras and their clocks: each told by make, model and serial, its correction and where that is from, and the
//! ways to correct it.

use egui::{Align2, Id, Rect, ScrollArea, StrokeKind, Ui, UiBuilder, pos2, vec2};
use import::BodyClock;
use record::TimeSource;
use std::collections::BTreeMap;

use crate::window::action::Action;
use crate::window::clocks::{body_words, clock_of, correction_words, has_camera_time};
use crate::window::command::Command;
use crate::window::enabled::enabled;
use crate::window::look::{CONTROL_CORNER, Type, tokens};
use crate::window::open_day::OpenDay;
use crate::window::state::{Overlay, Question, UiState};
use crate::window::widgets::control::{Button, Weight};
use crate::window::widgets::flow::Flow;
use crate::window::widgets::text;
use crate::window::words::tell;

/// Height of the line with the ways to correct a clock, px.
const TOOLS_PX: f32 = 30.0;

/// Draws the panel.
pub(crate) fn ui(ui: &mut Ui, rect: Rect, open: &OpenDay, state: &UiState, actions: &mut Vec<Action>) {
    let t = tokens(ui);
    ui.painter().rect(rect, CONTROL_CORNER, t.sheet, t.rule_stroke(), StrokeKind::Inside);
    let head = rect.min + vec2(13.0, 21.0);
    text::line(ui, head, Align2::LEFT_CENTER, Type::Strong, t.ink, &tell!("clocks-head"));
    let correctable = open.day.session.frames.iter().any(has_camera_time);
    let below = if correctable { TOOLS_PX } else { 0.0 };
    let inner = Rect::from_min_max(rect.min + vec2(13.0, 36.0), rect.max - vec2(6.0, 8.0 + below));
    let mut child = ui.new_child(UiBuilder::new().max_rect(inner).id_salt("bodies"));
    ScrollArea::vertical().id_salt("bodies").auto_shrink(false).show(&mut child, |ui| {
        let mut flow = Flow::new(ui.cursor().min, ui.available_width() - 8.0);
        let frame = state.frame.and_then(|id| open.sheet.frame(&open.day, id));
        let chosen = frame.and_then(|f| clock_of(open, f)).map(|c| &c.body);
        for (at, clock) in open.day.clocks.iter().enumerate() {
            let is_chosen = chosen == Some(&clock.body) && open.day.clocks.len() > 1;
            body(ui, &mut flow, open, (at, clock), is_chosen, actions);
        }
        sources(ui, &mut flow, open);
        flow.end(ui);
    });
    if correctable {
        let line = Rect::from_min_max(pos2(rect.left() + 13.0, rect.bottom() - TOOLS_PX - 4.0), rect.max);
        tools(ui, line, open, state, actions);
    }
}

/// One camera in two lines: what it is; its correction, with the way to type one.
fn body(
    ui: &mut Ui,
    flow: &mut Flow,
    open: &OpenDay,
    (at, clock): (usize, &BodyClock),
    chosen: bool,
    actions: &mut Vec<Action>,
) {
    let t = tokens(ui);
    let head = tell!("clocks-body", body = body_words(&clock.body), frames = clock.frames);
    let ink = if chosen { t.ink } else { t.soft };
    let kind = if chosen { Type::SmallMedium } else { Type::Small };
    let mut of_body = open.day.session.frames.iter().filter(|f| clock_of(open, f) == Some(clock));
    let correctable = of_body.any(has_camera_time);
    let mut room = flow.width;
    if correctable {
        let name = tell!("clocks-correct-name", body = body_words(&clock.body));
        let words = tell!("clocks-correct");
        let button = Button::new(&words, Weight::Quiet).name(&name);
        room -= button.size(ui).x + 12.0;
        let place = pos2(flow.right(), flow.y + 8.0);
        if button.show(ui, Id::unique(("correct clock", at)), place, Align2::RIGHT_CENTER).clicked() {
            actions.push(Action::Float(Some(Overlay::ask(Question::Shift(clock.body.clone())))));
        }
    }
    let rect = text::para(ui, flow.at(), room, kind, ink, &head);
    flow.y = rect.bottom();
    let (words, estimated) = correction_words(clock);
    flow.para(ui, Type::Small, if estimated { t.warn } else { t.soft }, &words);
    flow.gap(4.0);
}

/// What the frames' times rest on.
fn sources(ui: &mut Ui, flow: &mut Flow, open: &OpenDay) {
    let t = tokens(ui);
    let frames = &open.day.session.frames;
    let mut sources: BTreeMap<TimeSource, usize> = BTreeMap::new();
    for frame in frames {
        *sources.entry(frame.time_source).or_default() += 1;
    }
    for (source, n) in sources {
        let words = if n == frames.len() {
            tell!("clocks-all-frames", source = source.words())
        } else {
            tell!("clocks-frames", frames = n, source = source.words())
        };
        let ink = if source == TimeSource::Original { t.soft } else { t.warn };
        flow.para(ui, Type::Small, ink, &words);
    }
}

/// The ways to correct a clock by the chosen frame, with their keys.
fn tools(ui: &mut Ui, line: Rect, open: &OpenDay, state: &UiState, actions: &mut Vec<Action>) {
    let middle = line.center().y;
    let mut left = line.left();
    let line_up = state.marked.map(|f| tell!("clocks-line-up-with", number = open.sheet.number(f)));
    let line_up = line_up.unwrap_or_else(|| tell!("clocks-line-up"));
    let chosen = state.frame.map_or(0, |f| open.sheet.number(f));
    let shows = tell!("clocks-shown", number = chosen);
    let several = open.day.clocks.iter().filter(|c| c.body != record::Body::default()).count() > 1;
    let ways = [
        (Command::ClockShown, shows, true),
        (Command::LineUpClocks, line_up, several || state.marked.is_some()),
        (Command::ClearClock, tell!("clocks-clear"), enabled(Command::ClearClock, Some(open), state).is_ok()),
    ];
    for (command, words, _) in ways.into_iter().filter(|(_, _, shows)| *shows) {
        let key = command.key_words(ui);
        let can = enabled(command, Some(open), state).is_ok();
        let name = command.entry().words();
        let button = Button::new(&words, Weight::Quiet).key(&key).enabled(can).name(&name);
        if left + button.size(ui).x > line.right() - 8.0 {
            return;
        }
        if button
            .show(ui, Id::unique(("clock tool", command)), pos2(left, middle), Align2::LEFT_CENTER)
            .clicked()
        {
            actions.push(Action::Run(command));
        }
        left += button.size(ui).x + 16.0;
    }
}
