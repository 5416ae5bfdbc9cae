//! The line that tells blanks, which a person can drag; the day re-splits while it moves.

use egui::accesskit::Role;
use egui::{
    Align2, CursorIcon, Id, Pos2, Rect, Sense, Shape, Stroke, StrokeKind, Ui, WidgetInfo, pos2, vec2,
};
use record::Edit;

use super::trace::Axes;
use crate::window::action::Action;
use crate::window::look::{Type, tokens};
use crate::window::open_day::OpenDay;
use crate::window::preview::Preview;
use crate::window::state::CardState;
use crate::window::widgets::text;
use crate::window::words::tell;

/// Draws the line with its handle. While it is dragged the state holds a preview; one edit is made at the end.
pub(crate) fn ui(ui: &mut Ui, axes: &Axes, open: &OpenDay, state: &mut CardState, actions: &mut Vec<Action>) {
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
    ui.painter().rect_filled(handle, 12.0, t.ink);
    let at = pos2(handle.left() + 14.0, y);
    text::line(ui, at, Align2::LEFT_CENTER, Type::Small, t.ground, &words);
    arrows(ui, pos2(handle.right() - 16.0, y));
    if response.has_focus() {
        ui.painter().rect_stroke(handle.expand(2.0), 14.0, Stroke::new(2.0, t.accent), StrokeKind::Outside);
    }
    if let Some(pointer) = response.interact_pointer_pos().filter(|_| response.dragged()) {
        let level = axes.level(pointer.y);
        // Only where it moved: splitting a day takes a few milliseconds.
        if state.preview.as_ref().is_none_or(|p| (p.level - level).abs() > f32::EPSILON) {
            state.preview = Some(Preview::of(&open.day, level));
        }
    }
    let dropped = if response.drag_stopped() { state.preview.take() } else { None };
    if let Some(preview) = dropped {
        let words = tell!("undo-move-line", level = format!("{:.1}", preview.level));
        actions.push(Action::Edit { words, edit: Edit::BlankLine(Some(preview.level)) });
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
