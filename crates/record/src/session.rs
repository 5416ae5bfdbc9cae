//! One day's imaging: everything known, decided and worked out.

use std::collections::{BTreeMap, BTreeSet};

use serde::{Deserialize, Serialize};

use crate::places::Places;
use crate::{
    Account, DayTrack, Decisions, Departure, Entry, Fields, Filed, Frame, FrameId, FrameKind, Mark, MarkId,
    Naming, Plan, Sending, Set, Specimen, SpecimenId, Term, place_specimens,
};

/// One day's imaging.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Session {
    /// Name for people and folders.
    pub name: String,
    /// The round of views, kept whole so that the session stands on its own.
    pub plan: Plan,
    /// All frames in the order of the day.
    pub frames: Vec<Frame>,
    /// What a person decided about them.
    #[serde(default)]
    pub decisions: Decisions,
    /// What is filled in of the day.
    #[serde(default, skip_serializing_if = "Fields::is_empty")]
    pub fields: Fields,
    /// Records written so far.
    #[serde(default)]
    pub specimens: Vec<Specimen>,
    /// What was sent to be named.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub sendings: BTreeMap<u32, Sending>,
    /// The way of the day.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub track: Option<DayTrack>,
    /// What was marked on frames to be measured.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub marks: BTreeMap<MarkId, Mark>,
    /// The sets as last worked out from all of the above.
    #[serde(default)]
    pub sets: Vec<Set>,
    /// Files of the card that are in the archive, by their path on the card.
    #[serde(default)]
    pub filed: BTreeMap<String, Filed>,
    /// What became of the card's files when it was filed last, or was begun to be.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub account: Option<Account>,
    /// How folders and files are named when the session is filed.
    #[serde(default, skip_serializing_if = "is_usual")]
    pub naming: Naming,
    /// Frames whose files went away from a folder that was being watched; see [`Session::merge_watched`].
    #[serde(default, skip_serializing_if = "BTreeSet::is_empty")]
    pub gone: BTreeSet<FrameId>,
    /// Where frames stand in [`Session::frames`], as of the last arranging.
    #[serde(skip)]
    pub places: Places,
}

/// What reading a card again brought.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Merged {
    /// Frames the session had already.
    pub known: usize,
    /// Frames that are new to it.
    pub new: usize,
}

impl Session {
    /// An empty session under this name and plan.
    pub fn new(name: impl Into<String>, plan: Plan) -> Self {
        Self {
            name: name.into(),
            plan,
            frames: Vec::new(),
            decisions: Decisions::default(),
            fields: Fields::new(),
            specimens: Vec::new(),
            sendings: BTreeMap::new(),
            track: None,
            marks: BTreeMap::new(),
            sets: Vec::new(),
            filed: BTreeMap::new(),
            account: None,
            naming: Naming::default(),
            gone: BTreeSet::new(),
            places: Places::default(),
        }
    }

    /// The frame with this id.
    pub fn frame(&self, id: FrameId) -> Option<&Frame> {
        let at_its_place = self.frames.get(self.places.hint(id)).filter(|f| f.id == id);
        at_its_place.or_else(|| self.frames.iter().find(|f| f.id == id))
    }

    /// The specimen with this id.
    pub fn specimen(&self, id: SpecimenId) -> Option<&Specimen> {
        self.specimens.iter().find(|s| s.id == id)
    }

    /// Index in [`Session::sets`] of the set that holds a frame.
    pub fn set_of(&self, frame: FrameId) -> Option<usize> {
        self.sets.iter().position(|s| s.frames.contains(&frame))
    }

    /// The record of a set, when one was begun.
    pub fn record_of(&self, set: &Set) -> Option<&Specimen> {
        self.specimen(*set.specimens.first()?)
    }

    /// How the animal of a set left; `None` while it is held, or nobody noted it.
    pub fn left(&self, set: &Set) -> Option<Departure> {
        self.record_of(set)?.left
    }

    /// What stands in a field for a specimen: its own, else the day's where the day has that field.
    pub fn entry<'a>(&'a self, specimen: Option<&'a Specimen>, term: Term) -> Option<&'a Entry> {
        let own = specimen.and_then(|s| s.fields.get(&term));
        own.or_else(|| self.fields.get(&term))
    }

    /// The jar label of a set: as written in its record, else as read from its jar card. Empty when there is none.
    pub fn jar_of<'a>(&'a self, set: &'a Set) -> &'a str {
        let written = self.record_of(set).map(|s| s.jar.as_str()).filter(|jar| !jar.is_empty());
        written.or(set.jar_card.as_deref()).unwrap_or_default()
    }

    /// What part a frame plays: set aside when its files are gone, a reference when it shows a jar card and nobody has
    /// decided otherwise, else see [`Decisions::kind`].
    pub fn kind(&self, frame: &Frame) -> FrameKind {
        if self.gone.contains(&frame.id) {
            FrameKind::SetAside
        } else if !self.decisions.kinds.contains_key(&frame.id) && self.is_jar_card_alone(frame) {
            FrameKind::Reference
        } else {
            self.decisions.kind(frame)
        }
    }

    /// Whether a frame shows a jar card, and not one that lies beside the animal: that would be in the frame before or
    /// after as well.
    fn is_jar_card_alone(&self, frame: &Frame) -> bool {
        let Some(text) = &frame.jar_card else { return false };
        let at_its_place = self.frames.get(frame.id.0 as usize).is_some_and(|f| f.id == frame.id);
        let at = if at_its_place {
            Some(frame.id.0 as usize)
        } else {
            self.frames.iter().position(|f| f.id == frame.id)
        };
        let says_the_same =
            |at: Option<usize>| at.and_then(|at| self.frames.get(at)?.jar_card.as_ref()) == Some(text);
        !at.is_some_and(|at| says_the_same(at.checked_sub(1)) || says_the_same(Some(at + 1)))
    }

    /// The day, as `2026-06-14`: that of the first frame with a time of its own. `None` without any.
    pub fn date(&self) -> Option<String> {
        self.frames.iter().find_map(Frame::when).map(|t| t.date())
    }

    /// How many of these frames are already in the session.
    pub fn overlap(&self, read: &[Frame]) -> usize {
        let known = by_path(&self.frames);
        read.iter().filter(|f| known_as(&known, f).is_some()).count()
    }

    /// Takes in frames as just read, in their order. Frames seen before keep their ids, and with them all
    /// decisions; new ones get ids of their own. Frames of the session that were not read this time stay,
    /// at their place in time.
    pub fn merge(&mut self, read: Vec<Frame>) -> Merged {
        self.merge_ids(read).0
    }

    /// As [`Session::merge`]; gives the ids of the frames read beside.
    pub(crate) fn merge_ids(&mut self, read: Vec<Frame>) -> (Merged, BTreeSet<FrameId>) {
        let before = std::mem::take(&mut self.frames);
        let known = by_path(&before);
        let mut merged = Merged::default();
        let mut next = before.iter().map(|f| f.id.0 + 1).max().unwrap_or(0);
        let mut frames: Vec<Frame> = Vec::with_capacity(read.len());
        let mut here: BTreeSet<FrameId> = BTreeSet::new();
        for mut frame in read {
            // A frame whose files turned out to be two exposures goes on as the first of them.
            if let Some(old) = known_as(&known, &frame).filter(|old| here.insert(old.id)) {
                frame.id = old.id;
                if frame.looks.is_none() {
                    frame.take_closer(old.clone());
                }
                merged.known += 1;
            } else {
                frame.id = FrameId(next);
                here.insert(frame.id);
                next += 1;
                merged.new += 1;
            }
            frames.push(frame);
        }
        let not_read = before.into_iter().filter(|f| !here.contains(&f.id)).collect();
        self.frames = placed_among(frames, not_read);
        self.gone.retain(|id| !here.contains(id));
        (merged, here)
    }

    /// Takes over sets as worked out (frames and closing blank of each), gives them their records and
    /// numbers. A filed number stays; the others follow in order after the highest filed one.
    pub fn arrange(&mut self, sets: Vec<(Vec<FrameId>, Option<FrameId>)>) {
        self.places = Places::of(&self.frames);
        let frames: Vec<Vec<FrameId>> = sets.iter().map(|(f, _)| f.clone()).collect();
        let placed = place_specimens(&frames, &self.decisions, &self.specimens);
        let numbers: BTreeMap<SpecimenId, u32> =
            self.specimens.iter().filter_map(|s| Some((s.id, s.number?))).collect();
        let mut next = numbers.values().max().unwrap_or(&0) + 1;
        self.sets = sets
            .into_iter()
            .zip(placed)
            .map(|((frames, closed_by), specimens)| {
                let filed = specimens.iter().find_map(|id| numbers.get(id).copied());
                let number = filed.unwrap_or_else(|| {
                    next += 1;
                    next - 1
                });
                Set { number, frames, closed_by, jar_card: None, specimens }
            })
            .collect();
    }

    /// Records that stand in no set, because none of their frames is in one.
    pub fn records_without_set(&self) -> impl Iterator<Item = &Specimen> {
        let placed: BTreeSet<SpecimenId> =
            self.sets.iter().flat_map(|s| s.specimens.iter().copied()).collect();
        self.specimens.iter().filter(move |s| !placed.contains(&s.id))
    }
}

fn is_usual(naming: &Naming) -> bool {
    *naming == Naming::default()
}

/// Puts each of `others` before the first of `frames` that was taken later, those of one place in order of time; one
/// that is later than all, or has no time, comes last.
fn placed_among(frames: Vec<Frame>, mut others: Vec<Frame>) -> Vec<Frame> {
    if others.is_empty() {
        return frames;
    }
    others.sort_by_key(|f| (f.when().is_none(), f.when()));
    let mut all = Vec::with_capacity(frames.len() + others.len());
    let mut others = others.into_iter().peekable();
    for frame in frames {
        while let Some(other) = others.next_if(|o| o.when().is_some() && frame.when() > o.when()) {
            all.push(other);
        }
        all.push(frame);
    }
    all.extend(others);
    all
}

/// Frames by the paths of all their files; where one frame's file was another's copy, by the file.
fn by_path(frames: &[Frame]) -> BTreeMap<&str, &Frame> {
    let copies = frames.iter().flat_map(|frame| frame.copies.iter().map(move |file| (file, frame)));
    let files = frames.iter().flat_map(|frame| frame.files.iter().map(move |file| (file, frame)));
    copies.chain(files).map(|(file, frame)| (file.path.as_str(), frame)).collect()
}

/// The frame that a frame just read is, by any of its files or their copies.
fn known_as<'a>(known: &BTreeMap<&str, &'a Frame>, read: &Frame) -> Option<&'a Frame> {
    read.places().find_map(|f| known.get(f.path.as_str()).filter(|old| old.same_exposure(read)).copied())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::edit::tests::{day, frame};
    use crate::{FileRole, FrameFile, TimeSource};

    #[test]
    fn a_jar_card_is_a_reference_unless_it_lies_beside_the_animal() {
        let mut session = day(5);
        for (frame, text) in [(0, "21"), (2, "22"), (3, "22")] {
            session.frames[frame].jar_card = Some(text.into());
        }
        let kinds = |s: &Session| s.frames.iter().map(|f| s.kind(f).word()).collect::<Vec<_>>().concat();
        assert_eq!(kinds(&session), "referencespecimenspecimenspecimenspecimen");
        session.decisions.kinds.insert(FrameId(0), FrameKind::Specimen);
        assert!(kinds(&session).starts_with("specimen"));
    }

    #[test]
    fn merging_keeps_ids_and_adds_only_new_frames() {
        let mut session = day(3);
        let mut read = vec![frame(0, "10:00:30"), frame(0, "10:00:00"), frame(0, "10:01:00")];
        read[0].files[0].path = "new.jpg".into();
        read[1].files[0].path = "f0.jpg".into();
        read[2].files[0].path = "f1.jpg".into();
        assert_eq!(session.overlap(&read), 2);
        assert_eq!(session.merge(read), Merged { known: 2, new: 1 });
        let order: Vec<u32> = session.frames.iter().map(|f| f.id.0).collect();
        assert_eq!(order, [3, 0, 1, 2], "read order; what was not read stays at its time");
    }

    #[test]
    fn a_path_with_other_content_is_another_frame() {
        let mut session = day(1);
        let mut other = session.frames[0].clone();
        other.files[0].bytes += 1;
        assert_eq!(session.overlap(std::slice::from_ref(&other)), 0);
        assert_eq!(session.merge(vec![other]), Merged { known: 0, new: 1 });
    }

    #[test]
    fn a_frame_stays_itself_when_a_file_joins_it_and_when_its_file_time_is_worked_out_anew() {
        let mut session = day(1);
        let mut raw = session.frames[0].clone();
        raw.files[0] = FrameFile { path: "f0.nef".into(), bytes: 900, role: FileRole::Raw };
        let picture = std::mem::replace(&mut session.frames[0], raw.clone()).files.remove(0);
        raw.files.insert(0, picture);
        assert_eq!(session.merge(vec![raw.clone()]), Merged { known: 1, new: 0 });
        raw.files[0].bytes += 1;
        assert_eq!(session.overlap(std::slice::from_ref(&raw)), 0, "the picture was changed");

        session.frames[0].time_source = TimeSource::File;
        let mut again = session.frames[0].clone();
        again.taken = again.taken.unwrap().shifted(1.0);
        assert_eq!(session.overlap(std::slice::from_ref(&again)), 1);
        again.time_source = TimeSource::Original;
        assert_eq!(session.overlap(std::slice::from_ref(&again)), 0);
    }

    #[test]
    fn frames_not_read_again_stand_at_their_time_whatever_their_number() {
        let times = |session: &Session| -> Vec<String> {
            session
                .frames
                .iter()
                .map(|f| f.when().map_or("-".to_owned(), |t| t.time_of_day()[3..5].to_owned()))
                .collect()
        };
        let mut session = day(9);
        let all = session.frames.clone();
        session.frames[4].taken = None;
        session.frames.swap(1, 2);
        // Frames 3 and 6 are read, and a new one without a time.
        let mut new = frame(0, "10:00:00");
        (new.taken, new.files[0].path) = (None, "new.jpg".into());
        session.merge(vec![all[3].clone(), new, all[6].clone()]);
        assert_eq!(times(&session), ["00", "01", "02", "03", "-", "05", "06", "07", "08", "-"]);
    }

    #[test]
    fn a_frame_stays_itself_when_another_of_its_copies_stands() {
        let mut session = day(2);
        let file = |path: &str| FrameFile { path: path.into(), bytes: 100, role: FileRole::Picture };
        let mut read = session.frames.clone();
        // Two places hold the first frame now, and the other of them stands.
        read[0].copies = std::mem::replace(&mut read[0].files, vec![file("DCIM/f0.jpg")]);
        assert_eq!(session.overlap(&read), 2);
        assert_eq!(session.merge(read.clone()), Merged { known: 2, new: 0 });
        assert_eq!((session.frames[0].id, session.frames[0].path()), (FrameId(0), "DCIM/f0.jpg"));
        // The copy alone is left.
        read[0].files = std::mem::take(&mut read[0].copies);
        assert_eq!(session.merge(read.clone()), Merged { known: 2, new: 0 });
        // Another picture lies there now.
        session.frames[0].copies = vec![file("DCIM/f0.jpg")];
        read[0].files = vec![FrameFile { bytes: 101, ..file("DCIM/f0.jpg") }];
        assert_eq!(session.overlap(&read), 1);
    }

    #[test]
    fn filed_numbers_stay_and_new_sets_follow_them() {
        let mut session = day(4);
        let set = |ids: &[u32]| (ids.iter().map(|i| FrameId(*i)).collect::<Vec<_>>(), None);
        session.arrange(vec![set(&[0]), set(&[1]), set(&[2, 3])]);
        assert_eq!(session.sets.iter().map(|s| s.number).collect::<Vec<_>>(), [1, 2, 3]);
        for (id, (anchor, number)) in [(0, 1), (2, 2)].into_iter().enumerate() {
            let specimen = Specimen::new(SpecimenId(id as u32), vec![FrameId(anchor)]);
            session.specimens.push(Specimen { number: Some(number), ..specimen });
        }
        // Frame 0 is new before 1, and 2–3 were filed as number 1 and 2 in another order.
        session.arrange(vec![set(&[1]), set(&[0]), set(&[2]), set(&[3])]);
        assert_eq!(session.sets.iter().map(|s| s.number).collect::<Vec<_>>(), [3, 1, 2, 4]);
    }
}
