//! A quiet line across the window that says how work beside it stands, with the way to stop it.

use egui::{Align2, Id, Rect, Ui, pos2, vec2};

use super::action::Action;
use super::command::Command;
use super::look::{MARGIN_PX, Type, tokens};
use super::widgets::control::{Button, Weight};
use super::widgets::text;

/// Height of the line, px.
pub(crate) const HEIGHT_PX: f32 = 34.0;

/// What a quiet line says.
#[derive(Debug)]
pub(crate) struct Line<'a> {
    pub(crate) words: &'a str,
    /// Whether something keeps it from going on.
    pub(crate) warns: bool,
    /// On the button.
    pub(crate) stop: &'a str,
    /// What the button does.
    pub(crate) command: Command,
}

/// Draws the line; `mark` draws its mark around a middle.
pub(crate) fn ui(
    ui: &mut Ui,
    rect: Rect,
    line: &Line<'_>,
    mark: impl FnOnce(&Ui, egui::Pos2),
    actions: &mut Vec<Action>,
) {
    let t = tokens(ui);
    ui.painter().rect_filled(rect, 0.0, t.well);
    let y = rect.center().y;
    let key = line.command.key_words(ui);
    let stop = Button::new(line.stop, Weight::Quiet).key(&key);
    let right = rect.right() - MARGIN_PX;
    if stop.show(ui, Id::unique(("stop", line.command)), pos2(right, y), Align2::RIGHT_CENTER).clicked() {
        actions.push(Action::Run(line.command));
    }
    let middle = pos2(rect.left() + MARGIN_PX + 6.0, y);
    mark(ui, middle);
    let at = middle + vec2(14.0, 0.0);
    let room = right - stop.size(ui).x - 24.0 - at.x;
    let ink = if line.warns { t.warn } else { t.ink };
    text::cut(ui, at, Align2::LEFT_CENTER, Type::Small, ink, room, line.words);
}
