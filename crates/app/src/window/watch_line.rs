//! The quiet line that says how watching a folder stands, with the way to stop it.

use egui::{Align2, Id, Rect, Stroke, Ui, pos2, vec2};

use super::action::Action;
use super::command::Command;
use super::look::{MARGIN_PX, Type, tokens};
use super::open_day::OpenDay;
use super::sheet::count;
use super::state::WatchState;
use super::widgets::control::{Button, Weight};
use super::widgets::text;

/// Height of the line, px.
pub(crate) const HEIGHT_PX: f32 = 34.0;

/// Draws the line.
pub(crate) fn ui(
    ui: &mut Ui,
    rect: Rect,
    watch: &WatchState,
    open: Option<&OpenDay>,
    actions: &mut Vec<Action>,
) {
    let t = tokens(ui);
    ui.painter().rect_filled(rect, 0.0, t.well);
    let y = rect.center().y;
    let stop = Button::new("Stop watching", Weight::Quiet).key("F9");
    let right = rect.right() - MARGIN_PX;
    if stop.show(ui, Id::unique("stop watching"), pos2(right, y), Align2::RIGHT_CENTER).clicked() {
        actions.push(Action::Run(Command::Watch));
    }
    let middle = pos2(rect.left() + MARGIN_PX + 6.0, y);
    let color = if watch.nothing.is_some() { t.warn } else { t.accent };
    // An eye of two rings; a broken one while nothing can be seen.
    ui.painter().circle_stroke(middle, 6.0, Stroke::new(1.5, color));
    if watch.nothing.is_some() {
        ui.painter().hline(middle.x - 3.0..=middle.x + 3.0, y, Stroke::new(1.5, color));
    } else {
        ui.painter().circle_filled(middle, 2.5, color);
    }
    let at = middle + vec2(14.0, 0.0);
    let words = words(watch, open);
    let room = right - stop.size(ui).x - 24.0 - at.x;
    let ink = if watch.nothing.is_some() { t.warn } else { t.ink };
    text::cut(ui, at, Align2::LEFT_CENTER, Type::Small, ink, room, &words);
}

/// `Watching: 12 frames came, specimen 4 is being shot. /media/tether`.
fn words(watch: &WatchState, open: Option<&OpenDay>) -> String {
    let folder = watch.folder.display();
    if let Some(nothing) = watch.nothing {
        return format!("{nothing}: {folder}");
    }
    let mut words = match (watch.reading, watch.came) {
        (Some((done, of)), _) => format!("Watching: reading {done} of {of} frames"),
        (None, 0) => "Watching: no new frame yet".to_owned(),
        (None, n) => format!("Watching: {} came", count(n, "frame", "frames")),
    };
    if let Some(set) = open.and_then(OpenDay::being_shot) {
        words = format!("{words}, specimen {} is being shot", open.map_or(0, |o| o.set_number(set)));
    }
    format!("{words}. {folder}")
}
