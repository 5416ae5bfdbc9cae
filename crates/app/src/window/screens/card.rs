//! The card step: the trace, the frames around the chosen one, what was read, and the queries beside it.

use egui::accesskit::Role;
use egui::{Align2, CursorIcon, Id, Rect, Sense, Stroke, StrokeKind, Ui, WidgetInfo, pos2, vec2};
use record::FrameKind;

use super::{Tools, card_panels, side, trace};
use crate::window::action::Action;
use crate::window::command::Command;
use crate::window::look::{CONTROL_CORNER, MARGIN_PX, PICTURE_CORNER, Type, side_px, tokens};
use crate::window::open_day::OpenDay;
use crate::window::state::UiState;
use crate::window::widgets::control::{Button, Weight};
use crate::window::widgets::{mark, picture, text};
use crate::window::words::tell;

/// Draws the step.
pub(crate) fn ui(ui: &mut Ui, room: Rect, open: &OpenDay, state: &mut UiState, tools: &mut Tools<'_>) {
    let side_left = room.right() - side_px(room.width());
    let main = Rect::from_min_max(
        pos2(room.left() + MARGIN_PX, room.top()),
        pos2(side_left - MARGIN_PX, room.bottom() - MARGIN_PX),
    );
    // The panels below take what they need, the trace the rest.
    let clocks = open.day.clocks.len() as f32;
    let panels_height = (94.0 + 42.0 * clocks).max(136.0).min(main.height() * 0.32);
    let strip_height = 78.0;
    let panels = Rect::from_min_max(pos2(main.left(), main.bottom() - panels_height), main.max);
    let strip_bottom = panels.top() - 16.0;
    let strip =
        Rect::from_min_max(pos2(main.left(), strip_bottom - strip_height), pos2(main.right(), strip_bottom));
    let sheet = Rect::from_min_max(main.min, pos2(main.right(), strip.top() - 14.0));
    trace_sheet(ui, sheet, open, state, tools);
    around(ui, strip, open, state, tools);
    card_panels::ui(ui, panels, open, state, tools.actions);
    let side = Rect::from_min_max(pos2(side_left, room.top()), room.max);
    side::queries(ui, side, open, state.query, tools.actions);
}

fn trace_sheet(ui: &mut Ui, rect: Rect, open: &OpenDay, state: &mut UiState, tools: &mut Tools<'_>) {
    let t = tokens(ui);
    ui.painter().rect(rect, CONTROL_CORNER, t.sheet, t.rule_stroke(), StrokeKind::Inside);
    let head = rect.min + vec2(12.0, 21.0);
    let title = text::line(ui, head, Align2::LEFT_CENTER, Type::Strong, t.ink, &tell!("trace-title"));
    let right = pos2(rect.right() - 13.0, head.y);
    legend(ui, right, right.x - title.right() - 24.0, open, tools);
    let inner = Rect::from_min_max(rect.min + vec2(12.0, 44.0), rect.max - vec2(13.0, 13.0));
    trace::ui(ui, inner, open, state, tools);
}

/// Says who placed the line, and offers to leave it to the day again.
fn legend(ui: &mut Ui, right: egui::Pos2, room: f32, open: &OpenDay, tools: &mut Tools<'_>) {
    let t = tokens(ui);
    let line = open.day.line;
    if line.by_hand {
        let key = Command::LineByDay.key_words(ui);
        let (long, short) = (tell!("trace-line-by-hand"), tell!("trace-line-by-day"));
        let long = Button::new(&long, Weight::Quiet).key(&key);
        let short = Button::new(&short, Weight::Quiet).key(&key);
        let button = if long.size(ui).x <= room { long } else { short };
        if button.show(ui, Id::unique("line by day"), right, Align2::RIGHT_CENTER).clicked() {
            tools.actions.push(Action::Run(Command::LineByDay));
        }
        return;
    }
    let (up, down) = (Command::LineUp.key_words(ui), Command::LineDown.key_words(ui));
    let placed = if line.one_class { tell!("trace-all-alike") } else { tell!("trace-line-placed") };
    let long = tell!("trace-line-moves", placed = &placed, up = up, down = down);
    let words = if text::size(ui, Type::Small, &long).x <= room { long } else { placed };
    text::cut(ui, right, Align2::RIGHT_CENTER, Type::Small, t.soft, room, &words);
}

/// The frames around the chosen one.
fn around(ui: &mut Ui, rect: Rect, open: &OpenDay, state: &mut UiState, tools: &mut Tools<'_>) {
    const WIDTH_PX: f32 = 82.0;
    const STEP_PX: f32 = 87.0;
    let frames = &open.day.session.frames;
    let fit = (((rect.width() + STEP_PX - WIDTH_PX) / STEP_PX) as usize).max(1);
    let at = state.frame.and_then(|f| open.sheet.places.get(&f).copied()).unwrap_or(0);
    let first = at.saturating_sub(fit / 2).min(frames.len().saturating_sub(fit));
    // Spread over the whole width, so that both edges line up with what is above.
    let step = if fit > 1 { (rect.width() - WIDTH_PX) / (fit - 1) as f32 } else { STEP_PX };
    for n in first..(first + fit).min(frames.len()) {
        let left = rect.left() + (n - first) as f32 * step;
        let place = Rect::from_min_size(pos2(left.round(), rect.top()), vec2(WIDTH_PX, 55.0));
        one(ui, place, open, n, state, tools);
    }
}

fn one(ui: &mut Ui, place: Rect, open: &OpenDay, n: usize, state: &mut UiState, tools: &mut Tools<'_>) {
    let t = tokens(ui);
    let frame = &open.day.session.frames[n];
    let (chosen, marked) = (state.frame == Some(frame.id), state.marked == Some(frame.id));
    picture::small(ui, place, tools.thumbs, frame, 1.0);
    let kind = open.day.session.kind(frame);
    let words = match kind {
        _ if marked => tell!("card-frame-marked", number = n + 1),
        FrameKind::Specimen => (n + 1).to_string(),
        _ => tell!("card-frame-kind", number = n + 1, kind = open.kind_word(frame.id)),
    };
    if open.is_gone(frame.id) {
        mark::struck(ui, place);
    }
    if marked {
        mark::dashed(ui, place.expand(2.0), Stroke::new(2.0, t.ink));
    }
    if kind == FrameKind::Blank {
        ui.painter().rect_stroke(place, PICTURE_CORNER, Stroke::new(1.0, t.ink), StrokeKind::Inside);
    }
    if chosen {
        let stroke = Stroke::new(2.5, t.accent);
        ui.painter().rect_stroke(place, PICTURE_CORNER, stroke, StrokeKind::Outside);
    }
    let response = ui
        .interact(place, Id::unique(("around", frame.id)), Sense::CLICK)
        .on_hover_cursor(CursorIcon::PointingHand);
    response.widget_info(|| {
        WidgetInfo::selected(Role::Button, true, chosen, tell!("card-frame", frame = &words))
    });
    let below = pos2(place.center().x, place.bottom() + 5.0);
    let (type_, ink) = if chosen { (Type::SmallMedium, t.ink) } else { (Type::Small, t.soft) };
    text::cut(ui, below, Align2::CENTER_TOP, type_, ink, place.width() + 4.0, &words);
    if chosen {
        state.chosen_at = place.center();
    }
    tools.menu(&response, Action::ChooseFrame(frame.id));
    if response.clicked() {
        tools.actions.push(Action::ChooseFrame(frame.id));
    }
}
