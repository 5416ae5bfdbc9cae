//! Marks of state by shape: a filled disc, a dotted one, a struck circle, an open one; dashed outlines; and
//! the program's own mark.

use egui::{Color32, Pos2, Rect, Shape, Stroke, Ui, pos2, vec2};
use grouping::SlotState;

use crate::window::look::{Tokens, tokens};

/// Radius of a mark, px.
const RADIUS_PX: f32 = 4.5;

/// The word of a slot's state.
pub(crate) fn word(state: SlotState) -> &'static str {
    match state {
        SlotState::Confirmed => "confirmed",
        SlotState::Proposed => "proposed",
        SlotState::Missing => "missing",
        SlotState::Open => "not known yet",
        SlotState::NotAsked => "not asked",
    }
}

/// The colour that repeats it.
pub(crate) fn color(state: SlotState, t: &Tokens) -> Color32 {
    match state {
        SlotState::Confirmed => t.accent,
        SlotState::Missing => t.gone,
        SlotState::Proposed | SlotState::Open | SlotState::NotAsked => t.soft,
    }
}

/// Draws the mark of a slot's state around a middle.
pub(crate) fn state(ui: &Ui, middle: Pos2, state: SlotState) {
    let t = tokens(ui);
    let color = color(state, t);
    let painter = ui.painter();
    match state {
        SlotState::Confirmed => {
            painter.circle_filled(middle, RADIUS_PX, color);
        }
        SlotState::Proposed => dotted(ui, middle, color),
        SlotState::Missing => {
            painter.circle_stroke(middle, RADIUS_PX, Stroke::new(1.5, color));
            let d = RADIUS_PX * std::f32::consts::FRAC_1_SQRT_2;
            let ends = [middle + vec2(-d, d), middle + vec2(d, -d)];
            painter.line_segment(ends, Stroke::new(1.5, color));
        }
        SlotState::Open => {
            painter.circle_stroke(middle, RADIUS_PX, Stroke::new(1.5, color));
        }
        SlotState::NotAsked => {
            painter.hline(middle.x - 4.0..=middle.x + 4.0, middle.y, Stroke::new(1.5, color));
        }
    }
}

fn dotted(ui: &Ui, middle: Pos2, color: Color32) {
    for n in 0..8 {
        let angle = n as f32 * std::f32::consts::TAU / 8.0;
        ui.painter().circle_filled(middle + vec2(angle.cos(), angle.sin()) * 5.0, 1.1, color);
    }
}

/// Draws a dashed outline just inside a rectangle.
pub(crate) fn dashed(ui: &Ui, rect: Rect, stroke: Stroke) {
    let r = rect.shrink(stroke.width / 2.0);
    let path = [r.left_top(), r.right_top(), r.right_bottom(), r.left_bottom(), r.left_top()];
    ui.painter().extend(Shape::dashed_line(&path, stroke, 5.0, 3.5));
}

/// Strikes out the place of a picture whose file is gone: a dashed outline and a line across.
pub(crate) fn struck(ui: &Ui, rect: Rect) {
    let stroke = Stroke::new(1.5, tokens(ui).gone);
    dashed(ui, rect, stroke);
    let r = rect.shrink(1.0);
    ui.painter().line_segment([r.left_bottom(), r.right_top()], stroke);
}

/// Draws the program's mark, a leaf of paper with a turned corner, with its left top here; 18 × 22 px.
pub(crate) fn leaf(ui: &Ui, at: Pos2, color: Color32) {
    let p = |x: f32, y: f32| pos2(at.x + x, at.y + y);
    let stroke = Stroke::new(2.0, color);
    let outline = vec![p(1.0, 1.0), p(11.0, 1.0), p(17.0, 7.0), p(17.0, 21.0), p(1.0, 21.0)];
    ui.painter().add(Shape::closed_line(outline, stroke));
    ui.painter().add(Shape::line(vec![p(11.0, 1.5), p(11.0, 7.0), p(16.5, 7.0)], stroke));
}
