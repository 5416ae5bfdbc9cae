//! The scale of a frame: how many millimetres a pixel of its full picture is.
//!
//! Goes in: the marks of a session. Comes out: the scale by the known length on a frame, or by that on another frame which a
//! mark carries to it. Pixels of another size are another scale.

use std::collections::BTreeMap;

use imaging::Uncertain;
use imaging::measuring::Scale;
use record::{FrameId, Mark, MarkId, ScaleUsed};

/// The scale by the known length that was marked on this frame last, for pictures of this size.
pub(crate) fn scale_from(
    marks: &BTreeMap<MarkId, Mark>,
    frame: FrameId,
    picture_px: (u32, u32),
) -> Option<Scale> {
    let (by, known) =
        marks.values().rev().filter(|by| by.frame == frame).find_map(|by| Some((by, by.known?)))?;
    if by.picture_px != picture_px {
        return None;
    }
    let ends = [*by.points.first()?, *by.points.last()?];
    Scale::of(ends, by.placing_px, Uncertain { value: known.mm, standard: known.standard_mm })
}

/// The scale of a frame, and the size of the picture it holds for: its own, else the one that a mark on it is carried.
pub(crate) fn scale_of(marks: &BTreeMap<MarkId, Mark>, frame: FrameId) -> Option<(Scale, (u32, u32))> {
    marks.values().filter(|mark| mark.frame == frame).find_map(|mark| {
        let from = match (mark.known, mark.scale) {
            (None, ScaleUsed::Carried(other)) => other,
            (None, ScaleUsed::Unscaled) => return None,
            _ => frame,
        };
        Some((scale_from(marks, from, mark.picture_px)?, mark.picture_px))
    })
}

#[cfg(test)]
mod tests {
    use record::{KnownLength, MarkKind};

    use super::*;

    fn mark(id: u32, frame: u32, known: Option<f64>, scale: ScaleUsed) -> (MarkId, Mark) {
        let mark = Mark {
            id: MarkId(id),
            frame: FrameId(frame),
            picture_px: (600, 400),
            kind: MarkKind::Line,
            points: vec![(100.0, 50.0), (400.0, 50.0)],
            placing_px: 1.0,
            what: String::new(),
            known: known.map(|mm| KnownLength { mm, standard_mm: 0.0 }),
            ratio_to: None,
            scale,
            tilt_deg: 0.0,
            depth_share: 0.0,
        };
        (mark.id, mark)
    }

    #[test]
    fn a_frame_has_its_own_scale_or_one_that_is_carried_to_it() {
        let marks = BTreeMap::from([
            mark(0, 0, Some(30.0), ScaleUsed::Unscaled),
            mark(1, 1, None, ScaleUsed::Carried(FrameId(0))),
            mark(2, 2, None, ScaleUsed::Unscaled),
            mark(3, 3, None, ScaleUsed::Carried(FrameId(2))),
            mark(4, 0, None, ScaleUsed::SameFrame),
        ]);
        let check = |frame, expected: Option<f64>| {
            let found = scale_of(&marks, FrameId(frame));
            assert_eq!(
                found.map(|(scale, size)| (scale.mm_per_px.value, size)),
                expected.map(|mm| (mm, (600, 400)))
            );
        };
        check(0, Some(0.1));
        check(1, Some(0.1));
        check(2, None);
        check(3, None);
        check(4, None);
        assert!(scale_from(&marks, FrameId(0), (601, 400)).is_none());
    }
}
