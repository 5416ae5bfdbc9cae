//! Moving by keys in what floats: from line to line of a list, and down a page that is longer than its place.

use egui::style::ScrollAnimation;
use egui::{FocusDirection, Key, Modifiers, Ui, vec2};

/// How far an arrow scrolls a page, px.
const ARROW_PX: f32 = 60.0;
/// What stays in view of a page when the next part of it is scrolled to, px.
const STAYS_PX: f32 = 40.0;
/// Farther than any page is long, px.
const ALL_PX: f32 = 1e6;

/// Moves the chosen line by the arrows and Page keys, and by Home and End where no field needs them; says whether one of
/// these was pressed. `page` is how many lines are seen.
pub(super) fn step(ui: &Ui, at: &mut usize, lines: usize, page: usize) -> bool {
    let typing = ui.ctx().text_edit_focused();
    let (from, last) = (*at, lines.saturating_sub(1));
    let moved = ui.input_mut(|i| {
        let mut to = |key: Key, place: usize| {
            let pressed = i.consume_key(Modifiers::NONE, key);
            if pressed {
                *at = place.min(last);
            }
            pressed
        };
        // Each is looked for, so that none is left to others.
        let mut moved = to(Key::ArrowDown, from + 1) | to(Key::ArrowUp, from.saturating_sub(1));
        moved |= to(Key::PageDown, from + page) | to(Key::PageUp, from.saturating_sub(page));
        if !typing {
            moved |= to(Key::Home, 0) | to(Key::End, last);
        }
        moved
    });
    if moved {
        keep_focus(ui);
    }
    moved
}

/// Scrolls the page that is drawn next in this scroll area: by the Page keys, and where no field needs them by the arrows,
/// Home and End, and Space where it presses nothing.
pub(super) fn scroll(ui: &Ui) {
    let typing = ui.ctx().text_edit_focused();
    let presses = ui.memory(|m| m.focused().is_some());
    let page = (ui.clip_rect().height() - STAYS_PX).max(ARROW_PX);
    let down_px = ui.input_mut(|i| {
        let mut by = |key: Key, px: f32| if i.consume_key(Modifiers::NONE, key) { px } else { 0.0 };
        let mut px = by(Key::PageDown, page) + by(Key::PageUp, -page);
        if !typing {
            px += by(Key::ArrowDown, ARROW_PX) + by(Key::ArrowUp, -ARROW_PX);
            px += by(Key::End, ALL_PX) + by(Key::Home, -ALL_PX);
        }
        if !presses {
            px += by(Key::Space, page);
        }
        px
    });
    if down_px != 0.0 {
        ui.scroll_with_delta_animation(vec2(0.0, -down_px), ScrollAnimation::none());
        keep_focus(ui);
    }
}

/// The arrow did its work; it should not also carry the focus elsewhere.
fn keep_focus(ui: &Ui) {
    ui.memory_mut(|m| m.move_focus(FocusDirection::None));
}
