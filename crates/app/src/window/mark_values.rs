//! What marks measure: lengths with their uncertainty, ratios, the state a ratio stands for, and what speaks against a scale.
//!
//! Go in: the session and a mark of it. Come out: values of `imaging` and words for them. Nothing is written here.

use imaging::Uncertain;
use imaging::carried::{Caveat, Common, Setup, caveats};
use imaging::measuring::{Length, OutOfPlane, Scale, length, length_px, ratio};
use record::{Character, Characters, Frame, FrameId, Mark, MarkKind, ScaleUsed, Session, State};

use super::marking::marks_of;
use super::words::tell;

/// The known length that a mark takes its scale from, and the scale.
pub(crate) fn scale_of<'s>(session: &'s Session, mark: &Mark) -> Option<(&'s Mark, Scale)> {
    let frame = match mark.scale {
        ScaleUsed::Unscaled => return None,
        ScaleUsed::SameFrame => mark.frame,
        ScaleUsed::Carried(frame) => frame,
    };
    known_on(session, frame)
}

/// The known length on a frame, the one marked last where there are several, and the scale it gives.
pub(crate) fn known_on(session: &Session, frame: FrameId) -> Option<(&Mark, Scale)> {
    let known: Vec<&Mark> = marks_of(session, frame).filter(|m| m.known.is_some()).collect();
    known.into_iter().rev().find_map(|mark| {
        let ([one, other], known) = (mark.points.as_slice().try_into().ok()?, mark.known?);
        let known = Uncertain { value: known.mm, standard: known.standard_mm };
        Some((mark, Scale::of([one, other], mark.placing_px, known)?))
    })
}

/// The frames of the day, other than this, that have a known length.
pub(crate) fn frames_with_scale(session: &Session, besides: FrameId) -> Vec<FrameId> {
    let mut frames: Vec<FrameId> = session.marks.values().map(|m| m.frame).collect();
    frames.sort_unstable();
    frames.dedup();
    frames.retain(|frame| *frame != besides && known_on(session, *frame).is_some());
    frames
}

fn out_of_plane(mark: &Mark) -> OutOfPlane {
    OutOfPlane { tilt_deg: mark.tilt_deg, depth_share: mark.depth_share }
}

/// The length of a mark in px.
pub(crate) fn px_of(mark: &Mark) -> Option<Uncertain> {
    length_px(&mark.points, mark.placing_px)
}

/// The length of a mark in mm; `None` without a scale, and of a known length.
pub(crate) fn mm_of(session: &Session, mark: &Mark) -> Option<Length> {
    let (known, scale) = scale_of(session, mark).filter(|_| mark.known.is_none())?;
    debug_assert!(known.known.is_some());
    Some(length(px_of(mark)?, scale, out_of_plane(mark)))
}

/// A mark over the one it is to be divided by.
pub(crate) fn ratio_of(session: &Session, mark: &Mark) -> Option<Uncertain> {
    let other = session.marks.get(&mark.ratio_to?)?;
    ratio(px_of(mark)?, px_of(other)?, out_of_plane(mark))
}

/// The character that a ratio of these two measures is, and the states it stands for: at its value, and where one standard
/// uncertainty more or less would stand for another.
pub(crate) struct StateOfRatio<'a> {
    /// The character.
    pub(crate) character: &'a Character,
    /// The state at the value.
    pub(crate) state: &'a State,
    /// The state it may be as well.
    pub(crate) or: Option<&'a State>,
}

/// What the ratio of a mark stands for among the characters of a plan.
pub(crate) fn state_of_ratio<'a>(
    session: &Session,
    characters: &'a Characters,
    mark: &Mark,
) -> Option<StateOfRatio<'a>> {
    let value = ratio_of(session, mark)?;
    let other = session.marks.get(&mark.ratio_to?)?;
    let is = |c: &&Character| {
        c.ratio_of.as_ref().is_some_and(|(what, over)| *what == mark.what && *over == other.what)
    };
    let character = characters.all.iter().find(is)?;
    let state = |ratio: f64| character.state_of_ratio(ratio).and_then(|key| character.state(key));
    let at = state(value.value)?;
    let beside = [value.value - value.standard, value.value + value.standard];
    let or = beside.into_iter().find_map(|ratio| state(ratio).filter(|s| s.key != at.key));
    Some(StateOfRatio { character, state: at, or })
}

/// The value of a mark as it stands beside it in the picture: `4.02 ± 0.02 mm`, `482 ± 2 px`, `10.00 mm, known`.
pub(crate) fn label(session: &Session, mark: &Mark) -> String {
    if let Some(known) = mark.known {
        return tell!("measure-known-label", mm = format!("{:.2}", known.mm));
    }
    match (mm_of(session, mark), px_of(mark)) {
        (Some(length), _) => tell!("measure-mm", value = length.mm.words()),
        (None, Some(px)) => tell!("measure-px", value = px.words()),
        (None, None) => String::new(),
    }
}

/// What a mark is called: what it measures, else its shape.
pub(crate) fn name(mark: &Mark) -> String {
    match (mark.known, mark.kind) {
        (Some(_), _) => tell!("measure-known"),
        (None, _) if !mark.what.is_empty() => mark.what.clone(),
        (None, MarkKind::Line) => tell!("measure-line"),
        (None, MarkKind::Polyline) => tell!("measure-polyline"),
    }
}

/// How a frame was taken, as far as it was recorded.
fn setup(frame: &Frame, picture_px: Option<(u32, u32)>) -> Setup {
    let body = frame.body != record::Body::default();
    Setup {
        body: body.then(|| frame.body.words()),
        lens: Some(&frame.shot.lens).filter(|lens| !lens.is_empty()).cloned(),
        focal_length_mm: frame.shot.focal_length_mm,
        focus_distance_mm: frame.shot.focus_distance_m.map(|metres| metres * 1000.0),
        size_px: picture_px.or(frame.size_px),
    }
}

/// What speaks against a scale carried from another frame: a line each, and whether it differs or is only not known.
pub(crate) fn carried_words(session: &Session, mark: &Mark) -> Vec<(String, bool)> {
    let ScaleUsed::Carried(from) = mark.scale else { return Vec::new() };
    let (Some(other), Some(own)) = (session.frame(from), session.frame(mark.frame)) else {
        return Vec::new();
    };
    let other_px = known_on(session, from).map(|(known, _)| known.picture_px);
    let found = caveats(&setup(other, other_px), &setup(own, Some(mark.picture_px)));
    let of = |wanted: fn(&Caveat) -> Option<Common>| -> Vec<&'static str> {
        found.iter().filter_map(wanted).map(Common::words).collect()
    };
    let differs = of(|c| if let Caveat::Differs(what) = c { Some(*what) } else { None });
    let unknown = of(|c| if let Caveat::Unknown(what) = c { Some(*what) } else { None });
    let mut lines = Vec::new();
    if !differs.is_empty() {
        lines.push((tell!("measure-carried-differs", what = differs.join(", ")), true));
    }
    if !unknown.is_empty() {
        lines.push((tell!("measure-carried-unknown", what = unknown.join(", ")), false));
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::window::marking::Placing;
    use record::{FrameFile, FrameKind, KnownLength, MarkId};

    fn frame(id: u32) -> Frame {
        Frame::new(
            FrameId(id),
            vec![FrameFile { path: format!("{id}.jpg"), bytes: 1, role: record::FileRole::Picture }],
        )
    }

    /// Adds a line on a frame, x from 0, of this length.
    fn line(session: &mut Session, on: u32, long: f64, change: impl FnOnce(&mut Mark)) -> MarkId {
        let mut placing = Placing::new(FrameId(on), MarkKind::Line, false);
        placing.add((0.0, 5.0), 2f64.sqrt());
        placing.add((long, 5.0), 2f64.sqrt());
        let mut mark = placing.mark(session, (6000, 4000));
        change(&mut mark);
        let id = mark.id;
        session.marks.insert(id, mark);
        id
    }

    fn session() -> Session {
        let mut session = Session::new("day", crate::plans::usual());
        session.frames = (0..2).map(frame).collect();
        assert_eq!(session.kind(&session.frames[0]), FrameKind::Specimen);
        session
    }

    fn known(mm: f64, standard_mm: f64) -> impl FnOnce(&mut Mark) {
        move |m: &mut Mark| m.known = Some(KnownLength { mm, standard_mm })
    }

    #[test]
    fn a_length_by_a_known_one_on_the_same_frame_is_that_of_the_guide() {
        // JCGM 100:2008 on 10.00 ± 0.02 mm over 1200 px and 482 px, ends placed within √2 px: 4.0167 ± 0.0197 mm.
        let mut session = session();
        line(&mut session, 0, 1200.0, known(10.0, 0.02));
        let id = line(&mut session, 0, 482.0, |_| ());
        let mark = session.marks[&id].clone();
        assert_eq!(mark.scale, ScaleUsed::SameFrame, "it takes the scale that is there");
        let got = mm_of(&session, &mark).unwrap().mm;
        assert!((got.value - 4.0167).abs() < 5e-5 && (got.standard - 0.0197).abs() < 5e-5, "{got:?}");
        assert_eq!(label(&session, &mark), "4.02 ± 0.02 mm");
        let other = line(&mut session, 1, 100.0, |_| ());
        assert_eq!(label(&session, &session.marks[&other]), "100 ± 2 px", "the other frame has none");
    }

    #[test]
    fn a_carried_scale_says_what_differs_and_what_nobody_recorded() {
        let mut session = session();
        line(&mut session, 0, 1200.0, known(10.0, 0.02));
        let id = line(&mut session, 1, 600.0, |m| m.scale = ScaleUsed::Carried(FrameId(0)));
        let words = |session: &Session| -> Vec<String> {
            carried_words(session, &session.marks[&id]).into_iter().map(|w| w.0).collect()
        };
        assert!((mm_of(&session, &session.marks[&id]).unwrap().mm.value - 5.0).abs() < 1e-9);
        let all = words(&session);
        assert_eq!(all.len(), 1);
        assert!(all[0].contains("camera body, lens, focal length, focus distance"), "{all:?}");
        session.frames[0].shot.focal_length_mm = Some(60.0);
        session.frames[1].shot.focal_length_mm = Some(100.0);
        let all = words(&session);
        assert!(all[0].contains("focal length") && !all[1].contains("focal length"), "{all:?}");
        assert_eq!(frames_with_scale(&session, FrameId(1)), [FrameId(0)]);
        assert_eq!(frames_with_scale(&session, FrameId(0)), []);
    }

    #[test]
    fn a_ratio_stands_for_a_state_and_near_its_bound_for_two() {
        let characters = crate::characters::of(&crate::plans::usual()).unwrap();
        let mut session = session();
        let width = line(&mut session, 0, 852.0, |m| m.what = record::CHEEK_WIDTH.into());
        let mut state = |long: f64| {
            let id = line(&mut session, 0, long, |m| {
                m.what = record::CHEEK_LENGTH.into();
                m.ratio_to = Some(width);
            });
            let found = state_of_ratio(&session, &characters, &session.marks[&id]).unwrap();
            (found.character.key.to_string(), found.state.name.clone(), found.or.map(|s| s.name.clone()))
        };
        // 0.82 mm over 0.71 mm is 1.15: long.
        assert_eq!(state(984.0), ("cheek-length".into(), "long".into(), None));
        assert_eq!(state(852.0), ("cheek-length".into(), "square".into(), None));
        assert_eq!(state(895.5), ("cheek-length".into(), "long".into(), Some("square".into())));
    }
}
