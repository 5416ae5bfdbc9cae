//! What a person asks for, turned into edits of the session as it stands.

use crate::{Boundary, Departure, Edit, FrameId, FrameKind, Label, Session, Specimen, SpecimenId, ViewKey};

impl Session {
    /// Confirms that a frame shows a view, or clears its label. A label begins the record of the frame's
    /// set when it has none. `None` when the frame is in no set.
    pub fn label_frame(&self, frame: FrameId, view: Option<ViewKey>) -> Option<Edit> {
        let Some(view) = view else { return Some(Edit::Label(frame, None)) };
        let (specimen, mut edits) = self.record_for(self.set_of(frame)?)?;
        edits.push(Edit::Label(frame, Some(Label { view, specimen })));
        Some(Edit::Many(edits))
    }

    /// Confirms several frames of one set at once.
    pub fn label_frames(&self, set: usize, views: &[(FrameId, ViewKey)]) -> Option<Edit> {
        let (specimen, mut edits) = self.record_for(set)?;
        edits.extend(
            views
                .iter()
                .map(|(frame, view)| Edit::Label(*frame, Some(Label { view: view.clone(), specimen }))),
        );
        Some(Edit::Many(edits))
    }

    /// Writes the jar label of a set's specimen.
    pub fn write_jar(&self, set: usize, jar: &str) -> Option<Edit> {
        let (specimen, mut edits) = self.record_for(set)?;
        edits.push(Edit::Jar(specimen, jar.to_owned()));
        Some(Edit::Many(edits))
    }

    /// Writes the note of a set's specimen.
    pub fn write_note(&self, set: usize, note: &str) -> Option<Edit> {
        let (specimen, mut edits) = self.record_for(set)?;
        edits.push(Edit::Note(specimen, note.to_owned()));
        Some(Edit::Many(edits))
    }

    /// Says how the animal of a set left; `None` takes that back.
    pub fn note_left(&self, set: usize, left: Option<Departure>) -> Option<Edit> {
        let (specimen, mut edits) = self.record_for(set)?;
        edits.push(Edit::Left(specimen, left));
        Some(Edit::Many(edits))
    }

    /// Takes a frame for the best of some that show one view, in place of any other; or leaves that to the measures when it
    /// was taken for the best already.
    pub fn prefer_frame(&self, frame: FrameId, among: &[FrameId]) -> Edit {
        let preferred = &self.decisions.preferred;
        let others = among.iter().filter(|f| **f != frame && preferred.contains(f));
        let mut edits: Vec<Edit> = others.map(|f| Edit::Prefer(*f, false)).collect();
        edits.push(Edit::Prefer(frame, !preferred.contains(&frame)));
        Edit::Many(edits)
    }

    /// Decides what part frames play.
    pub fn decide_kind(&self, frames: &[FrameId], kind: FrameKind) -> Edit {
        Edit::Many(frames.iter().map(|f| Edit::Kind(*f, Some(kind))).collect())
    }

    /// Starts a new set at a frame. `None` when it already starts one, or is in none.
    pub fn split_before(&self, frame: FrameId) -> Option<Edit> {
        let set = &self.sets[self.set_of(frame)?];
        let first = self.first_unmoved(&set.frames)?;
        (frame != first).then_some(Edit::Boundary(frame, Some(Boundary::Split)))
    }

    /// Joins a set with the one before it. `None` for the first.
    pub fn join_with_previous(&self, set: usize) -> Option<Edit> {
        if set == 0 {
            return None;
        }
        let first = self.first_unmoved(&self.sets.get(set)?.frames)?;
        Some(Edit::Boundary(first, Some(Boundary::Join)))
    }

    /// Moves a frame into another set; its label goes along and then speaks of that set's specimen.
    /// `None` when either is not there or the frame is in that set already.
    pub fn move_frame(&self, frame: FrameId, to_set: usize) -> Option<Edit> {
        if self.set_of(frame)? == to_set {
            return None;
        }
        let target = self.first_unmoved(&self.sets.get(to_set)?.frames)?;
        let mut edits = vec![Edit::Move(frame, Some(target))];
        if let Some(label) = self.decisions.labels.get(&frame) {
            let (specimen, begun) = self.record_for(to_set)?;
            edits.extend(begun);
            edits.push(Edit::Label(frame, Some(Label { view: label.view.clone(), specimen })));
        }
        Some(Edit::Many(edits))
    }

    /// Takes all frames of a set into another, whose specimen they are a retake of; their labels then speak of that
    /// specimen. `None` when either is not there or both are one.
    pub fn take_as_retake(&self, set: usize, of: usize) -> Option<Edit> {
        let frames = &self.sets.get(set)?.frames;
        let target = self.first_unmoved(&self.sets.get(of).filter(|_| set != of)?.frames)?;
        let mut edits: Vec<Edit> = frames.iter().map(|f| Edit::Move(*f, Some(target))).collect();
        let labels = frames.iter().filter_map(|f| Some((*f, self.decisions.labels.get(f)?)));
        let labels: Vec<_> = labels.map(|(f, label)| (f, label.view.clone())).collect();
        if !labels.is_empty() {
            edits.push(self.label_frames(of, &labels)?);
        }
        Some(Edit::Many(edits))
    }

    /// One change made of a change to each of these sets, where each may begin a record: `edit` is asked with the
    /// session as the changes before it leave it. `None` when there is nothing to change.
    pub fn one_after_another(
        &self,
        sets: &[usize],
        edit: impl Fn(&Self, usize) -> Option<Edit>,
    ) -> Option<Edit> {
        let mut session = self.clone();
        let mut edits = Vec::new();
        for set in sets {
            let Some(edit) = edit(&session, *set) else { continue };
            session.apply(&edit).expect("an edit made for this very session");
            edits.push(edit);
        }
        (!edits.is_empty()).then_some(Edit::Many(edits))
    }

    /// Gives every set a record and fixes its number, as filing does. Empty when all are fixed.
    pub fn fix_numbers(&self) -> Edit {
        let mut edits = Vec::new();
        let mut session = self.clone();
        for at in 0..self.sets.len() {
            let Some((specimen, mut begun)) = session.record_for(at) else { continue };
            if session.specimen(specimen).is_none_or(|s| s.number.is_none()) {
                begun.push(Edit::Number(specimen, Some(self.sets[at].number)));
            }
            for edit in &begun {
                session.apply(edit).expect("edits made for this very session");
            }
            edits.extend(begun);
        }
        Edit::Many(edits)
    }

    /// The record of a set, with the edits that begin it when there is none yet.
    pub(crate) fn record_for(&self, set: usize) -> Option<(SpecimenId, Vec<Edit>)> {
        let set = self.sets.get(set)?;
        if let Some(id) = set.specimens.first() {
            return Some((*id, Vec::new()));
        }
        let id = SpecimenId(self.specimens.iter().map(|s| s.id.0 + 1).max().unwrap_or(0));
        let anchors = set.frames.clone();
        let specimen = Specimen::new(id, anchors);
        Some((id, vec![Edit::AddSpecimen(self.specimens.len(), specimen)]))
    }

    /// The first of some frames that stands where it was shot.
    fn first_unmoved(&self, frames: &[FrameId]) -> Option<FrameId> {
        frames.iter().find(|f| !self.decisions.moves.contains_key(f)).copied()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::edit::tests::day;

    fn arranged() -> Session {
        let mut session = day(6);
        let ids = |r: std::ops::Range<u32>| r.map(FrameId).collect::<Vec<_>>();
        session.arrange(vec![(ids(0..3), None), (ids(3..6), None)]);
        session
    }

    fn apply(session: &mut Session, edit: Option<Edit>) {
        session.apply(&edit.expect("an edit")).unwrap();
        let sets = session.sets.iter().map(|s| (s.frames.clone(), s.closed_by)).collect();
        session.arrange(sets);
    }

    #[test]
    fn the_first_label_begins_one_record_for_its_set() {
        let mut session = arranged();
        for frame in [4, 3] {
            let edit = session.label_frame(FrameId(frame), Some("side".into()));
            apply(&mut session, edit);
        }
        assert_eq!(session.specimens.len(), 1);
        assert_eq!(session.sets[1].specimens, [SpecimenId(0)]);
        assert_eq!(session.sets[0].specimens, []);
    }

    #[test]
    fn a_moved_label_speaks_of_the_other_specimen() {
        let mut session = arranged();
        let edit = session.label_frame(FrameId(0), Some("side".into()));
        apply(&mut session, edit);
        session.apply(&session.move_frame(FrameId(0), 1).unwrap()).unwrap();
        let ids = |ids: &[u32]| ids.iter().copied().map(FrameId).collect::<Vec<_>>();
        session.arrange(vec![(ids(&[1, 2]), None), (ids(&[3, 4, 5, 0]), None)]);
        let own = session.sets[1].specimens[0];
        assert_eq!(session.decisions.labels[&FrameId(0)].specimen, own);
        assert_eq!(session.decisions.moves[&FrameId(0)], FrameId(3));
    }

    #[test]
    fn several_sets_are_changed_as_one_each_with_a_record_of_its_own() {
        let mut session = arranged();
        let before = session.clone();
        let edit = session.one_after_another(&[0, 1], |s, set| s.write_note(set, "cold")).unwrap();
        let inverse = session.apply(&edit).unwrap();
        let notes: Vec<_> =
            session.specimens.iter().map(|s| (s.id.0, s.anchors[0].0, s.note.as_str())).collect();
        assert_eq!(notes, [(0, 0, "cold"), (1, 3, "cold")]);
        session.apply(&inverse).unwrap();
        assert_eq!(session, before);
        assert_eq!(session.one_after_another(&[0, 1], |_, _| None), None);
    }

    #[test]
    fn a_retake_joins_its_specimen_with_its_labels() {
        let mut session = arranged();
        for frame in [4, 5] {
            let edit = session.label_frame(FrameId(frame), Some("side".into()));
            apply(&mut session, edit);
        }
        session.apply(&session.take_as_retake(1, 0).unwrap()).unwrap();
        session.arrange(vec![((0..6).map(FrameId).collect(), None)]);
        assert!((3..6).all(|f| session.decisions.moves[&FrameId(f)] == FrameId(0)));
        let of: Vec<_> = session.decisions.labels.values().map(|l| l.specimen).collect();
        assert_eq!(of, [SpecimenId(1), SpecimenId(1)], "one new record for the earlier set");
        assert_eq!(session.specimen(SpecimenId(1)).unwrap().anchors, [0, 1, 2].map(FrameId));
    }

    #[test]
    fn one_frame_of_a_view_is_the_preferred_one() {
        let mut session = arranged();
        let among = [0, 1, 2].map(FrameId);
        for (chosen, expected) in [(1, vec![1]), (2, vec![2]), (2, vec![])] {
            let edit = session.prefer_frame(FrameId(chosen), &among);
            apply(&mut session, Some(edit));
            let preferred: Vec<u32> = session.decisions.preferred.iter().map(|f| f.0).collect();
            assert_eq!(preferred, expected);
        }
    }

    #[test]
    fn what_makes_no_sense_gives_no_edit() {
        let session = arranged();
        assert_eq!(session.split_before(FrameId(3)), None);
        assert_eq!(session.join_with_previous(0), None);
        assert_eq!(session.move_frame(FrameId(0), 0), None);
        assert_eq!((session.take_as_retake(1, 1), session.take_as_retake(0, 7)), (None, None));
        assert_eq!(session.label_frame(FrameId(9), Some("side".into())), None);
    }

    #[test]
    fn fixing_numbers_gives_each_set_its_own_and_keeps_them() {
        let mut session = arranged();
        let edit = session.fix_numbers();
        apply(&mut session, Some(edit));
        let numbers: Vec<_> = session.specimens.iter().map(|s| s.number).collect();
        assert_eq!(numbers, [Some(1), Some(2)]);
        assert_eq!(session.fix_numbers(), Edit::Many(vec![]));
    }
}
