//! A column that grows downwards: paragraphs, heads and hairlines one below the other.

use egui::{Align2, Color32, Pos2, Rect, Sense, Ui, pos2, vec2};

use super::text;
use crate::window::look::{FIELD_PX, Type, tokens};

/// A column being filled.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Flow {
    /// Left edge.
    pub(crate) left: f32,
    /// Width.
    pub(crate) width: f32,
    /// Where the next thing goes.
    pub(crate) y: f32,
    top: f32,
}

impl Flow {
    /// A column from this corner on.
    pub(crate) fn new(at: Pos2, width: f32) -> Self {
        Self { left: at.x, width, y: at.y, top: at.y }
    }

    /// Right edge.
    pub(crate) fn right(&self) -> f32 {
        self.left + self.width
    }

    /// Where the next thing goes.
    pub(crate) fn at(&self) -> Pos2 {
        pos2(self.left, self.y)
    }

    /// Leaves space.
    pub(crate) fn gap(&mut self, px: f32) {
        self.y += px;
    }

    /// Writes a paragraph.
    pub(crate) fn para(&mut self, ui: &mut Ui, kind: Type, color: Color32, words: &str) -> Rect {
        let rect = text::para(ui, self.at(), self.width, kind, color, words);
        self.y = rect.bottom();
        rect
    }

    /// Writes a field's name with this room before the field, and gives the field's place.
    pub(crate) fn named(&mut self, ui: &mut Ui, name: &str, room: f32) -> Rect {
        let middle = pos2(self.left, self.y + FIELD_PX / 2.0);
        text::cut(ui, middle, Align2::LEFT_CENTER, Type::Small, tokens(ui).soft, room - 8.0, name);
        let place = Rect::from_min_max(pos2(self.left + room, self.y), pos2(self.right(), self.y + FIELD_PX));
        self.y = place.bottom();
        place
    }

    /// Draws a hairline over the whole width.
    pub(crate) fn rule(&mut self, ui: &Ui) {
        let y = self.y.round() + 0.5;
        ui.painter().hline(self.left..=self.right(), y, tokens(ui).rule_stroke());
        self.y += 1.0;
    }

    /// Writes the head of a section, something at its right end, and the hairline below.
    pub(crate) fn head(&mut self, ui: &mut Ui, words: &str, right: &str) {
        let t = tokens(ui);
        let middle = self.y + 12.0;
        text::line(ui, pos2(self.left, middle), Align2::LEFT_CENTER, Type::Section, t.ink, words);
        if !right.is_empty() {
            text::line(ui, pos2(self.right(), middle), Align2::RIGHT_CENTER, Type::Small, t.soft, right);
        }
        self.y += 30.0;
        self.rule(ui);
    }

    /// Tells the ui how much room was taken, so that it can scroll.
    pub(crate) fn end(&self, ui: &mut Ui) {
        let rect =
            Rect::from_min_size(pos2(self.left, self.top), vec2(self.width, (self.y - self.top).max(0.0)));
        ui.allocate_rect(rect, Sense::hover());
    }
}
