//! The time axis below the trace: when frames were taken, and pauses that are longer than is usual for the day.

use egui::{Align2, Rangef, Rect, Stroke, Ui, pos2};
use record::{Frame, QueryKind};

use super::trace::Axes;
use crate::window::look::{Type, tokens};
use crate::window::open_day::OpenDay;
use crate::window::sheet::minute;
use crate::window::widgets::text;
use crate::window::words::tell;

/// Times written below the trace at most.
const TIMES: usize = 5;
/// Space between words on the axis, px.
const APART_PX: f32 = 12.0;
/// How far the strokes of a pause stand apart, and how high, px.
const NOTCH_PX: (f32, f32) = (4.0, 8.0);

/// Words on the axis and where they begin.
struct Written {
    left: f32,
    right: f32,
    words: String,
}

/// Writes the time of the first frame, of the last and of some between, and the lengths of long pauses, where they fit.
pub(crate) fn ui(ui: &mut Ui, axes: &Axes, open: &OpenDay, bottom: f32) {
    let t = tokens(ui);
    let mut written: Vec<Written> = Vec::new();
    let seen = axes.seen();
    let last = seen.len().saturating_sub(1);
    let width = |words: &str| text::size(ui, Type::Small, words).x;
    let mut put = |left: f32, words: String, apart: f32| {
        let right = left + width(&words);
        let inside = left >= axes.plot.left() - 0.5 && right <= axes.plot.right() + 0.5;
        if inside && written.iter().all(|w| right + apart <= w.left || w.right + apart <= left) {
            written.push(Written { left, right, words });
        }
    };
    let time = |n: usize| {
        let frame = open.day.session.frames.get(seen.start + last * n / (TIMES - 1))?;
        frame.when().map(|taken| minute(&taken))
    };
    if let Some(words) = time(0) {
        put(axes.plot.left(), words, APART_PX);
    }
    if let Some(words) = time(TIMES - 1) {
        put(axes.plot.right() - width(&words), words, APART_PX);
    }
    // The longest are told first.
    let mut pauses = notches(axes, open);
    pauses.sort_by(|a, b| b.1.total_cmp(&a.1));
    for (x, secs) in pauses {
        let words = pause_words(secs);
        put(x - width(&words) / 2.0, words, APART_PX);
    }
    for n in 1..TIMES - 1 {
        let place = seen.start + last * n / (TIMES - 1);
        if let Some(words) = time(n) {
            put(axes.x(place) - width(&words) / 2.0, words, 2.0 * APART_PX);
        }
    }
    // In reading order.
    written.sort_by(|a, b| a.left.total_cmp(&b.left));
    for Written { left, words, .. } in written {
        text::line(ui, pos2(left, bottom), Align2::LEFT_BOTTOM, Type::Small, t.soft, &words);
    }
}

/// Draws the axis, broken where a long pause lies.
pub(crate) fn pauses(ui: &Ui, axes: &Axes, open: &OpenDay) {
    let t = tokens(ui);
    let y = axes.plot.bottom() - 0.5;
    ui.painter().hline(axes.plot.x_range(), y, t.rule_stroke());
    for (x, _) in notches(axes, open) {
        let x = x.round();
        let (left, right) = (x - NOTCH_PX.0 / 2.0, x + NOTCH_PX.0 / 2.0);
        let gap = Rect::from_x_y_ranges(Rangef::new(left, right), Rangef::new(y - NOTCH_PX.1, y + 1.0));
        ui.painter().rect_filled(gap, 0.0, t.sheet);
        for side in [left, right] {
            ui.painter().vline(side, y - NOTCH_PX.1..=y + 1.0, Stroke::new(1.5, t.soft));
        }
    }
}

/// Where long pauses lie that are seen, and how long they are; but for those that the mark of a query tells of.
fn notches(axes: &Axes, open: &OpenDay) -> Vec<(f32, f32)> {
    let place = |id| open.sheet.places.get(id).copied();
    let seen = axes.seen();
    let asked = open.day.grouping.queries.iter().filter(|q| q.kind == QueryKind::WhereToSplit);
    let asked: Vec<_> =
        asked.filter_map(|q| Some(place(q.frames.first()?)?..=place(q.frames.last()?)?)).collect();
    let pauses = open.day.grouping.pauses.iter();
    let ends = pauses.filter_map(|p| Some((place(&p.before)?, place(&p.after)?, p.secs as f32)));
    let ends = ends.filter(|(before, after, _)| seen.contains(before) && seen.contains(after));
    let ends =
        ends.filter(|(before, after, _)| !asked.iter().any(|q| q.contains(before) && q.contains(after)));
    ends.map(|(before, after, secs)| (f32::midpoint(axes.x(before), axes.x(after)), secs)).collect()
}

/// How long passes from one frame to a later one, in words; `None` where that is not known.
pub(crate) fn between_words(before: &Frame, after: &Frame) -> Option<String> {
    let secs = after.when()?.secs_since(&before.when()?);
    (secs >= 0.0).then(|| pause_words(secs as f32))
}

/// The length of a pause, no finer than it matters: `45 s`, `4 min`, `1 h 20 min`.
fn pause_words(secs: f32) -> String {
    let minutes = (secs / 60.0).round() as u32;
    match (secs, minutes) {
        (secs, _) if secs < 99.5 => tell!("trace-pause-seconds", seconds = format!("{secs:.0}")),
        (_, minutes) if minutes < 60 => tell!("trace-pause-minutes", minutes = minutes),
        (_, minutes) => tell!("trace-pause-hours", hours = minutes / 60, minutes = minutes % 60),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_pause_is_told_no_finer_than_it_matters() {
        let told = [
            (0.4, "0 s"),
            (45.2, "45 s"),
            (99.0, "99 s"),
            (100.0, "2 min"),
            (250.0, "4 min"),
            (3_569.0, "59 min"),
            (3_571.0, "1 h 0 min"),
            (4_800.0, "1 h 20 min"),
        ];
        for (secs, words) in told {
            assert_eq!(pause_words(secs), words, "{secs}");
        }
    }
}
