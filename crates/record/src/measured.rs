//! What a person measured on frames, as it is kept: marks whose lengths are worked out again when needed.
//!
//! A [`Mark`] keeps where its points were placed and what length in mm any of them is known by, never a length that was
//! worked out. Places are in px of the full-size picture, upright, from its upper left corner. Checks say what cannot be
//! right; nothing is corrected here, and no length is worked out.

use std::collections::{BTreeMap, BTreeSet};

use serde::{Deserialize, Serialize};

use crate::FrameId;

/// Names a mark within its session. Never given twice.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(transparent)]
pub struct MarkId(pub u32);

/// What the program knows how to go on with; any other name may be given too. Intertegular distance: between the inner edges
/// of the two tegulae, from straight above. Cheek length: from the lower rim of the compound eye to the base of the mandible;
/// cheek width: between the two hinges of that base.
pub const KNOWN_MEASURES: [&str; 3] = [INTERTEGULAR_DISTANCE, CHEEK_LENGTH, CHEEK_WIDTH];

/// A known measure: see [`KNOWN_MEASURES`].
pub const INTERTEGULAR_DISTANCE: &str = "intertegular distance";

/// A known measure: see [`KNOWN_MEASURES`].
pub const CHEEK_LENGTH: &str = "cheek length";

/// A known measure: see [`KNOWN_MEASURES`].
pub const CHEEK_WIDTH: &str = "cheek width";

/// The shape of a mark.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub enum MarkKind {
    /// Straight, from one point to another.
    Line,
    /// Through two points or more.
    Polyline,
}

/// A length that is known, as of a ruler.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct KnownLength {
    /// mm, above 0.
    pub mm: f64,
    /// Its standard uncertainty in mm, 0 or more.
    pub standard_mm: f64,
}

/// What turns a mark's pixels into millimetres.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default, Serialize, Deserialize)]
pub enum ScaleUsed {
    /// Nothing: it has a length in px only, which is enough for a ratio.
    #[default]
    Unscaled,
    /// A known length marked on the same frame.
    SameFrame,
    /// A known length marked on this other frame, which must have been taken alike.
    Carried(FrameId),
}

/// Something marked on a frame.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Mark {
    /// Its name within the session.
    pub id: MarkId,
    /// The frame it lies on.
    pub frame: FrameId,
    /// Width and height of the full-size upright picture when it was marked, px.
    pub picture_px: (u32, u32),
    /// Its shape.
    pub kind: MarkKind,
    /// Its points in order, px: x to the right and y down.
    pub points: Vec<(f64, f64)>,
    /// How well its points were placed: the standard uncertainty in either direction, px.
    pub placing_px: f64,
    /// What it measures: one of [`KNOWN_MEASURES`], or a name of one's own. Empty for a known length.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub what: String,
    /// The length it is known to have: it then gives a scale.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub known: Option<KnownLength>,
    /// The mark that its length is to be divided by, on the same frame.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub ratio_to: Option<MarkId>,
    /// What turns it into millimetres.
    #[serde(default)]
    pub scale: ScaleUsed,
    /// The largest tilt against the picture's plane thought possible, degrees.
    #[serde(default)]
    pub tilt_deg: f64,
    /// The largest share by which it may look larger or smaller because it lies nearer or farther than the scale.
    #[serde(default)]
    pub depth_share: f64,
}

/// What cannot be right about a mark.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, thiserror::Error)]
pub enum MarkFault {
    /// Fewer than two points, or a line of more.
    #[error("A line has two points, a polyline two or more.")]
    Points,
    /// A number is not finite.
    #[error("A number of the mark is not a number.")]
    NotFinite,
    /// A point lies outside the picture.
    #[error("A point lies outside the picture.")]
    Outside,
    /// A point was placed twice.
    #[error("Two points of the mark lie at one place.")]
    Repeated,
    /// Lengths must be above 0; uncertainties, tilt and depth must not be below, and tilt under 90 degrees.
    #[error("A length must be above 0, an uncertainty not below it, and a tilt less than 90 degrees.")]
    Range,
    /// The id belongs to another mark as well.
    #[error("Two marks have the same number.")]
    SameId,
    /// The mark it is to be divided by is itself, does not exist or lies on another frame.
    #[error("The mark to divide by is not another one on the same frame.")]
    Ratio,
    /// No known length is marked on the frame it takes its scale from, or it is carried from its own frame.
    #[error("The frame that the scale is taken from has no known length marked, or is this frame itself.")]
    NoScale,
}

impl Mark {
    /// What cannot be right about the mark alone: the first thing found.
    pub fn check(&self) -> Result<(), MarkFault> {
        let fits = match self.kind {
            MarkKind::Line => self.points.len() == 2,
            MarkKind::Polyline => self.points.len() >= 2,
        };
        let known = self.known.map_or([1.0, 0.0], |known| [known.mm, known.standard_mm]);
        let numbers = [self.placing_px, self.tilt_deg, self.depth_share, known[0], known[1]];
        let points = || self.points.iter();
        let (width, height) = (f64::from(self.picture_px.0), f64::from(self.picture_px.1));
        let outside = |p: &(f64, f64)| !((0.0..=width).contains(&p.0) && (0.0..=height).contains(&p.1));
        if !fits {
            Err(MarkFault::Points)
        } else if !(points().flat_map(|p| [&p.0, &p.1]).chain(&numbers).all(|v| v.is_finite())) {
            Err(MarkFault::NotFinite)
        } else if points().any(outside) {
            Err(MarkFault::Outside)
        } else if points().enumerate().any(|(i, p)| self.points[..i].contains(p)) {
            Err(MarkFault::Repeated)
        } else if numbers.iter().any(|v| *v < 0.0) || known[0] <= 0.0 || self.tilt_deg >= 90.0 {
            Err(MarkFault::Range)
        } else {
            Ok(())
        }
    }
}

/// All that cannot be right about these marks, alone and with each other, in their order; several of one mark may be told.
pub fn mark_faults(marks: &[Mark]) -> Vec<(MarkId, MarkFault)> {
    let frames: BTreeMap<MarkId, FrameId> = marks.iter().map(|m| (m.id, m.frame)).collect();
    let scaled: BTreeSet<FrameId> = marks.iter().filter(|m| m.known.is_some()).map(|m| m.frame).collect();
    let mut seen = BTreeSet::new();
    let faults = marks.iter().flat_map(|mark| {
        let beside = |other| other != mark.id && frames.get(&other) == Some(&mark.frame);
        let has_scale = match mark.scale {
            ScaleUsed::Unscaled => true,
            ScaleUsed::SameFrame => scaled.contains(&mark.frame),
            ScaleUsed::Carried(from) => from != mark.frame && scaled.contains(&from),
        };
        [
            mark.check().err(),
            (!seen.insert(mark.id)).then_some(MarkFault::SameId),
            (!mark.ratio_to.is_none_or(beside)).then_some(MarkFault::Ratio),
            (!has_scale).then_some(MarkFault::NoScale),
        ]
        .into_iter()
        .flatten()
        .map(|fault| (mark.id, fault))
    });
    faults.collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn mark(id: u32, frame: u32) -> Mark {
        Mark {
            id: MarkId(id),
            frame: FrameId(frame),
            picture_px: (6000, 4000),
            kind: MarkKind::Line,
            points: vec![(100.5, 200.25), (582.5, 200.25)],
            placing_px: 1.4,
            what: INTERTEGULAR_DISTANCE.into(),
            known: None,
            ratio_to: None,
            scale: ScaleUsed::Unscaled,
            tilt_deg: 0.0,
            depth_share: 0.0,
        }
    }

    #[test]
    fn a_mark_keeps_all_of_itself_in_text() {
        let mut whole = mark(3, 7);
        assert_eq!(ron::from_str::<Mark>(&ron::to_string(&whole).unwrap()).unwrap(), whole);
        whole.kind = MarkKind::Polyline;
        whole.points.push((0.1 + 0.2, 1e-9));
        whole.known = Some(KnownLength { mm: 10.0, standard_mm: 0.02 });
        (whole.ratio_to, whole.scale) = (Some(MarkId(4)), ScaleUsed::Carried(FrameId(2)));
        (whole.tilt_deg, whole.depth_share) = (10.0, 0.02);
        assert_eq!(ron::from_str::<Mark>(&ron::to_string(&whole).unwrap()).unwrap(), whole);
    }

    #[test]
    fn what_cannot_be_right_about_a_mark_alone_is_told() {
        let check = |change: &dyn Fn(&mut Mark), expected: Result<(), MarkFault>| {
            let mut changed = mark(0, 0);
            change(&mut changed);
            assert_eq!(changed.check(), expected);
        };
        check(&|_| (), Ok(()));
        check(&|m| m.points.truncate(1), Err(MarkFault::Points));
        check(&|m| m.points.push((1.0, 1.0)), Err(MarkFault::Points));
        check(&|m| (m.kind = MarkKind::Polyline, m.points.push((1.0, 1.0))).1, Ok(()));
        check(&|m| (m.kind = MarkKind::Polyline, m.points.clear()).1, Err(MarkFault::Points));
        check(&|m| m.points[1].0 = f64::NAN, Err(MarkFault::NotFinite));
        check(&|m| m.placing_px = f64::INFINITY, Err(MarkFault::NotFinite));
        check(&|m| m.points[0] = (0.0, 4000.0), Ok(()));
        check(&|m| m.points[0].1 = 4000.5, Err(MarkFault::Outside));
        check(&|m| m.points[0].0 = -0.5, Err(MarkFault::Outside));
        check(&|m| m.points[1] = m.points[0], Err(MarkFault::Repeated));
        check(&|m| m.placing_px = -1.0, Err(MarkFault::Range));
        check(&|m| m.tilt_deg = 90.0, Err(MarkFault::Range));
        let known = |mm, standard_mm| move |m: &mut Mark| m.known = Some(KnownLength { mm, standard_mm });
        check(&known(10.0, 0.0), Ok(()));
        check(&known(0.0, 0.1), Err(MarkFault::Range));
        check(&known(10.0, -0.1), Err(MarkFault::Range));
        check(&known(f64::NAN, 0.1), Err(MarkFault::NotFinite));
    }

    #[test]
    fn what_cannot_be_right_among_marks_is_told() {
        let check = |change: &dyn Fn(&mut [Mark]), expected: &[(u32, MarkFault)]| {
            let mut marks = [mark(0, 5), mark(1, 5), mark(2, 6)];
            marks[0].known = Some(KnownLength { mm: 10.0, standard_mm: 0.02 });
            change(&mut marks);
            let faults: Vec<_> = mark_faults(&marks).into_iter().map(|(id, fault)| (id.0, fault)).collect();
            assert_eq!(faults, expected);
        };
        check(&|m| (m[1].scale, m[2].scale) = (ScaleUsed::SameFrame, ScaleUsed::Carried(FrameId(5))), &[]);
        check(&|m| m[2].scale = ScaleUsed::SameFrame, &[(2, MarkFault::NoScale)]);
        check(&|m| m[1].scale = ScaleUsed::Carried(FrameId(6)), &[(1, MarkFault::NoScale)]);
        check(&|m| m[1].scale = ScaleUsed::Carried(FrameId(5)), &[(1, MarkFault::NoScale)]);
        check(&|m| m[1].ratio_to = Some(MarkId(0)), &[]);
        for other in [1, 2, 9] {
            check(&|m| m[1].ratio_to = Some(MarkId(other)), &[(1, MarkFault::Ratio)]);
        }
        check(&|m| m[1].id = MarkId(0), &[(0, MarkFault::SameId)]);
        check(
            &|m| (m[1].placing_px, m[1].scale) = (-1.0, ScaleUsed::Carried(FrameId(1))),
            &[(1, MarkFault::Range), (1, MarkFault::NoScale)],
        );
    }
}
