//! Marks of state by shape: a filled disc, a half one, a dotted one, a struck circle, an open one; dashed outlines; and
//! the program's own mark.

use egui::{Color32, Pos2, Rect, Shape, Stroke, Ui, pos2, vec2};
use grouping::{SlotState, flaw_word};

use crate::window::look::{Tokens, tokens};
use crate::window::words::tell;

/// Radius of a mark, px.
const RADIUS_PX: f32 = 4.5;

/// How a view or a frame of it stands: what is known of it, and how good the picture is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Stand<'a> {
    /// What is known of it.
    pub(crate) state: SlotState,
    /// How good the picture is; `None` where it was not judged.
    pub(crate) worth: Option<Worth<'a>>,
}

/// How good a picture is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Worth<'a> {
    /// Good enough to count.
    Good,
    /// Not good enough, for this reason.
    Poor(&'a str),
}

impl<'a> Stand<'a> {
    /// What is wrong with the picture, when it is not good enough.
    pub(crate) fn flaw(self) -> Option<&'a str> {
        match self.worth {
            Some(Worth::Poor(why)) => Some(why),
            _ => None,
        }
    }

    /// Its word: `good`, `soft`, `soft, proposed`, `missing`.
    pub(crate) fn word(self) -> String {
        match (self.state, self.worth) {
            (SlotState::Confirmed, Some(Worth::Good)) => tell!("stand-good"),
            (SlotState::Confirmed, Some(Worth::Poor(why))) => flaw_word(why).to_owned(),
            (state, Some(Worth::Poor(why))) => {
                tell!("stand-poor", flaw = flaw_word(why), stand = word(state))
            }
            (state, _) => word(state),
        }
    }

    /// The colour that repeats it.
    pub(crate) fn color(self, t: &Tokens) -> Color32 {
        match self.state {
            _ if self.flaw().is_some() => t.warn,
            SlotState::Confirmed => t.accent,
            SlotState::Missing => t.gone,
            SlotState::Proposed | SlotState::Open | SlotState::NotAsked => t.soft,
        }
    }
}

fn word(state: SlotState) -> String {
    match state {
        SlotState::Confirmed => tell!("stand-confirmed"),
        SlotState::Proposed => tell!("stand-proposed"),
        SlotState::Missing => tell!("stand-missing"),
        SlotState::Open => tell!("stand-open"),
        SlotState::NotAsked => tell!("stand-not-asked"),
    }
}

/// Draws the mark of how something stands around a middle.
pub(crate) fn stand(ui: &Ui, middle: Pos2, stand: Stand<'_>) {
    let color = stand.color(tokens(ui));
    let painter = ui.painter();
    let ring = |painter: &egui::Painter| {
        painter.circle_stroke(middle, RADIUS_PX, Stroke::new(1.5, color));
    };
    match stand.state {
        SlotState::Confirmed | SlotState::Proposed if stand.flaw().is_some() => {
            let confirmed = stand.state == SlotState::Confirmed;
            // Within the dots it is smaller, so that they stay apart.
            lower_half(ui, middle, if confirmed { RADIUS_PX } else { 3.0 }, color);
            if confirmed { ring(painter) } else { dotted(ui, middle, color) }
        }
        SlotState::Confirmed => {
            painter.circle_filled(middle, RADIUS_PX, color);
        }
        SlotState::Proposed => dotted(ui, middle, color),
        SlotState::Missing => {
            ring(painter);
            let d = RADIUS_PX * std::f32::consts::FRAC_1_SQRT_2;
            let ends = [middle + vec2(-d, d), middle + vec2(d, -d)];
            painter.line_segment(ends, Stroke::new(1.5, color));
        }
        SlotState::Open => ring(painter),
        SlotState::NotAsked => {
            painter.hline(middle.x - 4.0..=middle.x + 4.0, middle.y, Stroke::new(1.5, color));
        }
    }
}

/// Fills the lower half of a disc.
fn lower_half(ui: &Ui, middle: Pos2, radius: f32, color: Color32) {
    let angle = |n: u8| f32::from(n) * std::f32::consts::PI / 12.0;
    let points = (0..=12).map(|n| middle + vec2(angle(n).cos(), angle(n).sin()) * radius);
    ui.painter().add(Shape::convex_polygon(points.collect(), color, Stroke::NONE));
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_say_what_is_known_and_how_good_it_is() {
        let poor = Some(Worth::Poor("soft: 30 % as sharp as is usual for Face today"));
        for (state, worth, expected) in [
            (SlotState::Confirmed, None, "confirmed"),
            (SlotState::Confirmed, Some(Worth::Good), "good"),
            (SlotState::Confirmed, poor, "soft"),
            (SlotState::Proposed, Some(Worth::Good), "proposed"),
            (SlotState::Proposed, poor, "soft, proposed"),
            (SlotState::Open, poor, "soft, not known yet"),
            (SlotState::Missing, None, "missing"),
        ] {
            assert_eq!(Stand { state, worth }.word(), expected);
        }
    }
}
