//! The trace: luminance spread against frame order, on a log scale, sets shaded, blanks, doubtful and faulty frames
//! told by shape.

use std::ops::Range;

use egui::accesskit::Role;
use egui::{
    Align2, Color32, CursorIcon, Id, Key, Pos2, Rangef, Rect, Response, Sense, Stroke, StrokeKind, Ui,
    UiBuilder, Vec2, WidgetInfo, pos2, vec2,
};
use record::{BlankVerdict, Frame, FrameId, FrameKind};

use super::{Tools, trace_line, trace_queries, trace_times};
use crate::window::action::Action;
use crate::window::clocks::time_words;
use crate::window::look::{PICTURE_CORNER, Type, tokens};
use crate::window::open_day::OpenDay;
use crate::window::run_view::TRACE_LEAST;
use crate::window::state::{CardState, Part, UiState};
use crate::window::widgets::{picture, text};
use crate::window::words::tell;

/// Room above the highest point for the numbers of the sets, as a factor.
const HEADROOM: f32 = 1.9;

/// How frames and levels lie on the screen.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Axes {
    /// Where points are drawn.
    pub(crate) plot: Rect,
    frames: usize,
    part: Part,
    low: f32,
    high: f32,
}

/// Levels under this are all drawn on the lower edge: less than a tenth of one step of luma is nothing.
const LOWEST: f32 = 0.1;

impl Axes {
    /// Axes for a part of a day's frames.
    pub(crate) fn of(open: &OpenDay, part: Part, plot: Rect) -> Self {
        let levels = open.day.session.frames.iter().filter_map(|f| f.spread).map(|s| s.level.max(LOWEST));
        let (mut low, mut high) = (open.day.line.level.max(LOWEST), open.day.line.level.max(1.0));
        for level in levels {
            low = low.min(level);
            high = high.max(level);
        }
        let frames = open.day.session.frames.len();
        Self { plot, frames, part, low: low / 1.35, high: high * 1.6 * HEADROOM }
    }

    /// Width of one frame, px.
    pub(crate) fn step_px(&self) -> f32 {
        self.plot.width() / (self.frames.max(1) as f32 * (self.part.to - self.part.from))
    }

    /// The middle of a frame by its place in the day.
    pub(crate) fn x(&self, place: usize) -> f32 {
        self.plot.left() + (place as f32 + 0.5 - self.part.from * self.frames as f32) * self.step_px()
    }

    /// The share of the day at this position.
    fn share(&self, x: f32) -> f32 {
        self.part.from + (x - self.plot.left()) / self.plot.width() * (self.part.to - self.part.from)
    }

    /// The places of the frames that are seen, wholly or in part.
    pub(crate) fn seen(&self) -> Range<usize> {
        let frames = self.frames as f32;
        // A rounding of a share is far below a hundredth of a frame.
        let last = (self.part.to * frames - 0.01).ceil() as usize;
        (self.part.from * frames + 0.01) as usize..last.min(self.frames)
    }

    /// Where a level lies.
    pub(crate) fn y(&self, level: f32) -> f32 {
        let share = (level.max(LOWEST) / self.low).ln() / (self.high / self.low).ln();
        self.plot.bottom() - share.clamp(0.0, 1.0) * self.plot.height()
    }

    /// The level at a height; never outside of what is drawn.
    pub(crate) fn level(&self, y: f32) -> f32 {
        let share = ((self.plot.bottom() - y) / self.plot.height()).clamp(0.0, 1.0);
        self.low * (self.high / self.low).powf(share)
    }

    /// The place in the day of the frame at this position.
    fn place(&self, x: f32) -> usize {
        ((self.share(x) * self.frames as f32).max(0.0) as usize).min(self.frames.saturating_sub(1))
    }
}

/// Draws the trace in a rectangle.
pub(crate) fn ui(ui: &mut Ui, rect: Rect, open: &OpenDay, state: &mut UiState, tools: &mut Tools<'_>) {
    let plot = Rect::from_min_max(rect.min + vec2(30.0, 0.0), rect.max - vec2(0.0, 26.0));
    let (held, hovered) = pointer(ui, plot, open, &mut state.card, tools.actions);
    let axes = Axes::of(open, state.card.part, plot);
    scale(ui, &axes, rect.left());
    trace_times::ui(ui, &axes, open, rect.bottom());
    which_part(ui, &axes);
    let mut drawn = ui.new_child(UiBuilder::new().max_rect(plot).id_salt("plot"));
    // Marks of frames at the edge reach over it a little.
    drawn.shrink_clip_rect(plot.expand2(vec2(6.0, 1.0)));
    sets(&mut drawn, &axes, open, &state.card);
    trace_times::pauses(&drawn, &axes, open);
    points(&drawn, &axes, open, &state.card, state.frame);
    trace_queries::ui(&mut drawn, &axes, open, state.query, tools.actions);
    trace_line::ui(ui, &axes, open, &mut state.card, &held, tools.actions);
    if let Some(frame) = hovered {
        tip(ui, &axes, open, frame, tools);
    }
}

/// Shades the sets, and numbers those with room for it.
fn sets(ui: &mut Ui, axes: &Axes, open: &OpenDay, state: &CardState) {
    let t = tokens(ui);
    let moved = &open.day.session.decisions.moves;
    let of_preview = state.preview.as_ref().map(|p| p.sets.iter().map(Vec::as_slice).collect::<Vec<_>>());
    let sets: Vec<&[FrameId]> =
        of_preview.unwrap_or_else(|| open.day.session.sets.iter().map(|s| s.frames.as_slice()).collect());
    let mut free_from = f32::MIN;
    for (at, frames) in sets.iter().enumerate() {
        let places =
            frames.iter().filter(|f| !moved.contains_key(f)).filter_map(|f| open.sheet.places.get(f));
        let Some((first, last)) = places.fold(None, |ends: Option<(usize, usize)>, place| {
            Some(ends.map_or((*place, *place), |(a, b)| (a.min(*place), b.max(*place))))
        }) else {
            continue;
        };
        if last < axes.seen().start || first >= axes.seen().end {
            continue;
        }
        let half = axes.step_px() * 0.5;
        let shade = Rect::from_x_y_ranges(
            Rangef::new(axes.x(first) - half, (axes.x(last) + half).max(axes.x(first) - half + 1.0)),
            axes.plot.y_range(),
        );
        ui.painter().rect_filled(shade, PICTURE_CORNER, t.accent_ground);
        let number = if state.preview.is_some() { at as u32 + 1 } else { open.set_number(at) }.to_string();
        let width = text::size(ui, Type::Small, &number).x;
        let seen = shade.intersect(axes.plot);
        if seen.center().x - width / 2.0 > free_from + 4.0 {
            let place = pos2(seen.center().x, axes.plot.top() + 4.0);
            text::line(ui, place, Align2::CENTER_TOP, Type::Small, t.soft, &number);
            free_from = seen.center().x + width / 2.0;
        }
    }
}

/// Draws the hairlines of round levels, and their numbers left of the plot.
fn scale(ui: &mut Ui, axes: &Axes, left: f32) {
    let t = tokens(ui);
    for level in [0.3, 1.0, 3.0, 10.0, 30.0, 100.0_f32] {
        if level <= axes.low * 1.02 || axes.y(level) < axes.plot.top() + 26.0 {
            continue;
        }
        let y = axes.y(level).round() + 0.5;
        ui.painter().hline(axes.plot.x_range(), y, t.rule_stroke());
        let words = if level < 1.0 { format!("{level:.1}") } else { format!("{level:.0}") };
        text::line(ui, pos2(left, y), Align2::LEFT_CENTER, Type::Small, t.soft, &words);
    }
}

/// Shows which part of the day is seen, when it is not the whole.
fn which_part(ui: &Ui, axes: &Axes) {
    if axes.part.is_whole() {
        return;
    }
    let t = tokens(ui);
    let track = Rect::from_min_size(axes.plot.left_bottom() + vec2(0.0, 2.0), vec2(axes.plot.width(), 4.0));
    let at = |share: f32| track.left() + share * track.width();
    let part = Rect::from_x_y_ranges(Rangef::new(at(axes.part.from), at(axes.part.to)), track.y_range());
    ui.painter().rect_filled(track, 2.0, t.rule);
    ui.painter().rect_filled(part, 2.0, t.accent);
}

/// Takes the pointer: hovering shows a frame, a click chooses it, the wheel zooms, a drag pans, but for one of the line
/// that tells blanks. Gives what was done, and the frame under the pointer.
fn pointer(
    ui: &Ui,
    plot: Rect,
    open: &OpenDay,
    state: &mut CardState,
    actions: &mut Vec<Action>,
) -> (Response, Option<FrameId>) {
    let response = ui.interact(plot, Id::unique("trace"), Sense::CLICK | Sense::DRAG);
    response.widget_info(|| WidgetInfo::labeled(Role::Figure, true, tell!("trace-name")));
    let of_line = trace_line::is_held(ui, &Axes::of(open, state.part, plot), open);
    if response.dragged() && !of_line {
        let wide = state.part.to - state.part.from;
        state.part = state.part.moved(-response.drag_delta().x / plot.width() * wide);
    }
    let frame = under(ui, &response, open, state);
    if let Some(frame) = frame.filter(|_| response.clicked()) {
        actions.push(Action::ChooseFrame(frame));
    }
    (response, frame)
}

/// The frame under the pointer, once the wheel did its work.
fn under(ui: &Ui, response: &Response, open: &OpenDay, state: &mut CardState) -> Option<FrameId> {
    let plot = response.rect;
    let at = response.hover_pos()?;
    let (wheel, across) = ui.input(|i| {
        let scroll = i.smooth_scroll_delta();
        (scroll.y + 400.0 * (i.zoom_delta() - 1.0), scroll.x)
    });
    let axes = Axes::of(open, state.part, plot);
    if wheel != 0.0 {
        let least = TRACE_LEAST as f32 / axes.frames.max(1) as f32;
        state.part = state.part.zoomed((wheel / 300.0).exp(), axes.share(at.x), least);
    }
    if across != 0.0 {
        state.part = state.part.moved(-across / plot.width() * (state.part.to - state.part.from));
    }
    let axes = Axes::of(open, state.part, plot);
    if trace_line::is_at(&axes, open, at) {
        ui.set_cursor_icon(CursorIcon::ResizeVertical);
    }
    open.day.session.frames.get(axes.place(at.x)).map(|frame| frame.id)
}

/// Where the point of a frame lies.
pub(crate) fn spot(axes: &Axes, place: usize, frame: &Frame) -> Pos2 {
    pos2(axes.x(place), frame.spread.map_or(axes.plot.bottom() - 6.0, |s| axes.y(s.level)))
}

/// Where the marks of a frame end above its point.
pub(crate) fn above(axes: &Axes, open: &OpenDay, place: usize) -> Pos2 {
    let frame = &open.day.session.frames[place];
    let fault_px = if is_faulty(open, frame) { FAULT_PX } else { 0.0 };
    spot(axes, place, frame) - vec2(0.0, radius(axes) + 6.0 + fault_px)
}

/// Radius of a point, px.
fn radius(axes: &Axes) -> f32 {
    (axes.step_px() * 0.42).clamp(1.6, 4.5)
}

/// Height of the mark of a fault, px.
const FAULT_PX: f32 = 10.0;

/// Whether something is wrong with a frame that was read all the same.
fn is_faulty(open: &OpenDay, frame: &Frame) -> bool {
    !frame.faults.is_empty() && frame.spread.is_some() && !open.is_gone(frame.id)
}

/// Draws the mark of a fault: a stroke over a dot, its foot here.
fn fault(ui: &Ui, foot: Pos2, number: usize) {
    let t = tokens(ui);
    ui.painter().vline(foot.x, foot.y - FAULT_PX..=foot.y - 4.0, Stroke::new(2.0, t.warn));
    ui.painter().circle_filled(foot - vec2(0.0, 1.2), 1.2, t.warn);
    let place = Rect::from_min_max(foot - vec2(2.0, FAULT_PX), foot + vec2(2.0, 0.0));
    let response = ui.interact(place, Id::unique(("fault", number)), Sense::hover());
    response.widget_info(|| WidgetInfo::labeled(Role::Image, true, tell!("trace-fault", number = number)));
}

fn points(ui: &Ui, axes: &Axes, open: &OpenDay, state: &CardState, chosen: Option<FrameId>) {
    let t = tokens(ui);
    let radius = radius(axes);
    for place in axes.seen() {
        let frame = &open.day.session.frames[place];
        let at = spot(axes, place, frame);
        let decided = open.day.session.decisions.kinds.contains_key(&frame.id);
        let doubtful = !decided
            && state.preview.is_none()
            && frame.blank.as_ref().is_some_and(BlankVerdict::is_doubtful);
        let mut kind = open.day.session.kind(frame);
        if let Some(preview) = &state.preview {
            kind = if preview.blanks[place] { FrameKind::Blank } else { kind.max_specimen() };
        }
        let painter = ui.painter();
        match kind {
            _ if open.is_gone(frame.id) => {
                painter.circle_stroke(at, radius + 1.5, Stroke::new(1.5, t.gone));
                cross(ui, at, radius, t.gone);
            }
            _ if frame.spread.is_none() => cross(ui, at, radius, t.gone),
            _ if doubtful => {
                painter.circle(at, radius + 2.0, t.sheet, Stroke::new(2.0, t.warn));
            }
            FrameKind::Specimen => {
                painter.circle_filled(at, radius, t.accent);
            }
            FrameKind::Blank => {
                let square = Rect::from_center_size(at, Vec2::splat(radius * 1.8));
                painter.rect(square, 0.0, t.sheet, Stroke::new(1.5, t.ink), StrokeKind::Middle);
            }
            FrameKind::Reference => {
                let d = radius * 1.3;
                let points = vec![at + vec2(0.0, -d), at + vec2(d, d * 0.8), at + vec2(-d, d * 0.8)];
                painter.add(egui::Shape::closed_line(points, Stroke::new(1.5, t.ink)));
            }
            FrameKind::SetAside => cross(ui, at, radius, t.soft),
        }
        if is_faulty(open, frame) {
            fault(ui, at - vec2(0.0, radius + 6.0), place + 1);
        }
        if chosen == Some(frame.id) {
            painter.circle_stroke(at, radius + 4.5, Stroke::new(2.0, t.ink));
        }
    }
}

/// A decided part that the dragged line does not touch.
trait Kept {
    fn max_specimen(self) -> Self;
}

impl Kept for FrameKind {
    fn max_specimen(self) -> Self {
        if self == Self::Blank { Self::Specimen } else { self }
    }
}

fn cross(ui: &Ui, at: Pos2, radius: f32, color: Color32) {
    let stroke = Stroke::new(1.5, color);
    ui.painter().line_segment([at + vec2(-radius, -radius), at + vec2(radius, radius)], stroke);
    ui.painter().line_segment([at + vec2(-radius, radius), at + vec2(radius, -radius)], stroke);
}

/// Shows the picture and values of a frame beside the pointer.
fn tip(ui: &mut Ui, axes: &Axes, open: &OpenDay, id: FrameId, tools: &mut Tools<'_>) {
    if ui.input(|i| i.pointer.any_down() || i.key_down(Key::Space)) {
        return;
    }
    let Some(frame) = open.sheet.frame(&open.day, id) else { return };
    let t = tokens(ui);
    let place = open.sheet.places[&id];
    let at = spot(axes, place, frame);
    let mut words = vec![(tell!("trace-frame", number = place + 1, kind = open.kind_word(id)), false)];
    let name = frame.file_name();
    let spread = frame.spread.map(|s| tell!("trace-spread", file = name, level = format!("{:.1}", s.level)));
    words.push((spread.unwrap_or_else(|| tell!("trace-unread", file = name)), false));
    words.extend(frame.faults.iter().map(|fault| (fault.clone(), true)));
    words.extend(time_words(open, frame));
    let width = 244.0;
    let heights: Vec<f32> = words
        .iter()
        .map(|(line, _)| text::laid(ui, Type::Small, t.soft, line, width - 18.0, 4).size().y)
        .collect();
    let size = vec2(width, 8.0 + 150.0 + 7.0 + heights.iter().sum::<f32>() + 8.0);
    let x = if at.x + 20.0 + size.x < axes.plot.right() { at.x + 20.0 } else { at.x - 20.0 - size.x };
    let lowest = (axes.plot.bottom() - size.y + 20.0).max(axes.plot.top());
    let y = (at.y - size.y / 2.0).clamp(axes.plot.top(), lowest);
    let rect = Rect::from_min_size(pos2(x, y), size);
    ui.painter().add(crate::window::look::shadow(ui.visuals().dark_mode).as_shape(rect, 6.0));
    ui.painter().rect(rect, 6.0, t.sheet, t.edge_stroke(), StrokeKind::Inside);
    let image = Rect::from_min_size(rect.min + vec2(8.0, 8.0), vec2(width - 16.0, 150.0));
    picture::small(ui, image, tools.thumbs, frame, 1.0);
    let mut y = image.bottom() + 7.0;
    for (n, ((line, warns), height)) in words.iter().zip(heights).enumerate() {
        let kind = if n == 0 { Type::SmallMedium } else { Type::Small };
        let color = if *warns {
            t.warn
        } else if n == 0 {
            t.ink
        } else {
            t.soft
        };
        text::para(ui, pos2(rect.left() + 9.0, y), width - 18.0, kind, color, line);
        y += height;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn levels_and_heights_agree_both_ways() {
        let plot = Rect::from_min_size(pos2(30.0, 10.0), vec2(800.0, 300.0));
        let axes = Axes { plot, frames: 40, part: Part::default(), low: 0.5, high: 80.0 };
        for level in [0.5, 5.0, 79.0] {
            assert!((axes.level(axes.y(level)) / level - 1.0).abs() < 1e-4, "{level}");
        }
        assert!((axes.level(-100.0) - 80.0).abs() < 1e-3, "never above what is drawn");
        assert_eq!(axes.place(axes.x(17)), 17);
        assert_eq!(axes.place(5_000.0), 39);
        assert_eq!(axes.seen(), 0..40);
        let part = Axes { part: Part { from: 0.25, to: 0.5 }, ..axes };
        assert_eq!(part.seen(), 10..20);
        assert!((part.x(10) - 30.0 - 40.0).abs() < 1e-3, "ten frames over 800 px");
        assert_eq!((part.place(part.x(17)), part.place(31.0)), (17, 10));
        assert!((part.share(430.0) - 0.375).abs() < 1e-6);
    }
}
