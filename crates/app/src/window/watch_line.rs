//! The quiet line that says how watching a folder stands, with the way to stop it.

use egui::{Rect, Stroke, Ui};

use super::action::Action;
use super::command::Command;
use super::look::tokens;
use super::open_day::OpenDay;
use super::quiet_line::{self, Line};
use super::state::WatchState;
use record::count;

/// Draws the line.
pub(crate) fn ui(
    ui: &mut Ui,
    rect: Rect,
    watch: &WatchState,
    open: Option<&OpenDay>,
    actions: &mut Vec<Action>,
) {
    let t = tokens(ui);
    let warns = watch.nothing.is_some();
    let words = words(watch, open);
    let line = Line { words: &words, warns, stop: "Stop watching", command: Command::Watch };
    // An eye of two rings; a broken one while nothing can be seen.
    let eye = |ui: &Ui, middle: egui::Pos2| {
        let color = if warns { t.warn } else { t.accent };
        ui.painter().circle_stroke(middle, 6.0, Stroke::new(1.5, color));
        if warns {
            ui.painter().hline(middle.x - 3.0..=middle.x + 3.0, middle.y, Stroke::new(1.5, color));
        } else {
            ui.painter().circle_filled(middle, 2.5, color);
        }
    };
    quiet_line::ui(ui, rect, &line, eye, actions);
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
