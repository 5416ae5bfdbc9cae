//! What the commands about marks on pictures do: placing, choosing, moving and deleting them.
//!
//! What is typed of them is written by `run_measures`.

use std::cmp::Ordering;

use egui::vec2;
use record::{Edit, Mark, MarkId, MarkKind, ScaleUsed};

use super::app::App;
use super::chord::Chord;
use super::command::Command;
use super::mark_values::name;
use super::marking::{
    MarkAsk, MarkField, MarkKey, Marking, Moving, Place, Placing, mark_key, marks_of, moved, placing_px,
    within,
};
use super::side_page::SidePage;
use super::words::tell;

impl App {
    /// Begins to place a mark on the picture.
    fn begin_mark(&mut self, kind: MarkKind, is_known: bool) {
        let Some(frame) = self.state.frame else { return };
        if self.picture_size().is_none() {
            return self.say(tell!("measure-no-picture"));
        }
        self.state.specimen.page = SidePage::Measures;
        let placing = Some(Placing::new(frame, kind, is_known));
        self.state.specimen.marking = Marking { placing, ..Marking::default() };
        // The next key belongs to the mark, not to what was pressed last.
        self.ctx.memory_mut(|m| m.focused().into_iter().for_each(|id| m.surrender_focus(id)));
    }

    /// Brings what is placed and moved into line with the session as it is now.
    pub(super) fn follow_marks(&mut self) {
        if let Some(open) = &self.open {
            self.state.specimen.marking.follow(&open.day.session);
        }
    }

    /// Runs a command about marks.
    pub(super) fn run_on_marks(&mut self, command: Command) {
        match command {
            Command::MarkKnown => self.begin_mark(MarkKind::Line, true),
            Command::MarkLine => self.begin_mark(MarkKind::Line, false),
            Command::MarkPolyline => self.begin_mark(MarkKind::Polyline, false),
            Command::EndMark => self.end_mark(),
            Command::PreviousMark => self.step_mark(-1),
            Command::NextMark => self.step_mark(1),
            Command::DeleteMark => self.delete_mark(),
            _ => {}
        }
    }

    /// Takes what is offered: the word of a colour, or the state that a ratio stands for.
    pub(super) fn take_offered(&mut self) {
        if self.state.specimen.page == SidePage::Characters {
            self.take_colour();
        } else {
            self.take_ratio();
        }
    }

    /// Width and height of the picture as it lies on the screen, px; `None` while its own size is not known.
    fn picture_size(&self) -> Option<(u32, u32)> {
        let size = self.state.specimen.lies.picture_px?;
        Some((size.x as u32, size.y as u32))
    }

    /// How well a point is placed at the zoom there is.
    fn placing_now(&self) -> f64 {
        placing_px(self.state.specimen.lies.zoom)
    }

    /// Where a key places a point.
    fn cursor(&self) -> Option<Place> {
        let (width, height) = self.picture_size()?;
        let placing = self.state.specimen.marking.placing.as_ref()?;
        let middle = self.state.specimen.middle;
        let middle = (f64::from(middle.x) * f64::from(width), f64::from(middle.y) * f64::from(height));
        Some(placing.cursor.unwrap_or((middle.0.round(), middle.1.round())))
    }

    /// Does what a key means to the mark that is placed or moved.
    pub(super) fn mark_key(&mut self, chord: Chord) {
        let Some(picture_px) = self.picture_size() else { return };
        let places = self.state.specimen.marking.placing.is_some();
        let Some(key) = mark_key(chord, places) else { return };
        let (cursor, placing_px) = (self.cursor(), self.placing_now());
        match key {
            MarkKey::Step(x, y) if places => {
                let to = cursor.map(|at| moved(at, (x, y), picture_px));
                if let Some(placing) = &mut self.state.specimen.marking.placing {
                    placing.cursor = to;
                }
                self.keep_seen(to);
            }
            MarkKey::Step(x, y) => {
                let Some(moving) = &mut self.state.specimen.marking.moving else { return };
                let to = moving.points.get(moving.point).map(|at| moved(*at, (x, y), picture_px));
                if let Some(to) = to {
                    moving.put(moving.point, to, placing_px);
                }
                self.keep_seen(to);
            }
            MarkKey::NextPoint => self.step_point(1),
            MarkKey::PreviousPoint => self.step_point(-1),
            MarkKey::Place => {
                if let Some(at) = cursor {
                    self.place_point(at);
                }
            }
            MarkKey::Between => {
                let Some(moving) = &self.state.specimen.marking.moving else { return };
                self.put_between(moving.id, moving.point);
            }
            MarkKey::Without => {
                let is_line = self.is_line();
                let Some(moving) = self.state.specimen.marking.moving.as_mut().filter(|_| !is_line) else {
                    return;
                };
                if moving.without() {
                    self.commit_moves();
                }
            }
            MarkKey::TakeBack => {
                if let Some(placing) = &mut self.state.specimen.marking.placing {
                    placing.points.pop();
                    placing.placed.pop();
                }
            }
        }
    }

    /// Whether the mark that is moved is a line, which has two points for good.
    fn is_line(&self) -> bool {
        let moving = self.state.specimen.marking.moving.as_ref();
        let mark = moving.and_then(|m| self.open.as_ref()?.day.session.marks.get(&m.id));
        mark.is_some_and(|mark| mark.kind == MarkKind::Line)
    }

    /// Puts a point of the polyline that is moved halfway between this one and the next, and writes that.
    pub(super) fn put_between(&mut self, id: MarkId, point: usize) {
        self.commit_moves();
        let (placing_px, is_line) = (self.placing_now(), self.is_line());
        let moving = self.state.specimen.marking.moving.as_mut();
        let Some(moving) = moving.filter(|moving| moving.id == id && !is_line) else { return };
        moving.between(point, placing_px);
        self.commit_moves();
    }

    fn step_point(&mut self, by: isize) {
        self.commit_moves();
        let Some(moving) = &mut self.state.specimen.marking.moving else { return };
        let last = moving.points.len() - 1;
        moving.point = match moving.point.checked_add_signed(by) {
            Some(point) if point <= last => point,
            Some(_) => 0,
            None => last,
        };
        let at = moving.points.get(moving.point).copied();
        self.keep_seen(at);
    }

    /// Pans no more than needed for a place to be seen.
    fn keep_seen(&mut self, place: Option<Place>) {
        let (Some(place), Some((width, height))) = (place, self.picture_size()) else { return };
        let specimen = &mut self.state.specimen;
        let at = vec2((place.0 / f64::from(width)) as f32, (place.1 / f64::from(height)) as f32);
        // A little within the edge.
        let half = specimen.lies.seen * 0.48;
        specimen.middle = specimen.middle.clamp(at - half, at + half);
    }

    fn place_point(&mut self, place: Place) {
        let (Some(picture_px), placing_px) = (self.picture_size(), self.placing_now()) else { return };
        let Some(placing) = &mut self.state.specimen.marking.placing else { return };
        if placing.add(within(place, picture_px), placing_px) {
            self.end_placing();
        }
    }

    /// Ends the mark that is placed or moved; what is to be typed of it comes next.
    fn end_mark(&mut self) {
        if self.state.specimen.marking.placing.is_some() {
            return self.end_placing();
        }
        self.commit_moves();
        let marking = &mut self.state.specimen.marking;
        marking.moving = None;
        let mark = marking.chosen.and_then(|id| self.open.as_ref()?.day.session.marks.get(&id));
        marking.focus = match mark {
            Some(mark) if mark.known.is_some() || marking.asks == Some(mark.id) => Some(MarkField::Known),
            Some(mark) if mark.what.is_empty() => Some(MarkField::What),
            _ => None,
        };
    }

    /// Writes the mark that is placed, if it has two points, and leaves it open to be moved.
    fn end_placing(&mut self) {
        let (Some(picture_px), Some(open)) = (self.picture_size(), &self.open) else { return };
        let Some(placing) = self.state.specimen.marking.placing.take().filter(Placing::can_end) else {
            return;
        };
        let mark = placing.mark(&open.day.session, picture_px);
        let number = open.sheet.number(mark.frame);
        let words = match placing.kind {
            MarkKind::Line => tell!("undo-mark-line", number = number),
            MarkKind::Polyline => tell!("undo-mark-polyline", number = number),
        };
        let (id, last) = (mark.id, mark.points.len() - 1);
        let moving = Moving { placed: placing.placed.clone(), ..Moving::of(&mark, last) };
        if self.try_edit(&words, Some(Edit::Mark(id, Some(Box::new(mark))))) {
            let asks = placing.is_known.then_some(id);
            let marking = Marking { chosen: Some(id), moving: Some(moving), asks, ..Marking::default() };
            self.state.specimen.marking = marking;
        }
    }

    /// Lets go of what is placed or moved, as it was before; whether there was anything.
    pub(super) fn cancel_mark(&mut self) -> bool {
        let marking = &mut self.state.specimen.marking;
        if marking.placing.take().is_some() || marking.moving.take().is_some() {
            return true;
        }
        marking.chosen.take().is_some()
    }

    /// Writes where the points of a mark were moved to.
    pub(super) fn commit_moves(&mut self) {
        let (Some(open), Some(moving)) = (&self.open, &self.state.specimen.marking.moving) else { return };
        let Some(before) = open.day.session.marks.get(&moving.id) else { return };
        let Some(mark) = moving.mark(before) else { return };
        let (id, number) = (mark.id, open.sheet.number(mark.frame));
        let words = match mark.points.len().cmp(&before.points.len()) {
            Ordering::Equal => tell!("undo-move-mark", mark = name(&mark), number = number),
            Ordering::Greater => tell!("undo-point-more", mark = name(&mark), number = number),
            Ordering::Less => tell!("undo-point-less", mark = name(&mark), number = number),
        };
        if !self.try_edit(&words, Some(Edit::Mark(id, Some(Box::new(mark))))) {
            self.follow_marks();
        }
    }

    /// Opens the next mark of the frame, or the one before; the chosen one where it is not open, and from none the first or the
    /// last.
    fn step_mark(&mut self, by: isize) {
        let (Some(open), Some(frame)) = (&self.open, self.state.frame) else { return };
        let ids: Vec<MarkId> = marks_of(&open.day.session, frame).map(|m| m.id).collect();
        let at = ids.iter().position(|id| Some(*id) == self.state.specimen.marking.chosen);
        let last = ids.len().saturating_sub(1);
        let is_open = self.state.specimen.marking.moving.is_some();
        let to = match at {
            // The chosen one is opened first, where it is not.
            Some(at) if !is_open => at,
            Some(at) => match at.checked_add_signed(by) {
                Some(to) if to <= last => to,
                Some(_) => 0,
                None => last,
            },
            None if by < 0 => last,
            None => 0,
        };
        if let Some(id) = ids.get(to) {
            self.choose_mark(*id, 0);
        }
    }

    fn choose_mark(&mut self, id: MarkId, point: usize) {
        let Some(mark) = self.open.as_ref().and_then(|o| o.day.session.marks.get(&id)) else { return };
        let asks = self.state.specimen.marking.asks.filter(|asked| *asked == id);
        let moving = Some(Moving::of(mark, point));
        let at = mark.points.get(point).copied();
        self.state.specimen.marking = Marking { chosen: Some(id), moving, asks, ..Marking::default() };
        self.state.specimen.page = SidePage::Measures;
        self.ctx.memory_mut(|m| m.focused().into_iter().for_each(|id| m.surrender_focus(id)));
        self.keep_seen(at);
    }

    /// Takes the chosen mark away; marks that took their scale from it alone, or are divided by it, are so no longer.
    fn delete_mark(&mut self) {
        let (Some(open), Some(id)) = (&self.open, self.state.specimen.marking.chosen) else { return };
        let session = &open.day.session;
        let Some(mark) = session.marks.get(&id) else { return };
        let others = || session.marks.values().filter(|other| other.id != id);
        let scaled = others().any(|other| other.frame == mark.frame && other.known.is_some());
        let changed = |other: &Mark| {
            let mut changed = other.clone();
            changed.ratio_to = other.ratio_to.filter(|to| *to != id);
            let from = match other.scale {
                ScaleUsed::Unscaled => None,
                ScaleUsed::SameFrame => Some(other.frame),
                ScaleUsed::Carried(from) => Some(from),
            };
            if from == Some(mark.frame) && !scaled {
                changed.scale = ScaleUsed::Unscaled;
            }
            (changed != *other).then_some(Edit::Mark(other.id, Some(Box::new(changed))))
        };
        let mut edits: Vec<Edit> = others().filter_map(changed).collect();
        edits.push(Edit::Mark(id, None));
        let words = tell!("undo-delete-mark", mark = name(mark), number = open.sheet.number(mark.frame));
        self.edit(&words, Some(Edit::Many(edits)));
        self.state.specimen.marking = Marking::default();
    }

    /// Does what the picture or the page asked for.
    pub(super) fn mark_asked(&mut self, ask: MarkAsk) {
        match ask {
            MarkAsk::Place(place) => self.place_point(place),
            MarkAsk::Choose(id, point) => {
                self.commit_typing();
                self.choose_mark(id, point);
            }
            MarkAsk::Drag(id, point, place) => {
                let is_open = self.state.specimen.marking.moving.as_ref().is_some_and(|m| m.id == id);
                if !is_open {
                    self.commit_typing();
                    self.choose_mark(id, point);
                }
                let (Some(picture_px), placing_px) = (self.picture_size(), self.placing_now()) else {
                    return;
                };
                if let Some(moving) = &mut self.state.specimen.marking.moving {
                    moving.put(point, within(place, picture_px), placing_px);
                }
            }
            MarkAsk::Between(id, point) => self.put_between(id, point),
            MarkAsk::Drop => self.commit_moves(),
            ask => self.mark_typed(ask),
        }
    }
}
