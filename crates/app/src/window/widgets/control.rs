//! Controls: buttons with their keycaps, text fields, tick boxes.

use egui::accesskit::Role;
use egui::{
    Align2, Color32, CornerRadius, CursorIcon, Frame, Id, Margin, Pos2, Rect, Response, Sense, Stroke,
    StrokeKind, TextEdit, Ui, Vec2, WidgetInfo, pos2, vec2,
};

use super::text;
use crate::window::look::{BUTTON_PX, CONTROL_CORNER, FAR_BUTTON_PX, KEY_CORNER, Type, tokens};

/// How a button stands out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Weight {
    /// The next step: filled with the accent.
    Main,
    /// One of several: an outline.
    Plain,
    /// Words alone.
    Quiet,
    /// In letters and of a size to be read and pressed at arm's length.
    Far,
}

/// A button.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Button<'a> {
    words: &'a str,
    key: &'a str,
    weight: Weight,
    enabled: bool,
    name: Option<&'a str>,
    most_px: f32,
    least_px: f32,
}

/// Width of a keycap with these words.
fn key_width(ui: &Ui, kind: Type, words: &str) -> f32 {
    (text::size(ui, kind, words).x + 10.0).max(20.0).round()
}

/// Draws a keycap with its left middle here; gives its width.
pub(crate) fn keycap(ui: &mut Ui, left_middle: Pos2, color: Color32, fill: Color32, words: &str) -> f32 {
    keycap_of(ui, Type::Key, left_middle, color, fill, words)
}

fn keycap_of(ui: &mut Ui, kind: Type, left_middle: Pos2, color: Color32, fill: Color32, words: &str) -> f32 {
    let width = key_width(ui, kind, words);
    let height = if kind == Type::Key { 19.0 } else { FAR_BUTTON_PX - 10.0 };
    let rect =
        Rect::from_min_size(pos2(left_middle.x, left_middle.y - height / 2.0).round(), vec2(width, height));
    let stroke = Stroke::new(1.0, color);
    ui.painter().rect(rect, KEY_CORNER, fill, stroke, StrokeKind::Inside);
    // The lower edge is a little thicker, as on a key.
    let low = rect.bottom() - 1.5;
    ui.painter().hline(rect.left() + 3.0..=rect.right() - 3.0, low, stroke);
    let galley = text::laid(ui, kind, color, words, f32::INFINITY, 1);
    let at = Align2::CENTER_CENTER.anchor_size(rect.center() - vec2(0.0, 0.5), galley.size());
    ui.painter().galley(at.min.round(), galley, color);
    width
}

/// Draws a ring around what has the keyboard.
fn focus_ring(ui: &Ui, response: &Response, corner: CornerRadius) {
    if response.has_focus() {
        let stroke = Stroke::new(2.0, tokens(ui).accent);
        ui.painter().rect_stroke(response.rect.expand(2.0), corner, stroke, StrokeKind::Outside);
    }
}

impl<'a> Button<'a> {
    /// A button with these words.
    pub(crate) fn new(words: &'a str, weight: Weight) -> Self {
        Self { words, key: "", weight, enabled: true, name: None, most_px: f32::INFINITY, least_px: 0.0 }
    }

    /// Shows the key that does the same.
    pub(crate) fn key(mut self, key: &'a str) -> Self {
        self.key = key;
        self
    }

    /// Greys it out.
    pub(crate) fn enabled(mut self, enabled: bool) -> Self {
        self.enabled = enabled;
        self
    }

    /// Gives it a name of its own for those who hear the window.
    pub(crate) fn name(mut self, name: &'a str) -> Self {
        self.name = Some(name);
        self
    }

    /// Makes it no wider than this: longer words are broken into lines.
    pub(crate) fn within(mut self, most_px: f32) -> Self {
        self.most_px = most_px;
        self
    }

    /// Makes it at least this wide, its words in the middle.
    pub(crate) fn at_least(mut self, least_px: f32) -> Self {
        self.least_px = least_px;
        self
    }

    /// The room it takes.
    pub(crate) fn size(&self, ui: &Ui) -> Vec2 {
        let beside = self.beside(ui);
        let words = self.laid(ui, Color32::PLACEHOLDER);
        let least = match self.weight {
            Weight::Main => BUTTON_PX + 4.0,
            Weight::Far => FAR_BUTTON_PX,
            Weight::Plain | Weight::Quiet => BUTTON_PX,
        };
        let height = if words.rows.len() > 1 { words.size().y + 12.0 } else { least };
        vec2((words.size().x + beside).round().max(self.least_px), height)
    }

    /// The width of all but the words.
    fn beside(&self, ui: &Ui) -> f32 {
        let key = if self.key.is_empty() { 0.0 } else { key_width(ui, self.key_type(), self.key) + 7.0 };
        let pad = self.pad();
        let pad_right = if self.key.is_empty() || pad == 0.0 { pad } else { pad - 3.0 };
        key + pad + pad_right
    }

    fn laid(&self, ui: &Ui, ink: Color32) -> std::sync::Arc<egui::Galley> {
        let one = text::laid(ui, self.font(), ink, self.words, f32::INFINITY, 1);
        let room = self.most_px - self.beside(ui);
        if one.size().x <= room { one } else { text::laid(ui, self.font(), ink, self.words, room, 3) }
    }

    fn font(&self) -> Type {
        match self.weight {
            Weight::Main => Type::Medium,
            Weight::Plain => Type::Body,
            Weight::Quiet => Type::Small,
            Weight::Far => Type::Far,
        }
    }

    fn key_type(&self) -> Type {
        if self.weight == Weight::Far { Type::FarLight } else { Type::Key }
    }

    fn pad(&self) -> f32 {
        match self.weight {
            Weight::Main | Weight::Plain => 11.0,
            Weight::Quiet => 0.0,
            Weight::Far => 14.0,
        }
    }

    /// Draws it so that its `anchor` is at `at`.
    pub(crate) fn show(self, ui: &mut Ui, id: Id, at: Pos2, anchor: Align2) -> Response {
        let t = tokens(ui);
        let rect = anchor.anchor_size(at, self.size(ui));
        let rect = Rect::from_min_size(rect.min.round(), rect.size());
        let sense = if self.enabled { Sense::click() } else { Sense::hover() };
        let mut response = ui.interact(rect, id, sense);
        response
            .widget_info(|| WidgetInfo::labeled(Role::Button, self.enabled, self.name.unwrap_or(self.words)));
        let hot = self.enabled && response.hovered();
        let ink = match (self.weight, self.enabled) {
            (_, false) => t.edge,
            (Weight::Main, _) => t.on_fill(),
            (Weight::Plain | Weight::Far, _) => t.ink,
            (Weight::Quiet, _) if hot => t.ink,
            (Weight::Quiet, _) => t.soft,
        };
        let (fill, stroke) = match self.weight {
            Weight::Main if self.enabled => (t.accent, Stroke::NONE),
            Weight::Main => (t.well, Stroke::NONE),
            Weight::Plain => (if hot { t.accent_ground } else { t.sheet }, t.edge_stroke()),
            Weight::Quiet => (Color32::TRANSPARENT, Stroke::NONE),
            Weight::Far => (if hot { t.accent_ground } else { t.sheet }, Stroke::new(2.0, t.ink)),
        };
        if self.weight == Weight::Main && hot {
            ui.painter().rect_filled(rect.expand(1.0), CONTROL_CORNER, t.ink);
        }
        ui.painter().rect(rect, CONTROL_CORNER, fill, stroke, StrokeKind::Inside);
        let galley = self.laid(ui, ink);
        let spare = (rect.width() - galley.size().x - self.beside(ui)).max(0.0).floor();
        let left = rect.left() + self.pad() + (spare / 2.0).floor();
        let words_end = left + galley.size().x;
        let top = rect.center().y - galley.size().y / 2.0;
        ui.painter().galley(pos2(left, top).round(), galley, ink);
        if !self.key.is_empty() {
            let key_ink = if self.weight == Weight::Quiet && !hot { t.soft } else { ink };
            let at = pos2(words_end + 7.0, rect.center().y);
            keycap_of(ui, self.key_type(), at, key_ink, Color32::TRANSPARENT, self.key);
        }
        focus_ring(ui, &response, CONTROL_CORNER);
        if self.enabled {
            response = response.on_hover_cursor(CursorIcon::PointingHand);
        }
        response
    }
}

/// A one-line text field in this place. `name` is what it is called for those who hear the window.
pub(crate) fn field(ui: &mut Ui, rect: Rect, id: Id, typed: &mut String, hint: &str, name: &str) -> Response {
    text_box(ui, rect, id, name, |ui, inner| {
        let edit = TextEdit::singleline(typed)
            .id(id)
            .hint_text(egui::RichText::new(hint).color(tokens(ui).soft))
            .frame(Frame::NONE)
            .margin(Margin::ZERO)
            .align(Align2::LEFT_CENTER)
            .font(Type::Body.font())
            .desired_width(inner.width());
        ui.put(inner, edit)
    })
}

/// A text field of several lines.
pub(crate) fn area(ui: &mut Ui, rect: Rect, id: Id, typed: &mut String, hint: &str, name: &str) -> Response {
    text_box(ui, rect, id, name, |ui, inner| {
        let edit = TextEdit::multiline(typed)
            .id(id)
            .hint_text(egui::RichText::new(hint).color(tokens(ui).soft))
            .frame(Frame::NONE)
            .margin(Margin::ZERO)
            .font(Type::Body.font())
            .desired_width(inner.width())
            // Enter ends a note; Shift Enter begins a line.
            .return_key(egui::KeyboardShortcut::new(egui::Modifiers::SHIFT, egui::Key::Enter));
        let mut child = ui.new_child(egui::UiBuilder::new().max_rect(inner));
        child.shrink_clip_rect(rect.shrink(1.0));
        child.add(edit)
    })
}

fn text_box(
    ui: &mut Ui,
    rect: Rect,
    id: Id,
    name: &str,
    add: impl FnOnce(&mut Ui, Rect) -> Response,
) -> Response {
    let t = tokens(ui);
    let focused = ui.memory(|m| m.has_focus(id));
    let stroke = if focused { Stroke::new(2.0, t.accent) } else { t.edge_stroke() };
    ui.painter().rect(rect, CONTROL_CORNER, t.ground, stroke, StrokeKind::Inside);
    add(ui, rect.shrink2(vec2(9.0, 5.0))).accessible_name(name)
}

/// A box to tick, with words beside it and the key that does the same.
pub(crate) fn tick(ui: &mut Ui, id: Id, left_middle: Pos2, ticked: bool, words: &str, key: &str) -> Response {
    let t = tokens(ui);
    let width = 26.0 + text::size(ui, Type::Body, words).x;
    let rect = Rect::from_min_size(left_middle - vec2(0.0, 12.0), vec2(width, 24.0));
    let response = ui.interact(rect, id, Sense::click()).on_hover_cursor(CursorIcon::PointingHand);
    response.widget_info(|| WidgetInfo::selected(Role::CheckBox, true, ticked, words));
    let square = Rect::from_center_size(left_middle + vec2(8.0, 0.0), Vec2::splat(16.0));
    let (fill, stroke) = if ticked { (t.accent, Stroke::NONE) } else { (t.sheet, Stroke::new(1.0, t.edge)) };
    ui.painter().rect(square, KEY_CORNER, fill, stroke, StrokeKind::Inside);
    if ticked {
        let c = square.center();
        let hook = vec![c + vec2(-4.0, 0.0), c + vec2(-1.0, 3.5), c + vec2(4.5, -3.5)];
        ui.painter().line(hook, Stroke::new(2.0, t.on_fill()));
    }
    text::line(ui, left_middle + vec2(26.0, 0.0), Align2::LEFT_CENTER, Type::Body, t.ink, words);
    if !key.is_empty() {
        keycap(ui, pos2(rect.right() + 7.0, left_middle.y), t.soft, Color32::TRANSPARENT, key);
    }
    focus_ring(ui, &response, KEY_CORNER);
    response
}
