//! Marks on pictures while they are placed and moved: what the hands do, before it is written.
//!
//! Go in: places in px of the full-size upright picture, and how large a pixel is on the screen. Come out: marks to be
//! written. What they measure is [`super::mark_values`]; drawing and writing are elsewhere.

use egui::Key;
use record::{FrameId, Mark, MarkId, MarkKind, ScaleUsed, Session};

use super::chord::Chord;

/// A place in a picture, px.
pub(crate) type Place = (f64, f64);

/// A step of an arrow key, px.
const ARROW_PX: f64 = 1.0;
/// A step with Shift, px.
const SHIFT_PX: f64 = 10.0;
/// A step with Ctrl, px.
const CTRL_PX: f64 = 100.0;

/// A person points within about one pixel of the screen, whatever lies below it; our own choice.
const PLACING_SCREEN_PX: f64 = 1.0;
/// However large it is shown, an edge in a picture is no sharper than this, px; our own choice.
const PLACING_LEAST_PX: f64 = 0.5;

/// How well a point is placed, px of the picture, where a pixel of it takes `zoom` pixels of the screen.
pub(crate) fn placing_px(zoom: f32) -> f64 {
    (PLACING_SCREEN_PX / f64::from(zoom.max(1e-3))).max(PLACING_LEAST_PX)
}

/// What is being placed.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Placing {
    /// The frame.
    pub(crate) frame: FrameId,
    /// Its shape.
    pub(crate) kind: MarkKind,
    /// Whether its length will be asked for, to give a scale.
    pub(crate) is_known: bool,
    /// The points there are.
    pub(crate) points: Vec<Place>,
    /// How well each was placed, px.
    pub(crate) placed: Vec<f64>,
    /// Where the next goes when it is placed by a key; `None` is the middle of what is seen.
    pub(crate) cursor: Option<Place>,
}

/// A mark whose points are moved, and how they stand while that is not written.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Moving {
    /// Which.
    pub(crate) id: MarkId,
    /// The point that keys move.
    pub(crate) point: usize,
    /// The points as they are now.
    pub(crate) points: Vec<Place>,
    /// How well each was placed, px.
    pub(crate) placed: Vec<f64>,
}

/// What the hands are at.
#[derive(Debug, Clone, Default, PartialEq)]
pub(crate) struct Marking {
    /// The chosen mark.
    pub(crate) chosen: Option<MarkId>,
    /// The mark being placed.
    pub(crate) placing: Option<Placing>,
    /// The chosen mark while its points are moved.
    pub(crate) moving: Option<Moving>,
    /// The mark whose length is to be asked for, since it is to give a scale.
    pub(crate) asks: Option<MarkId>,
    /// A field of the page that should take the keyboard.
    pub(crate) focus: Option<MarkField>,
    /// The length of the chosen mark as it is typed: mm, and its uncertainty.
    pub(crate) known: Option<[String; 2]>,
    /// How the chosen mark may lie out of the plane as it is typed: degrees, and per cent.
    pub(crate) plane: Option<[String; 2]>,
    /// What the chosen mark measures as it is typed.
    pub(crate) what: Option<String>,
    /// What was wrong with what was typed.
    pub(crate) refused: Option<String>,
}

/// What the picture and the page ask for.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum MarkAsk {
    /// Places a point of the mark being placed.
    Place(Place),
    /// Chooses a mark, and the point of it that keys move.
    Choose(MarkId, usize),
    /// Moves a point of a mark there.
    Drag(MarkId, usize, Place),
    /// Writes where the points are.
    Drop,
    /// Gives the chosen mark the length that was typed.
    Known,
    /// Says what the chosen mark measures.
    What(String),
    /// Says how the chosen mark may lie out of the plane, as it was typed.
    Plane,
    /// Puts a point of a mark halfway between this one and the next.
    Between(MarkId, usize),
    /// Says what turns the chosen mark into millimetres.
    Scale(ScaleUsed),
    /// Divides the chosen mark by another, or by none.
    Ratio(Option<MarkId>),
}

/// A field of the page.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum MarkField {
    /// The known length.
    Known,
    /// What is measured.
    What,
}

/// What a key means while a mark is placed or moved.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum MarkKey {
    /// So far to the right and down, px.
    Step(f64, f64),
    /// The next point.
    NextPoint,
    /// The point before.
    PreviousPoint,
    /// Places a point.
    Place,
    /// Takes the last point away.
    TakeBack,
    /// Puts a point halfway to the next.
    Between,
    /// Takes the point away that keys move.
    Without,
}

/// What a key means while a mark is placed, or else moved; `None` for keys that go on being commands.
pub(crate) fn mark_key(chord: Chord, places: bool) -> Option<MarkKey> {
    let step = match (chord.ctrl, chord.shift) {
        (false, false) => ARROW_PX,
        (false, true) => SHIFT_PX,
        (true, false) if places => CTRL_PX,
        (true, _) => return None,
    };
    Some(match chord.key {
        Key::ArrowLeft => MarkKey::Step(-step, 0.0),
        Key::ArrowRight => MarkKey::Step(step, 0.0),
        Key::ArrowUp => MarkKey::Step(0.0, -step),
        Key::ArrowDown => MarkKey::Step(0.0, step),
        Key::Tab if !places && chord.shift => MarkKey::PreviousPoint,
        Key::Tab if !places => MarkKey::NextPoint,
        Key::Space if places && !chord.ctrl => MarkKey::Place,
        Key::Backspace if places && !chord.ctrl => MarkKey::TakeBack,
        Key::Insert if !places && !chord.shift => MarkKey::Between,
        Key::Backspace if !places && !chord.shift => MarkKey::Without,
        _ => return None,
    })
}

/// A place moved, no further than the edges of its picture.
pub(crate) fn moved(place: Place, by: (f64, f64), picture_px: (u32, u32)) -> Place {
    within((place.0 + by.0, place.1 + by.1), picture_px)
}

/// The nearest place of a picture.
pub(crate) fn within(place: Place, picture_px: (u32, u32)) -> Place {
    (place.0.clamp(0.0, f64::from(picture_px.0)), place.1.clamp(0.0, f64::from(picture_px.1)))
}

impl Marking {
    /// Whether something is placed or moved, so that keys belong to it.
    pub(crate) fn is_open(&self) -> bool {
        self.placing.is_some() || self.moving.is_some()
    }

    /// Lets go of all that is typed of the chosen mark.
    pub(crate) fn forget_typed(&mut self) {
        (self.known, self.plane, self.what, self.refused) = (None, None, None, None);
    }

    /// Goes along with a session that changed: a mark that is no more is let go, points are where they are written.
    pub(crate) fn follow(&mut self, session: &Session) {
        if self.chosen.is_some_and(|id| !session.marks.contains_key(&id)) {
            *self = Self::default();
        }
        self.forget_typed();
        if let Some(moving) = &mut self.moving
            && let Some(mark) = session.marks.get(&moving.id).filter(|mark| mark.points != moving.points)
        {
            *moving = Moving::of(mark, moving.point.min(mark.points.len() - 1));
        }
    }
}

impl Placing {
    /// Begins with no points.
    pub(crate) fn new(frame: FrameId, kind: MarkKind, is_known: bool) -> Self {
        Self { frame, kind, is_known, points: Vec::new(), placed: Vec::new(), cursor: None }
    }

    /// Places a point, unless one lies there; whether the mark has all its points now.
    pub(crate) fn add(&mut self, place: Place, placing_px: f64) -> bool {
        if !self.points.contains(&place) {
            self.points.push(place);
            self.placed.push(placing_px);
        }
        self.kind == MarkKind::Line && self.points.len() == 2
    }

    /// Whether it could be written as it is.
    pub(crate) fn can_end(&self) -> bool {
        self.points.len() >= 2
    }

    /// The mark, of a number of its own, measured by the scale that its frame has.
    pub(crate) fn mark(&self, session: &Session, picture_px: (u32, u32)) -> Mark {
        let scaled = session.marks.values().any(|m| m.frame == self.frame && m.known.is_some());
        Mark {
            id: next_id(session),
            frame: self.frame,
            picture_px,
            kind: self.kind,
            points: self.points.clone(),
            placing_px: largest(&self.placed),
            what: String::new(),
            known: None,
            ratio_to: None,
            scale: if scaled { ScaleUsed::SameFrame } else { ScaleUsed::Unscaled },
            tilt_deg: 0.0,
            depth_share: 0.0,
        }
    }
}

impl Moving {
    /// Begins with a mark as it is.
    pub(crate) fn of(mark: &Mark, point: usize) -> Self {
        let placed = vec![mark.placing_px; mark.points.len()];
        Self { id: mark.id, point, points: mark.points.clone(), placed }
    }

    /// Moves a point there, placed so well.
    pub(crate) fn put(&mut self, point: usize, place: Place, placing_px: f64) {
        if let Some(at) = self.points.get_mut(point).filter(|at| **at != place) {
            *at = place;
            self.placed[point] = placing_px;
        }
        self.point = point;
    }

    /// Puts a point halfway between this one and the next, or the one before the last, placed so well; keys move it then.
    pub(crate) fn between(&mut self, point: usize, placing_px: f64) {
        let first = point.min(self.points.len().saturating_sub(2));
        let Some([one, other]) = self.points.get(first..first + 2) else { return };
        let middle = (f64::midpoint(one.0, other.0), f64::midpoint(one.1, other.1));
        self.point = first + 1;
        self.points.insert(self.point, middle);
        self.placed.insert(self.point, placing_px);
    }

    /// Takes the point away that keys move, unless only two are left; whether it did.
    pub(crate) fn without(&mut self) -> bool {
        if self.points.len() <= 2 || self.point >= self.points.len() {
            return false;
        }
        self.points.remove(self.point);
        self.placed.remove(self.point);
        self.point = self.point.min(self.points.len() - 1);
        true
    }

    /// The mark with its points where they are now; `None` when none moved. One placed less well than the others is what
    /// counts.
    pub(crate) fn mark(&self, before: &Mark) -> Option<Mark> {
        let points = self.points.clone();
        (points != before.points).then(|| Mark {
            points,
            placing_px: largest(&self.placed),
            ..before.clone()
        })
    }
}

fn largest(values: &[f64]) -> f64 {
    values.iter().copied().fold(PLACING_LEAST_PX, f64::max)
}

/// A number that no mark has.
fn next_id(session: &Session) -> MarkId {
    MarkId(session.marks.keys().last().map_or(0, |id| id.0 + 1))
}

/// The marks of a frame, in the order in which they were placed.
pub(crate) fn marks_of(session: &Session, frame: FrameId) -> impl Iterator<Item = &Mark> {
    session.marks.values().filter(move |mark| mark.frame == frame)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn near(got: f64, expected: f64) {
        assert!((got - expected).abs() < 1e-6, "{got}");
    }

    #[test]
    fn a_point_is_placed_within_a_pixel_of_the_screen_and_never_better_than_half_one_of_the_picture() {
        near(placing_px(0.2), 5.0);
        near(placing_px(1.0), 1.0);
        near(placing_px(8.0), 0.5);
        assert!(placing_px(0.0).is_finite());
    }

    #[test]
    fn a_line_is_whole_at_its_second_point_and_a_polyline_goes_on() {
        let mut line = Placing::new(FrameId(1), MarkKind::Line, false);
        assert!(!line.add((1.0, 1.0), 1.0) && !line.can_end());
        assert!(!line.add((1.0, 1.0), 1.0), "a point there is placed once");
        assert!(line.add((9.0, 1.0), 2.0) && line.can_end());
        let mut poly = Placing::new(FrameId(1), MarkKind::Polyline, false);
        for x in 0..4 {
            assert!(!poly.add((f64::from(x), 0.0), 1.0));
        }
        let session = Session::new("day", crate::plans::usual());
        let mark = line.mark(&session, (100, 100));
        near(mark.placing_px, 2.0);
        assert_eq!((mark.id, mark.check()), (MarkId(0), Ok(())));
    }

    #[test]
    fn moving_a_point_keeps_how_well_the_others_were_placed() {
        let mut line = Placing::new(FrameId(1), MarkKind::Line, false);
        line.add((1.0, 1.0), 4.0);
        line.add((9.0, 1.0), 4.0);
        let mark = line.mark(&Session::new("day", crate::plans::usual()), (100, 100));
        let mut moving = Moving::of(&mark, 0);
        assert_eq!(moving.mark(&mark), None);
        moving.put(0, (2.0, 1.0), 0.5);
        near(moving.mark(&mark).unwrap().placing_px, 4.0);
        moving.put(1, (8.0, 1.0), 1.0);
        // Both were placed anew.
        near(moving.mark(&mark).unwrap().placing_px, 1.0);
    }

    #[test]
    fn a_polyline_gains_and_loses_points() {
        let mut poly = Placing::new(FrameId(1), MarkKind::Polyline, false);
        for x in [0.0, 10.0, 20.0] {
            poly.add((x, 0.0), 1.0);
        }
        let mark = poly.mark(&Session::new("day", crate::plans::usual()), (100, 100));
        let mut moving = Moving::of(&mark, 0);
        let check = |moving: &Moving, point: usize, expected: &[f64]| {
            let along: Vec<f64> = moving.points.iter().map(|p| p.0).collect();
            assert_eq!((moving.point, along.as_slice()), (point, expected));
            assert_eq!(moving.placed.len(), expected.len());
        };
        moving.between(0, 3.0);
        check(&moving, 1, &[0.0, 5.0, 10.0, 20.0]);
        near(moving.mark(&mark).unwrap().placing_px, 3.0);
        // Behind the last there is nothing: it goes before it.
        moving.between(3, 1.0);
        check(&moving, 3, &[0.0, 5.0, 10.0, 15.0, 20.0]);
        moving.point = 4;
        assert!(moving.without());
        check(&moving, 3, &[0.0, 5.0, 10.0, 15.0]);
        assert!(moving.without() && moving.without());
        assert!(!moving.without(), "two points are the least");
        check(&moving, 1, &[0.0, 5.0]);
    }

    #[test]
    fn keys_step_by_one_ten_and_a_hundred_and_stay_within_the_picture() {
        let key = |ctrl, shift, key| mark_key(Chord { ctrl, shift, key }, false);
        assert_eq!(key(false, false, Key::ArrowLeft), Some(MarkKey::Step(-1.0, 0.0)));
        assert_eq!(key(false, true, Key::ArrowDown), Some(MarkKey::Step(0.0, 10.0)));
        assert_eq!(key(false, true, Key::Tab), Some(MarkKey::PreviousPoint));
        assert_eq!(key(true, false, Key::ArrowRight), None, "it goes to the next mark");
        let placing = |ctrl, key| mark_key(Chord { ctrl, shift: false, key }, true);
        assert_eq!(placing(true, Key::ArrowUp), Some(MarkKey::Step(0.0, -100.0)));
        assert_eq!(placing(false, Key::Space), Some(MarkKey::Place));
        for other in [Key::Enter, Key::Escape, Key::F, Key::Delete] {
            assert_eq!((key(false, false, other), placing(false, other)), (None, None));
        }
        assert_eq!(moved((5.0, 95.0), (-10.0, 10.0), (100, 100)), (0.0, 100.0));
    }
}
