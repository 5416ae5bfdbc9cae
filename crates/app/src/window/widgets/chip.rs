//! Choices as chips: words in an outline, marked by a tick besides the colour where chosen; as many as fit in a line.

use egui::accesskit::Role;
use egui::{Color32, CursorIcon, Id, Rect, Response, Sense, Stroke, StrokeKind, Ui, WidgetInfo, pos2, vec2};

use super::flow::Flow;
use super::text;
use crate::window::look::{CONTROL_CORNER, Type, tokens};

/// Height of a chip, px.
const CHIP_PX: f32 = 26.0;
/// Between two chips, px.
const BETWEEN_PX: f32 = 6.0;
/// Room for the tick or the key, px.
const SIGN_PX: f32 = 13.0;

/// A choice.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Chip<'a> {
    /// What it says.
    pub(crate) words: &'a str,
    /// What it is called for those who hear the window.
    pub(crate) name: &'a str,
    /// The key that chooses it; empty for none.
    pub(crate) key: &'a str,
    /// Whether it is chosen.
    pub(crate) chosen: bool,
    /// Whether the ring of the keyboard is around it.
    pub(crate) ring: bool,
    /// The colour that it names.
    pub(crate) colour: Option<Color32>,
    /// Whether Tab stops at it; a list that has the keyboard as a whole goes on without.
    pub(crate) stops: bool,
}

/// Draws chips beside and below each other; gives the response of each.
pub(crate) fn chips(ui: &mut Ui, flow: &mut Flow, id: Id, all: &[Chip<'_>]) -> Vec<Response> {
    let (mut left, top) = (flow.left, flow.y);
    let mut y = top;
    let mut responses = Vec::with_capacity(all.len());
    for (nth, chip) in all.iter().enumerate() {
        let width = chip.width(ui).min(flow.width);
        if left > flow.left && left + width > flow.right() {
            left = flow.left;
            y += CHIP_PX + BETWEEN_PX;
        }
        let place = Rect::from_min_size(pos2(left, y).round(), vec2(width, CHIP_PX));
        responses.push(chip.show(ui, id.with(nth), place));
        left += width + BETWEEN_PX;
    }
    if !all.is_empty() {
        flow.y = y + CHIP_PX;
    }
    responses
}

impl<'a> Chip<'a> {
    /// One of a few, which Tab stops at.
    pub(crate) fn choice(words: &'a str, name: &'a str, chosen: bool) -> Self {
        Self { words, name, key: "", chosen, ring: false, colour: None, stops: true }
    }

    fn width(&self, ui: &Ui) -> f32 {
        let swatch = if self.colour.is_some() { 17.0 } else { 0.0 };
        let sign = if self.chosen || !self.key.is_empty() { SIGN_PX } else { 0.0 };
        (18.0 + sign + swatch + text::size(ui, Type::Small, self.words).x).ceil()
    }

    fn show(&self, ui: &mut Ui, id: Id, place: Rect) -> Response {
        let t = tokens(ui);
        let sense = if self.stops { Sense::click() } else { Sense::CLICK };
        let response = ui.interact(place, id, sense);
        response.widget_info(|| WidgetInfo::selected(Role::CheckBox, true, self.chosen, self.name));
        if !ui.is_rect_visible(place) {
            return response;
        }
        let hot = response.hovered();
        let fill = if self.chosen || hot { t.accent_ground } else { t.sheet };
        let stroke = if self.chosen { Stroke::new(1.5, t.accent) } else { t.edge_stroke() };
        ui.painter().rect(place, CONTROL_CORNER, fill, stroke, StrokeKind::Inside);
        if self.ring || response.has_focus() {
            let ring = Stroke::new(2.0, t.accent);
            ui.painter().rect_stroke(place.expand(2.0), CONTROL_CORNER, ring, StrokeKind::Outside);
        }
        let middle = place.center().y;
        let mut left = place.left() + 9.0;
        if self.chosen {
            let c = pos2(left + 4.0, middle);
            let hook = vec![c + vec2(-4.0, 0.0), c + vec2(-1.0, 3.5), c + vec2(4.5, -3.5)];
            ui.painter().line(hook, Stroke::new(2.0, t.accent));
            left += SIGN_PX;
        } else if !self.key.is_empty() {
            let key = text::laid(ui, Type::Key, t.soft, self.key, f32::INFINITY, 1);
            ui.painter().galley(pos2(left, middle - key.size().y / 2.0).round(), key, t.soft);
            left += SIGN_PX;
        }
        if let Some(colour) = self.colour {
            let at = pos2(left + 6.0, middle);
            ui.painter().circle(at, 5.5, colour, Stroke::new(1.0, t.edge));
            left += 17.0;
        }
        let room = place.right() - 6.0 - left;
        let words = text::laid(ui, Type::Small, t.ink, self.words, room, 1);
        ui.painter().galley(pos2(left, middle - words.size().y / 2.0).round(), words, t.ink);
        response.on_hover_cursor(CursorIcon::PointingHand)
    }
}
