//! The quiet line that says how far a closer look is.

use egui::accesskit::Role;
use egui::{Id, Rect, Sense, Stroke, Ui, WidgetInfo, vec2};

use super::action::Action;
use super::command::Command;
use super::look::tokens;
use super::looking::Looking;
use super::quiet_line::{self, Line};
use super::words::tell;

/// Draws the line, if there is anything to say yet, and gives whether it did.
pub(crate) fn ui(
    ui: &mut Ui,
    rect: Rect,
    looking: &Looking,
    now_secs: f64,
    actions: &mut Vec<Action>,
) -> bool {
    let Some((words, done, of)) = looking.shown(now_secs) else { return false };
    let t = tokens(ui);
    let stop = tell!("look-stop");
    let line = Line { words: &words, warns: false, stop: &stop, command: Command::LookCloser };
    let lens = |ui: &Ui, middle: egui::Pos2| {
        ui.painter().circle_stroke(middle - vec2(1.5, 1.5), 4.5, Stroke::new(1.5, t.accent));
        ui.painter()
            .line_segment([middle + vec2(2.0, 2.0), middle + vec2(6.0, 6.0)], Stroke::new(1.5, t.accent));
    };
    quiet_line::ui(ui, rect, &line, lens, actions);
    let share = if of == 0 { 0.0 } else { (done as f32 / of as f32).min(1.0) };
    let track = Rect::from_min_max(egui::pos2(rect.left(), rect.bottom() - 2.0), rect.max);
    let filled = Rect::from_min_size(track.min, vec2(track.width() * share, track.height()));
    ui.painter().rect_filled(filled, 0.0, t.accent);
    let response = ui.interact(track, Id::unique("look closer track"), Sense::hover());
    response.widget_info(|| WidgetInfo {
        value: Some(f64::from(share) * 100.0),
        ..WidgetInfo::labeled(Role::ProgressIndicator, true, &words)
    });
    true
}
