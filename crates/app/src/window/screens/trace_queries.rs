//! Marks of queries in the trace: above the points in a row of their own, a foot down to each frame that is asked about.
//!
//! Goes in: the queries of the day, and the focused one. Comes out: a click on a mark focuses its query.

use egui::accesskit::Role;
use egui::{Align2, CursorIcon, Id, Pos2, Rangef, Rect, Sense, Stroke, Ui, Vec2, WidgetInfo, pos2, vec2};
use record::{BlankVerdict, Query, QueryKind};

use super::trace::{Axes, above};
use super::trace_times::between_words;
use crate::window::action::Action;
use crate::window::look::{Type, tokens};
use crate::window::open_day::OpenDay;
use crate::window::widgets::text;
use crate::window::words::tell;

/// Middle of the marks below the upper edge, between the numbers of the sets and the points, px.
const MIDDLE_PX: f32 = 31.0;
/// Radius of a mark, px.
const RADIUS_PX: f32 = 7.0;
/// Space between marks and their words, px.
const APART_PX: f32 = 5.0;

/// Where a query is marked.
struct Mark<'a> {
    /// Its place among the queries.
    at: usize,
    query: &'a Query,
    /// Places of its frames that are seen.
    places: Vec<usize>,
    /// Where its feet stand.
    feet: Vec<f32>,
    /// Where the mark itself stands: above its feet, or beside them where others are.
    x: f32,
}

/// Draws the marks of all queries whose frames are seen.
pub(crate) fn ui(ui: &mut Ui, axes: &Axes, open: &OpenDay, focused: usize, actions: &mut Vec<Action>) {
    let marks = marks(axes, open);
    let y = axes.plot.top() + MIDDLE_PX;
    let mut free_from = axes.plot.left();
    for (n, mark) in marks.iter().enumerate() {
        feet(ui, axes, open, mark, y);
        let middle = pos2(mark.x, y);
        let mut place = Rect::from_center_size(middle, Vec2::splat(2.0 * RADIUS_PX + 4.0));
        let free_to = marks.get(n + 1).map_or(axes.plot.right() + 6.0, |next| next.x - RADIUS_PX - APART_PX);
        if let Some(words) = words(open, mark.query) {
            place = place.union(beside(ui, middle, (free_from, free_to), &words));
        }
        free_from = place.right() + APART_PX;
        one(ui, middle, place, mark, (open.day.grouping.queries.len(), focused), actions);
    }
}

/// Finds a place for each mark, from left to right.
fn marks<'a>(axes: &Axes, open: &'a OpenDay) -> Vec<Mark<'a>> {
    let seen = axes.seen();
    let mut marks: Vec<Mark<'_>> = Vec::new();
    for (at, query) in open.day.grouping.queries.iter().enumerate() {
        let places = query.frames.iter().filter_map(|f| open.sheet.places.get(f).copied());
        let places: Vec<usize> = places.filter(|place| seen.contains(place)).collect();
        let feet = match (query.kind, places.as_slice()) {
            (_, []) => continue,
            (QueryKind::WhereToSplit, &[before, after]) => {
                vec![f32::midpoint(axes.x(before), axes.x(after)).round()]
            }
            _ => places.iter().map(|place| axes.x(*place).round()).collect(),
        };
        let x = feet.iter().sum::<f32>() / feet.len() as f32;
        marks.push(Mark { at, query, places, feet, x });
    }
    marks.sort_by(|a, b| a.x.total_cmp(&b.x));
    let wanted: Vec<f32> = marks.iter().map(|mark| mark.x).collect();
    for (mark, x) in marks.iter_mut().zip(apart(&wanted, 2.0 * RADIUS_PX + 2.0, axes.plot.x_range())) {
        mark.x = x.round();
    }
    marks
}

/// Moves ascending positions so far apart, each crowd about its own middle, within a range as far as they fit.
fn apart(wanted: &[f32], step: f32, range: Rangef) -> Vec<f32> {
    // Crowds: the sum of what their members want, and how many they are.
    let mut crowds: Vec<(f32, f32)> = Vec::new();
    let middle = |(sum, n): (f32, f32)| {
        let half = (n - 1.0) / 2.0 * step;
        (sum / n).min(range.max - half).max(range.min + half)
    };
    for x in wanted {
        let mut crowd = (*x, 1.0);
        while let Some(before) = crowds.pop() {
            if middle(crowd) - middle(before) >= f32::midpoint(crowd.1, before.1) * step {
                crowds.push(before);
                break;
            }
            crowd = (crowd.0 + before.0, crowd.1 + before.1);
        }
        crowds.push(crowd);
    }
    let members = |crowd: (f32, f32)| {
        let first = middle(crowd) - (crowd.1 - 1.0) / 2.0 * step;
        (0..crowd.1 as usize).map(move |n| first + n as f32 * step)
    };
    crowds.into_iter().flat_map(members).collect()
}

/// Draws the feet of a mark: a line down to each frame, or all the way down between two animals.
fn feet(ui: &Ui, axes: &Axes, open: &OpenDay, mark: &Mark<'_>, y: f32) {
    let t = tokens(ui);
    let (painter, thin) = (ui.painter(), Stroke::new(1.0, t.warn));
    let knee = y + RADIUS_PX + 3.0;
    painter.vline(mark.x, y + RADIUS_PX..=knee, thin);
    let left = mark.feet.iter().copied().fold(mark.x, f32::min);
    let right = mark.feet.iter().copied().fold(mark.x, f32::max);
    painter.hline(left..=right, knee, thin);
    if let (QueryKind::WhereToSplit, [x]) = (mark.query.kind, mark.feet.as_slice()) {
        painter.vline(*x, knee..=axes.plot.bottom(), Stroke::new(2.0, t.warn));
        return;
    }
    for (x, place) in mark.feet.iter().zip(&mark.places) {
        let end = above(axes, open, *place).y;
        if end > knee {
            painter.vline(*x, knee..=end, thin);
        }
    }
}

/// What is said beside the mark of a query: how long the pause is, or how likely a blank.
fn words(open: &OpenDay, query: &Query) -> Option<String> {
    let frame = |n: usize| query.frames.get(n).and_then(|id| open.sheet.frame(&open.day, *id));
    match query.kind {
        QueryKind::WhereToSplit => {
            let pause = frame(0).zip(frame(1)).and_then(|(before, after)| between_words(before, after));
            Some(pause.unwrap_or_else(|| tell!("trace-two-animals")))
        }
        QueryKind::BlankOrSpecimen => {
            let percent = |verdict: &BlankVerdict| format!("{:.0}", 100.0 * verdict.prob);
            frame(0)?.blank.as_ref().map(|verdict| tell!("trace-blank", percent = percent(verdict)))
        }
        _ => None,
    }
}

/// Writes words right of a mark, or left of it where only there is room, or not at all; gives the place they took.
fn beside(ui: &mut Ui, middle: Pos2, (from, to): (f32, f32), words: &str) -> Rect {
    let color = tokens(ui).warn;
    let width = text::size(ui, Type::Small, words).x;
    let gap = RADIUS_PX + APART_PX;
    let (x, anchor) = if middle.x + gap + width <= to {
        (middle.x + gap, Align2::LEFT_CENTER)
    } else if middle.x - gap - width >= from {
        (middle.x - gap, Align2::RIGHT_CENTER)
    } else {
        return Rect::from_center_size(middle, Vec2::ZERO);
    };
    text::line(ui, pos2(x, middle.y), anchor, Type::Small, color, words)
}

/// Draws one mark, filled while its query is focused.
fn one(
    ui: &Ui,
    middle: Pos2,
    place: Rect,
    mark: &Mark<'_>,
    (of, focused): (usize, usize),
    actions: &mut Vec<Action>,
) {
    let t = tokens(ui);
    // The list has the keyboard: from mark to mark one goes there.
    let id = Id::unique(("query mark", mark.at));
    let response = ui.interact(place, id, Sense::CLICK).on_hover_cursor(CursorIcon::PointingHand);
    let number = mark.places.first().map_or(0, |place| place + 1);
    let name = tell!("trace-query-name", nth = mark.at + 1, of = of, number = number);
    response.widget_info(|| WidgetInfo::selected(Role::Button, true, mark.at == focused, &name));
    let (fill, ink) = match (mark.at == focused, response.hovered()) {
        (true, _) => (t.warn, t.sheet),
        (false, true) => (t.warn_ground, t.warn),
        (false, false) => (t.sheet, t.warn),
    };
    ui.painter().circle(middle, RADIUS_PX, fill, Stroke::new(1.5, t.warn));
    let sign = text::laid(ui, Type::SmallMedium, ink, "?", f32::INFINITY, 1);
    let at = Align2::CENTER_CENTER.anchor_size(middle + vec2(0.0, 0.5), sign.size());
    ui.painter().galley(at.min, sign, ink);
    if response.clicked() {
        actions.push(Action::FocusQuery(mark.at));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn crowded_marks_stand_about_their_middle_in_order_and_stay_inside() {
        let check = |wanted: &[f32], expected: &[f32]| {
            assert_eq!(apart(wanted, 10.0, Rangef::new(0.0, 100.0)), expected, "{wanted:?}");
        };
        check(&[], &[]);
        check(&[20.0, 60.0], &[20.0, 60.0]);
        check(&[20.0, 22.0, 60.0], &[16.0, 26.0, 60.0]);
        // A crowd that meets its neighbour takes it in.
        check(&[40.0, 40.0, 40.0, 52.0], &[28.0, 38.0, 48.0, 58.0]);
        check(&[1.0, 2.0], &[0.0, 10.0]);
        check(&[99.0, 99.0, 99.0], &[80.0, 90.0, 100.0]);
    }
}
