//! Which pictures of a specimen are shown, and as what: the round of views with its gaps.
//!
//! Goes in: a [`Shown`] specimen and what is filed of its session. Comes out: each view of the plan in shooting order with
//! its best frame and the others, and the frames whose view nobody has confirmed. Only confirmed views count: what is merely
//! proposed is a frame. Which is best is what the window shows as such ([`grouping::coverage`]).

use std::collections::BTreeMap;

use grouping::{Grouping, SlotState, coverage};
use record::{FileRole, Filed, Frame, FrameId, FrameKind, Session, View};

use crate::shown::Shown;

/// The pictures of a specimen.
pub(crate) struct Round<'a> {
    /// The views of the plan, in shooting order.
    pub(crate) slots: Vec<Slot<'a>>,
    /// Frames whose view is not confirmed, in the order they were taken.
    pub(crate) frames: Vec<&'a Frame>,
}

/// A view of the plan and the frames that are confirmed to show it.
pub(crate) struct Slot<'a> {
    /// The view.
    pub(crate) view: &'a View,
    /// Those frames, best first; none is a gap.
    pub(crate) frames: Vec<&'a Frame>,
}

impl<'a> Slot<'a> {
    /// The best frame; `None` where the view is a gap.
    pub(crate) fn best(&self) -> Option<&'a Frame> {
        self.frames.first().copied()
    }
}

/// The round of a specimen: frames that show it and of which a picture or raw is filed. `grouping` is that of its session
/// ([`grouping::group`]).
pub(crate) fn round<'a>(
    shown: &Shown<'a>,
    filed: &BTreeMap<FrameId, &Filed>,
    grouping: &Grouping,
) -> Round<'a> {
    let session = shown.session;
    let has_picture = |frame: &Frame| {
        let first = frame.files.first().map(|file| file.role);
        filed.contains_key(&frame.id) && matches!(first, Some(FileRole::Picture | FileRole::Raw))
    };
    let usable: BTreeMap<FrameId, &'a Frame> = shown
        .frames
        .iter()
        .filter(|frame| session.kind(frame) == FrameKind::Specimen && has_picture(frame))
        .map(|frame| (frame.id, *frame))
        .collect();
    let mut slots: Vec<Slot<'a>> =
        session.plan.views.iter().map(|view| Slot { view, frames: Vec::new() }).collect();
    let mut confirmed: Vec<FrameId> = Vec::new();
    let covered = coverage(session, grouping, shown.set);
    for (slot, found) in slots.iter_mut().zip(covered.slots) {
        if found.state == SlotState::Confirmed {
            slot.frames = found.frames.iter().filter_map(|id| usable.get(id).copied()).collect();
            confirmed.extend(found.frames);
        }
    }
    let others = shown.frames.iter().copied();
    let frames = others.filter(|f| usable.contains_key(&f.id) && !confirmed.contains(&f.id)).collect();
    Round { slots, frames }
}

/// A frame as it lies in an archive: the same, of its filed files alone, by their paths there. `folder` is that of its
/// session.
pub(crate) fn filed_frame(folder: &str, session: &Session, frame: &Frame) -> Frame {
    let mut here = frame.clone();
    here.files.retain_mut(|file| match session.filed.get(&file.path) {
        Some(filed) => {
            file.path = filed.path_in_archive(folder);
            file.bytes = filed.bytes;
            true
        }
        None => false,
    });
    here
}

#[cfg(test)]
mod tests {
    use record::{Label, Looks, Quality, SpecimenId, ViewKey};

    use super::*;
    use crate::Audience;
    use crate::sample::{FOLDER, session_from};
    use crate::shown::shares;

    /// The round of the first animal in words: views with the numbers of their frames, then those without a view.
    fn words(session: &Session) -> String {
        let shares = shares(session, &Audience::default());
        let shown = &shares.all[0];
        let round = round(shown, &shares.filed, &grouping::group(session));
        let numbers =
            |frames: &[&Frame]| frames.iter().map(|f| f.id.0.to_string()).collect::<Vec<_>>().join(" ");
        let slots = round.slots.iter().map(|slot| format!("{}: {}", slot.view.key, numbers(&slot.frames)));
        slots.chain([format!("frame: {}", numbers(&round.frames))]).collect::<Vec<_>>().join("; ")
    }

    fn check(change: impl FnOnce(&mut Session), expected: &str) {
        let mut session = session_from(0, 1);
        change(&mut session);
        assert_eq!(words(&session), expected);
    }

    fn label(session: &mut Session, frame: u32, view: &str) {
        let label = Label { view: ViewKey::from(view), specimen: SpecimenId(0) };
        session.decisions.labels.insert(FrameId(frame), label);
    }

    #[test]
    fn views_stand_in_the_order_of_the_plan_with_their_gaps() {
        check(|_| (), "face: 0; above: ; frame: 1");
        check(|s| label(s, 1, "above"), "face: 0; above: 1; frame: ");
        check(|s| s.decisions.labels.clear(), "face: ; above: ; frame: 0 1");
        // A view that the plan does not have is none.
        check(|s| label(s, 1, "wing"), "face: 0; above: ; frame: 1");
        let aside = |s: &mut Session| _ = s.decisions.kinds.insert(FrameId(1), FrameKind::SetAside);
        check(aside, "face: 0; above: ; frame: ");
        check(|s| s.frames[1].files[0].role = FileRole::Sound, "face: 0; above: ; frame: ");
        check(|s| s.frames[1].files[0].role = FileRole::Raw, "face: 0; above: ; frame: 1");
        check(|s| _ = s.filed.remove("DCIM/0001.JPG"), "face: 0; above: ; frame: ");
    }

    #[test]
    fn the_frame_a_person_likes_is_best_else_the_sharper_one() {
        let quality = Quality {
            focus: 10.0,
            blown_share: 0.0,
            black_share: 0.0,
            subject_share: 0.2,
            edge_cut: false,
            subject_found: true,
        };
        let looks = |focus| {
            let quality = Quality { focus, ..quality };
            Some(Looks { descriptor: vec![], quality, without_blank: false })
        };
        let both = |s: &mut Session| {
            label(s, 1, "face");
            (s.frames[0].looks, s.frames[1].looks) = (looks(5.0), looks(9.0));
        };
        check(both, "face: 1 0; above: ; frame: ");
        check(
            |s| {
                both(s);
                s.decisions.preferred.insert(FrameId(0));
            },
            "face: 0 1; above: ; frame: ",
        );
    }

    #[test]
    fn a_frame_in_the_archive_has_its_filed_files_alone() {
        let mut session = session_from(0, 1);
        let mut frame = session.frames[0].clone();
        frame.files.push(record::FrameFile { path: "DCIM/0000.WAV".into(), ..frame.files[0].clone() });
        let here = filed_frame(FOLDER, &session, &frame);
        let paths: Vec<_> = here.files.iter().map(|file| file.path.as_str()).collect();
        assert_eq!(paths, ["2026-06-14_bank/001/0-0 f.jpg"]);
        session.filed.get_mut("DCIM/0000.JPG").unwrap().session = Some("earlier".into());
        assert_eq!(filed_frame(FOLDER, &session, &frame).path(), "earlier/001/0-0 f.jpg");
    }
}
