//! Asks whether to take the last filing back, saying what that does.

use egui::{Ui, pos2, vec2};

use super::{answered, panel};
use crate::window::action::Action;
use crate::window::look::{Type, tokens};
use crate::window::open_day::OpenDay;
use crate::window::sheet::bytes_words;
use crate::window::widgets::flow::Flow;
use crate::window::words::tell;

/// Width of the panel; its height without the archives, and for each, px.
const WIDTH_PX: f32 = 600.0;
const HEIGHT_PX: f32 = 176.0;
const ARCHIVE_PX: f32 = 100.0;

/// Draws the question.
pub(crate) fn ui(ui: &mut Ui, open: Option<&OpenDay>, actions: &mut Vec<Action>) {
    let Some(open) = open else { return };
    let undos = &open.filing.take_back;
    let height = HEIGHT_PX + ARCHIVE_PX * undos.len() as f32;
    panel(ui, "take back", vec2(WIDTH_PX, height), Some(Action::Float(None)), actions, |ui, actions| {
        let t = tokens(ui);
        let rect = ui.max_rect();
        let mut flow = Flow::new(rect.min + vec2(24.0, 16.0), rect.width() - 48.0);
        flow.head(ui, &tell!("take-back-head"), "");
        flow.gap(10.0);
        for (archive, undo) in undos {
            let words = tell!(
                "take-back-of",
                at = undo.filed_at.replace('T', " ").trim_end_matches('Z').to_owned(),
                folder = &undo.folder,
                archive = archive.display().to_string()
            );
            flow.para(ui, Type::SmallMedium, t.ink, &words);
            flow.gap(2.0);
            let bytes = bytes_words(undo.bytes);
            let words = tell!("take-back-files", files = undo.files.len(), bytes = bytes);
            flow.para(ui, Type::Small, t.ink, &words);
            if !undo.moves.is_empty() {
                let words = tell!("take-back-moves", files = undo.moves.len());
                flow.para(ui, Type::Small, t.ink, &words);
            }
            flow.gap(10.0);
        }
        flow.para(ui, Type::Small, t.soft, &tell!("take-back-safe"));
        let (left, bottom) = (flow.left, rect.bottom() - 20.0);
        let (go, leave) = (tell!("take-back-go"), tell!("leave"));
        if answered(ui, "take-back", pos2(left, bottom), [&go, &leave], true, actions) {
            actions.push(Action::TakeBack);
        }
    });
}
