//! The marks of a frame over its picture: lines with ends and values, points that can be taken hold of, and the cross and
//! the hint while one is placed.

use egui::accesskit::Role;
use egui::{
    Align2, CursorIcon, Id, Painter, Pos2, Rect, Response, Sense, Shape, Stroke, StrokeKind, Ui, WidgetInfo,
    pos2, vec2,
};
use record::{Frame, Mark, MarkKind};

use super::{Tools, colour_over};
use crate::window::action::Action;
use crate::window::look::{CONTROL_CORNER, MARK_CHOSEN, MARK_HALO, MARK_LINE, Type};
use crate::window::mark_values::{label, name};
use crate::window::marking::{MarkAsk, Moving, Place, Placing, marks_of};
use crate::window::open_day::OpenDay;
use crate::window::side_page::SidePage;
use crate::window::state::SpecimenState;
use crate::window::widgets::text;
use crate::window::words::tell;

/// Half of the tick at an end, px.
const TICK_PX: f32 = 8.0;
/// How near the pointer must come to a point to take hold of it, px.
const HOLD_PX: f32 = 9.0;

/// Where a picture lies.
pub(crate) struct Lain {
    /// What of the screen it is seen in.
    pub(crate) rect: Rect,
    /// Where the whole of it lies.
    pub(crate) place: Rect,
    /// Its full size, px.
    pub(crate) size_px: egui::Vec2,
}

impl Lain {
    /// Where a place of the picture is on the screen.
    pub(crate) fn at(&self, place: Place) -> Pos2 {
        let share = vec2(place.0 as f32 / self.size_px.x, place.1 as f32 / self.size_px.y);
        self.place.min + share * self.place.size()
    }

    /// Which place of the picture is there on the screen.
    pub(crate) fn place_at(&self, at: Pos2) -> Place {
        let share = (at - self.place.min) / self.place.size();
        (f64::from(share.x * self.size_px.x), f64::from(share.y * self.size_px.y))
    }

    /// The place that is in the middle of what is seen.
    pub(crate) fn middle(&self) -> Place {
        let (x, y) = self.place_at(self.rect.center());
        (x.round(), y.round())
    }
}

/// Draws the marks of a frame while the page of measures is open, and takes what is done to them by the pointer.
pub(crate) fn ui(
    ui: &mut Ui,
    lain: &Lain,
    open: &OpenDay,
    frame: &Frame,
    (state, response): (&mut SpecimenState, &Response),
    tools: &mut Tools<'_>,
) {
    let hover = response.hover_pos().filter(|at| lain.place.contains(*at));
    state.pick.pointer = hover.map(|at| lain.place_at(at));
    if state.lies.picture_px.is_none() {
        return;
    }
    match state.page {
        SidePage::Measures => {}
        SidePage::Characters => return colour_over::ui(ui, lain, open, frame, (state, response), tools),
        SidePage::Views | SidePage::Record | SidePage::Names => return,
    }
    let painter = ui.painter().with_clip_rect(lain.rect);
    let session = &open.day.session;
    for mark in marks_of(session, frame.id) {
        let chosen = state.marking.chosen == Some(mark.id);
        let moving = state.marking.moving.as_ref().filter(|m| m.id == mark.id);
        let now = moving.and_then(|m| m.mark(mark));
        let mark = now.as_ref().unwrap_or(mark);
        line(&painter, lain, &mark.points, if chosen { MARK_CHOSEN } else { MARK_LINE });
        value(ui, &painter, lain, (mark, &label(session, mark), chosen), tools);
        if state.marking.placing.is_none() {
            points(ui, &painter, lain, mark, moving, tools);
            if moving.is_some() && mark.kind == MarkKind::Polyline {
                between(ui, &painter, lain, mark, tools);
            }
        }
    }
    if let Some(placing) = &state.marking.placing {
        place(ui, &painter, lain, placing, response, tools);
    } else if let Some(moving) = &state.marking.moving {
        let (n, of) = (moving.point + 1, moving.points.len());
        let mark = session.marks.get(&moving.id);
        let words = if mark.is_some_and(|mark| mark.kind == MarkKind::Polyline) {
            tell!("measure-hint-move-polyline", point = n, of = of)
        } else {
            tell!("measure-hint-move", point = n, of = of)
        };
        hint(ui, &painter, lain, &words);
    }
}

/// A line on its halo, with ticks across its ends.
fn line(painter: &Painter, lain: &Lain, places: &[Place], color: egui::Color32) {
    let at: Vec<Pos2> = places.iter().map(|p| lain.at(*p)).collect();
    let mut pieces: Vec<[Pos2; 2]> = at.windows(2).map(|w| [w[0], w[1]]).collect();
    let ends = [at.first().zip(at.get(1)), at.last().zip(at.iter().rev().nth(1))];
    for (end, next) in ends.into_iter().flatten() {
        let along = (*next - *end).normalized();
        let across = vec2(-along.y, along.x) * TICK_PX;
        pieces.push([*end - across, *end + across]);
    }
    for stroke in [Stroke::new(4.5, MARK_HALO), Stroke::new(1.6, color)] {
        painter.extend(pieces.iter().map(|piece| Shape::line_segment(*piece, stroke)));
    }
}

/// The value beside the longest piece of a mark; a click on it chooses the mark.
fn value(
    ui: &mut Ui,
    painter: &Painter,
    lain: &Lain,
    (mark, words, chosen): (&Mark, &str, bool),
    tools: &mut Tools<'_>,
) {
    let at: Vec<Pos2> = mark.points.iter().map(|p| lain.at(*p)).collect();
    let longest = at.windows(2).max_by(|a, b| a[0].distance(a[1]).total_cmp(&b[0].distance(b[1])));
    let Some([one, other]) = longest else { return };
    let along = (*other - *one).normalized();
    let mut across = vec2(along.y, -along.x);
    if across.y > 0.0 {
        across = -across;
    }
    let color = if chosen { MARK_CHOSEN } else { MARK_LINE };
    let galley = text::laid(ui, Type::SmallMedium, color, words, f32::INFINITY, 1);
    let size = galley.size() + vec2(12.0, 6.0);
    let off = 12.0 + f32::midpoint(size.x * across.x.abs(), size.y * across.y.abs());
    let middle = one.lerp(*other, 0.5) + across * off;
    // Within the picture's place, as far as its mark is seen at all.
    let room = lain.rect.shrink(4.0);
    if !room.expand(40.0).contains(one.lerp(*other, 0.5)) {
        return;
    }
    let half = size / 2.0;
    let middle = middle.clamp(room.min + half, room.max - half);
    let ground = Rect::from_center_size(middle, size);
    painter.rect_filled(ground, CONTROL_CORNER, MARK_HALO);
    painter.galley((ground.min + vec2(6.0, 3.0)).round(), galley, color);
    let response = ui.interact(ground.intersect(lain.rect), Id::unique(("mark", mark.id.0)), Sense::CLICK);
    let spoken = tell!("measure-mark-name", mark = name(mark), value = words);
    response.widget_info(|| WidgetInfo::labeled(Role::GraphicsObject, true, &spoken));
    if response.on_hover_cursor(CursorIcon::PointingHand).clicked() {
        tools.actions.push(Action::Mark(MarkAsk::Choose(mark.id, 0)));
    }
}

/// The points of a mark, each to be taken hold of; the one that keys move is filled.
fn points(
    ui: &mut Ui,
    painter: &Painter,
    lain: &Lain,
    mark: &Mark,
    moving: Option<&Moving>,
    tools: &mut Tools<'_>,
) {
    for (n, point) in mark.points.iter().enumerate() {
        let at = lain.at(*point);
        if !lain.rect.contains(at) {
            continue;
        }
        let hold = Rect::from_center_size(at, vec2(2.0 * HOLD_PX, 2.0 * HOLD_PX)).intersect(lain.rect);
        let response = ui.interact(hold, Id::unique(("point", mark.id.0, n)), Sense::CLICK | Sense::DRAG);
        let spoken = tell!("measure-point-name", point = n + 1, mark = name(mark));
        response.widget_info(|| WidgetInfo::labeled(Role::GraphicsSymbol, true, &spoken));
        let is_at = moving.is_some_and(|m| m.point == n);
        if moving.is_some() || response.hovered() {
            let radius = if is_at { 7.0 } else { 5.0 };
            // Open in the middle, so that what it marks is seen.
            painter.circle_stroke(at, radius, Stroke::new(4.0, MARK_HALO));
            painter.circle_stroke(at, radius, Stroke::new(if is_at { 2.5 } else { 1.5 }, MARK_CHOSEN));
        }
        if response.drag_started() || response.clicked() {
            tools.actions.push(Action::Mark(MarkAsk::Choose(mark.id, n)));
        }
        if let Some(to) = response.interact_pointer_pos().filter(|_| response.dragged()) {
            tools.actions.push(Action::Mark(MarkAsk::Drag(mark.id, n, lain.place_at(to))));
        }
        if response.drag_stopped() {
            tools.actions.push(Action::Mark(MarkAsk::Drop));
        }
        response.on_hover_cursor(CursorIcon::Move);
    }
}

/// Between the points of a polyline that is moved, a small square each: a click puts a point there.
fn between(ui: &mut Ui, painter: &Painter, lain: &Lain, mark: &Mark, tools: &mut Tools<'_>) {
    for (n, pair) in mark.points.windows(2).enumerate() {
        let (one, other) = (lain.at(pair[0]), lain.at(pair[1]));
        let at = one.lerp(other, 0.5);
        // Where the points stand close together they could not be told apart.
        if !lain.rect.contains(at) || one.distance(other) < 5.0 * HOLD_PX {
            continue;
        }
        let hold = Rect::from_center_size(at, vec2(2.0 * HOLD_PX, 2.0 * HOLD_PX)).intersect(lain.rect);
        let response = ui.interact(hold, Id::unique(("between", mark.id.0, n)), Sense::click());
        let spoken = tell!("measure-between-name", point = n + 1, next = n + 2, mark = name(mark));
        response.widget_info(|| WidgetInfo::labeled(Role::Button, true, &spoken));
        let square = Rect::from_center_size(at, vec2(8.0, 8.0));
        painter.rect_filled(square.expand(1.5), 0.0, MARK_HALO);
        painter.rect_filled(square, 0.0, MARK_CHOSEN);
        if response.clicked() {
            tools.actions.push(Action::Mark(MarkAsk::Between(mark.id, n)));
        }
        response.on_hover_cursor(CursorIcon::Copy);
    }
}

/// What is placed so far, the cross where a key places the next point, and what to do.
fn place(
    ui: &mut Ui,
    painter: &Painter,
    lain: &Lain,
    placing: &Placing,
    response: &Response,
    tools: &mut Tools<'_>,
) {
    let hover = response.hover_pos().filter(|at| lain.place.contains(*at));
    let cursor = lain.at(placing.cursor.unwrap_or_else(|| lain.middle()));
    let mut places = placing.points.clone();
    if let Some(at) = hover {
        places.push(lain.place_at(at));
        ui.ctx().set_cursor_icon(CursorIcon::Crosshair);
    } else {
        places.push(lain.place_at(cursor));
    }
    line(painter, lain, &places, MARK_CHOSEN);
    for point in &placing.points {
        painter.circle_stroke(lain.at(*point), 5.0, Stroke::new(4.0, MARK_HALO));
        painter.circle_stroke(lain.at(*point), 5.0, Stroke::new(1.5, MARK_CHOSEN));
    }
    if hover.is_none() {
        cross(painter, cursor);
    }
    let clicked = response.interact_pointer_pos().filter(|_| response.clicked());
    if let Some(at) = clicked.filter(|at| lain.place.contains(*at)) {
        tools.actions.push(Action::Mark(MarkAsk::Place(lain.place_at(at))));
    }
    let n = placing.points.len() + 1;
    let words = match placing.kind {
        _ if placing.is_known => tell!("measure-hint-known", point = n),
        MarkKind::Line => tell!("measure-hint-line", point = n),
        MarkKind::Polyline => tell!("measure-hint-polyline", point = n),
    };
    hint(ui, painter, lain, &words);
}

/// A cross that leaves open what is in its middle.
pub(crate) fn cross(painter: &Painter, at: Pos2) {
    for stroke in [Stroke::new(4.0, MARK_HALO), Stroke::new(1.6, MARK_CHOSEN)] {
        for arm in [vec2(1.0, 0.0), vec2(-1.0, 0.0), vec2(0.0, 1.0), vec2(0.0, -1.0)] {
            painter.line_segment([at + arm * 4.0, at + arm * 16.0], stroke);
        }
    }
}

/// Says at the foot of the picture what to do next.
pub(crate) fn hint(ui: &mut Ui, painter: &Painter, lain: &Lain, words: &str) {
    let width = (lain.rect.width() - 56.0).max(120.0);
    let galley = text::laid(ui, Type::SmallMedium, egui::Color32::WHITE, words, width, 4);
    let size = galley.size() + vec2(20.0, 12.0);
    let ground =
        Align2::CENTER_BOTTOM.anchor_size(pos2(lain.rect.center().x, lain.rect.bottom() - 10.0), size);
    painter.rect(ground, CONTROL_CORNER, MARK_HALO, Stroke::NONE, StrokeKind::Inside);
    painter.galley((ground.min + vec2(10.0, 6.0)).round(), galley, egui::Color32::WHITE);
    text::tell_at_once(ui, ground, Id::unique("picture hint"), words);
}
