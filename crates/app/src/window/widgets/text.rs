//! Text at a place: one line, one line cut to a width, or a paragraph.

use std::sync::Arc;

use egui::accesskit::{Live, Role};
use egui::text::{LayoutJob, TextWrapping};
use egui::{Align2, Color32, Galley, Id, Pos2, Rect, Sense, TextFormat, Ui, Vec2, WidgetInfo};

use crate::window::look::Type;

/// Writes one line and gives the place it took.
pub(crate) fn line(ui: &mut Ui, at: Pos2, anchor: Align2, kind: Type, color: Color32, words: &str) -> Rect {
    let galley = laid(ui, kind, color, words, f32::INFINITY, 1);
    put(ui, at, anchor, &galley, words)
}

/// Writes one line, cut with an ellipsis where it is wider than `width`.
pub(crate) fn cut(
    ui: &mut Ui,
    at: Pos2,
    anchor: Align2,
    kind: Type,
    color: Color32,
    width: f32,
    words: &str,
) -> Rect {
    let galley = laid(ui, kind, color, words, width, 1);
    put(ui, at, anchor, &galley, words)
}

/// Writes one line, its beginning cut with an ellipsis where it is wider than `width`: for paths, of which the end tells
/// most.
pub(crate) fn cut_front(
    ui: &mut Ui,
    at: Pos2,
    anchor: Align2,
    kind: Type,
    color: Color32,
    width: f32,
    words: &str,
) -> Rect {
    let shown = end_of(words, |text| size(ui, kind, text).x <= width);
    let galley = laid(ui, kind, color, &shown, width, 1);
    put(ui, at, anchor, &galley, words)
}

/// The longest end of a text that fits, behind an ellipsis; all of it where that fits.
fn end_of(words: &str, fits: impl Fn(&str) -> bool) -> String {
    if fits(words) {
        return words.to_owned();
    }
    let from: Vec<usize> = words.char_indices().map(|(at, _)| at).collect();
    let cut = |at: &usize| format!("…{}", &words[*at..]);
    let first = from.partition_point(|at| !fits(&cut(at)));
    from.get(first).map_or("…".to_owned(), cut)
}

/// Writes a paragraph of this width with its left top corner here, and gives the place it took.
pub(crate) fn para(ui: &mut Ui, at: Pos2, width: f32, kind: Type, color: Color32, words: &str) -> Rect {
    rows(ui, at, width, usize::MAX, kind, color, words)
}

/// The same in no more than so many rows: what is left over ends in an ellipsis.
pub(crate) fn rows(
    ui: &mut Ui,
    at: Pos2,
    width: f32,
    most: usize,
    kind: Type,
    color: Color32,
    words: &str,
) -> Rect {
    let galley = laid(ui, kind, color, words, width, most);
    put(ui, at, Align2::LEFT_TOP, &galley, words)
}

/// Has those who hear the window told these words as soon as they stand here; they are drawn by others, or not at all.
pub(crate) fn tell_at_once(ui: &Ui, place: Rect, id: Id, words: &str) {
    let response = ui.interact(place, id, Sense::hover());
    response.widget_info(|| WidgetInfo::labeled(Role::Status, true, words));
    ui.ctx().accesskit_node_builder(id, |node| node.set_live(Live::Polite));
}

/// The size one line takes.
pub(crate) fn size(ui: &Ui, kind: Type, words: &str) -> Vec2 {
    laid(ui, kind, Color32::PLACEHOLDER, words, f32::INFINITY, 1).size()
}

/// Lays text out without drawing it. At most `rows` rows; what is left over ends in an ellipsis.
pub(crate) fn laid(ui: &Ui, kind: Type, color: Color32, words: &str, width: f32, rows: usize) -> Arc<Galley> {
    let mut job = LayoutJob::default();
    let line_height = if rows > 1 { Some((kind.font().size * 1.35).round()) } else { None };
    job.append(words, 0.0, TextFormat { font_id: kind.font(), color, line_height, ..TextFormat::default() });
    let whole_words = rows > 1;
    job.wrap = TextWrapping {
        max_width: width,
        max_rows: rows,
        break_anywhere: !whole_words,
        overflow_character: Some('…'),
    };
    ui.painter().layout_job(job)
}

fn put(ui: &mut Ui, at: Pos2, anchor: Align2, galley: &Arc<Galley>, words: &str) -> Rect {
    let rect = anchor.anchor_size(at, galley.size());
    let rect = Rect::from_min_size(rect.min.round(), rect.size());
    if ui.is_rect_visible(rect) {
        ui.painter().galley(rect.min, Arc::clone(galley), Color32::PLACEHOLDER);
        let id = ui.next_auto_id();
        ui.skip_ahead_auto_ids(1);
        let response = ui.interact(rect, id, Sense::hover());
        response.widget_info(|| WidgetInfo::labeled(Role::Label, true, words));
    }
    rect
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn of_a_path_that_is_too_long_the_end_stays() {
        let of = |words: &str, room: usize| end_of(words, |text| text.chars().count() <= room);
        assert_eq!(of("/media/käfer/day1", 17), "/media/käfer/day1");
        assert_eq!(of("/media/käfer/day1", 16), "…edia/käfer/day1");
        assert_eq!(of("/media/käfer/day1", 10), "…äfer/day1");
        assert_eq!(of("/media/käfer/day1", 1), "…");
    }
}
