//! The line that tells blanks, which a person can drag anywhere along it; the day re-splits while it moves.

use egui::accesskit::{self, Role};
use egui::{
    Align2, CursorIcon, EventFilter, Id, Key, Modifiers, Pos2, Rect, Response, Sense, Shape, Stroke,
    StrokeKind, Ui, WidgetInfo, pos2, vec2,
};
use record::Edit;

use super::trace::Axes;
use crate::window::action::Action;
use crate::window::command::Command;
use crate::window::look::{Type, tokens};
use crate::window::open_day::OpenDay;
use crate::window::preview::Preview;
use crate::window::state::CardState;
use crate::window::widgets::text;
use crate::window::words::tell;

/// How far above and below it the line is taken hold of, px.
const REACH_PX: f32 = 6.0;

/// Whether a position is on the line, as it is before it is dragged.
pub(crate) fn is_at(axes: &Axes, open: &OpenDay, at: Pos2) -> bool {
    axes.plot.x_range().contains(at.x) && (at.y - axes.y(open.day.line.level)).abs() <= REACH_PX
}

/// Whether the pointer was pressed on the line.
pub(crate) fn is_held(ui: &Ui, axes: &Axes, open: &OpenDay) -> bool {
    ui.input(|i| i.pointer.press_origin()).is_some_and(|at| is_at(axes, open, at))
}

/// Draws the line with its handle; `trace` is what was done in the trace, where the line is dragged too. While it is dragged
/// the state holds a preview; one edit is made at the end.
pub(crate) fn ui(
    ui: &mut Ui,
    axes: &Axes,
    open: &OpenDay,
    state: &mut CardState,
    trace: &Response,
    actions: &mut Vec<Action>,
) {
    let level = state.preview.as_ref().map_or(open.day.line.level, |p| p.level);
    let y = axes.y(level).round();
    let words = tell!("trace-blank-below", level = format!("{level:.1}"));
    let width = text::size(ui, Type::Small, &words).x + 44.0;
    let right = axes.plot.right() - 4.0;
    let handle = Rect::from_min_max(pos2(right - width, y - 12.0), pos2(right, y + 12.0));
    let t = tokens(ui);
    let ends = [pos2(axes.plot.left(), y), pos2(handle.left(), y)];
    ui.painter().extend(Shape::dashed_line(&ends, Stroke::new(2.0, t.ink), 6.0, 4.0));

    let response = ui
        .interact(handle, Id::unique("blank line"), Sense::drag())
        .on_hover_cursor(CursorIcon::ResizeVertical);
    response.widget_info(|| WidgetInfo {
        value: Some(f64::from(level)),
        ..WidgetInfo::labeled(Role::Slider, true, tell!("trace-line-name"))
    });
    steps(ui, &response, actions);
    ui.painter().rect_filled(handle, 12.0, t.ink);
    let at = pos2(handle.left() + 14.0, y);
    text::line(ui, at, Align2::LEFT_CENTER, Type::Small, t.ground, &words);
    arrows(ui, pos2(handle.right() - 16.0, y));
    if response.has_focus() {
        ui.painter().rect_stroke(handle.expand(2.0), 14.0, Stroke::new(2.0, t.accent), StrokeKind::Outside);
    }
    let along = trace.dragged() && is_held(ui, axes, open);
    if along {
        ui.set_cursor_icon(CursorIcon::ResizeVertical);
    }
    let drags = [(&response, response.dragged()), (trace, along)];
    let pointer = drags.iter().find(|(_, drags)| *drags).and_then(|(held, _)| held.interact_pointer_pos());
    if let Some(pointer) = pointer {
        let level = axes.level(pointer.y);
        // Only where it moved: splitting a day takes a few milliseconds.
        if state.preview.as_ref().is_none_or(|p| (p.level - level).abs() > f32::EPSILON) {
            state.preview = Some(Preview::of(&open.day, level));
        }
    }
    // A drag that pans the trace has left no preview.
    let ended = response.drag_stopped() || trace.drag_stopped();
    let dropped = if ended { state.preview.take() } else { None };
    if let Some(preview) = dropped {
        let words = tell!("undo-move-line", level = format!("{:.1}", preview.level));
        actions.push(Action::Edit { words, edit: Edit::BlankLine(Some(preview.level)) });
    }
}

/// Moves the line by a step where an arrow key or those who hear the window ask for it.
fn steps(ui: &Ui, response: &Response, actions: &mut Vec<Action>) {
    ui.ctx().accesskit_node_builder(response.id, |node| {
        node.set_orientation(accesskit::Orientation::Vertical);
        node.add_action(accesskit::Action::Increment);
        node.add_action(accesskit::Action::Decrement);
    });
    let ways = [
        (accesskit::Action::Increment, Key::ArrowUp, Command::LineUp),
        (accesskit::Action::Decrement, Key::ArrowDown, Command::LineDown),
    ];
    if response.has_focus() {
        let arrows = EventFilter { vertical_arrows: true, ..EventFilter::default() };
        ui.memory_mut(|m| m.set_focus_lock_filter(response.id, arrows));
    }
    for (asked, key, command) in ways {
        let mut times = ui.input(|i| i.num_accesskit_action_requests(response.id, asked));
        if response.has_focus() {
            times += ui.input_mut(|i| i.count_and_consume_key(Modifiers::NONE, key));
        }
        actions.extend((0..times).map(|_| Action::Run(command)));
    }
}

/// A small arrow up and one down: this can be moved.
fn arrows(ui: &Ui, at: Pos2) {
    let ink = tokens(ui).ground;
    for side in [-1.0, 1.0] {
        let tip = at + vec2(0.0, 6.0 * side);
        let points = vec![tip, at + vec2(3.5, 1.5 * side), at + vec2(-3.5, 1.5 * side)];
        ui.painter().add(Shape::convex_polygon(points, ink, Stroke::NONE));
    }
}
