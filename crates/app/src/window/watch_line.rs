//! The quiet line that says how watching a folder stands, with the way to stop it.

use egui::{Id, Rect, Stroke, Ui};
use record::FrameId;

use super::action::Action;
use super::command::Command;
use super::look::tokens;
use super::open_day::OpenDay;
use super::quiet_line::{self, Line};
use super::state::WatchState;
use super::widgets::text;
use super::words::tell;

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
    let stop = tell!("watch-stop");
    let line = Line { words: &words, warns, stop: &stop, command: Command::Watch };
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
    // Told as it happens to those who hear the window: that alone, not each frame that comes.
    if let Some(closed) = closed(watch, open) {
        text::tell_at_once(ui, rect, Id::unique("closed"), &closed);
    }
}

/// The sets that closed last, and how they stand. Past the person's limit it only says of an animal to release it.
fn closed(watch: &WatchState, open: Option<&OpenDay>) -> Option<String> {
    let one = |(frame, words): &(FrameId, String)| {
        let set = open.and_then(|open| open.day.session.set_of(*frame));
        let held = open.and_then(|open| open.held.iter().find(|held| Some(held.retake.set) == set));
        match held.filter(|held| held.is_past()) {
            Some(held) => {
                let release = tell!("retake-release");
                tell!("closed-incomplete", number = held.retake.number, lacks = release)
            }
            None => words.clone(),
        }
    };
    let told: Vec<String> = watch.closed.iter().map(one).collect();
    (!told.is_empty()).then(|| told.join(". "))
}

/// `Watching: 12 frames came, specimen 4 is being shot. /media/tether`.
pub(crate) fn words(watch: &WatchState, open: Option<&OpenDay>) -> String {
    let folder = watch.folder.display().to_string();
    if let Some(nothing) = watch.nothing {
        return tell!("watch-nothing", why = nothing, folder = folder);
    }
    let stands = match (watch.reading, watch.came) {
        (Some((done, of)), _) => tell!("watch-reading", done = done, of = of),
        (None, 0) => tell!("watch-none-yet"),
        (None, n) => tell!("watch-came", frames = n),
    };
    let stands = match closed(watch, open) {
        Some(closed) => tell!("watch-closed", closed = closed, stands = stands),
        None => stands,
    };
    let shot = open.and_then(|open| Some(open.set_number(open.being_shot()?)));
    if let Some(shot) = shot {
        tell!("watch-being-shot", stands = stands, specimen = shot, folder = folder)
    } else {
        tell!("watch-on", stands = stands, folder = folder)
    }
}
